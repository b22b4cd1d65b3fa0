"""Steady heat transfer: thicknesses, conductivities and shares of area in, resistances and U out.

One dimension per path, with the ways to join paths: parallel path, isothermal planes, and the mean of the two. Films
and air layers stand in `air_layers.py`, hollow block in `masonry.py`. Two-dimensional flow and metal that crosses
insulation are left out: no formula here may be used for them.
"""

from __future__ import annotations

import math
from collections.abc import Sequence


def layer_resistance(thickness: float, conductivity: float) -> float:
    """Resistance of a homogeneous layer, R = d/k.

    Parameters
    ----------
    thickness : float
        >= 0. [m]
    conductivity : float
        > 0. [W/(m·K)]

    Returns
    -------
    resistance : float
        [m²·K/W]

    Source
    ------
    First principles: Fourier's law, steady.
    """
    return thickness / conductivity


def series(resistances: Sequence[float]) -> float:
    """Resistance of layers one behind the other, films included where the caller includes them.

    Parameters
    ----------
    resistances : sequence of float, shape (n,)
        Each >= 0. [m²·K/W]

    Returns
    -------
    resistance : float
        [m²·K/W]

    Source
    ------
    First principles.
    """
    return math.fsum(resistances)


def parallel_path(shares: Sequence[float], path_resistances: Sequence[float]) -> float:
    """U of a wall whose paths run side by side from film to film, U = sum(f / R).

    Parameters
    ----------
    shares : sequence of float, shape (n,)
        Share of the wall area of each path; they sum to 1. [-]
    path_resistances : sequence of float, shape (n,)
        Resistance along each path, films included, > 0. [m²·K/W]

    Returns
    -------
    transmittance : float
        [W/(m²·K)]

    Source
    ------
    ASHRAE Handbook of Fundamentals, parallel-path method; ISO 6946, upper limit of R.

    Notes
    -----
    Valid for members of low conductivity, such as wood; metal is not. The true R lies between 1/U by this method and
    `isothermal_planes` of the same parts, so that half their difference bounds the error of their mean.
    Averaging R by area instead flatters a framed wall; it is a mistake seen in print.
    """
    return math.fsum(share / resistance for share, resistance in zip(shares, path_resistances, strict=True))


def bridged_layer(shares: Sequence[float], resistances: Sequence[float]) -> float:
    """Resistance of one bridged layer between isothermal planes, 1/R = sum(f / R).

    Parameters
    ----------
    shares : sequence of float, shape (n,)
        Share of the layer's area of each part; they sum to 1. [-]
    resistances : sequence of float, shape (n,)
        Resistance of each part through the layer, > 0. [m²·K/W]

    Returns
    -------
    resistance : float
        [m²·K/W]

    Source
    ------
    ASHRAE Handbook of Fundamentals, isothermal-planes method; ISO 6946, lower limit.
    """
    return 1 / parallel_path(shares, resistances)


def isothermal_planes(layers: Sequence[tuple[Sequence[float], Sequence[float]]]) -> float:
    """Resistance of layers one behind the other with an isothermal plane between each two, bridged or not.

    Parameters
    ----------
    layers : sequence of (shares, resistances), shape (n,)
        The parts of each layer: shares of the area, summing to 1 [-], and resistances through it [m²·K/W]. A film or
        a layer of one part has the shares (1,).

    Returns
    -------
    resistance : float
        [m²·K/W]

    Source
    ------
    ASHRAE Handbook of Fundamentals, isothermal-planes (series-parallel) method; ISO 6946, lower limit of R.

    Notes
    -----
    Exact where good lateral conductors lie beside the bridge, as the face shells of block do; elsewhere the lower
    limit of R. The upper one is `parallel_path` of the same parts.
    """
    return math.fsum(bridged_layer(shares, resistances) for shares, resistances in layers)


def combined_resistance(upper: float, lower: float, metal: bool = False) -> tuple[float, float]:
    """ISO 6946 mean of the parallel-path (upper) and isothermal-planes (lower) limits, with its largest error.

    Parameters
    ----------
    upper, lower : float
        Total resistances, upper >= lower > 0. [m²·K/W]
    metal : bool
        True if metal bridges the insulation, which the standard's scope leaves out.

    Returns
    -------
    resistance : float
        Mean of the two. [m²·K/W]
    error : float
        Largest relative error, (upper - lower) / (2 mean). [-]

    Raises
    ------
    ValueError
        If upper / lower > 1.5, or if metal bridges the insulation: there the method does not hold.

    Source
    ------
    ISO 6946, combined method; the limit of 1.5 from memory, the exclusion of metal confirmed in its scope text.
    """
    if metal:
        raise ValueError("the combined method does not hold where metal bridges insulation")
    if upper > 1.5 * lower:
        raise ValueError(f"upper limit {upper:.4g} is more than 1.5 times the lower limit {lower:.4g}")
    mean = (upper + lower) / 2
    return mean, (upper - lower) / (2 * mean)


def heat_capacity(thickness: float, density: float, specific_heat: float) -> float:
    """Heat capacity of a layer per wall area, d rho c.

    Parameters
    ----------
    thickness : float
        Solid thickness, net of cores. [m]
    density : float
        [kg/m³]
    specific_heat : float
        [J/(kg·K)]

    Returns
    -------
    capacity : float
        [J/(m²·K)]

    Source
    ------
    First principles.
    """
    return thickness * density * specific_heat
