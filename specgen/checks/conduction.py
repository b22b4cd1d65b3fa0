"""Conduction in two dimensions through the repeating unit of a wall, and what it corrects: wall in, `Conduction` out.

The unit stands for the clear wall only. Whole-wall U keeps the framing fraction that the wall declares: the solution
corrects the path through the members, and nothing else.
"""

from __future__ import annotations

import math
from functools import cache as cache_of_calls
from itertools import pairwise
from typing import Any

from specgen import cache
from specgen.checks.heat_paths import Crossing
from specgen.checks.plan_unit import Cut, PlanUnit, plan_unit
from specgen.errors import NotComputableError
from specgen.model.assessment import Conduction, UnitPlane
from specgen.physics import conduction as physics
from specgen.physics.conduction import Section, Side

KIND = "conduction"
ROUNDING = 1e-9  # by which a solution may pass a limit that it must keep [-]
VALID_RATIO = 1.5  # of the limits of R, beyond which their mean means nothing; ISO 6946, from memory [-]


def conduction(way: Crossing) -> Conduction | None:
    """What two-dimensional conduction makes of the wall, or None where a layer has no R to stand in it.

    Raises
    ------
    NotComputableError
        If the solution does not converge, does not balance, or leaves the limits that it must keep.

    Source
    ------
    ISO 10211, detailed calculation, solved by finite elements.
    """
    unit = plan_unit(way)
    if unit is None:
        return None
    key = cache.content_key(_method(), _content(unit))
    found = cache.remembered(KIND, key, lambda: _solved(unit))
    u_unit, u_clear = found["u"], found["u_clear"]
    wall = u_clear + unit.multiple * (u_unit - u_clear)
    bridge = u_clear + (u_unit - u_clear) / unit.bridged if unit.bridged > 0 else u_clear
    return Conduction(
        modeled=unit.words,
        u_unit_si=u_unit,
        u_parallel_si=found["parallel"],
        u_planes_si=found["planes"],
        u_clear_si=u_clear,
        u_bridge_si=bridge,
        u_wall_si=wall,
        unit_share=unit.bridged,
        declared_share=unit.declared,
        mesh_change=found["mesh_change"],
        imbalance=found["imbalance"],
        cells=found["cells"],
        metal=unit.metal,
        f_rsi=found["coldest"],
        f_rsi_clear=1 - unit.interior_film * u_clear,
        limits_agree=found["planes"] <= VALID_RATIO * found["parallel"],
        bridge_planes=tuple(UnitPlane(*plane) for plane in found["bridge_planes"]),
        u_cuts_si=tuple((name, share, u) for name, share, u in found["cuts"]),
        u_clear_cuts_si=tuple((name, share, u) for name, share, u in found["clear_cuts"]),
    )


@cache_of_calls
def _method() -> str:
    """Version of everything that a stored figure depends on besides the unit itself."""
    sources = cache.source_digest(__file__, physics.__file__, physics.__file__.replace(".py", "_mesh.py"))
    return f"{physics.METHOD} {sources}"


def _content(unit: PlanUnit) -> list[Any]:
    cuts = [[cut.name, cut.share, _plain(cut.section), _plain(cut.clear)] for cut in unit.cuts]
    return [cuts, unit.exterior_film, unit.interior_film, list(unit.bands)]


def _plain(section: Section) -> list[Any]:
    parts = [(p.start, p.end, p.outer, p.inner, p.conductivity) for p in section.rectangles]
    return [section.width, section.depth, parts]


def _solved(unit: PlanUnit) -> dict[str, Any]:
    """Every figure of the unit, as plain JSON; temperatures run from 0 outdoors to 1 indoors."""
    answers = [_solved_cut(unit, cut) for cut in unit.cuts]
    shares = [cut.share for cut in unit.cuts]

    def by_area(name: str) -> float:
        return math.fsum(share * answer[name] for share, answer in zip(shares, answers, strict=True))

    worst = min(answers, key=lambda answer: float(answer["coldest"]))
    named = [(cut.name, cut.share, answer) for cut, answer in zip(unit.cuts, answers, strict=True)]
    largest = {name: max(answer[name] for answer in answers) for name in ("mesh_change", "imbalance")}
    return {
        **{name: by_area(name) for name in ("u", "u_clear", "parallel", "planes")},
        **largest,
        "coldest": worst["coldest"],
        "bridge_planes": worst["bridge_planes"],
        "cells": sum(answer["cells"] for answer in answers),
        "cuts": [(name, share, answer["u"]) for name, share, answer in named],
        "clear_cuts": [(name, share, answer["u_clear"]) for name, share, answer in named],
    }


def _solved_cut(unit: PlanUnit, cut: Cut) -> dict[str, Any]:
    films = (unit.exterior_film, unit.interior_film)
    found = _solved_section(cut.section, films, unit.bands)
    clear = found if cut.clear == cut.section else _solved_section(cut.clear, films, unit.bands)
    return {**found, "u_clear": clear["u"]}


def _solved_section(
    section: Section, films: tuple[float, float], bands: tuple[tuple[str, float, float], ...]
) -> dict[str, Any]:
    parallel, planes = physics.limits(section, *films)
    if planes <= parallel * (1 + ROUNDING):  # nothing bridges: both limits are the exact answer
        at = [(layer, _series(section, films, outer), _series(section, films, inner)) for layer, outer, inner in bands]
        return {
            "u": planes, "parallel": parallel, "planes": planes, "mesh_change": 0.0, "imbalance": 0.0, "cells": 0,
            "coldest": 1 - planes * films[1], "bridge_planes": at,
        }  # fmt: skip
    solution = physics.solve(section, Side(0.0, films[0]), Side(1.0, films[1]))
    u = solution.heat_flows["interior"] / section.width
    if not parallel * (1 - ROUNDING) <= u <= planes * (1 + ROUNDING):
        raise NotComputableError(
            f"conduction in two dimensions: U {u:.5g} leaves its limits {parallel:.5g} and {planes:.5g} W/(m²·K)"
        )
    surface = solution.interior_surface
    coldest = min(range(len(surface)), key=surface.__getitem__)
    along = solution.along[coldest]
    at = [
        (layer, solution.temperature(along, outer), solution.temperature(along, inner)) for layer, outer, inner in bands
    ]
    return {
        "u": u, "parallel": parallel, "planes": planes, "mesh_change": solution.mesh_change,
        "imbalance": solution.imbalance, "cells": solution.cells, "coldest": surface[coldest], "bridge_planes": at,
    }  # fmt: skip


def _series(section: Section, films: tuple[float, float], across: float) -> float:
    """Temperature at a depth where every column is alike, 0 outdoors and 1 indoors."""
    rows = physics.edges(section)[1]
    passed = films[0] + math.fsum(
        (min(high, across) - low) / physics.conductivity_at(section, section.width / 2, (low + high) / 2)
        for low, high in pairwise(rows)
        if low < across
    )
    return passed * physics.limits(section, *films)[1]
