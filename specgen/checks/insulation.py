"""Insulation and mass of a wall as codes count them: labeled R by where it stands, heat capacity net of cores."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from specgen import units
from specgen.checks import makeup, resistances
from specgen.checks.conduction import conduction
from specgen.checks.heat_paths import Crossing, transmittance_without
from specgen.checks.layer_options import has_hand_method, layer_options
from specgen.checks.masonry_units import grouted_share, web_geometry
from specgen.model.assessment import Conduction
from specgen.model.material import Material
from specgen.model.wall import Layer, Wall
from specgen.physics import heat


def wall_heat_capacity(wall: Wall, without: Iterable[str] = ()) -> tuple[float, tuple[str, ...]]:
    """Heat capacity per wall area over all layers, net of cores, and the layers whose data are missing.

    Parameters
    ----------
    wall : Wall
        Any wall.
    without : iterable of str
        Layer ids to leave out, such as a veneer that the code does not count.

    Returns
    -------
    capacity : float
        [J/(m²·K)]
    without_data : tuple of str
        Ids of layers thick enough to count whose density, specific heat or webs are not known; they count as nothing.
    """
    skipped = set(without)
    total = 0.0
    missing: list[str] = []
    for layer in wall.layers:
        if layer.id in skipped:
            continue
        if layer.unit is not None and makeup.is_hollow(layer) and web_geometry(layer, layer.unit) is None:
            missing.append(layer.id)  # how much of it is solid is not known
        for material, thickness in solids(layer):
            if material.density is not None and material.specific_heat is not None:
                total += heat.heat_capacity(thickness, material.density.value, material.specific_heat.value)
            elif thickness > units.INCH / 16 and material.kind not in resistances.THIN_KINDS:
                missing.append(layer.id)
    return total, tuple(dict.fromkeys(missing))


@dataclass(frozen=True, slots=True)
class Insulation:
    cavity: float  # nominal, between members [m²·K/W]
    continuous: float  # not crossed by members [m²·K/W]
    furred_effective: float  # what the insulation between members adds to the wall's R [m²·K/W]
    interior_share: float
    parts: tuple[tuple[str, float, bool], ...]  # layer, R as counted in a mass wall, inside the mass
    gains: tuple[tuple[str, float, float], ...]  # furred layer, U with it and without it [W/(m²·K)]

    @property
    def as_mass(self) -> float:
        """[m²·K/W]"""
        return self.continuous + self.furred_effective


def wall_insulation(wall: Wall, way: Crossing, by_hand: float, solved: Conduction | None) -> Insulation:
    """Insulation by where it stands. Between members it counts, in a mass wall, by what it adds to 1/U.

    Parameters
    ----------
    wall : Wall
        Any wall.
    way : Crossing
        What heat crosses in it.
    by_hand : float
        U by parallel path. [W/(m²·K)]
    solved : Conduction or None
        Corrected in two dimensions; the smaller of both gains counts.
    """
    counted = way.counted
    mass = makeup.mass_layer(wall)
    first = len(wall.layers) - len(counted)
    cavity = continuous = furred = interior = 0.0
    parts: list[tuple[str, float, bool]] = []
    gains: list[tuple[str, float, float]] = []
    for index, layer in enumerate(counted, start=first):
        inside = mass is not None and index > mass
        if layer.framing is not None:
            if not makeup.is_insulation(makeup.cavity_fill(layer)):
                continue
            nominal = nominal_fill(layer)
            pair = by_hand, transmittance_without(way.places, layer.id)
            if mass is not None and solved is not None:
                pair = _corrected(way, layer, solved, pair)
            effective = _gain(pair)
            gains.append((layer.id, *pair))
            cavity += nominal
            furred += effective
        elif makeup.is_insulation(layer.material) and layer.unit is None:
            effective = layer_options(layer)[0].resistance.resistance
            continuous += effective
        else:
            continue
        parts.append((layer.id, effective, inside))
        interior += effective if inside else 0.0
    total = continuous + furred
    return Insulation(cavity, continuous, furred, interior / total if total > 0 else 0.0, tuple(parts), tuple(gains))


def _corrected(way: Crossing, layer: Layer, solved: Conduction, by_hand: tuple[float, float]) -> tuple[float, float]:
    """U with a furred layer and without it, by the method in which it adds less; in two dimensions where no hand
    method holds. Both terms of one difference come from one method. [W/(m²·K)]
    """
    without = conduction(replace(way, counted=tuple(other for other in way.counted if other is not layer)))
    if without is None:
        return by_hand
    in_two_dimensions = solved.u_wall_si, without.u_wall_si
    if not has_hand_method(layer):
        return in_two_dimensions
    return min(by_hand, in_two_dimensions, key=_gain)


def _gain(pair: tuple[float, float]) -> float:
    return 1 / pair[0] - 1 / pair[1]


def nominal_fill(layer: Layer) -> float:
    """Labeled R of the insulation between members, without any air space beside it. [m²·K/W]"""
    fill = makeup.cavity_fill(layer)
    if fill is None:
        return 0.0
    clear = layer.cavity.depth if layer.cavity is not None and layer.cavity.depth is not None else 0.0
    return resistances.material_resistance(layer, fill, layer.depth - clear).resistance


def solids(layer: Layer) -> list[tuple[Material, float]]:
    """What a layer is made of, each with its thickness averaged over the wall area, cores and gaps left out. [m]"""
    solids: list[tuple[Material, float]] = []
    if layer.framing is not None:
        solids.append((layer.framing.material, layer.depth * (0.0 if makeup.is_metal_framed(layer) else _wood(layer))))
        fill = makeup.cavity_fill(layer)
        if fill is not None and not makeup.is_mere_gap(fill):
            clear = layer.cavity.depth if layer.cavity is not None and layer.cavity.depth is not None else 0.0
            solids.append((fill, (layer.depth - clear) * (1 - _wood(layer))))
        return [(material, thickness) for material, thickness in solids if thickness > 0]
    if layer.material is None or layer.depth == 0 or makeup.is_mere_gap(layer.material):
        return []
    if layer.unit is None or not makeup.is_hollow(layer):
        return [(layer.material, layer.depth)]
    geometry = web_geometry(layer, layer.unit)
    if geometry is None:
        return []
    face_shell, web_share, core = geometry
    grouted = grouted_share(layer.unit)
    hollow = core * (1 - web_share)
    solids.append((layer.material, 2 * face_shell + core * web_share))
    if layer.unit.grout is not None and grouted > 0:
        solids.append((layer.unit.grout.material, grouted * hollow))
    if layer.fill is not None and grouted < 1:
        solids.append((layer.fill, (1 - grouted) * hollow))
    return solids


def _wood(layer: Layer) -> float:
    return layer.framing.fraction if layer.framing is not None else 0.0
