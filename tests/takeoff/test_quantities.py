"""Quantities per 100 sq ft against values worked by hand (the working stands beside each) and one trade figure."""

from __future__ import annotations

import pytest
from builders import (
    BATT_R20,
    BRICK,
    GROUT,
    GYPSUM,
    MAT,
    OSB,
    PAINT,
    STUCCO,
    WRB,
    block_wall,
    framed_wall,
    framing,
    make_layer,
    make_material,
    make_wall,
    studs,
)

from specgen import units
from specgen.data import load_table
from specgen.library.load import open_library
from specgen.model.wall import Wall
from specgen.takeoff import Quantity, quantities
from specgen.takeoff.quantity import Measure

LATH = make_material("test-lath", "lath", metal="true")
FLUID = make_material("test-fluid-membrane", "membrane", film_forming="true", water_barrier="true")
PERLITE = make_material("test-perlite", "loose-fill")
HAT = make_material("test-hat", "metal", metal="true")


def one(wall: Wall, layer: str, measure: str = "") -> Quantity:
    found = [q for q in quantities(wall) if q.layer == layer and (not measure or q.measure == measure)]
    assert len(found) == 1, found
    return found[0]


def test_boards_cover_the_wall_once_and_waste_stands_apart() -> None:
    board = one(framed_wall(), "board")
    assert board.amount_ip == pytest.approx(100) and board.unit == "sq ft"
    assert board.ordered_ip == pytest.approx(110)  # 10 % of waste, common practice
    assert board.waste == load_table("takeoff")["waste"]["board"]


def test_studs_count_plates_and_headers_by_the_framing_factor() -> None:
    # 0.25 × 100 sq ft = 25 sq ft of wood faces; a face of 1-1/2 in is 0.125 ft: 25 / 0.125 = 200 ft
    assert one(framed_wall(), "studs", "length").amount_ip == pytest.approx(200)


def test_batts_fill_what_the_members_leave() -> None:
    wall = make_wall([studs("5-1/2 in", BATT_R20, fraction=0.25)])
    assert one(wall, "studs", "area").amount_ip == pytest.approx(75)  # 100 × (1 - 0.25)


def test_blown_fill_is_a_volume() -> None:
    wall = make_wall([studs("5-1/2 in", PERLITE, fraction=0.25)])
    assert one(wall, "studs", "volume").amount_ip == pytest.approx(34.375)  # 75 sq ft × 5.5 / 12 ft


def test_metal_members_follow_their_spacing() -> None:
    channel = make_layer("hat", None, "7/8 in", framing=framing("2-1/2 in", "24 in", 0.1, material=HAT, profile="hat"))
    assert one(make_wall([channel]), "hat").amount_ip == pytest.approx(50)  # 100 sq ft / 2 ft


def test_membrane_gallons_by_wet_film() -> None:
    wall = make_wall([make_layer("wrb", FLUID, "30 mil", wet_film="30 mil", coats="2")])
    membrane = one(wall, "wrb")
    # 14 400 sq in × 0.030 in × 2 = 864 cu in; / 231 cu in per gallon = 3.7403 gal
    assert membrane.amount_ip == pytest.approx(3.7403, abs=5e-5) and membrane.unit == "gal"


def test_one_gallon_at_1604_mils_is_one_square_foot() -> None:
    # The coating trade's constant: 1 gal covers 1604 sq ft at 1 mil wet (231 cu in / 144 sq in / 0.001 in = 1604.17)
    wall = make_wall([make_layer("wrb", FLUID, "1 mil", wet_film="1 mil")])
    assert 100 / one(wall, "wrb").amount_ip == pytest.approx(1604, abs=0.5)


def test_paint_without_a_film_is_area_times_coats() -> None:
    wall = make_wall([make_layer("paint", PAINT, coats="2")])
    assert one(wall, "paint").amount_ip == pytest.approx(200)


def test_stucco_volume_per_coat() -> None:
    wall = make_wall([make_layer("scratch", STUCCO, "3/8 in")])
    scratch = one(wall, "scratch")
    assert scratch.amount_ip == pytest.approx(3.125) and scratch.unit == "cu ft"  # 100 × 0.375 / 12


def test_lath_with_its_laps() -> None:
    lath = {"id": "lath", "material": LATH, "laps": {"side": "1/2 in", "end": "1 in"}}
    wall = make_wall([make_layer("scratch", STUCCO, "3/8 in", embedded=(lath,))])
    # sheets of 27 × 96 in cover 26.5 × 95 in: 100 × 2592 / 2517.5 = 102.959
    quantity = one(wall, "lath")
    assert quantity.amount_ip == pytest.approx(102.959, abs=5e-4)
    assert "from memory" in quantity.basis  # the sheet size is not confirmed, and says so


def test_sheet_without_stated_laps_says_so() -> None:
    assert "no laps stated" in one(make_wall([make_layer("wrb", WRB, "10 mil")]), "wrb").formula
    assert one(make_wall([make_layer("mat", MAT, "3/8 in")]), "mat").amount_ip == pytest.approx(100)


def test_fasteners_from_both_spacings() -> None:
    nail = {"type": "nail", "name": "roofing nail", "spacing": "7 in", "spacing_across": "16 in"}
    wall = make_wall([make_layer("sheathing", OSB, "7/16 in", fastening=nail)])
    # 14 400 sq in / (7 × 16) = 128.57
    assert one(wall, "sheathing", "count").amount == pytest.approx(128.571, abs=5e-4)


def test_fasteners_into_studs_take_the_stud_spacing() -> None:
    nail = {"type": "screw", "spacing": "12 in", "into": "studs"}
    wall = make_wall([studs("5-1/2 in"), make_layer("board", GYPSUM, "1/2 in", fastening=nail)])
    assert one(wall, "board", "count").amount == pytest.approx(75)  # 14 400 / (12 × 16)


def test_panel_nails_on_edges_and_in_the_field() -> None:
    nail = {"type": "nail", "spacing": "6 in", "spacing_field": "12 in", "into": "studs"}
    wall = make_wall([make_layer("sheathing", OSB, "7/16 in", fastening=nail), studs("5-1/2 in")])
    # a 4 × 8 ft panel: 288 in of edges / 6 = 48, two studs between of 96 in / 12 = 16: 64 in 32 sq ft, so 200 in 100
    assert one(wall, "sheathing", "count").amount == pytest.approx(200)


def test_fasteners_by_the_engineer_are_not_counted() -> None:
    nail = {"type": "nail", "spacing": "6 in", "spacing_across": "16 in", "by_engineer": "true"}
    wall = make_wall([make_layer("sheathing", OSB, "7/16 in", fastening=nail)])
    assert [q for q in quantities(wall) if q.measure == "count"] == []


def test_lap_siding_by_exposure() -> None:
    siding = make_material("test-lap", "fiber-cement")
    wall = make_wall([make_layer("siding", siding, "5/16 in", exposure="7 in")])
    assert one(wall, "siding").amount_ip == pytest.approx(171.43, abs=0.005)  # 100 / (7 / 12)


def test_block_count_on_its_module() -> None:
    # 8 × 16 in of wall per unit: 14 400 / 128 = 112.5, the trade's figure
    assert one(block_wall(), "block", "count").amount == pytest.approx(112.5)


def mortar(wall: Wall, word: str) -> Quantity:
    return next(q for q in quantities(wall) if word in q.item)


def test_block_mortar_from_geometry_and_by_the_trade_rule() -> None:
    # per unit: 2 shells × 1.31 in × 3/8 in × (16 in bed + 7-5/8 in head) = 23.211 cu in; × 112.5 / 1728 = 1.5112 cu ft
    assert mortar(block_wall(), "in the joints").amount_ip == pytest.approx(1.5112, abs=5e-4)
    rule = mortar(block_wall(), "to order")
    assert rule.amount_ip == pytest.approx(9.5625) and rule.basis == "from memory"  # 1.125 × 8.5


def test_brick_mortar_has_full_beds() -> None:
    unit = {"length": "7-5/8 in", "height": "2-1/4 in", "joint": "3/8 in", "hollow": "false"}
    wall = make_wall([make_layer("brick", BRICK, "3-5/8 in", unit=unit)])
    # modular brick 8 × 2-5/8 in: 14 400 / 21 = 685.7; joint 3.625 × 0.375 × (8 + 2.25) = 13.934 cu in each: 5.529 cu ft
    assert one(wall, "brick", "count").amount == pytest.approx(685.71, abs=0.01)
    assert mortar(wall, "in the joints").amount_ip == pytest.approx(5.529, abs=1e-3)


# cells of the test block: (7.625 - 2.62) × (15.625 - 3 × 1.125) = 5.005 × 12.25 = 61.311 sq in per unit, two cells
GROUTED = [
    ({"solid": "true"}, 61.31125 / 16),  # 3.832 in mean depth
    ({"vertical_spacing": "48 in"}, 30.655625 / 48),  # 0.6387 in
    ({"horizontal_spacing": "96 in"}, 5.005 * 7.625 / 96),  # 0.3975 in
    (
        {"vertical_spacing": "48 in", "horizontal_spacing": "96 in"},
        30.655625 / 48 + 5.005 * 7.625 / 96 - 30.655625 * 7.625 / (48 * 96),  # crossings once
    ),
]


@pytest.mark.parametrize(("grout", "depth"), GROUTED, ids=["solid", "cells", "courses", "both"])
def test_grout_from_its_pattern(grout: dict[str, str], depth: float) -> None:
    wall = block_wall(block_fields={"grout": grout})
    quantity = next(q for q in quantities(wall) if q.item == GROUT.label)
    assert quantity.amount_ip == pytest.approx(100 * depth / 12, rel=1e-6)


def test_solid_grout_is_near_the_trade_figure() -> None:
    """Trade tables (from memory): about 1.1 to 1.3 cu yd for 100 sq ft of 8 in block, waste included."""
    wall = block_wall(block_fields={"grout": {"solid": "true"}})
    quantity = next(q for q in quantities(wall) if q.item == GROUT.label)
    assert 1.1 < quantity.ordered_ip / 27 < 1.35


def test_core_fill_takes_the_cells_that_grout_leaves() -> None:
    wall = block_wall(block_fields={"grout": {"vertical_spacing": "48 in"}, "fill": PERLITE})
    fill = next(q for q in quantities(wall) if q.item == PERLITE.label)
    assert fill.amount_ip == pytest.approx(100 * (61.31125 / 16 - 30.655625 / 48) / 12, rel=1e-6)


def test_existing_layers_take_nothing() -> None:
    wall = make_wall([make_layer("board", GYPSUM, "1/2 in", condition="existing-to-remain")])
    assert quantities(wall) == ()


def test_every_quantity_says_how_it_came() -> None:
    for wall in (framed_wall(), block_wall(block_fields={"grout": {"solid": "true"}})):
        for quantity in quantities(wall):
            assert quantity.formula and quantity.amount > 0 and 0 <= quantity.waste < 0.5
            assert quantity.basis.startswith(("computed", "common practice", "from memory"))
            assert quantity.amount_ip * (1 + quantity.waste) == pytest.approx(quantity.ordered_ip)


def test_gallon_is_231_cubic_inches() -> None:
    from specgen.takeoff.quantity import GALLON

    assert pytest.approx(231) == GALLON / units.INCH**3
    assert pytest.approx(3.785411784e-3, rel=1e-9) == GALLON  # US liquid gallon in m³, exact by definition


@pytest.mark.parametrize(
    ("amount", "measure", "waste", "bought"),
    [
        (37.5, "count", 0.05, 40),  # 39.4 nails
        (100 * units.FOOT**2, "area", 0.10, 110),  # 110.00000000000001 by floating point is no square foot more
        (1.04 * units.FOOT**3, "volume", 0.15, 1.5),
        (4.0 * units.FOOT**3, "volume", 0.0, 4.0),
        (0.1 * units.FOOT, "length", 0.0, 1),
    ],
)
def test_what_is_bought_is_rounded_up(amount: float, measure: Measure, waste: float, bought: float) -> None:
    assert Quantity("x", "thing", amount, measure, waste, "", "computed").bought_ip == bought


def test_adhered_veneer_brings_the_mortar_that_sets_it() -> None:
    wall = open_library().wall("framed-adhered-veneer-drained")
    [bed] = [row for row in quantities(wall) if "setting mortar" in row.item]
    assert bed.amount == pytest.approx(100 * units.FOOT**2 * 0.5 * units.INCH)  # 4.2 cu ft


def test_cast_concrete_comes_by_the_quarter_yard() -> None:
    wall = open_library().wall("concrete-direct-stucco")
    [cast] = [row for row in quantities(wall) if row.layer == "concrete"]
    assert (cast.measure, cast.amount) == ("poured", pytest.approx(50 * units.FOOT**3))  # 100 sq ft × 6 in
    assert cast.unit == "cu yd" and cast.ordered_ip == pytest.approx(50 * 1.1 / 27)  # 2.04, brought as 2-1/4
    assert cast.bought_ip == 2.25


def test_blown_fill_comes_by_weight() -> None:
    wall = open_library().wall("framed-siding-furring")
    [fill] = [row for row in quantities(wall) if row.measure == "mass"]
    density = next(layer.fill.density for layer in wall.layers if layer.fill and layer.fill.density)
    assert fill.unit == "lb"
    assert fill.amount_ip == pytest.approx(100 * 0.75 * 5.5 / 12 * density.value / units.DENSITY_IP)  # 120 lb


def test_fasteners_come_by_ten_and_coats_say_that_both_are_counted() -> None:
    found = quantities(open_library().wall("block-interior-foam-adhered-veneer"))
    screws = [row for row in found if "screw" in row.item]
    assert screws and all(row.bought_ip % 10 == 0 for row in screws)
    [paint] = [row for row in found if row.layer == "paint"]
    assert paint.item.endswith(", two coats together") and paint.bought_ip == 220  # 100 sq ft × 2 × 1.1


def test_brick_is_laid_with_more_mortar_than_its_joints_hold() -> None:
    found = quantities(open_library().wall("framed-brick-veneer"))
    [bed] = [row for row in found if row.item.endswith("mortar in the joints")]
    assert bed.waste == 0.15 and bed.bought_ip == 6.5  # 5.53 cu ft × 1.15 = 6.36
