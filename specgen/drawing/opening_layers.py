"""The wall's own layers at an opening, stopped where the trades stop them, with the members that edge it."""

from __future__ import annotations

import shapely

from specgen import units
from specgen.drawing.base import Item
from specgen.drawing.callouts import FURRING_LIMIT
from specgen.drawing.geometry import Frame, polygon
from specgen.drawing.hatch import Area, Marks, cross, grout_stipple, hatch
from specgen.drawing.layout import Strip, coat_weight, is_siding
from specgen.drawing.opening_cut import Cut
from specgen.drawing.parts import LATH, LATH_DASH, formed_member, shells, unit_joints
from specgen.drawing.section_layout import embedded_position
from specgen.model.material import Kind
from specgen.model.scene import Circle, Group, Line, Point

STUD = 1.5 * units.INCH
LAP = 1.25 * units.INCH  # of lap siding (common practice)
_THIN = ("gypsum-board", "gypsum-sheathing", "wood-panel", "drainage-mat", "fiberboard", "fiber-cement", "tile")


def solid_group(cut: Cut, strip: Strip, title: str) -> Group:
    """One layer that is no film: its outline at true thickness, what fills it, and the members at its edge."""
    layer = strip.layer
    near = cut.end(strip)
    corners = cut.box(strip.outer, strip.inner, near, cut.into)
    group_id = f"{cut.side}-{layer.id}"
    if is_siding(layer) and cut.side != "jamb":
        outline = Line(corners, 0.0, closed=True, stroked=False)
        return Group(group_id, (outline, _boards(cut, strip, near)), title, "layer")
    open_layer = layer.material is None and layer.fill is None
    items: list[Item] = []
    if layer.unit:
        items += _units(cut, strip, near)
    elif layer.material or layer.fill:
        items += filled(cut, strip, near + _edge_member(cut, strip))
    for part in layer.embedded:
        across = embedded_position(strip, part.id, cut.frame)
        ends = (cut.at(across, near), cut.at(across, cut.into))
        items.append(Group(f"{group_id}_{part.id}", (Line(ends, LATH, LATH_DASH),), part.material.label, "embedded"))
    weight = 0.25 if open_layer else 0.5
    if layer.group:
        weight = coat_weight(cut.wall, layer, 1000 / cut.frame.ratio)
    if layer.material is not None and layer.material.kind in _THIN:
        weight = 0.35
    items.append(Line(corners, weight, closed=True, ink="gray" if open_layer else "black"))
    return Group(group_id, tuple(items), title, "layer")


def filled(cut: Cut, strip: Strip, near: float) -> list[Item]:
    """Hatch of a layer from `near` on."""
    layer = strip.layer
    material = layer.material or layer.fill
    assert material is not None
    outer = strip.hatch_outer
    if layer.fill and layer.cavity and layer.cavity.depth:
        outer = max(outer, strip.outer + cut.mm(layer.cavity.depth))
    region = polygon(cut.box(outer, strip.hatch_inner, near, cut.into))
    for part in layer.embedded:
        across = embedded_position(strip, part.id, cut.frame)
        region = region.difference(polygon(cut.box(across - 0.45, across + 0.45, near, cut.into)))
    marks = hatched(cut, material.kind, region, layer.id)
    return [Group(f"{cut.side}-{layer.id}_hatch", marks, "", "hatch")] if marks else []


def hatched(cut: Cut, kind: Kind, region: shapely.Polygon, name: str) -> Marks:
    """The symbol of a material in a region of this cut."""
    x0, y0, x1, y1 = region.bounds
    seed = f"{cut.wall.name}/{cut.side}/{name}"
    upright = cut.side != "jamb"
    return hatch(kind, Area(region, (x0, y0), (x1, y1), cut.frame.origin, seed, upright, cut.frame.mm_per_inch))


def members(cut: Cut) -> Group:
    """Studs, header, sill plate and furring that edge the opening, cut across: with both diagonals."""
    items: list[Item] = []
    for strip in cut.strips:
        layer = strip.layer
        if layer.framing is None:
            continue
        near = cut.end(strip)
        if strip.index == cut.core:
            items += _framing(cut, strip)
        elif strip.index > cut.core:
            items += _edge(cut, strip, near, near + _edge_member(cut, strip))
        elif layer.framing.orientation == "vertical" and cut.side == "jamb":
            width = cut.mm(layer.framing.width)
            start = max(near, -cut.gap + cut.joint) + cut.mm(0.3 * units.INCH)
            items += _edge(cut, strip, start, start + width)
        elif layer.framing.orientation == "horizontal" and cut.side != "jamb":
            start = near + cut.mm(0.6 * units.INCH)
            items += _edge(cut, strip, start, start + cut.mm(layer.framing.width))
    return Group(f"{cut.side}-members", tuple(items), "Members at the opening", "layer-outline")


def rect(cut: Cut, outer: float, inner: float, near: float, far: float, weight: float = 0.5) -> Line:
    """A rectangle on white."""
    return Line(cut.box(outer, inner, near, far), weight, closed=True, fill="white")


def wood(cut: Cut, outer: float, inner: float, near: float, far: float, weight: float = 0.5) -> list[Item]:
    """A wood member cut across the grain."""
    corners = cut.box(outer, inner, near, far)
    return [Line(corners, weight, closed=True, fill="white"), cross(corners, 0.18 if weight < 0.5 else 0.25)]


def _edge_member(cut: Cut, strip: Strip) -> float:
    """Width of the member that edges a framed layer inside of the core."""
    framing = strip.layer.framing
    if framing is None or strip.index <= cut.core:
        return 0.0
    return cut.mm(STUD if strip.layer.depth >= FURRING_LIMIT else framing.width)


def _edge(cut: Cut, strip: Strip, start: float, end: float) -> list[Item]:
    framing = strip.layer.framing
    assert framing is not None
    if framing.profile == "solid":
        return wood(cut, strip.outer, strip.inner, start, end)
    path = formed_member(strip, framing.profile, start, end, strip.index < cut.core)
    return [Line(tuple(cut.at(*point) for point in path), 0.5)]


def _framing(cut: Cut, strip: Strip) -> list[Item]:
    """Jamb: trimmer and king stud. Sill: one flat plate. Head: flat plate and the plies of the header above it."""
    size, depth = cut.mm(STUD), strip.inner - strip.outer
    if cut.side == "jamb":
        return [
            *wood(cut, strip.outer, strip.inner, 0.0, size),
            *wood(cut, strip.outer, strip.inner, size, 2 * size),
        ]
    plate = wood(cut, strip.outer, strip.inner, 0.0, size)
    if cut.side == "sill":
        return plate
    top = cut.into
    ply = min(size, 0.48 * depth)
    return [
        *plate,
        *wood(cut, strip.outer, strip.outer + ply, size, top),
        *wood(cut, strip.inner - ply, strip.inner, size, top),
    ]


def _boards(cut: Cut, strip: Strip, near: float) -> Group:
    """Lap siding: each board leans on the one below; at the head the lowest hangs over the flashing."""
    layer = strip.layer
    assert layer.exposure is not None and layer.material is not None
    depth, pitch, board = strip.inner - strip.outer, cut.mm(layer.exposure), cut.mm(layer.exposure + LAP)
    reach = polygon(cut.box(strip.outer - 2 * depth, strip.inner + 0.01, near - 0.01, cut.into))
    upward = 1.0 if cut.side == "head" else -1.0
    low = near if cut.side == "head" else cut.into + 0.35 * pitch
    items: list[Item] = []
    for index in range(40):
        level = low + upward * index * pitch
        if (cut.side == "head" and level > cut.into) or (cut.side == "sill" and level < near - board):
            break
        ends = (
            cut.at(strip.inner, level + upward * board), cut.at(strip.outer, level + upward * board),
            cut.at(strip.outer - depth, level), cut.at(strip.inner - depth, level),
        )  # fmt: skip
        region = polygon(ends).intersection(reach)
        if region.is_empty or region.geom_type != "Polygon":
            continue
        points = tuple((x, y) for x, y in region.exterior.coords)[:-1]
        marks = hatched(cut, layer.material.kind, region, f"{layer.id}/{index}")
        items.append(Group(f"{cut.side}-{layer.id}_course{index}_hatch", marks, "", "hatch"))
        items.append(Line(points, 0.35, closed=True))
    if cut.side == "head":
        starter = cut.box(strip.inner - depth, strip.inner, near, near + cut.mm(LAP))
        items.append(Line(starter, 0.18, closed=True))
    return Group(f"{cut.side}-{layer.id}_courses", tuple(items), "", "layer-outline")


def _units(cut: Cut, strip: Strip, near: float) -> list[Item]:
    """Brick or block: coursed from the opening's edge; the first course of hollow block is grouted around it."""
    if cut.side == "jamb":
        return _unit_jamb(cut, strip, near)
    unit = strip.layer.unit
    assert unit is not None
    height, joint = cut.mm(unit.height), cut.mm(unit.joint)
    prefix = f"{cut.side}-{strip.layer.id}"
    x, y = cut.frame.origin
    items: list[Item] = []
    first = strip.index == cut.core and unit.hollow
    seed = f"{cut.wall.name}/{cut.side}"
    if cut.side == "head":
        lift = near - joint
        shifted = Frame((x, y - lift), cut.frame.ratio)
        bottom, top = (height + joint if first else joint), cut.into - lift
    else:
        shifted = Frame((x, y + near), cut.frame.ratio)
        bottom, top = -(cut.into - near), (-(height + joint) if first else 0.0)
    if first:
        items += _grouted_course(cut, strip, near, min(near + height, cut.into))
    if top - bottom > 0.2:
        items += unit_joints(strip, shifted, bottom, top, seed, prefix)
    return items


def _grouted_course(cut: Cut, strip: Strip, near: float, far: float) -> list[Item]:
    """Lintel or sill course: shells around grout; a lintel's underside is closed and it holds bars."""
    shell, _ = shells(strip, cut.frame)
    head = cut.side == "head"
    body = polygon(cut.box(strip.outer, strip.inner, near, far))
    start = near + shell if head else near
    core = cut.box(strip.outer + shell, strip.inner - shell, min(start, far), far)
    grout = polygon(core)
    material = strip.layer.material
    assert material is not None
    prefix = f"{cut.side}-{strip.layer.id}"
    area = Area(grout, core[0], core[2], cut.frame.origin, f"{cut.wall.name}/{prefix}/grout")
    marks = hatched(cut, material.kind, body.difference(grout), f"{strip.layer.id}/shell")
    items: list[Item] = [Group(f"{prefix}_lintel" if head else f"{prefix}_sill", marks, "", "hatch")]
    bars: list[Item] = []
    if head and far - start > cut.mm(1.5 * units.INCH) + 1.5:
        middle, spread = (strip.outer + strip.inner) / 2, 0.2 * (strip.inner - strip.outer)
        for side in (-1, 1):
            place = (middle + side * spread, start + cut.mm(1.5 * units.INCH))
            bars.append(Circle(cut.at(*place), 0.9, 0.0, fill="black", stroked=False))
    clear = grout
    for bar in bars:
        assert isinstance(bar, Circle)
        clear = clear.difference(polygon([(bar.center[0] + dx, bar.center[1] + dy) for dx, dy in _SQUARE]))
    items.append(Group(f"{prefix}_grout", grout_stipple(Area(clear, area.low, area.high, area.origin, area.seed)), "",
                       "hatch"))  # fmt: skip
    lines: list[Item] = [Line(core, 0.35, closed=True), *bars]
    lines.append(Line((cut.at(strip.outer, far), cut.at(strip.inner, far)), 0.25))
    return [*items, Group(f"{prefix}_course", tuple(lines), "Grouted course", "joint")]


_SQUARE = ((-1.2, -1.2), (1.2, -1.2), (1.2, 1.2), (-1.2, 1.2))


def _unit_jamb(cut: Cut, strip: Strip, near: float) -> list[Item]:
    """A course in plan: solid units with their head joints, hollow ones with the first cell grouted and barred."""
    layer = strip.layer
    unit = layer.unit
    assert unit is not None and layer.material is not None
    prefix = f"{cut.side}-{layer.id}"
    body = polygon(cut.box(strip.outer, strip.inner, near, cut.into))
    length, joint = cut.mm(unit.length), cut.mm(unit.joint)
    lines: list[Item] = []
    items: list[Item] = []
    if not unit.hollow:
        at = near + length
        if at + joint < cut.into:
            gap = cut.box(strip.outer, strip.inner, at, at + joint)
            body = body.difference(polygon(gap))
            lines.append(Line(gap, 0.25, closed=True))
    else:
        shell, web = shells(strip, cut.frame)
        webs = max(2, unit.webs or 3)
        cell = (length - webs * web) / (webs - 1)
        start = near + web
        number = 0
        while start < cut.into and number < webs - 1:
            core = cut.box(strip.outer + shell, strip.inner - shell, start, min(start + cell, cut.into))
            region = polygon(core)
            body = body.difference(region)
            if number == 0:
                middle = cut.at((strip.outer + strip.inner) / 2, start + cell / 2)
                clear = region
                if start + cell / 2 < cut.into - 1.5:
                    clear = region.difference(polygon([(middle[0] + x, middle[1] + y) for x, y in _SQUARE]))
                    lines.append(Circle(middle, 1.0, 0.0, fill="black", stroked=False))
                low, high = _corners(core)
                marks = grout_stipple(Area(clear, low, high, cut.frame.origin, f"{cut.wall.name}/{prefix}/cell", False))
                items.append(Group(f"{prefix}_cell", marks, "", "hatch"))
            lines.append(Line(core, 0.35, closed=True))
            start += cell + web
            number += 1
    marks = hatched(cut, layer.material.kind, body, layer.id)
    return [Group(f"{prefix}_hatch", marks, "", "hatch"), *items, Group(f"{prefix}_joints", tuple(lines), "", "joint")]


def _corners(points: tuple[Point, ...]) -> tuple[Point, Point]:
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return (min(xs), min(ys)), (max(xs), max(ys))
