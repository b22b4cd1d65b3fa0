"""Columns of notes or numbers beside a drawing, tied to it by leaders that cannot cross.

Leaders run at one angle, 15° falling toward the drawing, from rows stacked top to bottom. Parallel lines with
different intercepts never meet; a row moves down until its leader meets its place between the place's ends. Where
places crowd, a leader may leave any line of its note, so that one note stands above its leader and the next below
its own. A target can ask for another slope, to pass under an edge; such a column is measured for crossings. Type
never shrinks: a column that does not fit raises an error which names the text.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

from specgen.drawing.type import LEAD_NOTE, NOTE, SMALL, wrap
from specgen.errors import PageOverflowError
from specgen.model.scene import Circle, Group, Line, Point, Text

SLOPE = math.tan(math.radians(15))
LANDING = 3.0  # level part of a leader [mm]
WEIGHT = 0.25
DOT = 0.45  # radius [mm]
HALO = 0.8
KEY_RADIUS = 2.6  # of a numbered circle [mm]
ROW_GAP = 2.1  # between notes, more than between lines of one note [mm]
LEAST_GAP = 0.9
KEY_PITCH = 6.2
LEAST_KEY_PITCH = 5.5
_STEPS = 8  # from the wide gap between rows to the least


@dataclass(frozen=True, slots=True)
class Target:
    """Where a leader's dot may sit: x on paper, and the y span in which the thing is seen [mm]."""

    x: float
    high: float  # least y
    low: float  # greatest y
    slope: float = SLOPE  # of its leader: positive falls toward the drawing, negative rises

    def drop(self, start: float) -> float:
        """How far a leader that starts at `start` across the page falls to its dot [mm]."""
        return abs(start - self.x) * self.slope


Row = tuple[str, Target]
_Placed = tuple[float, int]  # height of a note's first line, and the line that its leader leaves


def text_column(
    rows: Sequence[Row],
    x: float,
    first_y: float,
    width: float,
    group_id: str,
    left: bool = False,
    floor_y: float = math.inf,
    any_line: bool = False,
) -> Group:
    """Notes in one column with their leaders.

    Parameters
    ----------
    rows : sequence of (str, Target), shape (n,)
        Notes with the places that they speak of, in the order of their leaders, top to bottom.
    x : float
        Edge of the texts toward the drawing: their left edge, or their right edge in a `left` column. [mm]
    first_y : float
        Middle of the first note's first line, at the earliest. [mm]
    width : float
        Widest line. [mm]
    group_id : str
        Id of the group.
    left : bool
        The column stands left of the drawing, its texts right-aligned.
    floor_y : float
        No note may reach below this. [mm]
    any_line : bool
        Where places crowd, leaders may leave any line of their notes instead of the first.

    Raises
    ------
    PageOverflowError
        If a note does not fit; names it.
    """
    texts = [text for text, _ in rows]
    targets = [target for _, target in rows]
    blocks = [wrap(text, width, NOTE) for text in texts]
    start = leader_start(x, left)
    counts = [len(block) for block in blocks]
    placed = _stack(counts, texts, targets, start, first_y, floor_y, (ROW_GAP, LEAST_GAP), any_line)
    heights = [first + leaving * LEAD_NOTE for first, leaving in placed]
    others = [
        Text((x, first + NOTE / 2 + number * LEAD_NOTE), line, NOTE, "end" if left else "start")
        for (first, _), block in zip(placed, blocks, strict=True)
        for number, line in enumerate(block)
    ]
    landing = x + 1.5 if left else x - 1.5
    return Group(group_id, (*_leaders(heights, targets, start, landing), *others), "Notes", "leader")


def number_column(
    numbers: Sequence[int],
    targets: Sequence[Target],
    x: float,
    first_y: float,
    group_id: str,
    left: bool = False,
    floor_y: float = math.inf,
) -> Group:
    """Numbered circles in one column with their leaders; `x` is the circles' middle. Errors as for `text_column`."""
    texts = [f"number {number}" for number in numbers]
    start = x + KEY_RADIUS * (1 if left else -1)
    gaps = (KEY_PITCH - LEAD_NOTE, LEAST_KEY_PITCH - LEAD_NOTE)
    placed = _stack([1] * len(numbers), texts, targets, start, first_y, floor_y, gaps, False)
    heights = [first for first, _ in placed]
    others: list[Circle | Text] = []
    for height, number in zip(heights, numbers, strict=True):
        others.append(Circle((x, height), KEY_RADIUS, 0.35, fill="white"))
        others.append(Text((x, height + SMALL / 2), str(number), SMALL, "middle", bold=True))
    leaders = _leaders(heights, targets, start, start)
    return Group(group_id, (*leaders, *others), "Numbers, exterior to interior", "leader")


def leader_start(x: float, left: bool) -> float:
    """Where the leaders of a column of notes leave their level part, across the page [mm]."""
    return x + (1.5 + LANDING) * (1 if left else -1)


def by_height(rows: Sequence[Row], x: float, left: bool) -> list[Row]:
    """Rows of a column in the order in which their leaders can start."""
    start = leader_start(x, left)
    return sorted(rows, key=lambda row: row[1].low - row[1].drop(start))


def _stack(
    counts: Sequence[int],
    texts: Sequence[str],
    targets: Sequence[Target],
    start: float,
    first_y: float,
    floor_y: float,
    gaps: tuple[float, float],
    any_line: bool,
) -> list[_Placed]:
    """Rows as wide apart as fits between the two gaps, leaders from the first lines if that fits.

    Else each leader leaves the line that has most room below it.
    """
    spans = [(target.high - target.drop(start), target.low - target.drop(start)) for target in targets]
    best: list[_Placed] = []
    for step in range(_STEPS + 1):
        gap = gaps[0] + (gaps[1] - gaps[0]) * step / _STEPS
        for free in (False, True) if any_line else (False,):
            placed: list[_Placed] = []
            y = first_y
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
            if len(placed) == len(counts) and not _crossing(placed, targets, start):
                return placed
            best = max(best, placed, key=len)
    # The longest note down to the one that failed is the one whose shortening helps.
    longest = max(range(min(len(best) + 1, len(counts))), key=counts.__getitem__)
    raise PageOverflowError(
        f"the column of notes does not fit beside the drawing; shorten {texts[longest]!r} or draw at a smaller scale"
    )


def _crossing(placed: Sequence[_Placed], targets: Sequence[Target], start: float) -> bool:
    """Whether two leaders of unlike slope meet; like ones cannot."""
    ends = [(first + leaving * LEAD_NOTE, target) for (first, leaving), target in zip(placed, targets, strict=True)]
    for (upper, one), (lower, other) in combinations(ends, 2):
        near = min(abs(one.x - start), abs(other.x - start))
        if upper + near * one.slope >= lower + near * other.slope - WEIGHT:
            return True
    return False


def _leaders(
    heights: Sequence[float], targets: Sequence[Target], start: float, landing: float
) -> tuple[Line | Circle, ...]:
    """Halos clear the hatch, leaders run over them, dots come last."""
    ends: list[Point] = [(target.x, y + target.drop(start)) for y, target in zip(heights, targets, strict=True)]
    halos = [Circle(end, HALO, 0.0, fill="white", stroked=False) for end in ends]
    starts = [((landing, y), (start, y)) if landing != start else ((start, y),) for y in heights]
    lines = [Line((*points, end), WEIGHT) for points, end in zip(starts, ends, strict=True)]
    return (*halos, *lines, *(Circle(end, DOT, 0.0, fill="black", stroked=False) for end in ends))
