"""A scene as SVG: 1 user unit is 1 mm, every number rounded once, here. The writer decides nothing.

The group of a layer in the vertical section keeps the layer's id; every other id is prefixed with the scene's, so that
several drawings can share one web page. Same scene, same bytes.
"""

from __future__ import annotations

import re
from typing import Any

import svgwrite
from svgwrite.base import BaseElement
from svgwrite.container import Group as SvgGroup

from specgen.drawing import type as type_metrics
from specgen.model.scene import Circle, Dots, Group, Line, Point, Scene, Strokes, Text

DECIMALS = 3
FONT_FAMILY = f"'{type_metrics.FAMILY}', 'Source Sans 3', 'Noto Sans', Arial, sans-serif"
INKS = {"black": "#000000", "gray": "#666666", "white": "#ffffff"}  # gray: 60 % black
# What XML 1.0 does not allow at all; svgwrite would pass it on.
_CONTROL = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff\ufffe\uffff]")

Item = Line | Strokes | Dots | Circle | Text | Group


def write_svg(scene: Scene, language: str = "en-US") -> str:
    """The scene as the text of one SVG file, ending in a newline.

    Raises
    ------
    MissingGlyphError
        If a text holds a character that the typeface lacks.
    """
    drawing = svgwrite.Drawing(
        size=(f"{_number(scene.width)}mm", f"{_number(scene.height)}mm"),
        viewBox=f"0 0 {_number(scene.width)} {_number(scene.height)}",
        debug=False,  # its validator refuses role and aria attributes
    )
    writer = _Writer(drawing, _safe_id(scene.id))
    title_id, description_id = f"{writer.prefix}-title", f"{writer.prefix}-desc"
    drawing.attribs.update({"role": "img", "aria-labelledby": f"{title_id} {description_id}", "xml:lang": language})
    drawing.elements.insert(0, _Words("title", scene.title, title_id))
    drawing.elements.insert(1, _Words("desc", scene.description, description_id))
    root = SvgGroup(
        id=writer.new_id(f"{writer.prefix}-drawing"),
        font_family=FONT_FAMILY,
        fill="none",
        stroke="none",
        stroke_linejoin="miter",
        debug=False,
    )
    root.add(drawing.rect((0, 0), (_number(scene.width), _number(scene.height)), fill=INKS["white"]))
    for view in scene.views:
        root.add(writer.group(view.group, is_section=view.id == "section"))
    root.add(writer.group(scene.sheet, is_section=False))
    drawing.add(root)
    body = drawing.tostring()
    # One element per line: two issues of a drawing can then be compared line by line.
    body = re.sub(r">(?=<(?:g|/g|path|circle|rect|text|title|desc|/svg)\b)", ">\n", body)
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{body}\n'


class _Words(BaseElement):  # type: ignore[misc]
    """A title or desc with an id, which svgwrite's own cannot have."""

    def __init__(self, element_name: str, text: str, name: str = "") -> None:
        self.elementname = element_name
        super().__init__(debug=False, **({"id": name} if name else {}))
        self.words = _clean(text)

    def get_xml(self) -> Any:
        xml = super().get_xml()
        xml.text = self.words
        return xml


class _Writer:
    """Spells items; keeps the ids of one file unique."""

    def __init__(self, drawing: svgwrite.Drawing, prefix: str) -> None:
        self.drawing = drawing
        self.prefix = prefix
        self._ids = {f"{prefix}-title", f"{prefix}-desc"}

    def new_id(self, wanted: str) -> str:
        name, count = wanted, 1
        while name in self._ids:
            count += 1
            name = f"{wanted}_{count}"
        self._ids.add(name)
        return name

    def group(self, group: Group, is_section: bool) -> Any:
        layer_of_section = is_section and group.role == "layer"
        name = group.id if layer_of_section else f"{self.prefix}-{_safe_id(group.id)}"
        element = SvgGroup(id=self.new_id(name), debug=False)
        if group.title:
            element.add(_Words("title", group.title))
        for item in group.items:
            element.add(self.group(item, is_section) if isinstance(item, Group) else self.item(item))
        return element

    def item(self, item: Line | Strokes | Dots | Circle | Text) -> Any:
        match item:
            case Line():
                return self.line(item)
            case Strokes():
                data = "".join(f"M{_pair(start)}L{_pair(end)}" for start, end in item.segments)
                return self.path(data or "M0 0", stroke=INKS[item.ink], stroke_width=_number(item.weight))
            case Dots():
                # A line of no length with round ends is a dot, in a tenth of the bytes of a circle.
                data = "".join(f"M{_pair(center)}h.001" for center in item.centers)
                width = _number(2 * item.radius)
                return self.path(data or "M0 0", stroke=INKS[item.ink], stroke_width=width, stroke_linecap="round")
            case Circle():
                look = _look(item.stroked, item.weight, item.ink, item.fill)
                x, y = _number(item.center[0]), _number(item.center[1])
                return self.drawing.circle((x, y), _number(item.radius), **look)
            case Text():
                return self.text(item)

    def line(self, line: Line) -> Any:
        data = "M" + "L".join(_pair(point) for point in line.points) + ("Z" if line.closed else "")
        look = _look(line.stroked, line.weight, line.ink, line.fill)
        if line.dash and line.stroked:
            look["stroke_dasharray"] = " ".join(str(_number(part)) for part in line.dash)
        return self.path(data, **look)

    def path(self, data: str, **look: Any) -> Any:
        return self.drawing.path(d=data, **look)

    def text(self, text: Text) -> Any:
        type_metrics.check_glyphs(text.text, text.bold)
        size = type_metrics.font_size(text.size, text.bold)
        x, y = _number(text.at[0]), _number(text.at[1])
        look: dict[str, Any] = {"font_size": _number(size), "fill": INKS[text.ink]}
        if text.bold:
            look["font_weight"] = 600
        if text.anchor != "start":
            look["text_anchor"] = text.anchor
        if text.turn:
            look["transform"] = f"rotate({_number(-text.turn)} {x} {y})"
        runs = type_metrics.pieces(_clean(text.text), text.size, text.bold)
        if len(runs) == 1:
            return self.drawing.text(runs[0].text, insert=(x, y), **look)
        element = self.drawing.text("", insert=(x, y), **look)
        element.attribs["xml:space"] = "preserve"  # a blank at the end of a run is part of the text
        rise = 0.0
        for run in runs:
            # Relative steps keep the parts together even in a viewer's substitute typeface.
            step: dict[str, Any] = {}
            if run.rise != rise:
                step["dy"] = [_number(rise - run.rise)]
                rise = run.rise
            if run.scale != 1.0:
                step["font_size"] = _number(size * run.scale)
            if run.bold and not text.bold:
                step["font_weight"] = 600
            element.add(self.drawing.tspan(run.text, **step))
        return element


def _look(stroked: bool, weight: float, ink: str, fill: str | None) -> dict[str, Any]:
    look: dict[str, Any] = {}
    if fill:
        look["fill"] = INKS[fill]
    if stroked and weight > 0:
        look["stroke"] = INKS[ink]
        look["stroke_width"] = _number(weight)
    return look


def _pair(point: Point) -> str:
    return f"{_number(point[0])} {_number(point[1])}"


def _number(value: float) -> float | int:
    rounded = round(value, DECIMALS)
    whole = int(rounded)
    return whole if whole == rounded else rounded


def _clean(text: str) -> str:
    return _CONTROL.sub("", text)


def _safe_id(text: str) -> str:
    name = re.sub(r"[^A-Za-z0-9_.-]", "-", text)
    return name if name[:1].isalpha() or name[:1] == "_" else f"d-{name}"
