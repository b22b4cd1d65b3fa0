"""Steady heat transfer: thicknesses, conductivities and shares of area in, resistances and U out.

One dimension per path, with the two classical ways to join paths (parallel path, isothermal planes). Two-dimensional
flow and metal that crosses insulation are left out: no formula here may be used for them.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from specgen import units

STEFAN_BOLTZMANN = 5.670374419e-8  # [W/(m²·K⁴)], CODATA 2018
ZERO_CELSIUS = 273.15  # [K]
ORDINARY_EMISSIVITY = 0.9  # [-], ordinary building surfaces (ISO 6946)


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
    ASHRAE Handbook of Fundamentals, parallel-path method.

    Notes
    -----
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


def combined_resistance(upper: float, lower: float) -> tuple[float, float]:
    """ISO 6946 mean of the parallel-path (upper) and isothermal-planes (lower) limits, with its largest error.

    Parameters
    ----------
    upper, lower : float
        Total resistances, upper >= lower > 0. [m²·K/W]

    Returns
    -------
    resistance : float
        Mean of the two. [m²·K/W]
    error : float
        Largest relative error, (upper - lower) / (2 mean). [-]

    Raises
    ------
    ValueError
        If upper / lower > 1.5, where the method does not hold.

    Source
    ------
    ISO 6946, combined method; the limit of 1.5 from memory.
    """
    if upper > 1.5 * lower:
        raise ValueError(f"upper limit {upper:.4g} is more than 1.5 times the lower limit {lower:.4g}")
    mean = (upper + lower) / 2
    return mean, (upper - lower) / (2 * mean)


def surface_resistance(convective: float, temperature: float = 20.0, emissivity: float = ORDINARY_EMISSIVITY) -> float:
    """Resistance of a surface film, Rs = 1/(hc + eps hr0).

    Parameters
    ----------
    convective : float
        Convective coefficient hc: inside 2.5 across a wall, 5.0 up, 0.7 down; outside 4 + 4 v. [W/(m²·K)]
    temperature : float
        Mean temperature of the surface and what it sees. [°C]
    emissivity : float
        Of the surface, 0 to 1. [-]

    Returns
    -------
    resistance : float
        [m²·K/W]

    Source
    ------
    ISO 6946, surface-resistance annex (from memory; reproduces 0.13, 0.10, 0.17 and 0.04).
    """
    return 1 / (convective + emissivity * radiative_coefficient(temperature))


def radiative_coefficient(temperature: float) -> float:
    """Black-body radiative coefficient hr0 = 4 sigma T³.

    Parameters
    ----------
    temperature : float
        Mean temperature. [°C]

    Returns
    -------
    coefficient : float
        [W/(m²·K)]

    Source
    ------
    ISO 6946; 5.1 at 10 °C and 5.7 at 20 °C.
    """
    return float(4 * STEFAN_BOLTZMANN * (temperature + ZERO_CELSIUS) ** 3)


def air_layer_resistance(
    depth: float,
    direction: str = "horizontal",
    emissivities: tuple[float, float] = (ORDINARY_EMISSIVITY, ORDINARY_EMISSIVITY),
    temperature: float = 10.0,
) -> float:
    """Resistance of an unventilated air layer.

    Parameters
    ----------
    depth : float
        Along the heat flow, 0 to 0.3. [m]
    direction : str
        Of the heat flow: `horizontal`, `up` or `down`.
    emissivities : pair of float
        Of the two surfaces, each > 0. [-]
    temperature : float
        Mean temperature of the layer. [°C]

    Returns
    -------
    resistance : float
        0 at depth 0. [m²·K/W]

    Raises
    ------
    KeyError
        If the direction is none of the three.

    Source
    ------
    ISO 6946, air-layer annex, temperature difference up to 5 K (formula from memory; it reproduces all 24 values
    of the printed table).
    """
    if depth <= 0:
        return 0.0
    conduction = 0.025 / depth
    least = {"horizontal": 1.25, "up": 1.95, "down": float(0.12 * depth**-0.44)}[direction]
    convection = max(least, conduction)
    exchange = 1 / (1 / emissivities[0] + 1 / emissivities[1] - 1)
    return 1 / (convection + exchange * radiative_coefficient(temperature))


def concrete_conductivity(density: float) -> float:
    """Conductivity of oven-dry concrete from its density, k = 0.5 exp(0.02 rho) in inch-pound units.

    Parameters
    ----------
    density : float
        [kg/m³]

    Returns
    -------
    conductivity : float
        [W/(m·K)]

    Source
    ------
    ACI 122R (from memory); gives 3.69 Btu·in/(h·ft²·°F) at 100 lb/ft³ where NCMA TEK 67A (1986) prints 3.7.
    """
    return 0.5 * math.exp(0.02 * density / units.DENSITY_IP) * units.K_IP


def hollow_unit_resistance(
    thickness: float, face_shell: float, web_share: float, conductivity: float, core_resistance: float
) -> float:
    """Resistance of a hollow unit, surface to surface: face shells in series with webs and cores side by side.

    Parameters
    ----------
    thickness : float
        Of the unit. [m]
    face_shell : float
        Average thickness of one face shell; two of them are less than the unit. [m]
    web_share : float
        Share of the wall face that is web, 0 to 1. [-]
    conductivity : float
        Of the unit's concrete. [W/(m·K)]
    core_resistance : float
        Of the core along the heat flow: an air space, or core depth over conductivity of its fill. [m²·K/W]

    Returns
    -------
    resistance : float
        [m²·K/W]

    Source
    ------
    NCMA TEK 67A (1986): R = 2 fs/kc + 1/(aw kc/Lw + ac/Rcore), isothermal planes.
    """
    core_depth = thickness - 2 * face_shell
    middle = bridged_layer((web_share, 1 - web_share), (core_depth / conductivity, core_resistance))
    return 2 * face_shell / conductivity + middle


def web_share(web: float, webs: int, length: float) -> float:
    """Share of a unit's face that is web.

    Parameters
    ----------
    web : float
        Average thickness of one web. [m]
    webs : int
        Number of webs of one unit. [-]
    length : float
        Length of the unit itself. [m]

    Returns
    -------
    share : float
        [-]

    Source
    ------
    NCMA TEK 67A (1986).

    Notes
    -----
    Taken over the unit without its head joint, as that note does: the joint is mortared at the face shells only,
    and the length with the joint would give a share 2 % smaller and a resistance that much better.
    """
    return min(1.0, web * webs / length)


def grouted_share(
    vertical_spacing: float | None,
    horizontal_spacing: float | None,
    cell: float = 8 * units.INCH,
    course: float = 8 * units.INCH,
) -> float:
    """Share of the wall area whose cells are grouted, f = 1 - (1 - cell/S)(1 - course/H).

    Parameters
    ----------
    vertical_spacing : float or None
        Spacing on center of grouted vertical cells; None if there are none. [m]
    horizontal_spacing : float or None
        Spacing on center of grouted bond-beam courses; None if there are none. [m]
    cell, course : float
        Width of one cell with its webs, and height of one course, both with their joints. [m]

    Returns
    -------
    share : float
        [-]

    Source
    ------
    Area rule of the masonry association's method (from memory).
    """
    open_cells = 1 - min(1.0, cell / vertical_spacing) if vertical_spacing else 1.0
    open_courses = 1 - min(1.0, course / horizontal_spacing) if horizontal_spacing else 1.0
    return 1 - open_cells * open_courses


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
