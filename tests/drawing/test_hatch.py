"""Hatches: every kind of material has a symbol, clipped, anchored, and the same in every process."""

from __future__ import annotations

import math
import subprocess
import sys
from typing import get_args

import pytest
import shapely

from specgen.drawing.geometry import rectangle
from specgen.drawing.hatch import SYMBOLS, Area, hatch
from specgen.model.material import Kind
from specgen.model.scene import Dots, Line, Strokes

LINES_ONLY = {"coating", "lath", "membrane", "sheet", "wall-covering"}


def _area(width: float = 6.0, height: float = 40.0, seed: str = "wall/layer", x: float = 50.0, y: float = 30.0) -> Area:
    region = shapely.Polygon(rectangle(x, y, x + width, y + height))
    return Area(region, (x, y), (x + width, y + height), (60.0, 100.0), seed)


def _shape(mark: Line | Strokes | Dots) -> shapely.Geometry:
    if isinstance(mark, Dots):
        return shapely.MultiPoint(list(mark.centers))
    if isinstance(mark, Strokes):
        return shapely.MultiLineString([list(segment) for segment in mark.segments])
    return shapely.LineString(mark.points)


def test_every_kind_of_material_has_a_symbol() -> None:
    assert set(SYMBOLS) == set(get_args(Kind))


@pytest.mark.parametrize("kind", sorted(SYMBOLS))
@pytest.mark.parametrize("width", [0.4, 1.1, 1.6, 2.8, 6.0, 17.5])
def test_marks_lie_inside_and_solid_kinds_are_not_blank(kind: Kind, width: float) -> None:
    area = _area(width)
    marks = hatch(kind, area)
    grown = area.region.buffer(0.02)
    assert all(grown.contains(_shape(mark)) for mark in marks)
    if kind in LINES_ONLY:
        assert not marks
    elif width >= 2.0:
        assert marks


@pytest.mark.parametrize("kind", sorted(SYMBOLS))
def test_a_slanted_outline_clips_too(kind: Kind) -> None:
    region = shapely.Polygon([(50, 30), (56, 30), (56, 60), (50, 64)])
    marks = hatch(kind, Area(region, (50, 30), (56, 64), (60, 100), "s"))
    assert all(region.buffer(0.02).contains(_shape(mark)) for mark in marks)


def test_regular_patterns_match_across_a_break() -> None:
    """One panel, or the same panel in two pieces: the lines lie on the same family."""

    def heights(marks: tuple[Line | Strokes | Dots, ...]) -> set[float]:
        found = set()
        for mark in marks:
            assert isinstance(mark, Strokes)
            for (x0, y0), (x1, y1) in mark.segments:
                if math.dist((x0, y0), (x1, y1)) > 0.5:
                    found.add(round(((x0 - 60) + (y0 - 100)) / math.sqrt(2), 4))
        return found

    whole = heights(hatch("brick", _area(6, 40)))
    assert heights(hatch("brick", _area(6, 18))) <= whole
    assert heights(hatch("brick", _area(6, 15, y=55))) <= whole


def test_batt_loops_touch_both_faces_and_keep_their_size_on_the_wall() -> None:
    for ratio in (4.0, 8.0, 16.0):
        width = 139.7 / ratio
        region = shapely.Polygon(rectangle(0, 0, width, 800 / ratio))
        marks = hatch("batt", Area(region, (0, 0), (width, 800 / ratio), (0, 0), "s", True, 25.4 / ratio))
        xs = [x for mark in marks if isinstance(mark, Line) for x, _ in mark.points]
        assert min(xs) < 0.05 and max(xs) > width - 0.05
        turns = sum(1 for mark in marks if isinstance(mark, Line) for x, _ in mark.points if x < 0.02)
        assert turns >= 6


def test_another_layer_gets_other_chance_and_the_same_layer_the_same() -> None:
    assert hatch("stucco", _area()) == hatch("stucco", _area())
    assert hatch("stucco", _area()) != hatch("stucco", _area(seed="wall/other"))


def test_triangles_in_concrete_keep_apart() -> None:
    marks = hatch("concrete", _area(40, 40))
    strokes = next(mark for mark in marks if isinstance(mark, Strokes))
    thirds = [strokes.segments[index : index + 3] for index in range(0, len(strokes.segments), 3)]
    middles = [(sum(start[0] for start, _ in third) / 3, sum(start[1] for start, _ in third) / 3) for third in thirds]
    assert len(middles) > 10
    assert all(math.dist(a, b) >= 4.19 for i, a in enumerate(middles) for b in middles[:i])


def test_chance_does_not_depend_on_the_hash_seed() -> None:
    code = (
        "from specgen.drawing.hatch import Area, hatch; import shapely;"
        "a = Area(shapely.box(0, 0, 6, 40), (0, 0), (6, 40), (0, 0), 'wall/layer');"
        "print([hatch(k, a) for k in ('stucco', 'concrete', 'wood-panel', 'loose-fill', 'wood')])"
    )
    outputs = {
        subprocess.run(
            [sys.executable, "-c", code], env={"PYTHONHASHSEED": seed}, capture_output=True, check=True
        ).stdout
        for seed in ("1", "2")
    }
    assert len(outputs) == 1
