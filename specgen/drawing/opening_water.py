"""How water is turned out at an opening: each upper sheet laps over the one below it, and the sill stays open.

The membrane comes first, then the flange; at the sill the pan laps over the membrane below it, at the head the
membrane laps over the upper leg of the flashing.
"""

from __future__ import annotations

from specgen import units
from specgen.drawing.base import Item
from specgen.drawing.opening_cut import BACK_DAM, BUCK, FLANGE, SILL_RISE, STRIP_LAP, Cut
from specgen.model.scene import Circle, Group, Line, Point

DRIP = 0.3 * units.INCH


def film_lines(cut: Cut, index: int) -> list[Item]:
    """A film at the opening: the membrane around its edge, an inside coating onto the buck, others to the edge."""
    strip = cut.strips[index]
    near = cut.end(strip)
    if index == cut.membrane:
        if cut.side == "head":
            return [_line(cut, path, strip.weight, strip.dash) for path in _membrane_head(cut)]
        return [_line(cut, _membrane(cut), strip.weight, strip.dash)]
    path = [(strip.line, cut.into), (strip.line, near)]
    if index == cut.core + 1 and cut.buck and cut.setting != "buck-in-front" and cut.side != "sill":
        # An inside coating turns the masonry's edge and ends on the buck.
        edge = cut.core_end - strip.weight / 2
        path = [(strip.line, cut.into), (strip.line, edge), (buck_inner(cut) + 0.4, edge)]
    return [_line(cut, path, strip.weight, strip.dash)]


def buck_inner(cut: Cut) -> float:
    """Inner face of the buck: as deep as a rigid board leaves room to return, else as the wall that carries."""
    if cut.setting == "buck-in-front":
        return cut.strips[cut.backing].outer
    core = cut.strips[cut.core]
    return min(core.inner, cut.substrate + cut.mm(3.5 * units.INCH))


def sill_pan(cut: Cut) -> Group:
    """The pan: up at its back dam, down the slope, over the edge and over the membrane below."""
    half = cut.pan_weight / 2
    rise = cut.mm(SILL_RISE)
    edge, far = pan_edge(cut)
    path = [(cut.dam, -cut.mm(BACK_DAM)), (cut.dam, -rise - half), (edge, -half), (edge, far)]
    if cut.setting == "direct":
        nose = cut.clad_outer - cut.mm(1.0 * units.INCH)
        path = [
            (cut.dam, -cut.mm(BACK_DAM)),
            (cut.dam, -rise - half),
            (cut.substrate, -half),
            (nose, cut.mm(0.2 * units.INCH) - half),
        ]
    return Group("sill-pan", (_line(cut, path, cut.pan_weight),), "Sill pan with back dam", "base")


def pan_edge(cut: Cut) -> tuple[float, float]:
    """Where the pan's outer leg hangs, across the wall, and how far down it laps over the membrane."""
    under = cut.metal_weight if cut.brick else 0.0
    far = cut.mm(BUCK) * 0.8 if cut.behind else cut.mm(2.5 * units.INCH)
    return cut.front - under - cut.pan_weight / 2, far


def flange(cut: Cut) -> Group | None:
    """The window's flange, and at head and jamb the strip that ties it into the membrane; never at the sill."""
    if cut.setting == "direct":
        return None
    metal = cut.metal_weight
    inside = cut.front - (cut.pan_weight + (metal if cut.brick else 0.0) if cut.side == "sill" else 0.0)
    x, top = inside - metal / 2, cut.mm(FLANGE) - cut.gap
    items: list[Item] = [_line(cut, [(x, -cut.gap), (x, top)], metal)]
    if cut.side == "jamb":
        half = cut.pan_weight / 2
        over = inside - metal - half
        path = [(over, -cut.gap + 0.8), (over, top + 0.4), (inside - half, top + 1.0),
                (inside - half, top + cut.mm(STRIP_LAP))]  # fmt: skip
        items.append(_line(cut, path, cut.pan_weight))
    return Group(f"{cut.side}-flange", tuple(items), "Flange", "base")


def head_flashing(cut: Cut) -> Group:
    """Rigid flashing: upper leg behind the membrane, over the window's head, out past the cladding; end dam beyond."""
    metal = cut.metal_weight
    drip = cut.clad_outer - cut.mm(DRIP) - (cut.strips[0].inner - cut.strips[0].outer if cut.siding else 0.0)
    if cut.setting == "direct":
        return Group("head-flashing", (_drip_bead(cut),), "Drip bead", "base")
    if cut.brick:
        return Group("head-flashing", tuple(_lintel(cut, drip)), "Lintel and flashing", "base")
    x = leg_place(cut)
    low, high = cut.leg
    rest = -cut.gap + cut.mm(0.1 * units.INCH)
    path = [(x, high), (x, low)]
    if cut.behind:
        over = cut.front - metal * 1.5
        path = [(x, high), (x, low), (over, low - cut.mm(0.15 * units.INCH)), (over, rest)]
    else:
        path = [(x, high), (x, rest)]
    path += [(drip, rest - 0.5), (drip, rest - 0.5 - cut.mm(0.3 * units.INCH))]
    back = path[-3][0]
    dam = [
        (back, rest + cut.mm(0.7 * units.INCH)),
        (cut.clad_outer, rest + cut.mm(0.7 * units.INCH)),
        (cut.clad_outer, rest - 0.4),
    ]
    return Group(
        "head-flashing",
        (
            Line(tuple(cut.at(*point) for point in dam), 0.18, (1.2, 0.7), ink="gray"),
            _line(cut, path, max(metal, 0.35)),
        ),
        "Head flashing with end dam",
        "base",
    )


def leg_place(cut: Cut) -> float:
    """Middle of the head flashing's upper leg, across the wall."""
    metal = cut.metal_weight
    film = cut.film
    if cut.behind and film is not None:
        return film.line - film.weight / 2 - metal / 2
    return cut.front - metal - metal / 2


def sealants(cut: Cut) -> list[Group]:
    """Air seal inside all round; outside a joint on a backer rod at jambs, at the head if nothing drains there."""
    groups = [Group(f"{cut.side}-air_seal", _inner_seal(cut), "Interior air seal on a backer rod", "base")]
    if cut.side == "jamb" or (cut.side == "head" and (cut.setting == "direct" or cut.brick)):
        groups.append(Group(f"{cut.side}-sealant", _outer_seal(cut), "Sealant joint on a backer rod", "base"))
    return groups


def outer_seal_place(cut: Cut) -> tuple[float, float]:
    """Across the wall and along it: middle of the outer sealant."""
    return cut.frame_outer + 0.35 * cut.joint, -cut.gap + cut.joint / 2


def inner_seal_place(cut: Cut) -> tuple[float, float]:
    """Across the wall and along it: middle of the air seal at the inside edge of the frame."""
    return cut.frame_inner - 0.12 * cut.gap, -cut.gap / 2


def screens(cut: Cut) -> Group | None:
    """Insect screens across the open ends of a ventilated space, over and under the window."""
    if cut.side == "jamb" or cut.brick:
        return None
    lines: list[Item] = []
    for strip in cut.strips[cut.clad : cut.backing]:
        layer = strip.layer
        if layer.material is None and layer.cavity is not None and strip.inner - strip.outer > 0.8:
            s = cut.end(strip) + cut.mm(0.2 * units.INCH)
            ends = (cut.at(strip.outer, s), cut.at(strip.inner, s))
            lines.append(Line(ends, 0.35, (0.6, 0.4)))
    return Group(f"{cut.side}-screen", tuple(lines), "Insect screen", "base") if lines else None


def sill_flashing(cut: Cut) -> Group | None:
    """Under a brick sill: up behind the pan, across the space, out past the brick."""
    if cut.side != "sill" or not cut.brick:
        return None
    x = cut.front - cut.metal_weight / 2
    level = cut.rowlock_end - 0.4
    drip = cut.clad_outer - cut.mm(DRIP)
    path = [(x, cut.mm(0.6 * units.INCH)), (x, level - cut.mm(0.8 * units.INCH)), (cut.clad_inner, level),
            (drip, level), (drip - 0.5, level + 0.8)]  # fmt: skip
    return Group(
        "sill-flashing", (_line(cut, path, max(cut.metal_weight, 0.35)),), "Flashing under the brick sill", "base"
    )


def _line(cut: Cut, path: list[tuple[float, float]], weight: float, dash: tuple[float, ...] = ()) -> Line:
    return Line(tuple(cut.at(*point) for point in path), weight, dash)


def _membrane(cut: Cut) -> list[tuple[float, float]]:
    """Sill: to the edge, where the pan laps over it. Jamb: around the edge and inward past the window."""
    film = cut.film
    assert film is not None
    half = film.weight / 2
    path = [(film.line, cut.into)]
    face = film.line
    if cut.behind:
        face = cut.substrate - half
        buck = cut.mm(BUCK) + half
        path += [(film.line, buck), (face, buck)]
    if cut.side == "sill":
        return [*path, (face, cut.pan_weight)]
    return [*path, (face, -half), (cut.dam, -half)]


def _membrane_head(cut: Cut) -> list[list[tuple[float, float]]]:
    """Above: out over the flashing's upper leg. Behind the leg: on around the edge of the opening."""
    film = cut.film
    assert film is not None
    half = film.weight / 2
    low, high = leg_low(cut), cut.leg[1]
    if cut.brick:
        high = lintel_leg(cut)
    lap = leg_place(cut) - cut.metal_weight / 2 - half
    over = [(film.line, cut.into), (film.line, high + 1.4), (lap, high + 0.3), (lap, low)]
    around = [(film.line, high + 1.4), (film.line, -half), (cut.dam, -half)]
    if cut.behind:
        face, buck = cut.substrate - half, cut.mm(BUCK) + half
        around = [(film.line, high + 1.4), (film.line, buck), (face, buck), (face, -half), (cut.dam, -half)]
    return [over, around]


def leg_low(cut: Cut) -> float:
    """Where the membrane's lap over the upper leg ends."""
    low, high = cut.leg
    if cut.brick:
        high = lintel_leg(cut)
        low = high - cut.mm(2.5 * units.INCH)
    return low + 0.3 * (high - low)


def lintel_leg(cut: Cut) -> float:
    """Upper end of the flashing over a lintel."""
    return min(cut.buck + cut.mm(5.5 * units.INCH), cut.into - 4.0)


def _lintel(cut: Cut, drip: float) -> list[Item]:
    """Steel angle under the brick, and the flashing from the backing over it to a drip, its weep at the brick."""
    steel = cut.mm(0.3125 * units.INCH)
    bottom = -cut.gap + cut.joint
    toe, heel = cut.clad_outer + cut.mm(0.4 * units.INCH), cut.clad_inner + steel
    angle = [(toe, bottom), (heel, bottom), (heel, bottom + cut.mm(3.5 * units.INCH)),
             (cut.clad_inner, bottom + cut.mm(3.5 * units.INCH)), (cut.clad_inner, bottom + steel),
             (toe, bottom + steel)]  # fmt: skip
    x = leg_place(cut)
    top = bottom + cut.mm(3.5 * units.INCH) + 0.5
    over = heel + 0.35
    level = bottom + steel + 0.35
    path = [(x, lintel_leg(cut)), (x, top + cut.mm(0.9 * units.INCH)), (over, top), (cut.clad_inner - 0.35, top),
            (cut.clad_inner - 0.35, level), (drip, level), (drip - 0.4, level - 0.9)]  # fmt: skip
    weep = cut.box(cut.clad_outer, cut.clad_inner - 0.7, level + 0.3, level + 0.3 + cut.mm(0.375 * units.INCH))
    return [
        Line(tuple(cut.at(*point) for point in angle), 0.25, closed=True, fill="black"),
        Line(weep, 0.18, (1.2, 0.7), closed=True, fill="white"),
        _line(cut, path, 0.35),
    ]


def _drip_bead(cut: Cut) -> Line:
    """A bead with a lip below the stucco's edge."""
    outer, inner, s = cut.clad_outer, cut.clad_inner, cut.clad_end
    lip = cut.mm(0.25 * units.INCH)
    path = [(inner, s + cut.mm(1.0 * units.INCH)), (inner, s), (outer + 1.2, s), (outer + 0.3, s - lip),
            (outer, s - lip * 0.3), (outer, s + lip)]  # fmt: skip
    return _line(cut, path, 0.35)


def _rod(cut: Cut, across: float, s: float, radius: float) -> Circle:
    return Circle(cut.at(across, s), radius, 0.25, fill="white")


def _outer_seal(cut: Cut) -> tuple[Item, ...]:
    low, high = -cut.gap, -cut.gap + cut.joint
    start = cut.frame_outer + 0.1 * cut.joint
    depth = 0.5 * cut.joint
    radius = cut.joint * 0.5
    corners = _pinched(cut, start, start + depth, low, high)
    return _rod(cut, start + depth + radius * 0.8, (low + high) / 2, radius), Line(
        corners, 0.18, closed=True, fill="gray"
    )


def _inner_seal(cut: Cut) -> tuple[Item, ...]:
    end = cut.frame_inner
    depth = 0.28 * cut.gap
    radius = 0.46 * cut.gap
    rest = -0.35 if cut.side != "sill" else -0.2 * cut.gap
    corners = _pinched(cut, end - depth, end, -cut.gap, rest)
    middle = (-cut.gap + rest) / 2
    radius = min(radius, (cut.gap + rest) / 2)
    return _rod(cut, end - depth - radius * 0.8, middle, radius), Line(corners, 0.18, closed=True, fill="gray")


def _pinched(cut: Cut, outer: float, inner: float, low: float, high: float) -> tuple[Point, ...]:
    """Sealant between two sides: widest where it sticks, thin in the middle."""
    waist = 0.2 * (inner - outer)
    middle = (low + high) / 2
    return tuple(
        cut.at(*point)
        for point in (
            (outer, low), (outer + waist, middle), (outer, high), (inner, high), (inner - waist, middle), (inner, low),
        )
    )  # fmt: skip
