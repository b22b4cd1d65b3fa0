"""The hourly year of a city against the monthly table it was made from, and hourly files against what they hold."""

from __future__ import annotations

import gzip
import random
from pathlib import Path

import numpy as np
import pytest

from specgen.checks.weather_year import city_year, file_year
from specgen.data import load_table
from specgen.errors import InputError
from specgen.library.weather_city import find_city, listed_cities
from specgen.library.weather_file import read_weather_file
from specgen.physics.air import saturation_pressure
from specgen.physics.room import day_mean, room_air
from specgen.physics.weather import driven_rain, scaled_rain

DAYS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
CITIES = ("Houston, TX", "Phoenix, AZ", "Seattle, WA", "Chicago, IL", "Duluth, MN", "Miami, FL")


def by_month(values: np.ndarray) -> np.ndarray:
    ends = np.cumsum(np.array(DAYS) * 24)
    return np.array([part.mean() for part in np.split(values, ends[:-1])])


@pytest.mark.parametrize("name", CITIES)
def test_months_keep_their_means(name: str) -> None:
    # NREL TMY3 (2008), monthly means of the files (data/climate_monthly.csv).
    city = find_city(name)
    year = city_year(city)
    assert by_month(year.temperature) == pytest.approx([m.temperature for m in city.months], abs=1e-6)
    assert by_month(year.vapor_pressure) == pytest.approx([m.vapor_pressure for m in city.months], rel=0.03)
    assert by_month(year.horizontal) == pytest.approx([m.sun_horizontal for m in city.months], rel=0.02)
    assert year.rain.sum() == pytest.approx(city.rain[0].annual * 1000)


@pytest.mark.parametrize("name", CITIES)
def test_walls_get_the_sun_of_the_table(name: str) -> None:
    # The table's walls come from the hourly files by Perez 1990; its own model spread is 4 % (S, E, W) to 16 % (N).
    city = find_city(name)
    year = city_year(city)
    for orientation, part in zip("NESW", ("north", "east", "south", "west"), strict=True):
        table = np.average([getattr(m, f"sun_{part}") for m in city.months], weights=DAYS)
        assert year.wall_sun(orientation).mean() == pytest.approx(table, rel=0.12), orientation


@pytest.mark.parametrize("name", CITIES)
def test_cold_and_hot_hours_come_near_those_of_the_typical_year(name: str) -> None:
    city = find_city(name)
    year = city_year(city)
    assert np.percentile(year.temperature, 1) == pytest.approx(city.winter_design, abs=3.5)
    assert np.percentile(year.temperature, 99) == pytest.approx(city.summer_design, abs=1.5)


@pytest.mark.parametrize("name", CITIES)
def test_driving_rain_comes_from_where_the_table_says(name: str) -> None:
    city = find_city(name)
    year = city_year(city)
    table = np.array(load_table("climate_rain")["cities"][city.key]["walls"]) * city.rain[0].annual
    ours = np.array([driven_rain(year, side, "medium", "run-off").sum() * 3600 for side in "NESW"])
    assert ours.sum() == pytest.approx(table.sum(), rel=0.25)
    assert table[int(ours.argmax())] > 0.85 * table.max()


def test_air_is_never_supersaturated_and_humid_while_it_rains() -> None:
    for city in listed_cities()[::5]:
        year = city_year(city)
        humidity = year.vapor_pressure / np.array([saturation_pressure(t) for t in year.temperature])
        assert humidity.max() <= 1
        assert humidity[year.rain > 0].mean() > 0.85
        assert np.all(year.beam >= 0) and np.all(year.diffuse >= -1e-9)


def test_a_city_has_one_year_only() -> None:
    city = find_city("Denver, CO")
    again = city_year.__wrapped__(city)
    assert np.array_equal(again.temperature, city_year(city).temperature)
    assert np.array_equal(again.rain, city_year(city).rain)


def test_checksums_of_the_rain_table() -> None:
    table = load_table("climate_rain")
    assert sum(sum(row["hours"]) for row in table["cities"].values()) == table["checksum"]["hours"]
    assert sum(sum(row["walls"]) for row in table["cities"].values()) == pytest.approx(table["checksum"]["walls"])
    for row in table["cities"].values():
        assert sum(row["share"]) == pytest.approx(1, abs=0.001)


def test_simplified_room_of_ashrae_160() -> None:
    # ASHRAE 160 (from memory): -10 -> 40, 0 -> 50, 10 -> 60, 20 -> 70 % RH of the simplified rule; 70 °F heated.
    for outdoor, humidity in ((-10.0, 0.40), (0.0, 0.50), (5.0, 0.55), (10.0, 0.60), (15.0, 0.65)):
        indoors, pressure = room_air(np.full(48, outdoor), 23.9, 0.60, cooled=False)
        assert indoors[-1] == pytest.approx(21.1)
        assert pressure[-1] / saturation_pressure(21.1) == pytest.approx(humidity)
    indoors, pressure = room_air(np.full(48, 28.0), 23.9, 0.60)
    assert indoors[-1] == pytest.approx(23.9)
    assert pressure[-1] / saturation_pressure(23.9) == pytest.approx(0.60)


def test_day_mean_is_of_the_hours_that_end_with_it() -> None:
    hours = np.arange(48.0)
    assert day_mean(hours)[23] == pytest.approx(np.arange(24).mean())


def rows(hours: int = 8760) -> list[str]:
    cells = ["0"] * 35
    cells[6:8] = ["20.0", "10.0"]
    cells[12] = "350"
    cells[20:22] = ["180", "3.0"]
    cells[33] = "1.0"
    return [",".join(cells)] * hours


HEAD = ["LOCATION,Nowhere,ZZ,USA,invented,000000,30.0,-95.0,-6.0,20.0"] + ["X"] * 7


def written(folder: Path, lines: list[str]) -> Path:
    path = folder / "made.epw"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def test_hourly_file_is_read(tmp_path: Path) -> None:
    year = file_year(read_weather_file(written(tmp_path, HEAD + rows())))
    assert (year.name, year.latitude, year.utc_offset) == ("Nowhere, ZZ", 30.0, -6.0)
    assert year.vapor_pressure[0] == pytest.approx(saturation_pressure(10.0))
    assert scaled_rain(year, 1000.0).rain.sum() == pytest.approx(1000)
    packed = tmp_path / "made.epw.gz"
    packed.write_bytes(gzip.compress((tmp_path / "made.epw").read_bytes()))
    assert read_weather_file(packed).digest == year.digest


@pytest.mark.parametrize(
    ("spoil", "words"),
    [
        (lambda lines: ["PLACE", *lines[1:]], ":1:1: L081 'PLACE' begins the file; expected LOCATION"),
        (lambda lines: lines[:-1], "8759 hourly rows; expected 8760"),
        (
            lambda lines: [*lines[:9], lines[9].replace("20.0", "warm", 1), *lines[10:]],
            ":10:13: L081 'warm' is no number",
        ),
        (lambda lines: [*lines[:9], lines[9].replace("10.0", "99.9", 1), *lines[10:]], "is missing (99.9)"),
        (lambda lines: [*lines[:9], "1,2,3", *lines[10:]], ":10:1: L081 3 values in the row"),
    ],
)
def test_spoiled_hourly_file_names_the_place(tmp_path: Path, spoil, words: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(InputError) as caught:
        read_weather_file(written(tmp_path, spoil(HEAD + rows())))
    assert words in str(caught.value)


def test_older_files_name_their_place_in_latin_letters(tmp_path: Path) -> None:
    path = tmp_path / "made.epw"
    path.write_bytes("\n".join([HEAD[0].replace("Nowhere", "Nulle Á"), *HEAD[1:], *rows()]).encode("latin-1"))
    assert read_weather_file(path).name.startswith("Nulle Á")


def test_damaged_packed_file_is_one_message(tmp_path: Path) -> None:
    packed = bytearray(gzip.compress("\n".join(HEAD + rows()).encode()))
    packed[40:60] = b"\x00" * 20
    (tmp_path / "made.epw.gz").write_bytes(packed)
    with pytest.raises(InputError, match="cannot be read"):
        read_weather_file(tmp_path / "made.epw.gz")


def test_missing_hourly_file_is_one_message(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="no such weather file"):
        read_weather_file(tmp_path / "none.epw")


@pytest.mark.parametrize("seed", range(60))
def test_an_hourly_file_damaged_anywhere_is_read_or_refused(tmp_path: Path, seed: int) -> None:
    """Bytes cut, doubled, swapped or replaced: 8760 usable hours, or one clear message, and nothing else."""
    chance = random.Random(seed)
    content = bytearray("\n".join(HEAD + rows()).encode())
    for _ in range(chance.randint(1, 6)):
        # the head and the first hours most of all: there the layout is decided
        place = chance.randrange(chance.choice((200, 2000, len(content))))
        size = chance.randint(1, 40)
        piece = chance.choice(
            (b"", b",", b"\n", b"\x00", b"\xff\xfe", b"nan", b"1e999", b"-", b'"', b"999999", b"LOCATION,")
        )
        content[place : place + size] = piece * chance.randint(1, 3)
    path = tmp_path / "made.epw"
    path.write_bytes(content)
    try:
        year = file_year(read_weather_file(path))
    except InputError as error:
        assert "made.epw" in str(error)
        return
    for series in (year.temperature, year.vapor_pressure, year.wind, year.rain, year.sky_longwave):
        assert series.shape == (8760,) and np.isfinite(series).all()
