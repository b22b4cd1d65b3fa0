"""Graded mesh: layer thicknesses in, cell widths out, finest at every face between layers.

Cells grow from both faces of a layer toward its middle by one ratio for the whole wall; the ratio is chosen so that
the wall has exactly the number of cells asked for, since walls that are solved side by side need equal counts.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache

import numpy as np

from specgen.errors import NotComputableError
from specgen.physics.transient.properties import Array

FACE_CELL = 0.45e-3  # [m]; 0.35 to 0.5 mm at faces keep the inner sheathing face within 0.003 RH (measured)
# A face that meets air gets a skin: else the half cell before it stands as a vapor resistance where water can flow,
# and the uptake of the EN 15026 case comes out 5 % low at 0.5 mm cells (0.1 % with this skin; measured).
SKIN = 0.01e-3  # [m]
LARGEST_RATIO = 3.0


def graded_mesh(
    thicknesses: Sequence[float], cells: int, face_cell: float = FACE_CELL, air: Sequence[bool] = ()
) -> tuple[Array, ...]:
    """Cell widths of every layer.

    Parameters
    ----------
    thicknesses : sequence of float, shape (layers,)
        Exterior first, each > 0. [m]
    cells : int
        Cells of the whole wall.
    face_cell : float
        Width of the cell at a face between layers. [m]
    air : sequence of bool, shape (layers,) or empty
        True for an air space: one cell, and a skin on the layers beside it. Both surfaces of the wall have one.

    Returns
    -------
    widths : tuple of array
        One array per layer, exterior first; together `cells` long. [m]

    Raises
    ------
    NotComputableError
        If `cells` is fewer than the coarsest grading needs.
    """
    return _graded(tuple(thicknesses), cells, face_cell, tuple(air))


@lru_cache(maxsize=256)
def _graded(thicknesses: tuple[float, ...], cells: int, face_cell: float, air: tuple[bool, ...]) -> tuple[Array, ...]:
    """`graded_mesh`, kept: the orientations of one wall ask for the same mesh."""
    alone = list(air) or [False] * len(thicknesses)
    beside_air = [True, *alone, True]
    skins = [
        (0, 0) if one else (int(beside_air[i]), int(beside_air[i + 2])) for i, one in enumerate(alone)
    ]  # exterior face, interior face
    cores = [t - SKIN * sum(skin) for t, skin in zip(thicknesses, skins, strict=True)]
    graded = cells - sum(sum(skin) for skin in skins)

    def counts(ratio: float) -> list[int]:
        return [1 if one else _cells_needed(t, face_cell, ratio) for t, one in zip(cores, alone, strict=True)]

    low, high = 1.0 + 1e-6, LARGEST_RATIO
    if sum(counts(high)) > graded:
        least = cells - graded + sum(counts(high))
        raise NotComputableError(f"{cells} cells are too few for {len(thicknesses)} layers; {least} needed")
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if sum(counts(middle)) > graded else (low, middle)
    numbers = counts(high)
    order = sorted((i for i, one in enumerate(alone) if not one), key=lambda i: -thicknesses[i])
    if not order and sum(numbers) != graded:
        raise NotComputableError("a wall of air spaces only has one cell for each")
    for turn in range(graded - sum(numbers)):  # the few cells that the common ratio leaves over
        numbers[order[turn % len(order)]] += 1
    widths = tuple(
        np.concatenate([[SKIN] * skin[0], _widths(core, count, face_cell), [SKIN] * skin[1]])
        for core, count, skin in zip(cores, numbers, skins, strict=True)
    )
    for part in widths:
        part.flags.writeable = False
    return widths


def _cells_needed(thickness: float, face_cell: float, ratio: float) -> int:
    """Smallest count whose widths reach the thickness when they grow by `ratio` from both faces."""
    count, reach = 0, 0.0
    while reach < thickness * (1 - 1e-9) and count < 4000:
        count += 1
        half, odd = divmod(count, 2)
        grown = face_cell * (ratio**half - 1) / (ratio - 1)
        reach = 2 * grown + (face_cell * ratio**half if odd else 0.0)
    return count


def _widths(thickness: float, count: int, face_cell: float) -> Array:
    """Widths of one layer: symmetric, growing by the ratio that makes them fill the layer exactly."""
    rank = np.minimum(np.arange(count), np.arange(count)[::-1]).astype(np.float64)

    def length(ratio: float) -> float:
        return float(face_cell * np.sum(ratio**rank))

    if count <= 2 or length(1.0) >= thickness:
        return np.full(count, thickness / count)
    low, high = 1.0, 1.5
    while length(high) < thickness:
        high *= 1.5
    for _ in range(100):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if length(middle) < thickness else (low, middle)
    widths = face_cell * math.sqrt(low * high) ** rank
    return np.asarray(widths * (thickness / widths.sum()))
