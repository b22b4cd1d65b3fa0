"""Vapor by design month: does water gather in the wall through a year, where, and does it dry out again?

The path between members, from the innermost open gap or the outdoor air to the room; every room model in every city
that stands for the site. Left out, as the method leaves it out: sun, rain, stored moisture, moving air.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import cached_property, lru_cache, partial
from itertools import accumulate
from typing import Any

from specgen import units
from specgen.checks import makeup
from specgen.checks.layers import Reading, name_of, wettable
from specgen.checks.once import once
from specgen.checks.rooms import Room, months_of, rooms
from specgen.checks.rules import ERROR, NOTE, WARNING, Case
from specgen.data import load_table
from specgen.data import source as cite
from specgen.errors import NotComputableError
from specgen.model.assessment import ThermalResult
from specgen.model.climate import MONTH_NAMES, CityClimate
from specgen.model.finding import Finding
from specgen.model.material import Material
from specgen.model.moisture import (
    DRIES,
    DRY,
    OUNCE_PER_SQUARE_FOOT,
    STAYS,
    MonthlyResult,
    MonthlyRun,
    MonthResult,
    PlaneMonth,
    PlaneMonths,
)
from specgen.physics import vapor
from specgen.physics.air import saturation_pressure
from specgen.physics.condensation import Element, Ladder, Month, Plane, needed_factor
from specgen.physics.condensation_year import Year, run_year

TIGHT = 1e-6 * units.PERM  # metal and glass; keeps a resistance finite [kg/(m²·s·Pa)]


class VaporPath:
    """What vapor crosses between members, as the monthly method wants it."""

    def __init__(self, reading: Reading, thermal: ThermalResult) -> None:
        self.reading = reading
        self.thermal = thermal
        gap = makeup.ventilated_gap(reading.wall)
        self.open_gap = gap is not None
        self.first = 0 if gap is None else gap + 1
        self.planes = tuple(p for p in reading.planes if p.index >= self.first)
        self.starts = (0.0, *accumulate(layer.depth for layer in reading.layers))
        if not self.planes:
            raise NotComputableError(f"wall {reading.wall.name!r} has no layer inside of its open gap")

    @cached_property
    def ladder(self) -> Ladder:
        """Elements and films."""
        films = load_table("monthly_moisture")["films"]
        outer = films["interior" if self.open_gap else "exterior"]["value"]
        return Ladder(self.elements, outer, films["interior"]["value"])

    @cached_property
    def elements(self) -> tuple[Element, ...]:
        """Each vapor plane with the heat resistance of its layer; a batt's facing has none of its own."""
        resisted = self._resisted
        found = []
        for mark, plane in enumerate(self.planes):
            resistance = 0.0 if plane.facing else resisted.get(self.reading.layers[plane.index].id, 0.0)
            found.append(Element(resistance, _sd(plane.dry), _sd(plane.wet), mark))
        return tuple(found)

    @cached_property
    def _resisted(self) -> dict[str, float]:
        """R of each layer on the path that resists most, which is the one between members. [m²·K/W]"""
        path = max(self.thermal.paths, key=lambda p: p.total)
        found: dict[str, float] = {}
        for part in path.resistances:
            found[part.layer] = found.get(part.layer, 0.0) + part.resistance
        return found

    @cached_property
    def factor(self) -> tuple[float, str]:
        """f_Rsi of the path that resists least, with its name: one-dimensional, so a corner is colder still."""
        table = load_table("monthly_moisture")["films"]
        inside = {layer.id for layer in self.reading.layers[self.first :]}
        least, name = math.inf, ""
        for path in self.thermal.paths:
            layers = sum(part.resistance for part in path.resistances if part.layer in inside)
            if layers < least:
                least, name = layers, path.name
        outer = table["interior" if self.open_gap else "exterior"]["value"]
        mold = table["mold"]["value"]
        return 1 - mold / (least + outer + mold), name

    @property
    def unknown(self) -> tuple[str, ...]:
        return tuple(self.reading.layers[p.index].id for p in self.planes if not p.known)

    def layer_of(self, mark: int) -> str:
        return "" if mark < 0 else self.reading.layers[self.planes[mark].index].id

    def position(self, plane: Plane) -> float:
        """From the exterior face of the wall. [m]"""
        if plane.outer < 0:
            return self.starts[self.first]
        if plane.within is None:
            return self.starts[self.planes[plane.outer].index + 1]
        start, end = self.starts[self.planes[plane.outer].index], self.starts[self.planes[plane.inner].index + 1]
        return start + (end - start) * plane.within

    def facing(self, plane: Plane) -> bool:
        marks = (plane.outer, plane.inner)
        return plane.within is None and any(mark >= 0 and self.planes[mark].facing for mark in marks)

    def title(self, plane: Plane) -> str:
        """`between Sheathing and Batt`, `within Batt`."""
        names = [
            "the outdoor air" if plane.outer < 0 else self._name(plane.outer),
            "the room" if plane.inner < 0 else self._name(plane.inner),
        ]
        if plane.within is not None or names[0] == names[1]:
            return f"within {names[0]}"
        return f"between {names[0]} and {names[1]}"

    def _name(self, mark: int) -> str:
        plane = self.planes[mark]
        name = name_of(self.reading.layers[plane.index])
        return f"the facing of {name}" if plane.facing else name

    def limit(self, plane: Plane) -> tuple[float, str]:
        """Most water that a plane may hold [kg/m²], and why: the tightest of what stands beside it."""
        table = load_table("monthly_moisture")["limits"]
        marks = (plane.outer, plane.inner)
        beside = [self.reading.layers[self.planes[mark].index] for mark in marks if mark >= 0]
        found: list[tuple[float, str]] = []
        for layer in beside:
            material = layer.material
            if material and material.wood_based and material.density and layer.thickness:
                share = table["wood_share" if material.kind == "wood" else "wood_based_share"]
                found.append((share / 100 * material.density.value * layer.thickness, f"{share} % of {name_of(layer)}"))
        if not any(layer.material and _drinks(layer.material) for layer in beside):
            found.append((table["not_absorbing"], "nothing beside it takes up water"))
        return min([*found, (table["general"], "general limit")])


vapor_path = once(VaporPath)  # the same at every site


def _sd(permeance: float) -> float:
    return 0.0 if math.isinf(permeance) else vapor.equivalent_air_thickness(max(permeance, TIGHT))


def _drinks(material: Material) -> bool:
    return bool(material.absorptive or material.moisture_sensitive or material.wood_based)


YearKey = tuple[tuple[Element, ...], bool, CityClimate, str]  # what a year hangs on: as `_year` takes it
Years = Mapping[YearKey, Year]


def monthly_result(case: Case, years: Years | None = None) -> MonthlyResult | None:
    """The monthly method for one wall at one site; None if no listed city stands for the site.

    Parameters
    ----------
    case : Case
        The wall, read with its thermal result, and the site.
    years : mapping, optional
        From `years.years_of`; a year that is not in it is computed here.

    Raises
    ------
    NotComputableError
        If the wall was read without its thermal result, or has no layer inside of its open gap.

    Source
    ------
    ISO 13788:2012 (from memory, with the parts named in `data/monthly_moisture.yaml` seen in transcriptions).
    """
    cities = case.site.cities
    if not cities:
        return None
    if case.thermal is None:
        raise NotComputableError(f"wall {case.reading.wall.name!r} was read without its thermal result")
    path = vapor_path(case.reading, case.thermal)
    factor, factor_path = path.factor
    found: dict[tuple[CityClimate, Room], Year] = {}
    for city in cities:
        for room in rooms():
            key = path.elements, path.open_gap, city, room.id
            found[city, room] = (years or {}).get(key) or _year(*key)
    runs = {key: _run(path, *key, year, factor) for key, year in found.items()}
    judged = {key: run for key, run in runs.items() if run.judged}
    worst = max(judged, key=lambda key: (round(judged[key].residual, 4), round(judged[key].peak, 4)))
    governing = runs[worst] = _with_planes(path, runs[worst], found[worst])
    surfaces = [(month, run) for run in judged.values() for month in run.months]
    surface, of_run = max(surfaces, key=lambda pair: _critical(pair[0]))
    table = load_table("monthly_moisture")
    return MonthlyResult(
        governing=governing,
        runs=tuple(runs.values()),
        factor=factor,
        factor_path=factor_path,
        surface=surface,
        surface_city=of_run.city,
        surface_room=of_run.room_title,
        unknown=path.unknown,
        method="ISO 13788 monthly method, path between members; a month is split where a plane dries",
        source=cite(table["source"])["title"],
        status=table["status"],
    )


def _critical(month: MonthResult) -> float:
    """The month that asks most of the surface governs; one without heating asks nothing."""
    return -math.inf if month.needed_factor is None else month.needed_factor


def _run(path: VaporPath, city: CityClimate, room: Room, year: Year, factor: float) -> MonthlyRun:
    where = max(range(len(year.most)), key=year.most.__getitem__)  # the plane that holds most at the end of some month
    held = year.most[where]
    plane = year.planes[where]
    limit, basis = path.limit(plane) if held > 0 else (None, "")
    verdict = DRY if not year.condenses else STAYS if year.residual > 0 else DRIES
    return MonthlyRun(
        city=city.title,
        room=room.id,
        room_title=room.title,
        judged=room.judged,
        start=year.order[0] + 1,
        months=tuple(_months(city, room, year, factor)),
        verdict=verdict,
        plane=(path.layer_of(plane.outer), path.layer_of(plane.inner)) if held > 0 else ("", ""),
        plane_title=path.title(plane) if held > 0 else "",
        limit=limit,
        limit_basis=basis,
        plane_peak=held,
    )


def _months(city: CityClimate, room: Room, year: Year, factor: float) -> Iterator[MonthResult]:
    airs, needed = airs_of(city, room.id)
    for month, gained, held in zip(year.order, year.gained, year.held, strict=True):
        air = airs[month]
        outdoors, outside, indoors, inside = air.exterior, air.exterior_pressure, air.interior, air.interior_pressure
        surface = outdoors + factor * (indoors - outdoors)
        humidity = min(1.0, inside / saturation_pressure(surface))
        yield MonthResult(month + 1, outdoors, outside, indoors, inside, humidity, needed[month], gained, held)


@lru_cache(maxsize=1024)
def airs_of(city: CityClimate, room_id: str) -> tuple[tuple[Month, ...], tuple[float | None, ...]]:
    """Air on both sides in each month of the calendar, and the f_Rsi that it asks for.

    Parameters
    ----------
    city : CityClimate
        The outdoor air.
    room_id : str
        Of the room model.
    """
    months = months_of(city, next(room for room in rooms() if room.id == room_id))
    limit = load_table("monthly_moisture")["surface_humidity"]["value"] / 100
    return months, tuple(needed_factor(month, limit) for month in months)


@lru_cache(maxsize=512)
def _year(elements: tuple[Element, ...], open_gap: bool, city: CityClimate, room_id: str) -> Year:
    films = load_table("monthly_moisture")["films"]
    outer = films["interior" if open_gap else "exterior"]["value"]
    return run_year(Ladder(elements, outer, films["interior"]["value"]), airs_of(city, room_id)[0])


def _with_planes(path: VaporPath, run: MonthlyRun, year: Year) -> MonthlyRun:
    profiles = _Profiles(path, year)
    months = [month._replace(planes=PlaneMonths(partial(profiles.of, step))) for step, month in enumerate(run.months)]
    return replace(run, months=tuple(months))


class _Profiles:
    """The planes of a wall by name, with what a year brings them month by month."""

    def __init__(self, path: VaporPath, year: Year) -> None:
        self._path, self._year = path, year

    @cached_property
    def _named(self) -> list[tuple[Any, ...]]:
        """Columns, in the order of `PlaneMonth`."""
        path = self._path
        rows = ((path.layer_of(p.outer), path.layer_of(p.inner), path.facing(p), path.position(p))
                for p in self._year.planes)  # fmt: skip
        return list(zip(*rows, strict=True))

    def of(self, step: int) -> tuple[PlaneMonth, ...]:
        state = self._year.months[step]
        columns = state.sd, state.temperatures, state.pressures, state.saturation, state.gained, state.held
        return tuple(map(PlaneMonth._make, zip(*self._named, *columns, strict=True)))


def monthly_findings(case: Case, result: MonthlyResult | None) -> Iterator[Finding]:
    """M40: water stays; M41: too much at one plane; M42: damp interior surface; M43: no city."""
    if result is None:
        why = case.site.city_remark or "no listed weather city stands for this site"
        yield case.finding("M43", NOTE, f"{why}; vapor by design month was not computed.")
        return
    run = result.governing
    index = _index(case, run)
    where = f"{run.plane_title} ({run.city}, {run.room_title})"
    if run.verdict == STAYS:
        message = f"water gathers {where} and {amount(run.residual)} is left after twelve months; {result.left_out}."
        yield case.finding("M40", ERROR if _harms(case, run) else WARNING, message, index)
    else:
        yield from _too_much(case, result)
    limit = load_table("monthly_moisture")["surface_humidity"]["value"] / 100
    month = result.surface
    if month.needed_factor is not None and result.factor < month.needed_factor:
        path = f" at {result.factor_path}" if len(case.thermal.paths if case.thermal else ()) > 1 else ""
        message = (
            f"the interior surface{path} reaches {month.surface_humidity:.0%} relative humidity in "
            f"{MONTH_NAMES[month.month - 1]} ({result.surface_city}, {result.surface_room}): "
            f"f_Rsi {result.factor:.2f}, {month.needed_factor:.2f} needed for {limit:.0%}."
        )
        yield case.finding("M42", WARNING, message)


def _harms(case: Case, run: MonthlyRun) -> bool:
    """Something beside the plane rots or feeds mold, or more is left each year than masonry passes on unharmed."""
    beside = [layer for layer in case.reading.layers if layer.id in run.plane]
    general = load_table("monthly_moisture")["limits"]["general"]
    return any(wettable(layer) for layer in beside) or run.residual > general


def _too_much(case: Case, result: MonthlyResult) -> Iterator[Finding]:
    """The limits belong to the load of a normal dwelling; over them at the design load of a house is a note."""
    over = [run for run in result.runs if run.limit is not None and run.plane_peak > run.limit]
    normal = [run for run in over if run.room == "class-2"]
    if not normal and not any(run.judged for run in over):
        return
    run = max(normal or [run for run in over if run.judged], key=lambda found: round(found.plane_peak, 4))
    load = "" if normal else "; at the load of a normal dwelling it stays under the limit"
    message = (
        f"{amount(run.plane_peak)} gathers {run.plane_title} ({run.city}, {run.room_title}) by the end of "
        f"{MONTH_NAMES[run.plane_month - 1]}, over {amount(run.limit or 0.0)} ({run.limit_basis}), "
        f"and dries again{load}; {result.left_out}."
    )
    yield case.finding("M41", WARNING if normal else NOTE, message, _index(case, run))


def _index(case: Case, run: MonthlyRun) -> int | None:
    """The layer outside of the plane, which is the one that gets wet; the inner one at the outdoor air."""
    name = run.plane[0] or run.plane[1]
    return next((i for i, layer in enumerate(case.reading.layers) if layer.id == name), None)


def amount(water: float) -> str:
    """Water on an area as it prints, two figures: `0.39 oz/ft² (120 g/m²)`.

    Parameters
    ----------
    water : float
        >= 0. [kg/m²]
    """
    return f"{_two_figures(water / OUNCE_PER_SQUARE_FOOT)} oz/ft² ({_two_figures(water * 1000)} g/m²)"


def _two_figures(value: float) -> str:
    text = f"{value:.2g}"
    return f"{float(text):.0f}" if float(text) >= 10 else text


__all__ = ["VaporPath", "Years", "airs_of", "amount", "monthly_findings", "monthly_result", "vapor_path"]
