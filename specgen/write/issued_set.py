"""A whole project's set: every document of every wall type, made in memory before anything is written.

Refuses, with every cause named, if a wall has an error finding at its site or a page cannot be made.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from specgen.checks.assess import assess
from specgen.checks.comply import with_ways
from specgen.documents.comply_words import smallest_way
from specgen.documents.crew import crew_document
from specgen.documents.drawing_set import drawing_document
from specgen.documents.printed import project_name
from specgen.documents.project_spec import Conflict
from specgen.documents.report import report_document
from specgen.documents.schedule import ScheduleRow, schedule_document
from specgen.documents.schedule_table import schedule_table
from specgen.documents.spec import spec_document
from specgen.errors import SpecgenError
from specgen.model.finding import Severity
from specgen.model.material import Material
from specgen.model.project import Project, WallType
from specgen.model.site import Site
from specgen.model.wall import Wall
from specgen.write.dxf import write_dxf
from specgen.write.out import CONTENTS_NAME
from specgen.write.pdf import write_pdf
from specgen.write.sections import row_conflicts, section_files
from specgen.write.svg import write_svg
from specgen.write.xlsx import write_xlsx


class NotIssuedError(SpecgenError):
    """A set that must not leave the office; one line per wall and cause."""


@dataclass(frozen=True, slots=True)
class TaggedWall:
    """A wall type of the project with the wall and the site that its tag stands for."""

    wall_type: WallType
    wall: Wall
    site: Site


def issued_files(
    project: Project,
    tagged: Iterable[TaggedWall],
    progress: Callable[[str], None],
    folders: Sequence[Path] = (),
    materials: Iterable[Material] = (),
) -> dict[str, bytes]:
    """Name and bytes of every document of the set; same project, library and templates, same bytes.

    Parameters
    ----------
    project : Project
        For title blocks and running lines.
    tagged : iterable of TaggedWall
        One per wall type, in the order of the project.
    progress : function of str
        Told what is being made.
    folders : sequence of Path
        Template folders of the firm, searched before the shipped ones.
    materials : iterable of Material
        Those of the library, for the ways to comply of a wall that meets no prescriptive path.

    Raises
    ------
    NotIssuedError
        If a wall has an error finding at its site, or one of its pages cannot be made.
    """
    stock = tuple(materials)
    rows: list[ScheduleRow] = []
    causes: list[str] = []
    files: dict[str, bytes] = {}
    for entry in tagged:
        tag = entry.wall_type.tag
        progress(f"{tag} {entry.wall.name}: checks")
        assessment = with_ways(assess(entry.wall, entry.site), entry.wall, entry.site, stock)
        errors = [finding for finding in assessment.findings if finding.severity is Severity.ERROR]
        causes += [f"{tag} ({entry.wall.name}) at {entry.site.name}: {f.code} {f.message}" for f in errors]
        if assessment.ways and assessment.ways.ways:
            causes.append(f"{tag} ({entry.wall.name}): {smallest_way(assessment.ways.ways[0])}")
        if entry.wall.status in ("superseded", "retired"):
            causes.append(f"{tag} ({entry.wall.name}): the wall is {entry.wall.status}; choose one that is in use")
        rows.append(ScheduleRow(entry.wall_type, entry.wall, entry.site, assessment))
    if causes:
        raise NotIssuedError("\n".join(causes))
    for row in rows:
        try:
            files |= _wall_files(project, row, progress, folders)
        except SpecgenError as error:
            causes.append(f"{row.wall_type.tag} ({row.wall.name}): {error}")
    if causes:
        raise NotIssuedError("\n".join(causes))
    progress("sections by product")
    try:
        made = section_files(project, rows, folders)
    except SpecgenError as error:
        raise NotIssuedError(f"sections by product: {error}") from error
    files |= {f"sections/{name}": content for name, content in made.items()}
    conflicts = row_conflicts(rows)
    for one in conflicts:
        progress(f"{one.finding.severity.word} {one.finding.code}: {one.finding.message}")
    progress("schedule")
    files["schedule.pdf"] = write_pdf(schedule_document(rows, project, folders=folders))
    files["schedule.xlsx"] = write_xlsx(schedule_table(rows, project, folders))
    assessments = [_checks(row, conflicts) for row in rows]
    files["checks.json"] = (json.dumps(assessments, indent=2, ensure_ascii=False) + "\n").encode()
    files[CONTENTS_NAME] = _contents(project, rows, files)
    return files


def _checks(row: ScheduleRow, conflicts: Sequence[Conflict]) -> dict[str, object]:
    """What the checks found of one wall type, and where the project contradicts itself on it."""
    tag = row.wall_type.tag
    project_findings = [
        {
            "code": one.finding.code,
            "severity": one.finding.severity.word,
            "message": one.finding.message,
            "cure": one.finding.cure,
            "wall_types": list(one.tags),
        }
        for one in conflicts
        if tag in one.tags
    ]
    return row.assessment.as_json() | {"tag": tag, "project_findings": project_findings}


def _wall_files(
    project: Project, row: ScheduleRow, progress: Callable[[str], None], folders: Sequence[Path]
) -> dict[str, bytes]:
    tag, wall = row.wall_type.tag, row.wall
    progress(f"{tag} {wall.name}: drawing")
    drawing = drawing_document(wall, tag=tag, project=project)
    sheets = drawing.scenes
    files = {f"drawings/{tag}.svg": write_svg(sheets[0]).encode()}
    for number, sheet in enumerate(sheets[1:], start=2):
        files[f"drawings/{tag}-{number}.svg"] = write_svg(sheet).encode()
    files[f"drawings/{tag}.pdf"] = write_pdf(drawing)
    unit: Literal["in", "mm"] = "in" if project.units == "inch-pound" else "mm"
    files[f"drawings/{tag}.dxf"] = write_dxf(sheets, unit, tag, str(wall.revision.number))
    progress(f"{tag} {wall.name}: specification")
    spec = spec_document(wall, row.assessment, tag=tag, project=project, sheets=sheets, folders=folders)
    files[f"specifications/{tag}.pdf"] = write_pdf(spec)
    progress(f"{tag} {wall.name}: crew page")
    where = row.wall_type.where
    crew = crew_document(wall, row.assessment, row.site, project=project, tag=tag, where=where, folders=folders)
    files[f"crew/{tag}.pdf"] = write_pdf(crew)
    progress(f"{tag} {wall.name}: report")
    report = report_document(wall, row.assessment, row.site, project=project, tag=tag, where=where, folders=folders)
    files[f"review/{tag}.pdf"] = write_pdf(report)
    return files


def _contents(project: Project, rows: list[ScheduleRow], files: dict[str, bytes]) -> bytes:
    """The list that goes with the set: what was issued, from which wall, with each file's hash."""
    lines = [
        f"{project_name(project)}, project {project.number}",
        f"{project.office}. Issued for {project.issued_for}, revision {project.revision}, {project.date.isoformat()}.",
        f"{project.code.energy}, {project.code.residential}. {project.code.note}",
        "A design aid; the code in force, the manufacturer's instructions and licensed professionals govern.",
        "",
    ]
    for row in rows:
        draft = "" if row.wall.status == "approved" else f"; DRAFT, the wall is {row.wall.status}"
        lines.append(
            f"{row.wall_type.tag}  {row.wall.name}, revision {row.wall.revision.number}, at {row.site.name}{draft}"
        )
        lines.append(f"    content sha256 {row.wall.content_hash}")
    lines.append("")
    lines += [f"{hashlib.sha256(content).hexdigest()}  {name}" for name, content in files.items()]
    return ("\n".join(lines) + "\n").encode()
