"""The rows of the crew page's layer table: what each numbered part is, how it is made up, fastened and lapped.

Numbers and names are those of the callouts, so drawing, table and specification agree; the parts of the wall's base
follow with the next numbers.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from specgen import units
from specgen.documents.messages import Messages
from specgen.documents.site_words import inch_mark, mils
from specgen.drawing.callouts import Callout, callouts
from specgen.drawing.type import format_drawing_length
from specgen.drawing.typeset import tabled
from specgen.model.wall import Embedded, Fastening, Laps, Layer, Wall


@dataclass(frozen=True, slots=True)
class CrewPart:
    """One row: `name` prints in Semibold, `size` after it; `make` are label-like notes in the order of their use."""

    number: int
    name: str
    size: str
    make: tuple[str, ...]
    base: str = ""  # "termination" or "flashing" for a part of the wall's base


def crew_parts(wall: Wall, messages: Messages) -> tuple[CrewPart, ...]:
    """All rows, exterior to interior, then lower edge and flashing of the base.

    Raises
    ------
    MessageError
        If the catalog lacks a sentence.
    """
    rows = [_row(wall, call, messages) for call in callouts(wall)]
    if wall.base:
        rows += _base_rows(wall, len(rows), messages)
    return tuple(rows)


def fastening_notes(fastening: Fastening, messages: Messages) -> list[str]:
    """Fastener, spacing and hold of one record as a note of a table cell; all its fields stand on the back.

    Raises
    ------
    MessageError
        If the catalog lacks a sentence.
    """
    name = _capital(fastening.name or messages.text(f"fastener.{fastening.type}"))
    if fastening.length:
        sized = "fastening.tie" if fastening.type == "tie" else "fastening.sized"  # a tie's length is its screw's
        name = messages.text(sized, fastener=name, length=format_drawing_length(fastening.length))
    notes = [tabled(name)]
    if fastening.by_engineer:
        return [messages.text("fastening.engineer", fastener=notes[0])]
    along, across = fastening.spacing, fastening.spacing_across
    if along and fastening.spacing_field:
        field = _length(fastening.spacing_field)
        notes.append(messages.text("fastening.panel", edges=_length(along), field=field))
    elif along and across:
        notes.append(messages.text("fastening.both", along=_length(along), across=_length(across)))
    elif along:
        notes.append(messages.text("fastening.along", along=_length(along)))
    if fastening.into:
        base = messages.text(f"into.{fastening.into}")
        if fastening.penetration:
            notes.append(messages.text("fastening.into", depth=_length(fastening.penetration), base=base))
        else:
            notes.append(messages.text("fastening.into_only", base=base))
    return [", ".join(notes)]


def _row(wall: Wall, call: Callout, messages: Messages) -> CrewPart:
    layers = [wall.layer(layer_id) for layer_id in call.layer_ids]
    notes: list[str] = []
    size, detail = call.size, tabled(call.detail)
    if call.embedded_id:
        part = next(part for part in layers[0].embedded if part.id == call.embedded_id)
        notes += _embedded_notes(part, messages) or [_capital(detail)]
    else:
        if len(layers) > 1 and detail:  # the coats of a group are how it is made up; else it is part of the name
            notes.append(_capital(detail))
        elif detail:
            size = f"{size}, {detail}"
        notes += _wet_film(layers[0], messages)
        for layer in layers:
            for fastening in (layer.fastening, layer.ties):
                notes += fastening_notes(fastening, messages) if fastening and _says_something(fastening) else []
            notes += _lap_notes(layer.laps, messages, layer)
            notes += [tabled(layer.crew_note)] if layer.crew_note else []
    return CrewPart(call.number, tabled(call.name), size, _unique(notes))


def _says_something(fastening: Fastening) -> bool:
    """Bedded or held by friction is plain from the layer itself; a name or a spacing is not."""
    return fastening.type not in ("bedded", "friction") or bool(fastening.name or fastening.spacing)


def _embedded_notes(part: Embedded, messages: Messages) -> list[str]:
    notes = fastening_notes(part.fastening, messages) if part.fastening else []
    notes += _lap_notes(part.laps, messages)
    return [*notes, *([tabled(part.crew_note)] if part.crew_note else [])]


def _wet_film(layer: Layer, messages: Messages) -> list[str]:
    return [messages.text("wet_film", film=mils(layer.wet_film))] if layer.wet_film else []


def _lap_notes(laps: Laps | None, messages: Messages, layer: Layer | None = None) -> list[str]:
    """A wet film has no sheets: it laps what stands before it, which its own note says better where it does."""
    if not laps:
        return []
    if layer and layer.wet_film and laps.side and not laps.end:
        said = (layer.crew_note or "").lower().startswith("laps")
        return [] if said else [messages.text("laps.film", side=_length(laps.side))]
    if laps.side and laps.end:
        return [messages.text("laps.both", side=_length(laps.side), end=_length(laps.end))]
    if laps.side:
        return [messages.text("laps.side", side=_length(laps.side))]
    return [messages.text("laps.end", end=_length(laps.end))] if laps.end else []


def _base_rows(wall: Wall, count: int, messages: Messages) -> list[CrewPart]:
    base = wall.base
    assert base
    clear = [messages.text("base.above_earth", value=_length(base.cladding_clearance))]
    if base.paving_clearance:
        clear.append(messages.text("base.above_paving", value=_length(base.paving_clearance)))
    rows = [CrewPart(count + 1, messages.text(f"base.termination.{base.termination}"), "", tuple(clear), "termination")]
    levels = [_length(level) for level in (base.flashing_up, base.flashing_down) if level]
    if len(levels) == 2:
        note = messages.text("base.flashing_both", up=levels[0], down=levels[1])
    else:
        note = tabled(base.flashing)
    rows.append(CrewPart(count + 2, messages.text("base.flashing"), "", (note,), "flashing"))
    return rows


def _length(length: float) -> str:
    """Inches, as a tape is read: `24″`, not `2′-0″`; feet from 6 ft on."""
    return inch_mark(length) if length < 6 * units.FOOT - 1e-6 else format_drawing_length(length)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _unique(notes: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(note for note in notes if note))
