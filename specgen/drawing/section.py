"""The vertical section: a wall cut between its members, exterior at the left, true to scale.

Every layer is one group whose id is the layer's id (`section_layers`), so that a drawing can be traced to the wall.
"""

from __future__ import annotations

from specgen.drawing.base import Item
from specgen.drawing.callouts import callouts
from specgen.drawing.flashing import termination
from specgen.drawing.ground import lower_break, plates, support
from specgen.drawing.layout import is_siding
from specgen.drawing.marks import break_line, break_mask, control_marks
from specgen.drawing.section_layers import VIEW, is_open, layer_group
from specgen.drawing.section_layout import SectionLayout, embedded_position, lap_depth, lay_out_section, targets
from specgen.drawing.type import SMALL, format_scale
from specgen.model.scene import Group, Line, Point, Text, View
from specgen.model.wall import Wall

__all__ = [
    "SectionLayout",
    "draw_section",
    "embedded_position",
    "lap_depth",
    "lay_out_section",
    "layer_titles",
    "section_title",
    "section_view",
    "targets",
]

PROFILE = 0.70  # outer face of the wall [mm]
INNER_FACE = 0.50
COATED_FACE = 0.35  # under a control coating, whose own line is then the profile
LABEL_DROP = 6.5  # baseline of EXTERIOR and INTERIOR below the upper break [mm]


def section_view(
    wall: Wall, ratio: float, origin: Point, height_mm: float, keys: str = "none", reach_mm: float = 40.0
) -> View:
    """The section as a view: layers, base, breaks, EXTERIOR and INTERIOR; `keys="letters"` adds the control letters.

    Parameters
    ----------
    wall : Wall
        The wall.
    ratio : float
        Scale from the list 4, 8, 16 (or 5, 10, 20). [-]
    origin : Point
        Paper point where the set-out face meets the upper break. [mm]
    height_mm : float
        From upper to lower break. [mm]
    keys : str
        "none" or "letters".
    reach_mm : float
        How far slab and footing may run inward of the set-out face. [mm]

    Returns
    -------
    view : View
        Its origin is the set-out face at floor level.

    Raises
    ------
    PageOverflowError
        If less than 25 mm of wall would remain above the floor.
    """
    layout = lay_out_section(wall, ratio, origin, height_mm, reach_mm)
    return draw_section(layout, keys)


def draw_section(layout: SectionLayout, keys: str = "none", label_drop: float = LABEL_DROP) -> View:
    """The view of a section that is already laid out."""
    wall, frame = layout.wall, layout.frame
    items: list[Item] = []
    if layout.feet:
        items.append(support(wall, layout.strips, layout.feet, frame, layout.reach, layout.seed))
    titles = layer_titles(wall)
    beyond = [strip for strip in layout.strips if is_open(strip)]
    solid = [strip for strip in layout.strips if not is_open(strip)]
    # Open layers first: their gray edges lie under the outlines of their neighbors.
    items += [layer_group(layout, strip, titles[strip.layer.id]) for strip in (*beyond, *solid)]
    if layout.feet:
        items.append(plates(layout.strips, layout.feet, frame))
        items.append(termination(wall, layout.strips, layout.feet, frame))
    items.append(Group("section_profile", tuple(_profile(layout)), "Faces of the wall", "frame"))
    items.append(Group("section_breaks", tuple(_breaks(layout)), "Break lines", "frame"))
    items.append(side_labels(layout, label_drop))
    if keys == "letters":
        items.append(control_marks(layout.strips, frame, frame.origin[1] - layout.top, VIEW))
    group = Group(VIEW, tuple(items), f"Vertical section, {format_scale(frame.ratio)}")
    return View(VIEW, section_title(wall), frame.ratio, format_scale(frame.ratio), frame.origin, group)


def section_title(wall: Wall) -> str:
    """Title with the place of the cut, since what lies there decides what is seen."""
    place = "Section at the base" if wall.base else "Section"
    if any(layer.unit and layer.unit.hollow for layer in wall.layers):
        return f"{place}, cut through cells"
    if any(layer.framing for layer in wall.layers):
        return f"{place}, cut between studs" if wall.construction == "framed" else f"{place}, cut between members"
    return place


def layer_titles(wall: Wall) -> dict[str, str]:
    """What assistive tools read for each layer: the note of its callout."""
    return {layer_id: call.note for call in callouts(wall) if not call.embedded_id for layer_id in call.layer_ids}


def side_labels(layout: SectionLayout, drop: float = LABEL_DROP) -> Group:
    """The words EXTERIOR and INTERIOR on their sides of the cut."""
    y = layout.frame.origin[1] - layout.top + drop
    items = (
        Text((layout.outer_face - 3.6, y), "EXTERIOR", SMALL, "end"),
        Text((layout.inner_face + 3.6, y), "INTERIOR", SMALL),
    )
    return Group("section_sides", items, "Sides", "note")


def _profile(layout: SectionLayout) -> list[Item]:
    """Outer and inner face of the wall, heavier than any outline within."""
    frame = layout.frame
    items: list[Item] = []
    outermost = next(strip for strip in layout.strips if not strip.is_film)
    if not is_siding(outermost.layer):
        coated = outermost.index > 0 and layout.strips[outermost.index - 1].weight >= INNER_FACE
        top, low, _ = layout.span(outermost)
        ends = (frame.place(outermost.outer, top), frame.place(outermost.outer, low))
        items.append(Line(ends, COATED_FACE if coated else PROFILE))
    innermost = next(strip for strip in reversed(layout.strips) if not strip.is_film)
    top, _, low = layout.span(innermost)
    items.append(Line((frame.place(innermost.inner, top), frame.place(innermost.inner, low)), INNER_FACE))
    return items


def _breaks(layout: SectionLayout) -> list[Item]:
    frame = layout.frame
    left, right = layout.outer_face - 3.0, layout.inner_face + 3.0
    y = frame.origin[1] - layout.top
    items: list[Item] = [break_mask((left, y), (right, y), -1.0), break_line((left, y), (right, y))]
    if layout.feet is not None:
        across = lower_break(layout.wall, layout.strips, layout.feet, frame, layout.reach)
        left, right = frame.origin[0] + across[0], frame.origin[0] + across[1]
    y = frame.origin[1] - layout.bottom
    items += [break_mask((left, y), (right, y), 1.0), break_line((left, y), (right, y))]
    return items
