"""The vetted library under its own rules: no error where a wall is claimed, and each warning accepted with a reason."""

from __future__ import annotations

import pytest

from specgen.checks.assess import assess
from specgen.checks.catalog import never_lines
from specgen.library.load import Library, load_project, open_library
from specgen.library.sites import project_site, site_from_zone
from specgen.model.finding import Severity

EDITIONS = ("2018", "2021", "2024")


@pytest.fixture(scope="module")
def library() -> Library:
    return open_library()


@pytest.mark.parametrize("edition", EDITIONS)
def test_no_error_in_a_claimed_zone(library: Library, edition: str) -> None:
    found = []
    for wall in library.walls():
        assert wall.suits is not None, f"{wall.name} claims no zone"
        for zone in wall.suits.zones:
            for finding in assess(wall, site_from_zone(zone, edition, edition)).findings:
                if finding.severity is Severity.ERROR:
                    found.append(f"{wall.name} {zone}: {finding.code} {finding.message}")
    assert found == []


def test_a_warning_on_a_vetted_wall_is_accepted_with_its_reason(library: Library) -> None:
    listed, unexplained = [], []
    for wall in library.walls():
        for zone in wall.suits.zones if wall.suits else ():
            for finding in assess(wall, site_from_zone(zone)).findings:
                if finding.severity is Severity.WARNING:
                    line = f"{wall.name} {zone}: {finding.code} {finding.message}"
                    (listed if finding.explained else unexplained).append(f"{line} | {finding.explained}")
    print(*listed, sep="\n")
    assert unexplained == []


def test_a_reason_names_a_code_that_this_wall_can_get(library: Library) -> None:
    """A reason for a finding that never comes would only look like one."""
    stale = []
    for wall in library.walls():
        zones = wall.suits.zones if wall.suits else ()
        project = load_project(library.folder / "demo" / "project.yaml")
        sites = [site_from_zone(zone) for zone in zones] + [project_site(project, site.id) for site in project.sites]
        codes = {finding.code for site in sites for finding in assess(wall, site).findings}
        stale += [f"{wall.name}: {item.code}" for item in wall.explained if item.code not in codes]
    assert stale == []


def test_no_error_and_no_open_warning_in_the_demo_project(library: Library) -> None:
    project = load_project(library.folder / "demo" / "project.yaml")
    for entry in project.wall_types:
        wall = library.wall(entry.wall, entry.variant or "")
        site = project_site(project, entry.site)
        open_findings = [f for f in assess(wall, site).findings if f.severity > Severity.NOTE and not f.explained]
        assert open_findings == [], entry.tag
        assert 1 <= len(never_lines(wall, site)) <= 6


def test_vetted_walls_give_every_permeance_that_the_drying_check_needs(library: Library) -> None:
    for wall in library.walls():
        assert not [f for f in assess(wall, site_from_zone("2A")).findings if f.code == "M10"], wall.name


@pytest.mark.parametrize("zone", ["6A", "7", "8"])
def test_walls_kept_for_warm_places_say_so_in_the_cold(library: Library, zone: str) -> None:
    for wall in library.walls():
        if wall.suits and zone not in wall.suits.zones:
            assert "L103" in {finding.code for finding in assess(wall, site_from_zone(zone)).findings}, wall.name
