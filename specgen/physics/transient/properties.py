"""Moisture functions of a porous material: suction in, stored water, liquid conductivity and permeability out.

The forms that the published cases and data sets use, each a small object with one call. A material's functions are
tabulated once (`tables.py`); the solver reads the tables only. Suction is positive in an unsaturated pore.
Temperature enters storage only through the Kelvin relation at one reference temperature, as EN 15026 Annex A does.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

VAPOR_GAS_CONSTANT = 8.314 / 0.018  # 461.89 [J/(kg·K)]; values of EN 15026:2007 Annex A
REFERENCE_TEMPERATURE = 293.15  # [K], of storage and suction; EN 15026:2007 Annex A
WATER_DENSITY = 1000.0  # [kg/m³]
KELVIN_PRESSURE = WATER_DENSITY * VAPOR_GAS_CONSTANT * REFERENCE_TEMPERATURE  # 1.354e8 [Pa]
AIR_DIFFUSION = 26.1e-6  # [m²/s], fixed; HAMSTAD WP2 common data
# Permeability of still air at the reference temperature, from the diffusion coefficient above.
STILL_AIR = AIR_DIFFUSION / (VAPOR_GAS_CONSTANT * REFERENCE_TEMPERATURE)  # 1.928e-10 [kg/(m·s·Pa)]
# A pore network that is full lets no vapor pass in the published form; a floor keeps the resistance finite.
OPEN_PORE_FLOOR = 1e-3  # [-]


def relative_humidity(suction: Array | float) -> Array:
    """Relative humidity over a meniscus with this suction (Kelvin relation).

    Parameters
    ----------
    suction : float or array
        >= 0. [Pa]

    Returns
    -------
    relative_humidity : array
        Same shape. [-]

    Source
    ------
    EN 15026:2007 Annex A. Trap: the annex prints one symbol for two gas constants; this one takes that of vapor.
    """
    return np.exp(-np.asarray(suction, dtype=np.float64) / KELVIN_PRESSURE)


def suction_from_humidity(humidity: Array | float) -> Array:
    """Suction in equilibrium with a relative humidity, the inverse of `relative_humidity`.

    Parameters
    ----------
    humidity : float or array
        0 < humidity <= 1. [-]

    Returns
    -------
    suction : array
        Same shape. [Pa]

    Source
    ------
    EN 15026:2007 Annex A.
    """
    return -KELVIN_PRESSURE * np.log(np.asarray(humidity, dtype=np.float64))


# --- stored water: call(suction [Pa]) -> water content [kg/m³] ---------------------------------------------------


@dataclass(frozen=True)
class RetentionSum:
    """w = w_sat · sum_i k_i (1 + (a_i s)^n_i)^(-m_i): van Genuchten terms, as EN 15026 and HAMSTAD WP2 use them."""

    saturation: float  # [kg/m³]
    weights: tuple[float, ...]  # k_i, sum 1 [-]
    scales: tuple[float, ...]  # a_i [1/Pa]
    powers: tuple[float, ...]  # n_i [-]
    outer_powers: tuple[float, ...] = ()  # m_i [-]; empty: 1 - 1/n_i

    def __call__(self, suction: Array) -> Array:
        outer = self.outer_powers or tuple(1 - 1 / n for n in self.powers)
        terms = zip(self.weights, self.scales, self.powers, outer, strict=True)
        return self.saturation * sum((k * (1 + (a * suction) ** n) ** -m for k, a, n, m in terms), np.zeros(()))


@dataclass(frozen=True)
class LogarithmicIsotherm:
    """w = c (1 - ln(phi)/a)^(-b), the isotherm of HAMSTAD WP2 benchmark 2."""

    saturation: float  # c [kg/m³]
    scale: float  # a [-]
    power: float  # b [-]

    def __call__(self, suction: Array) -> Array:
        return self.saturation * (1 + suction / KELVIN_PRESSURE / self.scale) ** -self.power


@dataclass(frozen=True)
class PointIsotherm:
    """Measured points of the isotherm, monotone between them, and free saturation at relative humidity 1.

    Between the dampest point and saturation it is drawn monotone over the logarithm of suction, where neither cup
    nor desiccator measures: the choice has no source and is the usual one (common practice).
    """

    humidity: tuple[float, ...]  # rising, 0 < . < 1 [-]
    content: tuple[float, ...]  # at those humidities, rising [kg/m³]
    free_saturation: float  # at relative humidity 1 [kg/m³]

    def __call__(self, suction: Array) -> Array:
        from scipy.interpolate import PchipInterpolator

        knots = [0.0, *(moisture_coordinate(suction_from_humidity(np.array(self.humidity)))), 1.0]
        knots[0] = float(moisture_coordinate(suction_from_humidity(1e-3)))
        curve = PchipInterpolator(knots, [0.0, *self.content, self.free_saturation])
        return np.asarray(curve(np.clip(moisture_coordinate(suction), knots[0], 1.0)), dtype=np.float64)


def wood_moisture_content(humidity: Array | float, temperature: float = 20.0) -> Array:
    """Equilibrium moisture content of wood, kg water per kg dry wood.

    Parameters
    ----------
    humidity : float or array
        Relative humidity, 0 to 1. [-]
    temperature : float
        [°C]

    Returns
    -------
    content : array
        Same shape. [kg/kg]

    Source
    ------
    USDA FPL-RN-0268 (1998), Hailwood-Horrobin equation; constants as in moisture notes (confirmed, secondary).
    """
    h, t = np.asarray(humidity, dtype=np.float64), temperature
    w = 349 + 1.29 * t + 0.0135 * t**2
    k = 0.805 + 7.36e-4 * t - 2.73e-6 * t**2
    k1 = 6.27 - 9.38e-3 * t - 3.03e-4 * t**2
    k2 = 1.91 + 0.0407 * t - 2.93e-4 * t**2
    kh = k * h
    percent = 1800 / w * (kh / (1 - kh) + (k1 * kh + 2 * k1 * k2 * kh**2) / (1 + k1 * kh + k1 * k2 * kh**2))
    return np.asarray(percent / 100)


# --- liquid: call(suction, water content) -> conductivity K [s], flux = -K grad(-suction) -------------------------


@dataclass(frozen=True)
class PolynomialConductivity:
    """ln K = sum_i c_i ((w - shift)/scale)^i, K in s; EN 15026 Annex A and HAMSTAD WP2 benchmarks 1, 3, 5."""

    coefficients: tuple[float, ...]  # c_0 first
    shift: float = 0.0  # [kg/m³]
    scale: float = 1.0  # [kg/m³]

    def __call__(self, suction: Array, content: Array) -> Array:
        return np.exp(np.polynomial.polynomial.polyval((content - self.shift) / self.scale, self.coefficients))


@dataclass(frozen=True)
class UptakeDiffusivity:
    """Liquid diffusivity from the water uptake coefficient: D = 3.8 (A/w_f)² 1000^(w/w_f - 1), for suction.

    Source: the simplified form used with A-values (from memory). Redistribution without free water at the surface
    is slower; `redistribution` scales it (1 = as for uptake).
    """

    uptake: float  # A [kg/(m²·s^0.5)]
    free_saturation: float  # w_f [kg/m³]
    redistribution: float = 1.0  # [-]

    def diffusivity(self, content: Array) -> Array:
        fill = np.minimum(content / self.free_saturation, 1.0)
        return self.redistribution * 3.8 * (self.uptake / self.free_saturation) ** 2 * 1000.0 ** (fill - 1)


@dataclass(frozen=True)
class ConstantDiffusivity:
    """One liquid diffusivity at every water content; HAMSTAD WP2 benchmark 2."""

    value: float  # [m²/s]

    def diffusivity(self, content: Array) -> Array:
        return np.full(np.shape(content), self.value)


Conductivity = Callable[[Array, Array], Array]
Diffusivity = UptakeDiffusivity | ConstantDiffusivity


# --- vapor: call(relative humidity, water content) -> permeability at the reference temperature -------------------


@dataclass(frozen=True)
class PorePermeability:
    """delta = D/(R_v T mu) · x/((1 - p) x² + p), x = 1 - w/w_sat; HAMSTAD WP2 common data, EN 15026 Annex A."""

    resistance_factor: float  # mu, dry [-]
    saturation: float  # w_sat [kg/m³]
    constriction: float  # p [-]

    def __call__(self, humidity: Array, content: Array) -> Array:
        x = np.maximum(1 - content / self.saturation, OPEN_PORE_FLOOR)
        return STILL_AIR / self.resistance_factor * x / ((1 - self.constriction) * x**2 + self.constriction)


@dataclass(frozen=True)
class PointPermeability:
    """Permeability at given relative humidities (dry cup, wet cup, ...), straight between, constant beyond."""

    humidity: tuple[float, ...]  # rising [-]
    permeability: tuple[float, ...]  # [kg/(m·s·Pa)]

    def __call__(self, humidity: Array, content: Array) -> Array:
        return np.interp(humidity, self.humidity, self.permeability)


# --- the moisture coordinate -------------------------------------------------------------------------------------

COORDINATE_SUCTION = 1000.0  # [Pa]; below it the coordinate is linear in suction
COORDINATE_SHARE = 0.05  # [-]; weight of the logarithm of suction beside relative humidity


def moisture_coordinate(suction: Array | float) -> Array:
    """The unknown that the solver iterates on: relative humidity less a share of asinh(suction).

    In the hygroscopic range it runs with relative humidity, near saturation with the logarithm of suction, so that a
    Newton step is a sensible guess in both. It is 1 at free saturation; above 1 pores fill with free water.

    Parameters
    ----------
    suction : float or array
        >= 0. [Pa]

    Returns
    -------
    coordinate : array
        Same shape; rising with moisture. [-]
    """
    return relative_humidity(suction) - COORDINATE_SHARE * np.arcsinh(np.asarray(suction) / COORDINATE_SUCTION)


@dataclass(frozen=True)
class Material:
    """What the simulation must know of one material; every value dry unless it says otherwise."""

    heat_capacity: float  # density times specific heat [J/(m³·K)]
    storage: Callable[[Array], Array]  # suction [Pa] -> water content [kg/m³]
    permeability: Callable[[Array, Array], Array]  # (relative humidity, content) -> [kg/(m·s·Pa)]
    conductivity: Callable[[Array], Array]  # water content [kg/m³] -> [W/(m·K)]
    full: float  # water content with all pores full, > free saturation; more runs off [kg/m³]
    liquid: Conductivity | Diffusivity | None = None  # None: no capillary flow
    label: str = field(default="", compare=False)


@dataclass(frozen=True)
class LinearConductivity:
    """lambda = dry + slope · w."""

    dry: float  # [W/(m·K)]
    slope: float = 0.0  # [W·m²/(kg·K)]

    def __call__(self, content: Array) -> Array:
        return self.dry + self.slope * np.asarray(content, dtype=np.float64)
