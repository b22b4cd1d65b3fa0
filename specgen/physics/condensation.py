"""The monthly method of ISO 13788: where vapor that diffuses through a wall condenses, how much, and when it dries.

Elements run from exterior to interior between two surface films. Here is one steady month; `condensation_year.py` puts
twelve of them in a row. A plane that holds water stays at saturation. Left out, as the method leaves it out: stored
moisture, liquid flow, air movement, sun and rain. Permeance may lie between a dry and a wet cup by the humidity that
the element stands in.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise
from operator import le

from specgen.physics.air import saturation_pressure, saturation_temperature

AIR_PERMEABILITY = 2.0e-10  # of still air, ISO 13788 [kg/(m·s·Pa)]
MOST_RESISTANCE = 0.25  # of one part, ISO 13788: a layer that resists more is cut into equal parts [m²·K/W]
DRY_BELOW, WET_ABOVE = 0.50, 0.85  # humidity up to which the dry cup holds, from which the wet one (common practice)
ROUNDS, SETTLED = 20, 1e-3  # of permeance against humidity; share of change that ends them [-]


@dataclass(frozen=True, slots=True)
class Element:
    """One homogeneous resistance to heat and vapor; `mark` is the caller's own and comes back with each plane."""

    resistance: float  # >= 0 [m²·K/W]
    sd_dry: float  # equivalent air thickness in the dry cup, >= 0, finite [m]
    sd_wet: float  # in the wet cup, the same as dry where none is known [m]
    mark: int = 0
    last: int | None = None  # mark of the innermost part, where several were joined

    @property
    def innermost(self) -> int:
        return self.mark if self.last is None else self.last


@dataclass(frozen=True, slots=True)
class Month:
    """Air on both sides over one month."""

    exterior: float  # temperature [°C]
    exterior_pressure: float  # of vapor [Pa]
    interior: float  # temperature [°C]
    interior_pressure: float  # of vapor [Pa]
    seconds: float


@dataclass(frozen=True, slots=True)
class Plane:
    """A place where water can gather, between the parts of two marks or within one."""

    outer: int  # -1: the outdoor air
    inner: int  # -1: the room
    within: float | None = None  # share of the joined element that lies outside of the plane, None at a boundary


@dataclass(frozen=True, slots=True)
class MonthState:
    """One month of the run."""

    month: int  # index into the months given
    temperatures: tuple[float, ...]  # at each plane [°C]
    pressures: tuple[float, ...]  # of vapor, at each plane [Pa]
    saturation: tuple[float, ...]  # [Pa]
    sd: tuple[float, ...]  # from the exterior to each plane [m]
    gained: tuple[float, ...]  # by each plane over the month, negative where it dries [kg/m²]
    held: tuple[float, ...]  # at the end of the month [kg/m²]
    inflow: float  # flux from the interior into the wall, negative if inward [kg/(m²·s)]
    outflow: float  # flux from the wall to the exterior, negative if inward [kg/(m²·s)]


@dataclass(frozen=True, slots=True)
class Cups:
    """Between the dry and the wet cup of an element: straight in permeance, or in air thickness where one is open."""

    dry: float  # 1 / s_d [1/m], or s_d itself [m]
    change: float  # from dry to wet
    inverse: bool

    @classmethod
    def of(cls, element: Element) -> Cups:
        dry, wet = (1 / sd if sd > 0 else math.inf for sd in (element.sd_dry, element.sd_wet))
        if math.isinf(dry) or math.isinf(wet):
            return cls(element.sd_dry, element.sd_wet - element.sd_dry, inverse=False)
        return cls(dry, wet - dry, inverse=True)

    def sd(self, humidity: float) -> float:
        """Equivalent air thickness of an element at the mean humidity of its faces.

        Parameters
        ----------
        humidity : float
            Relative. [-]

        Returns
        -------
        sd : float
            [m]

        Source
        ------
        Common practice: dry cup up to 50 %, wet cup from 85 %, permeance linear between.
        """
        if humidity <= DRY_BELOW:
            value = self.dry
        elif humidity >= WET_ABOVE:
            value = self.dry + self.change
        else:
            value = self.dry + self.change * ((humidity - DRY_BELOW) / (WET_ABOVE - DRY_BELOW))
        return 1 / value if self.inverse else value


class Ladder:
    """The planes of a wall: elements joined where they are one material, cut where they resist much heat."""

    def __init__(self, elements: Iterable[Element], exterior_film: float, interior_film: float) -> None:
        self.elements = _joined(elements)
        if not self.elements:
            raise ValueError("no element between the films; expected at least one")
        self.cuts = [max(1, math.ceil(e.resistance / MOST_RESISTANCE - 1e-9)) for e in self.elements]
        warm = [exterior_film]
        planes = [Plane(-1, self.elements[0].mark)]
        for place, (element, cuts) in enumerate(zip(self.elements, self.cuts, strict=True)):
            for cut in range(1, cuts + 1):
                warm.append(warm[-1] + element.resistance / cuts)
                if cut < cuts:
                    planes.append(Plane(element.mark, element.innermost, cut / cuts))
                else:
                    beyond = self.elements[place + 1].mark if place + 1 < len(self.elements) else -1
                    planes.append(Plane(element.innermost, beyond))
        self.planes = tuple(planes)
        self.varying = [i for i, e in enumerate(self.elements) if e.sd_dry != e.sd_wet]
        self.faces = [0, *accumulate(self.cuts)]  # index of the plane at each face of an element
        self._between = [self._cups(i) for i in self.varying]
        total = warm[-1] + interior_film
        self.shares = tuple(r / total for r in warm)  # of the temperature drop, exterior to each plane

    def temperatures(self, exterior: float, interior: float) -> list[float]:
        return [exterior + (interior - exterior) * share for share in self.shares]

    def places(self, sds: Sequence[float]) -> list[float]:
        """Where each plane stands on the axis of air thickness, from the exterior."""
        found = [start := 0.0]
        for sd, cuts in zip(sds, self.cuts, strict=True):
            if cuts > 1:
                found += [start + sd * cut / cuts for cut in range(1, cuts)]
            start += sd * cuts / cuts
            found.append(start)
        return found

    def _cups(self, place: int) -> tuple[int, int, int, Cups]:
        """Of an element that varies: its place, the planes at its faces, and what lies between its cups."""
        return place, self.faces[place], self.faces[place + 1], Cups.of(self.elements[place])

    def follow(self, sds: Sequence[float], pressures: Sequence[float], saturation: Sequence[float]) -> list[float]:
        """Air thickness of each element at the mean humidity of its two faces."""
        found = list(sds)
        for i, outer, inner, cups in self._between:
            found[i] = cups.sd((pressures[outer] / saturation[outer] + pressures[inner] / saturation[inner]) / 2)
        return found


def _joined(elements: Iterable[Element]) -> list[Element]:
    """Neighbors of one material are one element, so that cutting a layer in two changes nothing."""
    joined: list[Element] = []
    for element in elements:
        before = joined[-1] if joined else None
        if before is not None and _same_material(before, element):
            joined[-1] = Element(
                before.resistance + element.resistance,
                before.sd_dry + element.sd_dry,
                before.sd_wet + element.sd_wet,
                before.mark,
                element.innermost,
            )
        else:
            joined.append(element)
    return joined


def _same_material(a: Element, b: Element) -> bool:
    close = 1e-9
    return math.isclose(a.resistance * b.sd_dry, b.resistance * a.sd_dry, rel_tol=close) and math.isclose(
        a.sd_dry * b.sd_wet, b.sd_dry * a.sd_wet, rel_tol=close
    )


def tightest_string(places: Sequence[float], ceiling: Sequence[float], fixed: Iterable[int] = ()) -> list[int]:
    """Where a string touches that is drawn from end to end and passes nowhere above a ceiling.

    Parameters
    ----------
    places : sequence of float, shape (n,)
        Ascending, all different. [m]
    ceiling : sequence of float, shape (n,)
        Saturation pressures, at the ends the pressures of the air. [Pa]
    fixed : iterable of int
        Wet places: the string passes through their ceiling.

    Returns
    -------
    knots : list of int
        Indices into `places`, both ends among them.

    Source
    ------
    ISO 13788:2012: the pressure line redrawn so that it touches saturation but does not exceed it (from memory).
    """
    held = set(fixed)
    knots: list[int] = []
    for point, (place, top) in enumerate(zip(places, ceiling, strict=True)):
        while len(knots) >= 2 and knots[-1] not in held:
            a, b = knots[-2], knots[-1]
            start, at = ceiling[a], places[a]
            slope = (top - start) / (place - at)
            if ceiling[b] < start + slope * (places[b] - at):
                break
            knots.pop()
        knots.append(point)
    return knots


def steady_month(
    ladder: Ladder, month: Month, wet: frozenset[int] = frozenset(), guess: Sequence[float] | None = None
) -> MonthState:
    """One steady month with given wet planes; `held` is what it gains, not below 0.

    Parameters
    ----------
    ladder : Ladder
        The wall.
    month : Month
        Air on both sides.
    wet : frozenset of int
        Indices of planes that hold water at the start.
    guess : sequence of float, optional
        Air thickness of each element to start from; dry cups without it. [m]

    Returns
    -------
    state : MonthState
        Its month index is 0.

    Source
    ------
    ISO 13788:2012: g = delta0 [(p_a - p_k) / (s_k - s_a) - (p_k - p_b) / (s_b - s_k)] (from memory).
    """
    temperatures = ladder.temperatures(month.exterior, month.interior)
    saturation = [saturation_pressure(t) for t in temperatures]
    sds = list(guess) if guess else [element.sd_dry for element in ladder.elements]
    for _ in range(ROUNDS):
        at = ladder.places(sds)
        pressures, gained, inflow, outflow = _string(at, saturation, month, wet)
        if not ladder.varying:
            break
        after = ladder.follow(sds, pressures, saturation)
        if all(abs(after[i] - sds[i]) <= SETTLED * sds[i] for i in ladder.varying):
            break
        sds = after
    gains = held = tuple(gained)
    if any(gained):
        gains = tuple(rate * month.seconds for rate in gained)
        held = tuple(max(0.0, gain) for gain in gains)
    return MonthState(
        0,
        tuple(temperatures),
        tuple(pressures),
        tuple(saturation),
        tuple(at),
        gains,
        held,
        inflow,
        outflow,
    )


def _string(
    at: list[float], saturation: list[float], month: Month, wet: frozenset[int]
) -> tuple[list[float], list[float], float, float]:
    """Pressure and rate of gain at each plane, and the flux through both faces, outward positive."""
    if at[-1] <= 0:  # nothing resists: outdoor air and room are one
        return [min(month.exterior_pressure, s) for s in saturation], [0.0] * len(at), 0.0, 0.0
    if not wet:
        start, end = min(month.exterior_pressure, saturation[0]), min(month.interior_pressure, saturation[-1])
        slope = (end - start) / at[-1]
        straight = [start + slope * place for place in at]
        if all(map(le, straight, saturation)):
            return straight, [0.0] * len(at), AIR_PERMEABILITY * slope, AIR_PERMEABILITY * slope
    places: list[float] = []
    ceiling: list[float] = []
    owner: list[int] = []  # the plane that water gathers on: of those in one place, the coldest
    index_of: list[int] = []
    apart = False  # some planes of one place are not quite in one
    near = 1e-12 * at[-1]
    for plane, (place, top) in enumerate(zip(at, saturation, strict=True)):
        if places and place - places[-1] <= near:
            apart = apart or place != places[-1]
            if top < ceiling[-1]:
                ceiling[-1], owner[-1] = top, plane
        else:
            places.append(place)
            ceiling.append(top)
            owner.append(plane)
        index_of.append(len(places) - 1)
    places[0], places[-1] = 0.0, at[-1]
    ceiling[0] = min(month.exterior_pressure, ceiling[0])
    ceiling[-1] = min(month.interior_pressure, ceiling[-1])
    if apart:
        index_of = _index_of(at, places)
    fixed = {index_of[plane] for plane in wet} - {0, len(places) - 1}
    knots = tightest_string(places, ceiling, fixed)
    slopes = [(ceiling[b] - ceiling[a]) / (places[b] - places[a]) for a, b in pairwise(knots)]
    line = _drawn(places, ceiling, knots, slopes)
    gained = [0.0] * len(at)
    holder = {index_of[plane]: plane for plane in wet}
    for knot, before, after in zip(knots[1:], slopes, slopes[1:], strict=False):
        gained[holder.get(knot, owner[knot])] = AIR_PERMEABILITY * (after - before)
    return (
        [line[index] for index in index_of],
        gained,
        AIR_PERMEABILITY * slopes[-1],
        AIR_PERMEABILITY * slopes[0],
    )


def _index_of(at: list[float], places: list[float]) -> list[int]:
    found, index = [], 0
    for place in at:
        while index + 1 < len(places) and abs(places[index + 1] - place) <= abs(place - places[index]):
            index += 1
        found.append(index)
    return found


def _drawn(places: list[float], ceiling: list[float], knots: list[int], slopes: list[float]) -> list[float]:
    line = [0.0] * len(places)
    for (a, b), slope in zip(pairwise(knots), slopes, strict=True):
        for index in range(a, b):
            line[index] = ceiling[a] + slope * (places[index] - places[a])
    line[knots[-1]] = ceiling[knots[-1]]
    return line


def needed_factor(month: Month, humidity: float = 0.80) -> float | None:
    """f_Rsi that an element needs so that its interior surface stays below a relative humidity.

    Parameters
    ----------
    month : Month
        Air on both sides.
    humidity : float
        Highest at the surface, mold criterion 0.80. [-]

    Returns
    -------
    factor : float or None
        Below 0 if any surface will do; None where inside is no warmer than outside. [-]

    Source
    ------
    ISO 13788:2012, critical surface humidity (factor 0.80 read in a public transcription).
    """
    if month.interior - month.exterior < 1.0:
        return None
    surface = saturation_temperature(month.interior_pressure / humidity)
    return (surface - month.exterior) / (month.interior - month.exterior)
