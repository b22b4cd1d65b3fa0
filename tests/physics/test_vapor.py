"""Permeance arithmetic against published pairs: conversion table, classes, boards at other thicknesses, series."""

from __future__ import annotations

import math

import pytest

from specgen import units
from specgen.physics import vapor

# perm, ng/(s·m²·Pa), s_d in m, resistance in 1e9 m²·s·Pa/kg. Conversions of the 0 °C perm; s_d by ISO 13788:2012
# with 2.0e-10 kg/(m·s·Pa) (from memory). Half the last printed digit.
CONVERSIONS = ((0.05, 2.86, 69.9, 350), (0.1, 5.72, 35.0, 175), (1, 57.2, 3.50, 17.5), (10, 572.1, 0.35, 1.75))


@pytest.mark.parametrize(("perm", "si", "s_d", "resistance"), CONVERSIONS, ids=lambda value: f"{value:g}")
def test_perm_in_its_other_units(perm: float, si: float, s_d: float, resistance: float) -> None:
    permeance = perm * units.PERM
    assert permeance * 1e12 == pytest.approx(si, rel=2e-3)
    assert vapor.equivalent_air_thickness(permeance) == pytest.approx(s_d, rel=2e-3)
    assert 1e-9 / permeance == pytest.approx(resistance, rel=2e-3)


def test_gypsum_board_scales_with_thickness() -> None:
    # ASHRAE Handbook of Fundamentals, permeance table (secondary): 9.5 mm plain wallboard 50 perm; at 12.5 mm 38 perm
    assert vapor.scaled_permeance(50, 9.5, 12.5) == pytest.approx(38, abs=0.5)


def test_painted_gypsum_board_in_series() -> None:
    # 12.5 mm board of 38 perm with two coats of latex of 7 perm together: 5.9 perm (computed from handbook values)
    assert vapor.series_permeance([38, 7]) == pytest.approx(5.9, abs=0.05)


def test_extruded_foam_two_inches() -> None:
    # ASHRAE Handbook of Fundamentals, permeance table (secondary): XPS 1.2 perm-in
    assert vapor.layer_permeance(1.2 * units.PERM_INCH, 2 * units.INCH) == pytest.approx(0.6 * units.PERM)


# Classes and deemed examples of IRC 2021 Table R702.7(1) (secondary); permeances of the ASHRAE table (secondary)
CLASSES = ((0.06, "I"), (0.1, "I"), (0.1001, "II"), (0.4, "II"), (1.0, "II"), (1.01, "III"), (7, "III"), (10, "III"),
           (10.1, "none"), (40, "none"))  # fmt: skip


@pytest.mark.parametrize(("perm", "retarder_class"), CLASSES)
def test_retarder_class(perm: float, retarder_class: str) -> None:
    assert vapor.retarder_class(perm * units.PERM) == retarder_class


def test_ends_of_a_series() -> None:
    assert vapor.series_permeance([]) == math.inf
    assert vapor.series_permeance([math.inf, math.inf]) == math.inf
    assert vapor.series_permeance([5.0, 0.0]) == 0.0
    assert vapor.equivalent_air_thickness(0.0) == math.inf
    assert vapor.still_air_permeance(0.02) == pytest.approx(1e-8)
