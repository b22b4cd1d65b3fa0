"""The wall sheet: section, plan, notes and titles on one letter page, at a scale from the list; its enlarged base."""

from __future__ import annotations

from specgen.drawing.base import SLAB_DEPTH, stem_reach
from specgen.drawing.base_sheet import base_scene
from specgen.drawing.callouts import callouts
from specgen.drawing.dimensions import upright_string
from specgen.drawing.marks import control_legend, detail_marker, drawing_title
from specgen.drawing.notes import SLOPE, Target, text_column
from specgen.drawing.page import LEFT, PAGE_HEIGHT, PAGE_WIDTH, RIGHT, describe, page_frame
from specgen.drawing.plan import bar_target, dimensions_width, least_width, plan_depth, plan_view
from specgen.drawing.section import SectionLayout, draw_section, lap_depth, lay_out_section, section_title, targets
from specgen.drawing.type import SMALL, format_drawing_length, format_scale, wrap
from specgen.errors import PageOverflowError
from specgen.model.scene import Group, Scene, Text
from specgen.model.wall import Wall

__all__ = ["base_sheet", "wall_sheet"]

SCALES = (4.0, 8.0, 16.0)  # 3″, 1½″ and ¾″ = 1′-0″; a wall that does not fit drops to the next
DATUM_X = 62.0  # set-out face: two walls lie over each other [mm]
NOTES_X = 108.0  # left edge of the notes where the wall leaves room [mm]
SLAB_CLEAR = 10.0  # between the end of the slab and the notes [mm]
CUT_TOP = 45.0  # upper break [mm]
SHEET_FOOT = 259.5  # nothing of the drawings below this [mm]
HEIGHTS_ROOM = 34.0  # that the height strings need left of the wall [mm]
PLAN_LEFT = 43.0
PLAN_WIDTH = 92.0


def wall_sheet(
    wall: Wall,
    tag: str = "",
    project_name: str = "",
    ratio: float = 8.0,
    draft: bool = False,
    remarks: tuple[str, ...] = (),
    pages: str = "",
    base_page: str = "",
) -> Scene:
    """One letter page: vertical section with notes, plan cut with dimensions, titles, scale bars, control legend.

    Parameters
    ----------
    wall : Wall
        The wall.
    tag : str
        Project tag, `W1`.
    project_name : str
        Printed at the upper right.
    ratio : float
        Wanted scale, from 4, 8, 16. [-]
    draft : bool
        Print the DRAFT mark.
    remarks : tuple of str
        Further lines for the footer.
    pages : str
        Page number as printed, `1 of 2`.
    base_page : str
        Where `base_sheet` stands, `p. 2`; a marker at the base then points to it.

    Raises
    ------
    PageOverflowError
        If the wall does not fit at the smallest scale; names the text that does not fit.
    """
    tried = [scale for scale in SCALES if scale >= ratio] or [SCALES[-1]]
    for scale in tried:
        try:
            return _wall_sheet(wall, tag, project_name, scale, draft, remarks, pages, base_page)
        except PageOverflowError:
            if scale == tried[-1]:
                raise
    raise AssertionError("unreachable")


def base_sheet(
    wall: Wall,
    tag: str = "",
    project_name: str = "",
    ratio: float = 4.0,
    draft: bool = False,
    remarks: tuple[str, ...] = (),
    pages: str = "",
) -> Scene:
    """The base of the wall at 3″ = 1′-0″ on its own page, where thin layers read apart. Parameters as `wall_sheet`.

    Raises
    ------
    NotComputableError
        If the wall names no base.
    PageOverflowError
        If the wall does not fit at the smallest scale; names the text that does not fit.
    """
    tried = [scale for scale in SCALES if scale >= ratio] or [SCALES[-1]]
    for scale in tried:
        try:
            return base_scene(wall, tag, project_name, scale, draft, remarks, pages)
        except PageOverflowError:
            if scale == tried[-1]:
                raise
    raise AssertionError("unreachable")


def _wall_sheet(
    wall: Wall,
    tag: str,
    project_name: str,
    ratio: float,
    draft: bool,
    remarks: tuple[str, ...],
    pages: str,
    base_page: str,
) -> Scene:
    sheet_id = wall.name.replace("+", "_")
    outward, inward = plan_depth(wall, ratio)
    plan_title_y = SHEET_FOOT - 11.0
    plan_left = max(PLAN_LEFT, LEFT + dimensions_width(wall))
    plan_bottom = plan_title_y - 15.0
    plan_origin = (plan_left, plan_bottom - inward)
    plan_top = plan_bottom - inward - outward
    section_title_y = plan_top - 18.0
    height = section_title_y - 11.0 - CUT_TOP
    datum_x = max(DATUM_X, LEFT + HEIGHTS_ROOM + outward + lap_depth(wall, ratio))
    notes_x = max(NOTES_X, datum_x + max(inward + 7.0, stem_reach(wall, ratio)) + SLAB_CLEAR)
    if RIGHT - notes_x < 50.0:
        raise PageOverflowError(f"wall {wall.name!r} leaves no room for its notes at {format_scale(ratio)}")
    layout = lay_out_section(wall, ratio, (datum_x, CUT_TOP), height, notes_x - datum_x - SLAB_CLEAR)
    section = draw_section(layout, "letters")
    plan_width = _plan_width(wall, ratio, plan_left)
    plan = plan_view(wall, ratio, plan_origin, plan_width)
    legend = _legend(layout, notes_x, section_title_y)
    notes = _notes(layout, notes_x, _top(legend) - 4.0)
    items: list[Group] = [
        *page_frame(wall, tag, project_name, "Section and plan", draft, remarks, pages),
        notes,
        legend,
        *drawing_title("1", section_title(wall), ratio, LEFT, RIGHT, section_title_y, "title_section"),
        *drawing_title("2", "Plan", ratio, LEFT, RIGHT, plan_title_y, "title_plan"),
    ]
    if layout.feet:
        items.append(base_heights(layout, layout.outer_face))
        if base_page:
            # High enough that the bubble clears the upper end of the floor's dimension string.
            face = layout.outer_face + 0.4
            drop = (face - LEFT - 9.6) * SLOPE
            clear = layout.frame.origin[1] - layout.feet.clear
            at = (face, min(clear - 2.2, layout.frame.origin[1] - 8.5 + drop))
            items.append(detail_marker(at, LEFT + 5.0, "3", base_page, "marker_base"))
    cell = bar_target(wall, ratio, plan_origin, plan_width)
    if cell is not None:
        x = plan_left + plan_width + 14.0
        note = ("Vertical bar in a grouted cell", cell)
        items.append(text_column([note], x, plan_origin[1] + 5.5, RIGHT - x, "notes_plan"))
    title = " ".join(part for part in (tag, wall.variant_title or wall.title) if part)
    return Scene(
        sheet_id, title, describe(wall), PAGE_WIDTH, PAGE_HEIGHT, (section, plan), Group("sheet", tuple(items))
    )


def base_heights(layout: SectionLayout, from_x: float) -> Group:
    """Two strings at the left of the base: cladding and floor above grade."""
    feet, frame = layout.feet, layout.frame
    assert feet is not None
    base = feet.base
    grade = frame.origin[1] - feet.grade
    clear = frame.origin[1] - feet.clear
    floor = frame.origin[1]
    near, far = from_x - 18.0, from_x - 27.0
    clearance = upright_string(
        near, (clear, grade), (format_drawing_length(base.cladding_clearance),), from_x, "dimension_clearance",
        "Cladding above grade",
    )  # fmt: skip
    height = upright_string(
        far, (floor, grade), (format_drawing_length(base.floor_above_grade),), near, "dimension_floor",
        "Floor above grade",
    )  # fmt: skip
    return Group("dimensions_base", (clearance, height), "Heights at the base", "dimension")


def _plan_width(wall: Wall, ratio: float, left: float) -> float:
    return min(max(PLAN_WIDTH, least_width(wall, ratio)), RIGHT - left - 22.0)


def _notes(layout: SectionLayout, x: float, floor_y: float) -> Group:
    """Callouts, and what lies under the floor if the column has room for it."""
    calls = zip(callouts(layout.wall), targets(layout, from_inside=True), strict=True)
    rows = [(call.note, target) for call, target in calls]
    top = layout.frame.origin[1] - layout.top
    below = layout.frame.origin[1] + layout.frame.mm(SLAB_DEPTH) + 0.6
    retarder = ("Vapor retarder under the slab", Target(layout.frame.origin[0] + layout.reach - 3.0, below, below))
    tries = [(first, False) for first in (15.0, 9.0)]
    if layout.feet:
        tries.insert(0, (15.0, True))
    for first, with_floor in tries:
        shown = [*rows, retarder] if with_floor else rows
        try:
            return text_column(shown, x, top + first, RIGHT - x, "notes", floor_y=floor_y)
        except PageOverflowError:
            if (first, with_floor) == tries[-1]:
                raise
    raise AssertionError("unreachable")


def _top(group: Group) -> float:
    """Height of the top of a group's first line of text [mm]."""
    return min(item.at[1] - item.size for item in group.items if isinstance(item, Text))


def _legend(layout: SectionLayout, x: float, title_y: float) -> Group:
    room = RIGHT - x
    lines = [line for text in control_legend(layout.strips) for line in wrap(text, room, SMALL, balanced=False)]
    first = title_y - 11.0 - (len(lines) - 1) * 3.8
    items = [Text((x, first + number * 3.8), line, SMALL) for number, line in enumerate(lines)]
    return Group("legend_controls", tuple(items), "Control layers", "note")
