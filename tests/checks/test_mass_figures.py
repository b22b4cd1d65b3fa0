"""Heat storage of whole walls: the right path and layers, figures that can be redone, a sentence that fits the wall."""

from __future__ import annotations

import math

import pytest
from builders import (
    BATT_R13,
    BATT_R20,
    BRICK,
    CONCRETE,
    GYPSUM,
    OSB,
    STUCCO,
    XPS,
    block,
    framed_wall,
    framing,
    make_layer,
    make_material,
    make_wall,
    studs,
)

from specgen import units
from specgen.checks.assess import assess
from specgen.checks.cooling_words import hour_words
from specgen.checks.heat_paths import crossing, heat_paths
from specgen.checks.mass import mass_figures, mass_record
from specgen.checks.thermal import thermal_result
from specgen.library.load import open_library
from specgen.library.sites import site_from_zone
from specgen.model.wall import Layer, Wall
from specgen.physics import mass

WALLS = list(open_library().walls())


def concrete_wall(*layers: Layer) -> Wall:
    return make_wall(layers, construction="mass-exterior-insulated")


def board(id: str = "board") -> Layer:
    return make_layer(id, GYPSUM, "1/2 in")


CONCRETE_LAYER = make_layer("concrete", CONCRETE, "6 in")
FOAM = make_layer("foam", XPS, "2 in")
COAT = make_layer("coat", STUCCO, "7/8 in")


@pytest.mark.parametrize("wall", WALLS, ids=lambda wall: wall.name)
def test_figures_of_a_shipped_wall_hang_together(wall: Wall) -> None:
    found = mass_figures(wall)
    main = max(heat_paths(crossing(wall).places), key=lambda path: path.share)
    assert found.share == pytest.approx(main.share)
    assert 1 / found.u_si == pytest.approx(main.total)
    assert 0 < found.decrement_factor <= 1
    assert 0 <= found.time_lag_h < 24
    assert found.without_data == ()
    # a side cannot take up more than some 1.5 times all that the layers hold; the factor comes from the wave's phase
    stored = sum(layer.heat_capacity for layer in found.layers)
    assert found.areal_heat_capacity_inside_si < 1.5 * stored
    assert found.sentence.endswith(".") and "{" not in found.sentence


@pytest.mark.parametrize("wall", WALLS, ids=lambda wall: wall.name)
def test_record_of_a_shipped_wall_can_be_redone(wall: Wall) -> None:
    first, decrement, lag, inside, _ = mass_record(wall)
    matrices = []
    layers = first.values.split("; ")[2:]  # behind the modulus and the matrix
    for words in layers:
        resistance = float(words.split()[0].removeprefix("R-")) * units.R_IP
        stored = float(words.split("storing ")[1].split()[0]) * units.HEAT_CAPACITY_IP if "storing" in words else 0.0
        # what a layer does depends on its resistance and what it stores alone: any thickness will do
        matrices.append(mass.layer_matrix(1.0, 1 / resistance, stored, 1.0))
    redone = mass.periodic_figures(mass.wall_matrix(matrices))
    assert redone.periodic_transmittance / units.U_IP == pytest.approx(first.result, rel=2e-3)  # four figures shown
    assert redone.time_lag / 3600 == pytest.approx(lag.result, rel=2e-3)
    assert redone.capacity_inside / units.HEAT_CAPACITY_IP == pytest.approx(inside.result, rel=2e-3)
    above, below = (float(part) for part in decrement.values.split("/"))
    assert above / below == pytest.approx(decrement.result, rel=2e-3)
    assert {first.status, lag.status} == {"from-memory"}  # the standard's formulas are from memory


def test_main_path_is_the_cavity_and_members_are_left_out() -> None:
    few, many = (mass_figures(make_wall([studs("5-1/2 in", BATT_R20, fraction=f), board()])) for f in (0.1, 0.4))
    assert few.path == "cavity of studs"
    assert (few.share, many.share) == (pytest.approx(0.9), pytest.approx(0.6))
    assert few.decrement_factor == many.decrement_factor
    mostly_wood = mass_figures(make_wall([studs("5-1/2 in", BATT_R20, fraction=0.6), board()]))
    assert mostly_wood.path == "framing of studs"
    assert mostly_wood.decrement_factor < few.decrement_factor


def test_block_counts_as_a_slab_with_the_solids_of_its_path() -> None:
    def stored(**fields: object) -> float:
        wall = make_wall([block(**fields)], construction="mass-direct-render")  # type: ignore[arg-type]
        return next(layer for layer in mass_figures(wall).layers if layer.layer == "block").heat_capacity

    shells, core, webs = 2 * 1.31, 7.625 - 2 * 1.31, 3 * 1.125 / 15.625
    unit = (shells + core * webs) * units.INCH * 115 * units.DENSITY_IP * 0.21 * units.SPECIFIC_HEAT_IP
    grout = core * (1 - webs) * units.INCH * 130 * units.DENSITY_IP * 0.2 * units.SPECIFIC_HEAT_IP
    assert stored() == pytest.approx(unit)
    assert stored(grout={"solid": "true"}) == pytest.approx(unit + grout)
    assert stored(grout={"vertical_spacing": "48 in"}) == pytest.approx(unit)  # most cells are open
    assert stored(grout={"vertical_spacing": "12 in"}) == pytest.approx(unit + grout)  # most are grouted
    fill = make_material("beads", "loose-fill", conductivity=0.04, density=20.0, specific_heat=1400.0)
    assert stored(fill=fill) == pytest.approx(unit + core * (1 - webs) * units.INCH * 20 * 1400)


def test_layers_outside_a_ventilated_gap_are_left_out() -> None:
    gap = make_layer("gap", None, "1 in", cavity={"kind": "ventilated", "open": ["bottom", "top"]})
    brick = make_layer("brick", BRICK, "3-5/8 in")
    behind = (make_layer("sheathing", OSB, "7/16 in"), studs("3-1/2 in", BATT_R13), board())
    found = mass_figures(make_wall([brick, gap, *behind]))
    assert "brick" not in [layer.layer for layer in found.layers]
    assert found.from_gap == "gap"
    assert "inward of gap" in mass_record(make_wall([brick, gap, *behind]))[0].name


def test_air_space_beside_a_fill_adds_r_and_stores_nothing() -> None:
    half = studs("5-1/2 in", BATT_R13).model_copy(
        update={"cavity": make_layer("x", None, cavity={"kind": "unventilated", "depth": "2 in"}).cavity}
    )
    layer = next(part for part in mass_figures(make_wall([half, board()])).layers if part.layer == "studs")
    assert layer.resistance / units.R_IP == pytest.approx(13 + 0.97)
    assert layer.heat_capacity == pytest.approx(3.5 * units.INCH * 12 * 840)


def test_layer_without_density_stores_nothing_and_is_named() -> None:
    bare = make_material("bare", "concrete", conductivity=1.5)
    found = mass_figures(concrete_wall(make_layer("concrete", bare, "6 in"), FOAM))
    assert found.without_data == ("concrete",)


def test_mass_inside_the_insulation_dampens_more_and_takes_up_more() -> None:
    inside = mass_figures(concrete_wall(COAT, FOAM, CONCRETE_LAYER, board()))
    outside = mass_figures(concrete_wall(COAT, CONCRETE_LAYER, FOAM, board()))
    assert inside.u_si == pytest.approx(outside.u_si)  # the steady wall is the same
    assert inside.decrement_factor < outside.decrement_factor
    assert inside.areal_heat_capacity_inside_si > 3 * outside.areal_heat_capacity_inside_si


def test_sentence_follows_the_wall() -> None:
    furring = make_layer("furring", None, "3/4 in", framing=framing(fraction=0.1), cavity={"kind": "unventilated"})
    aerated = make_material("aac", "block", conductivity=0.13, density=500.0, specific_heat=1000.0)
    sentences = {
        "stands bare on the room side": concrete_wall(COAT, FOAM, CONCRETE_LAYER),
        "with the furring and the board between it and the room air": concrete_wall(
            COAT, FOAM, CONCRETE_LAYER, furring, board()
        ),
        "the insulation stands between the concrete and the room": concrete_wall(CONCRETE_LAYER, FOAM, board()),
        "no insulation beside it": make_wall([COAT, CONCRETE_LAYER], construction="mass-direct-render"),
        "the aac insulates by itself": make_wall(
            [make_layer("aac", aerated, "8 in"), board()], construction="mass-direct-render"
        ),
        "U, shade and tight joints decide": framed_wall(BATT_R13),
        "the wood fiber dampens it most": make_wall(
            [
                make_layer("wood-fiber", make_material("wf", "fiberboard", conductivity=0.045, density=200.0,
                                                       specific_heat=2100.0), "4 in"),
                studs("5-1/2 in", BATT_R20), board(),
            ]
        ),
    }  # fmt: skip
    for expected, wall in sentences.items():
        sentence = mass_figures(wall).sentence
        assert [words for words in sentences if words in sentence] == [expected]


def test_sentence_gives_its_figures() -> None:
    found = mass_figures(framed_wall(BATT_R13))
    assert f"{100 * found.decrement_factor:.0f} percent" in found.sentence
    assert f"{found.time_lag_h:.1f} h late" in found.sentence
    assert f"[{found.areal_heat_capacity_inside_si / 1000:.0f} kJ/(m²·K)]" in found.sentence
    assert hour_words((16 + found.time_lag_h) % 24) in found.sentence


@pytest.mark.parametrize(
    ("hour", "words"), [(16, "4 pm"), (0.4, "midnight"), (23.6, "midnight"), (12.2, "noon"), (3.4, "3 am")]
)
def test_hours_as_people_say_them(hour: float, words: str) -> None:
    assert hour_words(hour) == words


def test_figures_reach_the_thermal_result_and_json() -> None:
    wall = WALLS[0]
    result = thermal_result(wall)
    assert result.mass == mass_figures(wall)
    assert set(mass_record(wall)) <= set(result.figures)
    printed = assess(wall, site_from_zone("2A")).as_json()["thermal"]
    assert printed["decrement_factor"] == result.mass.decrement_factor
    assert printed["time_lag_h"] == result.mass.time_lag_h
    assert math.isclose(printed["areal_heat_capacity_inside_si"], result.mass.areal_heat_capacity_inside_si)
