"""The thermal resistance of one layer, with the basis and source that a reviewer asks for.

A rated R belongs to one thickness and is never scaled, but for a batt squeezed into a shallower cavity: that has the R
of a maker's chart, or else what it has at least. Where a material has no R for the thickness it is used at, the layer
counts as R-0, the one value that is certainly not too good, and a finding says so (`checks/thermal_findings.py`).
Fasteners and ties are not counted, as usual for prescriptive values (`checks/fasteners.py` for what they would add).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

from specgen import units
from specgen.data import load_table
from specgen.data import source as cite
from specgen.errors import NotComputableError
from specgen.model.assessment import LayerResistance
from specgen.model.material import Material, RatedResistance
from specgen.model.wall import Layer
from specgen.physics import air_layers, batts, heat, masonry

RATED_TOLERANCE = units.INCH / 16  # two thicknesses nearer than this are the same [m]
SAME_DEPTH = units.INCH / 8  # steel studs of 3-1/2 and 3-5/8 in stand in one row of the table [m]
# Too thin to count where no R is known; their vapor and water work is judged elsewhere.
THIN_KINDS = frozenset({"coating", "membrane", "sheet", "lath", "wall-covering"})
MISSING = "missing"  # status of a resistance that no source gives
UNKNOWN_SOURCE = "common practice"


@dataclass(frozen=True, slots=True)
class Option:
    """One of the parts that stand side by side in a layer."""

    name: str  # "framing", "cavity", "grouted cells", "" where the layer has one part only
    share: float  # of the wall area
    resistance: LayerResistance


def rated_row(material: Material, thickness: float) -> RatedResistance | None:
    """The rated R that belongs to this thickness within 1/16 in, or None.

    Parameters
    ----------
    material : Material
        With or without rated values.
    thickness : float
        As installed. [m]
    """
    near = [row for row in material.rated if abs(row.thickness - thickness) <= RATED_TOLERANCE + 1e-9]
    return min(near, key=lambda row: abs(row.thickness - thickness)) if near else None


@dataclass(frozen=True, slots=True)
class Squeezed:
    """A batt in a cavity shallower than its label."""

    label: RatedResistance
    resistance: float  # [m²·K/W]
    basis: str
    source: str
    status: str
    charted: bool  # by a maker's chart; else by the rule on the safe side


def squeezed_batt(material: Material, thickness: float) -> Squeezed | None:
    """What is left of a batt squeezed to this depth; None if it is no batt, not squeezed, or squeezed too far.

    Of several batts under one material the one that is squeezed least is taken.

    Parameters
    ----------
    material : Material
        With or without rated values.
    thickness : float
        Of the cavity. [m]
    """
    deeper = [row for row in material.rated if row.thickness > thickness + RATED_TOLERANCE]
    if material.kind != "batt" or not deeper:
        return None
    label = min(deeper, key=lambda row: row.thickness)
    words = f"{r_text(label.resistance)} batt of {units.format_inches(label.thickness)} in squeezed to "
    words += f"{units.format_inches(thickness)} in"
    table = load_table("compressed_batts")
    for row in table["rows"]:
        same = abs(label.thickness / units.INCH - row["thickness"]) <= 1 / 16
        if not same or abs(label.resistance / units.R_IP - row["label"]) > 0.05:
            continue
        for depth, value in row["depths"].items():
            if abs(thickness / units.INCH - depth) <= 1 / 16 + 1e-9:
                basis = f"{words}, maker's chart"
                return Squeezed(label, value * units.R_IP, basis, source_text(table["source"]), table["status"], True)
    least = batts.squeezed_resistance(label.resistance, label.thickness, thickness)
    if least is None:
        return None
    basis = f"{words}, at the conductivity of its label"
    return Squeezed(label, least, basis, f"{UNKNOWN_SOURCE}; label: {source_text(label.source)}",
                    worse("common-practice", label.status.value), False)  # fmt: skip


def has_no_r_here(material: Material, thickness: float | None) -> bool:
    """True if the material has rated values but none for this thickness, and no conductivity that could stand in.

    A batt is never computed from a conductivity where it has rated values: squeezed, it has another. One that is
    squeezed no further than a chart or the rule for batts reaches has an R.

    Parameters
    ----------
    material : Material
        What stands in the layer.
    thickness : float or None
        As installed. [m]
    """
    if not material.rated or thickness is None or rated_row(material, thickness) is not None:
        return False
    if squeezed_batt(material, thickness) is not None:
        return False
    return material.kind == "batt" or material.conductivity is None


def material_resistance(layer: Layer, material: Material, thickness: float | None) -> LayerResistance:
    """Resistance of a homogeneous material at a thickness: rated R of just this thickness, else d/k.

    Parameters
    ----------
    layer : Layer
        Names the layer in the result and in errors.
    material : Material
        What it is made of.
    thickness : float or None
        As installed. [m]

    Raises
    ------
    NotComputableError
        If neither is known and the material is no thin film.
    """
    if thickness is None:
        if material.kind in THIN_KINDS:
            return zero(layer, "film, no R counted", "common practice")
        raise NotComputableError(f"layer {layer.id!r}: {material.id} has no thickness, so no R can be computed")
    inches = f"{units.format_inches(thickness)} in"
    row = rated_row(material, thickness)
    if row is not None:
        basis = f"rated {r_text(row.resistance)} at {inches}"
        return LayerResistance(layer.id, row.resistance, basis, source_text(row.source), row.status.value)
    squeezed = squeezed_batt(material, thickness)
    if squeezed is not None:  # before a conductivity, which is that of the batt at its label
        return LayerResistance(layer.id, squeezed.resistance, squeezed.basis, squeezed.source, squeezed.status)
    if has_no_r_here(material, thickness):
        return zero(layer, f"no R known for {material.label} at {inches}", UNKNOWN_SOURCE, MISSING)
    if material.conductivity is not None:
        value = material.conductivity
        basis = over_words(thickness, value.value)
        resistance = heat.layer_resistance(thickness, value.value)
        return LayerResistance(layer.id, resistance, basis, source_text(value.source), value.status.value)
    if material.kind in THIN_KINDS or material.kind == "metal":
        return zero(layer, "film, no R counted", "common practice")
    if material.kind in ("block", "concrete") and material.density is not None:
        conductivity, source, status = concrete_conductivity(layer, material)
        basis = f"{over_words(thickness, conductivity)}, from its density"
        return LayerResistance(layer.id, heat.layer_resistance(thickness, conductivity), basis, source, status)
    raise NotComputableError(
        f"layer {layer.id!r}: material {material.id!r} has neither conductivity nor a rated R; "
        "expected one of them with its source"
    )


def concrete_conductivity(layer: Layer, material: Material) -> tuple[float, str, str]:
    """Conductivity of concrete [W/(m·K)] with source and status: as given, else from its density.

    Raises
    ------
    NotComputableError
        If it has neither.
    """
    if material.conductivity is not None:
        value = material.conductivity
        return value.value, source_text(value.source), value.status.value
    if material.density is not None:
        source = f"{source_text('aci-122r')}, from a density of {material.density.value:.0f} kg/m³"
        return masonry.concrete_conductivity(material.density.value), source, "from-memory"
    raise NotComputableError(f"layer {layer.id!r}: material {material.id!r} has neither conductivity nor density")


def over_words(thickness: float, conductivity: float) -> str:
    """Thickness over conductivity as a reviewer redoes it: `0.5 in over 1.109 Btu·in/(h·ft²·°F)`, SI beside.

    Parameters
    ----------
    thickness : float
        [m]
    conductivity : float
        [W/(m·K)]
    """
    customary = f"{thickness / units.INCH:.4g} in over {conductivity / units.K_IP:.4g} Btu·in/(h·ft²·°F)"
    return f"{customary}; {thickness * 1000:.4g} mm over {conductivity:.4g} W/(m·K)"


@cache
def film(row_id: str, name: str, basis: str = "") -> LayerResistance:
    """A surface film of `films.yaml` as a resistance of its own."""
    row = film_row(row_id)
    words = basis or str(row["title"])
    return LayerResistance(name, row["r"] * units.R_IP, words, source_text(row["source"]), row["status"])


def air_space(layer: Layer, depth: float) -> LayerResistance:
    """An air space between ordinary surfaces; a foil facing gets no credit, since dust and dents undo it.

    Parameters
    ----------
    layer : Layer
        Names the layer in the result.
    depth : float
        Clear depth. [m]
    """
    row = film_row("us-air-space")
    least, most = (bound * units.INCH for bound in row["thickness"])
    inches = f"{units.format_inches(depth)} in"
    handbook = row["r"] * units.R_IP
    if least - 1e-9 <= depth <= most + 1e-9:
        return LayerResistance(layer.id, handbook, f"air space of {inches}", source_text(row["source"]), row["status"])
    computed = min(handbook, air_layers.air_layer_resistance(depth))
    return LayerResistance(layer.id, computed, f"air space of {inches}", source_text("iso-6946"), "secondary")


@cache
def source_text(source_id: str) -> str:
    """Title of a source, or `common practice` and the like as they stand."""
    sources = load_table("sources")
    return str(cite(source_id)["title"]) if source_id in sources else source_id


def r_text(resistance: float) -> str:
    """A labeled resistance as it prints, `R-13`, `R-0.6`.

    Parameters
    ----------
    resistance : float
        [m²·K/W]
    """
    return f"R-{round(resistance / units.R_IP, 2):g}"


def worse(*statuses: str) -> str:
    """The least certain of several statuses."""
    order = ("confirmed", "secondary", "common-practice", "from-memory", MISSING)
    return max(statuses, key=order.index)


def zero(layer: Layer, basis: str, source: str, status: str = "common-practice") -> LayerResistance:
    """A layer that adds no R, and why."""
    return LayerResistance(layer.id, 0.0, basis, source, status)


def film_row(row_id: str) -> Any:
    """One row of `films.yaml` as printed there."""
    return next(row for row in load_table("films")["rows"] if row["id"] == row_id)
