"""The chart of temperature through the wall, winter and summer, below its section, and the same figures as a table."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from specgen import units
from specgen.checks.design_temperatures import DesignAir, design_air
from specgen.checks.resistances import MISSING, source_text
from specgen.checks.temperatures import (
    PlaneTemperature,
    bridge_temperatures,
    interior_surface,
    main_path,
    plane_temperatures,
)
from specgen.documents.record_page import (
    LEFT,
    RIGHT,
    WIDTH,
    Block,
    ReportInput,
    growing_chart,
    heading,
    paragraph,
)
from specgen.documents.record_table import Column, table
from specgen.documents.reviewer_row import capital, closed
from specgen.documents.site_words import inch_mark
from specgen.drawing.callouts import callouts, short_note
from specgen.drawing.line_labels import LINE_WEIGHT
from specgen.drawing.profile_chart import Profile, profile_chart
from specgen.drawing.type import TIE
from specgen.drawing.typeset import tabled, typeset
from specgen.model.scene import View

BRIDGE_WEIGHT = 0.25  # of the lines in line with members [mm]
SEEN = 0.03  # share of the difference of the airs' temperatures that a second line must part by to be seen [-]
LEAST_CHART, MOST_CHART = 70.0, 104.0  # height of section and chart [mm]
APART = 0.2  # cost of a page break between words, chart and table [squares of a page]


def temperature_blocks(given: ReportInput) -> list[Block]:
    """Temperatures at every plane for the design air of the site; without weather, or an R, a sentence why not.

    Raises
    ------
    PageOverflowError
        If the wall fits the chart at no scale.
    """
    seasons = design_air(given.site)
    head = heading(given.say("temperature.head"), "temperature_head")
    if not seasons:
        reason = closed(capital(given.site.city_remark)) if given.site.city_remark else ""
        return [head, paragraph(given.say("temperature.none", reason=reason).strip(), "temperature_none")]
    missing = [part.layer for part in main_path(given.assessment.thermal).resistances if part.status == MISSING]
    if missing:
        return [head, paragraph(given.say("temperature.missing", layers=", ".join(missing)), "temperature_missing")]
    profiles = [_planes(given, season) for season in seasons]
    return [
        head,
        *(paragraph(_air(given, season), f"temperature_{season.season}", True) for season in seasons),
        paragraph(_remarks(given, seasons), "temperature_remarks", with_next=True),
        *_surfaces(given, seasons),
        replace(_chart(given, seasons, profiles), parting=APART),
        paragraph(numbers_key(given), "temperature_key"),
        *(replace(block, parting=APART) for block in _table(given, profiles)),
    ]


def _planes(given: ReportInput, season: DesignAir) -> tuple[PlaneTemperature, ...]:
    return plane_temperatures(given.wall, given.assessment.thermal, season.outdoor, season.indoor)


def _air(given: ReportInput, season: DesignAir) -> str:
    """Outdoor temperature with its city and percentile."""
    return given.say(
        f"temperature.{season.season}",
        outdoor=_both(season.outdoor),
        city=typeset(season.city.title),
    )


def _remarks(given: ReportInput, seasons: Sequence[DesignAir]) -> str:
    """Why these cities, where their temperatures come from and what they are not, what the profile leaves out."""
    city = seasons[0].city
    rooms = [f"{_fahrenheit(season.indoor):.0f}{TIE}°F ({_signed(season.indoor)}{TIE}°C)" for season in seasons]
    distance = given.site.city_distance_km
    parts = [
        closed(capital(given.site.city_remark)) if given.site.city_remark else "",
        "" if distance is None else given.say("temperature.distance", distance=f"{distance:.0f}{TIE}km"),
        given.say(
            "temperature.typical", source=given.sources.mark(source_text(city.source), given.status(city.status))
        ),
        given.say("temperature.steady", winter=rooms[0], summer=rooms[1]),
    ]
    return " ".join(part for part in parts if part)


def _chart(given: ReportInput, seasons: Sequence[DesignAir], planes: Sequence[Sequence[PlaneTemperature]]) -> Block:
    profiles = [
        _profile(given.say(f"temperature.line_{season.season}"), season, found[1:-1])
        for season, found in zip(seasons, planes, strict=True)
    ]
    if given.assessment.thermal.conduction is not None:
        for season, main in zip(seasons, planes, strict=True):
            found = bridge_temperatures(given.wall, given.assessment.thermal, season.outdoor, season.indoor)
            if _apart(main, found) > SEEN:
                label = given.say(f"temperature.line_{season.season}_bridge")
                profiles.append(_profile(label, season, found, BRIDGE_WEIGHT))

    def draw(top: float, height: float) -> View:
        return profile_chart(given.wall, profiles, WIDTH, height, "°F", None, (LEFT, top), "temperature")

    title = given.say("temperature.head")
    return growing_chart("temperature_chart", LEAST_CHART, MOST_CHART, draw, title, with_next=True)


def _profile(label: str, season: DesignAir, planes: Sequence[PlaneTemperature], weight: float = LINE_WEIGHT) -> Profile:
    """Planes of the wall, without the air, in °F."""
    return Profile(
        label,
        [plane.position for plane in planes],
        [_fahrenheit(plane.temperature) for plane in planes],
        outdoor=_fahrenheit(season.outdoor),
        indoor=_fahrenheit(season.indoor),
        weight=weight,
    )


def _apart(main: Sequence[PlaneTemperature], other: Sequence[PlaneTemperature]) -> float:
    """How far two profiles part at the planes that they share, of the kelvins between the airs of the first."""
    known = {round(plane.position, 6): plane.temperature for plane in main[1:-1]}
    parted = [abs(known[round(p.position, 6)] - p.temperature) for p in other if round(p.position, 6) in known]
    return max(parted, default=0.0) / abs(main[-1].temperature - main[0].temperature)


def numbers_key(given: ReportInput) -> str:
    """The numbers over the section, each with its layer."""
    return f"{TIE} ".join(
        f"**{call.number}**{TIE}{tabled(short_note(call)).replace(' ', TIE)}" for call in callouts(given.wall)
    )


def _table(given: ReportInput, seasons: Sequence[Sequence[PlaneTemperature]]) -> list[Block]:
    columns = (
        Column(given.say("head.plane"), LEFT, 80.0),
        Column(given.say("head.depth"), 98.0, 26.0, "end"),
        Column(given.say("head.winter_ip"), 126.0, 18.0, "end"),
        Column(given.say("head.winter_si"), 145.0, 15.0, "end"),
        Column(given.say("head.summer_ip"), 163.0, 18.0, "end"),
        Column(given.say("head.summer_si"), 182.0, RIGHT - 182.0, "end"),
    )
    rows = []
    for winter, summer in zip(*seasons, strict=True):
        air = winter in (seasons[0][0], seasons[0][-1])
        figures = _figures(winter.temperature) + _figures(summer.temperature)
        name = winter.name if "|" in winter.name else capital(winter.name)  # an id is written as in the file
        rows.append((name, "" if air else inch_mark(winter.position), *figures))
    return [
        heading(given.say("temperature.table"), "temperature_table_head"),
        *table(columns, rows, "temperature_table"),
    ]


def _surfaces(given: ReportInput, seasons: Sequence[DesignAir]) -> list[Block]:
    """The interior surface between members and where bridges make it differ most, by conduction in two dimensions."""
    thermal = given.assessment.thermal
    if thermal.conduction is None:
        return []
    winter, summer = (interior_surface(thermal, season.outdoor, season.indoor) for season in seasons)
    sentence = given.say(
        "temperature.surface",
        factor=f"{thermal.conduction.f_rsi:.3f}",
        clear=f"{thermal.conduction.f_rsi_clear:.3f}",
        winter_clear=_both(winter.clear),
        winter=_both(winter.bridge),
        summer_clear=_both(summer.clear),
        summer=_both(summer.bridge),
    )
    return [paragraph(sentence, "temperature_surface", with_next=True)]


def _fahrenheit(temperature: float) -> float:
    return temperature / units.RANKINE + 32


def _both(temperature: float) -> str:
    return f"{_signed(_fahrenheit(temperature))}{TIE}°F ({_signed(temperature)}{TIE}°C)"


def _signed(value: float) -> str:
    """One decimal, a true minus sign, no minus before zero."""
    text = f"{abs(value):.1f}"
    return f"−{text}" if value < 0 and float(text) else text


def _figures(temperature: float) -> tuple[str, str]:
    """In °F and °C."""
    return _signed(_fahrenheit(temperature)), _signed(temperature)
