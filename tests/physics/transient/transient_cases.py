"""Materials and climates of the published cases, and one framed wall of our own in an invented climate.

EN 15026:2007 Annex A and HAMSTAD WP2 (report R-02:8, 2002), both read in public transcriptions that quote the pages
(status: confirmed, transcription), two of them independent and in agreement.
"""

from __future__ import annotations

import numpy as np

from specgen.physics.transient.problem import AirExchange, Climate, Layer, Probe, Problem, Sheet, Wetting
from specgen.physics.transient.properties import (
    STILL_AIR,
    ConstantDiffusivity,
    LinearConductivity,
    LogarithmicIsotherm,
    Material,
    PointIsotherm,
    PointPermeability,
    PolynomialConductivity,
    PorePermeability,
    RetentionSum,
    UptakeDiffusivity,
    wood_moisture_content,
)
from specgen.units import PERM

PASCAL_PER_METER_OF_WATER = 1000 * 9.81  # [Pa/m]; HAMSTAD WP2: scales printed in 1/m act on suction height


def saturation(temperature):
    """Saturation pressure, ISO 13788:2012, of a number or an array. [Pa]"""
    t = np.asarray(temperature, dtype=float)
    return 610.5 * np.exp(np.where(t >= 0, 17.269 * t / (237.3 + t), 21.875 * t / (265.5 + t)))


# EN 15026:2007 Annex A.2; also benchmark 1 layer A of HAMSTAD WP2
ANNEX_A = Material(
    heat_capacity=1.824e6,
    storage=RetentionSum(146.0, (1.0,), (8e-8,), (1.6,), (0.375,)),
    permeability=PorePermeability(200.0, 146.0, 0.497),
    conductivity=LinearConductivity(1.5, 15.8e-3),
    full=150.0,
    liquid=PolynomialConductivity((-39.2619, 0.0704, -1.7420e-4, -2.7953e-6, -1.1566e-7, 2.5969e-9), 73.0),
)

# HAMSTAD WP2 benchmark 2, pp. 19-23: constant moisture diffusivity
DRYING = Material(
    heat_capacity=525.0 * 800.0,
    storage=LogarithmicIsotherm(116.0, 0.118, 0.869),
    permeability=lambda humidity, content: np.full(np.shape(humidity), 1e-15),
    conductivity=LinearConductivity(0.15),
    full=120.0,
    liquid=ConstantDiffusivity(6e-10),
)


def _five(saturation_content, weights, scales, powers, mu, constriction, coefficients, conductivity, capacity):
    return Material(
        heat_capacity=capacity,
        storage=RetentionSum(saturation_content, weights, tuple(a / PASCAL_PER_METER_OF_WATER for a in scales), powers),
        permeability=PorePermeability(mu, saturation_content, constriction),
        conductivity=LinearConductivity(*conductivity),
        full=saturation_content * 1.02,
        liquid=PolynomialConductivity(coefficients, 0.0, 1000.0),
    )


# HAMSTAD WP2 benchmark 5, pp. 45-51
BRICK = _five(
    373.5, (0.46, 0.54), (0.47, 0.2), (1.5, 3.8), 7.5, 0.2,
    (-36.484, 461.325, -5240.0, 2.907e4, -7.41e4, 6.997e4), (0.682,), 1600.0 * 1000.0,
)  # fmt: skip
MORTAR = _five(
    700.0, (0.2, 0.8), (0.5, 0.004), (1.5, 3.8), 50.0, 0.2,
    (-40.425, 83.319, -175.961, 123.863), (0.6, 0.56e-3), 230.0 * 920.0,
)  # fmt: skip
INSULATION = _five(
    871.0, (0.41, 0.59), (0.006, 0.012), (2.5, 2.4), 5.6, 0.2,
    (-46.245, 294.506, -1439.0, 3249.0, -3370.0, 1305.0), (0.06, 0.56e-3), 212.0 * 1000.0,
)  # fmt: skip

# A framed wall with stucco on a drained space. Values of the usual order (common practice), not of any product.
POINTS = (0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95)
STUCCO = Material(
    1900 * 850.0, PointIsotherm((0.3, 0.5, 0.8, 0.9, 0.95), (20.0, 28.0, 50.0, 70.0, 90.0), 200.0),
    PointPermeability((0.25, 0.9), (STILL_AIR / 60, STILL_AIR / 30)), LinearConductivity(0.8, 4e-3), 300.0,
    UptakeDiffusivity(0.02, 200.0, 0.1),
)  # fmt: skip
AIR_SPACE = Material(
    1.2 * 1006.0, PointIsotherm((0.5, 0.9), (0.0086, 0.0156), 0.02), PointPermeability((0.5,), (STILL_AIR,)),
    LinearConductivity(0.0095 / 0.17), 10.0,
)  # fmt: skip
BOARD = Material(
    650 * 1600.0, PointIsotherm(POINTS, tuple(650 * wood_moisture_content(np.array(POINTS))), 470.0),
    PointPermeability((0.25, 0.5, 0.75, 0.9), tuple(STILL_AIR / mu for mu in (150, 120, 60, 30))),
    LinearConductivity(0.13, 2e-4), 550.0, UptakeDiffusivity(0.002, 470.0),
)  # fmt: skip
BATT = Material(
    40 * 850.0, RetentionSum(900.0, (1.0,), (2e-4,), (2.0,)), PointPermeability((0.5,), (STILL_AIR / 1.2,)),
    LinearConductivity(0.037, 5e-4), 950.0,
)  # fmt: skip
GYPSUM = Material(
    700 * 870.0, PointIsotherm((0.3, 0.5, 0.8, 0.9, 0.95), (3.0, 4.2, 8.0, 12.0, 18.0), 400.0),
    PointPermeability((0.25, 0.9), (STILL_AIR / 9, STILL_AIR / 6)), LinearConductivity(0.16, 1e-3), 500.0,
    UptakeDiffusivity(0.05, 400.0),
)  # fmt: skip


def invented_year(seed: int = 0, lag: float = 0.0, rain: float = 1.0, hours: int = 8760) -> Climate:
    """A humid climate made of sines and seeded noise; every number is ours."""
    rng = np.random.default_rng(seed)
    h = np.arange(hours)
    day = h // 24
    drift = np.zeros(hours)
    steps = 0.2 * rng.standard_normal(hours)
    for i in range(1, hours):
        drift[i] = 0.98 * drift[i - 1] + steps[i]
    air = 18 + 9 * np.sin(2 * np.pi * (h / 8760 - 0.3)) + 5 * np.sin(2 * np.pi * (h - 9) / 24) + 3 * drift
    dew = np.minimum(air - 0.5, air - 4 - 3 * np.abs(rng.standard_normal(hours // 24 + 1)[day]))
    clear = np.clip(rng.random(hours // 24 + 1)[day], 0.1, 1)
    sun = 600 * clear * np.maximum(0, np.sin(2 * np.pi * (h - 6 - lag) / 24))
    film = 17 + 6 * np.abs(np.sin(0.37 * h))
    wall_rain = rain * np.where(rng.random(hours) < 0.06, rng.exponential(0.5, hours), 0) / 3600
    mean = np.convolve(air, np.ones(24) / 24, "same")
    room = np.clip(mean + 2.8, 21.1, 23.9)
    return Climate(
        equivalent_temperature=air + (0.6 * sun - 30 * clear) / film, air_temperature=air,
        vapor_pressure=saturation(dew), heat_coefficient=film, vapor_coefficient=7e-9 * film, rain=wall_rain,
        deposit=0.01 * wall_rain, interior_temperature=room,
        interior_vapor_pressure=np.clip(0.5 + mean / 100, 0.4, 0.6) * saturation(room),
    )  # fmt: skip


def framed_wall(climate: Climate | None = None) -> Problem:
    """Stucco, drained space, permeable sheet, board, batt, gypsum board, paint; 1 % of the rain behind the sheet."""
    layers = (
        Layer(STUCCO, 0.019), Layer(AIR_SPACE, 0.0095, air_space=True), Layer(BOARD, 0.0111), Layer(BATT, 0.14),
        Layer(GYPSUM, 0.0127),
    )  # fmt: skip
    closed = Sheet(liquid_open=False)
    sheets = (Sheet(), Sheet(), Sheet(1 / (20 * PERM), liquid_open=False), closed, closed, Sheet(1 / (7 * PERM)))
    return Problem(
        layers, climate or invented_year(), sheets, exchanges=(AirExchange(1, 10 / 3600 * 0.0095),),
        wetting=(Wetting(2, 0.003),),
        probes=tuple(Probe(layer, place) for layer in range(5) for place in (0.0, 0.25, 0.5, 0.75, 1.0)),
    )  # fmt: skip
