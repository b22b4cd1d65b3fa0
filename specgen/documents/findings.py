"""Assessments as plain text for the terminal and as JSON: the same fields, no judgment added."""

from __future__ import annotations

import json
import textwrap
from collections.abc import Sequence

from specgen import units
from specgen.checks.monthly import amount as water
from specgen.documents.comply_words import band_sentence, change, consequences, outcome, ways_heading
from specgen.model.assessment import Assessment, CodePath, EnergyCode
from specgen.model.finding import Finding
from specgen.model.transient import Recovery, ToleratedLeak

WIDTH = 100  # columns of a terminal text
SIDES = {"N": "north", "E": "east", "S": "south", "W": "west"}
WETTED = {"oct": "October 1", "apr": "April 1"}


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
    lines += _band(assessment)
    lines += _code(assessment.energy_code)
    lines += _ways(assessment)
    lines += _vapor(assessment)
    lines += _simulation(assessment)
    for finding in assessment.findings:
        lines += _finding(finding)
    if not assessment.findings:
        lines.append("  no findings")
    return "\n".join(lines)


def _band(assessment: Assessment) -> list[str]:
    """R and U as ranges, and the input that moves them most."""
    text = band_sentence(assessment)
    return textwrap.wrap(text, WIDTH, initial_indent="  ", subsequent_indent="      ") if text else []


def _code(code: EnergyCode) -> list[str]:
    """The verdict in one line, then each alternative of both paths: one of them suffices."""
    met = [f"{path.label} ({path.path.upper()} path)" for path in code.paths if path.meets]
    verdict = f"met by {' and '.join(met)}" if met else "not met; other compliance paths not evaluated"
    lines = textwrap.wrap(
        f"IECC {code.edition}, prescriptive paths ({code.family.replace('-', ' ')}): {verdict}",
        WIDTH, initial_indent="  ", subsequent_indent="      ",
    )  # fmt: skip
    return lines + [f"      {_path(path)}" for path in code.paths]


def _ways(assessment: Assessment) -> list[str]:
    """The smallest changes that comply, numbered; nothing for a wall that does."""
    heading = ways_heading(assessment)
    if not heading or assessment.ways is None:
        return []
    lines = textwrap.wrap(heading, WIDTH, initial_indent="  ", subsequent_indent="      ")
    for number, way in enumerate(assessment.ways.ways, start=1):
        text = f"{number}. {change(way)}: {outcome(way)}"
        lines += textwrap.wrap(text, WIDTH, initial_indent="      ", subsequent_indent="         ")
        for line in consequences(way):
            lines += textwrap.wrap(line, WIDTH, initial_indent="         ", subsequent_indent="            ")
    return lines


def _vapor(assessment: Assessment) -> list[str]:
    """Vapor by design month in one sentence, with the weather it was run in."""
    moisture = assessment.moisture
    if moisture.monthly is None:
        return []
    run = moisture.monthly.governing
    most = f", at most {water(run.peak)} {run.plane_title}" if run.peak > 0 else ""
    distance = moisture.weather_distance_km
    far = "" if distance is None else f", {distance / 1.609344:.0f} mi ({distance:.0f} km) away"
    where = f"{run.city}{far}, {run.room_title}"
    text = f"vapor by month (ISO 13788): {run.verdict}{most}; {where}; {moisture.monthly.left_out}"
    return textwrap.wrap(text, WIDTH, initial_indent="  ", subsequent_indent="      ")


def _simulation(assessment: Assessment) -> list[str]:
    """The verdict of the simulated years with its plane, and what the two tests with water gave."""
    result = assessment.moisture.transient
    if result is None:
        return []
    worst, plane = result.worst, result.worst.plane
    figure = (
        f"mold index {plane.index:.1f} at {plane.name} (class {plane.sensitivity})" if plane else "nothing feeds mold"
    )
    wood = "" if worst.wood is None else f", wood up to {worst.wood * 100:.0f} %"
    parts = [
        f"three years by the hour (EN 15026 type): {result.verdict} {result.decided_by}".rstrip(),
        f"{figure}{wood}, facing {SIDES[worst.orientation]}, {result.city}, {result.weather}",
    ]
    if result.recovery:
        days = " and ".join(f"{_dry_again(one)} {WETTED[one.month]}" for one in result.recovery)
        parts.append(f"{result.wetted_layer}, wetted by 3.3 oz/ft² (1 kg/m²), is as dry as without that water {days}")
    if result.leak:
        parts.append(_leak(result.leak))
    text = "; ".join(parts)
    return textwrap.wrap(text, WIDTH, initial_indent="  ", subsequent_indent="      ")


def _dry_again(one: Recovery) -> str:
    if one.days is None:
        return "not within the run after"
    return f"{one.days:.0f} days after" if one.days >= 1 else "within a day after"


def _leak(leak: ToleratedLeak) -> str:
    """How much of the driving rain may get in behind the drained plane."""
    if leak.percent is None:
        return "no leak tolerated: mold over its limit without any"
    return f"leak tolerated {'over ' if leak.exceeds else ''}{leak.percent:g} % of the driving rain"


def _path(path: CodePath) -> str:
    status = "" if path.status == "confirmed" else f"; limit {path.status.replace('-', ' ')}, unverified"
    sign = "" if path.margin < 0 else "+"
    margin = f"{sign}{path.margin:.3f}" if path.path == "u" else f"{sign}{path.margin:.1f}"
    return f"{path.path.upper()} path {path.label}: {_provided(path)}, margin {margin}{status}"


def _provided(path: CodePath) -> str:
    if isinstance(path.provided, float | int):
        return f"U-{path.provided:.3f} provided, {path.provided:.5f} unrounded"
    parts = path.provided
    if "total" in parts:
        return f"R-{parts['total']:.1f} provided"
    return f"cavity R-{parts['cavity']:.1f} and continuous R-{parts['continuous']:.1f} provided"


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
