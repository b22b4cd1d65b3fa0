"""One quantity: its amount in SI, what waste adds, the formula with its numbers, and how we know it."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil
from typing import Literal

from specgen import units

GALLON = 231 * units.INCH**3  # US liquid gallon, exact by definition [m³]

Measure = Literal["area", "volume", "poured", "liquid", "mass", "length", "count"]

# Printed unit of each measure and its size in SI; a count has none.
PRINTED_UNITS: dict[Measure, tuple[str, float]] = {
    "area": ("sq ft", units.FOOT**2),
    "volume": ("cu ft", units.FOOT**3),
    "poured": ("cu yd", (3 * units.FOOT) ** 3),  # as a truck brings concrete
    "liquid": ("gal", GALLON),
    "mass": ("lb", units.POUND),
    "length": ("ft", units.FOOT),
    "count": ("", 1.0),
}

# Plaster, grout and fill are brought by the half cubic foot, concrete by the quarter yard, all else by the whole unit.
STEPS: dict[Measure, float] = {"volume": 0.5, "poured": 0.25}
ROUNDING = 1e-9  # share of a figure that is arithmetic, not a nail more [-]


@dataclass(frozen=True, slots=True)
class Quantity:
    """What 100 sq ft of opaque wall takes of one thing."""

    layer: str  # id of the layer or embedded part
    item: str  # "2×6 studs"
    amount: float  # net [m², m³, kg, m, or -]
    measure: Measure
    waste: float  # share added to the net amount when ordering, 0 if the net figure has it already [-]
    formula: str  # with the numbers put in, in inch-pound units: "100 sq ft × 0.25 ÷ 1-1/2 in"
    basis: str  # "computed", "common practice" or "from memory"
    pack: float = 0.0  # bought in steps of so many printed units; 0 for the usual step of the measure [-]

    @property
    def ordered(self) -> float:
        """With waste, unrounded. [m², m³, kg, m, or -]"""
        return self.amount * (1 + self.waste)

    @property
    def unit(self) -> str:
        """As it prints; empty for a count."""
        return PRINTED_UNITS[self.measure][0]

    @property
    def amount_ip(self) -> float:
        """Net, in the printed unit."""
        return self.amount / PRINTED_UNITS[self.measure][1]

    @property
    def ordered_ip(self) -> float:
        """With waste, in the printed unit."""
        return self.ordered / PRINTED_UNITS[self.measure][1]

    @property
    def bought_ip(self) -> float:
        """With waste, rounded up as one buys: nails by ten, whole square feet, half cubic feet; in the printed unit."""
        step = self.pack or STEPS.get(self.measure, 1.0)
        return step * ceil(self.ordered_ip / step * (1 - ROUNDING))
