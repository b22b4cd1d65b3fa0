"""Pages of the calculation record: blocks of text, tables and charts in, letter pages with one running head out.

A part of the record is a function that takes a `ReportInput` and gives pages; it makes them from blocks with
`set_pages`. A block never shrinks and is never cut; a table's head is repeated on the next page. Where the pages break
is chosen over all of a part at once, so that they fill well: a chart may grow, a short table is parted if that saves
a good part of a page.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

from specgen.data import load_table
from specgen.documents.messages import Messages
from specgen.documents.reviewer_row import Reviewed, capital, closed
from specgen.documents.setting import break_text, place
from specgen.documents.site_words import long_date
from specgen.drawing.type import LEAD_NOTE, NOTE, SMALL, TIE, TITLE, text_width
from specgen.drawing.typeset import typeset
from specgen.errors import PageOverflowError
from specgen.model.assessment import Assessment
from specgen.model.project import Project
from specgen.model.scene import Circle, Dots, Group, Line, Scene, Strokes, Text, View
from specgen.model.site import Site
from specgen.model.wall import Wall

PAGE_WIDTH, PAGE_HEIGHT = 215.9, 279.4  # US letter [mm]
LEFT, RIGHT = 18.0, 198.0
WIDTH = RIGHT - LEFT
TITLE_BASELINE, SUBTITLE_STEP, SMALL_LEAD = 15.2, 5.2, 3.8
BOTTOM = 260.5  # of the last block [mm]
FOOTER_RULE, FOOTER_BASELINES = 262.6, (265.7, 269.05, 272.4)
HEAVY, MEDIUM, HAIR, THIN = 0.70, 0.35, 0.13, 0.25
ITS_OWN_REASON = ("common practice", "first principles", "house rule")
PAD = 1.25  # white above and below the text of a row [mm]
# What makes a break worse: a page of its own, white by the square of its share of a page, a break where none should be.
PER_PAGE, TORN, SLACK = 0.3, 9.0, 0.05

Item = Line | Strokes | Dots | Circle | Text | Group


@dataclass(slots=True)
class SourceList:
    """Numbers the sources of a record in the order in which its parts name them; they are listed once, at its end."""

    found: list[str] = field(default_factory=list)

    def mark(self, source: str, status: str = "") -> str:
        """`[2] secondary`; a source that is its own reason, such as first principles, stands in words."""
        if source in ITS_OWN_REASON:
            return source if source == status or status == "confirmed" else f"{source}, {status}"
        if source not in self.found:
            self.found.append(source)
        return f"[{self.found.index(source) + 1}] {status}".rstrip()


@dataclass(frozen=True, slots=True)
class ReportInput:
    """What the pages of a report are made from: one wall at one site, and the words."""

    reviewed: Reviewed  # wall, assessment, site, project and the catalog of the plan reviewer's page
    messages: Messages  # the catalog `report`
    tag: str = ""
    where: str = ""
    sources: SourceList = field(default_factory=SourceList)

    @property
    def wall(self) -> Wall:
        return self.reviewed.wall

    @property
    def assessment(self) -> Assessment:
        return self.reviewed.assessment

    @property
    def site(self) -> Site:
        return self.reviewed.site

    @property
    def project(self) -> Project | None:
        return self.reviewed.project

    def say(self, id: str, **values: object) -> str:
        """A sentence of the report's catalog."""
        return self.messages.text(id, **values)

    def status(self, *statuses: str) -> str:
        """The least certain of several statuses, as it prints."""
        return self.reviewed.status(*statuses)


@dataclass(frozen=True, slots=True)
class Page:
    """One page without its running head and footer."""

    id: str
    title: str
    groups: tuple[Group, ...]
    views: tuple[View, ...] = ()


@dataclass(frozen=True, slots=True)
class Block:
    """What stands together: its height with the white below it, and how it is drawn from the paper y of its top."""

    id: str
    height: float  # [mm]
    draw: Callable[[float], View | tuple[Item, ...]]
    title: str = ""
    with_next: bool = False
    above: float = 0.0  # white before it, unless it begins a page [mm]
    head: Block | None = None  # drawn again when the block begins a page
    parting: float = 0.0  # how bad a page break before it is, in squares of a page left white [-]
    stretch: float = 0.0  # by how much it may grow to fill its page [mm]
    tall: Callable[[float, float], View] | None = None  # drawn from the paper y of its top, as high as it has grown


PageMaker = Callable[[ReportInput], tuple[Page, ...]]


def set_pages(id: str, title: str, blocks: Sequence[Block]) -> tuple[Page, ...]:
    """Blocks in as many pages as they need.

    Parameters
    ----------
    id : str
        Of the part; page ids begin with it.
    title : str
        In the running head.
    blocks : sequence of Block
        In reading order.

    Raises
    ------
    PageOverflowError
        If one block is taller than a page.
    """
    room = BOTTOM - _body_top()
    for block in blocks:
        if block.height > room + SLACK:
            over = block.height - room
            raise PageOverflowError(f"{title}: {block.title or block.id!r} is {over:.0f} mm taller than its page")
    starts = _page_starts(blocks, room)
    ends = [*starts[1:], len(blocks)]
    pages = [_filled(blocks[start:end], room) for start, end in zip(starts, ends, strict=True)]
    return tuple(_page(f"{id}_{number}", title, found) for number, found in enumerate(pages, start=1))


def _page_starts(blocks: Sequence[Block], room: float) -> list[int]:
    """Index of the block that begins each page: the choice of breaks that costs least over all pages together."""
    count = len(blocks)
    least, ends = [0.0] * (count + 1), [count] * (count + 1)
    for start in range(count - 1, -1, -1):
        least[start] = float("inf")
        used, growth = _repeated(blocks[start]), 0.0
        for end in range(start + 1, count + 1):
            block = blocks[end - 1]
            used += block.height + (block.above if end - 1 > start else 0.0)
            growth += block.stretch
            if used > room + SLACK and end > start + 1:
                break
            cost = PER_PAGE + least[end]
            if end < count:
                white = max(0.0, room - used - growth) / room
                cost += white**2 + blocks[end].parting + (TORN if block.with_next else 0.0)
            if cost < least[start]:
                least[start], ends[start] = cost, end
    starts = [0]
    while ends[starts[-1]] < count:
        starts.append(ends[starts[-1]])
    return starts


def _repeated(block: Block) -> float:
    return block.head.height if block.head is not None else 0.0


def _filled(blocks: Sequence[Block], room: float) -> list[Block]:
    """The blocks of one page: the head of a table carried on, no white before the first, charts grown evenly."""
    head = blocks[0].head
    page = [*([head] if head is not None else []), replace(blocks[0], above=0.0), *blocks[1:]]
    left = room - sum(block.above + block.height for block in page)
    growing = [number for number, block in enumerate(page) if block.stretch > 0]
    for rank, number in enumerate(sorted(growing, key=lambda n: page[n].stretch)):
        more = min(page[number].stretch, max(0.0, left / (len(growing) - rank)))
        page[number] = _grown(page[number], more)
        left -= more
    return page


def _grown(block: Block, more: float) -> Block:
    height, tall = block.height + more, block.tall
    return block if tall is None else replace(block, height=height, draw=lambda top: tall(top, height))


def record_scene(given: ReportInput, page: Page, number: int, count: int) -> Scene:
    """A page with its running head and footer.

    Parameters
    ----------
    given : ReportInput
        Wall, site and words.
    page : Page
        As `set_pages` gives it.
    number, count : int
        Of this page in the whole report. [-]

    Raises
    ------
    PageOverflowError
        If a line of the footer is too long.
    """
    groups = (_running_head(given, page), *page.groups, _footer(given, f"{number} of {count}"))
    title = f"{page.title}, {number} of {count}"
    sheet = Group(f"{page.id}_sheet", groups)
    return Scene(page.id, title, page.title, PAGE_WIDTH, PAGE_HEIGHT, page.views, sheet)


def source_pages(given: ReportInput) -> tuple[Page, ...]:
    """The list of what the parts before it have named; no page if they named nothing."""
    named = [
        paragraph(f"**[{number}]**{TIE}{_cited(source)}", f"source_{number}")
        for number, source in enumerate(given.sources.found, start=1)
    ]
    return set_pages("record_sources", given.say("sources.title"), named) if named else ()


def _cited(source: str) -> str:
    """A source as the list has it, with its edition where the table of sources knows the one."""
    rows = load_table("sources").values()
    found = [str(row["edition"]) for row in rows if isinstance(row, dict) and row.get("title") == source]
    known = len(found) == 1 and not found[0].startswith("not ") and found[0] not in source
    return f"{closed(capital(source))} Edition: {closed(found[0])}" if known else closed(capital(source))


def heading(text: str, id: str, remark: str = "") -> Block:
    """A heading over a rule; the remark stands at the right end in gray."""

    def draw(top: float) -> tuple[Item, ...]:
        items: list[Item] = [Text((LEFT, top + NOTE), text, NOTE, bold=True)]
        if remark:
            items.append(Text((RIGHT, top + NOTE), remark, SMALL, "end", ink="gray"))
        items.append(Line(((LEFT, top + NOTE + 2.0), (RIGHT, top + NOTE + 2.0)), MEDIUM))
        return tuple(items)

    return Block(id, NOTE + 2.0 + 0.9, draw, text, with_next=True, above=5.0)


def paragraph(text: str, id: str, with_next: bool = False) -> Block:
    """Running text over the whole width; `**` opens and closes Semibold."""
    lines = break_text(text, WIDTH, NOTE, where=id, balanced=False)
    height = NOTE + (len(lines) - 1) * LEAD_NOTE + 2 * PAD
    return Block(id, height, lambda top: tuple(place(lines, LEFT, top + PAD + NOTE, LEAD_NOTE)), "", with_next)


def chart_block(id: str, height: float, draw: Callable[[float], View], title: str = "") -> Block:
    """A chart that is drawn from the paper y of its top.

    Parameters
    ----------
    id : str
        Of the block.
    height : float
        Of the chart. [mm]
    draw : function of float
        Gives the view for a top. [mm]
    title : str
        What it shows, for messages.
    """
    return Block(id, height, draw, title, above=3.0)


def growing_chart(
    id: str, least: float, most: float, tall: Callable[[float, float], View], title: str = "", with_next: bool = False
) -> Block:
    """A chart that grows to fill its page.

    Parameters
    ----------
    id : str
        Of the block.
    least, most : float
        Of its height. [mm]
    tall : function of two float
        Gives the view for a top and a height. [mm]
    title : str
        What it shows, for messages.
    with_next : bool
        Kept on the page of the block after it.
    """
    block = Block(id, least, lambda top: tall(top, least), title, with_next, above=3.0)
    return replace(block, stretch=most - least, tall=tall)


def _page(id: str, title: str, blocks: Sequence[Block]) -> Page:
    y = _body_top()
    groups: list[Group] = []
    views: list[View] = []
    for block in blocks:
        y += block.above
        drawn = block.draw(y)
        if isinstance(drawn, View):
            views.append(drawn)
        else:
            groups.append(Group(block.id, drawn, block.title, "table"))
        y += block.height
    return Page(id, title, tuple(groups), tuple(views))


def _body_top() -> float:
    return TITLE_BASELINE + SUBTITLE_STEP + SMALL_LEAD + 2.6 + 4.6


def _running_head(given: ReportInput, page: Page) -> Group:
    """Title over wall, job, place and code; revision over its date."""
    wall, project, site = given.wall, given.project, given.site
    revised = project.date if project else wall.revision.date
    revision = given.reviewed.say("revision", number=project.revision if project else wall.revision.number)
    date = long_date(revised.year, revised.month, revised.day).replace(TIE, " ")
    room = WIDTH - 8.0 - max(text_width(revision, NOTE, True), text_width(date, SMALL))
    job = "" if project is None else project.name
    if project is not None and project.invented and "invented" not in job.lower():
        job = given.reviewed.say("project_invented", name=job)
    edition = given.say("edition", energy=site.edition, residential=site.irc_edition)
    parts = (wall.variant_title or wall.title, job, given.where, site.name, edition)
    named = f"{TIE}· ".join(typeset(part) for part in parts if part)
    lines = break_text(named, room, SMALL, where="wall, project and place", balanced=False)
    if len(lines) > 2:
        raise PageOverflowError(f"running head: {named!r} takes {len(lines)} lines; shorten title, project or place")
    title = f"{given.tag}{TIE}{TIE}{page.title}" if given.tag else page.title
    if text_width(title, TITLE, True) > room:
        raise PageOverflowError(f"running head: {title!r} is wider than {room:.0f} mm")
    below = TITLE_BASELINE + SUBTITLE_STEP
    rule = below + (len(lines) - 1) * SMALL_LEAD + 2.6
    items: list[Item] = [
        Text((LEFT, TITLE_BASELINE), title, TITLE, bold=True),
        *place(lines, LEFT, below, SMALL_LEAD, SMALL),
        Text((RIGHT, TITLE_BASELINE), revision, NOTE, "end", bold=True),
        Text((RIGHT, below), date, SMALL, "end"),
        Line(((LEFT, rule), (RIGHT, rule)), HEAVY),
    ]
    return Group(f"{page.id}_head", tuple(items), page.title, "frame")


def _footer(given: ReportInput, pages: str) -> Group:
    """Two lines of caution and the line of the library, the page's number at its right end."""
    items: list[Item] = [Line(((LEFT, FOOTER_RULE), (RIGHT, FOOTER_RULE)), THIN)]
    texts = (given.reviewed.say("legend"), given.reviewed.say("footer.caution"), given.reviewed.library_line())
    for text, y, gray in zip(texts, FOOTER_BASELINES, (True, False, True), strict=True):
        over = text_width(text, SMALL) - WIDTH + (text_width(pages, SMALL) + 4.0 if y == FOOTER_BASELINES[-1] else 0.0)
        if over > 0:
            raise PageOverflowError(f"footer: shorten {text!r} by {over:.0f} mm")
        items.append(Text((LEFT, y), text, SMALL, ink="gray" if gray else "black"))
    items.append(Text((RIGHT, FOOTER_BASELINES[-1]), pages, SMALL, "end", ink="gray"))
    return Group("footer", tuple(items), "Footer", "frame")
