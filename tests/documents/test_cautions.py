"""Usual cautions: each row complete and sourced, called up by what is in the wall, most serious first."""

from __future__ import annotations

from typing import get_args

import pytest
from builders import BLOCK, STUCCO, framed_wall, make_layer, make_material, make_wall, studs

from specgen.data import load_table
from specgen.documents.cautions import wall_cautions, wall_materials
from specgen.model.base import Status
from specgen.model.material import Hazard, Kind
from specgen.model.wall import Construction, Fastening

ROWS = load_table("cautions")["rows"]
TRIGGERS = {"always", "hazards", "kinds", "constructions", "fastenings", "existing"}


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["id"])
def test_row_is_short_sourced_and_has_known_triggers(row: dict[str, object]) -> None:
    when = row["when"]
    assert isinstance(when, dict) and when and set(when) <= TRIGGERS
    assert set(when.get("hazards", ())) <= set(get_args(Hazard))
    assert set(when.get("kinds", ())) <= set(get_args(Kind))
    assert set(when.get("constructions", ())) <= set(get_args(Construction))
    assert set(when.get("fastenings", ())) <= set(get_args(Fastening.model_fields["type"].annotation))
    assert len(str(row["do"])) <= 27 and len(str(row["word"])) <= 10  # a third more stays on its line
    assert str(row["detail"]).endswith(".")
    assert row["status"] in {status.value for status in Status}
    assert row["source"] == "common practice" or row["source"] in load_table("sources")
    assert row["source"] == "common practice" or row["status"] != "common-practice"


def test_every_hazard_of_a_material_calls_up_a_caution() -> None:
    called = {hazard for row in ROWS for hazard in row["when"].get("hazards", ())}
    assert called == set(get_args(Hazard))


def words(wall: object) -> list[str]:
    return [caution.word for caution in wall_cautions(wall)]  # type: ignore[arg-type]


def test_block_calls_for_bracing_and_framing_does_not() -> None:
    assert "Bracing" in words(make_wall([make_layer("block", BLOCK, "7-5/8 in")]))
    assert "Bracing" not in words(framed_wall())


def test_bars_in_block_and_concrete_are_capped_and_nobody_lifts_a_sheet_alone() -> None:
    """OSHA 29 CFR 1926.701(b): protruding bars that someone could fall onto are guarded (secondary)."""
    assert "Rebar" in words(make_wall([make_layer("block", BLOCK, "7-5/8 in")]))
    assert "Rebar" in words(make_wall([make_layer("cast", make_material("test-cast", "concrete"), "6 in")]))
    assert "Rebar" not in words(framed_wall())
    assert "Lifting" in words(framed_wall())  # a board, a window, a bag


def test_hazards_of_fills_members_and_embedded_parts_count() -> None:
    wool = make_material("test-wool", "batt", hazards=("fibers",))
    lath = make_material("test-lath", "lath", hazards=("sharp-metal",))
    part = {"id": "lath", "material": lath}
    wall = make_wall([make_layer("scratch", STUCCO, "3/8 in", embedded=(part,)), studs("5-1/2 in", wool)])
    assert {"Fibers", "Edges"} <= set(words(wall))
    assert {"test-wool", "test-lath", "test-softwood"} <= {material.id for material in wall_materials(wall)}


def test_existing_work_calls_up_lead_and_asbestos_and_its_materials_do_not_count() -> None:
    old = make_material("test-old", "stucco", hazards=("isocyanate",))
    wall = make_wall([make_layer("old", old, "7/8 in", condition="existing-to-remain"), studs("5-1/2 in")])
    assert {"Old paint", "Old siding"} <= set(words(wall))
    assert "Spray foam" not in words(wall)


def test_own_cautions_follow_the_gravest_and_replace_a_usual_one_of_their_word() -> None:
    own = [{"word": "Dust", "do": "Vacuum only", "detail": "No water here."}]
    found = wall_cautions(framed_wall(cautions=own))
    assert [caution.do for caution in found if caution.word == "Dust"] == ["Vacuum only"]
    assert [caution.word for caution in found][:4] == ["Falls", "Power", "Scaffold", "Dust"]


def test_falls_limit_is_six_feet() -> None:
    """OSHA 29 CFR 1926.501(b)(13): residential construction 6 feet or more above lower levels (secondary)."""
    row = next(row for row in ROWS if row["id"] == "falls")
    assert "6 ft" in row["do"] and "6 ft" in row["detail"]


def test_power_line_distance_covers_the_table_up_to_fifty_kilovolts() -> None:
    """OSHA 29 CFR 1926.451(f)(6): 10 ft up to 50 kV for uninsulated lines (confirmed)."""
    row = next(row for row in ROWS if row["id"] == "power-lines")
    assert "10 ft" in row["do"] and "50 kV" in row["detail"]
