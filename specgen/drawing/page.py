"""The letter page around the drawings: margins, header, footer, and the wall in words for those who cannot see it."""

from __future__ import annotations

from specgen.drawing.callouts import callouts
from specgen.drawing.type import NOTE, SMALL, TIE, TITLE, text_width, wrap
from specgen.drawing.typeset import typeset
from specgen.errors import PageOverflowError
from specgen.model.scene import Group, Line, Text
from specgen.model.wall import Wall

PAGE_WIDTH, PAGE_HEIGHT = 215.9, 279.4  # letter [mm]
LEFT, RIGHT = 18.0, 197.9
HEADER_Y = 17.5  # baseline of the title [mm]
FOOT_RULE_Y = 261.8


def page_frame(
    wall: Wall, tag: str, project_name: str, subtitle: str, draft: bool, remarks: tuple[str, ...], pages: str
) -> tuple[Group, ...]:
    """Header and footer.

    Raises
    ------
    PageOverflowError
        If the title or a footer line does not fit; names it.
    """
    return _header(wall, tag, project_name, subtitle, draft), _footer(wall, remarks, pages)


def describe(wall: Wall) -> str:
    """Layers from exterior to interior, one sentence each."""
    sentences = [f"{call.number}: {call.note}." for call in callouts(wall)]
    return "Layers from exterior to interior. " + " ".join(sentences)


def _header(wall: Wall, tag: str, project_name: str, subtitle: str, draft: bool) -> Group:
    items: list[Line | Text] = []
    title = typeset(wall.variant_title or wall.title)
    name = f"{tag}{TIE}{TIE}{title}" if tag else title
    room = RIGHT - LEFT - (text_width(project_name, SMALL) + 6.0 if project_name else 0.0)
    lines = wrap(name, room, TITLE, bold=True)
    if len(lines) > 2:
        raise PageOverflowError(f"the title {title!r} does not fit in two lines; shorten it")
    y = HEADER_Y - (len(lines) - 1) * 3.0
    below = y + (len(lines) - 1) * 5.6 + 6.2
    for number, line in enumerate(lines):
        items.append(Text((LEFT, y + number * 5.6), line, TITLE, bold=True))
    if project_name:
        items.append(Text((RIGHT, HEADER_Y), project_name, SMALL, "end", ink="gray"))
    items.append(Text((LEFT, below), subtitle, SMALL, ink="gray"))
    if draft:
        text = "DRAFT: not approved, not for construction"
        items.append(Text((RIGHT, HEADER_Y + 6.4), text, NOTE, "end", bold=True))
    return Group("header", tuple(items), "", "frame")


def _footer(wall: Wall, remarks: tuple[str, ...], pages: str) -> Group:
    record = f"{wall.name} · revision {wall.revision.number} · {wall.revision.date.isoformat()}"
    if wall.content_hash:
        digest = wall.content_hash[:16]
        record += " · sha256 " + " ".join(digest[start : start + 4] for start in range(0, 16, 4))
    lines = ["Membranes and paint shown thicker than actual. On a reduced print only the bar holds.", record, *remarks]
    items: list[Line | Text] = [Line(((LEFT, FOOT_RULE_Y), (RIGHT, FOOT_RULE_Y)), 0.18)]
    y = FOOT_RULE_Y + 3.9
    for line in lines[:3]:
        if text_width(line, SMALL) > RIGHT - LEFT - 16.0:
            raise PageOverflowError(f"the footer line {line!r} does not fit; shorten it")
        items.append(Text((LEFT, y), line, SMALL, ink="gray"))
        y += 3.5
    if len(lines) > 3:
        raise PageOverflowError(f"the footer has no room for the remark {lines[3]!r}; one remark fits")
    if pages:
        items.append(Text((RIGHT, FOOT_RULE_Y + 3.9), pages, SMALL, "end", ink="gray"))
    return Group("footer", tuple(items), "", "frame")
