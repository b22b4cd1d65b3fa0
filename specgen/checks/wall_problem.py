"""A wall in a climate as the simulation wants it: plain layers, sheets on their faces, air that passes a gap, probes.

Framed walls are run between members. Hollow block is run as face shell, core and face shell, as one equivalent layer,
or grouted; the caller says which. Coatings, membranes and sheets lie on faces and store nothing; one that opens
threefold or more when wet becomes a thin layer, since its resistance has to follow the humidity.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import TYPE_CHECKING, Literal

from specgen import units
from specgen.checks import makeup
from specgen.checks.layer_options import layer_options
from specgen.checks.layers import Reading, VaporPlane, planes_of
from specgen.checks.masonry_units import web_geometry
from specgen.checks.moisture_materials import Range, air, sheet_layer, simulated
from specgen.checks.moisture_ranges import spread
from specgen.data import load_table
from specgen.errors import NotComputableError
from specgen.model.material import Material
from specgen.model.wall import Layer
from specgen.physics import air_layers

if TYPE_CHECKING:
    from specgen.physics.room import Winter
    from specgen.physics.transient import properties
    from specgen.physics.transient.problem import Problem
    from specgen.physics.weather import WeatherYear

Cells = Literal["hollow", "equivalent", "grouted", "solid"]

SHEET_KINDS = ("coating", "membrane", "sheet", "wall-covering", "lath", "metal")
OPENS = 3.0  # wet over dry permeance from which a sheet is run as a layer
SHEET_DEPTH = 0.0005  # of such a layer [m]
WET_APPLIED = ("stucco", "mortar", "plaster", "concrete", "block", "adhered-veneer")  # begin with construction water
START, START_MASONRY = 0.80, 0.90  # relative humidity: EMC80, concrete EMC90; ASHRAE 160 (from memory)
CONVECTION = 12.0  # exterior, wind of some 2 m/s at the wall [W/(m²·K)] (common practice)
EXTERIOR = 17.0  # with long-wave radiation [W/(m²·K)], ASHRAE (from memory)
LEWIS = 7.0e-9  # vapor over convective coefficient [(s/m)/(W/(m²·K))] (from memory)
EMITTANCE = 0.9
LEAK = 0.01  # share of the driving rain that passes the cladding; ASHRAE 160 (from memory)
MASONRY = (*WET_APPLIED, "brick", "tile")
DEPOSIT_DEPTH = 0.025  # of masonry that a leak wets [m] (our choice)
SAME = 1e-9


@dataclass(frozen=True, slots=True)
class Choices:
    """What a run is made with; everything that the verdict varies."""

    orientation: str = "N"
    absorptance: float = 0.70
    cooling: float = 75.0  # room while cooling [°F]
    humidity_cooled: float = 0.60
    winter: Winter = "simplified"  # whose rule holds while the room is not cooled
    uptake: Range = "value"
    stored: Range = "value"  # water stored in humid air, of all layers
    permeance: Range = "value"  # of the layers named next
    permeance_of: tuple[int, ...] = ()  # index into wall.layers
    ventilation: float = 1.0  # factor on the air change of ventilated gaps
    start: Literal["usual", "wet"] = "usual"
    exposure: str = "medium"
    leak: float = LEAK  # share of the driving rain, at the face of the water-control layer
    wetted: Literal["", "oct", "apr"] = ""  # 1 kg/m² into the first storing layer inboard of the drained plane
    inboard_leak: float = 0.0  # share of the driving rain put into that same layer
    cells: Cells = "hollow"
    air_leak: float = 0.0  # of room air through the wall's inner side to the sheathing [m³/(m²·s)]


@dataclass(frozen=True)
class Run:
    """A problem and how its layers and probes belong to the wall."""

    problem: Problem
    layers: tuple[int, ...]  # index into wall.layers of each simulated layer
    probes: tuple[tuple[int, float], ...]  # (simulated layer, 0 outer or 1 inner face) of each probe
    storing: int | None  # simulated layer that a leak inboard of the drained plane wets
    depth: float | None  # of it, from its outer face, that such a leak wets [m]
    drained: int  # simulated layers from this one on lie inboard of the drained plane


@dataclass
class _Parts:
    """Simulated layers and the sheets between them while a wall is read."""

    layers: list[tuple[int, Material | None, float, float, VaporPlane | None]] = field(default_factory=list)
    solid: list[float] = field(default_factory=list)  # share of each layer that its material fills
    resistance: list[float] = field(default_factory=lambda: [0.0])
    liquid_open: list[bool] = field(default_factory=lambda: [True])

    def add(
        self,
        index: int,
        material: Material | None,
        depth: float,
        r: float,
        plane: VaporPlane | None,
        solid: float = 1.0,
    ) -> None:
        self.layers.append((index, material, depth, r, plane))
        self.solid.append(solid)
        self.resistance.append(0.0)
        self.liquid_open.append(True)

    def sheet(self, resistance: float, liquid_open: bool) -> None:
        self.resistance[-1] += resistance
        self.liquid_open[-1] = self.liquid_open[-1] and liquid_open


class SimulatedWall:
    """One wall, ready to be run with any choices in any weather."""

    def __init__(self, reading: Reading) -> None:
        self.reading = reading
        self.wall = reading.wall
        self._materials: dict[tuple[object, ...], properties.Material] = {}

    @cached_property
    def masonry(self) -> tuple[Cells, ...]:
        """The ways in which the masonry of this wall is run: one for solid masonry and frames."""
        layer = self._hollow
        if layer is None:
            return ("solid",)
        grouted = layer.unit is not None and layer.unit.grout is not None
        return ("hollow", "equivalent", "grouted") if grouted else ("hollow", "equivalent")

    @cached_property
    def _hollow(self) -> Layer | None:
        return next((layer for layer in self.wall.layers if layer.unit and makeup.is_hollow(layer)), None)

    @cached_property
    def control(self) -> int | None:
        """The outermost water-control layer that is not the cladding's own coat, None if the masonry takes the rain."""
        clad = self.reading.reservoir[-1] if self.reading.reservoir else -1
        found = self.reading.water_layers(range(clad + 1, self.reading.structure))
        return found[0] if found else None

    def parts(self, choices: Choices) -> _Parts:
        """The wall's layers for one way of running its masonry.

        Parameters
        ----------
        choices : Choices
            Its masonry and its permeances count.

        Raises
        ------
        NotComputableError
            If a layer has neither a moisture set nor a permeance, or no thickness.
        """
        found = _Parts()
        for index, layer in enumerate(self.wall.layers):
            self._layer(found, index, layer, choices)
        if not found.layers:
            raise NotComputableError(f"wall {self.wall.name!r} has no layer that stores moisture")
        return found

    def _layer(self, found: _Parts, index: int, layer: Layer, choices: Choices) -> None:
        body = layer.material or layer.fill
        planes = _planes(layer, index, choices)
        if layer.unit and makeup.is_hollow(layer) and layer.material:
            self._block(found, index, layer, planes[0], choices.cells)
            return
        if body is None or makeup.is_mere_gap(body) or (layer.framing and layer.fill is None and not layer.material):
            found.add(index, None, layer.depth, self._resistance(layer), None)
            return
        if body.kind in SHEET_KINDS and not layer.framing:
            self._sheet(found, index, layer, body, planes)
            return
        if not layer.thickness:
            raise NotComputableError(f"layer {layer.id!r}: {body.id} has no thickness, so it cannot be simulated")
        found.add(index, body, layer.thickness, self._resistance(layer), planes[0])
        for plane in planes[1:]:  # the facing of a batt
            found.sheet(_resistance_of(plane), False)

    def _sheet(self, found: _Parts, index: int, layer: Layer, body: Material, planes: tuple[VaporPlane, ...]) -> None:
        for plane in planes:
            if not plane.known and body.kind not in ("lath", "metal"):
                raise NotComputableError(f"layer {layer.id!r}: {body.id} has no permeance; enter its tested value")
            if plane.known and plane.dry > 0 and plane.wet / plane.dry >= OPENS:
                found.add(index, body, max(layer.depth, SHEET_DEPTH), 0.0, plane)
                found.liquid_open[-1] = False
                found.liquid_open[-2] = False
                continue
            open_to_liquid = body.kind == "lath" or not (
                body.water_barrier or body.film_forming or body.kind in ("membrane", "sheet", "wall-covering", "metal")
            )
            found.sheet(_resistance_of(plane), open_to_liquid)

    def _block(self, found: _Parts, index: int, layer: Layer, plane: VaporPlane, cells: Cells) -> None:
        assert layer.material and layer.thickness
        material, depth = layer.material, layer.thickness
        geometry = web_geometry(layer, layer.unit) if layer.unit else None
        resistance = self._resistance(layer)
        if cells in ("grouted", "solid") or geometry is None:
            found.add(index, material, depth, resistance, plane)
            return
        shell, webs, core = geometry
        if cells == "equivalent":  # stores no more water than the unit's shells and webs do
            found.add(index, material, depth, resistance, plane, (2 * shell + webs * core) / depth)
            return
        conductivity = _conductivity(material)
        # The permeance of the whole unit falls to its two shells; air in the core adds nothing to it.
        half = VaporPlane(index, 2 * plane.dry, 2 * plane.wet)
        found.add(index, material, shell, shell / conductivity, half)
        found.add(index, None, core, max(resistance - 2 * shell / conductivity, 0.05), None)
        found.add(index, material, shell, shell / conductivity, half)

    def _resistance(self, layer: Layer) -> float:
        """In the path between members; an open gap counts as still air, a mat as nothing but its air. [m²·K/W]"""
        if makeup.is_open_both_ends(layer) or (layer.material and makeup.is_mere_gap(layer.material)):
            depth = layer.cavity.depth if layer.cavity and layer.cavity.depth else layer.depth
            return air_layers.air_layer_resistance(max(depth, 0.003))
        options = layer_options(layer)
        return max(option.resistance.resistance for option in options)

    def run(self, choices: Choices, weather: WeatherYear, years: int = 1) -> Run:
        """The problem for one set of choices.

        Parameters
        ----------
        choices : Choices
            Orientation, room, material values, leak and start.
        weather : WeatherYear
            Repeated year by year.
        years : int
            Length of the series, >= 1.

        Raises
        ------
        NotComputableError
            As for `parts`; also if a material has no density.
        """
        from specgen.checks.boundary import climate_of
        from specgen.physics.transient.problem import AirExchange, Probe, Problem, Sheet, Wetting
        from specgen.physics.transient.problem import Layer as Simulated

        parts = self.parts(choices)
        layers, exchanges, probes = [], [], []
        for number, (index, material, depth, resistance, plane) in enumerate(parts.layers):
            conductivity = depth / resistance if resistance > SAME else 1.0
            if material is None:
                layers.append(Simulated(air(conductivity), depth, True, 20.0, START))
                flow = self.air_flow(index) * choices.ventilation
                if flow > 0:
                    exchanges.append(AirExchange(number, flow))
            else:
                made = self._material(
                    material, plane or _open(index), depth, conductivity, choices, parts.solid[number]
                )
                layers.append(Simulated(made, depth, False, 20.0, _start(material, choices)))
            probes += [(number, 0.0), (number, 1.0)]
        storing, drained = self._storing(parts)
        if choices.air_leak > 0 and storing is not None:
            exchanges += [AirExchange(storing, choices.air_leak, from_inside=True)]
        where = tuple(part[0] for part in parts.layers)
        wetting = self._wetting(parts, choices, storing)
        sheets = tuple(
            Sheet(vapor_resistance=r, liquid_open=o) for r, o in zip(parts.resistance, parts.liquid_open, strict=True)
        )
        problem = Problem(
            layers=tuple(layers),
            climate=climate_of(choices, weather, years),
            sheets=sheets,
            exchanges=tuple(exchanges),
            wetting=tuple(Wetting(layer, depth) for layer, depth in wetting),
            probes=tuple(Probe(layer, place) for layer, place in probes),
        )
        wetted = None if storing is None else _leak_depth(parts, storing)
        return Run(problem, where, tuple(probes), storing, wetted, drained)

    def _material(
        self, body: Material, plane: VaporPlane, depth: float, conductivity: float, choices: Choices, solid: float
    ) -> properties.Material:
        """What a layer is made of; made once for all runs in which it is the same."""
        key = body.id, plane, depth, conductivity, choices.uptake, choices.stored, solid
        if key not in self._materials:
            self._materials[key] = (
                sheet_layer(body, plane, depth)
                if body.kind in SHEET_KINDS
                else simulated(body, plane, depth, conductivity, choices.uptake, choices.stored, solid)
            )
        return self._materials[key]

    def air_flow(self, index: int) -> float:
        """Outdoor air through a gap open at bottom and top, per wall area. [m³/(m²·s)]

        Parameters
        ----------
        index : int
            Of the layer in the wall.
        """
        layer = self.wall.layers[index]
        if not makeup.is_open_both_ends(layer):
            return 0.0
        behind = "brick" if self.reading.veneer is not None else "other"
        row = next(row for row in load_table("design_hour")["ventilation"] if row["behind"] == behind)
        depth = layer.cavity.depth if layer.cavity and layer.cavity.depth else layer.depth
        return float(row["air_changes"]) / 3600 * depth

    def _storing(self, parts: _Parts) -> tuple[int | None, int]:
        """First storing layer inboard of the drained plane, and the first layer of all inboard of it."""
        plane = self.control if self.control is not None else self.reading.structure - 1
        inboard = [n for n, (index, *_) in enumerate(parts.layers) if index > plane]
        for number in inboard:
            material = parts.layers[number][1]
            if material and (material.absorptive or material.moisture_sensitive or material.wood_based):
                return number, inboard[0]
        return None, inboard[0] if inboard else len(parts.layers)

    def _wetting(self, parts: _Parts, choices: Choices, storing: int | None) -> list[tuple[int, float]]:
        """Where the deposit goes: a test's water into the storing layer, else the leak to the drained face."""
        if choices.wetted or choices.inboard_leak > 0:
            return [] if storing is None else [(storing, _leak_depth(parts, storing))]
        if choices.leak <= 0:
            return []
        if self.control is None:  # no layer drains: into the block behind the stucco
            number = next(n for n, (index, *_) in enumerate(parts.layers) if index >= self.reading.structure)
            return [(number, min(DEPOSIT_DEPTH, parts.layers[number][2]))]
        # Water at a drained face runs down in the nearest space; what stands there is wetted only if it can drink.
        for number in reversed([n for n, (index, *_) in enumerate(parts.layers) if index < self.control]):
            material = parts.layers[number][1]
            if material is None or material.absorptive or material.moisture_sensitive:
                return [(number, parts.layers[number][2])]
        return []


def _leak_depth(parts: _Parts, number: int) -> float:
    """All of a sheathing, the outer inch of masonry, where water that gets past what drains arrives."""
    _, material, thickness, *_ = parts.layers[number]
    return min(DEPOSIT_DEPTH, thickness) if material and material.kind in MASONRY else thickness


def _planes(layer: Layer, index: int, choices: Choices) -> tuple[VaporPlane, ...]:
    """Vapor planes of a layer, at one end of its range where that is what is varied."""
    planes = planes_of(layer, index)
    found = spread(layer) if index in choices.permeance_of else None
    if found is None:
        return planes
    dry, wet = found.factors(choices.permeance)
    *others, last = planes  # of a faced batt the facing
    return (*others, replace(last, dry=last.dry * dry, wet=max(last.wet * wet, last.dry * dry)))


def _start(material: Material, choices: Choices) -> float:
    wet = material.kind in WET_APPLIED
    if choices.start == "wet":
        return 0.98 if wet else 0.90
    return START_MASONRY if wet else START


def _open(index: int) -> VaporPlane:
    return VaporPlane(index, math.inf, math.inf, known=False)


def _resistance_of(plane: VaporPlane) -> float:
    """Between dry and wet cup; a sheet stands in neither all year. [m²·s·Pa/kg]"""
    if math.isinf(plane.dry):
        return 0.0
    return 1 / max((plane.dry + plane.wet) / 2, 1e-4 * units.PERM)


def _conductivity(material: Material) -> float:
    if material.conductivity is not None:
        return material.conductivity.value
    if material.density is not None:
        from specgen.physics.masonry import concrete_conductivity

        return concrete_conductivity(material.density.value)
    raise NotComputableError(f"material {material.id!r} has neither conductivity nor density")
