"""Flashing, and the metal at the foot of the cladding: weep screed, base screen, casing bead, veneer flashing."""

from __future__ import annotations

from specgen import units
from specgen.drawing.base import (
    BELOW_GRADE,
    DEFAULT_FLASHING_UP,
    SCREED_FLANGE,
    SHELF_FALL,
    Foot,
    Item,
    flashing_levels,
    has_flashing,
    ledge_place,
    screen_place,
)
from specgen.drawing.geometry import Frame
from specgen.drawing.layout import Strip
from specgen.model.scene import Group, Line
from specgen.model.wall import Wall

WEEP = 0.375 * units.INCH  # height of the open head joint as it is drawn (common practice)


def termination(wall: Wall, placed: tuple[Strip, ...], feet: Foot, frame: Frame) -> Group:
    """Flashing and the metal that ends the cladding, from the backing out."""
    backing = placed[feet.backing]
    face = backing.outer
    fine = frame.ratio > 5  # at small scale the stacked laps must not fill the mat
    flashing_weight, metal_weight = (0.35, 0.25) if fine else (0.5, 0.35)
    items: list[Item] = []
    up, down = flashing_levels(wall, feet, frame)
    x_flashing = face - flashing_weight / 2
    if has_flashing(feet.base):
        items.append(Line((frame.place(x_flashing, up), frame.place(x_flashing, down)), flashing_weight))
    x_flange = face - flashing_weight - metal_weight / 2
    if ledge_place(placed, feet) is not None:
        items += _through_wall(placed, feet, frame, x_flange)
    elif feet.base.termination == "weep-screed":
        items += _weep_screed(placed, feet, frame, x_flange, metal_weight)
    elif feet.base.termination == "base-screen":
        items += _base_screen(placed, feet, frame, x_flange, metal_weight)
    elif feet.base.termination == "casing-bead":
        items += _casing_bead(placed, feet, frame, metal_weight)
        if not has_flashing(feet.base):
            items.append(_stem_coat(wall, face, feet, frame))
    return Group("section_flashing", tuple(items), feet.base.termination.replace("-", " "), "base")


def _stem_coat(wall: Wall, face: float, feet: Foot, frame: Frame) -> Line:
    """Waterproofing of the stem where no flashing stands: from below grade up to the bead, heavier than an outline."""
    low = max(feet.grade - frame.mm(BELOW_GRADE), feet.bottom) if wall.construction != "framed" else feet.grade
    return Line((frame.place(face - 0.45, feet.clear), frame.place(face - 0.45, low)), 0.7)


def _weep_screed(placed: tuple[Strip, ...], feet: Foot, frame: Frame, flange: float, weight: float) -> list[Item]:
    """Flange up the wall, leg sloping down and out with gaps for its holes, nose at the plaster's face.

    Before insulation the metal runs out under it with a fall, then down behind what hangs lower. On furring the
    flange stands on the furring, and the space behind it is screened.
    """
    if feet.on_furring:
        flange = feet.slope_inner - weight / 2
    back = min(feet.slope_inner, flange)
    level = feet.end(back)
    nose = (feet.slope_outer, feet.clear)
    shelf = feet.shelf - SHELF_FALL * (flange - back)
    upright = [(flange, feet.shelf + frame.mm(SCREED_FLANGE)), (flange, feet.shelf), (back, shelf), (back, level)]
    items: list[Item] = [
        Line(tuple(frame.place(*point) for point in upright), weight),
        Line((frame.place(*nose), frame.place(nose[0], nose[1] - 0.8)), 0.35),
    ]
    if feet.on_furring:
        furring = next(strip for strip in placed if strip.outer >= feet.slope_inner)
        ends = (frame.place(furring.outer, level - 0.3), frame.place(furring.inner, level - 0.3))
        items.append(Line(ends, 0.35, dash=(0.6, 0.4)))
    # Holes: the leg is drawn in three parts with open joints.
    for begin, finish in ((0.0, 0.30), (0.42, 0.62), (0.74, 1.0)):
        part = [(back + (nose[0] - back) * share, level + (nose[1] - level) * share) for share in (begin, finish)]
        items.append(Line(tuple(frame.place(*point) for point in part), 0.35))
    return items


def _through_wall(placed: tuple[Strip, ...], feet: Foot, frame: Frame, flange: float) -> list[Item]:
    """Flashing from the backing out under a masonry veneer, with its drip; an open head joint beyond the cut on it."""
    drip = placed[0].outer - frame.mm(0.25 * units.INCH)
    up = feet.clear + frame.mm(feet.base.flashing_up or DEFAULT_FLASHING_UP)
    path = [(flange, up), (flange, feet.clear + 0.3), (drip, feet.clear + 0.3), (drip - 0.4, feet.clear - 0.5)]
    veneer = next(strip for strip in placed if strip.layer.unit)
    low, high = feet.clear + 0.6, feet.clear + 0.6 + frame.mm(WEEP)
    weep = frame.box(veneer.outer + 0.3, veneer.inner - 0.3, low, high)
    return [
        Line(tuple(frame.place(*point) for point in path), 0.5),
        Line(weep, 0.18, (1.2, 0.7), closed=True, fill="white"),
    ]


def _base_screen(placed: tuple[Strip, ...], feet: Foot, frame: Frame, flange: float, weight: float) -> list[Item]:
    """Flashing under the insulation with a drip beyond the cladding, insect screen across the open cavity."""
    outer = placed[0].outer
    drip = outer - frame.mm(0.3 * units.INCH)
    level = feet.clear + feet.rise - 0.4
    end = feet.clear - frame.mm(0.35 * units.INCH)
    path = [(flange, level + frame.mm(4 * units.INCH)), (flange, level), (drip, end), (drip, end - 0.9)]
    items: list[Item] = [Line(tuple(frame.place(*point) for point in path), max(weight, 0.35))]
    screen = screen_place(placed, feet, frame)
    if screen is not None:
        strip = next(strip for strip in placed if strip.outer < screen[0] < strip.inner)
        ends = (frame.place(strip.outer, screen[1]), frame.place(strip.inner, screen[1]))
        items.append(Line(ends, 0.35, dash=(0.6, 0.4)))
    return items


def _casing_bead(placed: tuple[Strip, ...], feet: Foot, frame: Frame, weight: float) -> list[Item]:
    """Bead around the plaster's lower edge: back leg behind it, sole under it, short return on its face."""
    face = placed[feet.backing].outer
    outer = placed[0].outer
    back = (face - weight / 2, feet.clear + frame.mm(1.25 * units.INCH))
    path = [
        back,
        (face - weight / 2, feet.clear),
        (outer, feet.clear),
        (outer, feet.clear + frame.mm(0.2 * units.INCH)),
    ]
    return [Line(tuple(frame.place(*point) for point in path), 0.35)]
