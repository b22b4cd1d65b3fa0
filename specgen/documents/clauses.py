"""Where a subject stands in the model codes: subject and edition in, section with its status out.

Sections of the residential code come from `data/code_clauses.yaml`, the tables of the energy code from
`data/iecc_walls.yaml`, where their values stand.
"""

from __future__ import annotations

from dataclasses import dataclass

from specgen.data import load_table
from specgen.errors import UnknownNameError

ENERGY_TABLES = {"r-value-table": "r", "u-factor-table": "u", "mass-wall": "mass"}


@dataclass(frozen=True, slots=True)
class Clause:
    """One section of one edition and how we know that it is the one."""

    code: str  # "IRC" or "IECC"
    edition: str
    section: str
    status: str

    @property
    def text(self) -> str:
        """`IRC 2021 R703.2`."""
        return f"{self.code} {self.edition} {self.section}"


def clause(subject: str, edition: str) -> Clause:
    """Section of a subject in an edition.

    Raises
    ------
    UnknownNameError
        If the subject or its edition is not on file.
    """
    if subject in ENERGY_TABLES:
        editions = load_table("iecc_walls")["editions"]
        if edition not in editions:
            raise UnknownNameError("code edition", edition, editions)
        key = ENERGY_TABLES[subject]
        return Clause("IECC", edition, editions[edition]["tables"][key], editions[edition]["table_status"][key])
    subjects = load_table("code_clauses")["subjects"]
    if subject not in subjects:
        raise UnknownNameError("subject of the codes", subject, [*subjects, *ENERGY_TABLES])
    entry = subjects[subject]
    if edition not in entry:
        raise UnknownNameError("code edition", edition, [key for key in entry if key != "code"])
    return Clause(entry["code"], edition, entry[edition]["section"], entry[edition]["status"])
