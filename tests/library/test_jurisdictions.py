"""Jurisdictions: the row that holds at a site stands in place of the model's, and says whose it is.

Washington's U of 0.056 for all walls above grade: Washington Administrative Code 51-11R-40211, 2021 edition
(confirmed). The cities are invented.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from typer.testing import CliRunner

from specgen.checks.assess import assess
from specgen.cli import app
from specgen.documents.reviewer import reviewer_document
from specgen.errors import InputError
from specgen.library.jurisdictions import load_jurisdictions, row_for, with_jurisdiction
from specgen.library.load import open_library
from specgen.library.sites import site_from_county, site_from_zone
from specgen.model.finding import Severity

HEAD = "schema: 1\ntitle: Invented\njurisdictions:\n"
ROW = (
    '  - {id: a, name: City of A (invented), %s, energy: IECC 2021, wood_u: "0.050", '
    "source: x, status: common-practice}\n"
)


def write(folder: Path, *rows: str) -> Path:
    path = folder / "own.yaml"
    path.write_text(HEAD + "".join(rows), encoding="utf-8")
    return path


def test_washington_judges_every_wall_by_one_u() -> None:
    library = open_library()
    site = with_jurisdiction(site_from_county("King, WA"), load_jurisdictions())
    for name, family in (("framed-stucco-drained", "wood-frame"), ("block-exterior-insulated-siding", "mass")):
        done = assess(library.wall(name), site)
        code = done.energy_code
        assert (code.family, code.jurisdiction) == (family, "State of Washington")
        assert [(path.path, path.required, path.status) for path in code.paths] == [("u", 0.056, "confirmed")]
        assert "51-11R-40211" in code.paths[0].source and "51-11R-40211" in code.note
        (note,) = [finding for finding in done.findings if finding.code == "E10"]
        assert "only U is judged" in note.message
        shortfall = [finding.message for finding in done.findings if finding.code == "E01"]
        assert shortfall and "as amended by State of Washington in zone 4C" in shortfall[0]


def test_a_place_outside_and_a_zone_alone_keep_the_model_code() -> None:
    rows = load_jurisdictions()
    assert row_for(rows, site_from_county("Multnomah, OR")) is None
    assert row_for(rows, site_from_zone("4C")) is None


def test_the_county_goes_before_the_state_and_the_office_before_what_ships(tmp_path: Path) -> None:
    rows = load_jurisdictions(
        write(tmp_path, ROW % "state: WA", (ROW % "county: 'King, WA'").replace("id: a", "id: b"))
    )
    at_king, at_pierce = (row_for(rows, site_from_county(place)) for place in ("King, WA", "Pierce, WA"))
    assert at_king is not None and at_king.id == "b"
    assert at_pierce is not None and at_pierce.id == "a"


def test_a_limit_that_is_not_confirmed_prints_as_unverified(tmp_path: Path) -> None:
    site = with_jurisdiction(
        site_from_county("Cook, IL"), load_jurisdictions(write(tmp_path, ROW % "county: 'Cook, IL'"))
    )
    code = assess(open_library().wall("framed-stucco-drained"), site).energy_code
    assert "common practice, unverified" in code.note
    (u,) = [path for path in code.paths if path.path == "u"]
    assert (u.required, u.status, u.source) == (0.05, "common-practice", "City of A (invented): x")
    assert next(path.label for path in code.paths if path.path == "r") == "R-30"  # not given, so as in the model


def test_another_edition_than_the_adopted_one_is_a_warning(tmp_path: Path) -> None:
    rows = load_jurisdictions(write(tmp_path, ROW % "county: 'Cook, IL'"))
    site = replace(with_jurisdiction(site_from_county("Cook, IL", "2018", "2018"), rows), edition_chosen=True)
    done = assess(open_library().wall("framed-stucco-drained"), site)
    (found,) = [finding for finding in done.findings if finding.code == "E11"]
    assert found.severity is Severity.WARNING and "adopted IECC 2021" in found.message
    assert done.energy_code.jurisdiction == ""


@pytest.mark.parametrize(
    ("row", "told"),
    [
        ((ROW % "state: Washington"), '4:48: L016 jurisdiction "a": state is "Washington"; did you mean WA?'),
        ((ROW % "county: 'Kook, IL'"), "did you mean"),
        ((ROW % "state: WA").replace('"0.050"', "R-5"), "expected a U limit in Btu/(h·ft²·°F), for example 0.056"),
        ((ROW % "state: WA").replace("wood_u", "wood_r").replace('"0.050"', "[20+5]"), "for example 30 or 20&5ci"),
        ((ROW % "state: WA").replace("wood_u", "wod_u"), '"wood_u"'),
        ((ROW % "state: WA").replace("IECC 2021", "IECC 2012"), "IECC 2018"),
        ((ROW % "state: WA") * 2, "expected one row for a place"),
    ],
)
def test_a_bad_file_is_told_by_line_and_what_was_expected(tmp_path: Path, row: str, told: str) -> None:
    with pytest.raises(InputError) as error:
        load_jurisdictions(write(tmp_path, row))
    assert told in str(error.value)
    assert "own.yaml:4:" in str(error.value) or "own.yaml:5:" in str(error.value)


def test_check_takes_the_offices_file_and_its_adopted_edition() -> None:
    """Invented city in Galveston County, TX, which adopted 2018: that edition holds unless another is chosen."""
    file = str(open_library().folder / "demo" / "jurisdictions.yaml")
    words = ["check", "framed-stucco-drained", "--county", "Galveston, TX", "--jurisdiction", file]
    text = " ".join(CliRunner().invoke(app, words).stdout.split())
    assert "IECC 2018, prescriptive paths" in text and "as amended by City of Rivermouth (invented)" in text
    chosen = " ".join(CliRunner().invoke(app, [*words, "--edition", "2021"]).stdout.split())
    assert "IECC 2021, prescriptive paths" in chosen and "warning E11" in chosen


def test_the_reviewers_page_names_the_law_and_not_the_models_table() -> None:
    wall = open_library().wall("framed-stucco-drained")
    site = with_jurisdiction(site_from_county("King, WA"), load_jurisdictions())
    document = reviewer_document(wall, assess(wall, site), site)
    text = repr(document)
    assert "State of Washington" in text
    assert "table of steel studs" not in text
