"""The schedule on each sheet size: nothing shrinks, nothing is left out, nothing overlaps, leaders do not cross."""

from __future__ import annotations

from functools import cache
from itertools import combinations, pairwise

import pytest
from builders import framed_wall
from documents.pages import find, group_texts, outside, overlapping, texts
from documents.test_schedule import PROJECT, demo_rows, every_row, every_wall, row, sheets, words

from specgen.documents.schedule import schedule_document
from specgen.documents.schedule_grid import SHEETS, sheet_grid
from specgen.drawing.callouts import callouts
from specgen.drawing.type import SMALL
from specgen.errors import PageOverflowError, UnknownNameError
from specgen.model.document import Document
from specgen.model.scene import Line, Point, Scene
from specgen.write.pdf import write_pdf

# The sheets' sizes on their side [mm]: ANSI/ASME Y14.1 for A, B and D, NCS for ARCH D, as summarized in open
# tables of paper sizes (secondary).
SIZES = {
    "letter": (279.4, 215.9),
    "tabloid": (431.8, 279.4),
    "arch-d": (914.4, 609.6),
    "ansi-d": (863.6, 558.8),
}


@cache
def made(sheet: str) -> Document:
    return every_wall() if sheet == "arch-d" else schedule_document(every_row(), PROJECT, sheet=sheet)


@pytest.mark.parametrize("sheet", SIZES)
def test_every_wall_type_stands_on_the_sheet_asked_for(sheet: str) -> None:
    assert set(SIZES) == set(SHEETS)
    assert {(scene.width, scene.height) for scene in sheets(made(sheet))} == {SIZES[sheet]}
    tags = [view.id for scene in sheets(made(sheet)) for view in scene.views]
    assert tags == [f"{entry.wall_type.tag}_plan" for entry in every_row()]


@pytest.mark.parametrize("sheet", SIZES)
def test_nothing_overlaps_or_leaves_the_frame(sheet: str) -> None:
    for scene in sheets(made(sheet)):
        assert overlapping(scene) == []
        assert outside(scene, *sheet_grid(sheet).frame) == []


@pytest.mark.parametrize("sheet", SIZES)
def test_no_letter_is_smaller_than_two_millimeters(sheet: str) -> None:
    assert min(item.size for scene in sheets(made(sheet)) for item in texts(scene)) >= SMALL == 2.0


@pytest.mark.parametrize("sheet", SIZES)
def test_no_column_is_left_out(sheet: str) -> None:
    heads = ("Plan", "Layers,", "Thickness", "Control", "Overall,", "Thermal,", "Energy", "required", "provided",
             "Ratings,", "Sections,", "Where")  # fmt: skip
    first = sheets(schedule_document(demo_rows(), PROJECT, sheet=sheet))[0]
    tag = demo_rows()[0].wall_type.tag
    printed = f"{words(first, 'schedule_frame')} {words(first, f'{tag}_row')}"
    assert all(head.lower() in printed.lower() for head in heads)
    for label in ("Whole wall R", "Whole wall U", "Fire, hours", "STC, OITC", "Wind pressure", "by others", "Drawing"):
        assert label in words(first, f"{tag}_row")
    listed = {int(item.text) for item in group_texts(first, f"{tag}_row") if item.text.isdigit()}
    assert listed >= {call.number for call in callouts(demo_rows()[0].wall)}


@pytest.mark.parametrize("sheet", SIZES)
def test_heads_and_title_block_stand_on_each_sheet_that_has_rows(sheet: str) -> None:
    document = made(sheet)
    total = len(document.parts)
    for number, scene in enumerate(sheets(document), start=1):
        printed = words(scene, "schedule_frame")
        assert f"{number} of {total}" in printed and all(word in printed for word in PROJECT.office.split())
        assert "Not for construction until reviewed by" in printed
        assert ("Layers, exterior to interior" in printed) == bool(scene.views)


@pytest.mark.parametrize("sheet", SIZES)
def test_the_seal_has_its_room_somewhere(sheet: str) -> None:
    """60 × 60 mm that nothing is drawn into, on every sheet or, on letter, on the last one."""
    scene = sheets(made(sheet))[-1]
    label = next(item for item in texts(scene) if item.text == "Seal of the professional")
    x, y = label.at
    for item in scene.walk():
        points = item.points if isinstance(item, Line) else (item.at,) if item in texts(scene) else ()
        if item is not label:
            assert not any(x < px < x + 60.0 and y < py < y + 60.0 for px, py in points)
    assert x + 60.0 <= sheet_grid(sheet).frame[2]


def crossing(one: tuple[Point, Point], other: tuple[Point, Point]) -> bool:
    def side(a: Point, b: Point, c: Point) -> float:
        return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])

    return (
        side(*one, other[0]) * side(*one, other[1]) < -1e-9 and side(*other, one[0]) * side(*other, one[1]) < -1e-9
    )  # fmt: skip


@pytest.mark.parametrize("sheet", SIZES)
def test_leaders_to_the_numbers_never_cross(sheet: str) -> None:
    for scene in sheets(made(sheet)):
        for view in scene.views:
            group = find(scene, view.id.replace("_plan", "_row"))
            leaders = [item for item in group.items if isinstance(item, Line) and len(item.points) == 4]
            assert leaders
            for one, other in combinations(leaders, 2):
                for a in pairwise(one.points):
                    for b in pairwise(other.points):
                        assert not crossing(a, b), f"{view.id} on {sheet}"


def test_a_type_too_tall_for_a_letter_sheet_parts_between_its_bands() -> None:
    place = " ".join(["north and east walls of the garden wing"] * 12)
    document = schedule_document([row(framed_wall(), "X1", where=place)], PROJECT, sheet="letter")
    first, second = sheets(document)[:2]
    assert find(first, "X1_row") and find(second, "X1_row-2")
    assert "X1, continued" in words(second, "X1_row-2") and "Where used" in words(second, "X1_row-2")
    assert all(overlapping(scene) == [] for scene in sheets(document))


def test_a_text_too_long_for_its_sheet_is_named() -> None:
    tall = row(framed_wall(), "X1", where=" ".join(["garden"] * 280))
    with pytest.raises(PageOverflowError, match=r"wall type X1 needs \d+ mm, a letter sheet has \d+ mm"):
        schedule_document([tall], PROJECT, sheet="letter")
    named = PROJECT.model_copy(update={"name": " ".join(["Juniper House"] * 30)})
    for sheet in ("letter", "tabloid"):
        with pytest.raises(PageOverflowError, match="shorten"):
            schedule_document([row(framed_wall(), "X1")], named, sheet=sheet)


def test_an_unknown_sheet_names_the_sheets() -> None:
    with pytest.raises(UnknownNameError, match=r"sheet size 'arch-e' does not exist; did you mean 'arch-d'"):
        sheet_grid("arch-e")


@pytest.mark.parametrize("sheet", SIZES)
def test_same_input_same_bytes(sheet: str) -> None:
    def once() -> bytes:
        return write_pdf(schedule_document(demo_rows()[:2], PROJECT, sheet=sheet))

    assert once() == once()
    assert isinstance(made(sheet).parts[0], Scene)
