"""The two-dimensional solution as steps of the calculation record, in inch-pound units as US reviewers work."""

from __future__ import annotations

from collections.abc import Sequence

from specgen import units
from specgen.checks.thermal_record import figures_of, mixed_words, share_over_r
from specgen.checks.unit_terms import CutTerms, UnitTerms
from specgen.model.assessment import Conduction, Figure

R_UNIT = "h·ft²·°F/Btu"
U_UNIT = "Btu/(h·ft²·°F)"
STANDARD = "ISO 10211"
SOLVED = "conduction in two dimensions"
SOLVED_ROOM = 70  # indoors, for outdoors at 0 [°F]


def conduction_figures(
    solved: Conduction | None, terms: UnitTerms | None, transmittance: float, by_hand: float | None
) -> tuple[Figure, ...]:
    """Unit, its limits, the corrected path through the members, the whole wall, and the U that verdicts use.

    Parameters
    ----------
    solved : Conduction or None
        None gives the last of them alone.
    terms : UnitTerms or None
        What the limits of the unit are made of, where it was solved.
    transmittance : float
        U of record. [W/(m²·K)]
    by_hand : float or None
        By the method that codes accept; None where none holds. [W/(m²·K)]
    """
    figures: list[Figure] = []
    if solved is not None and terms is not None:
        figures += _unit_figures(solved, terms)
        if solved.unit_share > 0:
            figures += _bridge_figures(solved, terms)
        figures += _surface_figures(solved, terms)
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


def _unit_figures(solved: Conduction, terms: UnitTerms) -> list[Figure]:
    unit, low, high = _ip(solved.u_unit_si), _ip(solved.u_parallel_si), _ip(solved.u_planes_si)
    cells = f"{solved.cells} cells, halving the mesh before changed U by {solved.mesh_change:.2%}"
    if not solved.cells:
        cells = "no bridge in it, so that both limits are exact"
    source = "ISO 6946, limits of R"
    side_by_side = " + ".join(
        share_over_r(cut.share * share, resistance) for cut in terms.cuts for share, resistance in cut.paths
    )
    behind = " + ".join(_planes_words(cut) for cut in terms.cuts)
    return [
        Figure("U of the repeating unit by parallel path", "U = sum(share / R of path)", side_by_side, low, U_UNIT,
               "parallel path at the unit's own shares, films included", source, "secondary"),
        Figure("U of the repeating unit by isothermal planes",
               "U = 1/(sum of R, of a layer with parts 1/sum(share / R of part))", behind, high, U_UNIT,
               "isothermal planes at the unit's own shares, what is alike all along added up first", source,
               "secondary"),
        Figure("U of the repeating unit", *_cuts_words(solved.u_cuts_si, (low, high)), unit, U_UNIT,
               f"{SOLVED}, finite elements: {cells}", STANDARD, "secondary"),
    ]  # fmt: skip


def _planes_words(cut: CutTerms) -> str:
    """U of one cut by its share: films and plain layers as one R, then each layer with parts."""
    resistances = " + ".join([figures_of(cut.plain / units.R_IP, 3), *(mixed_words(place) for place in cut.mixed)])
    share = "1" if cut.share == 1 else figures_of(cut.share, 4)
    return f"{share}/({resistances})"


def _cuts_words(cuts: Sequence[tuple[str, float, float]], limits: tuple[float, float]) -> tuple[str, str]:
    """Formula and numbers: cuts side by side; of one alone what a computer found, and between what it must lie."""
    if len(cuts) == 1:
        low, high = limits
        return "U = heat flow / (width x difference of temperature)", f"solved, within {low:.5f} to {high:.5f}"
    names = ", ".join(name for name, _, _ in cuts)
    return f"U = sum(share x U): {names}", " + ".join(f"{figures_of(share, 4)} x {_ip(u):.5f}" for _, share, u in cuts)


def _bridge_figures(solved: Conduction, terms: UnitTerms) -> list[Figure]:
    unit, clear, bridge = _ip(solved.u_unit_si), _ip(solved.u_clear_si), _ip(solved.u_bridge_si)
    f, declared = solved.unit_share, solved.declared_share
    if len(terms.clear) == 1 and len(terms.clear[0].paths) == 1:
        words = "U = 1/R, the cavity carried on in place of the members", f"1/{terms.clear[0].plain / units.R_IP:.3f}"
    else:
        formula, values = _cuts_words(solved.u_clear_cuts_si, (0.0, unit))
        words = f"{formula}; the cavity carried on in place of the members", values
    return [
        Figure("U of the unit without its members", *words, clear, U_UNIT, SOLVED, STANDARD, "secondary"),
        Figure("U of the path through the members, corrected", "(U of the unit - (1 - f) U without members) / f",
               f"({unit:.5f} - {1 - f:.4f} x {clear:.5f})/{figures_of(f, 4)}", bridge, U_UNIT,
               "the members bear all that they add; f is their share of the unit", STANDARD, "secondary"),
        Figure("U of the wall, corrected in two dimensions", "F x U through members + (1 - F) x U without members",
               f"{declared:.4f} x {bridge:.5f} + {1 - declared:.4f} x {clear:.5f}", _ip(solved.u_wall_si), U_UNIT,
               "declared framing fraction F", STANDARD, "secondary"),
    ]  # fmt: skip


def _surface_figures(solved: Conduction, terms: UnitTerms) -> list[Figure]:
    """The coldest place as solved between airs of 0 and 70 °F; away from it by the film's share of R."""
    film, clear = terms.interior_film / units.R_IP, _ip(solved.u_clear_si)
    surface = SOLVED_ROOM * solved.f_rsi
    return [
        Figure(
            "temperature factor of the coldest interior surface",
            "f_Rsi = (T surface - T outdoors)/(T indoors - T outdoors), T in °F, solved for 0 and 70",
            f"({surface:.2f} - 0)/({SOLVED_ROOM} - 0)", solved.f_rsi, "-", SOLVED, "ISO 13788", "secondary",
        ),
        Figure(
            "temperature factor away from members", "f_Rsi = 1 - R of interior film x U without members",
            f"1 - {film:.3f} x {clear:.5f}", solved.f_rsi_clear, "-", "series", "ISO 13788", "secondary",
        ),
    ]  # fmt: skip


def _ip(transmittance: float) -> float:
    return transmittance / units.U_IP
