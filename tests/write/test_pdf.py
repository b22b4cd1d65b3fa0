"""The PDF file itself: fonts, text, metadata, outline, the DRAFT mark, the same bytes every time."""

from __future__ import annotations

import io
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from pypdf import PdfReader

from specgen.errors import MissingGlyphError
from specgen.model.document import Document, Flow, Heading, Paragraph, Run, Table
from specgen.model.scene import Circle, Dots, Group, Line, Scene, Strokes, Text
from specgen.write.pdf import DRAFT_TEXT, write_pdf

HOSTILE = "<b>bold</b> & <img src='/etc/passwd'/> {{7*7}} {% x %} <a href=\"javascript:1\">a</a> &lt; ∆"
CONTROLS = "a\x00b\x07c\x1bd\u0085e"

FLOW = Flow(
    (
        Heading("Wall <1>", 0, "SECTION 09 24 23"),
        Heading("GENERAL", 1, "PART 1"),
        Heading("Summary", 2, "1.1"),
        Paragraph((Run("Sheathing 7⁄16 in. thick, ["), Run("one", bold=True), Run("].")), 1, "A."),
        Table(("Coat", "Sand"), (("Scratch", "2½ to 4"),), (1, 1)),
    ),
    "left",
    "right",
    "foot",
    "09 24 23 – {page}",
)
SCENE = Scene(
    "sheet", "Section of the wall", "stucco, sheathing", 215.9, 279.4,
    sheet=Group("all", (
        Line(((20, 20), (190, 20), (190, 200)), 0.5, (2.0, 1.0)),
        Line(((20, 30), (60, 30), (60, 50)), 0.25, closed=True, fill="white"),
        Strokes((((10, 10), (20, 20)), ((12, 10), (22, 20)))),
        Dots(((30, 40), (31, 42))),
        Circle((50, 60), 4, fill="black"),
        Text((100, 100), "5 7⁄16″ turned", 2.4, "middle", turn=90),
        Text((100, 120), "EXTERIOR", 2.4, "end", bold=True, ink="gray"),
    )),
)  # fmt: skip


def document(*parts: Flow | Scene, **fields: object) -> Document:
    return Document("test", "A test", "Testing", parts or (FLOW, SCENE), **fields)  # type: ignore[arg-type]


def text_of(content: bytes) -> list[str]:
    return [page.extract_text() for page in PdfReader(io.BytesIO(content)).pages]


def flow_with(text: str) -> Flow:
    return Flow((Heading(text, 2, "1.1"), Paragraph((Run(text),), 1, "A.")), text, text, text, "{page}")


def checked_tool(name: str) -> str:
    found = shutil.which(name)
    if found is None:
        if os.environ.get("CI"):
            pytest.fail(f"{name} is not installed")
        pytest.skip(f"{name} is not installed")
    return found


def test_text_comes_out_as_it_went_in() -> None:
    first, second = text_of(write_pdf(document()))
    for words in ("SECTION 09 24 23", "PART 1 – GENERAL", "7⁄16 in. thick, [one].", "2½ to 4", "09 24 23 – 1"):
        assert words in first
    assert "7⁄16″ turned" in second.replace("\n", "")
    assert "EXTERIOR" in second


@pytest.mark.parametrize("text", [HOSTILE, CONTROLS])
def test_user_text_prints_literally(text: str) -> None:
    content = write_pdf(document(flow_with(text)))
    printed = "".join(character for character in text if character.isprintable())
    (page,) = text_of(content)
    assert printed in page.replace("\n", " ")
    assert b"/URI" not in content and b"/JavaScript" not in content and b"/XObject" not in content


def test_metadata_and_outline() -> None:
    reader = PdfReader(io.BytesIO(write_pdf(document(date="2026-11-04", author="Office (invented)"))))
    assert reader.pdf_header == "%PDF-1.7"
    info = reader.metadata
    assert info is not None
    assert (info.title, info.author, info.subject) == ("A test", "Office (invented)", "Testing")
    assert (info.creator, info.producer) == ("specgen", "specgen")
    assert str(info.creation_date).startswith("2026-11-04")
    assert reader.trailer["/Root"]["/Lang"] == "en-US"
    outline = reader.outline
    assert outline[0]["/Title"] == "SECTION 09 24 23 Wall <1>"
    assert outline[1][0]["/Title"] == "PART 1 – GENERAL"
    assert outline[1][1][0]["/Title"] == "1.1 Summary"
    assert outline[2]["/Title"] == "Section of the wall"


def test_only_our_two_fonts_embedded_and_subset(tmp_path: Path) -> None:
    tool = checked_tool("pdffonts")
    path = tmp_path / "a.pdf"
    path.write_bytes(write_pdf(document(draft=True)))
    lines = subprocess.run([tool, path], capture_output=True, text=True, check=True).stdout.splitlines()[2:]
    assert sorted(line.split()[0].partition("+")[2] for line in lines) == [
        "SourceSansPro-Regular",
        "SourceSansPro-Semibold",
    ]
    assert all(line.split()[-5:-2] == ["yes", "yes", "yes"] for line in lines)  # embedded, subset, to Unicode


def test_file_is_sound(tmp_path: Path) -> None:
    tool = checked_tool("qpdf")
    path = tmp_path / "a.pdf"
    path.write_bytes(write_pdf(document(draft=True)))
    done = subprocess.run([tool, "--check", path], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr


def test_every_page_of_a_draft_is_marked_once() -> None:
    pages = text_of(write_pdf(document(draft=True)))
    assert [page.count(DRAFT_TEXT) for page in pages] == [1, 1]
    assert not any(DRAFT_TEXT in page for page in text_of(write_pdf(document())))
    own = Scene("s", "t", "d", 215.9, 279.4, sheet=Group("s", (Text((20, 20), "DRAFT: own mark"),)))
    (page,) = text_of(write_pdf(document(own, draft=True)))
    assert page.count("DRAFT") == 1


def test_black_gray_and_white_only() -> None:
    for page in PdfReader(io.BytesIO(write_pdf(document(draft=True)))).pages:
        contents = page.get_contents()
        assert contents is not None
        colors = {
            tuple(float(number) for number in operands)
            for operands, operator in contents.operations
            if operator in (b"rg", b"RG")
        }
        assert colors <= {(0.0, 0.0, 0.0), (0.4, 0.4, 0.4), (1.0, 1.0, 1.0)}
        assert not {operator for _, operator in contents.operations} & {b"k", b"K", b"Do"}


def test_scene_page_has_the_size_of_the_scene() -> None:
    wide = Scene("wide", "Wide", "", 914.4, 609.6, sheet=Group("g", (Text((10, 10), "A"),)))
    (page,) = PdfReader(io.BytesIO(write_pdf(document(wide)))).pages
    assert float(page.mediabox.width) == pytest.approx(914.4 / 25.4 * 72, abs=0.01)
    assert float(page.mediabox.height) == pytest.approx(609.6 / 25.4 * 72, abs=0.01)


def test_missing_glyph_stops_the_file() -> None:
    with pytest.raises(MissingGlyphError, match="typeface has no character"):
        write_pdf(document(flow_with("snow ☃")))


SCRIPT = """
import hashlib, sys
sys.path.insert(0, {here!r})
from test_pdf import document
from specgen.write.pdf import write_pdf
print(hashlib.sha256(write_pdf(document(draft=True, date="2026-11-04"))).hexdigest())
"""


def test_same_bytes_in_processes_with_different_hash_seeds() -> None:
    script = SCRIPT.format(here=str(Path(__file__).parent))
    digests = set()
    for seed in ("1", "77"):
        environment = {**os.environ, "PYTHONHASHSEED": seed}
        done = subprocess.run(
            [sys.executable, "-c", script], capture_output=True, text=True, env=environment, check=True
        )
        digests.add(done.stdout)
    assert len(digests) == 1
