"""The figures that the energy code asks for by hand methods alone, without a record: quick, for trying many walls.

Parallel path through members and isothermal planes in block never give more than the U that verdicts use, which is the
larger of this one and of conduction in two dimensions.
"""

from __future__ import annotations

from specgen.checks.heat_paths import crossing, heat_paths
from specgen.checks.insulation import wall_heat_capacity, wall_insulation
from specgen.model.assessment import ThermalResult
from specgen.model.wall import Wall
from specgen.physics import heat


def hand_result(wall: Wall) -> ThermalResult:
    """U, insulation and heat capacity by hand methods; no figures and no notes.

    Raises
    ------
    NotComputableError
        If a value is missing for which nothing may be assumed.
    """
    way = crossing(wall)
    paths = heat_paths(way.places)
    transmittance = heat.parallel_path([path.share for path in paths], [path.total for path in paths])
    insulation = wall_insulation(wall, way, transmittance, None)
    return ThermalResult(
        u_si=transmittance,
        cavity_r_si=insulation.cavity,
        continuous_r_si=insulation.continuous,
        interior_share=insulation.interior_share,
        heat_capacity_si=wall_heat_capacity(wall)[0],
        paths=paths,
        figures=(),
        method="",
        mass_insulation_si=insulation.as_mass,
    )


def hand_transmittance(wall: Wall) -> float:
    """U by hand methods. [W/(m²·K)]

    Raises
    ------
    NotComputableError
        If a value is missing for which nothing may be assumed.
    """
    paths = heat_paths(crossing(wall).places)
    return heat.parallel_path([path.share for path in paths], [path.total for path in paths])
