"""Slabs with analytic answers, observed order in space and time, and a second right-hand side solved by scipy."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from second_rhs import SecondRhs
from transient_cases import DRYING, framed_wall, invented_year, saturation

from specgen.physics.transient.problem import AirExchange, Climate, Layer, Probe, Problem
from specgen.physics.transient.properties import LinearConductivity, Material, PointIsotherm
from specgen.physics.transient.run import CELLS, Scheme, simulate

# Heat alone: almost no pores, no latent heat. 1.5 W/(m·K), 2.0 MJ/(m³·K): diffusivity 7.5e-7 m²/s (ours)
CONDUCTIVITY, CAPACITY = 1.5, 2.0e6
STONE = Material(
    CAPACITY, PointIsotherm((0.5, 0.9), (1e-6, 2e-6), 3e-6), lambda phi, w: np.full(np.shape(phi), 1e-13),
    LinearConductivity(CONDUCTIVITY), 4e-6,
)  # fmt: skip
HEAT_ALONE = Scheme(latent_heat=0.0, temperature_tolerance=1e-6)
FIXED = 1e8  # [W/(m²·K)], a surface held at the temperature of its air


def slab(thickness: float, cells: int, climate: Climate, start: float = 0.0) -> Problem:
    widths = (np.full(cells, thickness / cells),)
    probes = tuple(Probe(0, place) for place in np.linspace(0.053, 0.953, 10))
    return Problem((Layer(STONE, thickness, False, start, 0.5),), climate, interior_heat_coefficient=FIXED,
                   probes=probes, widths=widths)  # fmt: skip


def cooling_series(x: np.ndarray, seconds: float, thickness: float) -> np.ndarray:
    """Slab at 1, both faces put to 0: first principles (Fourier series)."""
    total = np.zeros_like(x)
    for n in range(1, 400, 2):
        decay = np.exp(-CONDUCTIVITY / CAPACITY * (n * np.pi / thickness) ** 2 * seconds)
        total += 4 / (n * np.pi) * decay * np.sin(n * np.pi * x / thickness)
    return total


def test_slab_after_a_step_follows_its_series() -> None:
    climate = Climate(0.0, 0.0, 300.0, FIXED, 1e-8, interior_temperature=0.0, interior_vapor_pressure=300.0)
    problem = slab(0.4, 160, climate, start=20.0)
    for hours in (2, 6, 24):
        (result,) = simulate([problem], 4 * hours, scheme=replace(HEAT_ALONE, step=900.0))
        exact = 20 * cooling_series(result.centers, 3600.0 * hours, 0.4)
        assert result.final.temperature == pytest.approx(exact, abs=0.01)


def periodic(x: np.ndarray, seconds: np.ndarray, period: float) -> np.ndarray:
    """Half space under a sine at its face: first principles (damped wave). Shape (times, depths)."""
    depth = np.sqrt(CONDUCTIVITY / CAPACITY * period / np.pi)
    return np.exp(-x / depth) * np.sin(2 * np.pi * seconds[:, None] / period - x / depth)


def _wave_error(cells: int, steps_per_hour: int, thickness: float = 1.6) -> float:
    """Largest error over the last day of 20, a sine of 24 h on a slab 10 damping depths thick."""
    hours, day = 20 * 24, 24 * steps_per_hour
    seconds = np.arange(hours * steps_per_hour + 1) * 3600.0 / steps_per_hour
    wave = 10 * np.sin(2 * np.pi * seconds / 86400)
    climate = Climate(wave, wave, 300.0, FIXED, 1e-8, interior_temperature=0.0, interior_vapor_pressure=300.0)
    scheme = replace(HEAT_ALONE, step=3600.0 / steps_per_hour)
    (result,) = simulate([slab(thickness, cells, climate)], hours * steps_per_hour, scheme=scheme)
    places = [np.argmin(np.abs(result.centers - p.place * thickness)) for p in slab(thickness, cells, climate).probes]
    exact = 10 * periodic(result.centers[places], seconds[-day:], 86400.0)
    return float(np.abs(result.temperature[-day:] - exact).max())


def test_slab_under_a_daily_sine_follows_the_damped_wave() -> None:
    assert _wave_error(320, 2) < 0.02


def test_observed_order_in_space_is_two() -> None:
    coarse, fine = _wave_error(40, 8), _wave_error(80, 8)
    assert 1.8 < np.log2(coarse / fine) < 2.3


def test_observed_order_in_time_is_two_for_heat_and_moisture_together() -> None:
    """The framed wall in a smooth climate, after a day's run-in: steps of 60, 30 and 15 min against 2 min."""
    hours = 72
    fine = np.arange(hours * 30 + 1) / 30
    air = 18 + 6 * np.sin(2 * np.pi * fine / 24)
    sun = air + 8 * np.sin(2 * np.pi * (fine - 3) / 24)
    pressure = 1400 + 200 * np.sin(2 * np.pi * (fine + 5) / 24)

    def final(per_hour: int):
        keep = slice(None, None, 30 // per_hour)
        climate = Climate(sun[keep], air[keep], pressure[keep], 20.0, 1.4e-7, interior_temperature=22.0,
                          interior_vapor_pressure=1300.0)  # fmt: skip
        tight = Scheme(step=3600.0 / per_hour, temperature_tolerance=1e-6, pressure_tolerance=1e-4, mass_tolerance=1e-9,
                       foretold=0.0)  # fmt: skip
        (result,) = simulate([framed_wall(climate)], hours * per_hour, scheme=tight)
        return result.final.temperature, result.final_humidity

    reference, coarse, fine_ = final(30), final(2), final(6)
    for quantity in (0, 1):
        errors = [np.sqrt(np.mean((run[quantity] - reference[quantity]) ** 2)) for run in (coarse, fine_)]
        assert 1.7 < np.log(errors[0] / errors[1]) / np.log(3) < 2.6


def test_observed_order_in_space_is_two_for_moisture() -> None:
    """HAMSTAD WP2 benchmark 2 at 300 h on uniform cells against cells four times finer."""
    p = float(saturation(20.0))
    climate = Climate(20.0, 20.0, 0.45 * p, 25.0, 1e-3, interior_vapor_pressure=0.65 * p)
    isothermal = Scheme(latent_heat=0.0)

    def means(cells: int) -> np.ndarray:
        widths = (np.concatenate([[1e-6], np.full(cells, 0.2 / cells), [1e-6]]),)
        problem = Problem((Layer(DRYING, 0.2 + 2e-6, False, 20.0, 0.95),), climate, interior_vapor_coefficient=1e-3,
                          widths=widths)  # fmt: skip
        (result,) = simulate([problem], 300, scheme=isothermal)
        return (result.final.mass[1:-1].reshape(20, -1)).sum(axis=1)

    exact = means(320)
    errors = [np.abs(means(cells) - exact).max() for cells in (20, 40)]
    assert 1.7 < np.log2(errors[0] / errors[1]) < 2.5


@pytest.fixture(scope="module")
def two_solutions():
    """Five dry days of the framed wall, after a run-in: this solver, and scipy's BDF on the second right-hand side."""
    hours = 120
    year = invented_year(rain=0.0, hours=2400)
    (before,) = simulate([framed_wall(year)], 2160)
    series = year.stacked()[2160 : 2160 + hours + 1]
    problem = framed_wall(Climate(*series.T))
    scheme = Scheme()
    (result,) = simulate([problem], hours, start=[before.final])
    fine = np.arange(60 * hours + 1) / 60
    drawn = framed_wall(Climate(*(np.interp(fine, np.arange(hours + 1), column) for column in series.T)))
    minute = Scheme(step=60.0, first_step=1.0, temperature_tolerance=1e-3, pressure_tolerance=0.05, mass_tolerance=1e-5)
    (exact,) = simulate([drawn], 60 * hours, scheme=minute, start=[before.final])
    second = SecondRhs(problem, before.widths, scheme, series)
    start = second.start(before.final.temperature, before.final_content)
    temperature, humidity, _ = second.solve(start, hours, rtol=1e-5, tighter=30.0)
    centers = [np.argmin(np.abs(result.centers - x)) for x in _probe_depths(problem, result)]
    return result, temperature[:, centers], humidity[:, centers], exact


def _probe_depths(problem: Problem, result) -> list[float]:
    depths = []
    for probe in problem.probes:
        part = result.widths[probe.layer]
        centers = np.cumsum(part) - 0.5 * part
        offset = sum(p.sum() for p in result.widths[: probe.layer])
        depths.append(offset + centers[np.argmin(np.abs(centers - probe.place * part.sum()))])
    return depths


def test_a_second_right_hand_side_agrees_on_a_coupled_case(two_solutions) -> None:
    result, temperature, humidity, _ = two_solutions
    assert np.sqrt(np.mean((result.temperature - temperature) ** 2)) < 0.05
    assert np.sqrt(np.mean((result.relative_humidity - humidity) ** 2)) < 0.001
    assert np.abs(result.temperature - temperature).max() < 0.3
    assert np.abs(result.relative_humidity - humidity).max() < 0.01


def test_with_steps_of_a_minute_both_are_one(two_solutions) -> None:
    """What is left of the difference above is the hourly step, not the physics."""
    _, temperature, humidity, exact = two_solutions
    assert np.sqrt(np.mean((exact.temperature[::60] - temperature) ** 2)) < 0.002
    assert np.sqrt(np.mean((exact.relative_humidity[::60] - humidity) ** 2)) < 1e-4
    assert np.abs(exact.relative_humidity[::60] - humidity).max() < 0.002


def test_jacobian_of_the_second_right_hand_side(two_solutions) -> None:
    """Against central differences, also below 0 °C and with a cell over full."""
    result = two_solutions[0]
    problem = framed_wall()
    problem = replace(problem, exchanges=(*problem.exchanges, AirExchange(2, 2e-5, from_inside=True)))
    second = SecondRhs(problem, result.widths, Scheme(), problem.climate.stacked())
    content = result.final_content.copy()
    content[20] = 1.01 * second.full[20]
    rainy = 3600.0 * int(np.argmax(problem.climate.rain)) + 10.0
    for warmer, time in ((0.0, 5000.0), (-20.0, rainy)):
        y = second.start(result.final.temperature + warmer, content)
        exact, size = second.jacobian(time, y).toarray(), 1e-7 * np.maximum(np.abs(y), 1e-3)
        steps = np.diag(size)
        differences = np.stack([(second(time, y + d) - second(time, y - d)) / (2 * d.sum()) for d in steps], axis=1)
        scale = size / np.abs(differences * size).max(axis=1, keepdims=True)  # every equation and unknown alike
        assert exact * scale == pytest.approx(differences * scale, rel=2e-3, abs=1e-6)


def test_default_mesh_has_the_cells_that_the_notes_ask_for() -> None:
    (result,) = simulate([framed_wall(invented_year(hours=48))], 1)
    assert sum(w.size for w in result.widths) == CELLS
    for part in (result.widths[2], result.widths[3]):
        assert 0.3e-3 < max(w for w in part[:2]) < 0.6e-3  # at the face between layers
