"""Walls for the drawing tests: each construction, each base, thin and thick, more layers than a page likes.

Invented for the tests; no value here speaks of a real product.
"""

from __future__ import annotations

from builders import (
    BATT_R13,
    BATT_R20,
    GYPSUM,
    MAT,
    OSB,
    PAINT,
    STUCCO,
    WRB,
    XPS,
    block,
    framing,
    make_layer,
    make_material,
    make_wall,
    studs,
)

from specgen.model.wall import Layer, Wall

LATH = make_material("test-lath", "lath", label="Metal lath, self-furring")
FIBER_CEMENT = make_material("test-fiber-cement", "fiber-cement", label="Fiber-cement lap siding")
FLUID = make_material("test-fluid-membrane", "membrane", label="Fluid-applied membrane")
SILICATE = make_material("test-silicate", "coating", label="Mineral silicate coating")
SLURRY = make_material("test-slurry", "coating", label="Cementitious waterproof coating")
MINERAL = make_material("test-mineral-board", "mineral-board", label="Mineral-wool board, drained face")
BRICK = make_material("test-brick", "brick", label="Face brick")
PERLITE = make_material("test-perlite", "loose-fill", label="Perlite loose fill")
CONCRETE = make_material("test-cast-concrete", "concrete", label="Cast concrete")
WOOD_SIDING = make_material("test-wood-siding", "wood-siding", label="Wood bevel siding")
SPRAY = make_material("test-spray-foam", "spray-foam", label="Closed-cell spray foam")
STEEL = make_material("test-steel-studs", "metal", label="Steel")
TREATED = make_material("test-treated-wood", "wood", label="Treated softwood", treated="true")


def base(support: str, termination: str, **fields: object) -> dict[str, object]:
    return {
        "support": support,
        "termination": termination,
        "floor_above_grade": "8 in",
        "cladding_clearance": "6 in",
        "flashing": "Self-adhered, over the joint of wall and floor",
        "flashing_up": "6 in",
        "flashing_down": "3 in",
        **fields,
    }


def stucco_coats() -> list[Layer]:
    return [
        make_layer("finish-coat", STUCCO, "1/8 in", group="stucco", group_title="Stucco", label="Finish coat"),
        make_layer("brown-coat", STUCCO, "3/8 in", group="stucco", label="Brown coat"),
        make_layer(
            "scratch-coat",
            STUCCO,
            "3/8 in",
            group="stucco",
            label="Scratch coat",
            embedded=({"id": "lath", "material": LATH, "offset": "0.22 in"},),
        ),
    ]


def framed_stucco() -> Wall:
    return make_wall(
        [
            *stucco_coats(),
            make_layer("mat", MAT, "3/8 in", cavity={"kind": "drained", "open": ("bottom",)}),
            make_layer("wrb", FLUID, "30 mil", controls=("water", "air", "vapor")),
            make_layer("sheathing", OSB, "7/16 in"),
            studs("5-1/2 in", BATT_R20, fraction=0.25),
            make_layer("board", GYPSUM, "1/2 in"),
            make_layer("paint", PAINT, coats="2"),
        ],
        id="sample-framed-stucco",
        title="Wood frame, stucco",
        datum="sheathing-exterior",
        base=base("slab-edge", "weep-screed"),
    )


def framed_insulated_on_stem() -> Wall:
    return make_wall(
        [
            make_layer("siding", WOOD_SIDING, "1/2 in", exposure="6 in"),
            make_layer(
                "furring",
                None,
                "3/4 in",
                framing=framing("2-1/2 in", fraction=0.1),
                cavity={"kind": "ventilated", "open": ("bottom", "top")},
            ),
            make_layer("insulation", XPS, "2 in", controls=("thermal",)),
            make_layer("wrb", WRB, "10 mil", controls=("water",)),
            make_layer("sheathing", OSB, "7/16 in", controls=("air",)),
            studs("5-1/2 in", BATT_R20, fraction=0.25),
            make_layer(
                "retarder",
                make_material("test-smart", "sheet", label="Variable retarder"),
                "2 mil",
                controls=("vapor",),
            ),
            make_layer("board", GYPSUM, "1/2 in"),
            make_layer("paint", PAINT, coats="2"),
        ],
        id="sample-framed-stem",
        title="Wood frame, insulated outside, siding",
        datum="sheathing-exterior",
        base=base("block-stem", "base-screen"),
    )


def framed_brick() -> Wall:
    unit = {"length": "7-5/8 in", "height": "2-1/4 in", "joint": "3/8 in", "hollow": "false"}
    return make_wall(
        [
            make_layer(
                "brick",
                BRICK,
                "3-5/8 in",
                unit=unit,
                ties={"type": "tie", "spacing": "16 in", "spacing_across": "24 in"},
            ),
            make_layer("gap", None, "1 in", cavity={"kind": "drained", "open": ("bottom", "top")}),
            make_layer("wrb", WRB, "10 mil", controls=("water", "air")),
            make_layer("sheathing", OSB, "7/16 in"),
            studs("3-1/2 in", BATT_R13, fraction=0.25),
            make_layer("board", GYPSUM, "1/2 in"),
        ],
        id="sample-framed-brick",
        title="Wood frame, brick veneer",
        datum="sheathing-exterior",
        base=base("slab-edge", "casing-bead"),
    )


def block_outside() -> Wall:
    return make_wall(
        [
            make_layer("siding", FIBER_CEMENT, "5/16 in", exposure="7 in"),
            make_layer(
                "furring",
                None,
                "3/4 in",
                framing=framing("2-1/2 in", fraction=0.1, material=TREATED),
                cavity={"kind": "drained", "open": ("bottom",)},
            ),
            make_layer("insulation", MINERAL, "2 in", controls=("thermal",)),
            make_layer("membrane", FLUID, "40 mil", controls=("water", "air", "vapor")),
            block(grout={"vertical_spacing": "48 in", "horizontal_spacing": "48 in"}),
            make_layer("paint", PAINT, coats="2"),
        ],
        id="sample-block-outside",
        title="Block insulated outside, siding on furring",
        construction="mass-exterior-insulated",
        datum="block-exterior",
        base=base("block-stem", "base-screen"),
    )


def block_inside() -> Wall:
    return make_wall(
        [
            *stucco_coats(),
            make_layer("mat", MAT, "3/8 in", cavity={"kind": "drained", "open": ("bottom",)}),
            make_layer("membrane", FLUID, "40 mil", controls=("water", "air")),
            block(fill=PERLITE, grout={"vertical_spacing": "48 in"}),
            make_layer("foam", XPS, "1-1/2 in", controls=("thermal", "vapor")),
            studs("3-1/2 in", BATT_R13, fraction=0.2),
            make_layer("board", GYPSUM, "1/2 in"),
            make_layer("paint", PAINT, coats="2"),
        ],
        id="sample-block-inside",
        title="Block insulated inside, stucco on a mat",
        construction="mass-interior-insulated",
        datum="block-exterior",
        base=base("slab-edge", "weep-screed"),
    )


def block_direct() -> Wall:
    return make_wall(
        [
            make_layer("silicate", SILICATE, "6 mil", coats="2"),
            make_layer(
                "finish-coat",
                STUCCO,
                "1/8 in",
                group="stucco",
                group_title="Direct-applied stucco",
                label="Finish coat",
            ),
            make_layer("base-coat", STUCCO, "1/2 in", group="stucco", label="Base coat"),
            block(grout={"solid": "true"}),
            make_layer("slurry", SLURRY, "60 mil", coats="2", controls=("water", "air")),
            make_layer(
                "furring",
                None,
                "1-1/2 in",
                fill=None,
                framing=framing("1-1/2 in", fraction=0.1),
                cavity={"kind": "unventilated"},
            ),
            make_layer("board", GYPSUM, "1/2 in"),
            make_layer("paint", PAINT, coats="2"),
        ],
        id="sample-block-direct",
        title="Block with direct-applied stucco",
        construction="mass-direct-render",
        datum="block-exterior",
        base=base("block-stem", "casing-bead"),
    )


def concrete_thick() -> Wall:
    """Fourteen callouts on a thick wall, without a base."""
    return make_wall(
        [
            make_layer("siding", WOOD_SIDING, "3/4 in", exposure="5 in"),
            make_layer(
                "furring", None, "1-1/2 in", framing=framing("3-1/2 in", "24 in", 0.1), cavity={"kind": "ventilated"}
            ),
            make_layer("insulation-outer", MINERAL, "3 in", controls=("thermal",)),
            make_layer("insulation-inner", XPS, "3 in", controls=("thermal",)),
            make_layer("membrane", FLUID, "40 mil", controls=("water", "air", "vapor")),
            make_layer("concrete", CONCRETE, "8 in"),
            make_layer("slurry", SLURRY, "60 mil"),
            make_layer(
                "rails",
                None,
                "1-1/2 in",
                framing=framing("1-1/2 in", "24 in", 0.1, orientation="horizontal"),
                fill=BATT_R13,
            ),
            make_layer(
                "steel-studs",
                None,
                "3-5/8 in",
                framing=framing("1-5/8 in", "24 in", 0.1, profile="cee", material=STEEL),
                fill=SPRAY,
            ),
            make_layer(
                "film", make_material("test-film", "sheet", label="Air-control sheet"), "6 mil", controls=("air",)
            ),
            make_layer("board-outer", GYPSUM, "5/8 in"),
            make_layer("board-inner", GYPSUM, "1/2 in"),
            make_layer("primer", PAINT, coats="1"),
            make_layer("paint", PAINT, coats="2"),
        ],
        id="sample-concrete-thick",
        title="Cast concrete, two insulations outside",
        datum="concrete-exterior",
        construction="mass-exterior-insulated",
    )


SAMPLES = (
    framed_stucco,
    framed_insulated_on_stem,
    framed_brick,
    block_outside,
    block_inside,
    block_direct,
    concrete_thick,
)
