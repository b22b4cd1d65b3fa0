"""What a code means, as text for `explain`; and the never-lines of the crew page, from the rules that apply."""

from __future__ import annotations

from dataclasses import dataclass

from specgen.checks.entries import entry, finding_entries, input_error_entries
from specgen.checks.layers import Reading
from specgen.checks.practice import RULES
from specgen.checks.rules import Case
from specgen.errors import UnknownNameError
from specgen.model.site import Site
from specgen.model.wall import Wall

MOST_NEVER_LINES = 6  # of the crew page


@dataclass(frozen=True, slots=True)
class NeverLine:
    """One thing that nobody may do to this wall, and the code that says why."""

    code: str
    text: str


def never_lines(wall: Wall, site: Site) -> tuple[NeverLine, ...]:
    """Never-lines of the rules that apply to this make-up at this site, most important first, six at most.

    Raises
    ------
    NotComputableError
        If no layer carries the wall.
    """
    case = Case(Reading(wall), site)
    lines: dict[str, NeverLine] = {}
    for rule in RULES:
        text = entry(rule.code).never
        if text and (rule.forbids or rule.applies)(case):
            lines.setdefault(text, NeverLine(rule.code, text))
    return tuple(lines.values())[:MOST_NEVER_LINES]


def explain(code: str) -> str:
    """What a code of a finding or of an input error means, as plain text.

    Raises
    ------
    UnknownNameError
        If there is no such code; the nearest codes are in the message.
    """
    findings, errors = finding_entries(), input_error_entries()
    wanted = code.strip().upper()
    if wanted in findings:
        known = findings[wanted]
        status = known.status.replace("-", " ")
        lines = [
            f"{wanted}  {known.title}",
            f"Why: {known.why}",
            f"Cure: {known.cure}",
            f"Source: {known.source}" if known.source == status else f"Source: {known.source} ({status})",
            f"Example: {known.example}",
        ]
        return "\n".join([*lines, f"Never: {known.never}"] if known.never else lines)
    if wanted in errors:
        fault = errors[wanted]
        return "\n".join(
            [f"{wanted}  {fault['title']}"]
            + [f"{key.capitalize()}: {fault[key]}" for key in ("found", "expected", "example") if key in fault]
        )
    raise UnknownNameError("code", code, [*findings, *errors])
