"""Where a wall ends at the floor: how far down each layer runs, and what it stands on.

Heights are paper mm above the floor (negative below). Slab, gravel and footing are drawn to say where the wall
stands; their sizes are the structural drawings' (common practice: 4 in slab, edge turned down).
"""

from __future__ import annotations

from dataclasses import dataclass

from specgen import units
from specgen.drawing.callouts import is_film
from specgen.drawing.geometry import Frame, polygon
from specgen.drawing.hatch import Area, block_pairs, concrete_stipple, cross, gravel, grout_stipple
from specgen.drawing.layout import Strip, backing_index, core_index, is_siding
from specgen.drawing.marks import NOTE_WEIGHT, break_line
from specgen.model.scene import Circle, Dots, Group, Line, Point, Strokes, Text
from specgen.model.wall import Base, Wall

Item = Line | Strokes | Dots | Circle | Text | Group

CUT = 0.50  # cut structure [mm]
GROUND = 0.70
THIN = 0.35

# Common practice; drawn sizes only.
SLAB_DEPTH = 4 * units.INCH
EDGE_WIDTH = 8 * units.INCH
STEM_WIDTH = 7.625 * units.INCH
PLATE_DEPTH = 1.5 * units.INCH
BOARD_GAP = 0.5 * units.INCH  # interior boards are held off the slab
BELOW_GRADE = 4 * units.INCH  # how far membranes run below grade
SCREED_FLANGE = 3.5 * units.INCH  # ASTM C1063: vertical flange of at least 3-1/2 in (from memory)
COURSE = 8 * units.INCH
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
    inner = placed[backing].outer
    for strip in placed[:backing]:
        if _is_insulation(strip):
            inner = strip.outer
            break
    rise = 0.0
    if base.termination == "weep-screed":
        rise = min(0.5 * (inner - outer), frame.mm(0.75 * units.INCH))
    elif base.termination == "base-screen":
        rise = min(0.12 * (placed[backing].outer - outer), frame.mm(0.4 * units.INCH))
        inner = placed[backing].outer
    return Foot(base, grade, clear, rise, outer, inner, bottom, backing, core)


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
            level = feet.end(strip.outer) + frame.mm(SCREED_FLANGE - 2 * units.INCH)
        else:
            level = max(feet.grade - frame.mm(BELOW_GRADE), feet.bottom)
        return level, level
    if _is_insulation(strip):
        level = feet.clear + feet.rise
        main = strip.layer.material
        if main is not None and main.foam_plastic and base.foam_clearance is not None:
            level = max(feet.grade + (frame.mm(base.foam_clearance) or -frame.mm(BELOW_GRADE)), feet.bottom)
        return level, level
    if base.termination == "weep-screed":
        return feet.end(strip.outer), feet.end(strip.inner)
    if base.termination == "base-screen" and not is_siding(strip.layer) and strip.index > 0:
        level = feet.clear + feet.rise + frame.mm(0.25 * units.INCH)
        return level, level
    return feet.clear, feet.clear


def support(wall: Wall, placed: tuple[Strip, ...], feet: Foot, frame: Frame, reach: float, seed: str) -> Group:
    """Slab and footing or stem, gravel, ground and earth, sole plates and anchor; `reach`: right end, across [mm]."""
    face = placed[feet.backing if wall.construction == "framed" else feet.core].outer
    items: list[Item] = []
    if feet.base.support == "slab-edge":
        items += _slab_edge(placed, feet, frame, face, reach, seed)
    else:
        items += _stem(wall, placed, feet, frame, face, reach, seed)
    items += _plates(wall, placed, feet, frame)
    items += _ground(wall, placed, feet, frame, face)
    return Group("section_base", tuple(items), "Base of the wall", "base")


def termination(wall: Wall, placed: tuple[Strip, ...], feet: Foot, frame: Frame) -> Group:
    """Flashing and the metal that ends the cladding, from the backing out."""
    backing = placed[feet.backing]
    face = backing.outer
    fine = frame.ratio > 5  # at small scale the stacked laps must not fill the mat
    flashing_weight, metal_weight = (0.35, 0.25) if fine else (0.5, 0.35)
    items: list[Item] = []
    up, down = flashing_levels(wall, feet, frame)
    x_flashing = face - flashing_weight / 2
    if has_flashing(feet.base):
        items.append(Line((frame.place(x_flashing, up), frame.place(x_flashing, down)), flashing_weight))
    x_flange = face - flashing_weight - metal_weight / 2
    if _ledge(placed, feet) is not None:
        items += _through_wall(placed, feet, frame, x_flange)
    elif feet.base.termination == "weep-screed":
        items += _weep_screed(feet, frame, x_flange, metal_weight)
    elif feet.base.termination == "base-screen":
        items += _base_screen(placed, feet, frame, x_flange, metal_weight)
    else:
        items += _casing_bead(placed, feet, frame, metal_weight)
    return Group("section_flashing", tuple(items), feet.base.termination.replace("-", " "), "base")


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
        flange = feet.end(strip.outer) + frame.mm(SCREED_FLANGE)
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
    return up, max(down, lowest)


def screen_place(placed: tuple[Strip, ...], feet: Foot, frame: Frame) -> tuple[float, float] | None:
    """Middle of the insect screen across the wall and its height, None where no layer is open at its foot."""
    for strip in placed[: feet.backing]:
        is_space = strip.layer.cavity is not None and strip.layer.material is None
        if (is_space or strip.layer.framing is not None) and strip.inner - strip.outer > 0.8:
            return (strip.outer + strip.inner) / 2, feet.clear + feet.rise + frame.mm(0.25 * units.INCH)
    return None


def lower_break(wall: Wall, placed: tuple[Strip, ...], feet: Foot, frame: Frame) -> tuple[float, float]:
    """Ends of the break line below, across the wall."""
    face = placed[feet.backing if wall.construction == "framed" else feet.core].outer
    ledge = _ledge(placed, feet)
    if feet.base.support == "slab-edge":
        inner = _footing(placed, feet, frame, face)
    elif wall.construction == "framed":
        inner = face + frame.mm(STEM_WIDTH)
    else:
        inner = placed[feet.core].inner
    return (face if ledge is None else ledge) - 3.0, inner + 3.0


def _footing(placed: tuple[Strip, ...], feet: Foot, frame: Frame, face: float) -> float:
    return max(face + frame.mm(EDGE_WIDTH), placed[feet.core].inner + frame.mm(1.0 * units.INCH))


def _ledge(placed: tuple[Strip, ...], feet: Foot) -> float | None:
    """Outer end of the ledge that a masonry veneer stands on, None where the cladding hangs."""
    veneer = [strip for strip in placed[: feet.backing] if strip.layer.unit]
    return veneer[0].outer if veneer else None


def _is_insulation(strip: Strip) -> bool:
    material = strip.layer.material
    return material is not None and material.kind in _INSULATION


def _on_backing(wall: Wall, strip: Strip, feet: Foot) -> bool:
    """A film that lies directly on the backing, with nothing but films between."""
    between = wall.layers[strip.index : feet.backing]
    return strip.index > 0 and all(is_film(layer) for layer in between)


def _outline(points: list[Point], weight: float = CUT) -> Line:
    return Line(tuple(points), weight, closed=True)


def _area(points: list[Point], frame: Frame, seed: str) -> Area:
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return Area(polygon(points), (min(xs), min(ys)), (max(xs), max(ys)), frame.origin, seed, True, frame.mm_per_inch)


def _slab_edge(placed: tuple[Strip, ...], feet: Foot, frame: Frame, face: float, reach: float, seed: str) -> list[Item]:
    depth = frame.mm(SLAB_DEPTH)
    footing = _footing(placed, feet, frame, face)
    turn = min(depth, max(2.0, reach - footing - 4.0))
    top, low = -depth, max(-depth - turn, feet.bottom + 1.0)
    ledge = _ledge(placed, feet)
    outer = [(face, feet.bottom)] if ledge is None else [(ledge, feet.bottom), (ledge, feet.clear), (face, feet.clear)]
    corners = [(face, 0.0), (reach, 0.0), (reach, top), (footing + turn, top), (footing, low),
               (footing, feet.bottom), *outer]  # fmt: skip
    points = [frame.place(*corner) for corner in corners]
    items: list[Item] = list(concrete_stipple(_area(points, frame, seed + "/slab")))
    edges = ([corners[1], corners[0], *reversed(outer)], [corners[2], corners[3], corners[4], corners[5]])
    items += [Line(tuple(frame.place(*corner) for corner in edge), CUT) for edge in edges]
    bed = [(footing + turn, top), (reach, top), (reach, low), (footing, low)]
    stones = [frame.place(*corner) for corner in bed]
    items += gravel(_area([(x, y) for x, y in stones], frame, seed + "/gravel"))
    sheet = [(reach, top - 0.6), (footing + turn + 0.3, top - 0.6), (footing + 0.6, low - 0.3),
             (footing + 0.6, feet.bottom)]  # fmt: skip
    items.append(Line(tuple(frame.place(*point) for point in sheet), 0.5, dash=(4.0, 1.2, 0.7, 1.2)))
    items.append(break_line(frame.place(reach, 3.0), frame.place(reach, low - 2.0)))
    return items


def _stem(
    wall: Wall, placed: tuple[Strip, ...], feet: Foot, frame: Frame, face: float, reach: float, seed: str
) -> list[Item]:
    items: list[Item] = []
    inner = placed[feet.core].inner
    if wall.construction == "framed":
        inner = face + frame.mm(STEM_WIDTH)
        shell = frame.mm(1.25 * units.INCH)
        for start, end in ((face, face + shell), (inner - shell, inner)):
            points = list(frame.box(start, end, 0.0, feet.bottom))
            items += [*block_pairs(_area(points, frame, seed + "/stem")), _outline(points)]
        core = list(frame.box(face + shell, inner - shell, 0.0, max(-frame.mm(COURSE), feet.bottom)))
        items += [*grout_stipple(_area(core, frame, seed + "/grout")), Line((core[2], core[3]), THIN)]
        joint = -frame.mm(COURSE)
        while joint > feet.bottom:
            items.append(Line((frame.place(face, joint), frame.place(inner, joint)), NOTE_WEIGHT))
            joint -= frame.mm(COURSE)
    ledge = _ledge(placed, feet)
    if ledge is not None:
        points = list(frame.box(ledge, face, feet.clear, feet.bottom))
        items += [*concrete_stipple(_area(points, frame, seed + "/ledge")), _outline(points)]
    start = inner + frame.mm(0.5 * units.INCH)
    depth = frame.mm(SLAB_DEPTH)
    slab = list(frame.box(start, reach, 0.0, -depth))
    items += concrete_stipple(_area(slab, frame, seed + "/slab"))
    items.append(Line((slab[1], slab[0], slab[3], slab[2]), CUT))
    # The joint filler between slab and wall.
    filler = list(frame.box(inner, start, 0.0, -depth))
    items.append(_outline(filler, THIN))
    low = max(-depth - frame.mm(4 * units.INCH), feet.bottom + 2.0)
    stones = list(frame.box(inner, reach, -depth - 0.9, low))
    items += gravel(_area(stones, frame, seed + "/gravel"))
    sheet = ((reach, -depth - 0.6), (inner + 0.6, -depth - 0.6))
    items.append(Line(tuple(frame.place(*point) for point in sheet), 0.5, dash=(4.0, 1.2, 0.7, 1.2)))
    items.append(break_line(frame.place(reach, 3.0), frame.place(reach, low - 2.0)))
    return items


def _plates(wall: Wall, placed: tuple[Strip, ...], feet: Foot, frame: Frame) -> list[Item]:
    """Sole plates under upright solid members; the one that carries is bolted down."""
    items: list[Item] = []
    height = frame.mm(PLATE_DEPTH)
    for strip in placed:
        members = strip.layer.framing
        if not members or members.orientation != "vertical" or members.profile != "solid" or strip.index < feet.core:
            continue
        if strip.layer.depth < 2.4 * units.INCH:
            continue
        corners = frame.box(strip.outer, strip.inner, 0.0, height)
        items += [Line(corners, CUT, closed=True, fill="white"), cross(corners)]
        if strip.index == feet.core:
            items.append(Line((frame.place(strip.outer, 0.0), frame.place(strip.inner, 0.0)), 0.9))
            items += _anchor(strip, feet, frame, height)
    return items


def _anchor(strip: Strip, feet: Foot, frame: Frame, height: float) -> list[Item]:
    """Anchor bolt beyond the cut: broken lines in the concrete, washer and nut on the plate."""
    middle, half = strip.outer + 0.46 * (strip.inner - strip.outer), frame.mm(0.25 * units.INCH)
    down = max(-frame.mm(7 * units.INCH), feet.bottom + 4.0)
    items: list[Item] = []
    shank = [(middle - half, 0.0), (middle - half, down), (middle + 4 * half, down)]
    inner = [(middle + half, 0.0), (middle + half, down + 2 * half)]
    for path in (shank, inner):
        items.append(Line(tuple(frame.place(*point) for point in path), 0.25, dash=(1.2, 0.7)))
    washer = frame.mm(1.0 * units.INCH)
    nut = frame.box(middle - washer, middle + washer, height, height + frame.mm(0.3 * units.INCH))
    items.append(Line(nut, 0.25, closed=True, fill="white"))
    for side in (-half, half):
        stub = ((middle + side, height + frame.mm(0.3 * units.INCH)), (middle + side, height + frame.mm(units.INCH)))
        items.append(Line(tuple(frame.place(*point) for point in stub), 0.25))
    return items


def _ground(wall: Wall, placed: tuple[Strip, ...], feet: Foot, frame: Frame, face: float) -> list[Item]:
    left = min(placed[0].outer, face) - 16.0
    ledge = _ledge(placed, feet)
    # Membrane and flashing on the wall's face stand in front of it below grade.
    right = ledge if ledge is not None else face - (0.7 if wall.construction != "framed" else 0.0)
    items: list[Item] = [Line((frame.place(left, feet.grade), frame.place(right, feet.grade)), GROUND)]
    strokes = []
    along = left + 1.0
    while along + 6.0 < right:
        for step in range(3):
            x = along + 0.75 * step
            strokes.append((frame.place(x, feet.grade - 2.6), frame.place(x + 1.6, feet.grade - 0.8)))
            y = feet.grade - 1.0 - 0.75 * step
            strokes.append((frame.place(along + 4.2, y), frame.place(along + 6.0, y)))
        along += 7.0
    items.append(Strokes(tuple(strokes), 0.25))
    return items


def _weep_screed(feet: Foot, frame: Frame, flange: float, weight: float) -> list[Item]:
    """Flange up the wall, leg sloping down and out with gaps for its holes, nose at the plaster's face."""
    back = min(feet.slope_inner, flange)
    level = feet.end(back)
    nose = (feet.slope_outer, feet.clear)
    upright = ((flange, level + frame.mm(SCREED_FLANGE)), (flange, level), (back, level))
    items: list[Item] = [
        Line(tuple(frame.place(*point) for point in upright), weight),
        Line((frame.place(*nose), frame.place(nose[0], nose[1] - 0.8)), 0.35),
    ]
    # Holes: the leg is drawn in three parts with open joints.
    for begin, finish in ((0.0, 0.30), (0.42, 0.62), (0.74, 1.0)):
        part = [(back + (nose[0] - back) * share, level + (nose[1] - level) * share) for share in (begin, finish)]
        items.append(Line(tuple(frame.place(*point) for point in part), 0.35))
    return items


def _through_wall(placed: tuple[Strip, ...], feet: Foot, frame: Frame, flange: float) -> list[Item]:
    """Flashing from the backing out under a masonry veneer, with its drip."""
    drip = placed[0].outer - frame.mm(0.25 * units.INCH)
    up = feet.clear + frame.mm(feet.base.flashing_up or DEFAULT_FLASHING_UP)
    path = [(flange, up), (flange, feet.clear + 0.3), (drip, feet.clear + 0.3), (drip - 0.4, feet.clear - 0.5)]
    return [Line(tuple(frame.place(*point) for point in path), 0.5)]


def _base_screen(placed: tuple[Strip, ...], feet: Foot, frame: Frame, flange: float, weight: float) -> list[Item]:
    """Flashing under the insulation with a drip beyond the cladding, insect screen across the open cavity."""
    outer = placed[0].outer
    drip = outer - frame.mm(0.3 * units.INCH)
    level = feet.clear + feet.rise - 0.4
    end = feet.clear - frame.mm(0.35 * units.INCH)
    path = [(flange, level + frame.mm(4 * units.INCH)), (flange, level), (drip, end), (drip, end - 0.9)]
    items: list[Item] = [Line(tuple(frame.place(*point) for point in path), max(weight, 0.35))]
    screen = screen_place(placed, feet, frame)
    if screen is not None:
        strip = next(strip for strip in placed if strip.outer < screen[0] < strip.inner)
        ends = (frame.place(strip.outer, screen[1]), frame.place(strip.inner, screen[1]))
        items.append(Line(ends, 0.35, dash=(0.6, 0.4)))
    return items


def _casing_bead(placed: tuple[Strip, ...], feet: Foot, frame: Frame, weight: float) -> list[Item]:
    """Bead around the plaster's lower edge: back leg behind it, sole under it, short return on its face."""
    face = placed[feet.backing].outer
    outer = placed[0].outer
    back = (face - weight / 2, feet.clear + frame.mm(1.25 * units.INCH))
    path = [
        back,
        (face - weight / 2, feet.clear),
        (outer, feet.clear),
        (outer, feet.clear + frame.mm(0.2 * units.INCH)),
    ]
    return [Line(tuple(frame.place(*point) for point in path), 0.35)]
