"""Columns of long notes whose places in a drawing lie close together: a leader may leave any line of its note.

Like `notes`, all leaders run at one angle, 15° falling toward the drawing, and cannot cross; but where places crowd,
one note stands above its leader and the next below its own. Type never shrinks.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from specgen.drawing.notes import DOT, HALO, LANDING, LEAST_GAP, ROW_GAP, SLOPE, WEIGHT, Target
from specgen.drawing.type import LEAD_NOTE, NOTE, wrap
from specgen.errors import PageOverflowError
from specgen.model.scene import Circle, Group, Line, Text

_Placed = tuple[float, int]  # height of a note's first line, and the line that its leader leaves


def side_column(
    rows: Sequence[tuple[str, Target]],
    x: float,
    top: float,
    width: float,
    group_id: str,
    left: bool = False,
    floor_y: float = math.inf,
) -> Group:
    """Notes in one column with their leaders, in the order in which their leaders start.

    Parameters
    ----------
    rows : sequence of (str, Target), shape (n,)
        Notes with the places that they speak of, top to bottom.
    x : float
        Edge of the texts toward the drawing: their left edge, or their right edge in a `left` column. [mm]
    top : float
        Middle of the first line, at the earliest. [mm]
    width : float
        Widest line. [mm]
    group_id : str
        Id of the group.
    left : bool
        The column stands left of the drawing, its texts right-aligned.
    floor_y : float
        No note may reach below this. [mm]

    Raises
    ------
    PageOverflowError
        If a note does not fit; names it.
    """
    start = x + (1.5 + LANDING) * (1 if left else -1)
    order = sorted(rows, key=lambda row: row[1].low - abs(start - row[1].x) * SLOPE)
    blocks = [wrap(text, width, NOTE) for text, _ in order]
    spans = [(aim.high - abs(start - aim.x) * SLOPE, aim.low - abs(start - aim.x) * SLOPE) for _, aim in order]
    placed = _place([len(block) for block in blocks], spans, top, floor_y)
    if len(placed) < len(blocks):
        longest = max(range(len(placed) + 1), key=lambda index: len(blocks[index]))
        raise PageOverflowError(
            f"the column of notes does not fit beside the drawing; shorten {order[longest][0]!r} or draw at a smaller "
            "scale"
        )
    halos: list[Circle] = []
    lines: list[Line] = []
    others: list[Circle | Text] = []
    landing = x + 1.5 if left else x - 1.5
    for (first, leaving), block, (_, aim) in zip(placed, blocks, order, strict=True):
        row = first + leaving * LEAD_NOTE
        end = (aim.x, row + abs(start - aim.x) * SLOPE)
        lines.append(Line(((landing, row), (start, row), end), WEIGHT))
        halos.append(Circle(end, HALO, 0.0, fill="white", stroked=False))
        others.append(Circle(end, DOT, 0.0, fill="black", stroked=False))
        others += [
            Text((x, first + NOTE / 2 + number * LEAD_NOTE), line, NOTE, "end" if left else "start")
            for number, line in enumerate(block)
        ]
    return Group(group_id, (*halos, *lines, *others), "Notes", "leader")


def _place(counts: list[int], spans: list[tuple[float, float]], top: float, floor_y: float) -> list[_Placed]:
    """Leaders from the first lines if that fits, else each from the line that leaves most room below."""
    best: list[_Placed] = []
    for gap in (ROW_GAP, (ROW_GAP + LEAST_GAP) / 2, LEAST_GAP):
        for free in (False, True):
            placed: list[_Placed] = []
            y = top
            for count, (high, low) in zip(counts, spans, strict=True):
                lines = range(count - 1, -1, -1) if free else (0,)
                leaving = next((line for line in lines if y + line * LEAD_NOTE <= low), None)
                if leaving is None:
                    break
                first = max(y, high - leaving * LEAD_NOTE)
                if first + NOTE / 2 + (count - 1) * LEAD_NOTE > floor_y:
                    break
                placed.append((first, leaving))
                y = first + LEAD_NOTE * count + gap
            if len(placed) == len(counts):
                return placed
            best = max(best, placed, key=len)
    return best
