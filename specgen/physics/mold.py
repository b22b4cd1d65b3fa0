"""Mold on a surface: hourly temperature and relative humidity in, mold index and the older 30-day mean out.

The updated Finnish (VTT/TUT) mold growth model that ANSI/ASHRAE 160-2016 and later judge by. Index 0 none, 1 first
growth under the microscope, 3 visible, 6 the whole surface. One and the same series gives an index of 5 in one class
and under 1 in another: whoever prints a result prints the class and the rate of decline beside it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import cast

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

LIMIT = 3.0  # acceptance, ANSI/ASHRAE 160-2016 section 6 (from memory) [-]


@dataclass(frozen=True, slots=True)
class Sensitivity:
    """How readily a surface grows mold; coefficients of the model."""

    early: float  # k1 while the index is below 1 [-]
    late: float  # k1 from index 1 on [-]
    a: float  # largest index A + B x - C x² [-]
    b: float
    c: float
    least_humidity: float  # below it nothing grows [-]


# A, B, C, k1 and least humidity: class table of the Finnish model (Ojanen, Viitanen et al., Buildings XI, 2010) as
# kept in a public research implementation, A, B and C also in a second one (confirmed, secondary; paper not opened).
SENSITIVITIES = {
    "very sensitive": Sensitivity(1.0, 2.0, 1.0, 7.0, 2.0, 0.80),  # untreated wood, pine sapwood
    "sensitive": Sensitivity(0.578, 0.386, 0.3, 6.0, 1.0, 0.80),  # planed spruce, wood boards, paper facings
    "medium resistant": Sensitivity(0.072, 0.097, 0.0, 5.0, 1.5, 0.85),  # concrete, cement, glass and mineral wool
    "resistant": Sensitivity(0.033, 0.014, 0.0, 3.0, 1.0, 0.85),  # glass, metal, polished plastics
}

# Decline of a material relative to pine (Ojanen et al. 2010, from memory). ASHRAE 160 prescribes 0.1 unless another
# value is shown (from memory).
DECLINES = {"as pine": 1.0, "significant": 0.5, "relatively low": 0.25, "almost none": 0.1}

# Decline of pine: first 6 h of unfavorable conditions, nothing from 6 to 24 h, then slower (Hukka and Viitanen 1999;
# confirmed, secondary).
EARLY_DECLINE, LATE_DECLINE = 0.032 / 24, 0.016 / 24  # [1/h]
EARLY_HOURS, PAUSE_HOURS = 6, 24

# Weeks to first growth on pine: exp(-0.68 ln T - 13.9 ln RH + 66.02), RH in percent (Hukka and Viitanen 1999;
# confirmed, secondary). Species and surface terms W and SQ are 0: the class table replaces them. A recollection that
# ASHRAE 160-2016 sets W = 1 outside the first class conflicts with it; W = 0 is the cautious side.
HOURS_PER_WEEK = 168


def critical_humidity(temperature: Array | float, least_humidity: float) -> Array:
    """Relative humidity from which mold grows at a temperature.

    Parameters
    ----------
    temperature : float or array
        [°C]
    least_humidity : float
        Of the sensitivity class. [-]

    Returns
    -------
    humidity : array
        Same shape; 1 below 0 °C. [-]

    Source
    ------
    Hukka and Viitanen 1999 (confirmed, secondary).
    """
    t = np.asarray(temperature, dtype=np.float64)
    curve = (-0.00267 * t**3 + 0.160 * t**2 - 3.13 * t + 100.0) / 100
    humidity = np.where(t <= 20.0, np.maximum(curve, least_humidity), least_humidity)
    return np.where(t < 0.0, 1.0, humidity)


def mold_index(
    temperature: Array,
    relative_humidity: Array,
    sensitivity: Sensitivity,
    decline: float,
    start: Array | float = 0.0,
) -> Array:
    """Mold index after every hour.

    Parameters
    ----------
    temperature : array, shape (hours, ...)
        Of the surface, hourly. [°C]
    relative_humidity : array, shape (hours, ...)
        At the surface, hourly; above 1 counts as 1. [-]
    sensitivity : Sensitivity
        Of the surface, from `SENSITIVITIES`.
    decline : float
        Relative to pine, from `DECLINES`. [-]
    start : float or array
        Index before the first hour. [-]

    Returns
    -------
    index : array, shape (hours, ...)
        [-]

    Source
    ------
    Updated VTT model as ANSI/ASHRAE 160 uses it; coefficients and their status stand beside them above.
    """
    t = np.asarray(temperature, dtype=np.float64)
    rh = np.broadcast_to(np.asarray(relative_humidity, dtype=np.float64), t.shape)
    critical = critical_humidity(t, sensitivity.least_humidity)
    series = (np.ascontiguousarray(values).reshape(t.shape[0], -1) for values in (t, rh, critical))
    index = np.broadcast_to(np.asarray(start, dtype=np.float64), t.shape[1:]).flatten()
    s = sensitivity
    coefficients = np.array([s.early, s.late, s.a, s.b, s.c, decline * EARLY_DECLINE, decline * LATE_DECLINE])
    out = np.empty((t.shape[0], index.size))
    _compiled()(*series, index, coefficients, EARLY_HOURS, PAUSE_HOURS, HOURS_PER_WEEK, out)
    return out.reshape(t.shape)


@cache
def _compiled() -> Callable[..., None]:
    """The loop over the hours, compiled: numba is loaded only once an index is asked for."""
    from numba import njit

    return cast("Callable[..., None]", njit(cache=True, error_model="numpy")(_hour_by_hour))


def _hour_by_hour(
    t: Array, rh: Array, critical: Array, index: Array, coefficients: Array, early_hours: int, pause_hours: int,
    week: int, out: Array,
) -> None:  # fmt: skip
    """Every hour of every series, `out` of shape (hours, series). Constants come in, or a changed one would stay
    frozen in code compiled earlier."""
    early, late, a, b, c, early_fall, late_fall = coefficients
    for k in range(t.shape[1]):
        now, grew = index[k], -1
        for hour in range(t.shape[0]):
            temperature, least = t[hour, k], critical[hour, k]
            humidity = min(rh[hour, k], 1.0)
            if 0.0 < temperature < 50.0 and humidity >= least:
                grew = hour
                weeks = np.exp(-0.68 * np.log(temperature) - 13.9 * np.log(100 * humidity) + 66.02)
                x = (humidity - least) / max(1.0 - least, 1e-9)  # at exactly 0 °C growth needs 100 %
                largest = max(a + b * x - c * x**2, 0.0)
                slowing = 1 - np.exp(2.3 * min(now - largest, 0.0))
                now += (early if now < 1.0 else late) / (week * weeks) * slowing
            else:
                dry = hour - grew  # hours since it last could grow
                now -= early_fall if dry <= early_hours else 0.0 if dry <= pause_hours else late_fall
            now = max(now, 0.0)
            out[hour, k] = now


MEAN_HOURS = 30 * 24
COLDEST, WARMEST = 5.0, 40.0  # 30-day mean temperature within which the older criterion counts [°C]
THIRTY_DAY_LIMIT = 0.80  # [-]


def thirty_day_humidity(temperature: Array, relative_humidity: Array) -> Array:
    """Highest 30-day mean of surface humidity among the 30 days whose mean temperature is 5 to 40 °C.

    Parameters
    ----------
    temperature, relative_humidity : array, shape (hours, ...)
        Hourly, at least 720 hours. [°C], [-]

    Returns
    -------
    humidity : array, shape (...)
        Not a number where no 30 days are warm enough. Below 0.80 meets the criterion. [-]

    Raises
    ------
    ValueError
        If there are fewer than 720 hours.

    Source
    ------
    ANSI/ASHRAE 160-2009, 30-day criterion (confirmed through the abstract of ASTM STP1599, 2017); replaced by the
    mold index from 2016 on.
    """
    t = np.asarray(temperature, dtype=np.float64)
    if t.shape[0] < MEAN_HOURS:
        raise ValueError(f"{t.shape[0]} hours; a 30-day mean needs {MEAN_HOURS}")
    mean_t = _running_mean(t)
    mean_rh = _running_mean(np.asarray(relative_humidity, dtype=np.float64))
    counted = np.where((mean_t >= COLDEST) & (mean_t <= WARMEST), mean_rh, -np.inf)
    worst = counted.max(axis=0)
    return np.where(np.isfinite(worst), worst, np.nan)


def _running_mean(series: Array) -> Array:
    """Mean of each 720 hours in a row."""
    total = np.concatenate([np.zeros((1, *series.shape[1:])), np.cumsum(series, axis=0)])
    return np.asarray((total[MEAN_HOURS:] - total[:-MEAN_HOURS]) / MEAN_HOURS)
