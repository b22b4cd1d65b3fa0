"""The way to comply: a wall that falls short in, the smallest stock changes that meet a prescriptive path out.

Every way is the wall itself with its layers changed, put through the same heat calculation, energy code and rules as
any wall. Changes that a quick hand calculation rules out are not computed further; it never gives a higher U than the
judged one, so nothing that complies is lost. Left out: deeper or wider-spaced framing, other claddings, the fasteners
of a thicker build-up (a finding of the change says what they need), and trade-offs with the rest of the house.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from specgen import units
from specgen.checks.by_hand import hand_result
from specgen.checks.energy import energy_code
from specgen.checks.layers import Reading
from specgen.checks.practice import rule_findings
from specgen.checks.rules import Case
from specgen.checks.swaps import (
    Changed,
    Seat,
    board_seat,
    board_words,
    boards,
    denser_batts,
    is_outside,
    own_board,
    stock,
    with_board,
)
from specgen.checks.thermal import thermal_findings, thermal_result
from specgen.model.assessment import Assessment, ThermalResult
from specgen.model.finding import Finding, Severity
from specgen.model.material import Material
from specgen.model.site import Site
from specgen.model.wall import Wall
from specgen.model.ways import Swap, Ways, WayToComply

MOST_WAYS = 5  # shown
MOST_COMPUTED = 6  # in full, before the best are chosen
LONGER_FASTENER = "P52"  # cured by a longer fastener, so that it does not put a way behind others


@dataclass(frozen=True, slots=True)
class _Candidate:
    """A board, a batt or both, with the thicknesses that a hand calculation does not rule out, thinnest first."""

    options: tuple[tuple[Wall, tuple[Swap, ...]], ...]
    added: float  # of the thinnest [m]


def with_ways(assessment: Assessment, wall: Wall, site: Site, materials: Iterable[Material]) -> Assessment:
    """The assessment with the ways to comply, where no path is met; materials are asked for only then."""
    if assessment.energy_code.meets_prescriptive:
        return replace(assessment, ways=Ways(()))
    return replace(assessment, ways=find_ways(wall, site, tuple(materials)))


def ways_to_comply(wall: Wall, site: Site, materials: Iterable[Material] = ()) -> tuple[WayToComply, ...]:
    """The smallest changes that bring a wall to a prescriptive path; empty if it meets one, or if none was found."""
    return find_ways(wall, site, tuple(materials)).ways


def find_ways(wall: Wall, site: Site, materials: Sequence[Material]) -> Ways:
    """What was tried on a wall that falls short, and what of it meets a prescriptive path.

    Parameters
    ----------
    wall : Wall
        The wall; its own board is thickened before any other is tried.
    site : Site
        Gives zone and code.
    materials : sequence of Material
        Boards and batts that may be used: those of the library.

    Raises
    ------
    NotComputableError
        If the wall itself cannot be computed.
    """
    code, _ = energy_code(wall, site, thermal_result(wall))
    if code.meets_prescriptive:
        return Ways(())
    batts = tuple(denser_batts(wall, materials))
    seat = board_seat(wall)
    own = own_board(wall)
    tried: list[str] = []
    notes: list[str] = []
    if batts:
        tried.append("cavity insulation: " + "; ".join(batt.swap.after for batt in batts))
    else:
        notes.append(_no_batt(wall))
    candidates = _batt_candidates(wall, site, batts)
    if seat is None:
        notes.append("no layer inside can hold a board: one needs furring and a board over it, which is another wall")
    else:
        for choice in ((own,) if own else (), boards(materials, is_outside(wall, seat))):
            tried += [f"continuous insulation: {_sizes(board, seat, wall)}" for board in choice]
            candidates += [found for board in choice for found in _board_candidates(wall, site, seat, board, batts)]
            if candidates:
                break
    ways = _computed(wall, site, sorted(candidates, key=lambda c: (round(c.added, 6), len(c.options[0][1]))))
    return Ways(ways, tuple(dict.fromkeys(tried)), tuple(notes))


# --- candidates ------------------------------------------------------------------------------------------------------


def _batt_candidates(wall: Wall, site: Site, batts: Sequence[Changed]) -> list[_Candidate]:
    for batt in batts:  # least R first: the first that suffices is the smallest change
        if _may_meet(batt.wall, site):
            return [_Candidate(((batt.wall, (batt.swap,)),), batt.wall.thickness - wall.thickness)]
    return []


def _board_candidates(
    wall: Wall, site: Site, seat: Seat, board: Material, batts: Sequence[Changed]
) -> list[_Candidate]:
    """The board alone, and with the least batt that makes it thinner."""
    found: list[_Candidate] = []
    thinnest = float("inf")
    for base in (None, *batts):
        options = _thicknesses(wall if base is None else base.wall, site, seat, board, base)
        if options and options[0][0].thickness < thinnest - 1e-6:
            thinnest = options[0][0].thickness
            found.append(_Candidate(tuple(options), thinnest - wall.thickness))
    return found


def _thicknesses(
    wall: Wall, site: Site, seat: Seat, board: Material, batt: Changed | None
) -> list[tuple[Wall, tuple[Swap, ...]]]:
    now = wall.layers[seat.index].depth if seat.there else 0.0
    sizes = [size for size in stock(board, outside=is_outside(wall, seat)) if size[0] > now + 1e-6]
    changes = [with_board(wall, seat, board, thickness, sheets) for thickness, sheets in sizes]
    first = next((i for i, changed in enumerate(changes) if _may_meet(changed.wall, site)), len(changes))
    before = () if batt is None else (batt.swap,)
    return [(changed.wall, (*before, changed.swap)) for changed in changes[first:]]


def _may_meet(wall: Wall, site: Site) -> bool:
    """False if not even the hand calculation, which is never stricter than the judged U, meets a path."""
    return energy_code(wall, site, hand_result(wall))[0].meets_prescriptive


# --- judged in full --------------------------------------------------------------------------------------------------


def _computed(wall: Wall, site: Site, candidates: Sequence[_Candidate]) -> tuple[WayToComply, ...]:
    if not candidates:
        return ()
    now = _findings(wall, site, thermal_result(wall))
    ways: list[WayToComply] = []
    for candidate in candidates:
        way = next((way for option in candidate.options if (way := _way(wall, site, *option, now))), None)
        if way is not None:
            ways.append(way)
        if len(ways) == MOST_COMPUTED:
            break
    return tuple(sorted(ways, key=_rank)[:MOST_WAYS])


def _way(wall: Wall, site: Site, changed: Wall, swaps: tuple[Swap, ...], now: Sequence[Finding]) -> WayToComply | None:
    """The changed wall computed like any other; None if it falls short after all."""
    thermal = thermal_result(changed)
    code, _ = energy_code(changed, site, thermal)
    if not code.meets_prescriptive:
        return None
    then = _findings(changed, site, thermal)
    known = {(finding.code, finding.layer): finding.severity for finding in now}
    new = [f for f in then if f.severity > known.get((f.code, f.layer), Severity.NOTE - 1)]
    still = {finding.code for finding in then}
    return WayToComply(
        swaps=swaps,
        u_si=thermal.u_si,
        thickness=changed.thickness,
        added_thickness=changed.thickness - wall.thickness,
        met=tuple(path for path in code.paths if path.meets),
        new_findings=tuple(new),
        cured=tuple(sorted({finding.code for finding in now if finding.code not in still})),
    )


def _findings(wall: Wall, site: Site, thermal: ThermalResult) -> tuple[Finding, ...]:
    """What heat and rules say; the keeper's claims on zones are his and stay out."""
    found = (*thermal_findings(wall, thermal, site), *rule_findings(Case(Reading(wall), site, thermal)))
    return tuple(finding for finding in found if not finding.code.startswith("L"))


def _rank(way: WayToComply) -> tuple[bool, float, int, float]:
    """Ways that bring an error of their own come last; then by added thickness, fewest changes, least U."""
    harms = any(f.severity is Severity.ERROR and f.code != LONGER_FASTENER for f in way.new_findings)
    return harms, round(way.added_thickness, 6), len(way.swaps), way.u_si


def _sizes(board: Material, seat: Seat, wall: Wall) -> str:
    now = wall.layers[seat.index].depth if seat.there else 0.0
    sizes = [size for size in stock(board, outside=is_outside(wall, seat)) if size[0] > now + 1e-6]
    if not sizes:
        return f"{board.label}, not sold thicker than {units.format_inches(now)} in"
    if len(sizes) == 1:
        return board_words(board, *sizes[0])
    return f"{board.label}, {units.format_inches(sizes[0][0])} in to {units.format_inches(sizes[-1][0])} in"


def _no_batt(wall: Wall) -> str:
    if not any(layer.framing is not None and layer.fill is not None for layer in wall.layers):
        return "no insulation between members that could be made denser"
    return "no denser batt of this depth among the materials"
