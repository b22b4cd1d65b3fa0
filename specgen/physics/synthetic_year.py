"""A deterministic hourly year from monthly means: temperature, vapor, sun, sky, wind and rain that go together.

Days follow one another with memory; wet days are dim and mild, rain falls in spells while the air is humid, and its
wind comes from where the driving rain of the place comes from. Every month keeps the mean temperature, vapor
pressure, sun and wind, and the share of the yearly rain, that it was given. Real extremes are rarer in it than
outdoors; where a verdict hangs on them, an hourly file decides.
"""

from __future__ import annotations

import zlib
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from specgen.physics.air import saturation_pressure
from specgen.physics.weather import STEFAN_BOLTZMANN, WeatherYear, _sun_position

Array = NDArray[np.float64]
Index = NDArray[np.int64]

DAYS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
DAY_MEMORY = 0.72  # correlation of one day's mean temperature with the next (common practice)
SPELL = 3.0  # mean length of a spell of rain [h] (common practice)
DIM = 0.45  # clearness of a day with rain over that of a dry one (common practice)
RAIN_HUMIDITY = 0.90  # least relative humidity in an hour of rain (common practice)
MOST_HUMIDITY = 0.995
SECTOR = np.radians(30.0)  # wind of rain strays so far to either side of the four directions [rad]
# Share of the daily range below the day's maximum, 1 h to 24 h; ASHRAE Handbook of Fundamentals (from memory).
RANGE_SHARES = np.array([
    0.87, 0.92, 0.96, 0.99, 1.00, 0.98, 0.93, 0.84, 0.71, 0.56, 0.39, 0.23,
    0.11, 0.03, 0.00, 0.03, 0.10, 0.21, 0.34, 0.47, 0.58, 0.68, 0.76, 0.82,
])  # fmt: skip


@dataclass(frozen=True, slots=True)
class MonthlyMeans:
    """What one month keeps."""

    temperature: float  # [°C]
    daily_range: float  # [K]
    vapor_pressure: float  # [Pa]
    horizontal_sun: float  # over all 24 h [W/m²]
    sky_temperature: float  # [°C]
    wind: float  # [m/s]
    rain_share: float  # of the year's rain, 0..1
    rain_hours: int


@dataclass(frozen=True, slots=True)
class Place:
    """Where, how cold and hot, and how its rain comes."""

    key: str  # seeds the random numbers, so that a place has one year only
    name: str
    latitude: float  # [deg]
    longitude: float  # [deg]
    elevation: float  # [m]
    utc_offset: float  # [h]
    cold: float  # temperature exceeded in 99 % of the hours [°C]
    hot: float  # exceeded in 1 % [°C]
    rain: float  # of an average year [kg/m²]
    rain_wind: float  # mean wind weighted by rain [m/s]
    rain_walls: tuple[float, float, float, float]  # driving rain on N, E, S, W for each m of rain [kg/m²]


def synthetic_year(place: Place, months: Sequence[MonthlyMeans]) -> WeatherYear:
    """The year of a place.

    Parameters
    ----------
    place : Place
        Position, extremes, rain.
    months : sequence of MonthlyMeans, length 12
        January first.

    Returns
    -------
    year : WeatherYear
        The same for the same arguments, on every machine.

    Source
    ------
    Our own construction from monthly means; sun split by Erbs et al. 1982 as implemented in pvlib.
    """
    random = np.random.Generator(np.random.PCG64(zlib.crc32(place.key.encode())))
    month = np.repeat(np.arange(12), DAYS)  # of each day
    rain = _rain(place, months, random)
    wet = rain.reshape(365, 24).sum(axis=1) > 0
    temperature = _temperature(place, months, month, wet, random)
    pressure = _vapor(months, month, temperature, rain > 0, random)
    horizontal = _sun(place, months, month, wet, random)
    beam, diffuse = _split(place, horizontal)
    wind, wind_from = _wind(place, months, month, rain, random)
    sky = _sky(months, month, temperature, horizontal, wet)
    return WeatherYear(
        name=place.name,
        kind="synthetic year",
        latitude=place.latitude,
        longitude=place.longitude,
        elevation=place.elevation,
        utc_offset=place.utc_offset,
        temperature=temperature,
        vapor_pressure=pressure,
        horizontal=horizontal,
        beam=beam,
        diffuse=diffuse,
        sky_longwave=STEFAN_BOLTZMANN * (sky + 273.15) ** 4,
        wind=wind,
        wind_from=wind_from,
        rain=rain,
        digest=f"{zlib.crc32(repr((place, tuple(months))).encode()):08x}",
    )


def _rain(place: Place, months: Sequence[MonthlyMeans], random: np.random.Generator) -> Array:
    """Spells of rain: a month's hours in spells of a few hours at random places, amounts exponential."""
    found = np.zeros(8760)
    shares = sum(means.rain_share for means in months) or 1.0
    start = 0
    for days, means in zip(DAYS, months, strict=True):
        hours = days * 24
        wet = np.zeros(hours, dtype=bool)
        target = min(max(means.rain_hours, 1 if means.rain_share > 0 else 0), hours // 2)
        while wet.sum() < target:
            length = min(int(random.geometric(1 / SPELL)), target - int(wet.sum()))
            at = int(random.integers(0, hours - length))
            wet[at : at + length] = True
        amounts = random.exponential(1.0, int(wet.sum()))
        if amounts.size:
            found[start : start + hours][wet] = amounts / amounts.sum() * means.rain_share / shares * place.rain
        start += hours
    return found


def _temperature(
    place: Place, months: Sequence[MonthlyMeans], month: Index, wet: NDArray[np.bool_], random: np.random.Generator
) -> Array:
    """Monthly mean, days with memory spread to the place's extremes, and the daily swing, small on wet days."""
    mean = np.array([m.temperature for m in months])
    swing = np.array([m.daily_range for m in months])
    coldest, warmest = int(mean.argmin()), int(mean.argmax())
    # 1 % of a year's hours are 4 % of a season's: 1.75 deviations out, the daily swing among them.
    cold = _day_spread((mean[coldest] + 1.0 - place.cold) / 1.75, swing[coldest], 9.0)
    hot = _day_spread((place.hot - mean[warmest] + 0.5) / 1.75, swing[warmest], 5.0)
    span = max(mean[warmest] - mean[coldest], 1e-6)
    spread = hot + (cold - hot) * (mean[warmest] - mean) / span
    noise = np.empty(365)
    value = 0.0
    for day, shock in enumerate(random.standard_normal(365)):
        value = DAY_MEMORY * value + np.sqrt(1 - DAY_MEMORY**2) * shock
        noise[day] = value
    anomaly = _centered(noise * spread[month], month)
    daily = swing[month] * np.where(wet, 0.6, 1.0)
    daily *= swing[month].sum() / daily.sum()  # dry days swing more, so that the year keeps its range
    shape = 0.5 - RANGE_SHARES
    hourly = np.repeat(_smooth_mean(mean) + anomaly, 24) + (daily[:, None] * shape).ravel()
    return _keep_mean(_blended(hourly), np.repeat(month, 24), mean)


def _day_spread(total: float, swing: float, most: float) -> float:
    """Deviation of the days' means that is left of the hours' deviation once the daily swing is taken off. [K]"""
    return float(np.clip(np.sqrt(max(total**2 - swing**2 / 8, 0.0)), 0.8, most))


def _smooth_mean(mean: Array) -> Array:
    """Daily values between the middles of the months."""
    ends = np.cumsum(DAYS)
    middles = ends - np.array(DAYS) / 2
    days = np.arange(365) + 0.5
    return np.asarray(
        np.interp(days, np.r_[middles[-1] - 365, middles, middles[0] + 365], np.r_[mean[-1], mean, mean[0]])
    )


def _centered(values: Array, month: Index) -> Array:
    found = values.copy()
    for number in range(12):
        found[month == number] -= found[month == number].mean()
    return found


def _blended(hourly: Array) -> Array:
    """Days joined without a jump at midnight: five hours averaged around it."""
    padded = np.r_[hourly[-2:], hourly, hourly[:2]]
    smooth = np.convolve(padded, np.full(5, 0.2), "valid")
    near = np.isin(np.arange(8760) % 24, (22, 23, 0, 1))
    return np.where(near, smooth, hourly)


def _keep_mean(values: Array, month: Index, mean: Array) -> Array:
    found = values.copy()
    for number in range(12):
        found[month == number] += mean[number] - found[month == number].mean()
    return found


def _vapor(
    months: Sequence[MonthlyMeans],
    month: Index,
    temperature: Array,
    raining: NDArray[np.bool_],
    random: np.random.Generator,
) -> Array:
    """Vapor pressure: warm days are the humid ones, never above saturation, near it while it rains."""
    hourly_month = np.repeat(month, 24)
    saturation = np.array([saturation_pressure(t) for t in temperature])
    ceiling = MOST_HUMIDITY * saturation
    day_mean = np.repeat(temperature.reshape(365, 24).mean(axis=1), 24)
    found = np.empty(8760)
    stray = np.repeat(np.exp(0.12 * random.standard_normal(365)), 24)
    for number, means in enumerate(months):
        at = hourly_month == number
        shape = np.exp(0.045 * (day_mean[at] - means.temperature)) * stray[at]
        floor = np.where(raining[at], RAIN_HUMIDITY * saturation[at], 0.0)
        low, high = 0.0, 20.0 * means.vapor_pressure
        for _ in range(60):  # the level that keeps the mean under floor and ceiling
            level = (low + high) / 2
            values = np.clip(level * shape, floor, ceiling[at])
            low, high = (level, high) if values.mean() < means.vapor_pressure else (low, level)
        found[at] = values
    return found


def _sun(
    place: Place, months: Sequence[MonthlyMeans], month: Index, wet: NDArray[np.bool_], random: np.random.Generator
) -> Array:
    """Clear-sky sun (Haurwitz) dimmed day by day, each month scaled to its mean."""
    zenith, *_ = _sun_position(place.latitude, place.longitude, place.elevation, place.utc_offset, 0.0)
    cosine = np.maximum(np.cos(np.radians(zenith)), 0.0)
    with np.errstate(all="ignore"):
        clear = np.where(cosine > 0.01, 1098.0 * cosine * np.exp(-0.057 / np.maximum(cosine, 0.01)), 0.0)
    dimmed = np.clip(random.beta(3.0, 1.2, 365), 0.1, 1.0) * np.where(wet, DIM, 1.0)
    found = clear * np.repeat(dimmed, 24)
    hourly_month = np.repeat(month, 24)
    for number, means in enumerate(months):
        at = hourly_month == number
        mean = found[at].mean()
        if mean > 0:
            found[at] = _dimmed_to(found[at], clear[at], means.horizontal_sun)
    return found


def _dimmed_to(values: Array, clear: Array, mean: float) -> Array:
    """Scaled to a mean, no hour much above the clear sky."""
    low, high = 0.0, 30.0
    scaled = values
    for _ in range(50):
        factor = (low + high) / 2
        scaled = np.minimum(values * factor, 1.05 * clear)
        low, high = (factor, high) if scaled.mean() < mean else (low, factor)
    return scaled


def _split(place: Place, horizontal: Array) -> tuple[Array, Array]:
    """Beam normal to the sun and sky diffuse, by the clearness of the hour (Erbs et al. 1982, pvlib)."""
    from pvlib import irradiance

    zenith, _, extra, _ = _sun_position(place.latitude, place.longitude, place.elevation, place.utc_offset, 0.0)
    with np.errstate(all="ignore"):
        clearness = irradiance.clearness_index(horizontal, zenith, extra)
    diffuse_share = np.where(
        clearness <= 0.22,
        1 - 0.09 * clearness,
        np.where(
            clearness <= 0.8,
            0.9511 - 0.1604 * clearness + 4.388 * clearness**2 - 16.638 * clearness**3 + 12.336 * clearness**4,
            0.165,
        ),
    )
    diffuse = horizontal * diffuse_share
    cosine = np.cos(np.radians(zenith))
    beam = np.where(cosine > 0.065, (horizontal - diffuse) / np.maximum(cosine, 0.065), 0.0)
    diffuse = horizontal - beam * np.maximum(cosine, 0.0)
    return np.minimum(beam, 1100.0), diffuse


def _wind(
    place: Place, months: Sequence[MonthlyMeans], month: Index, rain: Array, random: np.random.Generator
) -> tuple[Array, Array]:
    """Speed with a Rayleigh spread about the monthly mean; direction in rain from where driving rain comes."""
    mean = np.repeat(np.array([m.wind for m in months])[month], 24)
    daily = np.repeat(random.rayleigh(np.sqrt(2 / np.pi), 365), 24)
    speed = mean * daily * (1 + 0.25 * np.sin(2 * np.pi * (np.arange(8760) % 24 - 9) / 24))
    from_ = np.repeat(random.uniform(0, 360, 365), 24)
    raining = rain > 0
    sectors = _sector_shares(place)
    count = int(raining.sum())
    if count:
        # Sectors in turn by their share of the rain, so that a small number of hours keeps the shares.
        order = random.permutation(np.flatnonzero(raining))
        bounds = np.cumsum(sectors) * rain.sum()
        poured = np.cumsum(rain[order]) - rain[order] / 2
        sector = np.searchsorted(bounds, poured).clip(0, 3)
        from_[order] = (90.0 * sector + np.degrees(random.uniform(-SECTOR, SECTOR, count))) % 360
        weight = (speed[raining] * rain[raining]).sum() / rain.sum()
        speed[raining] *= place.rain_wind / weight
    return np.maximum(speed, 0.1), from_


def _sector_shares(place: Place) -> Array:
    """Share of the rain that comes with wind from N, E, S, W, so that the walls get their driving rain."""
    own = np.sin(SECTOR) / SECTOR  # mean cosine within a sector
    side = (1 - np.cos(SECTOR)) / SECTOR / 2  # mean of the positive part on a wall a quarter turn off
    matrix = own * np.eye(4) + side * (np.roll(np.eye(4), 1, axis=1) + np.roll(np.eye(4), -1, axis=1))
    shares = np.linalg.solve(matrix, np.array(place.rain_walls, dtype=np.float64))
    shares = np.maximum(shares, 0.01)
    return np.asarray(shares / shares.sum())


def _sky(
    months: Sequence[MonthlyMeans], month: Index, temperature: Array, horizontal: Array, wet: NDArray[np.bool_]
) -> Array:
    """Sky temperature: below the air by the monthly difference, more on clear days than on wet ones. [°C]"""
    hourly_month = np.repeat(month, 24)
    day_sun = horizontal.reshape(365, 24).mean(axis=1)
    below = np.empty(365)
    for number in range(12):
        at = month == number
        clear = day_sun[at] / max(day_sun[at].mean(), 1.0)
        below[at] = np.clip(clear, 0.2, 1.5) * np.where(wet[at], 0.7, 1.0)
    sky = temperature - np.repeat(below, 24)
    for number, means in enumerate(months):
        at = hourly_month == number
        drop = means.temperature - means.sky_temperature
        scale = np.repeat(below, 24)[at]
        sky[at] = temperature[at] - scale * drop / scale.mean()
    return sky
