"""What the two limits of a repeating unit are made of: the wall's crossing in, shares and resistances to add up out.

A plan reviewer redoes both limits from these numbers. Columns of a cut that meet the same materials are one path; rows
that do are one place. Conduction between them is what `conduction.py` adds.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import groupby, pairwise

from specgen.checks.heat_paths import Crossing
from specgen.checks.plan_unit import plan_unit
from specgen.physics.conduction import Section, conductivity_at, edges

Part = tuple[float, float]  # share [-] and resistance [m²·K/W]


@dataclass(frozen=True, slots=True)
class CutTerms:
    """One cut: its paths side by side, and its places one behind the other."""

    name: str
    share: float  # of the wall area [-]
    paths: tuple[Part, ...]  # films included, shares sum to 1
    plain: float  # resistance of the films and of all places that are alike along the wall [m²·K/W]
    mixed: tuple[tuple[Part, ...], ...]  # of every other place, shares sum to 1


@dataclass(frozen=True, slots=True)
class UnitTerms:
    """All cuts of the unit, with its members and with the cavity carried on in their place."""

    cuts: tuple[CutTerms, ...]
    clear: tuple[CutTerms, ...]
    interior_film: float  # [m²·K/W]


def unit_terms(way: Crossing) -> UnitTerms | None:
    """Shares and resistances of the unit that conduction in two dimensions solves, or None where there is none.

    Raises
    ------
    NotComputableError
        If a value is missing for which nothing may be assumed.
    """
    unit = plan_unit(way)
    if unit is None:
        return None
    films = unit.exterior_film + unit.interior_film
    cuts = tuple(_terms(cut.name, cut.share, cut.section, films) for cut in unit.cuts)
    clear = tuple(_terms(cut.name, cut.share, cut.clear, films) for cut in unit.cuts)
    return UnitTerms(cuts, clear, unit.interior_film)


def _terms(name: str, share: float, section: Section, films: float) -> CutTerms:
    columns, rows = (list(pairwise(places)) for places in edges(section))
    fields = [tuple(conductivity_at(section, (x0 + x1) / 2, (y0 + y1) / 2) for y0, y1 in rows) for x0, x1 in columns]
    shares = [(x1 - x0) / section.width for x0, x1 in columns]
    depths = [y1 - y0 for y0, y1 in rows]
    paths: dict[tuple[float, ...], float] = {}
    for field, part in zip(fields, shares, strict=True):
        paths[field] = paths.get(field, 0.0) + part
    plain, mixed = films, []
    places = [(depth, tuple(field[row] for field in fields)) for row, depth in enumerate(depths)]
    for across, same in groupby(places, key=lambda place: place[1]):
        depth = math.fsum(place[0] for place in same)
        if len(set(across)) == 1:
            plain += depth / across[0]
            continue
        found: dict[float, float] = {}
        for conductivity, part in zip(across, shares, strict=True):
            found[conductivity] = found.get(conductivity, 0.0) + part
        mixed.append(tuple((part, depth / conductivity) for conductivity, part in found.items()))
    along = tuple(
        (part, films + math.fsum(depth / k for depth, k in zip(depths, field, strict=True)))
        for field, part in paths.items()
    )
    return CutTerms(name, share, along, plain, tuple(mixed))
