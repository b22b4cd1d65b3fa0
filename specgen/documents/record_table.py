"""Tables of the calculation record: columns and rows of text in, one block per row out.

A block of a row is never cut; the head is drawn again on a further page. A word wider than its column, as a long id is,
is broken after its hyphens and nowhere else.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from specgen.documents.record_page import HAIR, LEFT, MEDIUM, PAD, RIGHT, SMALL_LEAD, Block, Item
from specgen.documents.setting import RunLine, break_text, place
from specgen.drawing.type import LEAD_NOTE, NOTE, SMALL, TIE, text_width, wrap
from specgen.model.scene import Line, Text

KEPT_TABLE, KEPT_ROWS = 48.0, 26.0  # a table lower than this is not gladly parted; rows together that stay so [mm]
PARTED, LONELY = 0.1, 0.05  # cost of parting such a table, or of one row or two alone [squares of a page]

Align = Literal["start", "end"]


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a table: its head, its left edge and its width; `end` sets figures against the right edge."""

    head: str
    x: float  # [mm]
    width: float  # [mm]
    align: Align = "start"


def table(
    columns: Sequence[Column], rows: Sequence[Sequence[str]], id: str, where: str = "", ruled: bool = True
) -> list[Block]:
    """A table: its head, then one block per row; a new page repeats the head.

    Parameters
    ----------
    columns : sequence of Column, shape (n,)
        Without any head there is no head row.
    rows : sequence of sequence of str, shape (m, n)
        `**` opens and closes Semibold; a line break begins a new line.
    id : str
        Of its blocks.
    where : str
        Name of the table, for messages.
    ruled : bool
        With a hairline under each row.

    Raises
    ------
    PageOverflowError
        If a word is wider than its column.
    """
    named = any(column.head for column in columns)
    head = _head_row(columns, f"{id}_heads") if named else None
    body = [_row(columns, row, f"{id}_{number}", where or id, head, ruled) for number, row in enumerate(rows, start=1)]
    return [*([head] if head and rows else []), *_kept_together(body)]


def _kept_together(body: list[Block]) -> list[Block]:
    """A low table is parted only if that saves much; the first two rows and the last three stay together if low."""
    low = sum(block.height for block in body) < KEPT_TABLE
    found = []
    for number, block in enumerate(body):
        ends = [body[:2]] if number == 0 else []
        ends += [body[-3:]] if len(body) - 3 <= number < len(body) - 1 else []
        together = any(len(rows) > 1 and sum(row.height for row in rows) < KEPT_ROWS for rows in ends)
        parting = (PARTED if low else LONELY if number in (1, len(body) - 2, len(body) - 1) else 0.0) if number else 0.0
        found.append(replace(block, with_next=together, parting=parting))
    return found


def name_lines(name: str, width: float, size: float = NOTE) -> str:
    """An id for a narrow column: broken after its hyphens where it is wider.

    Parameters
    ----------
    name : str
        Without spaces.
    width : float
        Of the column. [mm]
    size : float
        Capital height. [mm]
    """
    lines = [""]
    parts = name.split("-")
    for number, part in enumerate(parts):
        piece = part + ("-" if number < len(parts) - 1 else "")
        if lines[-1] and text_width(lines[-1] + piece, size) > width:
            lines.append("")
        lines[-1] += piece
    return "\n".join(lines)


def _head_row(columns: Sequence[Column], id: str) -> Block:
    cells = [wrap(column.head, column.width, SMALL) if column.head else () for column in columns]
    count = max(len(lines) for lines in cells)
    height = SMALL + (count - 1) * SMALL_LEAD + 2 * PAD

    def draw(top: float) -> tuple[Item, ...]:
        items: list[Item] = []
        for column, lines in zip(columns, cells, strict=True):
            x = column.x + (column.width if column.align == "end" else 0.0)
            # Short heads stand on the rule, beside the last line of tall ones.
            first = top + PAD + SMALL + (count - len(lines)) * SMALL_LEAD
            for number, line in enumerate(lines):
                items.append(Text((x, first + number * SMALL_LEAD), line, SMALL, column.align, ink="gray"))
        items.append(Line(((LEFT, top + height - 0.2), (RIGHT, top + height - 0.2)), MEDIUM))
        return tuple(items)

    return Block(id, height, draw, with_next=True)


def _row(
    columns: Sequence[Column], cells: Sequence[str], id: str, where: str, head: Block | None, ruled: bool
) -> Block:
    set_cells = [_cell_lines(column, cell, where, ruled) for column, cell in zip(columns, cells, strict=True)]
    count = max(1, *(len(lines) for lines in set_cells))
    pad = PAD if ruled else (LEAD_NOTE - NOTE) / 2
    height = NOTE + (count - 1) * LEAD_NOTE + 2 * pad

    def draw(top: float) -> tuple[Item, ...]:
        items: list[Item] = []
        for column, lines in zip(columns, set_cells, strict=True):
            y = top + pad + NOTE
            if column.align == "end":
                for number, line in enumerate(lines):
                    text = "".join(run.text for run in line).replace(TIE, " ")
                    at = (column.x + column.width, y + number * LEAD_NOTE)
                    items.append(Text(at, text, NOTE, "end", bold=line[0].bold))
            else:
                items += place(lines, column.x, y, LEAD_NOTE)
        if ruled:
            items.append(Line(((LEFT, top + height), (RIGHT, top + height)), HAIR, ink="gray"))
        return tuple(items)

    return Block(id, height, draw, head=head)


def _cell_lines(column: Column, cell: str, where: str, ruled: bool) -> tuple[RunLine, ...]:
    """A line break of the cell begins a new line, and so does the rest of a word that is wider than its column."""
    lines: list[RunLine] = []
    bold = False
    broken = _breakable(cell, column.width)
    for part in broken.split("\n"):
        marked = f"**{part}" if bold else part
        bold = marked.count("**") % 2 == 1
        text = f"{marked}**" if bold else marked
        if text.replace("**", ""):
            lines += break_text(text, column.width, NOTE, where=where, balanced=ruled and "\n" not in broken)
    return tuple(lines)


def _breakable(text: str, width: float) -> str:
    """The text with line breaks after hyphens of a word that is wider than its column, as a long id is."""
    lines = [line.split(" ") for line in text.split("\n")]
    return "\n".join(
        " ".join(
            name_lines(word, width) if text_width(word.replace("**", ""), NOTE, True) > width else word
            for word in words
        )
        for words in lines
    )
