"""Vapor permeance: of a layer from permeability or a tested film, of layers in series, and its retarder class.

Diffusion only, numbers only. Which layers a path crosses is for `checks/layers.py` to say.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from specgen import units

# Upper ends of the vapor retarder classes, dry cup (ASTM E96 procedure A): IRC 2021 Table R702.7(1).
CLASS_LIMITS = {"I": 0.1 * units.PERM, "II": 1.0 * units.PERM, "III": 10.0 * units.PERM}  # [kg/(m²·s·Pa)]
# The limits are whole numbers that data sheets print; a conversion there and back must not cross one.
ROUNDING = 1e-9


def layer_permeance(permeability: float, thickness: float) -> float:
    """Permeance of a homogeneous layer.

    Parameters
    ----------
    permeability : float
        > 0. [kg/(m·s·Pa)]
    thickness : float
        > 0. [m]

    Returns
    -------
    permeance : float
        [kg/(m²·s·Pa)]

    Source
    ------
    First principles: Fick's law, steady.
    """
    return permeability / thickness


def scaled_permeance(permeance: float, tested_thickness: float, thickness: float) -> float:
    """Permeance at another thickness of a film or board that was tested at one thickness.

    Parameters
    ----------
    permeance : float
        As tested, >= 0. [kg/(m²·s·Pa)]
    tested_thickness, thickness : float
        > 0. [m]

    Returns
    -------
    permeance : float
        [kg/(m²·s·Pa)]

    Source
    ------
    First principles: Fick's law, homogeneous film. A facing does not scale; callers keep its value.
    """
    return permeance * tested_thickness / thickness


def still_air_permeance(depth: float) -> float:
    """Permeance of a closed air space.

    Parameters
    ----------
    depth : float
        > 0. [m]

    Returns
    -------
    permeance : float
        [kg/(m²·s·Pa)]

    Source
    ------
    ISO 13788:2012, still-air permeability 2.0e-10 kg/(m·s·Pa) (from memory).
    """
    return units.AIR_VAPOR_PERMEABILITY / depth


def series_permeance(permeances: Iterable[float]) -> float:
    """Permeance of layers one behind another: infinite for none, 0 if any lets nothing through.

    Parameters
    ----------
    permeances : iterable of float
        Of each layer, >= 0, infinite for an open one; the order does not matter. [kg/(m²·s·Pa)]

    Returns
    -------
    permeance : float
        [kg/(m²·s·Pa)]

    Source
    ------
    First principles: resistances in series.
    """
    resistance = 0.0
    for permeance in permeances:
        if permeance == 0:
            return 0.0
        resistance += 1 / permeance
    return 1 / resistance if resistance > 0 else math.inf


def retarder_class(permeance: float) -> str:
    """Vapor retarder class of a dry-cup permeance: `I`, `II`, `III`, or `none` above 10 perm.

    Parameters
    ----------
    permeance : float
        Dry cup, >= 0. [kg/(m²·s·Pa)]

    Source
    ------
    IRC 2021 Table R702.7(1), ASTM E96 procedure A: 0.1, 1.0 and 10 perm.
    """
    for name, limit in CLASS_LIMITS.items():
        if permeance <= limit * (1 + ROUNDING):
            return name
    return "none"


def equivalent_air_thickness(permeance: float) -> float:
    """s_d: the still-air thickness that resists as much; 0 for an open layer, infinite for a tight one.

    Parameters
    ----------
    permeance : float
        >= 0. [kg/(m²·s·Pa)]

    Returns
    -------
    s_d : float
        [m]

    Source
    ------
    ISO 13788:2012, see `units.water_vapor_sd`.
    """
    return units.water_vapor_sd(permeance) if permeance > 0 else math.inf
