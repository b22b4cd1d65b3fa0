"""The sheet of all sections: cells side by side at one scale, under the heading of their construction.

Each cell has its texts, then the cut, all cuts of a row at one height; a set-out mark stands under each.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from specgen.drawing.marks import scale_bar, set_out_mark
from specgen.drawing.placing import Item, prefixed
from specgen.drawing.section import lay_out_section, section_view
from specgen.drawing.type import SMALL, TITLE, format_scale, text_width
from specgen.errors import PageOverflowError
from specgen.model.scene import Group, Line, Scene, Text, View
from specgen.model.wall import Wall

WIDTH, HEIGHT = 914.4, 609.6  # ARCH D [mm]
FRAME = (17.0, 12.0, 899.4, 602.0)
LEFT, RIGHT = 25.0, 893.0
HEAD_RULE, FOOT_RULE = 31.0, 586.0
CUT = 58.0  # height of each cut [mm]
SIDE = 9.0  # beside a cut, for EXTERIOR and INTERIOR and the ends of its breaks [mm]
CELL_GAP, ROW_GAP = 5.0, 7.0
GROUP_HEAD = 9.0  # line of a construction's heading [mm]
LEAST_CELL = 58.0  # for the texts [mm]
HEAVY, MEDIUM, HAIR = 0.70, 0.35, 0.13


@dataclass(frozen=True, slots=True)
class Cell:
    """A wall and what stands over its cut, placed from the cell's upper left corner."""

    wall: Wall
    texts: tuple[Text, ...]

    @property
    def height(self) -> float:
        """Of the texts [mm]."""
        return max((text.at[1] for text in self.texts), default=0.0) + 2.0


@dataclass(frozen=True, slots=True)
class Band:
    """Walls of one construction: the heading, the heading where they go on over the sheet's end, the cells."""

    heading: str
    continued: str
    cells: tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class _Row:
    """One line of cells, and the heading over it if it begins a construction or a sheet."""

    heading: str
    continued: str
    cells: tuple[Cell, ...]

    @property
    def height(self) -> float:
        return max(cell.height for cell in self.cells) + 5.0 + CUT + 6.0 + ROW_GAP


def cell_width(walls: Sequence[Wall], ratio: float) -> float:
    """Width that holds the thickest wall with the words on its sides.

    Parameters
    ----------
    walls : sequence of Wall
        All walls of the sheets.
    ratio : float
        Scale: paper = actual / ratio. [-]

    Returns
    -------
    width : float
        [mm]
    """
    widest = 0.0
    for wall in walls:
        layout = lay_out_section(without_base(wall), ratio, (0.0, 0.0), CUT)
        widest = max(widest, layout.inner_face - layout.outer_face)
    return max(widest + 2 * SIDE, LEAST_CELL)


def library_scenes(
    bands: Sequence[Band], ratio: float, title: str, hint: Sequence[Text], foot: Sequence[Text], sheet: str
) -> tuple[Scene, ...]:
    """Sheets with all cells, as many as are needed.

    Parameters
    ----------
    bands : sequence of Band
        In reading order.
    ratio : float
        Scale of every cut. [-]
    title : str
        Of the sheet.
    hint, foot : sequence of Text
        Lines under the title and under the last row, already placed.
    sheet : str
        `{number} of {total}`, to be filled in.

    Raises
    ------
    PageOverflowError
        If one cell is wider or taller than a sheet.
    """
    width = cell_width([cell.wall for band in bands for cell in band.cells], ratio)
    pages = _dealt(bands, width)
    return tuple(
        _scene(rows, width, ratio, number, title, [*hint, *foot], sheet.format(number=number, total=len(pages)))
        for number, rows in enumerate(pages, start=1)
    )


def without_base(wall: Wall) -> Wall:
    """The wall cut above its base, which has a sheet of its own."""
    return wall.model_copy(update={"base": None})


def _dealt(bands: Sequence[Band], width: float) -> list[list[_Row]]:
    """Rows to sheets; a heading never stands alone, and comes again at the top of the next sheet."""
    count = int((RIGHT - LEFT + CELL_GAP) / (width + CELL_GAP))
    if count == 0:
        raise PageOverflowError(f"library sheet: a cell of {width:.0f} mm is wider than the sheet")
    pages: list[list[_Row]] = [[]]
    y = HEAD_RULE
    for band in bands:
        for start in range(0, len(band.cells), count):
            heading = "" if start else band.heading
            row = _Row(heading, band.continued, band.cells[start : start + count])
            room = row.height + (GROUP_HEAD if row.heading else 0.0)
            if y + room > FOOT_RULE and pages[-1]:
                pages.append([])
                y = HEAD_RULE
                row = replace(row, heading=row.heading or row.continued)
                room = row.height + GROUP_HEAD
            if y + room > FOOT_RULE:
                raise PageOverflowError(f"library sheet: a row of {room:.0f} mm is taller than the sheet")
            pages[-1].append(row)
            y += room
    return pages


def _scene(
    rows: Sequence[_Row], width: float, ratio: float, number: int, title: str, lines: Sequence[Text], which: str
) -> Scene:
    left, top, right, bottom = FRAME
    items: list[Item] = [
        Line(((left, top), (right, top), (right, bottom), (left, bottom)), HEAVY, closed=True),
        Text((LEFT, 23.5), title, TITLE, bold=True),
        Text((RIGHT, 23.5), which, TITLE, "end", bold=True),
        Line(((LEFT, HEAD_RULE), (RIGHT, HEAD_RULE)), HEAVY),
        *lines,
    ]
    views: list[View] = []
    cells: list[Group] = []
    y = HEAD_RULE
    for index, row in enumerate(rows):
        if row.heading:
            if index:
                items.append(Line(((LEFT, y), (RIGHT, y)), MEDIUM))
            items.append(Text((LEFT, y + 6.8), row.heading, TITLE, bold=True))
            y += GROUP_HEAD
        cut_top = y + max(cell.height for cell in row.cells) + 5.0
        for place, cell in enumerate(row.cells):
            x = LEFT + place * (width + CELL_GAP)
            view, marks = _cut(cell.wall, ratio, x, cut_top)
            texts = tuple(replace(text, at=(text.at[0] + x, text.at[1] + y)) for text in cell.texts)
            views.append(view)
            cells.append(Group(f"{_prefix(cell.wall)}_cell", (*texts, *marks), cell.wall.name, "note"))
        y += row.height
    bar = scale_bar(ratio, RIGHT, FOOT_RULE + 9.0, "library_bar")
    frame = Group("library_frame", tuple(items), "", "frame")
    described = "; ".join(cell.title for cell in cells)
    sheet = Group("library_sheet", (frame, *cells, bar))
    return Scene(f"library-{number}", f"{title} {which}", described, WIDTH, HEIGHT, tuple(views), sheet)


def _cut(wall: Wall, ratio: float, x: float, top: float) -> tuple[View, list[Item]]:
    """The section with its outer face a fixed way in, so that cells compare; the sides named, the set-out mark."""
    plain = without_base(wall)
    trial = lay_out_section(plain, ratio, (0.0, top), CUT)
    datum = x + SIDE - trial.outer_face
    view = section_view(plain, ratio, (datum, top), CUT)
    kept = tuple(item for item in view.group.items if not (isinstance(item, Group) and item.id == "section_sides"))
    group = prefixed(replace(view.group, items=kept), _prefix(wall))
    outer, inner = datum + trial.outer_face, datum + trial.inner_face
    marks: list[Item] = []
    for at, word in ((outer - 4.6, "EXTERIOR"), (inner + 4.6 + SMALL, "INTERIOR")):
        middle = top + CUT / 2 + text_width(word, SMALL) / 2
        marks.append(Text((at, middle), word, SMALL, turn=90.0))
    marks.append(set_out_mark((datum, top + CUT + 2.2), "")[0])
    title = f"{wall.name}: {view.title}, {format_scale(ratio)}"
    return replace(view, id=f"{_prefix(wall)}_section", group=group, title=title), marks


def _prefix(wall: Wall) -> str:
    return wall.name.replace("+", "--")
