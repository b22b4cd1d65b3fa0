"""All rules in one order, the one in which the crew page prints their never-lines: what destroys walls first."""

from __future__ import annotations

from specgen.checks import air, claims, drying, fastening, hazards, retarders, stucco, water
from specgen.checks.rules import Case, Rule
from specgen.model.finding import Finding

RULES: tuple[Rule, ...] = (
    *stucco.RULES,
    *retarders.RULES,
    *water.RULES,
    *hazards.RULES,
    *air.RULES,
    *drying.RULES,
    *fastening.RULES,
    *claims.RULES,
)


def rule_findings(case: Case) -> tuple[Finding, ...]:
    """What every rule says of one wall at one site, in the order of the rules."""
    return tuple(finding for rule in RULES for finding in rule.run(case))
