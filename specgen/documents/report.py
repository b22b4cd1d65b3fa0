"""The report of one wall at one site: the plan reviewer's page, then the calculation record, part by part.

A further part is a module with a function from `ReportInput` to pages, and one line in `PARTS`.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from specgen.documents.messages import load_messages
from specgen.documents.record_comply import comply_pages
from specgen.documents.record_moisture import moisture_pages
from specgen.documents.record_page import Page, PageMaker, ReportInput, record_scene, source_pages
from specgen.documents.record_thermal import thermal_pages
from specgen.documents.record_transient import transient_pages
from specgen.documents.reviewer import reviewer_document
from specgen.documents.reviewer_row import Reviewed
from specgen.drawing.typeset import typeset
from specgen.model.assessment import Assessment
from specgen.model.document import Document
from specgen.model.project import Project
from specgen.model.site import Site
from specgen.model.wall import Wall

PARTS: tuple[PageMaker, ...] = (thermal_pages, comply_pages, moisture_pages, transient_pages, source_pages)


def report_document(
    wall: Wall,
    assessment: Assessment,
    site: Site,
    project: Project | None = None,
    tag: str = "",
    where: str = "",
    folders: Sequence[Path] = (),
) -> Document:
    """The whole report of one wall at one site.

    Parameters
    ----------
    wall : Wall
        The wall.
    assessment : Assessment
        Of this wall at this site; every figure of the report is one of its fields.
    site : Site
        Gives zone and editions.
    project : Project or None
        Names the job and the code chosen; None for a report of the office library.
    tag, where : str
        Wall-type tag and where the wall stands, as the project says.
    folders : sequence of Path
        Template folders of the firm, searched first.

    Raises
    ------
    PageOverflowError
        If a text does not fit its place; names it.
    MessageError
        If a catalog lacks a sentence.
    """
    reviewed = Reviewed(wall, assessment, site, load_messages("reviewer", folders=folders), project)
    given = ReportInput(reviewed, load_messages("report", folders=folders), tag, where)
    pages: list[Page] = [page for part in PARTS for page in part(given)]
    count = 1 + len(pages)
    first = reviewer_document(wall, assessment, site, project, tag, where, folders, f"1 of {count}")
    scenes = [record_scene(given, page, number, count) for number, page in enumerate(pages, start=2)]
    name = given.say("title")
    title = f"{tag} {name}: {typeset(wall.variant_title or wall.title)}".strip()
    return Document(
        f"{wall.name}-report",
        title,
        given.say("subject"),
        (*first.parts, *scenes),
        first.draft,
        first.date,
        first.author,
    )
