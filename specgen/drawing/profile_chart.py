"""A wall in section with a chart right below it: the same faces run down through both, so that a value finds its layer.

`profile_chart` keeps the thickness of the layers to scale, for temperature; `sd_chart` draws each layer as wide as its
equivalent air layer s_d, on which vapor pressure runs straight. Black lines; no value is computed here.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from specgen.drawing.axis import (
    UNIT_RISE,
    Axis,
    level_axis,
    level_room,
    round_axis,
    upright_axis,
    upright_room,
)
from specgen.drawing.base import Item
from specgen.drawing.callouts import callouts
from specgen.drawing.geometry import polygon, rectangle
from specgen.drawing.hatch import Area, hatch
from specgen.drawing.line_chart import Limit, limit_lines, plotted
from specgen.drawing.line_labels import DASHES, LABEL_GAP, LABEL_LEAD, LINE_WEIGHT, end_labels, labels_room, spread
from specgen.drawing.marks import break_line, break_mask
from specgen.drawing.section_layers import layer_group
from specgen.drawing.section_layout import lap_depth, lay_out_section, targets
from specgen.drawing.type import SMALL, format_scale, text_width
from specgen.errors import PageOverflowError
from specgen.model.scene import Group, Line, Point, Text, View
from specgen.model.wall import Wall

__all__ = ["Limit", "Profile", "chart_scale", "profile_chart", "sd_chart"]

SCALES = (2.0, 4.0, 8.0, 16.0)  # 6″, 3″, 1½″ and ¾″ = 1′-0″; a wall that does not fit drops to the next
AIR = 13.0  # of the air shown on either side [mm]
FILM = 4.0  # of the surface film, which has no thickness to scale [mm]
CUT_HEIGHT = 26.0  # of the section [mm]
NUMBER_ROOM = 8.5  # above the section, for the numbers of its layers [mm]
SECTION_GAP = 6.5  # between the section and the chart [mm]
LEAST_PLOT = 20.0  # height of the chart's plot [mm]
FACE_HAIR = 0.13
SAME_FACE = 0.35  # faces nearer than this share one hairline [mm]
NUMBER_GAP = 1.6  # least white between two numbers [mm]


@dataclass(frozen=True, slots=True)
class Profile:
    """Values through the wall. The air's own value on either side is drawn beyond the surface film, if given."""

    label: str
    positions: Sequence[float]  # from the exterior face, ascending [m]; on an s_d chart cumulated s_d [m]
    values: Sequence[float]
    dash: tuple[float, ...] | None = None  # the next of the list if not given
    outdoor: float | None = None
    indoor: float | None = None
    weight: float = LINE_WEIGHT  # [mm]


@dataclass(frozen=True, slots=True)
class _Plot:
    """Where everything of one chart stands on paper [mm]."""

    left: float
    right: float
    top: float
    bottom: float
    outer: float  # exterior face of the wall
    per_unit: float  # paper mm for 1 m of position

    def across(self, position: float) -> float:
        return self.outer + position * self.per_unit


def profile_chart(
    wall: Wall,
    profiles: Sequence[Profile],
    width: float,
    height: float,
    unit: str = "°F",
    axis: Axis | None = None,
    corner: Point = (0.0, 0.0),
    id: str = "profile",
    section: bool = True,
    limits: Sequence[Limit] = (),
) -> View:
    """The section at the largest scale that fits, and below it the profiles against true thickness.

    Parameters
    ----------
    wall : Wall
        The wall; its base is left out.
    profiles : sequence of Profile
        In the unit of the axis.
    width, height : float
        Of section and chart together. [mm]
    unit : str
        Of the values, as it prints.
    axis : Axis or None
        To share one between charts; by itself it holds all values.
    corner : (float, float)
        Upper left corner on paper. [mm]
    id : str
        Of the view; every group in it begins with it.
    section : bool
        False gives the chart alone, for a second chart below the first in the same width.
    limits : sequence of Limit
        Level lines.

    Raises
    ------
    PageOverflowError
        If the wall does not fit at any scale, or the chart would be lower than 20 mm.
    """
    axis = axis or _axis(profiles, limits, unit)
    labels = [*(profile.label for profile in profiles), *(limit.label for limit in limits)]
    room = width - upright_room(axis) - labels_room(labels)
    ratio = chart_scale(wall, room)
    head = NUMBER_ROOM + CUT_HEIGHT + SECTION_GAP if section else 0.0
    left, right = corner[0] + upright_room(axis), corner[0] + width - labels_room(labels)
    spare = room - 2 * AIR - lap_depth(wall, ratio) - wall.thickness * 1000 / ratio
    outer = left + AIR + lap_depth(wall, ratio) + spare / 2
    plot = _Plot(left, right, corner[1] + head + UNIT_RISE, corner[1] + height - 1.2, outer, 1000 / ratio)
    groups: list[Group] = []
    cut_top = corner[1] + NUMBER_ROOM
    if section:
        groups.append(_section(wall, ratio, (outer + wall.datum_position * 1000 / ratio, cut_top), id))
    faces = [plot.across(face) for face in wall.faces]
    faces_top = cut_top + CUT_HEIGHT + 2.0 if section else plot.top
    groups += [_faces(faces, faces_top, plot.bottom, id), *_chart(profiles, axis, plot, limits, id)]
    title = "; ".join(profile.label for profile in profiles)
    return View(id, title, ratio, format_scale(ratio), (outer, plot.bottom), Group(id, tuple(groups), title))


def chart_scale(wall: Wall, room: float) -> float:
    """The largest scale at which the wall and the air on both sides fit into a width.

    Parameters
    ----------
    wall : Wall
        The wall.
    room : float
        Between the chart's axis and its labels. [mm]

    Raises
    ------
    PageOverflowError
        If it fits at none.
    """
    for ratio in SCALES:
        if wall.thickness * 1000 / ratio + lap_depth(wall, ratio) + 2 * AIR <= room:
            return ratio
    raise PageOverflowError(
        f"wall {wall.name!r} is {wall.thickness * 1000:.0f} mm thick; no scale of the list brings it into {room:.0f} mm"
    )


def sd_chart(
    wall: Wall,
    layer_sd: Sequence[float],
    profiles: Sequence[Profile],
    width: float,
    height: float,
    unit: str = "in. Hg",
    axis: Axis | None = None,
    corner: Point = (0.0, 0.0),
    id: str = "sd",
    limits: Sequence[Limit] = (),
    x_unit: str = "sd, m of still air",
) -> View:
    """The layers drawn as wide as their s_d, and below them the profiles against it; thickness is not to scale.

    Parameters
    ----------
    wall : Wall
        Gives kind and number of each layer.
    layer_sd : sequence of float, shape (n,)
        Equivalent air layer of each layer, exterior first, finite and >= 0. [m]
    profiles : sequence of Profile
        Positions in cumulated s_d.
    width, height : float
        Of layers and chart together. [mm]
    unit : str
        Of the values, as it prints.
    axis : Axis or None
        To share one between charts.
    corner : (float, float)
        Upper left corner on paper. [mm]
    id : str
        Of the view; every group in it begins with it.
    limits : sequence of Limit
        Level lines.
    x_unit : str
        Of the horizontal axis, as it prints.

    Raises
    ------
    PageOverflowError
        If the chart would be lower than 20 mm.
    """
    axis = axis or _axis(profiles, limits, unit)
    labels = [*(profile.label for profile in profiles), *(limit.label for limit in limits)]
    left, right = corner[0] + upright_room(axis), corner[0] + width - labels_room(labels)
    faces_sd = [0.0]
    for value in layer_sd:
        faces_sd.append(faces_sd[-1] + value)
    total = faces_sd[-1] or 1.0
    level = round_axis([0.0, total], x_unit, most=8)
    level = replace(level, high=total, ticks=tuple(tick for tick in level.ticks if tick <= total))
    per_unit = (right - left - 2 * AIR) / total
    head = NUMBER_ROOM + CUT_HEIGHT + SECTION_GAP
    bottom = corner[1] + height - level_room(level) - 0.5
    plot = _Plot(left, right, corner[1] + head + UNIT_RISE, bottom, left + AIR, per_unit)
    faces = [plot.across(value) for value in faces_sd]
    cut_top = corner[1] + NUMBER_ROOM
    groups = [
        _sd_layers(wall, faces, cut_top, id),
        _faces(faces, cut_top + CUT_HEIGHT + 0.5, plot.bottom, id),
        level_axis(level, plot.bottom, faces[0], faces[-1], f"{id}_x"),
        *_chart(profiles, axis, plot, limits, id),
    ]
    title = "; ".join(profile.label for profile in profiles)
    return View(id, title, 1.0, "", (plot.outer, plot.bottom), Group(id, tuple(groups), title))


def _axis(profiles: Sequence[Profile], limits: Sequence[Limit], unit: str) -> Axis:
    values = [value for profile in profiles for value in profile.values]
    values += [air for profile in profiles for air in (profile.outdoor, profile.indoor) if air is not None]
    return round_axis([*values, *(limit.value for limit in limits)], unit)


def _chart(profiles: Sequence[Profile], axis: Axis, plot: _Plot, limits: Sequence[Limit], id: str) -> list[Group]:
    """Axis, lines and labels."""
    if plot.bottom - plot.top < LEAST_PLOT:
        raise PageOverflowError(
            f"chart {id!r}: {plot.bottom - plot.top:.0f} mm are left for its lines; at least {LEAST_PLOT:.0f} mm "
            "are needed"
        )
    across, upright = (plot.left, plot.right), (plot.top, plot.bottom)
    groups = [
        upright_axis(axis, plot.left, plot.top, plot.bottom, f"{id}_y"),
        *limit_lines(limits, axis, across, upright, id),
    ]
    ends: list[tuple[Point, str]] = [
        ((plot.right, axis.place(limit.value, plot.bottom, plot.top)), limit.label) for limit in limits
    ]
    for number, profile in enumerate(profiles):
        points = _points(profile, axis, plot)
        dash = DASHES[number % len(DASHES)] if profile.dash is None else profile.dash
        lines = plotted(points, (plot.left, plot.top, plot.right, plot.bottom), dash, profile.weight)
        groups.append(Group(f"{id}_line{number + 1}", lines, profile.label, "chart-line"))
        if lines:
            ends.append((max(point for line in lines for point in line.points), profile.label))
    groups.append(end_labels(ends, plot.right + LABEL_GAP, plot.top - LABEL_LEAD / 3, plot.bottom, f"{id}_labels"))
    return groups


def _points(profile: Profile, axis: Axis, plot: _Plot) -> list[Point]:
    """On paper: the air's value, the film's slope, the planes of the wall, the film, the air."""
    first, last = plot.across(profile.positions[0]), plot.across(profile.positions[-1])
    points: list[Point] = []
    if profile.outdoor is not None:
        points += [(plot.left, profile.outdoor), (first - FILM, profile.outdoor)]
    points += [(plot.across(at), value) for at, value in zip(profile.positions, profile.values, strict=True)]
    if profile.indoor is not None:
        points += [(last + FILM, profile.indoor), (plot.right, profile.indoor)]
    return [(x, axis.place(value, plot.bottom, plot.top)) for x, value in points]


def _section(wall: Wall, ratio: float, origin: Point, id: str) -> Group:
    """The wall between two break lines, its layers numbered, without base or control letters."""
    bare = wall.model_copy(update={"base": None})
    layout = lay_out_section(bare, ratio, origin, CUT_HEIGHT)
    # Open layers first, as in the section itself: their gray edges lie under the outlines of their neighbors.
    order = sorted(layout.strips, key=lambda strip: bool(strip.layer.material or strip.layer.fill or strip.is_film))
    groups: list[Item] = [_renamed(layer_group(layout, strip, ""), id) for strip in order]
    left, right = layout.outer_face - 2.0, layout.inner_face + 2.0
    for y, outward in ((origin[1], -1.0), (origin[1] + CUT_HEIGHT, 1.0)):
        groups += [break_mask((left, y), (right, y), outward), break_line((left, y), (right, y))]
    middle = origin[1] + CUT_HEIGHT / 2
    groups.append(Text((left - 1.0, middle), "EXTERIOR", SMALL, "end"))
    groups.append(Text((right + 1.0, middle), "INTERIOR", SMALL))
    aims = [(target.x, str(call.number)) for target, call in zip(targets(layout), callouts(bare), strict=True)]
    groups.append(_numbers(aims, origin[1], id))
    return Group(f"{id}_section", tuple(groups), "The wall in section, exterior at the left", "section")


def _numbers(aims: Sequence[tuple[float, str]], cut_top: float, id: str) -> Group:
    """The numbers of the layers above the cut, pushed apart where layers are thin, each with a line to its layer."""
    aims = sorted(aims, key=lambda aim: (aim[0], int(aim[1])))
    widths = [text_width(number, SMALL) for _, number in aims]
    gaps = [(one + other) / 2 + NUMBER_GAP for one, other in pairwise(widths)]
    middles = spread([x for x, _ in aims], gaps, float("-inf"), float("inf"))
    items: list[Line | Text] = []
    base = cut_top - NUMBER_ROOM + SMALL
    for (x, number), middle in zip(aims, middles, strict=True):
        items.append(Text((middle, base), number, SMALL, "middle"))
        items.append(Line(((middle, base + 0.8), (x, cut_top - 1.9), (x, cut_top + 1.4)), FACE_HAIR))
    return Group(f"{id}_numbers", tuple(items), "Numbers of the layers", "note")


def _faces(faces: Sequence[float], top: float, bottom: float, id: str) -> Group:
    """Hairlines from the section down through the chart at every face of a layer."""
    lines: list[Line] = []
    drawn: list[float] = []
    for x in faces:
        if not drawn or x - drawn[-1] > SAME_FACE:
            lines.append(Line(((x, top), (x, bottom)), FACE_HAIR, ink="gray"))
            drawn.append(x)
    return Group(f"{id}_faces", tuple(lines), "Faces of the layers", "frame")


def _sd_layers(wall: Wall, faces: Sequence[float], top: float, id: str) -> Group:
    """Each layer as a strip of its s_d, hatched as in the section; one of no width is a line."""
    low = top + CUT_HEIGHT
    items: list[Item] = []
    for layer, (outer, inner) in zip(wall.layers, pairwise(faces), strict=True):
        corners = rectangle(outer, top, inner, low)
        kind = layer.main_material.kind if layer.main_material else None
        if kind and inner - outer > 1.0:
            seed = f"{wall.name}/{id}/{layer.id}"
            marks = hatch(kind, Area(polygon(corners), (outer, top), (inner, low), (faces[0], top), seed))
            items.append(Group(f"{id}_{layer.id}_hatch", marks, "", "hatch"))
        items.append(Line(corners, LINE_WEIGHT, closed=True))
    middles = dict(zip((layer.id for layer in wall.layers), _middles(faces), strict=True))
    aims = [
        (sum(middles[layer_id] for layer_id in call.layer_ids) / len(call.layer_ids), str(call.number))
        for call in callouts(wall)
        if not call.embedded_id
    ]
    items.append(_numbers(aims, top, id))
    items.append(Text((faces[0] - 2.0, top + CUT_HEIGHT / 2), "EXTERIOR", SMALL, "end"))
    items.append(Text((faces[-1] + 2.0, top + CUT_HEIGHT / 2), "INTERIOR", SMALL))
    return Group(f"{id}_section", tuple(items), "The layers, each as wide as its s_d", "section")


def _middles(faces: Sequence[float]) -> list[float]:
    return [(outer + inner) / 2 for outer, inner in pairwise(faces)]


def _renamed(group: Group, id: str) -> Group:
    """The same group with the chart's id before its own, so that two charts can stand on one page."""
    items = tuple(_renamed(item, id) if isinstance(item, Group) else item for item in group.items)
    return replace(group, id=f"{id}_{group.id}", items=items)
