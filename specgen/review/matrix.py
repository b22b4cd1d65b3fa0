"""Walls against climate zones: what the keeper claims and what the checks say, as plain data for any document.

A claim is confirmed where no check finds an error. One that is contradicted stays contradicted whatever the file says
of it; the file's own explanation is kept beside it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from specgen.checks.assess import assess
from specgen.model.finding import Severity
from specgen.model.site import Site
from specgen.model.wall import Wall


@dataclass(frozen=True, slots=True)
class ZoneError:
    """A finding at error level; `explained` is the file's reason for it, or empty."""

    code: str
    message: str
    explained: str = ""


@dataclass(frozen=True, slots=True)
class ZoneEntry:
    """One wall in one zone."""

    zone: str
    claimed: bool
    errors: tuple[ZoneError, ...]

    @property
    def contradicted(self) -> bool:
        """Claimed, though a check finds an error."""
        return self.claimed and bool(self.errors)


@dataclass(frozen=True, slots=True)
class ZoneRow:
    """One wall, or one variant of it, in every zone asked for."""

    wall: str
    variant: str
    title: str
    entries: tuple[ZoneEntry, ...]

    @property
    def name(self) -> str:
        """`id` or `id+variant`."""
        return f"{self.wall}+{self.variant}" if self.variant else self.wall

    @property
    def confirmed(self) -> bool:
        """True if no claim is contradicted."""
        return not any(entry.contradicted for entry in self.entries)


def zone_rows(walls: Iterable[Wall], sites: Sequence[Site]) -> tuple[ZoneRow, ...]:
    """Each wall checked in each zone, in the order given.

    Parameters
    ----------
    walls : iterable of Wall
        Variants applied.
    sites : sequence of Site
        One for each zone, all of one edition.

    Raises
    ------
    NotComputableError
        If the data of a layer do not yield a figure.
    """
    return tuple(
        ZoneRow(
            wall.id,
            wall.variant,
            wall.variant_title or wall.title,
            tuple(_entry(wall, site) for site in sites),
        )
        for wall in walls
    )


def _entry(wall: Wall, site: Site) -> ZoneEntry:
    found = [finding for finding in assess(wall, site).findings if finding.severity is Severity.ERROR]
    errors = tuple(ZoneError(finding.code, finding.message, finding.explained) for finding in found)
    claimed = wall.suits is not None and site.zone_label in wall.suits.zones
    return ZoneEntry(site.zone_label, claimed, errors)
