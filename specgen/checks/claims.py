"""The keeper's claims against what the checks found: zones that the wall suits, layers still to be looked at."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from specgen.checks.layers import name_of
from specgen.checks.rules import NOTE, WARNING, Case, Rule
from specgen.model.finding import Finding, Severity
from specgen.model.site import Site
from specgen.model.wall import Wall


def check_existing(case: Case) -> Iterator[Finding]:
    """L102: layers that stand and that nobody has verified."""
    for i, layer in enumerate(case.reading.layers):
        if layer.condition == "existing-to-verify":
            message = f"{name_of(layer)} is existing and to be verified; what is said of this wall depends on it."
            yield case.finding("L102", NOTE, message, i)


def check_unclaimed(case: Case) -> Iterator[Finding]:
    """L103: a zone that the keeper does not claim."""
    suits = case.reading.wall.suits
    if suits and case.site.zone_label not in suits.zones:
        message = f"zone {case.site.zone_label} is not among those the wall is kept for ({', '.join(suits.zones)})."
        yield case.finding("L103", NOTE, message)


def contradicted(case: Case, findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """L101: a claimed zone in which another rule finds an error."""
    suits = case.reading.wall.suits
    errors = sorted({finding.code for finding in findings if finding.severity is Severity.ERROR})
    if not suits or case.site.zone_label not in suits.zones or not errors:
        return ()
    message = f"the wall claims zone {case.site.zone_label}, but has errors there: {', '.join(errors)}."
    return (case.finding("L101", WARNING, message),)


def with_reasons(wall: Wall, site: Site, findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Each finding with the keeper's reason where the wall file accepts its code in this zone; none is taken away."""
    reasons = {item.code: item.because for item in wall.explained if not item.zones or site.zone_label in item.zones}
    return tuple(
        replace(finding, explained=reasons[finding.code]) if finding.code in reasons else finding
        for finding in findings
    )


RULES = (Rule("L102", check_existing), Rule("L103", check_unclaimed))
