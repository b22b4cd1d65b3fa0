"""Heat calculation against printed values: handbook rows, standards, worked examples.

Each row carries its source, how we know it, and a tolerance with its reason. Rows marked `computed` were worked out by
hand from stated inputs, not printed anywhere: they check the method's arithmetic, and are called so.
"""

from __future__ import annotations

from dataclasses import dataclass

import pytest
from builders import (
    BATT_R13,
    BATT_R20,
    BATT_R30,
    BLOCK,
    XPS,
    block,
    framed_wall,
    make_layer,
    make_material,
    make_wall,
)

from specgen import units
from specgen.checks.energy import alternative
from specgen.checks.layer_options import steel_factor
from specgen.checks.thermal import thermal_result
from specgen.data import load_table
from specgen.model.material import Material
from specgen.model.wall import Wall
from specgen.physics import air_layers, heat, masonry

INCH, R_IP, U_IP, K_IP = units.INCH, units.R_IP, units.U_IP, units.K_IP


@dataclass(frozen=True)
class BlockRow:
    """Whole-unit resistance of hollow block, surface to surface."""

    name: str
    density: float  # [kg/m³]
    fill: float | None  # conductivity of the core fill [W/(m·K)]
    printed: float  # [m²·K/W]
    ratio: tuple[float, float]  # computed over printed, as we find it [-]


# ASHRAE Handbook of Fundamentals 2013, ch. 26 Table 1 (secondary: open-source transcription). The handbook does not
# print the webs of the units tested; ours are three webs of 1-1/8 in, ovendry. Empty units agree within a quarter.
# Filled units do not: the method gives 1.4 to 1.9 times the printed R, which is why the record of a wall with filled
# cores says so. The limits below are what we find, so that the gap can neither grow nor be forgotten.
EMPTY, FILLED, FILLED_LIGHT = (0.85, 1.25), (1.6, 1.9), (1.35, 1.5)
BLOCK_ROWS = [
    BlockRow("8 in normal weight, empty", 2100, None, 0.185, EMPTY),
    BlockRow("8 in normal weight, perlite", 2100, 0.045, 0.350, FILLED),
    BlockRow("8 in normal weight, vermiculite", 2100, 0.0655, 0.290, FILLED),
    BlockRow("8 in medium weight, empty", 1650, None, 0.260, EMPTY),
    BlockRow("8 in medium weight, perlite", 1650, 0.045, 0.530, FILLED),
    BlockRow("8 in medium weight, EPS beads", 1650, 0.040, 0.560, FILLED),
    BlockRow("8 in lightweight, empty", 1250, None, 0.445, EMPTY),
    BlockRow("8 in lightweight, perlite", 1250, 0.045, 0.985, FILLED_LIGHT),
    BlockRow("8 in lightweight, vermiculite", 1250, 0.0655, 0.810, FILLED_LIGHT),
]


@pytest.mark.parametrize("row", BLOCK_ROWS, ids=lambda row: row.name)
def test_hollow_block_against_handbook(row: BlockRow) -> None:
    core = (7.625 - 2 * 1.31) * INCH
    inside = core / row.fill if row.fill else 0.97 * R_IP
    share = masonry.web_share(1.125 * INCH, 3, 15.625 * INCH)
    found = masonry.hollow_unit_resistance(
        7.625 * INCH, 1.31 * INCH, share, masonry.concrete_conductivity(row.density), inside
    )
    low, high = row.ratio
    assert low < found / row.printed < high


# R-value chart of 2010 (confirmed): ranges of 8 in block, empty, surface to surface.
@pytest.mark.parametrize(
    ("density", "low", "high"), [(131.1, 0.97, 1.11), (103.0, 1.28, 1.71), (78.0, 1.90, 3.20)], ids=["nw", "mw", "lw"]
)
def test_empty_block_falls_in_charted_range(density: float, low: float, high: float) -> None:
    share = masonry.web_share(1.125 * INCH, 3, 15.625 * INCH)
    conductivity = masonry.concrete_conductivity(density * units.DENSITY_IP)
    found = masonry.hollow_unit_resistance(7.625 * INCH, 1.31 * INCH, share, conductivity, 0.97 * R_IP) / R_IP
    # ovendry concrete and the usual web against units not described: 16 % above the range for normal weight, as found
    assert low < found < high * 1.16


# NCMA TEK 67A (1986), example inputs (confirmed); the answer was not printed where we read it, so it is computed.
@pytest.mark.parametrize(("fill", "computed"), [(0.45, 5.90), (None, 2.59)], ids=["loose fill", "empty"])
def test_masonry_note_example(fill: float | None, computed: float) -> None:
    cores = {} if fill is None else {"fill": make_material("fill", "loose-fill", conductivity=fill * K_IP)}
    concrete = make_material("unit-100", "block", conductivity=3.7 * K_IP, density="100 lb/ft3")
    wall = make_wall([block(material=concrete, **cores)], construction="mass-interior-insulated")
    assert thermal_result(wall).r_si / R_IP == pytest.approx(computed, abs=0.005)  # half of the last digit


def test_web_share_of_the_masonry_note() -> None:
    # NCMA TEK 67A (1986): three webs of 1.125 in in a 15-5/8 in unit; 0.216 computed from its inputs
    assert masonry.web_share(1.125 * INCH, 3, 15.625 * INCH) == pytest.approx(0.216, abs=5e-4)


def test_concrete_conductivity_agrees_with_the_masonry_note() -> None:
    # ACI 122R formula (from memory) against 3.7 printed in NCMA TEK 67A (1986) at 100 lb/ft³: half of its last digit
    assert masonry.concrete_conductivity(100 * units.DENSITY_IP) / K_IP == pytest.approx(3.7, abs=0.05)


# Hand-computed, not published: 8 in unit, three webs, films in, grout k 6.73 (thermal method as above).
BLOCK_GRID = [
    (85, 2.89, 2.66, 2.83, 2.80),
    (95, 2.68, 2.47, 2.63, 2.60),
    (105, 2.51, 2.30, 2.46, 2.43),
    (115, 2.35, 2.16, 2.31, 2.28),
    (125, 2.21, 2.04, 2.17, 2.14),
    (135, 2.09, 1.93, 2.05, 2.03),
]


@pytest.mark.parametrize(("density", "empty", "solid", "wide", "narrow"), BLOCK_GRID)
def test_grouted_block_computed(density: float, empty: float, solid: float, wide: float, narrow: float) -> None:
    concrete = make_material("unit", "block", density=density * units.DENSITY_IP, specific_heat="0.21 Btu/(lb*F)")
    patterns = [
        (None, empty),
        ({"solid": "true"}, solid),
        ({"vertical_spacing": "48 in", "horizontal_spacing": "120 in"}, wide),
        ({"vertical_spacing": "32 in", "horizontal_spacing": "48 in"}, narrow),
    ]
    for grout, computed in patterns:
        wall = make_wall([block(material=concrete, grout=grout)], construction="mass-interior-insulated")
        assert thermal_result(wall).r_si / R_IP == pytest.approx(computed, abs=0.0051), grout


@pytest.mark.parametrize(
    ("vertical", "horizontal", "share"), [(48, 120, 0.222), (32, 48, 0.375), (24, 48, 0.444)]
)  # computed from the area rule of the masonry association (from memory)
def test_grouted_share_computed(vertical: float, horizontal: float, share: float) -> None:
    assert masonry.grouted_share(vertical * INCH, horizontal * INCH) == pytest.approx(share, abs=5e-4)


# Whole walls, computed: 25 % framing at R-1.25/in, films 0.17 + 0.68, gypsum 0.45, sheathing 0.62, siding 0.62.
# Each also meets the U limit that the code pairs with its R alternative (limits from memory).
def _ci(thickness: str) -> tuple:  # type: ignore[type-arg]
    return (make_layer("insulation", XPS, thickness),)


WHOLE_WALLS: list[tuple[str, Wall, float]] = [
    ("13", framed_wall(BATT_R13), 0.084),
    ("20", framed_wall(BATT_R20, "5-1/2 in"), 0.060),
    ("13&5ci", framed_wall(BATT_R13, outboard=_ci("1 in")), 0.058),
    ("20&5ci", framed_wall(BATT_R20, "5-1/2 in", _ci("1 in")), 0.045),
    ("13&10ci", framed_wall(BATT_R13, outboard=_ci("2 in")), 0.044),
    ("30", framed_wall(BATT_R30, "7-1/4 in"), 0.045),
    ("0&10ci", framed_wall(None, outboard=_ci("2 in")), 0.071),
    ("0&15ci", framed_wall(None, outboard=_ci("3 in")), 0.052),
    ("0&20ci", framed_wall(None, outboard=_ci("4 in")), 0.041),
]


@pytest.mark.parametrize(("label", "wall", "computed"), WHOLE_WALLS, ids=[row[0] for row in WHOLE_WALLS])
def test_framed_wall_computed(label: str, wall: Wall, computed: float) -> None:
    # the hand calculation rounds each R to 0.01 and leaves the empty cavity at about: within 0.001
    assert thermal_result(wall).u_si / U_IP == pytest.approx(computed, abs=0.001)
    assert alternative(label)[0] <= thermal_result(wall).cavity_r_si / R_IP + 1e-9


AIR_LAYERS = load_table("air_layers_iso")


@pytest.mark.parametrize("row", AIR_LAYERS["rows"], ids=lambda row: f"{row['thickness']}mm")
@pytest.mark.parametrize("direction", ["up", "horizontal", "down"])
def test_air_layer_agrees_with_iso_table(row: dict[str, float], direction: str) -> None:
    found = air_layers.air_layer_resistance(row["thickness"] / 1000, direction)
    assert found == pytest.approx(row[direction], abs=0.00501)  # half of the last printed digit


@pytest.mark.parametrize(
    ("convective", "printed"),
    [(2.5, 0.13), (5.0, 0.10), (0.7, 0.17)],
    ids=["across", "up", "down"],
)
def test_interior_film_agrees_with_iso(convective: float, printed: float) -> None:
    # ISO 6946 surface resistances; 0.13 confirmed in trade pages, 0.10 and 0.17 from memory
    assert air_layers.surface_resistance(convective) == pytest.approx(printed, abs=0.005)


def test_exterior_film_agrees_with_iso() -> None:
    # ISO 6946, Rse 0.04 (confirmed) at a wind of 4 m/s and 10 °C; 0.0406 computed
    assert air_layers.surface_resistance(4 + 4 * 4, temperature=10) == pytest.approx(0.04, abs=0.005)


@pytest.mark.parametrize(("temperature", "printed"), [(10, 5.1), (20, 5.7)])
def test_radiative_coefficient_agrees_with_iso(temperature: float, printed: float) -> None:
    assert air_layers.radiative_coefficient(temperature) == pytest.approx(printed, abs=0.05)


def test_foil_faced_gap_computed() -> None:
    # ISO 6946 formula, 20 mm, emissivities 0.05 and 0.9: computed, not printed
    found = air_layers.air_layer_resistance(0.020, "horizontal", (0.05, 0.9))
    assert found == pytest.approx(0.664, abs=5e-4)


# Table of the foil industry (confirmed; calculated as ASHRAE does): 13 mm vertical air space. ISO's formula is another
# fit of the same physics at another temperature difference: within a fiftieth, as we find it.
@pytest.mark.parametrize(
    ("emissivities", "printed"), [((0.9, 0.9), 0.147), ((0.05, 0.9), 0.444), ((0.03, 0.03), 0.488)]
)
def test_thin_gap_near_foil_industry_table(emissivities: tuple[float, float], printed: float) -> None:
    found = air_layers.air_layer_resistance(0.013, "horizontal", emissivities, temperature=23)
    assert found == pytest.approx(printed, rel=0.02)


def test_us_air_space_agrees_with_reprinted_table() -> None:
    # ASHRAE plane air spaces as reprinted (confirmed): vertical, 3/4 to 4 in, ordinary surfaces, winter
    for depth in ("3/4 in", "1 in", "3-1/2 in"):
        gap = make_layer("gap", None, depth, cavity={"kind": "unventilated"})
        wall = make_wall([make_layer("face", XPS, "1 in"), gap, make_layer("back", XPS, "1 in")])
        part = next(part for part in thermal_result(wall).paths[0].resistances if part.layer == "gap")
        assert part.resistance / R_IP == pytest.approx(0.97, abs=0.005)


def test_combined_method_worked_example() -> None:
    """ISO 6946 combined method, computed example: gypsum | wool with 15 % timber | OSB | timber siding."""
    gypsum, osb, siding, films = 0.0125 / 0.25, 0.011 / 0.13, 0.020 / 0.13, (0.13, 0.04)
    wool, timber = 0.140 / 0.039, 0.140 / 0.13
    rest = heat.series([*films, gypsum, osb, siding])
    upper = 1 / heat.parallel_path((0.15, 0.85), (rest + timber, rest + wool))
    lower = rest + heat.bridged_layer((0.15, 0.85), (timber, wool))
    mean, error = heat.combined_resistance(upper, lower)
    assert upper == pytest.approx(3.2503, abs=5e-5)
    assert lower == pytest.approx(3.1175, abs=5e-5)
    assert mean == pytest.approx(3.1839, abs=5e-5)
    assert 1 / mean == pytest.approx(0.3141, abs=5e-5)
    assert error == pytest.approx(0.0208, abs=5e-5)


def test_combined_method_refuses_strong_bridges() -> None:
    # ISO 6946, validity limit of 1.5 (from memory)
    with pytest.raises(ValueError, match=r"more than 1\.5 times"):
        heat.combined_resistance(3.2, 2.0)


# Building Science Corporation, ETW walls (confirmed): R per inch of board insulation as sold.
@pytest.mark.parametrize(
    ("conductivity", "per_inch"),
    [(0.036, 4.0), (0.029, 5.0)],
    ids=["EPS 20 kg/m³ (handbook)", "XPS (handbook)"],
)
def test_handbook_conductivity_gives_r_per_inch_of_trade(conductivity: float, per_inch: float) -> None:
    assert heat.layer_resistance(INCH, conductivity) / R_IP == pytest.approx(per_inch, abs=0.05)


# Washington Administrative Code 51-11C-61031 (confirmed): parts sum to the whole wall.
@pytest.mark.parametrize(
    ("row_id", "cavity"), [("wa-standard", 0.77), ("wa-intermediate", 0.78)], ids=["standard", "intermediate"]
)
def test_framing_factors_leave_the_printed_cavity(row_id: str, cavity: float) -> None:
    row = next(row for row in load_table("framing_factors")["rows"] if row["id"] == row_id)
    assert row["studs_and_plates"] + row["headers"] == pytest.approx(row["total"])
    assert 1 - row["total"] == pytest.approx(cavity)


@pytest.mark.parametrize(("spacing", "row_id"), [(16, "studs-only-16"), (24, "studs-only-24")])
def test_studs_alone_are_a_floor(spacing: float, row_id: str) -> None:
    row = next(row for row in load_table("framing_factors")["rows"] if row["id"] == row_id)
    assert 1.5 / spacing == pytest.approx(row["total"], abs=5e-4)  # arithmetic


def test_steel_stud_factor_of_the_code() -> None:
    """Trade article quoting the code's factor (secondary): 3-1/2 in studs at 16 in with R-13 act as R-6.0."""
    metal = make_material("studs", "metal", metal="true", conductivity="50 W/(m*K)")
    framing = {"material": metal, "width": "1-5/8 in", "spacing": "16 in", "fraction": 0.25, "profile": "cee"}
    layer = make_layer("studs", None, "3-1/2 in", fill=BATT_R13, framing=framing)
    row = steel_factor(layer, 13 * R_IP)
    assert row is not None and float(str(row["factor"])) * 13 == pytest.approx(6.0, abs=0.05)
    wall = make_wall([layer])
    assert thermal_result(wall).r_si / R_IP == pytest.approx(0.17 + 0.68 + 0.46 * 13, abs=0.005)


@dataclass(frozen=True)
class Capacity:
    name: str
    material: Material
    thickness: str
    printed: float  # [Btu/(ft²·°F)]


# Codes reference, computed from stated densities and specific heats; tolerance half of the last digit.
CAPACITIES = [
    Capacity(
        "6 in concrete",
        make_material("c", "concrete", conductivity=1.9, density="144 lb/ft3", specific_heat="0.22 Btu/(lb*F)"),
        "6 in", 15.8,
    ),
    Capacity(
        "7/8 in stucco",
        make_material("s", "stucco", conductivity=0.7, density="116 lb/ft3", specific_heat="0.2 Btu/(lb*F)"),
        "7/8 in", 1.7,
    ),
    Capacity(
        "3-5/8 in brick, 120 lb/ft³",
        make_material("b", "brick", conductivity=0.9, density="120 lb/ft3", specific_heat="0.19 Btu/(lb*F)"),
        "3-5/8 in", 6.9,
    ),
    Capacity(
        "3-5/8 in brick, 130 lb/ft³",
        make_material("b", "brick", conductivity=0.9, density="130 lb/ft3", specific_heat="0.24 Btu/(lb*F)"),
        "3-5/8 in", 9.4,
    ),
]  # fmt: skip


@pytest.mark.parametrize("row", CAPACITIES, ids=lambda row: row.name)
def test_heat_capacity_computed(row: Capacity) -> None:
    wall = make_wall([make_layer("mass", row.material, row.thickness)])
    assert thermal_result(wall).heat_capacity_si / units.HEAT_CAPACITY_IP == pytest.approx(row.printed, abs=0.051)


def test_solid_grouted_block_heat_capacity_computed() -> None:
    # computed: 53 % solid unit of 115 lb/ft³ grouted at 130 lb/ft³ gives about 17; our unit is 49 % solid
    wall = make_wall([block(material=BLOCK, grout={"solid": "true"})], construction="mass-interior-insulated")
    assert thermal_result(wall).heat_capacity_si / units.HEAT_CAPACITY_IP == pytest.approx(16.7, abs=1.0)


# IECC residential R tables of 2018 and 2021 (confirmed in the comparison table of the US Department of Energy).
@pytest.mark.parametrize(
    ("edition", "zone", "alternatives"),
    [
        ("2018", "2", ["13"]),
        ("2018", "4", ["20", "13&5ci"]),
        ("2018", "5", ["20", "13&5ci"]),
        ("2018", "6", ["20&5ci", "13&10ci"]),
        ("2021", "2", ["13", "0&10ci"]),
        ("2021", "3", ["20", "13&5ci", "0&15ci"]),
        ("2021", "5", ["30", "20&5ci", "13&10ci", "0&20ci"]),
        ("2021", "8", ["30", "20&5ci", "13&10ci", "0&20ci"]),
    ],
)
def test_wood_frame_rows_of_the_code(edition: str, zone: str, alternatives: list[str]) -> None:
    row = next(row for row in load_table("iecc_walls")["editions"][edition]["rows"] if zone in row["zones"])
    assert row["wood_r"] == dict.fromkeys(alternatives, "confirmed")


@pytest.mark.parametrize(
    ("zone", "pair"), [("1", [3, 4]), ("2", [4, 6]), ("3", [8, 13]), ("5", [13, 17]), ("6", [15, 20]), ("7", [19, 21])]
)
@pytest.mark.parametrize("edition", ["2018", "2021"])
def test_mass_rows_of_the_code(edition: str, zone: str, pair: list[int]) -> None:
    row = next(row for row in load_table("iecc_walls")["editions"][edition]["rows"] if zone in row["zones"])
    assert row["mass_r"] == {"value": pair, "status": "confirmed"}


def test_no_u_limit_is_called_confirmed() -> None:
    for edition in load_table("iecc_walls")["editions"].values():
        for row in edition["rows"]:
            for column in ("wood_u", "mass_u", "mass_u_inside"):
                assert row[column]["status"] in ("from-memory", "secondary")
