"""Material functions to tables: pieces over the moisture coordinate, the only form the solver reads.

Water content, relative humidity and liquid flux potential are cubic in each piece, vapor and heat resistivity straight:
sixteen coefficients, two cache lines. Above coordinate 1 (free saturation) free water fills the remaining pores.
"""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import NDArray

from specgen.physics.transient.properties import (
    COORDINATE_SHARE,
    COORDINATE_SUCTION,
    KELVIN_PRESSURE,
    Array,
    ConstantDiffusivity,
    Material,
    UptakeDiffusivity,
    moisture_coordinate,
    relative_humidity,
)

DRIEST = 9e8  # [Pa], relative humidity 0.0013
FULL_AT = 1.2  # coordinate at which the pores are full
PIECES = 420
LOW = float(moisture_coordinate(DRIEST))
HIGH = 2.4  # far above full: free water beyond it has run off long before
PIECE = (HIGH - LOW) / PIECES
PROPERTIES = 5
CONTENT, HUMIDITY, POTENTIAL, VAPOR_RESISTIVITY, HEAT_RESISTIVITY = range(PROPERTIES)
CUBIC = 3  # the first three properties
COEFFICIENTS = 16
# Where a coefficient stands: property by power. Rows of four: constants of content, humidity, potential and vapor
# resistivity; their slopes; squares of the cubic three and constant of heat resistivity; cubes and its slope.
PLACES = ((0, 4, 8, 12), (1, 5, 9, 13), (2, 6, 10, 14), (3, 7), (11, 15))
FINE = 8  # sub-intervals per piece in the integral of the liquid conductivity


def suction_at(coordinate: Array) -> Array:
    """Suction at a moisture coordinate; negative suction does not occur, above 1 it is 0.

    Parameters
    ----------
    coordinate : array
        [-]

    Returns
    -------
    suction : array
        Same shape. [Pa]
    """
    wanted = np.minimum(np.asarray(coordinate, dtype=np.float64), 1.0)
    # Newton on y = asinh(s/s0): the coordinate falls steadily in y, so a few safeguarded steps reach round-off.
    low, high = np.zeros_like(wanted), np.full_like(wanted, np.arcsinh(2 * DRIEST / COORDINATE_SUCTION))
    for _ in range(80):
        middle = 0.5 * (low + high)
        above = moisture_coordinate(COORDINATE_SUCTION * np.sinh(middle)) > wanted
        low, high = np.where(above, middle, low), np.where(above, high, middle)
    return np.asarray(COORDINATE_SUCTION * np.sinh(0.5 * (low + high)))


def coordinate_at_humidity(humidity: Array | float) -> Array:
    """Moisture coordinate in equilibrium with a relative humidity.

    Parameters
    ----------
    humidity : float or array
        0.0015 to 1. [-]

    Returns
    -------
    coordinate : array
        Same shape. [-]
    """
    log = np.log(np.asarray(humidity, dtype=np.float64))
    return np.exp(log) - COORDINATE_SHARE * np.arcsinh(-KELVIN_PRESSURE * log / COORDINATE_SUCTION)


def tabulate(material: Material) -> Array:
    """The table of one material.

    Parameters
    ----------
    material : Material
        Functions of suction and water content.

    Returns
    -------
    table : array, shape (PIECES, COEFFICIENTS)
        Coefficients in the piece's own variable 0 to 1, at their `PLACES`.

    Raises
    ------
    ValueError
        If stored water does not rise with humidity, or `full` is not above free saturation.
    """
    from scipy.interpolate import PchipInterpolator

    knots = np.linspace(LOW, HIGH, PIECES + 1)
    values = np.empty((PROPERTIES, knots.size))
    suction = _grid_suction(1)
    free = float(material.storage(np.zeros(1))[0])
    if not material.full > free:
        raise ValueError(f"full {material.full:g} kg/m3 must exceed free saturation {free:g}")
    content = material.storage(suction)
    if np.any(np.diff(content) < -1e-9 * free):
        raise ValueError("stored water must rise with humidity")
    beyond = np.maximum(knots - 1.0, 0.0) / (FULL_AT - 1.0)
    values[CONTENT] = content + (material.full - free) * beyond
    values[HUMIDITY] = relative_humidity(suction)
    values[POTENTIAL] = _flux_potential(material)
    # Free water beyond saturation presses on: the potential keeps its last slope. Flat, an over-full cell would
    # neither pass water on nor tell the solver which way to go.
    last = int(np.searchsorted(knots, 1.0, side="right")) - 1
    slope = (values[POTENTIAL, last] - values[POTENTIAL, last - 1]) / PIECE
    values[POTENTIAL, last + 1 :] = values[POTENTIAL, last] + slope * (knots[last + 1 :] - knots[last])
    values[VAPOR_RESISTIVITY] = 1 / material.permeability(values[HUMIDITY], content)
    values[HEAT_RESISTIVITY] = 1 / material.conductivity(values[CONTENT])
    table = np.empty((PIECES, COEFFICIENTS))
    for index, places in enumerate(PLACES):
        if index < CUBIC:
            # Falling order of powers in scipy; monotone pieces keep storage and potential invertible.
            for power, coefficients in enumerate(PchipInterpolator(knots, values[index]).c[::-1]):
                table[:, places[power]] = coefficients * PIECE**power
        else:
            table[:, places[0]], table[:, places[1]] = values[index, :-1], np.diff(values[index])
    return table


@cache
def _grid_suction(fine: int) -> Array:
    """Suction at the ends of every piece cut into `fine` parts: the same for every material."""
    suction = suction_at(np.linspace(LOW, HIGH, fine * PIECES + 1))
    suction.flags.writeable = False
    return suction


def _flux_potential(material: Material) -> Array:
    """Integral of the liquid conductivity over suction from dry (Kirchhoff): its difference is the liquid flux."""
    if material.liquid is None:
        return np.zeros(PIECES + 1)
    suction = _grid_suction(FINE)
    content = material.storage(suction)
    if isinstance(material.liquid, UptakeDiffusivity | ConstantDiffusivity):
        steps = np.diff(content) * material.liquid.diffusivity(0.5 * (content[1:] + content[:-1]))
    else:
        middle = np.sqrt(suction[1:] * suction[:-1])  # suction spans decades
        steps = -np.diff(suction) * material.liquid(middle, material.storage(middle))
    return np.concatenate([[0.0], np.cumsum(steps)])[::FINE]


def lookup(table: Array, coordinate: Array, begin: NDArray[np.int64] | int = 0) -> Array:
    """Properties of one material, or of several whose tables follow one another, at moisture coordinates.

    Parameters
    ----------
    table : array, shape (pieces, COEFFICIENTS)
        From `tabulate`.
    coordinate : array, any shape
        [-]
    begin : int or array of int, the same shape
        Piece at which the table of each begins.

    Returns
    -------
    values : array, shape (PROPERTIES, ...)
        Content [kg/m³], relative humidity [-], flux potential [kg/(m·s)], vapor resistivity [m·s·Pa/kg],
        heat resistivity [m·K/W].
    """
    place = (np.clip(coordinate, LOW + 1e-9, HIGH - 1e-9) - LOW) / PIECE
    index = place.astype(np.int64)
    f = place - index
    rows = table[index + begin]
    values = np.empty((PROPERTIES, *place.shape))
    for value, places in zip(values, PLACES, strict=True):
        value[...] = rows[..., places[-1]]
        for at in places[-2::-1]:
            value[...] = value * f + rows[..., at]
    return values
