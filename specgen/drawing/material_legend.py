"""The materials used in a drawing: a swatch of each with the layer's own symbol, and its name."""

from __future__ import annotations

from specgen.drawing.callouts import callouts, is_film
from specgen.drawing.geometry import polygon, rectangle
from specgen.drawing.hatch import Area, cross, hatch
from specgen.drawing.layout import control_dash, control_letters
from specgen.drawing.type import SMALL, wrap
from specgen.errors import PageOverflowError
from specgen.model.scene import Group, Line, Strokes, Text
from specgen.model.wall import Layer, Wall

SWATCH = (8.0, 5.0)  # [mm]
LEAD = 3.6
ROW_GAP = 1.4
HEAD = SMALL + 3.0

_Item = Group | Line | Strokes | Text


def legend_rows(wall: Wall) -> list[tuple[str, Layer]]:
    """One row per material and way of drawing it, in the order of the layers; paint and empty spaces drop out."""
    rows: list[tuple[str, Layer]] = []
    for call in callouts(wall):
        layer = wall.layer(call.layer_ids[0])
        plain_film = is_film(layer) and not control_letters(layer)
        if call.embedded_id or plain_film or (layer.main_material is None and layer.framing is None):
            continue
        parts = [(call.name, layer)]
        if layer.framing and layer.fill:  # the fill's symbol is no picture of the members
            parts = [(layer.fill.label, layer), (call.name, layer.model_copy(update={"fill": None}))]
        rows += [part for part in parts if part[0] not in [name for name, _ in rows]]
    return rows


def legend_height(wall: Wall, width: float) -> float:
    """Height of the legend as a column of that width [mm]."""
    return HEAD + sum(_row_height(lines) + ROW_GAP for lines in _wrapped(wall, width)) - ROW_GAP


def material_legend(wall: Wall, x: float, top: float, width: float, floor_y: float) -> Group:
    """The legend as a column.

    Parameters
    ----------
    wall : Wall
        The wall.
    x, top : float
        Upper left corner. [mm]
    width : float
        Of swatch and name. [mm]
    floor_y : float
        Nothing reaches below this. [mm]

    Raises
    ------
    PageOverflowError
        If a row does not fit; names it.
    """
    items: list[_Item] = [Text((x, top + SMALL), "Materials in this drawing", SMALL, bold=True)]
    y = top + HEAD
    for number, ((name, layer), lines) in enumerate(zip(legend_rows(wall), _wrapped(wall, width), strict=True)):
        height = _row_height(lines)
        if y + height > floor_y:
            raise PageOverflowError(f"the legend of materials has no room for {name!r}")
        items.append(_swatch(wall, layer, x, y, number))
        first = y + (height - (len(lines) - 1) * LEAD + SMALL) / 2
        items += [Text((x + SWATCH[0] + 2.0, first + index * LEAD), line, SMALL) for index, line in enumerate(lines)]
        y += height + ROW_GAP
    return Group("legend_materials_jamb", tuple(items), "Materials", "note")


def _wrapped(wall: Wall, width: float) -> list[tuple[str, ...]]:
    return [wrap(name, width - SWATCH[0] - 2.0, SMALL) for name, _ in legend_rows(wall)]


def _row_height(lines: tuple[str, ...]) -> float:
    return max(SWATCH[1], SMALL + (len(lines) - 1) * LEAD)


def _swatch(wall: Wall, layer: Layer, x: float, y: float, number: int) -> Group:
    box = rectangle(x, y, x + SWATCH[0], y + SWATCH[1])
    items: list[_Item] = []
    name = f"legend_{number}"
    if is_film(layer):
        weight = 0.7 if control_letters(layer) else 0.25
        middle = y + SWATCH[1] / 2
        items.append(Line(((x, middle), (x + SWATCH[0], middle)), weight, control_dash(layer)))
        return Group(name, tuple(items), "", "note")
    material = layer.material or layer.fill
    if material is not None:
        area = Area(polygon(box), (x, y), (x + SWATCH[0], y + SWATCH[1]), (x, y), f"{wall.name}/{name}", False, 1.6)
        marks = hatch(material.kind, area)
        if marks:
            items.append(Group(f"{name}_hatch", marks, "", "hatch"))
    elif layer.framing and layer.framing.profile == "solid":
        items.append(cross(box, 0.25))
    elif layer.framing:
        items.append(Line(_formed(layer.framing.profile, x, y), 0.5))
        return Group(name, tuple(items), "", "note")
    items.append(Line(box, 0.35, closed=True))
    return Group(name, tuple(items), "", "note")


def _formed(profile: str, x: float, y: float) -> tuple[tuple[float, float], ...]:
    """A formed metal member cut across, centered in the swatch's place."""
    width, low, high = SWATCH[0], y + 0.85 * SWATCH[1], y + 0.15 * SWATCH[1]
    left, right = x + 0.2 * width, x + 0.8 * width
    if profile == "hat":
        return (
            (x, low), (left, low), (x + 0.3 * width, high), (x + 0.7 * width, high), (right, low), (x + width, low),
        )  # fmt: skip
    if profile == "zee":
        return ((left, low), (x + 0.5 * width, low), (x + 0.5 * width, high), (right, high))
    lip = 0.2 * (low - high)
    return ((right, high + lip), (right, high), (left, high), (left, low), (right, low), (right, low - lip))
