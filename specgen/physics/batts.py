"""Batts squeezed into a cavity shallower than their label: what of the labeled R is left at least.

Makers' charts give more than this rule (`data/compressed_batts.yaml`); it is for batts that no chart at hand knows.
"""

from __future__ import annotations

LEAST_SHARE = 0.53  # deepest squeeze of the chart that the rule was held against, 3-1/2 in of 6-1/2 in [-]


def squeezed_resistance(labeled: float, label_thickness: float, depth: float) -> float | None:
    """Least resistance of a fiber batt squeezed to a depth, its conductivity taken as unchanged: R d/d0.

    Parameters
    ----------
    labeled : float
        Resistance at the label's thickness. [m²·K/W]
    label_thickness : float
        > 0. [m]
    depth : float
        Of the cavity, no more than the label's thickness. [m]

    Returns
    -------
    resistance : float or None
        None where the batt is squeezed to less than 0.53 of its label, or is not squeezed at all. [m²·K/W]

    Source
    ------
    First principles, on the safe side: a light fiber batt conducts less per depth as it is squeezed. Every one of the
    cells of a maker's chart for glass fiber is at least this (`tests/published`).

    Notes
    -----
    Errs low by up to a quarter. For stone wool the rule is our own reading: dense batts gain little from squeezing, but
    their conductivity does not rise before about 80 kg/m³ (from memory).
    """
    if not LEAST_SHARE * (1 - 1e-9) <= depth / label_thickness <= 1:
        return None
    return labeled * depth / label_thickness
