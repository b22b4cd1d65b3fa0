"""Callouts: what each numbered part of a wall is called, once for drawing, crew page, schedule and specification.

One callout per group of coats, per layer outside a group, and per embedded part; 1..n from exterior to interior.
Wording order: size, material, condition that the part's function hangs on. Films are sized in mils.
"""

from __future__ import annotations

from dataclasses import dataclass

from specgen import units
from specgen.drawing.type import format_drawing_length, format_mils, format_spacing
from specgen.model.material import uncapped
from specgen.model.wall import Embedded, Layer, Wall

FILM_LIMIT = units.INCH / 16  # thinner parts are films: sized in mils, not dimensioned [m]

FURRING_LIMIT = 2.4 * units.INCH  # upright members of less depth are furring, not studs [m]

SKIN_LIMIT = units.INCH / 8  # a coating or membrane is drawn as a line up to this [m]
_SKINS = ("coating", "membrane", "sheet", "wall-covering")
_NUMBER_WORDS = ("no", "one", "two", "three", "four", "five", "six")
_CONDITIONS = {"new": "", "existing-to-remain": "existing, to remain", "existing-to-verify": "existing, to be verified"}
_SPACES = {"drained": "drained space", "ventilated": "ventilated space", "unventilated": "air space"}
_PROFILES = {"hat": "hat channels", "zee": "Z-furring", "cee": "steel studs"}
_SPARE_COAT_WORDS = frozenset({"coat", "stucco", "plaster", "render", "portland", "cement", "lime", "base"})


@dataclass(frozen=True, slots=True)
class Callout:
    """One numbered part. `note` is the whole line as it stands beside a drawing; the other texts are its parts."""

    number: int
    name: str  # the part that a table sets in Semibold: "Stucco", "2×6 studs"
    size: str  # "⅞″", "at 16″", "30 mil"; empty where a part has no size of its own
    detail: str  # "scratch ⅜″, brown ⅜″, finish ⅛″"; empty if the name says all
    note: str
    layer_ids: tuple[str, ...]  # the layers it speaks of, exterior first
    embedded_id: str = ""  # set for an embedded part; `layer_ids` then names the layer that holds it


def callouts(wall: Wall) -> tuple[Callout, ...]:
    """All callouts of a wall in the order of their numbers, exterior to interior."""
    found: list[Callout] = []
    for members in _grouped(wall):
        number = len(found) + 1
        found.append(_group_callout(number, members) if len(members) > 1 else _layer_callout(number, members[0]))
        for layer in members:
            for part in layer.embedded:
                found.append(_embedded_callout(len(found) + 1, layer, part))
    return tuple(found)


def is_film(layer: Layer) -> bool:
    """Drawn as a line instead of an area: all under 1/16 in, and coatings and membranes up to 1/8 in."""
    skin = layer.material is not None and layer.material.kind in _SKINS
    return layer.depth < (SKIN_LIMIT if skin else FILM_LIMIT)


def layer_name(layer: Layer) -> str:
    """What a layer is called, without its size: its own label, else its material's, else its members or space."""
    if layer.label:
        return layer.label
    if layer.framing:
        return _framing_name(layer)
    if layer.material:
        return layer.material.label
    if layer.fill:
        return layer.fill.label
    return _capital(_SPACES[layer.cavity.kind] if layer.cavity else "air space")


def coat_name(layer: Layer) -> str:
    """Name of a coat inside its group, `scratch` for a layer labeled `Stucco scratch coat`."""
    label = layer_name(layer)
    kept = [word for word in label.split() if word.lower().strip(",") not in _SPARE_COAT_WORDS]
    return uncapped(" ".join(kept)) if kept else uncapped(label)


def short_note(call: Callout) -> str:
    """Size and name alone, for a drawing whose full notes stand beside another: `⅞″ stucco`, `Membrane, 30 mil`."""
    if not call.size:
        return call.name
    sized_first = call.size[0].isnumeric() and "mil" not in call.size
    return (
        _sized(call.size, call.name)
        if sized_first
        else _join(" " if call.size[:2] == "at" else ", ", call.name, call.size)
    )


def size_text(thickness: float | None) -> str:
    """A thickness as a callout prints it: inches to 1/16, or to 1/32 where it is made so; mils for a film; else empty.

    Parameters
    ----------
    thickness : float or None
        > 0 where given. [m]
    """
    if not thickness:
        return ""
    if thickness < FILM_LIMIT:
        return format_mils(thickness)
    ticks = thickness / units.INCH * 32
    made_so = round(ticks) % 2 == 1 and abs(ticks - round(ticks)) < 1e-6  # a 15/32 in panel is not the 1/2 in one
    return format_drawing_length(thickness, 32 if made_so else 16)


def _grouped(wall: Wall) -> list[tuple[Layer, ...]]:
    runs: list[list[Layer]] = []
    for layer in wall.layers:
        if layer.group and runs and runs[-1][-1].group == layer.group:
            runs[-1].append(layer)
        else:
            runs.append([layer])
    return [tuple(run) for run in runs]


def _group_callout(number: int, members: tuple[Layer, ...]) -> Callout:
    first = members[0]
    name = first.group_title or layer_name(first)
    size = size_text(sum(layer.depth for layer in members))
    # Coats are named in the order in which they are applied, from the wall outward.
    coats = ", ".join(f"{coat_name(layer)} {size_text(layer.thickness)}".strip() for layer in reversed(members))
    detail = _join(", ", coats, _CONDITIONS[first.condition])
    note = f"{_sized(size, name)}: {detail}"
    return Callout(number, name, size, detail, note, tuple(layer.id for layer in members))


def _layer_callout(number: int, layer: Layer) -> Callout:
    name, condition = layer_name(layer), _CONDITIONS[layer.condition]
    if layer.framing:
        size = f"at {format_spacing(layer.framing.spacing)}"
        detail = _join(", ", _bay_text(layer), condition)
        note = _join("; ", f"{name} {size}", detail)
    elif layer.unit and layer.unit.hollow:
        size = f"{units.format_inches(layer.depth + layer.unit.joint)}″"  # masonry goes by its nominal size
        detail = _join(", ", _cells_text(layer), condition)
        note = _join("; ", _sized(size, name), detail)
    elif layer.thickness is None or layer.thickness < FILM_LIMIT:
        size = _film_size(layer)
        detail = _join(", ", _coats_text(layer), condition)
        note = _join(", ", name, size, detail)
    elif layer.exposure:
        size = size_text(layer.thickness)
        detail = _join(", ", f"{format_drawing_length(layer.exposure)} exposure", condition)
        note = _join(", ", name, size, detail)
    else:
        size = size_text(layer.thickness)
        detail = _join(", ", _ties_text(layer), _coats_text(layer), condition)
        note = _join(", ", _sized(size, name), detail)
    return Callout(number, name, size, detail, note, (layer.id,))


def _embedded_callout(number: int, layer: Layer, part: Embedded) -> Callout:
    name = part.material.label
    if layer.unit:
        detail = "in grouted cells" if layer.unit.hollow else "in the bed joints"
    else:
        detail = f"bedded in the {uncapped(layer.label or (layer.material.label if layer.material else 'layer'))}"
    return Callout(number, name, "", detail, f"{name}, {detail}", (layer.id,), part.id)


def _framing_name(layer: Layer) -> str:
    assert layer.framing
    members = layer.framing
    if members.profile != "solid":
        word = _PROFILES[members.profile]
        return f"{format_drawing_length(layer.depth)} {word}"
    flat = members.width > layer.depth or layer.depth < FURRING_LIMIT
    nominal = _nominal_lumber(min(members.width, layer.depth), max(members.width, layer.depth))
    word = "furring" if flat else "studs"
    if members.orientation == "horizontal":
        word = "horizontal furring" if flat else "horizontal members"
    name = f"{nominal} {word}"
    return f"Treated {name}" if members.material.treated else name


def _nominal_lumber(thin: float, wide: float) -> str:
    """`2×6`; the true sizes where they are no dressed lumber."""

    def nominal(size: float) -> int | None:
        near = min(units.DRESSED_LUMBER, key=lambda name: abs(units.DRESSED_LUMBER[name] * units.INCH - size))
        return near if abs(units.DRESSED_LUMBER[near] * units.INCH - size) < 1e-3 else None

    small, large = nominal(thin), nominal(wide)
    if small and large:
        return f"{small}×{large}"
    return f"{format_drawing_length(thin)} × {format_drawing_length(wide)}"


def _bay_text(layer: Layer) -> str:
    """What is between the members: fill with its depth, then what is left open."""
    parts = []
    open_depth = layer.depth
    if layer.fill:
        open_depth = layer.cavity.depth if layer.cavity and layer.cavity.depth else 0.0
        parts.append(f"{uncapped(layer.fill.label)}, {format_drawing_length(layer.depth - open_depth)}")
    if open_depth > 0:
        kind = layer.cavity.kind if layer.cavity else "unventilated"
        parts.append(f"{format_drawing_length(open_depth)} {_SPACES[kind]}")
    return ", ".join(parts)


def _cells_text(layer: Layer) -> str:
    assert layer.unit
    grout = layer.unit.grout
    others = f"filled with {uncapped(layer.fill.label)}" if layer.fill else "empty"
    if grout is None:
        return f"cells {others}"
    if grout.solid:
        return "all cells grouted"
    spacing = grout.vertical_spacing
    grouted = f"cells grouted at {format_spacing(spacing)}" if spacing else "cells grouted where reinforced"
    return f"{grouted}, others {others}"


def _film_size(layer: Layer) -> str:
    is_paint = bool(layer.material and layer.material.kind == "coating" and layer.coats and not layer.controls)
    if not layer.thickness or is_paint:
        return ""
    return f"{format_mils(layer.thickness)} dry" if layer.wet_film else format_mils(layer.thickness)


def _coats_text(layer: Layer) -> str:
    if not layer.coats:
        return ""
    word = _NUMBER_WORDS[layer.coats] if layer.coats < len(_NUMBER_WORDS) else str(layer.coats)
    return f"{word} coat" if layer.coats == 1 else f"{word} coats"


def _ties_text(layer: Layer) -> str:
    if not layer.ties:
        return ""
    along, across = layer.ties.spacing, layer.ties.spacing_across
    if along and across:
        return f"ties at {format_spacing(along)} × {format_spacing(across)}"
    return f"ties at {format_spacing(along)}" if along else "tied"


def _sized(size: str, name: str) -> str:
    return f"{size} {uncapped(name)}" if size else name


def _join(mark: str, *parts: str) -> str:
    return mark.join(part for part in parts if part)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
