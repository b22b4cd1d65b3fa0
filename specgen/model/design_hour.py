"""What the design hour of sun on a wet wall comes to: plain data, SI."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True)
class HourPlane:
    """One plane between two layers, or a face of the wall, at the design hour."""

    outer: str  # id of the layer on its outer side, "" for the outdoor or gap air
    inner: str  # id of the layer on its inner side, "" for the room
    temperature: float  # [°C]
    pressure: float  # of vapor [Pa]
    humidity: float  # relative, 0..1
    condensing: float = 0.0  # [kg/(m²·s)]
    sd: float = 0.0  # equivalent air thickness from the wet face to here [m]
    position: float = 0.0  # from the exterior face of the wall [m]


@dataclass(frozen=True, slots=True)
class DesignHour:
    """The base case in full, and what a change of color, room or orientation does to the verdict."""

    city: str
    orientation: str  # "N", "E", "S" or "W": the one with the warmest cladding
    color: str
    spread: str  # "hour", or "day" where masonry stands between the wet face and what is judged
    room_temperature: float  # [°C]
    room_humidity: float  # 0..1
    sol_air: float  # [°C]
    wet: bool  # the cladding stores rain and is soaked
    gap: str  # "none", "drained" or "ventilated"
    source_temperature: float  # of the wet face, or of the gap [°C]
    source_pressure: float  # [Pa]
    planes: tuple[HourPlane, ...]
    judged: str  # id of the first vapor-closed layer inboard of the water-control layer, "" if there is none
    judged_closed: bool  # under 1 perm at the humidity that it meets; one that has opened is reported and cannot fail
    judged_permeance: float | None  # at that humidity [kg/(m²·s·Pa)]
    judged_humidity: float | None  # at its outer face, 0..1
    judged_worst: float | None  # in the worst of the cases that were run, 0..1
    control: str  # id of the water-control layer
    control_closed: bool  # it is vapor-closed itself: its outer face is wet and drains, reported only
    inward: float  # flux into the room [kg/(m²·s)]
    verdict: str  # "meets", "does not meet" or "depends on"
    depends_on: tuple[str, ...] = ()  # "color", "room temperature", "room humidity"
    orientations: tuple[tuple[str, float], ...] = ()  # sol-air temperature of each, base color [°C]

    def as_json(self) -> dict[str, Any]:
        """The object under `moisture.design_hour`; keys are only ever added."""
        return {
            "city": self.city,
            "verdict": self.verdict,
            "depends_on": list(self.depends_on),
            "orientation": self.orientation,
            "color": self.color,
            "held_over": self.spread,
            "room_c": self.room_temperature,
            "room_rh": self.room_humidity,
            "sol_air_c": self.sol_air,
            "cladding_wet": self.wet,
            "gap": self.gap,
            "source_pa": self.source_pressure,
            "control_layer": self.control,
            "control_layer_closed": self.control_closed,
            "judged_layer": self.judged,
            "judged_layer_closed": self.judged_closed,
            "judged_rh": self.judged_humidity,
            "judged_rh_worst": self.judged_worst,
            "inward_g_m2h": self.inward * 3.6e6,
            "planes": [
                {
                    "outer": plane.outer,
                    "inner": plane.inner,
                    "temperature_c": plane.temperature,
                    "pressure_pa": plane.pressure,
                    "rh": plane.humidity,
                    "condensing_g_m2h": plane.condensing * 3.6e6,
                }
                for plane in self.planes
            ],
        }
