"""The back of the crew page, one page beside the front: what it says. How it stands is in `crew_back_blocks.py`.

Hold points in full, openings, base, mixes and cure, what to bring, the cautions that found no room on the front.
Weather, fastening and layers stand on the front and are not said twice.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from specgen.documents.crew_limits import cure_notes, short_name
from specgen.documents.messages import Messages
from specgen.documents.site_words import inches, sealed_outside
from specgen.drawing.callouts import layer_name
from specgen.drawing.typeset import built_fraction, typeset
from specgen.model.material import uncapped
from specgen.model.wall import Caution, Layer, Wall
from specgen.takeoff import Quantity, quantities
from specgen.units import FOOT

MORTAR_BY_RULE, MORTAR_BY_GEOMETRY = ": mortar to order", ": mortar in the joints"  # as takeoff names them


@dataclass(frozen=True, slots=True)
class HoldRow:
    """One hold point: `check` is what must be true, `keep` the record, empty if none is asked for."""

    step: int
    name: str
    check: str
    sign: str
    keep: str


@dataclass(frozen=True, slots=True)
class Part:
    """A headed list; an entry is a name with its text. Short notes may run on in one paragraph."""

    title: str
    entries: tuple[tuple[str, str], ...]
    running: bool = False
    note: str = ""  # under the list


@dataclass(frozen=True, slots=True)
class BackPage:
    """Every text of the back, ready to set."""

    wall: str
    title: str
    holds: tuple[HoldRow, ...]
    parts: tuple[Part, ...]  # run-in entries: openings, base, mixes
    bring: Part
    cautions: Part
    notices: tuple[str, ...]
    library: str


def back_page(wall: Wall, title: str, behind: Sequence[Caution], library: str, messages: Messages) -> BackPage:
    """All texts of the back, typeset but not yet broken into lines.

    Parameters
    ----------
    wall : Wall
        The wall.
    title : str
        Tag with title.
    behind : sequence of Caution
        Those that the front has no room for.
    library : str
        The footer's line: which revision of which wall this is.
    messages : Messages
        Catalog of the crew page.

    Raises
    ------
    MessageError
        If the catalog lacks a sentence.
    """
    text = messages.text
    mixes, surfaces = _mixes(wall, messages)
    parts = (
        Part(text("back.openings"), _openings(wall, messages)),
        Part(
            text("back.base_joints" if wall.control_joints else "back.base"),
            (*_base(wall, messages), *_joints(wall, messages)),
        ),
        Part(text("back.mix"), mixes),
        Part(text("back.surface"), surfaces, running=True),
    )
    return BackPage(
        wall.name,
        title,
        _holds(wall),
        tuple(part for part in parts if part.entries),
        Part(text("back.bring"), _bring(wall, messages), note=_bring_note(wall, messages)),
        Part(text("back.caution_head"), tuple((typeset(each.word), typeset(each.do)) for each in behind)),
        tuple(text(id) for id in ("back.usual", "back.governs", "back.units")),
        library,
    )


def quantity_item(wall: Wall, quantity: Quantity) -> str:
    """Name of what is brought; members and their fasteners go by their layer: studs and furring of one wood differ.

    Parameters
    ----------
    wall : Wall
        The wall.
    quantity : Quantity
        One of it.
    """
    layer = next((layer for layer in wall.layers if layer.id == quantity.layer and layer.framing), None)
    if layer and quantity.measure == "length":
        return typeset(layer_name(layer))
    wood, colon, fastener = quantity.item.partition(": ")
    if layer and layer.framing and colon and wood == layer.framing.material.label:
        return typeset(f"{layer_name(layer)}: {fastener}")
    return typeset(quantity.item)


def _holds(wall: Wall) -> tuple[HoldRow, ...]:
    rows: list[HoldRow] = []
    for number, step in enumerate(wall.installation, start=1):
        hold = step.hold_point
        if hold:
            keep = typeset(hold.record) if hold.record else ""
            rows.append(HoldRow(number, typeset(hold.name), typeset(hold.check), typeset(hold.sign), keep))
    return tuple(rows)


def _openings(wall: Wall, messages: Messages) -> tuple[tuple[str, str], ...]:
    openings = wall.openings
    if not openings:
        return ()
    text = messages.text
    plane = typeset(uncapped(layer_name(wall.layer(openings.flange_plane))))
    rows = [(text("opening.plane"), text("opening.plane_text", layer=plane))]
    for id, value in (
        ("opening.sill", openings.sill_pan),
        ("opening.jamb", openings.jamb),
        ("opening.head", openings.head_flashing),
        ("opening.air_seal", openings.air_seal),
        ("opening.sealant", _sealant(wall, messages)),
        ("opening.note", openings.note),
    ):
        if value:
            rows.append((text(id), typeset(value)))
    return tuple(rows)


def _base(wall: Wall, messages: Messages) -> tuple[tuple[str, str], ...]:
    base = wall.base
    if not base:
        return ()
    text = messages.text
    edge = uncapped(text(f"base.termination.{base.termination}"))
    cast = base.support == "block-stem" and any(x.material and x.material.kind == "concrete" for x in wall.layers)
    support = text("base.support.concrete" if cast else f"base.support.{base.support}")
    stands = text("base.support_edge", support=support, edge=edge)
    rows = [(text("base.support"), stands)]
    heights = {
        "base.floor": base.floor_above_grade,
        "base.cladding": base.cladding_clearance,
        "base.paving": base.paving_clearance,
        "base.foam": base.foam_clearance,
    }
    known = [text(id, value=inches(value)) for id, value in heights.items() if value is not None]
    rows.append((text("base.heights"), ", ".join(known)))
    levels = (("base.flashing_up", base.flashing_up), ("base.flashing_down", base.flashing_down))
    notes = [typeset(base.flashing), *(text(id, value=inches(value)) for id, value in levels if value is not None)]
    rows.append((text("base.flashing"), "; ".join(note.rstrip(".") for note in notes)))
    return (*rows, (text("base.note"), typeset(base.note))) if base.note else tuple(rows)


def _joints(wall: Wall, messages: Messages) -> tuple[tuple[str, str], ...]:
    joints = wall.control_joints
    if not joints:
        return ()
    text = messages.text
    notes = [
        text("joints.area", value=f"{joints.area / FOOT**2:.4g}\u00a0sq\u00a0ft"),
        text("joints.length", value=inches(joints.length)),
        text("joints.ratio", value=typeset(joints.ratio)),
    ]
    rows = [(text("joints.panels"), "; ".join(notes))]
    return (*rows, (text("joints.place"), typeset(joints.note))) if joints.note else tuple(rows)


def _sealant(wall: Wall, messages: Messages) -> str:
    """Width and place of the sealant joint, unless the text of jamb, head or sill gives it."""
    openings = wall.openings
    if not openings or not openings.sealant_joint:
        return ""
    width = inches(openings.sealant_joint)
    if not sealed_outside(openings):
        return messages.text("opening.sealant_inside", width=width)
    said = (openings.jamb, openings.head_flashing, openings.sill_pan, openings.note)
    return "" if any(f"{width} sealant joint" in typeset(text) for text in said if text) else width


def _mixes(wall: Wall, messages: Messages) -> tuple[tuple[tuple[str, str], ...], tuple[tuple[str, str], ...]]:
    """Mix and cure, and the surface that each layer asks for, in the order of the work."""
    mixes: list[tuple[str, str]] = []
    surfaces: list[tuple[str, str]] = []
    for layer in _in_order_of_work(wall):
        name = short_name(wall, layer, messages)
        name = name[:1].upper() + name[1:]
        notes = [*([typeset(layer.mix)] if layer.mix else []), *cure_notes(layer, messages)]
        if notes:
            mixes.append((name, "; ".join(notes)))
        if layer.limits and layer.limits.base:
            surfaces.append((name, typeset(layer.limits.base)))
    return tuple(mixes), tuple(surfaces)


def _in_order_of_work(wall: Wall) -> list[Layer]:
    """As the steps name them; a layer that no step names comes last."""
    named = [id for step in wall.installation for id in step.layers]
    return sorted(reversed(wall.layers), key=lambda layer: named.index(layer.id) if layer.id in named else len(named))


def _bring(wall: Wall, messages: Messages) -> tuple[tuple[str, str], ...]:
    return tuple((quantity_item(wall, each), bought_amount(each, messages)) for each in bought(quantities(wall)))


def _bring_note(wall: Wall, messages: Messages) -> str:
    """What the list holds and, where the engineer sets fasteners, that those are not in it."""
    held = [layer.fastening for layer in wall.layers]
    held += [part.fastening for layer in wall.layers for part in layer.embedded]
    by_engineer = any(fastening.by_engineer for fastening in held if fastening)
    return messages.text("back.bring_note_engineer" if by_engineer else "back.bring_note")


def bought(found: Sequence[Quantity]) -> tuple[Quantity, ...]:
    """What is bought; the mortar that geometry gives is left out where the trade's own rule stands."""
    ruled = {each.layer for each in found if each.item.endswith(MORTAR_BY_RULE)}
    return tuple(each for each in found if not (each.layer in ruled and each.item.endswith(MORTAR_BY_GEOMETRY)))


def bought_amount(quantity: Quantity, messages: Messages) -> str:
    """What to bring, rounded up as one buys, with its unit; the annex prints the same.

    Raises
    ------
    MessageError
        If the catalog lacks a sentence.
    """
    value, unit = quantity.bought_ip, quantity.unit
    whole, rest = divmod(Fraction(value).limit_denominator(4), 1)
    number = built_fraction(str(whole) if whole else "", rest) if rest else str(whole)
    return messages.text("quantity.value", number=number, unit=unit).strip().replace(" ", "\u00a0")
