"""What a wall stores over a day: plain data in SI, with the sentence that says what it means for cooling."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class StoringLayer:
    """One layer on the path, as the periodic calculation takes it."""

    layer: str
    thickness: float  # [m]
    resistance: float  # [m²·K/W]
    heat_capacity: float  # per wall area; 0 for films and gaps [J/(m²·K)]


@dataclass(frozen=True, slots=True)
class MassResult:
    """Periodic thermal figures of one path of the wall, over a day of 24 hours, films included."""

    path: str  # "cavity of studs", "whole area": the path that most of the wall takes
    share: float  # of the wall area on that path, 0..1
    layers: tuple[StoringLayer, ...]  # exterior first, films included
    u_si: float  # of that path alone [W/(m²·K)]
    admittance_inside_si: float  # [W/(m²·K)]
    admittance_outside_si: float  # [W/(m²·K)]
    periodic_transmittance_si: float  # [W/(m²·K)]
    decrement_factor: float  # share of the daily wave that passes, 0..1
    time_lag_h: float  # peak outdoors to peak of heat flow indoors [h]
    areal_heat_capacity_inside_si: float  # [J/(m²·K)]
    areal_heat_capacity_outside_si: float  # [J/(m²·K)]
    damping_layer: str  # the one whose weight dampens the wave most
    sentence: str  # what these figures mean for cooling, in this wall
    status: str  # of the least certain input
    without_data: tuple[str, ...] = ()  # layers whose density or specific heat is not known; they store nothing here
    from_gap: str = ""  # layer whose gap outdoor air runs through; what lies outside it is left out
