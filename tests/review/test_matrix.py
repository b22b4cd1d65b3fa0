"""The matrix of walls and zones: every shipped claim confirmed or explained, and a false claim seen as one."""

from __future__ import annotations

import json
from typing import get_args

import pytest

from specgen.documents.zones import MARKS, mark, zones_json, zones_text
from specgen.library.load import open_library
from specgen.library.sites import every_zone
from specgen.model.wall import Explained, Suits, Wall, Zone
from specgen.review.matrix import ZoneRow, zone_rows

ZONES = get_args(Zone)


@pytest.fixture(scope="module")
def rows() -> tuple[ZoneRow, ...]:
    return zone_rows(open_library().walls(), every_zone())


def claiming(zones: tuple[str, ...], explained: tuple[Explained, ...] = ()) -> Wall:
    """The framed stucco wall, R-23 between studs and nothing outside of them, with other claims."""
    wall = open_library().wall("framed-stucco-drained")
    suits = Suits(zones=zones, because="A claim for the test.")  # type: ignore[arg-type]
    return wall.model_copy(update={"suits": suits, "explained": explained})


def test_every_claim_is_confirmed_or_explained_in_its_file(rows: tuple[ZoneRow, ...]) -> None:
    print(zones_text(rows, "2021"))
    assert unexplained(rows) == []
    assert all(any(entry.claimed for entry in row.entries) for row in rows), "a wall of the library claims some zone"


@pytest.mark.parametrize("edition", ["2018", "2024"])
def test_claims_hold_under_the_other_editions(edition: str) -> None:
    sites = {site.zone_label: site for site in every_zone(edition)}
    for wall in open_library().walls():
        claimed = [sites[zone] for zone in wall.suits.zones] if wall.suits else []
        assert unexplained(zone_rows([wall], claimed)) == []


def unexplained(rows: tuple[ZoneRow, ...]) -> list[str]:
    return [
        f"{row.name} in {entry.zone}: {error.code} {error.message}"
        for row in rows
        for entry in row.entries
        for error in entry.errors
        if entry.claimed and not error.explained
    ]


def test_the_table_has_every_wall_and_every_zone(rows: tuple[ZoneRow, ...]) -> None:
    lines = zones_text(rows, "2021").splitlines()
    head = next(index for index, line in enumerate(lines) if line.split() == list(ZONES))
    table = {words[0]: words[1:] for words in (line.split() for line in lines[head + 1 : head + 1 + len(rows)])}
    assert list(table) == [wall.name for wall in open_library().walls()]
    assert len(ZONES) == 19 and all(len(marks) == 19 and set(marks) <= set(MARKS) for marks in table.values())
    for row in rows:
        assert table[row.name] == [mark(entry) for entry in row.entries]
    assert all(line in lines for line in (f"{letter}  {meaning}" for letter, meaning in MARKS.items()))


def test_marks_follow_claims_and_errors(rows: tuple[ZoneRow, ...]) -> None:
    """The claims as the files have them; a row of the table differs from its file nowhere."""
    walls = {wall.name: wall for wall in open_library().walls()}
    for row in rows:
        suits = walls[row.name].suits
        assert suits is not None
        assert [entry.zone for entry in row.entries if entry.claimed] == [z for z in ZONES if z in suits.zones]


def test_a_false_claim_is_seen_named_and_fails() -> None:
    (row,) = zone_rows([claiming(("2A", "6A"))], every_zone())
    text = zones_text((row,), "2021")
    assert not row.confirmed
    assert [entry.zone for entry in row.entries if entry.contradicted] == ["6A"]
    assert "Claims that the checks contradict:" in text and "not explained in the file" in text
    assert (
        f"{row.name} in 6A: E01 " in text
    )  # zone 6 asks for R-30, R-20&5ci or R-13&10ci: IECC 2021 R402.1.3, from memory


def test_an_explanation_is_printed_and_takes_nothing_away() -> None:
    reason = Explained(code="E01", zones=("6A",), because="Kept for an unheated store.")
    (row,) = zone_rows([claiming(("2A", "6A"), (reason,))], every_zone())
    text = zones_text((row,), "2021")
    assert not row.confirmed
    assert "explained in the file: Kept for an unheated store." in text
    assert mark(next(entry for entry in row.entries if entry.zone == "6A")) == "E"


def test_json_carries_what_the_table_carries(rows: tuple[ZoneRow, ...]) -> None:
    answer = json.loads(zones_json(rows, "2021"))
    for given, row in zip(answer, rows, strict=True):
        assert {"wall", "variant", "title", "edition", "confirmed", "zones"} <= set(given)
        assert given["edition"] == "2021" and list(given["zones"]) == list(ZONES)
        for entry in row.entries:
            cell = given["zones"][entry.zone]
            assert cell["claimed"] == entry.claimed and cell["meets"] == (not entry.errors)
            assert [error["code"] for error in cell["errors"]] == [error.code for error in entry.errors]


def test_no_walls_give_an_empty_table() -> None:
    assert "No claim is contradicted." in zones_text((), "2021") and zones_json((), "2021") == "[]"
