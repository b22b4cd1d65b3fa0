"""What the record prints beside the design hour: the sun and air of the base case, and the path from cladding to room.

Takes a wall and its design hour; the hour itself is that of `checks/design_hour.py`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from specgen.checks.design_hour import WetWall
from specgen.checks.layers import Reading
from specgen.checks.resistances import film
from specgen.data import load_table
from specgen.model.climate import CityClimate
from specgen.model.design_hour import DesignHour, HourPlane
from specgen.model.wall import Wall
from specgen.physics import sun_drive
from specgen.physics.air import saturation_pressure


@dataclass(frozen=True, slots=True)
class OpenGap:
    """Air that passes an open gap behind wet cladding, and what it leaves of the vapor."""

    air_changes: float  # [1/h]
    depth: float  # [m]
    coefficient: float  # convective, at the wet face [W/(m²·K)]
    wet_face: float  # saturation pressure there [Pa]
    temperature: float  # [°C]


@dataclass(frozen=True, slots=True)
class RecordedHour:
    """Inputs of the base case, as they are put in."""

    absorptance: float  # of the cladding for sunlight [-]
    absorptance_source: str
    absorptance_status: str
    coefficient: float  # exterior, convection and radiation together [W/(m²·K)]
    interior_film: float  # [m²·K/W]
    resistances: tuple[float, ...]  # of each layer of the wall, exterior first [m²·K/W]
    time: float  # solar time at the middle of the warmest undamped hour [h]
    outdoor: float  # then, or the mean of the day [°C]
    sun: float  # on the wall then, or the mean of the day [W/m²]
    undamped: float  # sol-air temperature of these two [°C]
    time_constant: float  # of the cladding [s]
    outdoor_pressure: float  # of vapor, mean of the warmest month [Pa]
    gap: OpenGap | None  # behind wet cladding, open to outdoors

    @property
    def exterior_film(self) -> float:
        """[m²·K/W]"""
        return 1 / self.coefficient

    @property
    def total(self) -> float:
        """R from the sol-air temperature to the room. [m²·K/W]"""
        return self.exterior_film + math.fsum(self.resistances) + self.interior_film


def recorded_hour(wall: Wall, hour: DesignHour, cities: Sequence[CityClimate]) -> RecordedHour:
    """The inputs of a design hour.

    Parameters
    ----------
    wall : Wall
        The wall.
    hour : DesignHour
        Of this wall.
    cities : sequence of CityClimate
        That stand for the site; the hour's is among them.
    """
    table = load_table("design_hour")
    city = next(city for city in cities if city.title == hour.city)
    warmest = max(city.months, key=lambda month: month.temperature)
    color = next(row for row in table["colors"] if row["name"] == hour.color)
    coefficient: float = table["exterior_coefficient"]["value"]
    wet = WetWall(Reading(wall))
    outdoor = sun_drive.design_day(city.summer_design, warmest.daily_range)
    sun = sun_drive.wall_sun(city.latitude, hour.orientation)
    day = sun_drive.sol_air(outdoor, sun, color["absorptance"], coefficient)
    at = day.index(max(day))
    over_the_day = hour.spread == "day"
    return RecordedHour(
        absorptance=color["absorptance"],
        absorptance_source=color["source"],
        absorptance_status=color["status"],
        coefficient=coefficient,
        interior_film=film("us-interior", "interior film").resistance,
        resistances=wet.resistances,
        time=sun_drive.HOURS[at],
        outdoor=_mean(outdoor) if over_the_day else outdoor[at],
        sun=_mean(sun) if over_the_day else sun[at],
        undamped=_mean(day) if over_the_day else day[at],
        time_constant=wet.time_constant,
        outdoor_pressure=warmest.vapor_pressure,
        gap=_gap(wet, hour) if hour.wet and hour.gap == "ventilated" else None,
    )


def _mean(day: sun_drive.Day) -> float:
    return math.fsum(day) / len(day)


def _gap(wet: WetWall, hour: DesignHour) -> OpenGap:
    table = load_table("design_hour")
    layer = wet.layers[wet.gap_index]
    behind = "brick" if wet.reading.veneer is not None else "other"
    depth = layer.cavity.depth if layer.cavity and layer.cavity.depth else layer.depth
    return OpenGap(
        air_changes=next(row["air_changes"] for row in table["ventilation"] if row["behind"] == behind),
        depth=depth,
        coefficient=table["gap_coefficient"]["value"],
        wet_face=saturation_pressure(hour.source_temperature),
        temperature=hour.source_temperature,
    )


def resistance_to(recorded: RecordedHour, wall: Wall, plane: HourPlane) -> float:
    """R from the sol-air temperature to a plane.

    Parameters
    ----------
    recorded : RecordedHour
        Of this wall.
    wall : Wall
        The wall.
    plane : HourPlane
        Of the same hour.
    """
    ids = [layer.id for layer in wall.layers]
    passed = ids.index(plane.inner) if plane.inner else len(ids)
    if plane.inner and plane.inner == plane.outer:  # the facing of a batt stands inboard of it
        passed += 1
    return recorded.exterior_film + math.fsum(recorded.resistances[:passed])
