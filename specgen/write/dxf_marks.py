"""Dots and strokes of hatches for a DXF file, each written in one piece.

A wall has thousands of them, alike but for their place. The library asks for each of some twenty attributes whether
to write it; these two know which they have. The bytes are those that the library would write.
"""

from __future__ import annotations

from ezdxf.entities import factory
from ezdxf.entities.circle import Circle
from ezdxf.entities.line import Line
from ezdxf.layouts.blocklayout import BlockLayout
from ezdxf.layouts.layout import Modelspace
from ezdxf.lldxf.tagwriter import AbstractTagWriter
from ezdxf.math import Vec3

from specgen.model.scene import Point


def add_dot(target: BlockLayout | Modelspace, center: Point, radius: float, layer: str) -> None:
    """A small circle of a stipple.

    Parameters
    ----------
    target : BlockLayout or Modelspace
        Where it is added.
    center : (float, float)
        In units of the file. [-]
    radius : float
        In units of the file. [-]
    layer : str
        Its layer; all else is by layer.
    """
    dot = _Dot()
    dot.dxf.unprotected_set("center", Vec3(center))
    dot.dxf.unprotected_set("radius", radius)
    _add(target, dot, layer)


def add_stroke(target: BlockLayout | Modelspace, start: Point, end: Point, layer: str) -> None:
    """One line of a hatch.

    Parameters
    ----------
    target : BlockLayout or Modelspace
        Where it is added.
    start, end : (float, float)
        In units of the file. [-]
    layer : str
        Its layer; all else is by layer.
    """
    stroke = _Stroke()
    stroke.dxf.unprotected_set("start", Vec3(start))
    stroke.dxf.unprotected_set("end", Vec3(end))
    _add(target, stroke, layer)


class _Dot(Circle):
    def export_dxf(self, tagwriter: AbstractTagWriter) -> None:
        dxf = self.dxf
        x, y, z = dxf.center
        tagwriter.write_str(
            f"  0\nCIRCLE\n  5\n{dxf.handle}\n330\n{dxf.owner}\n100\nAcDbEntity\n  8\n{dxf.layer}\n100\nAcDbCircle\n"
            f" 10\n{x}\n 20\n{y}\n 30\n{z}\n 40\n{dxf.radius}\n"
        )


class _Stroke(Line):
    def export_dxf(self, tagwriter: AbstractTagWriter) -> None:
        dxf = self.dxf
        (x0, y0, z0), (x1, y1, z1) = dxf.start, dxf.end
        tagwriter.write_str(
            f"  0\nLINE\n  5\n{dxf.handle}\n330\n{dxf.owner}\n100\nAcDbEntity\n  8\n{dxf.layer}\n100\nAcDbLine\n"
            f" 10\n{x0}\n 20\n{y0}\n 30\n{z0}\n 11\n{x1}\n 21\n{y1}\n 31\n{z1}\n"
        )


def _add(target: BlockLayout | Modelspace, mark: Circle | Line, layer: str) -> None:
    """The layer's name is one of our own table, so it is not held against the rules for names each time."""
    assert target.doc is not None
    mark.dxf.unprotected_set("layer", layer)
    factory.bind(mark, target.doc)
    target.add_entity(mark)
