"""Air temperatures that a site's walls are drawn and judged between: a winter and a summer one, outdoors and indoors.

Of several weather cities the coldest winter and the hottest summer are taken, each with the name of its city.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from specgen import units
from specgen.model.climate import CityClimate
from specgen.model.site import Site

# Rooms kept at 70 °F in winter and 75 °F in summer (common practice). [°C]
ROOM_WINTER = (70 - 32) * units.RANKINE
ROOM_SUMMER = (75 - 32) * units.RANKINE


@dataclass(frozen=True, slots=True)
class DesignAir:
    """Outdoor and room air of one season. [°C]"""

    season: Literal["winter", "summer"]
    outdoor: float  # exceeded in 99 % of the hours of a typical year in winter, in 1 % in summer
    indoor: float
    city: CityClimate


def design_air(site: Site) -> tuple[DesignAir, ...]:
    """Winter, then summer; empty where the site has no weather city.

    Returns
    -------
    seasons : tuple of DesignAir
        Of several cities the one that governs each season.
    """
    if not site.cities:
        return ()
    coldest = min(site.cities, key=lambda city: city.winter_design)
    hottest = max(site.cities, key=lambda city: city.summer_design)
    return (
        DesignAir("winter", coldest.winter_design, ROOM_WINTER, coldest),
        DesignAir("summer", hottest.summer_design, ROOM_SUMMER, hottest),
    )
