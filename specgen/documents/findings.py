"""Assessments as plain text for the terminal and as JSON: the same fields, no judgement added."""

from __future__ import annotations

import json
import textwrap
from collections.abc import Sequence

from specgen import units
from specgen.model.assessment import Assessment, CodePath
from specgen.model.finding import Finding

WIDTH = 100  # columns of a terminal text


def assessments_json(assessments: Sequence[Assessment]) -> str:
    """The list of assessments that `check --format json` prints."""
    return json.dumps([assessment.as_json() for assessment in assessments], indent=2, ensure_ascii=False)


def assessments_text(assessments: Sequence[Assessment]) -> str:
    """One block per wall and place: figures, code paths, then findings from error to note."""
    return "\n\n".join(_block(assessment) for assessment in assessments)


def _block(assessment: Assessment) -> str:
    thermal = assessment.thermal
    name = f"{assessment.wall}+{assessment.variant}" if assessment.variant else assessment.wall
    lines = [
        f"{name} at {assessment.site}",
        f"  R-{thermal.r_si / units.R_IP:.1f} effective, U-{thermal.u_si / units.U_IP:.3f} "
        f"({thermal.u_si:.3f} W/(m²·K)); {thermal.method}",
    ]
    lines += [f"  {_path(path, assessment.energy_code.edition)}" for path in assessment.energy_code.paths]
    for finding in assessment.findings:
        lines += _finding(finding)
    if not assessment.findings:
        lines.append("  no findings")
    return "\n".join(lines)


def _path(path: CodePath, edition: str) -> str:
    verdict = "meets" if path.meets else "does not meet"
    status = "" if path.status == "confirmed" else f" (limit {path.status.replace('-', ' ')}, unverified)"
    return f"IECC {edition}, {path.path.upper()} path, {path.label}: {verdict} ({_provided(path)} provided){status}"


def _provided(path: CodePath) -> str:
    if isinstance(path.provided, float | int):
        return f"U-{path.provided:.3f}, {path.provided:.5f} unrounded"
    parts = path.provided
    if "total" in parts:
        return f"R-{parts['total']:.1f}"
    return f"cavity R-{parts['cavity']:.1f}, continuous R-{parts['continuous']:.1f}"


def _finding(finding: Finding) -> list[str]:
    where = f" [{finding.layer}]" if finding.layer else ""
    head = f"  {finding.severity.word} {finding.code}{where}: {finding.message}"
    lines = textwrap.wrap(head, WIDTH, subsequent_indent="      ", initial_indent="")
    if finding.cure:
        lines += textwrap.wrap(f"cure: {finding.cure}", WIDTH, initial_indent="      ", subsequent_indent="      ")
    if finding.explained:
        text = f"accepted by the keeper: {finding.explained}"
        lines += textwrap.wrap(text, WIDTH, initial_indent="      ", subsequent_indent="      ")
    place = f"{finding.place.file}:{finding.place.line}: " if finding.place.file else ""
    status = finding.status.replace("-", " ")
    known = "" if finding.source == status else f" ({status})"
    lines.append(f"      {place}{finding.source}{known}")
    return lines
