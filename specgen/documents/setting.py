"""Lines of running text on a drawn page: a text with `**Semibold**` stretches in, broken lines and scene items out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache

from specgen.drawing.type import NOTE, TIE, text_width, tie
from specgen.errors import PageOverflowError
from specgen.model.document import Run
from specgen.model.scene import Ink, Text

RunLine = tuple[Run, ...]


def runs(text: str) -> tuple[Run, ...]:
    """Stretches of a text between `**`; an odd mark is kept as it is written."""
    parts = text.split("**")
    if len(parts) % 2 == 0:
        return (Run(text),)
    return tuple(Run(part, bold=index % 2 == 1) for index, part in enumerate(parts) if part)


def break_text(
    text: str, width: float, size: float = NOTE, bold: bool = False, where: str = "", balanced: bool = True
) -> tuple[RunLine, ...]:
    """Lines of a text with bold stretches, as few as possible, up to six of them brought to equal length.

    Parameters
    ----------
    text : str
        `**` opens and closes Semibold; breaks at spaces only.
    width : float
        Of the column. [mm]
    size : float
        Capital height. [mm]
    bold : bool
        The whole text in Semibold.
    where : str
        Name of the place, for the message.
    balanced : bool
        False fills each line, as running text does.

    Raises
    ------
    PageOverflowError
        If one word is wider than the column.
    """
    return _broken(text, width, size, bold, where, balanced)


@lru_cache(maxsize=20_000)
def _broken(text: str, width: float, size: float, bold: bool, where: str, balanced: bool) -> tuple[RunLine, ...]:
    """The lines; kept, since the pages of one wall say the same in several places."""
    words = _words((Run(text, bold=True),) if bold else runs(text))
    for word in words:
        excess = _width(word, size) - width
        if excess > 0:
            shown = "".join(run.text for run in word).replace(TIE, " ")
            raise PageOverflowError(f"{where or 'text'}: {shown!r} is {excess:.1f} mm wider than its {width:.0f} mm")
    lines = _greedy(words, width, size)
    if balanced and 2 <= len(lines) <= 6:
        lines = _balanced(words, len(lines), width, size)
    return tuple(_joined(line) for line in lines)


def line_width(line: Iterable[Run], size: float) -> float:
    """Width of one line.

    Parameters
    ----------
    line : iterable of Run
        Stretches of one face each.
    size : float
        Capital height. [mm]
    """
    return sum(text_width(run.text, size, run.bold) for run in line)


def place(
    lines: Sequence[RunLine], x: float, y: float, lead: float, size: float = NOTE, ink: Ink | None = None
) -> list[Text]:
    """Scene items of lines, the first baseline at `y`.

    Parameters
    ----------
    lines : sequence of tuple of Run
        As `break_text` gives them.
    x, y : float
        Left edge and first baseline. [mm]
    lead : float
        Line to line. [mm]
    size : float
        Capital height. [mm]
    ink : Ink or None
        Instead of the runs' own.
    """
    items: list[Text] = []
    for number, line in enumerate(lines):
        at = x
        for run in line:
            items.append(
                Text((at, y + number * lead), run.text.replace(TIE, " "), size, "start", run.bold, ink or run.ink)
            )
            at += text_width(run.text, size, run.bold)
    return items


def _words(stretches: Sequence[Run]) -> list[RunLine]:
    """Split at breakable spaces; a word may hold several faces."""
    words: list[list[Run]] = [[]]
    for run in stretches:
        for number, part in enumerate(tie(run.text).split(" ")):
            if number and words[-1]:
                words.append([])
            if part:
                words[-1].append(Run(part, run.bold, run.ink))
    return [tuple(word) for word in words if word]


def _width(word: RunLine, size: float) -> float:
    return line_width(word, size)


def _greedy(words: Sequence[RunLine], width: float, size: float) -> list[list[RunLine]]:
    lines: list[list[RunLine]] = []
    for word in words:
        if lines and line_width(_joined([*lines[-1], word]), size) <= width:
            lines[-1].append(word)
        else:
            lines.append([word])
    return lines


def _balanced(words: Sequence[RunLine], count: int, width: float, size: float) -> list[list[RunLine]]:
    widest = max(_width(word, size) for word in words)
    low, high = max(widest, width / count / 2), width
    best = _greedy(words, width, size)
    while high - low > 0.3:
        middle = (low + high) / 2
        lines = _greedy(words, middle, size)
        if len(lines) <= count:
            best, high = lines, middle
        else:
            low = middle
    return best


def _joined(words: Sequence[RunLine]) -> RunLine:
    joined: list[Run] = []
    for index, word in enumerate(words):
        for number, run in enumerate(word):
            space = " " if index and not number else ""
            if joined and (joined[-1].bold, joined[-1].ink) == (run.bold, run.ink):
                joined[-1] = Run(joined[-1].text + space + run.text, run.bold, run.ink)
            else:
                if space and joined:
                    joined[-1] = Run(joined[-1].text + space, joined[-1].bold, joined[-1].ink)
                joined.append(run)
    return tuple(joined)
