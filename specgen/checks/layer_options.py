"""One layer of a wall: the parts that stand side by side in it, each with its share of the area and its resistance."""

from __future__ import annotations

from specgen import units
from specgen.checks import makeup
from specgen.checks.formed_steel import steel_area, steel_conductivity
from specgen.checks.masonry_units import unit_options
from specgen.checks.once import once
from specgen.checks.resistances import (
    RATED_TOLERANCE,
    Option,
    air_space,
    material_resistance,
    r_text,
    source_text,
    worse,
    zero,
)
from specgen.data import load_table
from specgen.errors import NotComputableError
from specgen.model.assessment import LayerResistance
from specgen.model.wall import Layer
from specgen.physics import heat, metal

SAME_DEPTH = units.INCH / 8  # steel studs of 3-1/2 and 3-5/8 in stand in one row of the table [m]


@once
def layer_options(layer: Layer) -> tuple[Option, ...]:
    """The parts of one layer side by side, shares summing to 1.

    Raises
    ------
    NotComputableError
        If a value is missing for which nothing may be assumed; names the layer and the value.
    """
    if layer.framing is not None:
        return _framed(layer)
    if layer.unit is not None and makeup.is_hollow(layer):
        return unit_options(layer, layer.unit)
    if layer.material is None:
        return (Option("", 1.0, _open_gap(layer)),)
    if makeup.is_mere_gap(layer.material):
        return (Option("", 1.0, zero(layer, "a drained gap and its mat count as no air space", "common practice")),)
    return (Option("", 1.0, material_resistance(layer, layer.material, layer.thickness)),)


def steel_factor(layer: Layer, nominal: float) -> dict[str, object] | None:
    """Row of the table of steel studs that holds for this layer and insulation, or None.

    Parameters
    ----------
    layer : Layer
        With metal framing.
    nominal : float
        Rated R of what stands between the members. [m²·K/W]
    """
    framing = layer.framing
    if framing is None or framing.profile not in ("cee", "solid"):
        return None
    for row in load_table("steel_studs")["rows"]:
        same_spacing = abs(framing.spacing - row["spacing"] * units.INCH) <= RATED_TOLERANCE
        same_depth = abs(layer.depth - row["depth"] * units.INCH) <= SAME_DEPTH + 1e-9
        if same_spacing and same_depth and abs(nominal / units.R_IP - row["r"]) < 0.05:
            found: dict[str, object] = row
            return found
    return None


def has_hand_method(layer: Layer) -> bool:
    """False where metal crosses insulation and no tabulated effective R holds: by hand only limits hold there."""
    if not makeup.is_metal_framed(layer) or not makeup.is_insulation(makeup.cavity_fill(layer)):
        return True
    return steel_factor(layer, _cavity_resistance(layer).resistance) is not None


def _framed(layer: Layer) -> tuple[Option, ...]:
    framing = layer.framing
    assert framing is not None
    if layer.thickness is None:
        raise NotComputableError(f"layer {layer.id!r}: framed layer without thickness")
    cavity = _cavity_resistance(layer)
    if framing.material.metal:
        return (Option("", 1.0, _metal_bridged(layer, cavity)),)
    member = material_resistance(layer, framing.material, layer.thickness)
    parts = (
        Option("framing", framing.fraction, member),
        Option("cavity", 1 - framing.fraction, cavity),
    )
    return tuple(part for part in parts if part.share > 0)


def cavity_bands(layer: Layer) -> tuple[tuple[float, LayerResistance], ...]:
    """What stands between the members of a framed layer, exterior first: depth [m] and resistance of each part.

    One part, or an air space with the fill inside of it.

    Raises
    ------
    NotComputableError
        If the air space leaves no room for the fill, or if a value is missing.
    """
    fill = makeup.cavity_fill(layer)
    clear = layer.cavity.depth if layer.cavity is not None else None
    if fill is None or makeup.is_mere_gap(fill):
        return ((layer.depth, _open_gap(layer)),)
    if clear is None:
        return ((layer.depth, material_resistance(layer, fill, layer.thickness)),)
    if clear >= layer.depth:
        raise NotComputableError(
            f"layer {layer.id!r}: the clear depth leaves no room for {fill.id}; expected less than "
            f"{units.format_inches(layer.depth)} in"
        )
    body = material_resistance(layer, fill, layer.depth - clear)
    return ((clear, air_space(layer, clear)), (layer.depth - clear, body))


def _cavity_resistance(layer: Layer) -> LayerResistance:
    """What stands between the members: fill, fill with an air space beside it, or an air space alone."""
    bands = cavity_bands(layer)
    if len(bands) == 1:
        return bands[0][1]
    (_, space), (_, body) = bands
    total = body.resistance + space.resistance
    return LayerResistance(layer.id, total, f"{body.basis} + {space.basis}", body.source, body.status)


def _metal_bridged(layer: Layer, cavity: LayerResistance) -> LayerResistance:
    """Metal between insulation only by table; metal in an air space beside whole insulation is ignored."""
    fill = makeup.cavity_fill(layer)
    if not makeup.is_insulation(fill):
        return LayerResistance(
            layer.id, cavity.resistance, f"{cavity.basis}; metal furring ignored", cavity.source, cavity.status
        )
    row = steel_factor(layer, cavity.resistance)
    if row is None:
        resistance, share = isothermal_with_steel(layer, cavity.resistance)
        basis = f"{cavity.basis} beside steel over {share:.4f} of the depth's area, isothermal planes: a lower limit"
        return LayerResistance(layer.id, resistance, basis, source_text("iso-6946"), cavity.status)
    factor = float(str(row["factor"]))
    basis = f"{factor:.2f} x {r_text(cavity.resistance)} between steel studs"
    effective = metal.stud_cavity_resistance(cavity.resistance, factor)
    return LayerResistance(layer.id, effective, basis, source_text(str(row["source"])), str(row["status"]))


def isothermal_with_steel(layer: Layer, cavity: float) -> tuple[float, float]:
    """Lower limit of R of a layer that formed steel crosses [m²·K/W], and the mean share of its area that is steel.

    Parameters
    ----------
    layer : Layer
        With metal framing.
    cavity : float
        Resistance of what stands between the members. [m²·K/W]

    Raises
    ------
    NotComputableError
        If the steel has no conductivity or an unknown gauge.
    """
    framing = layer.framing
    assert framing is not None
    steel = steel_conductivity(layer)
    share = min(1.0, steel_area(layer) / (framing.spacing * layer.depth))
    if cavity <= 0:
        return 0.0, share
    return heat.bridged_layer((share, 1 - share), (layer.depth / steel, cavity)), share


def _open_gap(layer: Layer) -> LayerResistance:
    depth = layer.cavity.depth if layer.cavity is not None and layer.cavity.depth is not None else layer.thickness
    if depth is None:
        raise NotComputableError(f"layer {layer.id!r}: air space without depth")
    if makeup.is_open_both_ends(layer):
        return zero(layer, "outdoor air runs through this gap", source_text("iso-6946"), "secondary")
    space = air_space(layer, depth)
    if layer.cavity is None or layer.cavity.kind == "unventilated":
        return space
    words = f"{space.basis}, drained at the bottom only"
    return LayerResistance(layer.id, space.resistance, words, space.source, worse(space.status, "from-memory"))
