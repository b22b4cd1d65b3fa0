"""`python tests/review/transient_table.py [JOBS]` simulates every vetted wall in one city and writes the table anew.

One city for each wall: the first of its coldest claimed zone from zone 5 on, else of its hottest humid one. Some 20
seconds a wall; results are kept, so a run that was cut off goes on where it stood.
"""

from __future__ import annotations

import csv
import sys
import time
from dataclasses import replace
from pathlib import Path

from specgen.checks.transient_jobs import simulate_all
from specgen.library.load import open_library
from specgen.library.sites import site_from_zone
from specgen.model.site import Site
from specgen.model.wall import Wall
from specgen.resources import shipped
from specgen.review.moisture_table import Row, as_csv, content_mark
from specgen.review.transient_table import governing_zone, transient_row

TABLE = Path(__file__).parent / "transient.csv"


def place_of(wall: Wall) -> Site:
    site = site_from_zone(governing_zone(wall))
    return replace(site, cities=site.cities[:1])


def not_run(wall: Wall, site: Site, reason: str) -> Row:
    return {"wall": wall.name, "content": content_mark(wall), "zone": site.zone_label, "city": site.cities[0].title,
            "verdict": "not run", "reasons": reason}  # fmt: skip


def committed() -> list[Row]:
    with TABLE.open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def main() -> None:
    jobs = int(sys.argv[1]) if len(sys.argv) > 1 else 1
    walls = [wall for wall in open_library(shipped("assemblies")).walls() if wall.suits and wall.suits.zones]
    pairs = [(wall, place_of(wall)) for wall in walls]
    start = time.perf_counter()
    outcomes = simulate_all(pairs, (), jobs, lambda text: print(text, file=sys.stderr))
    rows = [
        transient_row(wall, site, result) if result else not_run(wall, site, reason)
        for (wall, site), (result, reason) in zip(pairs, outcomes, strict=True)
    ]
    rows.sort(key=lambda row: (-len(row), row["wall"]))  # the full heading comes from a wall that was run
    TABLE.write_text(as_csv(rows), encoding="utf-8")
    seconds = time.perf_counter() - start
    print(f"{TABLE.name}: {len(rows)} rows, {seconds:.0f} s, {seconds / len(rows):.1f} s a wall with {jobs} jobs")


if __name__ == "__main__":
    main()
