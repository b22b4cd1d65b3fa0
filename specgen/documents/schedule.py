"""The wall-type schedule of a project on ARCH D sheets: as many rows on a sheet as fit, then the next sheet.

Each row has the plan cut at 3″ = 1′-0″, its layers, thermal figures, what the energy code asks beside what the wall
has, ratings entered by others, and where the type is used. Nothing is judged here and nothing computed.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import specgen
from specgen.documents import schedule_row as grid
from specgen.documents.messages import Messages, load_messages
from specgen.documents.schedule_row import RowBlock, ScheduleRow, moved_item, moved_view, row_block
from specgen.documents.section_numbers import section_numbers
from specgen.documents.setting import break_text, place
from specgen.documents.site_words import long_date, typeset
from specgen.drawing.marks import scale_bar
from specgen.drawing.type import LEAD_NOTE, NOTE, SMALL, TAG, TIE, TITLE, format_scale, text_width
from specgen.errors import PageOverflowError
from specgen.model.document import Document
from specgen.model.project import Project
from specgen.model.scene import Circle, Group, Line, Scene, Text

__all__ = ["ScheduleRow", "schedule_document"]

WIDTH, HEIGHT = 914.4, 609.6  # ARCH D [mm]
FRAME = (17.0, 9.0, 899.4, 602.0)
BLOCK_AT, BLOCK_TEXT_AT, BLOCK_END = 819.0, 823.0, 895.4
TITLE_BASELINE, HEAD_BASELINE, HEAD_RULE = 22.5, 35.0, 38.0
FOOT_RULE, FOOT_TOP = 580.0, 585.6
SEAL = 60.0  # side of the area kept free for a professional's seal, which is never drawn
HEAVY, MEDIUM, THIN, HAIR = 0.70, 0.50, 0.25, 0.13

Item = Line | Text | Circle


def schedule_document(
    rows: Sequence[ScheduleRow], project: Project, messages: Messages | None = None, folders: Sequence[Path] = ()
) -> Document:
    """All wall types of a project, in the order given.

    Parameters
    ----------
    rows : sequence of ScheduleRow
        One per tag.
    project : Project
        For the title block.
    messages : Messages or None
        Another catalog than the English one.
    folders : sequence of Path
        Template folders of the firm, searched before the shipped ones.

    Raises
    ------
    PageOverflowError
        If one wall type is taller than a sheet, or a text wider than its column; names it.
    MessageError
        If the catalog lacks a sentence.
    """
    messages = messages or load_messages("schedule", folders=folders)
    numbers = section_numbers(folders)
    sheets = _dealt([row_block(row, project, messages, numbers) for row in rows])
    scenes = tuple(
        _sheet(blocks, number, len(sheets), project, messages) for number, blocks in enumerate(sheets, start=1)
    )
    title = messages.text("title")
    draft = any(row.wall.status != "approved" for row in rows)
    return Document(
        f"{project.id}-schedule",
        f"{title}: {_project_name(project, messages)}",
        messages.text("subject"),
        scenes,
        draft,
        project.date.isoformat(),
        project.office,
    )


def _dealt(blocks: list[RowBlock]) -> list[list[RowBlock]]:
    """Rows to sheets, in order, none parted."""
    room = FOOT_RULE - HEAD_RULE
    sheets: list[list[RowBlock]] = [[]]
    for block in blocks:
        if block.height > room:
            raise PageOverflowError(
                f"schedule: wall type {block.tag} needs {block.height:.0f} mm, a sheet has {room:.0f} mm;"
                " shorten its texts"
            )
        if sum(placed.height for placed in sheets[-1]) + block.height > room:
            sheets.append([])
        sheets[-1].append(block)
    return sheets


def _sheet(blocks: list[RowBlock], number: int, total: int, project: Project, messages: Messages) -> Scene:
    items: list[Item] = [*_frame(), *_heads(messages)]
    views = []
    room = FOOT_RULE - HEAD_RULE - sum(block.height for block in blocks)
    extra = min(14.0, room / max(len(blocks), 1))  # rows share what is left, so that a short sheet is not top-heavy
    y = HEAD_RULE
    groups: list[Group] = []
    for index, block in enumerate(blocks):
        if index:
            items.append(Line(((grid.TYPE_AT, y), (grid.END, y)), HAIR, ink="gray"))
        views.append(moved_view(block.view, y))
        placed = tuple(moved_item(item, y) for item in block.items)
        groups.append(Group(f"{block.tag}_row", placed, f"Wall type {block.tag}", "table"))
        y += block.height + extra
    items += _foot(project, messages)
    items += _title_block(number, total, project, messages)
    bar = scale_bar(grid.RATIO, grid.END, FOOT_TOP + 5.0, "schedule_bar")
    sheet = Group("schedule_sheet", (Group("schedule_frame", tuple(items), "", "frame"), *groups, bar))
    title = f"{messages.text('title')} {messages.text('block.sheet_text', number=number, total=total)}"
    described = "; ".join(block.view.title for block in blocks)
    return Scene(f"schedule-{number}", title, described, WIDTH, HEIGHT, tuple(views), sheet)


def _frame() -> list[Item]:
    left, top, right, bottom = FRAME
    corners = ((left, top), (right, top), (right, bottom), (left, bottom))
    return [Line(corners, HEAVY, closed=True), Line(((BLOCK_AT, top), (BLOCK_AT, bottom)), MEDIUM)]


def _heads(messages: Messages) -> list[Item]:
    text = messages.text
    items: list[Item] = [Text((grid.TYPE_AT, TITLE_BASELINE), text("title"), TITLE, bold=True)]
    hint_at = max(grid.PLAN_AT, grid.TYPE_AT + text_width(text("title"), TITLE, True) + 6.0)
    sentence = text("head.hint", scale=format_scale(grid.RATIO))
    hint = break_text(sentence, grid.END - hint_at, NOTE, where="schedule, heading")
    items += place(hint, hint_at, TITLE_BASELINE, LEAD_NOTE)
    for id, x in (
        ("type", grid.TYPE_AT),
        ("plan", grid.PLAN_AT),
        ("layers", grid.LAYERS_AT),
        ("control", grid.CONTROL_AT),
        ("overall", grid.OVERALL_AT),
        ("thermal", grid.THERMAL_AT),
        ("code", grid.CODE_AT),
        ("ratings", grid.RATINGS_AT),
        ("sections", grid.SECTIONS_AT),
        ("remarks", grid.REMARKS_AT),
    ):
        items.append(Text((x, HEAD_BASELINE), text(f"head.{id}"), NOTE, bold=True))
    for id, x in (
        ("thickness", grid.THICKNESS_RIGHT),
        ("required", grid.REQUIRED_RIGHT),
        ("provided", grid.PROVIDED_RIGHT),
    ):
        items.append(Text((x, HEAD_BASELINE), text(f"head.{id}"), NOTE, "end", ink="gray"))
    items.append(Line(((grid.TYPE_AT, HEAD_RULE), (grid.END, HEAD_RULE)), HEAVY))
    return items


def _foot(project: Project, messages: Messages) -> list[Item]:
    text = messages.text
    items: list[Item] = [Line(((grid.TYPE_AT, FOOT_RULE), (grid.END, FOOT_RULE)), MEDIUM)]
    notes = " ".join(
        (
            text("foot.method"),
            text("foot.code", note=typeset(project.code.note)),
            text("foot.unverified"),
            text("foot.governs"),
        )
    )
    lines = break_text(notes, grid.REMARKS_AT - 40.0 - grid.TYPE_AT, SMALL, where="schedule, foot")
    return [*items, *place(lines, grid.TYPE_AT, FOOT_TOP, 3.7, SMALL)]


def _title_block(number: int, total: int, project: Project, messages: Messages) -> list[Item]:
    text = messages.text
    items: list[Item] = []
    width = BLOCK_END - BLOCK_TEXT_AT
    office = break_text(typeset(project.office), width, TITLE, bold=True, where="schedule, office")
    items += place(office, BLOCK_TEXT_AT, 20.0, 6.2, TITLE)
    y = 20.0 + 6.2 * (len(office) - 1) + 6.0
    items += [_rule(y), _label(text("block.seal"), y)]
    y += SEAL + 8.0
    items += [_rule(y), _label(text("block.revisions"), y)]
    date = long_date(project.date.year, project.date.month, project.date.day).replace(TIE, " ")
    items.append(Text((BLOCK_TEXT_AT, y + 10.0), text("block.revision", number=project.revision), NOTE))
    items.append(Text((BLOCK_TEXT_AT + 8.0, y + 10.0), date, NOTE))
    issued = break_text(typeset(project.issued_for), width - 8.0, NOTE, where="schedule, issued for")
    items += place(issued, BLOCK_TEXT_AT + 8.0, y + 10.0 + LEAD_NOTE, LEAD_NOTE)
    missing = text("block.not_given")
    entries = [
        ("project", _project_name(project, messages), True),
        ("number", typeset(project.number), False),
        ("issued_for", typeset(project.issued_for), False),
        ("date", date, False),
        ("drawn", typeset(", ".join((project.drawn_by or missing, project.checked_by or missing))), False),
        ("library", text("block.library_text", version=specgen.__version__), False),
        ("reviewed", "", False),
        ("sheet_title", text("title"), True),
        ("scale", text("block.scale_text", scale=format_scale(grid.RATIO)), False),
    ]
    boxes = [(id, break_text(value, width, NOTE, bold, "schedule, title block") if value else (), bold)
             for id, value, bold in entries]  # fmt: skip
    heights = [11.5 + max(len(lines) - 1, 0) * LEAD_NOTE + (7.0 if id == "reviewed" else 0.0) for id, lines, _ in boxes]
    y = FRAME[3] - 24.0 - sum(heights)
    for (id, lines, _), height in zip(boxes, heights, strict=True):
        items += [_rule(y), _label(text(f"block.{id}"), y)]
        items += place(lines, BLOCK_TEXT_AT, y + 9.0, LEAD_NOTE)
        if id == "reviewed":
            items.append(Line(((BLOCK_TEXT_AT, y + 14.5), (BLOCK_END, y + 14.5)), THIN))
        y += height
    items += [_rule(y), _label(text("block.sheet"), y)]
    items.append(Text((BLOCK_TEXT_AT, y + 15.0), text("block.sheet_text", number=number, total=total), TAG, bold=True))
    return items


def _rule(y: float) -> Line:
    return Line(((BLOCK_AT, y), (FRAME[2], y)), THIN)


def _label(text: str, y: float) -> Text:
    return Text((BLOCK_TEXT_AT, y + 4.0), text, SMALL, ink="gray")


def _project_name(project: Project, messages: Messages) -> str:
    """With the mark that it is invented, once."""
    if project.invented and "invented" not in project.name.lower():
        return messages.text("project_invented", name=typeset(project.name))
    return typeset(project.name)
