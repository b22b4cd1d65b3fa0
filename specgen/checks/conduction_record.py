"""The two-dimensional solution as steps of the calculation record, in inch-pound units as US reviewers work."""

from __future__ import annotations

from specgen import units
from specgen.model.assessment import Conduction, Figure

R_UNIT = "h·ft²·°F/Btu"
U_UNIT = "Btu/(h·ft²·°F)"
STANDARD = "ISO 10211"
SOLVED = "conduction in two dimensions"


def conduction_figures(solved: Conduction | None, transmittance: float, by_hand: float | None) -> tuple[Figure, ...]:
    """Unit, its limits, the corrected path through the members, the whole wall, and the U that verdicts use.

    Parameters
    ----------
    solved : Conduction or None
        None gives the last of them alone.
    transmittance : float
        U of record. [W/(m²·K)]
    by_hand : float or None
        By the method that codes accept; None where none holds. [W/(m²·K)]
    """
    figures: list[Figure] = []
    if solved is not None:
        figures += _unit_figures(solved)
        if solved.unit_share > 0:
            figures += _bridge_figures(solved)
        figures.append(_surface_figure(solved))
    u_ip = _ip(transmittance)
    if solved is not None and by_hand is not None:
        values = f"the larger of {_ip(by_hand):.5f} and {_ip(solved.u_wall_si):.5f}"
        figures.append(
            Figure("U that verdicts use", "by hand, or corrected in two dimensions", values, u_ip, U_UNIT,
                   "neither method may flatter the wall", "house rule", "common-practice")
        )  # fmt: skip
    figures.append(
        Figure("effective R", "R = 1/U", f"1/{u_ip:.5f}", 1 / u_ip, R_UNIT, "films included", "first principles",
               "confirmed")
    )  # fmt: skip
    return tuple(figures)


def _unit_figures(solved: Conduction) -> list[Figure]:
    unit, low, high = _ip(solved.u_unit_si), _ip(solved.u_parallel_si), _ip(solved.u_planes_si)
    cells = f"{solved.cells} cells, halving the mesh before changed U by {solved.mesh_change:.2%}"
    if not solved.cells:
        cells = "no bridge in it, so that both limits are exact"
    sum_of_cuts = " + ".join(f"{share:.4f} x {_ip(u):.5f}" for _, share, u in solved.u_cuts_si)
    limits = [
        Figure(f"U of the repeating unit by {name}", formula, "the unit's own shares", value, U_UNIT, name,
               "ISO 6946, limits of R", "secondary")
        for name, formula, value in (
            ("parallel path", "U = sum(share / R of path)", low),
            ("isothermal planes", "U = 1/sum(1/sum(share / R of part))", high),
        )
    ]  # fmt: skip
    return [
        *limits,
        Figure("U of the repeating unit", "U = sum(share x heat flow / width)", sum_of_cuts, unit, U_UNIT,
               f"{SOLVED}, finite elements: {cells}", STANDARD, "secondary"),
    ]  # fmt: skip


def _bridge_figures(solved: Conduction) -> list[Figure]:
    unit, clear, bridge = _ip(solved.u_unit_si), _ip(solved.u_clear_si), _ip(solved.u_bridge_si)
    f, declared = solved.unit_share, solved.declared_share
    return [
        Figure("U of the unit without its members", "as above", "cavity carried on in their place", clear, U_UNIT,
               SOLVED, STANDARD, "secondary"),
        Figure("U of the path through the members, corrected", "(U of the unit - (1 - f) U without members) / f",
               f"({unit:.5f} - {1 - f:.4f} x {clear:.5f})/{f:.4f}", bridge, U_UNIT,
               "the members bear all that they add", STANDARD, "secondary"),
        Figure("U of the wall, corrected in two dimensions", "F x U through members + (1 - F) x U without members",
               f"{declared:.4f} x {bridge:.5f} + {1 - declared:.4f} x {clear:.5f}", _ip(solved.u_wall_si), U_UNIT,
               "declared framing fraction F", STANDARD, "secondary"),
    ]  # fmt: skip


def _surface_figure(solved: Conduction) -> Figure:
    return Figure(
        "temperature factor of the coldest interior surface",
        "f_Rsi = (T surface - T outdoors)/(T indoors - T outdoors)",
        f"at the bridge; {solved.f_rsi_clear:.3f} away from it", solved.f_rsi, "-", SOLVED, "ISO 13788", "secondary",
    )  # fmt: skip


def _ip(transmittance: float) -> float:
    return transmittance / units.U_IP
