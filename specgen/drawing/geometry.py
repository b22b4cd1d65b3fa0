"""Plane geometry on paper: where a wall stands on the sheet, and lines and dots clipped to an outline.

All lengths in paper mm unless a name says otherwise; y grows downward.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from specgen.model.scene import Line, Point

Segment = tuple[Point, Point]


@dataclass(frozen=True, slots=True)
class Frame:
    """Places lengths of the wall on paper: `origin` is the set-out face at floor level, paper = actual / ratio."""

    origin: Point
    ratio: float
    turned: bool = False  # a plan cut: across the wall runs down the page, along the wall to the right

    def mm(self, length: float) -> float:
        """A length of the wall [m] on paper [mm]."""
        return length * 1000.0 / self.ratio

    def place(self, across: float, along: float) -> Point:
        """A point from paper mm across the wall (inward of the set-out face) and along it (up, or to the right)."""
        x, y = self.origin
        return (x + along, y + across) if self.turned else (x + across, y - along)

    def box(self, across0: float, across1: float, along0: float, along1: float) -> tuple[Point, ...]:
        """Four corners of a strip of the wall."""
        return (
            self.place(across0, along0), self.place(across1, along0),
            self.place(across1, along1), self.place(across0, along1),
        )  # fmt: skip

    @property
    def mm_per_inch(self) -> float:
        """Paper length of one inch of wall [mm]."""
        return 25.4 / self.ratio


def polygon(points: Sequence[Point]) -> shapely.Polygon:
    """A closed outline as an area."""
    return shapely.Polygon(points)


def rectangle(x0: float, y0: float, x1: float, y1: float) -> tuple[Point, ...]:
    """Four corners of an upright rectangle, clockwise on paper from the upper left."""
    return (x0, y0), (x1, y0), (x1, y1), (x0, y1)


def clip_segments(segments: Sequence[Segment], region: shapely.Polygon) -> tuple[Segment, ...]:
    """What lies inside the region of each segment, in their order."""
    if not segments or region.is_empty:
        return ()
    cut = shapely.intersection(shapely.linestrings(np.asarray(segments, dtype=float)), region)
    kept: list[Segment] = []
    for piece in cut:
        for part in _line_parts(piece):
            points = list(part.coords)
            if math.dist(points[0], points[-1]) > 0.02:  # shorter ones print as specks
                kept.append((points[0], points[-1]))
    return tuple(kept)


def clip_polyline(points: Sequence[Point], region: shapely.Polygon) -> tuple[tuple[Point, ...], ...]:
    """The parts of a polyline inside the region."""
    if len(points) < 2 or region.is_empty:
        return ()
    cut = shapely.intersection(shapely.LineString(points), region)
    parts = [tuple((x, y) for x, y in part.coords) for part in _line_parts(shapely.line_merge(cut))]
    return tuple(part for part in parts if len(part) > 1)


def points_inside(points: Sequence[Point], region: shapely.Polygon, margin: float = 0.0) -> tuple[Point, ...]:
    """The points that lie inside the region by at least `margin`."""
    inner = region.buffer(-margin) if margin else region
    if not points or inner.is_empty:
        return ()
    grid = np.asarray(points, dtype=float)
    inside = shapely.contains_xy(inner, grid[:, 0], grid[:, 1])
    return tuple(point for point, keep in zip(points, inside, strict=True) if keep)


def arc(center: Point, radius: float, start: float, sweep: float, step: float = 12.0) -> list[Point]:
    """Points of an arc; angles in degrees, clockwise on paper from the x axis."""
    count = max(2, math.ceil(abs(sweep) / step))
    angles = [math.radians(start + sweep * i / count) for i in range(count + 1)]
    return [(center[0] + radius * math.cos(a), center[1] + radius * math.sin(a)) for a in angles]


def dashed(points: Sequence[Point], weight: float, dash: tuple[float, ...] = ()) -> Line:
    """An open line of one weight."""
    return Line(tuple(points), weight=weight, dash=dash)


def _line_parts(shape: shapely.Geometry) -> Iterable[shapely.LineString]:
    if shape.is_empty:
        return []
    if isinstance(shape, shapely.LineString):
        return [shape]
    if hasattr(shape, "geoms"):
        return [part for each in shape.geoms for part in _line_parts(each)]
    return []
