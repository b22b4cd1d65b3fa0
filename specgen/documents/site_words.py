"""What the pages for the site print of a value or a text: fractions in one piece, `″` on tables, `in` in sentences.

A value with its unit is one token that no line breaks.
"""

from __future__ import annotations

import re
from fractions import Fraction

from specgen import units
from specgen.drawing.type import JOIN, ONE_PIECE, TIE, tie

_FRACTION = re.compile(r"(?<![\w/.⁄])(?:(\d+)[- ](?=\d+/))?(\d{1,2})/(2|4|8|16|32)(?![\d/])(?!-)")
_INCH_WORD = re.compile(r"(?<=[\d½¼¾⅛⅜⅝⅞])[ \u00a0]in\b\.?(?!-)")
_TEMPERATURE = re.compile(r"(?<=\d)(?<!\b[3-5](?=C\b)) ?(?:deg(?:rees)? )?([FC])\b")  # 3C, 4C and 5C are climate zones
_CONTROL = re.compile(r"[\x00-\x1f\x7f-\x9f]")


def typeset(text: str) -> str:
    """A text of a wall or project file as a sentence of the page: `5½ in`, `2×6`, `40 °F`, true quotes, ties."""
    text = _CONTROL.sub(" ", text).replace("**", "* *")  # no text of a user opens Semibold
    text = _FRACTION.sub(_fraction, text)
    text = re.sub(r"(?<=\d) ?x ?(?=\d)", "×", text)
    text = _TEMPERATURE.sub(rf"{TIE}°\1", text)
    text = re.sub(r"(?<=[\d½¼¾⅛⅜⅝⅞])\s?(?:\"|″)", f"{TIE}in", text)
    text = re.sub(r"(?<=\d)'(?!\w)", f"{TIE}ft", text)
    text = re.sub(r'(^|[\s(])"', r"\1“", text).replace('"', "”")
    text = re.sub(r"(^|[\s(])'", r"\1‘", text).replace("'", "’")
    text = re.sub(r"(?<=[½¼¾⅛⅜⅝⅞\d]) (?=in\b)", TIE, text)
    text = re.sub(r"(?<=\d) (?=(?:°|%|percent\b|hours?\b|weeks?\b|minutes?\b|gauge\b|cu\b))", TIE, text)
    return tie(text)


def tabled(text: str) -> str:
    """A text as a cell of a table or a note of a drawing prints it: `⅜″` where a sentence says `⅜ in`."""
    return _INCH_WORD.sub("″", typeset(text))


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
    """`2 November 2026`: the month in letters, since 11/2 is read two ways.

    Parameters
    ----------
    year, month, day : int
        Of the calendar.
    """
    names = (
        "January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
        "November", "December",
    )  # fmt: skip
    return f"{day}{TIE}{names[month - 1]}{TIE}{year}"


def lower_first(text: str) -> str:
    """A name inside a sentence: its first letter small, unless the first word is an abbreviation."""
    first = text.split(" ", 1)[0]
    return text if any(letter.isupper() for letter in first[1:]) else text[:1].lower() + text[1:]


def _whole_inches(length: float) -> str:
    whole, rest = divmod(Fraction(round(length / units.INCH * 16), 16), 1)
    return _built(str(whole) if whole else "", rest) if rest else str(whole)


def _fraction(match: re.Match[str]) -> str:
    numerator, denominator = int(match.group(2)), int(match.group(3))
    if not 0 < numerator < denominator:
        return match.group(0)
    return _built(match.group(1) or "", Fraction(numerator, denominator))


def _built(whole: str, rest: Fraction) -> str:
    if rest in ONE_PIECE:
        return whole + ONE_PIECE[rest]
    return f"{whole}{JOIN if whole else ''}{rest.numerator}\u2044{rest.denominator}"
