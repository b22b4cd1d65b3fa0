"""The part of the record on complying: the smallest changes that meet a path, or the margins; and the range of R and U.

Nothing is computed here: each number is a field of the assessment or a step of `checks/band_record.py`.
"""

from __future__ import annotations

import re

from specgen import units
from specgen.checks.band_record import EndStep, end_steps, u_verdicts
from specgen.documents import comply_words
from specgen.documents.record_page import (
    LEFT,
    RIGHT,
    Block,
    Page,
    ReportInput,
    heading,
    paragraph,
    set_pages,
)
from specgen.documents.record_table import Column, table
from specgen.documents.record_thermal import times
from specgen.documents.reviewer_row import capital, closed, joined
from specgen.drawing.type import TIE
from specgen.drawing.typeset import typeset
from specgen.model.band import Band, InputRange
from specgen.model.ways import Ways, WayToComply

# Units of an end of a range: how it is written, and in which units it prints beside.
CONDUCTIVITY, DENSITY = re.compile(r"([\d.]+) W/\(m·K\)"), re.compile(r"([\d.]+) lb/ft³")

# A word with a large first letter inside a sentence; these are written so.
LABEL = re.compile(r"(?<=[a-z\d,;:)] )(?!(?:Type|Btu|Pa)\b)[A-Z][a-z]+\b")


def comply_pages(given: ReportInput) -> tuple[Page, ...]:
    """Ways or margins, then the range of R and U with its ends.

    Raises
    ------
    PageOverflowError
        If a word is wider than its column; names it.
    """
    blocks = [*_path(given), *_range(given)]
    return set_pages("record_comply", given.say("comply.title"), blocks)


# --- ways to comply --------------------------------------------------------------------------------------------------


def _path(given: ReportInput) -> list[Block]:
    assessment = given.assessment
    head = heading(given.say("comply.head"), "comply_head")
    if assessment.energy_code.meets_prescriptive:
        met = [path for path in assessment.energy_code.paths if path.meets]
        margins = "; ".join(comply_words.met(path) for path in met)
        return [head, paragraph(given.say("comply.met", margins=typeset(margins)), "comply_met")]
    if assessment.ways is None:
        return [head, paragraph(given.say("comply.not_looked"), "comply_ways")]
    if not assessment.ways.ways:
        text = given.say("comply.no_way")
        return [head, paragraph(text, "comply_ways"), *_tried(given, assessment.ways)]
    return [head, *_ways(given, assessment.ways), *_tried(given, assessment.ways)]


def _ways(given: ReportInput, found: Ways) -> list[Block]:
    columns = (
        Column("", LEFT, 6.0),
        Column(given.say("head.change"), LEFT + 7.0, 63.0),
        Column(given.say("head.outcome"), 91.0, 69.0),
        Column(given.say("head.adds"), 163.0, RIGHT - 163.0),
    )
    rows = [
        (
            str(number),
            capital(_inside(comply_words.change(way))).replace("->", "→"),
            typeset(comply_words.outcome(way)),
            _codes(given, way),
        )
        for number, way in enumerate(found.ways, start=1)
    ]
    return [
        paragraph(given.say("comply.ways"), "comply_ways", with_next=True),
        *table(columns, rows, "ways"),
        *_brought(given, found),
    ]


def _codes(given: ReportInput, way: WayToComply) -> str:
    """Codes alone: their sentences stand once, below."""
    adds = sorted({finding.code for finding in way.new_findings})
    said = [given.say("comply.adds", codes=", ".join(adds))] if adds else []
    said += [given.say("comply.takes", codes=", ".join(way.cured))] if way.cured else []
    return "\n".join(said) or "–"


def _brought(given: ReportInput, found: Ways) -> list[Block]:
    columns = (
        Column(given.say("head.finding"), LEFT, 32.0),
        Column(given.say("head.in_way"), 52.0, 22.0),
        Column(given.say("head.says"), 76.0, RIGHT - 76.0),
    )
    every = tuple(range(1, len(found.ways) + 1))
    rows = [
        (
            f"{each.code}, {each.severity.word}",
            given.say("comply.every") if each.ways == every else _numbers(each.ways),
            closed(capital(_inside(each.message))),
        )
        for each in comply_words.brought(found.ways)
    ]
    if not rows:
        return []
    remark = given.say("comply.brought_remark")
    return [heading(given.say("comply.brought"), "brought_head", remark), *table(columns, rows, "brought")]


def _numbers(ways: tuple[int, ...]) -> str:
    return joined([str(number) for number in ways])


def _tried(given: ReportInput, found: Ways) -> list[Block]:
    if not (found.tried or found.notes):
        return []
    words = [closed(capital(_inside(part))) for part in comply_words.tried_parts(found)]
    return [heading(given.say("comply.tried"), "tried_head"), paragraph(" ".join(words), "comply_tried")]


# --- range of R and U ------------------------------------------------------------------------------------------------


def _range(given: ReportInput) -> list[Block]:
    band = given.assessment.band
    head = heading(given.say("comply.range"), "range_head")
    if band is None or band.deciding is None:
        return [head, paragraph(given.say("comply.no_range"), "range_none")]
    columns = (
        Column(given.say("head.input"), LEFT, 57.0),
        Column(given.say("head.better"), 75.0, 22.0, "end"),
        Column(given.say("head.worse"), 98.0, 22.0, "end"),
        Column(given.say("head.u_alone"), 121.0, 17.0, "end"),
        Column(given.say("head.moves"), 139.0, 16.0, "end"),
        Column(given.say("head.source"), 159.0, RIGHT - 159.0),
    )
    rows = [
        (
            f"{capital(_inside(each.name))}{_unit(given, each)}",
            _end(each.low),
            _end(each.high),
            f"{each.u_low_si / units.U_IP:.5f}\n{each.u_high_si / units.U_IP:.5f}",
            f"{each.width / units.U_IP:.5f}",
            given.sources.mark(each.source, given.status(each.status)),
        )
        for each in band.inputs
    ]
    return [
        head,
        paragraph(_range_words(given, band), "range_words", with_next=True),
        *table(columns, rows, "range"),
        *_ends(given),
    ]


def _range_words(given: ReportInput, band: Band) -> str:
    """The two ends, what moves U most, and whether the verdict of the U path turns between them."""
    most = band.deciding
    assert most is not None
    low, high = band.u_low_si / units.U_IP, band.u_high_si / units.U_IP
    said = [
        given.say(
            "comply.range_words",
            r_low=f"R-{1 / high:.1f}",
            r_high=f"R-{1 / low:.1f}",
            u_low=f"U-{low:.3f}",
            u_high=f"U-{high:.3f}",
            most=_inside(most.name),
        )
    ]
    if any(DENSITY.fullmatch(each.low) for each in band.inputs):
        said.append(given.say("comply.multiplied"))
    verdict = u_verdicts(band, given.assessment.energy_code)
    if verdict is not None:
        limit, (better, worse) = verdict
        key = "turns" if better != worse else "both" if better else "neither"
        said.append(given.say(f"comply.{key}", limit=limit))
    return " ".join(said)


def _unit(given: ReportInput, each: InputRange) -> str:
    if CONDUCTIVITY.fullmatch(each.low):
        return f"\n{given.say('comply.conductivity_unit')}"
    return f"\n{given.say('comply.density_unit')}" if DENSITY.fullmatch(each.low) else ""


def _end(text: str) -> str:
    """An end of a range in the unit that the row names, SI beside it."""
    conductivity, density = CONDUCTIVITY.fullmatch(text), DENSITY.fullmatch(text)
    if conductivity:
        value = float(conductivity.group(1))
        return f"{value / units.K_IP:#.3g} ({value:.3g})"
    if density:
        value = float(density.group(1))
        return f"{value:g} ({value * units.DENSITY_IP:.0f})"
    return text


def _ends(given: ReportInput) -> list[Block]:
    """Both ends of U step by step, side by side."""
    better, worse = end_steps(given.wall)
    columns = (
        Column(given.say("head.step"), LEFT, 46.0),
        Column(given.say("head.at_better"), 67.0, 64.0),
        Column(given.say("head.at_worse"), 134.0, RIGHT - 134.0),
    )
    rows = [(_named(given, one), _step(one), _step(other)) for one, other in zip(better, worse, strict=True)]
    remark = given.say("comply.ends_remark")
    return [heading(given.say("comply.ends"), "ends_head", remark), *table(columns, rows, "ends")]


def _named(given: ReportInput, step: EndStep) -> str:
    """A formula stands with the step only where the part on heat does not have it."""
    name = f"**{capital(step.name)}**"
    known = step.is_r or any(step.formula == figure.formula for figure in given.assessment.thermal.figures)
    return name if known else f"{name}\n{capital(times(typeset(step.formula)))}"


def _step(step: EndStep) -> str:
    terms = times(step.values).split(" + ")
    values = " + ".join(term.replace(" ", TIE) if len(term) < 30 else term for term in terms)
    result = f"{step.result:.3f}" if step.is_r else f"{step.result:.5f}"
    return f"{values}\n= **{result}**"


def _inside(text: str) -> str:
    """A text of the checks, in which labels of materials have large first letters wherever they stand."""
    return typeset(LABEL.sub(lambda match: match.group(0).lower(), text))
