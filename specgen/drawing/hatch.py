"""Material symbols: real segments, curves and dots, clipped to the outline they fill.

The symbol follows from the kind of material, by one table; a material's name never decides. Lengths are paper mm,
independent of scale, except the batt's loops, which keep their size on the wall. Regular patterns are anchored at
the drawing's origin, so that two panels of one material match across a break; irregular ones are seeded from the
wall and layer, so that the same wall gives the same strokes in every process.
"""

from __future__ import annotations

import hashlib
import math
import random
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import pairwise

import shapely

from specgen.drawing.geometry import Segment, arc, clip_polyline, clip_segments, points_inside
from specgen.model.material import Kind
from specgen.model.scene import Dots, Ink, Line, Point, Strokes

Marks = tuple[Line | Strokes | Dots, ...]

FINE = 0.18  # hatch weight [mm]
HAIR = 0.13  # inside strips under 3 mm [mm]
BATT_WEIGHT = 0.25  # [mm]

_BATT_PITCH = 1.45  # paper mm between turns, per paper mm of one inch of wall [-]
_BATT_RADIUS = 0.61  # of the pitch: rounder than half circles, so that the legs splay [-]
_STROKES_PER_MM = 1.0  # of a wood panel's height: more turns black at 1-1/2 in scale


@dataclass(frozen=True, slots=True)
class Area:
    """What is to be filled: an outline, and for symbols that run from face to face the strip that it is cut from."""

    region: shapely.Polygon
    low: Point  # corner of the strip with the least x and y
    high: Point  # corner with the greatest
    origin: Point  # anchor of regular patterns
    seed: str  # wall id and layer id
    upright: bool = True  # the layer runs up the page (section) or along it (plan)
    mm_per_inch: float = 25.4 / 8
    mirrored: bool = False  # like materials side by side slope the other way

    @property
    def width(self) -> float:
        """Across the layer [mm]."""
        return self.high[0] - self.low[0] if self.upright else self.high[1] - self.low[1]

    @property
    def length(self) -> float:
        """Along the layer [mm]."""
        return self.high[1] - self.low[1] if self.upright else self.high[0] - self.low[0]

    def at(self, across: float, along: float) -> Point:
        """A point of the strip, from its low corner."""
        if self.upright:
            return self.low[0] + across, self.low[1] + along
        return self.low[0] + along, self.low[1] + across

    def random(self) -> random.Random:
        """Its own source of chance: the same for the same wall and layer in every process."""
        return random.Random(int.from_bytes(hashlib.sha256(self.seed.encode()).digest()[:8], "big"))


def hatch(kind: Kind, area: Area) -> Marks:
    """The symbol of a kind of material inside an area; empty for films, which are drawn as a line."""
    if area.region.is_empty or area.width <= 0:
        return ()
    return tuple(mark for mark in SYMBOLS[kind](area) if not _is_empty(mark))


def cross(corners: tuple[Point, ...], weight: float = 0.25) -> Strokes:
    """Both diagonals: a continuous wood member cut across the grain."""
    a, b, c, d = corners
    return Strokes(((a, c), (b, d)), weight=weight)


def no_symbol(area: Area) -> Marks:
    """Air, films and boards too thin to be filled stay empty."""
    return ()


def block_pairs(area: Area) -> Marks:
    """Concrete block: pairs of lines at 45°, in a thin shell single lines."""
    offsets = (0.0, 0.6) if area.width >= 2.0 else (0.0,)
    return _families(area, (_slope(area),), 2.4 if area.width >= 2.0 else 1.6, offsets)


def masonry_lines(area: Area) -> Marks:
    """Brick: single lines at 45°."""
    return _families(area, (_slope(area),), 1.6)


def tile_lines(area: Area) -> Marks:
    """Tile and adhered veneer: close single lines, against the slope of masonry behind."""
    return _families(area, (-_slope(area),), 1.1, weight=HAIR if area.width < 3 else FINE)


def panel_lines(area: Area) -> Marks:
    """Fiber cement and other solid panels: close lines at 45°."""
    if area.width < 0.8:
        return ()
    return _families(area, (_slope(area),), 1.0, weight=HAIR if area.width < 3 else FINE)


def foam_diamonds(area: Area) -> Marks:
    """Rigid foam: two families of lines, one in a thin strip."""
    slopes = (45.0, -45.0) if area.width >= 2.0 else (_slope(area),)
    return _families(area, slopes, 2.4, ink="gray")


def stucco_stipple(area: Area) -> Marks:
    """Stucco, plaster, mortar and grout: stipple."""
    return _dots(area, 0.75, 0.11)


def grout_stipple(area: Area) -> Marks:
    """A wide body of grout or mortar: the same dots, farther apart."""
    return _dots(area, 1.0, 0.11)


def gypsum_stipple(area: Area) -> Marks:
    """Gypsum board: fine dots, so far apart that it never reads as plaster; under 1.2 mm it stays empty."""
    return _dots(area, 1.35, 0.09) if area.width >= 1.2 else ()


def concrete_stipple(area: Area) -> Marks:
    """Cast concrete: stipple and open triangles that keep apart, or they clump."""
    chance = area.random()
    triangles: list[Segment] = []
    centers: list[Point] = []
    spots = points_inside([spot for spot in _jittered(area, 1.6, chance) if chance.random() < 0.4], area.region, 1.1)
    for spot in spots:
        if all(math.dist(spot, other) >= 4.2 for other in centers):
            centers.append(spot)
            turn = chance.uniform(0, 120)
            corners = [arc(spot, 0.9, turn + step, 1)[0] for step in (0, 120, 240)]
            triangles += [(corners[0], corners[1]), (corners[1], corners[2]), (corners[2], corners[0])]
    dots = points_inside(list(_jittered(area, 1.6, chance)), area.region, 0.2)
    clear = tuple(dot for dot in dots if all(math.dist(dot, center) > 1.1 for center in centers))
    return Dots(clear, 0.13), Strokes(tuple(triangles), FINE)


def batt_loops(area: Area) -> Marks:
    """Batt: round loops from face to face, joined by their inner tangents."""
    curve = list(_batt_curve(area))
    return tuple(Line(part, BATT_WEIGHT, ink="gray") for part in clip_polyline(curve, area.region))


def loose_arcs(area: Area) -> Marks:
    """Loose fill: short arcs at random angles, so that it differs from batt."""
    chance = area.random()
    lines: list[Line] = []
    for spot in _jittered(area, 3.0, chance):
        curve = arc(spot, 0.8, chance.uniform(0, 360), 120, 20)
        lines += [Line(part, FINE, ink="gray") for part in clip_polyline(curve, area.region)]
    return tuple(lines)


def board_zigzag(area: Area) -> Marks:
    """Rigid mineral-fiber board: one zigzag from face to face."""
    return _zigzag(area, 0.6 * area.width, FINE, "gray")


def mat_zigzag(area: Area) -> Marks:
    """Drainage mat: a close zigzag in the depth that the membrane's line leaves."""
    if area.width < 0.35:
        return ()
    return _zigzag(area, max(0.45, 0.55 * area.width), HAIR, "black")


def foam_scallops(area: Area) -> Marks:
    """Sprayed foam: sparse stipple and a scalloped inner skin."""
    chance = area.random()
    dots = points_inside(list(_jittered(area, 1.5, chance)), area.region, 0.3)
    curve: list[Point] = []
    along = 0.0
    while along < area.length:
        span = chance.uniform(3.0, 5.0)
        for step in range(9):
            part = step / 8
            curve.append(area.at(area.width - 0.6 * math.sin(math.pi * part) - 0.1, along + span * part))
        along += span
    skin = tuple(Line(part, FINE) for part in clip_polyline(curve, area.region))
    return (Dots(dots, 0.1), *skin)


def panel_strokes(area: Area) -> Marks:
    """Wood panel: short strokes tilted either way from the panel's run."""
    chance = area.random()
    strokes: list[Segment] = []
    for step in range(math.ceil(area.length * _STROKES_PER_MM)):
        length, tilt = chance.uniform(0.8, 1.5), math.radians(chance.uniform(14, 34) * chance.choice((-1, 1)))
        across = chance.uniform(0.15, 0.85) * area.width
        along = (step + chance.uniform(0.1, 0.9)) / _STROKES_PER_MM
        half = (0.5 * length * math.sin(tilt), 0.5 * length * math.cos(tilt))
        strokes.append((area.at(across - half[0], along - half[1]), area.at(across + half[0], along + half[1])))
    return (Strokes(clip_segments(strokes, area.region), HAIR),)


def fiberboard_dashes(area: Area) -> Marks:
    """Fiberboard: broken lines along the board."""
    chance = area.random()
    rows = max(2, round(area.width / 0.7))
    dashes: list[Segment] = []
    for row in range(rows):
        along = chance.uniform(-1.5, 0)
        while along < area.length:
            span = chance.uniform(0.8, 1.4)
            across = (row + 0.5) / rows * area.width
            dashes.append((area.at(across, along), area.at(across, along + span)))
            along += span + chance.uniform(0.8, 1.2)
    return (Strokes(clip_segments(dashes, area.region), HAIR),)


def wood_grain(area: Area) -> Marks:
    """Finish wood and boards: near-parallel wavy lines along the board."""
    chance = area.random()
    count = max(1, min(5, round(area.width / 0.7)))
    lines: list[Line] = []
    for row in range(count):
        phase, wave = chance.uniform(0, math.tau), chance.uniform(7, 11)
        middle, swing = (row + 0.5) / count * area.width, min(0.12 * area.width, 0.25)
        steps = max(2, math.ceil(area.length / 0.8))
        curve = [
            area.at(middle + swing * math.sin(phase + math.tau * along / wave), along)
            for along in (area.length * step / steps for step in range(steps + 1))
        ]
        lines += [Line(part, HAIR) for part in clip_polyline(curve, area.region)]
    return tuple(lines)


def metal_pairs(area: Area) -> Marks:
    """Metal: solid when thin, else close pairs of lines."""
    if area.width < 1.0:
        return (Line(tuple(area.region.exterior.coords)[:-1], 0.0, closed=True, fill="black", stroked=False),)
    return _families(area, (_slope(area),), 1.4, (0.0, 0.35))


def gravel(area: Area) -> Marks:
    """Gravel: closed ovals that do not touch."""
    chance = area.random()
    lines: list[Line] = []
    placed: list[tuple[Point, float]] = []
    x0, y0, x1, y1 = area.region.bounds
    inner = area.region.buffer(-0.2)
    # Big stones first, then what fits between them.
    for radius, tries in ((1.1, 160), (0.8, 320), (0.55, 500)):
        for _ in range(tries):
            spot = (chance.uniform(x0, x1), chance.uniform(y0, y1))
            size = radius * chance.uniform(0.85, 1.1)
            if any(math.dist(spot, other) < size + reach + 0.12 for other, reach in placed):
                continue
            turn, flat = chance.uniform(0, math.pi), chance.uniform(0.72, 1.0)
            oval = _oval(spot, size, size * flat, turn)
            if inner.contains(shapely.Polygon(oval)):
                placed.append((spot, size))
                lines.append(Line(tuple(oval), FINE, closed=True))
    return tuple(lines)


SYMBOLS: dict[Kind, Callable[[Area], Marks]] = {
    "adhered-veneer": tile_lines,
    "batt": batt_loops,
    "block": block_pairs,
    "brick": masonry_lines,
    "coating": no_symbol,
    "concrete": concrete_stipple,
    "drainage-mat": mat_zigzag,
    "fiber-cement": panel_lines,
    "fiberboard": fiberboard_dashes,
    "gypsum-board": gypsum_stipple,
    "gypsum-sheathing": gypsum_stipple,
    "lath": no_symbol,
    "loose-fill": loose_arcs,
    "membrane": no_symbol,
    "metal": metal_pairs,
    "mineral-board": board_zigzag,
    "mortar": grout_stipple,
    "panel-siding": panel_lines,
    "plaster": stucco_stipple,
    "rigid-foam": foam_diamonds,
    "sheet": no_symbol,
    "spray-foam": foam_scallops,
    "stucco": stucco_stipple,
    "tile": tile_lines,
    "wall-covering": no_symbol,
    "wood": wood_grain,
    "wood-panel": panel_strokes,
    "wood-siding": wood_grain,
}


def _is_empty(mark: Line | Strokes | Dots) -> bool:
    return (isinstance(mark, Strokes) and not mark.segments) or (isinstance(mark, Dots) and not mark.centers)


def _slope(area: Area) -> float:
    return -45.0 if area.mirrored else 45.0


def _families(
    area: Area,
    slopes: tuple[float, ...],
    pitch: float,
    offsets: tuple[float, ...] = (0.0,),
    weight: float = FINE,
    ink: Ink = "black",
) -> Marks:
    """Parallel lines of one or several slopes, clipped; slope in degrees, rising to the right on paper."""
    x0, y0, x1, y1 = area.region.bounds
    segments: list[Segment] = []
    for slope in slopes:
        angle = math.radians(-slope)
        run, normal = (math.cos(angle), math.sin(angle)), (-math.sin(angle), math.cos(angle))
        corners = [(x - area.origin[0], y - area.origin[1]) for x in (x0, x1) for y in (y0, y1)]
        heights = [x * normal[0] + y * normal[1] for x, y in corners]
        reach = [x * run[0] + y * run[1] for x, y in corners]
        for step in range(math.floor(min(heights) / pitch) - 1, math.ceil(max(heights) / pitch) + 1):
            for offset in offsets:
                height = step * pitch + offset
                base = (area.origin[0] + height * normal[0], area.origin[1] + height * normal[1])
                segments.append(
                    (
                        (base[0] + min(reach) * run[0], base[1] + min(reach) * run[1]),
                        (base[0] + max(reach) * run[0], base[1] + max(reach) * run[1]),
                    )
                )
    return (Strokes(clip_segments(segments, area.region), weight, ink),)


def _jittered(area: Area, cell: float, chance: random.Random) -> Iterator[Point]:
    """One point per cell of a grid over the area, off its middle by chance."""
    x0, y0, x1, y1 = area.region.bounds
    for row in range(math.ceil((y1 - y0) / cell)):
        for column in range(math.ceil((x1 - x0) / cell)):
            yield (
                x0 + (column + chance.uniform(0.12, 0.88)) * cell,
                y0 + (row + chance.uniform(0.12, 0.88)) * cell,
            )


def _dots(area: Area, cell: float, radius: float) -> Marks:
    return (Dots(points_inside(list(_jittered(area, cell, area.random())), area.region, radius + 0.12), radius),)


def _zigzag(area: Area, leg: float, weight: float, ink: Ink) -> Marks:
    count = max(1, round(area.length / leg))
    step = area.length / count
    points = [area.at(0.0 if index % 2 else area.width, index * step) for index in range(count + 1)]
    return tuple(Line(part, weight, ink=ink) for part in clip_polyline(points, area.region))


def _batt_curve(area: Area) -> Iterator[Point]:
    """Loops with turn centers at each face in turn; loops are a little larger than half circles."""
    width = area.width
    pitch = min(_BATT_PITCH * area.mm_per_inch, 0.8 * width)
    turns = max(2, round(area.length / pitch))
    pitch = area.length / turns
    radius = min(_BATT_RADIUS * pitch, 0.3 * width)
    # Two turns more at either end: the clip cuts the curve at the break or plate as a saw would.
    centers = [((radius if index % 2 else width - radius), (index + 0.5) * pitch) for index in range(-2, turns + 2)]
    leave = None
    for index, (center, following) in enumerate(pairwise(centers)):
        dx, dy = following[0] - center[0], following[1] - center[1]
        away = math.acos(min(1.0, 2 * radius / math.hypot(dx, dy)))
        heading = math.atan2(dy, dx)
        on_left = dx > 0
        normal = heading + (away if on_left else -away)
        start = (center[0] + radius * math.cos(normal), center[1] + radius * math.sin(normal))
        end = (following[0] - radius * math.cos(normal), following[1] - radius * math.sin(normal))
        if leave is not None:
            # Round the outer side of this turn, from where the last leg arrived to where the next one leaves.
            begin = math.degrees(math.atan2(leave[1] - center[1], leave[0] - center[0]))
            finish = math.degrees(normal)
            sweep = (begin - finish) % 360 if on_left else (finish - begin) % 360
            for across, along in arc(center, radius, begin, -sweep if on_left else sweep):
                yield area.at(across, along)
        elif index == 0:
            yield area.at(*start)
        leave = end


def _oval(center: Point, a: float, b: float, turn: float) -> list[Point]:
    points = []
    for step in range(14):
        angle = math.tau * step / 14
        x, y = a * math.cos(angle), b * math.sin(angle)
        points.append(
            (center[0] + x * math.cos(turn) - y * math.sin(turn), center[1] + x * math.sin(turn) + y * math.cos(turn))
        )
    return points
