"""Heat calculation against printed values: handbook rows, standards, codes, worked examples in print.

Each row carries its source, how we know it, and a tolerance with its reason. Values that were only worked out from
stated inputs, or are remembered, stand in `test_thermal_computed.py`; none of them counts here.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass

import pytest
from builders import make_layer, make_material, make_wall, studs
from hand import hand_u

from specgen import units
from specgen.checks.layer_options import steel_factor
from specgen.checks.resistances import squeezed_batt
from specgen.data import load_table
from specgen.model.material import Material
from specgen.physics import air_layers, batts, heat, masonry, metal

INCH, FOOT, R_IP, U_IP, K_IP = units.INCH, 12 * units.INCH, units.R_IP, units.U_IP, units.K_IP
HALF_DIGIT = "half of the last printed digit"


@dataclass(frozen=True)
class Published:
    """One printed figure, what we get for it, and why it may differ by so much and no more."""

    name: str
    found: Callable[[], float]
    printed: float
    tolerance: float  # absolute, in the printed unit
    reason: str
    source: str
    status: str  # confirmed: read in the source; secondary: read where it is quoted


def r_ip(thickness: float, conductivity: float) -> float:
    """R of a layer. [h·ft²·°F/Btu]"""
    return heat.layer_resistance(thickness, conductivity) / R_IP


def series_ip(*resistances: float) -> float:
    return heat.series(resistances)


def framed(fraction: float, member: float, cavity: float, continuous: float = 0.0) -> float:
    """U of a frame wall with the usual films, siding, sheathing and board, by parallel path. [Btu/(h·ft²·°F)]"""
    rest = series_ip(0.17, 0.62, 0.62, 0.45, 0.68, continuous)
    return heat.parallel_path((fraction, 1 - fraction), (rest + member, rest + cavity))


# --- homogeneous layers and films -------------------------------------------------------------------------------------

ASHRAE_1989 = "ASHRAE 1989 wall-layer table, reprinted in a textbook's companion file"
FEET_ROUNDED = "half of the last printed digit, and the thickness is printed to 0.001 ft"
LAYERS = [
    Published("gypsum board 1/2 in", lambda: r_ip(INCH / 2, 0.16), 0.45, 0.005, HALF_DIGIT,
              "California Joint Appendix JA4, Table 4.5.2; k of the handbook", "confirmed"),
    Published("stucco 1 in", lambda: r_ip(INCH, 0.72), 0.20, 0.005, HALF_DIGIT,
              "California Joint Appendix JA4, Table 4.5.2; k of the handbook", "confirmed"),
    Published("stucco 1 in, A1", lambda: r_ip(0.0833 * FOOT, 0.4 * 12 * K_IP), 0.21, 0.005, FEET_ROUNDED,
              ASHRAE_1989, "confirmed"),
    Published("face brick 4 in, A2", lambda: r_ip(0.333 * FOOT, 0.77 * 12 * K_IP), 0.43, 0.005, FEET_ROUNDED,
              ASHRAE_1989, "confirmed"),
    Published("finish, A6", lambda: r_ip(0.0417 * FOOT, 0.24 * 12 * K_IP), 0.17, 0.005, FEET_ROUNDED, ASHRAE_1989,
              "confirmed"),
    Published("insulation 1 in, B2", lambda: r_ip(0.083 * FOOT, 0.025 * 12 * K_IP), 3.33, 0.02, FEET_ROUNDED,
              ASHRAE_1989, "confirmed"),
    Published("insulation 3 in, B4", lambda: r_ip(0.25 * FOOT, 0.025 * 12 * K_IP), 10, 0.005, FEET_ROUNDED,
              ASHRAE_1989, "confirmed"),
    Published("wood 1 in, B7", lambda: r_ip(0.0833 * FOOT, 0.07 * 12 * K_IP), 1.19, 0.005, FEET_ROUNDED, ASHRAE_1989,
              "confirmed"),
    Published("wood 2.5 in, B8", lambda: r_ip(0.2083 * FOOT, 0.07 * 12 * K_IP), 2.98, 0.0051, FEET_ROUNDED,
              ASHRAE_1989, "confirmed"),
    Published("wood 4 in, B9", lambda: r_ip(0.333 * FOOT, 0.07 * 12 * K_IP), 4.76, 0.006, FEET_ROUNDED, ASHRAE_1989,
              "confirmed"),
    Published("EPS per inch", lambda: r_ip(INCH, 0.036), 4.0, 0.05, "the trade prints one digit after the point",
              "Building Science Corporation, ETW walls; k of the handbook", "confirmed"),
    Published("XPS per inch", lambda: r_ip(INCH, 0.029), 5.0, 0.05, "the trade prints one digit after the point",
              "Building Science Corporation, ETW walls; k of the handbook", "confirmed"),
    Published("face brick 4 in of k 9", lambda: r_ip(4 * INCH, 9.0 * K_IP), 0.44, 0.005, HALF_DIGIT,
              "masonry magazine, June 1975, p. 13; k 9.0 of the brick industry's note 43D", "confirmed"),
    Published("timber 140 mm", lambda: heat.layer_resistance(0.140, 0.13), 1.077, 0.0005, HALF_DIGIT,
              "Scottish annex 6.B, timber framed wall", "confirmed"),
    Published("interior film across", lambda: air_layers.surface_resistance(2.5), 0.13, 0.005, HALF_DIGIT,
              "ISO 6946, Rsi, in trade pages", "secondary"),
    Published("exterior film at 4 m/s", lambda: air_layers.surface_resistance(20, temperature=10), 0.04, 0.005,
              HALF_DIGIT, "ISO 6946, Rse, in trade pages", "secondary"),
    Published("radiative coefficient at 10 °C", lambda: air_layers.radiative_coefficient(10), 5.1, 0.05, HALF_DIGIT,
              "ISO 6946, hr0", "secondary"),
    Published("radiative coefficient at 20 °C", lambda: air_layers.radiative_coefficient(20), 5.7, 0.05, HALF_DIGIT,
              "ISO 6946, hr0", "secondary"),
]  # fmt: skip

# --- heat capacity: the weight that the 1989 table prints beside density and thickness --------------------------------

WEIGHTS = [
    Published(f"weight of {name}", lambda t=t, d=d: heat.heat_capacity(t, d, 1.0), printed,
              0.05 + 0.0005 * d, FEET_ROUNDED, ASHRAE_1989, "confirmed")
    for name, t, d, printed in [("stucco 1 in", 0.0833, 116, 9.7), ("face brick 4 in", 0.333, 125, 41.7),
                                ("wood 1 in", 0.0833, 37, 3.1), ("wood 4 in", 0.333, 37, 12.3)]
]  # fmt: skip

# --- air layers ------------------------------------------------------------------------------------------------------

FOIL = "table of the foil industry, calculated as ASHRAE does"
FIT = "another fit of the same physics, at 5 K and 23 °C: within a fiftieth, as we find it"
AIR = [
    Published(f"13 mm air space, emissivities {e}",
              lambda e=e: air_layers.air_layer_resistance(0.013, "horizontal", e, 23), printed, printed * 0.02, FIT,
              FOIL, "confirmed")
    for e, printed in [((0.9, 0.9), 0.147), ((0.05, 0.9), 0.444), ((0.03, 0.03), 0.488)]
] + [
    Published("vertical air space in summer",
              lambda: air_layers.air_layer_resistance(0.050, temperature=32) / R_IP, 0.86, 0.02,
              "another fit, at 5 K; the mean of 90 °F is from memory", "ASHRAE air spaces, reprinted", "confirmed"),
    Published("slightly ventilated cavity of 50 mm",
              lambda: air_layers.slightly_ventilated_layer(air_layers.air_layer_resistance(0.050)), 0.090, 0.003,
              "the example halves the rounded 0.18", "Scottish annex 6.B, timber framed wall", "confirmed"),
]  # fmt: skip

# --- walls by hand ---------------------------------------------------------------------------------------------------

MAGAZINE = "masonry magazine, June 1975, pp. 13-14"
VENEER = (0.17, 0.44, 0.97, 1.32, 0.45, 0.68)  # film, brick, air, fiberboard, drywall, film [h·ft²·°F/Btu]
STUD = 3.5 * INCH / (0.8 * K_IP) / R_IP  # our softwood; the page with the stud's own R was not seen
TRADE = "trade page on continuous insulation, worked with the layers it lists"
SCOTTISH = (0.040, 0.132, 0.090, 0.146, 0.100, 0.130)  # films, brick, cavity, plywood, board [m²·K/W]
WALLS = [
    Published("brick veneer, R at the batt", lambda: series_ip(*VENEER, 11.0), 15.03, 0.005, HALF_DIGIT, MAGAZINE,
              "confirmed"),
    Published("brick veneer, U at the batt", lambda: 1 / series_ip(*VENEER, 11.0), 0.067, 0.0005, HALF_DIGIT, MAGAZINE,
              "confirmed"),
    Published("brick veneer, U at the stud", lambda: 1 / series_ip(*VENEER, STUD), 0.119, 0.0006,
              "half of the last digit; R of the stud is ours", MAGAZINE, "confirmed"),
    Published("brick veneer, U of the wall",
              lambda: heat.parallel_path((1.5 / 16, 14.5 / 16), (series_ip(*VENEER, STUD), series_ip(*VENEER, 11.0))),
              0.072, 0.0006, "half of the last digit; R of the stud is ours", MAGAZINE, "confirmed"),
    Published("bonded cavity wall, U at the bonder", lambda: 1 / series_ip(0.17, 1.32, 0.68), 0.461, 0.0005, HALF_DIGIT,
              MAGAZINE, "confirmed"),
    Published("bonded cavity wall, U at the fill", lambda: 1 / series_ip(0.17, 0.44, 9.08, 0.44, 0.68), 0.0925, 5e-5,
              HALF_DIGIT, MAGAZINE, "confirmed"),
    Published("bonded cavity wall, U of the wall",
              lambda: heat.parallel_path((0.0278, 0.9722), (series_ip(0.17, 1.32, 0.68), 10.81)), 0.103, 0.0005,
              HALF_DIGIT, MAGAZINE, "confirmed"),
    Published("timber frame, R at the wool", lambda: heat.series((*SCOTTISH, 3.333)), 3.971, 0.0005, HALF_DIGIT,
              "Scottish annex 6.B, timber framed wall", "confirmed"),
    Published("timber frame, R at the stud", lambda: heat.series((*SCOTTISH, 1.077)), 1.715, 0.0005, HALF_DIGIT,
              "Scottish annex 6.B, timber framed wall", "confirmed"),
    Published("R-23 in 2x6 at 23 % framing", lambda: 1 / framed(0.23, 5.5 * 1.25, 23), 18, 0.5, HALF_DIGIT,
              "builders' journal on total R; the usual other layers are ours", "confirmed"),
    Published("loss of 20.5 in the cavity against 13 + 7.5ci",
              lambda: 100 * (1 - framed(0.25, 3.5 * 1.25, 13, 7.5) / framed(0.25, 5.5 * 1.25, 20.5)), 16, 0.5,
              HALF_DIGIT + "; its framing fraction was not seen, ours is 0.25", TRADE, "confirmed"),
    Published("R-29 in 2x8 over 20 + 5ci", lambda: framed(0.25, 7.25 * 1.25, 29) / framed(0.25, 5.5 * 1.25, 20, 5), 1,
              0.02, "equal as a trade talk rounds R to whole numbers", "slides of the foam industry", "secondary"),
    Published("13 + 10ci over 20 + 5ci", lambda: framed(0.25, 3.5 * 1.25, 13, 10) / framed(0.25, 5.5 * 1.25, 20, 5), 1,
              0.02, "equal as a trade talk rounds R to whole numbers", "slides of the foam industry", "secondary"),
]  # fmt: skip
ROOFS = [
    Published(f"R-{r} over a deck, films 0.17 and 0.61", lambda r=r: 1 / series_ip(0.17, 0.61, r), printed, 0.00051,
              HALF_DIGIT, "ASHRAE 90.1 Table A2.2.3 in a state code, a check of series only", "confirmed")
    for r, printed in [(1, 0.562), (5, 0.173), (10, 0.093), (20, 0.048), (30, 0.032)]
]  # fmt: skip

# --- steel studs and masonry -----------------------------------------------------------------------------------------


def steel_r(depth: str, rated: float) -> float:
    """Effective R of an insulated cavity between steel studs at 16 in, by our table. [h·ft²·°F/Btu]"""
    member = make_material("studs", "metal", metal="true", conductivity="50 W/(m*K)")
    batt = make_material("batt", "batt", rated=[(depth, rated * R_IP)])
    framing = {"material": member, "width": "1-5/8 in", "spacing": "16 in", "fraction": 0.25, "profile": "cee"}
    row = steel_factor(make_layer("studs", None, depth, fill=batt, framing=framing), rated * R_IP)
    assert row is not None
    return metal.stud_cavity_resistance(rated, float(str(row["factor"])))


STEEL = [
    Published("R-13 between 3-1/2 in steel studs", lambda: steel_r("3-1/2 in", 13), 6.0, 0.05, HALF_DIGIT,
              "energy code's factor, trade article", "secondary"),
    Published("R-19 between 6 in steel studs", lambda: steel_r("6 in", 19), 7.1, 0.08,
              "the table quoted was not made from the rounded factor: 0.37 x 19 is 7.03",
              "ASHRAE 90.1-2010 Table A9.2B, trade article", "secondary"),
    Published("U of 6 in steel studs with R-19",
              lambda: 1 / series_ip(0.17, 0.08, 0.56, 0.56, 0.68, steel_r("6 in", 19)), 0.109, 0.0015,
              "as the row above; its layers of stucco and board from memory", "ASHRAE 90.1-2016 Table A3.3.3.1, forum",
              "secondary"),
    Published("loss of 20.5 between steel against 13 + 7.5ci",
              lambda: 100 * (1 - series_ip(0.17, 0.62, 0.62, 0.45, 0.68, metal.stud_cavity_resistance(20.5, 0.36))
                             / series_ip(0.17, 0.62, 0.62, 0.45, 0.68, 7.5, steel_r("3-1/2 in", 13))),
              40, 2, "R-20.5 has no factor; the mean of those of R-19 and R-21 is taken", TRADE, "confirmed"),
    Published("k of concrete at 100 lb/ft³", lambda: masonry.concrete_conductivity(100 * units.DENSITY_IP) / K_IP, 3.7,
              0.05, HALF_DIGIT + "; the formula itself is from memory", "NCMA TEK 67A (1986)", "confirmed"),
]  # fmt: skip

ROWS = [*LAYERS, *WEIGHTS, *AIR, *WALLS, *ROOFS, *STEEL]


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.name)
def test_printed_value(row: Published) -> None:
    assert row.found() == pytest.approx(row.printed, abs=row.tolerance), f"{row.source}; {row.reason}"


def test_enough_rows_are_published_and_each_says_how_we_know() -> None:
    counted = Counter(row.status for row in ROWS)
    assert set(counted) == {"confirmed", "secondary"}
    assert counted["confirmed"] >= 25  # so many even without those seen only in quotations
    assert len({row.name for row in ROWS}) == len(ROWS)
    assert all(row.reason and row.source and row.tolerance > 0 for row in ROWS)


# --- tables ----------------------------------------------------------------------------------------------------------

AIR_LAYERS = load_table("air_layers_iso")


@pytest.mark.parametrize("row", AIR_LAYERS["rows"], ids=lambda row: f"{row['thickness']}mm")
@pytest.mark.parametrize("direction", ["up", "horizontal", "down"])
def test_air_layer_agrees_with_iso_table(row: dict[str, float], direction: str) -> None:
    # ISO 6946, 24 values of the printed table (secondary), each to half of its last digit
    found = air_layers.air_layer_resistance(row["thickness"] / 1000, direction)
    assert found == pytest.approx(row[direction], abs=0.00501)


def test_us_air_space_agrees_with_reprinted_table() -> None:
    # ASHRAE plane air spaces as reprinted (confirmed): vertical, 3/4 to 4 in, ordinary surfaces, winter
    face = make_material("face", "rigid-foam", conductivity=0.029)
    for depth in ("3/4 in", "1 in", "3-1/2 in"):
        gap = make_layer("gap", None, depth, cavity={"kind": "unventilated"})
        layers = [make_layer("face", face, "1 in"), gap, make_layer("back", face, "1 in")]
        without = make_wall([layers[0], layers[2]])
        assert (1 / hand_u(make_wall(layers)) - 1 / hand_u(without)) / R_IP == pytest.approx(0.97, abs=0.005)


@pytest.mark.parametrize(
    ("opening", "kind"),
    [(0, "unventilated"), (500, "unventilated"), (501, "slightly"), (1500, "slightly"), (1501, "well")],
)
def test_ventilation_classes_of_iso(opening: float, kind: str) -> None:
    # ISO 6946, limits of a vertical layer in mm² per m (confirmed in trade pages)
    assert air_layers.ventilation_class(opening * 1e-6) == kind


# Washington Administrative Code 51-11C-61031 (confirmed): parts sum to the whole wall.
@pytest.mark.parametrize(
    ("row_id", "cavity"), [("wa-standard", 0.77), ("wa-intermediate", 0.78)], ids=["standard", "intermediate"]
)
def test_framing_factors_leave_the_printed_cavity(row_id: str, cavity: float) -> None:
    row = next(row for row in load_table("framing_factors")["rows"] if row["id"] == row_id)
    assert row["studs_and_plates"] + row["headers"] == pytest.approx(row["total"])
    assert 1 - row["total"] == pytest.approx(cavity)


def batt(label: float, thickness: float) -> Material:
    return make_material("batt", "batt", rated=[(thickness * INCH, label * R_IP)])


BATTS = [
    (row["label"], row["thickness"], depth, printed)
    for row in load_table("compressed_batts")["rows"]
    for depth, printed in row["depths"].items()
    if depth < row["thickness"]
]


@pytest.mark.parametrize(("label", "thickness", "depth", "printed"), BATTS)
def test_squeezed_batt_has_the_r_of_the_chart(label: float, thickness: float, depth: float, printed: float) -> None:
    """A maker's chart in a builders' journal (secondary; R-18 for R-19 in 2x6 confirmed by two more articles)."""
    squeezed = squeezed_batt(batt(label, thickness), depth * INCH)
    assert squeezed is not None and squeezed.charted
    assert squeezed.resistance / R_IP == pytest.approx(printed)
    wall = make_wall([studs(f"{depth} in", batt(label, thickness), fraction=1e-6)])
    assert 1 / hand_u(wall) / R_IP == pytest.approx(printed + 0.17 + 0.68, rel=1e-4)


@pytest.mark.parametrize(("label", "thickness", "depth", "printed"), BATTS)
def test_rule_for_squeezed_batts_never_beats_the_chart(
    label: float, thickness: float, depth: float, printed: float
) -> None:
    least = batts.squeezed_resistance(label, thickness, depth)
    assert least is not None
    assert 0.75 * printed < least <= printed  # on the safe side by up to a quarter, as found


# --- hollow block ----------------------------------------------------------------------------------------------------


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


def block_r(density: float, fill: float | None) -> float:
    core = (7.625 - 2 * 1.31) * INCH
    inside = core / fill if fill else 0.97 * R_IP
    share = masonry.web_share(1.125 * INCH, 3, 15.625 * INCH)
    conductivity = masonry.concrete_conductivity(density)
    return masonry.hollow_unit_resistance(7.625 * INCH, 1.31 * INCH, share, conductivity, inside)


@pytest.mark.parametrize("row", BLOCK_ROWS, ids=lambda row: row.name)
def test_hollow_block_against_handbook(row: BlockRow) -> None:
    low, high = row.ratio
    assert low < block_r(row.density, row.fill) / row.printed < high


# R-value chart of 2010 (confirmed): ranges of 8 in block, empty, surface to surface.
@pytest.mark.parametrize(
    ("density", "low", "high"), [(131.1, 0.97, 1.11), (103.0, 1.28, 1.71), (78.0, 1.90, 3.20)], ids=["nw", "mw", "lw"]
)
def test_empty_block_falls_in_charted_range(density: float, low: float, high: float) -> None:
    found = block_r(density * units.DENSITY_IP, None) / R_IP
    # ovendry concrete and the usual web against units not described: 16 % above the range for normal weight, as found
    assert low < found < high * 1.16
