"""The part of the record on complying: the smallest changes that meet a path, or the margins; and the range of R and U.

Nothing is computed here: each number is a field of the assessment.
"""

from __future__ import annotations

from specgen import units
from specgen.documents import comply_words
from specgen.documents.record_page import (
    LEFT,
    RIGHT,
    Block,
    Page,
    ReportInput,
    SourceList,
    heading,
    paragraph,
    set_pages,
)
from specgen.documents.record_table import Column, table
from specgen.documents.record_thermal import figure_table
from specgen.documents.reviewer_row import capital, closed
from specgen.drawing.typeset import typeset
from specgen.model.ways import WayToComply


def comply_pages(given: ReportInput) -> tuple[Page, ...]:
    """Ways or margins, then the range of R and U with its figures.

    Raises
    ------
    PageOverflowError
        If a word is wider than its column; names it.
    """
    sources = SourceList()
    blocks = [*_ways(given), *_range(given, sources)]
    blocks += sources.blocks(given.say("sources"), "comply_sources")
    return set_pages("record_comply", given.say("comply.title"), blocks)


def _ways(given: ReportInput) -> list[Block]:
    assessment = given.assessment
    head = heading(given.say("comply.head"), "comply_head")
    if assessment.energy_code.meets_prescriptive:
        met = [path for path in assessment.energy_code.paths if path.meets]
        margins = "; ".join(comply_words.met(path) for path in met)
        return [head, paragraph(given.say("comply.met", margins=typeset(margins)), "comply_met")]
    text = closed(capital(typeset(comply_words.ways_heading(assessment))).rstrip(":"))
    if assessment.ways is None:
        text = given.say("comply.not_looked")
    columns = (
        Column(given.say("head.change"), LEFT, 62.0),
        Column(given.say("head.outcome"), 83.0, 52.0),
        Column(given.say("head.adds"), 138.0, RIGHT - 138.0),
    )
    ways = assessment.ways.ways if assessment.ways else ()
    blocks = [
        head,
        paragraph(text, "comply_ways", with_next=bool(ways)),
        *table(columns, [_row(w) for w in ways], "ways"),
    ]
    if ways and assessment.ways and (assessment.ways.tried or assessment.ways.notes):
        tried = given.say("comply.tried", tried=typeset(comply_words.tried(assessment.ways)))
        blocks.append(paragraph(tried, "comply_tried"))
    return blocks


def _row(way: WayToComply) -> tuple[str, str, str]:
    change = capital(typeset(comply_words.change(way))).replace("->", "→")
    consequences = "\n".join(closed(capital(typeset(line))) for line in comply_words.consequences(way))
    return change, typeset(comply_words.outcome(way)), consequences or "–"


def _range(given: ReportInput, sources: SourceList) -> list[Block]:
    band = given.assessment.band
    sentence = comply_words.band_sentence(given.assessment)
    if band is None or not sentence:
        return [
            heading(given.say("comply.range"), "range_head"),
            paragraph(given.say("comply.no_range"), "range_none"),
        ]
    columns = (
        Column(given.say("head.input"), LEFT, 66.0),
        Column(given.say("head.from"), 86.0, 26.0),
        Column(given.say("head.to"), 114.0, 26.0),
        Column(given.say("head.u_alone"), 142.0, 28.0, "end"),
        Column(given.say("head.source"), 174.0, RIGHT - 174.0),
    )
    rows = [
        (
            capital(typeset(each.name)),
            typeset(each.low),
            typeset(each.high),
            f"{each.u_low_si / units.U_IP:.4f} to {each.u_high_si / units.U_IP:.4f}",
            sources.mark(each.source, given.status(each.status)),
        )
        for each in band.inputs
    ]
    return [
        heading(given.say("comply.range"), "range_head"),
        paragraph(closed(capital(typeset(sentence))), "range_words", with_next=True),
        *table(columns, rows, "range"),
        *figure_table(given, band.figures, sources, "range_figures"),
    ]
