"""Light markup: lines become blocks, an unknown line is refused, a user's text stays text."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from specgen.documents.markup import MarkupError, literal, parse_markup, typeset
from specgen.model.document import Heading, Paragraph, Run, Table


def text_of(block: Heading | Paragraph | Table) -> str:
    assert isinstance(block, Paragraph)
    return "".join(run.text for run in block.runs)


def test_outline_is_numbered_and_empty_articles_go() -> None:
    marked = parse_markup(
        "# GENERAL\n## Summary\n- one\n-- first\n-- second\n--- deep\n- two\n## Nothing here\n## Rest\n- three\n"
        "# PRODUCTS\n## Only\n- four\n  goes on\n> at the margin\n",
        "t",
    )
    numbers = [
        (block.number, block.text if isinstance(block, Heading) else text_of(block))
        for block in marked.blocks
        if not isinstance(block, Table)
    ]
    assert numbers == [
        ("PART 1", "GENERAL"), ("1.1", "Summary"), ("A.", "one"), ("1.", "first"), ("2.", "second"), ("a.", "deep"),
        ("B.", "two"), ("1.2", "Rest"), ("A.", "three"), ("PART 2", "PRODUCTS"), ("2.1", "Only"),
        ("A.", "four goes on"), ("", "at the margin"),
    ]  # fmt: skip


def test_letters_go_on_after_z() -> None:
    marked = parse_markup("## A\n" + "- item\n" * 28, "t")
    assert [block.number for block in marked.blocks][-3:] == ["Z.", "AA.", "AB."]


def test_table_with_columns() -> None:
    marked = parse_markup("## A\n|= 2l 1r\n| Coat | Sand |\n| Scratch | 2-1/2 to 4 |\n| Finish | |\n", "t")
    assert marked.blocks[1] == Table(("Coat", "Sand"), (("Scratch", "2½ to 4"), ("Finish", "")), (2.0, 1.0), "lr")


def test_choice_prints_its_first_option_when_issued_and_all_when_open() -> None:
    line = "- Samples: [one] [three] of each, [zinc alloy] [PVC].\n"
    issued = parse_markup(line, "t")
    assert (text_of(issued.blocks[0]), issued.open_choices) == ("Samples: one of each, zinc alloy.", 0)
    draft = parse_markup(line, "t", open_choices=True)
    assert draft.open_choices == 2
    assert isinstance(draft.blocks[0], Paragraph)
    assert draft.blocks[0].runs[:5] == (
        Run("Samples: ["), Run("one", bold=True), Run("] ["), Run("three", bold=True), Run("] of each, ["),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("A sentence without a mark.", "rendered line 1: not markup: 'A sentence without a mark.'"),
        ("- fine\n#### deep", "rendered line 2: not markup: '#### deep'"),
        ("-", "'-' without a text"),
        ("- one **bold", r"\*\* opened and not closed"),
        ("- only [one] here", "is no choice of two or more"),
        ("- [a] []", "is no choice of two or more"),
        ("|= 2l 1q\n| a | b |\n| c | d |", "column '1q'; expected for example 2l"),
        ("|= 2l 1r\n| a | b |\n| c |\n", "table needs a head, a row and 2 cells"),
        ("| a | b |\n- next", "table needs a head, a row"),
        ("|= 1l\n- next", "a table without rows"),
        ("  goes on", "nothing to continue"),
    ],
)
def test_broken_markup_is_refused(text: str, message: str) -> None:
    with pytest.raises(MarkupError, match=f"template spec/x.txt, .*{message}"):
        parse_markup(text, "spec/x.txt")


@given(st.text(max_size=80))
def test_a_users_text_prints_as_it_is_written(text: str) -> None:
    """Whatever it holds, it makes no block, no bold, no choice, no cell, and loses only white space and controls."""
    marked = parse_markup(f"- before {literal(text)} after", "t", open_choices=True)
    assert marked.open_choices == 0
    (block,) = marked.blocks
    assert isinstance(block, Paragraph) and len(block.runs) == 1
    for mark in "*[]|":
        assert block.runs[0].text.count(mark) == text.count(mark)


@pytest.mark.parametrize("text", ["**x**", "[a] [b]", "| a | b |", "# head", "- item", "> out", "+ more", "\n# x"])
def test_markup_in_a_users_text_is_literal_at_the_start_of_a_line_too(text: str) -> None:
    with pytest.raises(MarkupError, match="not markup"):
        parse_markup(literal(text), "t")
    assert text_of(parse_markup("- " + literal(text), "t").blocks[0]) == text.strip()


@pytest.mark.parametrize(
    ("typed", "printed"),
    [
        ("5/8 in thick", "⅝ in. thick"),
        ("7-11/16 in.", "7\u202f11⁄16 in."),
        ("3-1/2 in", "3½ in."),
        ("1 1/2 in long", "1½ in. long"),
        ("over 1/32 in.", "over 1⁄32 in."),
        ("span rating 24/16", "span rating 24/16"),
        ("flame spread 75/450", "flame spread 75/450"),
        ("within 1/4 in. over 10 ft", "within ¼ in. over 10 ft"),
        ("1/4 in 10 ft", "¼ in 10 ft"),
        ("ends 1 in.. Tie", "ends 1 in. Tie"),
        ("2x6 studs", "2×6 studs"),
        ("40 F and rising", "40 °F and rising"),
        ("90 deg F", "90 °F"),
        ('5/8" board', "⅝ in. board"),
        ('the "first" one', "the “first” one"),
        ("the maker's letter", "the maker’s letter"),
        ("3 to 5, 1/2 to 1", "3 to 5, ½ to 1"),
        ("EN 1062-3", "EN 1062-3"),
        ("A 0/4 or 4/4", "A 0/4 or 4/4"),
    ],
)
def test_signs_of_the_page(typed: str, printed: str) -> None:
    assert typeset(typed) == printed
