"""Type: widths from the font file, built sixteenths, line breaks, missing characters, lengths as printed."""

from __future__ import annotations

import itertools
import math
import subprocess
import sys

import pytest
from fontTools.ttLib import TTFont
from hypothesis import given, settings
from hypothesis import strategies as st

from specgen.drawing import type as type_metrics
from specgen.drawing.type import JOIN, check_glyphs, format_drawing_length, format_scale, pieces, text_width, wrap
from specgen.errors import MissingGlyphError, PageOverflowError
from specgen.units import INCH


@pytest.mark.parametrize("bold", [False, True])
def test_width_is_the_sum_of_the_fonts_advances(bold: bool) -> None:
    font = TTFont(type_metrics.font_path(bold))
    names, metrics, em = font.getBestCmap(), font["hmtx"], font["head"].unitsPerEm
    text = "2×6 studs at 16″"
    ems = sum(metrics[names[ord(character)]][0] for character in text) / em
    assert text_width(text, 2.4, bold) == pytest.approx(ems * 2.4 / (font["OS/2"].sCapHeight / em))


def test_capital_height_of_2_4_mm_is_10_3_points() -> None:
    # 3/32 in capitals; a point is 1/72 in. The ratio 0.660 is the font's own.
    assert type_metrics.face().cap_height == pytest.approx(0.660)
    assert type_metrics.font_size(2.4) / 25.4 * 72 == pytest.approx(10.3, abs=0.05)


def test_a_letters_ink_is_as_tall_as_asked() -> None:
    from scene_reading import glyph_bounds

    ink = glyph_bounds("H", False)
    assert ink is not None
    assert (ink[3] - ink[1]) * type_metrics.font_size(2.4) == pytest.approx(2.4, abs=0.02)


def test_a_sixteenth_is_built_of_three_pieces_and_reads_back_as_text() -> None:
    runs = pieces("7⁄16″ OSB", 2.4)
    assert "".join(run.text for run in runs) == "7⁄16″ OSB"
    assert [(run.text, run.scale, run.bold) for run in runs] == [
        ("7", 0.60, True),
        ("⁄", 1.0, False),
        ("16", 0.60, True),
        ("″ OSB", 1.0, False),
    ]
    # Raised so that the numerator's top is at capital height.
    assert runs[0].rise + 0.60 * 2.4 == pytest.approx(2.4)
    assert [run.dx for run in runs] == sorted(run.dx for run in runs)


def test_a_whole_number_and_its_sixteenth_do_not_run_together() -> None:
    text = format_drawing_length(7.6875 * INCH)
    assert text == f"7{JOIN}11⁄16″"
    assert "".join(run.text for run in pieces(text, 2.0)) == text


def test_width_of_pieces_is_the_width_of_the_text() -> None:
    last = pieces(f"5{JOIN}7⁄16″", 2.4)[-1]
    assert text_width(f"5{JOIN}7⁄16″", 2.4) == pytest.approx(last.dx + text_width(last.text, 2.4))


@pytest.mark.parametrize(
    "inches, text",
    [
        (5.5, "5½″"),
        (0.875, "⅞″"),
        (0.4375, "7⁄16″"),
        (16, "16″"),
        (23.98, "2′-0″"),
        (30, "2′-6″"),
        (0, "0″"),
        (41.25, "3′-5¼″"),
    ],
)
def test_lengths_as_a_drawing_prints_them(inches: float, text: str) -> None:
    assert format_drawing_length(inches * INCH) == text


def test_thirty_seconds_only_when_asked() -> None:
    assert format_drawing_length(1.28 * INCH) == "1¼″"
    assert format_drawing_length(1.28 * INCH, 32) == f"1{JOIN}9⁄32″"


def test_scales_by_their_written_names() -> None:
    assert [format_scale(ratio) for ratio in (4, 8, 16)] == ["3″ = 1′-0″", "1½″ = 1′-0″", "¾″ = 1′-0″"]


def test_a_missing_character_is_named_with_its_text() -> None:
    with pytest.raises(MissingGlyphError, match=r"U\+2300.*'pipe ⌀2'"):
        check_glyphs("pipe ⌀2")
    with pytest.raises(MissingGlyphError, match=r"U\+4E16"):
        text_width("世", 2.4)


@pytest.mark.parametrize("sign", "½¼¾⅛⅜⅝⅞⅓⅔′″×°≤≥±²³µλΔ–—·⁄\u00a0\u202f")
def test_every_sign_of_our_texts_is_in_both_weights(sign: str) -> None:
    check_glyphs(sign)
    check_glyphs(sign, bold=True)


def test_a_number_stays_with_its_unit_and_astm_with_its_designation() -> None:
    for width in range(24, 80):
        for line in wrap("nails at 7 in on center to ASTM C1063 over 30 mil film in 100 sq ft", width, 2.4):
            assert not line.endswith(("ASTM", " 7", " 30", " 100", "sq"))


WORDS = st.lists(st.text(st.sampled_from("abcdefghinostu½″"), min_size=1, max_size=9), min_size=1, max_size=24)


@given(WORDS, st.floats(30, 120))
@settings(max_examples=150, deadline=None)
def test_wrapping_keeps_every_word_in_order_and_every_line_in_width(words: list[str], width: float) -> None:
    text = " ".join(words)
    lines = wrap(text, width, 2.4)
    assert " ".join(lines).replace("\u00a0", " ") == text
    assert all(text_width(line, 2.4) <= width + 1e-9 for line in lines)


def test_two_lines_are_balanced_and_the_last_holds_more_than_a_word() -> None:
    lines = wrap("8″ concrete block; cells grouted at 48″, others empty", 78, 2.4)
    assert len(lines) == 2
    assert abs(text_width(lines[0], 2.4) - text_width(lines[1], 2.4)) < 20
    assert " " in wrap("one two three four five six seven", 40, 2.4)[-1]


@given(st.lists(st.sampled_from(["a", "slab", "footing", "structural", "drawings", "½″"]), min_size=4, max_size=9))
@settings(max_examples=60, deadline=None)
def test_balanced_lines_are_the_most_equal_of_all_breakings(words: list[str]) -> None:
    lines = wrap(" ".join(words), 34, 2.4)
    if not 2 <= len(lines) <= 4:
        return

    def squares(broken: list[str]) -> float:
        widths = [text_width(line, 2.4) for line in broken]
        return sum(width**2 for width in widths) if max(widths) <= 34 else math.inf

    alone = " " not in lines[-1]
    others = []
    for cuts in itertools.combinations(range(1, len(words)), len(lines) - 1):
        broken = [" ".join(words[a:b]) for a, b in itertools.pairwise((0, *cuts, len(words)))]
        if alone or " " in broken[-1]:
            others.append(squares(broken))
    assert squares(list(lines)) <= min(others) + 1e-6


def test_a_type_stays_with_its_numeral_and_a_note_holds_no_stump() -> None:
    for width in range(26, 60):
        assert not any(line.endswith("Type") for line in wrap("4″ EPS board, Type II, in two layers", width, 2.4))
        for text in ("Slab and footing as on the structural drawings", "8″ concrete block", "Metal lath, self-furring"):
            lines = wrap(text, width, 2.4)
            assert min(len(line) for line in lines) >= 5


def test_a_word_wider_than_its_place_is_named() -> None:
    with pytest.raises(PageOverflowError, match="incomprehensibilities"):
        wrap("some incomprehensibilities here", 20, 2.4)


def test_metrics_do_not_import_geometry() -> None:
    code = "import sys, specgen.drawing.type as t; t.text_width('a', 2.4); print('shapely' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, text=True).stdout.strip() == "False"
