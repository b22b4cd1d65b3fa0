"""What the pages for the site print of a value: fractions in one piece, `″` on tables, `in` in sentences.

A value with its unit is one token that no line breaks.
"""

from __future__ import annotations

from fractions import Fraction

from specgen import units
from specgen.drawing.type import TIE
from specgen.drawing.typeset import built_fraction
from specgen.model.climate import MONTH_NAMES
from specgen.model.wall import Openings


def inches(length: float) -> str:
    """A length inside a sentence, one token: `5½ in`, `10 ft` where it is that many whole feet.

    Parameters
    ----------
    length : float
        >= 0. [m]
    """
    feet = length / units.FOOT
    if feet >= 4 and abs(feet - round(feet)) < 1e-6:
        return f"{feet:.0f}{TIE}ft"
    return f"{_whole_inches(length)}{TIE}in"


def inch_mark(length: float) -> str:
    """A length in inches on a table or drawing, `24″`, `5½″`.

    Parameters
    ----------
    length : float
        >= 0. [m]
    """
    return f"{_whole_inches(length)}″"


def duration(time: float) -> str:
    """`48 h` up to three days, `7 days` beyond, `30 min` below an hour; one token.

    Parameters
    ----------
    time : float
        > 0. [s]
    """
    if time < 3600:
        return f"{time / 60:.0f}{TIE}min"
    if time <= 72 * 3600:
        return f"{time / 3600:.3g}{TIE}h"
    return f"{time / 86400:.3g}{TIE}days"


def fahrenheit(temperature: float) -> str:
    """`40 °F`, one token.

    Parameters
    ----------
    temperature : float
        [°C]
    """
    return f"{temperature / units.RANKINE + 32:.0f}{TIE}°F"


def mph(speed: float) -> str:
    """`15 mph`, one token.

    Parameters
    ----------
    speed : float
        [m/s]
    """
    return f"{speed / units.MPH:.0f}{TIE}mph"


def mils(thickness: float) -> str:
    """A wet film as the gauge shows it, `30 mil`, one token.

    Parameters
    ----------
    thickness : float
        > 0. [m]
    """
    return f"{thickness / units.MIL:.3g}{TIE}mil"


def long_date(year: int, month: int, day: int) -> str:
    """`November 2, 2026`: the month in letters, since 11/2 is read two ways.

    Parameters
    ----------
    year, month, day : int
        Of the calendar.
    """
    return f"{MONTH_NAMES[month - 1]}{TIE}{day},{TIE}{year}"


def sealed_outside(openings: Openings) -> bool:
    """Whether sealant closes the joint between cladding and frame: the text of jamb, head or sill then says so."""
    said = (openings.jamb, openings.head_flashing, openings.sill_pan, openings.note)
    return any("sealant joint" in text for text in said if text)


def _whole_inches(length: float) -> str:
    whole, rest = divmod(Fraction(round(length / units.INCH * 16), 16), 1)
    return built_fraction(str(whole) if whole else "", rest) if rest else str(whole)
