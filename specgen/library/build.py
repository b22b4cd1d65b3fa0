"""Plans that have passed every check to resolved walls: materials as objects, lengths in SI, the hash of all inputs."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from typing import Any

from specgen.library.read import Source
from specgen.library.resolve import Plan
from specgen.library.view import Entry
from specgen.model.base import Place
from specgen.model.material import Material
from specgen.model.wall import Caution, Layer, Step, Wall

# What a variant may give in place of the wall's own; its layers and installation stand in its plan already.
_REPLACED = ("suits", "explained", "base", "openings")


def build_walls(
    plans: Iterable[Plan], materials: Mapping[str, Material], fragments: Mapping[str, Source]
) -> tuple[Wall, ...]:
    """The resolved walls of one file: the wall itself, then its variants.

    Parameters
    ----------
    plans : iterable of Plan
        The wall's own plan first; all have passed every check.
    materials : mapping of str to Material
        The library's materials by id.
    fragments : mapping of str to Source
        The fragments that the file uses, for the hash.
    """
    base, *variants = plans
    names = tuple(plan.name for plan in variants)
    used: dict[str, Material] = {}
    drafts = []
    for plan in (base, *variants):
        owner = plan.variant or plan.wall
        fields = {key: value for key, value in plan.wall.data.items() if key not in ("schema", "variants")}
        if plan.variant:
            fields |= {key: plan.variant.data[key] for key in _REPLACED if plan.variant.get(key) is not None}
        fields |= {
            "layers": tuple(_layer(layer, materials, used) for layer in plan.layers),
            "installation": tuple(Step.model_validate(step.data) for step in plan.steps),
            "cautions": tuple(Caution.model_validate(caution.data) for caution in plan.cautions),
            "variant": plan.name,
            "variant_title": owner.text("title") if plan.variant else "",
            "variants": names,
            "place": _place(owner),
        }
        drafts.append(fields)
    content_hash = _content_hash(base.wall.source, fragments, used)
    return tuple(Wall.model_validate({**fields, "content_hash": content_hash}) for fields in drafts)


def _layer(entry: Entry, materials: Mapping[str, Material], used: dict[str, Material]) -> Layer:
    def material(name: str) -> Material:
        used[name] = materials[name]
        return materials[name]

    data: dict[str, Any] = {**entry.data, "place": _place(entry)}
    for key in ("material", "fill"):
        if data.get(key) is not None:
            data[key] = material(entry.text(key))
    if entry.has("framing"):
        data["framing"] = {**data["framing"], "material": material(entry.text("framing", "material"))}
    if entry.has("unit", "grout"):
        grout = {**data["unit"]["grout"], "material": material(entry.text("unit", "grout", "material"))}
        data["unit"] = {**data["unit"], "grout": grout}
    data["embedded"] = tuple(
        {**part.data, "material": material(part.text("material")), "place": _place(part)}
        for part in entry.entries("embedded")
    )
    return Layer.model_validate(data)


def _place(entry: Entry) -> Place:
    return Place(entry.source.file, *entry.source.place(entry.loc))


def _content_hash(wall: Source, fragments: Mapping[str, Source], materials: Mapping[str, Material]) -> str:
    """SHA-256 of all that a wall file depends on; the kind of line ending does not count."""
    digest = hashlib.sha256()
    for source in (wall, *(fragments[name] for name in sorted(fragments))):
        text = source.raw.replace(b"\r\n", b"\n")
        digest.update(b"%d\n" % len(text) + text)
    for name in sorted(materials):
        dump = materials[name].model_dump(mode="json", exclude_defaults=True)
        digest.update(json.dumps(dump, sort_keys=True, ensure_ascii=False).encode() + b"\n")
    return digest.hexdigest()
