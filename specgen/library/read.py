"""YAML text to plain data: mappings, lists and the text of each scalar, with the place of every key and value.

A scalar stays the text that was written: `no`, `010`, `1:8`, `1.10` and dates are text; an empty value, `null` and `~`
are None. The field types of `model/base.py` decide what a text means. Not read at all, each an error of its own:
anchors, aliases, merge keys, tags, directives, a key given twice, a key that is no text, several documents, tabs and
control characters. Size, nesting and the number of parts are bounded before anything is built from them.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path
from typing import Any, NamedTuple, NoReturn

import yaml

from specgen.errors import Problem
from specgen.library.codes import Code

MAX_BYTES = 1_000_000
MAX_DEPTH = 20  # mappings and lists inside one another; a wall needs 7
MAX_PARTS = 200_000  # keys, values, brackets; a hundred materials need about 10 000
MAX_PROBLEMS = 100  # of one file; who has more than that has another kind of file

Loc = tuple[str | int, ...]  # path to a value: ("layers", 2, "thickness")

# The scanner in C is about ten times as fast; both give the same events and marks.
_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)

# What YAML forbids, and what would make an editor count lines or show text in another way than we do.
_FORBIDDEN = re.compile("[\x00-\x09\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069\ufeff\ufffe\uffff]")
_CHARACTER_NAMES = {"\t": "a tab", "\0": "a NUL character", "\ufeff": "a byte-order mark"}


class Mark(NamedTuple):
    """Where a key and its value begin, counted from 1; an item of a list has the same place for both."""

    key: tuple[int, int]
    value: tuple[int, int]


@dataclass(frozen=True, slots=True)
class Source:
    """One file as read: `data` is a mapping, or None if `problems` say why there is none."""

    file: str  # as it prints: relative to the current folder where it is inside
    path: Path
    raw: bytes
    data: dict[str, Any] | None
    marks: dict[Loc, Mark]
    problems: tuple[Problem, ...]
    reported: frozenset[Loc]  # values that `problems` already speak of

    def place(self, loc: Loc, *, key: bool = False) -> tuple[int, int]:
        """Line and column of the value at `loc` (or of its key), or of the nearest mapping or list around it."""
        for end in range(len(loc), -1, -1):
            mark = self.marks.get(loc[:end])
            if mark:
                return mark.key if key and end == len(loc) else mark.value
        return (1, 1)

    def problem(self, code: Code, message: str, loc: Loc = (), *, key: bool = False) -> Problem:
        """A problem at the value (or the key) of `loc`."""
        line, column = self.place(loc, key=key)
        return Problem(self.file, line, column, code.value, one_line(message))


def read_file(path: Path) -> Source:
    """Read one YAML file of a library or a project; what is wrong stands in `problems`, nothing is raised."""
    file = printed_path(path)
    try:
        if not path.exists():
            return _unread(path, Code.CANNOT_OPEN, "there is no such file; expected an existing YAML file")
        if not path.is_file():
            return _unread(path, Code.CANNOT_OPEN, "this is not a file; expected a YAML file")
        with path.open("rb") as stream:
            raw = stream.read(MAX_BYTES + 1)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "the path cannot be used"
        return _unread(path, Code.CANNOT_OPEN, f"cannot be opened ({reason.lower()}); expected a file to read")
    return read_text(raw, file, path)


def read_text(raw: bytes, file: str, path: Path | None = None) -> Source:
    """Read the bytes of a YAML file; `file` is the name that errors print."""
    path = path or Path(file)
    if len(raw) > MAX_BYTES:
        return _unread(path, Code.TOO_LARGE, f"the file has more than {MAX_BYTES:,} bytes; expected a file under 1 MB")
    try:
        text = raw.decode("utf-8")
    except UnicodeDecodeError as error:
        return _bad_bytes(path, raw, error.start)
    problems = _forbidden_characters(text, file)
    if problems:
        return Source(file, path, raw, None, {}, tuple(problems), frozenset())
    builder = _Builder(file)
    try:
        for event in yaml.parse(text, Loader=_LOADER):
            builder.take(event)
    except yaml.MarkedYAMLError as error:
        builder.problems.append(_syntax_problem(error, file))
        builder.data = None
    except _StopReadingError:
        builder.data = None
    if builder.data is None and not builder.problems:
        builder.problems.append(Problem(file, 1, 1, Code.DOCUMENT.value, "the file is empty; expected keys and values"))
    return Source(file, path, raw, builder.data, builder.marks, tuple(builder.problems), frozenset(builder.reported))


def printed_path(path: Path) -> str:
    """The path as messages print it: relative to the current folder where it lies inside, else as it is."""
    try:
        return path.absolute().relative_to(Path.cwd()).as_posix()
    except (ValueError, OSError):
        return path.as_posix()


def one_line(text: str) -> str:
    """A message on one line without control characters, whatever the file contained."""
    return " ".join("".join(letter if letter.isprintable() else " " for letter in text).split())


def shortened(value: str, limit: int = 60) -> str:
    """The text on one line, cut so that a message stays readable."""
    text = one_line(value)
    return text if len(text) <= limit else text[: limit - 3].rstrip() + "..."


class _StopReadingError(Exception):
    """Reading on would cost more than it tells; the problem is already noted."""


class _Frame:
    """A mapping or list that is still open."""

    __slots__ = ("container", "key", "key_place", "loc")

    def __init__(self, container: dict[str, Any] | list[Any], loc: Loc) -> None:
        self.container = container
        self.loc = loc
        self.key: str | None = None  # of the value that comes next, in a mapping
        self.key_place: tuple[int, int] | None = None  # set while a value is awaited


class _Builder:
    """Takes the parser's events one by one and builds data and marks; never recurses."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.data: dict[str, Any] | None = None
        self.marks: dict[Loc, Mark] = {}
        self.problems: list[Problem] = []
        self.reported: set[Loc] = set()
        self._stack: list[_Frame] = []
        self._parts = 0
        self._documents = 0

    def take(self, event: Any) -> None:
        self._parts += 1
        mark = event.start_mark
        place = (mark.line + 1, mark.column + 1)
        if self._parts > MAX_PARTS:
            self._stop(place, Code.TOO_DEEP, f"more than {MAX_PARTS:,} keys and values; expected a far smaller file")
        if isinstance(event, yaml.ScalarEvent):
            self._decorations(event, place)
            plain_empty = not event.style and event.value in ("", "~", "null")
            self._scalar(event, None if plain_empty else event.value, place)
        elif isinstance(event, yaml.MappingStartEvent | yaml.SequenceStartEvent):
            self._decorations(event, place)
            self._open({} if isinstance(event, yaml.MappingStartEvent) else [], place)
        elif isinstance(event, yaml.CollectionEndEvent):
            self._close(place)
        elif isinstance(event, yaml.AliasEvent):
            self._alias(event, place)
        elif isinstance(event, yaml.DocumentStartEvent):
            self._documents += 1
            if self._documents > 1:
                self._stop(place, Code.DOCUMENT, "a second document begins; expected one document in a file")
            if event.version or event.tags:
                self._note(place, Code.TAG, "a directive (%) stands before the document; expected none")

    def _scalar(self, event: yaml.ScalarEvent, value: str | None, place: tuple[int, int]) -> None:
        frame = self._stack[-1] if self._stack else None
        if frame is None:
            if value is not None:
                self._stop(place, Code.DOCUMENT, f'the file holds only the text "{shortened(value)}"; expected keys')
        elif isinstance(frame.container, dict) and frame.key_place is None:
            self._key(frame, event, value, place)
        else:
            self._store(frame, value, place)

    def _key(self, frame: _Frame, event: yaml.ScalarEvent, key: str | None, place: tuple[int, int]) -> None:
        frame.key_place = place
        frame.key = None  # a key that cannot be used: its value is read past
        if key is None:
            self._note(place, Code.KEY_NOT_TEXT, "a key is empty; expected a word before the colon")
        elif key == "<<" and not event.style:
            self._note(place, Code.ANCHOR, 'the merge key "<<" is not read; expected each key written out')
        elif key in frame.container:
            first = self.marks[(*frame.loc, key)].key[0]
            self._note(
                place,
                Code.DUPLICATE_KEY,
                f'key "{shortened(key)}" stands twice in one mapping, first on line {first}; expected it once',
            )
        else:
            frame.key = key

    def _store(self, frame: _Frame, value: Any, place: tuple[int, int]) -> Loc | None:
        """Put a value into the open mapping or list; its path, or None where the key cannot be used."""
        if isinstance(frame.container, list):
            loc: Loc = (*frame.loc, len(frame.container))
            frame.container.append(value)
            self.marks[loc] = Mark(place, place)
            return loc
        key, key_place = frame.key, frame.key_place
        frame.key = frame.key_place = None
        if key is None or key_place is None:
            return None
        loc = (*frame.loc, key)
        frame.container[key] = value
        self.marks[loc] = Mark(key_place, place)
        return loc

    def _open(self, container: dict[str, Any] | list[Any], place: tuple[int, int]) -> None:
        if len(self._stack) >= MAX_DEPTH:
            self._stop(place, Code.TOO_DEEP, f"more than {MAX_DEPTH} levels inside one another; expected far fewer")
        if not self._stack:
            if not isinstance(container, dict):
                self._stop(place, Code.DOCUMENT, "the file begins with a list; expected keys, beginning with schema")
            self.data = container
            self.marks[()] = Mark(place, place)
            self._stack.append(_Frame(container, ()))
            return
        frame = self._stack[-1]
        if isinstance(frame.container, dict) and frame.key_place is None:
            kind = "a mapping" if isinstance(container, dict) else "a list"
            self._stop(place, Code.KEY_NOT_TEXT, f"{kind} stands as a key; expected a word before the colon")
        loc = self._store(frame, container, place)
        # Under an unusable key marks must not collide with the good ones.
        self._stack.append(_Frame(container, loc if loc is not None else (*frame.loc, "", len(self.problems))))

    def _close(self, place: tuple[int, int]) -> None:
        self._stack.pop()

    def _alias(self, event: yaml.AliasEvent, place: tuple[int, int]) -> None:
        self._note(
            place, Code.ANCHOR, f'the alias "*{shortened(event.anchor or "")}" is not read; expected the value itself'
        )
        frame = self._stack[-1]
        if isinstance(frame.container, dict) and frame.key_place is None:
            frame.key_place = place
            return
        loc = self._store(frame, None, place)
        if loc is not None:
            self.reported.add(loc)

    def _decorations(self, event: Any, place: tuple[int, int]) -> None:
        if event.anchor is not None:
            self._note(place, Code.ANCHOR, f'the anchor "&{shortened(event.anchor)}" is not read; expected none')
        if event.tag is not None:
            tag = event.tag.replace("tag:yaml.org,2002:", "!!")
            self._note(place, Code.TAG, f'the tag "{shortened(tag)}" is not read; expected the value without a tag')

    def _note(self, place: tuple[int, int], code: Code, message: str) -> None:
        self.problems.append(Problem(self.file, *place, code.value, one_line(message)))
        if len(self.problems) >= MAX_PROBLEMS:
            raise _StopReadingError

    def _stop(self, place: tuple[int, int], code: Code, message: str) -> NoReturn:
        self._note(place, code, message)
        raise _StopReadingError


def _unread(path: Path, code: Code, message: str) -> Source:
    file = printed_path(path)
    return Source(file, path, b"", None, {}, (Problem(file, 1, 1, code.value, message),), frozenset())


def _bad_bytes(path: Path, raw: bytes, start: int) -> Source:
    file = printed_path(path)
    if raw[:2] in (b"\xff\xfe", b"\xfe\xff"):
        message, line, column = "the file is written in UTF-16; expected UTF-8", 1, 1
    else:
        before = raw[:start]
        line = before.count(b"\n") + 1
        column = len(before[before.rfind(b"\n") + 1 :].decode("utf-8", "replace")) + 1
        message = f"the byte 0x{raw[start]:02X} is not UTF-8; expected the file saved as UTF-8"
    return Source(file, path, raw, None, {}, (Problem(file, line, column, Code.NOT_UTF8.value, message),), frozenset())


def _forbidden_characters(text: str, file: str) -> list[Problem]:
    problems: list[Problem] = []
    line, line_start, position = 1, 0, 0
    for match in _FORBIDDEN.finditer(text):
        newlines = text.count("\n", position, match.start())
        if newlines:
            line += newlines
            line_start = text.rfind("\n", position, match.start()) + 1
        position = match.start()
        letter = match.group()
        name = _CHARACTER_NAMES.get(letter, f"the invisible character U+{ord(letter):04X}")
        wish = "spaces" if letter == "\t" else "printable text only"
        column = position - line_start + 1
        problems.append(Problem(file, line, column, Code.CHARACTER.value, f"{name} stands here; expected {wish}"))
        if len(problems) >= MAX_PROBLEMS:
            break
    return problems


# Part of what the parser says, and what a person who writes walls needs to hear.
_SYNTAX_HELP = (
    ("maximum nesting depth", Code.TOO_DEEP, f"more than {MAX_DEPTH} levels inside one another; expected far fewer"),
    ("<document start>", Code.DOCUMENT, "text stands after the end of the document; expected one document in a file"),
    ("undefined alias", Code.ANCHOR, "an alias is not read; expected the value itself"),
    ("tag handle", Code.TAG, "a tag is not read; expected the value without a tag"),
    ("scanning an anchor", Code.ANCHOR, "an anchor is not read; expected none"),
    ("scanning an alias", Code.ANCHOR, "an alias is not read; expected the value itself"),
    (
        "not allowed",
        Code.SYNTAX,
        "a colon or hyphen stands where no key or list can begin; expected such text in quotes",
    ),
    ("could not find expected ':'", Code.SYNTAX, "a line has no colon; expected key: value"),
    ("unexpected end of stream", Code.SYNTAX, "a quote is opened and never closed; expected a closing quote"),
    ("escape", Code.SYNTAX, "an unknown backslash code stands in double quotes; expected single quotes"),
    ("expected ',' or '}'", Code.SYNTAX, "a brace or comma is missing; expected {key: value, key: value}"),
    ("expected ',' or ']'", Code.SYNTAX, "a bracket or comma is missing; expected [a, b]"),
    (
        "expected key",
        Code.SYNTAX,
        "wrong indent, or text after a closing quote; expected a key in line with those above",
    ),
    ("'-' indicator", Code.SYNTAX, "wrong indent; expected a list item, '- ', in line with those above"),
    (
        "<block end>",
        Code.SYNTAX,
        "wrong indent, or text after a closing quote; expected a key in line with those above",
    ),
    (
        "cannot start any token",
        Code.SYNTAX,
        "a text begins with a sign that YAML reads otherwise; expected it in quotes",
    ),
)


def _syntax_problem(error: yaml.MarkedYAMLError, file: str) -> Problem:
    mark = error.problem_mark or error.context_mark
    line, column = (mark.line + 1, mark.column + 1) if mark else (1, 1)
    said = f"{error.context or ''} {error.problem or ''}"
    for part, code, message in _SYNTAX_HELP:
        if part in said:
            return Problem(file, line, column, code.value, message)
    message = "this cannot be read as YAML; expected matching quotes, brackets and indents"
    return Problem(file, line, column, Code.SYNTAX.value, message)
