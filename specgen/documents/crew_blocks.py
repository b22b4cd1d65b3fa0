"""The parts of the crew page's front, each set from y = 0: header, layer table, steps, limits, NEVER, cautions, footer.

Columns are fixed (mm from the left edge of the sheet); a text that is longer than its line takes a second one and is
noted in `long` with what it is over by, so that a page which overflows can name the texts to shorten.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from math import cos, pi, sin

from specgen.documents.crew_parts import CrewPart
from specgen.documents.messages import Messages
from specgen.documents.setting import RunLine, break_text, line_width, place, runs
from specgen.drawing.type import LEAD_NOTE, NOTE, SMALL, TAG, TIE, TITLE, text_width
from specgen.errors import PageOverflowError
from specgen.model.scene import Line, Text

LEFT, RIGHT = 13.0, 203.0  # 190 wide: fits A4 too
NUMBER_RIGHT, NAME_AT, MAKE_AT = 79.5, 82.0, 132.0
BOX_SIDE, STEP_NUMBER_RIGHT = 3.0, 22.0
WORD_AT, TEXT_AT, SECOND_WORD_AT, HOLD_AT, INITIALS_AT = 25.0, 51.0, 120.0, 158.0, 189.0
SIGN_AT, SECOND_SIGN_AT, SECOND_TEXT_AT = 19.0, 114.0, 144.0
COLUMN_GAP = 2.5  # least white between a text and the next column

HEADER_BASELINE, SMALL_LEAD = 16.6, 3.6
TABLE_HEAD = 7.9  # from the block's top to the rule under its head
ROW_PAD = 1.0  # least white above and below the text of a table row
USUAL_ROW_LINES = 2  # so that a longer language fits without moving anything
STEP_HEAD, STEP_RISE = 4.6, 1.7
NEVER_PAD = 2.3
FOOTER_BASELINE = 272.4  # of the last line
HEAVY, MEDIUM, THIN, HAIR = 0.70, 0.35, 0.25, 0.13


@dataclass(frozen=True, slots=True)
class Pitch:
    """Line to line of one-line entries, and least lines of a table row: white that a full page gives up, never type."""

    rows: int = USUAL_ROW_LINES  # [-]
    steps: float = 5.6  # [mm]
    never: float = 4.7  # [mm]
    cautions: float = 4.9  # [mm]


PITCHES = (Pitch(), Pitch(rows=1), Pitch(1, 5.2, 4.4, 4.5))  # from the usual page to the fullest


@dataclass(frozen=True, slots=True)
class FrontStep:
    number: int
    trade: str  # empty where the trade is that of the step above
    do: str
    hold: str


@dataclass(frozen=True, slots=True)
class FrontPage:
    """Every text of the front, ready to set; `**` opens and closes Semibold."""

    tag: str
    title: str
    subtitle: str
    revision: str
    date: str
    parts: tuple[CrewPart, ...]
    steps: tuple[FrontStep, ...]
    limits: str
    never: tuple[str, ...]
    cautions: tuple[tuple[str, str], ...]  # word and line
    footer: tuple[str, str, str]  # whom to call; library, wall and hash; what governs


@dataclass(slots=True)
class Block:
    """One part of the page: items from y = 0, and the texts that are over the lines they were meant for."""

    height: float
    items: list[Line | Text] = field(default_factory=list)
    long: list[str] = field(default_factory=list)

    def at(self, y: float) -> tuple[Line | Text, ...]:
        return tuple(_shifted(item, y) for item in self.items)


def header(page: FrontPage) -> Block:
    """Tag, title over project and place, revision over date; its height is that of the heavy rule."""
    right = max(text_width(page.revision, NOTE, True), text_width(page.date, SMALL)) + 6.0
    title_at = max(33.0, LEFT + text_width(page.tag, TAG, True) + 5.0) if page.tag else LEFT
    titles = break_text(page.title, RIGHT - right - title_at, TITLE, bold=True, where="title")
    subtitles = break_text(page.subtitle, RIGHT - right - title_at, SMALL, where="project, place and site")
    y = HEADER_BASELINE
    items: list[Line | Text] = [*place(titles, title_at, y, 6.2, TITLE)]
    y += 6.2 * (len(titles) - 1)
    items += place(subtitles, title_at, y + 4.4, SMALL_LEAD, SMALL)
    base = y + 4.4 + SMALL_LEAD * (len(subtitles) - 1)
    if page.tag:
        items.append(Text((LEFT, base), page.tag, TAG, bold=True))
    items.append(Text((RIGHT, HEADER_BASELINE), page.revision, NOTE, "end", bold=True))
    items.append(Text((RIGHT, HEADER_BASELINE + 4.4), page.date.replace(TIE, " "), SMALL, "end"))
    rule = base + 3.0
    items.append(Line(((LEFT, rule), (RIGHT, rule)), HEAVY))
    return Block(rule, items)


def table_rows(page: FrontPage, pitch: Pitch = PITCHES[0]) -> list[Block]:
    """One block per layer, without its rule; all have room for two lines, or for fewer on a page that is full."""
    return [_table_row(part, pitch.rows) for part in page.parts]


def table_head(messages: Messages) -> Block:
    """Heads of the layer table with their rule."""
    y = TABLE_HEAD - 1.7
    items: list[Line | Text] = [
        _head(messages.text("head.number"), NUMBER_RIGHT - 0.3, y, 8.0, "end"),
        _head(messages.text("head.layer"), NAME_AT, y, MAKE_AT - NAME_AT - COLUMN_GAP),
        _head(messages.text("head.make"), MAKE_AT, y, RIGHT - MAKE_AT),
        Line(((74.5, TABLE_HEAD), (RIGHT, TABLE_HEAD)), MEDIUM),
    ]
    return Block(TABLE_HEAD, items)


def steps(page: FrontPage, messages: Messages, pitch: Pitch = PITCHES[0]) -> Block:
    """Tick box, number, trade, what to do, hold point and a line for initials; a hairline where the trade changes."""
    hint_at = LEFT + text_width(messages.text("head.steps"), NOTE, True) + 4.0
    items: list[Line | Text] = [
        Text((LEFT, 2.4), messages.text("head.steps"), NOTE, bold=True),
        _head(messages.text("head.steps_hint"), hint_at, 2.4, HOLD_AT - hint_at - COLUMN_GAP),
        _head(messages.text("head.hold"), HOLD_AT, 2.4, 24.0),
        _head(messages.text("head.initials"), RIGHT, 2.4, RIGHT - HOLD_AT - 27.0, "end"),
        Line(((LEFT, STEP_HEAD), (RIGHT, STEP_HEAD)), MEDIUM),
    ]
    long: list[str] = []
    y = STEP_HEAD
    for step in page.steps:
        name = f"step {step.number}"
        do = _column(step.do, HOLD_AT - TEXT_AT, f"{name}, do", long)
        trade = _column(step.trade, TEXT_AT - WORD_AT, f"{name}, trade", long, bold=True)
        hold = _column(step.hold, INITIALS_AT - HOLD_AT, f"{name}, hold point", long, bold=True)
        if step.trade and y > STEP_HEAD:
            items.append(Line(((LEFT, y), (RIGHT, y)), HAIR, ink="gray"))
        base = y + pitch.steps - STEP_RISE
        items.append(Line(_square(LEFT, base - 2.7, BOX_SIDE), THIN, closed=True))
        items.append(Text((STEP_NUMBER_RIGHT, base), str(step.number), NOTE, "end"))
        for lines, x in ((trade, WORD_AT), (do, TEXT_AT), (hold, HOLD_AT)):
            items += place(lines, x, base, LEAD_NOTE)
        count = max(len(trade), len(do), len(hold), 1)
        y += pitch.steps + (count - 1) * LEAD_NOTE
        if step.hold:
            items.append(Line(((INITIALS_AT, y - 0.9), (RIGHT, y - 0.9)), THIN))
    items.append(Line(((LEFT, y), (RIGHT, y)), MEDIUM))
    return Block(y, items, long)


def limits(page: FrontPage, messages: Messages) -> Block:
    """Weather, cure and cover limits of all layers."""
    lines = break_text(page.limits, RIGHT - TEXT_AT, NOTE, where="limits")
    items: list[Line | Text] = [Text((WORD_AT, 2.4), messages.text("limits.head"), NOTE, bold=True)]
    items += place(lines, TEXT_AT, 2.4, LEAD_NOTE)
    long = [f"limits ({len(lines)} lines)"] if len(lines) > 2 else []
    return Block(2.4 + (len(lines) - 1) * LEAD_NOTE + 0.8, items, long)


def never(page: FrontPage, messages: Messages, pitch: Pitch = PITCHES[0]) -> Block:
    """The one framed part: an octagon, the word, and what nobody may do, in two columns."""
    if not page.never:
        return Block(0.0)
    long: list[str] = []
    half = (len(page.never) + 1) // 2
    columns = [
        [_column(text, width, "never", long) for text in part]
        for part, width in (
            (page.never[:half], SECOND_WORD_AT - TEXT_AT),
            (page.never[half:], RIGHT - 1.0 - SECOND_WORD_AT + COLUMN_GAP),
        )
    ]
    items: list[Line | Text] = []
    height = 0.0
    for x, column in zip((TEXT_AT, SECOND_WORD_AT), columns, strict=True):
        y = NEVER_PAD
        for lines in column:
            items += place(lines, x, y + NOTE, LEAD_NOTE)
            y += pitch.never + (len(lines) - 1) * LEAD_NOTE
        height = max(height, y - pitch.never + NOTE + NEVER_PAD + 0.4)
    height = max(height, 9.6)
    middle = height / 2
    items += _octagon(SIGN_AT, middle, 3.6)
    items.append(Text((WORD_AT, middle + NOTE / 2), messages.text("never.head"), NOTE, bold=True))
    frame = ((LEFT, 0.0), (RIGHT, 0.0), (RIGHT, height), (LEFT, height))
    items.append(Line(frame, HEAVY, closed=True))
    return Block(height, items, long)


def cautions(page: FrontPage, pitch: Pitch = PITCHES[0]) -> Block:
    """Pairs side by side, read across: the first two are the gravest."""
    long: list[str] = []
    items: list[Line | Text] = []
    y = 0.0
    for start in range(0, len(page.cautions), 2):
        count = 1
        for (word, do), (sign, word_at, text_at, end) in zip(
            page.cautions[start : start + 2],
            (
                (SIGN_AT, WORD_AT, TEXT_AT, SECOND_SIGN_AT - 2.0),
                (SECOND_SIGN_AT, SECOND_WORD_AT, SECOND_TEXT_AT, RIGHT + COLUMN_GAP),
            ),
            strict=False,
        ):
            words = _column(word, text_at - word_at + 1.0, f"caution {word!r}, word", long, bold=True)
            lines = _column(do, end - text_at, f"caution {word!r}", long)
            count = max(count, len(words), len(lines))
            items += _triangle(sign, y + NOTE)
            items += place(words, word_at, y + NOTE, LEAD_NOTE)
            items += place(lines, text_at, y + NOTE, LEAD_NOTE)
        y += pitch.cautions + (count - 1) * LEAD_NOTE
    return Block(max(y - pitch.cautions + NOTE + 0.8, 0.0), items, long)


def footer(page: FrontPage) -> Block:
    """Whom to call, what governs, which revision of which wall this is; placed from the sheet's top.

    Its height is that of its rule; the library line shares the first line where it can.
    """
    call, library, governs = (runs(text) for text in page.footer)
    widths = [line_width(line, SMALL) for line in (call, library, governs)]
    for text, width in zip(page.footer, widths, strict=True):
        if width > RIGHT - LEFT:
            shown = text.replace("**", "").replace(TIE, " ")
            raise PageOverflowError(f"crew page, footer: shorten {shown!r} by {width - RIGHT + LEFT:.0f} mm")
    shared = widths[0] + 2 * COLUMN_GAP + widths[1] <= RIGHT - LEFT
    last = FOOTER_BASELINE - (0.0 if shared else SMALL_LEAD)
    items: list[Line | Text] = [*place([call], LEFT, last - SMALL_LEAD, SMALL_LEAD, SMALL)]
    items += place([governs], LEFT, last, SMALL_LEAD, SMALL)
    at = RIGHT - widths[1] if shared else LEFT
    items += place([library], at, last - SMALL_LEAD if shared else FOOTER_BASELINE, SMALL_LEAD, SMALL, "gray")
    rule = last - SMALL_LEAD - 3.8
    items.append(Line(((LEFT, rule), (RIGHT, rule)), THIN))
    return Block(rule, items)


def _table_row(part: CrewPart, least_lines: int) -> Block:
    long: list[str] = []
    name = f"layer {part.number}"
    title = f"**{part.name}**{'' if part.size.startswith(',') else ' '}{part.size}".strip()
    left = _column(title, MAKE_AT - NAME_AT, f"{name}, name", long, USUAL_ROW_LINES)
    right = _column(". ".join(part.make), RIGHT - MAKE_AT + COLUMN_GAP, f"{name}, make-up", long, USUAL_ROW_LINES)
    count = max(len(left), len(right), least_lines)
    height = NOTE + (count - 1) * LEAD_NOTE + 2 * ROW_PAD
    items: list[Line | Text] = []
    for lines, x in ((left, NAME_AT), (right, MAKE_AT)):
        items += place(lines, x, _first_baseline(height, len(lines)), LEAD_NOTE)
    items.append(Text((NUMBER_RIGHT - 0.3, _first_baseline(height, len(left))), str(part.number), NOTE, "end"))
    return Block(height, items, long)


def _first_baseline(height: float, lines: int) -> float:
    """Of a text that stands in the middle of its row; the number stands on the first line of the name."""
    return (height - NOTE - (lines - 1) * LEAD_NOTE) / 2 + NOTE


def _column(
    text: str, width: float, where: str, long: list[str], usual: int = 1, bold: bool = False
) -> tuple[RunLine, ...]:
    """Lines of a text in its column; what is over the usual number of lines is noted."""
    if not text:
        return ()
    lines = break_text(text, width - COLUMN_GAP, NOTE, bold, where)
    if len(lines) > usual:
        shown = text.replace("**", "").replace(TIE, " ")
        whole = line_width(runs(text) if not bold else runs(f"**{text}**"), NOTE)
        over = whole - usual * (width - COLUMN_GAP)
        long.append(f"{where}: {shown!r} is {max(over, 0.1):.0f} mm over {usual} line{'s' if usual > 1 else ''}")
    return lines


def _head(text: str, x: float, y: float, width: float, anchor: str = "start") -> Text:
    _fits(text, abs(width), SMALL, False, "heading")
    return Text((x, y), text, SMALL, "end" if anchor == "end" else "start", ink="gray")


def _fits(text: str, width: float, size: float, bold: bool, where: str) -> None:
    over = text_width(text, size, bold) - width
    if over > 0:
        raise PageOverflowError(f"crew page, {where}: shorten {text.replace(TIE, ' ')!r} by {over:.0f} mm")


def _square(x: float, y: float, side: float) -> tuple[tuple[float, float], ...]:
    return ((x, y), (x + side, y), (x + side, y + side), (x, y + side))


def _octagon(x: float, y: float, radius: float) -> list[Line]:
    """A stop sign: solid, with a white bar."""
    corners = tuple(
        (x + radius * cos(pi / 8 + index * pi / 4), y + radius * sin(pi / 8 + index * pi / 4)) for index in range(8)
    )
    bar = ((x - 2.0, y - 0.5), (x + 2.0, y - 0.5), (x + 2.0, y + 0.5), (x - 2.0, y + 0.5))
    return [
        Line(corners, 0.0, closed=True, fill="black", stroked=False),
        Line(bar, 0.0, closed=True, fill="white", stroked=False),
    ]


def _triangle(x: float, base: float) -> list[Line]:
    """A caution sign on the baseline: triangle with an upright stroke and a point under it."""
    top = base - 3.1
    outline = ((x - 1.85, base + 0.1), (x + 1.85, base + 0.1), (x, top))
    stroke = ((x - 0.22, top + 1.15), (x + 0.22, top + 1.15), (x + 0.14, base - 0.95), (x - 0.14, base - 0.95))
    point = _square(x - 0.2, base - 0.65, 0.4)
    return [
        Line(outline, 0.35, closed=True),
        Line(stroke, 0.0, closed=True, fill="black", stroked=False),
        Line(point, 0.0, closed=True, fill="black", stroked=False),
    ]


def _shifted(item: Line | Text, y: float) -> Line | Text:
    if isinstance(item, Text):
        return replace(item, at=(item.at[0], item.at[1] + y))
    return replace(item, points=tuple((px, py + y) for px, py in item.points))


def all_long(blocks: Sequence[Block]) -> list[str]:
    """Every text that is over its lines, in the order of the page."""
    return [text for block in blocks for text in block.long]
