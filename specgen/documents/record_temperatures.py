"""The chart of temperature through the wall, winter and summer, below its section, and the same figures as a table."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from specgen import units
from specgen.checks.design_temperatures import DesignAir, design_air
from specgen.checks.resistances import source_text
from specgen.checks.temperatures import PlaneTemperature, plane_temperatures
from specgen.documents.record_page import (
    LEFT,
    RIGHT,
    WIDTH,
    Block,
    Column,
    ReportInput,
    SourceList,
    chart_block,
    heading,
    paragraph,
    table,
)
from specgen.documents.reviewer_row import capital, closed
from specgen.documents.site_words import inch_mark
from specgen.drawing.callouts import callouts, short_note
from specgen.drawing.profile_chart import Profile, profile_chart
from specgen.drawing.type import TIE
from specgen.drawing.typeset import tabled, typeset
from specgen.model.scene import View

CHART_HEIGHT = 100.0  # section and chart [mm]


def temperature_blocks(given: ReportInput, sources: SourceList) -> list[Block]:
    """Temperatures at every plane for the design air of the site; without weather a sentence why there are none.

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
    profiles = [_planes(given, season) for season in seasons]
    return [
        head,
        *(paragraph(_air(given, season, sources), f"temperature_{season.season}", True) for season in seasons),
        paragraph(_remarks(given), "temperature_remarks", with_next=True),
        _chart(given, seasons, profiles),
        paragraph(numbers_key(given), "temperature_key"),
        *_table(given, profiles),
    ]


def _planes(given: ReportInput, season: DesignAir) -> tuple[PlaneTemperature, ...]:
    return plane_temperatures(given.wall, given.assessment.thermal, season.outdoor, season.indoor)


def _air(given: ReportInput, season: DesignAir, sources: SourceList) -> str:
    """Outdoor temperature with its city, percentile, source and status; room temperature."""
    return given.say(
        f"temperature.{season.season}",
        outdoor=_both(season.outdoor),
        indoor=_both(season.indoor),
        city=typeset(season.city.title),
        source=sources.mark(source_text(season.city.source), given.status(season.city.status)),
    )


def _remarks(given: ReportInput) -> str:
    """Why these cities, what their temperatures are not, and what the profile leaves out."""
    distance = given.site.city_distance_km
    parts = [
        closed(capital(given.site.city_remark)) if given.site.city_remark else "",
        "" if distance is None else given.say("temperature.distance", distance=f"{distance:.0f}{TIE}km"),
        given.say("temperature.typical"),
        given.say("temperature.steady"),
    ]
    return " ".join(part for part in parts if part)


def _chart(given: ReportInput, seasons: Sequence[DesignAir], planes: Sequence[Sequence[PlaneTemperature]]) -> Block:
    profiles = [
        Profile(
            given.say(f"temperature.line_{season.season}"),
            [plane.position for plane in found[1:-1]],
            [_fahrenheit(plane.temperature) for plane in found[1:-1]],
            outdoor=_fahrenheit(season.outdoor),
            indoor=_fahrenheit(season.indoor),
        )
        for season, found in zip(seasons, planes, strict=True)
    ]

    def draw(top: float) -> View:
        return profile_chart(given.wall, profiles, WIDTH, CHART_HEIGHT, "°F", None, (LEFT, top), "temperature")

    return replace(chart_block("temperature_chart", CHART_HEIGHT, draw, given.say("temperature.head")), with_next=True)


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
