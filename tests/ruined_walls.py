"""Sound walls of each construction, and how to ruin them: the walls that the rules are tried on.

Figures are round numbers of the usual size; no test takes one for a published value.
"""

from __future__ import annotations

from typing import Any

from builders import (
    BATT_R13,
    BRICK,
    GYPSUM,
    MAT,
    OSB,
    PAINT,
    SIDING,
    STUCCO,
    WRB,
    XPS,
    block,
    framing,
    make_layer,
    make_material,
    make_wall,
    studs,
)  # fmt: skip

from specgen import units
from specgen.model.site import Hazards, HazardValue, Site
from specgen.model.wall import Layer, Wall

LATH = make_material("test-lath", "lath", metal="true")
SILICATE = make_material("test-silicate", "coating", permeance="17 perm")
ELASTOMERIC = make_material("test-elastomeric", "coating", film_forming="true", permeance="1 perm")
NEGATIVE = make_material(
    "test-negative-side-coating", "coating", water_barrier="true", air_barrier="true", permeance="8 perm"
)
FLUID = make_material(
    "test-fluid-membrane", "membrane", water_barrier="true", air_barrier="true", permeance=("0.08 perm", "0.1 perm")
)
VINYL = make_material("test-vinyl", "wall-covering", facing="polymer", permeance="0.5 perm")
KRAFT_BATT = make_material(
    "test-kraft-batt", "batt", facing="kraft", rated=[("3-1/2 in", "R-13")], air_open="true",
    moisture_sensitive="true", permeance=("0.4 perm", "2 perm"), density="12 kg/m3", specific_heat="840 J/(kg*K)",
)  # fmt: skip
SMART = make_material("test-smart-sheet", "sheet", permeance=("0.8 perm", "10 perm"), air_barrier="true")
PAPER_I = make_material(
    "test-paper-type-i", "sheet", facing="paper", water_barrier="true", bond_break="true", wrb_type="I",
    moisture_sensitive="true", permeance=("3 perm", "20 perm"),
)  # fmt: skip
OPEN_WRAP = make_material(
    "test-open-wrap", "sheet", water_barrier="true", air_barrier="true", wrb_type="II", permeance="50 perm"
)
TREATED = make_material(
    "test-treated-wood", "wood", conductivity="0.8 Btu*in/(h*ft2*F)", density="500 kg/m3",
    specific_heat="1630 J/(kg*K)", wood_based="true", treated="true", permeability="1 perm-in",
)  # fmt: skip
GLASS_SHEATHING = make_material(
    "test-glass-sheathing", "gypsum-sheathing", facing="glass", rated=[("1/2 in", "R-0.45")], density="800 kg/m3",
    specific_heat="1090 J/(kg*K)", air_barrier="true", permeance="23 perm",
)  # fmt: skip
PAPER_SHEATHING = make_material(
    "test-paper-sheathing", "gypsum-sheathing", facing="paper", rated=[("1/2 in", "R-0.45")], density="800 kg/m3",
    specific_heat="1090 J/(kg*K)", moisture_sensitive="true", air_barrier="true", permeance="38 perm",
)  # fmt: skip
UNKNOWN_SHEET = make_material("test-sheet-without-data", "sheet")

BASE = {
    "support": "slab-edge", "floor_above_grade": "8 in", "cladding_clearance": "6 in", "paving_clearance": "2 in",
    "termination": "weep-screed", "flashing": "metal, to the face", "foam_clearance": "6 in",
}  # fmt: skip
OPENINGS = {"flange_plane": "wrb", "sill_pan": "sloped pan", "jamb": "lapped tape", "head_flashing": "metal, lapped"}
PANELS = {"area": "144 sq ft", "length": "18 ft", "ratio": "2.5:1"}
LATH_NAILS = {
    "type": "nail", "length": "2-1/2 in", "spacing": "6 in", "spacing_across": "16 in", "penetration": "3/4 in",
    "into": "studs",
}  # fmt: skip
FURRING_SCREWS = {"type": "screw", "length": "5 in", "spacing": "16 in", "penetration": "1 in", "into": "block"}
TIES = {"type": "tie", "spacing": "18 in", "spacing_across": "16 in"}


def coat(thickness: str = "7/8 in", lath: bool = True, **fastening: Any) -> Layer:
    """All coats of stucco as one layer, with or without lath in it."""
    held = LATH_NAILS | fastening
    embedded = ({"id": "lath", "material": LATH, "offset": "1/4 in", "fastening": held},) if lath else ()
    return make_layer("stucco", STUCCO, thickness, embedded=embedded)


def layer(id: str, material: Any = None, thickness: str | None = None, **fields: Any) -> Layer:
    return make_layer(id, material, thickness, **fields)


MAT_LAYER = make_layer("mat", MAT, "3/8 in", cavity={"kind": "drained", "open": ("bottom",)})
WRB_LAYER = make_layer("wrb", WRB, "10 mil", controls=("water", "air"))
SHEATHING = make_layer("sheathing", OSB, "7/16 in")
BOARD = make_layer("board", GYPSUM, "1/2 in")
PAINT_LAYER = make_layer("paint", PAINT, coats="2")


def vented(**fastening: Any) -> Layer:
    """Furring with the space behind the cladding open at both ends."""
    return make_layer(
        "furring", None, "3/4 in", framing=framing(width="2-1/2 in", material=TREATED),
        cavity={"kind": "ventilated", "open": ("bottom", "top")}, fastening=FURRING_SCREWS | fastening,
    )  # fmt: skip


def _wall(layers: list[Layer], construction: str, **fields: Any) -> Wall:
    given = {"base": BASE, "openings": OPENINGS, "control_joints": PANELS, "construction": construction} | fields
    return make_wall(layers, **given)


def stucco_wall(**fields: Any) -> Wall:
    """Wood frame, stucco on lath on a drainage mat."""
    layers = [coat(), MAT_LAYER, WRB_LAYER, SHEATHING, studs("3-1/2 in", BATT_R13), BOARD, PAINT_LAYER]
    return _wall(layers, "framed", **fields)


def siding_wall(**fields: Any) -> Wall:
    """Wood frame, siding on a vented space."""
    siding = layer("siding", SIDING, "1/2 in")
    layers = [
        siding,
        vented(into="studs", length="3 in"),
        WRB_LAYER,
        SHEATHING,
        studs("3-1/2 in", BATT_R13),
        BOARD,
        PAINT_LAYER,
    ]
    return _wall(layers, "framed", **fields)


def brick_wall(**fields: Any) -> Wall:
    """Wood frame, anchored brick."""
    brick = layer("brick", BRICK, "3-5/8 in", ties=TIES)
    space = layer("space", None, "1 in", cavity={"kind": "drained", "open": ("bottom",)})
    layers = [brick, space, WRB_LAYER, SHEATHING, studs("3-1/2 in", BATT_R13), BOARD, PAINT_LAYER]
    return _wall(layers, "framed", **fields)


def direct_wall(**fields: Any) -> Wall:
    """Block with direct-applied stucco: mineral coating outside, water and air control on the inner face."""
    layers = [
        layer("silicate", SILICATE, coats="2"), coat("1/2 in", lath=False), block(),
        layer("inner-face", NEGATIVE, "60 mil", controls=("water", "air")), layer("foam", XPS, "1-1/2 in"),
        BOARD, PAINT_LAYER,
    ]  # fmt: skip
    return _wall(layers, "mass-direct-render", **fields)


def outside_wall(**fields: Any) -> Wall:
    """Block insulated outside, siding on furring; the foam drains behind itself."""
    joint = layer("joint", None, "1/4 in", cavity={"kind": "drained", "open": ("bottom",)})
    layers = [
        layer("siding", SIDING, "1/2 in"), vented(), layer("foam", XPS, "2 in"), joint,
        layer("wrb", FLUID, "30 mil", controls=("water", "air")), block(), BOARD, PAINT_LAYER,
    ]  # fmt: skip
    return _wall(layers, "mass-exterior-insulated", **fields)


def inside_wall(**fields: Any) -> Wall:
    """Block insulated inside, stucco on lath on a mat."""
    layers = [
        coat(into="block"), MAT_LAYER, layer("wrb", FLUID, "30 mil", controls=("water", "air")), block(),
        layer("foam", XPS, "1-1/2 in"), BOARD, PAINT_LAYER,
    ]  # fmt: skip
    return _wall(layers, "mass-interior-insulated", **fields)


def replace(wall: Wall, id: str, *layers: Layer) -> Wall:
    """The wall with one layer gone and these, or none, in its place."""
    at = wall.index(id)
    return _rebuilt(wall, layers=(*wall.layers[:at], *layers, *wall.layers[at + 1 :]))


def after(wall: Wall, id: str, *layers: Layer) -> Wall:
    """The wall with these layers set inboard of one."""
    at = wall.index(id) + 1
    return _rebuilt(wall, layers=(*wall.layers[:at], *layers, *wall.layers[at:]))


def change(wall: Wall, **fields: Any) -> Wall:
    """The wall with fields of its own changed, parsed as from a file."""
    return _rebuilt(wall, **fields)


def rebase(wall: Wall, **fields: Any) -> Wall:
    """The wall with fields of its base changed."""
    return change(wall, base=BASE | fields)


def _rebuilt(wall: Wall, **fields: Any) -> Wall:
    kept = {name: getattr(wall, name) for name in Wall.model_fields if name != "place"}
    return Wall.model_validate(kept | fields)


def place(label: str, irc: str = "2021", **hazards: Any) -> Site:
    """A site of this zone: `2A`, `7`; hazards in SI."""
    known = {name: HazardValue(value, str(value), given=True) for name, value in hazards.items()}
    return Site(
        id="here", name=f"climate zone {label}", zone=int(label[0]), regime=label[1:], edition=irc, irc_edition=irc,
        hazards=Hazards(**known),
    )  # fmt: skip


STORMY = {"design_wind": 170 * units.MPH, "wind_borne_debris": True}
