"""R and U as a range: a wall in, its U with every uncertain input at its better and at its worse end out.

Uncertain are the conductivities for which a material states a range, the density of block within its weight class, and
the framing fraction of wood studs. Each input moves U one way only, so that the ends of all together bound it; that is
a bound, not a likely spread. The ends are judged as the wall itself is; hollow block keeps the ratio of two-dimensional
to hand calculation that it has as it stands, which a test holds to 1 percent of the solution at the ends. Rated R
values, air spaces, films and workmanship have no range here.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from specgen import units
from specgen.checks import makeup
from specgen.checks.by_hand import hand_transmittance
from specgen.checks.energy import U_DIGITS, half_up
from specgen.checks.once import once
from specgen.checks.resistances import source_text
from specgen.checks.swaps import with_layers
from specgen.checks.thermal import judged_transmittance, thermal_result
from specgen.checks.thermal_findings import finding
from specgen.data import load_table
from specgen.errors import NotComputableError
from specgen.model.assessment import EnergyCode, Figure
from specgen.model.band import Band, InputRange
from specgen.model.finding import Finding, Severity
from specgen.model.material import ConductivityValue, Material
from specgen.model.wall import Layer, Wall
from specgen.physics import masonry

U_UNIT = "Btu/(h·ft²·°F)"
SMALL = 1e-9  # what moves U by less does not count among the inputs [W/(m²·K)]


@dataclass(frozen=True, slots=True)
class _Input:
    """One input and the change that either end makes to a wall; `material` is None for the framing fraction."""

    name: str
    low: str
    high: str
    ends: tuple[float, float]  # factors on the conductivity of `material`, or framing fractions
    material: str | None
    source: str
    status: str


@once
@lru_cache(maxsize=256)
def thermal_band(wall: Wall) -> Band:
    """The range of U, and how much of it each input alone brings.

    Raises
    ------
    NotComputableError
        If the wall itself cannot be computed.
    """
    ranges: list[InputRange] = []
    for item, (u_low, better), (u_high, _) in _tried(wall):
        at_low, at_high = (item.low, item.high) if better == item.ends[0] else (item.high, item.low)
        ranges.append(InputRange(item.name, at_low, at_high, u_low, u_high, item.source, item.status))
    ranges.sort(key=lambda each: -each.width)
    low, high = (_judged(wall, at_ends) for at_ends in end_walls(wall))
    return Band(low, high, tuple(ranges), _figures(low, high, ranges))


@once
def end_walls(wall: Wall) -> tuple[Wall, Wall]:
    """The wall with all its inputs at their better ends, and at their worse ends.

    Raises
    ------
    NotComputableError
        If the wall itself cannot be computed.
    """
    tried = _tried(wall)
    return (
        _changed(wall, [(item, better) for item, (_, better), _ in tried]),
        _changed(wall, [(item, worse) for item, _, (_, worse) in tried]),
    )


@once
def _tried(wall: Wall) -> tuple[tuple[_Input, tuple[float, float], tuple[float, float]], ...]:
    """Each input that moves U by hand, with U and its end where it is lower, and where it is higher."""
    found = []
    for item in _inputs(wall):
        low, high = sorted((hand_transmittance(_changed(wall, [(item, end)])), end) for end in item.ends)
        if high[0] - low[0] > SMALL:
            found.append((item, low, high))
    return tuple(found)


def _judged(wall: Wall, at_ends: Wall) -> float:
    """U that verdicts would use at the ends; of hollow block, whose solution takes long, by hand and corrected."""
    if any(makeup.is_hollow(layer) for layer in wall.layers):
        return hand_transmittance(at_ends) * thermal_result(wall).u_si / hand_transmittance(wall)
    return judged_transmittance(at_ends)


def band_findings(wall: Wall, band: Band, code: EnergyCode) -> tuple[Finding, ...]:
    """T20: the verdict of the U path is another at the ends of the range.

    Parameters
    ----------
    wall : Wall
        The wall.
    band : Band
        From `thermal_band(wall)`.
    code : EnergyCode
        From `energy_code` for the same wall.
    """
    path = next((path for path in code.paths if path.path == "u"), None)
    if path is None or not isinstance(path.required, float | int) or band.deciding is None:
        return ()
    low, high = band.u_low_si / units.U_IP, band.u_high_si / units.U_IP
    meets = [half_up(u, U_DIGITS) <= path.required + 1e-9 for u in (low, high)]
    if meets[0] == meets[1]:
        return ()
    most = band.deciding
    by_r = [other.label for other in code.paths if other.path == "r" and other.meets]
    if by_r:
        rests = f"the verdict does not rest on it, since {by_r[0]} is met"
    else:
        rests = "no R path is met, so the verdict rests on it"
    message = (
        f"the U path depends on inputs that are not fixed: U-{low:.3f} to U-{high:.3f} against {path.label}; most of "
        f"that comes from {most.name}, {most.low} to {most.high}; {rests}"
    )
    return (finding("T20", Severity.NOTE, message, place=wall.place),)


# --- inputs ----------------------------------------------------------------------------------------------------------


def _inputs(wall: Wall) -> Iterator[_Input]:
    seen: set[str] = set()
    for layer in wall.layers:
        for material in _materials(layer):
            if material.id not in seen:
                seen.add(material.id)
                yield from _conductivity(material)
                yield from _density(material)
    yield from _fraction(wall)


def _materials(layer: Layer) -> list[Material]:
    parts = [layer.material, layer.fill]
    parts += [layer.framing.material] if layer.framing is not None else []
    parts += [layer.unit.grout.material] if layer.unit is not None and layer.unit.grout is not None else []
    return [part for part in parts if part is not None]


def _conductivity(material: Material) -> Iterator[_Input]:
    stated = material.conductivity
    if stated is None or (stated.low is None and stated.high is None):
        return
    low, high = stated.low or stated.value, stated.high or stated.value
    if high > low:
        yield _Input(
            f"conductivity of {material.label}",
            f"{low:.3g} W/(m·K)",
            f"{high:.3g} W/(m·K)",
            (low / stated.value, high / stated.value),
            material.id,
            source_text(stated.source),
            stated.status.value,
        )


def _density(material: Material) -> Iterator[_Input]:
    """Block is bought by weight class; its density, and with it its conductivity, may be anywhere in the class."""
    if material.kind != "block" or material.density is None:
        return
    density = material.density.value / units.DENSITY_IP
    rows = [row for row in load_table("input_ranges")["rows"] if row["id"].endswith("block")]
    row = next((row for row in reversed(rows) if row["low"] <= density <= row["high"]), None)
    if row is None:
        return  # aerated and other block sold by its own conductivity
    here = masonry.concrete_conductivity(material.density.value)
    factors = [masonry.concrete_conductivity(row[end] * units.DENSITY_IP) / here for end in ("low", "high")]
    yield _Input(
        f"density of {material.label} ({row['id'].removesuffix(' block')})",
        f"{row['low']:g} lb/ft³",
        f"{row['high']:g} lb/ft³",
        (factors[0], factors[1]),
        material.id,
        source_text(row["source"]),
        row["status"],
    )


def _fraction(wall: Wall) -> Iterator[_Input]:
    studs = _studs(wall)
    if studs is None or studs.framing is None:
        return
    row = next(row for row in load_table("input_ranges")["rows"] if row["id"] == "framing-fraction")
    declared = studs.framing.fraction
    low, high = min(row["low"], declared), max(row["high"], declared)
    name = f"framing fraction of {studs.id}"
    yield _Input(name, f"{low:.2f}", f"{high:.2f}", (low, high), None, source_text(row["source"]), row["status"])


def _studs(wall: Wall) -> Layer | None:
    """Wood studs that carry the wall; linings of masonry have few plates and no headers."""
    if makeup.mass_layer(wall) is not None:
        return None
    for layer in wall.layers:
        if layer.framing is not None and layer.depth >= makeup.LEAST_STUD_DEPTH and not layer.framing.material.metal:
            return layer
    return None


# --- the wall at an end ----------------------------------------------------------------------------------------------


def _changed(wall: Wall, ends: Sequence[tuple[_Input, float]]) -> Wall:
    """The wall with these inputs at these ends; several factors on one material multiply."""
    factors: dict[str, float] = {}
    fraction: float | None = None
    for item, end in ends:
        if item.material is None:
            fraction = end
        else:
            factors[item.material] = factors.get(item.material, 1.0) * end
    studs = _studs(wall)
    return with_layers(wall, [_layer_at(layer, factors, fraction, studs) for layer in wall.layers])


def _layer_at(layer: Layer, factors: dict[str, float], fraction: float | None, studs: Layer | None) -> Layer:
    change: dict[str, Any] = {}
    for key in ("material", "fill"):
        material = getattr(layer, key)
        if material is not None and material.id in factors:
            change[key] = _material_at(material, factors[material.id])
    framing = layer.framing
    if framing is not None:
        if framing.material.id in factors:
            framing = framing.model_copy(
                update={"material": _material_at(framing.material, factors[framing.material.id])}
            )
        if fraction is not None and studs is not None and layer.framing == studs.framing:
            framing = framing.model_copy(update={"fraction": fraction})
        change["framing"] = framing
    if layer.unit is not None and layer.unit.grout is not None and layer.unit.grout.material.id in factors:
        grout = layer.unit.grout
        material = _material_at(grout.material, factors[grout.material.id])
        change["unit"] = layer.unit.model_copy(update={"grout": grout.model_copy(update={"material": material})})
    return layer.model_copy(update=change) if change else layer


def _material_at(material: Material, factor: float) -> Material:
    stated = material.conductivity
    if stated is None:
        if material.density is None:
            raise NotComputableError(f"material {material.id!r} has neither conductivity nor density")
        value = masonry.concrete_conductivity(material.density.value)
        stated = ConductivityValue.model_construct(
            value=value, low=None, high=None, source="aci-122r", status=material.density.status, note=None
        )
    at_end = stated.model_copy(update={"value": stated.value * factor})
    return material.model_copy(update={"conductivity": at_end})


# --- record ----------------------------------------------------------------------------------------------------------


def _figures(low: float, high: float, ranges: Sequence[InputRange]) -> tuple[Figure, ...]:
    figures = [
        Figure(
            f"U with all inputs at their {word} ends", "as U of the wall", ", ".join(ends) or "no input has a range",
            u / units.U_IP, U_UNIT, "each input at the end that moves U that way", "first principles", "confirmed",
        )
        for word, u, ends in (
            ("better", low, [f"{each.name} {each.low}" for each in ranges]),
            ("worse", high, [f"{each.name} {each.high}" for each in ranges]),
        )
    ]  # fmt: skip
    for each in ranges:
        figures.append(
            Figure(
                f"range of U from {each.name}", "U(worse end) - U(better end), by hand",
                f"{each.u_high_si / units.U_IP:.5f} at {each.high} - {each.u_low_si / units.U_IP:.5f} at {each.low}",
                each.width / units.U_IP, U_UNIT, "one input moved, the others as in the wall", each.source, each.status,
            )
        )  # fmt: skip
    return tuple(figures)
