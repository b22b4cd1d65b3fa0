"""Metal in a wall by hand: insulated cavities between steel studs, and the zone method for a member or tie.

The factor is only known for steel studs of the tabulated depth, spacing and insulation (`data/steel_studs.yaml`). For
hat channels and Z furring with insulation between them no open table was found: a hand value would be a guess, so
they are solved in two dimensions (`conduction.py`). Wood furring is no metal: parallel path, as for studs.
"""

from __future__ import annotations

from collections.abc import Sequence

from specgen import units
from specgen.physics.heat import isothermal_planes

LEAST_DEPTH = 0.5 * units.INCH  # least distance to the surface that the zone method takes (from memory) [m]


def stud_cavity_resistance(rated: float, factor: float) -> float:
    """Effective resistance of an insulated cavity with its steel studs, R = factor x rated R.

    Parameters
    ----------
    rated : float
        Labeled resistance of the insulation between the studs. [m²·K/W]
    factor : float
        Correction factor of the table, 0 to 1; the studs' own path is in it. [-]

    Returns
    -------
    resistance : float
        Of the whole layer, studs and insulation; in series with the layers beside it. [m²·K/W]

    Source
    ------
    ASHRAE 90.1 appendix A and the energy code's steel-framing equivalents (one factor and one product seen in trade
    articles, the others from memory).

    Notes
    -----
    Holds for the row's own depth, spacing and insulation; never interpolated to another. Quoted tables round the
    product to 0.1, and one of them prints 7.1 where the rounded factor gives 7.03.
    """
    return factor * rated


def zone_width(member: float, depth: float) -> float:
    """Width of the zone that a metal member disturbs, W = m + 2 d.

    Parameters
    ----------
    member : float
        Width or diameter m of the metal at its widest. [m]
    depth : float
        Distance d from the metal to the nearer surface of the wall; at least half an inch is taken. [m]

    Returns
    -------
    width : float
        Of the strip along a member, or diameter of the circle around a tie. [m]

    Source
    ------
    ASHRAE Handbook of Fundamentals, zone method (formula confirmed in a masonry magazine of June 1975; the least depth
    from memory).
    """
    return member + 2 * max(depth, LEAST_DEPTH)


def zone_transmittance(
    zone_share: float, zone_layers: Sequence[tuple[Sequence[float], Sequence[float]]], beside: float
) -> float:
    """U of a wall with metal in it: inside the zone layer by layer, zone and the rest of the wall side by side.

    Parameters
    ----------
    zone_share : float
        Share of the wall area that lies in zones, 0 to 1. [-]
    zone_layers : sequence of (shares, resistances), shape (n,)
        The parts of each layer within the zone, films included, as `heat.isothermal_planes` takes them: shares of the
        zone's area [-], resistances [m²·K/W].
    beside : float
        Resistance of the wall outside the zones, film to film. [m²·K/W]

    Returns
    -------
    transmittance : float
        [W/(m²·K)]

    Source
    ------
    ASHRAE Handbook of Fundamentals, zone method.

    Notes
    -----
    Older than two-dimensional computation and coarser: for thin steel studs it is known to err on either side, so that
    no figure of ours rests on it; it serves to redo a reviewer's calculation.
    """
    return zone_share / isothermal_planes(zone_layers) + (1 - zone_share) / beside
