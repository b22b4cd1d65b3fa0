"""Where everything of a cut at a window stands: sill, head and jamb share one measure.

Across the wall as in every cut: paper mm inward of the set-out face. Along it `s`: paper mm from the edge of the
rough opening into the wall, negative in the opening. So head, sill and jamb are one detail turned three ways, and
differ only where water makes them differ.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from specgen import units
from specgen.drawing.geometry import Frame
from specgen.drawing.layout import Strip, backing_index, core_index, is_siding, strips
from specgen.errors import NotComputableError
from specgen.model.scene import Point
from specgen.model.wall import Openings, Wall

Side = Literal["head", "sill", "jamb"]
# Where the window's plane lies: on the membrane over the frame; on a buck in front of the wall that carries, as deep
# as its insulation; on a buck between masonry jambs; the same under stucco applied to the masonry itself.
Setting = Literal["on-frame", "buck-in-front", "buck-within", "direct"]

# Common practice; drawn sizes only. The window is nobody's: an outline with a flange.
SHIM = 0.5 * units.INCH
FRAME_DEPTH = 3.25 * units.INCH
FRAME_PROUD = 1.0 * units.INCH  # of the frame beyond its flange
FRAME_FACE = 1.25 * units.INCH
FLANGE = 1.375 * units.INCH
BUCK = 1.5 * units.INCH
BUCK_DEPTH = 3.5 * units.INCH
UPPER_LEG = 2.5 * units.INCH
STRIP_LAP = 2.0 * units.INCH
TRIM = 2.5 * units.INCH
BEAD_GAP = 0.25 * units.INCH
DEFAULT_JOINT = 0.375 * units.INCH
BACK_DAM = 1.0 * units.INCH
SILL_RISE = 0.2 * units.INCH  # of the sloped sill over the frame's depth
CAST_SILL = 2.0 * units.INCH
SILL_BED = 1.0 * units.INCH
ROWLOCK = 3.625 * units.INCH
ANGLE = 0.3125 * units.INCH

_BODIES = ("stucco", "mortar", "plaster", "adhered-veneer", "brick", "fiber-cement", "wood-siding", "panel-siding",
           "tile", "block", "metal", "wood", "concrete")  # fmt: skip


@dataclass(frozen=True, slots=True)
class Cut:
    """One cut at the edge of an opening; lengths in paper mm."""

    wall: Wall
    openings: Openings
    side: Side
    frame: Frame
    strips: tuple[Strip, ...]
    into: float  # wall shown beyond the edge of the opening
    out: float  # opening shown
    core: int
    backing: int
    plane: int
    clad: int  # so many layers, the outermost, are the cladding
    membrane: int | None  # the water-control film outside of the core
    setting: Setting

    def mm(self, length: float) -> float:
        """A length of the wall [m] on paper [mm]."""
        return self.frame.mm(length)

    def at(self, across: float, s: float) -> Point:
        """A paper point from a place across the wall and its distance into the wall."""
        return self.frame.place(across, s if self.side == "head" else -s)

    def box(self, outer: float, inner: float, near: float, far: float) -> tuple[Point, ...]:
        """Four corners of a strip."""
        return self.at(outer, near), self.at(inner, near), self.at(inner, far), self.at(outer, far)

    @property
    def fine(self) -> bool:
        """At small scale stacked films are drawn thinner, or they fill the gap that they line."""
        return self.frame.ratio > 5

    @property
    def pan_weight(self) -> float:
        return 0.35 if self.fine else 0.5

    @property
    def metal_weight(self) -> float:
        return 0.25 if self.fine else 0.35

    @property
    def masonry(self) -> bool:
        layer = self.wall.layers[self.core]
        return layer.unit is not None or (layer.material is not None and layer.material.kind in ("block", "concrete"))

    @property
    def brick(self) -> bool:
        """The cladding is laid in units: it stands on a lintel and has a sill of its own."""
        return any(strip.layer.unit for strip in self.strips[: self.clad])

    @property
    def siding(self) -> bool:
        return is_siding(self.strips[0].layer)

    @property
    def joint(self) -> float:
        return self.mm(self.openings.sealant_joint or DEFAULT_JOINT)

    @property
    def gap(self) -> float:
        """Between the rough opening and the window's frame."""
        return self.mm(SHIM)

    @property
    def buck(self) -> float:
        """Thickness of the buck, 0 where a window sits on framing."""
        return 0.0 if self.setting == "on-frame" else self.mm(BUCK)

    @property
    def clad_outer(self) -> float:
        return self.strips[0].outer

    @property
    def clad_inner(self) -> float:
        return self.strips[max(self.clad - 1, 0)].inner

    @property
    def inner_face(self) -> float:
        return self.strips[-1].inner

    @property
    def film(self) -> Strip | None:
        return None if self.membrane is None else self.strips[self.membrane]

    @property
    def behind(self) -> bool:
        """The membrane lies behind the buck and comes forward around it."""
        return self.setting == "buck-in-front" and self.membrane is not None and self.membrane > self.plane

    @property
    def substrate(self) -> float:
        """The face that carries the window: of buck, sheathing or masonry."""
        strip = self.strips[self.plane]
        return strip.inner if strip.is_film else strip.outer

    @property
    def front(self) -> float:
        """Outer side of what lies under the flange, the membrane included."""
        film = self.film
        if film is None or self.setting == "direct":
            return self.substrate
        if self.behind:
            return self.substrate - film.weight
        return min(self.substrate, film.line - film.weight / 2)

    @property
    def frame_outer(self) -> float:
        """Outer face of frame and extension: within the cladding, so that a joint between them can be sealed."""
        depth = self.clad_inner - self.clad_outer
        if self.siding:
            return self.clad_outer + 0.2 * depth
        return min(
            self.clad_outer + min(0.4 * depth, self.mm(0.8 * units.INCH)), self.front - self.mm(0.2 * units.INCH)
        )

    @property
    def main_outer(self) -> float:
        """Outer face of the window's own frame; what lies before it is an extension."""
        return max(self.frame_outer, self.substrate - self.mm(FRAME_PROUD))

    @property
    def frame_inner(self) -> float:
        return self.substrate + self.mm(FRAME_DEPTH - FRAME_PROUD)

    @property
    def dam(self) -> float:
        """Place of the back dam, across the wall."""
        return self.frame_inner + self.mm(0.2 * units.INCH)

    @property
    def core_end(self) -> float:
        """Where the layer that carries stops."""
        if self.setting in ("buck-within", "direct"):
            if self.side == "sill":
                return self.mm(CAST_SILL if self.setting == "direct" else SILL_BED)
            return self.mm(BUCK)
        return 0.0

    @property
    def clad_end(self) -> float:
        """Where the cladding stops."""
        if self.side == "jamb":
            return -self.gap + self.joint + (self.mm(TRIM) + self.mm(0.125 * units.INCH) if self.siding else 0.0)
        if self.side == "head":
            if self.setting == "direct":
                return -self.gap + self.joint
            if self.brick:
                return -self.gap + self.joint + self.mm(ANGLE)
            return -self.gap + self.mm(0.1 * units.INCH) + self.mm(BEAD_GAP)
        if self.setting == "direct":
            return self.mm(CAST_SILL)
        if self.brick:
            return self.rowlock_end
        return -self.gap + self.joint

    @property
    def rowlock_end(self) -> float:
        """Top of the coursed brick under a sloped brick sill."""
        return -self.gap + self.joint + self.mm(ROWLOCK + 1.25 * units.INCH)

    @property
    def leg(self) -> tuple[float, float]:
        """Lower and upper end of the head flashing's upper leg."""
        start = self.buck + self.mm(0.2 * units.INCH) if self.behind else 0.0
        return start, min(start + self.mm(UPPER_LEG), self.into - 4.0)

    def end(self, strip: Strip) -> float:
        """Where a layer stops, in mm into the wall."""
        if strip.index < self.clad:
            return self.clad_end
        if strip.index == self.core:
            return self.core_end
        if strip.index > self.core or strip.index >= self.backing:
            return 0.0
        if strip.index >= self.plane and self.setting == "buck-in-front":
            return self.mm(BUCK)
        if self.siding and self.side == "jamb":
            return -self.gap + self.joint
        if self.brick and self.side == "sill":
            return 0.0 if strip.layer.material is None else max(0.0, self.mm(FLANGE) - self.gap)
        if self.brick and strip.layer.material is not None:
            return -self.gap + self.joint
        return min(self.clad_end, -self.gap + self.joint) if self.side == "jamb" else self.clad_end


def cut_opening(wall: Wall, side: Side, ratio: float, origin: Point, into: float, out: float) -> Cut:
    """Lay out one cut.

    Parameters
    ----------
    wall : Wall
        The wall.
    side : str
        "head", "sill" or "jamb".
    ratio : float
        Scale: paper = actual / ratio. [-]
    origin : Point
        Paper point where the set-out face meets the edge of the rough opening. [mm]
    into, out : float
        How much of the wall and of the opening is shown. [mm]

    Raises
    ------
    NotComputableError
        If the wall names no openings, or all its layers are films.
    """
    if wall.openings is None:
        raise NotComputableError(f"wall {wall.name!r} names no openings, so there is none to draw")
    placed = strips(wall, 1000 / ratio)
    core, backing = core_index(wall), backing_index(wall)
    plane = min(wall.index(wall.openings.flange_plane), core)
    membrane = next(
        (strip.index for strip in placed[:core] if strip.is_film and strip.index > 0 and _controls_water(strip)), None
    )
    return Cut(
        wall, wall.openings, side, Frame(origin, ratio, turned=side == "jamb"), placed, into, out, core, backing, plane,
        _cladding(placed, min(plane, backing)), membrane, _setting(wall, placed, core, backing, plane),
    )  # fmt: skip


def _controls_water(strip: Strip) -> bool:
    return "water" in strip.layer.controls


def _cladding(placed: tuple[Strip, ...], before: int) -> int:
    """How many of the outermost layers are one body: coats, units and their setting bed, boards."""
    count = 0
    for strip in placed[: max(before, 1)]:
        layer = strip.layer
        body = layer.material is not None and layer.material.kind in _BODIES
        if not (strip.is_film and count == 0) and (not body or layer.framing or layer.cavity):
            break
        count += 1
        if strip.layer.unit or is_siding(layer):
            break
    return max(count, 1)


def _setting(wall: Wall, placed: tuple[Strip, ...], core: int, backing: int, plane: int) -> Setting:
    body = wall.layers[core]
    masonry = body.unit is not None or (body.material is not None and body.material.kind in ("block", "concrete"))
    if plane == core and masonry:
        return "direct"
    if any(not strip.is_film for strip in placed[plane:backing]):
        return "buck-in-front"
    return "buck-within" if masonry else "on-frame"
