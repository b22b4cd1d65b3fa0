"""SVG: well-formed, in millimeters, described for those who cannot see it, the same bytes each time."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import xml.etree.ElementTree as ElementTree
from pathlib import Path

import pytest

from specgen.drawing.callouts import callouts
from specgen.drawing.sheet import base_sheet, wall_sheet
from specgen.errors import MissingGlyphError
from specgen.library.load import open_library
from specgen.model.scene import Circle, Dots, Group, Line, Scene, Strokes, Text
from specgen.model.wall import Wall
from specgen.write.svg import write_svg

SVG = "{http://www.w3.org/2000/svg}"
ROOT = Path(__file__).parents[2]
WALLS = list(open_library().walls())
SCENES = [(wall, sheet(wall, "W1", "Invented house")) for wall in WALLS for sheet in (wall_sheet, base_sheet)]
FILES = [(wall, write_svg(scene)) for wall, scene in SCENES]
RATIOS = {id(text): scene.views[0].ratio for (_, scene), (_, text) in zip(SCENES, FILES, strict=True)}
files = pytest.mark.parametrize("wall, text", FILES, ids=[f"{wall.name}-{n % 2}" for n, (wall, _) in enumerate(FILES)])


def _scene(*items: Line | Strokes | Dots | Circle | Text | Group, title: str = "t") -> Scene:
    return Scene("x", title, "d", 100.0, 50.0, (), Group("sheet", items))


@files
def test_parses_and_is_sized_in_millimeters(wall: Wall, text: str) -> None:
    root = ElementTree.fromstring(text)
    assert root.tag == f"{SVG}svg"
    assert (root.get("width"), root.get("height")) == ("215.9mm", "279.4mm")
    assert root.get("viewBox") == "0 0 215.9 279.4"


@files
def test_title_and_description_come_first_and_are_referred_to(wall: Wall, text: str) -> None:
    root = ElementTree.fromstring(text)
    first, second = list(root)[:2]
    assert (first.tag, second.tag) == (f"{SVG}title", f"{SVG}desc")
    assert root.get("role") == "img"
    assert root.get("{http://www.w3.org/XML/1998/namespace}lang") == "en-US"
    assert (root.get("aria-labelledby") or "").split() == [first.get("id"), second.get("id")]
    for call in callouts(wall):
        assert call.note in (second.text or "")


@files
def test_ids_are_unique_and_layers_keep_theirs(wall: Wall, text: str) -> None:
    root = ElementTree.fromstring(text)
    names = [element.get("id") for element in root.iter() if element.get("id")]
    assert len(names) == len(set(names))
    groups = {element.get("id"): element for element in root.iter(f"{SVG}g")}
    for layer in wall.layers:
        title = groups[layer.id].find(f"{SVG}title")
        assert title is not None and title.text
    prefix = root[0].get("id", "").removesuffix("-title")
    own = set(names) - {layer.id for layer in wall.layers}
    assert all(name is not None and name.startswith(prefix) for name in own)


@files
def test_layer_outline_in_the_file_has_the_true_thickness(wall: Wall, text: str) -> None:
    root = ElementTree.fromstring(text)
    scale = RATIOS[id(text)]
    groups = {element.get("id"): element for element in root.iter(f"{SVG}g")}
    for layer in wall.layers:
        closed = [path for path in groups[layer.id].findall(f"{SVG}path") if path.get("d", "").endswith("Z")]
        assert len(closed) == 1
        xs = [float(pair.split()[0]) for pair in re.split("[MLZ]", closed[0].get("d", "")) if pair]
        assert (max(xs) - min(xs)) * scale == pytest.approx(layer.depth * 1000, abs=0.1)


@files
def test_nothing_foreign_and_no_color(wall: Wall, text: str) -> None:
    assert not re.search(r"<(?:script|style|pattern|image|use|marker|foreignObject)\b|href|url\(|class=", text)
    assert set(re.findall(r"#[0-9a-fA-F]{6}", text)) <= {"#000000", "#666666", "#ffffff"}
    assert not re.search(r"\d\.\d{4,}", text), "numbers are rounded once, to three places"


def test_a_sixteenth_reads_back_as_text() -> None:
    text = write_svg(_scene(Text((10, 10), "siding, 5⁄16″, 7″ exposure")))
    element = next(ElementTree.fromstring(text).iter(f"{SVG}text"))
    assert "".join(element.itertext()) == "siding, 5⁄16″, 7″ exposure"
    assert element.get("{http://www.w3.org/XML/1998/namespace}space") == "preserve"


def test_control_characters_and_markup_in_texts_do_no_harm() -> None:
    scene = _scene(Text((10, 10), 'a < b & "c"'), title="bad \x00\x07 <title> & more")
    root = ElementTree.fromstring(write_svg(scene))
    assert root[0].text == "bad  <title> & more"
    assert next(root.iter(f"{SVG}text")).text == 'a < b & "c"'


def test_a_character_without_glyph_is_refused() -> None:
    with pytest.raises(MissingGlyphError, match="U\\+2300"):
        write_svg(_scene(Text((1, 1), "⌀")))


def test_equal_group_ids_are_kept_apart() -> None:
    text = write_svg(_scene(Group("a", ()), Group("a", ())))
    names = re.findall(r'\bid="([^"]+)"', text)
    assert len(names) == len(set(names))


def test_every_kind_of_item_is_spelled() -> None:
    text = write_svg(
        _scene(
            Line(((0, 0), (10, 0)), 0.7, dash=(4.0, 1.2)),
            Line(((0, 0), (10, 0), (10, 10)), 0.0, closed=True, fill="black", stroked=False),
            Strokes((((0, 0), (1, 1)),), 0.13),
            Dots(((2, 2), (3, 3)), 0.11),
            Circle((5, 5), 2.5, 0.35, fill="white"),
            Text((4, 4), "turned", 2.0, "middle", bold=True, turn=90),
        )
    )
    root = ElementTree.fromstring(text)
    paths = [dict(path.attrib) for path in root.iter(f"{SVG}path")]
    assert paths[0]["stroke-width"] == "0.7" and paths[0]["stroke-dasharray"] == "4 1.2"
    assert "stroke" not in paths[1] and paths[1]["fill"] == "#000000"
    assert paths[3]["stroke-linecap"] == "round" and paths[3]["stroke-width"] == "0.22"
    word = next(root.iter(f"{SVG}text"))
    assert (word.get("transform"), word.get("font-weight")) == ("rotate(-90 4 4)", "600")
    # 2.0 mm capitals of a font whose capitals are 0.66 em.
    assert float(word.get("font-size", "")) == pytest.approx(2.0 / 0.66, abs=0.001)


def test_same_wall_same_bytes_in_every_process() -> None:
    code = (
        "import hashlib; from specgen.library.load import open_library; from specgen.drawing.sheet import wall_sheet;"
        "from specgen.write.svg import write_svg;"
        "walls = list(open_library().walls())[::4];"
        "print([hashlib.sha256(write_svg(wall_sheet(wall)).encode()).hexdigest() for wall in walls])"
    )
    outputs = {
        subprocess.run(
            [sys.executable, "-c", code], env={**os.environ, "PYTHONHASHSEED": seed}, cwd=ROOT,
            capture_output=True, check=True,
        ).stdout
        for seed in ("1", "77")
    }  # fmt: skip
    assert len(outputs) == 1
