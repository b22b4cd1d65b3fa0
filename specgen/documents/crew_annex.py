"""The annex of the crew page, a flow of tables for the office: cautions and never-lines with their reasons and
sources, tools, fastening, quantities with their reckoning, accepted findings.

It is written on request only; what a crew needs stands on the sheet itself, front (`crew_front.py`) and back
(`crew_back.py`).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from specgen.checks.catalog import never_lines
from specgen.checks.entries import entry
from specgen.data import load_table
from specgen.documents.cautions import wall_cautions
from specgen.documents.crew_back import bought, bought_amount, quantity_item
from specgen.documents.messages import Messages
from specgen.documents.site_words import inches
from specgen.drawing.callouts import layer_name
from specgen.drawing.typeset import typeset
from specgen.model.assessment import Assessment
from specgen.model.document import Flow, Heading, Paragraph, Run, Table
from specgen.model.site import Site
from specgen.model.wall import Fastening, Layer, Wall
from specgen.takeoff import Quantity, quantities

Block = Heading | Paragraph | Table
Rows = list[tuple[str, ...]]


def annex_flow(
    wall: Wall, assessment: Assessment, site: Site, messages: Messages, name: str, library_line: str
) -> Flow:
    """The annex as a flow of blocks; parts of which the wall says nothing are left out.

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
    parts: list[Block] = [Heading(text("annex.title"), 0)]
    parts += _cautions(wall, messages)
    parts += _never(wall, site, messages)
    parts += _quantities(wall, messages)
    parts += _tools(wall, messages)
    parts += _fastenings(wall, messages)
    parts += _findings(assessment, messages)
    return Flow(tuple(parts), name, text("annex.header"), library_line, text("annex.page", page="{page}"))


def _cautions(wall: Wall, messages: Messages) -> Iterator[Block]:
    rows: Rows = [
        (typeset(caution.word), typeset(caution.detail), source_words(caution.source, caution.status, messages))
        for caution in wall_cautions(wall)
    ]
    yield Heading(messages.text("annex.cautions"), 2)
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


def _never(wall: Wall, site: Site, messages: Messages) -> Iterator[Block]:
    rows: Rows = [(typeset(line.text), typeset(entry(line.code).why), line.code) for line in never_lines(wall, site)]
    if rows:
        yield Heading(messages.text("annex.never"), 2)
        yield _table(messages, ("never_line", "never_why", "findings_code"), rows, (50, 106, 14))


def _quantities(wall: Wall, messages: Messages) -> Iterator[Block]:
    found = quantities(wall)
    brought = {id(each) for each in bought(found)}
    rows: Rows = [_quantity(wall, each, messages, id(each) in brought) for each in found]
    if not rows:
        return
    yield Heading(messages.text("annex.quantities"), 2)
    ids = ("quantities_item", "quantities_net", "quantities_waste", "quantities_order", "quantities_how")
    yield _table(messages, ids, rows, (50, 18, 13, 18, 71), "lrrrl")
    yield _paragraph(messages.text("annex.quantities_note"))


def _quantity(wall: Wall, quantity: Quantity, messages: Messages, brought: bool) -> tuple[str, ...]:
    """A row; what only explains another row is reckoned but not brought."""
    text = messages.text
    waste = text("quantity.percent", share=f"{quantity.waste * 100:.0f}") if quantity.waste else "–"
    return (
        quantity_item(wall, quantity),
        _amount(quantity.amount_ip, quantity.unit, messages),
        waste,
        bought_amount(quantity, messages) if brought else "–",
        typeset(quantity.formula)
        if quantity.basis == "computed"
        else text("quantity.how", formula=typeset(quantity.formula), basis=quantity.basis),
    )


def _amount(value: float, unit: str, messages: Messages) -> str:
    """Three figures; a count is whole."""
    if not unit:
        return messages.text("quantity.count", count=f"{value:.0f}")
    number = f"{value:.0f}" if value >= 100 else f"{value:.3g}"
    return messages.text("quantity.value", number=number, unit=unit.replace(" ", "\u00a0")).replace(" ", "\u00a0")


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
        yield Heading(messages.text("annex.tools"), 2)
        ids = ("tools_step", "tools_trade", "tools_tools", "tools_limits")
        yield _table(messages, ids, rows, (9, 25, 68, 68), "rlll")


def _fastenings(wall: Wall, messages: Messages) -> Iterator[Block]:
    rows: Rows = []
    for layer in wall.layers:
        for fastening in (layer.fastening, layer.ties):
            if fastening:
                rows.append((_fastened(layer, fastening), _record(fastening, messages)))
        for part in layer.embedded:
            if part.fastening:
                rows.append((typeset(part.material.label), _record(part.fastening, messages)))
    if rows:
        yield Heading(messages.text("annex.fastening"), 2)
        yield _table(messages, ("fastening_layer", "fastening_record"), rows, (42, 128))


def _fastened(layer: Layer, fastening: Fastening) -> str:
    """What the record holds: between members that a friction fit fills, the fill and not the members."""
    fill = layer.fill if fastening.type == "friction" else None
    return typeset(fill.label if fill else layer_name(layer))


def _record(fastening: Fastening, messages: Messages) -> str:
    """Every field that the wall gives, as a list of notes."""
    text = messages.text
    notes = [typeset(fastening.name or text(f"fastener.{fastening.type}"))]
    if fastening.gauge:
        notes.append(typeset(fastening.gauge))
    if fastening.coating:
        notes.append(text(f"coating.{fastening.coating}"))
    for id, size in (
        ("record.screw" if fastening.type == "tie" else "record.length", fastening.length),
        ("record.wire" if fastening.type == "tie" else "record.diameter", fastening.diameter),
        ("record.head", fastening.head),
        ("record.spacing", fastening.spacing if not fastening.spacing_field else None),
        ("record.edges", fastening.spacing if fastening.spacing_field else None),
        ("record.field", fastening.spacing_field),
        ("record.across", fastening.spacing_across),
        ("record.edge", fastening.edge_distance),
    ):
        if size is not None:
            notes.append(text(id, size=_decimal(size) if id in ("record.diameter", "record.wire") else inches(size)))
    if fastening.into:
        base = text(f"into.{fastening.into}")
        if fastening.penetration:
            notes.append(text("fastening.into", depth=inches(fastening.penetration), base=base))
        else:
            notes.append(text("fastening.into_only", base=base))
    first = ", ".join(notes)
    sentences = [first[:1].upper() + first[1:]]
    if fastening.by_engineer:
        sentences.append(text("annex.fastening_engineer"))
    if fastening.note:
        sentences.append(typeset(fastening.note))
    return ". ".join(sentence.rstrip(".") for sentence in sentences) + "."


def _findings(assessment: Assessment, messages: Messages) -> Iterator[Block]:
    rows: Rows = [
        (finding.code, typeset(finding.message), typeset(finding.explained))
        for finding in assessment.findings
        if finding.explained
    ]
    if rows:
        yield Heading(messages.text("annex.findings"), 2)
        yield _table(messages, ("findings_code", "findings_text", "findings_because"), rows, (16, 77, 77))


def _table(messages: Messages, ids: Iterable[str], rows: Rows, widths: tuple[float, ...], align: str = "") -> Table:
    head = tuple(messages.text(f"annex.{id}") for id in ids)
    return Table(head, tuple(rows), widths, align or "l" * len(widths), level=0)


def _paragraph(text: str) -> Paragraph:
    return Paragraph((Run(text),))


def _decimal(diameter: float) -> str:
    return f"{diameter / 0.0254:.3g}\u00a0in"
