"""What the record prints beside the months: the path that vapor takes, layer by layer, and the planes worth a row.

Takes a wall with its heat result and the run that governs; the months themselves are those of `checks/monthly.py`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate

from specgen.checks.layers import Reading, VaporPlane
from specgen.checks.monthly import VaporPath
from specgen.checks.resistances import source_text
from specgen.data import load_table
from specgen.model.assessment import ThermalResult
from specgen.model.moisture import MonthlyResult, MonthlyRun, MonthResult, PlaneMonth
from specgen.model.wall import Layer, Wall
from specgen.physics.air import saturation_pressure

COUNTS = 5e-7  # water that prints as something [kg/m²]


@dataclass(frozen=True, slots=True)
class PathLayer:
    """One resistance on the path between members; a faced batt gives two, its facing without heat resistance."""

    layer: str  # id
    facing: bool
    resistance: float  # to heat [m²·K/W]
    dry: float  # permeance in the dry cup, infinite where open [kg/(m²·s·Pa)]
    wet: float  # in the wet cup, the dry one where none is known [kg/(m²·s·Pa)]
    known: bool
    source: str  # of the permeance, "" where nothing is asked of one
    status: str


@dataclass(frozen=True, slots=True)
class RecordedPath:
    """The path between members, from the outdoor air or the innermost open gap to the room."""

    layers: tuple[PathLayer, ...]
    exterior_film: float  # [m²·K/W]
    interior_film: float  # [m²·K/W]
    open_gap: bool

    @property
    def total(self) -> float:
        """R with both films. [m²·K/W]"""
        return self.exterior_film + math.fsum(layer.resistance for layer in self.layers) + self.interior_film

    def resistance_to(self, plane: PlaneMonth, run: MonthlyRun) -> float:
        """R from the outdoor air to a plane of a month. [m²·K/W]

        Parameters
        ----------
        plane : PlaneMonth
            Of some month of `run`.
        run : MonthlyRun
            With its planes.
        """
        if not plane.outer:
            return self.exterior_film
        passed = list(accumulate((layer.resistance for layer in self.layers), initial=self.exterior_film))
        first = next(i for i, layer in enumerate(self.layers) if layer.layer == plane.outer)
        last = max(i for i, layer in enumerate(self.layers) if layer.layer == plane.outer)
        if plane.outer != plane.inner or plane.facing:
            return passed[first + 1] if plane.facing else passed[last + 1]
        # Cut within a layer into equal parts: the place among the planes within it is its share.
        within = [p for p in run.months[0].planes if (p.outer, p.inner, p.facing) == (plane.outer, plane.inner, False)]
        rank = min(range(len(within)), key=lambda i: abs(within[i].position - plane.position))
        return passed[first] + self.layers[first].resistance * (rank + 1) / (len(within) + 1)


def recorded_path(wall: Wall, thermal: ThermalResult) -> RecordedPath:
    """The path of the monthly method as the record prints it.

    Parameters
    ----------
    wall : Wall
        The wall.
    thermal : ThermalResult
        Of this wall.

    Raises
    ------
    NotComputableError
        If the wall has no layer inside of its open gap.
    """
    path = VaporPath(Reading(wall), thermal)
    films = load_table("monthly_moisture")["films"]
    layers = [
        PathLayer(wall.layers[p.index].id, p.facing, e.resistance, p.dry, p.wet, p.known, *_source(wall, p))
        for p, e in zip(path.planes, path.elements, strict=True)
    ]
    outer = films["interior" if path.open_gap else "exterior"]["value"]
    return RecordedPath(tuple(layers), outer, films["interior"]["value"], path.open_gap)


def _source(wall: Wall, plane: VaporPlane) -> tuple[str, str]:
    """Of a permeance: its source and how sure it is."""
    layer: Layer = wall.layers[plane.index]
    body = layer.material or layer.fill
    stated = None if body is None else body.permeability if body.permeability and layer.thickness else body.permeance
    if stated is not None:
        return ("", "") if math.isinf(plane.dry) else (source_text(stated.source), stated.status.value)
    if body is None and not math.isinf(plane.dry):
        return source_text("iso-13788"), "from-memory"
    return "", ""


def recorded_planes(run: MonthlyRun) -> tuple[int, ...]:
    """Indices of the planes that gather water in some month; without any, of the one that comes nearest to it.

    Parameters
    ----------
    run : MonthlyRun
        With its planes.
    """
    months = [month.planes for month in run.months]
    count = len(months[0])
    wet = [i for i in range(count) if any(p[i].held > COUNTS or p[i].gained > COUNTS for p in months)]
    if wet:
        return tuple(wet)
    inside = range(1, count - 1) if count > 2 else range(count)
    return (max(inside, key=lambda i: max(p[i].pressure / p[i].saturation for p in months)),)


@dataclass(frozen=True, slots=True)
class SurfaceMonth:
    """One month at the interior surface of one room in one city."""

    month: MonthResult
    city: str
    room: str  # title

    @property
    def air(self) -> float:
        """Relative humidity of the room's air. [-]"""
        return self.month.interior_pressure / saturation_pressure(self.month.interior)


def dampest_surface(result: MonthlyResult) -> SurfaceMonth:
    """The month with the dampest interior surface, of all judged rooms and cities.

    Parameters
    ----------
    result : MonthlyResult
        Of the wall.
    """
    found = [SurfaceMonth(month, run.city, run.room_title) for run in result.runs if run.judged for month in run.months]
    return max(found, key=lambda each: round(each.month.surface_humidity, 6))


def normal_dwelling(runs: Sequence[MonthlyRun]) -> MonthlyRun | None:
    """The run at the load of a normal dwelling in which most water gathers; None if there is none.

    Parameters
    ----------
    runs : sequence of MonthlyRun
        Of every room and city.
    """
    normal = [run for run in runs if run.room == "class-2"]
    return max(normal, key=lambda run: run.plane_peak) if normal else None
