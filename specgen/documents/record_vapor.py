"""The last of the moisture pages: temperature and vapor pressure drawn below the section, retarder class and drying."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from specgen.documents.moisture_words import IN_HG, fahrenheit, inside, named
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
from specgen.documents.record_temperatures import numbers_key
from specgen.drawing.profile_chart import Profile, profile_chart, sd_chart
from specgen.drawing.type import TIE
from specgen.model.climate import MONTH_NAMES
from specgen.model.design_hour import DesignHour
from specgen.model.moisture import MonthResult
from specgen.model.scene import View

LEAST_CHART, MOST_CHART = 74.0, 90.0  # height of a chart with its section [mm]


def chart_blocks(given: ReportInput) -> list[Block]:
    """Temperature against thickness; vapor pressure against s_d by month, and at the design hour.

    Raises
    ------
    PageOverflowError
        If the wall fits a chart at no scale.
    """
    monthly, hour = given.assessment.moisture.monthly, given.assessment.moisture.design_hour
    if monthly is None or hour is None:
        return []
    run = monthly.governing
    winter = min(run.months, key=lambda month: month.exterior)
    summer = max(run.months, key=lambda month: month.exterior)
    return [
        heading(given.say("moisture.charts"), "moisture_charts_head"),
        _temperatures(given, winter, summer, hour),
        _month_pressures(given, winter, summer),
        _hour_pressures(given, hour),
        paragraph(numbers_key(given), "moisture_key"),
    ]


def _temperatures(given: ReportInput, winter: MonthResult, summer: MonthResult, hour: DesignHour) -> Block:
    profiles = [
        Profile(
            given.say("moisture.line_month", month=MONTH_NAMES[month.month - 1]),
            [plane.position for plane in month.planes],
            [fahrenheit(plane.temperature) for plane in month.planes],
            outdoor=fahrenheit(month.exterior),
            indoor=fahrenheit(month.interior),
        )
        for month in (winter, summer)
    ]
    profiles.append(
        Profile(
            given.say("moisture.line_hour"),
            [plane.position for plane in hour.planes],
            [fahrenheit(plane.temperature) for plane in hour.planes],
            indoor=fahrenheit(hour.room_temperature),
        )
    )

    def draw(top: float, height: float) -> View:
        return profile_chart(given.wall, profiles, WIDTH, height, "°F", None, (LEFT, top), "moisture_temperature")

    return growing_chart("moisture_temperature", LEAST_CHART, MOST_CHART, draw, given.say("moisture.charts"))


def _month_pressures(given: ReportInput, winter: MonthResult, summer: MonthResult) -> Block:
    """Each month on the s_d of the winter month: what a layer resists changes with its humidity."""
    layer_sd = _layer_sd(given, [(p.outer, p.inner, p.sd) for p in winter.planes])
    places = [plane.sd for plane in winter.planes]
    profiles = []
    for month in (winter, summer):
        name = MONTH_NAMES[month.month - 1]
        for key, values in (
            ("moisture.line_vapor", [plane.pressure for plane in month.planes]),
            ("moisture.line_saturation", [plane.saturation for plane in month.planes]),
        ):
            profiles.append(Profile(given.say(key, month=name), places, [value / IN_HG for value in values]))

    def draw(top: float, height: float) -> View:
        return sd_chart(given.wall, layer_sd, profiles, WIDTH, height, corner=(LEFT, top), id="moisture_vapor")

    return growing_chart("moisture_vapor", LEAST_CHART, MOST_CHART, draw, given.say("moisture.charts"))


def _hour_pressures(given: ReportInput, hour: DesignHour) -> Block:
    layer_sd = _layer_sd(given, [(p.outer, p.inner, p.sd) for p in hour.planes])
    places = [plane.sd for plane in hour.planes]
    name = given.say("moisture.line_hour")
    profiles = [
        Profile(given.say("moisture.line_vapor", month=name), places, [p.pressure / IN_HG for p in hour.planes]),
        Profile(
            given.say("moisture.line_saturation", month=name),
            places,
            [p.pressure / p.humidity / IN_HG if p.humidity else 0.0 for p in hour.planes],
        ),
    ]

    def draw(top: float, height: float) -> View:
        return sd_chart(given.wall, layer_sd, profiles, WIDTH, height, corner=(LEFT, top), id="moisture_hour")

    return growing_chart("moisture_hour", LEAST_CHART, MOST_CHART, draw, given.say("moisture.charts"))


def _layer_sd(given: ReportInput, planes: Sequence[tuple[str, str, float]]) -> list[float]:
    """What each layer resists on this path: from plane to plane, to the layer that lies between."""
    found = {layer.id: 0.0 for layer in given.wall.layers}
    for (_, inner, before), (_, _, after) in pairwise(planes):
        if inner:
            found[inner] += after - before
    return [found[layer.id] for layer in given.wall.layers]


def drying_blocks(given: ReportInput) -> list[Block]:
    """Retarder class of the interior side, the vapor plane, and what closes each layer that can be wet.

    Raises
    ------
    PageOverflowError
        If a word is wider than its column.
    """
    moisture = given.assessment.moisture
    extra = moisture.extra
    retarder = given.say("moisture.no_retarder")
    if moisture.retarder_layer:
        layer = inside(named(given, moisture.retarder_layer))
        if moisture.retarder_class == "none":
            retarder = given.say("moisture.retarder_none", layer=layer)
        else:
            retarder = given.say("moisture.retarder", layer=layer, value=moisture.retarder_class)
    plane = extra.get("vapor_plane")
    vapor = (
        given.say("moisture.vapor_plane", layer=inside(named(given, plane)))
        if plane
        else given.say("moisture.no_plane")
    )
    columns = (
        Column(given.say("head.wettable"), LEFT, 44.0),
        Column(given.say("head.outward"), 63.0, 24.0, "end"),
        Column(given.say("head.closed_by"), 90.0, 36.0),
        Column(given.say("head.inward"), 127.0, 22.0, "end"),
        Column(given.say("head.closed_by"), 152.0, 26.0),
        Column(given.say("head.dries_to"), 179.0, RIGHT - 179.0),
    )
    rows = [
        (
            named(given, row["layer"]),
            _perm(given, row["exterior_perm"]),
            named(given, row["exterior_closed_by"]),
            _perm(given, row["interior_perm"]),
            named(given, row["interior_closed_by"]),
            row["dries_to"],
        )
        for row in extra.get("drying", ())
    ]
    return [
        heading(given.say("moisture.drying"), "drying_head"),
        paragraph(f"{retarder} {vapor} {given.say('moisture.drying_rule')}", "drying_intro", with_next=True),
        *table(columns, rows, "drying"),
    ]


def _perm(given: ReportInput, value: float | None) -> str:
    if value is None:
        return given.say("moisture.open")
    return f"{value:.2g}{TIE}perm" if value < 10 else f"{value:.0f}{TIE}perm"
