"""Moist air against published tables; the formula set is that of ISO 13788, so each tolerance is its known distance."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from specgen.physics import air

# ASHRAE Handbook of Fundamentals 2017, chapter 1, Table 3, as quoted in the tests of a general psychrometric library.
ASHRAE_TABLE = {-20: 103.24, -5: 401.74, 5: 872.6, 25: 3169.7, 50: 12351.3}
# Hyland-Wexler and IAPWS formulas, recomputed with a general psychrometric library.
HYLAND_WEXLER = {-10: 259.90, 0: 611.15, 10: 1228.00, 15: 1705.45, 20: 2338.80, 30: 4246.03, 35: 5627.82, 40: 7383.46}
# Danish guideline SBi 224, moisture in buildings, Annex A: read there.
SBI_224 = {-20: 103.5, -19: 113.9, -18: 125.2, 31: 4492, 32: 4755}
# The ISO 13788 formula itself, recomputed independently; its constants read in two public transcriptions.
ISO_FORMULA = {
    -40: 12.60, -20: 102.74, -10: 259.33, -5: 401.18, 0: 610.50, 5: 871.86, 10: 1227.31, 15: 1704.41, 20: 2336.95,
    25: 3165.92, 30: 4240.51, 35: 5619.20, 40: 7370.93, 50: 12328.6,
}  # fmt: skip


@pytest.mark.parametrize("t", ISO_FORMULA)
def test_saturation_is_the_iso_formula(t: float) -> None:
    assert air.saturation_pressure(t) == pytest.approx(ISO_FORMULA[t], rel=5e-5, abs=0.006)


@pytest.mark.parametrize(("t", "pressure"), [*ASHRAE_TABLE.items(), *HYLAND_WEXLER.items(), *SBI_224.items()])
def test_saturation_against_other_tables(t: float, pressure: float) -> None:
    # The Magnus form lies up to 0.2 % below the reference formulas above 0 °C, up to 0.8 % below from there to -20 °C.
    assert air.saturation_pressure(t) == pytest.approx(pressure, rel=0.002 if t >= 0 else 0.008)
    assert air.saturation_pressure(t) < pressure * 1.0005


DEW_POINTS = [  # dry bulb, humidity, dew point [°C]: recomputed, ASHRAE formula agrees within 0.01 K
    (20, 0.40, 6.00), (20, 0.50, 9.27), (20, 0.60, 12.00), (21, 0.30, 2.78), (21, 0.35, 4.97), (22, 0.40, 7.79),
    (24, 0.50, 12.94), (24, 0.60, 15.76), (30, 0.80, 26.17), (35, 0.60, 26.06), (0, 0.80, -2.68),
]  # fmt: skip


@pytest.mark.parametrize(("t", "humidity", "expected"), DEW_POINTS)
def test_dew_point(t: float, humidity: float, expected: float) -> None:
    assert air.dew_point(t, humidity) == pytest.approx(expected, abs=0.01)


@pytest.mark.parametrize(("t", "humidity", "grams"), [(20, 0.50, 7.26), (24, 0.50, 9.30), (30, 0.80, 21.57)])
def test_humidity_ratio(t: float, humidity: float, grams: float) -> None:
    # Recomputed at 101 325 Pa.
    assert air.humidity_ratio(air.vapor_pressure(t, humidity)) * 1000 == pytest.approx(grams, abs=0.03)


@pytest.mark.parametrize(("t", "ratio"), [(-20, 0.0006373), (5, 0.005425), (25, 0.020173), (50, 0.086863)])
def test_saturated_humidity_ratio(t: float, ratio: float) -> None:
    # ASHRAE Handbook of Fundamentals 2017, chapter 1, as quoted; ideal gases stay up to 1 % below real ones.
    assert air.humidity_ratio(air.saturation_pressure(t)) == pytest.approx(ratio, rel=0.01)


def test_concentration() -> None:
    # Saturated air at 20 °C holds 17.3 g/m³ (physics tables, from memory).
    assert air.concentration(20, air.saturation_pressure(20)) * 1000 == pytest.approx(17.3, abs=0.05)


def test_wet_bulb() -> None:
    # ASHRAE Handbook of Fundamentals, chapter 1, worked example: 40 °C dry bulb, 20 °C wet bulb, humidity ratio
    # 6.5 g/kg (from memory). And saturated air.
    ratio = air.humidity_ratio(air.vapor_pressure(40, 0.142))
    assert ratio * 1000 == pytest.approx(6.5, abs=0.1)
    assert air.wet_bulb(40, 0.142) == pytest.approx(20.0, abs=0.2)
    assert air.wet_bulb(25, 1.0) == pytest.approx(25.0, abs=0.001)
    assert air.wet_bulb(-5, 1.0) == pytest.approx(-5.0, abs=0.001)


@given(st.floats(-50, 80))
def test_inverse(t: float) -> None:
    assert air.saturation_temperature(air.saturation_pressure(t)) == pytest.approx(t, abs=1e-9)


@given(st.floats(-50, 80), st.floats(0.01, 1.0))
def test_dew_point_and_wet_bulb_lie_below_the_air(t: float, humidity: float) -> None:
    dew, bulb = air.dew_point(t, humidity), air.wet_bulb(t, humidity)
    assert dew <= t + 1e-9 and bulb <= t + 1e-9
    if bulb > 0.5:  # below 0 °C the wet bulb carries ice and the two may cross
        assert dew <= bulb + 1e-2


def test_frost_is_below_water() -> None:
    assert air.saturation_pressure(-10) < air.saturation_pressure_over_water(-10)
    assert air.saturation_pressure(5) == air.saturation_pressure_over_water(5)


def test_no_vapor_has_no_dew_point() -> None:
    with pytest.raises(ValueError, match="expected more than 0"):
        air.saturation_temperature(0.0)
