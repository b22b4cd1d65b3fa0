"""Walls and materials built in memory, for tests that want one property to vary and the rest to stay ordinary.

Values are SI floats or texts with their unit, as in the files. The figures of the ready-made materials are round
numbers of the usual size; they serve tests of the method, and no test takes one for a published value.
"""

from __future__ import annotations

from typing import Any

from specgen.model.material import Material
from specgen.model.wall import Layer, Wall

TEST_VALUE = {"source": "common practice", "status": "common-practice"}
_VALUES = ("conductivity", "density", "specific_heat", "water_uptake", "emissivity")


def make_material(id: str, kind: str, **fields: Any) -> Material:
    """A material; numbers may be given bare, and get a source of their own.

    `conductivity`, `density`, `specific_heat`, `water_uptake`, `emissivity`: a value. `rated`: pairs (thickness, R).
    `permeance`, `permeability`: a value (dry) or a pair (dry, wet). Attributes as the model names them.
    """
    for name in _VALUES:
        if name in fields and not isinstance(fields[name], dict):
            fields[name] = {"value": fields[name], **TEST_VALUE}
    for name in ("permeance", "permeability"):
        if name in fields and not isinstance(fields[name], dict):
            dry, wet = fields[name] if isinstance(fields[name], tuple) else (fields[name], None)
            fields[name] = {"dry": dry, "wet": wet, **TEST_VALUE}
    if "rated" in fields:
        fields["rated"] = tuple(
            row if isinstance(row, dict) else {"thickness": row[0], "resistance": row[1], **TEST_VALUE}
            for row in fields["rated"]
        )
    fields.setdefault("title", id.replace("-", " ").capitalize())
    fields.setdefault("label", fields["title"][:40])
    return Material.model_validate({"id": id, "kind": kind, **fields})


def make_layer(id: str, material: Material | None = None, thickness: Any = None, **fields: Any) -> Layer:
    """One layer; `thickness` as text or in m."""
    return Layer.model_validate({"id": id, "material": material, "thickness": thickness, **fields})


def make_wall(layers: list[Layer] | tuple[Layer, ...], **fields: Any) -> Wall:
    """A wall of these layers, exterior first; construction `framed` unless told otherwise."""
    fields.setdefault("id", "test-wall")
    fields.setdefault("title", "Test wall")
    fields.setdefault("construction", "framed")
    fields.setdefault("revision", {"number": "1", "date": "2026-01-01", "note": "for a test"})
    fields.setdefault("datum", f"{layers[0].id}-exterior" if layers else "none-exterior")
    return Wall.model_validate({"layers": tuple(layers), **fields})


def framing(width: Any = "1-1/2 in", spacing: Any = "16 in", fraction: float = 0.25, **fields: Any) -> dict[str, Any]:
    """Framing record of a layer; wood members unless `material` says otherwise."""
    fields.setdefault("material", SOFTWOOD)
    return {"width": width, "spacing": spacing, "fraction": fraction, **fields}


def studs(depth: str = "5-1/2 in", fill: Material | None = None, **fields: Any) -> Layer:
    """A layer of wood studs with this fill."""
    return make_layer("studs", None, depth, fill=fill, framing=framing(**fields))


def block(thickness: str = "7-5/8 in", material: Material | None = None, **fields: Any) -> Layer:
    """Hollow block 8x8x16 of three webs; `grout` and `fill` as the model has them."""
    unit: dict[str, Any] = {
        "length": "15-5/8 in",
        "height": "7-5/8 in",
        "joint": "3/8 in",
        "face_shell": "1.31 in",
        "web": "1.125 in",
        "webs": "3",
        "joint_profile": "flush",
    }
    grout = fields.pop("grout", None)
    if grout is not None:
        unit["grout"] = {"material": GROUT, **grout}
    unit.update(fields.pop("unit", {}))
    return make_layer("block", material or BLOCK, thickness, unit=unit, **fields)


SOFTWOOD = make_material(
    "test-softwood", "wood", conductivity="0.8 Btu*in/(h*ft2*F)", density="500 kg/m3", specific_heat="1630 J/(kg*K)",
    wood_based="true", moisture_sensitive="true", combustible="true", absorptive="true", permeability="1 perm-in",
)  # fmt: skip
STEEL = make_material(
    "test-steel", "metal", conductivity="50 W/(m*K)", density="7800 kg/m3", specific_heat="450 J/(kg*K)", metal="true"
)
OSB = make_material(
    "test-osb", "wood-panel", rated=[("7/16 in", "R-0.62")], density="650 kg/m3", specific_heat="1700 J/(kg*K)",
    wood_based="true", moisture_sensitive="true", combustible="true", air_barrier="true",
    permeance=("1 perm", "2 perm"),
)  # fmt: skip
GYPSUM = make_material(
    "test-gypsum-board", "gypsum-board", rated=[("1/2 in", "R-0.45")], density="800 kg/m3",
    specific_heat="1090 J/(kg*K)", thermal_barrier="true", moisture_sensitive="true", permeance="40 perm",
    facing="paper",
)  # fmt: skip
SIDING = make_material(
    "test-siding", "wood-siding", rated=[("1/2 in", "R-0.62")], density="500 kg/m3", specific_heat="1200 J/(kg*K)",
    wood_based="true", absorptive="true", permeability="1 perm-in",
)  # fmt: skip
STUCCO = make_material(
    "test-stucco", "stucco", conductivity="0.72 W/(m*K)", density="1856 kg/m3", specific_heat="840 J/(kg*K)",
    absorptive="true", permeability="3 perm-in",
)  # fmt: skip
MAT = make_material(
    "test-drainage-mat", "drainage-mat", drainable="true", bond_break="true", drainage_efficiency="0.95",
    permeance="50 perm",
)  # fmt: skip
WRB = make_material(
    "test-sheet-barrier", "membrane", water_barrier="true", air_barrier="true", bond_break="true", wrb_type="II",
    permeance="20 perm",
)  # fmt: skip
POLYETHYLENE = make_material("test-polyethylene", "sheet", permeance="0.06 perm")
KRAFT = make_material("test-kraft-paper", "sheet", permeance=("0.4 perm", "1.8 perm"))
PAINT = make_material("test-latex-paint", "coating", permeance="6 perm")
BATT_R13 = make_material(
    "test-batt-r-13", "batt", rated=[("3-1/2 in", "R-13")], density="12 kg/m3", specific_heat="840 J/(kg*K)",
    air_open="true", permeability="100 perm-in",
)  # fmt: skip
BATT_R19 = make_material(
    "test-batt-r-19", "batt", rated=[("6-1/4 in", "R-19")], density="12 kg/m3", specific_heat="840 J/(kg*K)",
    air_open="true", permeability="100 perm-in",
)  # fmt: skip
BATT_R20 = make_material(
    "test-batt-r-20", "batt", rated=[("5-1/2 in", "R-20")], density="14 kg/m3", specific_heat="840 J/(kg*K)",
    air_open="true", permeability="100 perm-in",
)  # fmt: skip
BATT_R30 = make_material(
    "test-batt-r-30", "batt", rated=[("7-1/4 in", "R-30")], density="20 kg/m3", specific_heat="840 J/(kg*K)",
    air_open="true", permeability="100 perm-in",
)  # fmt: skip
XPS = make_material(
    "test-xps", "rigid-foam", conductivity="0.2 Btu*in/(h*ft2*F)", density="29 kg/m3", specific_heat="1210 J/(kg*K)",
    foam_plastic="true", combustible="true", permeability="1 perm-in",
)  # fmt: skip
POLYISO = make_material(
    "test-polyiso-foil", "rigid-foam", conductivity="0.0245 W/(m*K)", density="32 kg/m3",
    specific_heat="920 J/(kg*K)", foam_plastic="true", facing="foil", emissivity="0.05", permeance="0.03 perm",
)  # fmt: skip
MINERAL_BOARD = make_material(
    "test-mineral-wool-board", "mineral-board", conductivity="0.035 W/(m*K)", density="98 kg/m3",
    specific_heat="840 J/(kg*K)", air_open="true", permeability="80 perm-in",
)  # fmt: skip
BLOCK = make_material(
    "test-block-115", "block", conductivity="4.99 Btu*in/(h*ft2*F)", density="115 lb/ft3",
    specific_heat="0.21 Btu/(lb*F)", absorptive="true", air_open="true", permeance="2.4 perm",
)  # fmt: skip
GROUT = make_material(
    "test-grout", "mortar", conductivity="6.73 Btu*in/(h*ft2*F)", density="130 lb/ft3",
    specific_heat="0.2 Btu/(lb*F)", absorptive="true",
)  # fmt: skip
BRICK = make_material(
    "test-face-brick", "brick", conductivity="9 Btu*in/(h*ft2*F)", density="130 lb/ft3",
    specific_heat="0.24 Btu/(lb*F)", absorptive="true", permeability="5 perm-in",
)  # fmt: skip
CONCRETE = make_material(
    "test-concrete", "concrete", conductivity="1.95 W/(m*K)", density="144 lb/ft3",
    specific_heat="0.22 Btu/(lb*F)", absorptive="true", permeability="3 perm-in",
)  # fmt: skip


def framed_wall(
    cavity: Material | None = BATT_R13, depth: str = "3-1/2 in", outboard: tuple[Layer, ...] = (), **fields: Any
) -> Wall:
    """Siding, house wrap, any outboard layers, 7/16 in OSB, studs 16 in on center at 25 %, 1/2 in gypsum board."""
    layers = (
        make_layer("siding", SIDING, "1/2 in"),
        make_layer("wrb", WRB, "10 mil", controls=("water", "air")),
        *outboard,
        make_layer("sheathing", OSB, "7/16 in"),
        studs(depth, cavity, fraction=0.25),
        make_layer("board", GYPSUM, "1/2 in"),
    )
    return make_wall(layers, **fields)


def block_wall(outside: tuple[Layer, ...] = (), inside: tuple[Layer, ...] = (), **fields: Any) -> Wall:
    """8 in block with these layers on each side; keys of `block` under `block_fields`."""
    fields.setdefault("construction", "mass-exterior-insulated" if outside else "mass-interior-insulated")
    return make_wall((*outside, block(**fields.pop("block_fields", {})), *inside), **fields)
