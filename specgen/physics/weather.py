"""An hour-by-hour year of outdoor weather, and what of it reaches a wall: sun, long-wave radiation, driven rain.

A value is the mean over its hour; the sun stands where it stands at the middle of the hour. 8760 hours, local standard
time. Azimuths in degrees from north over east.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

HOURS = 8760
AZIMUTHS = {"N": 0.0, "E": 90.0, "S": 180.0, "W": 270.0}  # a wall that faces so [deg]
GROUND_REFLECTANCE = 0.2
STEFAN_BOLTZMANN = 5.670374419e-8  # [W/(m²·K⁴)], CODATA 2018
# Driving rain on a wall up to 10 m high, sheltered as is usual, below an eave: r = FE FD FL U cos(angle) rh.
RAIN_FACTOR = 0.2  # FL [kg·s/(m³·mm)], ASHRAE 160 (from memory)
EXPOSURE = {"sheltered": 0.7, "medium": 1.0, "severe": 1.3}  # FE, height to 10 m, ASHRAE 160 (from memory)
DEPOSITION = {"steep-roof": 0.35, "low-roof": 0.5, "run-off": 1.0}  # FD, ASHRAE 160 (from memory)


@dataclass(frozen=True, eq=False)
class WeatherYear:
    """Hourly series, each of shape (8760,)."""

    name: str  # of the place, as it prints
    kind: str  # "hourly file" or "synthetic year"
    latitude: float  # north positive [deg]
    longitude: float  # east positive [deg]
    elevation: float  # [m]
    utc_offset: float  # of local standard time [h]
    temperature: Array  # dry-bulb [°C]
    vapor_pressure: Array  # [Pa]
    horizontal: Array  # global, on a level plane [W/m²]
    beam: Array  # normal to the sun [W/m²]
    diffuse: Array  # from the sky, on a level plane [W/m²]
    sky_longwave: Array  # on a level plane [W/m²]
    wind: Array  # airport mast, about 10 m up [m/s]
    wind_from: Array  # direction that it comes from [deg]
    rain: Array  # on level ground [kg/(m²·h)], which is mm/h
    sun_shift: float = 0.0  # minutes added to the clock for the sun's position, where the file's columns run early
    notes: tuple[str, ...] = ()
    digest: str = ""  # of what the year was made from, for kept results
    _sun: dict[str, Array] = field(default_factory=dict, repr=False, compare=False)

    def wall_sun(self, orientation: str) -> Array:
        """Sun on an unshaded wall that faces `N`, `E`, `S` or `W`, kept after the first call. [W/m²]"""
        if orientation not in self._sun:
            self._sun[orientation] = wall_irradiance(self, AZIMUTHS[orientation])
        return self._sun[orientation]


def wall_irradiance(year: WeatherYear, azimuth: float) -> Array:
    """Beam, sky diffuse (Perez 1990, all-sites composite) and ground-reflected sun on an unshaded wall.

    Parameters
    ----------
    year : WeatherYear
        Place and sun.
    azimuth : float
        That the wall faces, from north over east. [deg]

    Returns
    -------
    irradiance : array, shape (8760,)
        [W/m²]

    Source
    ------
    Perez et al. 1990 as implemented in pvlib; ground albedo 0.2, flat horizon.
    """
    from pvlib import irradiance

    sun = _sun_position(year.latitude, year.longitude, year.elevation, year.utc_offset, year.sun_shift)
    zenith, sun_azimuth, extra, airmass = sun
    up = zenith < 89.5
    cosine = np.cos(np.radians(zenith))
    incidence = irradiance.aoi_projection(90.0, azimuth, zenith, sun_azimuth)
    with np.errstate(all="ignore"):
        sky = irradiance.perez(90.0, azimuth, year.diffuse, year.beam, extra, zenith, sun_azimuth, airmass)
    sky = np.where(up & (year.diffuse > 0), np.nan_to_num(sky), year.diffuse / 2)
    beam = year.beam * np.where(up & (cosine > 0), np.maximum(incidence, 0.0), 0.0)
    return np.asarray(beam + np.maximum(sky, 0.0) + GROUND_REFLECTANCE / 2 * year.horizontal)


@lru_cache(maxsize=64)
def _sun_position(
    latitude: float, longitude: float, elevation: float, utc_offset: float, shift: float
) -> tuple[Array, Array, Array, Array]:
    """Apparent zenith and azimuth [deg], extraterrestrial sun [W/m²] and air mass at the middle of each hour."""
    import warnings

    import pandas as pd
    from pvlib import atmosphere, irradiance, solarposition

    times = pd.date_range("2001-01-01 00:30", periods=HOURS, freq="h", tz="UTC")
    times = times - pd.Timedelta(hours=utc_offset) + pd.Timedelta(minutes=shift)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # the library's own use of pandas
        sun = solarposition.get_solarposition(times, latitude, longitude, elevation)
        extra = np.asarray(irradiance.get_extra_radiation(times), dtype=np.float64)
    zenith = np.asarray(sun["apparent_zenith"], dtype=np.float64)
    with np.errstate(all="ignore"):
        airmass = np.asarray(atmosphere.get_relative_airmass(np.minimum(zenith, 89.9)), dtype=np.float64)
    return zenith, np.asarray(sun["azimuth"], dtype=np.float64), extra, airmass


def wall_longwave(year: WeatherYear) -> Array:
    """Long-wave radiation that reaches a wall: half sky, half ground at air temperature. [W/m²]

    Source
    ------
    First principles; view factors of a vertical plane over flat ground; ground emits as a black body at air
    temperature (common practice).
    """
    ground = STEFAN_BOLTZMANN * (year.temperature + 273.15) ** 4
    return np.asarray((year.sky_longwave + ground) / 2)


def driven_rain(year: WeatherYear, orientation: str, exposure: str = "medium", deposition: str = "low-roof") -> Array:
    """Rain that the wind drives onto a wall.

    Parameters
    ----------
    year : WeatherYear
        Rain and wind.
    orientation : str
        `N`, `E`, `S` or `W`.
    exposure, deposition : str
        Keys of `EXPOSURE` and `DEPOSITION`.

    Returns
    -------
    rain : array, shape (8760,)
        [kg/(m²·s)]

    Raises
    ------
    KeyError
        If a key is unknown.

    Source
    ------
    ASHRAE 160: r = FE FD FL U cos(angle) rh (form seen in public notes, factors from memory).
    """
    cosine = np.cos(np.radians(year.wind_from - AZIMUTHS[orientation]))
    factor = EXPOSURE[exposure] * DEPOSITION[deposition] * RAIN_FACTOR
    return np.asarray(factor * year.wind * np.maximum(cosine, 0.0) * year.rain / 3600.0)


def scaled_rain(year: WeatherYear, annual: float) -> WeatherYear:
    """The same year with its rain scaled to a yearly sum; hours and directions stay.

    Parameters
    ----------
    year : WeatherYear
        With rain in at least one hour.
    annual : float
        Rain of an average year. [kg/m²], which is mm

    Raises
    ------
    ValueError
        If the year has no rain to scale.
    """
    from dataclasses import replace

    total = float(year.rain.sum())
    if total <= 0:
        raise ValueError("a year without rain cannot be scaled to a yearly sum")
    note = f"rain of {total:.0f} mm a year scaled to the normal of {annual:.0f} mm"
    return replace(year, rain=year.rain * (annual / total), notes=(*year.notes, note), _sun=year._sun)
