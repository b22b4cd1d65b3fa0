"""The solver of conduction in two dimensions where the answer is exact, and where it must refuse."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from specgen.errors import NotComputableError
from specgen.physics.conduction import Rectangle, Section, Side, conductivity_at, limits, solve

AIR = (Side(0.0, 0.04), Side(1.0, 0.13))


def u_of(section: Section) -> float:
    return solve(section, *AIR).heat_flows["interior"] / section.width


def layered(*layers: tuple[float, float], width: float = 0.2) -> Section:
    parts, at = [], 0.0
    for thickness, conductivity in layers:
        parts.append(Rectangle("layer", 0, width, at, at + thickness, conductivity))
        at += thickness
    return Section(width, at, tuple(parts))


def bridged(width: float, stud: float, depth: float, wood: float, fill: float, board: float = 0.0) -> Section:
    parts = [
        Rectangle("fill", 0, width, 0, depth, fill),
        Rectangle("stud", 0, stud, 0, depth, wood),
        Rectangle("board", 0, width, depth, depth + 0.0127, 0.16),
    ]
    if board:
        parts.append(Rectangle("outer board", 0, width, depth + 0.0127, depth + 0.0127 + board, 0.03))
    return Section(width, depth + 0.0127 + board, tuple(parts))


def test_uniform_medium_is_exact() -> None:
    assert u_of(layered((0.1, 0.5))) == pytest.approx(1 / (0.04 + 0.2 + 0.13), rel=1e-9)


def test_layers_in_series_are_exact_and_straight() -> None:
    section = layered((0.02, 0.72), (0.1, 0.03), (0.0127, 0.16))
    solution = solve(section, *AIR)
    total = 0.04 + 0.02 / 0.72 + 0.1 / 0.03 + 0.0127 / 0.16 + 0.13
    assert solution.heat_flows["interior"] / 0.2 == pytest.approx(1 / total, rel=1e-9)
    assert solution.temperature(0.05, 0.07) == pytest.approx((0.04 + 0.02 / 0.72 + 0.05 / 0.03) / total, rel=1e-9)
    assert max(solution.interior_surface) - min(solution.interior_surface) < 1e-9


def test_paths_that_cannot_exchange_heat_are_exact_in_parallel() -> None:
    """Two fills alike in depth, no films worth the name: temperatures agree, so that no heat crosses between them."""
    section = Section(0.2, 0.1, (Rectangle("a", 0, 0.05, 0, 0.1, 0.12), Rectangle("b", 0.05, 0.2, 0, 0.1, 0.04)))
    solution = solve(section, Side(0.0), Side(1.0))
    assert solution.heat_flows["interior"] / 0.2 == pytest.approx((0.25 * 0.12 + 0.75 * 0.04) / 0.1, rel=1e-4)


def test_cutting_a_part_in_two_changes_nothing() -> None:
    whole = bridged(0.2, 0.02, 0.14, 0.12, 0.04)
    cut = Section(
        whole.width, whole.depth,
        (
            Rectangle("fill", 0, 0.2, 0, 0.06, 0.04), Rectangle("fill", 0, 0.2, 0.06, 0.14, 0.04),
            *whole.rectangles[1:],
        ),
    )  # fmt: skip
    assert u_of(cut) == pytest.approx(u_of(whole), rel=1e-3)


def test_mirrored_with_its_films_it_has_the_same_u() -> None:
    section = bridged(0.2, 0.02, 0.14, 0.12, 0.04, 0.03)
    turned = Section(
        section.width, section.depth,
        tuple(
            Rectangle(p.name, p.start, p.end, section.depth - p.inner, section.depth - p.outer, p.conductivity)
            for p in section.rectangles
        ),
    )  # fmt: skip
    other = solve(turned, Side(1.0, 0.13), Side(0.0, 0.04)).heat_flows["exterior"] / section.width
    assert other == pytest.approx(u_of(section), rel=1e-9)


@settings(max_examples=25, deadline=None)
@given(
    st.floats(0.15, 0.3), st.floats(0.005, 0.1), st.floats(0.04, 0.3), st.floats(0.08, 60.0), st.floats(0.02, 0.5),
    st.sampled_from([0.0, 0.025, 0.1]),
)  # fmt: skip
def test_limits_bracket_every_solution(
    width: float, stud: float, depth: float, wood: float, fill: float, board: float
) -> None:
    section = bridged(width, stud, depth, wood, fill, board)
    parallel, planes = limits(section, 0.04, 0.13)
    solution = solve(section, *AIR)
    u = solution.heat_flows["interior"] / width
    assert parallel * (1 - 1e-9) <= u <= planes * (1 + 1e-9)
    assert solution.imbalance < 1e-5 and solution.mesh_change <= 0.005
    assert all(0 < t < 1 for t in solution.interior_surface)


def test_more_insulation_lowers_u() -> None:
    values = [u_of(bridged(0.2, 0.02, 0.14, 0.12, 0.04, board)) for board in (0.0, 0.025, 0.05, 0.1)]
    assert values == sorted(values, reverse=True)


def test_the_surface_is_coldest_at_the_stud() -> None:
    surface = solve(bridged(0.2, 0.02, 0.14, 0.12, 0.04), *AIR).interior_surface
    assert surface[0] == min(surface) and surface[-1] == max(surface)


def test_a_section_with_a_hole_is_refused() -> None:
    hole = Section(0.2, 0.1, (Rectangle("half", 0, 0.1, 0, 0.1, 0.04),))
    with pytest.raises(NotComputableError, match="a part of the section has no conductivity"):
        solve(hole, *AIR)
    with pytest.raises(NotComputableError, match="nothing stands at 150 mm along and 50 mm in"):
        conductivity_at(hole, 0.15, 0.05)


def test_a_part_that_conducts_nothing_is_refused() -> None:
    with pytest.raises(NotComputableError, match="fill has no conductivity"):
        limits(Section(0.2, 0.1, (Rectangle("fill", 0, 0.2, 0, 0.1, 0.0),)), 0.04, 0.13)
    with pytest.raises(NotComputableError):
        solve(Section(0.2, 0.1, (Rectangle("fill", 0, 0.2, 0, 0.1, math.nan),)), *AIR)


def test_a_heat_flow_that_goes_on_changing_is_refused() -> None:
    section = Section(1.0, 1.0, (Rectangle("column", 0, 1, 0, 1, 1.0),))
    with pytest.raises(NotComputableError, match="halving the cells still changes the heat flow by"):
        solve(section, Side(20.0), Side(0.0), start=Side(0.0), finest=0.1)  # the heat flow at the corner has no limit
