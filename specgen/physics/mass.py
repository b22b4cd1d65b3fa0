"""Heat stored and given back over a day: layers in, admittances, decrement factor, time lag and heat capacities out.

One dimension, one sine wave of temperature, by the transfer matrices of ISO 13786. Layers are homogeneous; a bridged
wall is taken along one of its paths. What the sun, the room's air and a whole week do belongs to `transient/`.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Sequence
from dataclasses import dataclass

DAY = 86400.0  # period of the wave unless another is asked for [s]

# Temperature and heat flow behind a layer from those before it: (Z11, Z12, Z21, Z22).
# Z11, Z22 [-], Z12 [m²·K/W], Z21 [W/(m²·K)]
Matrix = tuple[complex, complex, complex, complex]


@dataclass(frozen=True, slots=True)
class PeriodicFigures:
    """Answers of a wall to a sine wave; side 1 is the room, side 2 outdoors."""

    admittance_inside: float  # Y11 [W/(m²·K)]
    admittance_outside: float  # Y22 [W/(m²·K)]
    periodic_transmittance: float  # Y12 [W/(m²·K)]
    time_lag: float  # from the peak outdoors to the peak of heat flow into the room, 0 to one period [s]
    capacity_inside: float  # kappa 1 [J/(m²·K)]
    capacity_outside: float  # kappa 2 [J/(m²·K)]


def penetration_depth(conductivity: float, density: float, specific_heat: float, period: float = DAY) -> float:
    """Depth at which a wave on a thick solid has fallen to 1/e, sqrt(k T / (pi rho c)).

    Parameters
    ----------
    conductivity : float
        [W/(m·K)]
    density : float
        [kg/m³]
    specific_heat : float
        [J/(kg·K)]
    period : float
        Of the wave. [s]

    Returns
    -------
    depth : float
        [m]

    Source
    ------
    ISO 13786, periodic penetration depth (from memory; first principles give the same).
    """
    return math.sqrt(conductivity * period / (math.pi * density * specific_heat))


def layer_matrix(
    thickness: float, conductivity: float, density: float, specific_heat: float, period: float = DAY
) -> Matrix:
    """Transfer matrix of one homogeneous layer; one without heat capacity is a mere resistance.

    Parameters
    ----------
    thickness : float
        >= 0. [m]
    conductivity : float
        > 0. [W/(m·K)]
    density : float
        >= 0. [kg/m³]
    specific_heat : float
        >= 0. [J/(kg·K)]
    period : float
        Of the wave. [s]

    Returns
    -------
    matrix : Matrix
        Z11, Z12, Z21, Z22; its determinant is 1.

    Source
    ------
    ISO 13786, transfer matrix of a layer (from memory; an independent solution of the heat equation in
    `tests/physics/test_mass.py` gives the same to four digits).

    Notes
    -----
    Written with the complex depth (1 + i) d / delta, which is the standard's four rows of cosh cos and sinh sin.
    """
    if density * specific_heat * thickness == 0:
        return resistance_matrix(thickness / conductivity)
    delta = penetration_depth(conductivity, density, specific_heat, period)
    depth = (1 + 1j) * thickness / delta
    wave = conductivity * (1 + 1j) / delta  # heat flow per temperature of a wave in a thick solid [W/(m²·K)]
    return cmath.cosh(depth), -cmath.sinh(depth) / wave, -wave * cmath.sinh(depth), cmath.cosh(depth)


def resistance_matrix(resistance: float) -> Matrix:
    """Transfer matrix of a film, an air layer or a layer too light to store heat.

    Parameters
    ----------
    resistance : float
        >= 0. [m²·K/W]

    Returns
    -------
    matrix : Matrix
        Z11, Z12, Z21, Z22.

    Source
    ------
    ISO 13786, air layers and boundary layers (from memory).
    """
    return 1 + 0j, -resistance + 0j, 0j, 1 + 0j


def wall_matrix(matrices: Sequence[Matrix]) -> Matrix:
    """Transfer matrix of a wall, Z = Z_n ... Z_2 Z_1.

    Parameters
    ----------
    matrices : sequence of Matrix, shape (n,)
        From the room outward, the interior film first and the exterior film last.

    Returns
    -------
    matrix : Matrix
        Z11, Z12, Z21, Z22; its determinant is 1.

    Source
    ------
    ISO 13786, transfer matrix of a component (from memory).
    """
    total: Matrix = (1 + 0j, 0j, 0j, 1 + 0j)
    for a11, a12, a21, a22 in matrices:
        b11, b12, b21, b22 = total
        total = (
            a11 * b11 + a12 * b21,
            a11 * b12 + a12 * b22,
            a21 * b11 + a22 * b21,
            a21 * b12 + a22 * b22,
        )
    return total


def periodic_figures(matrix: Matrix, period: float = DAY) -> PeriodicFigures:
    """Admittances, time lag and areal heat capacities of a wall.

    Parameters
    ----------
    matrix : Matrix
        From air to air, by `wall_matrix`.
    period : float
        The one that the matrix was made for. [s]

    Returns
    -------
    figures : PeriodicFigures
        Moduli, and the lag; a lag of more than one period cannot be told from one shorter by a period.

    Source
    ------
    ISO 13786: Y11 = -Z11/Z12, Y22 = -Z22/Z12, Y12 = -1/Z12, kappa = T/(2 pi) |(Z - 1)/Z12| (from memory).
    """
    z11, z12, _, z22 = matrix
    angular = 2 * math.pi / period
    late = -cmath.phase(-1 / z12) % (2 * math.pi)
    return PeriodicFigures(
        admittance_inside=abs(z11 / z12),
        admittance_outside=abs(z22 / z12),
        periodic_transmittance=abs(1 / z12),
        time_lag=late / angular if late < 2 * math.pi - 1e-9 else 0.0,
        capacity_inside=abs((z11 - 1) / z12) / angular,
        capacity_outside=abs((z22 - 1) / z12) / angular,
    )


def decrement_factor(periodic_transmittance: float, transmittance: float) -> float:
    """Share of the daily wave that the wall lets through, against a wall of the same U that stores nothing.

    Parameters
    ----------
    periodic_transmittance : float
        Y12. [W/(m²·K)]
    transmittance : float
        U of the same path, with the same films. [W/(m²·K)]

    Returns
    -------
    factor : float
        0 to 1. [-]

    Source
    ------
    ISO 13786, f = Y12/U (from memory).
    """
    return periodic_transmittance / transmittance
