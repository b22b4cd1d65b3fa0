"""Layout of the plan reviewer's page: rows of three columns on one letter page, in a grid that never moves.

Type never shrinks; a page that overflows names its longest answers. On a short page the rows stand further apart.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from specgen.documents.reviewer_row import ReviewerRow
from specgen.documents.setting import RunLine, break_text, place
from specgen.drawing.type import LEAD_NOTE, NOTE, SMALL, TAG, TIE, TITLE, text_width
from specgen.errors import PageOverflowError
from specgen.model.scene import Group, Line, Scene, Text

PAGE_WIDTH, PAGE_HEIGHT = 215.9, 279.4  # US letter [mm]
LEFT, ANSWER_AT, SOURCE_AT, RIGHT = 18.0, 64.0, 150.0, 198.0
MIDDLE = (ANSWER_AT + RIGHT) / 2  # left edge of the second column of layers
HANG = 5.2  # of a layer's text behind its number
COLUMN_GAP = 3.0  # least white between an answer and its source [mm]
TITLE_BASELINE, SUBTITLE_STEP, SMALL_LEAD = 15.2, 5.2, 3.8
HEAD_STEP, HEAD_RULE = 5.6, 2.2  # from the header's rule to the heads, from these to their rule [mm]
LEAST_PAD, MOST_PAD = 0.75, 2.0  # white above and below the text of a row [mm]
BOTTOM = 261.0  # of the last row
FOOTER_RULE, FOOTER_BASELINES = 262.6, (265.7, 269.05, 272.4)
HEAVY, MEDIUM, HAIR, THIN = 0.70, 0.35, 0.13, 0.25


@dataclass(frozen=True, slots=True)
class Frame:
    """Texts around the rows."""

    tag: str
    title: str
    subtitle: str
    revision: str
    date: str
    heads: tuple[str, str, str]
    legend: str
    footer: tuple[str, str]
    description: str
    pages: str = ""  # number of the page in a report


_Column = tuple[tuple[str, tuple[RunLine, ...]], ...]  # number and lines of each part


@dataclass(frozen=True, slots=True)
class _SetRow:
    row: ReviewerRow
    question: tuple[RunLine, ...]
    answer: tuple[RunLine, ...]
    source: tuple[RunLine, ...]
    parts: tuple[_Column, _Column]

    @property
    def lines(self) -> int:
        return max(
            len(self.question), len(self.source), len(self.answer) + max(_height(column) for column in self.parts), 1
        )


def reviewer_scene(frame: Frame, rows: Sequence[ReviewerRow]) -> Scene:
    """The page.

    Raises
    ------
    PageOverflowError
        If the rows are taller than the page; names the longest answers.
    """
    header, top = _header(frame)
    found = [_set(row) for row in rows]
    text_height = sum(NOTE + (row.lines - 1) * LEAD_NOTE for row in found)
    pad = (BOTTOM - top - text_height) / (2 * len(found))
    if pad < LEAST_PAD:
        over = 2 * len(found) * (LEAST_PAD - pad)
        longest = sorted(found, key=lambda row: -row.lines)[:3]
        names = "; ".join(f"{_plain(row.row.answer)!r} ({row.lines} lines)" for row in longest)
        raise PageOverflowError(f"plan reviewer's page: {over:.1f} mm too tall; shorten any of: {names}")
    groups = [Group("reviewer_header", tuple(header), frame.title, "frame")]
    y = top
    for number, row in enumerate(found, start=1):
        height = NOTE + (row.lines - 1) * LEAD_NOTE + 2 * min(pad, MOST_PAD)
        groups.append(Group(f"reviewer_row_{number}", tuple(_row(row, y, height)), _plain(row.row.question), "table"))
        y += height
    groups.append(Group("reviewer_footer", tuple(_footer(frame)), "Footer", "frame"))
    sheet = Group("reviewer_page", tuple(groups))
    return Scene("reviewer", frame.title, frame.description, PAGE_WIDTH, PAGE_HEIGHT, (), sheet)


def _header(frame: Frame) -> tuple[list[Line | Text], float]:
    """Tag, title over wall, job and place, revision over date; the column heads; and where the rows begin."""
    items: list[Line | Text] = []
    title_at = max(38.0, LEFT + text_width(frame.tag, TAG, True) + 6.0) if frame.tag else LEFT
    right = max(text_width(frame.revision, NOTE, True), text_width(frame.date, SMALL)) + 8.0
    subtitle = break_text(frame.subtitle, RIGHT - right - title_at, SMALL, where="wall, project and place")
    items.append(Text((title_at, TITLE_BASELINE), frame.title, TITLE, bold=True))
    y = TITLE_BASELINE + SUBTITLE_STEP
    items += place(subtitle, title_at, y, SMALL_LEAD, SMALL)
    y += (len(subtitle) - 1) * SMALL_LEAD
    if frame.tag:
        items.append(Text((LEFT, y), frame.tag, TAG, bold=True))
    items.append(Text((RIGHT, TITLE_BASELINE), frame.revision, NOTE, "end", bold=True))
    items.append(Text((RIGHT, TITLE_BASELINE + SUBTITLE_STEP), frame.date.replace(TIE, " "), SMALL, "end"))
    y += 2.6
    items.append(Line(((LEFT, y), (RIGHT, y)), HEAVY))
    y += HEAD_STEP
    for head, x in zip(frame.heads, (LEFT, ANSWER_AT, SOURCE_AT), strict=True):
        items.append(Text((x, y), head, SMALL, ink="gray"))
    y += HEAD_RULE
    items.append(Line(((LEFT, y), (RIGHT, y)), MEDIUM))
    return items, y


def _set(row: ReviewerRow) -> _SetRow:
    answer_width = SOURCE_AT - COLUMN_GAP - ANSWER_AT
    return _SetRow(
        row,
        _question(row),
        _lines(row.answer, answer_width),
        _lines(row.source, RIGHT - SOURCE_AT),
        _columns(row.parts),
    )


def _question(row: ReviewerRow) -> tuple[RunLine, ...]:
    width = ANSWER_AT - COLUMN_GAP - LEFT
    return (*_lines(row.question, width, bold=True), *_lines(row.below, width))


def _columns(parts: Sequence[tuple[str, str]]) -> tuple[_Column, _Column]:
    """Two columns of about equal height, the first read down before the second."""
    width = MIDDLE - ANSWER_AT - HANG - COLUMN_GAP
    found = tuple((number, _lines(text, width)) for number, text in parts)
    splits = ((found[:count], found[count:]) for count in range(len(found), -1, -1))
    return min(splits, key=lambda pair: max(_height(column) for column in pair))


def _height(column: _Column) -> int:
    """In lines."""
    return sum(len(lines) for _, lines in column)


def _lines(text: str, width: float, bold: bool = False) -> tuple[RunLine, ...]:
    return break_text(text, width, NOTE, bold, "plan reviewer's page") if text else ()


def _row(row: _SetRow, top: float, height: float) -> list[Line | Text]:
    pad = (height - NOTE - (row.lines - 1) * LEAD_NOTE) / 2
    y = top + pad + NOTE
    items: list[Line | Text] = []
    for lines, x in ((row.question, LEFT), (row.answer, ANSWER_AT), (row.source, SOURCE_AT)):
        items += place(lines, x, y, LEAD_NOTE)
    for column, x in zip(row.parts, (ANSWER_AT, MIDDLE), strict=True):
        base = y + len(row.answer) * LEAD_NOTE
        for number, lines in column:
            items.append(Text((x, base), number, NOTE))
            items += place(lines, x + HANG, base, LEAD_NOTE)
            base += len(lines) * LEAD_NOTE
    items.append(Line(((LEFT, top + height), (RIGHT, top + height)), HAIR, ink="gray"))
    return items


def _footer(frame: Frame) -> list[Line | Text]:
    items: list[Line | Text] = [Line(((LEFT, FOOTER_RULE), (RIGHT, FOOTER_RULE)), THIN)]
    texts = (frame.legend, *frame.footer)
    for text, y, gray in zip(texts, FOOTER_BASELINES, (True, False, True), strict=True):
        items.append(_fitting(text, y, gray))
    if frame.pages:
        items.append(Text((RIGHT, FOOTER_BASELINES[-1]), frame.pages, SMALL, "end", ink="gray"))
    return items


def _fitting(text: str, y: float, gray: bool) -> Text:
    over = text_width(text, SMALL) - (RIGHT - LEFT)
    if over > 0:
        raise PageOverflowError(f"plan reviewer's page, footer: shorten {text!r} by {over:.0f} mm")
    return Text((LEFT, y), text, SMALL, ink="gray" if gray else "black")


def _plain(text: str) -> str:
    return text.replace("**", "").replace(TIE, " ")
