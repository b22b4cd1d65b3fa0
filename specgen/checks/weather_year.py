"""The hourly year that a wall is run in: made from the tables of a listed city, or taken from an hourly file."""

from __future__ import annotations

from functools import lru_cache
from typing import Protocol

import numpy as np

from specgen.data import load_table
from specgen.model.climate import CityClimate
from specgen.physics.air import saturation_pressure_over_water
from specgen.physics.synthetic_year import MonthlyMeans, Place, synthetic_year
from specgen.physics.weather import WeatherYear, scaled_rain


@lru_cache(maxsize=64)
def city_year(city: CityClimate) -> WeatherYear:
    """The synthetic year of a listed city.

    Source
    ------
    Monthly means of a typical year (`data/climate_monthly.csv`); rain hours and directions (`data/climate_rain.yaml`);
    yearly rain by the best known normal of the city.
    """
    rain = load_table("climate_rain")["cities"][city.key]
    months = [
        MonthlyMeans(
            temperature=month.temperature,
            daily_range=month.daily_range,
            vapor_pressure=month.vapor_pressure,
            horizontal_sun=month.sun_horizontal,
            sky_temperature=month.sky_temperature,
            wind=month.wind,
            rain_share=share,
            rain_hours=hours,
        )
        for month, share, hours in zip(city.months, rain["share"], rain["hours"], strict=True)
    ]
    n, e, s, w = (float(value) for value in rain["walls"])
    place = Place(
        key=city.key,
        name=city.title,
        latitude=city.latitude,
        longitude=city.longitude,
        elevation=city.elevation,
        utc_offset=city.utc_offset,
        cold=city.winter_design,
        hot=city.summer_design,
        rain=city.rain[0].annual * 1000.0,
        rain_wind=float(rain["wind"]),
        rain_walls=(n, e, s, w),
    )
    return synthetic_year(place, months)


class Hourly(Protocol):
    """An hourly file as the library reads it."""

    @property
    def name(self) -> str: ...
    @property
    def latitude(self) -> float: ...
    @property
    def longitude(self) -> float: ...
    @property
    def utc_offset(self) -> float: ...
    @property
    def elevation(self) -> float: ...
    @property
    def series(self) -> dict[str, list[float]]: ...
    @property
    def rain(self) -> list[float]: ...
    @property
    def digest(self) -> str: ...


def file_year(file: Hourly, annual_rain: float | None = None) -> WeatherYear:
    """The year of an hourly file.

    Parameters
    ----------
    file : Hourly
        As `library/weather_file.py` reads it.
    annual_rain : float or None
        Rain normal that the file's rain is scaled to, since its own sum is no record; None leaves it. [m]
    """
    series = {name: np.array(values, dtype=np.float64) for name, values in file.series.items()}
    dew = np.minimum(series["dew-point temperature"], series["dry-bulb temperature"])
    year = WeatherYear(
        name=file.name,
        kind="hourly file",
        latitude=file.latitude,
        longitude=file.longitude,
        elevation=file.elevation,
        utc_offset=file.utc_offset,
        temperature=series["dry-bulb temperature"],
        vapor_pressure=np.array([saturation_pressure_over_water(t) for t in dew]),
        horizontal=series["global horizontal radiation"],
        beam=series["direct normal radiation"],
        diffuse=series["diffuse horizontal radiation"],
        sky_longwave=series["horizontal infrared radiation"],
        wind=series["wind speed"],
        wind_from=series["wind direction"],
        rain=np.array(file.rain, dtype=np.float64),
        digest=file.digest,
    )
    if annual_rain is None or year.rain.sum() <= 0:
        return year
    return scaled_rain(year, annual_rain * 1000.0)
