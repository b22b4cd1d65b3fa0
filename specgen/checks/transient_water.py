"""Two tests with water put in on purpose: how fast 1 kg/m² leaves again, and how much rain may leak in."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from specgen.checks.boundary import wetting_start
from specgen.checks.transient_lanes import YEARS, Asked, Lane, case_of
from specgen.checks.wall_problem import Choices, SimulatedWall
from specgen.model.transient import MOLD_LIMIT, Recovery, ToleratedLeak

Array = NDArray[np.float64]

WOOD_WITHIN = 0.02  # of the unwetted run, moisture content [kg/kg]
HUMIDITY_WITHIN = 0.05  # of the unwetted run, where the layer is not wood [-]
LEAKS = (0.005, 0.01, 0.02, 0.05, 0.10)  # share of driving rain [-]
INWARD = ("vapor_inside", "air_from_inside")
OUTWARD = ("vapor_outside", "rain_taken", "air_from_outside")


def water_tests(base: Choices) -> list[Asked]:
    """One run without any leak, two wetted, and one for each share of rain that leaks in.

    Parameters
    ----------
    base : Choices
        Of the worst case.
    """
    from dataclasses import replace

    dry = replace(base, leak=0.0)
    return [
        Asked("leak", "no leak", dry),
        Asked("wetting", "1 kg/m² on 1 October", replace(dry, wetted="oct")),
        Asked("wetting", "1 kg/m² on 1 April", replace(dry, wetted="apr")),
        *(Asked("leak", f"{share * 100:g} % of driving rain", replace(dry, inboard_leak=share)) for share in LEAKS),
    ]


def recovery(wall: SimulatedWall, dry: Lane, wet: Lane) -> Recovery:
    """How long the wetted layer differs from the run without water, and where the water went.

    Parameters
    ----------
    wall : SimulatedWall
        That both ran.
    dry, wet : Lane
        The same choices without and with 1 kg/m².

    Source
    ------
    First principles: the books of the two runs' boundaries, subtracted.
    """
    storing = wet.run.storing
    assert storing is not None and wet.choices.wetted
    start = wetting_start(wet.choices.wetted, YEARS)
    apart = _apart(wall, dry, wet, storing)[start:]
    beyond = np.flatnonzero(apart > 1.0)
    hours = int(beyond[-1]) + 1 if beyond.size else 0
    books = {name: float(wet.result.books[name].sum() - dry.result.books[name].sum()) for name in wet.result.books}
    inward = -sum(books[name] for name in INWARD)
    outward = books["drained"] - sum(books[name] for name in OUTWARD)
    added = books["deposited"]
    return Recovery(
        month=wet.choices.wetted,
        days=hours / 24 if hours < apart.size else None,
        watched=apart.size / 24,
        outward=outward,
        inward=inward,
        left=added - outward - inward,
    )


def _apart(wall: SimulatedWall, dry: Lane, wet: Lane, storing: int) -> Array:
    """Distance of the layer from its unwetted twin, in limits: moisture content of wood, else humidity of its faces."""
    layer = wall.wall.layers[wet.run.layers[storing]]
    material = layer.material or layer.fill
    if material and material.wood_based and material.density and layer.thickness:
        more = wet.result.layer_mass[:, storing] - dry.result.layer_mass[:, storing]
        return np.asarray(np.abs(more) / (layer.thickness * material.density.value) / WOOD_WITHIN)
    faces = [probe for probe, (simulated, _) in enumerate(wet.run.probes) if simulated == storing]
    more = wet.result.relative_humidity[:, faces] - dry.result.relative_humidity[:, faces]
    return np.asarray(np.abs(more).max(axis=1) / HUMIDITY_WITHIN)


def tolerated_leak(wall: SimulatedWall, runs: list[Lane]) -> ToleratedLeak | None:
    """The highest share of rain that stays under the limit with all lower ones; None where nothing feeds mold.

    Parameters
    ----------
    wall : SimulatedWall
        That all ran.
    runs : list of Lane
        Without a leak first, then by rising share.
    """
    steps: list[tuple[float, float]] = []
    for lane in runs:
        plane = case_of(wall, lane).plane
        if plane is None:
            return None
        steps.append((lane.choices.inboard_leak * 100, plane.index_last))
    percent: float | None = None
    for share, index in steps:
        if index >= MOLD_LIMIT:
            break
        percent = share
    return ToleratedLeak(tuple(steps), percent, steps[-1][1] < MOLD_LIMIT and percent == steps[-1][0])
