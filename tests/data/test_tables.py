"""Every table says what it is and how we know it; its checksum is recomputed, so that no cell changes unseen."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from specgen import data
from specgen.data import load_table, source
from specgen.errors import UnknownNameError

STATUSES = {"confirmed", "secondary", "from-memory", "common-practice"}
CITED_TABLES = (
    "air_layers_iso", "compressed_batts", "counties", "films", "framing_factors", "hazards", "iecc_walls",
    "steel_studs",
)  # fmt: skip
UNCITED = {"common practice", "first principles"}


@pytest.mark.parametrize("name", CITED_TABLES)
def test_table_says_what_it_is(name: str) -> None:
    table = load_table(name)
    for field in ("title", "source", "place", "status", "units", "checksum"):
        assert table[field], field
    source(table["source"])


@pytest.mark.parametrize("name", CITED_TABLES)
def test_every_status_and_source_of_a_table_exists(name: str) -> None:
    for key, value in _walk(load_table(name)):
        if key == "status" and not value.startswith("per "):
            assert value in STATUSES, value
        if key == "source" and value not in UNCITED:
            source(value)


def test_every_source_says_what_it_is() -> None:
    for id, entry in load_table("sources").items():
        assert re.fullmatch(r"[a-z0-9.]+(-[a-z0-9.]+)*", id), id
        assert entry["title"], id


def test_checksum_of_energy_limits() -> None:
    sums = dict.fromkeys(("wood_r", "mass_r", "wood_u", "mass_u", "mass_u_inside"), 0.0)
    table = load_table("iecc_walls")
    for edition in table["editions"].values():
        for row in edition["rows"]:
            sums["wood_r"] += sum(int(part) for label in row["wood_r"] for part in re.findall(r"\d+", label))
            sums["mass_r"] += sum(row["mass_r"]["value"])
            for column in ("wood_u", "mass_u", "mass_u_inside"):
                sums[column] += row[column]["value"]
    assert sums == pytest.approx(table["checksum"])


def test_checksum_of_compressed_batts() -> None:
    table = load_table("compressed_batts")
    assert sum(value for row in table["rows"] for value in row["depths"].values()) == table["checksum"]["r"]


def test_checksum_of_counties() -> None:
    table = load_table("counties")
    groups = [
        (group, names.split("; ")) for state in table["states"].values() for group, names in state["counties"].items()
    ]
    found = {
        "counties": sum(len(names) for _, names in groups),
        "moved": sum(len(names) for group, names in groups if group.split()[0] != group.split()[1]),
        "warm_humid": sum(len(names) for group, names in groups if group.endswith("warm-humid")),
    }
    assert found == table["checksum"]


@pytest.mark.parametrize(
    ("name", "columns"),
    [
        ("films", ("r", "rsi")),
        ("air_layers_iso", ("up", "horizontal", "down")),
        ("framing_factors", ("total",)),
        ("steel_studs", ("factor",)),
    ],
)
def test_checksum_of_rows(name: str, columns: tuple[str, ...]) -> None:
    table = load_table(name)
    found = {column: sum(row.get(column, 0) for row in table["rows"]) for column in columns}
    assert found == pytest.approx(table["checksum"])


def test_checksum_of_hazards() -> None:
    table = load_table("hazards")
    counties = table["counties"].values()
    found = {
        "termite_states": sum(len(row["states"]) for rows in table["termite"].values() for row in rows),
        "design_wind": sum(entry.get("design_wind", {}).get("value", 0) for entry in counties),
        "annual_rain": sum(entry.get("annual_rain", {}).get("value", 0) for entry in counties),
    }
    assert found == table["checksum"]


def test_compact_county_table_stays_small() -> None:
    assert (Path(data.__file__).parent / "counties.yaml").stat().st_size < 120_000


def test_unknown_table_and_source_name_the_nearest() -> None:
    with pytest.raises(UnknownNameError, match=r"table 'film' does not exist; did you mean 'films'"):
        load_table("film")
    with pytest.raises(UnknownNameError, match=r"source 'iso-6964' does not exist; did you mean 'iso-6946'"):
        source("iso-6964")


def _walk(node: Any, key: str = "") -> list[tuple[str, str]]:
    if isinstance(node, dict):
        return [pair for name, child in node.items() for pair in _walk(child, name)]
    if isinstance(node, list):
        return [pair for child in node for pair in _walk(child, key)]
    return [(key, node)] if isinstance(node, str) else []
