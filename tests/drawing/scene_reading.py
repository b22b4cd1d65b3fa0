"""Reading a scene back for the drawing tests: glyph boxes from the font file, segments, boxes, groups."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import cache

from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont

from specgen.drawing import type as type_metrics
from specgen.model.scene import Circle, Dots, Group, Line, Scene, Strokes, Text

Box = tuple[float, float, float, float]


@cache
def _font(bold: bool) -> tuple[object, dict[int, str], int]:
    font = TTFont(type_metrics.font_path(bold))
    return font.getGlyphSet(), font.getBestCmap(), font["head"].unitsPerEm


@cache
def glyph_bounds(character: str, bold: bool) -> Box | None:
    """Ink of one glyph in ems, y upward; None for a blank."""
    glyphs, names, em = _font(bold)
    pen = BoundsPen(glyphs)
    glyphs[names[ord(character)]].draw(pen)  # type: ignore[index]
    return tuple(value / em for value in pen.bounds) if pen.bounds else None  # type: ignore[return-value]


def text_box(text: Text) -> Box:
    """The ink of a text on paper: left, top, right, bottom [mm]."""
    width = type_metrics.text_width(text.text, text.size, text.bold)
    start = text.at[0] - {"start": 0.0, "middle": width / 2, "end": width}[text.anchor]
    boxes = []
    for run in type_metrics.pieces(text.text, text.size, text.bold):
        size = type_metrics.font_size(text.size, run.bold) * run.scale
        x = start + run.dx
        for character in run.text:
            ink = glyph_bounds(character, run.bold)
            if ink:
                base = text.at[1] - run.rise
                boxes.append((x + ink[0] * size, base - ink[3] * size, x + ink[2] * size, base - ink[1] * size))
            x += type_metrics.face(run.bold).advances[ord(character)] * size
    return (
        min(box[0] for box in boxes),
        min(box[1] for box in boxes),
        max(box[2] for box in boxes),
        max(box[3] for box in boxes),
    )


def all_items(scene: Scene) -> Iterator[Line | Strokes | Dots | Circle | Text]:
    return (item for item in scene.walk() if not isinstance(item, Group))


def groups(scene: Scene) -> dict[str, Group]:
    return {item.id: item for item in scene.walk() if isinstance(item, Group)}


def inside(group: Group) -> Iterator[Line | Strokes | Dots | Circle | Text]:
    for item in group.items:
        if isinstance(item, Group):
            yield from inside(item)
        else:
            yield item


def outline(group: Group) -> Line:
    """The one closed line that a layer's group itself holds."""
    closed = [item for item in group.items if isinstance(item, Line) and item.closed]
    assert len(closed) == 1, f"{group.id} holds {len(closed)} outlines"
    return closed[0]


def bounds(line: Line) -> Box:
    xs, ys = [x for x, _ in line.points], [y for _, y in line.points]
    return min(xs), min(ys), max(xs), max(ys)


def crosses(
    a: tuple[tuple[float, float], tuple[float, float]], b: tuple[tuple[float, float], tuple[float, float]]
) -> bool:
    """Two segments share a point that is an end of neither."""

    def side(p: tuple[float, float], q: tuple[float, float], r: tuple[float, float]) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return (
        side(*a, b[0]) * side(*a, b[1]) < -1e-9
        and side(*b, a[0]) * side(*b, a[1]) < -1e-9
        and math.dist(a[0], b[0]) > 1e-6
    )
