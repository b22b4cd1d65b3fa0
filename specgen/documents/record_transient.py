"""The simulation's part of the record: the governing plane through a year, mold, water by layer, and what was varied.

Nothing is computed here; a wall that was not simulated has no such pages.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from specgen import units
from specgen.checks.resistances import source_text
from specgen.checks.transient import AIR_LEAK
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
from specgen.documents.reviewer_row import capital, closed
from specgen.drawing.axis import Axis, month_axis, round_axis, upright_room
from specgen.drawing.callouts import layer_name
from specgen.drawing.line_chart import Limit, Series, line_chart
from specgen.drawing.line_labels import labels_room
from specgen.drawing.type import TIE
from specgen.drawing.typeset import tabled, typeset
from specgen.model.climate import MONTH_NAMES
from specgen.model.material import uncapped
from specgen.model.moisture import OUNCE_PER_SQUARE_FOOT
from specgen.model.scene import View
from specgen.model.transient import MOLD_LIMIT, Governing, SurfacePlane, TransientCase, TransientResult

METHOD = "EN 15026, hygrothermal simulation of building components"
NORMAL_LOAD = "EN 15026:2007, hygrothermal simulation, Annex C, indoor climate by normal load"
SMALL = 1e-6  # share of a balance below which its digits say nothing
FEET_A_MINUTE = 60 / units.FOOT  # 1 m/s [ft/min]
HAIR = 1e-6  # two thicknesses that count as one [m]
CHART = 46.0  # height of one chart; three and the words above them fill a page [mm]
SIDES = {"N": "north", "E": "east", "S": "south", "W": "west"}


def transient_pages(given: ReportInput) -> tuple[Page, ...]:
    """Pages of the simulation, none where the wall was not simulated.

    Raises
    ------
    PageOverflowError
        If a word is wider than its column, or labels leave a chart no room.
    """
    result = given.assessment.moisture.transient
    if result is None:
        return ()
    blocks = [
        heading(given.say("years.verdict_head"), "years_head"),
        paragraph(_ran(given, result), "years_ran"),
        paragraph(_room(given), "years_room"),
        paragraph(_verdict(given, result), "years_verdict"),
        *_charts(given, result),
        *_cases(given, result),
        *_air(given, result),
        *_layers(given, result),
        *_water(given, result),
        heading(given.say("years.limits_head"), "years_limits_head"),
        paragraph(given.say("years.limits", loads=_mark(given, "ashrae-160")), "years_limits"),
    ]
    return set_pages("record_years", given.say("years.title"), blocks)


def _ran(given: ReportInput, result: TransientResult) -> str:
    notes = " ".join(closed(capital(typeset(note))) for note in result.weather_notes)
    return given.say(
        "years.ran",
        ran=closed(capital(typeset(result.ran))),
        city=typeset(result.city),
        weather=result.weather,
        notes=notes,
        balance=given.say("years.balance_small") if result.balance_error < SMALL else f"{result.balance_error:.0e}",
        method=given.sources.mark(METHOD, given.status("from-memory")),
    )


def _room(given: ReportInput) -> str:
    """Both rooms that decide most verdicts, in words: the base case's, and the drier one that is tried."""
    normal = given.sources.mark(NORMAL_LOAD, given.status("secondary"))
    return given.say("years.room", loads=_mark(given, "ashrae-160"), normal=normal)


def _mark(given: ReportInput, source: str, status: str = "from-memory") -> str:
    return given.sources.mark(source_text(source), given.status(status))


def _verdict(given: ReportInput, result: TransientResult) -> str:
    worst = result.worst
    parts = [given.say("years.verdict", verdict=capital(result.verdict))]
    if result.depends_on:
        parts = [given.say("years.depends", inputs=typeset(result.decided_by))]
    criterion = closed(typeset(result.criterion))
    parts.append(given.say("years.criterion", source=_mark(given, "ashrae-160"), criterion=criterion))
    if worst.plane:
        parts.append(
            given.say(
                "years.plane",
                plane=_plane(given, worst.plane),
                side=SIDES[worst.orientation],
                month=MONTH_NAMES[worst.month - 1],
                index=f"{worst.plane.index:.1f}",
                surface=tabled(uncapped(worst.plane.surface)),
                model=_mark(given, "vtt-mold-index"),
                sensitivity=worst.plane.sensitivity,
                decline=worst.plane.decline,
                mean=_percent(worst.plane.humidity_30),
            )
        )
    if result.by_decline:
        parts.append(given.say("years.declines", figures=result.decline_text, classes=result.class_text))
    if worst.wood is not None:
        parts.append(given.say("years.wood", content=f"{worst.wood * 100:.0f}{TIE}%"))
    if result.needs_hourly_file:
        parts.append(given.say("years.needs_file"))
    return " ".join(parts)


def _charts(given: ReportInput, result: TransientResult) -> list[Block]:
    """Humidity, temperature and mold index at the governing plane, then the water that each layer holds."""
    found = result.governing
    if found is None:
        return []
    worst = result.worst
    plane = _plane(given, worst.plane) if worst.plane else result.plane_title
    where = given.say("years.charts", plane=capital(plane), side=SIDES[worst.orientation])
    limit = Limit(given.say("years.line_limit"), MOLD_LIMIT)
    humidity = [100 * value for value in found.humidity]
    temperature = [value / units.RANKINE + 32 for value in found.temperature]
    charts = [
        _Chart("humidity", "%", [(given.say("years.line_humidity"), humidity)], high=100.0),
        _Chart("temperature", "°F", [(given.say("years.line_temperature"), temperature)]),
    ]
    if found.index:
        lines = [(given.say("years.line_index"), list(found.index))]
        charts.append(_Chart("mold", given.say("years.index_unit"), lines, 0.0, 3.5, (limit,)))
    charts.append(_Chart("water", "oz/ft²", _layer_lines(given, found), low=0.0))
    margins = (max(upright_room(one.axis) for one in charts), max(labels_room(one.labels) for one in charts))
    return [heading(where, "years_charts_head"), *(_line_block(given, one, margins) for one in charts)]


def _layer_lines(given: ReportInput, found: Governing) -> list[tuple[str, list[float]]]:
    """The layers that hold most, six at the most; the rest would hide them."""
    fullest = sorted(found.layers, key=lambda pair: -max(pair[1], default=0.0))[:6]
    names = {name for name, _ in fullest}
    return [
        (_layer(given, name), [value / OUNCE_PER_SQUARE_FOOT for value in values])
        for name, values in found.layers
        if name in names
    ]


@dataclass(frozen=True)
class _Chart:
    """One quantity through the year."""

    id: str
    unit: str
    lines: Sequence[tuple[str, list[float]]]
    low: float | None = None
    high: float | None = None
    limits: tuple[Limit, ...] = ()

    @property
    def axis(self) -> Axis:
        values = (value for _, values in self.lines for value in values)
        return round_axis(values, self.unit, low=self.low, high=self.high)

    @property
    def labels(self) -> list[str]:
        return [*(label for label, _ in self.lines), *(limit.label for limit in self.limits)]


def _line_block(given: ReportInput, chart: _Chart, margins: tuple[float, float]) -> Block:
    series = [
        Series(label, [12.0 * (day + 0.5) / len(values) for day in range(len(values))], values)
        for label, values in chart.lines
    ]
    name, title = f"years_{chart.id}", given.say("years.title")

    def draw(top: float) -> View:
        return line_chart(
            series, month_axis(), chart.axis, WIDTH, CHART, (LEFT, top), name, title, chart.limits, margins
        )

    return chart_block(name, CHART, draw, title)


def _cases(given: ReportInput, result: TransientResult) -> list[Block]:
    columns = (
        Column(given.say("head.varied"), LEFT, 62.0),
        Column(given.say("head.facing"), 81.0, 11.0),
        Column(given.say("head.weather"), 93.0, 23.0),
        Column(given.say("head.governing"), 117.0, 29.0),
        Column(given.say("head.mold"), 147.0, 11.0, "end"),
        Column(given.say("head.mean30"), 159.0, 13.0, "end"),
        Column(given.say("head.wood"), 173.0, 11.0, "end"),
        Column(given.say("head.meets"), 186.0, RIGHT - 186.0),
    )
    rows = [_case_row(given, case, result.worst) for case in result.cases]
    remark = given.say("years.cases_remark")
    return [heading(given.say("years.cases"), "years_cases_head", remark), *table(columns, rows, "years_cases")]


def _case_row(given: ReportInput, case: TransientCase, worst: TransientCase) -> tuple[str, ...]:
    """A case as it prints; the plane only where it is not the governing one, which stands above."""
    plane = _plane(given, case.plane) if case.plane else given.say("years.no_plane")
    if case.plane and worst.plane and case.plane.name == worst.plane.name:
        plane = given.say("years.same_plane")
    return (
        typeset(case.detail or case.varied) or given.say("years.base"),
        SIDES[case.orientation],
        typeset(case.weather),
        plane,
        f"{case.index:.1f}" if case.plane else "–",
        _percent(case.plane.humidity_30 if case.plane else case.surface_humidity),
        "–" if case.wood is None else f"{case.wood * 100:.0f}{TIE}%",
        given.say("years.yes" if case.meets else "years.no"),
    )


def _air(given: ReportInput, result: TransientResult) -> list[Block]:
    """The case with room air that leaks into the wall; it stands beside the verdict."""
    case = result.air_leakage
    if case is None or case.plane is None:
        return []
    text = given.say(
        "years.air",
        leak=f"{AIR_LEAK * FEET_A_MINUTE:.2g} cfm/ft² ({AIR_LEAK * 1000:g} L/(s·m²))",
        outcome=given.say("years.yes" if case.meets else "years.no"),
        index=f"{case.index:.1f}",
    )
    return [paragraph(typeset(text), "years_air")]


def _layers(given: ReportInput, result: TransientResult) -> list[Block]:
    columns = (
        Column(given.say("head.layer_water"), LEFT, 58.0),
        Column(given.say("head.mean"), 78.0, 30.0, "end"),
        Column(given.say("head.most"), 110.0, 30.0, "end"),
        Column(given.say("head.gain"), 142.0, 26.0, "end"),
        Column(given.say("head.wood_days"), 170.0, RIGHT - 170.0, "end"),
    )
    rows = [
        (
            _layer(given, layer.layer),
            _water_text(layer.mean),
            _water_text(layer.most),
            _water_text(layer.gain, signed=True),
            "–"
            if layer.wood is None
            else f"{layer.wood * 100:.0f}{TIE}%, {layer.days_moist:.0f}, {layer.days_wet:.0f}",
        )
        for layer in result.worst.layers
    ]
    return (
        [heading(given.say("years.layers"), "years_layers_head"), *table(columns, rows, "years_layers")] if rows else []
    )


def _water(given: ReportInput, result: TransientResult) -> list[Block]:
    """Recovery from water put in, and the leak that the wall takes."""
    sentences = []
    for water in result.recovery:
        key = "years.recovered" if water.days is not None else "years.not_recovered"
        sentences.append(
            given.say(
                key,
                month=given.say(f"years.{water.month}"),
                layer=_wetted(given, result),
                days=_after(given, water.watched if water.days is None else water.days),
                side=given.say(f"years.side_{water.side}"),
            )
        )
    if result.leak is None:
        sentences.append(given.say("years.leak_none"))
    else:
        steps = "; ".join(f"{share:g}{TIE}%: {index:.1f}" for share, index in result.leak.steps)
        key = "years.leak_exceeds" if result.leak.exceeds else "years.leak"
        if result.leak.percent is None:
            key = "years.leak_not_even"
        percent = f"{result.leak.percent or 0:g}{TIE}%"
        values = {"steps": steps} if key != "years.leak" else {"steps": steps, "percent": percent}
        sentences.append(given.say(key, **values))
    return [
        heading(given.say("years.water"), "years_water_head"),
        *(paragraph(sentence, f"years_water_{number}") for number, sentence in enumerate(sentences, start=1)),
    ]


def _after(given: ReportInput, days: float) -> str:
    return given.say("years.after", days=f"{days:.0f}") if round(days) else given.say("years.within_a_day")


def _wetted(given: ReportInput, result: TransientResult) -> str:
    """What the water was put into: a layer, or its outer part."""
    name, depth = _layer(given, result.wetted_layer), result.wetted_depth
    layer = next((layer for layer in given.wall.layers if layer.id == result.wetted_layer), None)
    if depth is None or layer is None or depth > (layer.thickness or depth) - HAIR:
        return name
    return given.say("years.outer_part", depth=f"{units.format_inches(depth)}{TIE}in", layer=name)


def _plane(given: ReportInput, plane: SurfacePlane) -> str:
    return given.say(f"years.face_{plane.face}", layer=_layer(given, plane.layer))


def _layer(given: ReportInput, layer_id: str) -> str:
    layer = next((layer for layer in given.wall.layers if layer.id == layer_id), None)
    return tabled(layer_name(layer)) if layer is not None else layer_id


def _percent(share: float | None) -> str:
    return "–" if share is None else f"{share * 100:.0f}{TIE}%"


def _water_text(water: float, signed: bool = False) -> str:
    """Ounces per square foot with grams per square meter, two figures, in parentheses; the head gives the units."""
    sign = "+" if signed and water > 0 else ""
    text = f"{sign}{water / OUNCE_PER_SQUARE_FOOT:.1f} ({sign}{float(f'{water * 1000:.2g}'):.0f})"
    return text.replace("-", "−")
