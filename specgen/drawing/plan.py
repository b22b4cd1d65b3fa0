"""The plan cut: horizontal, exterior at the top; it shows what a vertical section between members hides."""

from __future__ import annotations

from dataclasses import dataclass

from specgen import units
from specgen.drawing.dimensions import agreeing_figures, level_string, main_faces, string_width, upright_string
from specgen.drawing.geometry import Frame, polygon
from specgen.drawing.hatch import Area, cross, grout_stipple, hatch
from specgen.drawing.layout import Strip, coat_weight, core_index, strips
from specgen.drawing.marks import break_line, break_mask, set_out_mark
from specgen.drawing.notes import Target
from specgen.drawing.parts import LATH, LATH_DASH, formed_member, shells
from specgen.drawing.section import embedded_position, layer_titles
from specgen.drawing.type import format_scale, format_spacing
from specgen.model.scene import Circle, Dots, Group, Line, Point, Strokes, Text, View
from specgen.model.wall import Framing, Wall

Item = Line | Strokes | Dots | Circle | Text | Group

VIEW = "plan"
FIRST_MEMBER = 19.0  # paper mm from the left end to the middle of the first member
STRING_STEP = 10.0  # between parallel dimension strings [mm]
BARRED_CELL = 2  # this cell stands for the grouted ones; their spacing is in the note
BAR = 1.0  # radius of a reinforcing bar on paper [mm]


@dataclass(frozen=True, slots=True)
class _Cut:
    """What every part of the plan needs to know."""

    wall: Wall
    frame: Frame
    strips: tuple[Strip, ...]
    width: float
    seed: str


def plan_view(wall: Wall, ratio: float, origin: Point, width_mm: float, dimensions: bool = True) -> View:
    """The horizontal cut as a view.

    Parameters
    ----------
    wall : Wall
        The wall.
    ratio : float
        Scale: paper = actual / ratio. [-]
    origin : Point
        Paper point of the set-out face at the left end of the cut. [mm]
    width_mm : float
        Length of wall shown, on paper. [mm]
    dimensions : bool
        With thickness strings at the left and the spacing of members or units below.
    """
    cut = _Cut(wall, Frame(origin, ratio, turned=True), strips(wall, 1000 / ratio), width_mm, f"{wall.name}/plan")
    titles = layer_titles(wall)
    items: list[Item] = [_layer_group(cut, strip, titles[strip.layer.id]) for strip in cut.strips]
    items.append(Group("plan_members", tuple(_members(cut)), "Members", "layer-outline"))
    items.append(Group("plan_profile", tuple(_profile(cut)), "Faces of the wall", "frame"))
    items.append(Group("plan_breaks", tuple(_breaks(cut)), "Break lines", "frame"))
    if dimensions:
        items += plan_dimensions(cut.wall, cut.frame, cut.strips, width_mm)
        mark = set_out_mark(cut.frame.place(0.0, width_mm + 4.2), "Set-out face", upward=False)
        items.append(Group("plan_datum", mark, "Set-out face", "note"))
    group = Group(VIEW, tuple(items), f"Plan cut, exterior at the top, {format_scale(ratio)}")
    return View(VIEW, "Plan", ratio, format_scale(ratio), origin, group)


def plan_depth(wall: Wall, ratio: float) -> tuple[float, float]:
    """Paper depth of the wall outward and inward of its set-out face, lines of films included [mm]."""
    placed = strips(wall, 1000 / ratio)
    outer = min(min(strip.outer, strip.line - strip.weight / 2 if strip.is_film else 0.0) for strip in placed)
    inner = max(max(strip.inner, strip.line + strip.weight / 2 if strip.is_film else 0.0) for strip in placed)
    return -outer, inner


def dimensions_width(wall: Wall) -> float:
    """Room that the plan's strings need at the left [mm]."""
    figures = agreeing_figures(main_faces(wall))
    first = string_width(figures.parts)
    return 6.0 + max(first, STRING_STEP) + string_width((figures.overall,))


def plan_dimensions(wall: Wall, frame: Frame, placed: tuple[Strip, ...], width: float) -> list[Item]:
    """Parts, then the overall, at the left; spacing of the members below."""
    figures = agreeing_figures(main_faces(wall))
    ticks = [frame.origin[1] + frame.mm(face - wall.datum_position) for face in figures.faces]
    left = frame.origin[0]
    items: list[Item] = []
    near = left - 6.0
    if len(figures.parts) > 1:
        title = "Thicknesses, exterior to interior"
        items.append(upright_string(near, ticks, figures.parts, left, "plan_dimensions_parts", title))
        far = near - max(string_width(figures.parts), STRING_STEP)
    else:
        far = near
    ends = (ticks[0], ticks[-1])
    # The second string's extension lines start beyond the first, so that they cross no figure.
    items.append(upright_string(far, ends, (figures.overall,), left, "plan_dimensions_overall", "Overall thickness"))
    spacing = _spacing(wall)
    if spacing:
        first = left + FIRST_MEMBER
        last = first + frame.mm(spacing)
        if last < left + width - 2.0:
            _, inner = plan_depth(wall, frame.ratio)
            bottom = frame.origin[1] + inner
            items.append(
                level_string(
                    bottom + 6.5, (first, last), (format_spacing(spacing),), bottom, "plan_dimensions_spacing",
                    "Spacing of members",
                )
            )  # fmt: skip
    return items


def bar_target(wall: Wall, ratio: float, origin: Point, width_mm: float) -> Target | None:
    """Where a leader to the grouted cell may end: in the grout beside the bar; None if no cell is shown grouted."""
    placed = strips(wall, 1000 / ratio)
    strip = placed[core_index(wall)]
    unit = strip.layer.unit
    if unit is None or not unit.hollow or unit.grout is None:
        return None
    cut = _Cut(wall, Frame(origin, ratio, turned=True), placed, width_mm, "")
    shell, web = shells(strip, cut.frame)
    cores, _ = _cells(cut, strip, shell, web)
    if len(cores) <= BARRED_CELL:
        return None
    start, end = cores[BARRED_CELL]
    middle = (strip.outer + strip.inner) / 2
    x, high = cut.frame.place(middle + 1.6, start + 0.72 * (end - start))
    return Target(x, high, cut.frame.place(strip.inner - shell - 1.2, 0.0)[1])


def least_width(wall: Wall, ratio: float) -> float:
    """Length of plan that shows the first two members or units whole [mm]."""
    spacing = _spacing(wall) or 16 * units.INCH
    return FIRST_MEMBER + spacing * 1000 / ratio + 14.0


def _spacing(wall: Wall) -> float | None:
    """Of the members that carry the wall, else of any; upright ones only, for these show in plan."""
    framed = [layer for layer in wall.layers if layer.framing and layer.framing.orientation == "vertical"]
    if not framed:
        return None
    core = wall.layers[core_index(wall)]
    layer = core if core in framed else max(framed, key=lambda each: each.depth)
    assert layer.framing is not None
    return layer.framing.spacing


def _layer_group(cut: _Cut, strip: Strip, title: str) -> Group:
    layer, frame = strip.layer, cut.frame
    corners = frame.box(strip.outer, strip.inner, 0.0, cut.width)
    group_id = f"{VIEW}-{layer.id}"
    if strip.is_film:
        line = Line((frame.place(strip.line, 0.0), frame.place(strip.line, cut.width)), strip.weight, strip.dash)
        return Group(group_id, (Line(corners, 0.0, closed=True, stroked=False), line), title, "layer")
    items: list[Item] = []
    if layer.unit and layer.unit.hollow:
        items += _block_course(cut, strip)
    elif layer.material or layer.fill:
        items += _filled(cut, strip)
    if layer.unit and not layer.unit.hollow:
        items += _head_joints(cut, strip)
    for part in layer.embedded:
        across = embedded_position(strip, part.id, frame)
        line = Line((frame.place(across, 0.0), frame.place(across, cut.width)), LATH, LATH_DASH)
        items.append(Group(f"{group_id}_{part.id}", (line,), part.material.label, "embedded"))
    boards = ("gypsum-board", "gypsum-sheathing", "wood-panel", "drainage-mat", "fiber-cement")
    thin = layer.material is not None and layer.material.kind in boards
    weight = 0.35 if thin or layer.material is None else 0.5
    if layer.group:
        weight = coat_weight(cut.wall, layer, 1000 / frame.ratio)
    items.append(Line(corners, weight, closed=True))
    return Group(group_id, tuple(items), title, "layer")


def _filled(cut: _Cut, strip: Strip) -> list[Item]:
    """Hatch along the whole layer, or between the members of a framed one."""
    layer, frame = strip.layer, cut.frame
    material = layer.material or layer.fill
    assert material is not None
    outer, inner = strip.hatch_outer, strip.hatch_inner
    if layer.fill and layer.cavity and layer.cavity.depth:
        outer = max(outer, strip.outer + frame.mm(layer.cavity.depth))
    spans = [(0.0, cut.width)]
    if layer.framing and layer.framing.orientation == "vertical":
        half = frame.mm(layer.framing.width) / 2
        edges = [0.0]
        for middle in _middles(cut, layer.framing):
            edges += [middle - half, middle + half]
        edges.append(cut.width)
        pairs = zip(edges[0::2], edges[1::2], strict=True)
        spans = [(max(a, 0.0), min(b, cut.width)) for a, b in pairs if min(b, cut.width) - max(a, 0.0) > 0.3]
    items: list[Item] = []
    lath = [embedded_position(strip, part.id, frame) for part in layer.embedded]
    for number, (start, end) in enumerate(spans):
        region = polygon(frame.box(outer, inner, start, end))
        for across in lath:
            region = region.difference(polygon(frame.box(across - 0.45, across + 0.45, start, end)))
        low, high = frame.place(outer, start), frame.place(inner, end)
        seed = f"{cut.seed}/{layer.id}/{number}"
        area = Area(region, low, high, frame.origin, seed, False, frame.mm_per_inch)
        marks = hatch(material.kind, area)
        if marks:
            items.append(Group(f"{VIEW}-{layer.id}_hatch{number}", marks, "", "hatch"))
    return items


def _middles(cut: _Cut, members: Framing) -> list[float]:
    """Middles of the members along the cut; all framed layers share the first, as trades line them up."""
    pitch, half = cut.frame.mm(members.spacing), cut.frame.mm(members.width) / 2
    found = []
    middle = FIRST_MEMBER - pitch * int((FIRST_MEMBER + half) / pitch)
    while middle - half < cut.width:
        if middle + half > 0:
            found.append(middle)
        middle += pitch
    return found


def _members(cut: _Cut) -> list[Item]:
    """Members cut across: solid ones with both diagonals, formed metal ones as their profile."""
    frame, core = cut.frame, core_index(cut.wall)
    items: list[Item] = []
    for strip in cut.strips:
        members = strip.layer.framing
        if members is None or members.orientation != "vertical":
            continue
        half = frame.mm(members.width) / 2
        for middle in _middles(cut, members):
            start, end = middle - half, middle + half
            if members.profile != "solid":
                path = formed_member(strip, members.profile, start, end, strip.index < core)
                items.append(Line(tuple(frame.place(*point) for point in path), 0.5))
            elif start >= 0 and end <= cut.width:
                corners = frame.box(strip.outer, strip.inner, start, end)
                items += [Line(corners, 0.5, closed=True, fill="white"), cross(corners)]
            else:
                corners = frame.box(strip.outer, strip.inner, max(start, 0.0), min(end, cut.width))
                items.append(Line(corners, 0.5, closed=True, fill="white"))
    return items


def _block_course(cut: _Cut, strip: Strip) -> list[Item]:
    """One course of hollow block: shells and webs hatched, cores open, filled or grouted with their bar."""
    layer, frame = strip.layer, cut.frame
    unit = layer.unit
    assert unit is not None and layer.material is not None
    shell, web = shells(strip, frame)
    body = polygon(frame.box(strip.outer, strip.inner, 0.0, cut.width))
    cores, joints = _cells(cut, strip, shell, web)
    for start, end in [*cores, *joints]:
        inset = 0.0 if (start, end) in joints else shell
        body = body.difference(polygon(frame.box(strip.outer + inset, strip.inner - inset, start, end)))
    low, high = frame.place(strip.outer, 0.0), frame.place(strip.inner, cut.width)
    prefix = f"{VIEW}-{layer.id}"
    # The pairs are drawn at full pitch: the solid parts are read as one body.
    marks = hatch(layer.material.kind, Area(body, low, high, frame.origin, f"{cut.seed}/{layer.id}", False))
    items: list[Item] = [Group(f"{prefix}_hatch", marks, "", "hatch")]
    lines: list[Item] = []
    for start, end in joints:
        lines += [Line((frame.place(strip.outer, at), frame.place(strip.inner, at)), 0.25) for at in (start, end)]
    for number, (start, end) in enumerate(cores):
        corners = frame.box(strip.outer + shell, strip.inner - shell, start, end)
        fill = _core_fill(cut, strip, number, corners)
        if fill:
            items.append(Group(f"{prefix}_core{number}", fill, "", "hatch"))
        lines.append(Line(corners, 0.35, closed=True))
        if _is_barred(cut, number):
            lines.append(_bar(frame, strip, (start + end) / 2))
    return [*items, Group(f"{prefix}_joints", tuple(lines), "", "joint")]


def _cells(
    cut: _Cut, strip: Strip, shell: float, web: float
) -> tuple[list[tuple[float, float]], list[tuple[float, float]]]:
    """Cores and head joints along the cut: two cells per unit where it has three webs, as stated."""
    unit = strip.layer.unit
    assert unit is not None
    frame = cut.frame
    length, joint = frame.mm(unit.length), frame.mm(unit.joint)
    webs = max(2, unit.webs or 3)
    cell = (length - webs * web) / (webs - 1)
    cores: list[tuple[float, float]] = []
    joints: list[tuple[float, float]] = []
    # The joint stands so that a whole unit with both its cells is seen.
    start = -0.45 * (length + joint)
    while start < cut.width:
        for index in range(webs - 1):
            left = start + web + index * (cell + web)
            low, high = max(left, 0.0), min(left + cell, cut.width)
            if high - low > 0.3:
                cores.append((low, high))
        low, high = max(start + length, 0.0), min(start + length + joint, cut.width)
        if high - low > 0.05:
            joints.append((low, high))
        start += length + joint
    return cores, joints


def _is_barred(cut: _Cut, number: int) -> bool:
    unit = cut.wall.layers[core_index(cut.wall)].unit
    return bool(unit and unit.grout) and number == BARRED_CELL


def _core_fill(cut: _Cut, strip: Strip, number: int, corners: tuple[Point, ...]) -> tuple[Line | Strokes | Dots, ...]:
    layer = strip.layer
    assert layer.unit is not None
    region = polygon(corners)
    area = Area(region, corners[0], corners[2], cut.frame.origin, f"{cut.seed}/{layer.id}/core{number}", False)
    grout = layer.unit.grout
    if grout and (grout.solid or _is_barred(cut, number)):
        return grout_stipple(area)
    return hatch(layer.fill.kind, area) if layer.fill else ()


def _bar(frame: Frame, strip: Strip, along: float) -> Circle:
    return Circle(frame.place((strip.outer + strip.inner) / 2, along), BAR, 0.0, fill="black", stroked=False)


def _head_joints(cut: _Cut, strip: Strip) -> list[Item]:
    unit = strip.layer.unit
    assert unit is not None
    frame = cut.frame
    length, joint = frame.mm(unit.length), frame.mm(unit.joint)
    lines: list[Item] = []
    start = -0.45 * (length + joint)
    while start < cut.width:
        corners = frame.box(strip.outer, strip.inner, max(start, 0.0), min(start + joint, cut.width))
        if start + joint > 0:
            lines.append(Line(corners, 0.25, closed=True, fill="white"))
        start += length + joint
    return [Group(f"{VIEW}-{strip.layer.id}_joints", tuple(lines), "", "joint")]


def _profile(cut: _Cut) -> list[Item]:
    frame = cut.frame
    solid = [strip for strip in cut.strips if not strip.is_film]
    return [
        Line((frame.place(solid[0].outer, 0.0), frame.place(solid[0].outer, cut.width)), 0.70),
        Line((frame.place(solid[-1].inner, 0.0), frame.place(solid[-1].inner, cut.width)), 0.50),
    ]


def _breaks(cut: _Cut) -> list[Item]:
    outer, inner = plan_depth(cut.wall, cut.frame.ratio)
    x, y = cut.frame.origin
    items: list[Item] = []
    for at, outward in ((x, -1.0), (x + cut.width, 1.0)):
        ends = ((at, y - outer - 3.0), (at, y + inner + 3.0))
        items += [break_mask(*ends, outward), break_line(*ends)]
    return items
