"""Hourly series on both sides of a wall from a weather year: sun and sky on the surface, rain, leak, room air."""

from __future__ import annotations

from typing import TYPE_CHECKING

from specgen import units

if TYPE_CHECKING:
    from specgen.checks.wall_problem import Choices
    from specgen.physics.transient.problem import Climate
    from specgen.physics.weather import Array, WeatherYear

OCTOBER, APRIL = 273 * 24, 90 * 24  # first hour of the month [h]
WETTING_HOURS = 24  # 1 kg/m² is put in over one day, so that no pore has to take it in an hour [h]


def wetting_start(month: str, years: int) -> int:
    """First hour of the wetting: in the second year, if there is one, so that construction water does not blur it. [h]

    Parameters
    ----------
    month : str
        `oct` or `apr`.
    years : int
        Of the run.
    """
    return (OCTOBER if month == "oct" else APRIL) + (8760 if years > 1 else 0)


def climate_of(choices: Choices, weather: WeatherYear, years: int = 1) -> Climate:
    """The climate of one run.

    Parameters
    ----------
    choices : Choices
        Orientation, color, room, leak and the water of a test.
    weather : WeatherYear
        Repeated year by year.
    years : int
        >= 1.

    Source
    ------
    Room: ASHRAE 160 (from memory), or EN 15026 Annex C. Rain: see `physics/weather.py`. Long-wave: half sky and
    half ground.
    """
    import numpy as np

    from specgen.checks.wall_problem import CONVECTION, EMITTANCE, EXTERIOR, LEWIS
    from specgen.physics.room import room_air
    from specgen.physics.transient.problem import Climate, equivalent_temperature
    from specgen.physics.weather import driven_rain, wall_longwave

    absorbed = choices.absorptance * weather.wall_sun(choices.orientation)
    sol_air = equivalent_temperature(weather.temperature, absorbed, wall_longwave(weather), EMITTANCE, EXTERIOR)
    rain = driven_rain(weather, choices.orientation, choices.exposure)
    rain = np.where(weather.temperature > 0, rain, 0.0)  # snow does not wet a wall
    cooling = (choices.cooling - 32) * units.RANKINE
    indoors, pressure = room_air(weather.temperature, cooling, choices.humidity_cooled, winter=choices.winter)

    def repeated(series: Array) -> Array:
        return np.tile(series, years)

    deposit = repeated((choices.inboard_leak or choices.leak) * rain)
    if choices.wetted:
        deposit = np.zeros(weather.temperature.size * years)
        start = wetting_start(choices.wetted, years)
        deposit[start : start + WETTING_HOURS] = 1.0 / (WETTING_HOURS * 3600.0)
    return Climate(
        equivalent_temperature=repeated(sol_air),
        air_temperature=repeated(weather.temperature),
        vapor_pressure=repeated(weather.vapor_pressure),
        heat_coefficient=EXTERIOR,
        vapor_coefficient=LEWIS * CONVECTION,
        rain=repeated(rain),
        deposit=deposit,
        interior_temperature=repeated(indoors),
        interior_vapor_pressure=repeated(pressure),
    )
