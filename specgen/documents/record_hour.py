"""The design hour in the record: the sun and air put in, plane by plane from the cladding to the room, the verdict.

Nothing is computed here: each number is a field of the assessment or of what `checks/design_hour_record.py` reads off
the wall.
"""

from __future__ import annotations

from itertools import pairwise

from specgen import units
from specgen.checks.design_hour_record import RecordedHour, recorded_hour, resistance_to
from specgen.checks.resistances import source_text
from specgen.data import load_table
from specgen.documents.moisture_words import (
    SIDES,
    inside,
    metres,
    percent,
    perm,
    plane_name,
    pressure_pair,
    pressure_text,
    rate_pair,
    rate_text,
    temperature_pair,
    temperature_text,
    vapor_name,
)
from specgen.documents.record_page import LEFT, RIGHT, Block, ReportInput, heading, paragraph
from specgen.documents.record_table import Column, table
from specgen.documents.reviewer_row import capital, joined
from specgen.documents.site_words import inch_mark
from specgen.drawing.type import TIE
from specgen.drawing.typeset import typeset
from specgen.model.design_hour import DesignHour


def hour_blocks(given: ReportInput) -> list[Block]:
    """The design hour of sun on the wall; nothing without a weather city.

    Raises
    ------
    PageOverflowError
        If a word is wider than its column.
    """
    hour = given.assessment.moisture.design_hour
    if hour is None or not given.site.cities:
        return []
    recorded = recorded_hour(given.wall, hour, given.site.cities)
    return [
        heading(given.say("moisture.hour"), "hour_head"),
        paragraph(_intro(given, hour), "hour_intro"),
        paragraph(_put_in(given, hour, recorded), "hour_put_in"),
        *_table(given, hour, recorded),
        paragraph(_verdict(given, hour), "hour_verdict"),
    ]


def _intro(given: ReportInput, hour: DesignHour) -> str:
    return given.say(
        "moisture.hour_intro",
        city=typeset(hour.city),
        cladding=given.say("moisture.cladding_wet" if hour.wet else "moisture.cladding_dry"),
        gap=given.say(f"moisture.gap_{hour.gap}"),
    )


def _put_in(given: ReportInput, hour: DesignHour, recorded: RecordedHour) -> str:
    """Every number that the table is computed from, with its source."""
    data = load_table("design_hour")
    coefficient = data["exterior_coefficient"]
    room = data["rooms"][0]
    sky = given.sources.mark(source_text(data["source"]), given.status(coefficient["status"]))
    values = {
        "side": SIDES[hour.orientation],
        "color": hour.color,
        "absorptance": f"{recorded.absorptance:.2f}",
        "color_source": _mark(given, recorded.absorptance_source, recorded.absorptance_status),
        "coefficient": f"{recorded.coefficient / units.U_IP:.2f}{TIE}Btu/(h·ft²·°F)",
        "coefficient_si": f"{recorded.coefficient:.1f}{TIE}W/(m²·K)",
        "sky": sky,
        "outdoor": temperature_text(recorded.outdoor),
        "sun": f"{recorded.sun / (units.U_IP * units.RANKINE):.0f}{TIE}Btu/(h·ft²) [{recorded.sun:.0f}{TIE}W/m²]",
        "sol_air": temperature_text(hour.sol_air),
    }
    if hour.spread == "hour":
        values["undamped"] = temperature_text(recorded.undamped)
        values["time"] = f"{recorded.time:.1f}"
        values["constant"] = f"{recorded.time_constant / units.HOUR:.1f}{TIE}h"
    said = [
        given.say(f"moisture.sun_{hour.spread}", **values),
        given.say(
            "moisture.room_put_in",
            room=temperature_text(hour.room_temperature),
            humidity=percent(hour.room_humidity),
            source=_mark(given, room["source"], room["status"]),
        ),
    ]
    if recorded.gap is not None:
        gap = recorded.gap
        said.append(
            given.say(
                "moisture.gap_put_in",
                source=pressure_text(hour.source_pressure),
                wet=f"{gap.wet_face:.0f}{TIE}Pa",
                outdoor=f"{recorded.outdoor_pressure:.0f}{TIE}Pa",
                temperature=f"{gap.temperature:.1f}{TIE}°C",
                changes=f"{gap.air_changes:g}",
                depth=inch_mark(gap.depth),
                depth_m=f"{gap.depth:.4f}{TIE}m",
                coefficient=f"{gap.coefficient:.1f}",
            )
        )
    else:
        said.append(
            given.say(
                "moisture.source_wet" if hour.wet else "moisture.source_dry",
                source=pressure_text(hour.source_pressure),
            )
        )
    return " ".join(said)


def _mark(given: ReportInput, source: str, status: str) -> str:
    return given.sources.mark(source_text(source), given.status(status))


def _table(given: ReportInput, hour: DesignHour, recorded: RecordedHour) -> list[Block]:
    columns = (
        Column(given.say("head.between"), LEFT, 49.0),
        Column(given.say("head.r_outdoors"), 68.0, 17.0, "end"),
        Column(given.say("head.temperature"), 86.0, 20.0, "end"),
        Column(given.say("head.vapor"), 107.0, 24.0, "end"),
        Column(given.say("head.humidity"), 132.0, 12.0, "end"),
        Column(given.say("head.sd_wet"), 145.0, 12.0, "end"),
        Column(given.say("head.next_perm"), 158.0, 14.0, "end"),
        Column(given.say("head.condensing"), 174.0, RIGHT - 174.0, "end"),
    )
    beyond = [_permeance(given, after.sd - before.sd) for before, after in pairwise(hour.planes)]
    rows = [
        (
            plane_name(given, plane.outer, plane.inner, facing=True),
            f"{resistance_to(recorded, given.wall, plane) / units.R_IP:.3f}",
            temperature_pair(plane.temperature),
            pressure_pair(plane.pressure),
            percent(plane.humidity),
            metres(plane.sd),
            permeance,
            rate_pair(plane.condensing),
        )
        for plane, permeance in zip(hour.planes, [*beyond, ""], strict=True)
    ]
    total = given.say("moisture.total_r", ip=f"{recorded.total / units.R_IP:.3f}", si=f"{recorded.total:.4f}")
    return [
        heading(given.say("moisture.hour_planes"), "hour_planes_head", total),
        *table(columns, rows, "hour"),
        paragraph(given.say("moisture.hour_rules"), "hour_rules"),
    ]


def _permeance(given: ReportInput, resisted: float) -> str:
    """Of the layer that resists as much as this thickness of still air."""
    return perm(units.AIR_VAPOR_PERMEABILITY / resisted) if resisted > 1e-9 else given.say("moisture.open")


def _verdict(given: ReportInput, hour: DesignHour) -> str:
    flux = given.say("moisture.inward", flux=rate_text(hour.inward))
    control = ""
    if hour.control_closed:
        control = given.say("moisture.control_closed", layer=inside(vapor_name(given, hour.control)))
    if not hour.judged:
        return " ".join(part for part in (given.say("moisture.nothing_closed"), control, flux) if part)
    humidity, worst = percent(hour.judged_humidity or 0.0), percent(hour.judged_worst or 0.0)
    name = inside(vapor_name(given, hour.judged))
    values = {"layer": name, "humidity": humidity, "verdict": capital(hour.verdict)}
    if not hour.judged_closed:
        key = "moisture.opened"
        values["layer"] = capital(name)
        values["permeance"] = f"{perm(hour.judged_permeance or 0.0)}{TIE}perm"
    elif hour.depends_on:
        key = "moisture.judged_depends"
        values |= {"worst": worst, "inputs": joined(list(hour.depends_on))}
    else:
        key = "moisture.judged"
        values["worst"] = worst
    return " ".join(part for part in (given.say(key, **values), control, flux) if part)
