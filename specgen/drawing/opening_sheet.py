"""The openings page of a wall: head, sill and jamb at a window on one letter page, with the materials used.

The window is by others: it is drawn as an outline, and the page says so.
"""

from __future__ import annotations

from specgen import units
from specgen.drawing.callouts import callouts, short_note
from specgen.drawing.marks import drawing_title
from specgen.drawing.material_legend import legend_height, material_legend
from specgen.drawing.notes import Row, Target, by_height, text_column
from specgen.drawing.opening import TITLES, Cut, cut_opening, depth, draw_opening
from specgen.drawing.opening_water import inner_seal_place, leg_place, lintel_leg, outer_seal_place, pan_edge
from specgen.drawing.page import LEFT, PAGE_HEIGHT, PAGE_WIDTH, RIGHT, describe, page_frame
from specgen.drawing.type import format_scale
from specgen.drawing.typeset import typeset
from specgen.errors import PageOverflowError
from specgen.model.scene import Group, Scene
from specgen.model.wall import Wall

RATIOS = (4.0, 8.0, 16.0)  # 3″, 1½″ and ¾″ = 1′-0″
TOP = 36.0  # upper break of the first view [mm]
LAST_TITLE = 252.5  # rule of the last title
TITLE_DROP = 7.0  # from the end of a view to its title's rule [mm]
NEXT_VIEW = 14.0  # from a title's rule to the next view
LEAST_VIEW = 38.0
NOTE_GAP = 10.0  # between wall and notes [mm]
LEAST_COLUMN = 34.0
JAMB_NOTES = 52.0
LEGEND = 48.0
WINDOW_NOTE = "Window by others, shown in outline: follow its maker's instructions"


def opening_sheet(
    wall: Wall, tag: str = "", project_name: str = "", draft: bool = False, pages: str = "", ratio: float = 4.0
) -> Scene | None:
    """Head, sill and jamb of a window in this wall; None for a wall that names no openings.

    Parameters
    ----------
    wall : Wall
        The wall.
    tag, project_name : str
        Project tag and name for the header.
    draft : bool
        Print the DRAFT mark.
    pages : str
        Page number as printed, `3 of 3`.
    ratio : float
        Wanted scale, from 4, 8, 16; a wall that does not fit drops to the next. [-]

    Raises
    ------
    PageOverflowError
        If wall or notes do not fit at the smallest scale; names the text.
    """
    if wall.openings is None:
        return None
    tried = [scale for scale in RATIOS if scale >= ratio] or [RATIOS[-1]]
    for scale in tried:
        try:
            return _scene(wall, tag, project_name, draft, pages, scale)
        except PageOverflowError:
            if scale == tried[-1]:
                raise
    raise AssertionError("unreachable")


def _scene(wall: Wall, tag: str, project_name: str, draft: bool, pages: str, ratio: float) -> Scene:
    outer, inner = depth(cut_opening(wall, "jamb", ratio, (0.0, 0.0), 40.0, 20.0))
    jamb_room = max(inner - outer + (9.0 if ratio == RATIOS[0] else 13.0), legend_height(wall, LEGEND) - 14.0)
    room = LAST_TITLE - TOP - 3 * TITLE_DROP - 2 * NEXT_VIEW
    height = (room - jamb_room) / 2
    width = (RIGHT - LEFT - (inner - outer) - 2 * NOTE_GAP) / 2
    if height < LEAST_VIEW or width < LEAST_COLUMN:
        raise PageOverflowError(f"the openings of {wall.name!r} do not fit their page at {format_scale(ratio)}")
    height = min(height, 64.0)
    left_end = LEFT + width
    datum_x = left_end + NOTE_GAP - outer
    out = min(max(0.42 * height, 17.5), 22.0)
    into = height - out
    head = cut_opening(wall, "head", ratio, (datum_x, TOP + into), into, out)
    head_title = TOP + height + TITLE_DROP
    sill_top = head_title + NEXT_VIEW
    sill = cut_opening(wall, "sill", ratio, (datum_x, sill_top + out), into, out)
    if sill.brick and sill.rowlock_end + 8.0 > into:
        raise PageOverflowError(f"the brick sill of {wall.name!r} does not fit its page at {format_scale(ratio)}")
    sill_title = sill_top + height + TITLE_DROP
    jamb_top = sill_title + NEXT_VIEW + (3.0 if ratio == RATIOS[0] else 7.0)
    jamb_into, jamb_out = 40.0, 21.0
    jamb = cut_opening(wall, "jamb", ratio, (LEFT + jamb_into + 2.0, jamb_top - outer), jamb_into, jamb_out)
    jamb_title = jamb_top + inner - outer + 6.0 + TITLE_DROP
    notes_x = LEFT + jamb_into + jamb_out + 9.5
    legend_x = RIGHT - LEGEND
    right_start = datum_x + inner + NOTE_GAP
    items: list[Group] = [
        *page_frame(wall, tag, project_name, "Openings: head, sill and jamb", draft, (), pages),
        *drawing_title("4", TITLES["head"], ratio, LEFT, RIGHT, head_title, "title_head"),
        *drawing_title("5", TITLES["sill"], ratio, LEFT, RIGHT, sill_title, "title_sill"),
        *drawing_title("6", TITLES["jamb"], ratio, LEFT, legend_x - 8.0, jamb_title, "title_jamb"),
    ]
    for cut, top, title in ((head, TOP, head_title), (sill, sill_top, sill_title)):
        exterior, interior = (_head_rows if cut.side == "head" else _sill_rows)(cut)
        floor = title - 6.0
        items.append(_fitting(exterior, left_end, top + 1.4, width, f"notes-{cut.side}-exterior", True, floor))
        room_right = RIGHT - right_start
        items.append(_column(interior, right_start, top - 3.0, room_right, f"notes-{cut.side}-interior", False, floor))
    room_notes = legend_x - 6.0 - notes_x
    items.append(
        _fitting(_jamb_rows(jamb), notes_x, sill_title + 11.1, room_notes, "notes-jamb", False, jamb_title - 6.0)
    )
    items.append(material_legend(wall, legend_x, jamb_top - 3.0, LEGEND, 260.0))
    name = " ".join(part for part in (tag, wall.variant_title or wall.title, "openings") if part)
    views = tuple(draw_opening(cut) for cut in (head, sill, jamb))
    sheet_id = f"{wall.name.replace('+', '_')}_openings"
    return Scene(sheet_id, name, describe(wall), PAGE_WIDTH, PAGE_HEIGHT, views, Group("sheet", tuple(items)))


def _target(cut: Cut, across: float, low: float, high: float | None = None) -> Target:
    """A place of the cut as a leader's end; `low` and `high` are distances into the wall."""
    x, y0 = cut.at(across, low)
    _, y1 = cut.at(across, low if high is None else high)
    return Target(x, min(y0, y1), max(y0, y1))


def _first_note(cut: Cut) -> Row:
    call = callouts(cut.wall)[0]
    strips = [cut.strips[cut.wall.index(layer_id)] for layer_id in call.layer_ids]
    middle = (strips[0].outer + strips[-1].inner) / 2
    if strips[0].is_film:
        call = next(each for each in callouts(cut.wall) if not cut.strips[cut.wall.index(each.layer_ids[0])].is_film)
        strips = [cut.strips[cut.wall.index(layer_id)] for layer_id in call.layer_ids]
        middle = (strips[0].outer + strips[-1].inner) / 2
    low = max(cut.end(strip) for strip in strips) + 3.0
    return short_note(call), _target(cut, middle, low, cut.into - 2.0)


def _head_rows(cut: Cut) -> tuple[list[Row], list[Row]]:
    openings = cut.openings
    metal_s = -cut.gap + cut.mm(0.1 * units.INCH)
    flashing = _target(cut, cut.clad_outer - 0.6, metal_s - 0.4)
    if cut.setting == "direct":
        flashing = _target(cut, cut.clad_outer + 0.5, cut.clad_end)
    elif cut.brick:
        flashing = _target(cut, cut.clad_outer - 0.8, cut.clad_end + 0.35)
    exterior = [(_lead("Head", openings.head_flashing), flashing), _first_note(cut)]
    if cut.film is not None and cut.setting != "direct":
        top = lintel_leg(cut) if cut.brick else cut.leg[1]
        lap = leg_place(cut) - cut.metal_weight / 2 - cut.film.weight / 2
        film = cut.wall.layers[cut.membrane].material if cut.membrane is not None else None
        name = "Sheet" if film is not None and film.kind == "sheet" else "Membrane"
        exterior.append((f"{name} laps over the upper leg", _target(cut, lap, top - 2.0, top - 0.4)))
    core = cut.strips[cut.core]
    low = cut.core_end if cut.masonry else cut.mm(1.5 * units.INCH)
    text = "Header as on the structural drawings"
    if cut.masonry:
        text = "Lintel, bars and grout as on the structural drawings"
        if not cut.wall.layers[cut.core].unit:
            text = "Bars over the opening as on the structural drawings"
    interior: list[Row] = [
        (text, _target(cut, core.inner - 2.0, low + 1.5, cut.into - 2.0)),
        (WINDOW_NOTE, _target(cut, cut.frame_inner - 1.2, -cut.gap - 1.5, -cut.gap - 6.0)),
    ]
    return exterior, interior


def _sill_rows(cut: Cut) -> tuple[list[Row], list[Row]]:
    openings = cut.openings
    interior: list[Row] = []
    if openings.air_seal:
        across, s = inner_seal_place(cut)
        interior.append((_lead("Air seal", openings.air_seal), _target(cut, across, s)))
    open_edge: Row | None = None
    if cut.setting == "direct":
        nose = cut.clad_outer - cut.mm(0.5 * units.INCH)
        pan = _target(cut, nose, cut.mm(0.5 * units.INCH), cut.mm(1.5 * units.INCH))
    else:
        open_edge = ("Edge under the frame stays open", _target(cut, _open_place(cut), -cut.gap + cut.joint / 2))
        edge, low = pan_edge(cut)
        pan = _target(cut, edge, 1.0, low - 0.6)
    exterior = [(_lead("Sill", openings.sill_pan), pan)]
    exterior += [row for row in (open_edge, _first_note(cut)) if row is not None]
    return exterior, interior


def _open_place(cut: Cut) -> float:
    if cut.brick:
        return cut.clad_inner - cut.mm(0.4 * units.INCH)
    return cut.clad_outer + 0.3 * (cut.clad_inner - cut.clad_outer)


def _jamb_rows(cut: Cut) -> list[Row]:
    openings = cut.openings
    across, s = outer_seal_place(cut)
    rows: list[Row] = [(_lead("Jamb", openings.jamb), _target(cut, across, s))]
    if openings.air_seal:
        across, s = inner_seal_place(cut)
        rows.append(("Air seal all round, as at the sill", _target(cut, across, s)))
    return rows


def _lead(word: str, text: str) -> str:
    """The wall's own words after the place that they speak of; notes end without a period."""
    text = typeset(text.rstrip("."))
    return f"{word}: {text[0].lower()}{text[1:]}" if not text[:2].isupper() else f"{word}: {text}"


def _fitting(rows: list[Row], x: float, top: float, width: float, group_id: str, left: bool, floor_y: float) -> Group:
    """All notes, or without those that only name what the wall's own text says too: the spare ones stand last."""
    for count in range(len(rows), 0, -1):
        try:
            return _column(rows[:count], x, top, width, group_id, left, floor_y)
        except PageOverflowError:
            if count == 1:
                raise
    raise AssertionError("unreachable")


def _column(rows: list[Row], x: float, top: float, width: float, group_id: str, left: bool, floor_y: float) -> Group:
    return text_column(by_height(rows, x, left), x, top, width, group_id, left, floor_y, any_line=True)
