"""The sun on a wet wall in one summer day: clear-sky sun by orientation, sol-air temperature, vapor driven inward.

Angles in degrees, azimuth from south, west positive. The flow of heat and vapor through the wall is steady; what the
caller holds steady over (an hour, a day) is for the caller to say.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cache
from itertools import accumulate, pairwise

import numpy as np
from numpy.typing import NDArray

from specgen.physics.condensation import tightest_string

Array = NDArray[np.float64]

HOURS = np.arange(24.0) + 0.5  # solar time at the middle of each hour [h]
AZIMUTHS = {"N": 180.0, "E": -90.0, "S": 0.0, "W": 90.0}  # [deg]
JULY_21 = 202  # day of the year
# ASHRAE clear-sky constants of 21 July: apparent sun [W/m²], extinction [-], diffuse share [-].
APPARENT_SUN, EXTINCTION, DIFFUSE = 1085.0, 0.207, 0.136
GROUND_REFLECTANCE = 0.2
VAPOR_GAS_CONSTANT = 461.5  # [J/(kg·K)]
LEWIS = 7.0e-9  # vapor transfer coefficient over convective one, near 20 °C [(s/m)/(W/(m²·K))]
# Share of the daily range below the day's maximum, hour by hour from 1 h to 24 h.
RANGE_SHARES = (
    0.87, 0.92, 0.96, 0.99, 1.00, 0.98, 0.93, 0.84, 0.71, 0.56, 0.39, 0.23,
    0.11, 0.03, 0.00, 0.03, 0.10, 0.21, 0.34, 0.47, 0.58, 0.68, 0.76, 0.82,
)  # fmt: skip


@cache
def wall_sun(latitude: float, orientation: str, day: int = JULY_21) -> Array:
    """Sun on an unshaded vertical wall under a clear sky, hour by hour of solar time.

    Parameters
    ----------
    latitude : float
        -66 to 66. [deg]
    orientation : str
        `N`, `E`, `S` or `W`.
    day : int
        Of the year, 1 to 365.

    Returns
    -------
    irradiance : array, shape (24,)
        Beam, sky diffuse and ground-reflected. [W/m²]

    Raises
    ------
    KeyError
        If the orientation is none of the four.

    Source
    ------
    ASHRAE Handbook of Fundamentals, clear-sky model of the editions up to 2005, constants of 21 July (from memory).
    """
    declination = math.radians(23.45) * math.sin(2 * math.pi * (284 + day) / 365)
    lat = math.radians(latitude)
    hour_angle = np.radians(15 * (HOURS - 12))
    sine = math.cos(lat) * math.cos(declination) * np.cos(hour_angle) + math.sin(lat) * math.sin(declination)
    up = sine > 0.01
    altitude = np.arcsin(np.clip(sine, -1.0, 1.0))
    beam = np.where(up, APPARENT_SUN * np.exp(-EXTINCTION / np.where(up, sine, 1.0)), 0.0)
    # Components of the sun's direction toward south and west of a horizontal plane.
    south = np.cos(hour_angle) * math.sin(lat) * math.cos(declination) - math.cos(lat) * math.sin(declination)
    west = np.sin(hour_angle) * math.cos(declination)
    azimuth = math.radians(AZIMUTHS[orientation])
    incidence = south * math.cos(azimuth) + west * math.sin(azimuth)
    # Diffuse on a wall grows toward the sun: ratio of vertical to horizontal sky diffuse.
    ratio = np.where(incidence > -0.2, 0.55 + 0.437 * incidence + 0.313 * incidence**2, 0.45)
    diffuse = DIFFUSE * beam
    reflected = GROUND_REFLECTANCE * (beam * np.sin(altitude) + diffuse) / 2
    total = beam * np.maximum(incidence, 0.0) + diffuse * ratio + np.where(up, reflected, 0.0)
    return np.asarray(np.where(up, total, 0.0))


def design_day(maximum: float, daily_range: float) -> Array:
    """Outdoor temperature of a design day at the middle of each hour.

    Parameters
    ----------
    maximum : float
        Of the day, reached at 15 h. [°C]
    daily_range : float
        Maximum less minimum, >= 0. [K]

    Returns
    -------
    temperature : array, shape (24,)
        [°C]

    Source
    ------
    ASHRAE Handbook of Fundamentals, fractions of the daily range (from memory).
    """
    shares = np.interp(HOURS, np.arange(25.0), (RANGE_SHARES[-1], *RANGE_SHARES))
    return np.asarray(maximum - daily_range * shares)


def sol_air(outdoor: Array, irradiance: Array, absorptance: float, exterior_coefficient: float) -> Array:
    """Sol-air temperature of a wall, T + a I / h; a wall's long-wave term counts as zero.

    Parameters
    ----------
    outdoor : array
        Air temperature. [°C]
    irradiance : array, same shape
        Sun on the wall. [W/m²]
    absorptance : float
        Of the surface for sunlight, 0 to 1. [-]
    exterior_coefficient : float
        Convection and radiation together, > 0. [W/(m²·K)]

    Returns
    -------
    temperature : array, same shape
        [°C]

    Source
    ------
    ASHRAE Handbook of Fundamentals, sol-air temperature; zero long-wave term for vertical surfaces (from memory).
    """
    return outdoor + absorptance * irradiance / exterior_coefficient


def lagged(day: Array, time_constant: float) -> Array:
    """What a lumped body feels of a day that repeats: each harmonic damped by a first-order lag.

    Parameters
    ----------
    day : array, shape (24,)
        Driving temperature, hour by hour. [°C]
    time_constant : float
        Heat capacity over the sum of the coefficients to both sides, >= 0. [s]

    Returns
    -------
    temperature : array, shape (24,)
        [°C]

    Source
    ------
    First principles: lumped capacity; its mean is that of the day.
    """
    harmonics = np.fft.rfft(day)
    frequency = 2 * np.pi * np.arange(harmonics.size) / 86400.0
    return np.asarray(np.fft.irfft(harmonics / (1 + 1j * frequency * time_constant), day.size))


def plane_temperatures(outer: float, inner: float, resistances: Sequence[float]) -> list[float]:
    """Temperature at each plane between resistances in series, both ends included.

    Parameters
    ----------
    outer, inner : float
        Temperatures at the two ends. [°C]
    resistances : sequence of float, shape (n,)
        From the outer end, at least one > 0. [m²·K/W]

    Returns
    -------
    temperatures : list of float, length n + 1
        [°C]

    Source
    ------
    First principles, steady.
    """
    total = math.fsum(resistances)
    return [outer + (inner - outer) * passed / total for passed in accumulate(resistances, initial=0.0)]


def gap_pressure(
    wet_face: float, outdoor: float, convective: float, air_changes: float, depth: float, temperature: float
) -> float:
    """Vapor pressure in a ventilated gap between a wet face and the outdoor air that passes through.

    Parameters
    ----------
    wet_face : float
        Saturation pressure at the wet face. [Pa]
    outdoor : float
        Vapor pressure of the outdoor air. [Pa]
    convective : float
        Coefficient at the wet face, > 0. [W/(m²·K)]
    air_changes : float
        Of the gap, >= 0; 0 gives the pressure of the wet face. [1/s]
    depth : float
        Of the gap. [m]
    temperature : float
        Of its air. [°C]

    Returns
    -------
    pressure : float
        [Pa]

    Source
    ------
    First principles: what evaporates is what the air carries off; Lewis relation, 7e-9 s/m per W/(m²·K) (from memory,
    as ISO 15148 and EN 15026 practice use it). What diffuses on into the wall is small beside both and left out,
    which leaves the gap wetter.
    """
    evaporation = LEWIS * convective
    carried = air_changes * depth / (VAPOR_GAS_CONSTANT * (temperature + 273.15))
    return (evaporation * wet_face + carried * outdoor) / (evaporation + carried)


def driven_pressures(
    source: float, room: float, permeances: Sequence[float], saturation: Sequence[float]
) -> tuple[list[float], list[float], float]:
    """Vapor pressure at each plane on the way from a wet source to the room, nowhere above saturation.

    The string of pressures is drawn as tight as saturation allows; where it touches, water condenses.

    Parameters
    ----------
    source, room : float
        Vapor pressures at the two ends. [Pa]
    permeances : sequence of float, shape (n,)
        From the source inward, > 0 each or infinite, at least one finite. [kg/(m²·s·Pa)]
    saturation : sequence of float, shape (n + 1,)
        Saturation pressure at the planes, both ends included. [Pa]

    Returns
    -------
    pressures : list of float, length n + 1
        [Pa]
    condensing : list of float, length n + 1
        Rate at each plane, >= 0. [kg/(m²·s)]
    inward : float
        Flux that reaches the room, negative if the room gives vapor off. [kg/(m²·s)]

    Source
    ------
    ISO 13788:2012, tightest string under the saturation pressures (from memory); the flux law of its clause on
    condensation rates.
    """
    resistances = [0.0 if math.isinf(permeance) else 1 / permeance for permeance in permeances]
    at = list(accumulate(resistances, initial=0.0))
    ceiling = list(saturation)
    ceiling[0], ceiling[-1] = min(source, ceiling[0]), min(room, ceiling[-1])
    places = sorted(set(at))  # planes with nothing between them share a place, and the coldest of them its ceiling
    lowest = [min(top for x, top in zip(at, ceiling, strict=True) if x == place) for place in places]
    knots = tightest_string(places, lowest)
    pressures = np.interp(at, [places[k] for k in knots], [lowest[k] for k in knots])
    slopes = [(lowest[b] - lowest[a]) / (places[b] - places[a]) for a, b in pairwise(knots)]
    condensing = [0.0] * len(at)
    for knot, before, after in zip(knots[1:], slopes, slopes[1:], strict=False):
        coldest = min((i for i, x in enumerate(at) if x == places[knot]), key=lambda i: ceiling[i])
        condensing[coldest] = max(0.0, after - before)
    return [float(pressure) for pressure in pressures], condensing, -slopes[-1]
