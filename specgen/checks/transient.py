"""The verdict of the hour-by-hour simulation: four orientations, what is uncertain varied, and two tests with water.

Three years of one and the same weather. Framed walls are run between members; hollow block as shells and core and as
one equivalent layer, whichever comes out wetter governs, and with grouted cells as a second run. Air that leaks
through the wall is left out of the verdict; one case with it stands beside.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import asdict, replace
from functools import cache as cache_of_calls
from pathlib import Path
from typing import TYPE_CHECKING

from specgen import cache
from specgen.checks.layers import Reading
from specgen.checks.wall_problem import Choices, SimulatedWall
from specgen.model.transient import (
    DEPENDS,
    FAILS,
    MEETS,
    Governing,
    Recovery,
    ToleratedLeak,
    TransientCase,
    TransientResult,
    result_from,
)

if TYPE_CHECKING:
    from specgen.checks.transient_lanes import Lane
    from specgen.model.site import Site
    from specgen.model.wall import Wall
    from specgen.physics.weather import WeatherYear

AIR_LEAK = 3e-5  # of an assembly that passes 0.2 L/(s·m²) at 75 Pa, at 4 Pa (common practice) [m³/(m²·s)]
METHOD = 2  # raised when a change moves results
KIND = "transient"
WORDS_ONLY = {"__all__": {"crew_note", "group_title", "laps", "limits", "cure", "mix", "exposure"}}  # move no result
ORIENTATIONS = ("N", "E", "S", "W")
WITH_MOLD = (
    "mold index under 3 at every plane inboard of the drained one that feeds mold; wood under 26 % moisture content "
    "in the third year; no layer that gathers water from year to year"
)
WITHOUT = (
    "nothing inboard of the drained plane feeds mold: no layer that gathers water from year to year, and 30-day mean "
    "humidity at the room-side surface under 80 %"
)
Progress = Callable[[str], None]


def transient_result(
    wall: Wall, site: Site, weather: Sequence[WeatherYear] = (), progress: Progress | None = None
) -> TransientResult | None:
    """What the simulation says of one wall at one site, kept by content; None where no weather stands for the site.

    Parameters
    ----------
    wall : Wall
        Resolved.
    site : Site
        Its listed cities give the weather.
    weather : sequence of WeatherYear
        Years to run instead, such as that of an hourly file.
    progress : callable, optional
        Told what is being run, in a few words.

    Raises
    ------
    NotComputableError
        If a layer lacks a figure, or a run does not converge or balance; names wall, case, hour and plane.

    Source
    ------
    Transport: EN 15026 type. Loads and criteria: ANSI/ASHRAE 160 (from memory), mold index as `physics/mold.py` says.
    """
    if not weather:
        from specgen.checks.weather_year import city_year

        weather = [city_year(city) for city in site.cities]
    if not weather:
        return None
    content = wall.model_dump(mode="json", include={"construction", "layers"}, exclude={"layers": WORDS_ONLY})
    key = cache.content_key(_method(), content, [[year.name, year.digest] for year in weather])
    tell = progress or (lambda text: None)
    return result_from(cache.remembered(KIND, key, lambda: asdict(_result(wall, weather, tell))))


@cache_of_calls
def _method() -> str:
    """Version of everything that a kept result depends on besides wall and weather."""
    here, package = Path(__file__), Path(__file__).parents[1]
    spoken = ("transient_findings.py", "transient_jobs.py")  # say results and make none
    files = [
        *(file for file in here.parent.glob("transient*.py") if file.name not in spoken),
        *here.parent.glob("moisture_*.py"), here.parent / "wall_problem.py", here.parent / "boundary.py",
        *(package / "physics" / "transient").glob("*.py"),
        *(package / "physics" / f"{name}.py" for name in ("mold", "room", "weather", "synthetic_year")),
        *(package / "data" / f"{name}.yaml" for name in ("hygrothermal", "mold_surfaces", "design_hour")),
        package / "model" / "transient.py",
    ]  # fmt: skip
    return f"{METHOD} {cache.source_digest(*sorted(str(file) for file in files))}"


def _result(wall: Wall, weather: Sequence[WeatherYear], tell: Progress) -> TransientResult:
    from specgen.checks.transient_lanes import class_cases, index_by_choice

    simulated = SimulatedWall(Reading(wall))
    base: list[tuple[TransientCase, Lane]] = []
    grouted: list[TransientCase] = []
    years: list[WeatherYear] = []
    for year in weather:
        tell(f"{wall.name} in {year.name}: four orientations, three years")
        found = base_cases(simulated, year)
        base += found
        years += [year] * len(found)
        if "grouted" in simulated.masonry:
            grouted += [case for case, _ in base_cases(simulated, year, grouted=True)]
    worst = max(range(len(base)), key=lambda place: rank(base[place][0]))
    case, lane = base[worst]
    tell(f"{wall.name} in {case.weather}: variations on the wall facing {case.orientation}")
    varied, leaky = _variations(simulated, lane, years[worst])
    varied += [*grouted, *class_cases(simulated, lane)]
    by_decline, by_class = index_by_choice(simulated, lane, case)
    tell(f"{wall.name} in {case.weather}: wetting and leak")
    recovered, leak = _water(simulated, lane, years[worst])
    storing = lane.run.storing
    governed = _wetter_cells([one for one, _ in base])
    verdict, depends = _verdict(governed, varied)
    synthetic = years[worst].kind == "synthetic year"
    return TransientResult(
        city=years[worst].name,
        weather=years[worst].kind,
        weather_notes=years[worst].notes,
        verdict=verdict,
        depends_on=depends,
        needs_hourly_file=synthetic and bool({"orientation", "weather city"} & set(depends)),
        worst=case,
        cases=(*(one for one, _ in base), *varied),
        wetted_layer="" if storing is None else wall.layers[lane.run.layers[storing]].id,
        recovery=recovered,
        leak=leak,
        criterion=WITH_MOLD if case.plane else WITHOUT,
        ran=_ran(simulated, case),
        governing=_governing(simulated, lane, case),
        air_leakage=leaky,
        wetted_depth=lane.run.depth,
        by_decline=by_decline,
        by_class=by_class,
    )


def base_cases(wall: SimulatedWall, year: WeatherYear, grouted: bool = False) -> list[tuple[TransientCase, Lane]]:
    """Every orientation with every way of running the masonry, side by side.

    Parameters
    ----------
    wall : SimulatedWall
        The wall.
    year : WeatherYear
        Repeated three times.
    grouted : bool
        True: at a grouted cell, of a wall that has any; False: everywhere else.
    """
    from specgen.checks.transient_lanes import Asked, case_of, lanes

    ways = [cells for cells in wall.masonry if (cells == "grouted") is grouted]
    names = ("grout in the cells", "a grouted cell") if grouted else ("", "")
    asked = [Asked(*names, Choices(orientation=side, cells=cells)) for cells in ways for side in ORIENTATIONS]
    return [(case_of(wall, lane), lane) for lane in lanes(wall, asked, year)]


def rank(case: TransientCase) -> tuple[float, ...]:
    """Worse is more: reasons, then mold, then humidity, then wood, then water gathered.

    Parameters
    ----------
    case : TransientCase
        Of any wall.
    """
    humidity = case.plane.humidity_30 if case.plane else case.surface_humidity
    gain = max((layer.gain for layer in case.layers), default=0.0)
    return len(case.reasons), round(case.index, 3), humidity or 0.0, case.wood or 0.0, gain


def _wetter_cells(cases: list[TransientCase]) -> list[TransientCase]:
    """Of each weather and orientation the way of running the masonry that comes out worse."""
    found: dict[tuple[str, str], TransientCase] = {}
    for case in cases:
        key = case.weather, case.orientation
        found[key] = max(found.get(key, case), case, key=rank)
    return list(found.values())


def _variations(
    wall: SimulatedWall, worst: Lane, year: WeatherYear
) -> tuple[list[TransientCase], TransientCase | None]:
    """Every variation, and the worst case with room air that leaks to the layer behind the drained plane."""
    from specgen.checks.transient_lanes import Asked, case_of, lanes
    from specgen.checks.transient_variations import variations

    asked = variations(wall, worst.choices)
    if worst.run.storing is not None:
        detail = f"room air leaks in, {AIR_LEAK * 1000:g} L/(s·m²)"
        asked.append(Asked("air leakage", detail, replace(worst.choices, air_leak=AIR_LEAK)))
    found = [case_of(wall, lane) for lane in lanes(wall, asked, year)]
    return (found, None) if worst.run.storing is None else (found[:-1], found[-1])


def _verdict(base: list[TransientCase], varied: list[TransientCase]) -> tuple[str, tuple[str, ...]]:
    """One word for all cases, and what decides where they do not agree."""
    worst = max(base, key=rank)
    here = [case for case in base if case.weather == worst.weather]
    depends = []
    if len({case.meets for case in here}) > 1:
        depends.append("orientation")
    by_weather = {case.weather: all(c.meets for c in base if c.weather == case.weather) for case in base}
    if len(set(by_weather.values())) > 1:
        depends.append("weather city")
    depends += [case.varied for case in varied if case.meets != worst.meets]
    if depends:
        return DEPENDS, tuple(dict.fromkeys(depends))
    return (MEETS if worst.meets else FAILS), ()


def _water(wall: SimulatedWall, worst: Lane, year: WeatherYear) -> tuple[tuple[Recovery, ...], ToleratedLeak | None]:
    """Both recoveries and the tolerated leak."""
    from specgen.checks.transient_lanes import lanes
    from specgen.checks.transient_water import recovery, tolerated_leak, water_tests

    if worst.run.storing is None:
        return (), None
    runs = lanes(wall, water_tests(worst.choices), year, spread=True)
    dry, *wet = runs[:3]
    return tuple(recovery(wall, dry, one) for one in wet), tolerated_leak(wall, [dry, *runs[3:]])


def _ran(wall: SimulatedWall, case: TransientCase) -> str:
    masonry = {
        "hollow": "block as shells and core and as one equivalent layer, of which the shells came out wetter",
        "equivalent": "block as shells and core and as one equivalent layer, of which the one layer came out wetter",
        "solid": "between members" if wall.reading.framed else "solid masonry",
        "grouted": "at a grouted cell",
    }[case.cells]
    return f"three years of one weather, {masonry}; 1 % of the driving rain leaks to the drained plane"


def _governing(wall: SimulatedWall, lane: Lane, case: TransientCase) -> Governing:
    """Days of the last year at the governing plane."""
    import numpy as np

    from specgen.checks.transient_lanes import HOURS, Array, governing_probe, mold_series
    from specgen.checks.transient_surfaces import surfaces

    probe = governing_probe(wall, lane, case)

    def days(series: Array) -> tuple[float, ...]:
        return tuple(float(f"{value:.5g}") for value in series[-HOURS:].reshape(-1, 24).mean(axis=1))

    index = mold_series(lane.run, lane.result, surfaces(wall.wall, lane.run)).get(probe) if case.plane else None
    return Governing(
        temperature=days(lane.result.temperature[:, probe]),
        humidity=days(np.minimum(lane.result.relative_humidity[:, probe], 1.0)),
        index=() if index is None else days(index),
        layers=tuple(
            (wall.wall.layers[layer].id, days(lane.result.layer_mass[:, number]))
            for number, layer in enumerate(lane.run.layers)
            if not lane.run.problem.layers[number].air_space
        ),
    )
