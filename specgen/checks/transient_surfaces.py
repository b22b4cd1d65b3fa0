"""Which faces of a simulated wall mold can grow on, by what stands there: the layer itself, or members beside it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

from specgen.checks.wall_problem import Run
from specgen.data import load_table
from specgen.model.material import Material
from specgen.model.wall import Layer, Wall


@dataclass(frozen=True, slots=True)
class Surface:
    """One probe of a run that lies on something to eat."""

    probe: int  # index into the probes of the run
    layer: int  # index into `wall.layers`
    inner: bool
    material: str  # what feeds mold there, as it prints
    sensitivity: str
    decline: str
    source: str
    status: str
    classes: tuple[str, ...] = ()  # others that sources name


def surfaces(wall: Wall, run: Run) -> tuple[Surface, ...]:
    """Every sensitive face inboard of the drained plane, exterior first.

    A layer that fills a cavity counts with its members: they meet the same planes as the fill.

    Parameters
    ----------
    wall : Wall
        As it was run.
    run : Run
        Its simulated layers and probes.
    """
    found = []
    for probe, (simulated, place) in enumerate(run.probes):
        if simulated < run.drained:
            continue
        index, inner = run.layers[simulated], place > 0.5
        row, material = _most_sensitive(wall.layers[index], inner)
        if row and material:
            decline = load_table("mold_surfaces")["decline"]
            title = material.label if material is not _framing(wall.layers[index]) else f"{material.label} (members)"
            others = tuple(row.get("range", ()))
            found.append(
                Surface(probe, index, inner, title, row["class"], decline, row["source"], row["status"], others)
            )  # fmt: skip
    return tuple(found)


def _framing(layer: Layer) -> Material | None:
    return layer.framing.material if layer.framing else None


ORDER = ("very sensitive", "sensitive", "medium resistant", "resistant")


def _most_sensitive(layer: Layer, inner: bool) -> tuple[dict[str, Any] | None, Material | None]:
    """The row of the layer's own material, its fill or its members, whichever grows mold most readily."""
    parts = [part for part in (layer.material, layer.fill, _framing(layer)) if part is not None]
    rows = [(row, part) for part in parts if (row := surface_row(part, inner)) is not None]
    return min(rows, key=lambda pair: ORDER.index(pair[0]["class"])) if rows else (None, None)


@cache
def _rows() -> tuple[dict[str, Any], ...]:
    return tuple(load_table("mold_surfaces")["rows"])


def surface_row(material: Material, inner: bool = True) -> dict[str, Any] | None:
    """The row of `data/mold_surfaces.yaml` that fits a material, None if it feeds nothing.

    Parameters
    ----------
    material : Material
        Of a layer, a fill or members.
    inner : bool
        The face toward the room; a batt wears its facing there.
    """
    return next((row for row in _rows() if _fits(row, material, inner)), None)


def _fits(row: dict[str, Any], material: Material, inner: bool) -> bool:
    wanted = {
        "kind": material.kind,
        "facing": material.facing,
        "treated": material.treated,
        "wood_based": material.wood_based,
        "sensitive": material.moisture_sensitive,
    }
    return all(row[key] == value for key, value in wanted.items() if key in row) and (inner or not row.get("inner"))
