"""Columns of notes or numbers beside a drawing, tied to it by leaders that cannot cross.

All leaders of a column run at one angle, 15° falling toward the drawing, from rows stacked top to bottom. Parallel
lines with different intercepts never meet; a row moves down until its leader meets its layer between the layer's
ends. Type never shrinks: a column that does not fit raises an error which names the text.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from specgen.drawing.type import LEAD_NOTE, NOTE, SMALL, text_width, wrap
from specgen.errors import PageOverflowError
from specgen.model.scene import Circle, Group, Line, Text

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


@dataclass(frozen=True, slots=True)
class Target:
    """Where a leader's dot may sit: x on paper, and the y span in which the thing is seen [mm]."""

    x: float
    high: float  # least y
    low: float  # greatest y


def text_column(
    texts: Sequence[str],
    targets: Sequence[Target],
    x: float,
    first_y: float,
    width: float,
    group_id: str,
    left: bool = False,
    floor_y: float = math.inf,
) -> Group:
    """Notes in one column with their leaders.

    Parameters
    ----------
    texts : sequence of str, shape (n,)
        Notes, in the order of their targets from the far side of the column's drawing to the near side.
    targets : sequence of Target, shape (n,)
        Where their leaders end.
    x : float
        Edge of the texts toward the drawing: their left edge, or their right edge in a `left` column. [mm]
    first_y : float
        Height of the first note's leader, at the earliest. [mm]
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
    blocks = [wrap(text, width, NOTE) for text in texts]
    start = x + (1.5 + LANDING) * (1 if left else -1)
    rows = _stack(blocks, texts, targets, start, first_y, floor_y, ROW_GAP, LEAST_GAP)
    items: list[Line | Circle | Text] = []
    landing_end = x + 1.5 if left else x - 1.5
    dots: list[Circle] = []
    for row, block, target in zip(rows, blocks, targets, strict=True):
        end = (target.x, row + abs(start - target.x) * SLOPE)
        items.append(Line(((landing_end, row), (start, row), end), WEIGHT))
        dots += [
            Circle(end, HALO, 0.0, fill="white", stroked=False),
            Circle(end, DOT, 0.0, fill="black", stroked=False),
        ]
        for number, line in enumerate(block):
            baseline = row + NOTE / 2 + number * LEAD_NOTE
            items.append(Text((x, baseline), line, NOTE, "end" if left else "start"))
    return Group(group_id, (*_under_dots(items, dots),), "Notes, exterior to interior", "leader")


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
    blocks = [("",)] * len(numbers)
    spare = LEAD_NOTE
    rows = _stack(blocks, texts, targets, start, first_y, floor_y, KEY_PITCH - spare, LEAST_KEY_PITCH - spare)
    items: list[Line | Circle | Text] = []
    dots: list[Circle] = []
    for row, number, target in zip(rows, numbers, targets, strict=True):
        end = (target.x, row + abs(start - target.x) * SLOPE)
        items.append(Line(((start, row), end), WEIGHT))
        dots += [
            Circle(end, HALO, 0.0, fill="white", stroked=False),
            Circle(end, DOT, 0.0, fill="black", stroked=False),
        ]
        items.append(Circle((x, row), KEY_RADIUS, 0.35, fill="white"))
        items.append(Text((x, row + SMALL / 2), str(number), SMALL, "middle", bold=True))
    return Group(group_id, (*_under_dots(items, dots),), "Numbers, exterior to interior", "leader")


def block_height(lines: Sequence[str]) -> float:
    """Height of a wrapped note, from the top of its capitals to its last baseline [mm]."""
    return NOTE + (len(lines) - 1) * LEAD_NOTE


def column_width(texts: Sequence[str]) -> float:
    """Width of the widest text at note size [mm]."""
    return max((text_width(text, NOTE) for text in texts), default=0.0)


def _stack(
    blocks: Sequence[Sequence[str]],
    texts: Sequence[str],
    targets: Sequence[Target],
    start: float,
    first_y: float,
    floor_y: float,
    gap: float,
    least_gap: float,
) -> list[float]:
    """Heights of the rows' leaders: as wide apart as `gap` if that fits, closer down to `least_gap` if not."""
    steps = 8
    for step in range(steps + 1):
        spacing = gap + (least_gap - gap) * step / steps
        rows: list[float] = []
        y = first_y
        for block, target in zip(blocks, targets, strict=True):
            drop = abs(start - target.x) * SLOPE
            y = max(y, target.high - drop)
            bottom = y + NOTE / 2 + (len(block) - 1) * LEAD_NOTE
            if y + drop > target.low or bottom > floor_y:
                break
            rows.append(y)
            y += LEAD_NOTE * len(block) + spacing
        if len(rows) == len(blocks):
            return rows
    # The longest note down to the one that failed is the one whose shortening helps.
    longest = max(range(len(rows) + 1), key=lambda index: len(blocks[index]))
    raise PageOverflowError(
        f"the column of notes does not fit beside the drawing; shorten {texts[longest]!r} or draw at a smaller scale"
    )


def _under_dots(items: list[Line | Circle | Text], dots: list[Circle]) -> list[Line | Circle | Text]:
    """Halos clear the hatch, leaders run over them, dots and text come last."""
    lines = [item for item in items if isinstance(item, Line)]
    others = [item for item in items if not isinstance(item, Line)]
    halos, solid = dots[0::2], dots[1::2]
    return [*halos, *lines, *solid, *others]
