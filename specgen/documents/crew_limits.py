"""Weather, cure and cover limits of all layers, merged for the front of the crew page; cure and surface by layer.

A limit that all layers share prints once; where layers differ each value names its layers, the strictest first, so
that nobody heats a wall because of its paint, nor lays stucco by the rule for membranes.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from specgen.documents.messages import Messages
from specgen.documents.site_words import duration, fahrenheit, mph
from specgen.drawing.callouts import coat_name, layer_name
from specgen.drawing.typeset import typeset
from specgen.model.material import uncapped
from specgen.model.wall import Layer, Wall


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of limit: its sentence on the front, its note on the back if it has one, where it stands, its print."""

    sentence: str
    note: str  # of cure only: weather stands on the front, in full
    value: Callable[[Layer], float | None]
    printed: Callable[[float], str]
    greatest_first: bool  # whether the greater value is the stricter one


def _of_limits(name: str) -> Callable[[Layer], float | None]:
    return lambda layer: getattr(layer.limits, name) if layer.limits else None


def _of_cure(name: str) -> Callable[[Layer], float | None]:
    return lambda layer: getattr(layer.cure, name) if layer.cure else None


KINDS = (
    Kind("limits.air_min", "", _of_limits("air_min"), fahrenheit, True),
    Kind("limits.air_max", "", _of_limits("air_max"), fahrenheit, False),
    Kind("limits.wind_max", "", _of_limits("wind_max"), mph, False),
    Kind("limits.rain", "", _of_limits("rain_protection"), duration, True),
    Kind("limits.moist", "cure.moist", _of_cure("moist"), duration, True),
    Kind("limits.before_next", "cure.before_next", _of_cure("before_next"), duration, True),
    Kind("limits.exposure", "", _of_limits("exposure_max"), duration, False),
)
_BY_NAME = ("coating", "fiberboard", "sheet")  # kinds whose word would not tell the crew what it is
_NAMES_ITS_LAYER = ("limits.rain", "limits.moist", "limits.before_next", "limits.exposure")


def front_limits(wall: Wall, messages: Messages) -> str:
    """One text of label-and-value sentences, values in Semibold.

    Raises
    ------
    MessageError
        If the catalog lacks a sentence.
    """
    sentences = [sentence for kind in KINDS if (sentence := _sentence(wall, kind, messages))]
    return " ".join(sentences) or messages.text("limits.none")


def cure_notes(layer: Layer, messages: Messages) -> list[str]:
    """How long one layer stays damp, and when the next may follow.

    Raises
    ------
    MessageError
        If the catalog lacks a sentence.
    """
    known = [(kind, kind.value(layer)) for kind in KINDS if kind.note]
    return [messages.text(kind.note, time=kind.printed(value)) for kind, value in known if value is not None]


def short_name(wall: Wall, layer: Layer, messages: Messages) -> str:
    """A coat by its place in its group (`scratch`), a layer by its kind (`membrane`) or, if two share it, its name.

    Raises
    ------
    MessageError
        If the catalog lacks the word of a kind.
    """
    if layer.group and sum(other.group == layer.group for other in wall.layers) > 1:
        return typeset(uncapped(coat_name(layer)))
    material = layer.main_material
    if material and material.kind not in _BY_NAME and not (material.kind == "mortar" and layer.label):
        alike = [other for other in wall.layers if other.main_material and other.main_material.kind == material.kind]
        if len(alike) == 1 and (layer.material or layer.fill):
            return messages.text(f"kind.{material.kind}")
    return typeset(uncapped(layer_name(layer).split(",")[0]))


def _sentence(wall: Wall, kind: Kind, messages: Messages) -> str:
    values: dict[str, list[Layer]] = {}
    sizes: dict[str, float] = {}
    for layer in reversed(wall.layers):  # in the order of the work, from the wall outward
        value = kind.value(layer)
        if value is not None:
            values.setdefault(kind.printed(value), []).append(layer)
            sizes[kind.printed(value)] = value
    if not values:
        return ""
    order = sorted(values, key=lambda text: sizes[text], reverse=kind.greatest_first)
    if len(order) == 1 and kind.sentence not in _NAMES_ITS_LAYER:
        return _bold(messages.text(kind.sentence, values="\ue000"), messages.text("limits.value", value=order[0]))
    parts = [
        messages.text("limits.value_of", layers=", ".join(_names(wall, values[text], messages)), value=text)
        for text in order
    ]
    return _bold(messages.text(kind.sentence, values="\ue000"), "; ".join(parts))


def _names(wall: Wall, layers: Sequence[Layer], messages: Messages) -> list[str]:
    """A group whose coats all are there goes by the group's name."""
    named: list[str] = []
    for layer in layers:
        group = [other for other in wall.layers if layer.group and other.group == layer.group]
        whole = len(group) > 1 and all(other in layers for other in group)
        named.append(typeset((layer.group or "").replace("-", " ")) if whole else short_name(wall, layer, messages))
    return list(dict.fromkeys(named))


def _bold(sentence: str, values: str) -> str:
    """The values, with their Semibold marks, where the placeholder stood."""
    return sentence.replace("\ue000", values)
