"""Conversions derived once, and the text of a quantity read to SI and back.

Inside the package a bare number is SI (m, s, kg, Pa, W, K; temperature state in °C). A number that crosses
a border (YAML, command line, template) carries its unit: `5/8 in`, `16 mm`, `10 perm`, `R-13`.
"""

from __future__ import annotations

import math
import re
from fractions import Fraction
from functools import lru_cache

# Exact by definition (inch, foot, pound, grain: international agreement of 1959; Btu: International Table).
INCH = 0.0254  # [m]
FOOT = 0.3048  # [m]
MIL = INCH / 1000  # [m]
POUND = 0.45359237  # [kg]
GRAIN = POUND / 7000  # [kg]
BTU = 1055.05585262  # [J]
HOUR = 3600.0  # [s]
RANKINE = 5 / 9  # [K], a difference of one °F
GRAVITY = 9.80665  # [m/s²], standard
# Conventional mercury at 0 °C: 13 595.1 kg/m³ (the convention behind the 0 °C perm).
PASCAL_PER_INCH_MERCURY = INCH * 13595.1 * GRAVITY  # 3386.39 [Pa]

R_IP = FOOT**2 * RANKINE * HOUR / BTU  # 1 h·ft²·°F/Btu = 0.176110 [m²·K/W]
U_IP = 1 / R_IP  # 1 Btu/(h·ft²·°F) = 5.678263 [W/(m²·K)]
K_IP = INCH / R_IP  # 1 Btu·in/(h·ft²·°F) = 0.144228 [W/(m·K)]
PERM = GRAIN / (HOUR * FOOT**2 * PASCAL_PER_INCH_MERCURY)  # 5.7213e-11 [kg/(m²·s·Pa)]
PERM_INCH = PERM * INCH  # 1.4532e-12 [kg/(m·s·Pa)]
DENSITY_IP = POUND / FOOT**3  # 1 lb/ft³ = 16.0185 [kg/m³]
SPECIFIC_HEAT_IP = BTU / (POUND * RANKINE)  # 1 Btu/(lb·°F) = 4186.8 [J/(kg·K)]
HEAT_CAPACITY_IP = BTU / (FOOT**2 * RANKINE)  # 1 Btu/(ft²·°F) = 20 441.7 [J/(m²·K)]
AREAL_MASS_IP = POUND / FOOT**2  # 1 lb/ft² = 4.88243 [kg/m²]
PSF = POUND * GRAVITY / FOOT**2  # 1 lbf/ft² = 47.8803 [Pa]
MPH = 1609.344 / HOUR  # [m/s]

# Vapor permeability of still air used to turn a permeance into s_d: 2.0e-10 (ISO 13788:2012; from memory).
AIR_VAPOR_PERMEABILITY = 2.0e-10  # [kg/(m·s·Pa)]


class UnitError(ValueError):
    """A text that is not a quantity of the kind asked for. The message says what was expected."""


# Lumber is written by its nominal name; the dressed size is what is drawn (PS 20 sizes; from memory).
DRESSED_LUMBER = {1: 0.75, 2: 1.5, 3: 2.5, 4: 3.5, 6: 5.5, 8: 7.25, 10: 9.25, 12: 11.25}  # nominal: dressed [in]

_NUMBER = r"[+-]?(?:[0-9]+(?:\.[0-9]+)?|\.[0-9]+)(?:[eE][+-]?[0-9]+)?"
_FRACTION = re.compile(r"^([+-]?)(?:([0-9]+)[\s-]+)?([0-9]+)/([0-9]+)$")
_QUANTITY = re.compile(rf"^\s*([+-]?[0-9]+[\s-]+[0-9]+/[0-9]+|[+-]?[0-9]+/[0-9]+|{_NUMBER})\s*(.*?)\s*$")
_FEET_INCHES = re.compile(r"^\s*([0-9]+)\s*(?:ft|['′])\s*-?\s*(.+?)\s*(?:in|[\"″])\s*$")
_LUMBER = r"\s*([0-9]{1,2})\s*[x×]\s*([0-9]{1,2})\s*"
_GLYPH_FRACTIONS = {
    "½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8", "⅓": "1/3", "⅔": "2/3",
}  # fmt: skip

LENGTH_UNITS = {
    "in": INCH, "inch": INCH, "inches": INCH, '"': INCH, "″": INCH, "ft": FOOT, "'": FOOT, "′": FOOT,
    "mil": MIL, "mils": MIL, "mm": 1e-3, "cm": 1e-2, "m": 1.0, "um": 1e-6, "µm": 1e-6,
}  # fmt: skip
AREA_UNITS = {"sq in": INCH**2, "in2": INCH**2, "sq ft": FOOT**2, "ft2": FOOT**2, "mm2": 1e-6, "m2": 1.0}
CONDUCTIVITY_UNITS = {
    "W/(m*K)": 1.0, "W/mK": 1.0, "W/(m·K)": 1.0, "W/m K": 1.0,
    "Btu*in/(h*ft2*F)": K_IP, "Btu-in/(h ft2 F)": K_IP, "Btu·in/(h·ft²·°F)": K_IP,
}  # fmt: skip
RESISTANCE_UNITS = {
    "m2K/W": 1.0, "m2*K/W": 1.0, "m²·K/W": 1.0, "h*ft2*F/Btu": R_IP, "h ft2 F/Btu": R_IP, "h·ft²·°F/Btu": R_IP,
}  # fmt: skip
DENSITY_UNITS = {"kg/m3": 1.0, "kg/m³": 1.0, "lb/ft3": DENSITY_IP, "lb/ft³": DENSITY_IP, "pcf": DENSITY_IP}
SPECIFIC_HEAT_UNITS = {
    "J/(kg*K)": 1.0, "J/kgK": 1.0, "J/(kg·K)": 1.0, "Btu/(lb*F)": SPECIFIC_HEAT_IP, "Btu/lbF": SPECIFIC_HEAT_IP,
    "Btu/(lb·°F)": SPECIFIC_HEAT_IP,
}  # fmt: skip
PERMEANCE_UNITS = {
    "perm": PERM, "perms": PERM, "ng/(s*m2*Pa)": 1e-12, "ng/(s m2 Pa)": 1e-12, "kg/(m2*s*Pa)": 1.0,
}  # fmt: skip
PERMEABILITY_UNITS = {
    "perm-in": PERM_INCH, "perm*in": PERM_INCH, "perm in": PERM_INCH, "ng/(s*m*Pa)": 1e-12, "kg/(m*s*Pa)": 1.0,
}  # fmt: skip
WATER_UPTAKE_UNITS = {"kg/(m2*s^0.5)": 1.0, "kg/(m2*h^0.5)": 1 / 60, "kg/m2h0.5": 1 / 60}
ANGLE_UNITS = {"deg": 1.0, "°": 1.0}  # to degrees, the one unit of position
SPEED_UNITS = {"mph": MPH, "m/s": 1.0, "km/h": 1 / 3.6}
PRESSURE_UNITS = {"psf": PSF, "Pa": 1.0, "kPa": 1e3}
AREAL_MASS_UNITS = {"psf": AREAL_MASS_IP, "lb/ft2": AREAL_MASS_IP, "kg/m2": 1.0}


@lru_cache(maxsize=4096)  # a library says the same few sizes thousands of times
def parse_number(text: str) -> float:
    """A plain number or a fraction as people write it: `3/8`, `5-1/2`, `7 5/8`, `½`, `2.5`.

    Raises
    ------
    UnitError
        If the text is no finite number.
    """
    plain = _plain_fractions(_bounded(text)).strip()
    match = _FRACTION.match(plain)
    if match:
        sign, whole, numerator, denominator = match.groups()
        if int(denominator) == 0:
            raise UnitError(f"{text!r} divides by zero")
        value = float(int(whole or 0) + Fraction(int(numerator), int(denominator)))
        return -value if sign == "-" else value
    if not re.fullmatch(_NUMBER, plain):
        raise UnitError(f"{text!r} is not a number")
    value = float(plain)
    if not math.isfinite(value):
        raise UnitError(f"{text!r} is not a finite number")
    return value


def parse_quantity(text: str, units: dict[str, float], kind: str, example: str) -> float:
    """A number with one of the given units, in SI.

    Parameters
    ----------
    text : str
        What the file says, for example `5/8 in`.
    units : dict of str to float
        Unit spelling to its size in SI.
    kind, example : str
        Words for the message: what was expected and one example.

    Returns
    -------
    value : float
        The quantity in SI, in the unit that `units` converts to.

    Raises
    ------
    UnitError
        If the number or the unit cannot be read; a bare number says that the unit is missing.
    """
    match = _QUANTITY.match(_plain_fractions(_bounded(text)))
    if not match:
        raise UnitError(f"{text!r} is not {kind}; expected a number with its unit, for example {example}")
    number, unit = match.groups()
    if not unit:
        raise UnitError(f"{text!r} has no unit; expected {kind}, for example {example}")
    if unit not in units:
        raise UnitError(f"{text!r} has the unit {unit!r}, which is no unit for {kind}; expected for example {example}")
    return parse_number(number) * units[unit]


@lru_cache(maxsize=4096)
def parse_length(text: str) -> float:
    """A length in m from `5/8 in`, `5/8"`, `3-1/2 in`, `16 mm`, `30 mil`, `10'-6"`, `2x6` (its dressed depth).

    Raises
    ------
    UnitError
        If the text is no length.
    """
    feet = _FEET_INCHES.match(_plain_fractions(_bounded(text)))
    if feet:
        return int(feet.group(1)) * FOOT + parse_number(feet.group(2)) * INCH
    if re.fullmatch(_LUMBER, text):
        return parse_lumber(text)[1]
    return parse_quantity(text, LENGTH_UNITS, "a length", "1/2 in")


def parse_lumber(text: str) -> tuple[float, float]:
    """Dressed thickness and depth in m of nominal lumber, `2x6` giving 1-1/2 in and 5-1/2 in.

    Raises
    ------
    UnitError
        If the nominal size is not in the table.
    """
    match = re.fullmatch(_LUMBER, text)
    if not match or int(match.group(1)) not in DRESSED_LUMBER or int(match.group(2)) not in DRESSED_LUMBER:
        raise UnitError(f"{text!r} is not a nominal lumber size; expected for example 2x4 or 2x6")
    return DRESSED_LUMBER[int(match.group(1))] * INCH, DRESSED_LUMBER[int(match.group(2))] * INCH


def parse_resistance(text: str) -> float:
    """A thermal resistance in m²·K/W from `R-13`, `R-7.5`, `0.12 m2K/W`.

    Raises
    ------
    UnitError
        If the text is no resistance.
    """
    rated = re.fullmatch(rf"\s*R\s*-?\s*({_NUMBER})\s*", _bounded(text))
    if rated:
        return parse_number(rated.group(1)) * R_IP
    return parse_quantity(text, RESISTANCE_UNITS, "a thermal resistance", "R-13")


def format_inches(length: float, denominator: int = 16) -> str:
    """A length in m as inches to the nearest 1/16 (or 1/32), `7-11/16`; the unit is left to the caller.

    Parameters
    ----------
    length : float
        The length, >= 0. [m]
    denominator : int
        The finest fraction shown. [-]
    """
    ticks = round(length / INCH * denominator)
    whole, rest = divmod(ticks, denominator)
    if rest == 0:
        return str(whole)
    fraction = Fraction(rest, denominator)
    part = f"{fraction.numerator}/{fraction.denominator}"
    return f"{whole}-{part}" if whole else part


def water_vapor_sd(permeance: float) -> float:
    """Equivalent still-air thickness s_d of a permeance.

    Parameters
    ----------
    permeance : float
        > 0. [kg/(m²·s·Pa)]

    Returns
    -------
    s_d : float
        [m]

    Source
    ------
    ISO 13788:2012 definition, with its still-air permeability of 2.0e-10 kg/(m·s·Pa) (from memory).
    """
    return AIR_VAPOR_PERMEABILITY / permeance


def _bounded(text: str) -> str:
    """The text itself, unless it is too long for a quantity: thousands of digits are no number and cost time."""
    if len(text) > 60:
        raise UnitError(f"{text[:20] + '...'!r} has {len(text)} characters, too many for a number with its unit")
    return text


def _plain_fractions(text: str) -> str:
    if len(text) > 64:
        raise UnitError(f"{text[:24]!r}... is too long to be a quantity")
    if text.isascii():
        return text
    for glyph, plain in _GLYPH_FRACTIONS.items():
        if glyph in text:
            text = re.sub(rf"([0-9])\s*{glyph}", rf"\1 {plain}", text).replace(glyph, plain)
    return text
