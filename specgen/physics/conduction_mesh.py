"""The numbers behind `conduction.py`: a graded mesh, the heat balance of its nodes, and one direct solve.

Arrays are indexed along the wall first, exterior to interior second. Imported only when something is solved.
"""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csc_array, dia_array
from scipy.sparse.linalg import splu

from specgen.errors import NotComputableError
from specgen.physics.conduction import Section, Side, edges

Array = NDArray[np.float64]
LARGEST_RESIDUAL = 1e-9  # of the heat balance of a node, relative [-]


def graded_lines(section: Section, finest: float, growth: float) -> tuple[Array, Array]:
    """Lines of the coarsest mesh: small cells at each edge of a material, growing away from it.

    Parameters
    ----------
    section : Section
        Whose edges all get a line.
    finest : float
        Size of the cells at an edge. [m]
    growth : float
        Of one cell over the last, > 1. [-]

    Returns
    -------
    along, across : array, shape (columns,) and (rows,)
        Positions of the lines of nodes. [m]
    """
    along, across = edges(section)
    return _graded(along, finest, growth), _graded(across, finest, growth)


def halved(lines: Array) -> Array:
    """The lines and the middles between them, shape (2n - 1,). [m]"""
    middles = (lines[:-1] + lines[1:]) / 2
    return np.sort(np.concatenate([lines, middles]))


def _graded(positions: tuple[float, ...], finest: float, growth: float) -> Array:
    lines = [np.array([0.0])]
    widths = [high - low for low, high in pairwise(positions)]
    for number, width in enumerate(widths):
        low, high = positions[number], positions[number + 1]
        # beside a thin sheet the cells start as thin as it is: heat turns sharply into metal
        beside = (widths[number - 1] if number else finest, widths[number + 1] if number + 1 < len(widths) else finest)
        left, right = (_half(width / 2, min(finest, thin), growth) for thin in beside)
        lines.append(low + np.cumsum(np.concatenate([left, right[::-1]])))
        lines[-1][-1] = high
    return np.concatenate(lines)


def _half(length: float, first: float, growth: float) -> Array:
    """Cells from an edge to the middle of its material, each larger than the last."""
    sizes: list[float] = []
    while sum(sizes) < length * (1 - 1e-9):
        sizes.append(first * growth ** len(sizes))
    return np.array(sizes) * (length / sum(sizes))


def solve_once(
    section: Section, sides: dict[str, Side | None], along: Array, across: Array, fixed: float
) -> tuple[Array, dict[str, float]]:
    """Temperatures of the nodes and the heat that enters at each side, on one mesh.

    Parameters
    ----------
    section : Section
        Covered by its rectangles.
    sides : dict of Side or None
        `exterior`, `interior`, `start`, `end`; None lets no heat through.
    along, across : array, shape (columns,) and (rows,)
        Lines of the mesh; every edge of a rectangle is one. [m]
    fixed : float
        Film taken where a side has none. [m²·K/W]

    Returns
    -------
    temperatures : array, shape (columns, rows)
        [°C]
    flows : dict of float
        Into the section, by side. [W/m]

    Raises
    ------
    NotComputableError
        If the equations have no solution, or the solution does not satisfy them.
    """
    columns, rows = len(along), len(across)
    diagonals = _stiffness(_conductivities(section, along, across), np.diff(along), np.diff(across))
    load = np.zeros((columns, rows))
    films = _films(sides, along, across, fixed)
    for place, coefficients, temperature in films.values():
        diagonals[0][place] += coefficients
        load[place] += coefficients * temperature
    matrix, right = _matrix(diagonals), load.reshape(-1)
    try:  # symmetric and positive: no pivots are needed, and the ordering for that case keeps the factors small
        answer = splu(matrix, "MMD_AT_PLUS_A", diag_pivot_thresh=0.0, options={"SymmetricMode": True}).solve(right)
    except (RuntimeError, ValueError) as error:
        raise NotComputableError(f"conduction in two dimensions: the equations have no solution ({error})") from error
    residual = np.max(np.abs(matrix @ answer - right))
    if not residual <= LARGEST_RESIDUAL * float(np.max(matrix.diagonal() * np.maximum(1.0, np.abs(answer)))):
        raise NotComputableError("conduction in two dimensions: the solution does not satisfy its equations")
    temperatures = answer.reshape(columns, rows)
    flows = {
        side: float(np.sum(coefficients * (temperature - temperatures[place])))
        for side, (place, coefficients, temperature) in films.items()
    }
    return temperatures, flows


def _conductivities(section: Section, along: Array, across: Array) -> Array:
    """Of each cell, shape (columns - 1, rows - 1)."""
    x, y = (along[:-1] + along[1:]) / 2, (across[:-1] + across[1:]) / 2
    field = np.zeros((len(x), len(y)))
    for part in section.rectangles:
        i0, i1 = np.searchsorted(x, [part.start, part.end])
        j0, j1 = np.searchsorted(y, [part.outer, part.inner])
        field[i0:i1, j0:j1] = part.conductivity
    if not np.all(field > 0):
        raise NotComputableError("conduction in two dimensions: a part of the section has no conductivity")
    return field


def _stiffness(field: Array, dx: Array, dy: Array) -> list[Array]:
    """Coupling of each node to itself and to its neighbors: next row, next column, and the two across the corners.

    Bilinear elements: for a cell of size dx by dy, with a = k dy/dx and b = k dx/dy, the couplings are (a + b)/3 to
    itself, a/6 - b/3 to the next row, b/6 - a/3 to the next column and -(a + b)/6 across the corner.
    """
    a = field * dy[None, :] / dx[:, None]
    b = field * dx[:, None] / dy[None, :]
    columns, rows = field.shape[0] + 1, field.shape[1] + 1
    own, row, column = np.zeros((columns, rows)), np.zeros((columns, rows)), np.zeros((columns, rows))
    onward, backward = np.zeros((columns, rows)), np.zeros((columns, rows))
    for i in (0, 1):
        for j in (0, 1):
            own[i : columns - 1 + i, j : rows - 1 + j] += (a + b) / 3
        row[i : columns - 1 + i, : rows - 1] += a / 6 - b / 3
        column[: columns - 1, i : rows - 1 + i] += b / 6 - a / 3
    onward[: columns - 1, : rows - 1] = -(a + b) / 6
    backward[: columns - 1, 1:] = -(a + b) / 6  # node (i, j) with (i + 1, j - 1)
    return [own, row, column, onward, backward]


def _films(
    sides: dict[str, Side | None], along: Array, across: Array, fixed: float
) -> dict[str, tuple[Any, Array, float]]:
    """Where each side touches nodes, with the conductance of its film at each of them and its temperature."""
    places = {
        "exterior": (np.s_[:, 0], along), "interior": (np.s_[:, -1], along),
        "start": (np.s_[0, :], across), "end": (np.s_[-1, :], across),
    }  # fmt: skip
    found: dict[str, tuple[Any, Array, float]] = {}
    for name, side in sides.items():
        if side is not None:
            place, lines = places[name]
            steps = np.diff(lines)
            share = np.zeros(len(lines))
            share[:-1] += steps / 2
            share[1:] += steps / 2
            found[name] = (place, share / max(side.film, fixed), side.temperature)
    return found


def _matrix(diagonals: list[Array]) -> csc_array:
    """The symmetric matrix of all nodes, numbered row by row within each column of the mesh."""
    rows, size = diagonals[0].shape[1], diagonals[0].size
    own, *others = (diagonal.reshape(-1) for diagonal in diagonals)
    steps = (1, rows, rows + 1, rows - 1)  # to the next row, the next column, and across the two corners
    bands, offsets = [own], [0]
    for step, values in zip(steps, others, strict=True):
        if step > size - 1 or step == 0:
            continue
        after = np.zeros(size)
        after[step:] = values[: size - step]
        bands += [values, after]
        offsets += [-step, step]
    return csc_array(dia_array((np.array(bands), offsets), shape=(size, size)))
