"""The DXF file: audit clean, full size, based at the set-out face, read back by a reader other than the writer."""

from __future__ import annotations

import hashlib
import io
import os
import pickle
import re
import shutil
import subprocess
import sys
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import ezdxf
import pytest
import yaml
from ezdxf.document import Drawing
from pypdf import PdfReader

from specgen.data import load_table
from specgen.documents.drawing_set import drawing_document
from specgen.drawing.layout import CONTROL_DASHES
from specgen.errors import SpecgenError, UnknownNameError
from specgen.library.load import open_library
from specgen.model.scene import Circle, Dots, Group, Line, Scene, Strokes, Text, View
from specgen.model.wall import Wall
from specgen.units import INCH
from specgen.write.dxf import _fixed_metadata, _sort_classes, write_dxf
from specgen.write.dxf_layers import layer_table
from specgen.write.dxf_marks import add_dot, add_stroke
from specgen.write.dxf_text import legal_name, plain

LIBRARY = open_library()
NAMES = [wall.name for wall in LIBRARY.walls()]
# One wall of each construction is read back whole, the others without their stipple.
WHOLE = {wall.construction: wall.name for wall in LIBRARY.walls()}.values()
ALWAYS_THERE = {"0", "Defpoints"}  # every DXF file has them
# Header values as the DXF reference lists them: $INSUNITS 1 inches, 4 millimeters; $MEASUREMENT 0 imperial, 1 metric.
INCHES, MILLIMETERS = 1, 4

SCENE = Scene(
    "a_wall", "A wall", "stucco, sheathing", 215.9, 279.4,
    views=(
        View("section", "Section", 8.0, "1½″ = 1′-0″", (60.0, 140.0), Group("section", (
            Group("board", (
                Line(((60, 40), (70, 40), (70, 140), (60, 140)), 0.5, closed=True),
                Group("hatch", (Strokes((((61, 50), (65, 55)),)), Dots(((66, 60), (67, 61)), 0.11)), "", "hatch"),
            ), "Board", "layer"),
            Group("film", (
                Line(((70, 40), (70.1, 40), (70.1, 140), (70, 140)), 0.0, closed=True, stroked=False),
                Line(((70.4, 40), (70.4, 140)), 0.7, (4.0, 1.2, 0.7, 1.2)),
            ), "Film", "layer"),
            Group("masks", (
                Line(((60, 39), (70, 39), (70, 40)), 0, closed=True, ink="white", fill="white", stroked=False),
            ), "", "frame"),
        ))),
        View("plan", "Plan", 4.0, "3″ = 1′-0″", (60.0, 200.0), Group("plan", (
            Group("plan-board", (Line(((20, 200), (90, 200), (90, 210)), 0.35, (1.5, 1.5), True),), "", "layer"),
        ))),
    ),
    sheet=Group("sheet", (
        Group("header", (Text((18, 18), "Wall", 3.5), Text((190, 18), "DRAFT: not for construction")), "", "frame"),
        Group("notes", (
            Text((100, 60), "5 7⁄16″ stud, 8½″ × 2′-6″"), Line(((70, 62), (98, 60)),),
            Circle((70, 62), 0.8, fill="white", stroked=False), Circle((70, 62), 0.45, fill="black", stroked=False),
        ), "", "leader"),
        Group("title_plan", (Circle((23, 230), 5), Text((23, 231), "2", anchor="middle", bold=True)), "Plan", "frame"),
        Group("dims", (Text((30, 100), "5 7⁄16″", 2.0, "end", turn=90),), "", "dimension"),
    )),
)  # fmt: skip


@cache
def written(name: str) -> bytes:
    wall = wall_named(name)
    scenes = drawing_document(wall, tag="W1").scenes
    if name not in WHOLE:
        scenes = tuple(
            replace(
                scene, views=tuple(replace(view, group=without_stipple(view.group)) for view in scene.views)
            )
            for scene in scenes
        )  # fmt: skip
    return write_dxf(scenes, "in", "W1", str(wall.revision.number))


def without_stipple(group: Group) -> Group:
    """Two of three entities of a file are dots; most walls are read back faster without them."""
    items = [without_stipple(item) if isinstance(item, Group) else item for item in group.items]
    return replace(group, items=tuple(item for item in items if not isinstance(item, Dots)))


def wall_named(name: str) -> Wall:
    plain_name, _, variant = name.partition("+")
    return LIBRARY.wall(plain_name, variant)


def read(content: bytes) -> Drawing:
    return ezdxf.read(io.StringIO(content.decode("utf-8")))


def texts(drawing: Drawing) -> list[str]:
    return [entity.dxf.text for block in drawing.blocks for entity in block.query("TEXT")]


def spans(drawing: Drawing, block: str, axis: int) -> list[tuple[float, float]]:
    """Extent along one axis of every closed outline of a block."""
    outlines = [line for line in drawing.blocks[block].query("LWPOLYLINE") if line.closed]
    values = [[point[axis] for point in line.get_points("xy")] for line in outlines]
    return [(min(each), max(each)) for each in values]


def entities(drawing: Drawing) -> list[Any]:
    return [entity for block in drawing.blocks for entity in block]


@pytest.mark.parametrize("name", NAMES)
def test_every_wall_is_full_size_at_its_datum_and_audits_clean(name: str) -> None:
    wall, drawing = wall_named(name), read(written(name))
    audit = drawing.audit()
    assert not audit.errors and not audit.fixes
    assert drawing.dxfversion == "AC1024"
    assert drawing.header["$INSUNITS"] == INCHES and drawing.header["$MEASUREMENT"] == 0

    # Layer by layer the thickness of the wall itself, exterior negative from the set-out face at 0.
    across = spans(drawing, "W1-SECTION", 0)
    down = spans(drawing, "W1-PLAN", 1)
    for layer, outer, inner in zip(wall.layers, wall.faces[:-1], wall.faces[1:], strict=True):
        if layer.depth == 0:
            continue
        ends = [(face - wall.datum_position) / INCH for face in (outer, inner)]
        assert any(span == pytest.approx(ends, abs=1e-6) for span in across), f"{layer.id} in the section"
        level = [-ends[1], -ends[0]]  # the plan has its exterior at the top
        assert any(span == pytest.approx(level, abs=1e-6) for span in down), f"{layer.id} in the plan"

    for block in drawing.blocks:
        if not block.name.startswith("*"):
            assert re.fullmatch(r"[A-Z0-9_-]+", block.name)
            assert block.units == INCHES
            assert tuple(block.block.dxf.base_point)[:2] == (0, 0)  # type: ignore[union-attr]
    inserts = drawing.modelspace().query("INSERT")
    assert len({insert.dxf.name for insert in inserts}) == len(inserts) == len(drawing.blocks) - 2
    assert tuple(inserts[0].dxf.insert)[:2] == (0, 0)

    known = set(layer_table().layers) | ALWAYS_THERE
    assert {layer.dxf.name for layer in drawing.layers} <= known
    assert {entity.dxf.layer for entity in entities(drawing)} <= known - ALWAYS_THERE
    assert {entity.dxf.color for entity in entities(drawing)} == {256}  # by layer
    assert all(not entity.dxf.hasattr("lineweight") for entity in entities(drawing))
    for text in texts(drawing):
        assert not set(text) & set("′″⁄½¼¾⅛⅜⅝⅞\u202f\u00a0"), text


def test_units_change_the_numbers_and_not_the_drawing() -> None:
    inches, millimeters = read(write_dxf(SCENE, "in")), read(write_dxf(SCENE, "mm"))
    assert millimeters.header["$INSUNITS"] == MILLIMETERS and millimeters.header["$MEASUREMENT"] == 1
    assert millimeters.blocks["A_WALL-SECTION"].units == MILLIMETERS
    wide = [value for span in spans(millimeters, "A_WALL-SECTION", 0) for value in span]
    narrow = [value * 25.4 for span in spans(inches, "A_WALL-SECTION", 0) for value in span]
    assert wide and wide == pytest.approx(narrow, abs=1e-6)


def test_paper_lengths_are_multiplied_by_the_scale_of_their_view() -> None:
    drawing = read(write_dxf(SCENE, "mm", "W1", "3"))
    assert [block.name for block in drawing.blocks][2:] == ["W1-SECTION", "W1-PLAN"]
    section = drawing.blocks["W1-SECTION"]
    (board,) = section.query('LWPOLYLINE[layer=="A-DETL-MCUT"]')
    assert list(board.get_points("xy")) == [(0, 800), (80, 800), (80, 0), (0, 0)]
    (film,) = section.query('LWPOLYLINE[layer=="A-ANNO-NPLT"]')
    assert [point[0] for point in film.get_points("xy")] == pytest.approx([80, 80.8, 80.8, 80])
    (plan,) = drawing.blocks["W1-PLAN"].query("LWPOLYLINE")
    assert list(plan.get_points("xy")) == [(-160, 0), (120, 0), (120, -40)]
    heights = {text.dxf.text: text.dxf.height for text in section.query("TEXT")}
    assert heights['5 7/16" stud, 8 1/2" × 2\'-6"'] == pytest.approx(2.4 * 8)
    turned = next(text for text in section.query("TEXT") if text.dxf.rotation)
    assert turned.dxf.rotation == 90 and 0.75 <= turned.dxf.width < 1
    assert next(iter(drawing.blocks["W1-PLAN"].query("TEXT"))).dxf.text == "2"


def test_masks_and_halos_are_left_out_and_dots_are_small_circles() -> None:
    section = read(write_dxf(SCENE, "mm")).blocks["A_WALL-SECTION"]
    assert len(section.query("HATCH")) == 1  # the leader's dot; its halo and the break's mask are not there
    assert sorted(circle.dxf.radius for circle in section.query("CIRCLE")) == pytest.approx([(0.11 - 0.09) * 8] * 2)
    assert len(section.query('LINE[layer=="A-DETL-PATT"]')) == 1


def test_dashes_are_linetypes_at_the_scale_of_the_drawing() -> None:
    drawing = read(write_dxf(SCENE, "mm"))
    assert drawing.header["$LTSCALE"] == 8
    (vapor,) = drawing.blocks["A_WALL-SECTION"].query('LINE[layer=="A-DETL-A003"]')
    assert vapor.dxf.linetype == "DASHDOT" and vapor.dxf.ltscale == 1
    (other,) = drawing.blocks["A_WALL-PLAN"].query("LWPOLYLINE")
    assert other.dxf.linetype == "DASH-150-150" and other.dxf.ltscale == 0.5  # 1:4 in a drawing set for 1:8


def test_every_block_and_the_sheet_carry_the_draft_mark() -> None:
    drawing = read(write_dxf(SCENE, "in", "W1", "3"))
    for name in ("W1-SECTION", "W1-PLAN"):
        assert any(
            text.dxf.text == "Wall type W1, revision 3, DRAFT: not for construction"
            for text in drawing.blocks[name].query("TEXT")
        )
    assert any(text.dxf.text.startswith("DRAFT") for text in drawing.modelspace().query("TEXT"))


def test_a_drafted_wall_of_the_library_says_so_in_each_block() -> None:
    wall = wall_named(NAMES[0]).model_copy(update={"status": "draft"})
    drawing = read(write_dxf(drawing_document(wall, tag="W1").scenes, "in", "W1"))
    for block in list(drawing.blocks)[2:]:
        assert any("DRAFT" in text.dxf.text for text in block.query("TEXT")), block.name


def test_wall_type_and_revision_are_attributes_and_can_be_read() -> None:
    drawing = read(write_dxf(SCENE, "in", "W1", "3"))
    for insert in drawing.modelspace().query("INSERT"):
        assert {attribute.dxf.tag: attribute.dxf.text for attribute in insert.attribs} == {
            "WALL_TYPE": "W1",
            "REVISION": "3",
        }
        assert all(attribute.is_invisible for attribute in insert.attribs)


def test_the_view_shows_everything() -> None:
    drawing = read(write_dxf(SCENE, "mm"))
    port = drawing.viewports.get("*Active")[0]
    x, y, *_ = port.dxf.center
    assert x == pytest.approx((215.9 / 2 - 60) * 8) and y == pytest.approx((140 - 279.4 / 2) * 8)
    assert port.dxf.height >= 279.4 * 8


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("a\n0\nEOF\r\x1b", "a0EOF"),
        ("50%%u off %%%", "50% %u off % % %"),
        ("cap^J", "cap^ J"),
        (r"\U+0041 \M+1", r"\ U+0041 \ M+1"),
        ("7⁄16″", '7/16"'),
        ("5\u202f7⁄16″ and 8½″, ⅞″", '5 7/16" and 8 1/2", 7/8"'),
        ("2×6, 2′-6″ – W·A·V", "2×6, 2'-6\" - W·A·V"),
    ],
)
def test_texts_are_plain(text: str, shown: str) -> None:
    assert plain(text) == shown


def test_hostile_texts_leave_the_file_whole() -> None:
    words = "a\n  0\nENDSEC\n  0\nEOF\x00 {\\fArial;x} %%u ^J \\U+0041 \ud800"
    scene = Scene(words, words, words, 100, 100, (
        View("sec tion/..", words, 8, words, (0, 0), Group("g", (Text((0, 0), words), Line(((0, 0), (1, 1)))))),
    ))  # fmt: skip
    drawing = read(write_dxf(scene, "in", words, words))
    assert not drawing.audit().errors
    assert len(drawing.blocks) == 3 and re.fullmatch(r"[A-Z0-9_-]+", list(drawing.blocks)[2].name)


def test_block_names_differ() -> None:
    view = SCENE.views[0]
    twice = Scene("s", "", "", 100, 100, (view, view))
    assert [block.name for block in read(write_dxf((twice, twice)))  .blocks][2:] == [
        "S-SECTION", "S-SECTION-2", "S-SECTION-3", "S-SECTION-4",
    ]  # fmt: skip
    assert legal_name("W1.2") == "W1_2" != legal_name("W1-2")


def test_few_plain_layers() -> None:
    drawing = read(write_dxf(SCENE, "in", preset="flat"))
    assert {entity.dxf.layer for entity in entities(drawing)} <= set(layer_table("flat").layers)
    assert not drawing.audit().errors
    with pytest.raises(UnknownNameError, match="layer preset 'ncss' does not exist; did you mean 'ncs'"):
        write_dxf(SCENE, preset="ncss")


@pytest.mark.parametrize("preset", ["ncs", "flat"])
def test_the_layer_table_is_sound(preset: str) -> None:
    table = load_table("dxf_layers")["presets"][preset]
    used = {rule["layer"] for rule in table["rules"]}
    assert used == set(table["layers"])
    assert list(table["rules"][-1]) == ["layer"]  # the last rule fits everything
    for name, layer in table["layers"].items():
        assert re.fullmatch(r"[A-Z0-9-]+", name)
        # Line widths that the DXF format knows, in hundredths of a millimeter.
        assert round(layer["weight"] * 100) in (13, 18, 25, 35, 50, 70, 100)
        assert 1 <= layer["color"] <= 255
    if preset == "ncs":  # discipline, major group of four letters, minor group of four
        assert all(re.fullmatch(r"A-(DETL|ANNO)-[A-Z0-9]{4}", name) for name in table["layers"])


def test_control_lines_are_known_by_the_dashes_that_the_drawing_gives_them() -> None:
    table = layer_table()
    line = {
        control: table.layer(Line(((0, 0), (1, 1)), 0.7, dash), "layer", "view")
        for control, dash in CONTROL_DASHES.items()
    }
    assert line == {"water": "A-DETL-A001", "air": "A-DETL-A002", "vapor": "A-DETL-A003"}
    assert set(CONTROL_DASHES.values()) - {()} <= set(table.linetypes)


def test_nothing_to_write_is_said() -> None:
    with pytest.raises(SpecgenError, match="no drawing has a view"):
        write_dxf(Scene("s", "", "", 100, 100))


def test_same_bytes_twice_and_the_reader_s_setting_is_given_back() -> None:
    before = ezdxf.options.write_fixed_meta_data_for_testing
    assert write_dxf(SCENE) == write_dxf(SCENE)
    with pytest.raises(UnknownNameError):
        write_dxf(SCENE, preset="none")
    assert ezdxf.options.write_fixed_meta_data_for_testing == before
    assert before is False


def test_same_bytes_whatever_the_hash_seed() -> None:
    scenes = drawing_document(wall_named(NAMES[0])).scenes
    program = (
        "import hashlib, pickle, sys; from specgen.write.dxf import write_dxf; "
        "print(hashlib.sha256(write_dxf(pickle.load(sys.stdin.buffer))).hexdigest())"
    )
    digests = {hashlib.sha256(write_dxf(scenes)).hexdigest()}
    for seed in ("1", "4"):  # these two put the library's sets in different orders
        environment = os.environ | {"PYTHONHASHSEED": seed}
        run = subprocess.run(
            [sys.executable, "-c", program],
            input=pickle.dumps(scenes),
            env=environment,
            capture_output=True,
            check=True,
        )
        digests.add(run.stdout.decode().strip())
    assert len(digests) == 1


@pytest.mark.skipif(shutil.which("librecad") is None, reason="librecad, the independent reader, is not installed")
@pytest.mark.parametrize(
    "kinds", [("LINE",), ("LWPOLYLINE",), ("CIRCLE",), ("HATCH", "SOLID"), ("TEXT",)], ids="+".join
)
def test_an_independent_reader_draws_every_entity(kinds: tuple[str, ...], tmp_path: Path) -> None:
    drawing = read(written(next(iter(WHOLE))))
    for block in drawing.blocks:
        for entity in list(block):
            if entity.dxftype() not in (*kinds, "INSERT"):
                block.delete_entity(entity)
    wanted = sum(entity.dxftype() in kinds for entity in entities(drawing))
    drawing.saveas(tmp_path / "wall.dxf")
    subprocess.run(
        ["librecad", "dxf2pdf", "-a", "wall.dxf"],
        cwd=tmp_path, env=os.environ | {"QT_QPA_PLATFORM": "offscreen", "HOME": str(tmp_path)},
        capture_output=True, check=True, timeout=120,
    )  # fmt: skip
    (page,) = PdfReader(tmp_path / "wall.pdf").pages
    assert (float(page.mediabox.width), float(page.mediabox.height)) == (17 * 72, 11 * 72)
    painted = re.findall(rb"(?<=\s)[SfBb]\*?(?=\s)", page.get_contents().get_data())  # type: ignore[union-attr]
    assert len(painted) >= wanted > 20


def test_the_table_reads_as_yaml_with_unique_layers() -> None:
    path = Path(sys.modules["specgen.data"].__file__ or "").parent / "dxf_layers.yaml"
    names = re.findall(r"^      ([A-Z0-9-]+):", path.read_text(encoding="utf-8"), re.M)
    presets = yaml.safe_load(path.read_text(encoding="utf-8"))["presets"]
    assert len(names) == len(set(names)) == sum(len(preset["layers"]) for preset in presets.values())


def test_marks_of_a_hatch_are_written_as_the_library_would_write_them() -> None:
    written = []
    for fast in (True, False):
        with _fixed_metadata():
            document = ezdxf.new("R2010", setup=False)
            document.layers.add("HATCH")
            block = document.blocks.new("VIEW")
            if fast:
                add_dot(block, (1.25, -2.0), 0.05, "HATCH")
                add_stroke(block, (0.0, 1.0), (3.5, 1e-7), "HATCH")
            else:
                block.add_circle((1.25, -2.0), 0.05, dxfattribs={"layer": "HATCH"})
                block.add_line((0.0, 1.0), (3.5, 1e-7), dxfattribs={"layer": "HATCH"})
            _sort_classes(document)
            stream = io.StringIO()
            document.write(stream)
            written.append(stream.getvalue())
    assert written[0] == written[1] and written[0].count("\nCIRCLE\n") == 1
