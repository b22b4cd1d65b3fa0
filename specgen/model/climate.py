"""The climate of a listed city: twelve months of a typical year, its design temperatures and yearly rain, in SI."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

EARTH_RADIUS = 6.371e6  # mean [m]


@dataclass(frozen=True, slots=True)
class MonthClimate:
    """Means over one month of a typical year; irradiances over all 24 h."""

    month: int  # 1..12
    temperature: float  # dry-bulb [°C]
    daily_range: float  # mean of each day's highest less lowest hour [K]
    humidity: float  # relative, mean of the hours, 0..1
    vapor_pressure: float  # mean of the hours [Pa]
    sun_horizontal: float  # [W/m²]
    sun_north: float  # on an unshaded wall that faces north [W/m²]
    sun_east: float
    sun_south: float
    sun_west: float
    wind: float  # airport mast, about 10 m up [m/s]
    sky_temperature: float  # [°C]; a wall sees about half sky, half ground


@dataclass(frozen=True, slots=True)
class RainNormal:
    """Rain of an average year over a named period."""

    annual: float  # [m]
    period: str
    source: str
    status: str


@dataclass(frozen=True, slots=True)
class CityClimate:
    """One city of the list; two of them are equal if their keys are."""

    key: str
    name: str = field(compare=False)
    state: str = field(compare=False)
    county: str = field(compare=False)
    station: str = field(compare=False)  # number of the weather station
    latitude: float = field(compare=False)  # north positive [deg]
    longitude: float = field(compare=False)  # east positive [deg]
    elevation: float = field(compare=False)  # [m]
    utc_offset: float = field(compare=False)  # of standard time [h]
    zone_older: str = field(compare=False)  # by the map of the 2018 code: "3A"
    zone_newer: str = field(compare=False)  # by the map of the 2021 and 2024 codes
    winter_extreme: float = field(compare=False)  # exceeded in 99.6 % of the hours [°C]
    winter_design: float = field(compare=False)  # exceeded in 99 % of the hours [°C]
    summer_design: float = field(compare=False)  # exceeded in 1 % of the hours [°C]
    summer_extreme: float = field(compare=False)  # exceeded in 0.4 % of the hours [°C]
    months: tuple[MonthClimate, ...] = field(compare=False)  # January first
    rain: tuple[RainNormal, ...] = field(compare=False)  # the best known period first
    source: str = field(compare=False)  # id of the table of sources; for months and design temperatures
    status: str = field(compare=False)
    design_note: str = field(compare=False)  # what the design temperatures are not

    @property
    def title(self) -> str:
        """`Houston, TX`."""
        return f"{self.name}, {self.state}"

    @property
    def annual_temperature(self) -> float:
        """Mean over the year, each month by its days. [°C]"""
        return sum(m.temperature * d for m, d in zip(self.months, DAYS, strict=True)) / sum(DAYS)

    def distance(self, latitude: float, longitude: float) -> float:
        """Along a great circle to a place. [m]

        Parameters
        ----------
        latitude, longitude : float
            North and east positive. [deg]

        Source
        ------
        First principles: haversine on a sphere of the earth's mean radius.
        """
        a, b = math.radians(self.latitude), math.radians(latitude)
        half = math.sin((b - a) / 2) ** 2
        half += math.cos(a) * math.cos(b) * math.sin(math.radians(longitude - self.longitude) / 2) ** 2
        return 2 * EARTH_RADIUS * math.asin(min(1.0, math.sqrt(half)))


MONTH_NAMES = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November",
    "December",
)  # fmt: skip
DAYS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)  # of each month of a typical year
