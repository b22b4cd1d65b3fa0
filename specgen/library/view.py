"""A tolerant view of one mapping of a file as read: what can be read of it, and where problems of it belong.

The rules of `wall_rules.py` and `file_rules.py` look through this view, so that they speak of everything that is wrong
even where some other key of the same file is not valid.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from specgen import units
from specgen.errors import Problem
from specgen.library.codes import Code
from specgen.library.read import MAX_PROBLEMS, Loc, Source
from specgen.library.wording import subject


@dataclass(frozen=True, slots=True)
class Entry:
    """One mapping of a file: a wall, a layer, a step, a material."""

    source: Source
    loc: Loc
    data: dict[str, Any]

    def get(self, *keys: str) -> Any:
        """The raw value below the keys, None if there is none."""
        node: Any = self.data
        for key in keys:
            node = node.get(key) if isinstance(node, dict) else None
        return node

    def has(self, *keys: str) -> bool:
        """True if something is written there."""
        return self.get(*keys) not in (None, [], {})

    def text(self, *keys: str) -> str:
        """The text below the keys, empty if there is none."""
        value = self.get(*keys)
        return " ".join(value.split()) if isinstance(value, str) else ""

    def length(self, *keys: str) -> float | None:
        """The length below the keys, None if there is none that can be read. [m]"""
        value = self.get(*keys)
        if not isinstance(value, str):
            return None
        try:
            length = units.parse_length(value)
        except ValueError:
            return None
        return length if length >= 0 else None

    def number(self, *keys: str) -> float | None:
        """The plain number below the keys, or a percentage as a share; None if there is none. [-]"""
        text = self.text(*keys)
        try:
            return units.parse_number(text[:-1]) / 100 if text.endswith("%") else units.parse_number(text)
        except ValueError:
            return None

    def texts(self, *keys: str) -> Iterator[tuple[int, str]]:
        """Position and text of each text in the list below the keys."""
        value = self.get(*keys)
        for index, item in enumerate(value if isinstance(value, list) else []):
            if isinstance(item, str):
                yield index, item

    def entries(self, *keys: str) -> list[Entry]:
        """The mappings in the list below the keys."""
        value = self.get(*keys)
        items = enumerate(value if isinstance(value, list) else [])
        return [Entry(self.source, (*self.loc, *keys, index), item) for index, item in items if isinstance(item, dict)]

    def child(self, key: str) -> Entry | None:
        """The mapping below the key, None if there is none."""
        value = self.get(key)
        return Entry(self.source, (*self.loc, key), value) if isinstance(value, dict) else None


class EnoughError(Exception):
    """So much is wrong that looking further only costs time; the problems are in the report."""


@dataclass(slots=True)
class Report:
    """Collects the problems of one load; the same problem met twice is one."""

    problems: set[Problem] = field(default_factory=set)

    def add(self, entry: Entry, code: Code, message: str, *keys: str | int, key: bool = False) -> None:
        """A problem of `entry`, placed at the value (or the key) below `keys`; the message gets the entry's name."""
        who, inner = subject(entry.source.data, entry.loc)
        where = f"{who}{inner + ' ' if inner else ''}"
        self.problems.add(entry.source.problem(code, where + message, (*entry.loc, *keys), key=key))
        if len(self.problems) > 2 * MAX_PROBLEMS:
            raise EnoughError
