"""The committed tables of moisture answers are complete, belong to the walls of today, and are what the checks give."""

from __future__ import annotations

import pytest
from moisture_table import FORBIDDEN, committed, forbidden_rows

from specgen.checks.thermal import thermal_result
from specgen.library.load import Library, open_library
from specgen.library.sites import site_from_zone
from specgen.resources import shipped
from specgen.review.moisture_table import HOUR_COLUMNS, MONTHLY_COLUMNS, content_mark, moisture_row

ANEW = "run python tests/review/moisture_table.py and read what changed"
NUMBERS = {name for name in (*MONTHLY_COLUMNS, *HOUR_COLUMNS) if name.endswith(("m2", "m2h", "pct", "rsi", "needed"))}


@pytest.fixture(scope="module")
def library() -> Library:
    return open_library(shipped("assemblies"))


def _same(listed: dict[str, str], found: dict[str, str], name: str) -> None:
    for column, value in found.items():
        if column in NUMBERS and value and listed[column]:  # the last of three figures may turn with another machine
            assert float(listed[column]) == pytest.approx(float(value), rel=0.011, abs=1e-3), (name, column, ANEW)
        else:
            assert listed[column] == value, (name, column, ANEW)


def test_every_wall_in_every_zone_that_it_claims(library: Library) -> None:
    claimed = [(w.name, zone, content_mark(w)) for w in library.walls() for zone in (w.suits.zones if w.suits else ())]
    listed = [(row["wall"], row["zone"], row["content"]) for row in committed()]
    assert sorted(listed) == sorted(claimed), ANEW


def test_a_sample_of_the_rows_is_what_the_checks_give(library: Library) -> None:
    for row in committed()[::37]:
        id, _, variant = row["wall"].partition("+")
        wall = library.wall(id, variant)
        _same(
            row, moisture_row(wall, site_from_zone(row["zone"]), thermal_result(wall)), f"{row['wall']} {row['zone']}"
        )


def test_water_is_left_only_in_block_and_no_surface_is_too_damp() -> None:
    for row in committed():
        assert row["month_verdict"] in ("stays dry", "dries out") or "block" in row["plane"], row["wall"]
        assert not row["f_rsi_needed"] or float(row["f_rsi"]) >= float(row["f_rsi_needed"]), row["wall"]


def test_walls_that_the_trade_forbids_are_run_and_listed() -> None:
    """Belief (the codes) and computation side by side; where they part, both numbers stand in the row."""
    found, listed = forbidden_rows(), committed(FORBIDDEN)
    assert [row["what"] for row in listed] == [row["what"] for row in found], ANEW
    for row, now in zip(listed, found, strict=True):
        _same(row, now, f"{row['what']} in {row['zone']}")
    hot = [row for row in listed if row["zone"] in ("1A", "2A", "3A") and "should be" not in row["what"]]
    assert all({"M01", "M03"} & set(row["warnings"].split()) for row in hot)
    closed = [
        row for row in hot if "block" not in row["what"] and ("polyethylene" in row["what"] or "foil" in row["what"])
    ]
    assert {row["hour_verdict"] for row in closed} == {"does not meet"}
    assert {row["hour_verdict"] for row in listed if "should be" in row["what"]} == {"meets"}
    cold = [float(row["left_g_m2"]) for row in listed if row["what"].startswith("R-20 cavity")]
    assert cold[0] > 0 and cold == sorted(cold, reverse=True) and cold[-1] == 0  # more foam outside, less water left
