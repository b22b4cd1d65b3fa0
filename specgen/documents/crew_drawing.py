"""The section on the crew page: the wall at its base, true to scale, with the numbers of the layer table.

Numbers of what lies outside of the structure stand at the left, of the structure and all inside of it at the right,
so that leaders stay short. The parts of the base follow at the left, below the others.
"""

from __future__ import annotations

from dataclasses import replace

from specgen import units
from specgen.documents.crew_parts import CrewPart
from specgen.documents.messages import Messages
from specgen.documents.setting import RunLine, break_text, place
from specgen.drawing.base import flashing_levels, screen_place, stem_reach
from specgen.drawing.callouts import callouts
from specgen.drawing.layout import Strip, core_index
from specgen.drawing.notes import DOT, KEY_RADIUS, LEAST_KEY_PITCH, SLOPE, Target, number_column
from specgen.drawing.section import SectionLayout, draw_section, lay_out_section, targets
from specgen.drawing.type import SMALL, format_scale
from specgen.errors import PageOverflowError
from specgen.model.scene import Circle, Dots, Group, Line, Strokes, Text, View
from specgen.model.wall import Wall

Item = Line | Strokes | Dots | Circle | Text | Group

RATIOS = (8.0, 16.0)  # 1-1/2 in = 1 ft, then 3/4 in for what is too thick or too tall
SIDES_DROP, LETTERS_DROP = 2.0, 14.4  # from the zone's top to EXTERIOR and INTERIOR, to the upper break [mm]
LEGEND_LEAD = 3.6
FOOT = 11.5  # scale bar and legend below the lower break [mm]
DRIP = 0.25 * units.INCH  # of a veneer's flashing beyond its face
GROUND_REACH = 16.0  # of the ground line in front of the wall [mm]
LEADER = 3.4  # least run between numbers and wall [mm]
BAR_INCHES = {8.0: 6, 16.0: 12}  # what the scale bar shows


def crew_drawing(
    wall: Wall, parts: tuple[CrewPart, ...], messages: Messages, left: float, right: float, top: float, bottom: float
) -> tuple[View, Group]:
    """The section view, and the group of its numbers, scale and legend.

    Parameters
    ----------
    wall : Wall
        The wall.
    parts : tuple of CrewPart
        Rows of the layer table; their numbers go into the drawing.
    messages : Messages
        Catalog of the crew page.
    left, right, top, bottom : float
        Edges of the drawing's place. [mm]

    Raises
    ------
    PageOverflowError
        If the wall with its numbers fits at no scale; names the wall.
    """
    failure: PageOverflowError | None = None
    for ratio in RATIOS:
        try:
            return _at_scale(wall, parts, messages, ratio, (left, right, top, bottom))
        except PageOverflowError as error:
            failure = error
    raise PageOverflowError(f"crew page of {wall.name!r}: the section does not fit its place: {failure}")


def _at_scale(
    wall: Wall, parts: tuple[CrewPart, ...], messages: Messages, ratio: float, zone: tuple[float, float, float, float]
) -> tuple[View, Group]:
    left, right, top, bottom = zone
    cut_top = top + LETTERS_DROP
    legend = _legend(wall, messages, right - left + 1.5)
    foot = FOOT + max(len(legend) - 1, 0) * LEGEND_LEAD
    height = bottom - foot - cut_top
    across = wall.thickness * 1000 / ratio
    room = right - left - 2 * (2 * KEY_RADIUS + LEADER)
    if across > room:
        raise PageOverflowError(f"{across:.0f} mm of wall at {format_scale(ratio)} where {room:.0f} mm are")
    # The wall stands as far left as the ground in front of it allows, so that the slab shows behind it.
    outer = left + min(GROUND_REACH, (right - left - across) / 2 + 2.0)
    datum = wall.datum_position * 1000 / ratio
    # A slab inside a stem lies so far in that the ground gives way, down to the room of the numbers.
    outer = max(min(outer, right - 3.0 - stem_reach(wall, ratio) - datum), left + 2 * KEY_RADIUS + LEADER)
    origin = (outer + datum, cut_top)
    layout = lay_out_section(wall, ratio, origin, height, right - 3.0 - origin[0])
    view = draw_section(layout, "letters")
    # EXTERIOR and INTERIOR stand above the drawing here, since the numbers need the sides.
    kept = tuple(item for item in view.group.items if not (isinstance(item, Group) and item.id == "section_sides"))
    view = replace(view, group=_clipped(replace(view.group, items=kept), left))
    group = Group(
        "crew_drawing_notes",
        (
            *_numbers(layout, parts, left + KEY_RADIUS, right - KEY_RADIUS, cut_top, bottom - foot),
            Group("crew_sides", tuple(_sides(messages, left, right, top)), "Sides", "note"),
            Group("crew_scale", tuple(_scale(layout, legend, left, bottom)), "Scale and legend", "frame"),
        ),
        "Numbers of the layer table",
    )
    return view, group


def _numbers(
    layout: SectionLayout, parts: tuple[CrewPart, ...], x_left: float, x_right: float, top: float, bottom: float
) -> list[Group]:
    wall = layout.wall
    core = core_index(wall)
    outside: list[tuple[int, Target]] = []
    inside: list[tuple[int, Target]] = []
    for call, target in zip(callouts(wall), targets(layout), strict=True):
        last = wall.index(call.layer_ids[-1])
        if last < core:
            outside.append((call.number, target))
        else:
            inside.append((call.number, _inner_shell(layout, layout.strips[last], target)))
    below = [(part.number, _base_target(layout, part.base)) for part in parts if part.base == "termination"]
    groups: list[Group] = [_flashing_number(layout, part.number, x_left) for part in parts if part.base == "flashing"]
    first = top + KEY_RADIUS + 1.0
    for name, rows, x, at_left in (("left", [*outside, *below], x_left, True), ("right", inside, x_right, False)):
        if rows:
            numbers, aims = zip(*rows, strict=True)
            id = f"crew_numbers_{name}"
            groups.append(number_column(numbers, aims, x, first, id, left=at_left, floor_y=bottom))
    return groups


def _inner_shell(layout: SectionLayout, strip: Strip, target: Target) -> Target:
    """A hollow unit numbered from inside is met at its near shell, not across its cell."""
    if not strip.layer.unit or not strip.layer.unit.hollow:
        return target
    return replace(target, x=2 * (layout.frame.origin[0] + strip.middle) - target.x)


def _base_target(layout: SectionLayout, kind: str) -> Target:
    """On the lower edge of the cladding, or on the flashing where the cladding does not hide it."""
    feet, frame = layout.feet, layout.frame
    assert feet
    veneer = next((strip for strip in layout.strips[: feet.backing] if strip.layer.unit), None)
    if kind == "termination":
        across = (feet.slope_outer + feet.slope_inner) / 2
        height = feet.end(across)
        screen = screen_place(layout.strips, feet, frame)
        if veneer:
            across = veneer.middle
        elif feet.base.termination == "base-screen" and screen:
            across, height = screen
        x, y = frame.place(across, height)
        return Target(x, y - 0.4, y + 0.4)
    if veneer:  # its flashing shows only as the drip
        x, y = frame.place(veneer.outer, feet.clear)
        return Target(x - frame.mm(DRIP) / 2, y - 0.3, y - 0.3)
    _, down = flashing_levels(layout.wall, feet, frame)
    face = layout.strips[feet.backing].outer
    x, high = frame.place(face, max(min(feet.clear, 0.0), down))
    return Target(x - 0.2, high, frame.place(face, down)[1])


def _flashing_number(layout: SectionLayout, number: int, x: float) -> Group:
    """The last number stands below the edge of the cladding; its leader rises, away from those that fall."""
    target = _base_target(layout, "flashing")
    assert layout.feet
    end = (target.x, (target.high + target.low) / 2 + 0.3)
    start_x = x + KEY_RADIUS
    ground = layout.frame.place(0.0, layout.feet.grade)[1] - KEY_RADIUS - 0.6
    above = _base_target(layout, "termination")
    # Close to a drip the leader is short: the circle keeps off the one above it, at a steeper leader.
    least = above.low - above.drop(start_x) + LEAST_KEY_PITCH
    y = min(max(end[1] + (end[0] - start_x) * SLOPE, least), ground)
    items = (
        Line(((start_x, y), end), 0.25),
        Circle(end, DOT, 0.0, fill="black", stroked=False),
        Circle((x, y), KEY_RADIUS, 0.35, fill="white"),
        Text((x, y + SMALL / 2), str(number), SMALL, "middle", bold=True),
    )
    return Group("crew_number_flashing", items, "Number of the base flashing", "leader")


def _sides(messages: Messages, left: float, right: float, top: float) -> list[Text]:
    y = top + SIDES_DROP
    return [
        Text((left, y), messages.text("drawing.exterior"), SMALL),
        Text((right, y), messages.text("drawing.interior"), SMALL, "end"),
    ]


def _legend(wall: Wall, messages: Messages, width: float) -> tuple[RunLine, ...]:
    """What the letters over the cut mean, for those that this wall has."""
    found = {control for layer in wall.layers for control in layer.controls}
    words = [messages.text(f"drawing.control_{c}") for c in ("water", "air", "vapor", "thermal") if c in found]
    if not words:
        return ()
    text = messages.text("drawing.control", letters="\ue000").replace("\ue000", ", ".join(words))
    return break_text(text, width, SMALL, where="legend of control letters")


def _scale(layout: SectionLayout, legend: tuple[RunLine, ...], left: float, bottom: float) -> list[Item]:
    """Written scale, bar in inches, and what the letters mean."""
    ratio = layout.frame.ratio
    inches = BAR_INCHES[ratio]
    y = bottom - 4.6 - max(len(legend) - 1, 0) * LEGEND_LEAD
    x0 = left + 21.0
    block = inches / 2 * 25.4 / ratio
    corners = ((x0, y - 1.6), (x0 + block, y - 1.6), (x0 + block, y), (x0, y))
    second = tuple((x + block, y) for x, y in corners)
    items: list[Item] = [
        Text((left, y), format_scale(ratio), SMALL),
        Text((x0 - 1.2, y), "0", SMALL, "end"),
        Line(corners, 0.25, closed=True, fill="black"),
        Line(second, 0.25, closed=True),
        Text((x0 + 2 * block + 1.2, y), f"{inches}″" if inches < 12 else f"{inches // 12}′", SMALL),
    ]
    for number, line in enumerate(legend):
        items += place([line], left, bottom - (len(legend) - 1 - number) * LEGEND_LEAD, LEGEND_LEAD, SMALL)
    return items


def _clipped(group: Group, left: float) -> Group:
    """The group without what would stand left of the page's margin: ground and its strokes."""
    kept: list[Item] = []
    for item in group.items:
        if isinstance(item, Group):
            kept.append(_clipped(item, left))
        elif isinstance(item, Strokes):
            kept.append(replace(item, segments=tuple(s for s in item.segments if min(s[0][0], s[1][0]) >= left)))
        elif isinstance(item, Line) and len(item.points) == 2 and min(x for x, _ in item.points) < left:
            kept.append(replace(item, points=tuple((max(x, left), y) for x, y in item.points)))
        else:
            kept.append(item)
    return replace(group, items=tuple(kept))
