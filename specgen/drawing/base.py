"""Where a wall ends at the floor: the levels of its base, and how far down each layer runs.

Heights are paper mm above the floor (negative below). `ground` draws what the wall stands on, `flashing` what ends
its cladding.
"""

from __future__ import annotations

from dataclasses import dataclass

from specgen import units
from specgen.drawing.callouts import is_film
from specgen.drawing.geometry import Frame
from specgen.drawing.layout import Strip, backing_index, core_index, is_siding
from specgen.model.scene import Circle, Dots, Group, Line, Point, Strokes, Text
from specgen.model.wall import Base, Wall

Item = Line | Strokes | Dots | Circle | Text | Group

# Common practice; drawn sizes only.
SLAB_DEPTH = 4 * units.INCH
STEM_WIDTH = 7.625 * units.INCH
JOINT_FILLER = 0.5 * units.INCH
SLAB_SEEN = 9.0  # least length of a slab inside a stem: less reads as a sliver [mm]
PLATE_DEPTH = 1.5 * units.INCH
BOARD_GAP = 0.5 * units.INCH  # interior boards are held off the slab
BELOW_GRADE = 4 * units.INCH  # how far membranes run below grade
SCREED_FLANGE = 3.5 * units.INCH  # ASTM C1063: vertical flange of at least 3-1/2 in (from memory)
SHELF_FALL = 0.06  # of metal under insulation, outward: about 3/4 in per foot [-]
DEFAULT_FLASHING_UP = 6 * units.INCH
DEFAULT_FLASHING_DOWN = 3 * units.INCH

_INSULATION = ("rigid-foam", "mineral-board", "spray-foam")


@dataclass(frozen=True, slots=True)
class Foot:
    """Levels of a wall's base on paper, and the layers that they speak of [mm above the floor]."""

    base: Base
    grade: float
    clear: float  # lowest cladding edge
    rise: float  # of the termination's leg, from the cladding's face to its back
    slope_outer: float  # across the wall: where the sloping leg begins and ends
    slope_inner: float
    shelf: float  # of the termination's metal where it meets the wall, under insulation that stands on it
    on_furring: bool  # the termination is fixed to furring, in front of insulation that hangs free of it
    bottom: float  # lower break
    backing: int
    core: int

    def end(self, across: float) -> float:
        """Height of the termination's leg at a place across the wall."""
        span = self.slope_inner - self.slope_outer
        if span <= 0:
            return self.clear
        share = min(1.0, max(0.0, (across - self.slope_outer) / span))
        return self.clear + self.rise * share


def foot(wall: Wall, placed: tuple[Strip, ...], frame: Frame, bottom: float) -> Foot | None:
    """Levels of the wall's base, None for a wall that names none."""
    base = wall.base
    if base is None:
        return None
    backing, core = backing_index(wall), core_index(wall)
    grade = -frame.mm(base.floor_above_grade)
    clear = grade + frame.mm(base.cladding_clearance)
    outer = placed[0].outer
    face = placed[backing].outer
    carrier = next((strip for strip in placed[:backing] if _is_insulation(strip) or strip.layer.framing), None)
    inner = carrier.outer if carrier else face
    on_furring = base.termination == "weep-screed" and carrier is not None and carrier.layer.framing is not None
    rise = 0.0
    if base.termination == "weep-screed":
        rise = min(0.5 * (inner - outer), frame.mm(0.75 * units.INCH))
    elif base.termination == "base-screen":
        rise = min(0.12 * (placed[backing].outer - outer), frame.mm(0.4 * units.INCH))
        inner = placed[backing].outer
    shelf = clear + rise
    if base.termination == "weep-screed" and carrier is not None and not on_furring:
        held = _foam_level(carrier, base, grade, frame)
        shelf = max(shelf + SHELF_FALL * (face - inner), shelf if held is None else held)
    return Foot(base, grade, clear, rise, outer, inner, shelf, on_furring, bottom, backing, core)


def layer_ends(wall: Wall, strip: Strip, feet: Foot | None, frame: Frame) -> tuple[float, float]:
    """Heights at which a layer ends at its outer and inner face [mm above the floor]."""
    if feet is None:
        return 0.0, 0.0
    base, index = feet.base, strip.index
    stands_on_stem = base.support == "block-stem" and wall.construction != "framed"
    if index == feet.core:
        level = feet.bottom if stands_on_stem else 0.0
        return level, level
    if index > feet.core:
        on_core = all(is_film(layer) for layer in wall.layers[feet.core + 1 : index + 1])
        soft = strip.layer.framing is not None or _is_insulation(strip) or (on_core and index + 1 < len(wall.layers))
        level = 0.0 if soft else frame.mm(BOARD_GAP)
        return level, level
    if index >= feet.backing:
        level = frame.mm(0.25 * units.INCH)
        return level, level
    if _on_backing(wall, strip, feet):
        if wall.construction == "framed":
            level = feet.shelf + frame.mm(SCREED_FLANGE - 2 * units.INCH)
        else:
            level = max(feet.grade - frame.mm(BELOW_GRADE), feet.bottom)
        return level, level
    if _is_insulation(strip):
        held = _foam_level(strip, base, feet.grade, frame)
        level = feet.shelf if held is None else max(held, feet.bottom)
        if base.termination == "weep-screed" and not feet.on_furring:
            level = max(level, feet.shelf)
        return level, level
    if base.termination == "weep-screed":
        return feet.end(strip.outer), feet.end(strip.inner)
    if base.termination == "base-screen" and not is_siding(strip.layer) and strip.index > 0:
        level = feet.clear + feet.rise + frame.mm(0.25 * units.INCH)
        return level, level
    return feet.clear, feet.clear


def membrane_path(wall: Wall, strip: Strip, feet: Foot, frame: Frame, top: float, end: float) -> tuple[Point, ...]:
    """A membrane on the backing steps outward where it laps over the flashing and over the flange."""
    fine = frame.ratio > 5
    flashing_weight, metal_weight = (0.35, 0.25) if fine else (0.5, 0.35)
    up, _ = flashing_levels(wall, feet, frame)
    first = strip.line
    second = first - flashing_weight
    points = [(first, top)]
    if has_flashing(feet.base) and end < up < top:
        points += [(first, up + 1.2), (second, up + 0.4)]
        first = second
    if wall.construction == "framed":
        flange = feet.shelf + frame.mm(SCREED_FLANGE)
        if end < flange < up - 1.5:
            points += [(first, flange + 1.0), (first - metal_weight, flange + 0.2)]
            first -= metal_weight
    points.append((first, end))
    return tuple(frame.place(*point) for point in points)


def has_flashing(base: Base) -> bool:
    """A base that gives its flashing no height has none to draw; its text then says what is there instead."""
    return base.flashing_up is not None or base.flashing_down is not None


def flashing_levels(wall: Wall, feet: Foot, frame: Frame) -> tuple[float, float]:
    """Upper and lower edge of the base flashing: from the floor in a framed wall, from the cladding's edge else."""
    start = 0.0 if wall.construction == "framed" else feet.clear
    up = start + frame.mm(feet.base.flashing_up or DEFAULT_FLASHING_UP)
    lowest = max(feet.grade - frame.mm(BELOW_GRADE), feet.bottom) if wall.construction != "framed" else feet.grade
    down = start - frame.mm(feet.base.flashing_down or DEFAULT_FLASHING_DOWN)
    if any(layer.unit for layer in wall.layers[: feet.backing]):
        lowest = feet.clear  # the ledge of a masonry veneer
    return up, max(down, lowest)


def screen_place(placed: tuple[Strip, ...], feet: Foot, frame: Frame) -> tuple[float, float] | None:
    """Middle of the insect screen across the wall and its height, None where no layer is open at its foot."""
    for strip in placed[: feet.backing]:
        is_space = strip.layer.cavity is not None and strip.layer.material is None
        if (is_space or strip.layer.framing is not None) and strip.inner - strip.outer > 0.8:
            return (strip.outer + strip.inner) / 2, feet.clear + feet.rise + frame.mm(0.25 * units.INCH)
    return None


def slab_start(wall: Wall, placed: tuple[Strip, ...], feet: Foot, frame: Frame) -> float:
    """Where the slab begins inside a stem, behind its joint filler, across the wall [mm]."""
    if wall.construction == "framed":
        return placed[feet.backing].outer + frame.mm(STEM_WIDTH + JOINT_FILLER)
    return placed[feet.core].inner + frame.mm(JOINT_FILLER)


def stem_reach(wall: Wall, ratio: float) -> float:
    """How far inward of the set-out face the slab inside a framed wall's stem is to be seen; 0 without one [mm]."""
    if wall.base is None or wall.base.support != "block-stem" or wall.construction != "framed":
        return 0.0
    face = wall.faces[backing_index(wall)] - wall.datum_position
    return (face + STEM_WIDTH + JOINT_FILLER) * 1000 / ratio + SLAB_SEEN


def ledge_place(placed: tuple[Strip, ...], feet: Foot) -> float | None:
    """Outer end of the ledge that a masonry veneer stands on, None where the cladding hangs."""
    veneer = [strip for strip in placed[: feet.backing] if strip.layer.unit]
    return veneer[0].outer if veneer else None


def _is_insulation(strip: Strip) -> bool:
    material = strip.layer.material
    return material is not None and (material.kind in _INSULATION or "thermal" in strip.layer.controls)


def _foam_level(strip: Strip, base: Base, grade: float, frame: Frame) -> float | None:
    """Where the wall's base stops foam plastic above earth, None for what it does not speak of [mm]."""
    material = strip.layer.material
    if material is None or not material.foam_plastic or base.foam_clearance is None:
        return None
    return grade + (frame.mm(base.foam_clearance) or -frame.mm(BELOW_GRADE))


def _on_backing(wall: Wall, strip: Strip, feet: Foot) -> bool:
    """A film that lies directly on the backing, with nothing but films between."""
    between = wall.layers[strip.index : feet.backing]
    return strip.index > 0 and all(is_film(layer) for layer in between)
