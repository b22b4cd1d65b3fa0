"""Conduction in two dimensions against the validation cases of ISO 10211 and against exact answers.

Case 1: printed table from memory, recomputed here from its Fourier series; tolerance of 0.1 K from memory. Case 2:
regions, boundary conditions, points, targets and tolerances (0.1 K, 0.1 W/m) confirmed in the input and check files of
an open finite-element project; the outline of the 1.5 mm
section from memory, confirmed indirectly since this outline meets every target.
"""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest

from specgen.physics.conduction import Rectangle, Section, Side, Solution, limits, solve

MM = 1e-3

# Printed temperatures of case 1, seven rows from the top, the fourth column on the axis. [°C]
CASE_1 = [
    (9.7, 13.4, 14.7, 15.1), (5.3, 8.6, 10.3, 10.8), (3.2, 5.6, 7.0, 7.5), (2.0, 3.6, 4.7, 5.0), (1.3, 2.3, 3.0, 3.2),
    (0.7, 1.4, 1.8, 1.9), (0.3, 0.6, 0.8, 0.9),
]  # fmt: skip


def series(x: float, y: float, width: float = 2.0) -> float:
    """Square column, top at 20 °C and three sides at 0: Fourier series; x from a side, y from the bottom. [°C]"""
    return math.fsum(
        80 / (n * math.pi) * math.sin(n * math.pi * x / width) * math.sinh(n * math.pi * y / width)
        / math.sinh(n * math.pi)
        for n in range(1, 160, 2)
    )  # fmt: skip


def half_column(finest: float) -> Solution:
    """Left half of the column: left and bottom held at 0 °C, top at 20 °C, the axis lets no heat through.

    Cut along the grid of the printed table, so that its points lie on lines of the mesh.
    """
    parts = tuple(Rectangle("column", i / 4, (i + 1) / 4, j / 4, (j + 1) / 4, 1.0) for i in range(4) for j in range(8))
    section = Section(1.0, 2.0, parts)
    return solve(
        section, exterior=Side(20.0), interior=Side(0.0), start=Side(0.0), finest=finest, largest_change=math.inf
    )


def test_case_1_series_gives_the_printed_table() -> None:
    for row, printed in enumerate(CASE_1, start=1):
        for column, value in enumerate(printed, start=1):
            assert series(column / 4, 2 - row / 4) == pytest.approx(value, abs=0.0501)  # half of the printed digit


def test_case_1_half_square_column() -> None:
    solution = half_column(0.02)
    for row, printed in enumerate(CASE_1, start=1):
        for column, value in enumerate(printed, start=1):
            assert solution.temperature(column / 4, row / 4) == pytest.approx(value, abs=0.1)


def test_case_1_order_of_convergence_is_two() -> None:
    from specgen.physics import conduction_mesh as mesh

    section = Section(1.0, 2.0, (Rectangle("column", 0, 1, 0, 2, 1.0),))
    sides = {"exterior": Side(20.0), "interior": Side(0.0), "start": Side(0.0), "end": None}
    errors = []
    for cells in (8, 16, 32, 64):
        lines = (np.linspace(0, 1, cells + 1), np.linspace(0, 2, 2 * cells + 1))
        temperatures, _ = mesh.solve_once(section, sides, *lines, fixed=1e-9)
        errors.append(abs(float(temperatures[cells // 2, cells]) - series(0.5, 1.0)))
    orders = [math.log2(coarse / fine) for coarse, fine in pairwise(errors)]
    assert orders[-1] == pytest.approx(2.0, abs=0.1)
    assert errors[-1] < 0.005


def case_2() -> Section:
    return Section(
        500 * MM, 47.5 * MM,
        (
            Rectangle("insulation", 0, 500 * MM, 0, 47.5 * MM, 0.029),
            Rectangle("concrete", 0, 500 * MM, 0, 6 * MM, 1.15),
            Rectangle("wood", 0, 15 * MM, 6 * MM, 11 * MM, 0.12),
            Rectangle("flange", 0, 15 * MM, 11 * MM, 12.5 * MM, 230),
            Rectangle("web", 0, 1.5 * MM, 11 * MM, 46 * MM, 230),
            Rectangle("sheet", 0, 500 * MM, 46 * MM, 47.5 * MM, 230),
        ),
    )  # fmt: skip


# Point, x and y in the standard's axes (y from the warm face) [mm], temperature [°C].
CASE_2 = [
    ("A", 0, 47.5, 7.1), ("B", 500, 47.5, 0.8), ("C", 0, 41.5, 7.9), ("D", 15, 41.5, 6.3), ("E", 500, 41.5, 0.8),
    ("F", 0, 36.5, 16.4), ("G", 15, 36.5, 16.3), ("H", 0, 0, 16.8), ("I", 500, 0, 18.3),
]  # fmt: skip


def test_case_2_metal_section_in_an_insulated_lining() -> None:
    solution = solve(case_2(), Side(0.0, 0.06), Side(20.0, 0.11))
    for name, x, y, target in CASE_2:
        assert solution.temperature(x * MM, (47.5 - y) * MM) == pytest.approx(target, abs=0.1), name
    assert solution.heat_flows["interior"] == pytest.approx(9.5, abs=0.1)
    assert solution.imbalance < 1e-5


def test_case_2_halving_the_cells_changes_the_heat_flow_by_less_than_the_criterion() -> None:
    coarse = solve(case_2(), Side(0.0, 0.06), Side(20.0, 0.11))
    fine = solve(case_2(), Side(0.0, 0.06), Side(20.0, 0.11), finest=0.001)
    assert coarse.mesh_change < 0.005
    assert coarse.heat_flows["interior"] == pytest.approx(fine.heat_flows["interior"], rel=0.003)
    assert coarse.heat_flows["interior"] > fine.heat_flows["interior"]  # comes down toward the true value


def test_case_2_lies_far_inside_limits_too_wide_to_use() -> None:
    parallel, planes = limits(case_2(), 0.06, 0.11)
    solution = solve(case_2(), Side(0.0, 0.06), Side(1.0, 0.11))
    u = solution.heat_flows["interior"] / 0.5
    assert parallel < u < planes and planes > 1.5 * parallel
