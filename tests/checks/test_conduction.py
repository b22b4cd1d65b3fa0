"""The repeating unit of a wall in two dimensions: what stands in it, what it corrects, and what it has to say.

A ruined and a mended wall for each of its findings, T10 to T12. Figures of ready-made materials are round test values.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from builders import (
    BATT_R13,
    BATT_R20,
    GYPSUM,
    OSB,
    STEEL,
    XPS,
    block,
    block_wall,
    framed_wall,
    framing,
    make_layer,
    make_wall,
    studs,
)

from specgen import units
from specgen.checks.assess import assess
from specgen.checks.conduction import conduction
from specgen.checks.heat_paths import crossing
from specgen.checks.plan_unit import PlanUnit, plan_unit
from specgen.checks.thermal import governing, thermal_result
from specgen.errors import NotComputableError
from specgen.library.load import open_library
from specgen.library.sites import site_from_zone
from specgen.model.assessment import Conduction
from specgen.model.finding import Severity
from specgen.model.wall import Layer, Wall

R, U, INCH = units.R_IP, units.U_IP, units.INCH
BOARD = make_layer("board", GYPSUM, "1/2 in")
FOAM = make_layer("foam", XPS, "2 in")


def solved(wall: Wall) -> Conduction:
    found = conduction(crossing(wall))
    assert found is not None
    return found


def unit_of(wall: Wall) -> PlanUnit:
    found = plan_unit(crossing(wall))
    assert found is not None
    return found


def zee(spacing: str = "24 in", gauge: str = "18 gauge", thickness: str = "2 in") -> Layer:
    """Furring of 1-1/4 in flanges through foam; its declared share is that of the unit."""
    share = 1.25 / float(spacing.split()[0])
    members = framing("1-1/4 in", spacing, share, material=STEEL, profile="zee", gauge=gauge)
    return make_layer("zee", None, thickness, fill=XPS, framing=members)


def hat(fill: object = None) -> Layer:
    members = framing("1-1/4 in", "24 in", 1.25 / 24, material=STEEL, profile="hat", gauge="25 gauge")
    return make_layer("hat", None, "7/8 in", fill=fill, framing=members)


# --- what stands in the unit -----------------------------------------------------------------------------------------


def test_a_stud_wall_is_half_a_bay_from_a_stud_to_the_middle() -> None:
    unit = unit_of(framed_wall(BATT_R13))
    (cut,) = unit.cuts
    assert cut.section.width == pytest.approx(8 * INCH)
    members = [part for part in cut.section.rectangles if part.name == "members of studs"]
    assert sum(min(p.end, cut.section.width) - max(p.start, 0) for p in members) == pytest.approx(0.75 * INCH)
    assert unit.bridged == pytest.approx(1.5 / 16) and unit.declared == 0.25
    assert not [part for part in cut.clear.rectangles if part.name.startswith("members")]


def test_what_lies_outside_of_a_ventilated_gap_is_not_in_the_unit() -> None:
    gap = make_layer("gap", None, "3/4 in", cavity={"kind": "ventilated", "open": ("bottom", "top")})
    plain = framed_wall(BATT_R13)
    vented = plain.model_copy(update={"layers": (make_layer("siding", OSB, "7/16 in"), gap, *plain.layers[1:])})
    assert [name for name, _, _ in unit_of(vented).bands] == ["sheathing", "studs", "board"]
    assert unit_of(vented).exterior_film == pytest.approx(0.68 * R)


def test_two_spacings_stand_in_their_common_pattern_with_bridges_in_line() -> None:
    strips = make_layer("strips", None, "3/4 in", framing=framing("2-1/2 in", "24 in", 0.12),
                        cavity={"kind": "unventilated"})  # fmt: skip
    unit = unit_of(make_wall([strips, studs("3-1/2 in", BATT_R13), BOARD]))
    section = unit.cuts[0].section
    assert section.width == pytest.approx(24 * INCH)  # half of 48 in
    starts = sorted({round(p.start / INCH, 2) for p in section.rectangles if p.name == "members of studs"})
    assert {-0.75, 15.25} <= set(starts)


def test_spacings_without_a_common_multiple_are_stretched_at_their_shares() -> None:
    strips = make_layer("strips", None, "3/4 in", framing=framing("2-1/2 in", "19.2 in", 0.15))
    unit = unit_of(make_wall([strips, studs("3-1/2 in", BATT_R13, spacing="413 mm"), BOARD]))
    section = unit.cuts[0].section
    assert section.width == pytest.approx(0.413 / 2)
    wood = [p for p in section.rectangles if p.name == "members of strips" and p.end > 0 and p.start < section.width]
    covered = sum(min(p.end, section.width) - max(p.start, 0) for p in wood)
    assert covered / section.width == pytest.approx(2.5 / 19.2)
    assert any("without a common multiple" in word for word in unit.words)


def test_members_that_cross_the_cut_are_spread_at_the_lower_limit() -> None:
    level = make_layer("level", None, "1-1/2 in", fill=XPS, framing=framing(orientation="horizontal", fraction=0.1))
    found = solved(make_wall([level, studs("3-1/2 in", BATT_R13), BOARD]))
    assert any("level cross the plan" in word for word in found.modeled)
    alone = solved(make_wall([level, BOARD]))
    assert alone.modeled[0].startswith("vertical section")


def test_block_is_cut_through_cores_joints_and_grout_by_area() -> None:
    wall = block_wall(block_fields={"grout": {"vertical_spacing": "48 in", "horizontal_spacing": "120 in"}})
    cuts = {cut.name: cut.share for cut in unit_of(wall).cuts}
    grouted = 1 - (1 - 8 / 48) * (1 - 8 / 120)
    bed = 0.375 / 8
    assert cuts["grouted cells"] == pytest.approx(grouted)
    assert cuts["bed joints"] == pytest.approx((1 - grouted) * bed)
    assert sum(cuts.values()) == pytest.approx(1)
    core = next(p for p in unit_of(wall).cuts[0].section.rectangles if p.name == "core")
    assert core.end - core.start == pytest.approx((15.625 - 3 * 1.125) / 2 * INCH)


def test_hat_channel_is_a_thin_sheet_with_air_inside_and_feet() -> None:
    unit = unit_of(block_wall(inside=(FOAM, hat(), BOARD)))
    steel = [part for part in unit.cuts[0].section.rectangles if part.name == "steel of hat"]
    sheet = 0.0188 * INCH
    assert min(p.inner - p.outer for p in steel) == pytest.approx(sheet)
    reach = max(p.end for p in steel if p.start < INCH)
    assert reach == pytest.approx((0.625 + 0.5) * INCH)  # half of the crown and a foot
    assert unit.metal


# --- the solution ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("wall", list(open_library().walls()), ids=lambda wall: wall.name)
def test_a_shipped_wall_lies_between_its_limits_on_a_fine_enough_mesh(wall: Wall) -> None:
    found = solved(wall)
    assert found.u_parallel_si * (1 - 1e-9) <= found.u_unit_si <= found.u_planes_si * (1 + 1e-9)
    assert found.mesh_change <= 0.005 and found.imbalance <= 1e-5
    assert 0.85 < found.f_rsi <= found.f_rsi_clear + 1e-9 < 1
    result = thermal_result(wall)
    assert result.u_hand_si is not None
    assert result.u_si == pytest.approx(max(result.u_hand_si, found.u_wall_si))
    assert abs(found.u_wall_si / result.u_hand_si - 1) < 0.15


def test_a_wall_without_bridges_has_one_u_by_every_way() -> None:
    wall = make_wall([make_layer("sheathing", OSB, "7/16 in"), FOAM, BOARD])
    found, result = solved(wall), thermal_result(wall)
    assert found.u_wall_si == pytest.approx(result.u_hand_si)
    assert result.u_si == result.u_hand_si and "in series" in result.method


def test_the_correction_touches_the_path_through_the_members_only() -> None:
    found = solved(framed_wall(BATT_R20, "5-1/2 in", (make_layer("ci", XPS, "1 in"),)))
    f, declared = 1.5 / 16, 0.25
    clear = 0.17 + 0.62 + 5 + 0.62 + 20 + 0.45 + 0.68
    assert 1 / found.u_clear_si / R == pytest.approx(clear)
    bridge = (found.u_unit_si - (1 - f) * found.u_clear_si) / f
    assert found.u_bridge_si == pytest.approx(bridge)
    assert found.u_wall_si == pytest.approx(declared * bridge + (1 - declared) * found.u_clear_si)
    wood = clear - 20 + 5.5 * 1.25
    assert 0.6 * wood < found.r_bridge_si / R < wood  # heat turns aside into the stud: less R than straight through it


def test_a_clear_wall_u_never_reaches_the_figure_of_record() -> None:
    result = thermal_result(framed_wall(BATT_R20, "5-1/2 in"))
    assert result.conduction is not None
    assert result.u_si > result.conduction.u_unit_si > result.conduction.u_clear_si


def test_verdicts_use_the_larger_u() -> None:
    found = solved(framed_wall(BATT_R13))
    assert governing(1.0, replace(found, u_wall_si=1.1)) == 1.1
    assert governing(1.0, replace(found, u_wall_si=0.9)) == 1.0
    assert governing(None, replace(found, u_wall_si=0.9)) == 0.9
    assert governing(1.0, None) == 1.0


def test_more_declared_framing_raises_u_in_proportion() -> None:
    def wall(fraction: float) -> Conduction:
        return solved(make_wall([studs("5-1/2 in", BATT_R20, fraction=fraction), BOARD]))

    low, middle, high = (wall(fraction).u_wall_si for fraction in (0.15, 0.20, 0.25))
    assert middle - low == pytest.approx(high - middle)
    assert low > wall(0.1).u_clear_si


def test_a_layer_without_r_leaves_the_hand_method_alone() -> None:
    wall = make_wall([make_layer("sheathing", OSB, "5/8 in"), studs("3-1/2 in", BATT_R13)])
    result = thermal_result(wall)
    assert result.conduction is None and result.u_si == result.u_hand_si


def test_metal_takes_what_the_code_table_of_steel_walls_says_it_takes() -> None:
    # IECC factor 0.46 for R-13 between studs 3-1/2 in deep, 16 in on center (secondary): for this wall, tracks
    # in; the plan unit has no tracks, so it should be a little better and not more than a tenth
    cee = make_layer(
        "studs", None, "3-1/2 in", fill=BATT_R13,
        framing=framing("1-5/8 in", "16 in", 1.625 / 16, material=STEEL, profile="cee", gauge="18 gauge"),
    )  # fmt: skip
    wall = make_wall([make_layer("sheathing", OSB, "7/16 in"), cee, BOARD])
    assert 7.9 < 1 / solved(wall).u_unit_si / R < 7.9 * 1.1
    result = thermal_result(wall)
    assert result.u_si == result.u_hand_si  # the table governs


def test_an_unknown_gauge_is_refused() -> None:
    with pytest.raises(NotComputableError, match="expected one of the gauges 25, 20, 18, 16, 14, 12"):
        thermal_result(block_wall(outside=(zee(gauge="17 gauge"),)))


def test_steel_given_in_mils_is_taken_as_written() -> None:
    thin, thick = (solved(block_wall(outside=(zee(gauge=gauge),))) for gauge in ("33 mil", "97 mil"))
    assert thin.u_wall_si < thick.u_wall_si


# --- findings: a ruined and a mended wall each -----------------------------------------------------------------------


def codes(wall: Wall, zone: str = "2A") -> dict[str, Severity]:
    return {finding.code: finding.severity for finding in assess(wall, site_from_zone(zone, "2021")).findings}


def test_t10_metal_across_insulation_rests_on_the_solution_alone() -> None:
    assert codes(block_wall(outside=(zee(),)))["T10"] is Severity.WARNING
    assert "T10" not in codes(block_wall(outside=(FOAM,)))
    assert "T10" not in codes(block_wall(inside=(FOAM, hat(), BOARD)))


def test_t11_a_limit_met_by_hand_and_missed_in_two_dimensions() -> None:
    ruined = framed_wall(BATT_R13)  # U-0.0844 by hand against U-0.084
    assert codes(ruined)["T11"] is Severity.NOTE
    (found,) = [f for f in assess(ruined, site_from_zone("2A", "2021")).findings if f.code == "T11"]
    assert "by hand U-0.0844 would meet U-0.084" in found.message and "The R path is met" in found.message
    assert "T11" not in codes(framed_wall(BATT_R13, outboard=(make_layer("ci", XPS, "1 in"),)))


def test_t12_hand_limits_too_far_apart() -> None:
    steel = make_layer(
        "studs", None, "3-1/2 in", fill=BATT_R13,
        framing=framing("1-5/8 in", "16 in", 0.1, material=STEEL, profile="cee", gauge="18 gauge"),
    )  # fmt: skip
    sheathing = make_layer("sheathing", OSB, "7/16 in")
    assert codes(make_wall([sheathing, steel, BOARD]))["T12"] is Severity.NOTE
    assert "T12" not in codes(make_wall([sheathing, studs("3-1/2 in", BATT_R13), BOARD]))


def test_grouted_block_alone_counts_its_mortar() -> None:
    wall = make_wall([block()], construction="mass-interior-insulated")
    found, result = solved(wall), thermal_result(wall)
    assert result.u_hand_si is not None
    assert 1.0 < found.u_wall_si / result.u_hand_si < 1.05  # joints of 12 Btu·in/(h·ft²·°F), which the note leaves out


def test_json_gives_the_hand_figure_beside_the_solution() -> None:
    found = assess(framed_wall(BATT_R13), site_from_zone("2A", "2021")).as_json()["thermal"]
    assert found["u_si"] == found["u_2d_si"] > found["u_hand_si"]
    assert found["u_2d_unit_limits_si"][0] < found["u_2d_unit_si"] < found["u_2d_unit_limits_si"][1]
    assert 0.85 < found["f_rsi"] < found["f_rsi_clear"] < 1 and found["mesh_change"] < 0.005


def test_the_record_shows_both_figures_and_can_be_redone() -> None:
    result = thermal_result(framed_wall(BATT_R13))
    figures = {figure.name: figure for figure in result.figures}
    assert figures["U of the wall by hand"].result == pytest.approx(result.u_hand_si / U)  # type: ignore[operator]
    corrected = figures["U of the wall, corrected in two dimensions"]
    assert corrected.result == result.u_si / U
    bridge, clear = (term.split(" x ") for term in corrected.values.split(" + "))
    redone = float(bridge[0]) * float(bridge[1]) + float(clear[0]) * float(clear[1])
    assert redone == pytest.approx(corrected.result, abs=1e-5)
    assert "halving the mesh before changed U by" in figures["U of the repeating unit"].method
    assert figures["U that verdicts use"].result == result.u_si / U
    assert figures["effective R"].result == pytest.approx(result.r_si / R)
