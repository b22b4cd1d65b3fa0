"""Cold-formed steel members as thin rectangles: layer and place in, sheets of its profile out.

Sheets are as thick as the gauge says; a layer that names none gets 16 gauge, which conducts more than the light
gauges of furring. Legs are taken upright and lips left out.
"""

from __future__ import annotations

import re
from itertools import pairwise

from specgen import units
from specgen.checks.resistances import air_space
from specgen.data import load_table
from specgen.errors import NotComputableError
from specgen.model.wall import Framing, Layer
from specgen.physics.conduction import Rectangle

FOOT = 0.5 * units.INCH  # flange of a hat channel on its base, as commonly made; secondary [m]
USUAL_GAUGE = 16  # taken where none is given
MIL = units.INCH / 1000


def sheet_thickness(framing: Framing) -> float:
    """Thickness of the steel of a formed member, by its gauge or its mils. [m]

    Raises
    ------
    NotComputableError
        If the gauge is none of the table.
    """
    text = framing.gauge or f"{USUAL_GAUGE} gauge"
    number = re.search(r"\d+", text)
    rows = {row["gauge"]: row["thickness"] * units.INCH for row in load_table("sheet_steel")["rows"]}
    if number is not None and "mil" in text:
        return int(number.group()) * MIL
    if number is None or int(number.group()) not in rows:
        known = ", ".join(str(gauge) for gauge in rows)
        raise NotComputableError(f"steel members of {text!r}; expected one of the gauges {known}, or mils")
    return float(rows[int(number.group())])


def steel_conductivity(layer: Layer) -> float:
    """Conductivity of the metal members of a layer. [W/(m·K)]

    Raises
    ------
    NotComputableError
        If it is not known.
    """
    framing = layer.framing
    if framing is None or framing.material.conductivity is None:
        raise NotComputableError(f"layer {layer.id!r}: metal members without conductivity")
    return framing.material.conductivity.value


def steel_area(layer: Layer) -> float:
    """Cut area of one metal member. [m²]"""
    name = f"steel of {layer.id}"
    rectangles = [part for part in shape(layer, 0.0, 0.0, 1.0, inside=True) if part.name == name]
    return _covered(rectangles)


def shape(layer: Layer, middle: float, outer: float, stretch: float, inside: bool) -> list[Rectangle]:
    """Rectangles of one steel member, in the order in which they cover each other.

    Parameters
    ----------
    layer : Layer
        With metal framing.
    middle : float
        Of the member along the wall. [m]
    outer : float
        Outer face of the layer in the section. [m]
    stretch : float
        Factor on lengths along the wall. [-]
    inside : bool
        The layer stands inside of what carries it, so that a hat has its feet outward.

    Raises
    ------
    NotComputableError
        If the steel has no conductivity.
    """
    steel, framing = steel_conductivity(layer), layer.framing
    assert framing is not None
    inner = outer + layer.depth
    half = framing.width / 2 * stretch
    sheet = min(sheet_thickness(framing), layer.depth / 3, framing.width / 3)
    leg = sheet * stretch
    name = f"steel of {layer.id}"

    def part(start: float, end: float, near: float, far: float, conductivity: float = steel) -> Rectangle:
        return Rectangle(name, middle + start, middle + end, near, far, conductivity)

    outer_sheet, inner_sheet = (outer, outer + sheet), (inner - sheet, inner)
    if framing.profile == "hat":
        feet, crown = (outer_sheet, inner_sheet) if inside else (inner_sheet, outer_sheet)
        foot = FOOT * stretch
        air = layer.depth / air_space(layer, layer.depth).resistance
        return [
            Rectangle(f"air in the channels of {layer.id}", middle - half, middle + half, outer, inner, air),
            part(-half - foot, -half + leg, *feet),
            part(half - leg, half + foot, *feet),
            part(-half, -half + leg, outer, inner),
            part(half - leg, half, outer, inner),
            part(-half, half, *crown),
        ]
    if framing.profile == "zee":
        return [
            part(-leg / 2, leg / 2, outer, inner),
            part(-2 * half, leg / 2, *outer_sheet),
            part(-leg / 2, 2 * half, *inner_sheet),
        ]
    if framing.profile == "cee":
        return [
            part(-half, -half + leg, outer, inner),
            part(-half, half, *outer_sheet),
            part(-half, half, *inner_sheet),
        ]
    return [part(-half, half, outer, inner)]


def _covered(rectangles: list[Rectangle]) -> float:
    """Area that rectangles cover together. [m²]"""
    xs = sorted({x for part in rectangles for x in (part.start, part.end)})
    ys = sorted({y for part in rectangles for y in (part.outer, part.inner)})
    return sum(
        (x1 - x0) * (y1 - y0)
        for x0, x1 in pairwise(xs)
        for y0, y1 in pairwise(ys)
        if any(p.start <= x0 and x1 <= p.end and p.outer <= y0 and y1 <= p.inner for p in rectangles)
    )
