"""How a rule is written: one function that looks at one wall at one site and yields findings, and when it applies."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from specgen import units
from specgen.checks.entries import entry
from specgen.checks.layers import Reading
from specgen.errors import NotComputableError
from specgen.model.assessment import ThermalResult
from specgen.model.finding import Finding, Severity
from specgen.model.site import Site

ERROR, WARNING, NOTE = Severity.ERROR, Severity.WARNING, Severity.NOTE
COMMON_PRACTICE = "common practice"


@dataclass(frozen=True)
class Case:
    """One wall at one site; `thermal` is absent only where no rule is run (the crew page's never-lines)."""

    reading: Reading
    site: Site
    thermal: ThermalResult | None = None

    @property
    def irc(self) -> int:
        """Year of the residential code."""
        return int(self.site.irc_edition)

    def section(self, clause: str, since_2024: str = "") -> str:
        """Code citation for the adopted edition; chapter 3 was renumbered in 2024."""
        return f"IRC {self.irc} {since_2024 if since_2024 and self.irc >= 2024 else clause}"

    def finding(
        self, code: str, severity: Severity, message: str, index: int | None = None, source: str = "", status: str = ""
    ) -> Finding:
        """A finding with the reasons of its catalog entry, and its source and status unless the rule knows better."""
        known = entry(code)
        layer = None if index is None else self.reading.layers[index]
        return Finding(
            code=code,
            severity=severity,
            message=message,
            layer=layer.id if layer else "",
            place=layer.place if layer else self.reading.wall.place,
            because=known.why,
            cure=known.cure,
            source=source or known.source,
            status=status or known.status,
        )

    def resistance(self, index: int) -> float:
        """What one layer resists in the path between members. [m²·K/W]

        Raises
        ------
        NotComputableError
            If the wall was read without its thermal result.
        """
        if self.thermal is None:
            raise NotComputableError(f"wall {self.reading.wall.name!r} was read without its thermal result")
        path = max(self.thermal.paths, key=lambda p: p.total)
        return sum(part.resistance for part in path.resistances if part.layer == self.reading.layers[index].id)

    @property
    def exterior_r_ip(self) -> float:
        """Nominal R of continuous insulation outside of the cavity, as the code counts it. [h·ft²·°F/Btu]"""
        layers = self.reading.layers
        # insulation between members is bridged, so it is not continuous
        counted = [i for i in self.reading.insulation_outside if not layers[i].framing]
        # spray foam in the cavity, outside of air-open fill, counts as if it were sheathing: IRC R702.7 (from memory)
        counted += [i for i in range(self.reading.body.start, self.reading.air_open_fill or 0) if self._sprayed(i)]
        return sum(self.resistance(i) for i in counted) / units.R_IP

    def _sprayed(self, index: int) -> bool:
        fill = self.reading.layers[index].fill
        return bool(fill and fill.kind == "spray-foam" and not fill.air_open)


Check = Callable[[Case], Iterable[Finding]]
Condition = Callable[[Case], bool]


def always(case: Case) -> bool:
    """The condition of a rule that looks at every wall."""
    return True


@dataclass(frozen=True, slots=True)
class Rule:
    """One code: when it looks at a wall, what it finds, and when the crew page prints its never-line."""

    code: str
    check: Check
    applies: Condition = always
    forbids: Condition | None = None  # None: as `applies`

    def run(self, case: Case) -> tuple[Finding, ...]:
        return tuple(self.check(case)) if self.applies(case) else ()


def perms(permeance: float) -> str:
    """A permeance as it prints, two figures: `0.06 perm`, `5.9 perm`, `40 perm`.

    Parameters
    ----------
    permeance : float
        >= 0. [kg/(m²·s·Pa)]
    """
    value = permeance / units.PERM
    if value > 1000:
        return "over 1000 perm"
    digits = f"{value:.2g}"
    return f"{float(digits):.0f} perm" if float(digits) >= 10 else f"{digits} perm"


def inches(length: float) -> str:
    """A length as it prints: `3/16 in`.

    Parameters
    ----------
    length : float
        >= 0. [m]
    """
    return f"{units.format_inches(length)} in"
