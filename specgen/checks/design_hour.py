"""Sun on a rain-wet wall: does vapor driven inward condense at the first closed layer that it meets?

Steady heat and vapor at the warmest hour of a clear design day, damped by the heat that the cladding itself stores; or
over that day where masonry stands between the wet cladding and what is judged, since masonry spreads the sun over the
day. Left out: stored moisture, air movement through the wall, cooling by the air that passes a ventilated gap; each
would make the answer milder.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache, cached_property, lru_cache
from itertools import accumulate

from specgen import units
from specgen.checks import makeup
from specgen.checks.layer_options import layer_options
from specgen.checks.layers import Reading, VaporPlane, drains, hot_humid, name_of
from specgen.checks.once import once
from specgen.checks.resistances import film
from specgen.checks.rules import ERROR, WARNING, Case
from specgen.data import load_table
from specgen.errors import NotComputableError
from specgen.model.climate import CityClimate, MonthClimate
from specgen.model.design_hour import DesignHour, HourPlane
from specgen.model.finding import Finding
from specgen.physics import air_layers, heat, sun_drive, vapor
from specgen.physics.air import saturation_pressure
from specgen.physics.condensation import DRY_BELOW, WET_ABOVE

ROUNDS = 12  # most, of permeance against humidity
SIDES = {"N": "north", "E": "east", "S": "south", "W": "west"}
SETTLED = 1e-4  # change of relative humidity that ends them [-]
FULL = 1 - 1e-6  # relative humidity at which water condenses
SAME_TEMPERATURE = 0.02  # planes closer than this have no insulation between [K]
TIGHT = 1e-6 * units.PERM  # metal and glass; keeps a resistance finite [kg/(m²·s·Pa)]


@dataclass(frozen=True, slots=True)
class Room:
    temperature: float  # [°C]
    humidity: float  # 0..1

    @property
    def pressure(self) -> float:
        return self.humidity * saturation_pressure(self.temperature)


@dataclass(frozen=True, slots=True)
class Color:
    name: str
    absorptance: float


class WetWall:
    """One wall as the sun-driven vapor meets it: where the water is, what lies on its way to the room."""

    def __init__(self, reading: Reading) -> None:
        self.reading = reading
        self.layers = reading.layers

    @cached_property
    def wet(self) -> bool:
        """The cladding stores rain."""
        return bool(self.reading.reservoir)

    @cached_property
    def source(self) -> int:
        """Innermost layer of the wet cladding; of a cladding that stores none, the layer before the space behind it."""
        if self.wet:
            return self.reading.reservoir[-1]
        return max(self.gap_index - 1, -1)

    @cached_property
    def gap_index(self) -> int:
        """The space behind the cladding, -1 if there is none."""
        start = self.reading.reservoir[-1] + 1 if self.wet else 0
        return next((i for i in range(start, self.reading.body.start) if self._is_gap(i)), -1)

    def _is_gap(self, index: int) -> bool:
        layer = self.layers[index]
        return (
            makeup.is_open_both_ends(layer)
            or (drains(layer) and layer.main_material is None)
            or (drains(layer) and layer.material is not None and makeup.is_mere_gap(layer.material))
        )

    @cached_property
    def gap(self) -> str:
        if self.gap_index < 0:
            return "none"
        return "ventilated" if makeup.is_open_both_ends(self.layers[self.gap_index]) else "drained"

    @cached_property
    def first(self) -> int:
        """First layer that vapor has to cross: the one inboard of the wet face, or of the ventilated gap."""
        return (self.gap_index if self.gap == "ventilated" else self.source) + 1

    @cached_property
    def control(self) -> int:
        """The water-control layer: the outermost one inboard of the wet face, else the wet cladding itself."""
        found = self.reading.water_layers(range(self.first, len(self.layers)))
        return found[0] if found else self.source

    @cached_property
    def candidates(self) -> tuple[int, ...]:
        """Places in `planes` of what is class I or II inboard of the water-control layer."""
        rows = enumerate(self.planes)
        return tuple(k for k, p in rows if p.known and p.index > self.control and p.retarder_class in ("I", "II"))

    @cached_property
    def inboard(self) -> int:
        """Place in `planes` of the first one inboard of the water-control layer."""
        return next((k for k, p in enumerate(self.planes) if p.index > self.control), 0)

    @cached_property
    def control_closed(self) -> bool:
        planes = [p for p in self.reading.planes if p.index == self.control and p.known]
        return any(p.retarder_class in ("I", "II") for p in planes)

    @cached_property
    def over_the_day(self) -> bool:
        """Masonry that is no part of the cladding spreads the sun: a mass wall's own."""
        return not self.reading.framed and makeup.mass_layer(self.reading.wall) is not None

    @cached_property
    def resistances(self) -> tuple[float, ...]:
        """Of each layer in the path between members; a gap that outdoor air runs through counts as still. [m²·K/W]"""
        found = []
        for layer in self.layers:
            if makeup.is_open_both_ends(layer):
                depth = layer.cavity.depth if layer.cavity and layer.cavity.depth else layer.depth
                found.append(air_layers.air_layer_resistance(depth))
            else:
                found.append(max(option.resistance.resistance for option in layer_options(layer)))
        return tuple(found)

    @cached_property
    def time_constant(self) -> float:
        """Of the cladding: its heat capacity over the coefficients to outdoors and to the wall behind. [s]"""
        clad = range(self.source + 1)
        capacity = sum(
            heat.heat_capacity(layer.depth, m.density.value, m.specific_heat.value)
            for layer in (self.layers[i] for i in clad)
            if (m := layer.material) and m.density and m.specific_heat and layer.framing is None
        )
        behind = 1 / max(sum(self.resistances[self.source + 1 :]), 0.1)
        outside: float = load_table("design_hour")["exterior_coefficient"]["value"]
        return capacity / (outside + behind)

    @cached_property
    def planes(self) -> tuple[VaporPlane, ...]:
        """What vapor crosses, wet face to room; a layer without a known permeance counts as open."""
        return tuple(p for p in self.reading.planes if p.index >= self.first)


def design_hours(case: Case) -> tuple[DesignHour, ...]:
    """The design hour of one wall in every city that stands for its site; the governing one first.

    Raises
    ------
    NotComputableError
        If a layer yields no resistance, or no layer of the wall has a permeance.
    """
    wall = _wet_wall(case.reading)
    order = {"does not meet": 0, "depends on": 1, "meets": 2}
    found = [design_hour(wall, city) for city in case.site.cities]
    return tuple(sorted(found, key=lambda h: (order[h.verdict], -(h.judged_worst or 0.0), -h.source_pressure)))


_wet_wall = once(WetWall)  # the same at every site


def design_hour(wall: WetWall, city: CityClimate) -> DesignHour:
    """The design hour of one wall in one city: base case in full, and the verdict over all colors and rooms.

    Raises
    ------
    NotComputableError
        If a layer yields no resistance, or no layer of the wall has a permeance.

    Source
    ------
    ASHRAE Handbook of Fundamentals, sol-air temperature (from memory); ISO 13788:2012 flux law and tightest string
    (from memory). Conditions: `data/design_hour.yaml`.
    """
    if not any(0 < plane.dry < math.inf for plane in wall.planes):
        name = wall.reading.wall.name
        raise NotComputableError(f"wall {name!r}: no layer has a permeance, so no vapor flow is known")
    colors, rooms = _colors(), _rooms()
    color, room = colors[1], rooms[0]
    suns = {o: _sol_air(wall, city, color, o) for o in sun_drive.AZIMUTHS}
    orientation = max(suns, key=lambda o: (round(suns[o], 6), o))  # east and west tie over a day: west then
    at = {each.name: _sol_air(wall, city, each, orientation) for each in colors}
    base = _hour(wall, city, at[color.name], room)
    judged, closed = _judged(wall, base)
    humidity = 0.0 if judged is None else base.at_plane(judged, wall.inboard)
    found = {} if judged is None else _humidities(wall, city, at, judged, humidity)
    fails = {key: closed and value >= FULL for key, value in found.items()}
    verdict, depends = _verdict(fails, color.name, room)
    return DesignHour(
        city=city.title,
        orientation=orientation,
        color=color.name,
        spread="day" if wall.over_the_day else "hour",
        room_temperature=room.temperature,
        room_humidity=room.humidity,
        sol_air=at[color.name],
        wet=wall.wet,
        gap=wall.gap,
        source_temperature=base.source_temperature,
        source_pressure=base.source_pressure,
        planes=_named(wall, base),
        judged="" if judged is None else wall.layers[wall.planes[judged].index].id,
        judged_humidity=None if judged is None else humidity,
        judged_closed=closed,
        judged_permeance=None if judged is None else base.permeances[judged],
        judged_worst=None if judged is None else max(found.values()),
        control=wall.layers[wall.control].id if wall.control >= 0 else "",
        control_closed=wall.control_closed,
        inward=base.inward,
        verdict=verdict,
        depends_on=depends,
        orientations=tuple(suns.items()),
    )


@dataclass(frozen=True, slots=True)
class _Hour:
    source_temperature: float
    source_pressure: float
    temperatures: tuple[float, ...]  # at the outer face of each plane, and at the room surface
    pressures: tuple[float, ...]
    humidity: tuple[float, ...]
    condensing: tuple[float, ...]
    permeances: tuple[float, ...]  # of each plane at its humidity
    inward: float

    def at_plane(self, plane: int, outermost: int) -> float:
        """Humidity at a plane: films that lie on one another without insulation between are one, at its outer face."""
        first = plane
        while first > outermost and abs(self.temperatures[first - 1] - self.temperatures[plane]) < SAME_TEMPERATURE:
            first -= 1
        return max(self.humidity[first : plane + 1])


@cache
def _colors() -> tuple[Color, ...]:
    return tuple(Color(row["name"], row["absorptance"]) for row in load_table("design_hour")["colors"])


@cache
def _rooms() -> tuple[Room, ...]:
    rows = load_table("design_hour")["rooms"]
    return tuple(Room((row["temperature"] - 32) * units.RANKINE, row["rh"] / 100) for row in rows)


def _humidities(
    wall: WetWall, city: CityClimate, at: dict[str, float], judged: int, base: float
) -> dict[tuple[str, Room], float]:
    """Humidity at the judged plane by color and room; all of them where the extremes do not agree."""
    colors, rooms = [color.name for color in _colors()], _rooms()
    coldest = min(rooms, key=lambda room: (room.temperature, -room.humidity))
    extremes = [(color, room) for color in (colors[0], colors[-1]) for room in (rooms[0], coldest)]
    found = {(colors[1], rooms[0]): base}
    found |= {key: _hour(wall, city, at[key[0]], key[1]).at_plane(judged, wall.inboard) for key in extremes}
    if len({value >= FULL for value in found.values()}) > 1:
        rest = [(color, room) for color in colors for room in rooms if (color, room) not in found]
        found |= {key: _hour(wall, city, at[key[0]], key[1]).at_plane(judged, wall.inboard) for key in rest}
    return found


def _judged(wall: WetWall, base: _Hour) -> tuple[int | None, bool]:
    """The first candidate still under 1 perm at the humidity that it meets; else the most humid one, which has opened.

    A facing or sheet that opens when it is wet lets the vapor on to the room: it is reported and does not fail.
    """
    if not wall.candidates:
        return None, False
    closed = [k for k in wall.candidates if base.permeances[k] < units.PERM * (1 - vapor.ROUNDING)]
    if closed:
        return closed[0], True
    return max(wall.candidates, key=lambda k: base.at_plane(k, wall.inboard)), False


def _sol_air(wall: WetWall, city: CityClimate, color: Color, orientation: str) -> float:
    """Of the warmest hour, or the mean of the day behind masonry. [°C]"""
    outdoor = _outdoors(city)
    sun = sun_drive.wall_sun(city.latitude, orientation)
    coefficient = load_table("design_hour")["exterior_coefficient"]["value"]
    if wall.over_the_day:
        day = sun_drive.sol_air(outdoor, sun, color.absorptance, coefficient)
        return math.fsum(day) / len(day)
    # the sum damped is the sum of both damped, and they are the same for all colors
    felt = [sun_drive.lagged(part, wall.time_constant) for part in (outdoor, sun)]
    return max(sun_drive.sol_air(felt[0], felt[1], color.absorptance, coefficient))


@lru_cache(maxsize=512)
def _outdoors(city: CityClimate) -> sun_drive.Day:
    return sun_drive.design_day(city.summer_design, _warmest(city).daily_range)


@lru_cache(maxsize=512)
def _warmest(city: CityClimate) -> MonthClimate:
    return max(city.months, key=lambda month: month.temperature)


def _hour(wall: WetWall, city: CityClimate, outer: float, room: Room) -> _Hour:
    """Heat and vapor through the wall under one sol-air temperature and one room."""
    outer_film = 1 / load_table("design_hour")["exterior_coefficient"]["value"]
    inner_film = film("us-interior", "interior film").resistance
    resistances = (outer_film, *wall.resistances, inner_film)
    faces = sun_drive.plane_temperatures(outer, room.temperature, resistances)[1:-1]  # faces[i]: outer face of layer i
    outdoor = _warmest(city).vapor_pressure
    wet_face = faces[wall.source + 1]
    source = saturation_pressure(wet_face) if wall.wet else outdoor
    if wall.wet and wall.gap == "ventilated":
        source = _gap_pressure(wall, source, outdoor, wet_face)
    at = [faces[plane.index + (1 if plane.facing else 0)] for plane in wall.planes] + [faces[-1]]
    permeances = [plane.wet for plane in wall.planes]
    ceiling = [saturation_pressure(temperature) for temperature in at]
    humidity: list[float] = []
    for _ in range(ROUNDS):
        before = humidity
        pressures, condensing, inward = sun_drive.driven_pressures(source, room.pressure, permeances, ceiling)
        humidity = [pressure / top for pressure, top in zip(pressures, ceiling, strict=True)]
        permeances = [_between_cups(*row) for row in zip(wall.planes, humidity, humidity[1:], strict=False)]
        if before and max(abs(a - b) for a, b in zip(humidity, before, strict=True)) < SETTLED:
            break
    rows = tuple(at), tuple(pressures), tuple(humidity), tuple(condensing), tuple(permeances)
    return _Hour(wet_face, source, *rows, inward)


def _gap_pressure(wall: WetWall, wet_face: float, outdoor: float, temperature: float) -> float:
    table = load_table("design_hour")
    layer = wall.layers[wall.gap_index]
    behind = "brick" if wall.reading.veneer is not None else "other"
    row = next(row for row in table["ventilation"] if row["behind"] == behind)
    depth = layer.cavity.depth if layer.cavity and layer.cavity.depth else layer.depth
    coefficient = table["gap_coefficient"]["value"]
    return sun_drive.gap_pressure(wet_face, outdoor, coefficient, row["air_changes"] / 3600, depth, temperature)


def _between_cups(plane: VaporPlane, outer: float, inner: float) -> float:
    """Permeance at the mean humidity of the two faces, between dry and wet cup."""
    share = ((outer + inner) / 2 - DRY_BELOW) / (WET_ABOVE - DRY_BELOW)
    if math.isinf(plane.dry):
        return plane.dry
    return float(max(TIGHT, plane.dry + (plane.wet - plane.dry) * min(1.0, max(0.0, share))))


def _named(wall: WetWall, hour: _Hour) -> tuple[HourPlane, ...]:
    resisted = (0.0 if math.isinf(p) else vapor.equivalent_air_thickness(p) for p in hour.permeances)
    starts = [0.0, *accumulate(layer.depth for layer in wall.layers)]
    planes, ids = wall.planes, [layer.id for layer in wall.layers]
    outer = [ids[planes[0].index - 1] if planes[0].index else "", *(ids[p.index] for p in planes)]
    inner = [*(ids[p.index] for p in planes), ""]
    where = [starts[p.index + (1 if p.facing else 0)] for p in planes] + [starts[-1]]
    sd = accumulate(resisted, initial=0.0)
    values = (hour.temperatures, hour.pressures, hour.humidity, hour.condensing)
    return tuple(HourPlane(*row) for row in zip(outer, inner, *values, sd, where, strict=True))


def _verdict(fails: dict[tuple[str, Room], bool], color: str, room: Room) -> tuple[str, tuple[str, ...]]:
    """Over all colors and rooms; where they disagree, the inputs that alone turn the base case."""
    base = fails.get((color, room), False)
    if not fails or len(set(fails.values())) == 1:
        return ("does not meet" if base else "meets"), ()
    turned = []
    if any(fails[other, room] != base for other, _ in fails):
        turned.append("color")
    if any(fails[color, r] != base for _, r in fails if r.humidity == room.humidity):
        turned.append("room temperature")
    if any(fails[color, r] != base for _, r in fails if r.temperature == room.temperature):
        turned.append("room humidity")
    return "depends on", tuple(turned) or ("color", "room temperature", "room humidity")


def design_hour_findings(case: Case, hour: DesignHour) -> Iterator[Finding]:
    """M50: condensation on the judged layer, an error in hot-humid zones; M51: only with some colors or rooms."""
    if not hour.judged or hour.verdict == "meets":
        return
    index = next(i for i, layer in enumerate(case.reading.layers) if layer.id == hour.judged)
    name = name_of(case.reading.layers[index])
    wet = "sun on the rain-wet cladding" if hour.wet else "warm outdoor air"
    where = f"{hour.city}, wall facing {SIDES[hour.orientation]}"
    if hour.verdict == "does not meet":
        message = (
            f"{wet} condenses vapor on {name} with every color and room that was tried ({where}); let nothing of class "
            f"I or II stand inboard of the water-control layer, or keep the vapor out with a closed, drained one."
        )
        severity = ERROR if hot_humid(case.site) else WARNING  # colder zones: the codes allow the layer, for the winter
        yield case.finding("M50", severity, message, index)
        return
    message = (
        f"{wet} brings {name} to {hour.judged_humidity or 0:.0%} relative humidity in the base case and condenses "
        f"there in others ({where}); it depends on {' and '.join(hour.depends_on)}."
    )
    if hour.judged_humidity is not None and hour.judged_humidity >= FULL:
        message = (
            f"{wet} condenses vapor on {name} in the base case and not in others ({where}); it depends on "
            f"{' and '.join(hour.depends_on)}."
        )
    yield case.finding("M51", WARNING, message, index)
