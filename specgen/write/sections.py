"""Sections by product as files: a project and its assessed wall types in, one PDF per section number out."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from specgen.documents.project_spec import Conflict, project_conflicts, project_sections
from specgen.documents.schedule import ScheduleRow
from specgen.model.finding import Severity
from specgen.model.project import Project
from specgen.write.pdf import write_pdf


def section_files(project: Project, rows: Sequence[ScheduleRow], folders: Sequence[Path] = ()) -> dict[str, bytes]:
    """`092423.pdf` and so on, in the order of the numbers.

    Parameters
    ----------
    project : Project
        For running lines and dates.
    rows : sequence of ScheduleRow
        Its wall types, assessed.
    folders : sequence of Path
        Template folders of the firm, searched before the shipped ones.

    Raises
    ------
    MarkupError
        If a template cannot be rendered.
    """
    sections = project_sections(project, rows, folders)
    return {f"{section.file_name}.pdf": write_pdf(section.document) for section in sections}


def row_conflicts(rows: Sequence[ScheduleRow]) -> tuple[Conflict, ...]:
    """Where the walls of the rows contradict each other."""
    return project_conflicts([(row.wall_type.tag, row.wall) for row in rows])


def open_questions(rows: Sequence[ScheduleRow]) -> list[str]:
    """What a specifier settles before the sections go out, one line each: contradictions, and errors at the sites."""
    lines = [f"{one.finding.severity.word} {one.finding.code}: {one.finding.message}" for one in row_conflicts(rows)]
    for row in rows:
        place = f"{row.wall_type.tag} ({row.wall.name}) at {row.site.name}"
        errors = [finding for finding in row.assessment.findings if finding.severity is Severity.ERROR]
        lines += [f"error {finding.code}: {place}: {finding.message}" for finding in errors]
    return lines
