"""The drawings of one wall as a document: its sheet with section and plan, then the enlarged base where it has one."""

from __future__ import annotations

from specgen.drawing.sheet import wall_sheets
from specgen.model.document import Document
from specgen.model.project import Project
from specgen.model.wall import Wall


def drawing_document(wall: Wall, tag: str = "", project: Project | None = None) -> Document:
    """All sheets of one wall, letter pages, in reading order.

    Raises
    ------
    PageOverflowError
        If a note or the wall itself does not fit its sheet at any scale of the list.
    """
    draft = wall.status != "approved"
    name = f"{project.name}{' (invented)' if project.invented else ''}" if project else ""
    sheets = wall_sheets(wall, tag=tag, project_name=name, draft=draft)
    title = f"{tag} {wall.title}".strip()
    date = (project.date if project else wall.revision.date).isoformat()
    return Document(
        f"{wall.name}-drawing", title, "Wall section", sheets, draft, date, project.office if project else ""
    )
