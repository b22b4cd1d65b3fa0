"""All walls and variants of a library side by side: what each is, how thick, its U, where it is set out from."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from specgen.documents.messages import Messages, load_messages
from specgen.documents.printed import u_factor
from specgen.documents.setting import break_text, place
from specgen.drawing.callouts import layer_name
from specgen.drawing.dimensions import agreeing_figures, main_faces
from specgen.drawing.library_sheet import FOOT_RULE, LEFT, RIGHT, Band, Cell, cell_width, library_scenes
from specgen.drawing.type import LEAD_NOTE, NOTE, SMALL, TITLE, format_scale, text_width
from specgen.drawing.typeset import typeset
from specgen.errors import SpecgenError
from specgen.model.assessment import ThermalResult
from specgen.model.document import Document
from specgen.model.material import uncapped
from specgen.model.scene import Text
from specgen.model.wall import Wall

RATIO = 8.0  # 1½ in = 1 ft: at half of it the films and boards run together
SMALL_LEAD = 3.6
ORDER = ("framed", "mass-exterior-insulated", "mass-interior-insulated", "mass-direct-render")


def library_document(walls: Sequence[tuple[Wall, ThermalResult]], folders: Sequence[Path] = ()) -> Document:
    """The sheets of all sections at one scale, grouped by construction.

    Parameters
    ----------
    walls : sequence of (Wall, ThermalResult)
        Each wall and variant with its thermal figures.
    folders : sequence of Path
        Template folders of the firm, searched before the shipped ones.

    Raises
    ------
    SpecgenError
        If there is no wall.
    PageOverflowError
        If a text is wider than its cell.
    MessageError
        If the catalog lacks a sentence.
    """
    if not walls:
        raise SpecgenError("the library holds no wall to draw")
    messages = load_messages("library", folders=folders)
    width = cell_width([wall for wall, _ in walls], RATIO)
    bands = []
    for construction in ORDER:
        found = [(wall, thermal) for wall, thermal in walls if wall.construction == construction]
        if found:
            heading = messages.text(f"group.{construction}")
            cells = tuple(Cell(wall, _texts(wall, thermal, width, messages)) for wall, thermal in found)
            bands.append(Band(heading, messages.text("group.continued", group=heading), cells))
    title = messages.text("title")
    hint_at = LEFT + text_width(title, TITLE, True) + 6.0
    hint = break_text(
        messages.text("hint", scale=format_scale(RATIO), count=len(walls)), RIGHT - hint_at - 40.0, NOTE, where="hint"
    )
    foot = break_text(messages.text("foot"), RIGHT - LEFT - 100.0, SMALL, where="library sheet, foot")
    scenes = library_scenes(
        bands,
        RATIO,
        title,
        place(hint, hint_at, 23.5, LEAD_NOTE),
        place(foot, LEFT, FOOT_RULE + 7.0, SMALL_LEAD, SMALL),
        messages.text("sheet", number="{number}", total="{total}"),
    )
    latest = max(wall.revision.date for wall, _ in walls)
    return Document("library-sections", title, messages.text("subject"), scenes, False, latest.isoformat())


def _texts(wall: Wall, thermal: ThermalResult, width: float, messages: Messages) -> tuple[Text, ...]:
    """Id, title, thickness and U, set-out face; from y = 0 down."""
    name, _, variant = wall.name.partition("+")
    items: list[Text] = []
    y = 4.0
    for id in (name, f"+{variant}" if variant else ""):
        for line in _at_hyphens(id, width) if id else ():
            items.append(Text((0.0, y), line, NOTE, bold=True))
            y += LEAD_NOTE
    where = f"library sheet, {wall.name}"
    lines = break_text(typeset(wall.variant_title or wall.title), width, NOTE, where=where)
    items += place(lines, 0.0, y, LEAD_NOTE)
    y += LEAD_NOTE * len(lines)
    overall = agreeing_figures(main_faces(wall)).overall
    figures = messages.text(
        "cell.figures", thickness=overall, u=u_factor(thermal.u_si), u_si=f"{thermal.u_si:.3f}"
    )  # fmt: skip
    lines = break_text(figures, width, NOTE, where=where)
    items += place(lines, 0.0, y, LEAD_NOTE)
    y += LEAD_NOTE * len(lines) - 0.4
    layer_id, _, side = wall.datum.rpartition("-")
    layer = typeset(uncapped(layer_name(wall.layer(layer_id))))
    set_out = messages.text("cell.set_out", side=messages.text(f"side.{side}"), layer=layer)
    lines = break_text(set_out, width, SMALL, where=where)
    items += place(lines, 0.0, y, SMALL_LEAD, SMALL)
    if wall.status != "approved":
        y += SMALL_LEAD * len(lines) + 0.4
        status = messages.text("cell.draft", status=messages.text(f"status.{wall.status}"))
        items.append(Text((0.0, y), status, NOTE, bold=True))
    return tuple(items)


def _at_hyphens(id: str, width: float) -> list[str]:
    """Lines of an id, broken behind a hyphen where it is wider than its cell."""
    lines = [""]
    for part in id.replace("-", "- ").split(" "):
        if lines[-1] and text_width(lines[-1] + part, NOTE, True) > width:
            lines.append("")
        lines[-1] += part
    return lines
