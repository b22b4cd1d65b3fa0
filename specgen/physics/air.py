"""Moist air: saturation pressure, relative humidity, dew point, wet bulb, humidity ratio, vapor concentration.

One formula set for the whole package: the Magnus forms of ISO 13788. They are the ones of the monthly method and of the
monthly climate table, have an exact inverse, and lie 0.06 % to 0.17 % below the ASHRAE and IAPWS formulas from 0 to
50 °C, 0.5 % below at -20 °C, which no answer here can feel. Below 0 °C saturation is over ice. Plain numbers in and
out.
"""

from __future__ import annotations

import math

TRIPLE = 610.5  # saturation pressure at 0 °C in this set [Pa]
WATER = (17.269, 237.3)  # [-], [K]
ICE = (21.875, 265.5)  # [-], [K]
ZERO_CELSIUS = 273.15  # [K]
GAS_CONSTANT_VAPOR = 461.5  # [J/(kg·K)], 8.31446 / 0.0180153
GAS_CONSTANT_DRY_AIR = 287.042  # [J/(kg·K)]
MOLAR_RATIO = 0.621945  # water to dry air, ASHRAE
ATMOSPHERE = 101325.0  # [Pa]


def saturation_pressure(temperature: float) -> float:
    """Saturation vapor pressure over water from 0 °C up, over ice below.

    Parameters
    ----------
    temperature : float
        -60 to 100. [°C]

    Returns
    -------
    pressure : float
        [Pa]

    Source
    ------
    ISO 13788:2012, formulas E.7 and E.8 (constants read in public transcriptions; clause numbers from memory).
    """
    factor, offset = WATER if temperature >= 0 else ICE
    return TRIPLE * math.exp(factor * temperature / (offset + temperature))


def saturation_pressure_over_water(temperature: float) -> float:
    """Saturation vapor pressure over water at every temperature, as weather services report dew points below 0 °C.

    Parameters
    ----------
    temperature : float
        -60 to 100. [°C]

    Returns
    -------
    pressure : float
        [Pa]

    Source
    ------
    ISO 13788:2012, the formula for 0 °C and above, extended downward.
    """
    factor, offset = WATER
    return TRIPLE * math.exp(factor * temperature / (offset + temperature))


def saturation_temperature(pressure: float) -> float:
    """Temperature at which a vapor pressure is saturation: the dew point, below 0 °C the frost point.

    Parameters
    ----------
    pressure : float
        > 0. [Pa]

    Returns
    -------
    temperature : float
        [°C]

    Raises
    ------
    ValueError
        If the pressure is not above 0.

    Source
    ------
    Exact inverse of `saturation_pressure`: ISO 13788:2012, formulas E.9 and E.10.
    """
    if pressure <= 0:
        raise ValueError(f"vapor pressure {pressure:g} Pa; expected more than 0")
    factor, offset = WATER if pressure >= TRIPLE else ICE
    log = math.log(pressure / TRIPLE)
    return offset * log / (factor - log)


def vapor_pressure(temperature: float, humidity: float) -> float:
    """Vapor pressure of air.

    Parameters
    ----------
    temperature : float
        [°C]
    humidity : float
        Relative, 0 to 1. [-]

    Returns
    -------
    pressure : float
        [Pa]
    """
    return humidity * saturation_pressure(temperature)


def relative_humidity(temperature: float, pressure: float) -> float:
    """Relative humidity of air of a vapor pressure; above 1 where it is supersaturated.

    Parameters
    ----------
    temperature : float
        [°C]
    pressure : float
        Of vapor, >= 0. [Pa]

    Returns
    -------
    humidity : float
        [-]
    """
    return pressure / saturation_pressure(temperature)


def dew_point(temperature: float, humidity: float) -> float:
    """Dew point of air, below 0 °C its frost point.

    Parameters
    ----------
    temperature : float
        [°C]
    humidity : float
        Relative, above 0, to 1. [-]

    Returns
    -------
    temperature : float
        [°C]

    Raises
    ------
    ValueError
        If the air holds no vapor.
    """
    return saturation_temperature(vapor_pressure(temperature, humidity))


def humidity_ratio(pressure: float, atmosphere: float = ATMOSPHERE) -> float:
    """Mass of vapor per mass of dry air, ideal gases.

    Parameters
    ----------
    pressure : float
        Of vapor, below `atmosphere`. [Pa]
    atmosphere : float
        Total pressure. [Pa]

    Returns
    -------
    ratio : float
        [kg/kg]

    Source
    ------
    ASHRAE Handbook of Fundamentals, chapter 1: W = 0.621945 p / (P - p); the enhancement factor, up to 0.5 %, left out.
    """
    return MOLAR_RATIO * pressure / (atmosphere - pressure)


def concentration(temperature: float, pressure: float) -> float:
    """Mass of vapor per volume of air.

    Parameters
    ----------
    temperature : float
        [°C]
    pressure : float
        Of vapor. [Pa]

    Returns
    -------
    concentration : float
        [kg/m³]

    Source
    ------
    First principles: ideal gas, R = 461.5 J/(kg·K).
    """
    return pressure / (GAS_CONSTANT_VAPOR * (temperature + ZERO_CELSIUS))


def wet_bulb(temperature: float, humidity: float, atmosphere: float = ATMOSPHERE) -> float:
    """Thermodynamic wet-bulb temperature.

    Parameters
    ----------
    temperature : float
        Dry bulb. [°C]
    humidity : float
        Relative, 0 to 1. [-]
    atmosphere : float
        Total pressure. [Pa]

    Returns
    -------
    temperature : float
        [°C]

    Source
    ------
    ASHRAE Handbook of Fundamentals, chapter 1: humidity ratio from dry and wet bulb, equations 33 and 35 (from memory),
    solved by halving the interval.
    """
    ratio = humidity_ratio(vapor_pressure(temperature, humidity), atmosphere)
    low, high = -100.0, temperature
    for _ in range(60):
        middle = (low + high) / 2
        if _ratio_at_wet_bulb(temperature, middle, atmosphere) < ratio:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def _ratio_at_wet_bulb(temperature: float, bulb: float, atmosphere: float) -> float:
    saturated = humidity_ratio(saturation_pressure(bulb), atmosphere)
    if bulb >= 0:
        heat = (2501 - 2.326 * bulb) * saturated - 1.006 * (temperature - bulb)
        return heat / (2501 + 1.86 * temperature - 4.186 * bulb)
    heat = (2830 - 0.24 * bulb) * saturated - 1.006 * (temperature - bulb)
    return heat / (2830 + 1.86 * temperature - 2.1 * bulb)
