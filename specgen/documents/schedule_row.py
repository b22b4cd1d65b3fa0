"""One row of the wall-type schedule: tag and plan cut, layers with their control letters, figures, ratings, remarks.

All items are placed from the row's top at y = 0; the plan's outer face lies on the first text line. On sheets of two
bands the thermal figures, the code's and all that follows stand under the layers, with their own heads.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from specgen import units
from specgen.documents.messages import Messages
from specgen.documents.printed import code_value, pounds_per_square_foot, pressure
from specgen.documents.schedule_grid import Grid, Head, heads, second_heads
from specgen.documents.section_numbers import SectionNumbers
from specgen.documents.setting import break_text, place
from specgen.drawing.callouts import Callout, callouts, layer_name, size_text
from specgen.drawing.dimensions import agreeing_figures, main_faces
from specgen.drawing.layout import CONTROL_LETTERS
from specgen.drawing.placing import Item, prefixed
from specgen.drawing.plan import plan_depth, plan_view
from specgen.drawing.section import lay_out_section, targets
from specgen.drawing.type import LEAD_NOTE, NOTE, SMALL, TAG, TIE, TITLE, text_width
from specgen.drawing.typeset import tabled, typeset
from specgen.errors import PageOverflowError
from specgen.model.assessment import Assessment, CodePath
from specgen.model.material import uncapped
from specgen.model.project import WallType
from specgen.model.scene import Circle, Ink, Line, Text, View
from specgen.model.site import Site
from specgen.model.wall import Wall

COLUMN_GAP = 3.0

TOP = 8.0  # from the row's top to the first text line
ROW_FOOT = 7.0  # white under a row
KEY_PITCH = 4.6  # least between numbers beside a plan
TAG_ROOM = 9.0  # line of tag and title over a plan
BAND_GAP = 8.0  # from the last line of a band to the heads of the next
LEADER = 0.25


@dataclass(frozen=True, slots=True)
class ScheduleRow:
    """A wall type of the project, its wall and site, and what the checks found."""

    wall_type: WallType
    wall: Wall
    site: Site
    assessment: Assessment


@dataclass(slots=True)
class RowBlock:
    """A row ready to be placed: its view and items for y = 0, and the height it takes."""

    tag: str
    height: float
    items: list[Item]
    view: View | None = None  # None for a second band that stands alone


def row_blocks(
    row: ScheduleRow, messages: Messages, numbers: SectionNumbers, grid: Grid, room: float
) -> tuple[RowBlock, ...]:
    """Set one row: one block, or its two bands by themselves where together they are taller than a sheet.

    Parameters
    ----------
    row : ScheduleRow
        The wall type.
    messages : Messages
        The catalog.
    numbers : SectionNumbers
        Of the specification.
    grid : Grid
        Of the sheet.
    room : float
        Height of all rows of one sheet. [mm]

    Raises
    ------
    PageOverflowError
        If a word is wider than its column, or a band taller than a sheet; names it.
    MessageError
        If the catalog lacks a sentence.
    """
    tag = row.wall_type.tag
    first, view, bottom = _first_band(row, messages, numbers, grid)
    if grid.bands == 1:
        items = [*first, *_second_band(row, messages, numbers, grid, TOP)]
        return _fitting((RowBlock(tag, max(bottom, _lowest(items)) + ROW_FOOT, items, view),), room, grid)
    items = [*first, *_second_band(row, messages, numbers, grid, bottom + BAND_GAP)]
    whole = RowBlock(tag, _lowest(items) + ROW_FOOT, items, view)
    if whole.height <= room:
        return (whole,)
    continued = Text((grid.type_at, TOP + 2.6), messages.text("type.continued", tag=tag), TITLE, bold=True)
    second: list[Item] = [continued, *_second_band(row, messages, numbers, grid, TOP + 2.6 + BAND_GAP)]
    parts = RowBlock(tag, bottom + ROW_FOOT, first, view), RowBlock(tag, _lowest(second) + ROW_FOOT, second)
    return _fitting(parts, room, grid)


def _fitting(blocks: tuple[RowBlock, ...], room: float, grid: Grid) -> tuple[RowBlock, ...]:
    for block in blocks:
        if block.height > room:
            raise PageOverflowError(
                f"schedule: wall type {block.tag} needs {block.height:.0f} mm, a {grid.name} sheet has {room:.0f} mm;"
                " shorten its texts or take a larger sheet"
            )
    return blocks


def _first_band(
    row: ScheduleRow, messages: Messages, numbers: SectionNumbers, grid: Grid
) -> tuple[list[Item], View, float]:
    """Tag, plan, layers, overall thickness; and where they end."""
    wall, tag = row.wall, row.wall_type.tag
    top = TOP + (TAG_ROOM if grid.tag_above else 0.0)
    outer, inner = plan_depth(wall, grid.ratio)
    width = grid.plan_end - grid.plan_at
    view = plan_view(wall, grid.ratio, (grid.plan_at, top - NOTE + outer), width, dimensions=False)
    items: list[Item] = [
        *_keys(wall, grid, view.origin[1], top),
        *_type(row, grid),
        *_layers(wall, grid, top),
        *_overall(wall, messages, grid, top),
    ]
    if grid.sections_below:
        below = _lowest(_overall(wall, messages, grid, top)) + BAND_GAP
        items += heads([Head("sections", grid.sections_at)], messages, below)
        items += _sections(row, messages, numbers, grid, below + grid.pitch)
    named = replace(view, id=f"{tag}_plan", group=prefixed(view.group, tag), title=f"{tag}: {view.title}")
    return items, named, max(top - NOTE + outer + inner + 4.0, _lowest(items))


def _second_band(row: ScheduleRow, messages: Messages, numbers: SectionNumbers, grid: Grid, top: float) -> list[Item]:
    """Thermal figures, code paths, ratings, sections, remarks; with their heads where they are a band of their own."""
    items: list[Item] = []
    if grid.bands == 2:
        items.append(Line(((grid.thermal_at, top + 2.2), (grid.end, top + 2.2)), 0.13, ink="gray"))
        items += heads(second_heads(grid), messages, top)
        top += 7.0
    return [
        *items,
        *_thermal(row, messages, grid, top),
        *_code(row, messages, grid, top),
        *_ratings(row.wall, messages, grid, top),
        *([] if grid.sections_below else _sections(row, messages, numbers, grid, top)),
        *_remarks(row, messages, grid, top),
    ]


def _lowest(items: Sequence[Item]) -> float:
    return max((item.at[1] for item in items if isinstance(item, Text)), default=0.0)


def set_out_text(wall: Wall, messages: Messages) -> str:
    """The face that a builder sets out from, as a sentence."""
    name, _, side = wall.datum.rpartition("-")
    layer = typeset(uncapped(layer_name(wall.layer(name))))
    return messages.text("overall.set_out", side=messages.text(f"side.{side}"), layer=layer)


def code_heading(row: ScheduleRow, messages: Messages) -> str:
    """Edition, zone and wall family that the limits are for."""
    code = row.assessment.energy_code
    family_id = f"family.{code.family}"
    family = messages.text(family_id) if messages.has(family_id) else typeset(code.family)
    return messages.text("code.edition", edition=code.edition, zone=row.assessment.zone, family=family)


def _type(row: ScheduleRow, grid: Grid) -> list[Text]:
    tag = row.wall_type.tag
    title = typeset(row.wall.variant_title or row.wall.title)
    named = Text((grid.type_at, TOP + 2.6), tag, TAG, bold=True)
    if grid.tag_above:
        beside = grid.type_at + text_width(tag, TAG, True) + 4.0
        (line, *more) = break_text(title, grid.end - beside, NOTE, where=f"schedule, title of {tag}")
        if more:
            raise PageOverflowError(f"schedule: the title {title!r} of {tag} does not fit in one line; shorten it")
        return [named, *place([line], beside, TOP + 2.6, LEAD_NOTE)]
    width = grid.plan_at - grid.type_at - COLUMN_GAP
    if text_width(tag, TAG, True) > width:
        raise PageOverflowError(f"schedule: the tag {tag!r} is wider than its column")
    lines = break_text(title, width, NOTE, where=f"schedule, title of {tag}")
    return [named, *place(lines, grid.type_at, TOP + 9.6, LEAD_NOTE)]


def _layers(wall: Wall, grid: Grid, top: float) -> list[Text]:
    """Number, name with its condition, thickness and control letters; one line each, wrapped where it must."""
    items: list[Text] = []
    y = top
    for call in callouts(wall):
        lines = break_text(
            layer_words(wall, call), grid.thickness_right - grid.layer_text_at - 16.0, NOTE, where="schedule"
        )
        items.append(Text((grid.layers_at + 3.4, y), str(call.number), NOTE, "end"))
        items += place(lines, grid.layer_text_at, y, LEAD_NOTE)
        if not call.embedded_id:
            depth = sum(wall.layer(layer_id).depth for layer_id in call.layer_ids)
            size = size_text(depth)
            if size:
                items.append(Text((grid.thickness_right, y), size.replace(TIE, " "), NOTE, "end"))
            controls = {control for layer_id in call.layer_ids for control in wall.layer(layer_id).controls}
            letters = "·".join(letter for control, letter in CONTROL_LETTERS.items() if control in controls)
            if letters:
                items.append(Text((grid.control_at, y), letters, NOTE))
        y += grid.pitch + (len(lines) - 1) * LEAD_NOTE
    return items


def layer_words(wall: Wall, call: Callout) -> str:
    """One layer as the schedule names it, without the thickness, which has a column of its own."""
    layer = wall.layer(call.layer_ids[0])
    if call.embedded_id:
        return tabled(call.note)
    if layer.framing:
        return tabled(call.note)
    if layer.unit and layer.unit.hollow:
        return tabled(call.note)
    return tabled(f"{call.name}, {call.detail}" if call.detail else call.name)


def _overall(wall: Wall, messages: Messages, grid: Grid, top: float) -> list[Text]:
    lines = break_text(
        set_out_text(wall, messages), grid.overall_end - grid.overall_at, SMALL, where="schedule, set-out face"
    )
    overall = agreeing_figures(main_faces(wall)).overall
    return [
        Text((grid.overall_at, top), overall, NOTE, bold=True),
        *place(lines, grid.overall_at, top + 5.2, 3.6, SMALL),
    ]


def _thermal(row: ScheduleRow, messages: Messages, grid: Grid, top: float) -> list[Text]:
    thermal = row.assessment.thermal
    none = messages.text("thermal.none")
    cavity, continuous = thermal.cavity_r_si / units.R_IP, thermal.continuous_r_si / units.R_IP
    entries = [
        ("cavity", f"{cavity:.1f}" if cavity > 0 else none),
        ("continuous", f"{continuous:.1f}" if continuous > 0 else none),
        ("whole_r", f"{thermal.r_si / units.R_IP:.1f}"),
        ("whole_u", f"{thermal.u_si / units.U_IP:.3f}"),
        ("whole_si", f"{thermal.u_si:.3f}"),
    ]
    if row.wall.construction != "framed":
        entries.append(("capacity", f"{thermal.heat_capacity_si / units.HEAT_CAPACITY_IP:.1f}"))
    items: list[Text] = []
    for index, (id, value) in enumerate(entries):
        items.append(_line(messages.text(f"thermal.{id}"), grid.thermal_at, top + index * grid.pitch))
        items.append(_line(value, grid.thermal_right, top + index * grid.pitch, end=True))
    return items


def _code(row: ScheduleRow, messages: Messages, grid: Grid, top: float) -> list[Text]:
    code = row.assessment.energy_code
    items = [_line(code_heading(row, messages), grid.code_at, top)]
    if not code.paths:
        return [*items, _line(messages.text("code.none"), grid.code_at, top + grid.pitch)]
    y = top + grid.pitch
    last = ""
    for path in code.paths:
        label = "code.or" if path.path == last else f"code.path_{path.path}"  # either row of one path is enough
        items.append(_line(messages.text(label), grid.code_at, y))
        last = path.path
        required, provided = short_value(path, "required"), short_value(path, "provided")
        if path.status != "confirmed":
            required = messages.text("code.unverified", required=required)
        items += [_line(required, grid.required_right, y, end=True), _line(provided, grid.provided_right, y, end=True)]
        y += grid.pitch
    return items


def short_value(path: CodePath, side: str) -> str:
    """`R-20 + 5ci`, as the code writes its alternatives; else as every document prints it."""
    value = path.required if side == "required" else path.provided
    if isinstance(value, dict) and "total" not in value:
        cavity, continuous = value.get("cavity", 0.0), value.get("continuous", 0.0)
        parts = [f"{round(cavity, 1):g}"] if cavity else []
        parts += [f"{round(continuous, 1):g}ci"] if continuous else []
        return "R-" + " + ".join(parts) if parts else "–"
    return code_value(path, side)


def _ratings(wall: Wall, messages: Messages, grid: Grid, top: float) -> list[Text]:
    given = wall.ratings
    sound = ", ".join(value for value in (given.stc, given.oitc) if value)
    entries: list[tuple[str, str | None]] = [
        ("fire", given.fire_hours),
        ("listing", given.fire_listing),
        ("sides", given.fire_exposed_sides),
        ("sound", sound or None),
        ("weight", pounds_per_square_foot(given.cladding_weight) if given.cladding_weight else None),
        ("pressure", pressure(given.design_pressure) if given.design_pressure else None),
    ]
    items: list[Text] = []
    y = top
    for id, value in entries:
        items.append(_line(messages.text(f"rating.{id}"), grid.ratings_at, y))
        if value is None:
            items.append(_line(messages.text("rating.by_others"), grid.rating_at, y, ink="gray"))
            y += grid.pitch
            continue
        lines = break_text(typeset(value), grid.rating_end - grid.rating_at, NOTE, where="schedule, ratings")
        items += place(lines, grid.rating_at, y, LEAD_NOTE)
        y += grid.pitch + (len(lines) - 1) * LEAD_NOTE
    return items


def _sections(row: ScheduleRow, messages: Messages, numbers: SectionNumbers, grid: Grid, top: float) -> list[Text]:
    tag = row.wall_type.tag
    lines = [
        messages.text("sections.spec", number=numbers.of_wall(row.wall)["number"]),
        messages.text("sections.drawing", tag=tag),
        messages.text("sections.crew", tag=tag),
    ]
    return [_line(text, grid.sections_at, top + index * grid.pitch) for index, text in enumerate(lines)]


def _remarks(row: ScheduleRow, messages: Messages, grid: Grid, top: float) -> list[Text]:
    wall = row.wall
    texts = [typeset(row.wall_type.where), messages.text("remarks.site", site=typeset(row.site.name))]
    texts += [typeset(row.wall_type.remarks)] if row.wall_type.remarks else []
    if wall.status != "approved":
        status = messages.text(f"status.{wall.status}")
        texts.insert(0, f"**{messages.text('remarks.draft', status=status)}**")
    items: list[Text] = []
    y = top
    for text in texts:
        lines = break_text(text, grid.end - grid.remarks_at, NOTE, where=f"schedule, remarks of {row.wall_type.tag}")
        items += place(lines, grid.remarks_at, y, LEAD_NOTE)
        y += grid.pitch + (len(lines) - 1) * LEAD_NOTE
    small = messages.text("remarks.library", wall=wall.name, number=wall.revision.number)
    marks = _at_hyphens(small, grid.end - grid.remarks_at)
    if wall.content_hash:
        digits = wall.content_hash[:12]
        grouped = " ".join(digits[index : index + 4] for index in range(0, len(digits), 4))
        marks.append(messages.text("remarks.hash", hash=grouped))
    return [
        *items,
        *(Text((grid.remarks_at, y + index * 3.6), line, SMALL, ink="gray") for index, line in enumerate(marks)),
    ]


def _at_hyphens(text: str, width: float) -> list[str]:
    """Lines of a text with long ids, which may break behind a hyphen or plus sign as well as at a space."""
    lines = [""]
    for part in re.findall(r"[^-+ ]*[-+ ]?", text):
        if lines[-1] and text_width((lines[-1] + part).rstrip(), SMALL) > width:
            lines.append("")
        lines[-1] += part
    return [line.rstrip() for line in lines if line.strip()]


def _keys(wall: Wall, grid: Grid, datum_y: float, top: float) -> list[Item]:
    """Numbers right of the plan: level leaders that turn 45° where two numbers would stand too close."""
    across = [target.x for target in targets(lay_out_section(wall, grid.ratio, (0.0, 0.0), 400.0))]
    wanted = [datum_y + offset for offset in across]
    levels = _spread(wanted, KEY_PITCH, top - NOTE / 2)
    items: list[Item] = []
    previous = -99.0
    step = 0
    for call, y, level in zip(callouts(wall), wanted, levels, strict=True):
        step = (step + 1) % 3 if y - previous < 2.2 else 0  # dots of thin layers stand one behind the other
        previous = y
        dot = (grid.plan_end - 5.0 - 5.0 * step, y)
        bend = grid.key_at - 3.4
        turn = max(bend - abs(level - y), dot[0] + 1.0)  # steeper than 45° where the numbers stand far apart
        points = [dot, (turn, y), (bend, level), (grid.key_at - 1.6, level)]
        items.append(Line(tuple(points), LEADER))
        items.append(Circle(dot, 0.8, 0.0, fill="white", stroked=False))
        items.append(Circle(dot, 0.45, 0.0, fill="black", stroked=False))
        items.append(Text((grid.key_at, level + NOTE / 2), str(call.number), NOTE))
    return items


def _spread(wanted: Sequence[float], least: float, top: float) -> list[float]:
    """The same order, no two nearer than `least`, none above `top`, runs of moved ones centered where they wanted."""
    runs: list[tuple[float, int]] = []  # center and count of numbers that touch
    for y in wanted:
        runs.append((y, 1))
        while len(runs) > 1:
            (center, count), (next_center, next_count) = runs[-2], runs[-1]
            if next_center - center >= (count + next_count) / 2 * least:
                break
            total = count + next_count
            runs[-2:] = [((center * count + next_center * next_count) / total, total)]
    levels = [center + (index - (count - 1) / 2) * least for center, count in runs for index in range(count)]
    for index, level in enumerate(levels):
        levels[index] = max(level, top, levels[index - 1] + least if index else top)
    return levels


def _line(text: str, x: float, y: float, end: bool = False, ink: Ink = "black") -> Text:
    return Text((x, y), text.replace(TIE, " "), NOTE, "end" if end else "start", ink=ink)
