"""`python tests/review/moisture_table.py` writes two tables anew: our walls, and walls that the trade forbids.

The second one sets what the trade believes (the codes under `warnings`) beside what the two computations give.
"""

from __future__ import annotations

import csv
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))  # for builders and ruined_walls, when this is run by itself

import ruined_walls as ruin
from builders import BATT_R13, BATT_R20, POLYETHYLENE, XPS, framing, make_material, studs

from specgen.checks.thermal import thermal_result
from specgen.library.load import open_library
from specgen.library.sites import every_zone, site_from_zone
from specgen.model.wall import Wall
from specgen.resources import shipped
from specgen.review.moisture_table import Row, as_csv, moisture_row, moisture_rows

TABLE = Path(__file__).parent / "moisture.csv"
FORBIDDEN = Path(__file__).parent / "moisture_forbidden.csv"
HOT = ("1A", "2A", "3A")
FOIL_BATT = make_material(
    "test-foil-batt", "batt", facing="foil", rated=[("3-1/2 in", "R-13")], air_open="true", moisture_sensitive="true",
    permeance="0.05 perm", density="12 kg/m3", specific_heat="840 J/(kg*K)",
)  # fmt: skip
OIL = make_material("test-oil-paint", "coating", permeance="1.0 perm")
EPOXY = make_material("test-epoxy-paint", "coating", permeance="0.3 perm")


def forbidden() -> list[tuple[str, Wall, str]]:
    """What it is, the wall, the zone."""
    stucco, brick, inside = ruin.stucco_wall(), ruin.brick_wall(), ruin.inside_wall()
    found: list[tuple[str, Wall, str]] = []
    for zone in HOT:
        for name, wall in (("stucco", stucco), ("brick", brick)):
            found.append((f"{name} wall as it should be", wall, zone))
            poly = ruin.after(wall, "studs", ruin.layer("sheet", POLYETHYLENE, "6 mil"))
            found.append((f"{name}, polyethylene inside", poly, zone))
            for facing, batt in (("kraft", ruin.KRAFT_BATT), ("foil", FOIL_BATT)):
                found.append(
                    (f"{name}, {facing}-faced batt", ruin.replace(wall, "studs", studs("3-1/2 in", batt)), zone)
                )
            vinyl = ruin.after(wall, "paint", ruin.layer("vinyl", ruin.VINYL))
            found.append((f"{name}, vinyl wall covering", vinyl, zone))
            for paint, material in (("oil", OIL), ("epoxy", EPOXY)):
                painted = ruin.replace(wall, "paint", ruin.layer("paint", material, coats="2"))
                found.append((f"{name}, {paint} paint", painted, zone))
        sheet = ruin.after(inside, "foam", ruin.layer("sheet", POLYETHYLENE, "6 mil"))
        found.append(("block insulated inside, polyethylene", sheet, zone))
        faced = ruin.layer("strips", None, "3-1/2 in", fill=ruin.KRAFT_BATT, framing=framing(material=ruin.TREATED))
        found.append(("block insulated inside, kraft-faced batt", ruin.replace(inside, "foam", faced), zone))
    bare = ruin.replace(ruin.replace(ruin.siding_wall(), "studs", studs("5-1/2 in", BATT_R20)), "furring")
    for text, foam in (
        ("none", None),
        ("R-2.5", "1/2 in"),
        ("R-5", "1 in"),
        ("R-7.5", "1-1/2 in"),
        ("R-11.25", "2-1/4 in"),
    ):
        wall = bare if foam is None else ruin.after(bare, "wrb", ruin.layer("foam", XPS, foam))
        found.append((f"R-20 cavity, paint inside, {text} outside", wall, "6A"))
    kraft = ruin.replace(bare, "studs", studs("3-1/2 in", ruin.KRAFT_BATT))
    found.append(("R-13 kraft-faced batt, nothing outside", kraft, "6A"))
    open_batt = ruin.replace(bare, "studs", studs("3-1/2 in", BATT_R13))
    found.append(("R-13 unfaced batt, nothing outside", open_batt, "6A"))
    return found


def forbidden_rows() -> list[Row]:
    found, thermal = [], {}
    for what, wall, zone in forbidden():  # a wall of one name is the same in each zone
        if what not in thermal:
            thermal[what] = thermal_result(wall)
        row = moisture_row(wall, site_from_zone(zone), thermal[what])
        found.append({"what": what} | {key: value for key, value in row.items() if key not in ("wall", "content")})
    return found


def committed(path: Path = TABLE) -> list[Row]:
    with path.open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def main() -> None:
    sites = {site.zone_label: site for site in every_zone("2021")}
    rows = moisture_rows(open_library(shipped("assemblies")).walls(), sites)
    TABLE.write_text(as_csv(rows), encoding="utf-8")
    FORBIDDEN.write_text(as_csv(forbidden_rows()), encoding="utf-8")
    for path in (TABLE, FORBIDDEN):
        print(f"{path.name}: {len(committed(path))} rows")


if __name__ == "__main__":
    main()
