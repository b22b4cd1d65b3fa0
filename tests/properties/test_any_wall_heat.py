"""Walls put together at random: a figure that keeps to its laws or one clear refusal, never another error."""

from __future__ import annotations

import math
from typing import Any

import builders as b
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from specgen.checks.energy import energy_code
from specgen.checks.thermal import thermal_findings, thermal_result
from specgen.errors import NotComputableError
from specgen.library.sites import site_from_zone
from specgen.model.material import Material
from specgen.model.wall import Layer

MATERIALS: list[Material | None] = [
    b.SOFTWOOD, b.STEEL, b.OSB, b.GYPSUM, b.SIDING, b.STUCCO, b.MAT, b.WRB, b.PAINT, b.BATT_R13, b.BATT_R19, b.XPS,
    b.POLYISO, b.MINERAL_BOARD, b.BLOCK, b.BRICK, b.CONCRETE, None,
]  # fmt: skip
depths = st.sampled_from([None, 0.0003, 0.0127, 3.5 * 0.0254, 0.1937])
cavities = st.sampled_from(
    [
        None,
        {"kind": "drained", "open": ("bottom",)},
        {"kind": "ventilated", "open": ("bottom", "top")},
        {"kind": "ventilated"},
        {"kind": "unventilated", "depth": 0.02},
    ]
)
frames = st.sampled_from(
    [
        None,
        b.framing(),
        b.framing(fraction=0.0),
        b.framing(fraction=1.0),
        b.framing(spacing="24 in", orientation="horizontal"),
        b.framing(material=b.STEEL, profile="hat"),
        b.framing(material=b.STEEL, profile="cee"),
    ]
)
bare = {"length": "15-5/8 in", "height": "7-5/8 in", "joint": "3/8 in"}
cored = {**bare, "face_shell": "1.31 in", "web": "1.125 in", "webs": "3"}
units_of_masonry = st.sampled_from(
    [
        None,
        bare,
        cored,
        {**cored, "hollow": "false"},
        {**cored, "grout": {"material": b.GROUT}},
        {**cored, "grout": {"material": b.GROUT, "solid": "true"}},
        {**cored, "grout": {"material": b.GROUT, "vertical_spacing": "32 in"}},
    ]
)


@st.composite
def layers(draw: Any) -> list[Layer]:
    count = draw(st.integers(1, 6))
    return [
        b.make_layer(
            f"layer-{index}",
            draw(st.sampled_from(MATERIALS)),
            draw(depths),
            fill=draw(st.sampled_from(MATERIALS)),
            cavity=draw(cavities),
            framing=draw(frames),
            unit=draw(units_of_masonry),
        )
        for index in range(count)
    ]


@settings(max_examples=250, deadline=None)
@given(layers(), st.sampled_from(["1A", "3C", "4C", "5A", "8"]), st.sampled_from(["2018", "2021", "2024"]))
def test_any_wall_yields_a_figure_or_a_clear_refusal(parts: list[Layer], zone: str, edition: str) -> None:
    wall = b.make_wall(parts)
    site = site_from_zone(zone, edition)
    try:
        result = thermal_result(wall)
    except NotComputableError as error:
        assert len(str(error)) > 20
        return
    assert 0 < result.u_si < 7 and math.isfinite(result.u_si)  # two films alone give 6.7 W/(m²·K)
    assert sum(path.share for path in result.paths) == pytest.approx(1)
    assert all(part.resistance >= 0 for path in result.paths for part in path.resistances)
    assert result.cavity_r_si >= 0 and result.continuous_r_si >= 0 and result.mass_insulation_si >= -1e-12
    assert 0 <= result.interior_share <= 1 + 1e-12
    assert result.heat_capacity_si >= 0
    if result.u_low_si is not None:
        assert result.u_hand_si is None or result.u_low_si >= result.u_hand_si * (1 - 1e-9)
    code, findings = energy_code(wall, site, result)
    assert {path.path for path in code.paths} <= {"r", "u"} and code.paths
    for finding in (*findings, *thermal_findings(wall, result, site)):
        assert finding.message and finding.because and finding.cure
