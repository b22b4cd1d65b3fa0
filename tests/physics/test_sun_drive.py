"""Sun-driven vapor: the published-form examples, a solar library as an independent witness, and properties."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from specgen import units
from specgen.physics import sun_drive
from specgen.physics.air import saturation_pressure

PERM = units.PERM


def plane(poly: bool) -> tuple[float, float]:
    """Cavity 40 °C, 90 %; room 23 °C, 50 %; barrier 30, OSB 2, batt 30, board 40, paint 7 perm: pressure, rate."""
    inside = ([0.06] if poly else []) + [40.0, 7.0]
    permeances = [perm * PERM for perm in (30.0, 2.0, 30.0, *inside)]
    saturation = [1e9, 1e9, 1e9, 2894.0, *([1e9] * len(inside))]
    pressures, rates, _ = sun_drive.driven_pressures(6634.0, 1404.0, permeances, saturation)
    return pressures[3], rates[3]


def test_open_wall_of_the_reference_example() -> None:
    # Recomputed example, same flux law: p = (A p_out + B p_in) / (A + B), A 1.7647 and B 5.9574 perm.
    pressure, rate = plane(poly=False)
    assert pressure == pytest.approx(2599, abs=1)
    assert pressure / 2894 == pytest.approx(0.898, abs=0.001)
    assert rate == 0


def test_polyethylene_of_the_reference_example() -> None:
    # Recomputed example: held at saturation, 1.341 g/(m²·h) condenses.
    pressure, rate = plane(poly=True)
    assert pressure == pytest.approx(2894)
    assert rate * 3.6e6 == pytest.approx(1.341, abs=0.002)


@pytest.mark.filterwarnings("ignore:DatetimeIndex.dayofyear")  # the library's own use of pandas
@pytest.mark.parametrize(("orientation", "azimuth"), [("N", 0), ("E", 90), ("S", 180), ("W", 270)])
def test_clear_sky_sun_against_a_solar_library(orientation: str, azimuth: float) -> None:
    # pvlib, a general-purpose solar library: Ineichen clear sky, turbidity 3, Perez diffuse; models differ by 15 %.
    pvlib = pytest.importorskip("pvlib")
    pd = pytest.importorskip("pandas")
    times = pd.date_range("2021-07-21 00:30", periods=24, freq="h", tz="Etc/GMT")
    place = pvlib.location.Location(30.0, 0.0, "Etc/GMT")
    sun = place.get_solarposition(times)
    sky = place.get_clearsky(times, model="ineichen", linke_turbidity=3.0)
    extra = pvlib.irradiance.get_extra_radiation(times)
    wall = pvlib.irradiance.get_total_irradiance(
        90, azimuth, sun["apparent_zenith"], sun["azimuth"], sky["dni"], sky["ghi"], sky["dhi"],
        dni_extra=extra, model="perez", albedo=0.2,
    )["poa_global"]  # fmt: skip
    ours = sun_drive.wall_sun(30.0, orientation)
    assert max(ours) == pytest.approx(wall.max(), rel=0.15)
    assert np.mean(ours) == pytest.approx(wall.mean(), rel=0.15)


def test_east_mirrors_west_and_the_night_is_dark() -> None:
    east, west = sun_drive.wall_sun(35.0, "E"), sun_drive.wall_sun(35.0, "W")
    assert east == pytest.approx(west[::-1])
    assert not any(east[:4])


def test_sol_air_of_a_white_night_is_the_air() -> None:
    air = sun_drive.design_day(35.0, 10.0)
    assert max(air) == pytest.approx(35.0, abs=0.2)
    assert max(air) - min(air) == pytest.approx(10.0, abs=0.3)
    assert sun_drive.sol_air(air, (0.0,) * 24, 0.9, 17.0) == pytest.approx(air)


def test_lag_keeps_the_mean_and_damps_the_swing() -> None:
    day = 30 + 10 * np.sin(2 * np.pi * (np.arange(24) - 9) / 24)
    tau = 6 * 3600.0
    damped = sun_drive.lagged(tuple(day), tau)
    assert np.mean(damped) == pytest.approx(day.mean())
    # first harmonic of a lumped body: 1 / sqrt(1 + (w tau)²)
    assert np.ptp(damped) / np.ptp(day) == pytest.approx(1 / np.hypot(1, 2 * np.pi / 86400 * tau), rel=0.02)


@settings(max_examples=40, deadline=None)
@given(st.lists(st.floats(-20, 70), min_size=24, max_size=24), st.floats(0, 2e5))
def test_lag_is_the_filter_of_the_day_s_harmonics(day: list[float], tau: float) -> None:
    # The same filter by a fast Fourier transform.
    harmonics = np.fft.rfft(day) / (1 + 2j * np.pi * np.arange(13) / 86400 * tau)
    assert sun_drive.lagged(tuple(day), tau) == pytest.approx(np.fft.irfft(harmonics, 24), rel=1e-11, abs=1e-10)


def test_still_gap_is_as_wet_as_the_face_and_a_windy_one_as_the_air() -> None:
    wet = saturation_pressure(40.0)
    assert sun_drive.gap_pressure(wet, 2000.0, 2.5, 0.0, 0.05, 40.0) == pytest.approx(wet)
    assert sun_drive.gap_pressure(wet, 2000.0, 2.5, 10.0, 0.05, 40.0) == pytest.approx(2000.0, rel=0.05)


permeance = st.floats(0.05, 60).map(lambda perm: perm * PERM)


@settings(max_examples=60, deadline=None)
@given(st.lists(permeance, min_size=1, max_size=6), st.floats(0.02, 20), st.data())
def test_a_closed_layer_never_raises_the_flux_and_water_is_conserved(
    layers: list[float], closed: float, data: st.DataObject
) -> None:
    outer, inner = 55.0, 24.0
    saturation = [saturation_pressure(t) for t in np.linspace(outer, inner, len(layers) + 1)]
    source, room = saturation[0], 0.5 * saturation[-1]
    pressures, rates, inward = sun_drive.driven_pressures(source, room, layers, saturation)
    entering = (pressures[0] - pressures[1]) * layers[0]
    assert entering == pytest.approx(inward + sum(rates), rel=1e-9, abs=1e-18)
    assert all(p <= top * (1 + 1e-12) for p, top in zip(pressures, saturation, strict=True))
    at = data.draw(st.integers(0, len(layers)))
    with_closed = [*layers[:at], closed * PERM, *layers[at:]]
    tops = [*saturation[: at + 1], *saturation[at:]]
    _, _, slowed = sun_drive.driven_pressures(source, room, with_closed, tops)
    assert slowed <= inward * (1 + 1e-9)


@settings(max_examples=40, deadline=None)
@given(st.lists(permeance, min_size=1, max_size=5), st.integers(0, 4))
def test_cutting_a_layer_in_two_at_one_temperature_changes_nothing(layers: list[float], which: int) -> None:
    which %= len(layers)
    saturation = [saturation_pressure(t) for t in np.linspace(50.0, 24.0, len(layers) + 1)]
    whole = sun_drive.driven_pressures(saturation[0], 1400.0, layers, saturation)
    cut = [*layers[:which], 2 * layers[which], 2 * layers[which], *layers[which + 1 :]]
    # the plane inside of a layer: its ceiling lies above the chord, since saturation pressure is convex only mildly
    tops = [*saturation[: which + 1], 1e9, *saturation[which + 1 :]]
    parts = sun_drive.driven_pressures(saturation[0], 1400.0, cut, tops)
    assert parts[2] == pytest.approx(whole[2], rel=1e-9)
