"""The cautions of one wall: the usual ones that its materials and construction call up, and those its file adds."""

from __future__ import annotations

from typing import Any

from specgen.data import load_table
from specgen.model.material import Material
from specgen.model.wall import Caution, Wall

GRAVE = 6  # the first so many usual cautions are about losing one's life at once; a wall's own come after them


def wall_cautions(wall: Wall) -> tuple[Caution, ...]:
    """All cautions of a wall, most serious first; one of the wall's own replaces a usual one of the same word."""
    own = {caution.word.lower() for caution in wall.cautions}
    called: list[Caution] = []
    grave = 0
    for rank, row in enumerate(load_table("cautions")["rows"]):
        if _called_up(row["when"], wall) and row["word"].lower() not in own:
            fields = {name: row[name] for name in ("word", "do", "detail", "source", "status")}
            called.append(Caution.model_validate(fields))
            grave += rank < GRAVE
    return (*called[:grave], *wall.cautions, *called[grave:])


def wall_materials(wall: Wall) -> tuple[Material, ...]:
    """Every material of a wall's new layers: bodies, fills, members, grout, embedded parts."""
    found: list[Material | None] = []
    for layer in wall.layers:
        if layer.condition != "new":
            continue
        found += [layer.material, layer.fill, layer.framing.material if layer.framing else None]
        found += [layer.unit.grout.material if layer.unit and layer.unit.grout else None]
        found += [part.material for part in layer.embedded]
    return tuple(material for material in found if material)


def _called_up(when: dict[str, Any], wall: Wall) -> bool:
    materials = wall_materials(wall)
    fastenings = {f.type for layer in wall.layers for f in (layer.fastening, layer.ties) if f}
    fastenings |= {part.fastening.type for layer in wall.layers for part in layer.embedded if part.fastening}
    return bool(
        when.get("always")
        or any(set(when.get("hazards", ())) & set(material.hazards) for material in materials)
        or any(material.kind in when.get("kinds", ()) for material in materials)
        or wall.construction in when.get("constructions", ())
        or fastenings & set(when.get("fastenings", ()))
        or (when.get("existing") and any(layer.condition != "new" for layer in wall.layers))
    )
