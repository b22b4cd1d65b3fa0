"""What gaps and fasteners add to the U of a wall that was computed without them.

ISO 6946's annex: valid for point fasteners and for metal that only pins insulation; a furring strip or a stud is no
fastener, wood strapping through insulation is a bridged layer, and metal furring through it needs two-dimensional flow.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

GapLevel = Literal[0, 1, 2]
GAP_TRANSMITTANCE = {0: 0.0, 1: 0.01, 2: 0.04}  # dU'' by level of the gaps, ISO 6946 annex (from memory) [W/(m²·K)]
FASTENER_FACTOR = 0.8  # alpha of a fastener that crosses the whole insulation, ISO 6946 annex (from memory) [-]
LEAST_METAL = 1.0  # fasteners that conduct less are ignored, ISO 6946 annex (secondary) [W/(m·K)]
IGNORED_SHARE = 0.03  # corrections that sum to less of U are ignored, ISO 6946 (confirmed) [-]


def air_gap_correction(level: GapLevel, insulation: float, total: float) -> float:
    """What air gaps in the insulation add to U, dUg = dU'' (R1/R_T)².

    Parameters
    ----------
    level : int
        0: no gaps, or staggered layers; 1: gaps between boards without air moving round them; 2: gaps through which air
        moves to the warm side.
    insulation : float
        Resistance R1 of the layer with the gaps. [m²·K/W]
    total : float
        Total resistance of the wall, without corrections. [m²·K/W]

    Returns
    -------
    correction : float
        [W/(m²·K)]

    Source
    ------
    ISO 6946 annex on corrections (from memory).
    """
    return GAP_TRANSMITTANCE[level] * (insulation / total) ** 2


def fastener_correction(
    conductivity: float,
    area: float,
    per_area: float,
    thickness: float,
    insulation: float,
    total: float,
    length: float | None = None,
) -> float:
    """What point fasteners through an insulation layer add to U, dUf = alpha (kf Af nf / d1) (R1/R_T)².

    Parameters
    ----------
    conductivity : float
        Of the fastener. [W/(m·K)]
    area : float
        Cross section of one fastener. [m²]
    per_area : float
        Number of fasteners per wall area. [1/m²]
    thickness : float
        Of the insulation layer, > 0. [m]
    insulation : float
        Resistance R1 of the layer they cross. [m²·K/W]
    total : float
        Total resistance of the wall, without corrections. [m²·K/W]
    length : float or None
        Of the fastener inside the insulation, where it is recessed; None if it crosses all of it. [m]

    Returns
    -------
    correction : float
        0 for fasteners that conduct less than 1 W/(m·K). [W/(m²·K)]

    Source
    ------
    ISO 6946 annex on corrections (from memory): alpha 0.8, or 0.8 d1/d0 where recessed, with d1 in the denominator.
    That fasteners below 1 W/(m·K) are left out is confirmed in a trade page on wall ties.

    Notes
    -----
    An approximation; not for ties across an empty cavity, which the standard leaves out. For a recessed fastener the
    resistance of the layer counts by the length that the fastener crosses.
    """
    if conductivity < LEAST_METAL:
        return 0.0
    crossed = thickness if length is None else length
    alpha = FASTENER_FACTOR * crossed / thickness
    return alpha * conductivity * area * per_area / crossed * (insulation * crossed / thickness / total) ** 2


def corrected_transmittance(transmittance: float, corrections: Sequence[float]) -> float:
    """U with its corrections, which are ignored where together they are less than 3 % of it.

    Parameters
    ----------
    transmittance : float
        U without corrections. [W/(m²·K)]
    corrections : sequence of float, shape (n,)
        For gaps, fasteners and the like, each >= 0. [W/(m²·K)]

    Returns
    -------
    corrected : float
        [W/(m²·K)]

    Source
    ------
    ISO 6946, corrected U (confirmed in a journal's summary of the standard).
    """
    added = sum(corrections)
    return transmittance if added < IGNORED_SHARE * transmittance else transmittance + added
