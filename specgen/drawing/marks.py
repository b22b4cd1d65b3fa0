"""Drawing marks: break lines, set-out mark, scale bar, drawing title, control letters above a cut."""

from __future__ import annotations

import math
from itertools import pairwise

from specgen.drawing.geometry import Frame, rectangle
from specgen.drawing.layout import CONTROL_LETTERS, Strip, control_letters
from specgen.drawing.type import NOTE, SMALL, format_scale, text_width
from specgen.model.scene import Circle, Group, Line, Point, Text

NOTE_WEIGHT = 0.25  # leaders, dimensions, break lines [mm]
RULE_WEIGHT = 0.50  # under a drawing title [mm]
BREAK_OVERSHOOT = 3.0  # beyond the outer faces [mm]
BAR_LENGTH = 76.2  # scale bar on paper, as near as its feet allow [mm]

# Length that the bar shows for each ratio of the list, with its division marks [in].
_BAR_MARKS: dict[float, tuple[int, ...]] = {
    4: (0, 6, 12), 8: (0, 6, 12, 24), 16: (0, 12, 24, 48),
}  # fmt: skip


def break_line(start: Point, end: Point) -> Line:
    """A level or upright break line with one Z of 3 mm at its middle."""
    (x0, y0), (x1, y1) = start, end
    xm, ym = (x0 + x1) / 2, (y0 + y1) / 2
    if abs(y1 - y0) < abs(x1 - x0):
        zig = ((xm - 1.5, ym), (xm - 0.6, ym - 1.5), (xm + 0.6, ym + 1.5), (xm + 1.5, ym))
    else:
        zig = ((xm, ym - 1.5), (xm + 1.5, ym - 0.6), (xm - 1.5, ym + 0.6), (xm, ym + 1.5))
    return Line((start, *zig, end), NOTE_WEIGHT)


def break_mask(start: Point, end: Point, outward: float) -> Line:
    """White over the ends of the outlines at a break, so that only the break's own thin line closes them.

    `outward` is the side that is cut away: -1 up or left on paper, +1 down or right.
    """
    (x0, y0), (x1, y1) = start, end
    inner, outer = 0.12, 0.7
    if abs(y1 - y0) < abs(x1 - x0):
        corners = rectangle(x0, y0 - outward * inner, x1, y0 + outward * outer)
    else:
        corners = rectangle(x0 - outward * inner, y0, x0 + outward * outer, y1)
    return Line(corners, 0.0, closed=True, ink="white", fill="white", stroked=False)


def set_out_mark(at: Point, label: str, upward: bool = True) -> tuple[Line | Text, ...]:
    """A filled triangle that points at the set-out face, with its name beside it."""
    x, y = at
    if upward:
        mark = ((x, y), (x - 1.1, y + 2.2), (x + 1.1, y + 2.2))
        return Line(mark, 0.0, closed=True, fill="black", stroked=False), Text((x + 2.2, y + 2.2), label, SMALL)
    mark = ((x, y), (x + 2.2, y - 1.1), (x + 2.2, y + 1.1))
    return Line(mark, 0.0, closed=True, fill="black", stroked=False), Text((x + 3.4, y + SMALL / 2), label, SMALL)


def control_marks(strips: tuple[Strip, ...], frame: Frame, top: float, view: str) -> Group:
    """Letters above the cut: one riser per layer that controls water, air or vapor, a bracket over the thermal ones.

    `top` is the height of the cut's upper break on paper [mm].
    """
    letters_y, riser_y = top - 7.2, top - 6.0
    placed: list[list[float | str]] = []
    lines: list[Line] = []
    for strip in strips:
        letters = control_letters(strip.layer)
        if letters:
            x = frame.origin[0] + strip.middle
            placed.append([x, letters])
            lines.append(Line(((x, riser_y), (x, top - 2.6)), NOTE_WEIGHT))
    for outer, inner in _thermal_runs(strips):
        x0, x1 = frame.origin[0] + outer, frame.origin[0] + inner
        inset = min(0.4, (x1 - x0) / 4)
        bracket = ((x0 + inset, top - 2.6), (x0 + inset, top - 4.6), (x1 - inset, top - 4.6), (x1 - inset, top - 2.6))
        lines.append(Line(bracket, NOTE_WEIGHT))
        placed.append([(x0 + x1) / 2, "T"])
    placed.sort(key=lambda entry: float(entry[0]))
    texts = _spread(placed, letters_y)
    return Group(f"{view}_controls", (*lines, *texts), "Control layers", "control")


def control_legend(strips: tuple[Strip, ...]) -> tuple[str, ...]:
    """The legend in words: what each letter means, and which function has no layer of its own."""
    found = {name for strip in strips for name in strip.layer.controls}
    present = [f"{letter} {name}" for name, letter in CONTROL_LETTERS.items() if name in found]
    absent = [f"{name}: no dedicated layer" for name in CONTROL_LETTERS if name not in found]
    lines = ["Control layers: " + ", ".join(present)] if present else []
    return (*lines, *(line[0].upper() + line[1:] for line in absent))


def scale_bar(ratio: float, right: float, top: float, group_id: str) -> Group:
    """A bar in scaled units, right-aligned; alternate solid and open blocks, labels above."""
    marks = _BAR_MARKS.get(ratio, (0, 12, 24))
    mm_per_inch = 25.4 / ratio
    left = right - marks[-1] * mm_per_inch
    items: list[Line | Text] = []
    for index, (start, end) in enumerate(pairwise(marks)):
        block = rectangle(left + start * mm_per_inch, top, left + end * mm_per_inch, top + 1.7)
        items.append(Line(block, NOTE_WEIGHT, closed=True, fill="black" if index % 2 == 0 else None))
    for mark in marks:
        label = "0" if mark == 0 else (f"{mark // 12}′" if mark % 12 == 0 else f"{mark}″")
        at = (left + mark * mm_per_inch, top - 1.1)
        anchor = "end" if mark == marks[-1] else ("start" if mark == 0 else "middle")
        items.append(Text(at, label, SMALL, anchor))  # type: ignore[arg-type]
    return Group(group_id, tuple(items), f"Scale bar, {format_scale(ratio)}", "frame")


def drawing_title(
    number: str, title: str, ratio: float, left: float, right: float, y: float, group_id: str
) -> tuple[Group, Group]:
    """Bubble, title over its rule, scale under it, and the bar: the block below a drawing, rule at height `y` [mm]."""
    center = (left + 5.0, y)
    items = (
        Circle(center, 5.0, 0.35),
        Text((center[0], y + NOTE / 2), number, NOTE, "middle", bold=True),
        Line(((left + 10.0, y), (right, y)), RULE_WEIGHT),
        Text((left + 13.0, y - 1.5), title, NOTE, bold=True),
        Text((left + 13.0, y + 4.3), format_scale(ratio), SMALL),
    )
    block = Group(group_id, items, title, "frame")
    return block, scale_bar(ratio, right - 1.3, y + 5.0, f"{group_id}_bar")


def detail_marker(at: Point, bubble_x: float, number: str, page: str, group_id: str) -> Group:
    """A bubble, number over page, whose 15° leader ends on the part that another sheet enlarges."""
    radius = 4.6
    y = at[1] - (at[0] - bubble_x - radius) * math.tan(math.radians(15))
    items = (
        Line(((bubble_x + radius, y), at), NOTE_WEIGHT),
        Circle((bubble_x, y), radius, 0.35, fill="white"),
        Line(((bubble_x - radius, y), (bubble_x + radius, y)), NOTE_WEIGHT),
        Text((bubble_x, y - 0.9), number, SMALL, "middle", bold=True),
        Text((bubble_x, y + 0.9 + SMALL), page, SMALL, "middle"),
        Circle(at, 0.45, 0.0, fill="black", stroked=False),
    )
    return Group(group_id, items, f"Enlarged in drawing {number}", "note")


def _thermal_runs(strips: tuple[Strip, ...]) -> list[tuple[float, float]]:
    """Adjoining thermal layers share one bracket; films between them do not part it."""
    runs: list[list[float]] = []
    open_run = False
    for strip in strips:
        if "thermal" in strip.layer.controls:
            if open_run:
                runs[-1][1] = strip.inner
            else:
                runs.append([strip.outer, strip.inner])
            open_run = True
        elif not strip.is_film:
            open_run = False
    return [(outer, inner) for outer, inner in runs]


def _spread(placed: list[list[float | str]], y: float) -> list[Text]:
    """Letters over their risers, moved apart where they would touch; the riser stays on its layer."""
    positions = [float(x) for x, _ in placed]
    widths = [text_width(str(letters), SMALL, bold=True) for _, letters in placed]
    gap = 1.6
    for _ in range(40):
        for index in range(1, len(positions)):
            need = (widths[index - 1] + widths[index]) / 2 + gap
            short = need - (positions[index] - positions[index - 1])
            if short > 1e-6:
                positions[index - 1] -= short / 2
                positions[index] += short / 2
    return [
        Text((x, y), str(letters), SMALL, "middle", bold=True)
        for x, (_, letters) in zip(positions, placed, strict=True)
    ]
