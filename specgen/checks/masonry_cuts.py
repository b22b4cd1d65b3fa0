"""Hollow block as rectangles: one unit with its webs, cores and head joints, and the cuts that a wall of it needs.

Mortar lies on the face shells, as hollow units are bedded; between them a joint is open where the cells are, and
counts as grout where they are grouted. Mortar is taken at the high end of what is printed for it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from specgen import units
from specgen.checks.masonry_units import grouted_share, web_geometry
from specgen.checks.resistances import concrete_conductivity, film_row, material_resistance
from specgen.errors import NotComputableError
from specgen.model.wall import Layer
from specgen.physics.conduction import Rectangle

MORTAR = 12 * units.K_IP  # brick-industry note of 1980; other tables give 5 to 7 [W/(m·K)]


@dataclass(frozen=True, slots=True)
class MasonryCut:
    """Cells of one kind, or the bed joints of open cells."""

    name: str
    share: float  # of the wall area [-]
    inside: str  # "core", "grout", "bed"; "" without hollow block


def masonry_cuts(layer: Layer) -> tuple[MasonryCut, ...]:
    """The cuts side by side that a wall of these units needs, shares summing to 1."""
    unit = layer.unit
    assert unit is not None
    grouted = grouted_share(unit)
    bed = unit.joint / (unit.height + unit.joint)
    cuts = (
        MasonryCut("open cells", (1 - grouted) * (1 - bed), "core"),
        MasonryCut("bed joints", (1 - grouted) * bed, "bed"),
        MasonryCut("grouted cells", grouted, "grout"),
    )
    return tuple(cut for cut in cuts if cut.share > 0)


def block_rectangles(
    layer: Layer, cut: MasonryCut, outer: float, window: tuple[float, float], stretch: float
) -> list[Rectangle]:
    """Rectangles of a course along the window; the middle of a head joint stands at 0.

    Parameters
    ----------
    layer : Layer
        Hollow block with its webs.
    cut : MasonryCut
        What stands in the cells.
    outer : float
        Outer face of the block in the section. [m]
    window : pair of float
        Along the wall. [m]
    stretch : float
        Factor on lengths along the wall. [-]

    Raises
    ------
    NotComputableError
        If the webs or a conductivity are missing.
    """
    unit, material = layer.unit, layer.material
    geometry = web_geometry(layer, unit) if unit is not None else None
    if unit is None or material is None or geometry is None or unit.web is None or unit.webs is None:
        raise NotComputableError(f"layer {layer.id!r}: hollow unit without face_shell, web and webs")
    shell, _, depth = geometry
    inner, mortar = outer + layer.depth, MORTAR
    concrete = concrete_conductivity(layer, material)[0]
    infill = _infill(layer, cut, depth)
    start, end = window
    if cut.inside == "bed":
        return [
            Rectangle("bed joint", start, end, outer, inner, mortar),
            Rectangle("bed joint between the shells", start, end, outer + shell, inner - shell, infill),
        ]
    parts = [Rectangle(layer.id, start, end, outer, inner, concrete)]
    period, joint = (unit.length + unit.joint) * stretch, unit.joint * stretch
    web, count = unit.web * stretch, max(2, unit.webs)
    cell = (unit.length * stretch - count * web) / (count - 1)
    for number in range(math.floor(start / period) - 1, math.ceil(end / period) + 1):
        left = number * period
        parts.append(Rectangle("head joint", left - joint / 2, left + joint / 2, outer, inner, mortar))
        inside = Rectangle("head joint between the shells", left - joint / 2, left + joint / 2, outer + shell,
                           inner - shell, infill)  # fmt: skip
        parts.append(inside)
        for index in range(count - 1):
            at = left + joint / 2 + web + index * (cell + web)
            parts.append(Rectangle("core", at, at + cell, outer + shell, inner - shell, infill))
    return parts


def _infill(layer: Layer, cut: MasonryCut, depth: float) -> float:
    """Conductivity of what stands in the cells; an empty core by the handbook's resistance. [W/(m·K)]"""
    assert layer.unit is not None
    if cut.inside == "grout":
        assert layer.unit.grout is not None
        return concrete_conductivity(layer, layer.unit.grout.material)[0]
    if layer.fill is not None:
        filled = material_resistance(layer, layer.fill, depth).resistance
        if filled > 0:
            return depth / filled
    return float(depth / (film_row("us-core")["r"] * units.R_IP))
