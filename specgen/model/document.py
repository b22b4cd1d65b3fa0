"""A document: pages that are drawn as scenes, or a flow of text blocks that the writer sets in pages."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from specgen.model.scene import Scene


@dataclass(frozen=True, slots=True)
class Run:
    """A stretch of text of one face; `**bold**` in a template arrives as bold runs."""

    text: str
    bold: bool = False
    ink: Literal["black", "gray"] = "black"


@dataclass(frozen=True, slots=True)
class Heading:
    """`level` 0 is the document's title, 1 a part, 2 an article; `number` as printed (`1.1`)."""

    text: str
    level: int
    number: str = ""


@dataclass(frozen=True, slots=True)
class Paragraph:
    """A paragraph or one item of the outline: `number` is `A.`, `1.`, `a.` or empty, `level` 0 is unnumbered text."""

    runs: tuple[Run, ...]
    level: int = 0
    number: str = ""
    keep_with_next: bool = False


@dataclass(frozen=True, slots=True)
class Table:
    """A table with a head row; `widths` are shares of the column, `align` one of l, r, c per column."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    widths: tuple[float, ...]
    align: str = ""
    level: int = 2  # indent of the outline level it belongs to


@dataclass(frozen=True, slots=True)
class Flow:
    """Text set in pages by the writer; articles of one or two paragraphs are kept whole."""

    blocks: tuple[Heading | Paragraph | Table, ...]
    header_left: str
    header_right: str
    footer_left: str
    footer_right: str  # `{page}` becomes the page number


@dataclass(frozen=True, slots=True)
class Document:
    """What one PDF holds, in order: scenes are whole pages, flows are set in as many pages as they need."""

    id: str
    title: str
    subject: str
    parts: tuple[Scene | Flow, ...]
    draft: bool = False  # every page carries the DRAFT mark
    date: str = ""  # ISO date that goes into the file's metadata, so that the bytes repeat
    author: str = ""

    @property
    def scenes(self) -> tuple[Scene, ...]:
        """The parts that are drawn pages, in order."""
        return tuple(part for part in self.parts if isinstance(part, Scene))
