"""Where each wettable layer dries to, and what traps it: from permeances to each side, diffusion only.

A layer dries to a side if what lies between lets 1 perm or more through, wet cup where known, since what dries is
wet. A space that is open at bottom and top counts as outdoors; one that only drains does not.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from specgen import units
from specgen.checks.layers import Reading, VaporPlane, drained_gap, name_of, wettable, wettable_name
from specgen.checks.retarders import class_two_row_met
from specgen.checks.rules import ERROR, WARNING, Case, Rule, perms
from specgen.model.finding import Finding

LEAST = 1 * units.PERM  # to call it drying: common practice
PREFERRED = 3 * units.PERM  # common practice
OPEN_BARRIER = 10 * units.PERM  # a water-resistive barrier above this passes what the sun drives in
VERY_OPEN_BARRIER = 20 * units.PERM  # common practice
OPEN_INTERIOR = 5 * units.PERM  # an interior side that lets inward-driven vapor through: common practice
VERY_OPEN_INTERIOR = 10 * units.PERM


@dataclass(frozen=True, slots=True)
class Drying:
    """What lies between one wettable layer and each side."""

    index: int
    exterior: float  # [kg/(m²·s·Pa)], infinite if nothing is in the way
    interior: float  # [kg/(m²·s·Pa)]
    exterior_closed_by: int | None = None  # the tightest layer on that side, None if nothing is in the way
    interior_closed_by: int | None = None

    @property
    def dries_to(self) -> str:
        outward, inward = self.exterior >= LEAST, self.interior >= LEAST
        return {(True, True): "both", (True, False): "exterior", (False, True): "interior"}.get(
            (outward, inward), "neither"
        )


def drying_of(reading: Reading, index: int) -> Drying:
    """Drying of one layer by its index."""
    outward = [p for p in reading.planes if reading.ventilated < p.index < index]
    inward = [p for p in reading.planes if p.index > index or (p.index == index and p.facing)]
    return Drying(
        index,
        reading.permeance_to_exterior(index),
        reading.permeance_to_interior(index),
        _tightest(outward),
        _tightest(inward),
    )


def _tightest(planes: list[VaporPlane]) -> int | None:
    """Index of the layer that closes a side, by the wet cup; None if nothing there has a known resistance."""
    resisting = [plane for plane in planes if plane.known and not math.isinf(plane.wet)]
    return min(resisting, key=lambda plane: plane.wet).index if resisting else None


def vapor_plane(reading: Reading) -> int | None:
    """The one layer meant to hold vapor back: the one named for it, else the tightest inside of the outdoor air.

    Returns
    -------
    index : int or None
        None if no layer has a known resistance.
    """
    named = reading.controls("vapor")
    if named:
        return named[0]
    return _tightest([plane for plane in reading.planes if plane.index > reading.ventilated])


def drying_of_wall(reading: Reading) -> tuple[Drying, ...]:
    """Drying of each wettable layer from the sheathing to the structure; the masonry itself in a mass wall."""
    indices = [i for i in reading.wettable_layers if i < reading.body.stop]
    if not indices or not reading.framed:
        indices = sorted({*indices, reading.structure})
    return tuple(drying_of(reading, i) for i in indices)


def governing(dryings: tuple[Drying, ...]) -> Drying:
    """The layer with the fewest ways out; of those, the one with the tightest best way."""
    ways = {"neither": 0, "exterior": 1, "interior": 1, "both": 2}
    return min(dryings, key=lambda d: (ways[d.dries_to], max(d.exterior, d.interior)))


def check_trap(case: Case) -> Iterator[Finding]:
    """M04: two layers under 1 perm, dry and wet cup, with a moisture-sensitive layer between them."""
    reading = case.reading
    closed = [p for p in reading.planes if p.known and p.closed and p.index > reading.ventilated]
    for outer, inner in pairwise(closed):
        between = [i for i in _between(outer, inner) if wettable(reading.layers[i])]
        if not between:
            continue
        met = reading.framed and inner.retarder_class == "II" and class_two_row_met(case)
        names = ", ".join(wettable_name(reading.layers[i]) for i in between)
        message = (
            f"{name_of(reading.layers[outer.index])} ({perms(outer.dry)}) and {name_of(reading.layers[inner.index])} "
            f"({perms(inner.dry)}) are both under 1 perm, dry and wet cup, with {names} between"
            f"{'; the exterior R of the class II table is met' if met else ''}; open one of the two."
        )
        yield case.finding("M04", WARNING if met else ERROR, message, between[0])


def _between(outer: VaporPlane, inner: VaporPlane) -> range:
    # members and batt stand outboard of the batt's own facing, so that layer is between too
    return range(outer.index + 1, inner.index + (1 if inner.facing else 0))


def check_drying(case: Case) -> Iterator[Finding]:
    """M08: every moisture-sensitive layer dries to at least one side."""
    for index in case.reading.wettable_layers:
        drying = drying_of(case.reading, index)
        best = max(drying.exterior, drying.interior)
        if best >= PREFERRED or math.isinf(best):
            continue
        limit = "1 perm is the least" if best < LEAST else "3 perm is better"
        message = (
            f"{wettable_name(case.reading.layers[index])} dries outward through {perms(drying.exterior)} and "
            f"inward through {perms(drying.interior)} (wet cup where known); {limit} to one side."
        )
        yield case.finding("M08", ERROR if best < LEAST else WARNING, message, index)


def _stores_rain(case: Case) -> bool:
    return case.reading.framed and bool(case.reading.reservoir)


def _open_barrier(case: Case) -> VaporPlane | None:
    """The tightest water-control layer behind a reservoir cladding, if no drained space stands before it."""
    reading = case.reading
    behind = range(reading.reservoir[-1] + 1, reading.body.start)
    barriers = reading.water_layers(behind)
    if not barriers or any(drained_gap(reading.layers[i]) for i in range(behind.start, barriers[-1])):
        return None
    planes = [p for p in reading.planes if p.known and behind.start <= p.index <= barriers[-1]]
    return min(planes, key=lambda p: p.dry, default=None)


def _interior(case: Case) -> float:
    return case.reading.permeance_to_interior(case.reading.body.stop - 1)


def check_inward_drive(case: Case) -> Iterator[Finding]:
    """M09: rain-storing cladding on an open barrier without a gap, and a closed interior, in moist zones."""
    plane = _open_barrier(case)
    if plane is None or plane.dry <= OPEN_BARRIER or _interior(case) >= OPEN_INTERIOR:
        return
    message = (
        f"{name_of(case.reading.layers[plane.index])} is {perms(plane.dry)} behind a cladding that stores rain, "
        f"without a drained space, and the interior side is {perms(_interior(case))}; sun drives the stored water "
        f"inward, so give the cladding a gap or open the interior to 5 perm or more."
    )
    yield case.finding("M09", ERROR, message, plane.index)


def check_very_open_barrier(case: Case) -> Iterator[Finding]:
    """M12: a very open barrier behind rain-storing cladding without a ventilated space."""
    plane = _open_barrier(case)
    if plane is None or plane.dry <= VERY_OPEN_BARRIER or _interior(case) >= VERY_OPEN_INTERIOR:
        return
    if plane.dry > OPEN_BARRIER and _interior(case) < OPEN_INTERIOR and case.site.zone <= 5:
        return  # M09 says it with more weight
    message = (
        f"{name_of(case.reading.layers[plane.index])} is {perms(plane.dry)} behind a cladding that stores rain; about "
        f"10 perm is enough there while the interior side is {perms(_interior(case))}."
    )
    yield case.finding("M12", WARNING, message, plane.index)


def check_one_vapor_plane(case: Case) -> Iterator[Finding]:
    """M52: one layer is meant to hold vapor back, not two with something between that could stay wet."""
    named = case.reading.controls("vapor")
    for outer, inner in pairwise(named):
        if any(wettable(case.reading.layers[i]) for i in range(outer + 1, inner)):
            layers = case.reading.layers
            message = (
                f"{name_of(layers[outer])} and {name_of(layers[inner])} are both named for vapor control with a "
                f"moisture-sensitive layer between; name the one that is meant to hold vapor back."
            )
            yield case.finding("M52", WARNING, message, inner)


def check_missing_permeance(case: Case) -> Iterator[Finding]:
    """M10: a layer whose permeance nobody gave; the answers above leave it out."""
    for plane in case.reading.planes:
        if not plane.known and plane.index > case.reading.ventilated:
            name = name_of(case.reading.layers[plane.index])
            message = (
                f"{name} has no permeance, so drying and retarder class are judged without it; enter its tested value."
            )
            yield case.finding("M10", WARNING, message, plane.index)


def _moist(case: Case, last_zone: int) -> bool:
    return case.site.regime == "A" and case.site.zone <= last_zone


RULES = (
    Rule("M04", check_trap),
    Rule("M08", check_drying),
    Rule("M09", check_inward_drive, lambda case: _stores_rain(case) and _moist(case, 5)),
    Rule("M12", check_very_open_barrier, lambda case: _stores_rain(case) and _moist(case, 4)),
    Rule("M10", check_missing_permeance),
    Rule("M52", check_one_vapor_plane),
)
