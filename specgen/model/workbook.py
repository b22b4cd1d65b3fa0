"""A workbook: sheets of plain typed cells, numbers apart from their units, which stand in the heads."""

from __future__ import annotations

from dataclasses import dataclass

Cell = str | float | int | None


@dataclass(frozen=True, slots=True)
class SheetColumn:
    """One column: `number_format` as spreadsheets spell it, empty for text; `width` in characters."""

    head: str
    width: float = 14.0
    number_format: str = ""


@dataclass(frozen=True, slots=True)
class SheetTable:
    """One sheet with one table. `lines` tells how many lines of text each row is high."""

    name: str
    columns: tuple[SheetColumn, ...]
    rows: tuple[tuple[Cell, ...], ...]
    lines: tuple[int, ...]
    kept_columns: int = 1  # stay in sight at the left, and on each printed page


@dataclass(frozen=True, slots=True)
class Workbook:
    """What one file holds; header and footer are printed on each page of each sheet."""

    title: str
    subject: str
    author: str
    date: str  # ISO date that goes into the file, so that the bytes repeat
    sheets: tuple[SheetTable, ...]
    header: tuple[str, str] = ("", "")  # left and right
    footer: str = ""  # left; the page's number stands at the right
