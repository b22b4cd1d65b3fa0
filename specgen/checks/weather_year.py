"""The hourly year that stands for a listed city: made from its monthly table, its rain hours and its rain normal."""

from __future__ import annotations

from functools import lru_cache

from specgen.data import load_table
from specgen.model.climate import CityClimate
from specgen.physics.synthetic_year import MonthlyMeans, Place, synthetic_year
from specgen.physics.weather import WeatherYear


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
