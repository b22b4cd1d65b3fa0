"""Scenes as one DXF file (R2010): each view a block at full size whose base point is its set-out datum; bytes out.

Paper lengths are multiplied by the view's scale, y is turned upward, and every coordinate is rounded once, here.
Only entities that every reader shows are used: lines, polylines, circles, solid fills, one-line texts. Hatches are
their own lines, dimensions are lines and text, stipple is small circles. Blocks stand in model space as the views
stand on their sheets, sheet beside sheet; the datum of the first view is the origin. White masks are not written:
no two readers agree on them. Same scenes, same bytes.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from math import ceil, hypot, inf
from typing import Any, Literal

from ezdxf._options import options
from ezdxf.document import Drawing
from ezdxf.enums import InsertUnits, TextEntityAlignment
from ezdxf.filemanagement import new as new_document
from ezdxf.layouts.blocklayout import BlockLayout
from ezdxf.layouts.layout import Modelspace

from specgen.drawing.type import text_width
from specgen.errors import SpecgenError
from specgen.model.scene import Circle, Dots, Group, Line, Point, Scene, Strokes, Text, View
from specgen.write.dxf_layers import NCS, LayerTable, Place, layer_table
from specgen.write.dxf_marks import add_dot, add_stroke
from specgen.write.dxf_text import legal_name, plain

Unit = Literal["in", "mm"]
UNITS_PER_MM: dict[Unit, float] = {"in": 1 / 25.4, "mm": 1.0}
DECIMALS = 8  # of a coordinate; far below what any tolerance here sees
STYLES = {False: ("NOTES", "arial.ttf"), True: ("NOTES-BOLD", "arialbd.ttf")}  # fonts that every CAD program has
DOT_LINE = 0.09  # half the hatch layer's line: the circle of a dot plots as wide as the dot [mm]
PAPER: dict[Unit, tuple[float, float, float]] = {"in": (17, 11, 0.5), "mm": (420, 297, 10)}  # of the empty layout
SHEET_GAP = 30.0  # between two sheets, on paper [mm]
IDENTITY_SIZE = 2.0  # capital height of wall type and revision under a view [mm]
IDENTITY_DROP = 2.4  # its baseline below the view's title [mm]
LEAST_WIDTH = 0.75  # of a dimension's letters, as a share of the font's [-]
PAGE_GROUPS = ("header", "footer")  # of the sheet, in no view


_ANCHORS = {
    "start": TextEntityAlignment.LEFT,
    "middle": TextEntityAlignment.CENTER,
    "end": TextEntityAlignment.RIGHT,
}


def write_dxf(
    scenes: Scene | tuple[Scene, ...],
    unit: Unit = "in",
    tag: str = "",
    revision: str = "",
    preset: str = NCS,
) -> bytes:
    """One DXF file with a block for every view of the scenes.

    Parameters
    ----------
    scenes : Scene or tuple of Scene
        Drawing sheets; a sheet marked DRAFT hands the mark to each of its blocks.
    unit : str
        Drawing unit, `in` or `mm`; one unit is that length at full size.
    tag : str
        Wall type that names the blocks, `W1`; empty for the id of the first scene.
    revision : str
        Printed with the wall type under each view, and kept as an attribute.
    preset : str
        Layer names: `ncs` or `flat`.

    Raises
    ------
    SpecgenError
        If no scene has a view.
    UnknownNameError
        If there is no such layer preset.
    """
    sheets = (scenes,) if isinstance(scenes, Scene) else scenes
    first = next((scene for scene in sheets if scene.views), None)
    if first is None:
        raise SpecgenError("nothing to write as DXF: no drawing has a view")
    with _fixed_metadata():
        document = new_document("R2010", setup=False)
        writer = _Writer(document, unit, layer_table(preset), first.views[0].ratio, tag or first.id, revision)
        for sheet in sheets:
            if sheet.views:
                writer.add_sheet(sheet, _part_of(sheet.id, first.id))
        writer.finish()
        _sort_classes(document)
        stream = io.StringIO()
        document.write(stream)
    return document.encode(stream.getvalue())


@contextmanager
def _fixed_metadata() -> Iterator[None]:
    """No clock and no random id while one file is made; the library's setting is given back as it was."""
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before


def _sort_classes(document: Drawing) -> None:
    """The list of object classes comes in the order of a set, which changes from run to run; here by name."""
    section = document.classes
    section.add_required_classes(document.dxfversion)
    for key in sorted(section.classes):
        section.classes[key] = section.classes.pop(key)


@dataclass(frozen=True, slots=True)
class _Spot:
    """From paper to one block or to model space: origin on paper, drawing units per paper mm, shift in units."""

    origin: Point
    factor: float
    shift: Point = (0.0, 0.0)

    def __call__(self, point: Point) -> Point:
        x = round((point[0] - self.origin[0]) * self.factor + self.shift[0], DECIMALS)
        y = round((self.origin[1] - point[1]) * self.factor + self.shift[1], DECIMALS)
        return x + 0.0, y + 0.0  # no negative zero

    def length(self, paper: float) -> float:
        return round(paper * self.factor, DECIMALS)


@dataclass(slots=True)
class _Box:
    """Extent on paper of what was put into it; texts count by their anchor only."""

    left: float = inf
    top: float = inf
    right: float = -inf
    bottom: float = -inf

    def add(self, point: Point, reach: float = 0.0) -> None:
        self.left, self.right = min(self.left, point[0] - reach), max(self.right, point[0] + reach)
        self.top, self.bottom = min(self.top, point[1] - reach), max(self.bottom, point[1] + reach)

    def distance(self, other: _Box) -> float:
        across = max(self.left - other.right, other.left - self.right, 0.0)
        down = max(self.top - other.bottom, other.top - self.bottom, 0.0)
        return hypot(across, down)


@dataclass(slots=True)
class _Writer:
    document: Drawing
    unit: Unit
    table: LayerTable
    ratio: float  # of the first view; the drawing's linetype scale
    name: str  # wall type
    revision: str
    used: dict[str, None] = field(default_factory=dict)  # layers, in the order of use
    cursor: float = 0.0  # left end of the next sheet, in units from the datum of the first view
    extent: _Box = field(default_factory=_Box)  # model space in units, y upward

    def __post_init__(self) -> None:
        inches = self.unit == "in"
        self.document.units = InsertUnits.Inches if inches else InsertUnits.Millimeters
        header = self.document.header
        header["$MEASUREMENT"] = 0 if inches else 1
        header["$LUNITS"], header["$LUPREC"] = (4, 4) if inches else (2, 1)  # feet and inches to 1/16, or decimal
        header["$LTSCALE"] = self.ratio  # linetypes are defined as they plot
        header["$LWDISPLAY"] = 1
        width, height, margin = PAPER[self.unit]
        paper = self.document.paperspace()
        paper.page_setup((width, height), (margin,) * 4, units="inch" if inches else "mm")
        paper.delete_all_entities()  # the viewport that comes with the page, on a layer of its own
        for name, font in STYLES.values():
            self.document.styles.add(name, font=font)
        header["$TEXTSTYLE"] = STYLES[False][0]

    @property
    def per_mm(self) -> float:
        return UNITS_PER_MM[self.unit]

    def add_sheet(self, sheet: Scene, part: str) -> None:
        """A block for each view with what the sheet says about it, placed as on the sheet."""
        scale = max(view.ratio for view in sheet.views) * self.per_mm
        datum = sheet.views[0].origin
        if self.extent.left == inf:
            self.cursor = -datum[0] * scale
        shift = (self.cursor + datum[0] * scale, 0.0)
        spot = _Spot(datum, scale, shift)
        page, beside = _sort(sheet)
        draft = [item.text for item in sheet.walk() if isinstance(item, Text) and item.text.startswith("DRAFT")]
        for view, groups in zip(sheet.views, beside, strict=True):
            block = self._block(view, groups, self._block_name(view, part, len(sheet.views)), draft[:1])
            self._insert(block, spot(view.origin))
        model = self.document.modelspace()
        for group in page:
            self._items(model, group, spot, "frame", "page", self.ratio_of(spot))
        for corner in ((0.0, 0.0), (sheet.width, sheet.height)):
            self.extent.add(spot(corner))
        self.cursor += (sheet.width + SHEET_GAP) * scale

    def ratio_of(self, spot: _Spot) -> float:
        return spot.factor / self.per_mm

    def finish(self) -> None:
        """Layers that were used, in the table's order, and a view that shows everything."""
        for layer in self.table.layers.values():
            if layer.name in self.used:
                entry = self.document.layers.add(
                    layer.name, color=layer.color, lineweight=round(layer.weight * 100), plot=layer.plot
                )
                entry.description = layer.holds
        low, high = (self.extent.left, self.extent.top), (self.extent.right, self.extent.bottom)
        model = self.document.modelspace()
        model.reset_extents((*low, 0.0), (*high, 0.0))
        model.reset_limits(low, high)
        center = ((low[0] + high[0]) / 2, (low[1] + high[1]) / 2)
        width, height = high[0] - low[0], high[1] - low[1]
        self.document.set_modelspace_vport(height=ceil(max(height, width / 1.6) * 1.04), center=center)

    def _block_name(self, view: View, part: str, views: int) -> str:
        """Wall type and view; a further sheet of one view is named by the sheet."""
        words = [self.name, part] if part and views == 1 else [self.name, part, view.id]
        name = legal_name(view.block_name or "-".join(word for word in words if word))
        wanted, count = name, 1
        while name in self.document.blocks:
            count += 1
            name = f"{wanted}-{count}"
        return name

    def _block(self, view: View, groups: list[Group], name: str, draft: list[str]) -> BlockLayout:
        block = self.document.blocks.new(name, base_point=(0, 0))
        block.units = InsertUnits.Inches if self.unit == "in" else InsertUnits.Millimeters
        block.scale_uniformly = True
        if block.block is not None:
            block.block.dxf.description = plain(f"{view.title}, {view.scale_text}")
        spot = _Spot(view.origin, view.ratio * self.per_mm)
        self._items(block, view.group, spot, "", "view", view.ratio)
        for group in groups:
            self._items(block, group, spot, "", "sheet", view.ratio)
        titles = tuple(group for group in groups if group.role == "frame")
        box = _box(titles or (view.group, *groups))  # under the title; a legend beside it may reach lower
        left, below = box.left, box.bottom + IDENTITY_DROP
        words = [f"Wall type {self.name}", f"revision {self.revision}" if self.revision else "", *draft]
        identity = Text((left, below), ", ".join(word for word in words if word), IDENTITY_SIZE, bold=bool(draft))
        layer = self._use(self.table.own("identity"))
        self._text(block, identity, spot, layer)
        for number, (key, prompt) in enumerate((("WALL_TYPE", "Wall type"), ("REVISION", "Revision")), start=1):
            # Not shown: the text above says the same in every reader; an attribute can be listed and counted.
            at = spot((left, below + 1.6 * IDENTITY_SIZE * number))
            look = {"layer": layer, "style": STYLES[False][0], "flags": 1, "prompt": prompt}
            block.add_attdef(key, at, "", height=spot.length(IDENTITY_SIZE), dxfattribs=look)
        return block

    def _insert(self, block: BlockLayout, at: Point) -> None:
        model = self.document.modelspace()
        insert = model.add_blockref(block.name, at, dxfattribs={"layer": self._use(self.table.own("insert"))})
        insert.add_auto_attribs({"WALL_TYPE": plain(self.name), "REVISION": plain(self.revision)})

    def _items(
        self, target: BlockLayout | Modelspace, group: Group, spot: _Spot, role: str, place: Place, ratio: float
    ) -> None:
        role = group.role or role
        for item in group.items:
            if isinstance(item, Group):
                self._items(target, item, spot, role, place, ratio)
                continue
            if isinstance(item, Line | Circle) and not item.stroked and item.fill != "black":
                self._envelope(target, item, spot, role)
                continue
            layer = self._use(self.table.layer(item, role, place))
            match item:
                case Line():
                    self._line(target, item, spot, layer, ratio)
                case Strokes():
                    for start, end in item.segments:
                        add_stroke(target, spot(start), spot(end), layer)
                case Dots():
                    radius = spot.length(max(item.radius - DOT_LINE, 0.01))
                    for center in item.centers:
                        add_dot(target, spot(center), radius, layer)
                case Circle():
                    self._circle(target, item, spot, layer)
                case Text():
                    self._text(target, item, spot, layer, tight=role == "dimension")

    def _envelope(self, target: BlockLayout | Modelspace, item: Line | Circle, spot: _Spot, role: str) -> None:
        """The unseen outline of a layer, at its true thickness; masks and halos are left out."""
        if role != "layer" or not isinstance(item, Line) or item.fill or not item.closed:
            return
        points = [spot(point) for point in item.points]
        across, down = ({point[axis] for point in points} for axis in (0, 1))
        if len(across) > 1 and len(down) > 1:
            layer = self._use(self.table.own("envelope"))
            target.add_lwpolyline(points, close=True, dxfattribs={"layer": layer})

    def _line(self, target: BlockLayout | Modelspace, line: Line, spot: _Spot, layer: str, ratio: float) -> None:
        points = [spot(point) for point in line.points]
        look: dict[str, Any] = {"layer": layer}
        if line.fill == "black":
            self._fill(target, points, look)
        if not line.stroked or len(points) < 2:
            return
        if line.dash:
            look["linetype"] = self._linetype(line.dash)
            if ratio != self.ratio:
                look["ltscale"] = ratio / self.ratio
        if len(points) == 2 and not line.closed:
            target.add_line(points[0], points[1], dxfattribs=look)
        else:
            target.add_lwpolyline(points, close=line.closed, dxfattribs=look)

    def _fill(self, target: BlockLayout | Modelspace, points: list[Point], look: dict[str, Any]) -> None:
        if len(points) in (3, 4):
            target.add_solid([*points[:2], *reversed(points[2:])], dxfattribs=look)
        elif len(points) > 4:
            target.add_hatch(color=256, dxfattribs=look).paths.add_polyline_path(points, is_closed=True)

    def _circle(self, target: BlockLayout | Modelspace, circle: Circle, spot: _Spot, layer: str) -> None:
        center, radius = spot(circle.center), spot.length(circle.radius)
        if circle.fill == "black":
            x, y = center
            half_turns = [(x + radius, y, 1.0), (x - radius, y, 1.0)]  # two arcs of bulge 1
            disk = target.add_hatch(color=256, dxfattribs={"layer": layer})
            disk.paths.add_polyline_path(half_turns, is_closed=True)
        if circle.stroked:
            target.add_circle(center, radius, dxfattribs={"layer": layer})

    def _text(self, target: BlockLayout | Modelspace, text: Text, spot: _Spot, layer: str, tight: bool = False) -> None:
        words = plain(text.text)
        if not words.strip():
            return
        look: dict[str, Any] = {"layer": layer, "style": STYLES[text.bold][0], "rotation": round(text.turn, DECIMALS)}
        if tight and words != text.text:
            # A dimension's figure keeps its place between the strings though 5/16 is wider than the built fraction.
            share = text_width(text.text, text.size, text.bold) / text_width(words, text.size, text.bold)
            look["width"] = round(min(1.0, max(share, LEAST_WIDTH)), 3)
        entity = target.add_text(words, height=spot.length(text.size), dxfattribs=look)
        entity.set_placement(spot(text.at), align=_ANCHORS[text.anchor])

    def _use(self, layer: str) -> str:
        self.used[layer] = None
        return layer

    def _linetype(self, dash: tuple[float, ...]) -> str:
        name = self.table.linetype(dash)
        if name not in self.document.linetypes:
            parts = [part * self.per_mm * (1 if index % 2 == 0 else -1) for index, part in enumerate(dash)]
            self.document.linetypes.add(name, [sum(dash) * self.per_mm, *parts], description="as plotted")
        return name


def _part_of(sheet_id: str, first_id: str) -> str:
    """What tells a further sheet from the first: `base` of `wall_base`."""
    if sheet_id == first_id:
        return ""
    return sheet_id.removeprefix(first_id).strip("_-") or sheet_id


def _sort(sheet: Scene) -> tuple[list[Group], list[list[Group]]]:
    """Groups of the page itself, and those that speak of each view: by the view's id in theirs, else the nearest."""
    page: list[Group] = []
    beside: list[list[Group]] = [[] for _ in sheet.views]
    boxes = [_box((view.group,)) for view in sheet.views]
    ids = [view.id for view in sheet.views]
    for group in sheet.sheet.items:
        if not isinstance(group, Group):
            page.append(Group("", (group,)))
        elif group.id in PAGE_GROUPS:
            page.append(group)
        else:
            named = [index for index, id in enumerate(ids) if id in group.id.split("_")]
            box = _box((group,))
            nearest = min(range(len(ids)), key=lambda index: boxes[index].distance(box))
            beside[named[0] if len(named) == 1 else nearest].append(group)
    return page, beside


def _box(groups: tuple[Group, ...]) -> _Box:
    box = _Box()
    stack: list[Any] = list(groups)
    while stack:
        match stack.pop():
            case Group(items=items):
                stack.extend(items)
            case Line(points=points) | Dots(centers=points):
                for point in points:
                    box.add(point)
            case Strokes(segments=segments):
                for start, end in segments:
                    box.add(start)
                    box.add(end)
            case Circle(center=center, radius=radius):
                box.add(center, radius)
            case Text(at=at):
                box.add(at)
    return box
