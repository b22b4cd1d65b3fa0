"""A scene: everything on one drawing or fixed page, in paper mm, unrounded; writers only spell it.

x grows to the right, y grows downward, the origin is the sheet's upper left corner. Text is placed by its
baseline; its size is the CAPITAL height in mm. Nothing is said by color: `ink` is black or the one gray.
Curves arrive as polylines, hatches as real segments clipped to their outline.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Literal

Point = tuple[float, float]
Ink = Literal["black", "gray", "white"]  # gray: 60 % black; white only masks


@dataclass(frozen=True, slots=True)
class Line:
    """A polyline. `weight` and `dash` in mm on paper; `fill` only for solid black, gray or white masks."""

    points: tuple[Point, ...]
    weight: float = 0.25
    dash: tuple[float, ...] = ()
    closed: bool = False
    ink: Ink = "black"
    fill: Ink | None = None
    stroked: bool = True


@dataclass(frozen=True, slots=True)
class Strokes:
    """Many unconnected segments of one weight: a hatch, already clipped."""

    segments: tuple[tuple[Point, Point], ...]
    weight: float = 0.18
    ink: Ink = "black"


@dataclass(frozen=True, slots=True)
class Dots:
    """Many filled dots of one radius: stipple, already clipped."""

    centers: tuple[Point, ...]
    radius: float = 0.11
    ink: Ink = "black"


@dataclass(frozen=True, slots=True)
class Circle:
    center: Point
    radius: float
    weight: float = 0.25
    ink: Ink = "black"
    fill: Ink | None = None
    stroked: bool = True


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text. `turn` in degrees, counter-clockwise as read on paper, about the anchor."""

    at: Point
    text: str
    size: float = 2.4  # capital height [mm]
    anchor: Literal["start", "middle", "end"] = "start"
    bold: bool = False
    ink: Ink = "black"
    turn: float = 0.0


@dataclass(frozen=True, slots=True)
class Group:
    """Items that belong together; `id` is unique in the scene, `title` is read out by assistive tools."""

    id: str
    items: tuple[Line | Strokes | Dots | Circle | Text | Group, ...]
    title: str = ""
    role: str = ""  # layer-outline, hatch, control, note, leader, dimension, frame, beyond, base: for tests and DXF


@dataclass(frozen=True, slots=True)
class View:
    """One drawing on the sheet with its own scale: paper = actual / ratio."""

    id: str  # "section", "plan", "base"
    title: str
    ratio: float  # 8 for 1-1/2" = 1'-0"
    scale_text: str  # `1½″ = 1′-0″`
    origin: Point  # set-out datum on paper [mm]
    group: Group
    block_name: str = ""


@dataclass(frozen=True, slots=True)
class Scene:
    """One sheet or fixed page."""

    id: str
    title: str
    description: str  # layers exterior to interior in words, for assistive tools
    width: float  # [mm]
    height: float  # [mm]
    views: tuple[View, ...] = ()
    sheet: Group = field(default_factory=lambda: Group("sheet", ()))  # titles, notes, frame: what is in no view

    def walk(self) -> Iterator[Line | Strokes | Dots | Circle | Text | Group]:
        """Every item and group in drawing order, groups before their items."""
        stack: list[Line | Strokes | Dots | Circle | Text | Group] = [self.sheet]
        stack[:0] = [view.group for view in self.views]
        while stack:
            item = stack.pop(0)
            yield item
            if isinstance(item, Group):
                stack[:0] = item.items
