"""What fills the edge of an opening: the window's outline, bucks, sills, trim, beads and the interior return."""

from __future__ import annotations

from specgen import units
from specgen.drawing.base import Item
from specgen.drawing.geometry import polygon
from specgen.drawing.marks import break_line
from specgen.drawing.opening_cut import BUCK, FRAME_FACE, ROWLOCK, SILL_RISE, STRIP_LAP, TRIM, Cut
from specgen.drawing.opening_layers import hatched, rect, wood
from specgen.drawing.opening_water import buck_inner
from specgen.model.material import Kind, Material
from specgen.model.scene import Group, Line

_BEADED = ("stucco", "plaster", "mortar", "adhered-veneer")


def window(cut: Cut) -> Group:
    """Frame, sash and panes as plain outlines; no maker's window."""
    near, face = -cut.gap, cut.mm(FRAME_FACE)
    inner, main = cut.frame_inner, cut.main_outer
    items: list[Item] = [rect(cut, main, inner, near - face, near)]
    extension = cut.mm(0.75 * units.INCH)
    if cut.side == "sill":
        items += _sill_nose(cut)
    elif main - cut.frame_outer > 0.3:
        items.append(rect(cut, cut.frame_outer, main, near - extension, near, 0.35))
    sash_outer = main + 0.2 * (inner - main)
    sash_inner = inner - 0.2 * (inner - main)
    sash = near - face - cut.mm(0.55 * units.INCH)
    items.append(rect(cut, sash_outer, sash_inner, sash, near - face + 0.25 * face, 0.35))
    middle, half = (sash_outer + sash_inner) / 2, cut.mm(0.375 * units.INCH)
    pane = cut.mm(0.125 * units.INCH)
    for across in (middle - half, middle + half - pane):
        items.append(rect(cut, across, across + pane, -cut.out, sash + 0.3 * face, 0.18))
    spacer = cut.box(middle - half + pane, middle + half - pane, sash + 0.05 * face, sash + 0.25 * face)
    items.append(Line(spacer, 0.18, closed=True, fill="gray"))
    ends = (cut.at(middle - 4.0, -cut.out), cut.at(middle + 4.0, -cut.out))
    items.append(break_line(*ends))
    return Group(f"{cut.side}-window", tuple(items), "Window by others, in outline", "layer-outline")


def buck(cut: Cut) -> Group | None:
    """Wood around the opening that carries the window; at the sill of masonry the sloped sill stands instead."""
    size = cut.mm(BUCK)
    if cut.setting == "on-frame":
        return None
    outer, inner = cut.substrate, buck_inner(cut)
    if cut.setting == "buck-in-front":
        return Group(f"{cut.side}-buck", tuple(wood(cut, outer, inner, 0.0, size)), "Buck", "layer-outline")
    if cut.side == "sill":
        return None
    core = cut.strips[cut.core]
    items = wood(cut, outer, inner, 0.0, size)
    items += _return_fill(cut, inner, core.inner, size)
    return Group(f"{cut.side}-buck", tuple(items), "Treated buck", "layer-outline")


def sill(cut: Cut) -> Group | None:
    """What slopes under the pan: a shim on framing or buck, a bed or a cast sill on masonry; a brick sill before it."""
    if cut.side != "sill":
        return None
    rise = cut.mm(SILL_RISE)
    items: list[Item] = []
    if cut.setting in ("buck-within", "direct"):
        core = cut.strips[cut.core]
        direct = cut.setting == "direct"
        nose = cut.clad_outer - cut.mm(1.0 * units.INCH)
        top = [(cut.substrate, 0.0), (cut.dam, -rise), (core.inner, -rise)]
        corners = [*top, (core.inner, cut.core_end), (core.outer, cut.core_end)]
        if direct:
            groove = cut.mm(0.375 * units.INCH)
            slope = cut.mm(0.2 * units.INCH)
            corners = [(nose, slope), *top, (core.inner, cut.core_end), (nose + 2.6 * groove, cut.core_end),
                       (nose + 2.6 * groove, cut.core_end - groove), (nose + 1.4 * groove, cut.core_end - groove),
                       (nose + 1.4 * groove, cut.core_end), (nose, cut.core_end)]  # fmt: skip
        items += _solid(cut, corners, "concrete" if direct else "mortar", "sill")
    else:
        corners = [(cut.substrate, 0.0), (cut.dam, -rise), (cut.dam, 0.0)]
        items.append(Line(tuple(cut.at(*corner) for corner in corners), 0.25, closed=True, fill="white"))
    if cut.brick:
        items += _brick_sill(cut)
    return Group("sill-sill", tuple(items), "Sloped sill", "layer-outline")


def edging(cut: Cut) -> Group | None:
    """Casing bead around the edge of stucco or stone; trim beside lap siding."""
    material = cut.strips[cut.clad - 1].layer.material
    kind = material.kind if material else None
    if cut.siding:
        if cut.side != "jamb":
            return None
        start = -cut.gap + cut.joint
        outer = min(cut.clad_outer - cut.mm(0.4 * units.INCH), cut.clad_inner - cut.mm(0.75 * units.INCH))
        board = wood(cut, outer, cut.clad_inner, start, start + cut.mm(TRIM), 0.35)
        return Group("jamb-trim", tuple(board), "Trim on furring", "layer-outline")
    if kind not in _BEADED or (cut.setting == "direct" and cut.side != "jamb"):
        return None
    s, outer, inner = cut.clad_end, cut.clad_outer, cut.clad_inner
    path = [(inner, s + cut.mm(STRIP_LAP) * 0.7), (inner, s), (outer, s), (outer, s + cut.mm(0.2 * units.INCH))]
    bead = Line(tuple(cut.at(*point) for point in path), 0.35)
    return Group(f"{cut.side}-bead", (bead,), "Casing bead", "base")


def inside(cut: Cut) -> Group:
    """Inside: a board returns to the frame at head and jamb, a stool lies on the sill."""
    start = cut.frame_inner + cut.mm(0.1 * units.INCH)
    end = cut.inner_face
    if cut.side == "sill":
        start = cut.dam + 0.5
        stool = wood_long(cut, start, end + cut.mm(0.75 * units.INCH), -cut.mm(0.75 * units.INCH), -0.0)
        return Group("sill-stool", tuple(stool), "Stool", "layer-outline")
    items: list[Item] = []
    if end - start > 0.5:
        region = cut.box(start, end, -cut.gap, 0.0)
        items.append(Line(region, 0.35, closed=True, fill="white"))
        marks = hatched(cut, "gypsum-board", polygon(region), "return")
        items.append(Group(f"{cut.side}-return_hatch", marks, "", "hatch"))
    return Group(f"{cut.side}-return", tuple(items), "Interior return", "layer-outline")


def wood_long(cut: Cut, outer: float, inner: float, near: float, far: float) -> list[Item]:
    """Finish wood along its grain."""
    region = cut.box(outer, inner, near, far)
    marks = hatched(cut, "wood", polygon(region), "stool")
    return [Line(region, 0.35, closed=True, fill="white"), Group(f"{cut.side}-stool_hatch", marks, "", "hatch")]


def _sill_nose(cut: Cut) -> list[Item]:
    """A window that stands behind its cladding drains over a sloped nose that reaches past it."""
    if cut.setting == "direct" or cut.main_outer - cut.clad_outer < 0.5:
        return []
    nose = (
        cut.clad_outer - cut.mm(0.75 * units.INCH) - (cut.strips[0].inner - cut.strips[0].outer if cut.siding else 0.0)
    )
    if cut.brick:
        nose = cut.clad_inner - cut.mm(1.0 * units.INCH)
    near = -cut.gap
    corners = [(cut.main_outer, near - cut.mm(0.9 * units.INCH)), (nose, near - cut.mm(0.35 * units.INCH)),
               (nose, near), (cut.main_outer, near)]  # fmt: skip
    return [Line(tuple(cut.at(*corner) for corner in corners), 0.35, closed=True, fill="white")]


def _brick_sill(cut: Cut) -> list[Item]:
    """A rowlock course sloped outward on its mortar bed."""
    outer, inner = cut.clad_outer - cut.mm(0.75 * units.INCH), cut.clad_inner
    top, fall, depth = -cut.gap + cut.joint, cut.mm(0.9 * units.INCH), cut.mm(ROWLOCK)
    brick = [(inner, top), (outer, top + fall), (outer, top + fall + depth), (inner, top + depth)]
    bed = [(inner, top + depth), (cut.clad_outer, top + depth + fall * 0.8), (cut.clad_outer, cut.rowlock_end),
           (inner, cut.rowlock_end)]  # fmt: skip
    # The outer lower corner would pierce the flashing: the unit is cut to it.
    brick[2] = (outer, min(brick[2][1], cut.rowlock_end - 0.6))
    return [*_solid(cut, bed, "mortar", "bed"), *_solid(cut, brick, "brick", "brick")]


def _return_fill(cut: Cut, outer: float, inner: float, size: float) -> list[Item]:
    """Between buck and the masonry's inner face: rigid board where the wall has one inside, else wood."""
    if inner - outer < 0.8:
        return []
    board = next((strip.layer for strip in cut.strips[cut.core + 1 :] if _rigid(strip.layer.material)), None)
    if board is None or board.material is None:
        return wood(cut, outer, inner, 0.0, size)
    corners = [(outer, 0.0), (inner, 0.0), (inner, size), (outer, size)]
    return _solid(cut, corners, board.material.kind, "return_board")


def _rigid(material: Material | None) -> bool:
    return material is not None and material.kind in ("rigid-foam", "mineral-board")


def _solid(cut: Cut, corners: list[tuple[float, float]], kind: Kind, name: str) -> list[Item]:
    points = tuple(cut.at(*corner) for corner in corners)
    marks = hatched(cut, kind, polygon(points), name)
    return [
        Line(points, 0.0, closed=True, fill="white", stroked=False),
        Group(f"{cut.side}-{name}_hatch", marks, "", "hatch"),
        Line(points, 0.5, closed=True),
    ]
