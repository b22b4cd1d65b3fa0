"""What is simulated: a wall of plain layers between two climates, in SI numbers, exterior first.

Hour convention of every series: a value is the mean over its hour and stands at the middle of the hour; between two
middles it runs straight. Steps go from middle to middle, so that no step crosses a kink, and the sum of a series (of
rain, say) is kept. Constant-over-the-hour values would jump at each step and cost most of the accuracy.
"""

from __future__ import annotations

from dataclasses import dataclass, field, fields

import numpy as np

from specgen.physics.transient.properties import Array, Material

STEFAN_BOLTZMANN = 5.670374419e-8  # [W/(m²·K⁴)], CODATA 2018 (exact in the SI)


@dataclass(frozen=True)
class Layer:
    """One homogeneous layer."""

    material: Material
    thickness: float  # [m]
    air_space: bool = False  # one cell, mixed
    initial_temperature: float = 20.0  # [°C]
    initial_humidity: float = 0.8  # relative humidity, 0.002 to 1 [-]


@dataclass(frozen=True)
class Sheet:
    """What lies on a face between layers or on a surface without storing anything: membrane, paint, contact."""

    vapor_resistance: float = 0.0  # [m²·s·Pa/kg]
    heat_resistance: float = 0.0  # [m²·K/W]
    liquid_open: bool = True  # False: no capillary contact; at the exterior surface: rain runs off


@dataclass(frozen=True)
class AirExchange:
    """Air that enters one layer from outside or from the room and leaves it there, mixed into the layer."""

    layer: int  # index, exterior first
    flow: float  # per wall area [m³/(m²·s)]
    from_inside: bool = False


@dataclass(frozen=True)
class Wetting:
    """Where the series `Climate.deposit` puts its water: evenly over a depth from one face of a layer."""

    layer: int  # index, exterior first
    depth: float  # from the exterior face of the layer, at most its thickness [m]


@dataclass(frozen=True)
class Probe:
    """A place whose temperature and humidity are recorded: the cell nearest to it."""

    layer: int  # index, exterior first
    place: float  # 0 exterior face of the layer, 1 interior face [-]


@dataclass(frozen=True)
class Climate:
    """Hourly series of both sides; each of shape (hours,), or one number for a constant."""

    equivalent_temperature: Array | float  # air, sun and sky in one, see `equivalent_temperature` [°C]
    air_temperature: Array | float  # outside [°C]
    vapor_pressure: Array | float  # outside [Pa]
    heat_coefficient: Array | float = 25.0  # exterior, convection and radiation [W/(m²·K)]
    vapor_coefficient: Array | float = 1.8e-7  # exterior [kg/(m²·s·Pa)]
    rain: Array | float = 0.0  # on the surface [kg/(m²·s)]
    deposit: Array | float = 0.0  # leak, at `Problem.wetting` [kg/(m²·s)]
    exterior_air: Array | float = 1.0  # factor on flows from outside [-]
    interior_air: Array | float = 1.0  # factor on flows from the room [-]
    interior_temperature: Array | float = 20.0  # [°C]
    interior_vapor_pressure: Array | float = 1170.0  # [Pa]

    def stacked(self) -> Array:
        """Shape (hours, 11), in the order of the fields."""
        series = [np.atleast_1d(np.asarray(getattr(self, item.name), dtype=np.float64)) for item in fields(self)]
        return np.stack(np.broadcast_arrays(*series), axis=1)


@dataclass(frozen=True)
class Problem:
    """One lane: a wall, its climate, and what to record."""

    layers: tuple[Layer, ...]
    climate: Climate
    sheets: tuple[Sheet, ...] = ()  # one per face, exterior surface first, interior surface last; empty: none
    interior_heat_coefficient: float = 8.0  # [W/(m²·K)]
    interior_vapor_coefficient: float = 3e-8  # [kg/(m²·s·Pa)]
    exchanges: tuple[AirExchange, ...] = ()
    wetting: tuple[Wetting, ...] = ()  # the deposit is shared evenly among several
    probes: tuple[Probe, ...] = ()
    widths: tuple[Array, ...] = field(default=(), compare=False)  # own mesh, one array per layer; empty: graded [m]

    def faces(self) -> tuple[Sheet, ...]:
        """The sheet of every face, exterior surface first."""
        return self.sheets or tuple(Sheet() for _ in range(len(self.layers) + 1))


def equivalent_temperature(
    air: Array, sun_absorbed: Array, sky_radiation: Array, emittance: float, coefficient: Array | float
) -> Array:
    """Outside temperature that carries sun and long-wave exchange in one heat coefficient.

    Parameters
    ----------
    air : array, shape (hours,)
        Air temperature. [°C]
    sun_absorbed : array, shape (hours,)
        Absorptance times irradiance on the wall. [W/m²]
    sky_radiation : array, shape (hours,)
        Long-wave radiation that reaches the wall, from sky and ground by their view factors. [W/m²]
    emittance : float
        Of the surface. [-]
    coefficient : array or float
        Exterior heat coefficient, convection plus long-wave at air temperature. [W/(m²·K)]

    Returns
    -------
    temperature : array, shape (hours,)
        [°C]

    Source
    ------
    First principles: long-wave loss linearised about air temperature (ISO 13790 and others call it sol-air).
    """
    emitted = STEFAN_BOLTZMANN * (np.asarray(air) + 273.15) ** 4
    return np.asarray(air + (sun_absorbed + emittance * (sky_radiation - emitted)) / coefficient)
