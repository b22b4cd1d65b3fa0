"""The back of the crew page as one letter page: hold points across, the rest in two columns, notices at the foot.

Type never shrinks: what must be read is set in NOTE; heads of tables, quantities and the footer in SMALL. A full page
gives up white between lines; one that overflows names the texts to shorten.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import product

from specgen.documents.crew_back import BackPage, HoldRow, Part
from specgen.documents.crew_blocks import FOOTER_BASELINE, HAIR, HEAVY, LEFT, MEDIUM, RIGHT, SMALL_LEAD, THIN, Block
from specgen.documents.messages import Messages
from specgen.documents.setting import break_text, line_width, place, runs
from specgen.drawing.type import LEAD_NOTE, NOTE, SMALL, TIE, text_width
from specgen.errors import PageOverflowError
from specgen.model.scene import Group, Line, Scene, Text

PAGE_WIDTH, PAGE_HEIGHT = 215.9, 279.4  # US letter [mm]
TITLE_BASELINE, TITLE_RULE = 16.2, 18.8
STEP_RIGHT, NAME_AT, CHECK_AT, KEEP_AT = 17.5, 20.0, 51.0, 160.0
SECOND_AT = 110.0  # the right column of the lower half
COLUMN = SECOND_AT - LEFT - 5.0  # width of either
CAUTION_TEXT = 25.0  # from the column's edge to a caution's line
GAP = 2.5  # least white between a text and the next column
NAMED = 6  # texts that an overflowing page names, the longest first


@dataclass(frozen=True, slots=True)
class Pitch:
    """White that a full page gives up. [mm]"""

    lead: float  # line to line
    entry: float  # between entries
    part: float  # above a part's head
    row: float  # above and below a row of the hold points
    small: float  # line to line of the quantities
    running: bool = False  # whether cautions follow each other in one paragraph


PITCHES = (
    Pitch(LEAD_NOTE, 0.9, 4.0, 0.8, 3.9),
    Pitch(4.15, 0.6, 3.2, 0.6, 3.7),
    Pitch(4.0, 0.3, 2.2, 0.35, 3.4),
    Pitch(4.0, 0.3, 2.2, 0.35, 3.4, running=True),
)  # from the usual page to the fullest


@dataclass(slots=True)
class Column:
    """Parts that stand one under the other."""

    x: float
    height: float = 0.0
    items: list[Line | Text] = field(default_factory=list)

    def add(self, block: Block, gap: float) -> None:
        """Under what stands there, with white above it unless it is the first.

        Parameters
        ----------
        block : Block
            Set from the column's left edge, y = 0.
        gap : float
            White above it. [mm]
        """
        self.height += gap if self.height else 0.0
        self.items += _moved(block, self.x, self.height)
        self.height += block.height


def back_scene(page: BackPage, messages: Messages) -> Scene:
    """The page as a scene.

    Parameters
    ----------
    page : BackPage
        All texts.
    messages : Messages
        Catalog of the crew page, for the fixed labels.

    Raises
    ------
    PageOverflowError
        If the texts are more than the page holds; names what to shorten and by how much.
    """
    foot = _foot(page, messages)
    best = 0.0
    for pitch in PITCHES:
        holds = _holds(page, messages, pitch)
        room = foot.height - 3.0 - TITLE_RULE - holds.height - pitch.part
        blocks = [*_parts(page, messages, pitch)]
        columns = _dealt(blocks, room, pitch)
        best = max(column.height for column in columns) - room
        if best <= 0:
            break
    else:
        raise PageOverflowError(_overflow(page, best))
    lower = TITLE_RULE + holds.height + pitch.part
    groups = [
        Group("crew_back_title", tuple(_title(page, messages)), page.title, "frame"),
        Group("crew_back_holds", holds.at(TITLE_RULE), messages.text("back.holds"), "table"),
    ]
    for name, column in zip(("left", "right"), columns, strict=True):
        placed = Block(column.height, column.items).at(lower)
        groups.append(Group(f"crew_back_{name}", placed, name.capitalize(), "table"))
    groups.append(Group("crew_back_foot", tuple(foot.items), "Footer", "frame"))
    description = messages.text("back.side")
    sheet = Group("crew_back_page", tuple(groups))
    return Scene("crew-back", f"{page.title}, {description}", description, PAGE_WIDTH, PAGE_HEIGHT, (), sheet)


def _title(page: BackPage, messages: Messages) -> list[Line | Text]:
    side = messages.text("back.side")
    width = RIGHT - LEFT - text_width(side, SMALL) - GAP
    over = text_width(page.title, NOTE, True) - width
    if over > 0:
        raise PageOverflowError(f"crew page, back: shorten the title {page.title!r} by {over:.0f} mm")
    return [
        Text((LEFT, TITLE_BASELINE), page.title.replace(TIE, " "), NOTE, bold=True),
        Text((RIGHT, TITLE_BASELINE), side, SMALL, "end", ink="gray"),
        Line(((LEFT, TITLE_RULE), (RIGHT, TITLE_RULE)), HEAVY),
    ]


def _holds(page: BackPage, messages: Messages, pitch: Pitch) -> Block:
    text = messages.text
    y = 4.6
    items: list[Line | Text] = [Text((LEFT, y), text("back.holds"), NOTE, bold=True)]
    if not page.holds:
        lines = break_text(text("back.holds_none"), RIGHT - LEFT, NOTE)
        return Block(y + LEAD_NOTE * len(lines), [*items, *place(lines, LEFT, y + LEAD_NOTE, LEAD_NOTE)])
    hint_at = LEFT + text_width(text("back.holds"), NOTE, True) + GAP
    for head, x, end in (
        (text("back.holds_sign"), hint_at, CHECK_AT),
        (text("back.holds_check"), CHECK_AT, KEEP_AT),
        (text("back.holds_keep"), KEEP_AT, RIGHT + GAP),
    ):
        over = text_width(head, SMALL) - (end - x - GAP)
        if over > 0:
            raise PageOverflowError(f"crew page, back: shorten the heading {head!r} by {over:.0f} mm")
        items.append(Text((x, y), head, SMALL, ink="gray"))
    y += 1.6
    items.append(Line(((LEFT, y), (RIGHT, y)), MEDIUM))
    for row in page.holds:
        y = _hold(row, y, items, pitch)
    return Block(y, items)


def _hold(row: HoldRow, y: float, items: list[Line | Text], pitch: Pitch) -> float:
    """One row, who signs under the name, and the rule under it; gives where that stands."""
    first = y + pitch.row + NOTE + 0.4
    cells = (
        ((f"**{row.name}**", row.sign), NAME_AT, CHECK_AT),
        ((row.check,), CHECK_AT, KEEP_AT),
        ((row.keep or "–",), KEEP_AT, RIGHT + GAP),
    )
    count = 1
    for texts, x, end in cells:
        broken = [break_text(text, end - x - GAP, where=f"hold {row.name!r}", balanced=False) for text in texts]
        lines = [line for text in broken for line in text]
        count = max(count, len(lines))
        items += place(lines, x, first, pitch.lead)
    items.append(Text((STEP_RIGHT, first), str(row.step), NOTE, "end"))
    y = first + (count - 1) * pitch.lead + pitch.row + 0.7
    items.append(Line(((LEFT, y), (RIGHT, y)), HAIR, ink="gray"))
    return y


def _parts(page: BackPage, messages: Messages, pitch: Pitch) -> Iterator[Block]:
    for part in page.parts:
        yield _run_in(part, messages, pitch)
    if page.bring.entries:
        yield _bring(page.bring, messages, pitch)
    if page.cautions.entries:
        yield _cautions(page.cautions, pitch)


def _run_in(part: Part, messages: Messages, pitch: Pitch) -> Block:
    """Entries that begin with their name in Semibold, each from its own line; running ones follow each other."""
    block = _headed(part)
    y = block.height
    entries = [(name, messages.text("back.entry", name=name, text=text)) for name, text in part.entries]
    if part.running:
        entries = [(part.title, " ".join(text.rstrip(".") + "." for _, text in entries))]
    for name, text in entries:
        lines = break_text(text, COLUMN, NOTE, where=f"{part.title}, {name}", balanced=False)
        block.items += place(lines, 0.0, y + NOTE, pitch.lead)
        y += pitch.lead * len(lines) + pitch.entry
    return Block(y - pitch.entry - (pitch.lead - NOTE - 0.6), block.items)


def _bring(part: Part, messages: Messages, pitch: Pitch) -> Block:
    """Item and amount in the small size, a hairline between."""
    block = _headed(part)
    y = block.height
    widest = max(text_width(amount, SMALL) for _, amount in part.entries)
    for item, amount in part.entries:
        lines = break_text(item, COLUMN - widest - GAP, SMALL, where=f"{part.title}, {item}")
        block.items += place(lines, 0.0, y + SMALL, SMALL_LEAD, SMALL)
        block.items.append(Text((COLUMN, y + SMALL), amount.replace(TIE, " "), SMALL, "end"))
        y += pitch.small + (len(lines) - 1) * SMALL_LEAD
        block.items.append(Line(((0.0, y - 0.7), (COLUMN, y - 0.7)), HAIR, ink="gray"))
    note = break_text(part.note, COLUMN, SMALL, balanced=False)
    block.items += place(note, 0.0, y + SMALL + 0.3, SMALL_LEAD, SMALL, "gray")
    return Block(y + 0.3 + SMALL_LEAD * (len(note) - 1) + SMALL + 0.6, block.items)


def _cautions(part: Part, pitch: Pitch) -> Block:
    block = _headed(part)
    y = block.height
    if pitch.running:
        lines = break_text(" ".join(f"**{word}** {do}." for word, do in part.entries), COLUMN, NOTE, balanced=False)
        block.items += place(lines, 0.0, y + NOTE, pitch.lead)
        return Block(y + pitch.lead * len(lines) - (pitch.lead - NOTE - 0.6), block.items)
    for word, do in part.entries:
        words = break_text(word, CAUTION_TEXT - GAP, NOTE, bold=True, where=f"caution {word!r}, word")
        lines = break_text(do, COLUMN - CAUTION_TEXT, NOTE, where=f"caution {word!r}")
        block.items += place(words, 0.0, y + NOTE, pitch.lead)
        block.items += place(lines, CAUTION_TEXT, y + NOTE, pitch.lead)
        y += pitch.lead * max(len(words), len(lines)) + pitch.entry / 2
    return Block(y - pitch.entry / 2 - (pitch.lead - NOTE - 0.6), block.items)


def _headed(part: Part) -> Block:
    rule = NOTE + 1.6
    head = break_text(part.title, COLUMN, NOTE, bold=True, where="crew page, back")
    return Block(rule + 1.6, [*place(head, 0.0, NOTE, LEAD_NOTE), Line(((0.0, rule), (COLUMN, rule)), THIN)])


def _dealt(blocks: Sequence[Block], room: float, pitch: Pitch) -> tuple[Column, Column]:
    """Parts to the two columns, in order within each: the first break that fits, else any deal, else the shortest."""
    count = len(blocks)
    in_order = [tuple(index >= first for index in range(count)) for first in range(1, count + 1)]
    dealt = [_columns(blocks, right, pitch) for right in in_order]
    fitting = [columns for columns in dealt if _tallest(columns) <= room]
    if fitting:
        return min(fitting, key=_tallest)
    return min((_columns(blocks, (False, *rest), pitch) for rest in product((False, True), repeat=count - 1)),
               key=_tallest)  # fmt: skip


def _columns(blocks: Sequence[Block], right: Sequence[bool], pitch: Pitch) -> tuple[Column, Column]:
    columns = (Column(LEFT), Column(SECOND_AT))
    for block, second in zip(blocks, right, strict=True):
        columns[second].add(block, pitch.part)
    return columns


def _tallest(columns: tuple[Column, Column]) -> float:
    return max(column.height for column in columns)


def _foot(page: BackPage, messages: Messages) -> Block:
    """Notices over the library line; placed from the sheet's top, its height is that of its rule."""
    notices = break_text(" ".join(page.notices), RIGHT - LEFT, NOTE, where="crew page, back, notices", balanced=False)
    over = line_width(runs(page.library), SMALL) - (RIGHT - LEFT)
    if over > 0:
        raise PageOverflowError(f"crew page, back: shorten {page.library!r} by {over:.0f} mm")
    first = FOOTER_BASELINE - SMALL_LEAD - 1.0 - LEAD_NOTE * (len(notices) - 1)
    items: list[Line | Text] = [*place(notices, LEFT, first, LEAD_NOTE)]
    items += place([runs(page.library)], LEFT, FOOTER_BASELINE, SMALL_LEAD, SMALL, "gray")
    items.append(Text((RIGHT, FOOTER_BASELINE), messages.text("back.size"), SMALL, "end", ink="gray"))
    rule = first - NOTE - 2.0
    items.append(Line(((LEFT, rule), (RIGHT, rule)), THIN))
    return Block(rule, items)


def _overflow(page: BackPage, missing: float) -> str:
    """The longest texts first: they are the ones to shorten."""
    texts = [(f"hold point {row.name!r}", row.check) for row in page.holds]
    texts += [(f"{part.title}, {name}", text) for part in page.parts for name, text in part.entries]
    longest = sorted(texts, key=lambda pair: -len(pair[1]))[:NAMED]
    named = "; ".join(f"{name}: {text.replace(TIE, ' ')!r}" for name, text in longest)
    return f"crew page of {page.wall!r}, back: {missing:.1f} mm too tall; shorten any of: {named}"


def _moved(block: Block, x: float, y: float) -> list[Line | Text]:
    moved: list[Line | Text] = []
    for item in block.at(y):
        if isinstance(item, Text):
            moved.append(Text((item.at[0] + x, item.at[1]), item.text, item.size, item.anchor, item.bold, item.ink))
        else:
            points = tuple((px + x, py) for px, py in item.points)
            moved.append(Line(points, item.weight, item.dash, item.closed, item.ink, item.fill, item.stroked))
    return moved
