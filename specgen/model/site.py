"""A site: climate zone with its map edition, moisture regime, and the hazards that a county list cannot know."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

from specgen.model.climate import CityClimate

if TYPE_CHECKING:
    from specgen.model.jurisdiction import JurisdictionRow

Termite = Literal["none-to-slight", "slight-to-moderate", "moderate-to-heavy", "very-heavy"]


@dataclass(frozen=True, slots=True)
class HazardValue:
    """One hazard: a value that someone gave, a state-level default with its status, or not known."""

    value: float | bool | str | None  # SI; None: 'not known: enter'
    text: str  # as it prints, with its unit
    given: bool = False  # entered for this site, not a default
    status: str = "from-memory"
    source: str = ""


UNKNOWN = HazardValue(None, "not known: enter")


@dataclass(frozen=True, slots=True)
class Hazards:
    design_wind: HazardValue = UNKNOWN  # ultimate design wind speed [m/s]
    wind_borne_debris: HazardValue = UNKNOWN  # bool
    exposure: HazardValue = UNKNOWN  # "B", "C" or "D"
    termite: HazardValue = UNKNOWN  # one of Termite
    annual_rain: HazardValue = UNKNOWN  # [m]
    frost_depth: HazardValue = UNKNOWN  # [m]
    flood: HazardValue = UNKNOWN  # bool


@dataclass(frozen=True, slots=True)
class Site:
    """A place for one edition of the energy code; `regime` is empty in zones 7 and 8."""

    id: str
    name: str  # as it prints: "Harris County, TX" or "climate zone 2A"
    zone: int  # thermal zone 0..8
    regime: str  # moisture regime "A", "B", "C" or ""
    edition: str = "2021"  # IECC residential: "2018", "2021", "2024"
    irc_edition: str = "2021"
    county: str = ""
    state: str = ""
    warm_humid: bool | None = None  # None: not known from a zone alone
    hazards: Hazards = field(default_factory=Hazards)
    zone_source: str = ""  # which map assigned the zone
    note: str = ""  # jurisdiction note
    edition_chosen: bool = False  # someone named the edition; False: it is the default
    jurisdiction: JurisdictionRow | None = None  # what holds there in place of the model code
    cities: tuple[CityClimate, ...] = ()  # weather that the site is judged with; of several the worst governs
    city_distance: float | None = None  # to the one city, None where the site has no position [m]
    city_remark: str = ""  # why these cities, or why none

    @property
    def zone_label(self) -> str:
        """`2A`, `7`."""
        return f"{self.zone}{self.regime}"

    @property
    def city_distance_km(self) -> float | None:
        return None if self.city_distance is None else self.city_distance / 1000

    @property
    def marine(self) -> bool:
        return self.regime == "C"

    @property
    def code_row(self) -> str:
        """Row of the energy tables: Marine 4 is judged with zone 5, zone 0 with zone 1, 8 with 7."""
        if self.zone == 4 and self.marine:
            return "5"
        return {0: "1", 8: "7"}.get(self.zone, str(self.zone))
