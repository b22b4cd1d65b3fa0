"""The months of the record: the path that vapor takes, air on both sides, plane by plane, the interior surface.

Nothing is computed here: each number is a field of the assessment or of what `checks/monthly_record.py` reads off the
wall, turned into the unit that it prints in. What a month gains can be redone from its row and the path above it.
"""

from __future__ import annotations

import math
from string import ascii_lowercase

from specgen.checks.monthly_record import (
    COUNTS,
    RecordedPath,
    dampest_surface,
    recorded_path,
    recorded_planes,
)
from specgen.checks.resistances import source_text
from specgen.data import load_table
from specgen.documents.moisture_words import (
    fahrenheit,
    inside,
    metres,
    percent,
    perm,
    plane_words,
    pressure_pair,
    temperature_pair,
    vapor_name,
    water_pair,
)
from specgen.documents.record_page import (
    LEFT,
    RIGHT,
    Block,
    ReportInput,
    heading,
    paragraph,
)
from specgen.documents.record_table import Column, table
from specgen.documents.reviewer_row import capital, joined
from specgen.drawing.type import TIE
from specgen.drawing.typeset import typeset
from specgen.model.climate import MONTH_NAMES
from specgen.model.moisture import DRY, MonthlyResult, MonthlyRun
from specgen.units import R_IP, RANKINE


def path_blocks(given: ReportInput, monthly: MonthlyResult) -> list[Block]:
    """Every resistance to heat and vapor on the path, films included, and the formulas that the months rest on.

    Parameters
    ----------
    given : ReportInput
        Wall, site and words.
    monthly : MonthlyResult
        Of the wall at its site.

    Raises
    ------
    PageOverflowError
        If a word is wider than its column.
    """
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


def air_blocks(given: ReportInput, monthly: MonthlyResult) -> list[Block]:
    """Air on both sides by month, and what the surface makes of it.

    Parameters
    ----------
    given : ReportInput
        Wall, site and words.
    monthly : MonthlyResult
        Of the wall at its site.

    Raises
    ------
    PageOverflowError
        If a word is wider than its column.
    """
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


def plane_blocks(given: ReportInput, run: MonthlyRun) -> list[Block]:
    """Month by month, each plane that gathers water; of a wall that stays dry the plane that comes nearest to it.

    Parameters
    ----------
    given : ReportInput
        Wall, site and words.
    run : MonthlyRun
        The one that governs, with its planes.

    Raises
    ------
    PageOverflowError
        If a word is wider than its column.
    """
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


def surface_blocks(given: ReportInput, monthly: MonthlyResult) -> list[Block]:
    """The coldest interior surface: its one-dimensional factor, the dampest month, and the month that asks most.

    Parameters
    ----------
    given : ReportInput
        Wall, site and words.
    monthly : MonthlyResult
        Of the wall at its site.

    Raises
    ------
    PageOverflowError
        If a word is wider than its column.
    """
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
