"""The energy check: families, alternatives, editions, precision, and the mistakes it must not make."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from builders import (
    BATT_R13,
    BATT_R19,
    BATT_R20,
    BATT_R30,
    BRICK,
    CONCRETE,
    GYPSUM,
    STEEL,
    XPS,
    block_wall,
    framed_wall,
    framing,
    make_layer,
    make_material,
    make_wall,
)

from specgen import units
from specgen.checks.energy import alternative, energy_code, family_of, labeled
from specgen.checks.thermal import thermal_result
from specgen.errors import UnknownNameError
from specgen.library.sites import site_from_county, site_from_zone
from specgen.model.assessment import CodePath, EnergyCode
from specgen.model.finding import Finding, Severity
from specgen.model.site import Site
from specgen.model.wall import Layer, Wall


def judge(wall: Wall, site: Site) -> tuple[EnergyCode, tuple[Finding, ...]]:
    return energy_code(wall, site, thermal_result(wall))


def path(code: EnergyCode, label: str) -> CodePath:
    return next(path for path in code.paths if path.label == label)


def codes(findings: tuple[Finding, ...]) -> list[str]:
    return [finding.code for finding in findings]


def foam(thickness: str, id: str = "foam") -> Layer:
    return make_layer(id, XPS, thickness)


R20_FRAME = framed_wall(BATT_R20, "5-1/2 in")


def test_r20_frame_meets_2018_and_fails_2021_in_chicago() -> None:
    older, _ = judge(R20_FRAME, site_from_county("Cook, IL", "2018"))
    newer, findings = judge(R20_FRAME, site_from_county("Cook, IL", "2021"))
    assert older.meets_prescriptive
    assert not newer.meets_prescriptive
    error = next(finding for finding in findings if finding.code == "E01")
    assert error.severity is Severity.ERROR
    assert error.message == (
        "does not meet the prescriptive path of IECC 2021 in zone 5A; other compliance paths not evaluated: R-30 "
        "against R-20.0; 20&5ci against R-20.0; 13&10ci against R-20.0; 0&20ci against R-20.0; U-0.045 against U-0.0611"
    )


def test_r13_frame_meets_in_dallas_only_after_the_zone_moved() -> None:
    assert not judge(framed_wall(BATT_R13), site_from_county("Dallas, TX", "2018"))[0].meets_prescriptive
    assert judge(framed_wall(BATT_R13), site_from_county("Dallas, TX", "2021"))[0].meets_prescriptive


def test_cavity_and_continuous_are_never_summed() -> None:
    """R-13 with R-15 outside sums to 28, more than 25, yet it is not 20&5 and not R-30; it is 13&10."""
    wall = framed_wall(BATT_R13, outboard=(foam("3 in"),))
    code, _ = judge(wall, site_from_zone("6A", "2021"))
    assert not path(code, "20&5ci").meets
    assert not path(code, "R-30").meets
    assert path(code, "13&10ci").meets
    assert path(code, "20&5ci").margin == pytest.approx(-7)


def test_r25_in_the_cavity_is_not_20_and_5() -> None:
    batt = make_material("batt-r-25", "batt", rated=[("7-1/4 in", "R-25")])
    code, _ = judge(framed_wall(batt, "7-1/4 in"), site_from_zone("6A", "2018"))
    assert not path(code, "20&5ci").meets
    assert path(code, "20&5ci").margin == pytest.approx(-5)


def test_continuous_only_alternative_asks_nothing_of_the_cavity() -> None:
    code, _ = judge(framed_wall(None, outboard=(foam("4 in"),)), site_from_zone("5A", "2021"))
    assert path(code, "0&20ci").meets
    assert path(code, "0&20ci").required == {"cavity": 0.0, "continuous": 20.0}


def test_each_alternative_has_its_entry_with_both_parts() -> None:
    code, _ = judge(R20_FRAME, site_from_zone("5A", "2021"))
    assert [entry.label for entry in code.paths] == ["R-30", "20&5ci", "13&10ci", "0&20ci", "U-0.045"]
    for entry in code.paths[:-1]:
        assert entry.path == "r"
        assert entry.provided == {"cavity": 20.0, "continuous": 0.0}
        assert set(entry.required) == {"cavity", "continuous"}  # type: ignore[arg-type]
    assert code.paths[-1].path == "u"
    assert isinstance(code.paths[-1].required, float)


def test_r_path_and_u_path_are_judged_apart() -> None:
    """2x8 with R-30 on a low framing share meets R-30; the same R-30 with much wood meets R but not U."""
    heavy = framed_wall(BATT_R30, "7-1/4 in")
    layers = tuple(
        layer.model_copy(update={"framing": layer.framing.model_copy(update={"fraction": 0.40})})
        if layer.framing
        else layer
        for layer in heavy.layers
    )
    code, _ = judge(heavy.model_copy(update={"layers": layers}), site_from_zone("5A", "2021"))
    assert path(code, "R-30").meets
    assert not path(code, "U-0.045").meets
    assert code.meets_prescriptive


def test_u_is_compared_at_its_printed_precision_and_shown_unrounded() -> None:
    wall = framed_wall(BATT_R13)
    code, _ = judge(wall, site_from_zone("2A", "2021"))
    entry = path(code, "U-0.084")
    assert not entry.meets and entry.margin < 0  # the R path meets; by hand U would be 0.0844
    assert 0.0865 < entry.provided < 0.0867  # type: ignore[operator]


@pytest.mark.parametrize(("u_ip", "meets"), [(0.0840, True), (0.08449, True), (0.0845, False), (0.0850, False)])
def test_u_limit_at_its_edge(u_ip: float, meets: bool) -> None:
    wall = framed_wall(BATT_R13)
    result = replace(thermal_result(wall), u_si=u_ip * units.U_IP)
    code, _ = energy_code(wall, site_from_zone("2A", "2021"), result)
    assert path(code, "U-0.084").meets is meets


@pytest.mark.parametrize(("r_ip", "label"), [(12.95, 13.0), (12.94, 12.9), (4.973, 5.0), (9.946, 9.9), (23, 23.0)])
def test_labeled_r_is_compared_to_a_tenth(r_ip: float, label: float) -> None:
    assert labeled(r_ip * units.R_IP) == pytest.approx(label)


def test_effective_r_is_never_compared_with_an_r_limit() -> None:
    """Effective R-16.7 of a 2x6 wall is under 20, yet its labeled R-20 meets the row: U = 1/R is another path."""
    code, _ = judge(R20_FRAME, site_from_zone("5A", "2018"))
    assert thermal_result(R20_FRAME).r_si / units.R_IP < 17
    assert path(code, "R-20").meets


@pytest.mark.parametrize(("label", "pair"), [("13", (13, 0)), ("20&5ci", (20, 5)), ("0&10ci", (0, 10))])
def test_alternatives_are_read_as_the_code_writes_them(label: str, pair: tuple[float, float]) -> None:
    assert alternative(label) == pair


def test_squeezed_batt_does_not_pass_on_its_label() -> None:
    # R-19 of 6-1/4 in pressed into 2x6 is R-18 installed: short of R-20 by two, not by one
    code, _ = judge(framed_wall(BATT_R19, "5-1/2 in"), site_from_zone("3A", "2021"))
    assert path(code, "R-20").provided == {"cavity": pytest.approx(18), "continuous": 0.0}
    assert path(code, "R-20").margin == pytest.approx(-2)
    # pressed into 2x4 it is R-14 installed, which passes where R-13 is asked
    code, _ = judge(framed_wall(BATT_R19, "3-1/2 in"), site_from_zone("2A", "2021"))
    assert path(code, "R-13").provided == {"cavity": pytest.approx(14), "continuous": 0.0}
    assert path(code, "R-13").meets


# --- families --------------------------------------------------------------------------------------------------------


def test_block_is_a_mass_wall_by_the_list() -> None:
    wall = block_wall(inside=(foam("1 in"),))
    family = family_of(wall, thermal_result(wall))
    assert family.name == "mass"
    assert family.basis == "mass wall by the code's list: 7-5/8 in block"


def test_thin_concrete_facing_is_no_mass_wall() -> None:
    wall = make_wall([make_layer("panel", CONCRETE, "1 in"), *framed_wall(BATT_R13).layers[1:]])
    assert family_of(wall, thermal_result(wall)).name == "wood-frame"


def test_brick_veneer_on_framing_stays_a_framed_wall() -> None:
    brick = make_layer("brick", BRICK, "3-5/8 in")
    wall = make_wall([brick, *framed_wall(BATT_R13).layers[1:]], construction="framed")
    code, _ = judge(wall, site_from_zone("5A", "2021"))
    assert code.family == "wood-frame"
    assert not code.meets_prescriptive


def test_solid_brick_wall_is_a_mass_wall() -> None:
    brick = make_layer("brick", BRICK, "7-5/8 in")
    wall = make_wall([brick, foam("1 in")], construction="mass-interior-insulated")
    assert family_of(wall, thermal_result(wall)).name == "mass"


def test_heavy_framed_wall_is_mass_by_heat_capacity() -> None:
    plaster = make_material(
        "earth-plaster", "plaster", conductivity="0.9 W/(m*K)", density="1800 kg/m3", specific_heat="1000 J/(kg*K)"
    )
    wall = make_wall([*framed_wall(BATT_R13).layers, make_layer("plaster", plaster, "3 in")])
    family = family_of(wall, thermal_result(wall))
    assert family.name == "mass"
    assert family.basis.startswith("mass wall by heat capacity: ")
    assert family.status == "from-memory"


def test_steel_studs_are_judged_by_u_alone() -> None:
    steel = framing(material=STEEL, profile="cee")
    layer = make_layer("studs", None, "3-1/2 in", fill=BATT_R13, framing=steel)
    code, findings = judge(make_wall([layer]), site_from_zone("2A", "2021"))
    assert [entry.path for entry in code.paths] == ["u"]
    assert "E08" in codes(findings)


# --- mass walls ------------------------------------------------------------------------------------------------------


def mass_limits(wall: Wall, zone: str, edition: str = "2021") -> tuple[Any, Any]:
    code, _ = judge(wall, site_from_zone(zone, edition))
    return code.paths[0].required, code.paths[1].required


def test_second_number_where_more_than_half_is_inside() -> None:
    outside = block_wall(outside=(foam("2 in"),))
    inside = block_wall(inside=(foam("2 in"),))
    assert mass_limits(outside, "5A") == ({"total": 13.0}, 0.082)
    assert mass_limits(inside, "5A") == ({"total": 17.0}, 0.065)
    assert "E04" in codes(judge(inside, site_from_zone("5A"))[1])
    assert "E04" not in codes(judge(outside, site_from_zone("5A"))[1])


def test_exactly_half_inside_keeps_the_first_number() -> None:
    wall = block_wall(outside=(foam("1 in", "out"),), inside=(foam("1 in", "in"),))
    assert mass_limits(wall, "5A")[0] == {"total": 13.0}


def test_zone_3_interior_limit_is_never_looser_than_the_ordinary_one() -> None:
    inside = block_wall(inside=(foam("2 in"),))
    assert mass_limits(inside, "3A")[1] == 0.098
    assert "E05" in codes(judge(inside, site_from_zone("3A"))[1])
    assert "E05" not in codes(judge(inside, site_from_zone("4A"))[1])


def test_furred_insulation_counts_at_effective_r_with_a_note() -> None:
    furred = make_layer("furring", None, "1-1/2 in", fill=XPS, framing=framing(fraction=0.1))
    code, findings = judge(block_wall(inside=(furred,)), site_from_zone("2A"))
    total = code.paths[0].provided["total"]  # type: ignore[index]
    assert 6 < total < 7
    assert code.paths[0].meets
    assert "E06" in codes(findings)


def test_r10_outside_block_meets_zone_4_and_not_zone_5() -> None:
    wall = block_wall(outside=(foam("2 in"),))
    assert judge(wall, site_from_zone("4A"))[0].meets_prescriptive
    code, _ = judge(wall, site_from_zone("5A"))
    assert not path(code, "R-13").meets
    assert path(code, "U-0.082").meets  # the R row of zone 5 asks for more than its U row


def test_uninsulated_block_does_not_meet_anywhere() -> None:
    for zone in ("1A", "2B", "5A"):
        assert not judge(block_wall(inside=(make_layer("b", GYPSUM, "1/2 in"),)), site_from_zone(zone))[
            0
        ].meets_prescriptive


# --- places and notes ------------------------------------------------------------------------------------------------


def test_marine_4_is_judged_with_zone_5() -> None:
    marine, findings = judge(R20_FRAME, site_from_zone("4C", "2018"))
    plain = block_wall(outside=(foam("2 in"),))
    assert path(marine, "R-20").meets
    assert "E07" in codes(findings)
    assert mass_limits(plain, "4C") == ({"total": 13.0}, 0.082)
    assert mass_limits(plain, "4A") == ({"total": 8.0}, 0.098)


def test_zone_0_prints_as_unverified_and_2018_has_none() -> None:
    code, findings = judge(framed_wall(BATT_R13), site_from_zone("0A", "2018"))
    assert path(code, "R-13").status == "from-memory"
    messages = [finding.message for finding in findings if finding.code == "E07"]
    assert messages == ["the 2018 tables have no zone 0; it is judged as zone 1"]


def test_note_names_the_model_code_as_chosen() -> None:
    site = site_from_zone("5A", "2018")
    _, findings = judge(R20_FRAME, replace(site, edition_chosen=True))
    note = next(finding for finding in findings if finding.code == "E02")
    assert note.severity is Severity.NOTE
    assert note.message == "Model IECC 2018 as chosen by you; confirm amendments with the building department."


def test_note_says_when_nobody_chose_the_edition() -> None:
    _, findings = judge(R20_FRAME, site_from_zone("5A"))
    note = next(finding for finding in findings if finding.code == "E02")
    assert note.message.startswith("Model IECC 2021, the default edition, since none was chosen; ")
    assert "chosen by you" not in note.message


def test_unverified_limits_are_named_only_where_the_verdict_rests_on_them() -> None:
    _, confirmed = judge(R20_FRAME, site_from_zone("5A", "2018"))  # R path met, confirmed
    assert "E03" not in codes(confirmed)
    _, memory = judge(R20_FRAME, site_from_zone("3A", "2024"))
    note = next(finding for finding in memory if finding.code == "E03")
    assert "R-20 (from-memory)" in note.message


def test_table_numbers_belong_to_their_edition() -> None:
    older, _ = judge(R20_FRAME, site_from_zone("5A", "2018"))
    newer, _ = judge(R20_FRAME, site_from_zone("5A", "2021"))
    assert older.paths[0].source == "IECC 2018 residential, Table R402.1.2"
    assert newer.paths[-1].source == "IECC 2021 residential, Table R402.1.2"
    assert newer.paths[0].source == "IECC 2021 residential, Table R402.1.3"


def test_unknown_edition_is_one_clear_error() -> None:
    with pytest.raises(UnknownNameError, match="energy code edition '2027' does not exist"):
        site_from_zone("5A", "2027")
    with pytest.raises(UnknownNameError, match="energy code edition '2015' does not exist"):
        judge(R20_FRAME, replace(site_from_zone("5A"), edition="2015"))


@pytest.mark.parametrize("edition", ["2018", "2021", "2024"])
@pytest.mark.parametrize("zone", ["0A", "1A", "2B", "3C", "4A", "4C", "5C", "6B", "7", "8"])
def test_every_zone_of_every_edition_has_limits(edition: str, zone: str) -> None:
    for wall in (R20_FRAME, block_wall(inside=(foam("1 in"),))):
        code, _ = judge(wall, site_from_zone(zone, edition))
        assert {entry.path for entry in code.paths} == {"r", "u"}
        assert all(entry.status in ("confirmed", "secondary", "from-memory") for entry in code.paths)


@pytest.mark.parametrize("edition", ["2018", "2021", "2024"])
def test_limits_never_loosen_toward_the_cold(edition: str) -> None:
    previous: tuple[float, float] = (0.0, 1.0)
    for zone in ("1A", "2A", "3A", "4A", "5A", "6A", "7", "8"):
        r, u = mass_limits(block_wall(outside=(foam("1 in"),)), zone, edition)
        assert r["total"] >= previous[0] and u <= previous[1]
        previous = (r["total"], u)
