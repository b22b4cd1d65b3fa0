"""Lines of a chart told apart without color: a dash and a label for each, and labels that never touch.

A label stands beyond the end of its line, in the order in which the lines end; where two would touch, both give way
and a thin leader joins each to its line.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from specgen.drawing.type import SMALL, text_width
from specgen.model.scene import Group, Line, Point, Text

# Solid first; each differs from the next in the length of its strokes, not only in its gaps, so that a copy keeps them.
DASHES: tuple[tuple[float, ...], ...] = ((), (2.6, 1.1), (0.7, 0.9), (4.5, 1.0, 0.7, 1.0), (1.3, 0.9), (6.0, 1.6))
LINE_WEIGHT = 0.50  # [mm]
LABEL_LEAD = 3.6  # least distance of two labels' baselines [mm]
LABEL_GAP = 4.0  # between the plot and its labels [mm]
LEADER_WEIGHT = 0.13
LEADER_ENDS = (0.5, 0.7)  # white before and after a leader [mm]


def spread(wanted: Sequence[float], gaps: Sequence[float], low: float, high: float) -> list[float]:
    """Places in ascending order as near to the wanted ones as the gaps between neighbors let them be.

    Parameters
    ----------
    wanted : sequence of float, shape (n,)
        Ascending. [mm]
    gaps : sequence of float, shape (n - 1,)
        Least distance of each place to the next. [mm]
    low, high : float
        Bounds; the upper one gives way if all do not fit between. [mm]

    Returns
    -------
    places : list of float, shape (n,)
        [mm]

    Source
    ------
    First principles: least squares with ordered values, neighbors pooled while they are out of order.
    """
    offsets = [math.fsum(gaps[:index]) for index in range(len(wanted))]
    pools: list[tuple[float, int]] = []
    for value, offset in zip(wanted, offsets, strict=True):
        pools.append((value - offset, 1))
        while len(pools) > 1 and pools[-2][0] > pools[-1][0]:
            (one, count), (other, more) = pools[-2:]
            pools[-2:] = [((one * count + other * more) / (count + more), count + more)]
    upper = max(low, high - (offsets[-1] if offsets else 0.0))
    level = [min(max(mean, low), upper) for mean, count in pools for _ in range(count)]
    return [place + offset for place, offset in zip(level, offsets, strict=True)]


def labels_room(labels: Sequence[str]) -> float:
    """Room that the labels need right of the plot [mm]."""
    return LABEL_GAP + max((text_width(label, SMALL) for label in labels), default=0.0)


def end_labels(ends: Sequence[tuple[Point, str]], x: float, top: float, bottom: float, group_id: str) -> Group:
    """The labels of lines that end at the given points, in a column at `x`, between two heights.

    Parameters
    ----------
    ends : sequence of (point, text)
        Last point of each line. [mm]
    x : float
        Left edge of the labels. [mm]
    top, bottom : float
        Bounds of their middles. [mm]
    group_id : str
        Of the group.
    """
    order = sorted((end for end in ends if end[1]), key=lambda end: end[0][1])
    middles = spread([point[1] for point, _ in order], [LABEL_LEAD] * (len(order) - 1), top, bottom)
    items: list[Line | Text] = []
    for (point, label), y in zip(order, middles, strict=True):
        start, stop = LEADER_ENDS
        if abs(y - point[1]) > 0.6 or x - point[0] > LABEL_GAP + 0.1:
            items.append(Line(((point[0] + start, point[1]), (x - stop, y)), LEADER_WEIGHT))
        items.append(Text((x, y + SMALL / 2), label, SMALL))
    return Group(group_id, tuple(items), "Labels of the lines", "note")
