"""What the rows of the plan reviewer's page are made of: the wall as reviewed; a question, its answer, its source."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property

import specgen
from specgen import units
from specgen.checks.layers import Reading
from specgen.checks.resistances import worse
from specgen.checks.rules import Case
from specgen.documents.clauses import Clause, clause
from specgen.documents.messages import Messages
from specgen.drawing.callouts import Callout, callouts, short_note
from specgen.drawing.type import TIE
from specgen.drawing.typeset import tabled, typeset
from specgen.model.assessment import Assessment
from specgen.model.material import uncapped
from specgen.model.project import Project
from specgen.model.site import Site
from specgen.model.wall import Wall


@dataclass(frozen=True, slots=True)
class ReviewerRow:
    """One question; `parts`, number and text, stand under the answer in two columns, `below` under the question."""

    question: str
    answer: str
    source: str
    parts: tuple[tuple[str, str], ...] = ()
    below: str = ""


@dataclass(frozen=True)
class Reviewed:
    """One wall at one site with everything that its rows are written from."""

    wall: Wall
    assessment: Assessment
    site: Site
    messages: Messages
    project: Project | None = None
    reading: Reading = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "reading", Reading(self.wall))

    @cached_property
    def case(self) -> Case:
        return Case(self.reading, self.site, self.assessment.thermal)

    @cached_property
    def calls(self) -> tuple[Callout, ...]:
        return callouts(self.wall)

    def say(self, id: str, **values: object) -> str:
        """A sentence of the catalog."""
        return self.messages.text(id, **values)

    def row(self, question: str, sentences: Iterable[str], source: str) -> ReviewerRow:
        """A row of the sentences that are not empty."""
        return ReviewerRow(self.say(f"q.{question}"), " ".join(part for part in sentences if part), source)

    def status(self, *statuses: str) -> str:
        """The least certain of several statuses, as it prints."""
        return self.say(f"status.{worse(*statuses)}")

    def clause(self, subject: str, *statuses: str) -> str:
        """Section of a subject in the edition chosen, with the least certain status of it and of what leans on it."""
        found = self.find(subject)
        return self.say(
            "source.clause", clause=found.text.replace(" ", TIE, 2), status=self.status(found.status, *statuses)
        )

    def find(self, subject: str) -> Clause:
        """The section itself: the energy code's edition for the energy code, the residential code's for the rest."""
        found = clause(subject, self.site.irc_edition)
        return found if found.code == "IRC" else clause(subject, self.site.edition)

    def practice(self) -> str:
        """Source of an answer for which no code is cited."""
        text = self.say("status.common-practice")
        return text[:1].upper() + text[1:]

    def wall_file(self) -> str:
        return self.say("source.wall_file", number=self.wall.revision.number)

    def library_line(self) -> str:
        """Program, wall, revision and the first digits of its content hash."""
        wall = self.wall
        values = {"version": specgen.__version__, "wall": wall.name, "number": wall.revision.number}
        digits = wall.content_hash[:12]
        if not digits:
            return self.say("footer.no_hash", **values)
        grouped = " ".join(digits[index : index + 4] for index in range(0, len(digits), 4))
        return self.say("footer.library", **values, hash=grouped)

    def note(self, index: int) -> str:
        """A layer as the drawing numbers it, size and name; the coats of a group give their one callout."""
        layer = self.wall.layers[index]
        return next(
            tabled(short_note(call)) for call in self.calls if layer.id in call.layer_ids and not call.embedded_id
        )

    def notes(self, indices: Iterable[int]) -> str:
        """Several layers, joined as in a sentence, each callout once."""
        names = list(dict.fromkeys(self.note(index) for index in indices))
        names[1:] = [uncapped(name) for name in names[1:]]
        return joined(names)

    def has(self, *codes: str) -> bool:
        """True if some finding bears one of these codes."""
        return any(finding.code in codes for finding in self.assessment.findings)


def joined(names: list[str], word: str = "and") -> str:
    """`a, b and c`."""
    return f" {word} ".join(part for part in (", ".join(names[:-1]), *names[-1:]) if part)


def capital(text: str) -> str:
    """First letter large, the rest untouched."""
    return text[:1].upper() + text[1:]


def closed(text: str) -> str:
    """A text with its full stop, typeset as a sentence: in one, `2021 in zone` is no length."""
    text = typeset(text.strip())
    return text if text.endswith((".", "!", "?")) else f"{text}."


def r_exact(resistance: float) -> str:
    """An R as computed, without trailing zeros, `8.0105`.

    Parameters
    ----------
    resistance : float
        [h·ft²·°F/Btu]
    """
    return f"{resistance:.4f}".rstrip("0").rstrip(".")


def r_printed(resistance: float) -> str:
    """An R to one decimal, as labels print it: `R-23`, `R-7.5`.

    Parameters
    ----------
    resistance : float
        [h·ft²·°F/Btu]
    """
    return f"R-{round(resistance + 1e-9, 1):g}"


def r_ip(resistance: float) -> float:
    """In inch-pound units. [h·ft²·°F/Btu]

    Parameters
    ----------
    resistance : float
        [m²·K/W]
    """
    return round(resistance / units.R_IP, 9)
