"""What the rules ask of a wall, answered from attributes: what carries it, where it drains, how open each layer is.

Takes a resolved wall, gives indices into `wall.layers` (exterior first) and permeances; looks at no id and no title.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from specgen import units
from specgen.checks.makeup import is_open_both_ends, mass_layer
from specgen.errors import NotComputableError
from specgen.model.material import Material
from specgen.model.site import Site
from specgen.model.wall import Layer, Wall
from specgen.physics import vapor

MASONRY = ("block", "brick", "concrete")
RESERVOIR = ("stucco", "adhered-veneer", "brick", "mortar")  # claddings that store rain and give it back to the sun
FIBROUS = ("batt", "loose-fill")
INSULATION = ("batt", "loose-fill", "rigid-foam", "spray-foam", "mineral-board")
CONTINUOUS_INSULATION = ("rigid-foam", "spray-foam", "mineral-board")
WOOD_SHEATHING = ("wood-panel", "fiberboard", "wood")
DRAINED_DEPTH = 3 / 16 * units.INCH  # least space behind stucco, IRC 2021 R703.7.3.2 [m]
DRAINAGE_EFFICIENCY = 0.90  # least by ASTM E2273 or E2925 Annex A2, IRC 2021 R703.7.3.2 [-]
HAIR = 1e-6  # a thickness read from a fraction of an inch and compared with another [m]


@dataclass(frozen=True, slots=True)
class VaporPlane:
    """One resistance to vapor; a faced batt gives two, its body and its facing, the facing inboard."""

    index: int
    dry: float  # [kg/(m²·s·Pa)], infinite for an open layer
    wet: float  # the dry value where no wet cup is known [kg/(m²·s·Pa)]
    facing: bool = False
    known: bool = True

    @property
    def retarder_class(self) -> str:
        return vapor.retarder_class(self.dry)

    @property
    def closed(self) -> bool:
        """Under 1 perm in the dry cup and in the wet cup."""
        return max(self.dry, self.wet) < units.PERM * (1 - vapor.ROUNDING)


def planes_of(layer: Layer, index: int = 0) -> tuple[VaporPlane, ...]:
    """Vapor planes of one layer, exterior first. A stud layer is judged through its fill, the path between members."""
    body = layer.material or layer.fill
    if body is None:
        if layer.thickness and (layer.framing or layer.cavity):
            still = math.inf if is_open_both_ends(layer) else vapor.still_air_permeance(layer.thickness)
            return (VaporPlane(index, still, still),)
        return (VaporPlane(index, math.inf, math.inf, known=False),)
    dry, wet = _permeances(body, layer.thickness)
    if dry is None:
        return (VaporPlane(index, math.inf, math.inf, known=False),)
    plane = VaporPlane(index, dry, dry if wet is None else wet)
    if body.kind == "batt" and body.facing != "none":
        return (VaporPlane(index, math.inf, math.inf), VaporPlane(index, plane.dry, plane.wet, facing=True))
    return (plane,)


def _permeances(material: Material, thickness: float | None) -> tuple[float | None, float | None]:
    """Dry and wet cup of a material at this thickness, None where not known."""
    if material.permeability and thickness:
        wet = material.permeability.wet
        return (
            vapor.layer_permeance(material.permeability.dry, thickness),
            None if wet is None else vapor.layer_permeance(wet, thickness),
        )
    if material.permeance:
        tested = material.permeance
        # Without a thickness of its own the value is the film as applied, all coats; a facing never scales.
        scale = material.facing == "none" and tested.thickness and thickness
        values = (tested.dry, tested.wet)
        if not scale:
            return values
        at = tested.thickness or 1.0
        dry, wet = (None if v is None else vapor.scaled_permeance(v, at, thickness or at) for v in values)
        return dry, wet
    if material.kind == "metal":
        return 0.0, 0.0
    if material.kind == "lath":
        return math.inf, math.inf
    return None, None


def drains(layer: Layer) -> bool:
    """Water that enters this layer falls to an opening at its bottom."""
    if is_open_both_ends(layer):
        return True
    if layer.cavity:
        return layer.cavity.kind != "unventilated" and "bottom" in layer.cavity.open
    return bool(layer.material and layer.material.drainable)


def gap_depth(layer: Layer) -> float:
    """Clear depth of a drained or ventilated layer. [m]"""
    return (layer.cavity.depth if layer.cavity and layer.cavity.depth else layer.thickness) or 0.0


def drained_gap(layer: Layer) -> bool:
    """A drained space of 3/16 in or more, or a material of 90 % drainage efficiency."""
    efficiency = layer.material.drainage_efficiency if layer.material else None
    deep = gap_depth(layer) >= DRAINED_DEPTH - HAIR
    return drains(layer) and (deep or (efficiency or 0.0) >= DRAINAGE_EFFICIENCY)


def kind_of(layer: Layer) -> str:
    """Kind of what the layer is chiefly made of, empty for an air space."""
    return layer.main_material.kind if layer.main_material else ""


def carries_stucco(material: Material | None) -> bool:
    """Metal lath, which stucco hangs on by its key; mesh of the same kind is only bedded in a coat."""
    return material is not None and material.kind == "lath" and material.metal


def name_of(layer: Layer) -> str:
    """The layer's wording on the callout, else its material's short name, else its id."""
    return layer.label or (layer.main_material.label if layer.main_material else layer.id)


def wettable_part(layer: Layer) -> Material | None:
    """What rots, swells or feeds mold in a layer when wet: its material, its fill or its members; None if nothing."""
    parts = (layer.material, layer.fill, layer.framing.material if layer.framing else None)
    return next((part for part in parts if part and part.moisture_sensitive), None)


def wettable(layer: Layer) -> bool:
    """Some part of the layer rots, swells or feeds mold when wet."""
    return wettable_part(layer) is not None


def wettable_name(layer: Layer) -> str:
    """The layer's wording; where only its members are wettable, theirs."""
    part = wettable_part(layer)
    if layer.framing and part is layer.framing.material:
        return f"{part.label} (members of {layer.id})"
    return name_of(layer)


def hot_humid(site: Site) -> bool:
    """Zones 0A, 1A, 2A and 3A."""
    return site.zone <= 3 and site.regime == "A"


class Reading:
    """One wall as the rules see it."""

    def __init__(self, wall: Wall) -> None:
        self.wall = wall
        self.layers = wall.layers
        self.framed = wall.construction == "framed"

    @cached_property
    def structure(self) -> int:
        """The layer that carries: the deepest stud layer of a framed wall, the deepest masonry of a mass wall.

        Raises
        ------
        NotComputableError
            If the wall has no such layer.
        """
        if self.framed:
            framed = [(layer.depth, index) for index, layer in enumerate(self.layers) if layer.framing]
            found = max(framed)[1] if framed else None
        else:
            found = mass_layer(self.wall)
        if found is None:
            part = "framing" if self.framed else "block, brick or concrete"
            raise NotComputableError(
                f"wall {self.wall.name!r} is {self.wall.construction}, but no layer of it is {part} that could carry it"
            )
        return found

    @cached_property
    def body(self) -> range:
        """The structure with all layers that its members run through: foam and batt in one cavity are two layers."""
        first = last = self.structure
        while first > 0 and self._one_member(first - 1, self.structure):
            first -= 1
        while last + 1 < len(self.layers) and self._one_member(last + 1, self.structure):
            last += 1
        return range(first, last + 1)

    def _one_member(self, index: int, structure: int) -> bool:
        a, b = self.layers[index].framing, self.layers[structure].framing
        if a is None or b is None:
            return False
        same = (a.material.id, a.width, a.spacing, a.fraction, a.orientation)
        return same == (b.material.id, b.width, b.spacing, b.fraction, b.orientation)

    @cached_property
    def outboard(self) -> range:
        """Layers outside of the structure."""
        return range(self.body.start)

    @cached_property
    def inboard(self) -> range:
        """Layers inside of the structure."""
        return range(self.body.stop, len(self.layers))

    @cached_property
    def air_open_fill(self) -> int | None:
        """The outermost layer of a framed wall's cavity whose insulation is open to air."""
        fills = ((i, self.layers[i].fill) for i in self.body if self.framed)
        return next((i for i, fill in fills if fill and fill.air_open), None)

    def of_kind(self, indices: range, *kinds: str) -> list[int]:
        return [i for i in indices if kind_of(self.layers[i]) in kinds]

    @cached_property
    def stucco(self) -> list[int]:
        return self.of_kind(self.outboard, "stucco")

    @cached_property
    def reservoir(self) -> list[int]:
        """Layers of a cladding that stores rain."""
        return self.of_kind(self.outboard, *RESERVOIR)

    @cached_property
    def veneer(self) -> int | None:
        """The anchored masonry veneer: brick outside of the structure, or masonry out there that is tied back."""
        found = [
            i for i in self.outboard
            if kind_of(self.layers[i]) == "brick" or (kind_of(self.layers[i]) in MASONRY and self.layers[i].ties)
        ]  # fmt: skip
        return found[-1] if found else None

    @cached_property
    def lathed(self) -> bool:
        """Some stucco coat has metal lath in it, or lath stands as a layer of its own; mesh bedded against cracks
        carries nothing."""
        embedded = any(carries_stucco(part.material) for i in self.stucco for part in self.layers[i].embedded)
        return embedded or any(carries_stucco(self.layers[i].material) for i in self.outboard)

    @cached_property
    def direct_stucco(self) -> bool:
        """Stucco bonded to the masonry: no lath, no space, no insulation between."""
        if self.framed or not self.stucco:
            return False
        between = [self.layers[i] for i in range(self.stucco[-1] + 1, self.structure)]
        return not self.lathed and not any(drains(x) or x.cavity or kind_of(x) in INSULATION for x in between)

    @cached_property
    def wood_sheathing(self) -> int | None:
        """The outermost wood-based sheathing behind the cladding of a framed wall."""
        behind = self.reservoir[-1] + 1 if self.reservoir else 0
        for i in range(behind, self.structure):
            material = self.layers[i].material
            if material and material.wood_based and material.kind in WOOD_SHEATHING:
                return i
        return None

    def water_layers(self, indices: range) -> list[int]:
        """Layers named as water control, and sheets or membranes that could be."""
        return [i for i in indices if "water" in self.layers[i].controls or self._sheet_barrier(self.layers[i])]

    def _sheet_barrier(self, layer: Layer) -> bool:
        return bool(layer.material and layer.material.water_barrier and layer.material.kind in ("sheet", "membrane"))

    def controls(self, control: str, indices: range | None = None) -> list[int]:
        """Layers that the wall file names for this control."""
        within = range(len(self.layers)) if indices is None else indices
        return [i for i in within if control in self.layers[i].controls]

    @cached_property
    def planes(self) -> tuple[VaporPlane, ...]:
        return tuple(plane for i, layer in enumerate(self.layers) for plane in planes_of(layer, i))

    @cached_property
    def ventilated(self) -> int:
        """The innermost ventilated space outside of the structure, -1 if there is none."""
        return max((i for i in self.outboard if is_open_both_ends(self.layers[i])), default=-1)

    @cached_property
    def interior_planes(self) -> tuple[VaporPlane, ...]:
        """Inside of the cavity or the masonry; the facing of a batt in the cavity counts."""
        return tuple(p for p in self.planes if p.index >= self.body.stop or (p.index in self.body and p.facing))

    @cached_property
    def interior_retarder(self) -> VaporPlane | None:
        known = [p for p in self.interior_planes if p.known]
        return min(known, key=lambda p: p.dry) if known else None

    def permeance_to_exterior(self, index: int) -> float:
        """From a layer outward, to the air outside or to a ventilated space; wet cup where known. [kg/(m²·s·Pa)]"""
        start = max((i for i in range(index) if is_open_both_ends(self.layers[i])), default=-1)
        return vapor.series_permeance(p.wet for p in self.planes if start < p.index < index)

    def permeance_to_interior(self, index: int) -> float:
        """From a layer inward to the room, the facing of its own batt included; wet cup where known. [kg/(m²·s·Pa)]"""
        return vapor.series_permeance(p.wet for p in self.planes if p.index > index or (p.index == index and p.facing))

    @cached_property
    def wettable_layers(self) -> list[int]:
        """Moisture-sensitive layers inside of the ventilated space, if there is one."""
        return [i for i in range(self.ventilated + 1, len(self.layers)) if wettable(self.layers[i])]

    @cached_property
    def foam_outside(self) -> list[int]:
        return [i for i in self.outboard if self._foam(self.layers[i])]

    def foam_anywhere(self) -> Iterator[int]:
        return (i for i, layer in enumerate(self.layers) if self._foam(layer))

    def _foam(self, layer: Layer) -> bool:
        return any(part.foam_plastic for part in (layer.material, layer.fill) if part)

    @cached_property
    def insulation_outside(self) -> list[int]:
        return [i for i in self.outboard if self._continuous(self.layers[i])]

    def _continuous(self, layer: Layer) -> bool:
        """Insulation that needs no framing to hold it: by kind, or a board that is sold as insulation."""
        sold = layer.material is not None and bool(layer.material.insulating)
        return sold or kind_of(layer) in CONTINUOUS_INSULATION

    @cached_property
    def insulation_inside(self) -> list[int]:
        return self.of_kind(self.inboard, *INSULATION)
