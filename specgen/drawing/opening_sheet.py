"""The openings page of a wall: head, sill and jamb at a window on one letter page, with the materials used.

The window is by others: it is drawn as an outline, and the page says so.
"""

from __future__ import annotations

from itertools import combinations, product

from specgen.drawing.marks import drawing_title
from specgen.drawing.material_legend import legend_height, material_legend
from specgen.drawing.notes import by_height, text_column
from specgen.drawing.opening import TITLES, cut_opening, depth, draw_opening, labels_inside
from specgen.drawing.opening_notes import Note, head_notes, jamb_notes, sill_notes
from specgen.drawing.page import LEFT, PAGE_HEIGHT, PAGE_WIDTH, RIGHT, describe, page_frame
from specgen.drawing.type import format_scale
from specgen.errors import PageOverflowError
from specgen.model.scene import Group, Scene
from specgen.model.wall import Wall

RATIOS = (4.0, 8.0, 16.0)  # 3″, 1½″ and ¾″ = 1′-0″
TOP = 36.0  # upper break of the first view [mm]
LAST_TITLE = 251.5  # rule of the last title
TITLE_DROP = 7.0  # from the end of a view to its title's rule [mm]
NEXT_VIEW = 14.0  # from a title's rule to the next view
LEAST_VIEW = 38.0
NOTE_GAP = 8.5  # between wall and notes [mm]
LEAST_COLUMN = 34.0
JAMB_NOTES = 52.0
LEGEND = 48.0


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
        exterior, interior = (head_notes if cut.side == "head" else sill_notes)(cut)
        floor = title - 5.6
        first = top - 3.0 if labels_inside(cut) else top + 1.4
        items.append(_column(exterior, left_end, first, width, f"notes-{cut.side}-exterior", True, floor))
        room_right = RIGHT - right_start
        items.append(_column(interior, right_start, top - 3.0, room_right, f"notes-{cut.side}-interior", False, floor))
    room_notes = legend_x - 6.0 - notes_x
    items.append(
        _column(jamb_notes(jamb), notes_x, sill_title + 11.1, room_notes, "notes-jamb", False, jamb_title - 6.0)
    )
    items.append(material_legend(wall, legend_x, jamb_top - 3.0, LEGEND, 260.0))
    name = " ".join(part for part in (tag, wall.variant_title or wall.title, "openings") if part)
    views = tuple(draw_opening(cut) for cut in (head, sill, jamb))
    sheet_id = f"{wall.name.replace('+', '_')}_openings"
    return Scene(sheet_id, name, describe(wall), PAGE_WIDTH, PAGE_HEIGHT, views, Group("sheet", tuple(items)))


def _column(notes: list[Note], x: float, top: float, width: float, group_id: str, left: bool, floor_y: float) -> Group:
    """All notes with the best leaders that fit; where they crowd, without spare ones: the first is never left out."""
    if not notes:  # a wall file need not say how the frame is sealed inside
        return Group(group_id, ())
    failure = PageOverflowError(f"{group_id} does not fit")
    for count in range(len(notes), 0, -1):
        for spare in combinations(notes[1:], count - 1):
            shown = [notes[0], *spare]
            choices = product(*(range(len(places)) for _, places in shown))
            # The first note gives way before the others: its span is the longest.
            for chosen in sorted(choices, key=lambda each: sum(number * way for number, way in enumerate(each, 1))):
                rows = by_height([(text, ways[way]) for (text, ways), way in zip(shown, chosen, strict=True)], x, left)
                try:
                    return text_column(rows, x, top, width, group_id, left, floor_y, any_line=True)
                except PageOverflowError as error:
                    failure = error
    raise failure
