"""Steady heat transfer of a whole wall: layers in, U, nominal insulation and heat capacity out, with every step shown.

Wood members: parallel path, film to film, with the framing fraction that the wall declares. Hollow block: isothermal
planes, grouted and open cells side by side.
Left out: fasteners, ties, slab edges, thermal bridges at openings, moisture and temperature effects on conductivity.
"""

from __future__ import annotations

from specgen.checks.heat_paths import crossing, heat_paths, place_resistance
from specgen.checks.insulation import wall_heat_capacity, wall_insulation
from specgen.checks.mass import mass_figures, record_of
from specgen.checks.thermal_findings import thermal_findings
from specgen.checks.thermal_record import method_words, record_figures, record_notes
from specgen.model.assessment import ThermalResult
from specgen.model.wall import Wall
from specgen.physics import heat

__all__ = ["thermal_findings", "thermal_result"]


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
    transmittance = heat.parallel_path([path.share for path in paths], [path.total for path in paths])
    bridged = any(len(choices) > 1 for choices in places)
    isothermal = 1 / heat.series([place_resistance(choices) for choices in places]) if bridged else None
    insulation = wall_insulation(wall, counted, places, transmittance)
    capacity, without_data = wall_heat_capacity(wall)
    notes = record_notes(wall, way.gap, counted, without_data)
    mass = mass_figures(wall)
    return ThermalResult(
        u_si=transmittance,
        cavity_r_si=insulation.cavity,
        continuous_r_si=insulation.continuous,
        interior_share=insulation.interior_share,
        heat_capacity_si=capacity,
        paths=paths,
        figures=record_figures(wall, paths, transmittance, isothermal, insulation, capacity) + record_of(mass),
        method=method_words(wall, places),
        u_low_si=isothermal,
        mass_insulation_si=insulation.as_mass,
        notes=notes,
        mass=mass,
    )
