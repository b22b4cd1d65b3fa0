"""Temperatures at the planes of a wall between two airs: wall and its heat calculation in, one per plane out.

Steady, between air temperatures, with the films of the heat calculation; sun on the cladding and what the mass stores
are left out (`checks/design_hour.py` and `physics/mass.py` have those). Planes stand along the path between members;
in line with a member the two-dimensional solution gives the coldest interior surface.
"""

from __future__ import annotations

from dataclasses import dataclass

from specgen.checks import makeup
from specgen.errors import NotComputableError
from specgen.model.assessment import HeatPath, ThermalResult
from specgen.model.wall import Wall


@dataclass(frozen=True, slots=True)
class PlaneTemperature:
    """Temperature at one plane of the wall. Air stands at the place of the surface that it touches."""

    position: float  # from the exterior face of the wall inward [m]
    name: str  # "outdoor air", "exterior surface", "siding | sheathing", "interior surface", "room air"
    temperature: float  # [°C]


@dataclass(frozen=True, slots=True)
class SurfaceTemperatures:
    """Interior surface between members, and where bridges make it differ most from the room."""

    clear: float  # [°C]
    bridge: float  # coldest in winter, warmest in summer [°C]


def main_path(thermal: ThermalResult) -> HeatPath:
    """The path with the largest share of the area: between members, through open cells."""
    return max(thermal.paths, key=lambda path: path.share)


def plane_temperatures(
    wall: Wall, thermal: ThermalResult, outdoor: float, indoor: float
) -> tuple[PlaneTemperature, ...]:
    """Temperature at every plane along the path between members, from outdoor air to room air.

    Parameters
    ----------
    wall : Wall
        The wall that `thermal` belongs to.
    thermal : ThermalResult
        From `thermal_result`.
    outdoor, indoor : float
        Air temperatures. [°C]

    Returns
    -------
    planes : tuple of PlaneTemperature
        Exterior first. Layers outside of a gap that outdoor air runs through are left out: they have its temperature,
        as has the plane where that gap ends. A film or coating without R shows as the plane it lies in.

    Source
    ------
    First principles: in steady state each layer takes its share of R of the temperature difference.
    """
    path = main_path(thermal)
    outer, *layers, inner = path.resistances
    step = (indoor - outdoor) / path.total
    gap = makeup.ventilated_gap(wall)
    position = 0.0 if gap is None else wall.faces[gap + 1]
    passed = outer.resistance
    planes = [PlaneTemperature(position, "outdoor air", outdoor)]
    surface = "exterior surface" if gap is None else f"{wall.layers[gap].id} | {wall.layers[gap + 1].id}"
    planes.append(PlaneTemperature(position, surface, outdoor + step * passed))
    for number, part in enumerate(layers):
        passed += part.resistance
        position = wall.faces[wall.index(part.layer) + 1]
        last = number == len(layers) - 1
        name = "interior surface" if last else f"{part.layer} | {layers[number + 1].layer}"
        planes.append(PlaneTemperature(position, name, outdoor + step * passed))
    planes.append(PlaneTemperature(position, "room air", outdoor + step * (passed + inner.resistance)))
    return tuple(planes)


def bridge_temperatures(
    wall: Wall, thermal: ThermalResult, outdoor: float, indoor: float
) -> tuple[PlaneTemperature, ...]:
    """Temperature at the planes in line with the bridge, where the interior surface is coldest.

    Parameters
    ----------
    wall : Wall
        The wall that `thermal` belongs to.
    thermal : ThermalResult
        From `thermal_result`.
    outdoor, indoor : float
        Air temperatures. [°C]

    Returns
    -------
    planes : tuple of PlaneTemperature
        The planes of layers that have an R, exterior first.

    Raises
    ------
    NotComputableError
        If the wall has no two-dimensional solution, because a layer has no R.
    """
    if thermal.conduction is None:
        raise NotComputableError(f"wall {wall.name!r}: no conduction in two dimensions, for a layer has no R")
    difference = indoor - outdoor
    solved = thermal.conduction.bridge_planes
    planes = []
    for number, plane in enumerate(solved):
        index = wall.index(plane.layer)
        name = "exterior surface" if number == 0 else f"{solved[number - 1].layer} | {plane.layer}"
        planes.append(PlaneTemperature(wall.faces[index], name, outdoor + difference * plane.outer))
    planes.append(
        PlaneTemperature(
            wall.faces[wall.index(solved[-1].layer) + 1], "interior surface", outdoor + difference * solved[-1].inner
        )
    )
    return tuple(planes)


def interior_surface(thermal: ThermalResult, outdoor: float, indoor: float) -> SurfaceTemperatures:
    """Interior surface between members and at the bridge: coldest in winter, warmest in summer.

    Parameters
    ----------
    thermal : ThermalResult
        From `thermal_result`.
    outdoor, indoor : float
        Air temperatures. [°C]

    Raises
    ------
    NotComputableError
        If there is no two-dimensional solution, because a layer has no R.

    Source
    ------
    ISO 13788: surface temperature from the temperature factor f_Rsi. The film is the one of the U-factor, R-0.68; in
    corners and behind furniture the standard takes a larger one, and the surface is colder.
    """
    if thermal.conduction is None:
        raise NotComputableError("no conduction in two dimensions, for a layer has no R")
    difference = indoor - outdoor
    return SurfaceTemperatures(
        clear=outdoor + difference * thermal.conduction.f_rsi_clear,
        bridge=outdoor + difference * thermal.conduction.f_rsi,
    )
