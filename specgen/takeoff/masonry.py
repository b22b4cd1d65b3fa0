"""Units, mortar and grout of a masonry layer, from the unit's own geometry and the grout pattern."""

from __future__ import annotations

from collections.abc import Iterator

from specgen import units
from specgen.data import load_table
from specgen.model.wall import Grout, Layer, Unit
from specgen.takeoff.quantity import Quantity


def masonry_quantities(layer: Layer, area: float) -> Iterator[Quantity]:
    """Units, joint mortar by geometry, the trade's mortar rule for hollow block, grout, and what fills the cores.

    Parameters
    ----------
    layer : Layer
        A layer with a unit and a material.
    area : float
        Of opaque wall. [m²]
    """
    unit = layer.unit
    assert unit and layer.material
    waste = load_table("takeoff")["waste"]
    length, height = unit.length + unit.joint, unit.height + unit.joint
    count = area / (length * height)
    size = f"{_inches(length)} × {_inches(height)}"
    name = layer.label or layer.material.label
    text = f"{area / units.FOOT**2:g} sq ft ÷ ({size} module)"
    yield Quantity(layer.id, name, count, "count", waste["unit"], text, "computed")
    yield _joint_mortar(layer, unit, count, waste["mortar"])
    if unit.hollow:
        rule = load_table("takeoff")["mortar_rule"]
        volume = count / 100 * rule["cubic_feet_per_100_units"] * units.FOOT**3
        text = f"{count:.4g} units × {rule['cubic_feet_per_100_units']:g} cu ft per 100, waste included"
        yield Quantity(
            layer.id, f"{name}: mortar to order", volume, "volume", 0.0, text, rule["status"].replace("-", " ")
        )
    if unit.grout:
        yield from _grout(layer, unit, unit.grout, area, waste["grout"])
    if layer.fill and unit.hollow:
        yield from _core_fill(layer, unit, area, waste["loose-fill"])


def grouted_depth(unit: Unit, thickness: float, grout: Grout) -> float | None:
    """Grout as if spread evenly behind the whole wall face; None if the unit's webs or the pattern are not stated.

    Parameters
    ----------
    unit : Unit
        Hollow, with face shells and webs.
    thickness : float
        Of the block layer, > 0. [m]
    grout : Grout
        Solid, or at a spacing of cells and courses.

    Returns
    -------
    depth : float or None
        Volume of grout per area of wall. [m]

    Source
    ------
    First principles: cells between face shells and webs; the trough of a grouted course runs through.
    """
    cells = _cell_depth(unit, thickness)
    if cells is None:
        return None
    if grout.solid:
        return cells
    width = thickness - 2 * (unit.face_shell or 0.0)
    cell_area = cells * (unit.length + unit.joint) / ((unit.webs or 0) - 1)  # plan area of one cell
    depth = 0.0
    if grout.vertical_spacing:
        depth += cell_area / grout.vertical_spacing
    if grout.horizontal_spacing:
        depth += width * unit.height / grout.horizontal_spacing
    if grout.vertical_spacing and grout.horizontal_spacing:  # where they cross, counted once
        depth -= cell_area * unit.height / (grout.vertical_spacing * grout.horizontal_spacing)
    return depth or None


def _cell_depth(unit: Unit, thickness: float) -> float | None:
    """All cells as if spread evenly behind the wall face. [m]"""
    if not unit.hollow or not unit.face_shell or not unit.web or not unit.webs or unit.webs < 2:
        return None
    plan = (thickness - 2 * unit.face_shell) * (unit.length - unit.webs * unit.web)
    return plan / (unit.length + unit.joint)


def _joint_mortar(layer: Layer, unit: Unit, count: float, waste: float) -> Quantity:
    """Bed and head joints; on hollow units only under and between the face shells."""
    name = layer.label or (layer.material.label if layer.material else layer.id)
    bedded = 2 * unit.face_shell if unit.hollow and unit.face_shell else layer.depth
    joints = unit.length + unit.joint + unit.height  # bed of one module, head of one unit
    volume = count * bedded * unit.joint * joints
    how = "under the face shells" if unit.hollow and unit.face_shell else "full beds"
    text = f"{count:.4g} units × {_inches(unit.joint)} joints, {_decimal(bedded)} wide, {how}"
    return Quantity(layer.id, f"{name}: mortar in the joints", volume, "volume", waste, text, "computed")


def _grout(layer: Layer, unit: Unit, grout: Grout, area: float, waste: float) -> Iterator[Quantity]:
    depth = grouted_depth(unit, layer.depth, grout)
    if depth is None:
        return
    if grout.solid:
        pattern = "all cells"
    else:
        parts = (
            f"cells at {_inches(grout.vertical_spacing)}" if grout.vertical_spacing else "",
            f"courses at {_inches(grout.horizontal_spacing)}" if grout.horizontal_spacing else "",
        )
        pattern = " and ".join(part for part in parts if part)
    text = f"{area / units.FOOT**2:g} sq ft × {_decimal(depth)} mean depth, {pattern}"
    yield Quantity(layer.id, grout.material.label, area * depth, "volume", waste, text, "computed")


def _core_fill(layer: Layer, unit: Unit, area: float, waste: float) -> Iterator[Quantity]:
    cells = _cell_depth(unit, layer.depth)
    assert layer.fill
    if cells is None:
        return
    grouted = (grouted_depth(unit, layer.depth, unit.grout) or 0.0) if unit.grout else 0.0
    depth = max(cells - grouted, 0.0)
    text = f"{area / units.FOOT**2:g} sq ft × {_decimal(depth)} mean depth of cells left open"
    yield Quantity(layer.id, layer.fill.label, area * depth, "volume", waste, text, "computed")


def _inches(length: float) -> str:
    return f"{units.format_inches(length)} in"


def _decimal(length: float) -> str:
    return f"{length / units.INCH:.2f} in"
