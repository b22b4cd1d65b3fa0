"""Conversions against published factors, and quantities as people write them."""

from __future__ import annotations

import pytest

from specgen import units
from specgen.model.base import Duration, Length, Temperature
from specgen.model.wall import Limits
from specgen.units import UnitError, format_inches, parse_length, parse_lumber, parse_number, parse_resistance

# NIST Special Publication 811 (2008), appendix B.8: factors as printed, to the digits printed (from memory).
PUBLISHED = [
    ("R_IP", units.R_IP, 1.761102e-1),
    ("U_IP", units.U_IP, 5.678263),
    ("K_IP", units.K_IP, 1.442279e-1),
    ("DENSITY_IP", units.DENSITY_IP, 1.601846e1),
    ("SPECIFIC_HEAT_IP", units.SPECIFIC_HEAT_IP, 4.1868e3),
    ("PERM at 0 C", units.PERM, 5.72135e-11),
    ("PERM_INCH at 0 C", units.PERM_INCH, 1.45322e-12),
    ("PSF", units.PSF, 4.788026e1),
    ("MPH", units.MPH, 4.4704e-1),
]


@pytest.mark.parametrize(
    ("name", "value", "printed"), PUBLISHED, ids=lambda part: part if isinstance(part, str) else ""
)
def test_derived_factor_agrees_with_the_published_one(name: str, value: float, printed: float) -> None:
    assert value == pytest.approx(printed, rel=1e-6)  # half the last printed digit or better


WRITTEN = [
    ("5/8 in", 5 / 8 * 0.0254),
    ('5/8"', 5 / 8 * 0.0254),
    ("3-1/2 in", 3.5 * 0.0254),
    ("3 1/2 in", 3.5 * 0.0254),
    ("7 5/8 in", 7.625 * 0.0254),
    ("5½ in", 5.5 * 0.0254),
    ("½″", 0.5 * 0.0254),
    ("16 mm", 0.016),
    ("30 mil", 30 * 25.4e-6),
    ("2x6", 5.5 * 0.0254),
    ("10'-6\"", 3.2004),
    ("10 ft 6 in", 3.2004),
    ("18 ft", 5.4864),
]


@pytest.mark.parametrize(("text", "meters"), WRITTEN)
def test_a_length_reads_as_people_write_it(text: str, meters: float) -> None:
    assert parse_length(text) == pytest.approx(meters, rel=1e-12)


@pytest.mark.parametrize(
    "text", ["", "12", "1/0 in", "1 foot long", "in", "--1 in", "1,5 in", "١ in", "1e999 in", "2x5", "inf in"]
)
def test_a_text_that_is_no_length_is_refused(text: str) -> None:
    with pytest.raises(UnitError):
        parse_length(text)


def test_numbers_and_lumber() -> None:
    assert parse_number("-5-1/2") == -5.5
    assert parse_lumber("2x4") == pytest.approx((0.0381, 0.0889))
    assert parse_resistance("R-13") == pytest.approx(13 * units.R_IP)
    assert parse_resistance("0.12 m2K/W") == 0.12


@pytest.mark.parametrize(
    ("inches", "printed"), [(7.6875, "7-11/16"), (0.5, "1/2"), (8, "8"), (0, "0"), (5.53, "5-1/2"), (1.999, "2")]
)
def test_inches_print_to_the_sixteenth(inches: float, printed: str) -> None:
    assert format_inches(inches * units.INCH) == printed


def test_fields_read_units_at_the_edge() -> None:
    limits = Limits.model_validate(
        {"air_min": "40 F", "air_max": "90 °F", "rain_protection": "24 h", "exposure_max": "60 days"}
    )
    assert limits.air_min == pytest.approx(4.444, abs=1e-3)
    assert limits.air_max == pytest.approx(32.222, abs=1e-3)
    assert (limits.rain_protection, limits.exposure_max) == (86400, 60 * 86400)
    assert Length is not Duration and Temperature is not Length


def test_still_air_thickness_of_one_perm() -> None:
    # 3.496 m with the still-air permeability of 2.0e-10 kg/(m·s·Pa); arithmetic from the definition in ISO 13788.
    assert units.water_vapor_sd(units.PERM) == pytest.approx(3.496, abs=5e-4)
