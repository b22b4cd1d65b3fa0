"""Lanes in compiled code against the same arithmetic in numpy, number by number."""

from __future__ import annotations

import numpy as np
import pytest
from numba import njit

from specgen.physics.transient.lanes import (
    any_positive,
    lane,
    least,
    magnitude,
    most,
    piece,
    put,
    put_from,
    spread,
    take,
    where_negative,
)
from specgen.physics.transient.run import _aligned


@njit(error_model="numpy")
def _each(x, y, out):
    a, b = take(x, 0), take(y, 0)
    put(out, 0, a + 2.0 * b - b / a)
    put(out, 1, least(a, b))
    put(out, 2, most(a, b))
    put(out, 3, where_negative(a, b, spread(7.0)))
    put(out, 4, magnitude(-a))
    put_from(out, 5, 2, a)
    return any_positive(a), any_positive(-magnitude(a)), lane(b, 3)


@njit(error_model="numpy")
def _pieces(table, begins, x, out):
    for row in range(2):
        f, a0, a1, a2, a3, b0, b1, b2, b3, c0, c1, c2, c3, d0, d1, d2, d3 = piece(table, begins, row, take(x, row))
        put(out, 4 * row, f)
        put(out, 4 * row + 1, a0 + 10.0 * a1 + 100.0 * a2 + 1000.0 * a3 + 0.1 * c0 + 0.01 * c1 + 3.0 * c2 + 7.0 * c3)
        put(out, 4 * row + 2, b0 + 10.0 * b1 + 100.0 * b2 + 1000.0 * b3)
        put(out, 4 * row + 3, d0 + 10.0 * d1 + 100.0 * d2 + 1000.0 * d3)


def _filled(values) -> np.ndarray:
    array = _aligned(np.size(values))
    array[:] = np.ravel(values)
    return array


def test_arithmetic_in_every_lane() -> None:
    x, y, out = _filled([1.0, -2.0, 3.5, -0.25]), _filled([0.5, 4.0, -6.0, 2.0]), _aligned(24)
    assert _each(x, y, out) == (True, False, 2.0)
    rows = out.reshape(6, 4)
    assert rows[0] == pytest.approx(x + 2 * y - y / x)
    assert np.array_equal(rows[1:3], [np.minimum(x, y), np.maximum(x, y)])
    assert np.array_equal(rows[3], np.where(x < 0, y, 7.0))
    assert np.array_equal(rows[4], np.abs(x))
    assert np.array_equal(rows[5], [0.0, 0.0, x[2], x[3]])


def test_sixteen_coefficients_of_every_lane() -> None:
    rng = np.random.default_rng(3)
    table, place = rng.random((6, 16)), rng.random((2, 4)) * 3
    begins = np.array([[0, 3, 0, 3], [3, 3, 0, 0]])
    out = _aligned(32)
    _pieces(_filled(table), (16 * begins).ravel(), _filled(place), out)
    whole = place.astype(int)
    c = table[begins + whole].reshape(2, 4, 4, 4)  # row, lane, column, place in the column
    decimal = np.array([1.0, 10.0, 100.0, 1000.0])
    found = out.reshape(2, 4, 4)
    assert found[:, 0] == pytest.approx(place - whole)
    assert found[:, 1] == pytest.approx(c[:, :, 0] @ decimal + c[:, :, 2] @ np.array([0.1, 0.01, 3.0, 7.0]))
    assert found[:, 2] == pytest.approx(c[:, :, 1] @ decimal)
    assert found[:, 3] == pytest.approx(c[:, :, 3] @ decimal)
