"""`python tests/review/weather_bias.py FOLDER` runs walls in the synthetic year and in the hourly file of each city.

Four orientations over three years, in a room by the simplified rule and in a drier one; nothing else is varied. FOLDER
holds EPW files (an open format, freely given by national weather services); they are not part of this repository.
Prints the table that stands in DEVELOPERS.md.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable
from pathlib import Path
from typing import NamedTuple

from specgen.checks.layers import Reading
from specgen.checks.transient import ORIENTATIONS, rank
from specgen.checks.transient_lanes import Asked, case_of, lanes
from specgen.checks.wall_problem import Choices, SimulatedWall
from specgen.checks.weather_year import city_year, file_year
from specgen.library.load import open_library
from specgen.library.weather_city import nearest_city
from specgen.library.weather_file import read_weather_file
from specgen.physics.room import Winter
from specgen.physics.weather import WeatherYear
from specgen.resources import shipped

WALLS = ("framed-stucco-drained", "framed-siding-mineral-board", "block-interior-batt-coated-siding")
ROOMS: tuple[Winter, ...] = ("simplified", "normal load")
NEAR = 40e3  # a file stands for a listed city within this distance [m]


class Answer(NamedTuple):
    """The worst facing of one wall in one room and year, and the facings that do not meet."""

    humidity: float
    mold: float
    meets: bool
    fails: str


def answer(wall: SimulatedWall, year: WeatherYear, room: Winter) -> Answer:
    ways = [cells for cells in wall.masonry if cells != "grouted"]
    asked = [Asked("", "", Choices(orientation=o, cells=cells, winter=room)) for cells in ways for o in ORIENTATIONS]
    cases = [case_of(wall, lane) for lane in lanes(wall, asked, year)]
    failing = sorted({case.orientation for case in cases if not case.meets}, key="NESW".index)
    worst = max(cases, key=rank)
    humidity = worst.plane.humidity_30 if worst.plane else worst.surface_humidity
    return Answer((humidity or 0.0) * 100, worst.index, worst.meets, "".join(failing) or "none")


def apart(pairs: Iterable[tuple[Answer, Answer]]) -> tuple[list[float], list[float]]:
    """Synthetic less file: 30-day humidity in points, and mold index."""
    found = list(pairs)
    return [a.humidity - b.humidity for a, b in found], [a.mold - b.mold for a, b in found]


def spread(values: list[float], digits: int) -> str:
    mean = sum(values) / len(values)
    return f"{mean:+.{digits}f} ({min(values):+.{digits}f} to {max(values):+.{digits}f})"


def main() -> None:
    folder = Path(sys.argv[1])
    library = open_library(shipped("assemblies"))
    walls = {name: SimulatedWall(Reading(library.wall(name, ""))) for name in WALLS}
    print("| city | 30-day RH, points | mold index | verdicts that differ: wall, room, facings that fail (s. / f.) |")
    print("|---|---|---|---|")
    every: list[tuple[Answer, Answer]] = []
    for path in sorted(folder.glob("*.epw*")):
        file = read_weather_file(path)
        city, distance = nearest_city(file.latitude, file.longitude)
        if distance > NEAR:
            print(f"{path.name}: no listed city within {NEAR / 1000:.0f} km", file=sys.stderr)
            continue
        made, read = city_year(city), file_year(file, city.rain[0].annual)
        pairs = {
            (name, room): (answer(wall, made, room), answer(wall, read, room))
            for name, wall in walls.items()
            for room in ROOMS
        }
        every += pairs.values()
        humidity, index = apart(pairs.values())
        differ = [
            f"{name}, {room}, {a.fails} / {b.fails}" for (name, room), (a, b) in pairs.items() if a.meets != b.meets
        ]
        print(f"| {city.title} | {spread(humidity, 0)} | {spread(index, 1)} | {'; '.join(differ)} |", flush=True)
    humidity, index = apart(every)
    flips = sum(a.meets != b.meets for a, b in every)
    facings = sum(a.fails != b.fails for a, b in every)
    print(
        f"\nSynthetic less file, {len(every)} pairs: 30-day RH {spread(humidity, 1)} points, mold index "
        f"{spread(index, 2)}; {flips} verdicts differ, in {facings} pairs the facings that fail."
    )


if __name__ == "__main__":
    main()
