"""Twelve months of the monthly method in a row: water carried from month to month, plane by plane."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import pairwise

from specgen.physics.condensation import Ladder, Month, MonthState, Plane, steady_month

DRY = 1e-9  # less water than this is none [kg/m²]
MOST_EVENTS = 100  # planes that run dry within one month; no wall comes near


@dataclass(frozen=True)
class Year:
    """Twelve months from the start of the first wet spell; from January if no month or every month condenses."""

    planes: tuple[Plane, ...]
    order: tuple[int, ...]  # index of each month into the months given
    gained: tuple[float, ...]  # by all planes together, over each month of the order [kg/m²]
    held: tuple[float, ...]  # by all planes together, at the end of each month [kg/m²]
    most: tuple[float, ...]  # held by each plane at the end of some month [kg/m²]
    states: Callable[[], tuple[MonthState, ...]] = field(repr=False, compare=False)  # the months in full

    @cached_property
    def months(self) -> tuple[MonthState, ...]:
        return self.states()

    @property
    def condenses(self) -> bool:
        return any(held > 0 for held in self.most)

    @property
    def residual(self) -> float:
        """Water that is left at the end of the twelve months, all planes together. [kg/m²]"""
        return self.held[-1]

    @property
    def peak(self) -> float:
        """Most water held at the end of a month, all planes together. [kg/m²]"""
        return max(self.held)


def run_year(ladder: Ladder, months: Sequence[Month]) -> Year:
    """Twelve months in a row, water carried from month to month plane by plane.

    Parameters
    ----------
    ladder : Ladder
        The wall.
    months : sequence of Month
        In the order of the calendar.

    Returns
    -------
    year : Year
        Starts with the first month of a wet spell, the one after the longest dry spell if there are several.

    Source
    ------
    ISO 13788:2012, clause on interstitial condensation (from memory): start month, planes that stay at saturation
    while they hold water; months split as `wet_month` says.
    """
    alone: list[MonthState] = []
    for month in months:
        alone.append(steady_month(ladder, month, guess=_sds(ladder, alone[-1]) if alone else None))
    flags = [any(gain > DRY for gain in state.gained) for state in alone]
    if not any(flags):
        dry = tuple(_numbered(state, index, (0.0,) * len(state.gained)) for index, state in enumerate(alone))
        return _year(ladder.planes, dry)
    start = start_month(flags)
    held = (0.0,) * len(ladder.planes)
    states = []
    for step in range(len(months)):
        index = (start + step) % len(months)
        if any(held):
            state = wet_month(ladder, months[index], held, _sds(ladder, alone[index]))
        else:
            state = _numbered(alone[index], index, tuple(_kept(gain) for gain in alone[index].gained))
        held = state.held
        states.append(_numbered(state, index, held))
    return _year(ladder.planes, tuple(states))


def _year(planes: tuple[Plane, ...], states: tuple[MonthState, ...]) -> Year:
    return Year(
        planes,
        tuple(state.month for state in states),
        tuple(math.fsum(state.gained) for state in states),
        tuple(math.fsum(state.held) for state in states),
        tuple(map(max, zip(*(state.held for state in states), strict=True))),
        lambda: states,
    )


def wet_month(ladder: Ladder, month: Month, held: Sequence[float], guess: Sequence[float] | None = None) -> MonthState:
    """One month that starts with water at some planes; split wherever a plane runs dry, so that none is made or lost.

    Parameters
    ----------
    ladder : Ladder
        The wall.
    month : Month
        Air on both sides.
    held : sequence of float, shape (planes,)
        Water at its start, >= 0. [kg/m²]
    guess : sequence of float, optional
        Air thickness of each element to start from. [m]

    Returns
    -------
    state : MonthState
        Profiles as the month begins; gains, water and fluxes over all of it. Its month index is 0.

    Source
    ------
    ISO 13788:2012 (from memory) lets a plane stay at saturation for the whole month in which it dries. The split is
    first principles: what a plane no longer holds cannot feed another plane.
    """
    water = list(held)
    left = month.seconds
    first: MonthState | None = None
    inflow = outflow = 0.0
    for event in range(MOST_EVENTS + 1):
        wet = frozenset(plane for plane, amount in enumerate(water) if amount > DRY)
        state = steady_month(ladder, month, wet, guess)
        first = first or state
        guess = _sds(ladder, state)
        rates = [gain / month.seconds for gain in state.gained]
        last = event == MOST_EVENTS
        span = min([left, *(-water[k] / rates[k] for k in wet if rates[k] < 0)]) if not last else left
        water = [_kept(amount + rate * span) for amount, rate in zip(water, rates, strict=True)]
        inflow += state.inflow * span
        outflow += state.outflow * span
        left -= span
        if left <= 1e-9 * month.seconds:
            break
    gained = tuple(after - before for after, before in zip(water, held, strict=True))
    return replace(
        first or state,
        gained=gained,
        held=tuple(water),
        inflow=inflow / month.seconds,
        outflow=outflow / month.seconds,
    )


def start_month(flags: Sequence[bool]) -> int:
    """Index of the first wet month after the longest dry spell; 0 if all months are alike.

    Parameters
    ----------
    flags : sequence of bool
        Whether each month condenses by itself.
    """
    count = len(flags)
    if all(flags) or not any(flags):
        return 0
    starts = [i for i in range(count) if flags[i] and not flags[i - 1]]

    def dry_before(start: int) -> int:
        return next(n for n in range(1, count) if flags[(start - 1 - n) % count])

    return max(starts, key=lambda start: (dry_before(start), -start))


def _sds(ladder: Ladder, state: MonthState) -> list[float]:
    return [state.sd[b] - state.sd[a] for a, b in pairwise(ladder.faces)]


def _kept(water: float) -> float:
    return water if water > DRY else 0.0


def _numbered(state: MonthState, index: int, held: tuple[float, ...]) -> MonthState:
    return replace(state, month=index, held=held)
