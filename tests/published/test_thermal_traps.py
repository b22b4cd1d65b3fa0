"""Mistakes that are in print: for each, what we do, what the mistake gives, and that the two differ."""

from __future__ import annotations

import math

import pytest
from builders import (
    BATT_R13,
    BATT_R19,
    BATT_R20,
    BRICK,
    GYPSUM,
    OSB,
    STEEL,
    STUCCO,
    WRB,
    XPS,
    block,
    framed_wall,
    framing,
    make_layer,
    make_material,
    make_wall,
    studs,
)
from hand import hand_u

from specgen import units
from specgen.checks import makeup
from specgen.checks.energy import energy_code, family_of
from specgen.checks.heat_paths import crossing, heat_paths
from specgen.checks.insulation import wall_heat_capacity
from specgen.checks.thermal import thermal_result
from specgen.library.sites import site_from_zone
from specgen.model.assessment import EnergyCode
from specgen.model.wall import Wall
from specgen.physics import air_layers, heat, masonry

R_IP, U_IP = units.R_IP, units.U_IP


def judged(wall: Wall, zone: str, edition: str) -> EnergyCode:
    code, _ = energy_code(wall, site_from_zone(zone, edition), thermal_result(wall))
    return code


def ci(thickness: str) -> tuple:  # type: ignore[type-arg]
    return (make_layer("insulation", XPS, thickness),)


def test_r_is_not_averaged_by_area() -> None:
    """Averaging R by area flatters a framed wall (seen in print, confirmed)."""
    wall = framed_wall(BATT_R20, "5-1/2 in")
    paths = heat_paths(crossing(wall).places)
    right = 1 / math.fsum(path.share / path.total for path in paths)
    wrong = math.fsum(path.share * path.total for path in paths)
    assert 1 / hand_u(wall) == pytest.approx(right)
    assert thermal_result(wall).r_si <= right * (1 + 1e-9)
    # by hand: 0.25 x 9.42 + 0.75 x 22.54 against 1/(0.25/9.42 + 0.75/22.54), with our stud of an inch
    assert wrong / R_IP == pytest.approx(19.26, abs=0.005)
    assert right / R_IP == pytest.approx(16.71, abs=0.005)


def test_u_is_one_over_the_whole_r_and_printed_to_a_thousandth() -> None:
    """A handbook chapter on the web prints a greatest U of 0.007 where it asks for R-11: a slip by ten (confirmed).

    1/11 is 0.091; with films and board the wall has about 0.08, and ten times less insulation than 0.007 asks for.
    """
    r11 = make_material("r11", "batt", rated=[("3-1/2 in", "R-11")])
    wall = make_wall([studs("3-1/2 in", r11, fraction=1e-6), make_layer("board", GYPSUM, "1/2 in")])
    assert hand_u(wall) / U_IP == pytest.approx(1 / (0.17 + 11 + 0.45 + 0.68), rel=1e-3)
    assert 10 < hand_u(wall) / U_IP / 0.007 < 13
    # nor is U the reciprocal of the insulation alone, nor R of the framing the reciprocal of a rounded U
    assert hand_u(wall) / U_IP < 1 / 11
    result = thermal_result(wall)
    assert result.r_si * result.u_si == pytest.approx(1, rel=1e-12)  # one figure, never two roundings


def test_brick_veneer_is_no_mass_wall_though_heavy_enough() -> None:
    """Brick veneer passes the test of 6 Btu/(ft²·°F), but the code's list excludes it: the list comes first."""
    brick = make_layer("brick", BRICK, "3-5/8 in", ties={"type": "tie"})
    gap = make_layer("gap", None, "1 in", cavity={"kind": "ventilated", "open": ["bottom", "top"]})
    wall = make_wall([brick, gap, make_layer("wrb", WRB, "10 mil"), make_layer("osb", OSB, "7/16 in"),
                      studs("3-1/2 in", BATT_R13), make_layer("board", GYPSUM, "1/2 in")])  # fmt: skip
    assert wall_heat_capacity(wall)[0] / units.HEAT_CAPACITY_IP > 6  # as a reader of the number alone would take it
    assert makeup.mass_layer(wall) is None
    assert family_of(wall, thermal_result(wall)).name == "wood-frame"
    # held to the rows of frame walls, not to 13 or 17 of mass walls
    code = judged(wall, "5A", "2018")
    assert code.family == "wood-frame" and not code.meets_prescriptive
    assert {path.label for path in code.paths if path.path == "r"} == {"R-20", "13&5ci"}


def test_cavity_and_continuous_r_are_not_summed() -> None:
    """20&5 is not 25 (code notation; a trade page works the same two walls out: the layers are its own)."""
    asked = framed_wall(BATT_R20, "5-1/2 in", ci("1 in"))
    r25 = make_material("r25", "batt", rated=[("5-1/2 in", "R-25")])
    summed = framed_wall(r25, "5-1/2 in")
    assert hand_u(summed) > 1.15 * hand_u(asked)  # 0.054 against 0.045
    assert judged(asked, "6A", "2021").meets_prescriptive
    assert not judged(summed, "6A", "2021").meets_prescriptive
    labels = {path.label: path for path in judged(summed, "6A", "2021").paths}
    assert labels["20&5ci"].provided == {"cavity": pytest.approx(25), "continuous": 0.0}
    assert labels["20&5ci"].margin == pytest.approx(-5)


def test_and_the_two_numbers_are_not_traded() -> None:
    """13&10 passes zone 6, 20&5 passes, 16&8 has a sum between the two and passes no R alternative."""
    r16 = make_material("r16", "batt", rated=[("3-1/2 in", "R-16")])
    eight = make_material("r8-board", "rigid-foam", rated=[("1-1/2 in", "R-8")], foam_plastic="true")
    wall = framed_wall(r16, outboard=(make_layer("insulation", eight, "1-1/2 in"),))
    assert not any(path.meets for path in judged(wall, "6A", "2021").paths if path.path == "r")


def test_interior_insulation_asks_the_second_number_of_a_mass_wall() -> None:
    """Zone 3 asks R-8 outside but R-13 inside of the mass: the first number does not serve both."""
    two = make_layer("foam", XPS, "2 in")
    outside = make_wall([make_layer("stucco", STUCCO, "7/8 in"), two, block()], construction="mass-exterior-insulated")
    inside = make_wall([block(), two, make_layer("board", GYPSUM, "1/2 in")], construction="mass-interior-insulated")
    first, second = (next(p for p in judged(w, "3A", "2021").paths if p.path == "r") for w in (outside, inside))
    assert (first.required, first.meets) == ({"total": 8.0}, True)
    assert (second.required, second.meets) == ({"total": 13.0}, False)


def test_a_squeezed_batt_does_not_keep_its_label() -> None:
    """R-19 in 2x6 is R-18 (builders' journal, confirmed), and never R-19 or more."""
    wall = framed_wall(BATT_R19, "5-1/2 in")
    assert thermal_result(wall).cavity_r_si / R_IP == pytest.approx(18)


def test_steel_studs_are_not_a_parallel_path() -> None:
    """By parallel path thin steel would seem harmless; its effective R is half (the code's factor, secondary)."""
    cee = {"material": STEEL, "width": "1-5/8 in", "spacing": "16 in", "fraction": 0.1, "profile": "cee"}
    layer = make_layer("studs", None, "3-1/2 in", fill=BATT_R13, framing=cee)
    right = hand_u(make_wall([layer])) / U_IP
    web = 0.043 / 16  # 43 mil of steel in 16 in of wall [-]
    steel = heat.layer_resistance(3.5 * units.INCH, 50.0) / R_IP
    wrong = heat.parallel_path((web, 1 - web), (0.85 + steel, 0.85 + 13))
    assert right == pytest.approx(1 / (0.85 + 0.46 * 13), rel=1e-3)
    assert wrong < 0.6 * right


def test_clear_wall_framing_is_a_floor_and_not_the_wall() -> None:
    """Studs alone take 9.4 % at 16 in, whole walls 25 %: with the first, R-20 would look a tenth better."""
    clear, whole = (framed_wall_of(fraction) for fraction in (1.5 / 16, 0.25))
    assert hand_u(whole) > 1.15 * hand_u(clear)


def framed_wall_of(fraction: float) -> Wall:
    return make_wall([make_layer("osb", OSB, "7/16 in"), studs("5-1/2 in", BATT_R20, fraction=fraction),
                      make_layer("board", GYPSUM, "1/2 in")])  # fmt: skip


def test_siding_and_air_behind_it_do_not_count_where_outdoor_air_runs() -> None:
    """A gap open at both ends: what lies outside it adds nothing but an inner film (ISO 6946, confirmed)."""
    gap = make_layer("gap", None, "3/4 in", cavity={"kind": "ventilated", "open": ["bottom", "top"]})
    behind = [make_layer("osb", OSB, "7/16 in"), studs("3-1/2 in", BATT_R13), make_layer("board", GYPSUM, "1/2 in")]
    vented = make_wall([make_layer("brick", BRICK, "3-5/8 in"), gap, *behind])
    rest = 0.68 + 0.62 + 0.45 + 0.68
    assert hand_u(vented) / U_IP == pytest.approx(0.25 / (rest + 3.5 * 1.25) + 0.75 / (rest + 13), rel=1e-3)
    counted = rest - 0.68 + 0.17 + 0.97 + 3.625 / 9  # the mistake: film outside, air space and brick
    assert hand_u(vented) / U_IP > 0.25 / (counted + 3.5 * 1.25) + 0.75 / (counted + 13)


def test_dense_concrete_is_not_given_one_k_whatever_its_weight() -> None:
    """Transcribed handbook rows carry one k for all block (a known flaw); k doubles every 35 lb/ft³."""
    light, heavy = (masonry.concrete_conductivity(d * units.DENSITY_IP) for d in (100, 135))
    assert heavy / light == pytest.approx(math.exp(0.02 * 35))


def test_foil_counts_by_its_emissivity_and_our_walls_claim_none() -> None:
    """Foil at an air space triples its R in formulas; dust and dents undo it, so no wall of ours counts it."""
    bright = air_layers.air_layer_resistance(0.02, "horizontal", (0.05, 0.9))
    plain = air_layers.air_layer_resistance(0.02)
    assert bright > 3 * plain
    foil = make_material("foil", "rigid-foam", conductivity=0.025, facing="foil", emissivity="0.05")
    gap = make_layer("gap", None, "3/4 in", framing=framing(fraction=0.1), cavity={"kind": "unventilated"})
    with_foil = make_wall([make_layer("foam", foil, "1 in"), gap, make_layer("board", GYPSUM, "1/2 in")])
    part = next(p for p in heat_paths(crossing(with_foil).places)[1].resistances if p.layer == "gap")
    assert part.resistance / R_IP == pytest.approx(0.97)
