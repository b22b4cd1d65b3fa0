"""Ways to comply: changes to a wall that bring it to the prescriptive path, each a swap with what it costs and adds."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from specgen import units
from specgen.model.assessment import CodePath
from specgen.model.finding import Finding


@dataclass(frozen=True, slots=True)
class Swap:
    """One change of one layer, in words: `from` is empty where the layer is new."""

    layer: str  # id of the layer changed, or of the one that the new layer stands against
    what: str  # "continuous insulation" or "cavity insulation"
    before: str
    after: str

    @property
    def words(self) -> str:
        if self.before:
            return f"{self.layer}: {self.before} -> {self.after}"
        return f"new layer: {self.after}, {self.layer}"


@dataclass(frozen=True, slots=True)
class WayToComply:
    """A changed wall that meets a prescriptive path, found by computing that very wall."""

    swaps: tuple[Swap, ...]
    u_si: float  # [W/(m²·K)]
    thickness: float  # of the whole wall [m]
    added_thickness: float  # against the wall as it is [m]
    met: tuple[CodePath, ...]  # the alternatives that it meets, with their margins
    new_findings: tuple[Finding, ...]  # what the change adds: codes that the wall as it is does not have
    cured: tuple[str, ...]  # codes that the change takes away, the shortfall itself left out

    @property
    def r_si(self) -> float:
        """[m²·K/W]"""
        return 1 / self.u_si

    def as_json(self) -> dict[str, Any]:
        """One entry of `energy_code.ways`."""
        return {
            "swaps": [
                {"layer": swap.layer, "what": swap.what, "from": swap.before, "to": swap.after} for swap in self.swaps
            ],
            "r_ip": self.r_si / units.R_IP,
            "u_ip": self.u_si / units.U_IP,
            "u_si": self.u_si,
            "thickness_in": self.thickness / units.INCH,
            "added_thickness_in": self.added_thickness / units.INCH,
            "meets": [{"path": path.path, "label": path.label, "margin": path.margin} for path in self.met],
            "new_findings": [
                {"code": finding.code, "severity": finding.severity.word, "message": finding.message}
                for finding in self.new_findings
            ],
            "cures": list(self.cured),
        }


@dataclass(frozen=True, slots=True)
class Ways:
    """The ways found, smallest first, and what was tried; none are looked for where a path is met."""

    ways: tuple[WayToComply, ...]
    tried: tuple[str, ...] = ()  # in words, empty for a wall that complies
    notes: tuple[str, ...] = ()  # why some change was not tried
