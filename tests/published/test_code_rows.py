"""Limits of the energy code as the tables of this package have them, against the editions in print."""

from __future__ import annotations

import pytest

from specgen.data import load_table


# IECC residential R tables of 2018 and 2021 (confirmed in the comparison table of the US Department of Energy).
@pytest.mark.parametrize(
    ("edition", "zone", "alternatives"),
    [
        ("2018", "2", ["13"]),
        ("2018", "4", ["20", "13&5ci"]),
        ("2018", "5", ["20", "13&5ci"]),
        ("2018", "6", ["20&5ci", "13&10ci"]),
        ("2021", "2", ["13", "0&10ci"]),
        ("2021", "3", ["20", "13&5ci", "0&15ci"]),
        ("2021", "5", ["30", "20&5ci", "13&10ci", "0&20ci"]),
        ("2021", "8", ["30", "20&5ci", "13&10ci", "0&20ci"]),
    ],
)
def test_wood_frame_rows_of_the_code(edition: str, zone: str, alternatives: list[str]) -> None:
    row = next(row for row in load_table("iecc_walls")["editions"][edition]["rows"] if zone in row["zones"])
    assert row["wood_r"] == dict.fromkeys(alternatives, "confirmed")


@pytest.mark.parametrize(
    ("zone", "pair"), [("1", [3, 4]), ("2", [4, 6]), ("3", [8, 13]), ("5", [13, 17]), ("6", [15, 20]), ("7", [19, 21])]
)
@pytest.mark.parametrize("edition", ["2018", "2021"])
def test_mass_rows_of_the_code(edition: str, zone: str, pair: list[int]) -> None:
    row = next(row for row in load_table("iecc_walls")["editions"][edition]["rows"] if zone in row["zones"])
    assert row["mass_r"] == {"value": pair, "status": "confirmed"}


def test_no_u_limit_is_called_confirmed() -> None:
    for edition in load_table("iecc_walls")["editions"].values():
        for row in edition["rows"]:
            for column in ("wood_u", "mass_u", "mass_u_inside"):
                assert row[column]["status"] in ("from-memory", "secondary")
