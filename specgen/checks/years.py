"""The years of vapor by month that many walls need, found together: walls at their sites in, years for each out.

Walls whose years were found before, in this process or an earlier one, have them from the kept results; the others are
run side by side on arrays. A few years are left to `monthly_result`, which runs them one after the other.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from functools import cache as cache_of_calls
from functools import lru_cache, partial
from pathlib import Path

from specgen import cache
from specgen.checks.monthly import VaporPath, YearKey, Years, airs_of, vapor_path
from specgen.checks.rooms import rooms
from specgen.checks.rules import Case
from specgen.model.climate import CityClimate
from specgen.physics import air, condensation, condensation_year
from specgen.physics.condensation import Ladder, Month, MonthState
from specgen.physics.condensation_year import Year, run_year

KIND = "vapor-by-month"
MANY = 100  # years from which it pays to look for kept ones or to load the arrays

Place = tuple[CityClimate, str]  # a city and the id of a room model


def years_of(cases: Iterable[Case]) -> Years:
    """The years of these walls at their sites, to be handed to `monthly_result`; none where there are few.

    Parameters
    ----------
    cases : iterable of Case
        Walls read with their thermal results.

    Raises
    ------
    NotComputableError
        If a wall has no layer inside of its open gap.
    """
    wanted: dict[VaporPath, dict[Place, None]] = {}  # in the order in which they are asked for
    for case in cases:
        if case.thermal is not None and case.site.cities:
            places = wanted.setdefault(vapor_path(case.reading, case.thermal), {})
            places.update(dict.fromkeys((city, room.id) for city in case.site.cities for room in rooms()))
    if sum(map(len, wanted.values())) < MANY:
        return {}
    found: dict[YearKey, Year] = {}
    missing: dict[VaporPath, str] = {}
    for path, places in wanted.items():
        key = cache.content_key(_method(), _content(path.ladder), [_air_key(*place) for place in places])
        years = _recalled(key, path.ladder, [airs_of(*place)[0] for place in places])
        if years is None:
            missing[path] = key
        else:
            found |= _keyed(path, places, years)
    if missing:
        from specgen.physics.condensation_lanes import run_years  # on arrays, whose import takes its time

        run = iter(run_years([(path.ladder, airs_of(*place)[0]) for path in missing for place in wanted[path]]))
        for path, key in missing.items():
            years = [next(run) for _ in wanted[path]]
            found |= _keyed(path, wanted[path], years)
            cache.keep(KIND, key, _packed(years))
    return found


def _keyed(path: VaporPath, places: Iterable[Place], years: Sequence[Year]) -> dict[YearKey, Year]:
    keys = [(path.elements, path.open_gap, city, room) for city, room in places]
    return dict(zip(keys, years, strict=True))


@cache_of_calls
def _method() -> str:
    """Version of everything that a kept year depends on besides the wall and its airs."""
    lanes = Path(condensation.__file__).with_name("condensation_lanes.py")
    return cache.source_digest(__file__, air.__file__, condensation.__file__, condensation_year.__file__, str(lanes))


def _content(ladder: Ladder) -> list[object]:
    """What the numbers hang on; the marks only name planes."""
    elements = [[element.resistance, element.sd_dry, element.sd_wet] for element in ladder.elements]
    return [elements, ladder.cuts, list(ladder.shares)]


@lru_cache(maxsize=1024)
def _air_key(city: CityClimate, room: str) -> str:
    months = airs_of(city, room)[0]
    return cache.content_key(
        [[m.exterior, m.exterior_pressure, m.interior, m.interior_pressure, m.seconds] for m in months]
    )


def _packed(years: Sequence[Year]) -> bytes:
    rows = [[year.order, year.gained, year.held, year.most] for year in years]
    return json.dumps(rows, separators=(",", ":")).encode()


def _recalled(key: str, ladder: Ladder, climates: Sequence[Sequence[Month]]) -> list[Year] | None:
    """The kept years; their months in full are run again where they are asked for."""
    content = cache.recall(KIND, key)
    if content is None:
        return None
    years = []
    for months, (order, gained, held, most) in zip(climates, json.loads(content), strict=True):
        rows = tuple(order), tuple(gained), tuple(held), tuple(most)
        years.append(Year(ladder.planes, *rows, partial(_states, ladder, months)))
    return years


def _states(ladder: Ladder, months: Sequence[Month]) -> tuple[MonthState, ...]:
    return run_year(ladder, months).months
