"""The thermal resistance of one layer, with the basis and source that a reviewer asks for.

A rated R belongs to one thickness and is never scaled. Where a material has no R for the thickness it is used at,
the layer counts as R-0, the one value that is certainly not too good, and a finding says so (`checks/thermal.py`).
Fasteners and ties are not counted, as usual for prescriptive values.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from specgen import units
from specgen.checks import makeup
from specgen.data import load_table
from specgen.data import source as cite
from specgen.errors import NotComputableError
from specgen.model.assessment import LayerResistance
from specgen.model.material import Material, RatedResistance
from specgen.model.wall import Layer, Unit
from specgen.physics import heat

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
        return _hollow(layer, layer.unit)
    if layer.material is None:
        return (Option("", 1.0, _open_gap(layer)),)
    # a grooved board drains too, but it insulates: only what has no conductivity of its own is a mere gap
    mere_gap = layer.material.drainable and layer.material.conductivity is None
    if mere_gap or (layer.cavity is not None and layer.material.kind == "drainage-mat"):
        return (Option("", 1.0, _zero(layer, "a drained gap and its mat count as no air space", "common practice")),)
    return (Option("", 1.0, material_resistance(layer, layer.material, layer.thickness)),)


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


def has_no_r_here(material: Material, thickness: float | None) -> bool:
    """True if the material has rated values but none for this thickness, and no conductivity that could stand in.

    A batt is never computed from a conductivity where it has rated values: squeezed, it has another.

    Parameters
    ----------
    material : Material
        What stands in the layer.
    thickness : float or None
        As installed. [m]
    """
    if not material.rated or thickness is None or rated_row(material, thickness) is not None:
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
            return _zero(layer, "film, no R counted", "common practice")
        raise NotComputableError(f"layer {layer.id!r}: {material.id} has no thickness, so no R can be computed")
    inches = f"{units.format_inches(thickness)} in"
    row = rated_row(material, thickness)
    if row is not None:
        basis = f"rated {r_text(row.resistance)} at {inches}"
        return LayerResistance(layer.id, row.resistance, basis, source_text(row.source), row.status.value)
    if has_no_r_here(material, thickness):
        return _zero(layer, f"no R known for {material.label} at {inches}", UNKNOWN_SOURCE, MISSING)
    if material.conductivity is not None:
        value = material.conductivity
        basis = f"{thickness * 1000:.4g} mm over {value.value:.3g} W/(m·K)"
        resistance = heat.layer_resistance(thickness, value.value)
        return LayerResistance(layer.id, resistance, basis, source_text(value.source), value.status.value)
    if material.kind in THIN_KINDS or material.kind == "metal":
        return _zero(layer, "film, no R counted", "common practice")
    if material.kind in ("block", "concrete") and material.density is not None:
        conductivity, source, status = concrete_conductivity(layer, material)
        basis = f"{thickness * 1000:.4g} mm over {conductivity:.3g} W/(m·K), from its density"
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
        return heat.concrete_conductivity(material.density.value), source, "from-memory"
    raise NotComputableError(f"layer {layer.id!r}: material {material.id!r} has neither conductivity nor density")


def film(row_id: str, name: str, basis: str = "") -> LayerResistance:
    """A surface film of `films.yaml` as a resistance of its own."""
    row = _film_row(row_id)
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
    row = _film_row("us-air-space")
    least, most = (bound * units.INCH for bound in row["thickness"])
    inches = f"{units.format_inches(depth)} in"
    handbook = row["r"] * units.R_IP
    if least - 1e-9 <= depth <= most + 1e-9:
        return LayerResistance(layer.id, handbook, f"air space of {inches}", source_text(row["source"]), row["status"])
    computed = min(handbook, heat.air_layer_resistance(depth))
    return LayerResistance(layer.id, computed, f"air space of {inches}", source_text("iso-6946"), "secondary")


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


def web_geometry(layer: Layer, unit: Unit) -> tuple[float, float, float] | None:
    """Face shell [m], web share [-] and core depth [m] of a hollow unit, or None where its file does not give them.

    Raises
    ------
    NotComputableError
        If the face shells leave no core.
    """
    if unit.face_shell is None or unit.web is None or unit.webs is None or layer.thickness is None:
        return None
    core = layer.thickness - 2 * unit.face_shell
    share = heat.web_share(unit.web, unit.webs, unit.length)
    if core <= 0 or not 0 < share < 1:
        raise NotComputableError(
            f"layer {layer.id!r}: face shells and webs leave no core in a unit of "
            f"{units.format_inches(layer.thickness)} in; expected thinner face shells or webs"
        )
    return unit.face_shell, share, core


def grouted_share(unit: Unit) -> float:
    """Share of the wall area whose cells are grouted, 0 to 1. [-]

    Raises
    ------
    NotComputableError
        If grout is named without saying where it is.
    """
    if unit.grout is None:
        return 0.0
    if unit.grout.solid:
        return 1.0
    if unit.grout.vertical_spacing is None and unit.grout.horizontal_spacing is None:
        raise NotComputableError("grout is neither solid nor at a vertical or horizontal spacing; expected one of them")
    cell = (unit.length + unit.joint) / max(1, (unit.webs or 3) - 1)
    course = unit.height + unit.joint
    return heat.grouted_share(unit.grout.vertical_spacing, unit.grout.horizontal_spacing, cell, course)


def _framed(layer: Layer) -> tuple[Option, ...]:
    framing = layer.framing
    assert framing is not None
    if layer.thickness is None:
        raise NotComputableError(f"layer {layer.id!r}: framed layer without thickness")
    cavity = _cavity_resistance(layer)
    if framing.material.metal:
        return (Option("", 1.0, _metal_bridged(layer, cavity)),)
    member = material_resistance(layer, framing.material, layer.thickness)
    parts = (Option("framing", framing.fraction, member), Option("cavity", 1 - framing.fraction, cavity))
    return tuple(part for part in parts if part.share > 0)


def _cavity_resistance(layer: Layer) -> LayerResistance:
    """What stands between the members: fill, fill with an air space beside it, or an air space alone."""
    fill = makeup.cavity_fill(layer)
    clear = layer.cavity.depth if layer.cavity is not None else None
    if fill is None or fill.drainable:
        return _open_gap(layer)
    if clear is None:
        return material_resistance(layer, fill, layer.thickness)
    if clear >= layer.depth:
        raise NotComputableError(
            f"layer {layer.id!r}: the clear depth leaves no room for {fill.id}; expected less than "
            f"{units.format_inches(layer.depth)} in"
        )
    body = material_resistance(layer, fill, layer.depth - clear)
    space = air_space(layer, clear)
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
    framing = layer.framing
    if row is None or framing is None:
        spacing = units.format_inches(framing.spacing) if framing else ""
        raise NotComputableError(
            f"layer {layer.id!r}: metal members {spacing} in on center cross {r_text(cavity.resistance)} insulation "
            f"{units.format_inches(layer.depth)} in deep and no tabulated effective R holds for that; a parallel-path "
            "value would be wrong; expected insulation that the metal does not cross"
        )
    factor = float(str(row["factor"]))
    basis = f"{factor:.2f} x {r_text(cavity.resistance)} between steel studs"
    return LayerResistance(
        layer.id, factor * cavity.resistance, basis, source_text(str(row["source"])), str(row["status"])
    )


def _hollow(layer: Layer, unit: Unit) -> tuple[Option, ...]:
    """Hollow block: isothermal planes through face shells, webs and cores; grouted cells stand beside open ones."""
    material = layer.material
    if material is None or layer.thickness is None:
        raise NotComputableError(f"layer {layer.id!r}: a masonry unit needs its material and thickness")
    grouted = grouted_share(unit)
    geometry = web_geometry(layer, unit)
    if geometry is None:
        row = rated_row(material, layer.thickness)
        if row is not None and grouted == 0 and layer.fill is None:
            return (Option("", 1.0, material_resistance(layer, material, layer.thickness)),)
        raise NotComputableError(
            f"layer {layer.id!r}: hollow unit without face_shell, web and webs, so its R cannot be computed"
        )
    parts = []
    if grouted > 0:
        parts.append(Option("grouted cells", grouted, _unit_path(layer, unit, geometry, "grout")))
    if grouted < 1:
        name = "open cells" if grouted > 0 else ""
        parts.append(Option(name, 1 - grouted, _unit_path(layer, unit, geometry, "core")))
    return tuple(parts)


def _unit_path(layer: Layer, unit: Unit, geometry: tuple[float, float, float], what: str) -> LayerResistance:
    assert layer.material is not None
    face_shell, share, core = geometry
    conductivity, source, status = concrete_conductivity(layer, layer.material)
    if what == "grout":
        assert unit.grout is not None
        infill, _, infill_status = concrete_conductivity(layer, unit.grout.material)
        inside, words = core / infill, f"grout at {infill:.3g} W/(m·K)"
    elif layer.fill is not None:
        filled = material_resistance(layer, layer.fill, core)
        inside, words, infill_status = filled.resistance, f"filled cores, {filled.basis}", filled.status
    else:
        row = _film_row("us-core")
        inside, words, infill_status = row["r"] * units.R_IP, f"empty cores at R-{row['r']:g}", row["status"]
    resistance = heat.hollow_unit_resistance(layer.depth, face_shell, share, conductivity, inside)
    basis = (
        f"2 face shells of {face_shell * 1000:.3g} mm at {conductivity:.3g} W/(m·K) + webs {share:.3f} of the face "
        f"beside {words}, {core * 1000:.4g} mm deep"
    )
    note = f"{source_text('ncma-tek-67a')}; conductivity: {source}"
    return LayerResistance(layer.id, resistance, basis, note, worse(status, infill_status))


def worse(*statuses: str) -> str:
    """The least certain of several statuses."""
    order = ("confirmed", "secondary", "common-practice", "from-memory", MISSING)
    return max(statuses, key=order.index)


def _open_gap(layer: Layer) -> LayerResistance:
    depth = layer.cavity.depth if layer.cavity is not None and layer.cavity.depth is not None else layer.thickness
    if depth is None:
        raise NotComputableError(f"layer {layer.id!r}: air space without depth")
    if makeup.is_open_both_ends(layer):
        return _zero(layer, "outdoor air runs through this gap", source_text("iso-6946"), "secondary")
    space = air_space(layer, depth)
    if layer.cavity is None or layer.cavity.kind == "unventilated":
        return space
    words = f"{space.basis}, drained at the bottom only"
    return LayerResistance(layer.id, space.resistance, words, space.source, worse(space.status, "from-memory"))


def _zero(layer: Layer, basis: str, source: str, status: str = "common-practice") -> LayerResistance:
    return LayerResistance(layer.id, 0.0, basis, source, status)


def _film_row(row_id: str) -> Any:
    return next(row for row in load_table("films")["rows"] if row["id"] == row_id)
