"""The drawings of one wall as a document: section and plan, then enlarged base and openings if it has them."""

from __future__ import annotations

from collections.abc import Callable

from specgen.documents.printed import project_name
from specgen.drawing.opening_sheet import opening_sheet
from specgen.drawing.sheet import base_sheet, wall_sheet
from specgen.model.document import Document
from specgen.model.project import Project
from specgen.model.scene import Scene
from specgen.model.wall import Wall


def drawing_document(wall: Wall, tag: str = "", project: Project | None = None) -> Document:
    """All sheets of one wall, letter pages, in reading order.

    Raises
    ------
    PageOverflowError
        If a note or the wall itself does not fit its sheet at any scale of the list.
    """
    draft = wall.status != "approved"
    name = project_name(project) if project else ""
    makers: list[Callable[..., Scene | None]] = [wall_sheet]
    if wall.base is not None:
        makers.append(base_sheet)
    if wall.openings is not None:
        makers.append(opening_sheet)
    drawn = (
        make(wall, tag=tag, project_name=name, draft=draft, pages=f"{number} of {len(makers)}")
        for number, make in enumerate(makers, start=1)
    )
    sheets = tuple(scene for scene in drawn if scene is not None)
    title = " ".join(part for part in (tag, wall.variant_title or wall.title) if part)
    date = (project.date if project else wall.revision.date).isoformat()
    return Document(
        f"{wall.name}-drawing", title, "Wall section", sheets, draft, date, project.office if project else ""
    )
