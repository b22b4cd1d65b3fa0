"""Indoor air hour by hour from the outdoor temperature: heated by either of two standards' rules, cooled on demand."""

from __future__ import annotations

from typing import Literal

import numpy as np
from numpy.typing import NDArray

from specgen.physics.air import TRIPLE, WATER

Array = NDArray[np.float64]

HEATING = 21.1  # [°C], 70 °F
HEATING_UP_TO = 18.3  # mean of the day outdoors up to which the heat is on [°C]
FREE_RISE = 2.8  # of a room without heating or cooling over outdoors [K]
LOW, HIGH = (-10.0, 0.40), (20.0, 0.70)  # day mean outdoors [°C], relative humidity of the simplified rule
# EN 15026 Annex C, normal load: day mean outdoors [°C] and relative humidity; day mean outdoors and indoors [°C].
NORMAL_HUMIDITY = ((-10.0, 20.0), (0.30, 0.60))
NORMAL_TEMPERATURE = ((10.0, 20.0), (20.0, 25.0))

Winter = Literal["simplified", "normal load"]


def day_mean(temperature: Array) -> Array:
    """Mean of the 24 hours that end with each hour; the year is taken to repeat.

    Parameters
    ----------
    temperature : array, shape (hours,)
        [°C]

    Returns
    -------
    mean : array, shape (hours,)
        [°C]
    """
    wrapped = np.concatenate((temperature[-23:], temperature))
    return np.asarray(np.convolve(wrapped, np.full(24, 1 / 24), "valid"))


def normal_load(mean: Array) -> tuple[Array, Array]:
    """Indoor temperature and relative humidity of a dwelling or office of normal occupancy.

    Parameters
    ----------
    mean : array
        Of the day outdoors. [°C]

    Returns
    -------
    temperature : array
        [°C]
    humidity : array
        0 to 1. [-]

    Source
    ------
    EN 15026:2007 Annex C, normal load (secondary; confirmed by public test values).
    """
    return np.interp(mean, *NORMAL_TEMPERATURE), np.interp(mean, *NORMAL_HUMIDITY)


def room_air(
    temperature: Array,
    cooling: float,
    humidity_cooled: float,
    cooled: bool = True,
    winter: Winter = "simplified",
) -> tuple[Array, Array]:
    """Indoor temperature and vapor pressure.

    Parameters
    ----------
    temperature : array, shape (hours,)
        Outdoors. [°C]
    cooling : float
        Set point while cooling. [°C]
    humidity_cooled : float
        Most relative humidity while cooling, 0 to 1. [-]
    cooled : bool
        False: the room is heated only.
    winter : str
        Whose rule holds while the room is not cooled: the simplified one of ASHRAE 160, which is humid in the cold, or
        the normal load of EN 15026.

    Returns
    -------
    indoors : array, shape (hours,)
        [°C]
    pressure : array, shape (hours,)
        Of vapor. [Pa]

    Source
    ------
    ASHRAE 160: temperature by the 24-hour mean outdoors, simplified relative humidity (from memory); the set point and
    the humidity while cooling are those of the caller. Normal load: see `normal_load`.
    """
    mean = day_mean(temperature)
    share = np.clip((mean - LOW[0]) / (HIGH[0] - LOW[0]), 0.0, 1.0)
    simplified = humidity = LOW[1] + share * (HIGH[1] - LOW[1])
    free = mean + FREE_RISE
    indoors = np.maximum(HEATING, free)
    heated: Array | float = HEATING
    if winter == "normal load":
        heated, humidity = normal_load(mean)
        indoors = heated
    if cooled:
        on = mean > HEATING_UP_TO
        indoors = np.where(on, np.minimum(np.maximum(free, HEATING), cooling), heated)
        humidity = np.where(on, np.minimum(simplified, humidity_cooled), humidity)
    factor, offset = WATER  # a room is above freezing; over arrays, since every run of a wall asks for a year
    return indoors, humidity * TRIPLE * np.exp(factor * indoors / (offset + indoors))
