"""A document as PDF: scenes drawn as vectors, flows set in pages and drawn the same way; bytes out, no disk.

Every page is a scene by the time it is drawn, so text, lines and fractions look alike in drawings and in prose.
Black and one gray only. The two weights of the typeface are embedded as subsets; the bytes depend on nothing but
the document: its own date stands in the file, no clock, no random id.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from reportlab import rl_config
from reportlab.lib.colors import Color
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from specgen.drawing.type import TAG, font_path, font_size, pieces, text_width
from specgen.model.document import Document
from specgen.model.scene import Circle, Dots, Group, Ink, Line, Point, Scene, Strokes, Text
from specgen.write.pages import MARK_ROLE, clean, set_pages

POINT = 72 / 25.4  # points in one mm
REGULAR, SEMIBOLD = "SpecgenRegular", "SpecgenSemibold"  # names in the font registry, not in the file
INKS: dict[Ink, Color] = {
    "black": Color(0, 0, 0),
    "gray": Color(0.4, 0.4, 0.4),
    "white": Color(1, 1, 1),
}
CREATOR = "specgen"
DRAFT_TEXT = "DRAFT – not for construction"
DRAFT_WORD = "DRAFT"  # a scene with a text that starts so carries its own mark
DRAFT_SIZE, DRAFT_BASELINE = 3.5, 9.6  # in the top margin, above anything that a page prints [mm]
MITER, BUTT, ROUND = 0, 0, 1


def write_pdf(document: Document) -> bytes:
    """The PDF file of a document: letter pages for flows, each scene on a page of its own size.

    Raises
    ------
    MissingGlyphError
        If a text holds a character that the typeface lacks.
    """
    _register_fonts()
    pages: list[Scene] = []
    for number, part in enumerate(document.parts, start=1):
        pages += [part] if isinstance(part, Scene) else set_pages(part, f"text-{number}", document.title)
    with _binary_streams():
        return _written(document, pages)


@contextmanager
def _binary_streams() -> Iterator[None]:
    """No text armor around the compressed streams: a fifth less to write; the library's setting is given back."""
    before = rl_config.useA85
    rl_config.useA85 = 0
    try:
        yield
    finally:
        rl_config.useA85 = before


def _written(document: Document, pages: list[Scene]) -> bytes:
    buffer = io.BytesIO()
    canvas = Canvas(buffer, invariant=1, pageCompression=1, pdfVersion=(1, 7), initialFontName=REGULAR, lang="en-US")
    _describe(canvas, document)
    outline = _Outline(canvas)
    for page in pages:
        canvas.setPageSize((page.width * POINT, page.height * POINT))
        _Pen(canvas, page.height, outline).draw_scene(page, draft=document.draft)
        canvas.showPage()
    canvas.save()
    return buffer.getvalue()


def _register_fonts() -> None:
    registered = set(pdfmetrics.getRegisteredFontNames())
    for name, bold in ((REGULAR, False), (SEMIBOLD, True)):
        if name not in registered:
            pdfmetrics.registerFont(TTFont(name, str(font_path(bold))))


def _describe(canvas: Canvas, document: Document) -> None:
    canvas.setTitle(clean(document.title))
    canvas.setSubject(clean(document.subject))
    canvas.setAuthor(clean(document.author) or CREATOR)
    canvas.setCreator(CREATOR)
    canvas.setProducer(CREATOR)
    digits = "".join(character for character in document.date if character.isdigit())
    stamp = (digits + "000000" if len(digits) == 8 else "20000101000000") + "+00'00'"
    canvas.setDateFormatter(lambda *_: f"D:{stamp}")


class _Outline:
    """Bookmarks in reading order; a level never jumps down by more than one."""

    def __init__(self, canvas: Canvas) -> None:
        self._canvas = canvas
        self._count = 0
        self._deepest = -1

    def add(self, title: str, level: int, top: float) -> None:
        level = min(level, self._deepest + 1)
        self._deepest = level
        self._count += 1
        key = f"mark-{self._count}"
        self._canvas.bookmarkHorizontal(key, 0, top)
        self._canvas.addOutlineEntry(clean(title), key, level=level, closed=level > 0)


class _Path:
    """A path already spelled: the library's own asks a slow number formatter for each point."""

    def __init__(self, parts: list[str]) -> None:
        self._parts = parts

    def getCode(self) -> str:  # noqa: N802  the name that the canvas calls
        return " ".join(self._parts)


class _Pen:
    """Draws scene items, mm with y downward, on a canvas of points with y upward."""

    def __init__(self, canvas: Canvas, height: float, outline: _Outline) -> None:
        self._canvas = canvas
        self._height = height
        self._outline = outline
        self._pen_of: tuple[float, Ink, tuple[float, ...], int] | None = None  # as the page has it now

    def draw_scene(self, scene: Scene, draft: bool) -> None:
        marked = False
        is_text_page = any(isinstance(item, Group) and item.role.startswith(MARK_ROLE) for item in scene.walk())
        if not is_text_page and scene.title and not scene.id.startswith("text-"):
            self._outline.add(scene.title, 0, self._height * POINT)
        for item in scene.walk():
            if isinstance(item, Group):
                if item.role.startswith(MARK_ROLE):
                    first = next((part for part in item.items if isinstance(part, Text)), None)
                    top = self._y((first.at[1] if first else 0.0) - 8)
                    self._outline.add(item.title, int(item.role.rpartition("-")[2]), top)
            else:
                marked = marked or (isinstance(item, Text) and item.text.startswith(DRAFT_WORD))
                self._draw(item)
        if draft and not marked:
            size = DRAFT_SIZE if scene.width < 300 else TAG
            self._draw(Text((scene.width / 2, DRAFT_BASELINE), DRAFT_TEXT, size, "middle", bold=True, ink="gray"))

    def _draw(self, item: Line | Strokes | Dots | Circle | Text) -> None:
        if isinstance(item, Text):
            self._text(item)
        elif isinstance(item, Line):
            self._line(item)
        elif isinstance(item, Strokes):
            self._strokes(item)
        elif isinstance(item, Dots):
            self._dots(item)
        else:
            self._circle(item)

    def _y(self, y: float) -> float:
        return (self._height - y) * POINT

    def _at(self, point: Point, operator: str) -> str:
        """A point as the file writes it; to 1/1000 pt, which is far below what any device shows."""
        return f"{point[0] * POINT:.3f} {self._y(point[1]):.3f} {operator}"

    def _stroke(self, weight: float, ink: Ink, dash: tuple[float, ...] = (), cap: int = BUTT) -> None:
        """Set the pen, if it is not set so already: most marks follow their like."""
        if self._pen_of == (weight, ink, dash, cap):
            return
        self._pen_of = (weight, ink, dash, cap)
        canvas = self._canvas
        canvas.setLineWidth(weight * POINT)
        canvas.setStrokeColor(INKS[ink])
        canvas.setDash([part * POINT for part in dash], 0)
        canvas.setLineCap(cap)
        canvas.setLineJoin(MITER)

    def _line(self, line: Line) -> None:
        if len(line.points) < 2:
            return
        self._stroke(line.weight, line.ink, line.dash)
        first, *more = line.points
        path = _Path([self._at(first, "m"), *(self._at(point, "l") for point in more), *(["h"] if line.closed else [])])
        if line.fill:
            self._canvas.setFillColor(INKS[line.fill])
        self._canvas.drawPath(path, stroke=int(line.stroked and line.weight > 0), fill=int(line.fill is not None))

    def _strokes(self, strokes: Strokes) -> None:
        if not strokes.segments:
            return
        self._stroke(strokes.weight, strokes.ink)
        path = [f"{self._at(start, 'm')} {self._at(end, 'l')}" for start, end in strokes.segments]
        self._canvas.drawPath(_Path(path), stroke=1, fill=0)

    def _dots(self, dots: Dots) -> None:
        """Points of a round pen: the shortest way to write a stipple."""
        if not dots.centers:
            return
        self._stroke(2 * dots.radius, dots.ink, cap=ROUND)
        path = [f"{self._at(center, 'm')} {self._at(center, 'l')}" for center in dots.centers]
        self._canvas.drawPath(_Path(path), stroke=1, fill=0)

    def _circle(self, circle: Circle) -> None:
        self._stroke(circle.weight, circle.ink)
        if circle.fill:
            self._canvas.setFillColor(INKS[circle.fill])
        x, y = circle.center
        self._canvas.circle(
            x * POINT, self._y(y), circle.radius * POINT, stroke=int(circle.stroked), fill=int(circle.fill is not None)
        )

    def _text(self, item: Text) -> None:
        text = clean(item.text)
        if not text.strip():
            return
        canvas = self._canvas
        width = text_width(text, item.size, item.bold)
        start = {"start": 0.0, "middle": -width / 2, "end": -width}[item.anchor]
        canvas.setFillColor(INKS[item.ink])
        x, y = item.at[0] * POINT, self._y(item.at[1])
        if item.turn:
            canvas.saveState()
            canvas.translate(x, y)
            canvas.rotate(item.turn)
            x = y = 0.0
        line: Any = canvas.beginText(x + start * POINT, y)
        for piece in pieces(text, item.size, item.bold):
            size = font_size(item.size, piece.bold) * piece.scale
            line.setTextOrigin(x + (start + piece.dx) * POINT, y + piece.rise * POINT)
            line.setFont(SEMIBOLD if piece.bold else REGULAR, size * POINT)
            line.textOut(piece.text)
        canvas.drawText(line)
        if item.turn:
            canvas.restoreState()
