"""The catalog of codes as data: every `data/findings*.yaml` and the input errors, one entry per code."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from specgen import data
from specgen.errors import UnknownNameError


@dataclass(frozen=True, slots=True)
class Entry:
    """What one code of a finding means; texts as they print."""

    code: str
    title: str
    why: str
    cure: str
    source: str
    status: str
    example: str
    never: str = ""  # a line for the crew page, at most 34 characters


@cache
def finding_entries() -> dict[str, Entry]:
    """All codes of findings, in the order of their files.

    Raises
    ------
    ValueError
        If two files give one code; that is a fault of the package, not of a user's file.
    """
    entries: dict[str, Entry] = {}
    for path in sorted(Path(data.__file__).parent.glob("findings*.yaml")):
        for code, fields in data.load_table(path.stem).items():
            if code in entries:
                raise ValueError(f"{path.name} gives {code} a second time")
            entries[code] = Entry(code=code, **fields)
    return entries


def entry(code: str) -> Entry:
    """The entry of one code of a finding.

    Raises
    ------
    UnknownNameError
        If no rule has that code.
    """
    entries = finding_entries()
    if code not in entries:
        raise UnknownNameError("code", code, entries)
    return entries[code]


@cache
def input_error_entries() -> dict[str, dict[str, Any]]:
    """Codes of input errors: `title`, `found`, `expected`, `example`."""
    path = Path(data.__file__).parent / "input_errors.yaml"
    return data.load_table("input_errors") if path.is_file() else {}
