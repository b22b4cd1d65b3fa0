"""Many years of the monthly method side by side: as `condensation_year.run_year`, for all walls and airs at once.

Each lane is one wall between two airs. Arrays run over lanes and planes; a wall with fewer planes than the longest has
its last plane repeated. Every number is formed by the same operations in the same order as for one wall alone, so that
an answer does not hang on how many are asked for together.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from specgen.physics import air
from specgen.physics.condensation import (
    AIR_PERMEABILITY,
    DRY_BELOW,
    ROUNDS,
    SETTLED,
    WET_ABOVE,
    Ladder,
    Month,
    MonthState,
)
from specgen.physics.condensation_year import DRY, MOST_EVENTS, Year, start_month

Array = NDArray[np.float64]
Indices = NDArray[np.intp]
Flags = NDArray[np.bool_]
SAME_PLACE = 1e-12  # of the whole air thickness: planes nearer than this are in one place [-]


def run_years(problems: Sequence[tuple[Ladder, Sequence[Month]]]) -> list[Year]:
    """The year of each wall between its airs, as `run_year` gives it.

    Parameters
    ----------
    problems : sequence of (Ladder, sequence of Month)
        Walls, each with as many months as the others, in the order of the calendar.

    Returns
    -------
    years : list of Year
        In the order of the problems.

    Source
    ------
    As `run_year` and `wet_month`.
    """
    if not problems:
        return []
    return _Years(problems).years()


class _Walls:
    """The walls of some lanes as arrays, lanes first."""

    def __init__(self, ladders: Sequence[Ladder]) -> None:
        kinds = list({id(ladder): ladder for ladder in ladders}.values())
        rows = {id(ladder): row for row, ladder in enumerate(kinds)}
        lanes = np.array([rows[id(ladder)] for ladder in ladders], dtype=np.intp)
        planes = max(len(ladder.planes) for ladder in kinds)
        elements = max(len(ladder.elements) for ladder in kinds)
        share, element, cut = (np.zeros((len(kinds), planes)) for _ in range(3))
        cuts = np.ones((len(kinds), elements))
        dry, wet = np.zeros((len(kinds), elements)), np.zeros((len(kinds), elements))
        faces = np.zeros((len(kinds), elements + 1))
        for row, ladder in enumerate(kinds):
            count, last = len(ladder.elements), len(ladder.planes)
            of_plane = [(0, 0), *((e, c) for e, n in enumerate(ladder.cuts) for c in range(1, n + 1))]
            of_plane += [of_plane[-1]] * (planes - last)
            element[row], cut[row] = zip(*of_plane, strict=True)
            share[row] = [*ladder.shares, *[ladder.shares[-1]] * (planes - last)]
            cuts[row, :count] = ladder.cuts
            dry[row, :count] = [e.sd_dry for e in ladder.elements]
            wet[row, :count] = [e.sd_wet for e in ladder.elements]
            faces[row] = [*ladder.faces, *[last - 1] * (elements - count)]
        self.share, self.cut, self.cuts = share[lanes], cut[lanes], cuts[lanes]
        self.dry, self.wet = dry[lanes], wet[lanes]
        self.element, self.faces = element[lanes].astype(np.intp), faces[lanes].astype(np.intp)
        self.varying = self.dry != self.wet

    def of(self, lanes: Indices) -> _Walls:
        some = object.__new__(_Walls)
        for name, value in vars(self).items():
            setattr(some, name, value[lanes])
        return some

    def places(self, sds: Array) -> Array:
        """Where each plane stands on the axis of air thickness, shape (lanes, planes). [m]"""
        starts = np.zeros((len(sds), sds.shape[1] + 1))
        np.cumsum(sds * self.cuts / self.cuts, axis=1, out=starts[:, 1:])
        return _taken(starts, self.element) + _taken(sds, self.element) * self.cut / _taken(self.cuts, self.element)

    def thicknesses(self, at: Array) -> Array:
        """Of each element, between its faces. [m]"""
        faces = _taken(at, self.faces)
        return faces[:, 1:] - faces[:, :-1]

    def follow(self, pressures: Array, saturation: Array) -> Array:
        """Air thickness of each element at the mean humidity of its two faces. [m]"""
        humidity = _taken(pressures / saturation, self.faces)
        mean = (humidity[:, :-1] + humidity[:, 1:]) / 2
        share = np.minimum(1.0, np.maximum(0.0, (mean - DRY_BELOW) / (WET_ABOVE - DRY_BELOW)))
        with np.errstate(divide="ignore", invalid="ignore"):
            dry, wet = 1 / self.dry, 1 / self.wet
            between = 1 / (dry + (wet - dry) * share)
        straight = self.dry + (self.wet - self.dry) * share
        return np.where(np.isinf(dry) | np.isinf(wet), straight, between)


class _Air:
    """Saturation pressure at the planes and vapor pressures of both airs, in one month of each lane."""

    def __init__(self, saturation: Array, exterior: Array, interior: Array, seconds: Array) -> None:
        self.saturation, self.exterior, self.interior, self.seconds = saturation, exterior, interior, seconds

    def of(self, lanes: Indices) -> _Air:
        return _Air(self.saturation[lanes], self.exterior[lanes], self.interior[lanes], self.seconds[lanes])


class _Months:
    """One month of each lane: places, pressures and rates of gain at the planes, and the flux through both faces."""

    def __init__(self, lanes: int, planes: int) -> None:
        self.at, self.pressures, self.rates = (np.zeros((lanes, planes)) for _ in range(3))
        self.inflow, self.outflow = np.zeros(lanes), np.zeros(lanes)

    def of(self, lanes: Indices) -> _Months:
        some = object.__new__(_Months)
        for name, value in vars(self).items():
            setattr(some, name, value[lanes])
        return some

    def put(self, lanes: Indices, some: _Months) -> None:
        for name, value in vars(self).items():
            value[lanes] = getattr(some, name)


class _Years:
    """All lanes through all months."""

    def __init__(self, problems: Sequence[tuple[Ladder, Sequence[Month]]]) -> None:
        self.ladders = [ladder for ladder, _ in problems]
        self.walls = _Walls(self.ladders)
        rows = [
            [(m.exterior, m.exterior_pressure, m.interior, m.interior_pressure, m.seconds) for m in months]
            for _, months in problems
        ]
        exterior, outside, interior, inside, seconds = np.moveaxis(np.array(rows, dtype=float), 2, 0)
        share = self.walls.share[:, None, :]
        self.temperatures = exterior[:, :, None] + (interior - exterior)[:, :, None] * share
        self.saturation = _saturation(self.temperatures)
        self.outside, self.inside, self.seconds = outside, inside, seconds
        self.count = exterior.shape[1]
        self.alone: list[_Months] = []
        guess = self.walls.dry
        for month in range(self.count):
            air_now = self._air(np.arange(len(problems)), month)
            self.alone.append(_steady(self.walls, air_now, None, guess))
            guess = self.walls.thicknesses(self.alone[-1].at)

    def _air(self, lanes: Indices, month: int | Indices) -> _Air:
        return _Air(
            self.saturation[lanes, month],
            self.outside[lanes, month],
            self.inside[lanes, month],
            self.seconds[lanes, month],
        )

    def years(self) -> list[Year]:
        gained = np.stack([state.rates for state in self.alone], axis=1) * self.seconds[:, :, None]
        condenses = (gained > DRY).any(axis=2)
        wet = np.flatnonzero(condenses.any(axis=1))
        order = np.tile(np.arange(self.count), (len(self.ladders), 1))
        for lane in wet:
            start = start_month(condenses[lane].tolist())
            order[lane] = (start + order[lane]) % self.count
        run = _Carried(self, wet, order[wet], gained[wet])
        place = {int(lane): row for row, lane in enumerate(wet)}
        return [
            run.year(place[lane], ladder) if lane in place else self._dry_year(lane, ladder, gained[lane])
            for lane, ladder in enumerate(self.ladders)
        ]

    def _dry_year(self, lane: int, ladder: Ladder, gained: Array) -> Year:
        none, dry = (0.0,) * self.count, (0.0,) * len(ladder.planes)
        gained = gained[:, : len(dry)]

        def states() -> tuple[MonthState, ...]:
            warm, full = self.temperatures[lane], self.saturation[lane]
            return tuple(
                _state(month, warm[month], full[month], self.alone[month], lane, gained[month].tolist(), dry)
                for month in range(self.count)
            )

        gains = tuple(map(math.fsum, gained.tolist())) if gained.any() else none  # of a trace too small to count
        return Year(ladder.planes, tuple(range(self.count)), gains, none, dry, states)


class _Carried:
    """The lanes in which some month condenses, water carried from month to month plane by plane."""

    def __init__(self, years: _Years, lanes: Indices, order: Indices, alone: Array) -> None:
        self.years, self.lanes, self.order = years, lanes, order
        self.steps: list[_Months] = []
        shape = (len(lanes), years.count, alone.shape[2])
        self.gained, self.held = np.zeros(shape), np.zeros(shape)
        water = np.zeros((len(lanes), alone.shape[2]))
        rows = np.arange(len(lanes))
        for step in range(years.count):
            month = order[:, step]
            state = self._alone(month)
            gained = alone[rows, month]
            holding = np.flatnonzero(water.any(axis=1))
            after = _kept(gained)
            if len(holding):
                walls = years.walls.of(lanes[holding])
                outside = years._air(lanes[holding], month[holding])
                guess = walls.thicknesses(state.at[holding])
                wet, after[holding] = _wet(walls, outside, water[holding], guess)
                state.put(holding, wet)
                gained[holding] = after[holding] - water[holding]
            water = after
            self.steps.append(state)
            self.gained[:, step], self.held[:, step] = gained, water

    def _alone(self, month: Indices) -> _Months:
        state = _Months(len(self.lanes), self.held.shape[2])
        for index in np.unique(month):
            rows = np.flatnonzero(month == index)
            state.put(rows, self.years.alone[index].of(self.lanes[rows]))
        return state

    def year(self, row: int, ladder: Ladder) -> Year:
        lane, order, planes = int(self.lanes[row]), self.order[row].tolist(), len(ladder.planes)
        gained, held = self.gained[row, :, :planes].tolist(), self.held[row, :, :planes].tolist()

        def states() -> tuple[MonthState, ...]:
            warm, full = self.years.temperatures[lane], self.years.saturation[lane]
            return tuple(
                _state(month, warm[month], full[month], self.steps[step], row, gained[step], tuple(held[step]))
                for step, month in enumerate(order)
            )

        most = tuple(map(max, zip(*held, strict=True)))
        return Year(ladder.planes, tuple(order), tuple(map(math.fsum, gained)), tuple(map(math.fsum, held)), most,
                    states)  # fmt: skip


def _state(
    month: int, temperatures: Array, saturation: Array, found: _Months, row: int, gained: list[float],
    held: tuple[float, ...],
) -> MonthState:  # fmt: skip
    """One lane's month as `steady_month` gives it."""
    profiles = temperatures, found.pressures[row], saturation, found.at[row]
    warm, pressures, full, sd = (tuple(profile[: len(gained)].tolist()) for profile in profiles)
    flux = float(found.inflow[row]), float(found.outflow[row])
    return MonthState(month, warm, pressures, full, sd, tuple(gained), held, *flux)


def _saturation(temperatures: Array) -> Array:
    """Saturation pressure. The library's own exponential, as for a single temperature, not that of arrays. [Pa]"""
    warm = temperatures >= 0
    factor, offset = (np.where(warm, air.WATER[i], air.ICE[i]) for i in range(2))
    powers = (factor * temperatures / (offset + temperatures)).ravel().tolist()
    return air.TRIPLE * np.fromiter(map(math.exp, powers), float, temperatures.size).reshape(temperatures.shape)


def _steady(walls: _Walls, outside: _Air, wet: Flags | None, guess: Array) -> _Months:
    """One steady month of each lane with given wet planes, permeance following humidity."""
    found = _Months(*outside.saturation.shape)
    rows, sds = np.arange(len(guess)), guess
    for _ in range(ROUNDS):
        at = walls.places(sds)
        months = _string(at, outside, wet)
        found.put(rows, months)
        after = walls.follow(months.pressures, outside.saturation)
        moves = (walls.varying & (np.abs(after - sds) > SETTLED * sds)).any(axis=1)
        going = np.flatnonzero(moves)
        if not len(going):
            break
        rows, sds = rows[going], np.where(walls.varying, after, sds)[going]
        walls, outside = walls.of(going), outside.of(going)
        wet = None if wet is None else wet[going]
    return found


def _string(at: Array, outside: _Air, wet: Flags | None) -> _Months:
    """Pressure and rate of gain at each plane, and the flux through both faces, outward positive."""
    found = _Months(*at.shape)
    found.at[:] = at
    thick = at[:, -1]
    saturation = outside.saturation
    start, end = np.minimum(outside.exterior, saturation[:, 0]), np.minimum(outside.interior, saturation[:, -1])
    with np.errstate(divide="ignore", invalid="ignore"):
        slope = (end - start) / thick
        straight = start[:, None] + slope[:, None] * at
    open_air = thick <= 0  # nothing resists: outdoor air and room are one
    touches = ~(straight <= saturation).all(axis=1)
    if wet is not None:
        touches |= wet.any(axis=1)
    flux = AIR_PERMEABILITY * slope
    found.pressures[:] = np.where(open_air[:, None], np.minimum(outside.exterior[:, None], saturation), straight)
    found.inflow[:] = found.outflow[:] = np.where(open_air, 0.0, flux)
    rows = np.flatnonzero(touches & ~open_air)
    if len(rows):
        found.put(rows, _tight(at[rows], outside.of(rows), None if wet is None else wet[rows]))
    return found


class _Places:
    """Planes in one place taken together, planes first: shape (places, lanes). The coldest of them holds the water."""

    def __init__(self, at: Array, outside: _Air, wet: Flags | None) -> None:
        across, tops = np.ascontiguousarray(at.T), np.ascontiguousarray(outside.saturation.T)
        lanes, near = np.arange(len(at)), SAME_PLACE * at[:, -1]
        self.place, self.ceiling = np.zeros(across.shape), np.zeros(across.shape)
        self.owner, self.of_plane = np.zeros(across.shape, dtype=np.intp), np.zeros(across.shape, dtype=np.intp)
        last = np.zeros(len(at), dtype=np.intp)
        place, ceiling, owner = across[0], tops[0], last
        self.ceiling[0] = ceiling
        for plane in range(1, len(across)):
            apart = across[plane] - place > near
            last = last + apart
            colder = apart | (tops[plane] < ceiling)
            place = np.where(apart, across[plane], place)
            ceiling, owner = np.where(colder, tops[plane], ceiling), np.where(colder, plane, owner)
            self.place[last, lanes], self.ceiling[last, lanes], self.owner[last, lanes] = place, ceiling, owner
            self.of_plane[plane] = last
        self.last = last
        self._cut(int(last.max()) + 1)
        self.place[0], self.place[last, lanes] = 0.0, at[:, -1]
        self.ceiling[0] = np.minimum(outside.exterior, self.ceiling[0])
        self.ceiling[last, lanes] = np.minimum(outside.interior, self.ceiling[last, lanes])
        beyond = np.minimum(self.of_plane + 1, last)  # a plane belongs to the place that it is nearest to
        ahead = np.abs(_down(self.place, beyond) - across) <= np.abs(across - _down(self.place, self.of_plane))
        self.of_plane += ahead & (self.of_plane < last)
        self.until = self._next_held(wet, lanes)

    def _cut(self, count: int) -> None:
        self.place, self.ceiling, self.owner = self.place[:count], self.ceiling[:count], self.owner[:count]

    def _next_held(self, wet: Flags | None, lanes: Indices) -> Indices:
        """The next place that the string must pass through, after each; wet planes take their place's water."""
        until = np.empty(self.place.shape, dtype=np.intp)
        held = np.zeros(self.place.shape, dtype=bool)
        if wet is not None:
            for plane in np.flatnonzero(wet.any(axis=0)):
                of = np.flatnonzero(wet[:, plane])
                held[self.of_plane[plane, of], of] = True
                self.owner[self.of_plane[plane, of], of] = plane
        following = self.last
        for place in range(len(until) - 1, -1, -1):
            until[place] = following
            following = np.where(held[place] & (place < self.last), place, following)
        return until


def _tight(at: Array, outside: _Air, wet: Flags | None) -> _Months:
    """The string where it touches: from each knot on to the place to which the line falls most, up to a wet one."""
    places = _Places(at, outside, wet)
    place, ceiling, lanes = places.place, places.ceiling, np.arange(len(at))
    number = np.arange(len(place))[:, None]
    line, found = np.zeros(place.shape), _Months(*at.shape)
    found.at[:] = at
    knot, before = np.zeros(len(at), dtype=np.intp), np.zeros(len(at))
    going = lanes
    while len(going):
        here, top = place[knot, going], ceiling[knot, going]
        run = place[:, going] - here
        ahead = (number > knot) & (number <= places.until[knot, going])
        with np.errstate(divide="ignore", invalid="ignore"):
            slopes = np.where(ahead, (ceiling[:, going] - top) / run, np.inf)
        following = len(place) - 1 - np.argmin(slopes[::-1], axis=0)  # of places in one line the farthest
        slope = slopes[following, np.arange(len(going))]
        between = (number >= knot) & (number < following)
        line[:, going] = np.where(between, top + slope * run, line[:, going])
        inner = knot > 0
        found.rates[going[inner], places.owner[knot, going][inner]] = AIR_PERMEABILITY * (slope - before)[inner]
        found.outflow[going[~inner]] = AIR_PERMEABILITY * slope[~inner]
        done = following == places.last[going]
        found.inflow[going[done]] = AIR_PERMEABILITY * slope[done]
        going, knot, before = going[~done], following[~done], slope[~done]
    line[places.last, lanes] = ceiling[places.last, lanes]
    found.pressures[:] = _down(line, places.of_plane).T
    return found


def _wet(walls: _Walls, outside: _Air, held: Array, guess: Array) -> tuple[_Months, Array]:
    """One month of lanes that start with water, split wherever a plane runs dry; and the water at its end. [kg/m²]"""
    water, left = held.copy(), outside.seconds.copy()
    inflow, outflow = np.zeros(len(held)), np.zeros(len(held))
    whole = outside.seconds
    rows = np.arange(len(held))
    for event in range(MOST_EVENTS + 1):
        wet = water[rows] > DRY
        seconds = outside.seconds
        state = _steady(walls, outside, wet, guess)
        if event == 0:
            first = state
        rates = state.rates * seconds[:, None] / seconds[:, None]
        span = left[rows]
        if event < MOST_EVENTS:
            drying = wet & (rates < 0)
            with np.errstate(divide="ignore", invalid="ignore"):
                spans = np.where(drying, -water[rows] / rates, np.inf)
            span = np.minimum(span, spans.min(axis=1))
        water[rows] = _kept(water[rows] + rates * span[:, None])
        inflow[rows] += state.inflow * span
        outflow[rows] += state.outflow * span
        left[rows] -= span
        going = np.flatnonzero(~(left[rows] <= 1e-9 * seconds))
        if not len(going):
            break
        guess = walls.thicknesses(state.at)[going]
        rows, walls, outside = rows[going], walls.of(going), outside.of(going)
    first.inflow, first.outflow = inflow / whole, outflow / whole
    return first, water


def _kept(water: Array) -> Array:
    return np.where(water > DRY, water, 0.0)


def _taken(values: Array, columns: Indices) -> Array:
    return np.take_along_axis(values, columns, axis=1)


def _down(values: Array, rows: Indices) -> Array:
    return np.take_along_axis(values, rows, axis=0)
