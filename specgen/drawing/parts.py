"""Parts inside a layer: masonry units with shells, cores, joints and grout; lath and other embedded parts."""

from __future__ import annotations

import shapely

from specgen import units
from specgen.drawing.geometry import Frame, polygon
from specgen.drawing.hatch import Area, Marks, grout_stipple, hatch
from specgen.drawing.layout import Strip
from specgen.model.scene import Circle, Dots, Group, Line, Strokes, Text
from specgen.model.wall import Embedded

Item = Line | Strokes | Dots | Circle | Text | Group
Place = tuple[float, float]  # across the wall and along it [mm]

JOINT = 0.25  # bed joint [mm]
SHELL = 0.35  # inner face of a face shell [mm]
METAL_INSET = 0.35  # of a formed member's line from the faces of its layer [mm]
LATH = 0.35
LATH_DASH = (1.1, 0.55)
# Where a unit does not state its own: common 8 in block (ASTM C90 least face shell 1-1/4 in; from memory).
DEFAULT_SHELL = 1.25 * units.INCH
DEFAULT_WEB = 1.0 * units.INCH


def shells(strip: Strip, frame: Frame) -> tuple[float, float]:
    """Thickness of one face shell and of one web on paper [mm]."""
    unit = strip.layer.unit
    assert unit is not None
    shell = frame.mm(unit.face_shell or DEFAULT_SHELL)
    return min(shell, (strip.inner - strip.outer) * 0.4), frame.mm(unit.web or DEFAULT_WEB)


def unit_joints(strip: Strip, frame: Frame, bottom: float, top: float, seed: str, prefix: str) -> list[Item]:
    """A unit cut through its cells: hatched shells, white or filled cores, bed joints on the module from the floor."""
    layer = strip.layer
    unit = layer.unit
    assert unit is not None and layer.material is not None
    module, joint = frame.mm(unit.height + unit.joint), frame.mm(unit.joint)
    courses = _courses(bottom, top, module, joint)
    if not unit.hollow:
        items: list[Item] = [
            *(
                _filled(strip, frame, strip.outer, strip.inner, low, high, seed, f"{prefix}_course{number}_hatch")
                for number, (low, high) in enumerate(courses)
            )
        ]
        return [*items, Group(f"{prefix}_joints", tuple(_bed_joints(strip, frame, courses, full=True)), "", "joint")]
    shell, _ = shells(strip, frame)
    hatches: list[Item] = []
    lines: list[Item] = []
    for number, (low, high) in enumerate(courses):
        for side, (start, end) in enumerate(((strip.outer, strip.outer + shell), (strip.inner - shell, strip.inner))):
            hatches.append(_filled(strip, frame, start, end, low, high, seed, f"{prefix}_shell{side}_{number}"))
    hatches += _cores(strip, frame, courses, shell, bottom, top, seed, prefix)
    for start in (strip.outer + shell, strip.inner - shell):
        lines.append(Line((frame.place(start, bottom), frame.place(start, top)), SHELL))
    lines += _bed_joints(strip, frame, courses, full=False)
    return [*hatches, Group(f"{prefix}_joints", tuple(lines), "", "joint")]


def formed_member(strip: Strip, profile: str, start: float, end: float, outside: bool) -> tuple[Place, ...]:
    """Path of a formed metal member cut across: cee, hat or zee, as places across the wall and along it [mm].

    A hat's feet lie on what carries it: on the inner side outside of the structure, on the outer side inside of it.
    """
    outer, inner = strip.outer + METAL_INSET, strip.inner - METAL_INSET
    foot, crown = (inner, outer) if outside else (outer, inner)
    lip, middle = 0.22 * (end - start), (start + end) / 2
    paths: dict[str, tuple[Place, ...]] = {
        "cee": ((outer + 1.0, end), (outer, end), (outer, start), (inner, start), (inner, end), (inner - 1.0, end)),
        "hat": ((foot, start), (foot, start + lip), (crown, start + 1.4 * lip), (crown, end - 1.4 * lip),
                (foot, end - lip), (foot, end)),
        "zee": ((outer, start), (outer, middle), (inner, middle), (inner, end)),
    }  # fmt: skip
    return paths[profile]


def embedded_lines(part: Embedded, across: float, frame: Frame, low: float, high: float, group_id: str) -> Group:
    """Lath, mesh or bars along a layer: a broken line on white, since it is seen edge-on."""
    ends = (frame.place(across, high), frame.place(across, low))
    return Group(group_id, (Line(ends, LATH, LATH_DASH),), part.material.label, "embedded")


def _courses(bottom: float, top: float, module: float, joint: float) -> list[tuple[float, float]]:
    """Bodies of the courses between their bed joints; the floor is the underside of a bed joint."""
    found = []
    number = int(bottom // module) - 1
    while number * module < top:
        low, high = number * module + joint, (number + 1) * module
        low, high = max(low, bottom), min(high, top)
        if high - low > 0.05:
            found.append((low, high))
        number += 1
    return found


def _filled(
    strip: Strip, frame: Frame, start: float, end: float, low: float, high: float, seed: str, group_id: str
) -> Group:
    material = strip.layer.material
    assert material is not None
    region = polygon(frame.box(start, end, low, high))
    return Group(group_id, hatch(material.kind, _area(region, frame, f"{seed}/{group_id}")), "", "hatch")


def _cores(
    strip: Strip,
    frame: Frame,
    courses: list[tuple[float, float]],
    shell: float,
    bottom: float,
    top: float,
    seed: str,
    prefix: str,
) -> list[Item]:
    """Grouted courses as the wall states them, then the fill of the other cores."""
    layer = strip.layer
    assert layer.unit is not None
    grout, fill = layer.unit.grout, layer.fill
    start, end = strip.outer + shell, strip.inner - shell
    module = frame.mm(layer.unit.height + layer.unit.joint)
    items: list[Item] = []
    for number, (low, high) in enumerate(courses):
        grouted = grout is not None and (
            grout.solid or _is_bond_course(low, high, module, grout.horizontal_spacing, frame)
        )
        region = polygon(frame.box(start, end, low, high))
        area = _area(region, frame, f"{seed}/{prefix}/core{number}")
        marks: Marks = ()
        if grouted:
            marks = grout_stipple(area)
        elif fill is not None:
            marks = hatch(fill.kind, area)
        if marks:
            items.append(Group(f"{prefix}_core{number}", marks, "", "hatch"))
        if grouted and grout is not None and not grout.solid:
            edges = [Line((frame.place(start, level), frame.place(end, level)), JOINT) for level in (low, high)]
            items.append(Group(f"{prefix}_bond{number}", tuple(edges), "Grouted course", "joint"))
    return items


def _is_bond_course(low: float, high: float, module: float, spacing: float | None, frame: Frame) -> bool:
    """The course right under the floor, and from it up at the stated spacing."""
    if spacing is None:
        return False
    course = round((high - module) / module) if high > 0 else (-1 if high > -0.1 else -9)
    every = max(1, round(frame.mm(spacing) / module))
    return course >= -1 and (course + 1) % every == 0 and high - low > 0.5 * module


def _bed_joints(strip: Strip, frame: Frame, courses: list[tuple[float, float]], full: bool) -> list[Item]:
    """Both edges of each bed joint: on the shells, and in gray the web's joint beyond."""
    items: list[Item] = []
    if full:
        for low, high in courses:
            for level in (low, high):
                items.append(Line((frame.place(strip.outer, level), frame.place(strip.inner, level)), JOINT))
        return items
    shell, _ = shells(strip, frame)
    for low, high in courses:
        for level in (low, high):
            for start, end in ((strip.outer, strip.outer + shell), (strip.inner - shell, strip.inner)):
                items.append(Line((frame.place(start, level), frame.place(end, level)), JOINT))
            inner = (frame.place(strip.outer + shell, level), frame.place(strip.inner - shell, level))
            items.append(Line(inner, 0.18, ink="gray"))
    return items


def _area(region: shapely.Polygon, frame: Frame, seed: str) -> Area:
    x0, y0, x1, y1 = region.bounds
    return Area(region, (x0, y0), (x1, y1), frame.origin, seed, not frame.turned, frame.mm_per_inch)
