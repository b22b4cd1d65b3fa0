"""The title block of the schedule, at the right of a sheet or along the bottom of a letter sheet, and its notes.

A letter sheet has no room for the professional's seal; the last one keeps it, with all notes and the revisions.
"""

from __future__ import annotations

from collections.abc import Sequence

import specgen
from specgen.documents.messages import Messages
from specgen.documents.schedule_grid import FOOT_LEAD, STRIP, Grid
from specgen.documents.setting import break_text, place
from specgen.documents.site_words import long_date
from specgen.drawing.placing import Item
from specgen.drawing.type import LEAD_NOTE, NOTE, SMALL, TAG, TIE, TITLE, format_scale
from specgen.drawing.typeset import typeset
from specgen.errors import PageOverflowError
from specgen.model.project import Project
from specgen.model.scene import Line, Text

SEAL = 60.0  # side of the area kept free for a professional's seal, which is never drawn [mm]
CLOSING = SEAL + 14.0  # height of the notes, revisions and seal that end a letter schedule [mm]
HEAVY, MEDIUM, THIN = 0.70, 0.50, 0.25
_CELLS = (17.0, 69.0, 126.0, 178.0, 231.0)  # left edges of the strip's cells on letter [mm]


def sheet_frame(grid: Grid) -> list[Item]:
    """The sheet's border, and the line between it and the title block."""
    left, top, right, bottom = grid.frame
    corners = ((left, top), (right, top), (right, bottom), (left, bottom))
    if grid.block_at is None:
        edge = Line(((left, bottom - STRIP), (right, bottom - STRIP)), MEDIUM)
    else:
        edge = Line(((grid.block_at, top), (grid.block_at, bottom)), MEDIUM)
    return [Line(corners, HEAVY, closed=True), edge]


def title_block(number: int, total: int, project: Project, messages: Messages, grid: Grid) -> list[Item]:
    """Whose sheet it is and which.

    Parameters
    ----------
    number, total : int
        Of the sheets. [-]
    project : Project
        Its own texts.
    messages : Messages
        The catalog.
    grid : Grid
        Of the sheet.

    Raises
    ------
    PageOverflowError
        If the project's texts do not fit; names what to shorten.
    """
    if grid.block_at is None:
        return _strip(number, total, project, messages, grid)
    return _column(number, total, project, messages, grid)


def foot_notes(project: Project, messages: Messages, grid: Grid) -> tuple[list[Item], float]:
    """Notes under the last row of each sheet, and the height of the rule above them [mm]."""
    ids = ["method", "code", "unverified", "governs"] if grid.block_at is not None else ["unverified", "last_sheet"]
    width = min(grid.end - grid.bar_length - grid.type_at, 688.0)
    lines = break_text(_notes(ids, project, messages), width, SMALL, where="schedule, foot")
    rule = grid.foot_end - (12.0 if grid.block_at is not None else 6.0) - max(FOOT_LEAD * len(lines), 10.0)
    items: list[Item] = [Line(((grid.type_at, rule), (grid.end, rule)), MEDIUM)]
    return [*items, *place(lines, grid.type_at, rule + 5.6, FOOT_LEAD, SMALL)], rule


def closing(project: Project, messages: Messages, grid: Grid, top: float) -> list[Item]:
    """All notes, the revisions and the room for the seal, which end a letter schedule.

    Parameters
    ----------
    project : Project
        For the notes and the revision.
    messages : Messages
        The catalog.
    grid : Grid
        Of the sheet.
    top : float
        Height of the rule above them. [mm]
    """
    text = messages.text
    seal_at, revisions_at = grid.end - SEAL, grid.end - SEAL - 52.0
    items: list[Item] = [
        Line(((grid.type_at, top), (grid.end, top)), MEDIUM),
        Line(((seal_at - 3.0, top), (seal_at - 3.0, top + CLOSING)), THIN),
        Text((seal_at, top + 4.0), text("block.seal"), SMALL, ink="gray"),
        Text((revisions_at, top + 4.0), text("block.revisions"), SMALL, ink="gray"),
        *_revision(project, messages, revisions_at, top + 10.0, 46.0),
    ]
    y = top + 7.0
    for id in ("method", "code", "unverified", "governs"):
        note = _notes([id], project, messages)
        lines = break_text(note, revisions_at - 6.0 - grid.type_at, NOTE, where="schedule, notes")
        items += place(lines, grid.type_at, y, LEAD_NOTE)
        y += LEAD_NOTE * len(lines) + 2.0
    if y > top + CLOSING:
        raise PageOverflowError("schedule: the notes of the last sheet are too long; shorten the project's code note")
    return items


def shown_project(project: Project, messages: Messages) -> str:
    """The project's name, with the mark that it is invented, once."""
    if project.invented and "invented" not in project.name.lower():
        return messages.text("project_invented", name=typeset(project.name))
    return typeset(project.name)


def _notes(ids: Sequence[str], project: Project, messages: Messages) -> str:
    note = typeset(project.code.note)
    return " ".join(messages.text(f"foot.{id}", **({"note": note} if id == "code" else {})) for id in ids)


def _column(number: int, total: int, project: Project, messages: Messages, grid: Grid) -> list[Item]:
    """Along the right: office, seal, revisions; from the bottom upward, sheet, scale, title and the project."""
    assert grid.block_at is not None
    text = messages.text
    text_at, end = grid.block_at + 4.0, grid.frame[2] - 4.0
    width = end - text_at
    items: list[Item] = []

    def box(id: str, y: float) -> None:
        items.append(Line(((text_at - 4.0, y), (grid.frame[2], y)), THIN))
        items.append(Text((text_at, y + 4.0), text(f"block.{id}"), SMALL, ink="gray"))

    office = break_text(typeset(project.office), width, TITLE, bold=True, where="schedule, office")
    items += place(office, text_at, 20.0, 6.2, TITLE)
    y = 20.0 + 6.2 * (len(office) - 1) + 6.0
    box("seal", y)
    y += SEAL + (8.0 if grid.bands == 1 else 4.0)
    box("revisions", y)
    revision = _revision(project, messages, text_at, y + 10.0, width)
    items += revision
    lowest = max(item.at[1] for item in revision)
    boxes = [(id, break_text(value, width, NOTE, bold, "schedule, title block") if value else ())
             for id, value, bold in _entries(project, messages, grid)]  # fmt: skip
    heights = [11.5 + max(len(lines) - 1, 0) * LEAD_NOTE + (7.0 if id == "reviewed" else 0.0) for id, lines in boxes]
    y = grid.frame[3] - 24.0 - sum(heights)
    if y < lowest + 3.0:
        raise PageOverflowError(
            f"schedule: the title block is {lowest + 3.0 - y:.0f} mm too long for a {grid.name} sheet;"
            " shorten the project's name, number or issue"
        )
    for (id, lines), height in zip(boxes, heights, strict=True):
        box(id, y)
        items += place(lines, text_at, y + 9.0, LEAD_NOTE)
        if id == "reviewed":
            items.append(Line(((text_at, y + 14.5), (end, y + 14.5)), THIN))
        y += height
    box("sheet", y)
    items.append(Text((text_at, y + 15.0), text("block.sheet_text", number=number, total=total), TAG, bold=True))
    return items


def _entries(project: Project, messages: Messages, grid: Grid) -> list[tuple[str, str, bool]]:
    """Boxes of the title block: id, text, and whether it is Semibold."""
    text = messages.text
    missing = text("block.not_given")
    return [
        ("project", shown_project(project, messages), True),
        ("number", typeset(project.number), False),
        ("issued_for", typeset(project.issued_for), False),
        ("date", _date(project), False),
        ("drawn", typeset(", ".join((project.drawn_by or missing, project.checked_by or missing))), False),
        ("library", text("block.library_text", version=specgen.__version__), False),
        ("reviewed", "", False),
        ("sheet_title", text("title"), True),
        ("scale", text("block.scale_text", scale=format_scale(grid.ratio)), False),
    ]


def _strip(number: int, total: int, project: Project, messages: Messages, grid: Grid) -> list[Item]:
    """Along the bottom: five cells of two entries each."""
    text = messages.text
    values = {id: (value, bold) for id, value, bold in _entries(project, messages, grid)}
    values["office"] = (typeset(project.office), True)
    values["date"] = (text("block.date_text", date=_date(project), number=project.revision), False)
    cells = (("office", "drawn"), ("project", "number"), ("issued_for", "date"), ("reviewed", "library"),
             ("sheet_title", "sheet"))  # fmt: skip
    values["sheet"] = ("", True)  # set larger below
    top, bottom = grid.frame[3] - STRIP, grid.frame[3]
    items: list[Item] = []
    for left, right, (upper, lower) in zip(_CELLS, (*_CELLS[1:], grid.frame[2]), cells, strict=True):
        if left > _CELLS[0]:
            items.append(Line(((left, top), (left, bottom)), THIN))
        for id, y in ((upper, top), (lower, top + 13.8)):
            value, bold = values[id]
            where = f"schedule, {id} of the title block"
            lines = break_text(value, right - left - 5.0, NOTE, bold, where) if value else ()
            if len(lines) > 2:
                raise PageOverflowError(f"schedule: {value!r} is longer than two lines of the title block; shorten it")
            items.append(Text((left + 3.0, y + 4.0), text(f"block.{id}"), SMALL, ink="gray"))
            items += place(lines, left + 3.0, y + 8.4, LEAD_NOTE)
    items.append(Line(((_CELLS[3] + 3.0, top + 11.8), (_CELLS[4] - 3.0, top + 11.8)), THIN))
    last = _CELLS[4] + 3.0
    items.append(Text((last, top + 12.4), values["scale"][0], SMALL))
    items.append(Text((last, bottom - 4.6), text("block.sheet_text", number=number, total=total), TITLE, bold=True))
    return items


def _revision(project: Project, messages: Messages, x: float, y: float, width: float) -> list[Text]:
    issued = break_text(typeset(project.issued_for), width - 8.0, NOTE, where="schedule, issued for")
    return [
        Text((x, y), messages.text("block.revision", number=project.revision), NOTE),
        Text((x + 8.0, y), _date(project), NOTE),
        *place(issued, x + 8.0, y + LEAD_NOTE, LEAD_NOTE),
    ]


def _date(project: Project) -> str:
    return long_date(project.date.year, project.date.month, project.date.day).replace(TIE, " ")
