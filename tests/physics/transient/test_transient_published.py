"""The simulation against EN 15026:2007 Annex A and HAMSTAD WP2 benchmarks 2 and 5.

Status: confirmed through public transcriptions that quote the pages; where one printed figure is doubted, it says so.
"""

from __future__ import annotations

import numpy as np
import pytest
from transient_cases import ANNEX_A, BRICK, DRYING, INSULATION, MORTAR, saturation

from specgen.physics.transient.problem import Climate, Layer, Problem
from specgen.physics.transient.run import Scheme, simulate

CONSTANT_DIFFUSION = Scheme(permeability_exponent=-1.0)  # delta = D/(R_v T) with D fixed, as all three cases have it
SURFACE = 1e7  # [W/(m²·K)], stands for 'no surface resistance'

# EN 15026:2007 Annex A bands (research transcription of the SFS-EN edition, 2019). Depth: (low, high) per time.
DAYS = (7, 30, 365)
TEMPERATURE = {
    0.5: ((26.4, 26.9), (28.1, 28.6), (29.2, 29.8)), 1.0: ((23.6, 24.1), (26.5, 27.0), (28.8, 29.3)),
    1.5: ((21.7, 22.2), (25.0, 25.5), (28.3, 28.8)), 2.0: ((20.6, 21.1), (23.7, 24.3), (27.8, 28.4)),
    2.5: ((20.0, 20.5), (22.7, 23.2), (27.4, 27.9)), 3.0: ((19.8, 20.4), (21.8, 22.3), (26.9, 27.4)),
    4.0: ((19.8, 20.3), (20.7, 21.2), (26.0, 26.6)), 5.0: ((19.8, 20.3), (20.1, 20.6), (25.2, 25.7)),
}  # fmt: skip
CONTENT = {
    0.01: ((50.2, 54.5), (81.0, 85.3), (117.5, 121.8)), 0.02: ((41.3, 45.6), (51.1, 55.3), (104.4, 108.7)),
    0.03: ((40.8, 45.1), (43.6, 47.9), (88.7, 93.0)),
    # 365 d: the transcription reads 75.6 to 77.9; every other band is 4.2 to 4.3 wide, so 73.6 is very probably meant
    0.04: ((40.8, 45.1), (41.5, 45.7), (73.6, 77.9)),
    0.05: (None, (40.9, 45.2), (62.8, 67.1)), 0.06: (None, (40.8, 45.1), (55.7, 60.0)),
    0.08: (None, None, (47.9, 52.2)), 0.10: (None, None, (44.1, 48.4)),
}  # fmt: skip


@pytest.fixture(scope="module")
def uptake():
    """20 m of the annex's material with a skin, 1 mm cells to 0.12 m, then growing: state at 7, 30 and 365 days."""
    grown = 1e-3 * 1.12 ** np.arange(1, 200)
    grown = grown[: int(np.searchsorted(np.cumsum(grown), 19.88)) + 1]
    widths = (np.concatenate([[1e-5], np.full(120, 1e-3), grown]),)
    climate = Climate(30.0, 30.0, 0.95 * float(saturation(30.0)), SURFACE, 1e-4, interior_vapor_pressure=1170.0)
    problem = Problem(
        (Layer(ANNEX_A, float(widths[0].sum()), False, 20.0, 0.5),), climate, interior_vapor_coefficient=1e-20,
        widths=widths,
    )  # fmt: skip
    states, start, before = {}, None, 0
    for day in DAYS:
        (result,) = simulate([problem], 24 * (day - before), scheme=CONSTANT_DIFFUSION, start=start)
        states[day], start, before = result, [result.final], day
    return states


@pytest.mark.parametrize("day", DAYS)
def test_annex_a_temperatures_lie_in_their_bands(uptake, day) -> None:
    result = uptake[day]
    for depth, bands in TEMPERATURE.items():
        low, high = bands[DAYS.index(day)]
        assert low <= np.interp(depth, result.centers, result.final.temperature) <= high, f"{depth} m"


@pytest.mark.parametrize("day", DAYS)
def test_annex_a_water_contents_lie_in_their_bands(uptake, day) -> None:
    result = uptake[day]
    for depth, bands in CONTENT.items():
        band = bands[DAYS.index(day)]
        if band is not None:
            assert band[0] <= np.interp(depth, result.centers, result.final_content) <= band[1], f"{depth} m"


# An independent finite-volume recomputation of the annex (0.5 mm cells, BDF at 1e-7), at 365 d
RECOMPUTED = {0.01: 119.75, 0.02: 106.64, 0.03: 90.88, 0.04: 75.67, 0.05: 64.68, 0.06: 57.61, 0.08: 49.83, 0.10: 46.14}


def test_annex_a_agrees_with_an_independent_recomputation(uptake) -> None:
    result = uptake[365]
    for depth, content in RECOMPUTED.items():
        assert np.interp(depth, result.centers, result.final_content) == pytest.approx(content, abs=0.35)


# HAMSTAD WP2 benchmark 2, analytic column as published: depth, 100 h, 300 h
DRYING_ROWS = [
    (0.01, 43.6440, 33.8097), (0.02, 62.8553, 47.0304), (0.03, 75.0545, 58.3716), (0.04, 81.2271, 67.3823),
    (0.05, 83.7155, 74.0123), (0.06, 84.5148, 78.5282), (0.07, 84.7193, 81.3703), (0.08, 84.7610, 83.0086),
    (0.09, 84.7677, 83.8367), (0.10, 84.7685, 84.1147), (0.11, 84.7679, 83.9483), (0.12, 84.7623, 83.2873),
    (0.13, 84.7276, 81.9357), (0.14, 84.5575, 79.5757), (0.15, 83.8926, 75.8206), (0.16, 81.8227, 70.3060),
    (0.17, 76.6882, 62.8107), (0.18, 66.5405, 53.3768), (0.19, 50.5599, 42.3795),
]  # fmt: skip
SCATTER = {100: 0.9, 300: 0.3}  # [kg/m³], of the seven participating codes (transcription)


def series(x: np.ndarray, hours: float) -> np.ndarray:
    """Closed form of benchmark 2: constant diffusivity, fixed contents at both faces."""
    start, outside, inside, thickness, diffusivity = 84.76870, 19.5356, 30.5059, 0.2, 6e-10
    w = outside + (inside - outside) * x / thickness
    for n in range(1, 400):
        weight = 2 / (n * np.pi) * ((start - outside) - (start - inside) * (-1) ** n)
        decay = np.exp(-diffusivity * (n * np.pi / thickness) ** 2 * hours * 3600)
        w += weight * decay * np.sin(n * np.pi * x / thickness)
    return w


@pytest.fixture(scope="module")
def drying():
    """Forced isothermal: no latent heat. With evaporative cooling the case is missed by more than 1 kg/m³."""
    widths = (np.concatenate([[1e-5], np.full(160, (0.2 - 2e-5) / 160), [1e-5]]),)
    p = float(saturation(20.0))
    climate = Climate(20.0, 20.0, 0.45 * p, 25.0, 1e-3, interior_temperature=20.0, interior_vapor_pressure=0.65 * p)
    problem = Problem((Layer(DRYING, 0.2, False, 20.0, 0.95),), climate, interior_vapor_coefficient=1e-3, widths=widths)
    scheme = Scheme(latent_heat=0.0, permeability_exponent=-1.0)
    (early,) = simulate([problem], 100, scheme=scheme)
    (late,) = simulate([problem], 200, scheme=scheme, start=[early.final])
    return {100: early, 300: late}


@pytest.mark.parametrize("hours", [100, 300])
def test_benchmark_two_follows_its_published_series(drying, hours) -> None:
    result = drying[hours]
    depths = np.array([row[0] for row in DRYING_ROWS])
    published = np.array([row[1 if hours == 100 else 2] for row in DRYING_ROWS])
    assert series(depths, hours) == pytest.approx(published, abs=2e-4)  # the series is that of the report
    got = np.interp(depths, result.centers, result.final_content)
    assert np.abs(got - published).max() < SCATTER[hours] / 3
    assert result.final_content == pytest.approx(series(result.centers, hours), abs=0.35)
    assert result.final.temperature == pytest.approx(20.0, abs=1e-9)


def test_benchmark_two_mean_content(drying) -> None:
    """Mean contents of the series (recomputed): 74.860 at 100 h, 67.607 at 300 h."""
    assert drying[100].layer_mass[-1, 0] / 0.2 == pytest.approx(74.860, abs=0.03)
    assert drying[300].layer_mass[-1, 0] / 0.2 == pytest.approx(67.607, abs=0.03)


@pytest.fixture(scope="module")
def inside_insulation():
    """Benchmark 5: brick, mortar, insulation; 0 °C 80 % outside, 20 °C 60 % inside, from 25 °C 60 %, 60 days."""
    climate = Climate(
        0.0, 0.0, 0.8 * float(saturation(0.0)), 25.0, 1.8382e-7, interior_vapor_pressure=0.6 * float(saturation(20.0))
    )
    layers = [
        Layer(material, d, False, 25.0, 0.6) for material, d in ((BRICK, 0.365), (MORTAR, 0.015), (INSULATION, 0.04))
    ]
    problem = Problem(tuple(layers), climate, interior_vapor_coefficient=5.8823e-8)
    return simulate([problem], 24 * 60, cells=240, scheme=CONSTANT_DIFFUSION)[0]


# x from the exterior [m]: lowest and highest of the six codes [kg/m³] (confirmed, transcription)
ENVELOPE = {0.3735: (7.70, 8.64), 0.3905: (36.20, 53.12), 0.4195: (3.46, 3.63)}
ENVELOPE_MARGIN = 1.5  # [kg/m³], accepted beside the envelope; humidity +-0.003
HUMIDITY = {0.180: 0.780, 0.3735: 0.888, 0.3905: 0.938, 0.4195: 0.680}  # recomputed with 530 cells


def test_benchmark_five_lies_in_the_envelope_of_the_codes(inside_insulation) -> None:
    result = inside_insulation
    for x, (low, high) in ENVELOPE.items():
        assert low - ENVELOPE_MARGIN <= np.interp(x, result.centers, result.final_content) <= high + ENVELOPE_MARGIN
    for x, humidity in HUMIDITY.items():
        assert np.interp(x, result.centers, result.final_humidity) == pytest.approx(humidity, abs=0.003)
    for x in (0.1, 0.18, 0.3):  # 'brick flat at about 4.5'
        assert np.interp(x, result.centers, result.final_content) == pytest.approx(4.5, abs=0.35)


def test_benchmark_five_total_water(inside_insulation) -> None:
    """2.72 kg/m² (recomputed with 530 cells)."""
    assert inside_insulation.layer_mass[-1].sum() == pytest.approx(2.72, abs=0.03)
