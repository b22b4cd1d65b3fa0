"""A line chart in black lines: series of numbers in, a view on paper out; for months and for the hours of a year.

Lines are told apart by their dash and by a label at their end, never by color. A long series is thinned so that no peak
is lost: of all points within one step of paper the least and the greatest stay.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from specgen.drawing.axis import (
    UNIT_RISE,
    Axis,
    hours_axis,
    level_axis,
    level_room,
    month_axis,
    round_axis,
    upright_axis,
    upright_room,
)
from specgen.drawing.geometry import clip_polyline, polygon, rectangle
from specgen.drawing.line_labels import DASHES, LABEL_GAP, LABEL_LEAD, LINE_WEIGHT, end_labels, labels_room
from specgen.drawing.type import SMALL
from specgen.errors import PageOverflowError
from specgen.model.scene import Group, Line, Point, View

__all__ = ["Axis", "Limit", "Series", "hours_axis", "line_chart", "month_axis", "round_axis"]

LEAST_PLOT = (25.0, 12.0)  # width and height below which a chart tells nothing [mm]
LIMIT_WEIGHT = 0.18
HAIR = 1e-6  # wider than the plot, so that a line along its edge is kept [mm]
THINNED_TO = 0.25  # step of paper within which two extremes stand for all points [mm]


@dataclass(frozen=True, slots=True)
class Series:
    """One line; what is not a finite number leaves a gap. Without a dash of its own it takes the next of the list."""

    label: str
    xs: Sequence[float]
    ys: Sequence[float]
    dash: tuple[float, ...] | None = None
    weight: float = LINE_WEIGHT  # [mm]


@dataclass(frozen=True, slots=True)
class Limit:
    """A level line across the chart, such as a limit that a curve is held against."""

    label: str
    value: float


def line_chart(
    series: Sequence[Series],
    x: Axis,
    y: Axis,
    width: float,
    height: float,
    corner: Point = (0.0, 0.0),
    id: str = "chart",
    title: str = "",
    limits: Sequence[Limit] = (),
    margins: tuple[float, float] = (0.0, 0.0),
) -> View:
    """The chart as a view; axes, figures and labels lie inside `width` and `height`.

    Parameters
    ----------
    series : sequence of Series
        In the units of the axes.
    x, y : Axis
        What lies outside of them is cut off.
    width, height : float
        Of the whole chart. [mm]
    corner : (float, float)
        Upper left corner on paper. [mm]
    id : str
        Of the view; the groups in it begin with it.
    title : str
        What assistive tools read.
    limits : sequence of Limit
        Level lines, thinner than the series.
    margins : (float, float)
        Least room left and right of the lines, so that charts below one another have their months in line. [mm]

    Raises
    ------
    PageOverflowError
        If labels and axes leave less than 25 by 12 mm for the lines.
    """
    labels = [*(one.label for one in series), *(limit.label for limit in limits)]
    left = corner[0] + max(upright_room(y), margins[0])
    right = corner[0] + width - max(labels_room(labels), margins[1])
    top = corner[1] + (UNIT_RISE if y.unit else 0.0) + SMALL / 2
    bottom = corner[1] + height - level_room(x)
    if right - left < LEAST_PLOT[0] or bottom - top < LEAST_PLOT[1]:
        raise PageOverflowError(
            f"chart {title or id!r}: its labels leave {right - left:.0f} by {bottom - top:.0f} mm for the lines; "
            f"at least {LEAST_PLOT[0]:.0f} by {LEAST_PLOT[1]:.0f} mm are needed"
        )
    groups = [
        upright_axis(y, left, top, bottom, f"{id}_y"),
        level_axis(x, bottom, left, right, f"{id}_x"),
        *limit_lines(limits, y, (left, right), (top, bottom), id),
    ]
    ends: list[tuple[Point, str]] = [
        ((right, y.place(limit.value, bottom, top)), limit.label) for limit in limits if y.low <= limit.value <= y.high
    ]
    for number, one in enumerate(series):
        points = [
            (x.place(across, left, right), y.place(up, bottom, top)) for across, up in zip(one.xs, one.ys, strict=True)
        ]
        dash = DASHES[number % len(DASHES)] if one.dash is None else one.dash
        lines = plotted(points, (left, top, right, bottom), dash, one.weight)
        groups.append(Group(f"{id}_line{number + 1}", lines, one.label, "chart-line"))
        if lines:
            ends.append((max(point for line in lines for point in line.points), one.label))
    groups.append(end_labels(ends, right + LABEL_GAP, top - LABEL_LEAD / 3, bottom, f"{id}_labels"))
    return View(id, title, 1.0, "", (left, bottom), Group(id, tuple(groups), title))


def limit_lines(
    limits: Sequence[Limit], y: Axis, across: tuple[float, float], upright: tuple[float, float], id: str
) -> list[Group]:
    """The level lines of the limits that lie on the axis; `upright` is top and bottom of the plot [mm]."""
    top, bottom = upright
    lines = []
    for limit in limits:
        if y.low <= limit.value <= y.high:
            level = y.place(limit.value, bottom, top)
            lines.append(Line(((across[0], level), (across[1], level)), LIMIT_WEIGHT))
    return [Group(f"{id}_limits", tuple(lines), "Limits", "frame")] if lines else []


def plotted(
    points: Sequence[Point], box: tuple[float, float, float, float], dash: tuple[float, ...], weight: float
) -> tuple[Line, ...]:
    """A series on paper: broken where a value is missing, thinned, and cut off at the plot's box.

    Parameters
    ----------
    points : sequence of (float, float)
        In the order of the series. [mm]
    box : (left, top, right, bottom)
        Of the plot. [mm]
    dash : tuple of float
        Strokes and gaps. [mm]
    weight : float
        [mm]
    """
    return tuple(Line(part, weight, dash) for run in _finite_runs(points) for part in _inside(thinned(run), box))


def thinned(points: Sequence[Point], step: float = THINNED_TO) -> list[Point]:
    """The points of a line that can be seen: within each step of paper the first, both extremes and the last.

    Parameters
    ----------
    points : sequence of (float, float)
        With x ascending; if they are fewer than two to a step, all are kept. [mm]
    step : float
        Of paper, along x. [mm]
    """
    if len(points) < 3 or len(points) * step < 2 * (points[-1][0] - points[0][0]):
        return list(points)
    kept: list[Point] = []
    cell: list[Point] = []
    for point in [*points, None]:
        if cell and (point is None or math.floor(point[0] / step) != math.floor(cell[0][0] / step)):
            chosen = {cell[0], min(cell, key=lambda p: p[1]), max(cell, key=lambda p: p[1]), cell[-1]}
            kept += [p for p in dict.fromkeys(cell) if p in chosen]
            cell = []
        if point is not None:
            cell.append(point)
    return kept


def _inside(points: Sequence[Point], box: tuple[float, float, float, float]) -> tuple[tuple[Point, ...], ...]:
    left, top, right, bottom = (box[0] - HAIR, box[1] - HAIR, box[2] + HAIR, box[3] + HAIR)
    if all(left <= x <= right and top <= y <= bottom for x, y in points):
        return (tuple(points),)
    return clip_polyline(points, polygon(rectangle(left, top, right, bottom)))


def _finite_runs(points: Sequence[Point]) -> list[list[Point]]:
    runs: list[list[Point]] = [[]]
    for point in points:
        if all(math.isfinite(value) for value in point):
            runs[-1].append(point)
        elif runs[-1]:
            runs.append([])
    return [run for run in runs if len(run) > 1]
