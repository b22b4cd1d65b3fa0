"""Simulations of several walls and sites, one after the other or in several processes; each is kept by its content."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from specgen.checks.transient import transient_result
from specgen.errors import NotComputableError
from specgen.model.transient import TransientResult

if TYPE_CHECKING:
    from specgen.model.site import Site
    from specgen.model.wall import Wall
    from specgen.physics.weather import WeatherYear

Outcome = tuple[TransientResult | None, str]  # the result, or why there is none


def simulate_all(
    pairs: Sequence[tuple[Wall, Site]], weather: Sequence[WeatherYear], jobs: int, tell: Callable[[str], None]
) -> list[Outcome]:
    """One outcome for each wall and site, in their order; a wall that cannot be run does not stop the others.

    Parameters
    ----------
    pairs : sequence of (Wall, Site)
        What to run.
    weather : sequence of WeatherYear
        Instead of the sites' own cities; empty: those.
    jobs : int
        Processes, >= 1.
    tell : callable
        Told of progress, one line at a time.
    """
    if jobs <= 1 or len(pairs) <= 1:
        return [one_outcome(wall, site, weather, tell) for wall, site in pairs]
    from concurrent.futures import ProcessPoolExecutor
    from multiprocessing import get_context

    with ProcessPoolExecutor(min(jobs, len(pairs)), mp_context=get_context("spawn")) as pool:
        waiting = [pool.submit(one_outcome, wall, site, weather) for wall, site in pairs]
        found = []
        for number, (future, (wall, site)) in enumerate(zip(waiting, pairs, strict=True), start=1):
            found.append(future.result())
            tell(f"{number} of {len(pairs)}: {wall.name} at {site.name}")
    return found


def one_outcome(
    wall: Wall, site: Site, weather: Sequence[WeatherYear], tell: Callable[[str], None] | None = None
) -> Outcome:
    """The result of one wall at one site, or the sentence that says why there is none.

    Parameters
    ----------
    wall : Wall
        Resolved.
    site : Site
        Where.
    weather : sequence of WeatherYear
        Instead of the site's own cities; empty: those.
    tell : callable, optional
        Told of progress.
    """
    try:
        return transient_result(wall, site, weather, tell), ""
    except NotComputableError as error:
        return None, str(error)
