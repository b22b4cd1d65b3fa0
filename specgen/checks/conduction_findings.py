"""What the two-dimensional solution has to say of a wall, T10 to T12: wall, heat and code verdict in, findings out."""

from __future__ import annotations

from specgen import units
from specgen.checks.energy import rounded_u
from specgen.checks.layer_options import has_hand_method
from specgen.checks.makeup import ventilated_gap
from specgen.checks.thermal_findings import finding
from specgen.model.assessment import CodePath, EnergyCode, ThermalResult
from specgen.model.finding import Finding, Severity
from specgen.model.wall import Wall


def conduction_findings(wall: Wall, thermal: ThermalResult, code: EnergyCode) -> tuple[Finding, ...]:
    """Where the solution alone decides, where it turns a verdict, and where the hand limits say little.

    Parameters
    ----------
    wall : Wall
        The wall that `thermal` belongs to.
    thermal : ThermalResult
        From `thermal_result`.
    code : EnergyCode
        The verdict on it.
    """
    if thermal.conduction is None:
        return ()
    return (*_no_hand_method(wall, thermal), *_turned(wall, thermal, code), *_wide_limits(wall, thermal))


def _no_hand_method(wall: Wall, thermal: ThermalResult) -> list[Finding]:
    """T10: metal across insulation, for which no table holds."""
    solved = thermal.conduction
    if solved is None or thermal.u_hand_si is not None:
        return []
    gap = ventilated_gap(wall)
    layer = next(each for each in wall.layers[0 if gap is None else gap + 1 :] if not has_hand_method(each))
    message = (
        f"no table gives an effective R for the metal in {layer.id}: R-{_r(thermal.u_si):.1f} of the wall rests on "
        f"conduction in two dimensions alone, between hand limits of R-{_r(solved.u_planes_si):.1f} and "
        f"R-{_r(solved.u_parallel_si):.1f}"
    )
    return [finding("T10", Severity.WARNING, message, layer)]


def _turned(wall: Wall, thermal: ThermalResult, code: EnergyCode) -> list[Finding]:
    """T11: a U limit that the hand method meets and two dimensions do not."""
    if thermal.u_hand_si is None:
        return []
    by_hand = thermal.u_hand_si / units.U_IP
    found = []
    for path in code.paths:
        if path.path != "u" or path.meets or not _meets(by_hand, path):
            continue
        met = " The R path is met all the same." if code.meets_prescriptive else ""
        message = (
            f"by hand U-{by_hand:.4f} would meet {path.label}; with the members corrected in two dimensions the wall "
            f"has U-{thermal.u_si / units.U_IP:.4f} and does not, and the larger U is judged.{met}"
        )
        found.append(finding("T11", Severity.NOTE, message, place=wall.place))
    return found


def _meets(u_ip: float, path: CodePath) -> bool:
    return isinstance(path.required, float) and rounded_u(u_ip) <= path.required + 1e-9


def _wide_limits(wall: Wall, thermal: ThermalResult) -> list[Finding]:
    """T12: hand limits too far apart for the mean of the two to mean anything."""
    solved = thermal.conduction
    if solved is None or solved.limits_agree or thermal.u_hand_si is None:
        return []
    message = (
        f"the hand limits of the repeating unit lie at R-{_r(solved.u_planes_si):.1f} and "
        f"R-{_r(solved.u_parallel_si):.1f}, more than 1.5 times apart, so that their mean says nothing; solved in two "
        f"dimensions it has R-{_r(solved.u_unit_si):.1f}"
    )
    return [finding("T12", Severity.NOTE, message, place=wall.place)]


def _r(transmittance: float) -> float:
    return 1 / transmittance / units.R_IP
