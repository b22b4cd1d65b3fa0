"""Steady heat transfer of a whole wall: layers in, U, nominal insulation and heat capacity out, with every step shown.

Wood members: parallel path, film to film, with the framing fraction that the wall declares. Hollow block: isothermal
planes, grouted and open cells side by side. Conduction in two dimensions then corrects the path through the members.
The figure that verdicts use is the larger of the two U, so that neither method flatters a wall; where metal crosses
insulation and no table holds, it is the two-dimensional one.
Left out: fasteners, ties, slab edges, thermal bridges at openings, moisture and temperature effects on conductivity.
"""

from __future__ import annotations

from specgen.checks.conduction import conduction
from specgen.checks.conduction_record import conduction_figures
from specgen.checks.fasteners import crossing_fasteners, fastener_figures
from specgen.checks.heat_paths import crossing, heat_paths, place_resistance
from specgen.checks.insulation import wall_heat_capacity, wall_insulation
from specgen.checks.layer_options import has_hand_method
from specgen.checks.mass import mass_figures, record_of
from specgen.checks.once import once
from specgen.checks.thermal_findings import thermal_findings
from specgen.checks.thermal_record import method_words, record_figures, record_notes
from specgen.checks.unit_terms import unit_terms
from specgen.model.assessment import Conduction, ThermalResult
from specgen.model.wall import Wall
from specgen.physics import heat

SAME = 1e-6  # a wall without bridges gives one U by both ways, up to rounding [-]

__all__ = ["judged_transmittance", "thermal_findings", "thermal_result"]


@once
def thermal_result(wall: Wall) -> ThermalResult:
    """Effective U of the opaque wall with its films, nominal insulation, heat capacity, and the steps to redo it.

    Raises
    ------
    NotComputableError
        If a value is missing for which nothing may be assumed; names the layer and the value.

    Source
    ------
    ASHRAE Handbook of Fundamentals: parallel path for wood, isothermal planes for hollow block (NCMA TEK 67A, 1986);
    ISO 6946 for air layers and for the gap that outdoor air runs through.
    """
    way = crossing(wall)
    counted, places = way.counted, way.places
    paths = heat_paths(places)
    by_hand = heat.parallel_path([path.share for path in paths], [path.total for path in paths])
    solved = conduction(way)
    hand_holds = solved is None or all(has_hand_method(layer) for layer in counted)
    transmittance = governing(by_hand if hand_holds else None, solved)
    bridged = any(len(choices) > 1 for choices in places)
    isothermal = 1 / heat.series([place_resistance(choices) for choices in places]) if bridged else None
    insulation = wall_insulation(wall, way, by_hand, solved)
    capacity, without_data = wall_heat_capacity(wall)
    notes = record_notes(wall, way.gap, counted, without_data)
    terms = unit_terms(way) if solved is not None else None
    corrected = conduction_figures(solved, terms, transmittance, by_hand if hand_holds else None)
    figures = record_figures(wall, paths, by_hand, places, corrected, insulation, capacity, hand_holds)
    mass = mass_figures(wall)
    fasteners, u_fastened = fastener_figures(crossing_fasteners(wall, counted), transmittance)
    return ThermalResult(
        u_si=transmittance,
        cavity_r_si=insulation.cavity,
        continuous_r_si=insulation.continuous,
        interior_share=insulation.interior_share,
        heat_capacity_si=capacity,
        paths=paths,
        figures=figures + fasteners + record_of(mass),
        method=method_words(wall, places, transmittance, solved),
        u_low_si=isothermal,
        mass_insulation_si=insulation.as_mass,
        notes=notes,
        mass=mass,
        u_fastened_si=u_fastened,
        u_hand_si=by_hand if hand_holds else None,
        conduction=solved,
    )


def judged_transmittance(wall: Wall) -> float:
    """U that verdicts use, as `thermal_result` has it, without the record of its steps. [W/(m²·K)]

    Raises
    ------
    NotComputableError
        If a value is missing for which nothing may be assumed.
    """
    way = crossing(wall)
    paths = heat_paths(way.places)
    by_hand = heat.parallel_path([path.share for path in paths], [path.total for path in paths])
    solved = conduction(way)
    hand_holds = solved is None or all(has_hand_method(layer) for layer in way.counted)
    return governing(by_hand if hand_holds else None, solved)


def governing(by_hand: float | None, solved: Conduction | None) -> float:
    """U that verdicts use: the larger of the hand method's and of the one corrected in two dimensions. [W/(m²·K)]

    Raises
    ------
    ValueError
        If there is neither.
    """
    found = [] if by_hand is None else [by_hand]
    if solved is not None and (by_hand is None or solved.u_wall_si > by_hand * (1 + SAME)):
        found.append(solved.u_wall_si)
    return max(found)
