"""Setting a flow in pages: what stays together, where lines break, what the margins are."""

from __future__ import annotations

import pytest

from specgen.drawing.type import NOTE, TIE, text_width
from specgen.errors import MissingGlyphError
from specgen.model.document import Flow, Heading, Paragraph, Run, Table
from specgen.model.scene import Group, Line, Scene, Text
from specgen.write.pages import BOTTOM, FOOTER_RULE, LEFT, RIGHT, TEXT_AT, break_lines, set_pages

WORDS = "Rod and darby the coat to a plane, then float it when it has set enough to take the float. "


def paragraph(text: str, level: int = 1, number: str = "A.") -> Paragraph:
    return Paragraph((Run(text),), level, number)


def pages_of(*blocks: Heading | Paragraph | Table) -> tuple[Scene, ...]:
    return set_pages(Flow(blocks, "left", "right", "foot", "{page}"), "text", "A test")


def texts(page: Scene) -> list[Text]:
    return [item for item in page.walk() if isinstance(item, Text)]


def body_texts(page: Scene) -> list[str]:
    return [item.text for item in texts(page) if 25.0 < item.at[1] < FOOTER_RULE]


def page_with(pages: tuple[Scene, ...], text: str) -> int:
    return next(number for number, page in enumerate(pages) if any(text in line for line in body_texts(page)))


def filler(lines: int) -> list[Paragraph]:
    return [paragraph(f"Filler {number}.") for number in range(lines)]


def test_nothing_leaves_the_margins() -> None:
    blocks = [Heading("A long title " * 9, 0, "SECTION 00 00 00"), Heading("GENERAL", 1, "PART 1")]
    for article in range(14):
        blocks.append(Heading(f"Article {article}", 2, f"1.{article}"))
        blocks += [paragraph(WORDS * 3), paragraph(WORDS, 2, "1."), paragraph(WORDS, 3, "a.")]
        blocks.append(Table(("Coat", "Mix"), (("Scratch", WORDS), ("Brown", "3 to 5")), (1, 4)))
    pages = pages_of(*blocks)
    assert len(pages) > 2
    for page in pages:
        for item in texts(page):
            left = item.at[0] if item.anchor == "start" else item.at[0] - text_width(item.text, item.size, item.bold)
            assert left >= LEFT - 1e-6
            assert left + text_width(item.text, item.size, item.bold) <= RIGHT + 1e-6
        assert max(item.at[1] for item in texts(page) if item.at[1] < FOOTER_RULE) <= BOTTOM


@pytest.mark.parametrize("lines", range(28, 46))
def test_article_of_two_paragraphs_is_whole(lines: int) -> None:
    pages = pages_of(
        Heading("First", 2, "1.1"), *filler(lines), Heading("Kept", 2, "1.2"), paragraph("one."), paragraph("two.")
    )
    assert page_with(pages, "Kept") == page_with(pages, "one.") == page_with(pages, "two.")


@pytest.mark.parametrize("lines", range(28, 46))
def test_longer_article_keeps_two_paragraphs_with_its_heading_and_two_at_its_end(lines: int) -> None:
    long = [paragraph(f"Item {number}.") for number in range(12)]
    pages = pages_of(Heading("First", 2, "1.1"), *filler(lines), Heading("Kept", 2, "1.2"), *long)
    assert page_with(pages, "Kept") == page_with(pages, "Item 0.") == page_with(pages, "Item 1.")
    assert page_with(pages, "Item 10.") == page_with(pages, "Item 11.")


@pytest.mark.parametrize("lines", range(28, 46))
def test_colon_keeps_its_list_and_an_item_its_table(lines: int) -> None:
    listed = [paragraph("These:"), paragraph("alpha", 2, "1."), paragraph("beta", 2, "2.")]
    table = [paragraph("Mixes."), Table(("Coat", "Sand"), (("Scratch", "4"), ("Brown", "5")), (1, 1))]
    pages = pages_of(Heading("First", 2, "1.1"), *filler(lines), *listed, *table, *filler(3))
    assert page_with(pages, "These:") == page_with(pages, "alpha") == page_with(pages, "beta")
    assert page_with(pages, "Mixes.") == page_with(pages, "Coat") == page_with(pages, "Brown")


def test_part_heading_never_stands_alone_at_the_foot() -> None:
    for lines in range(28, 46):
        pages = pages_of(
            Heading("A", 2, "1.1"), *filler(lines), Heading("PRODUCTS", 1, "PART 2"), Heading("B", 2, "2.1"),
            paragraph("goes on."),
        )  # fmt: skip
        assert page_with(pages, "PRODUCTS") == page_with(pages, "goes on.")


def test_table_longer_than_a_page_repeats_its_head() -> None:
    rows = tuple((f"row {number}", "value") for number in range(80))
    pages = pages_of(Heading("Long", 2, "1.1"), Table(("Name", "Figure"), rows, (1, 1)))
    assert len(pages) > 1
    assert all("Figure" in body_texts(page) for page in pages)
    assert [line for page in pages for line in body_texts(page) if line.startswith("row")] == [row[0] for row in rows]


def test_paragraph_longer_than_a_page_is_set_in_full() -> None:
    pages = pages_of(paragraph(WORDS * 60))
    assert len(pages) == 2
    assert " ".join(line for page in pages for line in body_texts(page)[(page is pages[0]) :]) == (WORDS * 60).strip()


def test_number_never_parts_from_its_unit() -> None:
    text = "Lap sides 1/2 in. and ends 2 in. in accordance with ASTM C1063 over 144 sq. ft at 40 °F for 48 hours."
    for width in range(20, 120, 3):
        lines = ["".join(run.text for run in line) for line in break_lines((Run(text),), width, NOTE)]
        for unit in ("in.", "C1063", "sq.", "ft", "°F", "hours"):
            if text_width("ASTM C1063", NOTE) < width:
                assert not any(line.replace(TIE, " ").startswith(unit) for line in lines), (width, lines)


def test_last_line_is_not_one_word() -> None:
    for width in range(40, 150):
        lines = break_lines((Run(WORDS),), width, NOTE)
        if len(lines) > 1:
            assert " " in "".join(run.text for run in lines[-1])


def test_word_wider_than_the_column_is_cut_not_lost() -> None:
    word = "W" * 200
    lines = break_lines((Run(word),), 60.0, NOTE)
    assert "".join(run.text for line in lines for run in line) == word
    assert all(sum(text_width(run.text, NOTE, run.bold) for run in line) <= 60.0 for line in lines)


def test_bold_inside_brackets_stays_one_word() -> None:
    runs = (Run("["), Run("one", bold=True), Run("] or [two]."))
    (line,) = break_lines(runs, 100.0, NOTE)
    assert [(run.text, run.bold) for run in line] == [("[", False), ("one", True), ("] or [two].", False)]


def test_outline_levels_stand_on_the_grid() -> None:
    (page,) = pages_of(
        Heading("A", 2, "1.1"), paragraph("first"), paragraph("second", 2, "1."), paragraph("third", 3, "a.")
    )
    at = {item.text: item.at[0] for item in texts(page)}
    assert (at["first"], at["second"], at["third"]) == TEXT_AT[1:]
    assert at["A."] == 37.0  # look of the page: margins 25 and 19, article 25, letter 37, text 44, next level 51


def test_rules_and_running_lines() -> None:
    (page,) = pages_of(Heading("A", 2, "1.1"), paragraph("text"))
    running = next(item for item in page.walk() if isinstance(item, Group) and item.id.endswith("-running"))
    assert [item.text for item in running.items if isinstance(item, Text)] == ["left", "right", "foot", "1"]
    assert sum(isinstance(item, Line) for item in running.items) == 2


def test_character_without_glyph_is_refused() -> None:
    with pytest.raises(MissingGlyphError, match="U\\+4E00"):
        pages_of(paragraph("a 一 b"))
