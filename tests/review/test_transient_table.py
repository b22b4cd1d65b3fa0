"""The committed table of simulated walls belongs to the walls of today and hangs together."""

from __future__ import annotations

from transient_table import committed, pairs

from specgen.model.transient import MOLD_LIMIT
from specgen.review.moisture_table import content_mark

ANEW = "run python tests/review/transient_table.py and read what changed"


def test_every_vetted_wall_in_every_claimed_zone_as_it_stands_today() -> None:
    listed = sorted((row["wall"], row["content"], row["zone"]) for row in committed())
    assert listed == sorted((wall.name, content_mark(wall), site.zone_label) for wall, site in pairs()), ANEW


def test_every_row_was_run_in_a_listed_city() -> None:
    cities = {site.zone_label: {city.title for city in site.cities} for _, site in pairs()}
    for row in committed():
        assert row["verdict"] in ("meets", "does not meet", "depends on"), (row["wall"], row["zone"], row["reasons"])
        assert row["city"] in cities[row["zone"]], row["wall"]


def test_verdicts_follow_from_their_numbers() -> None:
    for row in committed():
        assert float(row["balance_error"]) < 1e-6, row["wall"]
        assert (row["verdict"] == "depends on") == bool(row["depends_on"]), row["wall"]
        if row["verdict"] == "meets":
            assert not row["reasons"] and (not row["mold_most"] or float(row["mold_most"]) < MOLD_LIMIT), row["wall"]
        if row["verdict"] == "does not meet":
            assert row["reasons"], row["wall"]
        assert not row["leak_over"] or float(row["leak_pct"]) == 10, row["wall"]
