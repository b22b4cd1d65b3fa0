"""Indoor air hour by hour from the outdoor temperature: heated by the simplified rule, cooled to a set point."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from specgen.physics.air import saturation_pressure

Array = NDArray[np.float64]

HEATING = 21.1  # [°C], 70 °F
HEATING_UP_TO = 18.3  # mean of the day outdoors up to which the heat is on [°C]
FREE_RISE = 2.8  # of a room without heating or cooling over outdoors [K]
LOW, HIGH = (-10.0, 0.40), (20.0, 0.70)  # day mean outdoors [°C], relative humidity of the simplified rule


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


def room_air(temperature: Array, cooling: float, humidity_cooled: float, cooled: bool = True) -> tuple[Array, Array]:
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

    Returns
    -------
    indoors : array, shape (hours,)
        [°C]
    pressure : array, shape (hours,)
        Of vapor. [Pa]

    Source
    ------
    ASHRAE 160: temperature by the 24-hour mean outdoors, simplified relative humidity (from memory); the set point and
    the humidity while cooling are those of the caller.
    """
    mean = day_mean(temperature)
    share = np.clip((mean - LOW[0]) / (HIGH[0] - LOW[0]), 0.0, 1.0)
    humidity = LOW[1] + share * (HIGH[1] - LOW[1])
    free = mean + FREE_RISE
    indoors = np.maximum(HEATING, free)
    if cooled:
        on = mean > HEATING_UP_TO
        indoors = np.where(on, np.minimum(np.maximum(free, HEATING), cooling), HEATING)
        humidity = np.where(on, np.minimum(humidity, humidity_cooled), humidity)
    saturation = np.array([saturation_pressure(t) for t in indoors])
    return indoors, humidity * saturation
