"""The plan reviewer's page: one letter page of questions, each with its answer, its clause and how sure the clause is.

Left out: plots of temperature and vapor, which belong to the calculation record. No verdict marks: a path that fails
says so in words, and the findings of the checks close the page.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import specgen
from specgen.checks.entries import entry
from specgen.documents.messages import load_messages
from specgen.documents.reviewer_enclosure import enclosure_rows
from specgen.documents.reviewer_energy import energy_rows, place_rows
from specgen.documents.reviewer_page import Frame, reviewer_scene
from specgen.documents.reviewer_row import Reviewed, ReviewerRow, closed
from specgen.documents.site_words import long_date
from specgen.drawing.type import TIE
from specgen.drawing.typeset import typeset
from specgen.errors import PageOverflowError
from specgen.model.assessment import Assessment
from specgen.model.document import Document
from specgen.model.finding import Finding, Severity
from specgen.model.project import Project
from specgen.model.scene import Scene
from specgen.model.site import Site
from specgen.model.wall import Wall


def reviewer_document(
    wall: Wall,
    assessment: Assessment,
    site: Site,
    project: Project | None = None,
    tag: str = "",
    where: str = "",
    folders: Sequence[Path] = (),
    pages: str = "",
) -> Document:
    """One page for the plan reviewer of one wall at one site.

    Parameters
    ----------
    wall : Wall
        The wall.
    assessment : Assessment
        Of this wall at this site; every figure on the page is one of its fields.
    site : Site
        Gives zone and editions.
    project : Project or None
        Names the job and the code chosen; None for a page of the office library.
    tag, where : str
        Wall-type tag and where the wall stands, as the project says.
    folders : sequence of Path
        Template folders of the firm, searched first.
    pages : str
        Number of the page in a report, as it prints: `1 of 6`.

    Raises
    ------
    PageOverflowError
        If the texts do not fit on the page; names the longest rows and by how much they are over.
    MessageError
        If the catalog lacks a sentence.
    """
    page = Reviewed(wall, assessment, site, load_messages("reviewer", folders=folders), project)
    revised = project.date if project else wall.revision.date
    title = f"{tag} {page.say('title')}: {typeset(wall.variant_title or wall.title)}".strip()
    return Document(
        f"{wall.name}-reviewer",
        title,
        page.say("subject"),
        (_scene(page, _frame(page, tag, where, pages)),),
        wall.status != "approved",
        revised.isoformat(),
        project.office if project else "",
    )


def _scene(page: Reviewed, frame: Frame) -> Scene:
    """All findings in full where they fit; else the least grave by their codes, so that none goes unsaid."""
    rows = [*place_rows(page), *energy_rows(page), *enclosure_rows(page)]
    told = _told(page)
    for full in range(len(told), 0, -1):
        try:
            return reviewer_scene(frame, [*rows, *_findings(page, told, full)])
        except PageOverflowError:
            continue
    return reviewer_scene(frame, [*rows, *_findings(page, told, 0)])


def _told(page: Reviewed) -> tuple[Finding, ...]:
    """Errors, warnings, and what the wall file explains."""
    return tuple(f for f in page.assessment.findings if f.severity >= Severity.WARNING or f.explained)


def _findings(page: Reviewed, told: tuple[Finding, ...], full: int) -> list[ReviewerRow]:
    """One row each for the first `full`, one for the codes of the rest."""
    if not told:
        source = page.say("source.checks", version=specgen.__version__)
        return [page.row("findings", [page.say("findings.none")], source)]
    question = page.say("q.findings")
    rows = []
    for finding in told[:full]:
        rows.append(ReviewerRow(question, _finding(page, finding), _source(page, finding)))
        question = ""
    if full < len(told):
        codes = ", ".join(f"{finding.code} {finding.severity.word}" for finding in told[full:])
        rows.append(ReviewerRow(question, page.say("findings.more", codes=codes), ""))
    return rows


def _finding(page: Reviewed, finding: Finding) -> str:
    """Code, severity and sentence; what is explained by its title and reason, a failed path by its rows above."""
    values = {"code": finding.code, "severity": finding.severity.word}
    if finding.explained:
        reason = closed(finding.explained)
        return page.say("findings.explained", title=closed(entry(finding.code).title), reason=reason, **values)
    if finding.code == "E01":
        return page.say("findings.path", **values)
    return page.say("findings.one", message=closed(finding.message), **values)


def _source(page: Reviewed, finding: Finding) -> str:
    if finding.code == "E01":
        return page.clause("envelope-paths")
    if finding.status == "common-practice" or finding.source == "common practice":
        return page.practice()
    return page.say("source.clause", clause=typeset(finding.source), status=page.status(finding.status))


def _frame(page: Reviewed, tag: str, where: str, pages: str) -> Frame:
    wall, project = page.wall, page.project
    job = ""
    if project:
        said = not project.invented or "invented" in project.name.lower()
        job = project.name if said else page.say("project_invented", name=project.name)
    revised = project.date if project else wall.revision.date
    parts = (wall.variant_title or wall.title, job, where, page.site.name)
    return Frame(
        tag=tag,
        title=page.say("title"),
        subtitle=f"{TIE}· ".join(typeset(part) for part in parts if part),
        revision=page.say("revision", number=project.revision if project else wall.revision.number),
        date=long_date(revised.year, revised.month, revised.day),
        heads=(page.say("head.question"), page.say("head.answer"), page.say("head.source")),
        legend=page.say("legend"),
        footer=(page.say("footer.caution"), page.library_line()),
        pages=pages,
        description=" ".join(f"{call.number}: {call.note}." for call in page.calls),
    )
