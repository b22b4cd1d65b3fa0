"""Type: how wide a text is in the one typeface, where its lines break, and whether the font has its characters.

Sizes are CAPITAL heights in mm; the font size follows from the cap height that the font itself states.
Widths are the font's advances without kerning, as the PDF writer sets them.

A sixteenth has no character of its own. It is written in our texts as `7⁄16` (with U+2044), after a whole number
as `5 7⁄16` with a narrow no-break space (U+202F), and `pieces` says where its parts stand, so that every writer
places the same ones and the text still extracts as 7⁄16.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import cache, lru_cache
from importlib.resources import files
from math import inf
from pathlib import Path

from specgen import units
from specgen.errors import MissingGlyphError, PageOverflowError

FAMILY = "Source Sans Pro"

# The four sizes that exist, by capital height [mm]; drawings and text pages share them.
SMALL = 2.0  # dimensions, axis figures, footers
NOTE = 2.4  # 3/32 in: notes, body, tables, everything that has to be read
TITLE = 3.5
TAG = 6.0

LEAD_NOTE = 4.3  # line to line in notes and tables [mm]
LEAD_TEXT = 4.6  # line to line in running text [mm]

BUILT_SCALE = 0.60  # numerator and denominator of a built fraction, as a share of the size [-]
JOIN = "\u202f"  # narrow no-break space between a whole number and its built fraction
TIE = "\u00a0"  # no-break space between a number and its unit
_BUILT = re.compile(rf"{JOIN}?(\d+)\u2044(\d+)")
_JOIN_SCALE = 0.4
MOST_EVENED = 6  # lines of a text that is balanced; a longer one fills its place
LEAST_LINE = 0.45  # shortest line of a balanced text, as a share of its longest, that keeps its last line from one word

ONE_PIECE = {
    Fraction(1, 2): "½", Fraction(1, 4): "¼", Fraction(3, 4): "¾", Fraction(1, 8): "⅛", Fraction(3, 8): "⅜",
    Fraction(5, 8): "⅝", Fraction(7, 8): "⅞",
}  # fmt: skip

_UNITS_AFTER_NUMBER = "in|ft|mil|mils|lb|oz|psi|psf|mph|perm|perms|coats|coat|h|d|days|day|min|mm|sq|°F|ga"
_TIES = (
    re.compile(rf"(?<=\d) (?=(?:{_UNITS_AFTER_NUMBER})\b)"),
    re.compile(r"(?<=\bsq) (?=ft\b|in\b)"),
    re.compile(r"(?<=\bASTM) (?=[A-Z]\d)"),
    re.compile(r"(?<=\b[Tt]ype) (?=[IVX]+\b)"),
    re.compile(r"(?<=\bat) (?=\d+″)"),
    re.compile(r"(?<=[\d″′¼½¾⅛⅜⅝⅞]) (?=×)|(?<=×) (?=[\d¼½¾⅛⅜⅝⅞])"),
)


@dataclass(frozen=True, slots=True)
class Face:
    """One weight of the typeface: what the layout asks of a font file."""

    path: Path
    units_per_em: int
    cap_height: float  # share of the em [-]
    ascent: float  # share of the em [-]
    descent: float  # share of the em, a positive number [-]
    advances: dict[int, float]  # code point to advance, share of the em [-]


@dataclass(frozen=True, slots=True)
class Piece:
    """A run of one size and weight inside a text: `dx` and `rise` in mm from the text's start on the baseline."""

    text: str
    dx: float
    rise: float
    scale: float  # of the text's size [-]
    bold: bool


def font_path(bold: bool = False) -> Path:
    """The static TrueType file of the weight, as its package installed it."""
    name = "SourceSansPro-Semibold.ttf" if bold else "SourceSansPro-Regular.ttf"
    return Path(str(files("font_source_sans_pro") / "files" / name))


@cache
def face(bold: bool = False) -> Face:
    """Metrics of Regular, or of Semibold if `bold`, read once from the font file."""
    from fontTools.ttLib import TTFont  # 0.1 s to import, wanted only when something is set

    path = font_path(bold)
    with TTFont(path, lazy=True) as font:
        em = font["head"].unitsPerEm
        metrics = font["hmtx"].metrics
        advances = {code: metrics[glyph][0] / em for code, glyph in font.getBestCmap().items()}
        os2 = font["OS/2"]
        return Face(path, em, os2.sCapHeight / em, os2.sTypoAscender / em, -os2.sTypoDescender / em, advances)


def font_size(cap_height: float, bold: bool = False) -> float:
    """Font size (em) that gives a capital height.

    Parameters
    ----------
    cap_height : float
        Capital height. [mm]
    bold : bool
        Semibold instead of Regular.

    Returns
    -------
    size : float
        [mm]
    """
    return cap_height / face(bold).cap_height


def text_width(text: str, cap_height: float, bold: bool = False) -> float:
    """Width of one line of text.

    Parameters
    ----------
    text : str
        One line; sixteenths as `7⁄16`.
    cap_height : float
        Capital height. [mm]
    bold : bool
        Semibold instead of Regular.

    Returns
    -------
    width : float
        [mm]

    Raises
    ------
    MissingGlyphError
        If the font lacks one of the characters.
    """
    return _relative_width(text, bold) * cap_height


def pieces(text: str, cap_height: float, bold: bool = False) -> tuple[Piece, ...]:
    """The runs of a text in order: one if it has no built fraction, else each placed from the text's start.

    Parameters
    ----------
    text : str
        One line.
    cap_height : float
        Capital height. [mm]
    bold : bool
        Semibold instead of Regular; built numerators and denominators are Semibold in both.

    Raises
    ------
    MissingGlyphError
        If the font lacks one of the characters.
    """
    placed: list[Piece] = []
    cursor = 0.0

    def add(part: str, scale: float, rise: float, heavy: bool) -> None:
        nonlocal cursor
        if part:
            placed.append(Piece(part, cursor, rise, scale, heavy))
            cursor += _plain_width(part, heavy) * cap_height * scale

    position = 0
    for match in _BUILT.finditer(text):
        add(text[position : match.start()], 1.0, 0.0, bold)
        if match.group(0).startswith(JOIN):
            add(JOIN, _JOIN_SCALE, 0.0, bold)
        add(match.group(1), BUILT_SCALE, (1 - BUILT_SCALE) * cap_height, True)
        add("\u2044", 1.0, 0.0, bold)
        add(match.group(2), BUILT_SCALE, 0.0, True)
        position = match.end()
    add(text[position:], 1.0, 0.0, bold)
    return tuple(placed)


def check_glyphs(text: str, bold: bool = False) -> None:
    """Refuse a text that the font cannot set: a missing glyph would vanish on paper without a word.

    Raises
    ------
    MissingGlyphError
        Naming the character and the text.
    """
    known = face(bold).advances
    for character in text:
        if ord(character) not in known:
            raise MissingGlyphError(
                f"the typeface has no character {character!r} (U+{ord(character):04X}), found in the text {text!r}"
            )


def tie(text: str) -> str:
    """The text with no-break spaces where a line must not break: number and unit, ASTM and its designation."""
    for pattern in _TIES:
        text = pattern.sub(TIE, text)
    return text


def wrap(text: str, width: float, cap_height: float, bold: bool = False, balanced: bool = True) -> tuple[str, ...]:
    """Lines of a text that are no wider than `width`, as few as possible; the last never holds one word if avoidable.

    Parameters
    ----------
    text : str
        Breaks at spaces; `tie` is applied first.
    width : float
        [mm]
    cap_height : float
        Capital height. [mm]
    bold : bool
        Semibold instead of Regular.
    balanced : bool
        Two to six lines are brought to equal lengths.

    Raises
    ------
    PageOverflowError
        If one word is wider than `width`; names the word and the text.
    MissingGlyphError
        If the font lacks one of the characters.
    """
    words = tie(text).split(" ")
    for word in words:
        if text_width(word, cap_height, bold) > width:
            raise PageOverflowError(
                f"{word!r} in the text {text!r} is wider than its place of {width:.0f} mm; shorten it"
            )
    lines = _greedy(words, width, cap_height, bold)
    if len(lines) == 1 or (len(lines) > MOST_EVENED and not _single(lines[-1])) or not balanced:
        return lines
    return (
        _evened(words, len(lines), width, cap_height, bold)
        if len(lines) <= MOST_EVENED
        else _filled(lines, width, cap_height, bold)
    )


def format_drawing_length(length: float, denominator: int = 16) -> str:
    """A length as a drawing prints it: `5½″`, `7 9⁄16″`, from 2 ft on `2′-6″`; nearest 1/16 unless told.

    Parameters
    ----------
    length : float
        >= 0. [m]
    denominator : int
        The finest fraction shown. [-]
    """
    ticks = round(length / units.INCH * denominator)
    feet = ticks // (12 * denominator)
    if feet >= 2:
        return f"{feet}′-{_inches(ticks - feet * 12 * denominator, denominator)}″"
    return f"{_inches(ticks, denominator)}″"


def format_spacing(length: float) -> str:
    """A center spacing, in inches as the trade says it, `48″`; feet and inches from 10 ft.

    Parameters
    ----------
    length : float
        > 0. [m]
    """
    ticks = round(length / units.INCH * 16)
    return format_drawing_length(length) if ticks >= 120 * 16 else f"{_inches(ticks, 16)}″"


def format_mils(length: float) -> str:
    """A film thickness in mils, `30 mil`, to two figures.

    Parameters
    ----------
    length : float
        > 0. [m]
    """
    mils = length / units.MIL
    return f"{mils:.0f}{TIE}mil" if mils >= 9.95 else f"{mils:.2g}{TIE}mil"


def format_scale(ratio: float) -> str:
    """The written scale of a ratio from the list: `1½″ = 1′-0″` for 8."""
    return f"{format_drawing_length(units.FOOT / ratio)} = 1′-0″"


def _inches(ticks: int, denominator: int) -> str:
    whole, rest = divmod(ticks, denominator)
    if rest == 0:
        return str(whole)
    fraction = Fraction(rest, denominator)
    lead = str(whole) if whole else ""
    if fraction in ONE_PIECE:
        return lead + ONE_PIECE[fraction]
    return f"{lead}{JOIN if lead else ''}{fraction.numerator}\u2044{fraction.denominator}"


@lru_cache(maxsize=20_000)
def _relative_width(text: str, bold: bool) -> float:
    if "\u2044" not in text:
        return _plain_width(text, bold)
    last = pieces(text, 1.0, bold)[-1]
    return last.dx + _plain_width(last.text, last.bold) * last.scale


def _plain_width(text: str, bold: bool) -> float:
    """Width per mm of capital height."""
    metrics = face(bold)
    try:
        return sum(metrics.advances[ord(character)] for character in text) / metrics.cap_height
    except KeyError:
        check_glyphs(text, bold)
        raise


def _greedy(words: list[str], width: float, cap_height: float, bold: bool) -> tuple[str, ...]:
    lines = [words[0]]
    for word in words[1:]:
        longer = f"{lines[-1]} {word}"
        if text_width(longer, cap_height, bold) <= width:
            lines[-1] = longer
        else:
            lines.append(word)
    return tuple(lines)


def _evened(words: list[str], count: int, width: float, cap_height: float, bold: bool) -> tuple[str, ...]:
    """The same number of lines as equal as they can be, the last of two words or more unless that leaves a stump."""
    for shortest in (2, 1):
        lines = _most_equal(words, count, width, cap_height, bold, shortest)
        widths = [text_width(line, cap_height, bold) for line in lines]
        if lines and (shortest == 1 or min(widths) >= LEAST_LINE * max(widths)):
            return lines
    return _greedy(words, width, cap_height, bold)


def _most_equal(
    words: list[str], count: int, width: float, cap_height: float, bold: bool, shortest: int
) -> tuple[str, ...]:
    """Lines with the least sum of squared widths, found from the end; the last holds `shortest` words, () if none."""
    space = text_width(" ", cap_height, bold)
    ends = [0.0]
    for word in words:
        ends.append(ends[-1] + text_width(word, cap_height, bold) + space)
    total = len(words)

    def cost(start: int, end: int) -> float:
        line = ends[end] - ends[start] - space
        return line**2 if line <= width else inf

    # best[start]: cost of the words from `start` on in so many lines, and where each of them ends
    best: list[tuple[float, tuple[int, ...]]]
    last = total - 1 if TIE in words[-1] else total - shortest
    best = [(cost(start, total) if start <= last else inf, (total,)) for start in range(total)]
    for _ in range(count - 1):
        best = [
            min(
                ((cost(start, end) + best[end][0], (end, *best[end][1])) for end in range(start + 1, total)),
                default=(inf, (total,)),
            )
            for start in range(total)
        ]
    if best[0][0] == inf:
        return ()
    breaks = best[0][1]
    return tuple(" ".join(words[start:end]) for start, end in zip((0, *breaks), breaks, strict=False))


def _filled(lines: tuple[str, ...], width: float, cap_height: float, bold: bool) -> tuple[str, ...]:
    """Give a last line of one word the last word of the line above, if that line can spare it and both fit."""
    above = lines[-2].split(" ")
    last = f"{above[-1]} {lines[-1]}"
    if not _single(lines[-1]) or len(above) < 3 or text_width(last, cap_height, bold) > width:
        return lines
    return (*lines[:-2], " ".join(above[:-1]), last)


def _single(line: str) -> bool:
    return " " not in line
