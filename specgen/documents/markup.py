"""Light markup of the templates: lines in, blocks of a document out; a line that it does not know is refused.

    # GENERAL                     a part, numbered by the parser
    ## Summary                    an article
    - text   -- text   --- text   A., 1. and a. of the outline
    + text                        more of the item above, without a number
    > text                        a paragraph at the margin, without a number
    |= 2l 1r 3l                   columns of the table that follows: share and side of each
    | Coat | Thickness |          a row; the first one is the head
      more words                  two blanks at the start: the line above goes on
    // text                       a note to the specifier; it never prints

`**words**` are bold. `[this] [or that]` is a choice: a draft prints all its options in brackets and counts it, an
issued section prints the first. An article without content is left out. What a wall or project file says is handed
over with `literal`, so that no text of a user can become markup.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from specgen.drawing.type import JOIN, ONE_PIECE
from specgen.errors import SpecgenError
from specgen.model.document import Heading, Paragraph, Run, Table

NOTE = "//"  # opens a note to the specifier
_BLOCK = re.compile(r"^(#{1,2}|-{1,3}|[+>]|\|=?)(?: +(.*))?$")
_CHOICE = re.compile(r"\[[^\[\]]*\](?: \[[^\[\]]*\])*")
_COLUMN = re.compile(r"^(\d+(?:\.\d+)?)([lrc])$")
_CONTROL = re.compile(r"[\x00-\x1f\x7f-\x9f]")
# Markup characters of a user's text travel as private-use characters and come back when the line is parsed.
_MARKS = "*[]|#-+>/"
_INLINE = {ord(mark): chr(0xE000 + index) for index, mark in enumerate("*[]|")}
_HIDDEN = {ord(mark): chr(0xE000 + index) for index, mark in enumerate(_MARKS)}  # at the start of a text
_SHOWN = {0xE000 + index: mark for index, mark in enumerate(_MARKS)}


class MarkupError(SpecgenError):
    """A template that gave a line which is not markup; names the template and the line."""


@dataclass(frozen=True, slots=True)
class Marked:
    """What a text of markup became."""

    blocks: tuple[Heading | Paragraph | Table, ...]
    open_choices: int  # choices printed in brackets


def literal(text: str) -> str:
    """A text from a file of the user, safe to stand inside markup: it prints as it is written.

    Control characters go, white space becomes single blanks, and characters that mean something in markup are
    hidden until the line has been parsed.
    """
    plain = _CONTROL.sub("", re.sub(r"\s+", " ", text))
    plain = plain.translate(dict.fromkeys(_SHOWN))
    return plain[:1].translate(_HIDDEN) + plain[1:].translate(_INLINE)


def parse_markup(text: str, origin: str, open_choices: bool = False) -> Marked:
    """Blocks of a rendered template.

    Parameters
    ----------
    text : str
        Lines as the module's docstring lists them; empty lines are ignored.
    origin : str
        Name of the template, for messages.
    open_choices : bool
        Print the options of each choice in brackets, instead of the first.

    Raises
    ------
    MarkupError
        If a line is none of these, a table is not regular, or a choice has one option only.
    """
    parser = _Parser(origin, open_choices)
    for number, line in _logical_lines(text, origin):
        parser.read(number, line)
    return Marked(_without_empty_articles(parser.finished()), parser.choices)


def typeset(text: str) -> str:
    """Signs of the page for what people type: fractions in one piece, `×`, `°F`, true quotes, `in.` for inches."""
    text = re.sub(r"(?<=\d) ?x ?(?=\d)", "×", text)
    text = re.sub(r"(?<=\d) (?:deg )?([FC])\b", r" °\1", text)
    text = re.sub(r"(?<=\d)\s?\"", " in.", text)
    text = re.sub(r"(?<=\d) in(?=[\s,;:)]|$)(?! \d+ ft)", " in.", text)
    text = re.sub(r"(?<=\d )(sq|cu)(?= ft\b)", r"\1.", text)
    text = re.sub(r"(?<=/)(sq|cu)(?= (?:ft|yd)\b)", r"\1.", text)
    text = re.sub(r'(^|[\s(])"', r"\1“", text).replace('"', "”")
    text = re.sub(r"(?<=\d)'", "′", text)
    text = re.sub(r"(^|[\s(])'", r"\1‘", text).replace("'", "’")
    return _FRACTION.sub(_built_fraction, text).replace("in..", "in.")


_FRACTION = re.compile(
    r"(?<![\w/.])(?:(\d+)-|(\d+) (?=\d+/\d+ (?:in|ft|gal|lb|hour)))?(\d{1,2})/(2|4|8|16|32)(?![\d/])"
)


def _built_fraction(match: re.Match[str]) -> str:
    whole = match.group(1) or match.group(2) or ""
    numerator, denominator = int(match.group(3)), int(match.group(4))
    if not 0 < numerator < denominator:
        return match.group(0)
    one_piece = ONE_PIECE.get(Fraction(numerator, denominator))
    if one_piece:
        return whole + one_piece
    return f"{whole}{JOIN if whole else ''}{numerator}⁄{denominator}"


def _logical_lines(text: str, origin: str) -> list[tuple[int, str]]:
    lines: list[tuple[int, str]] = []
    for number, line in enumerate(text.split("\n"), start=1):
        if not line.strip():
            continue
        if line.startswith("  "):
            if not lines:
                raise MarkupError(f"template {origin}, rendered line {number}: nothing to continue: {line.strip()!r}")
            lines[-1] = (lines[-1][0], f"{lines[-1][1]} {line.strip()}")
        else:
            lines.append((number, line.rstrip()))
    return [(number, line) for number, line in lines if not line.startswith(NOTE)]


class _Parser:
    """Reads one logical line after another; numbering restarts below each heading and item."""

    def __init__(self, origin: str, open_choices: bool) -> None:
        self.choices = 0
        self._origin = origin
        self._open = open_choices
        self._blocks: list[Heading | Paragraph | Table] = []
        self._part = 0
        self._counts = [0, 0, 0]
        self._level = 1
        self._columns: list[tuple[float, str]] = []
        self._rows: list[tuple[str, ...]] = []

    def read(self, number: int, line: str) -> None:
        match = _BLOCK.match(line)
        if not match:
            raise MarkupError(f"template {self._origin}, rendered line {number}: not markup: {_shown(line)!r}")
        mark, body = match.group(1), (match.group(2) or "").strip()
        if not body:
            raise MarkupError(f"template {self._origin}, rendered line {number}: {mark!r} without a text")
        if mark == "|=":
            self._close_table(number)
            self._columns = [self._column(part, number) for part in body.split()]
            return
        if mark == "|":
            self._rows.append(tuple(self._plain(cell, number) for cell in body.rstrip("|").split("|")))
            return
        self._close_table(number)
        if mark.startswith("#"):
            self._heading(len(mark), self._plain(body, number))
        elif mark.startswith("-"):
            self._item(len(mark), self._runs(body, number))
        else:
            level = 0 if mark == ">" else self._level
            self._blocks.append(Paragraph(self._runs(body, number), level))

    def finished(self) -> list[Heading | Paragraph | Table]:
        self._close_table(0)
        return self._blocks

    def _heading(self, level: int, text: str) -> None:
        self._level = 1
        self._counts[1:] = [0, 0]
        if level == 1:
            self._part += 1
            self._counts[0] = 0
            self._blocks.append(Heading(text, 1, f"PART {self._part}"))
        else:
            self._blocks.append(Heading(text, 2))

    def _item(self, level: int, runs: tuple[Run, ...]) -> None:
        self._level = level
        self._blocks.append(Paragraph(runs, level, "?"))

    def _column(self, text: str, number: int) -> tuple[float, str]:
        match = _COLUMN.match(text)
        if not match:
            raise MarkupError(
                f"template {self._origin}, rendered line {number}: column {text!r}; expected for example 2l or 1r"
            )
        return float(match.group(1)), match.group(2)

    def _close_table(self, number: int) -> None:
        if not self._rows:
            if self._columns and number:
                raise MarkupError(f"template {self._origin}, rendered line {number}: a table without rows")
            return
        columns = self._columns or [(1.0, "l")] * len(self._rows[0])
        if len(self._rows) < 2 or any(len(row) != len(columns) for row in self._rows):
            raise MarkupError(
                f"template {self._origin}, before rendered line {number}: table needs a head, a row and"
                f" {len(columns)} cells in each: {self._rows!r}"
            )
        widths, sides = zip(*columns, strict=True)
        self._blocks.append(Table(self._rows[0], tuple(self._rows[1:]), tuple(widths), "".join(sides)))
        self._columns, self._rows = [], []

    def _plain(self, text: str, number: int) -> str:
        return "".join(run.text for run in self._runs(text.strip(), number))

    def _runs(self, text: str, number: int) -> tuple[Run, ...]:
        """Choices settled, bold split off, signs set, the user's own characters back in place."""
        text = _CHOICE.sub(lambda match: self._choice(match.group(0), number), text)
        parts = text.split("**")
        if len(parts) % 2 == 0:
            raise MarkupError(
                f"template {self._origin}, rendered line {number}: ** opened and not closed: {_shown(text)!r}"
            )
        runs = [Run(_shown(typeset(part)), bold=index % 2 == 1) for index, part in enumerate(parts) if part]
        return tuple(runs)

    def _choice(self, text: str, number: int) -> str:
        options = [option.strip() for option in text[1:-1].split("] [")]
        if len(options) < 2 or not all(options):
            raise MarkupError(
                f"template {self._origin}, rendered line {number}: {_shown(text)!r} is no choice of two or more"
            )
        if not self._open:
            return options[0]
        self.choices += 1
        return " ".join(f"[**{option}**]" for option in options)


def _shown(text: str) -> str:
    return text.translate(_SHOWN)


def _without_empty_articles(blocks: list[Heading | Paragraph | Table]) -> tuple[Heading | Paragraph | Table, ...]:
    """Articles and items numbered, once it is known which articles have content."""
    kept = [
        block
        for index, block in enumerate(blocks)
        if not (
            isinstance(block, Heading)
            and block.level == 2
            and (index + 1 == len(blocks) or isinstance(blocks[index + 1], Heading))
        )
    ]
    numbered: list[Heading | Paragraph | Table] = []
    part = article = 0
    counts = [0, 0, 0]
    for block in kept:
        if isinstance(block, Heading):
            counts = [0, 0, 0]
            if block.level == 1:
                part, article = part + 1, 0
            else:
                article += 1
                block = Heading(block.text, 2, f"{part}.{article}" if part else "")
        elif isinstance(block, Paragraph) and block.number:
            level = block.level - 1
            counts[level] += 1
            counts[level + 1 :] = [0] * (2 - level)
            block = Paragraph(block.runs, block.level, _item_number(block.level, counts[level]))
        numbered.append(block)
    return tuple(numbered)


def _item_number(level: int, count: int) -> str:
    """`A.` to `Z.`, then `AA.`; `1.`; `a.`"""
    if level == 2:
        return f"{count}."
    letters = ""
    while count > 0:
        count, rest = divmod(count - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return f"{letters if level == 1 else letters.lower()}."
