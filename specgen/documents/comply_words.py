"""Ranges and ways to comply, in words: what changes, what comes of it, which path it meets, what it adds.

The same sentences serve the terminal and the calculation record; every number is a field of the assessment.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from specgen import units
from specgen.model.assessment import Assessment, CodePath
from specgen.model.finding import Severity
from specgen.model.ways import Ways, WayToComply

_NUMBER = re.compile(r"\d+(?:[- ]\d+/\d+|/\d+|\.\d+)?")


def band_sentence(assessment: Assessment) -> str:
    """`R-14.4 to R-17.4, U-0.058 to U-0.069 over the ranges of its inputs; most from ...`; empty without ranges."""
    band = assessment.band
    if band is None or band.deciding is None:
        return ""
    most = band.deciding
    return (
        f"R-{1 / band.u_high_si / units.R_IP:.1f} to R-{1 / band.u_low_si / units.R_IP:.1f}, "
        f"U-{band.u_low_si / units.U_IP:.3f} to U-{band.u_high_si / units.U_IP:.3f} over the ranges of its inputs; "
        f"most from {most.name}, {most.low} to {most.high}"
    )


def ways_heading(assessment: Assessment) -> str:
    """What the list says, or why there is none; empty where nobody looked."""
    ways = assessment.ways
    if ways is None or assessment.energy_code.meets_prescriptive:
        return ""
    if not ways.ways:
        return f"ways to meet a prescriptive path: none of the stock changes meets it; tried: {tried(ways)}"
    return "ways to meet a prescriptive path, each computed as a wall of its own, least added thickness first:"


def tried(ways: Ways) -> str:
    """What was tried, and what could not be, in one sentence of the terminal."""
    return "; ".join(tried_parts(ways)) or "nothing, since no layer can be changed"


def tried_parts(ways: Ways) -> list[str]:
    """What was tried, each kind of change named once, then what could not be tried and why."""
    kinds: dict[str, list[str]] = {}
    for each in ways.tried:
        kind, _, what = each.partition(": ")
        kinds.setdefault(kind, []).append(what)
    return [*(f"{kind}: {'; '.join(found)}" for kind, found in kinds.items()), *ways.notes]


def change(way: WayToComply) -> str:
    """The swaps: `new layer: 1 in XPS board, outside of wrb`."""
    return "; and ".join(swap.words for swap in way.swaps)


def outcome(way: WayToComply) -> str:
    """R, U, thickness and what is met, margins beside."""
    added = way.added_thickness
    same = abs(added) < units.INCH / 64
    more = "unchanged" if same else f"{units.format_inches(abs(added))} in {'more' if added > 0 else 'less'}"
    return (
        f"R-{way.r_si / units.R_IP:.1f}, U-{way.u_si / units.U_IP:.3f}; wall {units.format_inches(way.thickness)} in "
        f"thick, {more}; meets {', '.join(met(path) for path in way.met)}"
    )


def smallest_way(way: WayToComply) -> str:
    """For a set that is refused: the least change that would meet a path; its record lists the others."""
    return f"the smallest change that meets a prescriptive path: {change(way)}; {outcome(way)}"


def met(path: CodePath) -> str:
    """One alternative with its margin: `20&5ci (R path, margin +0.0)`."""
    digits = 3 if path.path == "u" else 1
    margin = f"{0.0 if abs(path.margin) < 0.5 * 10**-digits else path.margin:+.{digits}f}"
    unsure = "" if path.status == "confirmed" else "; limit unverified"
    return f"{path.label} ({path.path.upper()} path, margin {margin}{unsure})"


@dataclass(frozen=True, slots=True)
class Brought:
    """A finding that ways bring, said once: where only its numbers differ from way to way, all of them in its place."""

    code: str
    severity: Severity
    layer: str  # id, empty for the wall
    ways: tuple[int, ...]  # counted from 1
    message: str


def brought(ways: Sequence[WayToComply]) -> tuple[Brought, ...]:
    """What the ways bring, errors first; a sentence of other words stands by itself.

    Parameters
    ----------
    ways : sequence of WayToComply
        In the order in which they are counted.
    """
    found: dict[tuple[Severity, str, str, str], list[tuple[int, str]]] = {}
    for number, way in enumerate(ways, start=1):
        for finding in way.new_findings:
            words = _NUMBER.sub("#", finding.message)
            key = (finding.severity, finding.code, finding.layer or "", words)
            found.setdefault(key, []).append((number, finding.message))
    order = sorted(found, key=lambda key: (-key[0], key[1], key[2], found[key][0][0]))
    return tuple(
        Brought(key[1], key[0], key[2], tuple(number for number, _ in found[key]), _merged([m for _, m in found[key]]))
        for key in order
    )


def _merged(messages: Sequence[str]) -> str:
    """`crosses 2-1/16 / 2-5/16 in`: numbers that differ, in the order in which the ways first bring them."""
    numbers = [_NUMBER.findall(message) for message in dict.fromkeys(messages)]
    places = iter(zip(*numbers, strict=True))
    return _NUMBER.sub(lambda _: " / ".join(dict.fromkeys(next(places))), messages[0])


def consequences(way: WayToComply) -> list[str]:
    """What the change brings: a sentence for each error and warning, notes by their codes; and what it takes away."""
    lines = []
    for finding in way.new_findings:
        if finding.severity is not Severity.NOTE:
            where = f" [{finding.layer}]" if finding.layer else ""
            lines.append(f"adds {finding.severity.word} {finding.code}{where}: {finding.message}")
    notes = sorted({finding.code for finding in way.new_findings if finding.severity is Severity.NOTE})
    if notes:
        lines.append(f"adds {'note' if len(notes) == 1 else 'notes'} {', '.join(notes)}")
    if way.cured:
        lines.append(f"takes away {', '.join(way.cured)}")
    return lines
