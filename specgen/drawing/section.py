"""The vertical section: a wall cut between its members, exterior at the left, true to scale.

Every layer is one group whose id is the layer's id. Its own lines hold exactly one closed outline, at true
thickness (for a film or a coat of no stated thickness it is not stroked, and may have no width at all); hatches,
courses and embedded parts stand in groups of their own inside it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from specgen import units
from specgen.drawing.base import Foot, foot, layer_ends, lower_break, membrane_path, support, termination
from specgen.drawing.callouts import Callout, callouts
from specgen.drawing.geometry import Frame, polygon
from specgen.drawing.hatch import Area, cross, hatch
from specgen.drawing.layout import Strip, backing_index, is_siding, strips
from specgen.drawing.marks import break_line, break_mask, control_marks
from specgen.drawing.notes import Target, number_column
from specgen.drawing.parts import embedded_lines, shells, unit_joints
from specgen.drawing.type import SMALL, format_scale
from specgen.errors import PageOverflowError
from specgen.model.material import Kind
from specgen.model.scene import Circle, Dots, Group, Line, Point, Strokes, Text, View
from specgen.model.wall import Wall

Item = Line | Strokes | Dots | Circle | Text | Group

VIEW = "section"
BOARD = 0.35  # [mm]
CUT = 0.50
PROFILE = 0.70
BEYOND = 0.25
COAT = 0.25  # between coats of one group
BELOW_GROUND = 13.0  # drawn below grade [mm]
LEAST_WALL = 25.0  # of wall above the floor, less tells nothing [mm]
LAP = 1.25 * units.INCH  # of lap siding over the course below (common practice)
LABEL_DROP = 6.5  # baseline of EXTERIOR and INTERIOR below the upper break [mm]


@dataclass(frozen=True, slots=True)
class SectionLayout:
    """Where everything of one section stands; heights in paper mm above the floor."""

    wall: Wall
    frame: Frame
    strips: tuple[Strip, ...]
    feet: Foot | None
    top: float
    bottom: float
    reach: float  # right end of slab or wall, across [mm]
    seed: str

    def span(self, strip: Strip) -> tuple[float, float, float]:
        """Upper end, lower end at the outer face and at the inner face of a layer."""
        outer, inner = layer_ends(self.wall, strip, self.feet, self.frame)
        return self.top, outer, inner

    @property
    def outer_face(self) -> float:
        """Paper x of the exterior face, siding laps included [mm]."""
        return self.frame.origin[0] + self.strips[0].outer - lap_depth(self.wall, self.frame.ratio)

    @property
    def inner_face(self) -> float:
        """Paper x of the interior face, paint lines included [mm]."""
        last = self.strips[-1]
        return self.frame.origin[0] + max(last.inner, last.line + last.weight / 2 if last.is_film else last.inner)


def lay_out_section(wall: Wall, ratio: float, origin: Point, height_mm: float, reach_mm: float = 40.0) -> SectionLayout:
    """Place a section between two break lines.

    Parameters
    ----------
    wall : Wall
        The wall; its base is drawn if it names one.
    ratio : float
        Scale: paper = actual / ratio. [-]
    origin : Point
        Paper point where the set-out face meets the upper break. [mm]
    height_mm : float
        From upper to lower break. [mm]
    reach_mm : float
        How far slab and footing may run inward of the set-out face. [mm]

    Raises
    ------
    PageOverflowError
        If less than 25 mm of wall would remain above the floor.
    """
    below = 0.0 if wall.base is None else wall.base.floor_above_grade * 1000 / ratio + BELOW_GROUND
    top = height_mm - below
    if top < LEAST_WALL:
        raise PageOverflowError(
            f"section of {wall.name!r} at {format_scale(ratio)}: {height_mm:.0f} mm leave {top:.0f} mm of wall above "
            f"the floor; at least {LEAST_WALL:.0f} mm are needed"
        )
    frame = Frame((origin[0], origin[1] + top), ratio)
    placed = strips(wall, 1000 / ratio)
    feet = foot(wall, placed, frame, -below)
    reach = max(placed[-1].inner + 8.0, reach_mm)
    return SectionLayout(wall, frame, placed, feet, top, -below, reach, wall.name)


def section_view(
    wall: Wall, ratio: float, origin: Point, height_mm: float, keys: str = "none", reach_mm: float = 40.0
) -> View:
    """The section as a view: layers, base, breaks, EXTERIOR and INTERIOR; `keys="letters"` adds the control letters.

    Parameters
    ----------
    wall : Wall
        The wall.
    ratio : float
        Scale from the list 4, 8, 16 (or 5, 10, 20). [-]
    origin : Point
        Paper point where the set-out face meets the upper break. [mm]
    height_mm : float
        From upper to lower break. [mm]
    keys : str
        "none" or "letters".
    reach_mm : float
        How far slab and footing may run inward of the set-out face. [mm]

    Returns
    -------
    view : View
        Its origin is the set-out face at floor level.

    Raises
    ------
    PageOverflowError
        If less than 25 mm of wall would remain above the floor.
    """
    layout = lay_out_section(wall, ratio, origin, height_mm, reach_mm)
    return draw_section(layout, keys)


def draw_section(layout: SectionLayout, keys: str = "none", label_drop: float = LABEL_DROP) -> View:
    """The view of a section that is already laid out."""
    wall, frame = layout.wall, layout.frame
    items: list[Item] = []
    if layout.feet:
        items.append(support(wall, layout.strips, layout.feet, frame, layout.reach, layout.seed))
    titles = layer_titles(wall)
    beyond = [strip for strip in layout.strips if _is_open(strip)]
    solid = [strip for strip in layout.strips if not _is_open(strip)]
    # Open layers first: their gray edges lie under the outlines of their neighbors.
    items += [_layer_group(layout, strip, titles[strip.layer.id]) for strip in (*beyond, *solid)]
    if layout.feet:
        items.append(termination(wall, layout.strips, layout.feet, frame))
    items.append(Group("section_profile", tuple(_profile(layout)), "Faces of the wall", "frame"))
    items.append(Group("section_breaks", tuple(_breaks(layout)), "Break lines", "frame"))
    items.append(side_labels(layout, label_drop))
    if keys == "letters":
        items.append(control_marks(layout.strips, frame, frame.origin[1] - layout.top, VIEW))
    group = Group(VIEW, tuple(items), f"Vertical section, {format_scale(frame.ratio)}")
    return View(VIEW, section_title(wall), frame.ratio, format_scale(frame.ratio), frame.origin, group)


def numbered_section(
    wall: Wall, ratio: float, origin: Point, height_mm: float, keys_x: float, reach_mm: float = 40.0
) -> tuple[View, Group]:
    """A section with control letters, and the numbers of its callouts in circles of one column at `keys_x`.

    Parameters and errors as `section_view` and `number_column`.
    """
    layout = lay_out_section(wall, ratio, origin, height_mm, reach_mm)
    numbers = [call.number for call in callouts(wall)]
    aims = targets(layout)
    # Many numbers start beside the upper break; the side labels then stand above it.
    for first, drop in ((11.0, LABEL_DROP), (3.5, -2.0)):
        try:
            keys = number_column(numbers, aims, keys_x, origin[1] + first, "section_keys")
            return draw_section(layout, "letters", drop), keys
        except PageOverflowError:
            if drop < 0:
                raise
    raise AssertionError("unreachable")


def lap_depth(wall: Wall, ratio: float) -> float:
    """How far the butts of lap siding stand out beyond the layer's own thickness, on paper [mm]."""
    return wall.layers[0].depth * 1000 / ratio if is_siding(wall.layers[0]) else 0.0


def section_title(wall: Wall) -> str:
    """Title with the place of the cut, since what lies there decides what is seen."""
    place = "Section at the base" if wall.base else "Section"
    if any(layer.unit and layer.unit.hollow for layer in wall.layers):
        return f"{place}, cut through cells"
    if any(layer.framing for layer in wall.layers):
        return f"{place}, cut between studs" if wall.construction == "framed" else f"{place}, cut between members"
    return place


def layer_titles(wall: Wall) -> dict[str, str]:
    """What assistive tools read for each layer: the note of its callout."""
    return {layer_id: call.note for call in callouts(wall) if not call.embedded_id for layer_id in call.layer_ids}


def targets(layout: SectionLayout) -> tuple[Target, ...]:
    """Where the leader of each callout may end: on its layer, between its ends. In the order of the callouts."""
    return tuple(_target(layout, call) for call in callouts(layout.wall))


def side_labels(layout: SectionLayout, drop: float = LABEL_DROP) -> Group:
    """The words EXTERIOR and INTERIOR on their sides of the cut."""
    y = layout.frame.origin[1] - layout.top + drop
    items = (
        Text((layout.outer_face - 3.6, y), "EXTERIOR", SMALL, "end"),
        Text((layout.inner_face + 3.6, y), "INTERIOR", SMALL),
    )
    return Group("section_sides", items, "Sides", "note")


def _target(layout: SectionLayout, call: Callout) -> Target:
    wall, frame = layout.wall, layout.frame
    members = [layout.strips[wall.index(layer_id)] for layer_id in call.layer_ids]
    spans = [layout.span(strip) for strip in members]
    low = max(max(span[1], span[2]) for span in spans)
    if len(members) > 1:
        across = (members[0].outer + members[-1].inner) / 2
    elif call.embedded_id:
        across = embedded_position(members[0], call.embedded_id, frame)
    elif members[0].layer.unit and members[0].layer.unit.hollow:
        across = members[0].outer + shells(members[0], frame)[0] / 2
    else:
        across = members[0].middle
    top_y, low_y = frame.origin[1] - layout.top + 2.0, frame.origin[1] - low - 2.0
    return Target(frame.origin[0] + across, top_y, low_y)


def embedded_position(strip: Strip, embedded_id: str, frame: Frame) -> float:
    """Where an embedded part lies: by its offset from the layer's inner face, else at mid-depth [mm]."""
    part = next(part for part in strip.layer.embedded if part.id == embedded_id)
    depth = strip.inner - strip.outer
    offset = depth / 2 if part.offset is None else min(frame.mm(part.offset), depth * 0.85)
    return strip.inner - offset


def _is_open(strip: Strip) -> bool:
    layer = strip.layer
    return layer.material is None and layer.fill is None and not strip.is_film


def _layer_group(layout: SectionLayout, strip: Strip, title: str) -> Group:
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


def _outline(layout: SectionLayout, strip: Strip, corners: tuple[Point, ...]) -> Line:
    layer = strip.layer
    if _is_open(strip):
        return Line(corners, BEYOND, closed=True, ink="gray")
    grouped = layer.group is not None
    material = layer.material
    thin = material is not None and material.kind in (
        "gypsum-board", "gypsum-sheathing", "wood-panel", "drainage-mat", "fiberboard", "fiber-cement", "tile",
    )  # fmt: skip
    weight = COAT if grouped else (BOARD if thin else CUT)
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
    plated = layer.framing and layout.feet and strip.layer.depth >= 2.4 * units.INCH and low_outer == 0.0
    kind: Kind | None = None
    if layer.material:
        kind = layer.material.kind
    elif layer.fill:
        kind = layer.fill.kind
    if kind:
        low = frame.mm(1.5 * units.INCH) if plated else min(low_outer, low_inner)
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


def _profile(layout: SectionLayout) -> list[Item]:
    """Outer and inner face of the wall, heavier than any outline within."""
    frame = layout.frame
    items: list[Item] = []
    outermost = next(strip for strip in layout.strips if not strip.is_film)
    if not is_siding(outermost.layer):
        top, low, _ = layout.span(outermost)
        items.append(Line((frame.place(outermost.outer, top), frame.place(outermost.outer, low)), PROFILE))
    innermost = next(strip for strip in reversed(layout.strips) if not strip.is_film)
    top, _, low = layout.span(innermost)
    items.append(Line((frame.place(innermost.inner, top), frame.place(innermost.inner, low)), CUT))
    return items


def _breaks(layout: SectionLayout) -> list[Item]:
    frame = layout.frame
    left, right = layout.outer_face - 3.0, layout.inner_face + 3.0
    y = frame.origin[1] - layout.top
    items: list[Item] = [break_mask((left, y), (right, y), -1.0), break_line((left, y), (right, y))]
    if layout.feet is not None:
        across = lower_break(layout.wall, layout.strips, layout.feet, frame)
        left, right = frame.origin[0] + across[0], frame.origin[0] + across[1]
    y = frame.origin[1] - layout.bottom
    items += [break_mask((left, y), (right, y), 1.0), break_line((left, y), (right, y))]
    return items
