"""Values and texts as the pages for the site print them, and the catalogs that hold every fixed sentence."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from specgen import documents, units
from specgen.documents.messages import load_messages, placeholders
from specgen.documents.setting import break_text, line_width
from specgen.documents.site_words import duration, fahrenheit, inch_mark, inches, long_date, mph
from specgen.drawing.type import NOTE, check_glyphs
from specgen.drawing.typeset import tabled, typeset
from specgen.errors import PageOverflowError

NB = "\u00a0"


@pytest.mark.parametrize(
    ("written", "printed"),
    [
        ("gaps 1/8 in wide", f"gaps ⅛{NB}in wide"),
        ("3-1/2 in flange", f"3½{NB}in flange"),
        ("7/16 in OSB", f"7⁄16{NB}in OSB"),
        ("5 7/16 in", f"5\u202f7⁄16{NB}in"),
        ("2x6 at 16 in", f"2×6 at 16{NB}in"),
        ("40 F and rising", f"40{NB}°F and rising"),
        ("the maker's sheet", "the maker’s sheet"),
        ('a "clean" wall', "a “clean” wall"),
        ("damp 48 h", f"damp 48{NB}h"),
        ("100 sq ft", f"100{NB}sq{NB}ft"),
        ("**not bold**", "* *not bold* *"),
        ("mix 1:4 by volume", "mix 1:4 by volume"),
        ("sheet A1/2", "sheet A1/2"),
    ],
)
def test_texts_of_files_become_sentences(written: str, printed: str) -> None:
    assert typeset(written) == printed
    check_glyphs(typeset(written))


def test_tables_print_the_inch_mark() -> None:
    assert tabled("Laps 2 in, gaps 1/8 in") == "Laps 2″, gaps ⅛″"
    assert tabled("6 in into the wall in one piece") == "6″ into the wall in one piece"


def test_values_are_one_token() -> None:
    assert inches(5.5 * units.INCH) == f"5½{NB}in" and inches(18 * units.FOOT) == f"18{NB}ft"
    assert inches(24 * units.INCH) == f"24{NB}in"
    assert inch_mark(24 * units.INCH) == "24″" and inch_mark(7 / 16 * units.INCH) == "7⁄16″"
    assert duration(48 * 3600) == f"48{NB}h" and duration(7 * 86400) == f"7{NB}days" and duration(900) == f"15{NB}min"
    assert fahrenheit(40 / 9) == f"40{NB}°F" and mph(15 * units.MPH) == f"15{NB}mph"
    assert long_date(2026, 11, 5) == f"November{NB}5,{NB}2026"


def test_lines_are_balanced_and_keep_their_bold() -> None:
    lines = break_text("Air and wall at least **40 °F** and keep the rain off for a day", 50.0)
    widths = [line_width(line, NOTE) for line in lines]
    assert len(lines) >= 2 and max(widths) <= 50.0 and max(widths) - min(widths) < 25
    assert [run.text.strip() for line in lines for run in line if run.bold] == [f"40{NB}°F"]


def test_a_word_too_wide_names_itself_and_the_excess() -> None:
    with pytest.raises(PageOverflowError, match=r"step 3: 'Superintendent' is \d+\.\d mm wider than its 10 mm"):
        break_text("Call the Superintendent", 10.0, where="step 3")


SOURCES = "\n".join(path.read_text(encoding="utf-8") for path in sorted(Path(documents.__file__).parent.glob("*.py")))


# Ids that end in a word of the model; the last test of this file holds them against it.
BY_MODEL = (
    "into.", "fastener.", "coating.", "kind.", "status.", "base.support.", "base.termination.", "family.", "side.",
    "drawing.control_", "code.path_", "table.",
)  # fmt: skip


@pytest.mark.parametrize("document", ["crew", "schedule"])
def test_every_sentence_of_a_catalog_is_used(document: str) -> None:
    for id in load_messages(document).sentences:
        quoted = [f"{mark}{text}{mark}" for text in {id, id.partition(".")[2] or id} for mark in "'\""]
        assert id.startswith(BY_MODEL) or any(text in SOURCES for text in quoted), f"{document}: {id} is not used"


@pytest.mark.parametrize("document", ["crew", "schedule"])
def test_catalog_has_no_pieces_and_its_signs_are_in_the_font(document: str) -> None:
    for id, text in load_messages(document).sentences.items():
        assert text == text.strip() and text.count("**") % 2 == 0, id
        assert "'" not in text and '"' not in text, id  # true quotes only
        check_glyphs(re.sub(r"\{\w+\}", "", text))
        assert all(re.fullmatch(r"[a-z_]+", name) for name in placeholders(text)), id


def test_every_enumerated_word_of_the_model_has_its_message() -> None:
    from typing import get_args

    from specgen.model.material import Kind
    from specgen.model.wall import Base, Fastening

    crew = load_messages("crew")

    def words(model: type, name: str) -> set[str]:
        annotation = model.model_fields[name].annotation  # type: ignore[attr-defined]
        options = get_args(annotation)
        return {word for option in options for word in (get_args(option) or (option,)) if isinstance(word, str)}

    assert all(crew.has(f"fastener.{word}") for word in words(Fastening, "type"))
    assert all(crew.has(f"into.{word}") for word in words(Fastening, "into"))
    assert all(crew.has(f"coating.{word}") for word in words(Fastening, "coating"))
    assert all(crew.has(f"base.support.{word}") for word in words(Base, "support"))
    assert all(crew.has(f"base.termination.{word}") for word in words(Base, "termination"))
    assert all(crew.has(f"kind.{word}") for word in get_args(Kind) if word != "coating")
