"""Where the walls of one project contradict each other on one product: walls by tag in, findings L201 to L205 out.

A product is what its label names, since that is what people order and load by. Walls may well ask for other
thicknesses; a contradiction is a second answer to the same question.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

from specgen import units
from specgen.checks.entries import entry
from specgen.checks.rules import inches, perms
from specgen.model.finding import Finding, Severity
from specgen.model.material import Material
from specgen.model.wall import Fastening, Layer, Limits, Wall

_MICRON = 1e-6  # lengths closer than this are the same length [m]


@dataclass(frozen=True, slots=True)
class Conflict:
    """A finding and the layers, by tag and layer id, that contradict each other."""

    finding: Finding
    places: tuple[tuple[str, str], ...]

    @property
    def tags(self) -> tuple[str, ...]:
        """The wall types that it concerns, in their order."""
        return tuple(dict.fromkeys(tag for tag, _ in self.places))


@dataclass(frozen=True, slots=True)
class _Answer:
    """What one layer of one wall says to a question."""

    code: str
    question: tuple[object, ...]  # equal where the same thing is asked
    subject: str  # as the message begins
    value: object
    shown: str
    tag: str
    layer: Layer


def project_conflicts(walls: Sequence[tuple[str, Wall]]) -> tuple[Conflict, ...]:
    """Contradictions between (and within) the walls of a project, in the order of their codes.

    Parameters
    ----------
    walls : sequence of (str, Wall)
        Tag and wall of each wall type.
    """
    asked: dict[tuple[object, ...], list[_Answer]] = {}
    for tag, wall in walls:
        for answer in _answers(tag, wall):
            asked.setdefault((answer.code, *answer.question), []).append(answer)
    contradicted = [answers for answers in asked.values() if len({answer.value for answer in answers}) > 1]
    return tuple(map(_conflict, sorted(contradicted, key=lambda answers: answers[0].code)))


def _conflict(answers: Sequence[_Answer]) -> Conflict:
    known = entry(answers[0].code)
    by_value: dict[object, list[_Answer]] = {}
    for answer in answers:
        by_value.setdefault(answer.value, []).append(answer)
    sides = [f"{same[0].shown} in {', '.join(dict.fromkeys(a.tag for a in same))}" for same in by_value.values()]
    finding = Finding(
        code=known.code,
        severity=Severity.WARNING,
        message=f"{answers[0].subject}: {' against '.join(sides)}.",
        layer=answers[0].layer.id,
        place=answers[0].layer.place,
        because=known.why,
        cure=known.cure,
        source=known.source,
        status=known.status,
    )
    return Conflict(finding, tuple(dict.fromkeys((answer.tag, answer.layer.id) for answer in answers)))


def _answers(tag: str, wall: Wall) -> Iterator[_Answer]:
    for index, layer in enumerate(wall.layers):
        for material in filter(None, (layer.material, layer.fill)):
            yield from _permeance(tag, layer, material)
        main = layer.main_material
        if main is None:
            continue
        if layer.mix is not None:
            name = layer.label or main.label
            yield _Answer("L202", (name, main.kind), f"Mix of {name}", layer.mix, f"‘{layer.mix}’", tag, layer)
        if layer.limits is not None:
            yield from _limits(tag, layer, main, layer.limits)
        if layer.wet_film is not None and layer.thickness is not None:
            question = (main.label, _rounded(layer.thickness), layer.coats)
            yield _Answer("L204", question, f"Wet film of {main.label}", _rounded(layer.wet_film),
                          _mils(layer.wet_film), tag, layer)  # fmt: skip
        yield from _fastenings(tag, wall, index)


def _permeance(tag: str, layer: Layer, material: Material) -> Iterator[_Answer]:
    subject = f"Permeance of {material.label}"
    if material.permeance is not None:
        value = material.permeance
        at = value.thickness if value.thickness is not None else layer.thickness
        question = (material.label, "permeance", _rounded(at))
        yield _Answer("L201", question, subject, (value.dry, value.wet), _pair(value.dry, value.wet), tag, layer)
    elif material.permeability is not None:
        rate = material.permeability
        at_inch = (rate.dry / units.INCH, None if rate.wet is None else rate.wet / units.INCH)
        shown = f"{_pair(*at_inch)} at 1 in"
        yield _Answer("L201", (material.label, "permeability"), subject, (rate.dry, rate.wet), shown, tag, layer)


_LIMITS: tuple[tuple[str, str, Callable[[float], str]], ...] = (
    ("air_min", "Lowest air temperature", lambda value: f"{value / units.RANKINE + 32:.0f} °F"),
    ("air_max", "Highest air temperature", lambda value: f"{value / units.RANKINE + 32:.0f} °F"),
    ("wind_max", "Highest wind", lambda value: f"{value / units.MPH:.0f} mph"),
    ("rain_protection", "Rain protection", lambda value: f"{value / 3600:g} hours"),
    ("exposure_max", "Longest exposure", lambda value: f"{value / 86400:g} days"),
)


def _limits(tag: str, layer: Layer, material: Material, limits: Limits) -> Iterator[_Answer]:
    for name, words, printed in _LIMITS:
        value = getattr(limits, name)
        if value is not None:
            yield _Answer("L203", (material.label, name), f"{words} for {material.label}", round(value, 6),
                          printed(value), tag, layer)  # fmt: skip


def _fastenings(tag: str, wall: Wall, index: int) -> Iterator[_Answer]:
    layer = wall.layers[index]
    held = [(part.material.label, part.fastening, "") for part in layer.embedded]
    main = layer.main_material
    held += [(main.label, record, use) for record, use in ((layer.fastening, ""), (layer.ties, "ties")) if main]
    for label, record, use in held:
        if record is not None and (record.length or record.spacing):
            question = (label, use, record.into, _build_up(wall, index, record.into))
            subject = f"Fastening of {label}{f', {use}' if use else ''}"
            yield _Answer("L205", question, subject, _figures(record), _fastening(record), tag, layer)


def _build_up(wall: Wall, index: int, into: str | None) -> tuple[object, ...]:
    """What a fastener passes: the layer itself and those between it and what it goes into, and how that is spaced."""
    inward = range(index + 1, len(wall.layers))
    outward = range(index - 1, -1, -1)
    base = next((i for way in (inward, outward) for i in way if _is_base(wall.layers[i], into)), None)
    end = index if base is None else base
    passed = [layer.thickness for layer in wall.layers[min(index, end) : max(index, end) + 1]]
    framing = wall.layers[base].framing if base is not None else None
    own = wall.layers[index].framing
    spacings = [None if members is None else _rounded(members.spacing) for members in (own, framing)]
    return (base is None, base is not None and base < index, *map(_rounded, passed), *spacings)


def _is_base(layer: Layer, into: str | None) -> bool:
    if into in ("block", "concrete"):
        return layer.material is not None and layer.material.kind == into
    return layer.framing is not None


def _figures(record: Fastening) -> tuple[object, ...]:
    lengths = (record.diameter, record.length, record.spacing, record.spacing_across, record.spacing_field)
    return (record.type, record.name, record.gauge, record.coating, *map(_rounded, (*lengths, record.penetration)))


def _fastening(record: Fastening) -> str:
    words: Iterable[str | None] = (record.gauge, record.name or record.type)
    text = " ".join(word for word in words if word)
    text += f" {inches(record.length)} long" if record.length else ""
    return text + (f", {inches(record.spacing)} apart" if record.spacing else "")


def _pair(dry: float, wet: float | None) -> str:
    return f"{perms(dry)}{f' dry, {perms(wet)} wet' if wet is not None else ''}"


def _mils(length: float) -> str:
    return f"{length / units.MIL:.3g} mil"


def _rounded(length: float | None) -> int | None:
    return None if length is None else round(length / _MICRON)
