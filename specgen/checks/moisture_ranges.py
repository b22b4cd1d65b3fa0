"""How far the permeance of a layer may lie from its stated value where sources disagree: `data/hygrothermal.yaml`."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

from specgen import units
from specgen.checks.layers import planes_of
from specgen.checks.moisture_materials import Range
from specgen.data import load_table
from specgen.model.base import Status
from specgen.model.material import Material, uncapped
from specgen.model.wall import Layer, Wall

MILLIMETER = 1e-3


@dataclass(frozen=True, slots=True)
class Spread:
    """Factors on the stated permeance of a layer that lead to both ends of its range."""

    row: int  # of the table
    dry: tuple[float, float]
    wet: tuple[float, float]

    def factors(self, end: Range) -> tuple[float, float]:
        """On the dry and on the wet cup."""
        if end == "value":
            return 1.0, 1.0
        place = 0 if end == "low" else 1
        return self.dry[place], self.wet[place]


@dataclass(frozen=True, slots=True)
class Input:
    """Layers whose permeance is one and the same figure, with its name."""

    name: str
    layers: tuple[int, ...]  # index into `wall.layers`


def spread(layer: Layer) -> Spread | None:
    """The range of a layer's permeance; None where none is stated, or where the material's own figure was tested.

    A stated value outside the range widens it.

    Parameters
    ----------
    layer : Layer
        Of a wall.

    Source
    ------
    `data/hygrothermal.yaml`, with a source and status for each row.
    """
    body = layer.material or layer.fill
    figure = (body.permeability or body.permeance) if body else None
    if body is None or figure is None or figure.status == Status.CONFIRMED or not figure.dry:
        return None
    for number, row in enumerate(_rows()):
        if not _fits(row, body):
            continue
        dry, wet = _stated(body, layer, row)
        if "between" in row and not row["between"][0] <= dry <= row["between"][1]:
            continue
        ends = min(row["dry"][0], dry) / dry, max(row["dry"][1], dry) / dry
        if "wet" not in row:
            return Spread(number, ends, ends)
        return Spread(number, ends, (min(row["wet"][0], wet) / wet, max(row["wet"][1], wet) / wet))
    return None


def inputs(wall: Wall) -> tuple[Input, ...]:
    """Every permeance of the wall that is not certain, exterior first; coats of one stucco in a row are one figure.

    Parameters
    ----------
    wall : Wall
        Resolved.
    """
    groups: list[tuple[int, list[int]]] = []
    for index, layer in enumerate(wall.layers):
        found = spread(layer)
        if found is None:
            continue
        if groups and groups[-1][0] == found.row and groups[-1][1][-1] == index - 1:
            groups[-1][1].append(index)
        else:
            groups.append((found.row, [index]))
    titles = [_title([wall.layers[index] for index in layers]) for _, layers in groups]
    return tuple(
        Input(title if titles.count(title) == 1 else f"{title} ({wall.layers[layers[0]].id})", tuple(layers))
        for title, (_, layers) in zip(titles, groups, strict=True)
    )


@cache
def _rows() -> tuple[dict[str, Any], ...]:
    return tuple(load_table("hygrothermal")["permeance"])


def _fits(row: dict[str, Any], body: Material) -> bool:
    name = body.storage or load_table("hygrothermal")["kinds"].get(body.kind)
    known = {"kind": body.kind, "facing": body.facing, "set": name, "film": body.film_forming}
    return all(row[key] == value for key, value in known.items() if key in row)


def _stated(body: Material, layer: Layer, row: dict[str, Any]) -> tuple[float, float]:
    """The material's own dry and wet cup at the thickness of the row, in perms; a film as it is applied."""
    thickness = row["at"] * MILLIMETER if "at" in row else body.permeance.thickness if body.permeance else None
    plane = planes_of(layer.model_copy(update={"thickness": thickness}))[-1]
    return plane.dry / units.PERM, plane.wet / units.PERM


def _title(layers: list[Layer]) -> str:
    """`OSB sheathing`, `latex paint`; several coats of one thing by its kind."""
    body = layers[0].material or layers[0].fill
    assert body is not None
    return uncapped(body.label if len(layers) == 1 else body.kind.replace("-", " "))
