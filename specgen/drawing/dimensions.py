"""Dimension strings: oblique ticks, extension lines, and figures that add up to the overall as printed.

Every figure is rounded from its true length. If the figures of a string do not add up to the printed overall at
1/16 in, all go to 1/32; if they still do not, the thinnest part joins its neighbor. No figure is ever adjusted.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from specgen import units
from specgen.drawing.callouts import FILM_LIMIT
from specgen.drawing.layout import core_index
from specgen.drawing.type import SMALL, format_drawing_length, text_width
from specgen.model.scene import Group, Line, Point, Text
from specgen.model.wall import Wall

WEIGHT = 0.25  # [mm]
EXTENSION_GAP = 1.5
EXTENSION_OVERSHOOT = 1.5
TICK = 2.5  # length of the 45° stroke [mm]
TEXT_PITCH = 3.2  # least distance of two figures, one above the other [mm]
FIGURE_ROOM = 6.0  # leader of an outside figure, and the ticks of the next string [mm]
END_CLEAR = 1.9  # least distance of a figure from the extension line of an end tick [mm]


@dataclass(frozen=True, slots=True)
class Figures:
    """Lengths of one string as printed: positions of its ticks, a text per part, and the text of the overall."""

    faces: tuple[float, ...]  # from the exterior face [m]
    parts: tuple[str, ...]
    overall: str
    denominator: int  # 16 or 32


def agreeing_figures(faces: Sequence[float]) -> Figures:
    """Figures for the parts between faces and for the overall, chosen so that the printed parts add up to it.

    Parameters
    ----------
    faces : sequence of float, shape (n + 1,)
        Positions of the ticks, exterior first, ascending. [m]

    Returns
    -------
    figures : Figures
        Fewer faces than given where no fraction up to 1/32 in makes the sum right.
    """
    kept = list(faces)
    while True:
        for denominator in (16, 32):
            ticks = [_ticks(end - start, denominator) for start, end in pairwise(kept)]
            if sum(ticks) == _ticks(kept[-1] - kept[0], denominator):
                parts = tuple(format_drawing_length(end - start, denominator) for start, end in pairwise(kept))
                overall = format_drawing_length(kept[-1] - kept[0], denominator)
                return Figures(tuple(kept), parts, overall, denominator)
        _join_thinnest(kept)


def main_faces(wall: Wall) -> tuple[float, ...]:
    """Faces that a builder sets out from: exterior, set-out face, faces of the core, interior. Shape (n + 1,), [m].

    Parts under 1/16 in between two of them (films) are not dimensioned by themselves.
    """
    core = core_index(wall)
    wanted = sorted({0.0, wall.datum_position, wall.faces[core], wall.faces[core + 1], wall.thickness})
    kept = [wanted[0]]
    for face in wanted[1:]:
        if face - kept[-1] >= FILM_LIMIT:
            kept.append(face)
        elif face == wanted[-1]:
            kept[-1] = face if len(kept) > 1 else kept[-1]
    if len(kept) == 1:
        kept.append(wanted[-1])
    return tuple(kept)


def upright_string(
    x: float, ticks: Sequence[float], texts: Sequence[str], from_x: float, group_id: str, title: str
) -> Group:
    """A dimension string that runs down the page at `x`, figures to its left; extension lines start at `from_x`.

    A figure with no room between its ticks stands outside with a short leader.
    """
    items: list[Line | Text] = [Line(((x, ticks[0] - TICK / 2), (x, ticks[-1] + TICK / 2)), WEIGHT)]
    for y in ticks:
        items.append(Line(((from_x - EXTENSION_GAP, y), (x - EXTENSION_OVERSHOOT, y)), WEIGHT))
        items.append(_tick((x, y)))
    middles = [(start + end) / 2 for start, end in pairwise(ticks)]
    for middle, y, text in zip(middles, _figure_heights(ticks, middles), texts, strict=True):
        if abs(y - middle) < 0.3:
            items.append(Text((x - 1.8, y + SMALL / 2), text, SMALL, "end"))
        else:
            items.append(Line(((x, middle), (x - 2.2, y), (x - 3.2, y)), WEIGHT))
            items.append(Text((x - 3.9, y + SMALL / 2), text, SMALL, "end"))
    return Group(group_id, tuple(items), title, "dimension")


def level_string(
    y: float, ticks: Sequence[float], texts: Sequence[str], from_y: float, group_id: str, title: str
) -> Group:
    """A dimension string across the page at height `y`, figures above it; extension lines come down from `from_y`."""
    items: list[Line | Text] = [Line(((ticks[0] - TICK / 2, y), (ticks[-1] + TICK / 2, y)), WEIGHT)]
    for x in ticks:
        items.append(Line(((x, from_y + EXTENSION_GAP), (x, y + EXTENSION_OVERSHOOT)), WEIGHT))
        items.append(_tick((x, y)))
    for (start, end), text in zip(pairwise(ticks), texts, strict=True):
        items.append(Text(((start + end) / 2, y - 1.2), text, SMALL, "middle"))
    return Group(group_id, tuple(items), title, "dimension")


def string_width(texts: Sequence[str]) -> float:
    """Room that an upright string's figures need to the left of its line [mm]."""
    return max(text_width(text, SMALL) for text in texts) + FIGURE_ROOM


def _ticks(length: float, denominator: int) -> int:
    return round(length / units.INCH * denominator)


def _join_thinnest(faces: list[float]) -> None:
    """Drop the inner face between the thinnest part and the thinner of its neighbors."""
    depths = [end - start for start, end in pairwise(faces)]
    thinnest = min(range(len(depths)), key=depths.__getitem__)
    if thinnest == 0:
        del faces[1]
    elif thinnest == len(depths) - 1:
        del faces[-2]
    else:
        del faces[thinnest if depths[thinnest - 1] < depths[thinnest + 1] else thinnest + 1]


def _tick(at: Point) -> Line:
    x, y = at
    half = TICK / 2 * 0.7071
    return Line(((x - half, y + half), (x + half, y - half)), 0.5)


def _figure_heights(ticks: Sequence[float], middles: Sequence[float]) -> list[float]:
    """Heights of the figures: at the middles where they fit, else apart from each other and from the end ticks.

    The end ticks' extension lines run on to the overall's string; a figure of a thin end part goes outside of them.
    """
    placed = list(middles)
    count = len(placed)
    if count > 1 and abs(placed[0] - ticks[0]) < END_CLEAR:
        placed[0] = ticks[0] - END_CLEAR
    if count > 1 and abs(ticks[-1] - placed[-1]) < END_CLEAR:
        placed[-1] = ticks[-1] + END_CLEAR
    for index in range(1, count):
        clear = ticks[0] + END_CLEAR if placed[index - 1] < ticks[0] else placed[index - 1] + TEXT_PITCH
        placed[index] = max(placed[index], clear)
    for index in range(count - 2, -1, -1):
        clear = ticks[-1] - END_CLEAR if placed[index + 1] > ticks[-1] else placed[index + 1] - TEXT_PITCH
        placed[index] = min(placed[index], clear)
    return placed
