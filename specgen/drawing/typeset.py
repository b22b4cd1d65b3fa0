"""A text of a wall or project file as it prints: fractions in one piece, true quotes, no break inside a value."""

from __future__ import annotations

import re
from fractions import Fraction

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


def built_fraction(whole: str, rest: Fraction) -> str:
    """A whole number and a proper fraction as one token: `5½`, `2 13⁄16`.

    Parameters
    ----------
    whole : str
        Digits, empty for none.
    rest : Fraction
        Between 0 and 1.
    """
    if rest in ONE_PIECE:
        return whole + ONE_PIECE[rest]
    return f"{whole}{JOIN if whole else ''}{rest.numerator}\u2044{rest.denominator}"


def _fraction(match: re.Match[str]) -> str:
    numerator, denominator = int(match.group(2)), int(match.group(3))
    if not 0 < numerator < denominator:
        return match.group(0)
    return built_fraction(match.group(1) or "", Fraction(numerator, denominator))
