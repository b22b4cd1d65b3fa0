"""What a wall is made of, as codes and handbooks see it: its mass, its veneer, its insulation, its open gap.

Answers come from the attributes and kinds of materials, never from ids or titles.
"""

from __future__ import annotations

from specgen.model.material import Material
from specgen.model.wall import Layer, Wall

INSULATION_KINDS = frozenset({"batt", "loose-fill", "spray-foam", "rigid-foam", "mineral-board"})
MASS_KINDS = frozenset({"block", "concrete", "brick"})
VENEER_KINDS = frozenset({"adhered-veneer", "tile"})
LEAST_MASS_DEPTH = 0.05  # thinner masonry or concrete is a facing, not a wall [m]; our own reading
LEAST_STUD_DEPTH = 0.08  # 2x4 and deeper are studs, shallower members are furring [m]


def is_insulation(material: Material | None) -> bool:
    """True for what the code's R path counts: insulation, not sheathing, gypsum board, cladding or films."""
    if material is None:
        return False
    return material.kind in INSULATION_KINDS if material.insulating is None else material.insulating


def is_mere_gap(material: Material) -> bool:
    """True for a mat that only holds a gap open; a grooved board drains too, but it insulates."""
    return material.kind == "drainage-mat" or (
        material.drainable and material.conductivity is None and not material.rated
    )


def is_metal_framed(layer: Layer) -> bool:
    """True if metal members bridge this layer."""
    return layer.framing is not None and layer.framing.material.metal


def cavity_fill(layer: Layer) -> Material | None:
    """What stands between the members of a framed layer: its fill, or the material of the layer itself."""
    return (layer.fill or layer.material) if layer.framing else None


def is_hollow(layer: Layer) -> bool:
    """True for masonry whose cores matter; brick is solid unless its webs are given (its small holes count as none)."""
    unit = layer.unit
    if unit is None or not unit.hollow:
        return False
    return unit.face_shell is not None or layer.material is None or layer.material.kind != "brick"


def is_open_both_ends(layer: Layer) -> bool:
    """True for a gap that outdoor air runs through: open at bottom and top, or ventilated without saying where."""
    cavity = layer.cavity
    if cavity is None or cavity.kind == "unventilated":
        return False
    return {"bottom", "top"} <= set(cavity.open) or (cavity.kind == "ventilated" and not cavity.open)


def ventilated_gap(wall: Wall) -> int | None:
    """Index of the innermost gap that outdoor air runs through; what lies outside it resists no heat."""
    gaps = [index for index, layer in enumerate(wall.layers) if is_open_both_ends(layer)]
    return gaps[-1] if gaps else None


def mass_layer(wall: Wall) -> int | None:
    """Index of the deepest layer of block, concrete or brick, by the code's list a mass wall; veneer is none."""
    candidates = [
        index
        for index, layer in enumerate(wall.layers)
        if _is_masonry(layer) and layer.framing is None and not is_veneer(wall, index)
    ]
    return max(candidates, key=lambda index: wall.layers[index].depth) if candidates else None


def is_veneer(wall: Wall, index: int) -> bool:
    """True for masonry that only clads: adhered, or standing tied, gapped or by construction outside the real wall."""
    layer = wall.layers[index]
    if layer.material is None:
        return False
    if layer.material.kind in VENEER_KINDS:
        return True
    if layer.material.kind not in MASS_KINDS:
        return False
    inboard = wall.layers[index + 1 :]
    backed = any(_is_structural_framing(other) or _is_masonry(other) for other in inboard)
    gapped = any(other.cavity is not None and other.framing is None for other in inboard)
    return backed and (layer.ties is not None or wall.construction == "framed" or gapped)


def _is_masonry(layer: Layer) -> bool:
    return layer.material is not None and layer.material.kind in MASS_KINDS and layer.depth >= LEAST_MASS_DEPTH


def _is_structural_framing(layer: Layer) -> bool:
    return layer.framing is not None and layer.depth >= LEAST_STUD_DEPTH
