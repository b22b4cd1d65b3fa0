"""R and U of a wall as a range, from the ranges of the inputs that decide them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from specgen import units
from specgen.model.assessment import Figure


@dataclass(frozen=True, slots=True)
class InputRange:
    """One input with the ends of its range, and what U becomes when it alone moves, by hand calculation."""

    name: str  # "framing fraction of studs"
    low: str  # as it prints, at the end that gives the lower U
    high: str
    u_low_si: float  # [W/(m²·K)]
    u_high_si: float  # [W/(m²·K)]
    source: str
    status: str

    @property
    def width(self) -> float:
        """What it moves U by. [W/(m²·K)]"""
        return self.u_high_si - self.u_low_si


@dataclass(frozen=True, slots=True)
class Band:
    """U with all inputs at their better and at their worse ends at once; the inputs in the order of what they move."""

    u_low_si: float  # [W/(m²·K)]
    u_high_si: float  # [W/(m²·K)]
    inputs: tuple[InputRange, ...]
    figures: tuple[Figure, ...]

    @property
    def deciding(self) -> InputRange | None:
        """The input that moves U most, or None where no input has a range."""
        return self.inputs[0] if self.inputs else None

    def as_json(self) -> dict[str, Any]:
        """Keys that `thermal` of the JSON gains."""
        return {
            "u_range_ip": [self.u_low_si / units.U_IP, self.u_high_si / units.U_IP],
            "r_range_ip": [1 / self.u_high_si / units.R_IP, 1 / self.u_low_si / units.R_IP],
            "range_inputs": [
                {
                    "input": each.name,
                    "low": each.low,
                    "high": each.high,
                    "u_range_ip": [each.u_low_si / units.U_IP, each.u_high_si / units.U_IP],
                    "status": each.status,
                }
                for each in self.inputs
            ],
        }
