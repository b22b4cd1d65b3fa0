"""Runs of one wall side by side, and what each comes to: mold at sensitive faces, wood, water from year to year."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from specgen.checks.layers import name_of
from specgen.checks.transient_surfaces import Surface, surfaces
from specgen.checks.wall_problem import Choices, Run, SimulatedWall
from specgen.errors import NotComputableError
from specgen.model.climate import DAYS, MONTH_NAMES
from specgen.model.material import uncapped
from specgen.model.transient import MOIST, MOLD_CLASS, MOLD_LIMIT, WET, LayerWater, SurfacePlane, TransientCase
from specgen.physics import mold

if TYPE_CHECKING:
    from specgen.physics.transient.run import Result
    from specgen.physics.weather import WeatherYear

Array = NDArray[np.float64]

YEARS = 3
HOURS = 8760
SURFACE_LIMIT = 0.80  # 30-day mean at the room-side surface where nothing else is judged; ASHRAE 160-2009 (from memory)
GAIN, GAIN_SHARE = 0.05, 0.03  # a layer gathers water if it holds so much more than a year before [kg/m²], [-]


@dataclass(frozen=True)
class Lane:
    """One run: what was asked, what was run, what came out."""

    varied: str
    detail: str
    choices: Choices
    weather: str
    run: Run
    result: Result


@dataclass(frozen=True)
class Asked:
    """One run to be made."""

    varied: str
    detail: str
    choices: Choices


def lanes(wall: SimulatedWall, asked: Sequence[Asked], weather: WeatherYear, spread: bool = False) -> list[Lane]:
    """All runs over three years, side by side.

    Parameters
    ----------
    wall : SimulatedWall
        The wall.
    asked : sequence of Asked
        In the order of the result.
    weather : WeatherYear
        Repeated year by year.
    spread : bool
        True: series are written out over all years, since a wetting stands in one of them only.

    Raises
    ------
    NotComputableError
        If a run does not converge or its balance stays open; names wall, case, hour and plane.
    """
    from specgen.physics.transient.run import SimulationError, simulate

    runs = [wall.run(one.choices, weather, YEARS if spread else 1) for one in asked]
    try:
        results = simulate([run.problem for run in runs], HOURS * YEARS)
    except SimulationError as error:
        raise NotComputableError(_failed(wall, asked[error.lane], runs[error.lane], error)) from error
    return [
        Lane(one.varied, one.detail, one.choices, weather.name, run, result)
        for one, run, result in zip(asked, runs, results, strict=True)
    ]


def _failed(wall: SimulatedWall, one: Asked, run: Run, error: Exception) -> str:
    """One sentence: wall, case, moment, plane and what happened."""
    hour, simulated = int(getattr(error, "hour", 0)), int(getattr(error, "layer", 0))
    layer = wall.wall.layers[run.layers[min(simulated, len(run.layers) - 1)]]
    case = one.detail or "base case"
    reason = str(error).rpartition(": ")[2]
    return (
        f"wall {wall.wall.name!r}, facing {one.choices.orientation}, {case}: the simulation stopped at {moment(hour)} "
        f"in {name_of(layer)} ({layer.id}): {reason}; no result is given"
    )


def moment(hour: int) -> str:
    """`May 3 of year 2, 14:00`.

    Parameters
    ----------
    hour : int
        Since the start. [h]
    """
    day, month = hour % HOURS // 24, 0
    while month < 11 and day >= DAYS[month]:
        day, month = day - DAYS[month], month + 1
    return f"{MONTH_NAMES[month]} {day + 1} of year {hour // HOURS + 1}, {hour % 24:02d}:00"


def mold_series(run: Run, result: Result, found: Sequence[Surface]) -> dict[int, Array]:
    """Mold index at each sensitive face, by its probe; each of shape (hours,)."""
    series: dict[int, Array] = {}
    for sensitivity, decline in {(one.sensitivity, one.decline) for one in found}:
        probes = [one.probe for one in found if (one.sensitivity, one.decline) == (sensitivity, decline)]
        index = mold.mold_index(
            result.temperature[1:, probes],
            result.relative_humidity[1:, probes],
            mold.SENSITIVITIES[sensitivity],
            mold.DECLINES[decline],
        )
        series |= {probe: index[:, place] for place, probe in enumerate(probes)}
    return series


def case_of(wall: SimulatedWall, lane: Lane, classes: Mapping[str, str] | None = None) -> TransientCase:
    """What one run comes to.

    Parameters
    ----------
    wall : SimulatedWall
        The wall that was run.
    lane : Lane
        The run.
    classes : mapping of str to str, optional
        Sensitivity class to judge by instead, by what feeds the mold as it prints.
    """
    run, result = lane.run, lane.result
    instead = classes or {}
    found = [replace(one, sensitivity=instead.get(one.material, one.sensitivity)) for one in surfaces(wall.wall, run)]
    series = mold_series(run, result, found)
    planes = [_plane(wall, one, result, series[one.probe]) for one in found]
    governing = max(planes, key=lambda plane: (round(plane.index, 3), plane.humidity_30 or 0.0), default=None)
    probe = found[planes.index(governing)].probe if governing else len(run.probes) - 1
    water = tuple(_water(wall, run, result, n) for n in range(run.drained, len(run.layers)) if _stores(wall, run, n))
    surface = _thirty_days(result, len(run.probes) - 1)
    return TransientCase(
        varied=lane.varied,
        detail=lane.detail,
        orientation=lane.choices.orientation,
        cells=lane.choices.cells,
        weather=lane.weather,
        plane=governing,
        month=_most_humid_month(result, probe),
        surface_humidity=surface,
        layers=water,
        reasons=_reasons(governing, water, surface),
        mass_error=result.mass_error,
        heat_error=result.heat_error,
    )


def class_cases(wall: SimulatedWall, lane: Lane) -> list[TransientCase]:
    """The run judged with every other class that sources name, one material at a time; nothing is simulated again.

    Parameters
    ----------
    wall : SimulatedWall
        The wall that was run.
    lane : Lane
        The run.
    """
    others = {one.material: one.classes for one in surfaces(wall.wall, lane.run) if one.classes}
    return [
        replace(
            case_of(wall, lane, {material: name}),
            varied=f"{MOLD_CLASS}{uncapped(material)}",
            detail=f"{material} in class {name}",
        )
        for material, classes in others.items()
        for name in classes
    ]


Indices = tuple[tuple[str, float], ...]


def index_by_choice(wall: SimulatedWall, lane: Lane, case: TransientCase) -> tuple[Indices, Indices]:
    """Highest mold index at the case's governing plane for every rate of decline and for every class.

    Parameters
    ----------
    wall : SimulatedWall
        The wall that was run.
    lane : Lane
        The run.
    case : TransientCase
        What it came to.

    Returns
    -------
    by_decline, by_class : tuples of (name, index)
        Slowest decline and most sensitive class first; empty where nothing feeds mold. [-]
    """
    if case.plane is None:
        return (), ()
    probe = governing_probe(wall, lane, case)
    series = lane.result.temperature[1:, [probe]], lane.result.relative_humidity[1:, [probe]]
    sensitivity, decline = mold.SENSITIVITIES[case.plane.sensitivity], mold.DECLINES[case.plane.decline]
    slowest_first = sorted(mold.DECLINES.items(), key=lambda pair: pair[1])
    return (
        tuple((name, float(mold.mold_index(*series, sensitivity, rate).max())) for name, rate in slowest_first),
        tuple((name, float(mold.mold_index(*series, one, decline).max())) for name, one in mold.SENSITIVITIES.items()),
    )


def governing_probe(wall: SimulatedWall, lane: Lane, case: TransientCase) -> int:
    """Probe of the case's governing plane; the room-side surface where nothing feeds mold."""
    if case.plane is None:
        return len(lane.run.probes) - 1
    inner = case.plane.face == "inner"
    return next(
        one.probe
        for one in surfaces(wall.wall, lane.run)
        if one.inner is inner and wall.wall.layers[one.layer].id == case.plane.layer
        and one.material == case.plane.surface
    )  # fmt: skip


def _plane(wall: SimulatedWall, one: Surface, result: Result, index: Array) -> SurfacePlane:
    return SurfacePlane(
        layer=wall.wall.layers[one.layer].id,
        face="inner" if one.inner else "outer",
        surface=one.material,
        sensitivity=one.sensitivity,
        decline=one.decline,
        index=float(index.max()),
        index_last=float(index[-HOURS:].max()),
        humidity_30=_thirty_days(result, one.probe),
    )


def _thirty_days(result: Result, probe: int) -> float | None:
    last = slice(-HOURS, None)
    humidity = mold.thirty_day_humidity(
        result.temperature[last, [probe]], np.minimum(result.relative_humidity[last, [probe]], 1.0)
    )
    value = float(humidity[0])
    return None if np.isnan(value) else value


def _most_humid_month(result: Result, probe: int) -> int:
    hours = np.repeat(np.arange(12), [24 * days for days in DAYS])
    last = np.minimum(result.relative_humidity[-HOURS:, probe], 1.0)
    return 1 + int(np.argmax([last[hours == month].mean() for month in range(12)]))


def _stores(wall: SimulatedWall, run: Run, simulated: int) -> bool:
    """Not an air space."""
    return not run.problem.layers[simulated].air_space


def _water(wall: SimulatedWall, run: Run, result: Result, simulated: int) -> LayerWater:
    layer = wall.wall.layers[run.layers[simulated]]
    held = result.layer_mass[:, simulated]
    last, before = held[-HOURS:], held[-2 * HOURS : -HOURS]
    material = layer.material or layer.fill
    share = None
    if material and material.wood_based and material.density and layer.thickness:
        share = last.reshape(-1, 24).mean(axis=1) / (layer.thickness * material.density.value)
    return LayerWater(
        layer=layer.id,
        mean=float(last.mean()),
        most=float(last.max()),
        gain=float(last.mean() - before.mean()),
        wood=None if share is None else float(share.max()),
        days_moist=0.0 if share is None else float((share > MOIST).sum()),
        days_wet=0.0 if share is None else float((share > WET).sum()),
    )


def gathers(layer: LayerWater) -> bool:
    """The layer holds more from year to year under one and the same weather."""
    return layer.gain > max(GAIN, GAIN_SHARE * layer.mean)


def _reasons(plane: SurfacePlane | None, water: Sequence[LayerWater], surface: float | None) -> tuple[str, ...]:
    found = []
    if plane is not None and plane.index >= MOLD_LIMIT:
        found.append("mold")
    found += ["wood" for layer in water if layer.days_wet > 0][:1]
    found += ["gathers" for layer in water if gathers(layer)][:1]
    if plane is None and surface is not None and surface >= SURFACE_LIMIT:
        found.append("surface")
    return tuple(found)
