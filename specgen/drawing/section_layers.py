"""One layer of the vertical section: its outline at true thickness, and what fills it.

The layer's own lines hold exactly one closed outline (for a film or a coat of no stated thickness it is not stroked,
and may have no width at all); hatches, courses, members and embedded parts stand in groups of their own inside it.
"""

from __future__ import annotations

import math

from specgen import units
from specgen.drawing.base import PLATE_DEPTH, Item, membrane_path
from specgen.drawing.callouts import FURRING_LIMIT
from specgen.drawing.geometry import polygon
from specgen.drawing.hatch import Area, cross, hatch
from specgen.drawing.layout import Strip, backing_index, coat_weight, is_siding
from specgen.drawing.parts import embedded_lines, unit_joints
from specgen.drawing.section_layout import SectionLayout, embedded_position
from specgen.model.material import Kind
from specgen.model.scene import Group, Line, Point

VIEW = "section"
BOARD = 0.35  # [mm]
CUT = 0.50
BEYOND = 0.25
LAP = 1.25 * units.INCH  # of lap siding over the course below (common practice)


def layer_group(layout: SectionLayout, strip: Strip, title: str) -> Group:
    """One layer of the section: its cut outline at true thickness first, then hatch, courses and embedded parts."""
    layer, frame = strip.layer, layout.frame
    top, low_outer, low_inner = layout.span(strip)
    corners = (
        frame.place(strip.outer, top),
        frame.place(strip.inner, top),
        frame.place(strip.inner, low_inner),
        frame.place(strip.outer, low_outer),
    )
    if strip.is_film:
        return Group(
            layer.id, (Line(corners, 0.0, closed=True, stroked=False), _film_line(layout, strip)), title, "layer"
        )
    if is_siding(layer):
        outline = Line(corners, 0.0, closed=True, stroked=False)
        return Group(layer.id, (outline, _courses(layout, strip)), title, "layer")
    outline = _outline(layout, strip, corners)
    inside = _inside(layout, strip, corners)
    return Group(layer.id, (*inside, outline), title, "layer")


def is_open(strip: Strip) -> bool:
    """True for a layer that shows no cut material: an air space, or a framed layer without fill."""
    layer = strip.layer
    return layer.material is None and layer.fill is None and not strip.is_film


def _outline(layout: SectionLayout, strip: Strip, corners: tuple[Point, ...]) -> Line:
    layer = strip.layer
    if is_open(strip):
        return Line(corners, BEYOND, closed=True, ink="gray")
    grouped = layer.group is not None
    material = layer.material
    thin = material is not None and material.kind in (
        "gypsum-board", "gypsum-sheathing", "wood-panel", "drainage-mat", "fiberboard", "fiber-cement", "tile",
    )  # fmt: skip
    weight = BOARD if thin else CUT
    if grouped:
        weight = coat_weight(layout.wall, layer, 1000 / layout.frame.ratio)
    return Line(corners, weight, closed=True)


def _inside(layout: SectionLayout, strip: Strip, corners: tuple[Point, ...]) -> list[Item]:
    """What fills a layer: its hatch, or shells and joints of a unit, or fill and cut members of a framed layer."""
    layer, frame = strip.layer, layout.frame
    prefix = f"{VIEW}_{layer.id}"
    top, low_outer, low_inner = layout.span(strip)
    if layer.unit:
        bottom = min(low_outer, low_inner)
        courses = unit_joints(strip, frame, bottom, top, layout.seed, prefix)
        return [*courses, *_ties(layout, strip, bottom, f"{prefix}_ties")]
    items: list[Item] = []
    plated = layer.framing and layout.feet and strip.layer.depth >= FURRING_LIMIT and low_outer == 0.0
    kind: Kind | None = None
    if layer.material:
        kind = layer.material.kind
    elif layer.fill:
        kind = layer.fill.kind
    if kind:
        low = frame.mm(PLATE_DEPTH) if plated else min(low_outer, low_inner)
        outer = strip.hatch_outer
        if layer.fill and layer.cavity and layer.cavity.depth:
            outer = max(outer, strip.outer + frame.mm(layer.cavity.depth))
        region = polygon(corners)
        if plated or outer > strip.outer or strip.hatch_inner < strip.inner:
            region = region.intersection(polygon(frame.box(outer, strip.hatch_inner, top, low)))
        holes = [embedded_position(strip, part.id, frame) for part in layer.embedded]
        for across in holes:
            region = region.difference(polygon(frame.box(across - 0.45, across + 0.45, top, low)))
        x0, y0 = frame.place(outer, top)
        x1, y1 = frame.place(strip.hatch_inner, low)
        area = Area(region, (x0, y0), (x1, y1), frame.origin, f"{layout.seed}/{layer.id}", True, frame.mm_per_inch)
        marks = hatch(kind, area)
        if marks:
            items.append(Group(f"{prefix}_hatch", marks, "", "hatch"))
    for part in layer.embedded:
        items.append(
            embedded_lines(part, embedded_position(strip, part.id, frame), frame, low_inner, top, f"{prefix}_{part.id}")
        )
    if layer.framing and layer.framing.orientation == "horizontal":
        items.append(_level_members(layout, strip, f"{prefix}_members"))
    return items


def _ties(layout: SectionLayout, strip: Strip, bottom: float, group_id: str) -> list[Item]:
    """Ties from the backing across the cavity into a bed joint, at the stated spacing."""
    layer, frame, feet = strip.layer, layout.frame, layout.feet
    if layer.ties is None or layer.unit is None:
        return []
    backing = layout.strips[feet.backing if feet else backing_index(layout.wall)]
    if backing.index <= strip.index:
        return []
    module, joint = frame.mm(layer.unit.height + layer.unit.joint), frame.mm(layer.unit.joint)
    every = max(1, round(frame.mm(layer.ties.spacing or 16 * units.INCH) / module))
    bed = strip.outer + 0.4 * (strip.inner - strip.outer)
    lines: list[Item] = []
    course = every
    start = math.ceil(bottom / module) * module
    while start + course * module < layout.top - 2.0:
        level = start + course * module + joint / 2
        path = ((bed, level), (backing.outer, level), (backing.outer, level + 1.6))
        lines.append(Line(tuple(frame.place(*point) for point in path), BOARD))
        course += every
    return [Group(group_id, tuple(lines), "Ties", "joint")]


def _film_line(layout: SectionLayout, strip: Strip) -> Line:
    frame = layout.frame
    top, low, _ = layout.span(strip)
    feet = layout.feet
    if feet and 0 < strip.index < feet.backing and strip.weight >= 0.5 and strip.line < strip.inner:
        return Line(membrane_path(layout.wall, strip, feet, frame, top, low), strip.weight, strip.dash)
    return Line((frame.place(strip.line, top), frame.place(strip.line, low)), strip.weight, strip.dash)


def _courses(layout: SectionLayout, strip: Strip) -> Group:
    """Lap siding: each board leans on the one below, the lowest on its starter strip."""
    layer, frame = strip.layer, layout.frame
    assert layer.exposure is not None and layer.material is not None
    top, low, _ = layout.span(strip)
    depth, pitch, board = strip.inner - strip.outer, frame.mm(layer.exposure), frame.mm(layer.exposure + LAP)
    cut = polygon(frame.box(strip.outer - 2 * depth, strip.inner + 0.01, top, low - 0.01))
    items: list[Item] = []
    level = low
    index = 0
    while level < top:
        # Lower end stands out by one thickness over the board below, upper end lies back on the furring.
        ends = [(strip.inner, level + board), (strip.outer, level + board),
                (strip.outer - depth, level), (strip.inner - depth, level)]  # fmt: skip
        region = polygon([frame.place(*end) for end in ends]).intersection(cut)
        if not region.is_empty and region.geom_type == "Polygon":
            points = tuple((x, y) for x, y in region.exterior.coords)[:-1]
            xs, ys = [x for x, _ in points], [y for _, y in points]
            area = Area(region, (min(xs), min(ys)), (max(xs), max(ys)), frame.origin,
                        f"{layout.seed}/{layer.id}/{index}", True, frame.mm_per_inch)  # fmt: skip
            marks = hatch(layer.material.kind, area)
            items.append(Group(f"{VIEW}_{layer.id}_course{index}_hatch", marks, "", "hatch"))
            items.append(Line(points, BOARD, closed=True))
        level += pitch
        index += 1
    starter = frame.box(strip.inner - depth, strip.inner, low, low + min(pitch / 4, frame.mm(LAP)))
    items.append(Line(starter, 0.18, closed=True))
    return Group(f"{VIEW}_{layer.id}_courses", tuple(items), "", "layer-outline")


def _level_members(layout: SectionLayout, strip: Strip, group_id: str) -> Group:
    """Horizontal members are cut: rectangles with both diagonals at their spacing."""
    frame, members = layout.frame, strip.layer.framing
    assert members is not None
    top, low, _ = layout.span(strip)
    size, pitch = frame.mm(members.width), frame.mm(members.spacing)
    items: list[Item] = []
    level = low
    while level + size <= top:
        corners = frame.box(strip.outer, strip.inner, level, level + size)
        items += [Line(corners, CUT, closed=True, fill="white"), cross(corners)]
        level += pitch
    return Group(group_id, tuple(items), "", "layer-outline")
