"""The wall-type schedule as a workbook: a row per tag, a row per layer, and the notes; drawings stay in the PDF.

Every figure comes from the field that the drawn schedule prints, unrounded, with a number format; units in the heads.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil
from pathlib import Path

import specgen
from specgen import units
from specgen.documents.messages import Messages, load_messages
from specgen.documents.schedule_block import shown_project
from specgen.documents.schedule_row import ScheduleRow, code_heading, layer_words, set_out_text, short_value
from specgen.documents.section_numbers import SectionNumbers, section_numbers
from specgen.documents.site_words import long_date
from specgen.drawing.callouts import callouts, size_text
from specgen.drawing.layout import CONTROL_LETTERS
from specgen.drawing.type import JOIN, TIE
from specgen.drawing.typeset import typeset
from specgen.model.assessment import CodePath
from specgen.model.project import Project
from specgen.model.wall import Wall
from specgen.model.workbook import Cell, SheetColumn, SheetTable, Workbook

LONGEST_HEADER = 110  # characters of each side; a page header of a workbook holds 255 in all

# Columns of the first sheet: message id, width in characters, number format; empty for text.
_TYPE_COLUMNS = (
    ("tag", 7, ""), ("title", 26, ""), ("build_up", 52, ""), ("overall_in", 11, "0.00"), ("overall_mm", 11, "0"),
    ("set_out", 24, ""), ("cavity", 13, "0.0"), ("continuous", 13, "0.0"), ("whole_r", 13, "0.0"),
    ("whole_r_si", 11, "0.00"), ("whole_u", 13, "0.000"), ("whole_u_si", 11, "0.000"), ("capacity", 13, "0.0"),
    ("method", 26, ""), ("code", 20, ""), ("r_required", 16, ""), ("r_provided", 16, ""), ("u_required", 12, "0.000"),
    ("u_provided", 12, "0.000"), ("unverified", 14, ""), ("fire", 9, ""), ("listing", 14, ""), ("sides", 12, ""),
    ("sound", 12, ""), ("weight", 12, "0.0"), ("pressure", 12, "0.0"), ("section", 12, ""), ("drawing", 9, ""),
    ("where", 30, ""), ("site", 24, ""), ("remarks", 30, ""), ("status", 11, ""), ("wall", 30, ""),
    ("revision", 9, "0"), ("hash", 18, ""),
)  # fmt: skip
_LAYER_COLUMNS = (
    ("tag", 7, ""), ("number", 8, "0"), ("layer", 60, ""), ("thickness_in", 11, "0.0000"), ("thickness_mm", 11, "0.00"),
    ("control", 10, ""),
)  # fmt: skip


def schedule_table(rows: Sequence[ScheduleRow], project: Project, folders: Sequence[Path] = ()) -> Workbook:
    """All wall types of a project, in the order given.

    Parameters
    ----------
    rows : sequence of ScheduleRow
        One per tag.
    project : Project
        For its title data.
    folders : sequence of Path
        Template folders of the firm, searched before the shipped ones.

    Raises
    ------
    MessageError
        If the catalog lacks a sentence.
    """
    messages = load_messages("schedule", folders=folders)
    numbers = section_numbers(folders)
    name, title = shown_project(project, messages), messages.text("title")
    types = _sheet("types", _TYPE_COLUMNS, [_type_row(row, messages, numbers) for row in rows], messages)
    layers = _sheet("layers", _LAYER_COLUMNS, [cells for row in rows for cells in _layer_rows(row)], messages, kept=2)
    issued = messages.text(
        "table.issued", issued_for=typeset(project.issued_for), revision=project.revision, date=_date(project)
    )
    return Workbook(
        _plain(f"{title}: {name}"),
        messages.text("subject"),
        _plain(typeset(project.office)),
        project.date.isoformat(),
        (types, layers, _notes(rows, project, messages)),
        (_cut(f"{title}, {name}"), _cut(issued)),
        messages.text("table.footer"),
    )


def _sheet(
    id: str, columns: Sequence[tuple[str, float, str]], rows: list[list[Cell]], messages: Messages, kept: int = 1
) -> SheetTable:
    made = tuple(SheetColumn(messages.text(f"table.{name}"), width, form) for name, width, form in columns)
    lines = tuple(
        max(_lines(cell, column.width) for cell, column in zip(row, made, strict=True)) for row in rows
    )  # fmt: skip
    return SheetTable(messages.text(f"table.sheet_{id}"), made, tuple(map(tuple, rows)), lines, kept)


def _type_row(row: ScheduleRow, messages: Messages, numbers: SectionNumbers) -> list[Cell]:
    wall, thermal, tag = row.wall, row.assessment.thermal, row.wall_type.tag
    framed = wall.construction == "framed"
    paths = row.assessment.energy_code.paths
    r_paths, u_paths = [p for p in paths if p.path == "r"], [p for p in paths if p.path == "u"]
    build_up = [f"{call.number}  {layer_words(wall, call)}{_size(wall, call.layer_ids, call.embedded_id)}"
                for call in callouts(wall)]  # fmt: skip
    cells: list[Cell] = [
        tag,
        typeset(wall.variant_title or wall.title),
        "\n".join(build_up),
        wall.thickness / units.INCH,
        wall.thickness * 1000,
        set_out_text(wall, messages),
        thermal.cavity_r_si / units.R_IP,
        thermal.continuous_r_si / units.R_IP,
        thermal.r_si / units.R_IP,
        thermal.r_si,
        thermal.u_si / units.U_IP,
        thermal.u_si,
        None if framed else thermal.heat_capacity_si / units.HEAT_CAPACITY_IP,
        typeset(thermal.method),
        code_heading(row, messages) if paths else messages.text("code.none"),
        _either(r_paths, "required", messages),
        _either(r_paths, "provided", messages),
        _figure(u_paths, "required"),
        _figure(u_paths, "provided"),
        _unverified(paths, messages),
        *_ratings(wall, messages),
        numbers.of_wall(wall)["number"],
        tag,
        typeset(row.wall_type.where),
        typeset(row.site.name),
        typeset(row.wall_type.remarks) if row.wall_type.remarks else None,
        messages.text(f"status.{wall.status}"),
        wall.name,
        wall.revision.number,
        wall.content_hash[:16] or None,
    ]
    return [_plain(cell) if isinstance(cell, str) else cell for cell in cells]


def _layer_rows(row: ScheduleRow) -> list[list[Cell]]:
    wall = row.wall
    rows: list[list[Cell]] = []
    for call in callouts(wall):
        members = [wall.layer(layer_id) for layer_id in call.layer_ids]
        depth = None if call.embedded_id else sum(layer.depth for layer in members)
        found = set() if call.embedded_id else {control for layer in members for control in layer.controls}
        letters = "".join(letter for control, letter in CONTROL_LETTERS.items() if control in found)
        size = (depth / units.INCH, depth * 1000) if depth else (None, None)
        rows.append([row.wall_type.tag, call.number, _plain(layer_words(wall, call)), *size, letters or None])
    return rows


def _size(wall: Wall, layer_ids: Sequence[str], embedded_id: str) -> str:
    """The size behind a layer of the build-up; nothing for a part inside another layer, or a film without one."""
    depth = 0.0 if embedded_id else sum(wall.layer(layer_id).depth for layer_id in layer_ids)
    size = size_text(depth)
    return f" – {size}" if size else ""


def _ratings(wall: Wall, messages: Messages) -> list[Cell]:
    """Numbers where the wall file gives a quantity, its own words elsewhere, `by others` where it is blank."""
    given = wall.ratings
    blank = messages.text("rating.by_others")
    words = (given.fire_hours, given.fire_listing, given.fire_exposed_sides)
    sound = ", ".join(value for value in (given.stc, given.oitc) if value)
    return [
        *(typeset(value) if value else blank for value in words),
        sound or blank,
        given.cladding_weight / units.AREAL_MASS_IP if given.cladding_weight else blank,
        given.design_pressure / units.PSF if given.design_pressure else blank,
    ]


def _either(paths: Sequence[CodePath], side: str, messages: Messages) -> str | None:
    """The alternatives of one path; either is enough."""
    texts = list(dict.fromkeys(short_value(path, side) for path in paths))
    return f" {messages.text('code.or')} ".join(texts) or None


def _figure(paths: Sequence[CodePath], side: str) -> float | None:
    for path in paths:
        value = path.required if side == "required" else path.provided
        if not isinstance(value, dict):
            return value
    return None


def _unverified(paths: Sequence[CodePath], messages: Messages) -> str | None:
    """Which limits could not be confirmed in their source."""
    names = dict.fromkeys(messages.text(f"code.path_{path.path}") for path in paths if path.status != "confirmed")
    return ", ".join(names) or None


def _notes(rows: Sequence[ScheduleRow], project: Project, messages: Messages) -> SheetTable:
    """Whose schedule it is, and what it does not say."""
    text = messages.text
    missing = text("block.not_given")
    drafts = [row.wall_type.tag for row in rows if row.wall.status != "approved"]
    entries: list[tuple[str, str]] = [
        (text("block.office"), typeset(project.office)),
        (text("block.project"), shown_project(project, messages)),
        (text("block.number"), typeset(project.number)),
        (text("block.issued_for"), typeset(project.issued_for)),
        (text("block.date"), text("block.date_text", date=_date(project), number=project.revision)),
        (text("block.drawn"), typeset(", ".join((project.drawn_by or missing, project.checked_by or missing)))),
        (text("block.library"), text("block.library_text", version=specgen.__version__)),
        (text("table.codes"), f"{project.code.energy}, {project.code.residential}"),
        (text("table.note"), text("foot.code", note=typeset(project.code.note))),
        (text("table.note"), text("foot.method")),
        (text("table.note"), text("table.unverified_note")),
        (text("table.note"), text("foot.governs")),
        (text("table.note"), text("table.drawings_note")),
        (text("block.reviewed"), ""),
    ]
    if drafts:
        entries.insert(0, (text("table.draft"), text("table.draft_note", tags=", ".join(drafts))))
    columns = SheetColumn(text("table.about"), 24.0), SheetColumn(text("table.text"), 100.0)
    cells = tuple((_plain(name), _plain(value) or None) for name, value in entries)
    lines = tuple(max(_lines(name, 24.0), _lines(value, 100.0)) for name, value in cells)
    return SheetTable(text("table.sheet_notes"), columns, cells, lines)


def _date(project: Project) -> str:
    return long_date(project.date.year, project.date.month, project.date.day)


def _plain(text: str) -> str:
    """Spaces that a spreadsheet can search for instead of the typesetter's."""
    return text.replace(TIE, " ").replace(JOIN, " ")


def _cut(text: str) -> str:
    text = _plain(text)
    return text if len(text) <= LONGEST_HEADER else text[: LONGEST_HEADER - 1] + "…"


def _lines(cell: Cell, width: float) -> int:
    return sum(max(1, ceil(len(part) / width)) for part in cell.split("\n")) if isinstance(cell, str) else 1
