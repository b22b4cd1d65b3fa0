"""Axes of charts: a range of values in, ticks at round numbers out; and the axis drawn, black lines and small type.

An axis is data first (`Axis`), so that two charts can share one and be compared by eye.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

from specgen.drawing.type import SMALL, text_width
from specgen.model.scene import Group, Line, Text

AXIS_WEIGHT = 0.25  # [mm]
TICK = 1.4  # outward [mm]
TICK_GAP = 1.0  # between a tick and its figure [mm]
UNIT_RISE = 3.8  # of the unit above the uppermost figure's middle [mm]
STEPS = (1.0, 2.0, 5.0, 10.0)  # round steps within a power of ten
MONTHS = tuple("JFMAMJJASOND")
DAYS_TO_MONTH = (0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334, 365)  # of a year without a leap day


@dataclass(frozen=True, slots=True)
class Axis:
    """A linear axis: what it runs over, where it has ticks, and what stands there."""

    unit: str  # as it prints: "°F", "in. Hg", "sd, m"
    low: float
    high: float
    ticks: tuple[float, ...]
    names: tuple[str, ...] = ()  # one per tick, or one per space between ticks; empty: the numbers themselves

    def place(self, value: float, start: float, end: float) -> float:
        """Where a value stands on paper when the axis runs from `start` (low) to `end` (high) [mm]."""
        return start + (value - self.low) / (self.high - self.low) * (end - start)

    @property
    def figures(self) -> tuple[str, ...]:
        """What is written at the ticks; empty texts where names stand between them."""
        if not self.names:
            step = self.ticks[1] - self.ticks[0] if len(self.ticks) > 1 else 1.0
            return tuple(number_text(tick, step) for tick in self.ticks)
        return self.names if len(self.names) == len(self.ticks) else ("",) * len(self.ticks)

    @property
    def between(self) -> tuple[str, ...]:
        """Names of the spaces between ticks, as of months."""
        return self.names if len(self.names) == len(self.ticks) - 1 else ()


def round_axis(
    values: Iterable[float], unit: str, most: int = 6, low: float | None = None, high: float | None = None
) -> Axis:
    """An axis that holds all values and begins and ends at round numbers.

    Parameters
    ----------
    values : iterable of float
        What has to be shown, in the unit of the axis; what is not finite is passed over. [-]
    unit : str
        As it prints.
    most : int
        Spaces between ticks, at most. [-]
    low, high : float or None
        Bounds that the axis reaches at least, such as 0. [-]
    """
    finite = [value for value in values if math.isfinite(value)]
    finite += [bound for bound in (low, high) if bound is not None]
    least, greatest = min(finite, default=0.0), max(finite, default=1.0)
    if greatest - least < 1e-9 * max(1.0, abs(greatest)):
        least, greatest = least - 0.5, greatest + 0.5
    step = _step((greatest - least) / most)
    while True:
        first, last = math.floor(least / step + 1e-9), math.ceil(greatest / step - 1e-9)
        if last - first <= most:
            break
        step = _step(step * 1.01)
    ticks = tuple(_clean(index * step, step) for index in range(first, last + 1))
    return Axis(unit, ticks[0], ticks[-1], ticks)


def month_axis() -> Axis:
    """Twelve months; x = 0.5 is the middle of January, 11.5 of December."""
    return Axis("", 0.0, 12.0, tuple(float(month) for month in range(13)), MONTHS)


def hours_axis() -> Axis:
    """The 8760 hours of a year, ticked where the months begin."""
    ticks = tuple(24.0 * days for days in DAYS_TO_MONTH)
    return Axis("", 0.0, ticks[-1], ticks, MONTHS)


def number_text(value: float, step: float) -> str:
    """A tick's figure with as many decimals as its step needs, a true minus sign before it."""
    decimals = max(0, -math.floor(math.log10(step) + 1e-9))
    text = f"{abs(value):.{decimals}f}"
    return f"−{text}" if value < 0 and float(text) else text


def upright_axis(axis: Axis, x: float, top: float, bottom: float, group_id: str) -> Group:
    """A vertical axis with its figures at the left and its unit above them."""
    items: list[Line | Text] = [Line(((x, top), (x, bottom)), AXIS_WEIGHT)]
    for tick, figure in zip(axis.ticks, axis.figures, strict=True):
        y = axis.place(tick, bottom, top)
        items.append(Line(((x - TICK, y), (x, y)), AXIS_WEIGHT))
        if figure:
            items.append(Text((x - TICK - TICK_GAP, y + SMALL / 2), figure, SMALL, "end"))
    if axis.unit:
        items.append(Text((x - TICK - TICK_GAP, top - UNIT_RISE + SMALL / 2), axis.unit, SMALL, "end"))
    return Group(group_id, tuple(items), axis.unit, "frame")


def level_axis(axis: Axis, y: float, left: float, right: float, group_id: str) -> Group:
    """A horizontal axis with its figures below, and its unit after them in a line of its own."""
    items: list[Line | Text] = [Line(((left, y), (right, y)), AXIS_WEIGHT)]
    base = y + TICK + TICK_GAP + SMALL
    for tick, figure in zip(axis.ticks, axis.figures, strict=True):
        x = axis.place(tick, left, right)
        items.append(Line(((x, y), (x, y + TICK)), AXIS_WEIGHT))
        if figure:
            items.append(Text((x, base), figure, SMALL, "middle"))
    for (one, other), name in zip(pairwise(axis.ticks), axis.between, strict=False):
        items.append(Text((axis.place((one + other) / 2, left, right), base), name, SMALL, "middle"))
    if axis.unit:
        items.append(Text(((left + right) / 2, base + 3.8), axis.unit, SMALL, "middle"))
    return Group(group_id, tuple(items), axis.unit, "frame")


def upright_room(axis: Axis) -> float:
    """Room that a vertical axis needs at the left of its line [mm]."""
    return TICK + TICK_GAP + max(text_width(text, SMALL) for text in (*axis.figures, axis.unit))


def level_room(axis: Axis) -> float:
    """Room that a horizontal axis needs below its line [mm]."""
    return TICK + TICK_GAP + SMALL + (3.8 if axis.unit else 0.0)


def _step(least: float) -> float:
    """The smallest round step that is not less."""
    power = 10.0 ** math.floor(math.log10(least))
    return next(factor * power for factor in STEPS if factor * power >= least * (1 - 1e-9))


def _clean(value: float, step: float) -> float:
    """Without the dust of binary fractions."""
    return round(value, max(0, 2 - math.floor(math.log10(step)))) + 0.0
