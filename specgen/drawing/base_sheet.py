"""The base of a wall enlarged on a page of its own: thin layers read apart, and each lap can be seen.

What happens outside is noted on the exterior side, the rest on the interior side. Sizes of slab, footing, plate and
anchor are named as the structural drawings' and not given here.
"""

from __future__ import annotations

from specgen import units
from specgen.drawing.base import (
    BOARD_GAP,
    PLATE_DEPTH,
    SLAB_DEPTH,
    flashing_levels,
    has_flashing,
    screen_place,
    slab_start,
    stem_reach,
)
from specgen.drawing.callouts import callouts, layer_name, short_note
from specgen.drawing.dimensions import upright_string
from specgen.drawing.flashing import WEEP
from specgen.drawing.layout import core_index
from specgen.drawing.marks import drawing_title
from specgen.drawing.notes import Row, Target, text_column
from specgen.drawing.page import LEFT, PAGE_HEIGHT, PAGE_WIDTH, RIGHT, describe, page_frame
from specgen.drawing.section import SectionLayout, draw_section, lay_out_section, targets
from specgen.drawing.type import format_drawing_length, format_scale
from specgen.drawing.typeset import typeset
from specgen.errors import NotComputableError, PageOverflowError
from specgen.model.scene import Group, Scene
from specgen.model.wall import Wall

CUT_TOP = 44.0
TITLE_Y = 248.5
LEAST_COLUMN = 26.5  # narrowest column of notes [mm]
EXTERIOR_GAP = 17.0  # between the notes and the exterior face [mm]
INTERIOR_GAP = (12.0, 27.0)  # least and most between the interior face and the notes: the slab is seen there [mm]
SLAB_CLEAR = 7.0  # between the end of the slab and the notes [mm]
EXTERIOR_SHARE = 0.54  # of the room for notes: what happens outside is longer to say
GOOD_COLUMN = 39.0  # width of a column that breaks few notes [mm]

_TERMINATIONS = {
    "weep-screed": "Weep screed with a {flange} flange; holes in its leg stay open",
    "base-screen": "Insect screen in the open foot of the drained space",
    "casing-bead": "Casing bead at the lower edge",
    "weeps": "Open head joints as weeps, right on the flashing",
}


def base_scene(
    wall: Wall, tag: str, project_name: str, ratio: float, draft: bool, remarks: tuple[str, ...], pages: str
) -> Scene:
    """The enlarged base as one letter page.

    Raises
    ------
    NotComputableError
        If the wall names no base.
    PageOverflowError
        If drawing or notes do not fit; names the text.
    """
    if wall.base is None:
        raise NotComputableError(f"wall {wall.name!r} names no base, so there is none to enlarge")
    height = TITLE_Y - 16.0 - CUT_TOP
    depth = wall.thickness * 1000 / ratio
    spare = RIGHT - LEFT - depth - EXTERIOR_GAP - 2 * GOOD_COLUMN
    inward = (wall.thickness - wall.datum_position) * 1000 / ratio
    interior_gap = max(min(max(spare, INTERIOR_GAP[0]), INTERIOR_GAP[1]), stem_reach(wall, ratio) - inward + SLAB_CLEAR)
    free = RIGHT - LEFT - depth - EXTERIOR_GAP - interior_gap
    if free < 2 * LEAST_COLUMN:
        raise PageOverflowError(f"the base of {wall.name!r} leaves no room for its notes at {format_scale(ratio)}")
    left_width = free * EXTERIOR_SHARE
    datum_x = LEFT + left_width + EXTERIOR_GAP + wall.datum_position * 1000 / ratio
    layout = lay_out_section(wall, ratio, (datum_x, CUT_TOP), height, inward + interior_gap - SLAB_CLEAR)
    view = draw_section(layout, "letters")
    exterior, interior = _rows(layout)
    items = [
        *page_frame(wall, tag, project_name, "Base of the wall, enlarged", draft, remarks, pages),
        *drawing_title("3", "Base of the wall", ratio, LEFT, RIGHT, TITLE_Y, "title_base"),
        _column(layout, exterior, LEFT + left_width, left_width, "notes_exterior", left=True),
        _column(
            layout, interior, layout.inner_face + interior_gap, RIGHT - layout.inner_face - interior_gap,
            "notes_interior", left=False,
        ),
        _heights(layout, LEFT + left_width),
    ]  # fmt: skip
    title = " ".join(part for part in (tag, wall.variant_title or wall.title, "base of the wall") if part)
    sheet_id = f"{wall.name.replace('+', '_')}_base"
    return Scene(sheet_id, title, describe(wall), PAGE_WIDTH, PAGE_HEIGHT, (view,), Group("sheet", tuple(items)))


def _rows(layout: SectionLayout) -> tuple[list[Row], list[Row]]:
    """Notes on each side with the places that they speak of, top to bottom."""
    wall, core = layout.wall, core_index(layout.wall)
    exterior: list[Row] = []
    interior: list[Row] = []
    for call, target in zip(callouts(wall), targets(layout, from_inside=True), strict=True):
        index = wall.index(call.layer_ids[0])
        layer = wall.layers[index]
        # The cut runs between members: what it shows there is the fill, so the note names it too.
        text = call.note if layer.framing and layer.fill else short_note(call)
        (exterior if index < core else interior).append((text, target))
    exterior += _exterior_base(layout)
    interior += _interior_base(layout)
    return exterior, interior


def _exterior_base(layout: SectionLayout) -> list[Row]:
    wall, frame, feet = layout.wall, layout.frame, layout.feet
    assert feet is not None
    base = feet.base
    backing = layout.strips[feet.backing]
    up, down = flashing_levels(wall, feet, frame)
    x, y = frame.origin
    words = _TERMINATIONS[base.termination].format(flange="3½″")
    veneer = next((strip for strip in layout.strips[: feet.backing] if strip.layer.unit), None)
    leg_x = x + (feet.slope_outer * 0.55 + feet.slope_inner * 0.45)
    leg_y = y - feet.end(feet.slope_outer * 0.55 + feet.slope_inner * 0.45)
    screen = screen_place(layout.strips, feet, frame)
    if base.termination == "base-screen" and screen is not None:
        leg_x, leg_y = x + screen[0], y - screen[1]
    if veneer is not None:  # it stands on a ledge: its foot is a flashing with open joints, not the cladding's metal
        words = _TERMINATIONS["weeps"]
        leg_x, leg_y = x + veneer.middle, y - feet.clear - 0.6 - frame.mm(WEEP) / 2
    face_x = x + backing.outer - 0.3
    low = y - max(down, feet.grade + 2.0)
    text = typeset(f"{base.flashing[0].lower()}{base.flashing[1:]}")
    place = Target(leg_x, leg_y, leg_y)
    if has_flashing(base):
        return [(f"Base flashing: {text}", Target(face_x, y - up + 1.0, low)), (words, place)]
    return [(f"{words}; {text}", place)]


def _interior_base(layout: SectionLayout) -> list[Row]:
    wall, frame, feet = layout.wall, layout.frame, layout.feet
    assert feet is not None
    x, y = frame.origin
    core = layout.strips[feet.core]
    rows: list[Row] = []
    board = next((strip for strip in reversed(layout.strips[feet.core + 1 :]) if not strip.is_film), None)
    if board is not None and board.layer.framing is None:
        at = y - frame.mm(BOARD_GAP) - 4.0
        text = f"{layer_name(board.layer)} {format_drawing_length(BOARD_GAP)} off the floor"
        rows.append((text, Target(x + board.middle, at - 22.0, at)))
    if wall.construction == "framed":
        rise = frame.mm(PLATE_DEPTH)
        plate = Target(x + core.inner - 4.0, y - rise + 0.8, y - 0.9)
        rows.append(("Treated sole plate on a sill gasket", plate))
        down = y + frame.mm(3 * units.INCH)
        anchor_x = x + core.outer + 0.46 * (core.inner - core.outer) + frame.mm(0.25 * units.INCH)
        rows.append(("Anchor bolt beyond, by the engineer", Target(anchor_x, y + 4.0, down + 6.0)))
    deep = y + frame.mm(SLAB_DEPTH) - 1.5
    name = "Slab and footing" if feet.base.support == "slab-edge" else "Slab"
    slab_x = x + layout.reach - 5.0
    if feet.base.support == "block-stem":
        slab_x = x + (slab_start(wall, layout.strips, feet, frame) + layout.reach) / 2
    slab = Target(slab_x, y + 3.0, deep)
    rows.append((f"{name}: see structural drawings", slab))
    return rows


def _column(layout: SectionLayout, rows: list[Row], x: float, width: float, group_id: str, left: bool) -> Group:
    return text_column(rows, x, CUT_TOP + 14.0, width, group_id, left, TITLE_Y - 8.0, any_line=True)


def _heights(layout: SectionLayout, x: float) -> Group:
    feet, frame = layout.feet, layout.frame
    assert feet is not None
    y = frame.origin[1]
    text = format_drawing_length(feet.base.cladding_clearance)
    near = layout.outer_face - 8.5
    return upright_string(
        near,
        (y - feet.clear, y - feet.grade),
        (text,),
        layout.outer_face,
        "dimension_clearance",
        "Cladding above grade",
    )
