"""Where the columns of the wall-type schedule stand: one frozen grid per sheet size, mm from the sheet's upper left.

On the two large sheets a wall type is one band with its plan at 3″ = 1′-0″. On tabloid and letter it breaks into two
bands, the plan at 1½″ = 1′-0″: type is never made smaller, and no column is left out.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from specgen.documents.messages import Messages
from specgen.drawing.type import NOTE
from specgen.errors import UnknownNameError
from specgen.model.scene import Text

DEFAULT_SHEET = "arch-d"
FOOT_LEAD = 3.7  # between lines of the foot's notes [mm]
STRIP = 29.0  # height of the title block along the bottom of a letter sheet [mm]


@dataclass(frozen=True, slots=True)
class Head:
    """A column's head: the end of its message id, and where it stands [mm]."""

    id: str
    at: float
    right: bool = False  # ends there instead of starting there


@dataclass(frozen=True, slots=True)
class Grid:
    """One sheet: its edges, its scale and its columns; every figure in mm, ratio and counts excepted."""

    name: str
    width: float
    height: float
    frame: tuple[float, float, float, float]  # left, top, right, bottom; above it a draft bears its mark
    ratio: float  # of the plans: paper = actual / ratio
    pitch: float  # between entries of a list
    bands: int  # one, or two with thermal figures and all that follows under the layers
    tag_above: bool  # tag and title over the plan instead of beside it
    sections_below: bool  # sections and drawings under the overall thickness, not in a column of their own
    block_at: float | None  # left edge of the title block at the right; None for a strip along the bottom
    title_y: float
    head_y: float
    type_at: float
    plan_at: float
    plan_end: float
    key_at: float
    layers_at: float
    layer_text_at: float
    thickness_right: float
    control_at: float
    overall_at: float
    overall_end: float
    thermal_at: float
    thermal_right: float
    code_at: float
    required_right: float
    provided_right: float
    ratings_at: float
    rating_at: float
    rating_end: float
    sections_at: float
    remarks_at: float
    end: float

    @property
    def head_rule(self) -> float:
        """Height of the rule under the heads [mm]."""
        return self.head_y + 3.0

    @property
    def foot_end(self) -> float:
        """Where the foot's notes end: the frame, or the strip that stands on it [mm]."""
        return self.frame[3] - (STRIP if self.block_at is None else 0.0)

    @property
    def bar_length(self) -> float:
        """Room of the scale bar at the right of the foot: its length on paper and a gap [mm]."""
        return 84.0


ARCH_D = Grid(
    name="arch-d", width=914.4, height=609.6, frame=(17.0, 12.0, 899.4, 602.0),
    ratio=4.0, pitch=6.2, bands=1, tag_above=False, sections_below=False, block_at=819.0, title_y=22.5, head_y=35.0,
    type_at=25.0, plan_at=73.0, plan_end=240.0, key_at=259.0,
    layers_at=271.0, layer_text_at=278.0, thickness_right=381.0, control_at=389.0, overall_at=417.0, overall_end=450.0,
    thermal_at=453.0, thermal_right=525.0, code_at=533.0, required_right=588.0, provided_right=622.0,
    ratings_at=629.0, rating_at=666.0, rating_end=694.0, sections_at=697.0, remarks_at=753.0, end=815.0,
)  # fmt: skip

ANSI_D = Grid(
    name="ansi-d", width=863.6, height=558.8, frame=(17.0, 12.0, 848.6, 551.2),
    ratio=4.0, pitch=6.2, bands=1, tag_above=False, sections_below=False, block_at=768.2, title_y=22.5, head_y=35.0,
    type_at=25.0, plan_at=73.0, plan_end=205.0, key_at=224.0,
    layers_at=236.0, layer_text_at=243.0, thickness_right=346.0, control_at=354.0, overall_at=382.0, overall_end=415.0,
    thermal_at=418.0, thermal_right=486.0, code_at=494.0, required_right=548.0, provided_right=580.0,
    ratings_at=587.0, rating_at=623.0, rating_end=651.0, sections_at=654.0, remarks_at=704.0, end=764.0,
)  # fmt: skip

TABLOID = Grid(  # ANSI B on its side
    name="tabloid", width=431.8, height=279.4, frame=(17.0, 12.0, 421.8, 270.4),
    ratio=8.0, pitch=4.9, bands=2, tag_above=False, sections_below=False, block_at=353.8, title_y=20.5, head_y=31.5,
    type_at=22.0, plan_at=61.0, plan_end=161.0, key_at=175.0,
    layers_at=184.0, layer_text_at=191.0, thickness_right=287.0, control_at=293.0, overall_at=314.0, overall_end=350.0,
    thermal_at=61.0, thermal_right=122.0, code_at=129.0, required_right=172.0, provided_right=202.0,
    ratings_at=209.0, rating_at=240.0, rating_end=258.0, sections_at=261.0, remarks_at=292.0, end=350.0,
)  # fmt: skip

LETTER = Grid(  # on its side
    name="letter", width=279.4, height=215.9, frame=(17.0, 12.0, 270.4, 206.9),
    ratio=8.0, pitch=4.9, bands=2, tag_above=True, sections_below=True, block_at=None, title_y=19.5, head_y=30.5,
    type_at=20.0, plan_at=20.5, plan_end=102.0, key_at=116.0,
    layers_at=124.0, layer_text_at=130.5, thickness_right=213.0, control_at=217.0, overall_at=234.0, overall_end=267.0,
    thermal_at=20.0, thermal_right=74.0, code_at=80.0, required_right=117.0, provided_right=145.0,
    ratings_at=150.0, rating_at=180.0, rating_end=197.0, sections_at=234.0, remarks_at=203.0, end=267.0,
)  # fmt: skip

SHEETS = {grid.name: grid for grid in (LETTER, TABLOID, ARCH_D, ANSI_D)}


def sheet_grid(name: str) -> Grid:
    """The grid of a sheet size.

    Raises
    ------
    UnknownNameError
        If there is no grid for that size; the sizes are in the message.
    """
    if name not in SHEETS:
        raise UnknownNameError("sheet size", name, SHEETS)
    return SHEETS[name]


def first_heads(grid: Grid) -> list[Head]:
    """Heads of the columns of the first band: message id, place, and whether it stands at a right edge."""
    named = [
        Head("layers", grid.layers_at),
        Head("thickness", grid.thickness_right, True),
        Head("control", grid.control_at),
        Head("overall", grid.overall_at),
    ]
    if grid.tag_above:
        return [Head("type_plan", grid.type_at), *named]
    return [Head("type", grid.type_at), Head("plan", grid.plan_at), *named]


def second_heads(grid: Grid) -> list[Head]:
    """Heads of the columns that follow: the same line on the large sheets, the second band on the small ones."""
    columns = [
        Head("thermal", grid.thermal_at),
        Head("code", grid.code_at),
        Head("required", grid.required_right, True),
        Head("provided", grid.provided_right, True),
        Head("ratings", grid.ratings_at),
        Head("sections", grid.sections_at),
        Head("remarks", grid.remarks_at),
    ]
    return [head for head in columns if not (head.id == "sections" and grid.sections_below)]


def heads(columns: Sequence[Head], messages: Messages, y: float) -> list[Text]:
    """Heads on one line; those of figures are gray, at the right edge of their figures.

    Parameters
    ----------
    columns : sequence of Head
        From left to right.
    messages : Messages
        The catalog.
    y : float
        Baseline. [mm]
    """
    return [
        Text((head.at, y), messages.text(f"head.{head.id}"), NOTE, "end", ink="gray")
        if head.right
        else Text((head.at, y), messages.text(f"head.{head.id}"), NOTE, bold=True)
        for head in columns
    ]
