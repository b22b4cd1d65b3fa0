"""Where everything of a vertical section stands, and where the leaders of its callouts may end."""

from __future__ import annotations

from dataclasses import dataclass, replace

from specgen.drawing.base import Foot, foot, layer_ends
from specgen.drawing.callouts import Callout, callouts
from specgen.drawing.geometry import Frame
from specgen.drawing.layout import Strip, is_siding, strips
from specgen.drawing.notes import Target
from specgen.drawing.parts import shells
from specgen.drawing.type import format_scale
from specgen.errors import PageOverflowError
from specgen.model.scene import Point
from specgen.model.wall import Wall

BELOW_GROUND = 13.0  # drawn below grade [mm]
LEAST_WALL = 25.0  # of wall above the floor, less tells nothing [mm]


@dataclass(frozen=True, slots=True)
class SectionLayout:
    """Where everything of one section stands; heights in paper mm above the floor."""

    wall: Wall
    frame: Frame
    strips: tuple[Strip, ...]
    feet: Foot | None
    top: float
    bottom: float
    reach: float  # right end of slab or wall, across [mm]
    seed: str

    def span(self, strip: Strip) -> tuple[float, float, float]:
        """Upper end, lower end at the outer face and at the inner face of a layer."""
        outer, inner = layer_ends(self.wall, strip, self.feet, self.frame)
        return self.top, outer, inner

    @property
    def outer_face(self) -> float:
        """Paper x of the exterior face, siding laps included [mm]."""
        return self.frame.origin[0] + self.strips[0].outer - lap_depth(self.wall, self.frame.ratio)

    @property
    def inner_face(self) -> float:
        """Paper x of the interior face, paint lines included [mm]."""
        last = self.strips[-1]
        return self.frame.origin[0] + max(last.inner, last.line + last.weight / 2 if last.is_film else last.inner)


def lay_out_section(wall: Wall, ratio: float, origin: Point, height_mm: float, reach_mm: float = 40.0) -> SectionLayout:
    """Place a section between two break lines.

    Parameters
    ----------
    wall : Wall
        The wall; its base is drawn if it names one.
    ratio : float
        Scale: paper = actual / ratio. [-]
    origin : Point
        Paper point where the set-out face meets the upper break. [mm]
    height_mm : float
        From upper to lower break. [mm]
    reach_mm : float
        How far slab and footing may run inward of the set-out face. [mm]

    Raises
    ------
    PageOverflowError
        If less than 25 mm of wall would remain above the floor.
    """
    below = 0.0 if wall.base is None else wall.base.floor_above_grade * 1000 / ratio + BELOW_GROUND
    top = height_mm - below
    if top < LEAST_WALL:
        raise PageOverflowError(
            f"section of {wall.name!r} at {format_scale(ratio)}: {height_mm:.0f} mm leave {top:.0f} mm of wall above "
            f"the floor; at least {LEAST_WALL:.0f} mm are needed"
        )
    frame = Frame((origin[0], origin[1] + top), ratio)
    placed = strips(wall, 1000 / ratio)
    feet = foot(wall, placed, frame, -below)
    reach = max(placed[-1].inner + 8.0, reach_mm)
    return SectionLayout(wall, frame, placed, feet, top, -below, reach, wall.name)


def targets(layout: SectionLayout, from_inside: bool = False) -> tuple[Target, ...]:
    """Where the leader of each callout may end: on its layer, between its ends. In the order of the callouts.

    A hollow unit is met at its outer shell, or `from_inside` at its inner one, not across its cell.
    """
    calls = callouts(layout.wall)
    if from_inside:
        return tuple(_inner_shell(layout, call, _target(layout, call)) for call in calls)
    return tuple(_target(layout, call) for call in calls)


def lap_depth(wall: Wall, ratio: float) -> float:
    """How far the butts of lap siding stand out beyond the layer's own thickness, on paper [mm]."""
    return wall.layers[0].depth * 1000 / ratio if is_siding(wall.layers[0]) else 0.0


def embedded_position(strip: Strip, embedded_id: str, frame: Frame) -> float:
    """Where an embedded part lies: by its offset from the layer's inner face, else at mid-depth [mm]."""
    part = next(part for part in strip.layer.embedded if part.id == embedded_id)
    depth = strip.inner - strip.outer
    offset = depth / 2 if part.offset is None else min(frame.mm(part.offset), depth * 0.85)
    return strip.inner - offset


def _inner_shell(layout: SectionLayout, call: Callout, aim: Target) -> Target:
    strip = layout.strips[layout.wall.index(call.layer_ids[0])]
    if call.embedded_id or strip.layer.unit is None or not strip.layer.unit.hollow:
        return aim
    return replace(aim, x=2 * (layout.frame.origin[0] + strip.middle) - aim.x)


def _target(layout: SectionLayout, call: Callout) -> Target:
    wall, frame = layout.wall, layout.frame
    members = [layout.strips[wall.index(layer_id)] for layer_id in call.layer_ids]
    spans = [layout.span(strip) for strip in members]
    low = max(max(span[1], span[2]) for span in spans)
    if len(members) > 1:
        across = (members[0].outer + members[-1].inner) / 2
    elif call.embedded_id:
        across = embedded_position(members[0], call.embedded_id, frame)
    elif members[0].layer.unit and members[0].layer.unit.hollow:
        across = members[0].outer + shells(members[0], frame)[0] / 2
    else:
        across = members[0].middle
    top_y, low_y = frame.origin[1] - layout.top + 2.0, frame.origin[1] - low - 2.0
    return Target(frame.origin[0] + across, top_y, low_y)
