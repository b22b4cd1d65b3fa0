"""The matrix of walls and climate zones as plain text for the terminal and as JSON: the same fields, nothing judged."""

from __future__ import annotations

import json
import textwrap
from collections.abc import Iterable, Sequence

from specgen.review.matrix import ZoneEntry, ZoneRow

WIDTH = 100  # columns of a terminal text
# One mark for each of the four cases; the one that rules a wall out is quiet, so that the walls to choose stand out.
MARKS = {
    "C": "claimed, and no check finds an error there",
    "E": "claimed, though a check finds an error there",
    "n": "not claimed, though no check finds an error there",
    ".": "not claimed, and a check finds an error there",
}


def zones_text(rows: Sequence[ZoneRow], edition: str) -> str:
    """The table, its legend, then each wall's errors with the zones they stand in.

    Parameters
    ----------
    rows : sequence of ZoneRow
        All with the same zones.
    edition : str
        Of the model codes, as `2021`.
    """
    zones = [entry.zone for entry in rows[0].entries] if rows else []
    names = max((len(row.name) for row in rows), default=0)
    lines = [f"Walls in the climate zones of the IECC, edition {edition} of the model codes (IECC and IRC).", ""]
    lines.append(_line("", names, zones))
    lines += [_line(row.name, names, [mark(entry) for entry in row.entries]) for row in rows]
    lines.append("")
    lines += [f"{letter}  {meaning}" for letter, meaning in MARKS.items()]
    lines.append(
        "Warnings and what a county or project adds (wind, rain, termites) are not in this table: specgen check."
    )
    contradicted = [line for row in rows for line in _contradictions(row)]
    lines += ["", "Claims that the checks contradict:" if contradicted else "No claim is contradicted."]
    lines += contradicted
    errors = [line for row in rows for line in _errors(row)]
    if errors:
        lines += ["", "Errors outside of the claims, by wall (specgen explain CODE says what each means):", *errors]
    return "\n".join(lines)


def zones_json(rows: Sequence[ZoneRow], edition: str) -> str:
    """A list of walls, each with its zones by name; keys are only ever added."""
    walls = [
        {
            "wall": row.wall,
            "variant": row.variant,
            "title": row.title,
            "edition": edition,
            "confirmed": row.confirmed,
            "zones": {
                entry.zone: {
                    "claimed": entry.claimed,
                    "meets": not entry.errors,
                    "errors": [
                        {"code": error.code, "message": error.message, "explained": error.explained}
                        for error in entry.errors
                    ],
                }
                for entry in row.entries
            },
        }
        for row in rows
    ]
    return json.dumps(walls, indent=2, ensure_ascii=False)


def mark(entry: ZoneEntry) -> str:
    """The letter of one wall in one zone."""
    if entry.claimed:
        return "E" if entry.errors else "C"
    return "." if entry.errors else "n"


def _line(name: str, width: int, cells: Iterable[str]) -> str:
    return f"{name:<{width}}" + "".join(f" {cell:>2}" for cell in cells)


def _contradictions(row: ZoneRow) -> list[str]:
    lines: list[str] = []
    for entry in row.entries:
        for error in entry.errors if entry.contradicted else ():
            said = f"explained in the file: {error.explained}" if error.explained else "not explained in the file"
            lines += _wrapped(f"{row.name} in {entry.zone}: {error.code} {error.message}")
            lines += _wrapped(said, "    ")
    return lines


def _errors(row: ZoneRow) -> list[str]:
    """`NAME` and, for each code, the zones that it stands in."""
    found: dict[str, list[str]] = {}
    for entry in row.entries:
        for code in dict.fromkeys(error.code for error in entry.errors if not entry.claimed):
            found.setdefault(code, []).append(entry.zone)
    if not found:
        return []
    return _wrapped(f"{row.name}: " + "; ".join(f"{code} in {', '.join(found[code])}" for code in sorted(found)))


def _wrapped(text: str, indent: str = "") -> list[str]:
    return textwrap.wrap(text, WIDTH, initial_indent=indent, subsequent_indent=indent + "    ", break_on_hyphens=False)
