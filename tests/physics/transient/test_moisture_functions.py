"""Material functions against printed and independently recomputed values, before any solver uses them."""

from __future__ import annotations

import numpy as np
import pytest
from transient_cases import ANNEX_A, BOARD, BRICK, DRYING, INSULATION, MORTAR

from specgen.physics.transient import properties as p
from specgen.physics.transient import tables

# EN 15026:2007 Annex A at 20 °C: content, suction, K, permeability, conductivity. Recomputed from the printed
# functions apart from this program (status: recomputed); mu 212 and 866 are also quoted by a transcription.
ANNEX_A_ROWS = [
    (0.30, 31.081, 1.6302e8, 2.1016e-19, 9.3814e-13, 1.9911),
    (0.50, 42.922, 9.3854e7, 8.4116e-19, 9.1003e-13, 2.1782),
    (0.70, 62.291, 4.8295e7, 4.1054e-18, 8.3428e-13, 2.4842),
    (0.80, 79.225, 3.0214e7, 1.3672e-17, 7.3196e-13, 2.7518),
    (0.90, 107.979, 1.4266e7, 7.2040e-17, 4.7257e-13, 3.2061),
    (0.95, 129.021, 6.9453e6, 2.1791e-16, 2.2247e-13, 3.5385),
    (0.98, 141.457, 2.7355e6, 7.7674e-16, 6.0278e-14, 3.7350),
]
LAST_DIGIT = 6e-5  # relative: half the last printed digit of a five-digit value


@pytest.mark.parametrize("row", ANNEX_A_ROWS, ids=lambda row: f"phi {row[0]}")
def test_annex_a_functions_give_the_recomputed_values(row) -> None:
    phi, content, suction, liquid, permeability, conductivity = row
    s = p.suction_from_humidity(phi)
    w = ANNEX_A.storage(s)
    got = (w, s, ANNEX_A.liquid(s, w), ANNEX_A.permeability(np.array(phi), w), ANNEX_A.conductivity(w))
    assert [float(x) for x in got] == pytest.approx((content, suction, liquid, permeability, conductivity), LAST_DIGIT)


def test_the_molar_gas_constant_is_not_taken_for_that_of_vapor() -> None:
    # the annex prints one symbol for both; with the wrong one the start would be 143.8 kg/m3 instead of 42.9
    assert float(ANNEX_A.storage(p.suction_from_humidity(0.5))) == pytest.approx(42.922, abs=5e-4)


# HAMSTAD WP2 benchmark 5: content and K (recomputed from the printed functions, two transcriptions agree on them)
FIVE_ROWS = [
    (BRICK, 0.5, 2.562, 4.51e-16), (BRICK, 0.8, 4.516, 1.03e-15), (BRICK, 0.95, 9.418, 7.09e-15),
    (BRICK, 0.99, 21.283, 3.19e-13), (MORTAR, 0.8, 4.062, 3.89e-18), (MORTAR, 0.95, 37.384, 4.92e-17),
    (MORTAR, 0.99, 536.5, 1.47e-12), (INSULATION, 0.8, 7.775, 7.47e-20), (INSULATION, 0.95, 65.761, 9.98e-15),
    (INSULATION, 0.99, 482.8, 1.36e-10),
]  # fmt: skip


@pytest.mark.parametrize("material, phi, content, liquid", FIVE_ROWS)
def test_benchmark_five_functions(material, phi, content, liquid) -> None:
    s = p.suction_from_humidity(phi)
    w = material.storage(s)
    assert float(w) == pytest.approx(content, abs=0.06 if content > 100 else 6e-4)
    assert float(material.liquid(s, w)) == pytest.approx(liquid, rel=6e-3)


@pytest.mark.parametrize("phi, content", [(0.95, 84.7687), (0.45, 19.5356), (0.65, 30.5059)])
def test_benchmark_two_isotherm(phi, content) -> None:
    """HAMSTAD WP2 benchmark 2, p. 19 (confirmed, transcription; recomputed)."""
    assert float(DRYING.storage(p.suction_from_humidity(phi))) == pytest.approx(content, abs=6e-5)


# Wood: USDA FPL-RN-0268 (equation secondary, values recomputed), percent at 30, 50, 65, 80, 90, 95 % RH
WOOD_ROWS = [
    (5.0, (6.33, 9.51, 12.34, 16.49, 20.99, 24.34)),
    (20.0, (6.19, 9.27, 12.00, 16.04, 20.53, 23.94)),
    (30.0, (5.99, 8.97, 11.61, 15.55, 19.99, 23.41)),
]


@pytest.mark.parametrize("temperature, percents", WOOD_ROWS)
def test_wood_moisture_content(temperature, percents) -> None:
    got = 100 * p.wood_moisture_content(np.array([0.3, 0.5, 0.65, 0.8, 0.9, 0.95]), temperature)
    assert got == pytest.approx(percents, abs=0.0051)


@pytest.mark.parametrize("material", [ANNEX_A, BRICK, MORTAR, INSULATION, DRYING, BOARD])
def test_tables_return_the_functions_they_were_made_from(material) -> None:
    phi = np.linspace(0.05, 0.995, 400)
    s = p.suction_from_humidity(phi)
    got = tables.lookup(tables.tabulate(material), tables.coordinate_at_humidity(phi))
    w = material.storage(s)
    assert got[tables.CONTENT] == pytest.approx(w, rel=3e-4)
    assert got[tables.HUMIDITY] == pytest.approx(phi, abs=1e-6)
    assert 1 / got[tables.VAPOR_RESISTIVITY] == pytest.approx(material.permeability(phi, w), rel=2e-3)
    assert 1 / got[tables.HEAT_RESISTIVITY] == pytest.approx(material.conductivity(w), rel=2e-3)


def test_liquid_potential_is_the_integral_of_the_diffusivity() -> None:
    """Exact: with one diffusivity the potential difference is D times the difference of content."""
    phi = np.array([0.3, 0.6, 0.9, 0.99])
    got = tables.lookup(tables.tabulate(DRYING), tables.coordinate_at_humidity(phi))
    assert np.diff(got[tables.POTENTIAL]) == pytest.approx(6e-10 * np.diff(got[tables.CONTENT]), rel=1e-3)


def test_free_water_fills_pores_up_to_full_at_full_relative_humidity() -> None:
    table = tables.tabulate(BOARD)
    free, full = tables.lookup(table, np.array([1.0, tables.FULL_AT]))[tables.CONTENT]
    assert (free, full) == (pytest.approx(470.0, rel=2e-3), pytest.approx(550.0, rel=2e-3))
    assert tables.lookup(table, np.array([1.1]))[tables.HUMIDITY] == pytest.approx(1.0)


def test_coordinate_is_inverted_to_the_suction() -> None:
    suction = np.geomspace(1.0, 5e8, 60)
    assert tables.suction_at(p.moisture_coordinate(suction)) == pytest.approx(suction, rel=1e-6)


@pytest.mark.parametrize("full", [469.0, 470.0])
def test_full_must_exceed_free_saturation(full) -> None:
    from dataclasses import replace

    with pytest.raises(ValueError, match="must exceed free saturation"):
        tables.tabulate(replace(BOARD, full=full))
