"""Cited tables, no code but this reader: one YAML file per table, its rows as printed, in the printed unit.

Each table says title, source (an id of `sources.yaml`), place in it, status, units, and a checksum that a test
recomputes. Code converts; nothing here is in SI unless it was printed so.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import yaml

from specgen.errors import UnknownNameError

_Loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)  # the C reader is ten times faster where it was built


@cache
def load_table(name: str) -> dict[str, Any]:
    """One table of this folder, read once and shared: callers do not change it.

    Parameters
    ----------
    name : str
        File name without its ending, for example `films`.

    Raises
    ------
    UnknownNameError
        If there is no such table.
    """
    folder = Path(__file__).parent
    path = folder / f"{name}.yaml"
    if not path.is_file():
        raise UnknownNameError("table", name, [file.stem for file in folder.glob("*.yaml")])
    with path.open(encoding="utf-8") as stream:
        table: dict[str, Any] = yaml.load(stream, Loader=_Loader)
    return table


def source(id: str) -> dict[str, Any]:
    """Full citation of a source id: `title`, `edition`, `seen_in`, `note`.

    Raises
    ------
    UnknownNameError
        If `sources.yaml` has no such id.
    """
    sources = load_table("sources")
    if id not in sources:
        raise UnknownNameError("source", id, sources)
    entry: dict[str, Any] = sources[id]
    return entry
