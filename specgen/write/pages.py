"""A flow of text blocks, set in letter pages: blocks in, scenes out.

Keeps (what stays together on a page): an article of one or two paragraphs whole, a longer heading with two
paragraphs, a line that ends in a colon with its list, a table head with two rows, no paragraph split unless it is
longer than a page. Lines are broken greedily; a number never parts from its unit, and a last line of one word is
given company where that is easy.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from specgen.drawing.type import LEAD_NOTE, LEAD_TEXT, NOTE, SMALL, TIE, TITLE, text_width, tie
from specgen.model.document import Flow, Heading, Paragraph, Run, Table
from specgen.model.scene import Group, Ink, Line, Scene, Text

# US letter and the grid of the page. [mm]
PAGE_WIDTH, PAGE_HEIGHT = 215.9, 279.4
LEFT, RIGHT = 25.0, 196.9  # 25 binding, 19 outer margin
NUMBER_AT = (25.0, 37.0, 44.0, 51.0)  # by outline level: none, A., 1., a.
TEXT_AT = (25.0, 44.0, 51.0, 58.0)
ARTICLE_TEXT_AT = 37.0
HEADER_BASELINE, HEADER_RULE = 17.0, 19.4
FOOTER_RULE, FOOTER_BASELINE = 263.6, 267.8
TOP, BOTTOM = 25.4, 258.0  # text stands between

PARAGRAPH_GAP, ARTICLE_GAP, PART_GAP = 0.8, 3.0, 6.3
RULE, HEAD_RULE, HAIRLINE = 0.25, 0.35, 0.13
WHOLE_LIST = 5  # items of a list that is never parted
WHOLE_TABLE = 48.0  # height of a table that is never parted [mm]
CELL_GAP = 3.0  # least white between two columns of a table
MARK_ROLE = "bookmark"  # a group of this role, with its level behind a dash, becomes an entry of the outline

# Beyond the ties of every drawing text: the units and designations that only running text has.
_TIES = (
    re.compile(
        r"([\d½¼¾⅛⅜⅝⅞⅓⅔]) (?=(?:cu|mils?|perms?|percent|gauge|hours?|minutes?|months?|years?|weeks?|deg|m|kg|W|Btu)\b)"
    ),
    re.compile(r"([½¼¾⅛⅜⅝⅞⅓⅔]) (?=(?:in|ft|lb|sq|mil|h)\b)"),
    re.compile(r"([\d½¼¾⅛⅜⅝⅞⅓⅔]) (?=°)"),
    re.compile(r"\b(AAMA|IECC|IRC|TMS|Type|Part|No\.|U1) (?=[\dIVXU])"),
    re.compile(r"\b((?:sq|cu)\.) (?=(?:ft|in|yd)\b)"),
)
_CONTROL = re.compile(r"[\x00-\x1f\x7f-\x9f]")


def set_pages(flow: Flow, name: str, title: str) -> tuple[Scene, ...]:
    """The pages of a flow, in order; `name` makes the ids of its scenes.

    Raises
    ------
    MissingGlyphError
        If a text holds a character that the font lacks (raised where widths are measured).
    """
    pages: list[list[Group]] = [[]]
    y = TOP
    blocks = list(_blocks(flow.blocks))
    index = 0
    while index < len(blocks):
        chunk = _chunk(blocks, index)
        height = sum(block.gap + block.height for block in chunk)
        if y > TOP and y + height - chunk[0].gap * (y <= TOP) > BOTTOM:
            pages.append([])
            y = TOP
        for block in chunk:
            if y > TOP and y + block.gap + block.height > BOTTOM:  # only in a chunk that no page could hold
                pages.append([])
                y = TOP
            if y <= TOP and block.head is not None:
                pages[-1].append(block.head.at(y))
                y += block.head.height
            y += block.gap if y > TOP else 0.0
            pages[-1].append(block.at(y))
            y += block.height
        index += len(chunk)
    return tuple(
        _page(flow, groups, number, f"{name}-page-{number}", title) for number, groups in enumerate(pages, start=1)
    )


@dataclass(frozen=True, slots=True)
class _Block:
    """One piece that is never split: items placed from its own top, y = 0."""

    items: tuple[Text | Line, ...]
    height: float
    gap: float  # above it, unless it starts a page
    keep: bool = False  # with the block after it
    mark: str = ""  # bookmark text
    mark_level: int = 0
    head: _Block | None = None  # table head to repeat at the top of a page

    def at(self, y: float) -> Group:
        moved = tuple(_moved(item, y) for item in self.items)
        return Group("", moved, title=self.mark, role=f"{MARK_ROLE}-{self.mark_level}" if self.mark else "text")


def _moved(item: Text | Line, dy: float) -> Text | Line:
    if isinstance(item, Text):
        return replace(item, at=(item.at[0], item.at[1] + dy))
    return replace(item, points=tuple((x, y + dy) for x, y in item.points))


def _chunk(blocks: Sequence[_Block], start: int) -> list[_Block]:
    end = start
    while blocks[end].keep and end + 1 < len(blocks):
        end += 1
    return list(blocks[start : end + 1])


def _blocks(blocks: Sequence[Heading | Paragraph | Table]) -> Iterable[_Block]:
    for index, block in enumerate(blocks):
        keep = _keeps(blocks, index)
        if isinstance(block, Heading):
            yield from _heading(block, first=index == 0)
        elif isinstance(block, Paragraph):
            yield from _paragraph(block, keep)
        else:
            yield from _table(block, keep)


def _keeps(blocks: Sequence[Heading | Paragraph | Table], index: int) -> bool:
    """Whether a block stays with the next one."""
    block = blocks[index]
    following = blocks[index + 1] if index + 1 < len(blocks) else None
    if isinstance(block, Heading) or following is None:
        return True
    if isinstance(following, Heading):
        return False
    if isinstance(block, Paragraph) and (block.keep_with_next or _text_of(block.runs).rstrip().endswith(":")):
        return True
    if isinstance(following, Table):
        return True
    if isinstance(block, Paragraph) and following.level > block.level > 0:
        return True
    if _in_short_list(blocks, index):
        return True
    start = index
    while start > 0 and not isinstance(blocks[start], Heading):
        start -= 1
    end = index
    while end < len(blocks) and not isinstance(blocks[end], Heading):
        end += 1
    count = end - start - 1  # blocks in this article
    if start == 0 and not isinstance(blocks[0], Heading):
        return False
    # All of a short article; else two after a heading, and two at the end.
    return count <= 3 or index - start == 1 or index == end - 2


def _in_short_list(blocks: Sequence[Heading | Paragraph | Table], index: int) -> bool:
    """Whether the block and the next are items of one list below an item, short enough to stay whole."""
    below = [isinstance(block, Paragraph) and block.level >= 2 for block in blocks]
    if not (below[index] and below[index + 1]):
        return False
    start, end = index, index + 1
    while start > 0 and below[start - 1]:
        start -= 1
    while end + 1 < len(blocks) and below[end + 1]:
        end += 1
    return end - start < WHOLE_LIST


def _heading(heading: Heading, first: bool) -> Iterable[_Block]:
    mark = f"{heading.number} {heading.text}".strip()
    if heading.level == 0:
        items: list[Text | Line] = []
        y = 6.0
        if heading.number:
            items.append(Text((LEFT, y), clean(heading.number), NOTE, bold=True))
            y += 7.0
        for line in break_lines((Run(heading.text, bold=True),), RIGHT - LEFT, TITLE):
            items += _line_items(line, LEFT, y, TITLE)
            y += 6.6
        yield _Block(tuple(items), y, 0.0 if first else PART_GAP, True, mark, 0)
    elif heading.level == 1:
        label = f"{heading.number} – {heading.text}" if heading.number else heading.text
        rule = Line(((LEFT, 5.4), (RIGHT, 5.4)), HEAD_RULE)
        yield _Block((Text((LEFT, 3.6), clean(label), NOTE, bold=True), rule), 7.0, PART_GAP, True, label, 1)
    else:
        items = [Text((LEFT, 3.6), clean(heading.number), NOTE, bold=True)] if heading.number else []
        at = ARTICLE_TEXT_AT if heading.number else LEFT
        y = 3.6
        for line in break_lines((Run(heading.text, bold=True),), RIGHT - at, NOTE):
            items += _line_items(line, at, y, NOTE)
            y += LEAD_TEXT
        yield _Block(tuple(items), y - 3.6, ARTICLE_GAP, True, mark, 2)


def _paragraph(paragraph: Paragraph, keep: bool) -> Iterable[_Block]:
    level = min(paragraph.level, len(TEXT_AT) - 1)
    at = TEXT_AT[level]
    lines = break_lines(paragraph.runs, RIGHT - at, NOTE)
    fit = int((BOTTOM - TOP) // LEAD_TEXT)
    for start in range(0, max(len(lines), 1), fit):  # one round, unless the paragraph is longer than a page
        items: list[Text | Line] = []
        if paragraph.number and start == 0:
            items.append(Text((NUMBER_AT[level], 3.6), clean(paragraph.number), NOTE))
        part = lines[start : start + fit]
        for number, line in enumerate(part):
            items += _line_items(line, at, 3.6 + number * LEAD_TEXT, NOTE)
        yield _Block(tuple(items), len(part) * LEAD_TEXT, PARAGRAPH_GAP if level else ARTICLE_GAP, keep)


def _table(table: Table, keep: bool) -> Iterable[_Block]:
    left = TEXT_AT[min(table.level, 3)] if table.level < 2 else TEXT_AT[1]
    total = sum(table.widths)
    edges = [left]
    for width in table.widths:
        edges.append(edges[-1] + (RIGHT - left) * width / total)
    align = table.align or "l" * len(table.widths)
    head = _row(table.head, edges, align, SMALL, "gray", HEAD_RULE, "black")
    head = replace(head, gap=PARAGRAPH_GAP + 0.6, keep=True)
    yield head
    repeated = replace(head, gap=0.0)
    blocks = [_row(row, edges, align, NOTE, "black", HAIRLINE, "gray") for row in table.rows]
    whole = sum(block.height for block in blocks) <= WHOLE_TABLE
    for index, block in enumerate(blocks):
        last = index == len(blocks) - 1
        yield replace(block, keep=(whole or index == 0) if not last else keep, head=repeated)


def _row(
    cells: Sequence[str], edges: Sequence[float], align: str, size: float, ink: Ink, weight: float, rule_ink: Ink
) -> _Block:
    items: list[Text | Line] = []
    deepest = 1
    for cell, start, end, side in zip(cells, edges, edges[1:], align, strict=False):
        width = end - start - CELL_GAP
        lines = break_lines((Run(cell, ink="gray" if ink == "gray" else "black"),), width, size)
        deepest = max(deepest, len(lines))
        for number, line in enumerate(lines):
            y = 3.7 + number * LEAD_NOTE
            spare = width - _line_width(line, size)
            at = start + (spare if side == "r" else spare / 2 if side == "c" else 0.0)
            items += _line_items(line, at, y, size)
    height = 3.7 + (deepest - 1) * LEAD_NOTE + 1.7
    items.append(Line(((edges[0], height), (edges[-1], height)), weight, ink=rule_ink))
    return _Block(tuple(items), height, 0.0)


def break_lines(runs: Sequence[Run], width: float, size: float) -> list[tuple[Run, ...]]:
    """Runs broken into lines that fit a width.

    Parameters
    ----------
    runs : sequence of Run
        Stretches of one face each; a space in them is a possible break.
    width : float
        Of the column, > 0. [mm]
    size : float
        Capital height. [mm]

    Returns
    -------
    lines : list of tuple of Run
        Each line's runs, spaces inside, none at its ends.
    """
    return list(_broken(tuple(runs), width, size))


@lru_cache(maxsize=20_000)
def _broken(runs: tuple[Run, ...], width: float, size: float) -> tuple[tuple[Run, ...], ...]:
    """The lines; kept, since the sections of a project say of many walls the same."""
    words = [part for word in _words(runs) for part in _fitting(word, width, size)]
    lines: list[list[tuple[Run, ...]]] = []
    reach = 0.0  # width of the last line
    for word in words:
        own = _line_width(word, size)
        if lines:
            longer = reach + text_width(" ", size, lines[-1][-1][-1].bold) + own
            if longer <= width:
                lines[-1].append(word)
                reach = longer
                continue
        lines.append([word])
        reach = own
    if len(lines) > 1 and len(lines[-1]) == 1 and len(lines[-2]) > 2:
        companion = lines[-2][-1]
        if _line_width(_joined([companion, lines[-1][0]]), size) <= width:
            lines[-1].insert(0, lines[-2].pop())
    return tuple(_joined(line) for line in lines)


def _words(runs: Sequence[Run]) -> list[tuple[Run, ...]]:
    """Split at breakable spaces; a word may be made of several faces, as `[`, bold `one`, `]`."""
    return _split([replace(run, text=_tied(run.text)) for run in runs], r"[ \t\n]+")


def _split(runs: Sequence[Run], pattern: str) -> list[tuple[Run, ...]]:
    words: list[tuple[Run, ...]] = []
    current: list[Run] = []
    for run in runs:
        for number, piece in enumerate(re.split(pattern, run.text)):
            if number > 0 and current:
                words.append(tuple(current))
                current = []
            if piece:
                current.append(replace(run, text=piece))
    if current:
        words.append(tuple(current))
    return words


def _tied(text: str) -> str:
    text = tie(clean(text))
    for pattern in _TIES:
        text = pattern.sub(rf"\1{TIE}", text)
    return text


def clean(text: str) -> str:
    """One line without control characters: what a page can set."""
    return _CONTROL.sub("", re.sub(r"[\t\r\n]+", " ", text))


def _fitting(word: tuple[Run, ...], width: float, size: float) -> list[tuple[Run, ...]]:
    """The word; parted at its ties if it alone is wider than the column, and cut only where that is not enough."""
    if _line_width(word, size) <= width:
        return [word]
    if any(TIE in run.text for run in word):
        return [piece for part in _split(word, TIE) for piece in _fitting(part, width, size)]
    pieces: list[tuple[Run, ...]] = []
    for run in word:
        rest = run.text
        while rest:
            count = len(rest)
            while count > 1 and text_width(rest[:count], size, run.bold) > width:
                count = max(1, min(count - 1, int(count * width / text_width(rest[:count], size, run.bold))))
            pieces.append((replace(run, text=rest[:count]),))
            rest = rest[count:]
    return pieces


def _joined(words: Sequence[tuple[Run, ...]]) -> tuple[Run, ...]:
    """Words with spaces between, neighbors of one face in one run."""
    runs: list[Run] = []
    for index, word in enumerate(words):
        for number, run in enumerate(word):
            spaced = " " if index > 0 and number == 0 else ""
            if runs and (runs[-1].bold, runs[-1].ink) == (run.bold, run.ink):
                runs[-1] = replace(runs[-1], text=runs[-1].text + spaced + run.text)
            elif spaced and runs:
                runs[-1] = replace(runs[-1], text=runs[-1].text + spaced)
                runs.append(run)
            else:
                runs.append(run)
    return tuple(runs)


def _line_width(line: Sequence[Run], size: float) -> float:
    return sum(text_width(_drawn(run.text), size, run.bold) for run in line)


def _line_items(line: Sequence[Run], x: float, y: float, size: float) -> list[Text | Line]:
    items: list[Text | Line] = []
    for run in line:
        text = _drawn(run.text)
        items.append(Text((x, y), text, size, bold=run.bold, ink=run.ink))
        x += text_width(text, size, run.bold)
    return items


def _drawn(text: str) -> str:
    return text.replace(TIE, " ")


def _text_of(runs: Iterable[Run]) -> str:
    return "".join(run.text for run in runs)


def _page(flow: Flow, groups: Sequence[Group], number: int, name: str, title: str) -> Scene:
    footer_right = clean(flow.footer_right).replace("{page}", str(number))
    half = (RIGHT - LEFT) / 2 - 4
    right_width = text_width(footer_right, SMALL, True)
    items: list[Text | Line] = [
        Text((LEFT, HEADER_BASELINE), _shortened(flow.header_left, half), SMALL, ink="gray"),
        Text((RIGHT, HEADER_BASELINE), _shortened(flow.header_right, half), SMALL, "end", ink="gray"),
        Line(((LEFT, HEADER_RULE), (RIGHT, HEADER_RULE)), RULE),
        Line(((LEFT, FOOTER_RULE), (RIGHT, FOOTER_RULE)), RULE),
        Text((LEFT, FOOTER_BASELINE), _shortened(flow.footer_left, RIGHT - LEFT - right_width - 6), SMALL, ink="gray"),
        Text((RIGHT, FOOTER_BASELINE), footer_right, SMALL, "end", bold=True),
    ]
    named = tuple(replace(group, id=f"{name}-{index}") for index, group in enumerate(groups, start=1))
    running = Group(f"{name}-running", tuple(item for item in items if not isinstance(item, Text) or item.text))
    return Scene(
        name, title, f"Page {number}", PAGE_WIDTH, PAGE_HEIGHT, sheet=Group(f"{name}-sheet", (running, *named))
    )


def _shortened(text: str, width: float) -> str:
    """A running line has one line only; a longer text ends in an ellipsis (it stands in full on the page)."""
    text = clean(text)
    if text_width(text, SMALL, False) <= width:
        return text
    while text and text_width(text + "…", SMALL, False) > width:
        text = text[:-1]
    return text.rstrip() + "…"
