"""The back of the crew page, a flow of tables: hold points, conditions, cautions, fastening and quantities in full."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from specgen.checks.catalog import never_lines
from specgen.checks.entries import entry
from specgen.data import load_table
from specgen.documents.cautions import wall_cautions
from specgen.documents.crew_limits import layer_limits, short_name
from specgen.documents.messages import Messages
from specgen.documents.site_words import inches, lower_first, typeset
from specgen.drawing.callouts import layer_name
from specgen.model.assessment import Assessment
from specgen.model.document import Flow, Heading, Paragraph, Run, Table
from specgen.model.site import Site
from specgen.model.wall import Fastening, Wall
from specgen.takeoff import Quantity, quantities
from specgen.units import FOOT

Block = Heading | Paragraph | Table
Rows = list[tuple[str, ...]]


def back_flow(wall: Wall, assessment: Assessment, site: Site, messages: Messages, name: str, library_line: str) -> Flow:
    """The back as a flow of blocks; parts of which the wall says nothing are left out.

    Parameters
    ----------
    wall : Wall
        The wall.
    assessment : Assessment
        Its explained findings are listed with their reasons.
    site : Site
        Decides the never-lines.
    messages : Messages
        Catalog of the crew page.
    name, library_line : str
        Tag with title, and the footer's last line.

    Raises
    ------
    MessageError
        If the catalog lacks a sentence.
    """
    text = messages.text
    parts: list[Block] = [Heading(text("back.title"), 0)]
    parts += _holds(wall, messages)
    parts += _named(text("back.openings"), _openings(wall, messages), messages)
    parts += _named(text("back.base"), [*_base(wall, messages), *_joints(wall, messages)], messages)
    parts += _cautions(wall, messages)
    parts += _never(wall, site, messages)
    parts += _tools(wall, messages)
    parts += _fastenings(wall, messages)
    parts += _mixes(wall, messages)
    parts += _quantities(wall, messages)
    parts += _findings(assessment, messages)
    parts += [_paragraph(text(id)) for id in ("back.usual", "back.governs", "back.units")]
    return Flow(tuple(parts), name, text("back.header"), library_line, text("back.page", page="{page}"))


def _holds(wall: Wall, messages: Messages) -> Iterator[Block]:
    text = messages.text
    rows: Rows = []
    for number, step in enumerate(wall.installation, start=1):
        hold = step.hold_point
        if hold:
            keep = typeset(hold.record) if hold.record else "–"
            rows.append((str(number), typeset(hold.name), typeset(hold.check), typeset(hold.sign), keep))
    yield Heading(text("back.holds"), 2)
    if not rows:
        yield _paragraph(text("back.holds_none"))
        return
    ids = ("holds_step", "holds_name", "holds_check", "holds_sign", "holds_keep")
    yield _table(messages, ids, rows, (9, 22, 74, 29, 36), "rllll")


def _openings(wall: Wall, messages: Messages) -> Rows:
    openings = wall.openings
    if not openings:
        return []
    text = messages.text
    plane = typeset(lower_first(layer_name(wall.layer(openings.flange_plane))))
    rows: Rows = [(text("opening.plane"), text("opening.plane_text", layer=plane))]
    for id, value in (
        ("opening.sill", openings.sill_pan),
        ("opening.jamb", openings.jamb),
        ("opening.head", openings.head_flashing),
        ("opening.air_seal", openings.air_seal),
        ("opening.sealant", inches(openings.sealant_joint) if openings.sealant_joint else None),
        ("opening.note", openings.note),
    ):
        if value:
            rows.append((text(id), typeset(value)))
    return rows


def _base(wall: Wall, messages: Messages) -> Rows:
    base = wall.base
    if not base:
        return []
    text = messages.text
    rows: Rows = [(text("base.support"), text(f"base.support.{base.support}"))]
    heights = {
        "base.floor": base.floor_above_grade,
        "base.cladding": base.cladding_clearance,
        "base.paving": base.paving_clearance,
        "base.foam": base.foam_clearance,
    }
    known = [text(id, value=inches(value)) for id, value in heights.items() if value is not None]
    rows.append((text("base.heights"), ", ".join(known)))
    rows.append((text("base.termination"), text(f"base.termination.{base.termination}")))
    levels = (("base.flashing_up", base.flashing_up), ("base.flashing_down", base.flashing_down))
    notes = [typeset(base.flashing), *(text(id, value=inches(value)) for id, value in levels if value is not None)]
    rows.append((text("base.flashing"), "; ".join(note.rstrip(".") for note in notes)))
    return [*rows, (text("base.note"), typeset(base.note))] if base.note else rows


def _joints(wall: Wall, messages: Messages) -> Rows:
    joints = wall.control_joints
    if not joints:
        return []
    text = messages.text
    notes = [
        text("joints.area", value=f"{joints.area / FOOT**2:.4g}\u00a0sq\u00a0ft"),
        text("joints.length", value=inches(joints.length)),
        text("joints.ratio", value=typeset(joints.ratio)),
    ]
    notes += [typeset(joints.note)] if joints.note else []
    return [(text("back.joints"), "; ".join(note.rstrip(".") for note in notes))]


def _fastenings(wall: Wall, messages: Messages) -> Iterator[Block]:
    rows: Rows = []
    for layer in wall.layers:
        for fastening in (layer.fastening, layer.ties):
            if fastening:
                rows.append((typeset(layer_name(layer)), _record(fastening, messages)))
        for part in layer.embedded:
            if part.fastening:
                rows.append((typeset(part.material.label), _record(part.fastening, messages)))
    if rows:
        yield Heading(messages.text("back.fastening"), 2)
        yield _table(messages, ("fastening_layer", "fastening_record"), rows, (42, 128))


def _record(fastening: Fastening, messages: Messages) -> str:
    """Every field that the wall gives, as a list of notes."""
    text = messages.text
    notes = [typeset(fastening.name or text(f"fastener.{fastening.type}"))]
    if fastening.gauge:
        notes.append(typeset(fastening.gauge))
    if fastening.coating:
        notes.append(text(f"coating.{fastening.coating}"))
    for id, size in (
        ("record.length", fastening.length),
        ("record.diameter", fastening.diameter),
        ("record.head", fastening.head),
        ("record.spacing", fastening.spacing if not fastening.spacing_field else None),
        ("record.edges", fastening.spacing if fastening.spacing_field else None),
        ("record.field", fastening.spacing_field),
        ("record.across", fastening.spacing_across),
        ("record.edge", fastening.edge_distance),
    ):
        if size is not None:
            notes.append(text(id, size=_decimal(size) if id == "record.diameter" else inches(size)))
    if fastening.into:
        base = text(f"into.{fastening.into}")
        if fastening.penetration:
            notes.append(text("fastening.into", depth=inches(fastening.penetration), base=base))
        else:
            notes.append(text("fastening.into_only", base=base))
    sentences = [", ".join(notes)]
    if fastening.by_engineer:
        sentences.append(text("back.fastening_engineer"))
    if fastening.note:
        sentences.append(typeset(fastening.note))
    return ". ".join(sentence.rstrip(".") for sentence in sentences) + "."


def _mixes(wall: Wall, messages: Messages) -> Iterator[Block]:
    rows: Rows = []
    for layer in reversed(wall.layers):  # the order of the work
        cure, weather = layer_limits(layer, messages)
        if layer.mix or cure or weather:
            name = short_name(wall, layer, messages)
            mix = "; ".join([*([typeset(layer.mix)] if layer.mix else []), *cure])
            rows.append((name[:1].upper() + name[1:], mix or "–", "; ".join(weather) or "–"))
    if rows:
        yield Heading(messages.text("back.mix"), 2)
        yield _table(messages, ("mix_layer", "mix_mix", "mix_limits"), rows, (28, 71, 71))


def _tools(wall: Wall, messages: Messages) -> Iterator[Block]:
    rows: Rows = []
    last = ""
    for number, step in enumerate(wall.installation, start=1):
        if step.tools or step.limits:
            trade = typeset(step.trade)
            tools = ", ".join(typeset(tool) for tool in step.tools) or "–"
            limits = typeset(step.limits) if step.limits else "–"
            rows.append((str(number), "" if trade == last else trade, tools, limits))
            last = trade
    if rows:
        yield Heading(messages.text("back.tools"), 2)
        ids = ("holds_step", "tools_trade", "tools_tools", "mix_limits")
        yield _table(messages, ids, rows, (9, 25, 68, 68), "rlll")


def _never(wall: Wall, site: Site, messages: Messages) -> Iterator[Block]:
    rows: Rows = [(typeset(line.text), typeset(entry(line.code).why), line.code) for line in never_lines(wall, site)]
    if rows:
        yield Heading(messages.text("back.never"), 2)
        yield _table(messages, ("never_line", "never_why", "findings_code"), rows, (50, 106, 14))


def _cautions(wall: Wall, messages: Messages) -> Iterator[Block]:
    rows: Rows = [
        (typeset(caution.word), typeset(caution.detail), source_words(caution.source, caution.status, messages))
        for caution in wall_cautions(wall)
    ]
    yield Heading(messages.text("back.cautions"), 2)
    yield _table(messages, ("cautions_word", "cautions_detail", "cautions_source"), rows, (20, 112, 38))


def source_words(source: str, status: str, messages: Messages) -> str:
    """A source by its title with the status of the value, or the words for common practice.

    Raises
    ------
    MessageError
        If the catalog lacks a sentence.
    """
    known = load_table("sources").get(source)
    words = messages.text(f"status.{status}")
    title = known["title"].split(", ")[0] if known else source  # the number says enough on a site
    if title == "common practice":
        return words if status != "common-practice" else messages.text("source.common")
    return messages.text("source.named", title=typeset(title), status=words)


def _quantities(wall: Wall, messages: Messages) -> Iterator[Block]:
    rows: Rows = [_quantity(wall, quantity, messages) for quantity in quantities(wall)]
    if not rows:
        return
    yield Heading(messages.text("back.quantities"), 2)
    ids = ("quantities_item", "quantities_net", "quantities_waste", "quantities_order", "quantities_how")
    yield _table(messages, ids, rows, (50, 18, 13, 18, 71), "lrrrl")
    yield _paragraph(messages.text("back.quantities_note"))


def _quantity(wall: Wall, quantity: Quantity, messages: Messages) -> tuple[str, ...]:
    text = messages.text
    waste = text("quantity.percent", share=f"{quantity.waste * 100:.0f}") if quantity.waste else "–"
    item = typeset(quantity.item)
    if quantity.measure == "length" and any(layer.id == quantity.layer and layer.framing for layer in wall.layers):
        item = typeset(layer_name(wall.layer(quantity.layer)))
    return (
        item,
        _amount(quantity.amount_ip, quantity.unit, messages),
        waste,
        _amount(quantity.ordered_ip, quantity.unit, messages),
        typeset(quantity.formula)
        if quantity.basis == "computed"
        else text("quantity.how", formula=typeset(quantity.formula), basis=quantity.basis),
    )


def _amount(value: float, unit: str, messages: Messages) -> str:
    """Three figures; a count is whole."""
    if not unit:
        return messages.text("quantity.count", count=f"{value:.0f}" if value >= 100 else f"{value:.3g}")
    number = f"{value:.0f}" if value >= 100 else f"{value:.3g}"
    return messages.text("quantity.value", number=number, unit=unit.replace(" ", "\u00a0")).replace(" ", "\u00a0")


def _findings(assessment: Assessment, messages: Messages) -> Iterator[Block]:
    rows: Rows = [
        (finding.code, typeset(finding.message), typeset(finding.explained))
        for finding in assessment.findings
        if finding.explained
    ]
    if rows:
        yield Heading(messages.text("back.findings"), 2)
        yield _table(messages, ("findings_code", "findings_text", "findings_because"), rows, (16, 77, 77))


def _named(title: str, rows: Rows, messages: Messages) -> Iterator[Block]:
    if rows:
        yield Heading(title, 2)
        yield _table(messages, ("part", "condition"), rows, (42, 128))


def _table(messages: Messages, ids: Iterable[str], rows: Rows, widths: tuple[float, ...], align: str = "") -> Table:
    head = tuple(messages.text(f"back.{id}") for id in ids)
    return Table(head, tuple(rows), widths, align or "l" * len(widths), level=0)


def _paragraph(text: str) -> Paragraph:
    return Paragraph((Run(text),))


def _decimal(diameter: float) -> str:
    return f"{diameter / 0.0254:.3g}\u00a0in"
