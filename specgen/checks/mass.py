"""Daily heat storage of a whole wall: layers in, decrement factor, time lag and areal heat capacities out.

The figures are those of one path, the one that most of the wall takes: the cavity between studs or furring, the open
cells of block unless most cells are grouted. Members beside it are left out, as ISO 13786 knows plane layers only; the
framing fraction stays in U. A hollow block counts as an equal slab, with the resistance and the solids of that path.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from specgen import units
from specgen.checks import makeup, resistances
from specgen.checks.cooling_words import cooling_sentence
from specgen.checks.heat_paths import Crossing, Part, crossing
from specgen.checks.masonry_units import web_geometry
from specgen.model.assessment import Figure
from specgen.model.mass import MassResult, StoringLayer
from specgen.model.material import Material
from specgen.model.wall import Layer, Wall
from specgen.physics import heat, mass

METHOD = "ISO 13786 transfer matrices, period 24 h"
SOURCE = "ISO 13786, formulas from memory; checked by a second method"
HOUR = 3600.0  # [s]
DAY = 24  # [h]
WAVE_FORMULA = (
    "Y12 = 1/|Z12|, Z = product of the layers' matrices (cosh d, -R sinh(d)/d; -d sinh(d)/R, cosh d), "
    "d = (1 + i) sqrt(pi R C/24 h), from the room outward"
)


def mass_figures(wall: Wall) -> MassResult:
    """Decrement factor, time lag and areal heat capacities of the path that most of the wall takes.

    Raises
    ------
    NotComputableError
        If a resistance is missing for which nothing may be assumed; names the layer and the value.

    Source
    ------
    ISO 13786 (from memory); films and resistances as in the steady calculation.
    """
    way = crossing(wall)
    parts = [max(choices, key=lambda part: part.share) for choices in way.places]
    layers = tuple(_storing_layers(way, parts))
    found = _periodic(layers)
    steady = 1 / heat.series([layer.resistance for layer in layers])
    share = math.prod(part.share for part in parts)
    figures = MassResult(
        path=_path_name(parts),
        share=share,
        layers=layers,
        u_si=steady,
        admittance_inside_si=found.admittance_inside,
        admittance_outside_si=found.admittance_outside,
        periodic_transmittance_si=found.periodic_transmittance,
        decrement_factor=mass.decrement_factor(found.periodic_transmittance, steady),
        time_lag_h=found.time_lag / HOUR,
        areal_heat_capacity_inside_si=found.capacity_inside,
        areal_heat_capacity_outside_si=found.capacity_outside,
        damping_layer=_damping_layer(layers),
        sentence="",
        status=_status(way, parts),
        without_data=_without_data(way, parts),
        from_gap=wall.layers[way.gap].id if way.gap is not None else "",
    )
    return cooling_sentence(wall, figures)


def mass_record(wall: Wall) -> tuple[Figure, ...]:
    """The figures of `mass_figures` as lines of the calculation record, with the numbers put in.

    Raises
    ------
    NotComputableError
        As `mass_figures`.
    """
    return record_of(mass_figures(wall))


def record_of(found: MassResult) -> tuple[Figure, ...]:
    """Lines of the calculation record for figures already found."""
    status = resistances.worse(found.status, "from-memory")
    u_unit, capacity_unit = "Btu/(h·ft²·°F)", "Btu/(ft²·°F)"
    y12, steady = found.periodic_transmittance_si / units.U_IP, found.u_si / units.U_IP
    z11, z12, _, z22 = mass.wall_matrix([_matrix(layer) for layer in reversed(found.layers)])
    z12 /= units.R_IP
    layers = "; ".join(_layer_words(layer) for layer in reversed(found.layers) if layer.resistance > 0)
    wave = f"1/|{_complex(z12)}|; Z11 = {_complex(z11)}, Z12 = {_complex(z12)}, Z22 = {_complex(z22)}; {layers}"
    hours = f"{DAY / (2 * math.pi):.5f}"
    turned = f"{DAY} x {math.degrees(cmath.phase(-z12)) % 360:.3f}/360"
    where = f"along {found.path}, {found.share:.0%} of the area"
    if found.from_gap:
        where += f", inward of {found.from_gap}"
    lines: list[tuple[str, str, str, float, str]] = [
        (f"periodic transmittance {where}", WAVE_FORMULA, wave, y12, u_unit),
        ("decrement factor", "f = Y12/U of that path", f"{y12:.5f}/{steady:.5f}", found.decrement_factor, "-"),
        ("time lag of the daily wave", "24 h x phase of -Z12 / 360°", turned, found.time_lag_h, "h"),
        (
            "areal heat capacity, room side", "24 h/(2 pi) x |Z11 - 1|/|Z12|",
            f"{hours} x |{_complex(z11)} - 1|/|{_complex(z12)}|",
            found.areal_heat_capacity_inside_si / units.HEAT_CAPACITY_IP, capacity_unit,
        ),
        (
            "areal heat capacity, outdoor side", "24 h/(2 pi) x |Z22 - 1|/|Z12|",
            f"{hours} x |{_complex(z22)} - 1|/|{_complex(z12)}|",
            found.areal_heat_capacity_outside_si / units.HEAT_CAPACITY_IP, capacity_unit,
        ),
    ]  # fmt: skip
    return tuple(Figure(*line, METHOD, SOURCE, status) for line in lines)


def _storing_layers(way: Crossing, parts: Sequence[Part]) -> Iterator[StoringLayer]:
    by_id = {layer.id: layer for layer in way.counted}
    for part in parts:
        for resistance in part.resistances:
            layer = by_id.get(resistance.layer)
            stored = 0.0
            if layer is not None:
                for material, thickness in _solids(layer, part.name):
                    if material.density is not None and material.specific_heat is not None:
                        stored += heat.heat_capacity(thickness, material.density.value, material.specific_heat.value)
            depth = layer.depth if layer is not None else 0.0
            yield StoringLayer(resistance.layer, depth, resistance.resistance, stored)


def _solids(layer: Layer, part: str) -> list[tuple[Material, float]]:
    """What stands in a layer along one of its parts, each with its thickness over the area of that part. [m]"""
    if layer.framing is not None:
        if part == "framing":
            return [(layer.framing.material, layer.depth)]
        fill = makeup.cavity_fill(layer)
        clear = layer.cavity.depth if layer.cavity is not None and layer.cavity.depth is not None else 0.0
        return [] if fill is None or makeup.is_mere_gap(fill) else [(fill, layer.depth - clear)]
    if layer.material is None or layer.depth == 0 or makeup.is_mere_gap(layer.material):
        return []
    geometry = web_geometry(layer, layer.unit) if layer.unit is not None and makeup.is_hollow(layer) else None
    if geometry is None:
        return [(layer.material, layer.depth)]
    face_shell, web_share, core = geometry
    solids = [(layer.material, 2 * face_shell + core * web_share)]
    inside = layer.fill
    if part == "grouted cells":
        assert layer.unit is not None and layer.unit.grout is not None
        inside = layer.unit.grout.material
    if inside is not None:
        solids.append((inside, core * (1 - web_share)))
    return solids


def _periodic(layers: Sequence[StoringLayer]) -> mass.PeriodicFigures:
    return mass.periodic_figures(mass.wall_matrix([_matrix(layer) for layer in reversed(layers)]))


def _damping_layer(layers: Sequence[StoringLayer]) -> str:
    """The layer without whose weight most of the wave would pass."""
    passes = []
    for index, layer in enumerate(layers):
        lighter = [*layers[:index], replace(layer, heat_capacity=0.0), *layers[index + 1 :]]
        passes.append((_periodic(lighter).periodic_transmittance, layer.layer))
    return max(passes)[1]


def _matrix(layer: StoringLayer) -> mass.Matrix:
    """A layer without depth, resistance or heat is a mere resistance; all others are an equal homogeneous slab."""
    if layer.heat_capacity == 0 or layer.resistance == 0 or layer.thickness == 0:
        return mass.resistance_matrix(layer.resistance)
    conductivity = layer.thickness / layer.resistance
    return mass.layer_matrix(layer.thickness, conductivity, layer.heat_capacity / layer.thickness, 1.0)


def _without_data(way: Crossing, parts: Sequence[Part]) -> tuple[str, ...]:
    """Layers thick enough to matter whose density or specific heat is not known."""
    missing = []
    for layer, part in _walk(way, parts):
        for material, thickness in _solids(layer, part):
            unknown = material.density is None or material.specific_heat is None
            if unknown and thickness > units.INCH / 16 and material.kind not in resistances.THIN_KINDS:
                missing.append(layer.id)
    return tuple(dict.fromkeys(missing))


def _status(way: Crossing, parts: Sequence[Part]) -> str:
    statuses = [resistance.status for part in parts for resistance in part.resistances]
    for layer, part in _walk(way, parts):
        for material, _ in _solids(layer, part):
            values = [value for value in (material.density, material.specific_heat) if value is not None]
            statuses += [value.status.value for value in values]
    return resistances.worse(*statuses)


def _walk(way: Crossing, parts: Sequence[Part]) -> Iterator[tuple[Layer, str]]:
    by_id = {layer.id: layer for layer in way.counted}
    for part in parts:
        for resistance in part.resistances:
            if resistance.layer in by_id:
                yield by_id[resistance.layer], part.name


def _path_name(parts: Sequence[Part]) -> str:
    named = [f"{part.name} of {part.resistances[0].layer}" for part in parts if part.name]
    return " and ".join(named) or "the whole area"


def _complex(z: complex) -> str:
    """To five figures: `-23.912 + 9.8034i`."""
    real, imaginary = (f"{abs(part):.{max(0, 4 - math.floor(math.log10(abs(z))))}f}" for part in (z.real, z.imag))
    return f"{'-' if z.real < 0 else ''}{real} {'-' if z.imag < 0 else '+'} {imaginary}i"


def _layer_words(layer: StoringLayer) -> str:
    resistance = f"R-{layer.resistance / units.R_IP:.4g} {layer.layer}"
    if layer.heat_capacity == 0:
        return resistance
    return f"{resistance} storing {layer.heat_capacity / units.HEAT_CAPACITY_IP:.4g} Btu/(ft²·°F)"
