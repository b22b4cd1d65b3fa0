"""Air and surfaces: films and air layers of a wall, closed or open to outdoor air.

Flow across, up or down; air layers up to 0.3 m deep with a temperature difference up to 5 K. The handbook values that
US walls are computed with stand in `data/films.yaml`.
"""

from __future__ import annotations

from typing import Literal

Ventilation = Literal["unventilated", "slightly", "well"]

STEFAN_BOLTZMANN = 5.670374419e-8  # [W/(m²·K⁴)], CODATA 2018
ZERO_CELSIUS = 273.15  # [K]
ORDINARY_EMISSIVITY = 0.9  # [-], ordinary building surfaces (ISO 6946)
LEAST_OPENING = 500e-6  # openings of a vertical layer up to which it counts as closed (ISO 6946) [m² per m of wall]
MOST_OPENING = 1500e-6  # openings above which it counts as outdoor air (ISO 6946) [m² per m of wall]


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


def ventilation_class(opening: float) -> Ventilation:
    """How ISO 6946 counts a vertical air layer that has openings to outdoors.

    Parameters
    ----------
    opening : float
        Area of all openings per length of wall, >= 0. [m²/m]

    Returns
    -------
    ventilation : str
        `unventilated` up to 500 mm²/m, `slightly` up to 1500 mm²/m, `well` above.

    Source
    ------
    ISO 6946, air layers (limits confirmed in two trade pages that summarize the standard).

    Notes
    -----
    Openings at the bottom alone, as for drainage, do not make a layer ventilated (from memory).
    """
    if opening <= LEAST_OPENING:
        return "unventilated"
    return "slightly" if opening <= MOST_OPENING else "well"


def ventilated_resistance(opening: float, closed: float, open_to_air: float) -> float:
    """Total resistance of a wall whose air layer has openings, between the closed and the well ventilated wall.

    Parameters
    ----------
    opening : float
        Area of all openings per length of wall, >= 0. [m²/m]
    closed : float
        Total resistance with the air layer taken as unventilated. [m²·K/W]
    open_to_air : float
        Total resistance with the layer and all outside it left out, and an interior film as outer film. [m²·K/W]

    Returns
    -------
    resistance : float
        [m²·K/W]

    Source
    ------
    ISO 6946, slightly ventilated air layers (interpolation from memory; limits confirmed).
    """
    share = min(1.0, max(0.0, (opening - LEAST_OPENING) / (MOST_OPENING - LEAST_OPENING)))
    return (1 - share) * closed + share * open_to_air


def slightly_ventilated_layer(closed: float) -> float:
    """Resistance of a slightly ventilated air layer by the older shortcut: half of the closed layer's.

    Parameters
    ----------
    closed : float
        Resistance of the layer if it were closed. [m²·K/W]

    Returns
    -------
    resistance : float
        [m²·K/W]

    Source
    ------
    ISO 6946:1997, slightly ventilated air layers (confirmed in trade pages; a worked example of the Scottish building
    standards takes 0.090 for a slightly ventilated cavity of 0.18).
    """
    return closed / 2
