"""Input errors: why we cannot go on. A judgment of a wall is a finding (`model/finding.py`), never an error.

SpecgenError                    base; its text is what the user reads
├── InputError                 everything wrong in one or several files, one line each
├── UnknownNameError            a wall, zone, county, code or option that does not exist, nearest names given
├── NotComputableError          a figure that the data given cannot yield (no conductivity, no convergence)
├── PageOverflowError           a text that does not fit its page; names the text to shorten
├── MissingGlyphError           a text with a character that the font does not have
└── OutputError                 a folder or file that cannot be written; nothing was replaced
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from dataclasses import dataclass


class SpecgenError(Exception):
    """Base of all input errors; `str()` of it is the message, without a traceback."""


@dataclass(frozen=True, slots=True, order=True)
class Problem:
    """One thing wrong in one place of one file; prints as `file:line:column: CODE message`."""

    file: str
    line: int
    column: int
    code: str  # L001...: stable, one heading in the documentation
    message: str  # what was found, what was expected, the nearest valid name

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}: {self.code} {self.message}"


class InputError(SpecgenError):
    """All problems of one or several files, in the order of their places."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(sorted(problems))
        super().__init__("\n".join(str(problem) for problem in self.problems))


class UnknownNameError(SpecgenError):
    """A name that does not exist; the nearest valid names are in the message."""

    def __init__(self, kind: str, name: str, valid: Iterable[str]) -> None:
        super().__init__(f"{kind} {name!r} does not exist{nearest_hint(name, valid)}")


class NotComputableError(SpecgenError):
    """A figure that cannot be had from the data given; names the layer and the missing value."""


class PageOverflowError(SpecgenError):
    """A text that does not fit its place at the fixed size; names the text to shorten."""


class MissingGlyphError(SpecgenError):
    """A text that holds a character for which the font has no glyph."""


class OutputError(SpecgenError):
    """A place that cannot be written; whatever stood there before still stands."""


def nearest_hint(name: str, valid: Iterable[str], count: int = 3) -> str:
    """`; did you mean 'a', 'b'?`, or the valid names if none is near, or nothing if there are none."""
    names = list(dict.fromkeys(valid))
    near = difflib.get_close_matches(name, names, n=count, cutoff=0.6)
    if near:
        return "; did you mean " + ", ".join(repr(word) for word in near) + "?"
    if 0 < len(names) <= 14:
        return "; expected one of " + ", ".join(sorted(names))
    return ""
