"""Which subjects of a specification a wall has: layers sorted by what they are made of and where they stand.

Decided by material kind and attributes, by the layer's place before or behind the wall's structure, and by what is
embedded in it; never by ids or titles. Each layer with a material falls under one subject, so none goes unspecified.
"""

from __future__ import annotations

from dataclasses import dataclass

from specgen.model.material import Material
from specgen.model.wall import Embedded, Layer, Wall

_BY_KIND = {
    "adhered-veneer": "adhered-veneer",
    "batt": "batt",
    "block": "block",
    "brick": "brick-veneer",
    "concrete": "concrete",
    "drainage-mat": "drainage-mat",
    "fiber-cement": "siding",
    "fiberboard": "sheathing",
    "gypsum-board": "gypsum-board",
    "gypsum-sheathing": "sheathing",
    "loose-fill": "loose-fill",
    "membrane": "membrane",
    "mineral-board": "board-insulation",
    "panel-siding": "siding",
    "plaster": "plaster",
    "rigid-foam": "board-insulation",
    "spray-foam": "spray-foam",
    "tile": "interior-finish",
    "wall-covering": "interior-finish",
    "wood-panel": "sheathing",
    "wood-siding": "siding",
}
FILLS = ("batt", "loose-fill", "spray-foam")


@dataclass(frozen=True, slots=True)
class Subject:
    """One subject of the section and the layers of this wall that belong to it, exterior first."""

    id: str
    layers: tuple[Layer, ...]


def wall_subjects(wall: Wall) -> tuple[Subject, ...]:
    """The subjects of a wall in the order of its layers from the exterior, flashing and sealant last."""
    found: dict[str, list[Layer]] = {}
    for index, layer in enumerate(wall.layers):
        for subject in _subjects_of(wall, index, layer):
            found.setdefault(subject, []).append(layer)
    if wall.base is not None or wall.openings is not None:
        found.setdefault("flashing", [])
    if wall.openings is not None:
        found.setdefault("sealant", [])
    return tuple(Subject(name, tuple(layers)) for name, layers in found.items())


def in_order_of_work(wall: Wall, subjects: tuple[Subject, ...]) -> tuple[Subject, ...]:
    """The same subjects as a site meets them: structure, then outward, sealant, then inward; flashing with the
    water-control layer."""
    structure = structure_index(wall)

    def step(subject: Subject) -> float:
        if subject.id == "sealant":
            return 500.0
        if subject.id == "flashing":
            waters = [i for i, layer in enumerate(wall.layers) if "water" in layer.controls and i < structure]
            return structure - max(waters) + 0.5 if waters else 400.0
        indices = [wall.index(layer.id) for layer in subject.layers]
        if subject.id in ("framing", "block", "concrete"):
            return 0.0
        if min(indices) < structure:
            return float(structure - max(index for index in indices if index < structure))
        return 1000.0 + min(indices)

    return tuple(sorted(subjects, key=step))


def structure_index(wall: Wall) -> int:
    """Index of what carries the wall: block, concrete, else the deepest members."""
    masses = [index for index, layer in enumerate(wall.layers) if _is_mass(layer)]
    if masses:
        return masses[-1]
    framed = [index for index, layer in enumerate(wall.layers) if layer.framing is not None]
    return max(framed, key=lambda index: wall.layers[index].depth, default=len(wall.layers) - 1)


def lath_in(layers: tuple[Layer, ...]) -> tuple[Embedded, ...]:
    """Metal lath embedded in these layers: what holds a stucco or a veneer by its key."""
    return tuple(part for part in _reinforcement(layers) if part.material.metal)


def mesh_in(layers: tuple[Layer, ...]) -> tuple[Embedded, ...]:
    """Mesh bedded in these layers against cracks; a stucco with mesh alone still hangs on its bond."""
    return tuple(part for part in _reinforcement(layers) if not part.material.metal)


def _reinforcement(layers: tuple[Layer, ...]) -> list[Embedded]:
    return [part for layer in layers for part in layer.embedded if part.material.kind == "lath"]


def _subjects_of(wall: Wall, index: int, layer: Layer) -> list[str]:
    subjects = []
    if layer.material is not None:
        subjects.append(_material_subject(wall, index, layer, layer.material))
    if layer.framing is not None:
        subjects.append("framing" if index == structure_index(wall) and not _is_metal(layer) else "furring")
    if layer.fill is not None:
        subjects.append(layer.fill.kind if layer.fill.kind in FILLS else "other")
    return list(dict.fromkeys(subjects))


def _material_subject(wall: Wall, index: int, layer: Layer, material: Material) -> str:
    if material.kind == "stucco":
        return "stucco-on-lath" if lath_in(_group_of(wall, index)) else "direct-stucco"
    if material.kind == "coating":
        return _coating_subject(wall, index, layer, material)
    if material.kind == "sheet":
        return "membrane" if material.water_barrier else "vapor-retarder"
    if material.kind == "fiberboard" and "thermal" in layer.controls:  # wood fiber: insulation, not a nailing base
        return "board-insulation"
    if material.kind == "mortar" and _carries_veneer(wall, index):
        return "adhered-veneer"
    return _BY_KIND.get(material.kind, "other")


def _coating_subject(wall: Wall, index: int, layer: Layer, material: Material) -> str:
    structure = structure_index(wall)
    keeps_water = material.water_barrier or "water" in layer.controls
    if index > structure:
        return "negative-side-coating" if keeps_water else "paint"
    if index > 0 and keeps_water:  # behind a cladding: it does a membrane's work
        return "membrane"
    return "film-coating" if material.film_forming else "breathable-coating"


def _group_of(wall: Wall, index: int) -> tuple[Layer, ...]:
    group = wall.layers[index].group
    if group is None:
        return (wall.layers[index],)
    return tuple(layer for layer in wall.layers if layer.group == group)


def _carries_veneer(wall: Wall, index: int) -> bool:
    """Whether this is the scratch coat or setting bed right behind an adhered veneer."""
    outside = wall.layers[index - 1].material if index > 0 else None
    return outside is not None and outside.kind in ("adhered-veneer", "mortar")


def _is_mass(layer: Layer) -> bool:
    return layer.material is not None and layer.material.kind in ("block", "concrete")


def _is_metal(layer: Layer) -> bool:
    return layer.framing is not None and layer.framing.profile != "solid"
