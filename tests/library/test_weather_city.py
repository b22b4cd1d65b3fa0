"""Cities that stand for a place: by name, by position, by zone and edition; the table behind them."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from specgen import data
from specgen.data import load_table, source
from specgen.errors import InputError, NotComputableError, UnknownNameError
from specgen.library.load import load_project
from specgen.library.sites import project_site, site_from_county, site_from_zone, with_weather
from specgen.library.weather_city import cities_of_zone, find_city, listed_cities, nearest_city
from specgen.physics.air import saturation_pressure_over_water
from specgen.resources import shipped


def test_every_city_has_twelve_months_and_known_sources() -> None:
    assert len(listed_cities()) == 28
    for city in listed_cities():
        assert [month.month for month in city.months] == list(range(1, 13)), city.key
        assert city.winter_extreme <= city.winter_design < city.summer_design <= city.summer_extreme
        for normal in city.rain:
            assert source(normal.source)["title"] and normal.status in ("secondary", "from-memory")
        source(city.source)


def test_checksum_of_cities() -> None:
    table = load_table("climate_cities")
    rows = table["cities"].values()
    found = {name: sum(row[name] for row in rows) for name in ("latitude", "db_99", "db_1")}
    found |= {"cities": len(rows), "rain": sum(normal["value"] for row in rows for normal in row["rain"])}
    assert found == pytest.approx(table["checksum"])


def test_checksum_of_months() -> None:
    # Sums of the columns as carried over, so that no cell changes unseen.
    path = Path(data.__file__).parent / "climate_monthly.csv"
    rows = list(csv.DictReader(line for line in path.read_text(encoding="utf-8").splitlines() if line[0] != "#"))
    found = {name: round(sum(float(row[name]) for row in rows), 2) for name in rows[0] if name not in ("city", "month")}
    assert len(rows) == 28 * 12
    assert found == MONTH_SUMS


def test_degree_days_of_the_months_agree_with_the_zone() -> None:
    # IECC thermal zones, HDD base 18 °C (limits: ASHRAE 90.1-2010 Table B-4, secondary): from monthly means the sum is
    # a little low, so a city may fall one zone short, never beyond.
    limits = {3: (0, 2000), 4: (2000, 3000), 5: (3000, 4000), 6: (4000, 5000), 7: (5000, 7000), 8: (7000, 99999)}
    days = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
    for city in listed_cities():
        zone = int(city.zone_newer[0])
        hdd = sum(max(0.0, 18.33 - m.temperature) * d for m, d in zip(city.months, days, strict=True))
        low, high = limits.get(zone, (0, 2000))
        assert low - 300 <= hdd <= high, (city.key, hdd)


def test_vapor_pressure_of_every_month_is_that_of_its_air() -> None:
    # Mean of hours against mean of temperature and humidity: in deserts the hot hours are the dry ones, so up to a
    # fifth apart; in frost a few mild days hold most of the vapor.
    for city in listed_cities():
        for month in city.months:
            mean = month.humidity * saturation_pressure_over_water(month.temperature)
            assert mean == pytest.approx(month.vapor_pressure, rel=0.2 if month.temperature > 0 else 0.35), (
                city.key,
                month.month,
            )


def test_nearest_city_and_its_distance() -> None:
    # Great-circle distance Seattle-Tacoma airport to San Francisco airport: 679 statute miles, as airline tables print
    # it (from memory).
    seattle, francisco = find_city("Seattle"), find_city("San Francisco, CA")
    assert seattle.distance(francisco.latitude, francisco.longitude) / 1609.344 == pytest.approx(679, abs=3)
    assert nearest_city(29.76, -95.37)[0].title == "Houston, TX"
    site = with_weather(site_from_zone("2A"), latitude=29.95, longitude=-90.07)  # New Orleans
    assert site.cities[0].title == "Houston, TX" and site.city_distance_km == pytest.approx(510, abs=10)


def test_names() -> None:
    assert find_city("dallas").key == "dallas-tx"
    assert find_city("New York").key == "new-york-ny"
    with pytest.raises(UnknownNameError, match=r"weather city 'Huston' does not exist; did you mean 'Houston, TX'"):
        find_city("Huston")
    with pytest.raises(NotComputableError, match="is no place"):
        nearest_city(129.0, 0.0)


def test_zone_and_edition_choose_the_cities() -> None:
    assert [city.key for city in cities_of_zone("2A", "2021")] == ["houston-tx", "dallas-tx"]
    assert [city.key for city in cities_of_zone("2A", "2018")] == ["houston-tx"]
    assert (
        site_from_zone("4A", "2024").cities
        == site_from_zone("4A", "2021").cities
        != site_from_zone("4A", "2018").cities
    )
    assert "every listed city of zone 2A" in site_from_zone("2A").city_remark
    assert not site_from_zone("1B").cities and "no listed weather city" in site_from_zone("1B").city_remark


def test_county_with_a_listed_city_takes_it() -> None:
    assert [city.key for city in site_from_county("Harris, TX").cities] == ["houston-tx"]
    assert [city.key for city in site_from_county("Travis, TX").cities] == ["houston-tx", "dallas-tx"]


def test_city_of_another_zone_is_remarked() -> None:
    site = with_weather(site_from_zone("2A"), "Chicago")
    assert site.city_remark == "Chicago, IL is in zone 5A by the map of the 2021 code, the site in 2A"


def test_half_a_position_is_refused() -> None:
    project = load_project(shipped("assemblies") / "demo" / "project.yaml")
    entry = project.sites[0].model_copy(update={"latitude": 29.76})
    with pytest.raises(InputError, match="half a position"):
        project_site(project.model_copy(update={"sites": (entry,)}), entry.id)
    whole = entry.model_copy(update={"longitude": -95.37})
    site = project_site(project.model_copy(update={"sites": (whole,)}), entry.id)
    assert [city.key for city in site.cities] == ["houston-tx"] and site.city_distance_km == pytest.approx(
        26.7, abs=0.1
    )


MONTH_SUMS = {
    "db_mean_c": 4667.25,
    "db_daily_range_k": 3554.25,
    "rh_mean_pct": 20857.6,
    "pv_mean_pa": 370595.0,
    "ghi_mean_w_m2": 61432.9,
    "sol_n_w_m2": 16976.6,
    "sol_e_w_m2": 36724.7,
    "sol_s_w_m2": 45566.1,
    "sol_w_w_m2": 36445.9,
    "wind_mean_m_s": 1300.87,
    "sky_temp_mean_c": 877.88,
}
