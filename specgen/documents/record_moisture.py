"""The moisture part of the record: vapor by month, plane by plane, then the design hour, charts and drying.

Nothing is computed here: each number is a field of the assessment or of what `checks/monthly_record.py` reads off the
wall, turned into the unit that it prints in.
"""

from __future__ import annotations

from itertools import groupby

from specgen.checks.monthly_record import COUNTS, normal_dwelling
from specgen.checks.resistances import source_text
from specgen.data import load_table
from specgen.documents.moisture_words import (
    in_sentence,
    water_pair,
    water_text,
)
from specgen.documents.record_hour import hour_blocks
from specgen.documents.record_months import air_blocks, path_blocks, plane_blocks, surface_blocks
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
from specgen.documents.record_vapor import chart_blocks, drying_blocks
from specgen.documents.reviewer_row import capital, closed
from specgen.drawing.typeset import typeset
from specgen.model.climate import MONTH_NAMES
from specgen.model.moisture import DRY, MonthlyResult


def moisture_pages(given: ReportInput) -> tuple[Page, ...]:
    """Vapor by month, the design hour, and where the wall dries; without a weather city only the last.

    Raises
    ------
    PageOverflowError
        If a word is wider than its column, or the wall fits a chart at no scale.
    """
    blocks = [
        *_monthly(given),
        *hour_blocks(given),
        *chart_blocks(given),
        *drying_blocks(given),
    ]
    return set_pages("record_moisture", given.say("moisture.title"), blocks)


def _monthly(given: ReportInput) -> list[Block]:
    monthly = given.assessment.moisture.monthly
    head = heading(given.say("moisture.monthly"), "monthly_head")
    if monthly is None:
        reason = given.say("moisture.no_city", reason=closed(capital(given.site.city_remark)))
        return [head, paragraph(reason, "monthly_none")]
    run = monthly.governing
    weather = {
        city.title: given.sources.mark(source_text(city.source), given.status(city.status))
        for city in given.site.cities
    }
    intro = given.say(
        "moisture.monthly_intro",
        method=typeset(monthly.method),
        source=given.sources.mark(monthly.source, given.status(monthly.status)),
        city=typeset(run.city),
        room=run.room_title,
        remark=closed(capital(typeset(given.site.city_remark))) if given.site.city_remark else "",
        weather=weather.get(run.city, ""),
    )
    return [
        head,
        paragraph(intro, "monthly_intro"),
        paragraph(_verdict(given, monthly), "monthly_verdict"),
        *path_blocks(given, monthly),
        *air_blocks(given, monthly),
        *plane_blocks(given, run),
        *surface_blocks(given, monthly),
        *_runs(given, monthly),
    ]


# --- what comes of it ------------------------------------------------------------------------------------------------


def _verdict(given: ReportInput, monthly: MonthlyResult) -> str:
    run = monthly.governing
    left_out = closed(capital(monthly.left_out))
    if not run.plane_title:
        return given.say("moisture.stays_dry", left_out=left_out)
    sentence = given.say(
        "moisture.wet",
        where=in_sentence(given, run.plane_title),
        peak=water_text(run.plane_peak),
        month=MONTH_NAMES[run.plane_month - 1],
        verdict=run.verdict,
        residual=water_text(run.residual) if run.residual > 0 else given.say("moisture.nothing"),
    )
    return " ".join((sentence, *_limit(given, monthly), left_out))


def _limit(given: ReportInput, monthly: MonthlyResult) -> list[str]:
    """Most that the plane may hold, whether it holds more, and what follows."""
    run = monthly.governing
    if run.limit is None:
        return []
    limits = load_table("monthly_moisture")["limits"]
    said = [
        given.say(
            "moisture.limit",
            limit=water_text(run.limit),
            basis=in_sentence(given, run.limit_basis),
            source=given.sources.mark(source_text(limits["source"]), given.status(limits["status"])),
        )
    ]
    normal = normal_dwelling(monthly.runs)
    if run.plane_peak <= run.limit:
        said.append(given.say("moisture.under"))
    elif normal is not None and (normal.limit is None or normal.plane_peak <= normal.limit):
        gathers = normal.plane_peak > COUNTS
        normally = {"normal": water_text(normal.plane_peak)} if gathers else {}
        said.append(given.say(f"moisture.over_design{'' if gathers else '_only'}", **normally))
    elif normal is not None:
        said.append(given.say("moisture.over", normal=water_text(normal.plane_peak)))
    found = [finding for finding in given.assessment.findings if finding.code in ("M40", "M41")]
    said += [given.say("moisture.finding", code=f.code, severity=f.severity.word) for f in found[:1]]
    return said


def _runs(given: ReportInput, monthly: MonthlyResult) -> list[Block]:
    """Every room in every city, a city that stays dry in all of them in one row; the judged rows make the verdict."""
    columns = (
        Column(given.say("head.city"), LEFT, 32.0),
        Column(given.say("head.room_model"), 51.0, 47.0),
        Column(given.say("head.verdict"), 99.0, 24.0),
        Column(given.say("head.plane_wet"), 124.0, 48.0),
        Column(given.say("head.peak"), 173.0, RIGHT - 173.0, "end"),
    )
    rows: list[tuple[str, ...]] = []
    for city, group in groupby(monthly.runs, key=lambda run: run.city):
        runs = list(group)
        if all(run.verdict == DRY for run in runs):
            rows.append((typeset(city), given.say("moisture.all_rooms"), DRY, "–", "–"))
            continue
        for run in runs:
            room = run.room_title if run.judged else given.say("moisture.not_judged", room=run.room_title)
            plane = in_sentence(given, run.plane_title) or "–"
            rows.append((typeset(city), room, run.verdict, plane, water_pair(run.plane_peak)))
    return [heading(given.say("moisture.runs"), "runs_head"), *table(columns, rows, "runs")]
