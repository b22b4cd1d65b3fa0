"""Rules of thumb of the trade against the shipped materials: common practice unless a line names its source."""

from __future__ import annotations

import math

import pytest

from specgen import units
from specgen.library.load import open_library
from specgen.model.material import Material


@pytest.fixture(scope="module")
def materials() -> dict[str, Material]:
    return dict(open_library().materials)


def inches_for(material: Material, r_ip: float) -> float:
    """Depth that gives an R. [in]"""
    assert material.conductivity is not None
    return r_ip * units.R_IP * material.conductivity.value / units.INCH


@pytest.mark.parametrize(
    ("id", "inches"),
    [("xps", 2.0), ("eps-type-ii", 2.5), ("mineral-wool-board", 2.5)],
    ids=["R-10 in XPS", "R-10 in EPS", "R-10 in mineral wool"],
)
def test_r10_is_about_so_deep(materials: dict[str, Material], id: str, inches: float) -> None:
    # boards come in half inches: the first that reaches R-10 to the tenth is the one the rule names
    assert math.ceil(inches_for(materials[id], 9.95) * 2) / 2 == inches


@pytest.mark.parametrize("id", ["eps-type-i", "eps-type-ii", "mineral-wool-board"])
def test_r13_board_is_3_to_3_and_a_half_inches(materials: dict[str, Material], id: str) -> None:
    assert 3.0 <= inches_for(materials[id], 13) <= 3.5


def test_r13_batt_fills_a_2x4(materials: dict[str, Material]) -> None:
    row = next(row for row in materials["glass-fiber-batt"].rated if abs(row.resistance / units.R_IP - 13) < 0.01)
    assert row.thickness / units.INCH == pytest.approx(3.5)


@pytest.mark.parametrize(
    ("id", "low", "high"),
    [
        ("eps-type-ii", 3.9, 4.2),
        ("xps", 4.9, 5.1),
        ("polyiso-foil-faced", 5.6, 7.0),
        ("mineral-wool-board", 4.0, 4.3),
        ("cellulose-dense", 3.4, 3.6),
        ("spray-foam-open-cell", 3.4, 4.3),
        ("spray-foam-closed-cell", 5.6, 6.2),
    ],
)
def test_r_per_inch_lies_in_the_trade_range(materials: dict[str, Material], id: str, low: float, high: float) -> None:
    # consumer insulation comparison chart of the US Department of Energy and Lawrence Berkeley laboratory (confirmed)
    # for EPS, polyiso, cellulose and spray foam; XPS and mineral wool common practice
    assert low <= 1 / inches_for(materials[id], 1) <= high
