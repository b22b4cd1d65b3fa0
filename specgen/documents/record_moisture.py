"""The moisture part of the record: vapor by month, plane by plane, then the design hour, charts and drying.

Nothing is computed here: each number is a field of the assessment or of what `checks/monthly_record.py` reads off the
wall, turned into the unit that it prints in. What a month gains can be redone from its row and the path above it.
"""

from __future__ import annotations

import math
from itertools import groupby
from string import ascii_lowercase

from specgen.checks.monthly_record import (
    COUNTS,
    RecordedPath,
    dampest_surface,
    normal_dwelling,
    recorded_path,
    recorded_planes,
)
from specgen.checks.resistances import source_text
from specgen.data import load_table
from specgen.documents.moisture_words import (
    MONTH_NAMES,
    fahrenheit,
    in_sentence,
    inside,
    metres,
    percent,
    perm,
    plane_words,
    pressure_pair,
    temperature_pair,
    vapor_name,
    water_pair,
    water_text,
)
from specgen.documents.record_hour import hour_blocks
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
from specgen.documents.reviewer_row import capital, closed, joined
from specgen.drawing.type import TIE
from specgen.drawing.typeset import typeset
from specgen.model.moisture import DRY, MonthlyResult, MonthlyRun
from specgen.units import R_IP, RANKINE


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
        *_path(given, monthly),
        *_air(given, monthly),
        *_planes(given, run),
        *_surface(given, monthly),
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
        said.append(given.say("moisture.over_design", normal=water_text(normal.plane_peak)))
    elif normal is not None:
        said.append(given.say("moisture.over", normal=water_text(normal.plane_peak)))
    found = [finding for finding in given.assessment.findings if finding.code in ("M40", "M41")]
    said += [given.say("moisture.finding", code=f.code, severity=f.severity.word) for f in found[:1]]
    return said


# --- what it is computed from ----------------------------------------------------------------------------------------


def _path(given: ReportInput, monthly: MonthlyResult) -> list[Block]:
    """Every resistance to heat and vapor on the path, films included, and the formulas that the months rest on."""
    path = recorded_path(given.wall, given.assessment.thermal)
    films = load_table("monthly_moisture")["films"]
    columns = (
        Column(given.say("head.layer_path"), LEFT, 59.0),
        Column(given.say("head.r_ip"), 78.0, 20.0, "end"),
        Column(given.say("head.r_si"), 99.0, 16.0, "end"),
        Column(given.say("head.dry_cup"), 117.0, 13.0, "end"),
        Column(given.say("head.wet_cup"), 131.0, 13.0, "end"),
        Column(given.say("head.vapor_source"), 149.0, RIGHT - 149.0),
    )
    iso = source_text(load_table("monthly_moisture")["source"])

    def film_row(name: str, resistance: float, status: str) -> tuple[str, ...]:
        mark = given.sources.mark(iso, given.status(status))
        return given.say(name), f"{resistance / R_IP:.3f}", f"{resistance:.4f}", "", "", mark

    outer = "interior" if path.open_gap else "exterior"
    rows = [film_row(f"moisture.film_{outer}_side", path.exterior_film, films[outer]["status"])]
    for layer in path.layers:
        name = vapor_name(given, layer.layer)
        cups = ("–", "–") if not layer.known else (perm(layer.dry) or given.say("moisture.open"), perm(layer.wet))
        rows.append(
            (
                given.say("moisture.facing", layer=inside(name)) if layer.facing else capital(name),
                f"{layer.resistance / R_IP:.3f}",
                f"{layer.resistance:.4f}",
                cups[0],
                "" if math.isinf(layer.wet) and math.isinf(layer.dry) else cups[1],
                given.sources.mark(layer.source, given.status(layer.status)) if layer.source else "",
            )
        )
    rows.append(film_row("moisture.film_room_side", path.interior_film, films["interior"]["status"]))
    total = given.say("moisture.total_r", ip=f"{path.total / R_IP:.3f}", si=f"{path.total:.4f}")
    blocks = [
        heading(given.say("moisture.path"), "vapor_path_head", total),
        *table(columns, rows, "vapor_path"),
        paragraph(given.say("moisture.rules"), "vapor_rules"),
    ]
    if monthly.unknown:
        names = joined([inside(vapor_name(given, id)) for id in monthly.unknown])
        blocks.append(paragraph(given.say("moisture.unknown", layers=names), "monthly_unknown"))
    return blocks


def _air(given: ReportInput, monthly: MonthlyResult) -> list[Block]:
    """Air on both sides by month, and what the surface makes of it."""
    columns = (
        Column(given.say("head.month"), LEFT, 24.0),
        Column(given.say("head.outdoor"), 43.0, 22.0, "end"),
        Column(given.say("head.outdoor_vapor"), 67.0, 26.0, "end"),
        Column(given.say("head.room"), 95.0, 22.0, "end"),
        Column(given.say("head.room_vapor"), 119.0, 26.0, "end"),
        Column(given.say("head.surface"), 147.0, 22.0, "end"),
        Column(given.say("head.needed"), 171.0, RIGHT - 171.0, "end"),
    )
    rows = [
        (
            MONTH_NAMES[month.month - 1],
            temperature_pair(month.exterior),
            pressure_pair(month.exterior_pressure),
            temperature_pair(month.interior),
            pressure_pair(month.interior_pressure),
            percent(month.surface_humidity),
            "–" if month.needed_factor is None or month.needed_factor < 0 else f"{month.needed_factor:.3f}",
        )
        for month in monthly.governing.months
    ]
    return [
        heading(given.say("moisture.air"), "monthly_air_head"),
        paragraph(_room_rule(given), "monthly_rooms", with_next=True),
        *table(columns, rows, "monthly"),
    ]


def _room_rule(given: ReportInput) -> str:
    house, classes = (load_table("monthly_moisture")[key] for key in ("house", "classes"))
    cooled = house["cooled_humidity"]
    ends = house["humidity"]
    excess = {row["class"]: classes["margin"]["value"] * row["excess"] for row in classes["rows"]}
    rise = f"{house['free_rise'] / RANKINE:.0f}{TIE}°F"
    return given.say(
        "moisture.rooms",
        heated=_fahrenheit(house["heating_temperature"]),
        until=_fahrenheit(house["heating_up_to"]),
        rise=rise,
        most=_fahrenheit(house["cooling_temperature"]),
        low=f"{ends['low']}{TIE}%",
        low_at=_fahrenheit(ends["at"]),
        high=f"{ends['high']}{TIE}%",
        high_at=_fahrenheit(ends["to"]),
        dried=f"{cooled['value']}{TIE}%",
        room=_fahrenheit(classes["temperature"]["value"]),
        second=f"{excess[2]:.0f}",
        third=f"{excess[3]:.0f}{TIE}Pa",
        house=given.sources.mark(source_text(house["source"]), given.status(house["status"])),
        cooled=given.status(cooled["status"]),
        classes=given.sources.mark(
            source_text(load_table("monthly_moisture")["source"]), given.status(classes["temperature"]["status"])
        ),
    )


def _fahrenheit(temperature: float) -> str:
    return f"{fahrenheit(temperature):.0f}{TIE}°F"


def _planes(given: ReportInput, run: MonthlyRun) -> list[Block]:
    """Month by month, each plane that gathers water; of a wall that stays dry the plane that comes nearest to it."""
    chosen = recorded_planes(run)
    dry = run.verdict == DRY
    rows: list[tuple[str, ...]] = []
    for month in run.months:
        total = month.planes[-1].sd
        shown = [p for p in (month.planes[i] for i in chosen) if dry or abs(p.gained) > COUNTS or p.held > COUNTS]
        for number, plane in enumerate(shown):
            values = (temperature_pair(plane.temperature), pressure_pair(plane.saturation))
            resisted = (metres(plane.sd), metres(total - plane.sd))
            name = "" if number else MONTH_NAMES[month.month - 1]
            if dry:
                rows.append((name, *values, pressure_pair(plane.pressure), *resisted))
            else:
                letter = ascii_lowercase[chosen.index(month.planes.index(plane))]
                rows.append((name, letter, *values, *resisted, water_pair(plane.gained), water_pair(plane.held)))
    path = recorded_path(given.wall, given.assessment.thermal)
    places = _places(given, path, run, chosen)
    text = given.say("moisture.nearest" if dry else "moisture.planes_intro", places=places)
    return [
        heading(given.say("moisture.planes"), "monthly_planes_head"),
        paragraph(text, "monthly_places", with_next=True),
        *table(_dry_columns(given) if dry else _wet_columns(given), rows, "planes"),
    ]


def _wet_columns(given: ReportInput) -> tuple[Column, ...]:
    """The vapor pressure is that of saturation and has no column."""
    return (
        Column(given.say("head.month"), LEFT, 24.0),
        Column(given.say("head.plane_letter"), 44.0, 12.0),
        Column(given.say("head.temperature"), 56.0, 24.0, "end"),
        Column(given.say("head.saturation"), 82.0, 26.0, "end"),
        Column(given.say("head.sd_out"), 110.0, 16.0, "end"),
        Column(given.say("head.sd_in"), 128.0, 16.0, "end"),
        Column(given.say("head.gained"), 146.0, 25.0, "end"),
        Column(given.say("head.held"), 173.0, RIGHT - 173.0, "end"),
    )


def _dry_columns(given: ReportInput) -> tuple[Column, ...]:
    return (
        Column(given.say("head.month"), LEFT, 28.0),
        Column(given.say("head.temperature"), 50.0, 24.0, "end"),
        Column(given.say("head.saturation"), 78.0, 28.0, "end"),
        Column(given.say("head.vapor"), 110.0, 28.0, "end"),
        Column(given.say("head.sd_out"), 144.0, 24.0, "end"),
        Column(given.say("head.sd_in"), 174.0, RIGHT - 174.0, "end"),
    )


def _places(given: ReportInput, path: RecordedPath, run: MonthlyRun, chosen: tuple[int, ...]) -> str:
    """Each plane with the R that lies between it and outdoors."""
    said = []
    for letter, i in zip(ascii_lowercase, chosen, strict=False):
        plane = run.months[0].planes[i]
        r = path.resistance_to(plane, run)
        name = plane_words(given, plane.outer, plane.inner, plane.facing)
        said.append(
            given.say("moisture.place", letter=letter, plane=name, ip=f"{r / R_IP:.3f}", si=f"{r:.4f}{TIE}m²·K/W")
        )
    return "; ".join(said)


def _surface(given: ReportInput, monthly: MonthlyResult) -> list[Block]:
    """The coldest interior surface: its one-dimensional factor, the dampest month, and the month that asks most."""
    film = load_table("monthly_moisture")["films"]["mold"]
    conduction = given.assessment.thermal.conduction
    said = [
        given.say(
            "moisture.surface_factor",
            factor=f"{monthly.factor:.3f}",
            path=monthly.factor_path,
            film=f"{film['value']:.2f}",
            film_ip=f"R-{film['value'] / R_IP:.1f}",
            total=f"{film['value'] / (1 - monthly.factor):.3f}",
            source=given.sources.mark(source_text("iso-13788"), given.status(film["status"])),
        )
    ]
    if conduction is not None:
        said.append(given.say("moisture.surface_two", factor=f"{conduction.f_rsi:.3f}"))
    damp = dampest_surface(monthly)
    said.append(
        given.say(
            "moisture.dampest",
            humidity=percent(damp.month.surface_humidity),
            month=MONTH_NAMES[damp.month.month - 1],
            city=typeset(damp.city),
            room=damp.room,
            air=percent(damp.air),
        )
    )
    month = monthly.surface
    if month.needed_factor is not None:
        said.append(
            given.say(
                "moisture.needed",
                factor=f"{month.needed_factor:.3f}",
                month=MONTH_NAMES[month.month - 1],
                city=typeset(monthly.surface_city),
                room=monthly.surface_room,
                humidity=percent(month.surface_humidity),
                verdict=given.say("code.meets" if monthly.factor >= month.needed_factor else "code.fails"),
            )
        )
    return [
        heading(given.say("moisture.surface"), "monthly_surface_head"),
        paragraph(" ".join(said), "monthly_surface"),
    ]


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
