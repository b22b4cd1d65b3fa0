"""One row of the wall-type schedule: tag and plan cut, layers with their control letters, figures, ratings, remarks.

All items are placed from the row's top at y = 0; the plan's outer face lies on the first text line.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from specgen import units
from specgen.documents.messages import Messages
from specgen.documents.printed import code_value, pounds_per_square_foot, pressure
from specgen.documents.section_numbers import SectionNumbers
from specgen.documents.setting import break_text, place
from specgen.documents.site_words import lower_first, tabled, typeset
from specgen.drawing.callouts import Callout, callouts, layer_name, size_text
from specgen.drawing.dimensions import agreeing_figures, main_faces
from specgen.drawing.layout import CONTROL_LETTERS
from specgen.drawing.plan import plan_depth, plan_view
from specgen.drawing.section import lay_out_section, targets
from specgen.drawing.type import LEAD_NOTE, NOTE, SMALL, TAG, TIE, text_width
from specgen.errors import PageOverflowError
from specgen.model.assessment import Assessment, CodePath
from specgen.model.project import Project, WallType
from specgen.model.scene import Circle, Dots, Group, Ink, Line, Strokes, Text, View
from specgen.model.site import Site
from specgen.model.wall import Wall

# Columns of the sheet, mm from its left edge.
TYPE_AT, PLAN_AT, PLAN_END, KEY_AT = 25.0, 73.0, 240.0, 259.0
LAYERS_AT, LAYER_TEXT_AT, THICKNESS_RIGHT = 271.0, 278.0, 381.0
CONTROL_AT, OVERALL_AT, THERMAL_AT, CODE_AT = 389.0, 417.0, 453.0, 533.0
RATINGS_AT, SECTIONS_AT, REMARKS_AT, END = 629.0, 697.0, 753.0, 815.0
THERMAL_RIGHT, REQUIRED_RIGHT, PROVIDED_RIGHT, RATING_AT = 525.0, 588.0, 622.0, 666.0
COLUMN_GAP = 3.0

RATIO = 4.0  # 3 in = 1 ft
TOP = 8.0  # from the row's top to the first text line
ROW_FOOT = 7.0  # white under a row
PITCH = 6.2  # between entries of a list
KEY_PITCH = 4.6  # least between numbers beside a plan
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
    view: View
    items: list[Line | Text | Circle]


def row_block(row: ScheduleRow, project: Project, messages: Messages, numbers: SectionNumbers) -> RowBlock:
    """Set one row.

    Raises
    ------
    PageOverflowError
        If a word is wider than its column; names the column and the text.
    MessageError
        If the catalog lacks a sentence.
    """
    wall = row.wall
    outer, inner = plan_depth(wall, RATIO)
    view = plan_view(wall, RATIO, (PLAN_AT, TOP - NOTE + outer), PLAN_END - PLAN_AT, dimensions=False)
    items: list[Line | Text | Circle] = [*_keys(wall, view.origin[1])]
    bottom = [TOP - NOTE + outer + inner + 4.0]
    for column in (
        _type(row, messages),
        _layers(wall),
        _overall(wall, messages),
        _thermal(row, messages),
        _code(row, messages),
        _ratings(wall, messages),
        _sections(row, messages, numbers),
        _remarks(row, messages),
    ):
        items += column
        bottom += [item.at[1] for item in column if isinstance(item, Text)]
    bottom += [item.at[1] for item in items if isinstance(item, Text)]
    prefix = row.wall_type.tag
    named = replace(view, id=f"{prefix}_plan", group=_prefixed(view.group, prefix), title=f"{prefix}: {view.title}")
    return RowBlock(prefix, max(bottom) + ROW_FOOT, named, items)


def moved_view(view: View, dy: float) -> View:
    """The view lower on the sheet.

    Parameters
    ----------
    view : View
        Placed for a row at y = 0.
    dy : float
        Of the row. [mm]
    """
    return replace(view, origin=(view.origin[0], view.origin[1] + dy), group=_moved_group(view.group, dy))


def moved_item(item: Line | Text | Circle, dy: float) -> Line | Text | Circle:
    """The item lower on the sheet.

    Parameters
    ----------
    item : Line, Text or Circle
        Placed for a row at y = 0.
    dy : float
        Of the row. [mm]
    """
    if isinstance(item, Text):
        return replace(item, at=(item.at[0], item.at[1] + dy))
    if isinstance(item, Circle):
        return replace(item, center=(item.center[0], item.center[1] + dy))
    return replace(item, points=tuple((x, y + dy) for x, y in item.points))


def _type(row: ScheduleRow, messages: Messages) -> list[Text]:
    tag = row.wall_type.tag
    if text_width(tag, TAG, True) > PLAN_AT - TYPE_AT - COLUMN_GAP:
        raise PageOverflowError(f"schedule: the tag {tag!r} is wider than its column")
    title = typeset(row.wall.variant_title or row.wall.title)
    lines = break_text(title, PLAN_AT - TYPE_AT - COLUMN_GAP, NOTE, where=f"schedule, title of {tag}")
    return [Text((TYPE_AT, TOP + 2.6), tag, TAG, bold=True), *place(lines, TYPE_AT, TOP + 9.6, LEAD_NOTE)]


def _layers(wall: Wall) -> list[Text]:
    """Number, name with its condition, thickness and control letters; one line each, wrapped where it must."""
    items: list[Text] = []
    y = TOP
    for call in callouts(wall):
        lines = break_text(_layer_words(wall, call), THICKNESS_RIGHT - LAYER_TEXT_AT - 16.0, NOTE, where="schedule")
        items.append(Text((LAYERS_AT + 3.4, y), str(call.number), NOTE, "end"))
        items += place(lines, LAYER_TEXT_AT, y, LEAD_NOTE)
        if not call.embedded_id:
            depth = sum(wall.layer(layer_id).depth for layer_id in call.layer_ids)
            size = size_text(depth)
            if size:
                items.append(Text((THICKNESS_RIGHT, y), size.replace(TIE, " "), NOTE, "end"))
            controls = {control for layer_id in call.layer_ids for control in wall.layer(layer_id).controls}
            letters = "·".join(letter for control, letter in CONTROL_LETTERS.items() if control in controls)
            if letters:
                items.append(Text((CONTROL_AT, y), letters, NOTE))
        y += PITCH + (len(lines) - 1) * LEAD_NOTE
    return items


def _layer_words(wall: Wall, call: Callout) -> str:
    layer = wall.layer(call.layer_ids[0])
    if call.embedded_id:
        return tabled(call.note)
    if layer.framing:
        return tabled(call.note)
    if layer.unit and layer.unit.hollow:
        return tabled(call.note)
    return tabled(f"{call.name}, {call.detail}" if call.detail else call.name)


def _overall(wall: Wall, messages: Messages) -> list[Text]:
    name, _, side = wall.datum.rpartition("-")
    layer = typeset(lower_first(layer_name(wall.layer(name))))
    text = messages.text("overall.set_out", side=messages.text(f"side.{side}"), layer=layer)
    lines = break_text(text, THERMAL_AT - OVERALL_AT - COLUMN_GAP, SMALL, where="schedule, set-out face")
    overall = agreeing_figures(main_faces(wall)).overall
    return [Text((OVERALL_AT, TOP), overall, NOTE, bold=True), *place(lines, OVERALL_AT, TOP + 5.2, 3.6, SMALL)]


def _thermal(row: ScheduleRow, messages: Messages) -> list[Text]:
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
        items.append(_line(messages.text(f"thermal.{id}"), THERMAL_AT, TOP + index * PITCH))
        items.append(_line(value, THERMAL_RIGHT, TOP + index * PITCH, end=True))
    return items


def _code(row: ScheduleRow, messages: Messages) -> list[Text]:
    code = row.assessment.energy_code
    family_id = f"family.{code.family}"
    family = messages.text(family_id) if messages.has(family_id) else typeset(code.family)
    heading = messages.text("code.edition", edition=code.edition, zone=row.assessment.zone, family=family)
    items = [_line(heading, CODE_AT, TOP)]
    if not code.paths:
        return [*items, _line(messages.text("code.none"), CODE_AT, TOP + PITCH)]
    y = TOP + PITCH
    last = ""
    for path in code.paths:
        label = "code.or" if path.path == last else f"code.path_{path.path}"  # either row of one path is enough
        items.append(_line(messages.text(label), CODE_AT, y))
        last = path.path
        required, provided = _short_value(path, "required"), _short_value(path, "provided")
        if path.status != "confirmed":
            required = messages.text("code.unverified", required=required)
        items += [_line(required, REQUIRED_RIGHT, y, end=True), _line(provided, PROVIDED_RIGHT, y, end=True)]
        y += PITCH
    return items


def _short_value(path: CodePath, side: str) -> str:
    """`R-20 + 5ci`, as the code writes its alternatives; else as every document prints it."""
    value = path.required if side == "required" else path.provided
    if isinstance(value, dict) and "total" not in value:
        cavity, continuous = value.get("cavity", 0.0), value.get("continuous", 0.0)
        parts = [f"{round(cavity, 1):g}"] if cavity else []
        parts += [f"{round(continuous, 1):g}ci"] if continuous else []
        return "R-" + " + ".join(parts) if parts else "–"
    return code_value(path, side)


def _ratings(wall: Wall, messages: Messages) -> list[Text]:
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
    y = TOP
    for id, value in entries:
        items.append(_line(messages.text(f"rating.{id}"), RATINGS_AT, y))
        if value is None:
            items.append(_line(messages.text("rating.by_others"), RATING_AT, y, ink="gray"))
            y += PITCH
            continue
        lines = break_text(typeset(value), SECTIONS_AT - RATING_AT - COLUMN_GAP, NOTE, where="schedule, ratings")
        items += place(lines, RATING_AT, y, LEAD_NOTE)
        y += PITCH + (len(lines) - 1) * LEAD_NOTE
    return items


def _sections(row: ScheduleRow, messages: Messages, numbers: SectionNumbers) -> list[Text]:
    tag = row.wall_type.tag
    lines = [
        messages.text("sections.spec", number=numbers.of_wall(row.wall)["number"]),
        messages.text("sections.drawing", tag=tag),
        messages.text("sections.crew", tag=tag),
    ]
    return [_line(text, SECTIONS_AT, TOP + index * PITCH) for index, text in enumerate(lines)]


def _remarks(row: ScheduleRow, messages: Messages) -> list[Text]:
    wall = row.wall
    texts = [typeset(row.wall_type.where), messages.text("remarks.site", site=typeset(row.site.name))]
    texts += [typeset(row.wall_type.remarks)] if row.wall_type.remarks else []
    if wall.status != "approved":
        status = messages.text(f"status.{wall.status}")
        texts.insert(0, f"**{messages.text('remarks.draft', status=status)}**")
    items: list[Text] = []
    y = TOP
    for text in texts:
        lines = break_text(text, END - REMARKS_AT, NOTE, where=f"schedule, remarks of {row.wall_type.tag}")
        items += place(lines, REMARKS_AT, y, LEAD_NOTE)
        y += PITCH + (len(lines) - 1) * LEAD_NOTE
    small = messages.text("remarks.library", wall=wall.name, number=wall.revision.number)
    marks = _at_hyphens(small, END - REMARKS_AT)
    if wall.content_hash:
        digits = wall.content_hash[:12]
        grouped = " ".join(digits[index : index + 4] for index in range(0, len(digits), 4))
        marks.append(messages.text("remarks.hash", hash=grouped))
    return [*items, *(Text((REMARKS_AT, y + index * 3.6), line, SMALL, ink="gray") for index, line in enumerate(marks))]


def _at_hyphens(text: str, width: float) -> list[str]:
    """Lines of a text with long ids, which may break behind a hyphen or plus sign as well as at a space."""
    lines = [""]
    for part in re.findall(r"[^-+ ]*[-+ ]?", text):
        if lines[-1] and text_width((lines[-1] + part).rstrip(), SMALL) > width:
            lines.append("")
        lines[-1] += part
    return [line.rstrip() for line in lines if line.strip()]


def _keys(wall: Wall, datum_y: float) -> list[Line | Text | Circle]:
    """Numbers right of the plan: level leaders that turn 45° where two numbers would stand too close."""
    across = [target.x for target in targets(lay_out_section(wall, RATIO, (0.0, 0.0), 400.0))]
    wanted = [datum_y + offset for offset in across]
    levels = _spread(wanted, KEY_PITCH, TOP - NOTE / 2)
    items: list[Line | Text | Circle] = []
    previous = -99.0
    step = 0
    for call, y, level in zip(callouts(wall), wanted, levels, strict=True):
        step = (step + 1) % 3 if y - previous < 2.2 else 0  # dots of thin layers stand one behind the other
        previous = y
        dot = (PLAN_END - 5.0 - 5.0 * step, y)
        bend = KEY_AT - 3.4
        points = [dot, (bend - abs(level - y), y), (bend, level), (KEY_AT - 1.6, level)]
        items.append(Line(tuple(points), LEADER))
        items.append(Circle(dot, 0.8, 0.0, fill="white", stroked=False))
        items.append(Circle(dot, 0.45, 0.0, fill="black", stroked=False))
        items.append(Text((KEY_AT, level + NOTE / 2), str(call.number), NOTE))
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


def _prefixed(group: Group, prefix: str) -> Group:
    items = tuple(_prefixed(item, prefix) if isinstance(item, Group) else item for item in group.items)
    return replace(group, id=f"{prefix}_{group.id}", items=items)


def _moved_group(group: Group, dy: float) -> Group:
    items: list[Line | Strokes | Dots | Circle | Text | Group] = []
    for item in group.items:
        if isinstance(item, Group):
            items.append(_moved_group(item, dy))
        elif isinstance(item, Strokes):
            items.append(replace(item, segments=tuple(((a, b + dy), (c, d + dy)) for (a, b), (c, d) in item.segments)))
        elif isinstance(item, Dots):
            items.append(replace(item, centers=tuple((x, y + dy) for x, y in item.centers)))
        else:
            items.append(moved_item(item, dy))
    return replace(group, items=tuple(items))
