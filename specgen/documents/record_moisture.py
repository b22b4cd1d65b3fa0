"""The moisture part of the record: vapor by month, the design hour of sun on the wet wall, retarder class and drying.

Nothing is computed here: each number is a field of the assessment, turned into the unit that it prints in.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from specgen import units
from specgen.documents.record_page import (
    LEFT,
    RIGHT,
    WIDTH,
    Block,
    Page,
    ReportInput,
    chart_block,
    heading,
    paragraph,
    set_pages,
)
from specgen.documents.record_table import Column, table
from specgen.documents.record_temperatures import numbers_key
from specgen.documents.reviewer_row import capital, closed
from specgen.drawing.callouts import layer_name
from specgen.drawing.profile_chart import Profile, profile_chart, sd_chart
from specgen.drawing.type import TIE
from specgen.drawing.typeset import tabled, typeset
from specgen.model.design_hour import DesignHour, HourPlane
from specgen.model.moisture import OUNCE_PER_SQUARE_FOOT, MonthlyRun, MonthResult
from specgen.model.scene import View

IN_HG = 3386.389  # [Pa], conventional inch of mercury at 0 °C
TEMPERATURE_HEIGHT, PRESSURE_HEIGHT = 84.0, 84.0  # of a chart with its section [mm]
MONTH_NAMES = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November",
    "December",
)  # fmt: skip
SIDES = {"N": "north", "E": "east", "S": "south", "W": "west"}


def moisture_pages(given: ReportInput) -> tuple[Page, ...]:
    """Vapor by month, the design hour, and where the wall dries; without a weather city only the last.

    Raises
    ------
    PageOverflowError
        If a word is wider than its column, or the wall fits a chart at no scale.
    """
    title = given.say("moisture.title")
    blocks = [*_monthly(given), *_hour(given), *_charts(given), *_drying(given)]
    return set_pages("record_moisture", title, blocks)


def _monthly(given: ReportInput) -> list[Block]:
    monthly = given.assessment.moisture.monthly
    if monthly is None:
        reason = given.say("moisture.no_city", reason=closed(capital(given.site.city_remark)))
        return [heading(given.say("moisture.monthly"), "monthly_head"), paragraph(reason, "monthly_none")]
    run = monthly.governing
    intro = given.say(
        "moisture.monthly_intro",
        method=monthly.method,
        status=given.status(monthly.status),
        city=typeset(run.city),
        room=run.room_title,
        remark=closed(capital(typeset(given.site.city_remark))) if given.site.city_remark else "",
    )
    blocks = [
        heading(given.say("moisture.monthly"), "monthly_head"),
        paragraph(intro, "monthly_intro"),
        *_month_table(given, run),
        paragraph(_monthly_verdict(given, run), "monthly_verdict"),
        paragraph(_surface(given), "monthly_surface"),
    ]
    if monthly.unknown:
        blocks.append(paragraph(given.say("moisture.unknown", layers=", ".join(monthly.unknown)), "monthly_unknown"))
    return [*blocks, *_runs(given)]


def _month_table(given: ReportInput, run: MonthlyRun) -> list[Block]:
    columns = (
        Column(given.say("head.month"), LEFT, 22.0),
        Column(given.say("head.outdoor"), 41.0, 19.0, "end"),
        Column(given.say("head.outdoor_vapor"), 62.0, 22.0, "end"),
        Column(given.say("head.room"), 86.0, 19.0, "end"),
        Column(given.say("head.room_vapor"), 107.0, 22.0, "end"),
        Column(given.say("head.surface"), 131.0, 17.0, "end"),
        Column(given.say("head.gained"), 150.0, 23.0, "end"),
        Column(given.say("head.held"), 175.0, RIGHT - 175.0, "end"),
    )
    rows = [
        (
            MONTH_NAMES[month.month - 1],
            _pair_of_temperatures(month.exterior),
            _pair_of_pressures(month.exterior_pressure),
            _pair_of_temperatures(month.interior),
            _pair_of_pressures(month.interior_pressure),
            _percent(month.surface_humidity),
            _both_amounts(month.gained),
            _both_amounts(month.held),
        )
        for month in run.months
    ]
    return table(columns, rows, "monthly")


def _monthly_verdict(given: ReportInput, run: MonthlyRun) -> str:
    monthly = given.assessment.moisture.monthly
    left_out = closed(capital(monthly.left_out)) if monthly else ""
    if not run.plane_title:
        return given.say("moisture.stays_dry", left_out=left_out)
    limit = ""
    if run.limit is not None:
        limit = given.say("moisture.limit", limit=_amount(run.limit), basis=typeset(run.limit_basis))
    return given.say(
        "moisture.wet",
        where=typeset(run.plane_title),
        peak=_amount(run.plane_peak),
        month=MONTH_NAMES[run.plane_month - 1],
        verdict=run.verdict,
        residual=_amount(run.residual) if run.residual > 0 else given.say("moisture.nothing"),
        limit=limit,
        left_out=left_out,
    )


def _surface(given: ReportInput) -> str:
    monthly = given.assessment.moisture.monthly
    assert monthly is not None
    month = monthly.surface
    needed = "" if month.needed_factor is None else given.say("moisture.needed", factor=f"{month.needed_factor:.3f}")
    return given.say(
        "moisture.surface",
        humidity=_percent(month.surface_humidity),
        month=MONTH_NAMES[month.month - 1],
        city=typeset(monthly.surface_city),
        room=monthly.surface_room,
        factor=f"{monthly.factor:.3f}",
        path=monthly.factor_path,
        needed=needed,
    )


def _runs(given: ReportInput) -> list[Block]:
    """Every room in every city: what governs was chosen among the rows that are judged."""
    monthly = given.assessment.moisture.monthly
    assert monthly is not None
    columns = (
        Column(given.say("head.city"), LEFT, 32.0),
        Column(given.say("head.room_model"), 51.0, 47.0),
        Column(given.say("head.verdict"), 99.0, 24.0),
        Column(given.say("head.plane_wet"), 124.0, 50.0),
        Column(given.say("head.peak"), 175.0, RIGHT - 175.0, "end"),
    )
    rows = [
        (
            typeset(run.city),
            run.room_title if run.judged else given.say("moisture.not_judged", room=run.room_title),
            run.verdict,
            typeset(run.plane_title),
            _both_amounts(run.peak),
        )
        for run in monthly.runs
    ]
    return [heading(given.say("moisture.runs"), "runs_head"), *table(columns, rows, "runs")]


def _hour(given: ReportInput) -> list[Block]:
    hour = given.assessment.moisture.design_hour
    if hour is None:
        return []
    columns = (
        Column(given.say("head.between"), LEFT, 74.0),
        Column(given.say("head.temperature"), 93.0, 26.0, "end"),
        Column(given.say("head.vapor"), 120.0, 26.0, "end"),
        Column(given.say("head.humidity"), 147.0, 20.0, "end"),
        Column(given.say("head.condensing"), 168.0, RIGHT - 168.0, "end"),
    )
    rows = [
        (
            _plane_name(given, plane),
            _pair_of_temperatures(plane.temperature),
            _pair_of_pressures(plane.pressure),
            _percent(plane.humidity),
            f"{plane.condensing * 3.6e6:.2f}" if plane.condensing > 0 else "–",
        )
        for plane in hour.planes
    ]
    return [
        heading(given.say("moisture.hour"), "hour_head"),
        paragraph(_hour_intro(given, hour), "hour_intro", with_next=True),
        *table(columns, rows, "hour"),
        paragraph(_hour_verdict(given, hour), "hour_verdict"),
    ]


def _hour_intro(given: ReportInput, hour: DesignHour) -> str:
    held = given.say(f"moisture.held_{hour.spread}")
    cladding = given.say("moisture.cladding_wet" if hour.wet else "moisture.cladding_dry")
    return given.say(
        "moisture.hour_intro",
        city=typeset(hour.city),
        side=SIDES[hour.orientation],
        color=hour.color,
        sol_air=_both_temperatures(hour.sol_air),
        held=held,
        cladding=cladding,
        gap=given.say(f"moisture.gap_{hour.gap}"),
        source=_both_pressures(hour.source_pressure),
        room=_both_temperatures(hour.room_temperature),
        humidity=_percent(hour.room_humidity),
    )


def _hour_verdict(given: ReportInput, hour: DesignHour) -> str:
    flux = given.say("moisture.inward", flux=f"{hour.inward * 3.6e6:.2f}")
    control = given.say("moisture.control_closed", layer=_name(given, hour.control)) if hour.control_closed else ""
    if not hour.judged:
        return " ".join(part for part in (given.say("moisture.nothing_closed"), control, flux) if part)
    humidity, worst = _percent(hour.judged_humidity or 0.0), _percent(hour.judged_worst or 0.0)
    values = {"layer": _name(given, hour.judged), "humidity": humidity, "verdict": capital(hour.verdict)}
    if not hour.judged_closed:
        key = "moisture.opened"
        values["permeance"] = f"{(hour.judged_permeance or 0.0) / units.PERM:.2g}{TIE}perm"
    elif hour.depends_on:
        key = "moisture.judged_depends"
        values |= {"worst": worst, "inputs": " and ".join(hour.depends_on)}
    else:
        key = "moisture.judged"
        values["worst"] = worst
    return " ".join(part for part in (given.say(key, **values), control, flux) if part)


def _charts(given: ReportInput) -> list[Block]:
    """Temperature against thickness; vapor pressure against s_d by month, and at the design hour."""
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
            [_fahrenheit(plane.temperature) for plane in month.planes],
            outdoor=_fahrenheit(month.exterior),
            indoor=_fahrenheit(month.interior),
        )
        for month in (winter, summer)
    ]
    profiles.append(
        Profile(
            given.say("moisture.line_hour"),
            [plane.position for plane in hour.planes],
            [_fahrenheit(plane.temperature) for plane in hour.planes],
            indoor=_fahrenheit(hour.room_temperature),
        )
    )

    def draw(top: float) -> View:
        size = (WIDTH, TEMPERATURE_HEIGHT)
        return profile_chart(given.wall, profiles, *size, "°F", None, (LEFT, top), "moisture_temperature")

    return chart_block("moisture_temperature", TEMPERATURE_HEIGHT, draw, given.say("moisture.charts"))


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

    def draw(top: float) -> View:
        return sd_chart(given.wall, layer_sd, profiles, WIDTH, PRESSURE_HEIGHT, corner=(LEFT, top), id="moisture_vapor")

    return chart_block("moisture_vapor", PRESSURE_HEIGHT, draw, given.say("moisture.charts"))


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

    def draw(top: float) -> View:
        return sd_chart(given.wall, layer_sd, profiles, WIDTH, PRESSURE_HEIGHT, corner=(LEFT, top), id="moisture_hour")

    return chart_block("moisture_hour", PRESSURE_HEIGHT, draw, given.say("moisture.charts"))


def _layer_sd(given: ReportInput, planes: Sequence[tuple[str, str, float]]) -> list[float]:
    """What each layer resists on this path: from plane to plane, to the layer that lies between."""
    found = {layer.id: 0.0 for layer in given.wall.layers}
    for (_, inner, before), (_, _, after) in pairwise(planes):
        if inner:
            found[inner] += after - before
    return [found[layer.id] for layer in given.wall.layers]


def _drying(given: ReportInput) -> list[Block]:
    moisture = given.assessment.moisture
    extra = moisture.extra
    retarder = given.say("moisture.no_retarder")
    if moisture.retarder_layer:
        layer = _name(given, moisture.retarder_layer)
        if moisture.retarder_class == "none":
            retarder = given.say("moisture.retarder_none", layer=layer)
        else:
            retarder = given.say("moisture.retarder", layer=layer, value=moisture.retarder_class)
    plane = extra.get("vapor_plane")
    vapor = given.say("moisture.vapor_plane", layer=_name(given, plane)) if plane else given.say("moisture.no_plane")
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
            _name(given, row["layer"]),
            _perm(given, row["exterior_perm"]),
            _name(given, row["exterior_closed_by"]),
            _perm(given, row["interior_perm"]),
            _name(given, row["interior_closed_by"]),
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


def _name(given: ReportInput, layer_id: str) -> str:
    layer = next((layer for layer in given.wall.layers if layer.id == layer_id), None)
    return tabled(layer_name(layer)) if layer is not None else ""


def _plane_name(given: ReportInput, plane: HourPlane) -> str:
    outer = _name(given, plane.outer) or given.say("moisture.outdoors")
    inner = _name(given, plane.inner) or given.say("moisture.the_room")
    return f"{outer} | {inner}" if outer != inner else given.say("moisture.facing", layer=outer)


def _fahrenheit(temperature: float) -> float:
    return temperature / units.RANKINE + 32


def _signed(value: float, digits: int = 0) -> str:
    text = f"{abs(value):.{digits}f}"
    return f"−{text}" if value < 0 and float(text) else text


def _both_temperatures(temperature: float) -> str:
    return f"{_signed(_fahrenheit(temperature))}{TIE}°F ({_signed(temperature, 1)}{TIE}°C)"


def _both_pressures(pressure: float) -> str:
    return f"{pressure / IN_HG:.2f}{TIE}in.{TIE}Hg ({pressure:.0f}{TIE}Pa)"


def _pair_of_temperatures(temperature: float) -> str:
    """For a column whose head gives the units."""
    return f"{_signed(_fahrenheit(temperature))} ({_signed(temperature, 1)})"


def _pair_of_pressures(pressure: float) -> str:
    """For a column whose head gives the units."""
    return f"{pressure / IN_HG:.2f} ({pressure:.0f})"


def _percent(share: float) -> str:
    return f"{share * 100:.0f}{TIE}%"


def _amount(water: float) -> str:
    return f"{_ounces(water)}{TIE}oz/ft² ({water * 1000:.0f}{TIE}g/m²)"


def _both_amounts(water: float) -> str:
    if water == 0:
        return "–"
    return f"{_ounces(water)} ({_signed(water * 1000, 0 if abs(water) >= 0.01 else 1)})"


def _ounces(water: float) -> str:
    return _signed(water / OUNCE_PER_SQUARE_FOOT, 1 if abs(water) >= 0.03 else 3)
