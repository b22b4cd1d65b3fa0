"""The part of a wall that repeats, as rectangles for conduction in two dimensions: wall in, cuts through it out.

Members upright: a plan. All of them level: a vertical section. Members of several layers share their first middle, so
that bridges stand in line; where their spacings have no common multiple within reach, each layer is stretched to the
spacing of the deepest members at an unchanged share. Members that cross the cut's direction are spread over their layer
at the resistance between isothermal planes, the lower limit. Hollow block is cut through webs, cores and head joints;
grouted cells and bed joints are cuts of their own. All of this errs toward more heat.
Left out: joints of solid masonry, fasteners, lips and slopes of formed steel.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from specgen import units
from specgen.checks import makeup
from specgen.checks.formed_steel import shape, steel_conductivity
from specgen.checks.heat_paths import Crossing
from specgen.checks.layer_options import cavity_bands, isothermal_with_steel, layer_options
from specgen.checks.masonry_cuts import MasonryCut, block_rectangles, masonry_cuts
from specgen.checks.masonry_units import web_geometry
from specgen.checks.once import once
from specgen.checks.resistances import MISSING, material_resistance
from specgen.model.wall import Layer
from specgen.physics import heat
from specgen.physics.conduction import Rectangle, Section

LONGEST_PATTERN = 2.5  # a longer common multiple of spacings is not looked for [m]
PLAIN_WIDTH = 0.1  # of a cut in which nothing repeats [m]
STEP = 1e-4  # spacings are compared to a tenth of a millimeter [m]


@dataclass(frozen=True, slots=True)
class Cut:
    """One cut through the repeating wall, with its members and with the cavity carried on in their place."""

    name: str  # "open cells", "grouted cells", "bed joints", "" where there is one cut only
    share: float  # of the wall area [-]
    section: Section
    clear: Section


@dataclass(frozen=True, slots=True)
class PlanUnit:
    """The repeating unit of a wall."""

    cuts: tuple[Cut, ...]  # their shares sum to 1
    exterior_film: float  # [m²·K/W]
    interior_film: float  # [m²·K/W]
    bridged: float  # share of the unit that members take; 0 without members [-]
    declared: float  # framing fraction that the wall declares for them [-]
    bands: tuple[tuple[str, float, float], ...]  # layer, outer and inner face within the section [m]
    words: tuple[str, ...]  # what stands in the unit and how, one sentence each
    metal: bool  # formed steel stands in it

    @property
    def multiple(self) -> float:
        """How many times the unit's own share of members the wall declares. [-]"""
        return self.declared / self.bridged if self.bridged > 0 else 0.0


@dataclass(frozen=True, slots=True)
class _Window:
    """Along the cut: from a middle of members, or from half a pattern before it where a member is not symmetric."""

    start: float  # [m]
    end: float  # [m]
    stretch: dict[str, float]  # layer id: factor on its lengths along the wall


@once
def plan_unit(way: Crossing) -> PlanUnit | None:
    """The repeating unit of what heat crosses, or None where a layer has no R that could stand in it.

    Raises
    ------
    NotComputableError
        If a value is missing for which nothing may be assumed.
    """
    framed = [layer for layer in way.counted if layer.framing is not None and layer.framing.fraction > 0]
    upright = [layer for layer in framed if layer.framing and layer.framing.orientation == "vertical"]
    is_plan = bool(upright) or not framed
    members = upright if is_plan else framed
    hollow = _cut_block(way, is_plan)
    window = _window(members, hollow)
    cuts = masonry_cuts(hollow) if hollow is not None else (MasonryCut("", 1.0, ""),)
    if not all(_has_r(layer) for layer in way.counted) or not any(_stands(layer) for layer in way.counted):
        return None
    found = []
    for cut in cuts:
        section = _section(way.counted, members, hollow, cut, window, with_members=True)
        clear = _section(way.counted, members, hollow, cut, window, with_members=False)
        found.append(Cut(cut.name, cut.share, section, clear))
    ratios = {layer.id: _ratio(layer) for layer in members}
    bridge = max(members, key=lambda layer: ratios[layer.id], default=None)
    framing = bridge.framing if bridge is not None else None
    return PlanUnit(
        cuts=tuple(found),
        exterior_film=way.places[0][0].resistances[0].resistance,
        interior_film=way.places[-1][0].resistances[0].resistance,
        bridged=min(1.0, framing.width / framing.spacing) if framing else 0.0,
        declared=framing.fraction if framing else 0.0,
        bands=_bands(way.counted),
        words=_words(way.counted, members, hollow, window, is_plan),
        metal=any(makeup.is_metal_framed(layer) for layer in members),
    )


def _ratio(layer: Layer) -> float:
    assert layer.framing is not None
    return layer.framing.fraction / min(1.0, layer.framing.width / layer.framing.spacing)


def _cut_block(way: Crossing, is_plan: bool) -> Layer | None:
    """The hollow block that the plan cuts through webs and cores: the deepest whose webs are known."""
    found = [
        layer
        for layer in way.counted
        if layer.unit is not None and makeup.is_hollow(layer) and web_geometry(layer, layer.unit) is not None
    ]
    return max(found, key=lambda layer: layer.depth) if found and is_plan else None


def _has_r(layer: Layer) -> bool:
    """False where the calculation by hand counts a layer or its members as R-0 for want of a value."""
    if layer.framing is None:
        return all(option.resistance.status != MISSING for option in layer_options(layer))
    parts = [resistance for _, resistance in cavity_bands(layer)]
    if not layer.framing.material.metal:
        parts.append(material_resistance(layer, layer.framing.material, layer.thickness))
    return all(part.status != MISSING and part.resistance > 0 for part in parts)


def _window(members: list[Layer], hollow: Layer | None) -> _Window:
    spacings = {layer.id: layer.framing.spacing for layer in members if layer.framing}
    if hollow is not None and hollow.unit is not None:
        spacings[hollow.id] = hollow.unit.length + hollow.unit.joint
    if not spacings:
        return _Window(0.0, PLAIN_WIDTH, {})
    steps = [round(spacing / STEP) for spacing in spacings.values()]
    pattern = math.lcm(*steps) * STEP
    stretch = {}
    if pattern > LONGEST_PATTERN:
        main = max(members, key=lambda layer: layer.depth, default=hollow)
        pattern = spacings[main.id] if main is not None else max(spacings.values())
        stretch = {name: pattern / spacing for name, spacing in spacings.items()}
    mirrored = all(layer.framing is None or layer.framing.profile in ("solid", "hat") for layer in members)
    return _Window(0.0 if mirrored else -pattern / 2, pattern / 2, stretch)


def _bands(counted: tuple[Layer, ...]) -> tuple[tuple[str, float, float], ...]:
    """Faces within the section of each layer that has a depth there, exterior first."""
    bands, at = [], 0.0
    for layer in counted:
        if _stands(layer):
            bands.append((layer.id, at, at + layer.depth))
            at += layer.depth
    return tuple(bands)


def _stands(layer: Layer) -> bool:
    """A film or a mat that counts as R-0 has no depth in the section."""
    return layer.framing is not None or all(option.resistance.resistance > 0 for option in layer_options(layer))


def _section(
    counted: tuple[Layer, ...],
    members: list[Layer],
    hollow: Layer | None,
    cut: MasonryCut,
    window: _Window,
    with_members: bool,
) -> Section:
    parts: list[Rectangle] = []
    at = 0.0
    core = max(counted, key=lambda layer: layer.depth)
    for layer in counted:
        if not _stands(layer):
            continue
        if layer is hollow:
            stretch = window.stretch.get(layer.id, 1.0)
            parts += block_rectangles(layer, cut, at, (window.start, window.end), stretch)
        elif layer in members:
            depth = at
            for thickness, resistance in cavity_bands(layer):
                parts.append(_full(layer.id, window, depth, thickness, thickness / resistance.resistance))
                depth += thickness
            if with_members:
                inside = counted.index(layer) > counted.index(core)
                parts += _members(layer, at, window, inside)
        else:
            parts.append(_full(layer.id, window, at, layer.depth, layer.depth / _spread(layer)))
        at += layer.depth
    shifted = tuple(
        Rectangle(
            part.name, part.start - window.start, part.end - window.start, part.outer, part.inner, part.conductivity
        )
        for part in parts
        if part.end > window.start and part.start < window.end
    )
    return Section(window.end - window.start, at, shifted)


def _full(name: str, window: _Window, outer: float, depth: float, conductivity: float) -> Rectangle:
    return Rectangle(name, window.start, window.end, outer, outer + depth, conductivity)


def _spread(layer: Layer) -> float:
    """Resistance of a layer as one material: its parts between isothermal planes. [m²·K/W]"""
    if layer.framing is not None and layer.framing.material.metal:
        return _spread_metal(layer)
    options = layer_options(layer)
    return heat.bridged_layer(
        [option.share for option in options], [option.resistance.resistance for option in options]
    )


def _spread_metal(layer: Layer) -> float:
    """Steel that crosses the cut: its share of each depth conducts beside the cavity, the lower limit of R."""
    cavity = math.fsum(resistance.resistance for _, resistance in cavity_bands(layer))
    return isothermal_with_steel(layer, cavity)[0]


def _members(layer: Layer, outer: float, window: _Window, inside: bool) -> list[Rectangle]:
    framing = layer.framing
    assert framing is not None
    stretch = window.stretch.get(layer.id, 1.0)
    spacing = framing.spacing * stretch
    first = math.ceil((window.start - spacing) / spacing)
    parts: list[Rectangle] = []
    for number in range(first, math.floor((window.end + spacing) / spacing) + 1):
        middle = number * spacing
        if framing.material.metal and framing.profile != "solid":
            parts += shape(layer, middle, outer, stretch, inside)
            continue
        half = min(framing.width, framing.spacing) * stretch / 2
        if framing.material.metal:
            conductivity = steel_conductivity(layer)
        else:
            conductivity = layer.depth / material_resistance(layer, framing.material, layer.thickness).resistance
        name = f"members of {layer.id}"
        parts.append(Rectangle(name, middle - half, middle + half, outer, outer + layer.depth, conductivity))
    return parts


def _words(
    counted: tuple[Layer, ...], members: list[Layer], hollow: Layer | None, window: _Window, is_plan: bool
) -> tuple[str, ...]:
    cut = "plan" if is_plan else "vertical section"
    words = []
    for layer in members:
        framing = layer.framing
        assert framing is not None
        size = units.format_inches(framing.width)
        shape_name = f"{framing.profile} " if framing.profile != "solid" else ""
        words.append(
            f"{layer.id}: {shape_name}members {size} in wide, {units.format_inches(framing.spacing)} in on center"
        )
    if hollow is not None and hollow.unit is not None:
        words.append(
            f"{hollow.id}: {hollow.unit.webs} webs, face shells, cores and mortared head joints; bed joints and "
            "grouted cells by area"
        )
    others = [layer.id for layer in counted if layer.framing is not None and layer not in members]
    if others:
        words.append(f"members of {', '.join(others)} cross the {cut} and are spread over their layer")
    if window.stretch:
        words.append("spacings without a common multiple brought to that of the deepest members, shares unchanged")
    return (f"{cut} through the repeating unit", *words)
