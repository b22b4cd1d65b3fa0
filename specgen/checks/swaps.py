"""Changes that a supplier's list allows to a wall: thicker or added boards in stock sizes, denser batts of one depth.

Takes a wall and the materials that may be used; gives changed walls with the change in words. What a change is worth
is judged by `checks/comply.py` on the changed wall itself. Members, claddings and their fasteners stay as they are.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from specgen import units
from specgen.checks import makeup, resistances
from specgen.checks.insulation import nominal_fill
from specgen.data import load_table
from specgen.model.material import Material
from specgen.model.wall import Layer, Wall
from specgen.model.ways import Swap

BOARD_KINDS = ("rigid-foam", "mineral-board")
SHEATHING_KINDS = ("wood-panel", "gypsum-sheathing", "fiberboard", "wood")
NEW_LAYER = "continuous-insulation"
HAIR = 1e-6  # two lengths nearer than this are one [m]


@dataclass(frozen=True, slots=True)
class Changed:
    """A wall with one change, and that change in words."""

    wall: Wall
    swap: Swap


@dataclass(frozen=True, slots=True)
class Seat:
    """Where continuous insulation stands or would stand."""

    index: int  # of the board that is there, or of the layer that a new one goes outside of
    there: bool
    words: str  # "outside of wrb"


def with_layers(wall: Wall, layers: Iterable[Layer]) -> Wall:
    """The same wall with other layers; nothing that was computed from the old ones is carried along."""
    fields = {name: getattr(wall, name) for name in type(wall).model_fields}
    return type(wall).model_construct(**(fields | {"layers": tuple(layers)}))


def board_seat(wall: Wall) -> Seat | None:
    """Where a board would stand: the thickest that is there, else the usual place for the construction, else none.

    Outside, that is on the water-control layer, as the shipped variants have it; inside, between the mass and the
    first layer that can hold a lining.
    """
    there = [index for index, layer in enumerate(wall.layers) if _is_board(layer)]
    if there:
        index = max(there, key=lambda i: wall.layers[i].depth)
        return Seat(index, True, "")
    mass = makeup.mass_layer(wall)
    if mass is not None and wall.construction != "mass-exterior-insulated":
        return _inside(wall, mass)
    return _outside(wall, mass)


def _is_board(layer: Layer) -> bool:
    return (
        layer.material is not None
        and layer.framing is None
        and layer.unit is None
        and makeup.is_insulation(layer.material)
        and layer.material.kind not in ("batt", "loose-fill", "spray-foam")
    )


def _inside(wall: Wall, mass: int) -> Seat | None:
    for index in range(mass + 1, len(wall.layers)):
        layer = wall.layers[index]
        if layer.framing is not None or (layer.material is not None and layer.material.kind == "gypsum-board"):
            return Seat(index, False, f"outside of {layer.id}")
    return None


def _outside(wall: Wall, mass: int | None) -> Seat | None:
    structure = mass
    if structure is None:
        structure = next(
            (i for i, layer in enumerate(wall.layers) if layer.framing and layer.depth >= makeup.LEAST_STUD_DEPTH), None
        )
    if structure is None:
        return None
    gap = makeup.ventilated_gap(wall)
    first = 0 if gap is None else gap + 1  # outside of an open gap a board would count for nothing
    water = [i for i in range(first, structure) if "water" in wall.layers[i].controls]
    sheathing = [i for i in range(first, structure) if _kind(wall.layers[i]) in SHEATHING_KINDS]
    index = (water or sheathing or [structure])[0]
    return Seat(index, False, f"outside of {wall.layers[index].id}")


def _kind(layer: Layer) -> str:
    return layer.material.kind if layer.material is not None and layer.framing is None else ""


def own_board(wall: Wall) -> Material | None:
    """The material of the board that the wall has, if it has one."""
    seat = board_seat(wall)
    return wall.layers[seat.index].material if seat is not None and seat.there else None


def boards(materials: Iterable[Material], outside: bool) -> tuple[Material, ...]:
    """Boards that may be added: insulation sold in sheets, outside only foam that bears cladding.

    A grooved board drains and has its own place in a wall, so that it is not proposed for another.

    Parameters
    ----------
    materials : iterable of Material
        Those of the library.
    outside : bool
        Whether cladding is fastened through the board.
    """
    least = load_table("stock_insulation")["least_density_outside"]["value"] * units.DENSITY_IP
    found = []
    for material in materials:
        soft = material.kind == "rigid-foam" and material.density is not None and material.density.value < least
        sheet = material.kind in BOARD_KINDS and makeup.is_insulation(material) and not material.drainable
        if sheet and not (outside and soft):
            found.append(material)
    return tuple(found)


def is_outside(wall: Wall, seat: Seat) -> bool:
    """True where the board stands outside of what carries the wall, with cladding fastened through it."""
    mass = makeup.mass_layer(wall)
    if mass is not None:
        return seat.index <= mass
    studs = [i for i, layer in enumerate(wall.layers) if layer.framing and layer.depth >= makeup.LEAST_STUD_DEPTH]
    return not studs or seat.index <= studs[0]


def stock(material: Material, outside: bool = True) -> tuple[tuple[float, int], ...]:
    """Thicknesses [m] that a board can be had in, one layer or two alike, thinnest first.

    Parameters
    ----------
    material : Material
        A board.
    outside : bool
        Whether cladding is fastened through it, so that the fastener tables of the code end its thickness.

    Source
    ------
    `stock` of the material; where it names none, `data/stock_insulation.yaml`.
    """
    table = load_table("stock_insulation")
    sizes = list(material.stock)
    if not sizes:
        row = next((row for row in table["rows"] if row["kind"] == material.kind), None)
        sizes = [size * units.INCH for size in row["thicknesses"]] if row else []
    most = table["most_outside"]["value"] * units.INCH if outside else float("inf")
    found: dict[int, tuple[float, int]] = {}
    for sheets in (1, 2):
        for size in sizes:
            total = size * sheets
            if total <= most + HAIR:
                found.setdefault(round(total / HAIR), (total, sheets))
    return tuple(found[key] for key in sorted(found))


def with_board(wall: Wall, seat: Seat, material: Material, thickness: float, sheets: int) -> Changed:
    """The wall with this board at its seat, thicker than before or new.

    Parameters
    ----------
    wall : Wall
        As it stands.
    seat : Seat
        From `board_seat` of this wall, or of one with the same layers in number and order.
    material : Material
        Of the board.
    thickness : float
        Of all sheets together. [m]
    sheets : int
        Layers that the board is laid in. [-]
    """
    layers = list(wall.layers)
    to = board_words(material, thickness, sheets)
    if seat.there:
        old = layers[seat.index]
        assert old.material is not None
        layers[seat.index] = old.model_copy(update={"material": material, "thickness": thickness, "label": None})
        swap = Swap(old.id, "continuous insulation", f"{units.format_inches(old.depth)} in {old.material.label}", to)
        return Changed(with_layers(wall, layers), swap)
    beside = layers[seat.index]
    name = NEW_LAYER
    while any(layer.id == name for layer in layers):
        name += "-2"
    fields = {"id": name, "material": material, "thickness": thickness, "controls": ("thermal",), "place": beside.place}
    new = Layer.model_validate(fields)
    layers.insert(seat.index, new)
    return Changed(with_layers(wall, layers), Swap(seat.words, "continuous insulation", "", to))


def board_words(material: Material, thickness: float, sheets: int) -> str:
    """`1 in XPS board`, `4 in EPS board, Type II (two layers of 2 in)`.

    Parameters
    ----------
    material : Material
        Of the board.
    thickness : float
        Of all sheets together. [m]
    sheets : int
        [-]
    """
    words = f"{units.format_inches(thickness)} in {material.label}"
    return words if sheets == 1 else f"{words} (two layers of {units.format_inches(thickness / sheets)} in)"


def denser_batts(wall: Wall, materials: Iterable[Material]) -> Iterator[Changed]:
    """The wall with a batt of more R at the depth of its own, least R first; one way for each R.

    Faced stays faced and unfaced unfaced, since a facing is a vapor retarder.
    """
    for index, layer in enumerate(wall.layers):
        fill = makeup.cavity_fill(layer)
        if fill is None or not makeup.is_insulation(fill) or fill.kind not in ("batt", "loose-fill"):
            continue
        now, clear = nominal_fill(layer), _clear_depth(layer)
        better: dict[float, Material] = {}
        for material in materials:
            if material.kind != "batt" or material.facing != fill.facing or material.id == fill.id:
                continue
            if resistances.has_no_r_here(material, clear):
                continue
            there = resistances.material_resistance(layer, material, clear).resistance
            if there > now + HAIR:
                better.setdefault(round(there, 3), material)
        for resistance in sorted(better):
            material = better[resistance]
            key = "fill" if layer.fill is not None else "material"
            layers = list(wall.layers)
            layers[index] = layer.model_copy(update={key: material, "label": None})
            before = f"{_batt_words(fill, now)}, {units.format_inches(clear)} in deep"
            swap = Swap(layer.id, "cavity insulation", before, _batt_words(material, nominal_fill(layers[index])))
            yield Changed(with_layers(wall, layers), swap)


def _batt_words(material: Material, resistance: float) -> str:
    r = f"R-{round(resistance / units.R_IP, 1):g}"
    return material.label if r in material.label else f"{r} {material.label}"


def _clear_depth(layer: Layer) -> float:
    clear = layer.cavity.depth if layer.cavity is not None and layer.cavity.depth is not None else 0.0
    return layer.depth - clear
