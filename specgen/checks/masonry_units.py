"""Hollow masonry units: webs, cores, grout and fill in, the resistance of grouted and open cells out."""

from __future__ import annotations

from specgen import units
from specgen.checks.resistances import (
    Option,
    concrete_conductivity,
    film_row,
    material_resistance,
    rated_row,
    source_text,
    worse,
)
from specgen.errors import NotComputableError
from specgen.model.assessment import LayerResistance
from specgen.model.wall import Layer, Unit
from specgen.physics import masonry


def unit_options(layer: Layer, unit: Unit) -> tuple[Option, ...]:
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
        inside, words = core / infill, f"grout at {_conducts(infill)}"
    elif layer.fill is not None:
        filled = material_resistance(layer, layer.fill, core)
        if filled.resistance == 0:
            raise NotComputableError(
                f"layer {layer.id!r}: no R for {layer.fill.id} in cores {units.format_inches(core)} in deep; "
                "expected a fill with a conductivity"
            )
        inside, words, infill_status = filled.resistance, f"filled cores, {filled.basis}", filled.status
    else:
        row = film_row("us-core")
        inside, words, infill_status = row["r"] * units.R_IP, f"empty cores at R-{row['r']:g}", row["status"]
    resistance = masonry.hollow_unit_resistance(layer.depth, face_shell, share, conductivity, inside)
    basis = (
        f"2 face shells of {face_shell / units.INCH:.4g} in at {_conducts(conductivity)} + webs {share:.4f} of the "
        f"face beside {words}, {core / units.INCH:.4g} in deep"
    )
    note = f"{source_text('ncma-tek-67a')}; conductivity: {source}"
    return LayerResistance(layer.id, resistance, basis, note, worse(status, infill_status))


def _conducts(conductivity: float) -> str:
    return f"{conductivity / units.K_IP:.4g} Btu·in/(h·ft²·°F) ({conductivity:.4g} W/(m·K))"


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
    share = masonry.web_share(unit.web, unit.webs, unit.length)
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
    return masonry.grouted_share(unit.grout.vertical_spacing, unit.grout.horizontal_spacing, cell, course)
