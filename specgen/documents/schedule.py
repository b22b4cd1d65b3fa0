"""The wall-type schedule of a project: as many rows on a sheet as fit, then the next sheet, its heads repeated.

Each row has the plan cut to scale, its layers, thermal figures, what the energy code asks beside what the wall has,
ratings entered by others, and where the type is used. Nothing is judged here and nothing computed.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from specgen.documents.messages import Messages, load_messages
from specgen.documents.schedule_block import (
    CLOSING,
    HEAVY,
    closing,
    foot_notes,
    sheet_frame,
    shown_project,
    title_block,
)
from specgen.documents.schedule_grid import DEFAULT_SHEET, Grid, first_heads, heads, second_heads, sheet_grid
from specgen.documents.schedule_row import RowBlock, ScheduleRow, row_blocks
from specgen.documents.section_numbers import section_numbers
from specgen.documents.setting import break_text, place
from specgen.drawing.marks import scale_bar
from specgen.drawing.placing import Item, moved_item, moved_view
from specgen.drawing.type import LEAD_NOTE, NOTE, TITLE, format_scale, text_width
from specgen.model.document import Document
from specgen.model.project import Project
from specgen.model.scene import Group, Line, Scene, Text, View

__all__ = ["ScheduleRow", "schedule_document"]

HAIR = 0.13
SPARE = 14.0  # most of the free height that one row takes, so that a short sheet is not top-heavy [mm]


def schedule_document(
    rows: Sequence[ScheduleRow],
    project: Project,
    messages: Messages | None = None,
    folders: Sequence[Path] = (),
    sheet: str = DEFAULT_SHEET,
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
    sheet : str
        `letter`, `tabloid`, `arch-d` or `ansi-d`; all on their side.

    Raises
    ------
    PageOverflowError
        If one wall type is taller than a sheet, or a text wider than its column; names it.
    MessageError
        If the catalog lacks a sentence.
    UnknownNameError
        If there is no such sheet size.
    """
    grid = sheet_grid(sheet)
    messages = messages or load_messages("schedule", folders=folders)
    numbers = section_numbers(folders)
    room = _room(project, messages, grid)
    blocks = [block for row in rows for block in row_blocks(row, messages, numbers, grid, room)]
    sheets = _dealt(blocks, room, grid)
    scenes = tuple(
        _sheet(blocks, number, len(sheets), project, messages, grid) for number, blocks in enumerate(sheets, start=1)
    )
    draft = any(row.wall.status != "approved" for row in rows)
    return Document(
        f"{project.id}-schedule",
        f"{messages.text('title')}: {shown_project(project, messages)}",
        messages.text("subject"),
        scenes,
        draft,
        project.date.isoformat(),
        project.office,
    )


def _room(project: Project, messages: Messages, grid: Grid) -> float:
    _, foot_rule = foot_notes(project, messages, grid)
    return foot_rule - grid.head_rule


def _dealt(blocks: list[RowBlock], room: float, grid: Grid) -> list[list[RowBlock]]:
    """Rows to sheets, in order, none parted; a letter schedule keeps the end of its last sheet for notes and seal."""
    sheets: list[list[RowBlock]] = [[]]
    for block in blocks:
        if sum(placed.height for placed in sheets[-1]) + block.height > room:
            sheets.append([])
        sheets[-1].append(block)
    if grid.block_at is None and sum(placed.height for placed in sheets[-1]) + CLOSING > room:
        sheets.append([])
    return sheets


def _sheet(blocks: list[RowBlock], number: int, total: int, project: Project, messages: Messages, grid: Grid) -> Scene:
    foot, foot_rule = foot_notes(project, messages, grid)
    items: list[Item] = [*sheet_frame(grid), *_head(messages, grid, bool(blocks))]
    views: list[View] = []
    ends = grid.block_at is None and number == total
    room = foot_rule - grid.head_rule - (CLOSING if ends else 0.0) - sum(block.height for block in blocks)
    extra = min(SPARE, room / max(len(blocks), 1))
    y = grid.head_rule
    groups: list[Group] = []
    for index, block in enumerate(blocks):
        if index and block.view:
            items.append(Line(((grid.type_at, y), (grid.end, y)), HAIR, ink="gray"))
        views += [moved_view(block.view, y)] if block.view else []
        placed = tuple(moved_item(item, y) for item in block.items)
        id = f"{block.tag}_row" if block.view else f"{block.tag}_row-2"
        groups.append(Group(id, placed, f"Wall type {block.tag}", "table"))
        y += block.height + extra
    if ends:
        items += closing(project, messages, grid, foot_rule - CLOSING if blocks else grid.title_y + 6.0)
    items += foot if blocks else []
    items += title_block(number, total, project, messages, grid)
    drawn = [scale_bar(grid.ratio, grid.end, foot_rule + 10.6, "schedule_bar")] if blocks else []
    sheet = Group("schedule_sheet", (Group("schedule_frame", tuple(items), "", "frame"), *groups, *drawn))
    title = f"{messages.text('title')} {messages.text('block.sheet_text', number=number, total=total)}"
    described = "; ".join(view.title for view in views)
    return Scene(f"schedule-{number}", title, described, grid.width, grid.height, tuple(views), sheet)


def _head(messages: Messages, grid: Grid, with_columns: bool) -> list[Item]:
    """Title, what the sheet shows, and the heads of the first band; the title alone where no row stands."""
    text = messages.text
    items: list[Item] = [Text((grid.type_at, grid.title_y), text("title"), TITLE, bold=True)]
    if not with_columns:
        return items
    hint_at = max(grid.plan_at, grid.type_at + text_width(text("title"), TITLE, True) + 6.0)
    sentence = text("head.hint", scale=format_scale(grid.ratio))
    hint = break_text(sentence, grid.end - hint_at, NOTE, where="schedule, heading")
    items += place(hint, hint_at, grid.title_y, LEAD_NOTE)
    items += heads(first_heads(grid) + (second_heads(grid) if grid.bands == 1 else []), messages, grid.head_y)
    items.append(Line(((grid.type_at, grid.head_rule), (grid.end, grid.head_rule)), HEAVY))
    return items
