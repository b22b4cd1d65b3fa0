"""`python tests/review/transient_table.py [JOBS]` simulates every vetted wall in every zone that it claims, anew.

Every listed city of a zone, as `check --transient --zone` runs them. Some seconds a wall and zone; results are kept by
content, so a run that was cut off goes on where it stood, and a change of wording costs nothing.
"""

from __future__ import annotations

import csv
import sys
import time
from pathlib import Path

from specgen.checks.transient_jobs import simulate_all
from specgen.library.load import open_library
from specgen.library.sites import site_from_zone
from specgen.model.site import Site
from specgen.model.wall import Wall
from specgen.resources import shipped
from specgen.review.moisture_table import Row, as_csv, content_mark
from specgen.review.transient_table import transient_row

TABLE = Path(__file__).parent / "transient.csv"


def pairs() -> list[tuple[Wall, Site]]:
    """Every vetted wall in every zone that it claims."""
    walls = open_library(shipped("assemblies")).walls()
    return [(wall, site_from_zone(zone)) for wall in walls if wall.suits for zone in wall.suits.zones]


def not_run(wall: Wall, site: Site, reason: str) -> Row:
    return {"wall": wall.name, "content": content_mark(wall), "zone": site.zone_label,
            "city": "; ".join(city.title for city in site.cities), "verdict": "not run", "reasons": reason}  # fmt: skip


def committed() -> list[Row]:
    with TABLE.open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def main() -> None:
    jobs = int(sys.argv[1]) if len(sys.argv) > 1 else 1
    chosen = pairs()
    start = time.perf_counter()
    outcomes = simulate_all(chosen, (), jobs, lambda text: print(text, file=sys.stderr, flush=True))
    rows = [
        transient_row(wall, site, result) if result else not_run(wall, site, reason)
        for (wall, site), (result, reason) in zip(chosen, outcomes, strict=True)
    ]
    rows.sort(key=lambda row: (-len(row), row["wall"], row["zone"]))  # the full heading comes from a row that was run
    TABLE.write_text(as_csv(rows), encoding="utf-8")
    seconds = time.perf_counter() - start
    print(f"{TABLE.name}: {len(rows)} rows, {seconds:.0f} s, {seconds / len(rows):.1f} s a row with {jobs} jobs")


if __name__ == "__main__":
    main()
