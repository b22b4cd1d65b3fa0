"""What fasteners through continuous insulation add to U: wall and its U in, lines of the record out.

Codes leave such fasteners out of U and of the R path, and so do our verdicts; a reviewer may still ask. Counted are
nails, screws, anchors and ties whose layer, target, diameter, spacing and metal the wall's file gives. Nominal diameter
of the thread, metal along the whole depth of the insulation: on the safe side.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from specgen import units
from specgen.checks import makeup
from specgen.checks.resistances import material_resistance
from specgen.model.assessment import Figure
from specgen.model.wall import Fastening, Layer, Wall
from specgen.physics import corrections

METALS = {"stainless": 17.0}  # ISO 10456, as transcribed (secondary) [W/(m·K)]
CARBON_STEEL = 50.0  # any other coating lies on carbon steel; ISO 10456, as transcribed (secondary) [W/(m·K)]
POINTS = ("nail", "screw", "anchor", "staple", "tie")
METHOD = "ISO 6946, correction for mechanical fasteners"
SOURCE = "ISO 6946 annex (formula from memory); conductivity of metals: EN 12524 table"


@dataclass(frozen=True, slots=True)
class Crossed:
    """Fasteners of one layer that run through insulation."""

    layer: str  # whose fasteners they are
    insulation: tuple[str, ...]  # layers that they cross
    conductivity: float  # [W/(m·K)]
    area: float  # of one [m²]
    per_area: float  # [1/m²]
    depth: float  # of the insulation [m]
    resistance: float  # of the insulation [m²·K/W]


def crossing_fasteners(wall: Wall, counted: Sequence[Layer]) -> tuple[Crossed, ...]:
    """Fasteners that cross insulation which no member crosses.

    Parameters
    ----------
    wall : Wall
        Any wall.
    counted : sequence of Layer
        Its layers that resist heat.
    """
    return tuple(_crossings(wall, {layer.id for layer in counted}))


def fastener_figures(found: Sequence[Crossed], transmittance: float) -> tuple[tuple[Figure, ...], float]:
    """Lines of the record, and U with the fasteners; no lines where there are none.

    Parameters
    ----------
    found : sequence of Crossed
        From `crossing_fasteners`.
    transmittance : float
        U without them. [W/(m²·K)]
    """
    total = 1 / transmittance
    added = [_added(one, total) for one in found]
    corrected = corrections.corrected_transmittance(transmittance, added)
    if not found:
        return (), corrected
    u_ip, unit = units.U_IP, "Btu/(h·ft²·°F)"
    lines = [
        Figure(
            f"fasteners of {one.layer} through {', '.join(one.insulation)}",
            "dU = 0.8 x k [Btu·in/(h·ft²·°F)] x share of the area / depth [in] x (R1/R_T)²", _values(one, total),
            more / u_ip, unit, METHOD, SOURCE, "from-memory",
        )
        for one, more in zip(found, added, strict=True)
    ]  # fmt: skip
    ignored = corrected == transmittance
    formula = "U, as the sum of dU is under 3 % of it" if ignored else "U + sum of dU"
    terms = [transmittance] if ignored else [transmittance, *added]
    values = " + ".join(f"{term / u_ip:.5f}" for term in terms)
    lines.append(
        Figure("U with fasteners through insulation, for information", formula, values, corrected / u_ip, unit, METHOD,
               SOURCE, "from-memory")
    )  # fmt: skip
    return tuple(lines), corrected


def _added(one: Crossed, total: float) -> float:
    return corrections.fastener_correction(one.conductivity, one.area, one.per_area, one.depth, one.resistance, total)


def _values(one: Crossed, total: float) -> str:
    ratio = f"({one.resistance / units.R_IP:.3f}/{total / units.R_IP:.3f})"
    share, depth = one.area * one.per_area, one.depth / units.INCH
    return f"0.8 x {one.conductivity / units.K_IP:.1f} x {share:.8f} / {depth:.3f} x {ratio} x {ratio}"


def _crossings(wall: Wall, counted: set[str]) -> Iterator[Crossed]:
    for index, layer in enumerate(wall.layers):
        for fastening in (layer.fastening, layer.ties):
            if fastening is None or fastening.type not in POINTS:
                continue
            per_area = _per_area(layer, fastening)
            target = _target(wall, index, fastening)
            if per_area is None or target is None or fastening.diameter is None or fastening.coating is None:
                continue
            between = wall.layers[min(index, target) : max(index, target) + 1]
            crossed = [other for other in between if other.id in counted and _is_whole_insulation(other)]
            if crossed:
                yield Crossed(
                    layer=layer.id,
                    insulation=tuple(other.id for other in crossed),
                    conductivity=METALS.get(fastening.coating, CARBON_STEEL),
                    area=math.pi / 4 * fastening.diameter**2,
                    per_area=per_area,
                    depth=math.fsum(other.depth for other in crossed),
                    resistance=math.fsum(_resistance(other) for other in crossed),
                )


def _per_area(layer: Layer, fastening: Fastening) -> float | None:
    across = fastening.spacing_across or (layer.framing.spacing if layer.framing is not None else None)
    if not fastening.spacing or not across:
        return None
    return 1 / (fastening.spacing * across)


def _target(wall: Wall, index: int, fastening: Fastening) -> int | None:
    """Index of the layer that the fastener ends in, the nearest inward, else the nearest outward."""
    into = fastening.into
    order = [*range(index + 1, len(wall.layers)), *range(index - 1, -1, -1)]
    return next((i for i in order if _is_target(wall.layers[i], into)), None)


def _is_target(layer: Layer, into: str | None) -> bool:
    if into in ("studs", "plates", "steel"):
        return layer.framing is not None and layer.depth >= makeup.LEAST_STUD_DEPTH
    if into == "furring":
        return layer.framing is not None and layer.depth < makeup.LEAST_STUD_DEPTH
    kind = layer.material.kind if layer.material is not None else ""
    return into is not None and kind == {"block": "block", "concrete": "concrete", "sheathing": "wood-panel"}.get(into)


def _is_whole_insulation(layer: Layer) -> bool:
    return layer.framing is None and layer.unit is None and makeup.is_insulation(layer.material)


def _resistance(layer: Layer) -> float:
    assert layer.material is not None
    return material_resistance(layer, layer.material, layer.thickness).resistance
