"""The committed table of simulated walls belongs to the walls of today and hangs together."""

from __future__ import annotations

from transient_table import committed, place_of

from specgen.library.load import open_library
from specgen.model.transient import MOLD_LIMIT
from specgen.resources import shipped
from specgen.review.moisture_table import content_mark

ANEW = "run python tests/review/transient_table.py and read what changed"


def test_every_vetted_wall_as_it_stands_today() -> None:
    walls = [wall for wall in open_library(shipped("assemblies")).walls() if wall.suits and wall.suits.zones]
    listed = sorted((row["wall"], row["content"], row["zone"]) for row in committed())
    assert listed == sorted((wall.name, content_mark(wall), place_of(wall).zone_label) for wall in walls), ANEW


def test_verdicts_follow_from_their_numbers() -> None:
    for row in committed():
        if row["verdict"] == "not run":
            assert "no result is given" in row["reasons"] or row["reasons"], row["wall"]
            continue
        assert float(row["balance_error"]) < 1e-6, row["wall"]
        assert (row["verdict"] == "depends on") == bool(row["depends_on"]), row["wall"]
        if row["verdict"] == "meets":
            assert not row["reasons"] and (not row["mold_most"] or float(row["mold_most"]) < MOLD_LIMIT), row["wall"]
        if row["verdict"] == "does not meet":
            assert row["reasons"], row["wall"]
        assert not row["leak_over"] or float(row["leak_pct"]) == 10, row["wall"]
