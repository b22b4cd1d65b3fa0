"""The steps of the heat calculation with the numbers put in, and what was left out, ignored or assumed."""

from __future__ import annotations

import math
from collections.abc import Sequence

from specgen import units
from specgen.checks import makeup, resistances
from specgen.checks.heat_paths import Choices, place_resistance
from specgen.checks.insulation import Insulation, nominal_fill, solids
from specgen.checks.layer_options import has_hand_method, layer_options
from specgen.model.assessment import Conduction, Figure, HeatPath
from specgen.model.wall import Layer, Wall

R_UNIT = "h·ft²·°F/Btu"
U_UNIT = "Btu/(h·ft²·°F)"
HC_UNIT = "Btu/(ft²·°F)"
BY_HAND = "U of the wall by hand"


def method_words(wall: Wall, places: Sequence[Choices], transmittance: float, solved: Conduction | None) -> str:
    """The methods behind the U that verdicts use, as the record names them.

    Parameters
    ----------
    wall : Wall
        Any wall.
    places : sequence of Choices
        From film to film.
    transmittance : float
        U of record. [W/(m²·K)]
    solved : Conduction or None
        Its own U is the one of record, or another is.
    """
    framed = any(layer.framing is not None and not layer.framing.material.metal for layer in wall.layers)
    hollow = any(makeup.is_hollow(layer) for layer in wall.layers)
    steel = any(
        makeup.is_metal_framed(layer) and makeup.is_insulation(makeup.cavity_fill(layer)) and has_hand_method(layer)
        for layer in wall.layers
    )
    if solved is not None and transmittance == solved.u_wall_si:
        return "conduction in two dimensions at the declared framing fraction (ISO 10211)"
    words = []
    if framed or any(len(choices) > 1 for choices in places):
        words.append("parallel path")
    if hollow:
        words.append("isothermal planes for hollow block")
    if steel:
        words.append("tabulated factor for steel studs")
    return (", ".join(words) or "resistances in series") + " (ASHRAE Handbook of Fundamentals)"


def record_notes(wall: Wall, gap: int | None, counted: Sequence[Layer], without_data: Sequence[str]) -> tuple[str, ...]:
    """What was left out, ignored or assumed, one sentence each."""
    notes = []
    if gap is not None:
        outside = ", ".join(layer.id for layer in wall.layers[: gap + 1])
        notes.append(
            f"Outdoor air runs through {wall.layers[gap].id}: {outside} are left out and the outer film is R-0.68 "
            "(ISO 6946, ventilated air layer)."
        )
    thin = [
        layer.id
        for layer in counted
        if layer.framing is None
        and layer.unit is None
        and layer.material is not None
        and layer.material.kind in resistances.THIN_KINDS
        and layer_options(layer)[0].resistance.resistance == 0
    ]
    if thin:
        notes.append(f"Films and coatings count as R-0: {', '.join(thin)}.")
    bridged = [layer.id for layer in counted if layer.framing is not None]
    if len(bridged) > 1:
        notes.append(
            f"Members of {', '.join(bridged)}: in neighboring layers of one size, spacing and direction they line up; "
            "otherwise they cross at random and their shares multiply."
        )
    cores = [layer.id for layer in counted if layer.unit is not None and layer.fill is not None]
    if cores:
        notes.append(f"Insulation in the cores of {', '.join(cores)} counts in U, not in the R path.")
    if without_data:
        notes.append(f"No density or specific heat for {', '.join(without_data)}: left out of the heat capacity.")
    notes.append(
        "Fasteners, ties, slab edges and openings are not counted; the record says what fasteners through insulation "
        "would add, where the wall's file gives them."
    )
    return tuple(notes)


def record_figures(
    wall: Wall,
    paths: Sequence[HeatPath],
    by_hand: float,
    places: Sequence[Choices],
    corrected: Sequence[Figure],
    insulation: Insulation,
    capacity: float,
    hand_holds: bool = True,
) -> tuple[Figure, ...]:
    """Every step of the calculation with the numbers put in, in inch-pound units as US reviewers work.

    Parameters
    ----------
    wall : Wall
        Any wall.
    paths : sequence of HeatPath
        From film to film.
    by_hand : float
        U by parallel path. [W/(m²·K)]
    places : sequence of Choices
        From film to film; U between isothermal planes is shown where one of them has a choice.
    corrected : sequence of Figure
        What two dimensions make of it.
    insulation : Insulation
        By where it stands.
    capacity : float
        [J/(m²·K)]
    hand_holds : bool
        False where metal crosses insulation and no table holds.
    """
    figures = [_path_figure(path) for path in paths]
    source = "ASHRAE Handbook of Fundamentals"
    terms = " + ".join(f"{path.share:.4f}/{_ip(path.total):.3f}" for path in paths)
    method = "parallel path" if hand_holds else "metal at its lower limit of R, for comparison; no hand method holds"
    hand_ip = by_hand / units.U_IP
    figures.append(Figure(BY_HAND, "U = sum(share / R of path)", terms, hand_ip, U_UNIT, method, source, "secondary"))
    if any(len(choices) > 1 for choices in places):
        figures.append(_planes_figure(places))
    figures += corrected
    figures += _insulation_figures(wall, insulation)
    figures.append(_capacity_figure(wall, capacity))
    return tuple(figures)


def _planes_figure(places: Sequence[Choices]) -> Figure:
    """Films and layers one behind the other; parts side by side in a layer are put together first."""
    total = math.fsum(place_resistance(choices) for choices in places)
    terms = []
    for choices in places:
        for parts in zip(*(part.resistances for part in choices), strict=True):
            if len(parts) == 1 and parts[0].resistance > 0:
                terms.append(f"{_ip(parts[0].resistance):.3f} {parts[0].layer}")
            elif len(parts) > 1 and all(part.resistance > 0 for part in parts):
                found = [(choice.share, part.resistance) for choice, part in zip(choices, parts, strict=True)]
                terms.append(f"{mixed_words(found)} {parts[0].layer}")
    return Figure(
        "U between isothermal planes", "U = 1/(sum of R, of a layer with parts 1/sum(share / R of part))",
        f"1/({' + '.join(terms)})", units.R_IP / total, U_UNIT, "upper bound of U, for comparison",
        "ISO 6946, lower limit of R", "secondary",
    )  # fmt: skip


def _path_figure(path: HeatPath) -> Figure:
    values = " + ".join(f"{_ip(part.resistance):.3f} {part.layer}" for part in path.resistances if part.resistance > 0)
    status = resistances.worse(*(part.status for part in path.resistances))
    return Figure(
        f"R along the path: {path.name}, {path.share:.1%} of the area", "R = sum of films and layers", values,
        _ip(path.total), R_UNIT, "series", "first principles", status,
    )  # fmt: skip


def _insulation_figures(wall: Wall, insulation: Insulation) -> list[Figure]:
    figures = [
        Figure(
            "nominal insulation between members", "sum of labeled R", _labels(wall, insulation, True),
            _ip(insulation.cavity), R_UNIT, "as labeled", "energy code, cavity insulation", "confirmed",
        ),
        Figure(
            "nominal continuous insulation", "sum of labeled R", _labels(wall, insulation, False),
            _ip(insulation.continuous), R_UNIT, "as labeled", "energy code, continuous insulation", "confirmed",
        ),
    ]  # fmt: skip
    if makeup.mass_layer(wall) is not None:
        inside = math.fsum(value for _, value, is_inside in insulation.parts if is_inside)
        figures.append(
            Figure(
                "insulation of the mass wall", "continuous R + (1/U - 1/U without the furred layer)",
                _counted(insulation), _ip(insulation.as_mass), R_UNIT, "furred insulation at its effective R",
                "our reading of the mass-wall table, on the safe side", "common-practice",
            )
        )  # fmt: skip
        if insulation.as_mass > 0:
            figures.append(
                Figure(
                    "share of the insulation inside the mass", "R inside / R of all insulation",
                    f"{_ip(inside):.3f}/{_ip(insulation.as_mass):.3f}", inside / insulation.as_mass, "-", "by R",
                    "energy code, mass walls", "confirmed",
                )
            )  # fmt: skip
    return figures


def _counted(insulation: Insulation) -> str:
    """Continuous R as it is, insulation between members by what it adds to 1/U."""
    gains = {layer: (with_it, without) for layer, with_it, without in insulation.gains}
    terms = []
    for layer, value, _ in insulation.parts:
        if layer in gains:
            with_it, without = (u / units.U_IP for u in gains[layer])
            terms.append(f"(1/{with_it:.5f} - 1/{without:.5f}) {layer}")
        else:
            terms.append(f"{_ip(value):.3f} {layer}")
    return " + ".join(terms) or "none"


def _labels(wall: Wall, insulation: Insulation, between: bool) -> str:
    words = []
    for layer_id, effective, _ in insulation.parts:
        layer = wall.layer(layer_id)
        if between == (layer.framing is not None):
            words.append(f"{_ip(nominal_fill(layer) if between else effective):.2f} {layer_id}")
    return " + ".join(words) or "none"


def _capacity_figure(wall: Wall, capacity: float) -> Figure:
    terms = []
    for layer in wall.layers:
        for material, thickness in solids(layer):
            if material.density is not None and material.specific_heat is not None and thickness > 0:
                inches = thickness / units.INCH
                density = material.density.value / units.DENSITY_IP
                warmth = material.specific_heat.value / units.SPECIFIC_HEAT_IP
                terms.append(f"{figures_of(inches)}/12 x {figures_of(density)} x {figures_of(warmth)} {layer.id}")
    return Figure(
        "heat capacity of the wall", "sum(thickness x density x specific heat)", " + ".join(terms) or "none",
        capacity / units.HEAT_CAPACITY_IP, HC_UNIT, "all layers, cores left out", "first principles", "confirmed",
    )  # fmt: skip


def mixed_words(parts: Sequence[tuple[float, float]]) -> str:
    """Parts side by side at one place, as a term of a sum of R: `1/(0.2500/6.149 + 0.7500/23.000)`.

    Parameters
    ----------
    parts : sequence of pair of float
        Share [-] and resistance [m²·K/W] of each.
    """
    return f"1/({' + '.join(share_over_r(share, resistance) for share, resistance in parts)})"


def share_over_r(share: float, resistance: float) -> str:
    """A share of the area over its R, in inch-pound units: `0.2500/6.149`.

    Parameters
    ----------
    share : float
        [-]
    resistance : float
        > 0. [m²·K/W]
    """
    return f"{figures_of(share, 4)}/{figures_of(_ip(resistance), 3)}"


def figures_of(value: float, decimals: int = 0) -> str:
    """A number to four figures and at least so many decimals, never with an exponent.

    Parameters
    ----------
    value : float
        > 0, in the unit that it prints in. [-]
    decimals : int
        At least. [-]
    """
    return f"{value:.{max(decimals, 3 - math.floor(math.log10(value)))}f}" if value > 0 else "0"


def _ip(resistance: float) -> float:
    return resistance / units.R_IP
