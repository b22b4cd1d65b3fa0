"""U at the two ends of its range, step by step with the numbers put in, so that both can be redone by hand."""

from __future__ import annotations

from dataclasses import dataclass

from specgen import units
from specgen.checks import makeup
from specgen.checks.bands import end_walls
from specgen.checks.by_hand import hand_result, hand_transmittance
from specgen.checks.energy import U_DIGITS, half_up
from specgen.checks.thermal import thermal_result
from specgen.model.assessment import EnergyCode, HeatPath
from specgen.model.band import Band
from specgen.model.wall import Wall

# Of the record of heat: what turns two dimensions into U of the wall.
STEPS = (
    "U of the repeating unit",
    "U of the unit without its members",
    "U of the path through the members, corrected",
    "U of the wall, corrected in two dimensions",
    "U that verdicts use",
)


@dataclass(frozen=True, slots=True)
class EndStep:
    """One step at one end, in inch-pound units: the formula, the numbers put in, what comes of it."""

    name: str
    formula: str
    values: str
    result: float  # [h·ft²·°F/Btu] of a path, else [Btu/(h·ft²·°F)]
    is_r: bool


def end_steps(wall: Wall) -> tuple[tuple[EndStep, ...], tuple[EndStep, ...]]:
    """The steps at the better ends of all inputs, and the same steps at the worse ends.

    Parameters
    ----------
    wall : Wall
        The wall as it stands.

    Raises
    ------
    NotComputableError
        If the wall itself cannot be computed.
    """
    better, worse = end_walls(wall)
    return _steps(wall, better), _steps(wall, worse)


def _steps(wall: Wall, at_ends: Wall) -> tuple[EndStep, ...]:
    paths = hand_result(at_ends).paths
    steps = [_path_step(path) for path in paths]
    by_hand = hand_transmittance(at_ends) / units.U_IP
    shares = " + ".join(f"{path.share:.4f}/{path.total / units.R_IP:.3f}" for path in paths)
    steps.append(EndStep("U by hand", "U = sum(share / R of path)", shares, by_hand, False))
    if any(makeup.is_hollow(layer) for layer in wall.layers):
        record, hand = thermal_result(wall).u_si / units.U_IP, hand_transmittance(wall) / units.U_IP
        formula = "U by hand × U of record / U by hand, both of the wall as it stands"
        values = f"{by_hand:.5f} × {record:.5f}/{hand:.5f}"
        steps.append(EndStep("U that verdicts use", formula, values, by_hand * record / hand, False))
        return tuple(steps)
    for figure in thermal_result(at_ends).figures:
        if figure.name in STEPS:
            steps.append(EndStep(figure.name, figure.formula, figure.values, figure.result, False))
    return tuple(steps)


def _path_step(path: HeatPath) -> EndStep:
    terms = [part for part in path.resistances if part.resistance > 0]
    values = " + ".join(f"{part.resistance / units.R_IP:.3f} {part.layer}" for part in terms)
    return EndStep(f"R along the path: {path.name}", "sum of films and layers", values, path.total / units.R_IP, True)


def u_verdicts(band: Band, code: EnergyCode) -> tuple[str, tuple[bool, bool]] | None:
    """The limit of the U path as it prints, and whether the better and the worse end meet it; None without one.

    Parameters
    ----------
    band : Band
        Of the wall.
    code : EnergyCode
        Of the same wall.
    """
    path = next((path for path in code.paths if path.path == "u"), None)
    if path is None or not isinstance(path.required, float | int):
        return None
    ends = (half_up(u / units.U_IP, U_DIGITS) <= path.required + 1e-9 for u in (band.u_low_si, band.u_high_si))
    better, worse = ends
    return path.label, (better, worse)
