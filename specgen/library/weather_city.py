"""Which listed cities stand for a place: the one named, the nearest one, or every one of the climate zone.

Facts come from `data/climate_cities.yaml` and `data/climate_monthly.csv`. The list has no position of counties, so a
county is met only by a city that lies in it.
"""

from __future__ import annotations

import csv
import math
import re
import unicodedata
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from specgen import data
from specgen.data import load_table
from specgen.errors import NotComputableError, UnknownNameError
from specgen.model.climate import CityClimate, MonthClimate, RainNormal

OLDER_MAP_EDITIONS = ("2018",)  # the map called 2015; 2021 and later use the newer one


@dataclass(frozen=True, slots=True)
class WeatherChoice:
    """The cities that a site is judged with, and why these."""

    cities: tuple[CityClimate, ...]
    distance: float | None = None  # from the site to the one city, None if the site has no position [m]
    remark: str = ""


@cache
def listed_cities() -> tuple[CityClimate, ...]:
    """Every city of the list, in its order."""
    table = load_table("climate_cities")
    months = _months()
    return tuple(_city(key, row, months[key], table) for key, row in table["cities"].items())


def find_city(name: str) -> CityClimate:
    """The listed city of a name: `Houston`, `Houston, TX`, `houston-tx`, or a beginning that only one bears, `Dallas`.

    Raises
    ------
    UnknownNameError
        If no listed city bears the name; names the nearest.
    """
    wanted = _plain(name)
    named = [city for city in listed_cities() if wanted in (_plain(city.title), _plain(city.name))]
    begun = [city for city in listed_cities() if wanted and f"{_plain(city.title)} ".startswith(f"{wanted} ")]
    found = named or begun
    if len(found) == 1:
        return found[0]
    raise UnknownNameError("weather city", name.strip(), [city.title for city in listed_cities()])


def nearest_city(latitude: float, longitude: float) -> tuple[CityClimate, float]:
    """The listed city nearest to a place, and how far off it is in meters.

    Parameters
    ----------
    latitude, longitude : float
        North and east positive. [deg]

    Raises
    ------
    NotComputableError
        If that is no place on earth.
    """
    if not (math.isfinite(latitude) and abs(latitude) <= 90 and math.isfinite(longitude) and abs(longitude) <= 180):
        raise NotComputableError(
            f"latitude {latitude:g}, longitude {longitude:g} is no place; expected -90 to 90 and -180 to 180 degrees, "
            f"north and east positive"
        )
    return min(((city, city.distance(latitude, longitude)) for city in listed_cities()), key=lambda pair: pair[1])


def cities_of_zone(zone: str, edition: str) -> tuple[CityClimate, ...]:
    """Every listed city of a climate zone, by the county map of an edition of the energy code."""
    older = edition in OLDER_MAP_EDITIONS
    return tuple(city for city in listed_cities() if (city.zone_older if older else city.zone_newer) == zone)


def choose(zone: str, edition: str, county: str = "", state: str = "") -> WeatherChoice:
    """Cities for a site without a position: the city of its county, else every listed city of its zone.

    Parameters
    ----------
    zone : str
        `2A`.
    edition : str
        Of the energy code; it says which county map holds.
    county, state : str
        Name of the county and code of its state, empty if not known.
    """
    for city in listed_cities():
        if county and (city.county, city.state) == (county, state):
            return WeatherChoice((city,), remark=f"{city.title} is in the county")
    cities = cities_of_zone(zone, edition)
    if not cities:
        return WeatherChoice((), remark=f"no listed weather city is in zone {zone} by the map of the {edition} code")
    names = "; ".join(city.title for city in cities)
    return WeatherChoice(cities, remark=f"every listed city of zone {zone}, the worst governs: {names}")


def choose_nearest(zone: str, edition: str, latitude: float, longitude: float) -> WeatherChoice:
    """The listed city nearest to a position, with a remark where it lies in another zone.

    Raises
    ------
    NotComputableError
        As for `nearest_city`.
    """
    city, distance = nearest_city(latitude, longitude)
    return WeatherChoice((city,), distance, _other_zone(city, zone, edition))


def choose_named(
    zone: str, edition: str, name: str, latitude: float | None = None, longitude: float | None = None
) -> WeatherChoice:
    """The city that was named, its distance if the position is known, with a remark where it lies in another zone.

    Raises
    ------
    UnknownNameError
        As for `find_city`.
    """
    city = find_city(name)
    known = latitude is not None and longitude is not None
    distance = city.distance(latitude or 0.0, longitude or 0.0) if known else None
    return WeatherChoice((city,), distance, _other_zone(city, zone, edition))


def _other_zone(city: CityClimate, zone: str, edition: str) -> str:
    own = city.zone_older if edition in OLDER_MAP_EDITIONS else city.zone_newer
    if own == zone:
        return ""
    return f"{city.title} is in zone {own} by the map of the {edition} code, the site in {zone}"


def _city(key: str, row: dict[str, Any], months: tuple[MonthClimate, ...], table: dict[str, Any]) -> CityClimate:
    return CityClimate(
        key=key,
        name=row["name"],
        state=row["state"],
        county=row["county"],
        station=row["station"],
        latitude=row["latitude"],
        longitude=row["longitude"],
        elevation=float(row["elevation"]),
        utc_offset=float(row["utc_offset"]),
        zone_older=row["zone_older"],
        zone_newer=row["zone_newer"],
        winter_extreme=row["db_99_6"],
        winter_design=row["db_99"],
        summer_design=row["db_1"],
        summer_extreme=row["db_0_4"],
        months=months,
        rain=tuple(RainNormal(r["value"] / 1000, str(r["period"]), r["source"], r["status"]) for r in row["rain"]),
        source=table["source"],
        status=table["status"],
        design_note=table["note"],
    )


@cache
def _months() -> dict[str, tuple[MonthClimate, ...]]:
    path = Path(data.__file__).parent / "climate_monthly.csv"
    found: dict[str, list[MonthClimate]] = {}
    with path.open(encoding="utf-8", newline="") as stream:
        for row in csv.DictReader(line for line in stream if not line.startswith("#")):
            month = MonthClimate(
                month=int(row["month"]),
                temperature=float(row["db_mean_c"]),
                daily_range=float(row["db_daily_range_k"]),
                humidity=float(row["rh_mean_pct"]) / 100,
                vapor_pressure=float(row["pv_mean_pa"]),
                sun_horizontal=float(row["ghi_mean_w_m2"]),
                sun_north=float(row["sol_n_w_m2"]),
                sun_east=float(row["sol_e_w_m2"]),
                sun_south=float(row["sol_s_w_m2"]),
                sun_west=float(row["sol_w_w_m2"]),
                wind=float(row["wind_mean_m_s"]),
                sky_temperature=float(row["sky_temp_mean_c"]),
            )
            found.setdefault(row["city"], []).append(month)
    return {key: tuple(months) for key, months in found.items()}


def _plain(text: str) -> str:
    letters = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode().lower()
    return " ".join(re.sub(r"[^a-z0-9]+", " ", letters).split())
