"""Each rule finds the wall that breaks it, with the stated severity, and not the same wall mended."""

from __future__ import annotations

from dataclasses import dataclass, field

import pytest
import ruined_walls as ruin
from builders import (
    BATT_R13,
    BATT_R20,
    GYPSUM,
    MINERAL_BOARD,
    PAINT,
    POLYETHYLENE,
    POLYISO,
    SOFTWOOD,
    STUCCO,
    WRB,
    XPS,
    block,
    framing,
    studs,
)  # fmt: skip
from ruined_walls import after, change, layer, place, rebase, replace

from specgen import units
from specgen.checks.assess import assess
from specgen.checks.entries import finding_entries
from specgen.library.sites import site_from_zone
from specgen.model.finding import Severity
from specgen.model.site import Site
from specgen.model.wall import Wall

ERROR, WARNING, NOTE = Severity.ERROR, Severity.WARNING, Severity.NOTE
STUCCO_WALL, SIDING_WALL, BRICK_WALL = ruin.stucco_wall(), ruin.siding_wall(), ruin.brick_wall()
DIRECT_WALL, OUTSIDE_WALL, INSIDE_WALL = ruin.direct_wall(), ruin.outside_wall(), ruin.inside_wall()


@dataclass(frozen=True)
class Ruin:
    """A wall that breaks one rule at one place, and the wall mended (by default the sound wall it was made from)."""

    code: str
    name: str
    severity: Severity
    bad: Wall
    good: Wall
    site: Site = field(default_factory=lambda: place("2A"))
    good_site: Site | None = None


def with_studs(wall: Wall, fill: object, depth: str = "3-1/2 in") -> Wall:
    return replace(wall, "studs", studs(depth, fill))  # type: ignore[arg-type]


def in_zone(label: str) -> Site:
    """A site with the weather of its zone."""
    return site_from_zone(label, "2021", "2021")


NO_MAT = replace(STUCCO_WALL, "mat")
POLY_WALL = after(STUCCO_WALL, "studs", layer("poly", POLYETHYLENE, "6 mil"))
BORDERLINE = after(
    replace(STUCCO_WALL, "wrb", layer("wrb", ruin.FLUID, "30 mil", controls=("water", "air"))),
    "studs", layer("sheet", ruin.make_material("class-ii", "sheet", permeance="0.95 perm"), "6 mil"),
)  # fmt: skip
KRAFT_WALL = with_studs(STUCCO_WALL, ruin.KRAFT_BATT)
TWO_PAPERS = replace(NO_MAT, "wrb", layer("wrb", ruin.PAPER_I, controls=("water", "air"), coats="2"))
ONE_PAPER = replace(STUCCO_WALL, "wrb", layer("wrb", ruin.PAPER_I, controls=("water", "air")))
PLAIN_MAT = ruin.make_material("test-plain-mat", "drainage-mat", drainable="true", permeance="50 perm")
MAT_UNTESTED = replace(
    ONE_PAPER, "mat", layer("mat", PLAIN_MAT, "3/8 in", cavity={"kind": "drained", "open": ("bottom",)})
)
SHALLOW_MAT = replace(
    STUCCO_WALL, "mat", layer("mat", PLAIN_MAT, "1/8 in", cavity={"kind": "drained", "open": ("bottom",)})
)
CLOSED_MAT = replace(STUCCO_WALL, "mat", layer("mat", PLAIN_MAT, "3/8 in", cavity={"kind": "unventilated"}))
ADHERED = ruin.make_material(
    "test-adhered-stone", "adhered-veneer", conductivity="0.8 W/(m*K)", absorptive="true", permeability="4 perm-in"
)
ADHERED_WALL = replace(STUCCO_WALL, "stucco", layer("stone", ADHERED, "1 in"))
VENTED_COLD = with_studs(SIDING_WALL, BATT_R20, "5-1/2 in")
UNVENTED_COLD = replace(VENTED_COLD, "furring")
UNPAINTED_COLD = replace(UNVENTED_COLD, "paint")
FOAMED_COLD = after(UNVENTED_COLD, "wrb", layer("foam", XPS, "1-1/2 in"))  # at 0.2 Btu·in/(h·ft²·°F)
OPEN_BRICK = replace(
    replace(BRICK_WALL, "space"), "wrb", layer("wrb", ruin.OPEN_WRAP, "6 mil", controls=("water", "air"))
)
CLOSED_INTERIOR = replace(OPEN_BRICK, "paint", layer("paint", ruin.VINYL))
GYPSUM_STUCCO = replace(STUCCO_WALL, "sheathing", layer("sheathing", ruin.GLASS_SHEATHING, "1/2 in"))
EMPTY_STRIPS = layer("strips", None, "3/4 in", framing=framing(material=ruin.TREATED))
BATTS_INSIDE = replace(
    INSIDE_WALL, "foam", layer("strips", None, "3-1/2 in", fill=BATT_R13, framing=framing(material=ruin.TREATED))
)
SANDWICH = after(POLY_WALL, "mat", layer("foam", POLYISO, "1 in"))

RUINS = (
    # --- vapor retarders
    Ruin("M01", "polyethylene in 2A", ERROR, POLY_WALL, STUCCO_WALL),
    Ruin("M01", "polyethylene in 1A", ERROR, POLY_WALL, STUCCO_WALL, place("1A")),
    Ruin("M01", "polyethylene in 2B", ERROR, POLY_WALL, STUCCO_WALL, place("2B")),
    Ruin("M01", "kraft in 2A", ERROR, KRAFT_WALL, STUCCO_WALL),
    Ruin("M01", "kraft in 0A", ERROR, KRAFT_WALL, STUCCO_WALL, place("0A")),
    Ruin("M01", "vinyl in 2A", ERROR, after(STUCCO_WALL, "paint", layer("vinyl", ruin.VINYL)), STUCCO_WALL),
    Ruin("M01", "polyethylene in 3A", ERROR, POLY_WALL, STUCCO_WALL, place("3A")),
    Ruin("M01", "kraft in 3A", WARNING, KRAFT_WALL, STUCCO_WALL, place("3A")),
    Ruin("M01", "kraft in 2A under 2018", ERROR, KRAFT_WALL, STUCCO_WALL, place("2A", "2018")),
    Ruin("M01", "kraft in 2A but not in 3B", ERROR, KRAFT_WALL, KRAFT_WALL, place("2A"), place("3B")),
    Ruin(
        "M01", "responsive sheet in 2A, code's exception", WARNING,
        after(STUCCO_WALL, "studs", layer("smart", ruin.SMART)), STUCCO_WALL,
    ),
    Ruin("M02", "class I in 4A", WARNING, POLY_WALL, STUCCO_WALL, place("4A")),
    Ruin("M02", "class I in 3A beside M01", WARNING, POLY_WALL, STUCCO_WALL, place("3A")),
    Ruin("M02", "class I in 3B", WARNING, POLY_WALL, POLY_WALL, place("3B"), place("4C")),
    Ruin("M02", "not under 2018", WARNING, POLY_WALL, POLY_WALL, place("4A", "2024"), place("4A", "2018")),
    Ruin("M03", "foil board in 2A", ERROR, replace(INSIDE_WALL, "foam", layer("foam", POLYISO, "1 in")), INSIDE_WALL),
    Ruin("M03", "polyethylene in 1A", ERROR, after(INSIDE_WALL, "foam", layer("poly", POLYETHYLENE)), INSIDE_WALL,
         place("1A")),
    Ruin("M03", "kraft in 3A", ERROR,
         replace(INSIDE_WALL, "foam", layer("strips", None, "3-1/2 in", fill=ruin.KRAFT_BATT,
                                            framing=framing(material=ruin.TREATED))),
         INSIDE_WALL, place("3A")),
    Ruin("M03", "vinyl in 2B", ERROR, after(INSIDE_WALL, "paint", layer("vinyl", ruin.VINYL)), INSIDE_WALL,
         place("2B")),
    Ruin("M03", "impermeable paint in 5A", WARNING,
         replace(INSIDE_WALL, "paint", layer("paint", ruin.make_material("epoxy", "coating", permeance="0.3 perm"))),
         INSIDE_WALL, place("5A")),
    Ruin("M03", "vinyl in 3B", WARNING, after(INSIDE_WALL, "paint", layer("vinyl", ruin.VINYL)), INSIDE_WALL,
         place("3B")),
    Ruin("M03", "foam board under 0.4 perm", ERROR, replace(INSIDE_WALL, "foam", layer("foam", XPS, "3 in")),
         replace(INSIDE_WALL, "foam", layer("foam", XPS, "2-1/2 in"))),
    Ruin("M05", "paint inside in 5A", ERROR, UNVENTED_COLD, VENTED_COLD, place("5A")),
    Ruin("M05", "paint inside in 5A, R-7.5 outside", ERROR, UNVENTED_COLD, FOAMED_COLD, place("5A")),
    Ruin("M05", "wood panel under vented cladding in 6A", ERROR, VENTED_COLD,
         replace(VENTED_COLD, "sheathing", layer("sheathing", ruin.GLASS_SHEATHING, "1/2 in")), place("6A")),
    Ruin("M05", "R-7.5 is not enough in 6A", ERROR, FOAMED_COLD,
         replace(FOAMED_COLD, "foam", layer("foam", XPS, "2-1/4 in")), place("6A")),
    # meet the energy table in zone 6; with paint only the retarder table asks for over a 2x6.
    Ruin("M05", "R-20 plus R-5 meets the energy table in 6A, not the retarder table", ERROR,
         after(with_studs(UNVENTED_COLD, BATT_R20, "5-1/2 in"), "wrb", layer("foam", XPS, "1 in")),
         after(with_studs(UNVENTED_COLD, BATT_R20, "5-1/2 in"), "wrb", layer("foam", XPS, "2-1/4 in")), place("6A")),
    Ruin("M05", "paint inside in 4C", ERROR, UNVENTED_COLD, FOAMED_COLD, place("4C")),
    Ruin("M05", "paint inside in 4A, good practice from 2021", WARNING, UNVENTED_COLD, UNVENTED_COLD, place("4A"),
         place("4A", "2018")),
    Ruin("M05", "nothing of it in 3A", ERROR, UNVENTED_COLD, UNVENTED_COLD, place("7"), place("3A")),
    Ruin("M06", "bare gypsum board in 5A", ERROR, UNPAINTED_COLD, UNVENTED_COLD, place("5A")),
    Ruin("M07", "kraft and R-2.5 foam in 6A", WARNING,
         after(with_studs(UNVENTED_COLD, ruin.KRAFT_BATT), "wrb", layer("foam", XPS, "1/2 in")),
         after(with_studs(UNVENTED_COLD, ruin.KRAFT_BATT), "wrb", layer("foam", XPS, "1 in")), place("6A")),
    Ruin("M13", "batts on bare block in 2A", WARNING, BATTS_INSIDE,
         after(BATTS_INSIDE, "block", layer("parge", ruin.NEGATIVE, "60 mil"))),
    # --- drying
    Ruin("M04", "foil foam outside, polyethylene inside", ERROR, SANDWICH, replace(SANDWICH, "poly"), place("5A")),
    Ruin("M04", "class II table met", WARNING,
         after(after(UNVENTED_COLD, "studs", layer("vinyl", ruin.VINYL)), "wrb", layer("foam", POLYISO, "2 in")),
         FOAMED_COLD, place("5A")),
    Ruin("M04", "kraft facing inside of its own studs", ERROR,
         after(with_studs(STUCCO_WALL, ruin.make_material(
             "dry-kraft", "batt", facing="kraft", rated=[("3-1/2 in", "R-13")], permeance="0.4 perm")),
             "mat", layer("foam", POLYISO, "1/2 in")),
         STUCCO_WALL, place("5A")),
    Ruin("M08", "OSB between two membranes", ERROR,
         after(replace(STUCCO_WALL, "wrb", layer("wrb", ruin.FLUID, "30 mil", controls=("water", "air"))),
               "studs", layer("poly", POLYETHYLENE)),
         replace(STUCCO_WALL, "wrb", layer("wrb", ruin.FLUID, "30 mil", controls=("water", "air")))),
    Ruin("M08", "dries through less than 3 perm", WARNING,
         replace(replace(STUCCO_WALL, "wrb", layer("wrb", ruin.FLUID, "30 mil", controls=("water", "air"))),
                 "paint", layer("paint", ruin.make_material("oil", "coating", permeance="1.5 perm"))),
         replace(STUCCO_WALL, "wrb", layer("wrb", ruin.FLUID, "30 mil", controls=("water", "air")))),
    Ruin("M09", "brick tight on an open wrap, vinyl inside", ERROR, CLOSED_INTERIOR, OPEN_BRICK, place("4A")),
    Ruin("M09", "not behind a gap", ERROR, CLOSED_INTERIOR,
         after(CLOSED_INTERIOR, "brick", layer("space", None, "1 in", cavity={"kind": "drained", "open": ("bottom",)})),
         place("5A")),
    Ruin("M12", "open wrap behind tight brick, paint inside", WARNING, OPEN_BRICK,
         replace(OPEN_BRICK, "wrb", layer("wrb", WRB, "10 mil", controls=("water", "air"))), place("4A")),
    Ruin("M10", "a sheet without data", WARNING, after(STUCCO_WALL, "sheathing", layer("film", ruin.UNKNOWN_SHEET)),
         STUCCO_WALL),
    Ruin("M50", "polyethylene behind sunlit wet brick", ERROR,
         after(BRICK_WALL, "studs", layer("poly", POLYETHYLENE, "6 mil")), BRICK_WALL,
         site_from_zone("2A", "2021", "2021"), site_from_zone("2A", "2021", "2021")),
    Ruin("M50", "in a zone whose code allows it", WARNING,
         after(BRICK_WALL, "studs", layer("poly", POLYETHYLENE, "6 mil")), BRICK_WALL,
         site_from_zone("5A", "2021", "2021"), site_from_zone("5A", "2021", "2021")),
    Ruin("M51", "class II sheet behind a nearly closed membrane", WARNING, BORDERLINE, replace(BORDERLINE, "sheet"),
         site_from_zone("2A", "2021", "2021"), site_from_zone("2A", "2021", "2021")),
    Ruin("M52", "vapor control named twice around OSB", WARNING,
         after(replace(STUCCO_WALL, "wrb", layer("wrb", WRB, "10 mil", controls=("water", "air", "vapor"))),
               "studs", layer("sheet", ruin.SMART, "6 mil", controls=("vapor",))),
         after(replace(STUCCO_WALL, "wrb", layer("wrb", WRB, "10 mil", controls=("water", "air"))),
               "studs", layer("sheet", ruin.SMART, "6 mil", controls=("vapor",)))),
    # --- vapor by design month
    Ruin("M40", "paint alone inside of R-20 in 6A", ERROR, UNVENTED_COLD, FOAMED_COLD, in_zone("6A"), in_zone("6A")),
    Ruin("M40", "block behind a closed membrane in 5A", WARNING, INSIDE_WALL, OUTSIDE_WALL, in_zone("5A"),
         in_zone("5A")),
    Ruin("M40", "closed membrane outside of batts in zone 5", ERROR,
         replace(STUCCO_WALL, "wrb", layer("wrb", ruin.FLUID, "30 mil", controls=("water", "air"))), STUCCO_WALL,
         in_zone("5A"), in_zone("5A")),
    Ruin("M41", "open inside in 4A, also at the load of a normal dwelling", WARNING, STUCCO_WALL, KRAFT_WALL,
         in_zone("4A"), in_zone("4A")),
    Ruin("M41", "open inside in 2A, at the design load only", NOTE, STUCCO_WALL, KRAFT_WALL,
         in_zone("2A"), in_zone("2A")),
    Ruin("M42", "bare block in 5A", WARNING, replace(INSIDE_WALL, "foam"), INSIDE_WALL, in_zone("5A"), in_zone("5A")),
    Ruin("M43", "a zone without a listed city", NOTE, STUCCO_WALL, STUCCO_WALL, in_zone("0A"), in_zone("1A")),
    Ruin("M11", "elastomeric over direct-applied stucco", ERROR,
         replace(DIRECT_WALL, "silicate", layer("elastomeric", ruin.ELASTOMERIC)), DIRECT_WALL),
    # --- stucco
    Ruin("P01", "no mat in 2A", ERROR, NO_MAT, STUCCO_WALL),
    Ruin("P01", "no mat in 4C", ERROR, NO_MAT, STUCCO_WALL, place("4C")),
    Ruin("P01", "no mat in 3A under 2018", ERROR, NO_MAT, STUCCO_WALL, place("3A", "2018")),
    Ruin("P01", "no mat in 7", ERROR, NO_MAT, STUCCO_WALL, place("7")),
    Ruin("P01", "one sheet tight in 2B", ERROR, NO_MAT, STUCCO_WALL, place("2B")),
    Ruin("P01", "two papers in 2B", WARNING, TWO_PAPERS, STUCCO_WALL, place("2B")),
    Ruin("P01", "two papers in 2A", ERROR, TWO_PAPERS, STUCCO_WALL),
    Ruin("P01", "Type II behind foam in 3B", WARNING, after(NO_MAT, "stucco", layer("foam", XPS, "1 in")),
         STUCCO_WALL, place("3B")),
    Ruin("P01", "Type I behind foam in 3B", ERROR,
         after(replace(ONE_PAPER, "mat"), "stucco", layer("foam", XPS, "1 in")), STUCCO_WALL, place("3B")),
    Ruin("P01", "mat too shallow", ERROR, SHALLOW_MAT, STUCCO_WALL),
    Ruin("P01", "mat not open at the bottom", ERROR, CLOSED_MAT, STUCCO_WALL),
    Ruin("P01", "untested mat on one Type I paper", WARNING, MAT_UNTESTED, ONE_PAPER),
    Ruin("P01", "adhered stone tight on its barrier", ERROR, replace(ADHERED_WALL, "mat"), ADHERED_WALL),
    Ruin("P03", "no coating outside", ERROR, replace(DIRECT_WALL, "silicate"), DIRECT_WALL),
    Ruin("P04", "nothing on the inner face", ERROR, replace(DIRECT_WALL, "inner-face"), DIRECT_WALL),
    Ruin("P04", "water but no air control inside", ERROR,
         replace(DIRECT_WALL, "inner-face", layer("inner-face", ruin.NEGATIVE, "60 mil", controls=("water",))),
         DIRECT_WALL),
    Ruin("P06", "paper behind direct-applied stucco", ERROR,
         after(DIRECT_WALL, "stucco", layer("paper", ruin.PAPER_I)), DIRECT_WALL),
    Ruin("P07", "3/8 in on lath", WARNING, replace(STUCCO_WALL, "stucco", ruin.coat("3/8 in")), STUCCO_WALL),
    Ruin("P07", "1/4 in on block", WARNING,
         replace(DIRECT_WALL, "stucco", layer("stucco", STUCCO, "1/4 in")), DIRECT_WALL),
    Ruin("P08", "screed 2 in above earth", ERROR, rebase(STUCCO_WALL, cladding_clearance="2 in"),
         rebase(STUCCO_WALL, cladding_clearance="4 in")),
    Ruin("P08", "screed 1 in above paving", ERROR, rebase(STUCCO_WALL, paving_clearance="1 in"), STUCCO_WALL),
    Ruin("P08", "no weep screed", ERROR, rebase(STUCCO_WALL, termination="casing-bead"), STUCCO_WALL),
    Ruin("P08", "direct-applied stucco in the soil", WARNING, rebase(DIRECT_WALL, cladding_clearance="1 in"),
         DIRECT_WALL),
    Ruin("P08", "base not described", NOTE, change(STUCCO_WALL, base=None), STUCCO_WALL),
    Ruin("P14", "50 in of rain", WARNING, DIRECT_WALL, DIRECT_WALL, place("2A", annual_rain=50 * units.INCH),
         place("2A", annual_rain=10 * units.INCH)),
    Ruin("P14", "rain not known in a moist zone", NOTE, DIRECT_WALL, DIRECT_WALL, place("2A"), place("2B")),
    Ruin("P15", "stucco on framing without lath", ERROR, replace(STUCCO_WALL, "stucco", ruin.coat(lath=False)),
         STUCCO_WALL),
    Ruin("P31", "panel too large", ERROR, change(STUCCO_WALL, control_joints=ruin.PANELS | {"area": "200 sq ft"}),
         STUCCO_WALL),
    Ruin("P31", "panel too long", ERROR, change(STUCCO_WALL, control_joints=ruin.PANELS | {"length": "20 ft"}),
         STUCCO_WALL),
    Ruin("P31", "no panels given", WARNING, change(STUCCO_WALL, control_joints=None), STUCCO_WALL),
    Ruin("P50", "nail too short for the foam", WARNING, after(STUCCO_WALL, "wrb", layer("foam", XPS, "2 in")),
         STUCCO_WALL),
    Ruin("P50", "lath into the sheathing", WARNING, replace(STUCCO_WALL, "stucco", ruin.coat(into="sheathing")),
         STUCCO_WALL),
    Ruin("P50", "7 in apart under 2018", WARNING, replace(STUCCO_WALL, "stucco", ruin.coat(spacing="7 in")),
         replace(STUCCO_WALL, "stucco", ruin.coat(spacing="7 in")), place("2A", "2018"), place("2A", "2021")),
    Ruin("P52", "screws that end in the foam", ERROR, replace(OUTSIDE_WALL, "foam", layer("foam", XPS, "5 in")),
         OUTSIDE_WALL),
    Ruin("P52", "screws short of their penetration", WARNING,
         replace(OUTSIDE_WALL, "furring", ruin.vented(length="4 in")), OUTSIDE_WALL),
    Ruin("P52", "screws into studs that are not there", WARNING,
         replace(OUTSIDE_WALL, "furring", ruin.vented(into="studs")), OUTSIDE_WALL),
    Ruin("P53", "tooled joints under a membrane", WARNING,
         replace(OUTSIDE_WALL, "block", ruin.block(unit={"joint_profile": "concave"})), OUTSIDE_WALL),
    # --- water
    Ruin("P02", "bare block behind siding", ERROR, replace(OUTSIDE_WALL, "wrb"), OUTSIDE_WALL),
    Ruin("P02", "bare block behind stucco on a mat", ERROR, replace(INSIDE_WALL, "wrb"), INSIDE_WALL),
    Ruin("P05", "no water control", ERROR,
         replace(SIDING_WALL, "wrb", layer("wrb", WRB, "10 mil", controls=("air",))), SIDING_WALL),
    Ruin("P05", "foam named as water control", ERROR,
         after(SIDING_WALL, "furring", layer("foam", XPS, "1 in", controls=("water",))), SIDING_WALL),
    Ruin("P09", "space of 1/2 in", ERROR,
         replace(BRICK_WALL, "space",
                 layer("space", None, "1/2 in", cavity={"kind": "drained", "open": ("bottom",)})), BRICK_WALL),
    Ruin("P09", "reach of 5 in", ERROR, after(BRICK_WALL, "space", layer("foam", XPS, "4 in")),
         after(BRICK_WALL, "space", layer("foam", XPS, "3 in"))),
    Ruin("P10", "no ties", ERROR,
         replace(BRICK_WALL, "brick", layer("brick", ruin.BRICK, "3-5/8 in")), BRICK_WALL),
    Ruin("P10", "ties at 24 by 24 in", ERROR,
         replace(BRICK_WALL, "brick", layer("brick", ruin.BRICK, "3-5/8 in",
                                            ties=ruin.TIES | {"spacing": "24 in", "spacing_across": "24 in"})),
         BRICK_WALL),
    Ruin("P11", "ventilated but closed at the top", WARNING,
         replace(SIDING_WALL, "furring", layer("furring", None, "3/4 in", framing=framing(material=ruin.TREATED),
                                               cavity={"kind": "ventilated", "open": ("bottom",)})), SIDING_WALL),
    Ruin("P11", "ventilated but 1/4 in deep", WARNING,
         replace(SIDING_WALL, "furring", layer("furring", None, "1/4 in",
                                               cavity={"kind": "ventilated", "open": ("bottom", "top")})),
         SIDING_WALL),
    Ruin("P11", "drained but closed", WARNING,
         replace(BRICK_WALL, "space", layer("space", None, "1 in", cavity={"kind": "drained"})), BRICK_WALL),
    Ruin("P12", "stucco tight over gypsum sheathing in 2A", ERROR, replace(GYPSUM_STUCCO, "mat"), GYPSUM_STUCCO),
    Ruin("P12", "the same in 2B", WARNING, replace(GYPSUM_STUCCO, "mat"), GYPSUM_STUCCO, place("2B")),
    Ruin("P12", "brick tight over OSB", ERROR, replace(BRICK_WALL, "space"), BRICK_WALL),
    Ruin("P13", "foam tight on the membrane", WARNING, replace(OUTSIDE_WALL, "joint"), OUTSIDE_WALL),
    Ruin("P13", "mineral wool drains by itself", WARNING, replace(OUTSIDE_WALL, "joint"),
         replace(replace(OUTSIDE_WALL, "joint"), "foam", layer("wool", MINERAL_BOARD, "2 in"))),
    Ruin("P16", "wood siding 3 in above earth", ERROR, rebase(SIDING_WALL, cladding_clearance="3 in"), SIDING_WALL),
    Ruin("P16", "base not described", NOTE, change(SIDING_WALL, base=None), SIDING_WALL),
    Ruin("P17", "no openings", WARNING, change(SIDING_WALL, openings=None), SIDING_WALL),
    Ruin("P18", "paper-faced gypsum behind brick", WARNING,
         replace(BRICK_WALL, "sheathing", layer("sheathing", ruin.PAPER_SHEATHING, "1/2 in")),
         replace(BRICK_WALL, "sheathing", layer("sheathing", ruin.GLASS_SHEATHING, "1/2 in"))),
    # --- air
    Ruin("P20", "no air control", ERROR,
         replace(SIDING_WALL, "wrb", layer("wrb", WRB, "10 mil", controls=("water",))), SIDING_WALL),
    Ruin("P21", "air control only inside, 2A", ERROR,
         replace(replace(SIDING_WALL, "wrb", layer("wrb", WRB, "10 mil", controls=("water",))),
                 "board", layer("board", GYPSUM, "1/2 in", controls=("air",))), SIDING_WALL),
    Ruin("P21", "the same passes in 5A", ERROR,
         replace(replace(SIDING_WALL, "wrb", layer("wrb", WRB, "10 mil", controls=("water",))),
                 "board", layer("board", GYPSUM, "1/2 in", controls=("air",))),
         replace(replace(SIDING_WALL, "wrb", layer("wrb", WRB, "10 mil", controls=("water",))),
                 "board", layer("board", GYPSUM, "1/2 in", controls=("air",))), place("3A"), place("5A")),
    Ruin("P22", "bare block as air control", ERROR,
         replace(replace(OUTSIDE_WALL, "wrb"), "block", block(controls=("air",))),
         replace(OUTSIDE_WALL, "block", block(controls=("air",)))),
    Ruin("P23", "mineral wool as air control", WARNING,
         after(SIDING_WALL, "wrb", layer("wool", MINERAL_BOARD, "1 in", controls=("air",))), SIDING_WALL),
    Ruin("P24", "empty furring behind the foam", WARNING, after(INSIDE_WALL, "block", EMPTY_STRIPS), INSIDE_WALL),
    Ruin("P24", "empty furring behind the foam in 5A", ERROR, after(INSIDE_WALL, "block", EMPTY_STRIPS), INSIDE_WALL,
         place("5A")),
    Ruin("P25", "air control only outside in 6A", WARNING, VENTED_COLD,
         replace(VENTED_COLD, "board", layer("board", GYPSUM, "1/2 in", controls=("air",))), place("6A")),
    # --- fire, termites, wind, fastening
    Ruin("P40", "foam 2 in above earth, very heavy", ERROR, rebase(OUTSIDE_WALL, foam_clearance="2 in"),
         OUTSIDE_WALL, place("2A", termite="very-heavy")),
    Ruin("P40", "foam 2 in above earth, moderate to heavy", WARNING, rebase(OUTSIDE_WALL, foam_clearance="2 in"),
         OUTSIDE_WALL, place("2A", termite="moderate-to-heavy")),
    Ruin("P40", "foam goes below grade", ERROR, rebase(OUTSIDE_WALL, foam_clearance="0 in"),
         OUTSIDE_WALL, place("2A", termite="very-heavy")),
    Ruin("P40", "termites not known", NOTE, OUTSIDE_WALL, OUTSIDE_WALL, place("2A"),
         place("2A", termite="none-to-slight")),
    Ruin("P41", "foam as the inner face", ERROR, replace(replace(INSIDE_WALL, "board"), "paint"), INSIDE_WALL),
    Ruin("P41", "3/8 in board over foam", ERROR, replace(INSIDE_WALL, "board", layer("board", GYPSUM, "3/8 in")),
         INSIDE_WALL),
    Ruin("P30", "siding over foam in a debris region", WARNING, OUTSIDE_WALL, INSIDE_WALL,
         place("1A", **ruin.STORMY)),
    Ruin("P30", "wind not known", NOTE, OUTSIDE_WALL, OUTSIDE_WALL, place("1A"),
         place("1A", design_wind=115 * units.MPH, wind_borne_debris=False)),
    Ruin("P51", "nothing says how the siding is held", WARNING,
         replace(OUTSIDE_WALL, "furring", layer("furring", None, "3/4 in", framing=framing(material=ruin.TREATED),
                                                cavity={"kind": "ventilated", "open": ("bottom", "top")})),
         OUTSIDE_WALL),
    Ruin("P42", "untreated furring on block", WARNING,
         after(INSIDE_WALL, "block", layer("strips", None, "3/4 in", fill=XPS, framing=framing(material=SOFTWOOD))),
         after(INSIDE_WALL, "block",
               layer("strips", None, "3/4 in", fill=XPS, framing=framing(material=ruin.TREATED)))),
    # --- the keeper's claims
    Ruin("L101", "claims a zone with an error", WARNING,
         change(NO_MAT, suits={"zones": ("2A",), "because": "for a test"}),
         change(STUCCO_WALL, suits={"zones": ("2A",), "because": "for a test"})),
    Ruin("L102", "existing sheathing", NOTE,
         replace(SIDING_WALL, "sheathing", layer("sheathing", ruin.OSB, "7/16 in", condition="existing-to-verify")),
         SIDING_WALL),
    Ruin("L103", "zone not claimed", NOTE,
         change(STUCCO_WALL, suits={"zones": ("2B",), "because": "for a test"}),
         change(STUCCO_WALL, suits={"zones": ("2A",), "because": "for a test"})),
)  # fmt: skip


def severities(wall: Wall, site: Site, code: str) -> list[Severity]:
    return [finding.severity for finding in assess(wall, site).findings if finding.code == code]


@pytest.mark.parametrize("case", RUINS, ids=lambda case: f"{case.code}: {case.name}")
def test_ruined_wall_gets_its_code_and_the_mended_wall_does_not(case: Ruin) -> None:
    assert max(severities(case.bad, case.site, case.code), default=None) == case.severity
    mended = severities(case.good, case.good_site or case.site, case.code)
    assert not [found for found in mended if found >= min(case.severity, WARNING) or case.good_site]


def test_every_code_of_the_rules_has_a_ruined_wall() -> None:
    # L2: of a project; M7: of the simulation, in test_transient.py
    mine = {code for code in finding_entries() if code[0] in "MPL" and not code.startswith(("L2", "M7"))}
    assert {case.code for case in RUINS} == mine


@pytest.mark.parametrize("case", RUINS, ids=lambda case: f"{case.code}: {case.name}")
def test_every_finding_says_where_why_and_what_to_do(case: Ruin) -> None:
    known = finding_entries()
    for finding in assess(case.bad, case.site).findings:
        assert finding.code in known
        if finding.code[0] in "MPL":
            assert finding.message.endswith(".") and finding.because and finding.cure and finding.source
            assert finding.status in ("confirmed", "secondary", "from-memory", "common-practice")
            assert not finding.layer or case.bad.index(finding.layer) >= 0


SOUND = {
    "stucco": (STUCCO_WALL, "2A"), "siding": (SIDING_WALL, "2A"), "brick": (BRICK_WALL, "2A"),
    "direct": (DIRECT_WALL, "2B"), "outside": (OUTSIDE_WALL, "2A"), "inside": (INSIDE_WALL, "2A"),
}  # fmt: skip


@pytest.mark.parametrize("name", SOUND)
def test_sound_wall_has_no_error_and_no_warning(name: str) -> None:
    wall, zone = SOUND[name]
    findings = assess(wall, place(zone)).findings
    assert [f"{f.code} {f.message}" for f in findings if f.severity > NOTE and f.code[0] in "MPL"] == []


def test_painted_board_alone_is_no_retarder_error_where_no_rule_asks() -> None:
    assert PAINT.permeance is not None
    assert not severities(STUCCO_WALL, place("2A"), "M01")
