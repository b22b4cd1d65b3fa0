"""Fasteners through insulation: which ones cross it, how many, of what metal, and what that adds to U."""

from __future__ import annotations

import math
from typing import Any

import pytest
from builders import BATT_R13, GYPSUM, OSB, XPS, block, framing, make_layer, make_wall, studs

from specgen import units
from specgen.checks.fasteners import crossing_fasteners, fastener_figures
from specgen.checks.heat_paths import crossing
from specgen.checks.thermal import thermal_result
from specgen.library.load import open_library
from specgen.model.wall import Layer, Wall

SCREW = {
    "type": "screw", "diameter": "0.19 in", "length": "4-1/2 in", "spacing": "12 in", "spacing_across": "16 in",
    "into": "studs", "coating": "polymer-coated",
}  # fmt: skip


def furring(**fields: Any) -> Layer:
    return make_layer("furring", None, "3/4 in", framing=framing(fraction=0.1), fastening=SCREW | fields,
                      cavity={"kind": "ventilated", "open": ["bottom", "top"]})  # fmt: skip


def wall_with(outer: Layer) -> Wall:
    foam = make_layer("foam", XPS, "2 in")
    return make_wall([outer, foam, make_layer("osb", OSB, "7/16 in"), studs("3-1/2 in", BATT_R13),
                      make_layer("board", GYPSUM, "1/2 in")])  # fmt: skip


def found_in(wall: Wall) -> list[str]:
    return [one.layer for one in crossing_fasteners(wall, crossing(wall).counted)]


def test_screws_of_furring_are_counted_with_their_metal_and_number() -> None:
    wall = wall_with(furring())
    (one,) = crossing_fasteners(wall, crossing(wall).counted)
    assert (one.layer, one.insulation, one.conductivity) == ("furring", ("foam",), 50.0)
    assert one.per_area == pytest.approx(1 / (12 * 16 * units.INCH**2))
    assert one.area == pytest.approx(math.pi / 4 * (0.19 * units.INCH) ** 2)
    assert (one.depth, one.resistance / units.R_IP) == (pytest.approx(2 * units.INCH), pytest.approx(10))


def test_stainless_screws_add_a_third_of_what_steel_adds() -> None:
    added = []
    for coating in ("polymer-coated", "stainless"):
        wall = wall_with(furring(coating=coating))
        lines, _ = fastener_figures(crossing_fasteners(wall, crossing(wall).counted), 0.25)
        added.append(lines[0].result)
    assert added[1] == pytest.approx(added[0] * 17 / 50)


def test_u_with_fasteners_by_hand() -> None:
    wall = wall_with(furring())
    lines, corrected = fastener_figures(crossing_fasteners(wall, crossing(wall).counted), 0.25)
    by_hand = 0.8 * 50 * math.pi / 4 * 0.004826**2 / (0.3048 * 0.4064) / 0.0508 * (10 * units.R_IP / 4) ** 2
    assert corrected == pytest.approx(0.25 + by_hand)
    assert lines[-1].result == pytest.approx(corrected / units.U_IP)
    assert lines[-1].status == "from-memory"


def test_a_correction_under_three_percent_is_ignored_and_said_so() -> None:
    wall = wall_with(furring(coating="stainless", diameter="0.1 in"))
    lines, corrected = fastener_figures(crossing_fasteners(wall, crossing(wall).counted), 0.25)
    assert corrected == 0.25
    assert lines[-1].formula == "U, as the sum of dU is under 3 % of it"
    assert lines[-1].values == f"{0.25 / units.U_IP:.5f}"


def test_what_does_not_cross_or_is_not_known_is_left_out() -> None:
    assert found_in(wall_with(furring(into="sheathing"))) == ["furring"]
    assert found_in(wall_with(furring(type="adhesive"))) == []
    assert found_in(wall_with(furring(coating=None))) == []  # a plastic disk, or nobody knows
    assert found_in(wall_with(furring(diameter=None))) == []
    assert found_in(wall_with(furring(spacing=None))) == []
    assert found_in(wall_with(furring(into="block"))) == []  # there is none
    inside = make_layer("inner", None, "3/4 in", framing=framing(fraction=0.1), fastening=SCREW | {"into": "block"},
                        cavity={"kind": "unventilated"})  # fmt: skip
    direct = make_wall([block(), inside], construction="mass-direct-render")
    assert found_in(direct) == []  # no insulation between
    foam = make_layer("foam", XPS, "2 in")
    assert found_in(make_wall([block(), foam, inside], construction="mass-interior-insulated")) == ["inner"]


def test_ties_of_a_veneer_cross_the_insulation_behind_its_gap() -> None:
    tie = {"type": "tie", "diameter": "3/16 in", "spacing": "16 in", "spacing_across": "16 in", "into": "studs",
           "coating": "stainless"}  # fmt: skip
    gap = make_layer("gap", None, "1 in", cavity={"kind": "ventilated", "open": ["bottom", "top"]})
    inner = wall_with(gap).layers
    wall = make_wall([make_layer("brick", GYPSUM, "1/2 in", ties=tie), *inner])
    assert found_in(wall) == ["brick"]


def test_verdicts_keep_u_without_fasteners_and_the_record_has_both() -> None:
    wall = wall_with(furring())
    result = thermal_result(wall)
    assert result.u_fastened_si is not None and result.u_fastened_si > 1.03 * result.u_si
    names = [figure.name for figure in result.figures]
    assert "U with fasteners through insulation, for information" in names
    assert thermal_result(wall_with(furring(type="adhesive"))).u_fastened_si == pytest.approx(result.u_si)


@pytest.mark.parametrize("wall", list(open_library().walls()), ids=lambda wall: wall.name)
def test_no_shipped_wall_loses_more_than_a_quarter_to_fasteners(wall: Wall) -> None:
    """The standard's formula is for small corrections: beyond a quarter it would say nothing."""
    way = crossing(wall)
    u = thermal_result(wall).u_si
    _, corrected = fastener_figures(crossing_fasteners(wall, way.counted), u)
    assert u <= corrected < 1.25 * u
