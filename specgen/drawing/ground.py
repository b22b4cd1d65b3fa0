"""What a wall stands on: slab and footing or stem, gravel, ground and earth, sole plates and anchor.

Drawn to say where the wall stands; the sizes are the structural drawings' (common practice: 4 in slab, edge turned
down).
"""

from __future__ import annotations

from specgen import units
from specgen.drawing.base import (
    PLATE_DEPTH,
    SLAB_DEPTH,
    STEM_WIDTH,
    Foot,
    Item,
    ledge_place,
    slab_start,
)
from specgen.drawing.callouts import FURRING_LIMIT
from specgen.drawing.geometry import Frame, polygon
from specgen.drawing.hatch import Area, block_pairs, concrete_stipple, cross, gravel, grout_stipple
from specgen.drawing.layout import Strip
from specgen.drawing.marks import NOTE_WEIGHT, break_line
from specgen.model.scene import Group, Line, Point, Strokes
from specgen.model.wall import Wall

CUT = 0.50  # cut structure [mm]
GROUND = 0.70
THIN = 0.35
EDGE_WIDTH = 8 * units.INCH  # of the turned-down slab edge, as drawn
BED_JOINT = 0.375 * units.INCH
COURSE = 8 * units.INCH  # of the stem's block


def support(wall: Wall, placed: tuple[Strip, ...], feet: Foot, frame: Frame, reach: float, seed: str) -> Group:
    """Slab and footing or stem, gravel, ground and earth; `reach`: right end, across [mm]."""
    face = placed[feet.backing if wall.construction == "framed" else feet.core].outer
    items: list[Item] = []
    if feet.base.support == "slab-edge":
        items += _slab_edge(placed, feet, frame, face, reach, seed)
    else:
        items += _stem(wall, placed, feet, frame, face, reach, seed)
    items += _ground(wall, placed, feet, frame, face)
    return Group("section_base", tuple(items), "Base of the wall", "base")


def lower_break(wall: Wall, placed: tuple[Strip, ...], feet: Foot, frame: Frame, reach: float) -> tuple[float, float]:
    """Ends of the break line below, across the wall."""
    face = placed[feet.backing if wall.construction == "framed" else feet.core].outer
    ledge = ledge_place(placed, feet)
    if feet.base.support == "slab-edge":
        inner = _footing(placed, feet, frame, face, reach)
    elif wall.construction == "framed":
        inner = face + frame.mm(STEM_WIDTH)
    else:
        inner = placed[feet.core].inner
    return (face if ledge is None else ledge) - 3.0, inner + 3.0


def _footing(placed: tuple[Strip, ...], feet: Foot, frame: Frame, face: float, reach: float) -> float:
    """Inner face of the turned-down edge; narrower where the drawing ends before it."""
    wanted = max(face + frame.mm(EDGE_WIDTH), placed[feet.core].inner + frame.mm(1.0 * units.INCH))
    return max(min(wanted, reach - 10.0), placed[feet.core].inner + 1.5)


def _outline(points: list[Point], weight: float = CUT) -> Line:
    return Line(tuple(points), weight, closed=True)


def _area(points: list[Point], frame: Frame, seed: str) -> Area:
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return Area(polygon(points), (min(xs), min(ys)), (max(xs), max(ys)), frame.origin, seed, True, frame.mm_per_inch)


def _slab_edge(placed: tuple[Strip, ...], feet: Foot, frame: Frame, face: float, reach: float, seed: str) -> list[Item]:
    depth = frame.mm(SLAB_DEPTH)
    footing = _footing(placed, feet, frame, face, reach)
    turn = min(depth, max(2.0, reach - footing - 4.0))
    top, low = -depth, max(-depth - turn, feet.bottom + 1.0)
    ledge = ledge_place(placed, feet)
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
            for level in (joint, joint + frame.mm(BED_JOINT)):
                items.append(Line((frame.place(face, level), frame.place(inner, level)), NOTE_WEIGHT))
            joint -= frame.mm(COURSE)
    ledge = ledge_place(placed, feet)
    if ledge is not None:
        points = list(frame.box(ledge, face, feet.clear, feet.bottom))
        items += [*concrete_stipple(_area(points, frame, seed + "/ledge")), _outline(points)]
    start = slab_start(wall, placed, feet, frame)
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


def plates(placed: tuple[Strip, ...], feet: Foot, frame: Frame) -> Group:
    """Sole plates under upright solid members; the one that carries is bolted down. They cover the fill's loops."""
    items: list[Item] = []
    height = frame.mm(PLATE_DEPTH)
    for strip in placed:
        members = strip.layer.framing
        if not members or members.orientation != "vertical" or members.profile != "solid" or strip.index < feet.core:
            continue
        if strip.layer.depth < FURRING_LIMIT:
            continue
        corners = frame.box(strip.outer, strip.inner, 0.0, height)
        items += [Line(corners, CUT, closed=True, fill="white"), cross(corners)]
        if strip.index == feet.core:
            items.append(Line((frame.place(strip.outer, 0.0), frame.place(strip.inner, 0.0)), 0.9))
            items += _anchor(strip, feet, frame, height)
    return Group("section_plates", tuple(items), "Sole plates", "base")


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
    ledge = ledge_place(placed, feet)
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
