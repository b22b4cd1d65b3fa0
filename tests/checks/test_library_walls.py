"""The vetted library under its own rules: no error where a wall is claimed, and each warning accepted with a reason."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

import pytest

from specgen.checks.assess import assess, assess_all
from specgen.checks.catalog import never_lines
from specgen.library.load import Library, load_project, open_library
from specgen.library.sites import project_site, site_from_zone
from specgen.model.assessment import Assessment
from specgen.model.finding import Severity
from specgen.model.wall import Wall

EDITIONS = ("2018", "2021", "2024")


@pytest.fixture(scope="module")
def library() -> Library:
    return open_library()


@pytest.fixture(scope="module")
def claimed(library: Library) -> Callable[[str], list[tuple[Wall, str, Assessment]]]:
    """Every wall in every zone that it claims, by edition: wall, zone, assessment."""

    @cache
    def by_edition(edition: str) -> list[tuple[Wall, str, Assessment]]:
        pairs = [(wall, zone) for wall in library.walls() for zone in (wall.suits.zones if wall.suits else ())]
        found = assess_all([(wall, site_from_zone(zone, edition, edition)) for wall, zone in pairs])
        return [(wall, zone, assessment) for (wall, zone), assessment in zip(pairs, found, strict=True)]

    return by_edition


@pytest.mark.parametrize("edition", EDITIONS)
def test_no_error_in_a_claimed_zone(
    library: Library, claimed: Callable[[str], list[tuple[Wall, str, Assessment]]], edition: str
) -> None:
    assert [wall.name for wall in library.walls() if wall.suits is None] == []
    found = []
    for wall, zone, assessment in claimed(edition):
        for finding in assessment.findings:
            if finding.severity is Severity.ERROR:
                found.append(f"{wall.name} {zone}: {finding.code} {finding.message}")
    assert found == []


def test_a_warning_on_a_vetted_wall_is_accepted_with_its_reason(
    claimed: Callable[[str], list[tuple[Wall, str, Assessment]]],
) -> None:
    listed, unexplained = [], []
    for wall, zone, assessment in claimed("2021"):
        for finding in assessment.findings:
            if finding.severity is Severity.WARNING:
                line = f"{wall.name} {zone}: {finding.code} {finding.message}"
                (listed if finding.explained else unexplained).append(f"{line} | {finding.explained}")
    print(*listed, sep="\n")
    assert unexplained == []


def test_a_reason_names_a_code_that_this_wall_can_get(
    library: Library, claimed: Callable[[str], list[tuple[Wall, str, Assessment]]]
) -> None:
    """A reason for a finding that never comes would only look like one."""
    codes: dict[str, set[str]] = {}
    for wall, _, assessment in claimed("2021"):
        codes.setdefault(wall.name, set()).update(finding.code for finding in assessment.findings)
    project = load_project(library.folder / "demo" / "project.yaml")
    sites = [project_site(project, site.id) for site in project.sites]
    stale = []
    for wall in library.walls():
        open_items = [item for item in wall.explained if item.code not in codes[wall.name]]
        there = {f.code for site in sites for f in assess(wall, site).findings} if open_items else set()
        stale += [f"{wall.name}: {item.code}" for item in open_items if item.code not in there]
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
    walls = list(library.walls())
    for wall, assessment in zip(walls, assess_all([(w, site_from_zone("2A")) for w in walls]), strict=True):
        assert not [f for f in assessment.findings if f.code == "M10"], wall.name


def test_walls_kept_for_warm_places_say_so_in_the_cold(library: Library) -> None:
    pairs = [
        (wall, zone)
        for zone in ("6A", "7", "8")
        for wall in library.walls()
        if wall.suits and zone not in wall.suits.zones
    ]
    assert {zone for _, zone in pairs} == {"6A", "7", "8"}
    found = assess_all([(wall, site_from_zone(zone)) for wall, zone in pairs])
    for (wall, zone), assessment in zip(pairs, found, strict=True):
        assert "L103" in {finding.code for finding in assessment.findings}, (wall.name, zone)
