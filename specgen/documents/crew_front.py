"""The front of the crew page: one letter page, put together from its parts.

Columns never move and type never shrinks. The foot of the page stands fast, the parts above it follow their texts
upward, and the drawing with the layer table takes what is left. A page that overflows names the texts to shorten.
"""

from __future__ import annotations

from specgen.documents import crew_blocks as blocks
from specgen.documents.crew_blocks import Block, FrontPage
from specgen.documents.crew_drawing import crew_drawing
from specgen.documents.messages import Messages
from specgen.errors import PageOverflowError
from specgen.model.scene import Group, Line, Scene, Text
from specgen.model.wall import Wall

PAGE_WIDTH, PAGE_HEIGHT = 215.9, 279.4  # US letter [mm]
DRAWING_RIGHT = 70.0
FOOTER_GAP = 2.2  # above the footer's rule
GAP = 2.1  # least white between the parts of the lower half
MOST_SPREAD = 2.2  # more white for each gap on a short page
LEAST_DRAWING = 92.0  # height of drawing and table
USUAL_DRAWING = 112.0  # what they take before the gaps grow
MOST_STEPS, MOST_CAUTIONS = 10, 8


def front_scene(wall: Wall, page: FrontPage, messages: Messages, description: str) -> Scene:
    """The page as a scene.

    Parameters
    ----------
    wall : Wall
        For the drawing.
    page : FrontPage
        All texts.
    messages : Messages
        Catalog of the crew page, for the fixed labels.
    description : str
        What assistive tools read.

    Raises
    ------
    PageOverflowError
        If steps, cautions or texts are more than the page holds; names what to shorten and by how much.
    """
    _check_counts(wall, page)
    header, head, footer = blocks.header(page), blocks.table_head(messages), blocks.footer(page)
    bottom = footer.height - FOOTER_GAP
    for pitch in blocks.PITCHES:
        lower = {
            "steps": blocks.steps(page, messages, pitch),
            "limits": blocks.limits(page, messages),
            "never": blocks.never(page, messages, pitch),
            "cautions": blocks.cautions(page, pitch),
        }
        lower = {name: block for name, block in lower.items() if block.height}
        rows = blocks.table_rows(page, pitch)
        needed = sum(block.height for block in lower.values()) + GAP * len(lower)
        room = bottom - header.height - needed
        table = max(head.height + sum(row.height for row in rows), LEAST_DRAWING)
        if table <= room:
            break
    else:
        raise PageOverflowError(_overflow(wall, table - room, [header, *rows, *lower.values()]))
    spread = min(MOST_SPREAD, max(0.0, room - max(table, USUAL_DRAWING)) / len(lower))
    top = bottom - needed - spread * len(lower)  # where drawing and table end
    edges = (blocks.LEFT, DRAWING_RIGHT, header.height + 2.4, top)
    view, numbers = crew_drawing(wall, page.parts, messages, *edges)
    groups = [
        Group("crew_header", tuple(header.items), page.title, "frame"),
        numbers,
        Group("crew_table", _table(head, rows, header.height, top), "Layers", "table"),
    ]
    y = top
    for name, block in lower.items():
        y += GAP + spread
        groups.append(Group(f"crew_{name}", block.at(y), name.capitalize(), "table"))
        y += block.height
    groups.append(Group("crew_footer", tuple(footer.items), "Footer", "frame"))
    sheet = Group("crew_page", tuple(groups))
    return Scene("crew-front", page.title, description, PAGE_WIDTH, PAGE_HEIGHT, (view,), sheet)


def _table(head: Block, rows: list[Block], top: float, bottom: float) -> tuple[Line | Text, ...]:
    """Head and rows; rows share what height is left, so that the table ends with the drawing, up to 3 mm each."""
    items = [*head.at(top)]
    left = bottom - top - head.height - sum(row.height for row in rows)
    extra = min(3.0, max(0.0, left) / max(len(rows), 1))
    y = top + head.height
    for row in rows:
        items += row.at(y + extra / 2)
        y += row.height + extra
        items.append(Line(((74.5, y), (blocks.RIGHT, y)), blocks.HAIR, ink="gray"))
    return tuple(items)


def _check_counts(wall: Wall, page: FrontPage) -> None:
    if len(page.steps) > MOST_STEPS:
        beyond = "; ".join(f"step {step.number} {step.do!r}" for step in page.steps[MOST_STEPS:])
        raise PageOverflowError(
            f"crew page of {wall.name!r}: {len(page.steps)} steps, at most {MOST_STEPS} fit; join or drop: {beyond}"
        )
    if len(page.cautions) > MOST_CAUTIONS:
        beyond = ", ".join(repr(word) for word, _ in page.cautions[MOST_CAUTIONS:])
        raise PageOverflowError(
            f"crew page of {wall.name!r}: {len(page.cautions)} cautions, at most {MOST_CAUTIONS} fit; drop: {beyond}"
        )


def _overflow(wall: Wall, missing: float, parts: list[Block]) -> str:
    long = blocks.all_long(parts)
    advice = "shorten any of: " + "; ".join(long) if long else "join layers or steps, every text is on its line"
    return f"crew page of {wall.name!r}: {missing:.1f} mm too tall; {advice}"
