"""Air and surfaces: films and unventilated air layers of a wall, from convection and long-wave exchange.

Flow across, up or down; air layers up to 0.3 m deep with a temperature difference up to 5 K.
"""

from __future__ import annotations

STEFAN_BOLTZMANN = 5.670374419e-8  # [W/(m²·K⁴)], CODATA 2018
ZERO_CELSIUS = 273.15  # [K]
ORDINARY_EMISSIVITY = 0.9  # [-], ordinary building surfaces (ISO 6946)


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
