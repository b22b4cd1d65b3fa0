"""Words as a DXF file may hold them: texts that every CAD font shows, names that every CAD program takes."""

from __future__ import annotations

import re

_PLAIN = str.maketrans(
    {
        "′": "'", "″": '"', "⁄": "/", "\u202f": " ", "\u00a0": " ", "–": "-", "—": "-", "−": "-", "‘": "'", "’": "'",
        "“": '"', "”": '"', "…": "...",
    }
)  # fmt: skip
_FRACTIONS = {
    "½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8", "⅓": "1/3", "⅔": "2/3",
}  # fmt: skip
_FRACTION = re.compile(f"(\\d?)([{''.join(_FRACTIONS)}])")
_CONTROL = re.compile("[\x00-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff\ufffe\uffff]")
# Codes that a reader would act on inside a text: %%u, ^J, \U+0041, \M+...
_CODES = ((re.compile("%(?=%)"), "% "), (re.compile(r"\^"), "^ "), (re.compile(r"\\(?=[UuMm]\+)"), "\\ "))


def plain(text: str) -> str:
    """A text as every CAD font shows it: ' and " for primes, 7/16 for fractions, no code that a reader acts on."""
    text = _FRACTION.sub(lambda found: (found[1] and f"{found[1]} ") + _FRACTIONS[found[2]], text)
    text = _CONTROL.sub("", text.translate(_PLAIN))
    for code, harmless in _CODES:
        text = code.sub(lambda _, harmless=harmless: harmless, text)  # type: ignore[misc]
    return text


def legal_name(text: str) -> str:
    """A block name of capitals, digits, - and _ only."""
    return re.sub(r"[^A-Z0-9_-]", "_", text.upper()) or "_"
