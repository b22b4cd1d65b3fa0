"""How fast and how exact in time: July and October of an invented humid year, hourly, on one mesh of 90 cells.

Speed is a ratio within one run: processor time of scipy's `solve_ivp(BDF)` at rtol 1e-4 on the second right-hand side
(numpy in one pass, exact sparse Jacobian, same mesh) over that of this solver, mean of the two months. The yardstick
is as quick as we can make it in numpy (`second_rhs.py` says how), and of either side the least of several runs counts.
Lanes go four to a vector register: one wall costs as much as four. Time error is against steps of 60 s on the same
mesh: root mean square over all hours and 25 places.
"""

from __future__ import annotations

import time
from dataclasses import replace

import numpy as np
import pytest
from second_rhs import SecondRhs
from transient_cases import framed_wall, invented_year

from specgen.physics.transient.problem import Climate
from specgen.physics.transient.run import CELLS, Scheme, simulate

HOURS = 744
YEAR = 8760 / HOURS
MONTHS = {"July": 4344, "October": 6552}  # first hour
MINUTE = Scheme(step=60.0, first_step=1.0, temperature_tolerance=1e-3, pressure_tolerance=0.05, mass_tolerance=1e-5)


def month(start: int, lag: float = 0.0, per_hour: int = 1):
    """The wall in one month of the year, the series drawn straight between the middles of the hours."""
    series = invented_year(lag=lag).stacked()[start : start + HOURS + 1]
    fine = np.arange(HOURS * per_hour + 1) / per_hour
    drawn = [np.interp(fine, np.arange(HOURS + 1), column) for column in series.T]
    return framed_wall(Climate(*drawn)), series


@pytest.fixture(scope="module")
def starts():
    return {name: simulate([framed_wall()], hour)[0] for name, hour in MONTHS.items()}


def least_time(call, times: int) -> float:
    """Least processor time of several calls: other work on the machine can only add."""
    taken = []
    for _ in range(times):
        before = time.process_time()
        call()
        taken.append(time.process_time() - before)
    return min(taken)


@pytest.fixture(scope="module")
def scipy_seconds(starts):
    """Processor seconds of solve_ivp in either month, and how far it is from this solver."""
    taken = {}
    for name, hour in MONTHS.items():
        wall, series = month(hour)
        before = starts[name]
        second = SecondRhs(wall, before.widths, Scheme(), series)
        state = second.start(before.final.temperature, before.final_content)
        taken[name] = least_time(lambda second=second, state=state: second.solve(state, HOURS, rtol=1e-4), 3)
        _, _, run = second.solve(state, 24, rtol=1e-4)
        print(f"{name}: solve_ivp {taken[name]:.2f} s; {run.nfev} calls and {run.nlu} factors in the first day")
    print(f"solve_ivp: {YEAR * np.mean(list(taken.values())):.1f} s a year")
    return taken


@pytest.mark.long
@pytest.mark.parametrize("lanes, least", [(1, 150), (8, 400)], ids=["one wall", "eight orientations"])
def test_times_faster_than_scipy(starts, scipy_seconds, lanes, least) -> None:
    ratios, each = [], []
    for name, hour in MONTHS.items():
        walls = [month(hour, lag=3.0 * k)[0] for k in range(lanes)]
        states = [starts[name].final] * lanes
        simulate(walls, 2, start=states)  # compiled
        taken = least_time(lambda walls=walls, states=states: simulate(walls, HOURS, start=states), 12) / lanes
        each.append(taken)
        ratios.append(scipy_seconds[name] / taken)
        print(f"{name}, {lanes} lanes of {CELLS} cells: {1000 * taken:.1f} ms each, {ratios[-1]:.0f} times")
    print(f"{lanes} lanes: {YEAR * np.mean(each):.3f} s a year each, {np.mean(ratios):.0f} times")
    assert np.mean(ratios) >= least


@pytest.mark.long
def test_time_error_against_steps_of_a_minute(starts) -> None:
    squares_t, squares_h = [], []
    for name, hour in MONTHS.items():
        state = [starts[name].final]
        (hourly,) = simulate([month(hour)[0]], HOURS, start=state)
        (minute,) = simulate([month(hour, per_hour=60)[0]], HOURS * 60, scheme=MINUTE, start=state)
        squares_t.append(np.mean((hourly.temperature - minute.temperature[::60]) ** 2))
        squares_h.append(np.mean((hourly.relative_humidity - minute.relative_humidity[::60]) ** 2))
        print(f"{name}: {np.sqrt(squares_t[-1]):.4f} K, {np.sqrt(squares_h[-1]):.5f} RH")
    assert np.sqrt(np.mean(squares_t)) <= 0.06
    assert np.sqrt(np.mean(squares_h)) <= 0.001


@pytest.mark.long
def test_time_error_when_rain_is_left_out(starts) -> None:
    """Smooth weather, for the second order of the scheme to show: a third of the limits."""
    for name, hour in MONTHS.items():
        state = [starts[name].final]
        coarse, fine = month(hour)[0], month(hour, per_hour=60)[0]
        coarse, fine = (replace(w, climate=replace(w.climate, rain=0.0, deposit=0.0)) for w in (coarse, fine))
        (hourly,) = simulate([coarse], HOURS, start=state)
        (minute,) = simulate([fine], HOURS * 60, scheme=MINUTE, start=state)
        assert np.sqrt(np.mean((hourly.temperature - minute.temperature[::60]) ** 2)) < 0.03
        assert np.sqrt(np.mean((hourly.relative_humidity - minute.relative_humidity[::60]) ** 2)) < 5e-4
