"""A finding: everything that a check has to say about a wall, as plain data."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import IntEnum

from specgen.model.base import Place


class Severity(IntEnum):
    """NOTE < WARNING < ERROR; a wall with an error does not issue."""

    NOTE = 0
    WARNING = 1
    ERROR = 2

    @property
    def word(self) -> str:
        return self.name.lower()


@dataclass(frozen=True, slots=True)
class Finding:
    """One judgment of one wall at one site.

    `code` is stable and has one heading in the documentation: T thermal, E energy code, M moisture,
    P practice, L library.
    """

    code: str
    severity: Severity
    message: str  # one sentence, the numbers in it, that a builder can act on
    layer: str = ""  # id of the layer it speaks of, empty for the whole wall
    place: Place = field(default_factory=Place)
    because: str = ""  # why it matters in the wall
    cure: str = ""  # what would remove it
    source: str = ""  # standard, edition and clause, or "common practice"
    status: str = "common-practice"  # confirmed | secondary | from-memory | common-practice
    explained: str = ""  # the keeper's reason, where the wall file accepts this finding
