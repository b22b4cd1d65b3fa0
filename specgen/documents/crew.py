"""The crew page: what the wall is made of, in which order, where to stop, what never, what can hurt; then its back.

One sheet of letter paper: a front on a fixed grid (`crew_front.py`) and one page for its back (`crew_back.py`). The
annex for the office (`crew_annex.py`) follows on request. Nothing is computed here; limits come from the wall,
never-lines from the rules of its site.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import specgen
from specgen.checks.catalog import never_lines
from specgen.documents.cautions import wall_cautions
from specgen.documents.crew_annex import annex_flow
from specgen.documents.crew_back import back_page
from specgen.documents.crew_back_blocks import back_scene
from specgen.documents.crew_blocks import FrontPage, FrontStep
from specgen.documents.crew_front import MOST_CAUTIONS, front_scene
from specgen.documents.crew_limits import front_limits
from specgen.documents.crew_parts import crew_parts
from specgen.documents.messages import Messages, load_messages
from specgen.documents.site_words import long_date
from specgen.drawing.callouts import callouts
from specgen.drawing.typeset import typeset
from specgen.model.assessment import Assessment
from specgen.model.document import Document, Flow
from specgen.model.project import Project
from specgen.model.scene import Scene
from specgen.model.site import Site
from specgen.model.wall import Wall


def crew_document(
    wall: Wall,
    assessment: Assessment,
    site: Site,
    project: Project | None = None,
    tag: str = "",
    where: str = "",
    messages: Messages | None = None,
    folders: Sequence[Path] = (),
    annex: bool = False,
) -> Document:
    """Front and back of one wall's crew page: one sheet; the annex after it where asked for.

    Parameters
    ----------
    wall : Wall
        The wall.
    assessment : Assessment
        Of this wall at this site; its explained findings print in the annex.
    site : Site
        Decides the never-lines.
    project : Project or None
        Names the job; None for a page of the office library.
    tag, where : str
        Wall-type tag and where the wall stands, as the project says.
    messages : Messages or None
        Another catalog than the English one.
    folders : sequence of Path
        Template folders of the firm, searched before the shipped ones.
    annex : bool
        Add cautions, reasons and quantities in full, in as many pages as they need.

    Raises
    ------
    PageOverflowError
        If front or back does not hold its texts; names the texts to shorten and by how much.
    MessageError
        If the catalog lacks a sentence.
    """
    messages = messages or load_messages("crew", folders=folders)
    page = front_page(wall, site, messages, project, tag, where)
    front = front_scene(wall, page, messages, "; ".join(call.note for call in callouts(wall)))
    name = f"{tag} {page.title}".strip()
    behind = wall_cautions(wall)[len(page.cautions) :]
    parts: list[Scene | Flow] = [front, back_scene(back_page(wall, name, behind, page.footer[1], messages), messages)]
    if annex:
        parts.append(annex_flow(wall, assessment, site, messages, name, page.footer[1]))
    date = project.date if project else wall.revision.date
    return Document(
        f"{wall.name}-crew",
        f"{messages.text('title')}: {name}",
        messages.text("subject"),
        tuple(parts),
        wall.status != "approved",
        date.isoformat(),
        project.office if project else "",
    )


def front_page(
    wall: Wall, site: Site, messages: Messages, project: Project | None = None, tag: str = "", where: str = ""
) -> FrontPage:
    """All texts of the front, typeset but not yet broken into lines.

    Raises
    ------
    MessageError
        If the catalog lacks a sentence.
    """
    job = ""
    if project:
        said = not project.invented or "invented" in project.name.lower()
        job = project.name if said else messages.text("project_invented", name=project.name)
    revised = project.date if project else wall.revision.date
    number = project.revision if project else wall.revision.number
    called = wall_cautions(wall)
    last_own = max((called.index(own) + 1 for own in wall.cautions), default=0)
    cautions = called[: max(MOST_CAUTIONS, last_own)]  # a wall's own never go to the back unseen
    subtitle = " · ".join(typeset(part) for part in (job, where, site.name) if part)
    return FrontPage(
        tag=tag,
        title=typeset(wall.variant_title or wall.title),
        subtitle=subtitle[:1].upper() + subtitle[1:],
        revision=messages.text("revision", number=number),
        date=long_date(revised.year, revised.month, revised.day),
        parts=crew_parts(wall, messages),
        steps=_steps(wall),
        limits=front_limits(wall, messages),
        never=tuple(typeset(line.text) for line in never_lines(wall, site)),
        cautions=tuple((typeset(caution.word), typeset(caution.do)) for caution in cautions),
        footer=(messages.text("footer.call"), _library_line(wall, messages), messages.text("footer.governs")),
    )


def _steps(wall: Wall) -> tuple[FrontStep, ...]:
    found: list[FrontStep] = []
    last = ""
    for number, step in enumerate(wall.installation, start=1):
        hold = typeset(step.hold_point.name) if step.hold_point else ""
        trade = typeset(step.trade)
        found.append(FrontStep(number, "" if trade == last else trade, typeset(step.do), hold))
        last = trade
    return tuple(found)


def _library_line(wall: Wall, messages: Messages) -> str:
    digits = wall.content_hash[:12]
    grouped = " ".join(digits[index : index + 4] for index in range(0, len(digits), 4))
    values = {"version": specgen.__version__, "wall": wall.name, "number": wall.revision.number}
    if not grouped:
        return messages.text("footer.no_hash", **values)
    return messages.text("footer.library", **values, hash=grouped)
