"""Sill, head and jamb of a wall at a window, cut through the wall's own layers, exterior at the left or top."""

from __future__ import annotations

from specgen.drawing.base import Item
from specgen.drawing.layout import Strip, is_siding
from specgen.drawing.marks import break_line, break_mask
from specgen.drawing.opening_cut import Cut, Side, cut_opening
from specgen.drawing.opening_layers import members, solid_group
from specgen.drawing.opening_water import film_lines, flange, head_flashing, screens, sealants, sill_flashing, sill_pan
from specgen.drawing.opening_window import buck, edging, inside, sill, window
from specgen.drawing.section import layer_titles
from specgen.drawing.type import SMALL, format_scale, text_width
from specgen.model.scene import Group, Line, Point, Text, View
from specgen.model.wall import Wall

__all__ = ["Cut", "Side", "cut_opening", "draw_opening", "opening_view"]

LABELS_ROOM = 34.0  # for EXTERIOR and INTERIOR over one cut [mm]
TITLES: dict[Side, str] = {
    "head": "Head at a window",
    "sill": "Sill at a window",
    "jamb": "Jamb at a window, plan",
}


def opening_view(wall: Wall, side: Side, ratio: float, origin: Point, into: float, out: float) -> View:
    """One cut as a view. Parameters and errors as `cut_opening`."""
    return draw_opening(cut_opening(wall, side, ratio, origin, into, out))


def draw_opening(cut: Cut) -> View:
    """The view of a cut that is already laid out; its origin is the set-out face at the edge of the rough opening."""
    titles = layer_titles(cut.wall)
    open_first = sorted(
        (strip for strip in cut.strips if not strip.is_film),
        key=lambda strip: strip.layer.material is not None or strip.layer.fill is not None,
    )
    items: list[Item] = [solid_group(cut, strip, titles[strip.layer.id]) for strip in open_first]
    items.append(members(cut))
    items += [part for part in (buck(cut), sill(cut), inside(cut)) if part is not None]
    for strip in cut.strips:
        if strip.is_film:
            near = cut.end(strip)
            outline = Line(cut.box(strip.outer, strip.inner, near, cut.into), 0.0, closed=True, stroked=False)
            lines = film_lines(cut, strip.index)
            items.append(Group(f"{cut.side}-{strip.layer.id}", (outline, *lines), titles[strip.layer.id], "layer"))
    parts = [
        window(cut),
        edging(cut),
        sill_flashing(cut),
        sill_pan(cut) if cut.side == "sill" else None,
        flange(cut),
        head_flashing(cut) if cut.side == "head" else None,
        screens(cut),
        *sealants(cut),
    ]
    items += [part for part in parts if part is not None]
    items.append(Group(f"{cut.side}-profile", tuple(_profile(cut)), "Faces of the wall", "frame"))
    items.append(Group(f"{cut.side}-breaks", tuple(_breaks(cut)), "Break lines", "frame"))
    items.append(_sides(cut))
    group = Group(cut.side, tuple(items), f"{TITLES[cut.side]}, {format_scale(cut.frame.ratio)}")
    return View(cut.side, TITLES[cut.side], cut.frame.ratio, format_scale(cut.frame.ratio), cut.frame.origin, group)


def depth(cut: Cut) -> tuple[float, float]:
    """Outermost and innermost place of what is drawn of the wall, across [mm]."""
    lap = cut.strips[0].inner - cut.strips[0].outer if is_siding(cut.strips[0].layer) else 0.0
    outer = min(cut.clad_outer - lap, *(_line_edge(strip, -1) for strip in cut.strips))
    return outer, max(_line_edge(strip, 1) for strip in cut.strips)


def labels_inside(cut: Cut) -> bool:
    """Whether EXTERIOR and INTERIOR have room side by side over the cut, and leave both columns of notes free."""
    outer, inner = depth(cut)
    return inner - outer >= LABELS_ROOM


def _line_edge(strip: Strip, side: int) -> float:
    if strip.is_film:
        return strip.line + side * strip.weight / 2
    return strip.outer if side < 0 else strip.inner


def _profile(cut: Cut) -> list[Item]:
    """The wall's faces, heavier than any outline within."""
    items: list[Item] = []
    solid = [strip for strip in cut.strips if not strip.is_film]
    if not is_siding(solid[0].layer) or cut.side == "jamb":
        near = cut.end(solid[0])
        items.append(Line((cut.at(solid[0].outer, near), cut.at(solid[0].outer, cut.into)), 0.70))
    near = cut.end(solid[-1])
    items.append(Line((cut.at(solid[-1].inner, near), cut.at(solid[-1].inner, cut.into)), 0.50))
    return items


def _breaks(cut: Cut) -> list[Item]:
    outer, inner = depth(cut)
    ends = (cut.at(outer - 3.0, cut.into), cut.at(inner + 3.0, cut.into))
    outward = {"head": -1.0, "sill": 1.0, "jamb": -1.0}[cut.side]
    return [break_mask(*ends, outward), break_line(*ends)]


def _sides(cut: Cut) -> Group:
    """EXTERIOR and INTERIOR: over the cut, or above and below the plan."""
    outer, inner = depth(cut)
    x, y = cut.frame.origin
    if cut.side == "jamb":
        left = x - cut.into + 6.0
        items = (
            Text((left, y + outer - 2.0), "EXTERIOR", SMALL),
            Text((left, y + inner + 2.0 + SMALL), "INTERIOR", SMALL),
        )
    else:
        top = y - (cut.into if cut.side == "head" else cut.out) - 2.4
        first = x + outer + (text_width("EXTERIOR", SMALL) if labels_inside(cut) else 0.0)
        items = (Text((first, top), "EXTERIOR", SMALL, "end"), Text((x + inner, top), "INTERIOR", SMALL, "end"))
    return Group(f"{cut.side}-sides", items, "Sides", "note")
