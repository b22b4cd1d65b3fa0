"""Where each layer of a wall lies across the drawing: shared by the vertical section and the plan cut.

Across the wall everything is measured in paper mm inward of the set-out face. A film keeps its true place and
thickness and is drawn as a line of fixed weight beside the face that it is stuck to; what the line covers is taken
from the hatch of the layer beside it, so that both survive printing.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from specgen.drawing.callouts import is_film
from specgen.errors import NotComputableError
from specgen.model.wall import Layer, Wall

CONTROL_WEIGHT = 0.70  # [mm]
SHEET_WEIGHT = 0.50  # a sheet or membrane that controls nothing [mm]
COATING_WEIGHT = 0.25  # paint and other finish films [mm]
COAT_WEIGHT = 0.25  # between coats of one group [mm]
COAT_HAIR = 0.13
LEAST_COAT = 0.6  # a coat that is thinner on paper takes hairs [mm]
GAP = 0.5  # between a coating's line and the face that it is on [mm]

CONTROL_DASHES: dict[str, tuple[float, ...]] = {
    "water": (),
    "air": (4.0, 1.2),
    "vapor": (4.0, 1.2, 0.7, 1.2),
}  # paper mm, on and off
CONTROL_LETTERS = {"water": "W", "air": "A", "vapor": "V", "thermal": "T"}

_MASONRY = ("block", "brick", "concrete", "stucco", "plaster", "mortar")
_BOARDS = ("wood-panel", "gypsum-sheathing", "gypsum-board", "fiberboard", "fiber-cement", "wood")


@dataclass(frozen=True, slots=True)
class Strip:
    """One layer on paper: its true faces, and for a film its line; all inward of the set-out face [mm]."""

    layer: Layer
    index: int
    outer: float
    inner: float
    is_film: bool
    line: float = 0.0  # middle of a film's line
    weight: float = 0.0  # weight of a film's line
    dash: tuple[float, ...] = ()
    hatch_outer: float = 0.0  # what the lines of neighboring films leave for the hatch
    hatch_inner: float = 0.0

    @property
    def middle(self) -> float:
        """Where a leader's dot sits: mid-thickness, or on the line of a film [mm]."""
        return self.line if self.is_film else (self.outer + self.inner) / 2


def strips(wall: Wall, mm_per_m: float) -> tuple[Strip, ...]:
    """All layers of a wall on paper, exterior first.

    Parameters
    ----------
    wall : Wall
        The wall.
    mm_per_m : float
        Paper length of one meter of wall, 1000 / ratio. [mm]

    Raises
    ------
    NotComputableError
        If every layer is a film: there is no thickness to draw.
    """
    if all(is_film(layer) for layer in wall.layers):
        raise NotComputableError(f"wall {wall.name!r} cannot be drawn: all its layers are films")
    faces = [(face - wall.datum_position) * mm_per_m for face in wall.faces]
    placed = [
        Strip(
            layer,
            index,
            faces[index],
            faces[index + 1],
            is_film(layer),
            hatch_outer=faces[index],
            hatch_inner=faces[index + 1],
        )
        for index, layer in enumerate(wall.layers)
    ]
    for run in _film_runs(wall):
        _seat(placed, run)
    return tuple(placed)


def control_dash(layer: Layer) -> tuple[float, ...]:
    """Dash of a control line: that of the first of water, air, vapor which the layer controls."""
    return next((dash for control, dash in CONTROL_DASHES.items() if control in layer.controls), ())


def control_letters(layer: Layer) -> str:
    """`W·A·V` of what the layer controls, without thermal, which has a bracket of its own."""
    return "·".join(CONTROL_LETTERS[name] for name in ("water", "air", "vapor") if name in layer.controls)


def core_index(wall: Wall) -> int:
    """Index of what carries: block, brick or concrete in a mass wall, the studs in a framed one, else the thickest."""
    indices = range(len(wall.layers))
    if wall.construction == "framed":
        framed = [index for index in indices if wall.layers[index].framing]
    else:
        framed = [
            index
            for index in indices
            if wall.layers[index].unit
            or (wall.layers[index].material is not None and _kind(wall.layers[index]) in ("block", "concrete"))
        ]
    return max(framed or indices, key=lambda index: wall.layers[index].depth)


def backing_index(wall: Wall) -> int:
    """Index of the outermost layer that stands on the floor with the core: structural sheathing, else the core."""
    index = core_index(wall)
    if wall.construction == "framed":
        while index > 0 and _kind(wall.layers[index - 1]) in _BOARDS and not is_film(wall.layers[index - 1]):
            if "thermal" in wall.layers[index - 1].controls:
                break  # a board that insulates hangs in front of the floor
            index -= 1
            if wall.layers[index].exposure:
                return index + 1
    return index


def coat_weight(wall: Wall, layer: Layer, mm_per_m: float) -> float:
    """Weight of the outlines of a group's coats: hairs where one is so thin that its two lines would close up [mm]."""
    thinnest = min(other.depth for other in wall.layers if other.group == layer.group)
    return COAT_WEIGHT if thinnest * mm_per_m >= LEAST_COAT else COAT_HAIR


def is_siding(layer: Layer) -> bool:
    """Boards that lap: each leans on the one below."""
    return layer.exposure is not None and not is_film(layer)


def _kind(layer: Layer) -> str:
    material = layer.material
    return material.kind if material else ""


def _film_runs(wall: Wall) -> list[range]:
    runs: list[range] = []
    for index, layer in enumerate(wall.layers):
        if not is_film(layer):
            continue
        if runs and runs[-1].stop == index:
            runs[-1] = range(runs[-1].start, index + 1)
        else:
            runs.append(range(index, index + 1))
    return runs


def _seat(placed: list[Strip], run: range) -> None:
    """Give each film of a run its line, from the face that carries it outward or inward."""
    outside = placed[run.start - 1] if run.start > 0 else None
    inside = placed[run.stop] if run.stop < len(placed) else None
    outward = outside is None or (inside is not None and _seat_rank(inside.layer) >= _seat_rank(outside.layer))
    order = list(reversed(run)) if outward else list(run)
    direction = -1.0 if outward else 1.0
    reach = placed[run.stop - 1].inner if outward else placed[run.start].outer
    exposed = outside is None or inside is None
    for index in order:
        strip = placed[index]
        weight, gap = _film_line(strip.layer, exposed or index != order[0])
        line = reach + direction * (gap + weight / 2)
        placed[index] = replace(strip, line=line, weight=weight, dash=control_dash(strip.layer))
        reach = line + direction * weight / 2
    if outward and outside is not None:
        placed[run.start - 1] = replace(outside, hatch_inner=max(outside.hatch_outer, min(outside.hatch_inner, reach)))
    if not outward and inside is not None:
        placed[run.stop] = replace(inside, hatch_outer=min(inside.hatch_inner, max(inside.hatch_outer, reach)))


def _film_line(layer: Layer, gapped: bool) -> tuple[float, float]:
    """Weight of a film's line, and the white before it."""
    if control_letters(layer):
        return CONTROL_WEIGHT, 0.0
    if _kind(layer) in ("membrane", "sheet", "metal"):
        return SHEET_WEIGHT, 0.0 if not gapped else 0.3
    return COATING_WEIGHT, GAP if gapped else 0.0


def _seat_rank(layer: Layer) -> int:
    """How likely a film is stuck to this neighbor: masonry before boards before soft or open layers."""
    kind = _kind(layer)
    if layer.unit or kind in _MASONRY:
        return 3
    if kind in _BOARDS:
        return 2
    return 1 if layer.framing is None and kind else 0
