"""What the openings page says of head, sill and jamb, and where its leaders may end.

The wall's own words come first; what only names a part that they name too is spare and stands last.
"""

from __future__ import annotations

from dataclasses import replace

from specgen import units
from specgen.drawing.callouts import callouts, short_note
from specgen.drawing.notes import SLOPE, Target
from specgen.drawing.opening_cut import Cut
from specgen.drawing.opening_water import inner_seal_place, leg_place, lintel_leg, outer_seal_place, pan_edge
from specgen.drawing.typeset import typeset

Note = tuple[str, tuple[Target, ...]]  # a text, and the places and slopes of its leader, the best first

WINDOW_NOTE = "Window by others, shown in outline: follow its maker's instructions"


def head_notes(cut: Cut) -> tuple[list[Note], list[Note]]:
    """Notes at the head, exterior and interior."""
    openings = cut.openings
    metal_s = -cut.gap + cut.mm(0.1 * units.INCH)
    flashing = _target(cut, cut.clad_outer - 0.6, metal_s - 0.4)
    if cut.setting == "direct":
        flashing = _target(cut, cut.clad_outer + 0.5, cut.clad_end)
    elif cut.brick:
        flashing = _target(cut, cut.clad_outer - 0.8, cut.clad_end + 0.35)
    exterior: list[Note] = [(_lead("Head", openings.head_flashing), (flashing,))]
    if cut.film is not None and cut.setting != "direct":
        top = lintel_leg(cut) if cut.brick else cut.leg[1]
        lap = leg_place(cut) - cut.metal_weight / 2 - cut.film.weight / 2
        film = cut.wall.layers[cut.membrane].material if cut.membrane is not None else None
        name = "Sheet" if film is not None and film.kind == "sheet" else "Membrane"
        place = _target(cut, lap, top - 2.0, top - 0.4)
        # Deep behind board and furring a level leader reaches it where a falling one would start above the drawing.
        exterior.append((f"{name} laps over the upper leg", (place, replace(place, slope=0.0))))
    exterior.append(_first_note(cut))
    core = cut.strips[cut.core]
    low = cut.core_end if cut.masonry else cut.mm(1.5 * units.INCH)
    part = "Header"
    if cut.masonry:
        part = "Lintel, bars and grout" if cut.wall.layers[cut.core].unit else "Bars over the opening"
    interior: list[Note] = [
        (f"{part}: see structural drawings", (_target(cut, core.inner - 2.0, low + 1.5, cut.into - 2.0),)),
        (WINDOW_NOTE, (_target(cut, cut.frame_inner - 1.2, -cut.gap - 1.5, -cut.gap - 6.0),)),
    ]
    return exterior, interior


def sill_notes(cut: Cut) -> tuple[list[Note], list[Note]]:
    """Notes at the sill, exterior and interior."""
    openings = cut.openings
    interior: list[Note] = []
    if openings.air_seal:
        interior.append((_lead("Air seal", openings.air_seal), (_target(cut, *inner_seal_place(cut)),)))
    if cut.setting == "direct":
        nose = cut.clad_outer - cut.mm(0.5 * units.INCH)
        pan = _target(cut, nose, cut.mm(0.5 * units.INCH), cut.mm(1.5 * units.INCH))
        return [(_lead("Sill", openings.sill_pan), (pan,)), _first_note(cut)], interior
    edge, low = pan_edge(cut)
    pan = _target(cut, edge, 1.0, low - 0.6)
    gap = _target(cut, _open_place(cut), -cut.gap + cut.joint / 2)
    # A level leader passes under the window's nose; a brick sill falls away so steeply that a falling one does too.
    open_edge = ("Edge under the frame stays open", (gap if cut.brick else replace(gap, slope=0.0),))
    return [(_lead("Sill", openings.sill_pan), (pan, replace(pan, slope=0.0))), open_edge, _first_note(cut)], interior


def jamb_notes(cut: Cut) -> list[Note]:
    """Notes at the jamb: leaders come from above to the outer joint and from below to the inner, past the frame."""
    openings = cut.openings
    _, s = outer_seal_place(cut)
    rows: list[Note] = [(_lead("Jamb", openings.jamb), (_target(cut, cut.frame_outer, s),))]
    if openings.air_seal:
        seal = _target(cut, cut.frame_inner, -0.6 * cut.gap)
        rows.append(("Air seal all round, as at the sill", (replace(seal, slope=-SLOPE), seal)))
    return rows


def _target(cut: Cut, across: float, low: float, high: float | None = None) -> Target:
    """A place of the cut as a leader's end; `low` and `high` are distances into the wall."""
    x, y0 = cut.at(across, low)
    _, y1 = cut.at(across, low if high is None else high)
    return Target(x, min(y0, y1), max(y0, y1))


def _first_note(cut: Cut) -> Note:
    call = callouts(cut.wall)[0]
    strips = [cut.strips[cut.wall.index(layer_id)] for layer_id in call.layer_ids]
    if strips[0].is_film:
        call = next(each for each in callouts(cut.wall) if not cut.strips[cut.wall.index(each.layer_ids[0])].is_film)
        strips = [cut.strips[cut.wall.index(layer_id)] for layer_id in call.layer_ids]
    middle = (strips[0].outer + strips[-1].inner) / 2
    low = max(cut.end(strip) for strip in strips) + 3.0
    return short_note(call), (_target(cut, middle, low, cut.into - 2.0),)


def _open_place(cut: Cut) -> float:
    if cut.brick:
        return cut.clad_inner - cut.mm(0.4 * units.INCH)
    return cut.clad_outer + 0.3 * (cut.clad_inner - cut.clad_outer)


def _lead(word: str, text: str) -> str:
    """The wall's own words after the place that they speak of; notes end without a period."""
    text = typeset(text.rstrip("."))
    return f"{word}: {text[0].lower()}{text[1:]}" if not text[:2].isupper() else f"{word}: {text}"
