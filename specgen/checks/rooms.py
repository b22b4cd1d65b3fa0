"""Indoor air for the monthly method: a United States house, heated only or cooled too, and the ISO humidity classes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

from specgen.data import load_table
from specgen.model.climate import DAYS, CityClimate, MonthClimate
from specgen.physics.air import saturation_pressure
from specgen.physics.condensation import Month

Air = tuple[float, float]  # temperature [°C], vapor pressure [Pa]


@dataclass(frozen=True, slots=True)
class Room:
    """A model of indoor air by month; `judged` rooms make the verdict, the others are reported beside it."""

    id: str
    title: str  # as it prints
    air: Callable[[MonthClimate], Air]
    judged: bool


def heated_house(month: MonthClimate) -> Air:
    """A house that is heated and not cooled: warmer than outdoors by a fixed rise once the heat is off."""
    house = load_table("monthly_moisture")["house"]
    temperature = max(house["heating_temperature"], month.temperature + house["free_rise"])
    return temperature, _simplified(month) * saturation_pressure(temperature)


def cooled_house(month: MonthClimate) -> Air:
    """The same house with air conditioning, which also dries its air."""
    house = load_table("monthly_moisture")["house"]
    if month.temperature <= house["heating_up_to"]:
        return heated_house(month)
    temperature = min(house["cooling_temperature"], month.temperature + house["free_rise"])
    humidity = min(_simplified(month), house["cooled_humidity"]["value"] / 100)
    return temperature, humidity * saturation_pressure(temperature)


def _simplified(month: MonthClimate) -> float:
    """Relative humidity indoors by the outdoor temperature, straight between two ends."""
    row = load_table("monthly_moisture")["house"]["humidity"]
    share = (month.temperature - row["at"]) / (row["to"] - row["at"])
    return float(row["low"] + (row["high"] - row["low"]) * min(1.0, max(0.0, share))) / 100


def humidity_class(number: int) -> Callable[[MonthClimate], Air]:
    """Indoor air of an ISO humidity class, 1 to 4, with the design margin.

    The classes are made for heated rooms; in warm months the room is as warm as a house without cooling.

    Parameters
    ----------
    number : int
        Of the class.
    """
    classes = load_table("monthly_moisture")["classes"]
    excess = next(row["excess"] for row in classes["rows"] if row["class"] == number)

    def air(month: MonthClimate) -> Air:
        room = float(classes["temperature"]["value"])
        share = min(1.0, max(0.0, (room - month.temperature) / room))
        temperature = max(room, month.temperature + load_table("monthly_moisture")["house"]["free_rise"])
        return temperature, month.vapor_pressure + classes["margin"]["value"] * excess * share

    return air


@cache
def rooms() -> tuple[Room, ...]:
    """Every room that a wall is run with."""
    return (
        Room("cooled-house", "heated and air-conditioned house", cooled_house, judged=True),
        Room("heated-house", "heated house without cooling", heated_house, judged=True),
        Room("class-2", "humidity class 2, normal dwelling", humidity_class(2), judged=False),
        Room("class-3", "humidity class 3, unknown occupancy", humidity_class(3), judged=False),
    )


def months_of(city: CityClimate, room: Room) -> tuple[Month, ...]:
    """Air on both sides of a wall through the year.

    Parameters
    ----------
    city : CityClimate
        The outdoor air.
    room : Room
        The indoor air.
    """
    found = []
    for month, days in zip(city.months, DAYS, strict=True):
        temperature, pressure = room.air(month)
        found.append(Month(month.temperature, month.vapor_pressure, temperature, pressure, days * 86400.0))
    return tuple(found)
