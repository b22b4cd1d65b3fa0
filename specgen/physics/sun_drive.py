"""The sun on a wet wall in one summer day: clear-sky sun by orientation, sol-air temperature, vapor driven inward.

Angles in degrees, azimuth from south, west positive. The flow of heat and vapor through the wall is steady; what the
caller holds steady over (an hour, a day) is for the caller to say.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Sequence
from functools import cache, lru_cache
from itertools import accumulate, pairwise
from operator import mul

from specgen.physics.condensation import tightest_string

Day = tuple[float, ...]  # one value for each hour of a day that repeats

HOURS = tuple(hour + 0.5 for hour in range(24))  # solar time at the middle of each hour [h]
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
def wall_sun(latitude: float, orientation: str, day: int = JULY_21) -> Day:
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
    irradiance : tuple of float, shape (24,)
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
    azimuth = math.radians(AZIMUTHS[orientation])
    return tuple(_sun_at(hour, lat, declination, azimuth) for hour in HOURS)


def _sun_at(hour: float, lat: float, declination: float, azimuth: float) -> float:
    hour_angle = math.radians(15 * (hour - 12))
    sine = math.cos(lat) * math.cos(declination) * math.cos(hour_angle) + math.sin(lat) * math.sin(declination)
    if sine <= 0.01:
        return 0.0
    beam = APPARENT_SUN * math.exp(-EXTINCTION / sine)
    # Components of the sun's direction toward south and west of a horizontal plane.
    south = math.cos(hour_angle) * math.sin(lat) * math.cos(declination) - math.cos(lat) * math.sin(declination)
    west = math.sin(hour_angle) * math.cos(declination)
    incidence = south * math.cos(azimuth) + west * math.sin(azimuth)
    # Diffuse on a wall grows toward the sun: ratio of vertical to horizontal sky diffuse.
    ratio = 0.55 + 0.437 * incidence + 0.313 * incidence**2 if incidence > -0.2 else 0.45
    diffuse = DIFFUSE * beam
    reflected = GROUND_REFLECTANCE * (beam * sine + diffuse) / 2
    return beam * max(incidence, 0.0) + diffuse * ratio + reflected


def design_day(maximum: float, daily_range: float) -> Day:
    """Outdoor temperature of a design day at the middle of each hour.

    Parameters
    ----------
    maximum : float
        Of the day, reached at 15 h. [°C]
    daily_range : float
        Maximum less minimum, >= 0. [K]

    Returns
    -------
    temperature : tuple of float, shape (24,)
        [°C]

    Source
    ------
    ASHRAE Handbook of Fundamentals, fractions of the daily range (from memory).
    """
    shares = [(before + after) / 2 for before, after in pairwise((RANGE_SHARES[-1], *RANGE_SHARES))]
    return tuple(maximum - daily_range * share for share in shares)


def sol_air(outdoor: Day, irradiance: Day, absorptance: float, exterior_coefficient: float) -> Day:
    """Sol-air temperature of a wall, T + a I / h; a wall's long-wave term counts as zero.

    Parameters
    ----------
    outdoor : tuple of float, shape (24,)
        Air temperature. [°C]
    irradiance : tuple of float, shape (24,)
        Sun on the wall. [W/m²]
    absorptance : float
        Of the surface for sunlight, 0 to 1. [-]
    exterior_coefficient : float
        Convection and radiation together, > 0. [W/(m²·K)]

    Returns
    -------
    temperature : tuple of float, shape (24,)
        [°C]

    Source
    ------
    ASHRAE Handbook of Fundamentals, sol-air temperature; zero long-wave term for vertical surfaces (from memory).
    """
    return tuple(air + absorptance * sun / exterior_coefficient for air, sun in zip(outdoor, irradiance, strict=True))


@lru_cache(maxsize=4096)
def lagged(day: Day, time_constant: float) -> Day:
    """What a lumped body feels of a day that repeats: each harmonic damped by a first-order lag.

    What it feels of a sum is the sum of what it feels of the parts.

    Parameters
    ----------
    day : tuple of float, shape (24,)
        What drives it, hour by hour. [any]
    time_constant : float
        Heat capacity over the sum of the coefficients to both sides, >= 0. [s]

    Returns
    -------
    felt : tuple of float, shape (24,)
        In the unit of `day`. [any]

    Source
    ------
    First principles: lumped capacity; its mean is that of the day.
    """
    hours = len(day)
    backward = _response(hours, time_constant)[::-1]
    twice = day[1:] + day
    return tuple(math.fsum(map(mul, backward, twice[hour : hour + hours])) for hour in range(hours))


@lru_cache(maxsize=256)
def _response(hours: int, time_constant: float) -> Day:
    """What the body feels, hour after hour, of one hour at 1 in a day at 0: its harmonics divided by 1 + i w tau."""
    damped = [1 / (1 + 2j * math.pi * wave / 86400.0 * time_constant) for wave in range(hours // 2 + 1)]
    felt = []
    for hour in range(hours):
        turns = [cmath.exp(2j * math.pi * wave * hour / hours) * factor for wave, factor in enumerate(damped)]
        # each wave but the mean and the shortest stands for two, one the mirror of the other
        felt.append((turns[0].real + 2 * math.fsum(turn.real for turn in turns[1:-1]) + turns[-1].real) / hours)
    return tuple(felt)


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
    places: list[float] = []  # planes with nothing between them share a place, and the coldest of them its ceiling
    coldest: list[int] = []
    place_of: list[int] = []
    for plane, place in enumerate(at):
        if not places or place > places[-1]:
            places.append(place)
            coldest.append(plane)
        elif ceiling[plane] < ceiling[coldest[-1]]:
            coldest[-1] = plane
        place_of.append(len(places) - 1)
    lowest = [ceiling[plane] for plane in coldest]
    knots = tightest_string(places, lowest)
    slopes = [(lowest[b] - lowest[a]) / (places[b] - places[a]) for a, b in pairwise(knots)]
    line = list(lowest)
    for (a, b), slope in zip(pairwise(knots), slopes, strict=True):
        for between in range(a + 1, b):
            line[between] = slope * (places[between] - places[a]) + lowest[a]
    condensing = [0.0] * len(at)
    for knot, before, after in zip(knots[1:], slopes, slopes[1:], strict=False):
        condensing[coldest[knot]] = max(0.0, after - before)
    return [line[place] for place in place_of], condensing, -slopes[-1]
