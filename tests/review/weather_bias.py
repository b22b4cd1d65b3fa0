"""`python tests/review/weather_bias.py FOLDER` runs walls in the synthetic year and in the hourly file of one city.

Four orientations over three years, nothing varied. FOLDER holds EPW files (an open format, freely given by national
weather services); they are not part of this repository. Prints the table that stands in DEVELOPERS.md.
"""

from __future__ import annotations

import sys
from pathlib import Path

from specgen.checks.layers import Reading
from specgen.checks.transient import base_cases, rank
from specgen.checks.wall_problem import SimulatedWall
from specgen.checks.weather_year import city_year, file_year
from specgen.library.load import open_library
from specgen.library.weather_city import find_city
from specgen.library.weather_file import read_weather_file
from specgen.model.transient import TransientCase
from specgen.physics.weather import WeatherYear
from specgen.resources import shipped

WALLS = ("framed-stucco-drained", "framed-siding-mineral-board", "block-interior-batt-coated-siding")
CITIES = (
    ("Miami, FL", "Miami"), ("Houston, TX", "Houston"), ("Phoenix, AZ", "Phoenix"), ("Atlanta, GA", "Atlanta"),
    ("Seattle, WA", "Seattle"), ("Minneapolis, MN", "Minneapolis"),
)  # fmt: skip


def answers(wall: SimulatedWall, year: WeatherYear) -> tuple[TransientCase, str]:
    """The worst case, and the facings that do not meet."""
    cases = [case for case, _ in base_cases(wall, year)]
    failing = sorted({case.orientation for case in cases if not case.meets}, key="NESW".index)
    return max(cases, key=rank), " ".join(failing) or "none"


def main() -> None:
    folder = Path(sys.argv[1])
    library = open_library(shipped("assemblies"))
    print("| wall | city | 30-day RH, synthetic / file | mold index, synthetic / file | facings that fail, s. / f. |")
    print("|---|---|---|---|---|")
    off_rh, off_index, flips = [], [], 0
    for name in WALLS:
        wall = SimulatedWall(Reading(library.wall(name, "")))
        for title, part in CITIES:
            city = find_city(title)
            path = next(folder.glob(f"*{part}*.epw.gz"))
            (a, fails_a), (b, fails_b) = (
                answers(wall, city_year(city)),
                answers(wall, file_year(read_weather_file(path), city.rain[0].annual)),
            )
            rh_a, rh_b = (case.plane.humidity_30 or 0.0 if case.plane else 0.0 for case in (a, b))
            off_rh.append(rh_a - rh_b)
            off_index.append(a.index - b.index)
            flips += a.meets != b.meets
            print(
                f"| {name} | {title} | {rh_a * 100:.0f} / {rh_b * 100:.0f} % | {a.index:.1f} / {b.index:.1f} | "
                f"{fails_a} / {fails_b} |",
                flush=True,
            )
    count = len(off_rh)
    print(
        f"\nSynthetic less file, {count} pairs: 30-day RH {sum(off_rh) / count * 100:+.1f} points on average "
        f"({min(off_rh) * 100:+.0f} to {max(off_rh) * 100:+.0f}), mold index {sum(off_index) / count:+.2f} "
        f"({min(off_index):+.1f} to {max(off_index):+.1f}); {flips} verdicts of the worst facing differ."
    )


if __name__ == "__main__":
    main()
