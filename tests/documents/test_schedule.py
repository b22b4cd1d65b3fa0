"""The wall-type schedule: every wall and variant on ARCH D sheets, each figure from the field that others print too."""

from __future__ import annotations

import re
from functools import cache

import pytest
from builders import framed_wall
from documents.pages import find, group_texts, outside, overlapping, texts

from specgen import units
from specgen.checks.assess import assess
from specgen.documents.messages import Messages, load_messages
from specgen.documents.schedule import ScheduleRow, schedule_document
from specgen.drawing.callouts import callouts
from specgen.drawing.dimensions import agreeing_figures, main_faces
from specgen.drawing.type import NOTE, SMALL, TAG, TITLE
from specgen.errors import PageOverflowError
from specgen.library.load import load_project, open_library
from specgen.library.sites import project_site, site_from_zone
from specgen.model.document import Document
from specgen.model.project import WallType
from specgen.model.scene import Group, Scene
from specgen.model.wall import Wall
from specgen.write.pdf import write_pdf

LIBRARY = open_library()
PROJECT = load_project(LIBRARY.folder / "demo" / "project.yaml")
WIDTH, HEIGHT = 914.4, 609.6  # ARCH D, 36 × 24 in


def row(wall: Wall, tag: str, site: str = "2A", where: str = "all outside walls") -> ScheduleRow:
    place = site_from_zone(site, "2021", "2021")
    entry = WallType.model_validate({"tag": tag, "wall": wall.id, "site": "here", "where": where})
    return ScheduleRow(entry, wall, place, assess(wall, place))


@cache
def demo_rows() -> tuple[ScheduleRow, ...]:
    rows = []
    for entry in PROJECT.wall_types:
        wall, site = LIBRARY.wall(entry.wall, entry.variant or ""), project_site(PROJECT, entry.site)
        rows.append(ScheduleRow(entry, wall, site, assess(wall, site)))
    return tuple(rows)


@cache
def every_row() -> tuple[ScheduleRow, ...]:
    return tuple(row(wall, f"W{number}") for number, wall in enumerate(LIBRARY.walls(), start=1))


@cache
def every_wall() -> Document:
    return schedule_document(every_row(), PROJECT)


@cache
def demo() -> Document:
    return schedule_document(demo_rows(), PROJECT)


def sheets(document: Document) -> list[Scene]:
    return [part for part in document.parts if isinstance(part, Scene)]


def words(scene: Scene, group: str) -> str:
    return " ".join(item.text for item in group_texts(scene, group)).replace("\u00a0", " ")


def test_every_wall_type_stands_on_exactly_one_sheet() -> None:
    tags = [view.id for scene in sheets(every_wall()) for view in scene.views]
    assert tags == [f"W{number}_plan" for number, _ in enumerate(LIBRARY.walls(), start=1)]
    assert all((scene.width, scene.height) == (WIDTH, HEIGHT) for scene in sheets(every_wall()))


@pytest.mark.parametrize("made", [demo, every_wall], ids=["demo", "library"])
def test_nothing_overlaps_or_leaves_the_frame(made: object) -> None:
    for scene in sheets(made()):  # type: ignore[operator]
        assert overlapping(scene) == []
        assert outside(scene, 17.0, 9.0, 899.4, 602.0) == []


def test_four_sizes_and_no_other() -> None:
    sizes = {item.size for scene in sheets(demo()) for item in texts(scene)}
    assert sizes <= {SMALL, NOTE, TITLE, TAG}


def test_ids_are_unique_on_a_sheet() -> None:
    for scene in sheets(demo()):
        ids = [item.id for item in scene.walk() if isinstance(item, Group)]
        assert len(ids) == len(set(ids))


def test_plan_is_drawn_to_scale() -> None:
    for entry, view in zip(demo_rows(), sheets(demo())[0].views, strict=False):
        assert view.ratio == 4  # 3 in = 1 ft
        layer = max(entry.wall.layers, key=lambda layer: layer.depth)
        outline = next(
            line
            for group in view.group.items
            if isinstance(group, Group) and group.id == f"{entry.wall_type.tag}_plan-{layer.id}"
            for line in group.items
            if getattr(line, "closed", False)
        )
        ys = [y for _, y in outline.points]  # type: ignore[union-attr]
        assert max(ys) - min(ys) == pytest.approx(layer.depth * 1000 / 4, abs=0.1)


@pytest.mark.parametrize("entry", demo_rows(), ids=lambda entry: entry.wall_type.tag)
def test_figures_are_those_of_wall_and_assessment(entry: ScheduleRow) -> None:
    scene = next(s for s in sheets(demo()) if f"{entry.wall_type.tag}_plan" in [view.id for view in s.views])
    printed = words(scene, f"{entry.wall_type.tag}_row")
    thermal = entry.assessment.thermal
    assert f"{thermal.u_si / units.U_IP:.3f}" in printed and f"{thermal.r_si / units.R_IP:.1f}" in printed
    assert agreeing_figures(main_faces(entry.wall)).overall.replace("\u202f", " ") in printed.replace("\u202f", " ")
    assert f"zone {entry.assessment.zone}" in printed and all(word in printed for word in entry.site.name.split())
    for call in callouts(entry.wall):
        assert call.name.split()[0].lower() in printed.lower()
    for path in entry.assessment.energy_code.paths:
        if not isinstance(path.required, dict):
            assert f"U-{path.required:.3f}" in printed and f"U-{path.provided:.3f}" in printed
    numbers = [t for t in group_texts(scene, f"{entry.wall_type.tag}_row") if t.text.isdigit() and t.anchor == "start"]
    assert sorted({int(t.text) for t in numbers}) == list(range(1, len(callouts(entry.wall)) + 1))


def test_blank_ratings_say_by_others_and_entered_ones_print() -> None:
    wall = framed_wall(ratings={"fire_hours": "1", "stc": "STC 52", "cladding_weight": "10 psf"}, status="approved")
    scene = sheets(schedule_document([row(wall, "X1")], PROJECT))[0]
    printed = words(scene, "X1_row")
    assert printed.count("by others") == 3  # listing, sides, pressure
    assert "STC 52" in printed and "10 psf" in printed


def test_a_limit_that_is_not_confirmed_carries_its_mark() -> None:
    for entry in demo_rows():
        scene = sheets(demo())[0]
        marked = words(scene, f"{entry.wall_type.tag}_row").count(" *")
        unverified = sum(path.status != "confirmed" for path in entry.assessment.energy_code.paths)
        assert marked == unverified
    assert "* Limit not confirmed" in words(sheets(demo())[0], "schedule_frame")


def test_no_verdict_is_printed() -> None:
    for scene in sheets(demo()):
        for item in texts(scene):
            assert not re.search(r"\b(meets|pass|fail|ok|compl(ies|iant))\b", item.text, re.IGNORECASE), item.text


def test_title_block_says_whose_and_which() -> None:
    printed = words(sheets(demo())[0], "schedule_frame")
    for text in (
        PROJECT.office,
        PROJECT.number,
        PROJECT.issued_for,
        "Not for construction until reviewed by",
        "1 of 1",
    ):
        assert all(word in printed for word in text.split())
    assert "November 4, 2026" in printed


def test_no_leftovers() -> None:
    for scene in [*sheets(demo()), *sheets(every_wall())]:
        for item in texts(scene):
            assert not re.search(r"[{}\ue000-\uf8ff]|\*\*|None|nan\b|\d/\d(?!\d)", item.text), item.text


def test_rows_that_do_not_fit_go_to_the_next_sheet_in_order() -> None:
    walls = list(LIBRARY.walls())
    rows = [row(walls[number % len(walls)], f"T{number}") for number in range(13)]
    made = sheets(schedule_document(rows, PROJECT))
    assert len(made) >= 2
    order = [view.id for scene in made for view in scene.views]
    assert order == [f"T{number}_plan" for number in range(13)]
    for number, scene in enumerate(made, start=1):
        assert f"{number} of {len(made)}" in words(scene, "schedule_frame")
        assert overlapping(scene) == []


def test_a_wall_that_is_not_approved_is_marked() -> None:
    wall = framed_wall(status="in-review")
    document = schedule_document([row(wall, "X1")], PROJECT)
    assert document.draft
    assert "DRAFT: this wall is in review" in words(sheets(document)[0], "X1_row")


def test_a_word_wider_than_its_column_is_named() -> None:
    with pytest.raises(PageOverflowError, match=r"remarks of X1: '.*' is .* mm wider than its"):
        schedule_document([row(framed_wall(), "X1", where="W" * 60)], PROJECT)


def test_a_long_id_breaks_at_its_hyphens() -> None:
    wall = framed_wall(id="framed-" + "-".join(["panel"] * 9), variant="with-" + "-".join(["foam"] * 9))
    scene = sheets(schedule_document([row(wall, "X1")], PROJECT))[0]
    assert outside(scene, 17.0, 9.0, 899.4, 602.0) == [] and overlapping(scene) == []
    assert wall.name in "".join(item.text for item in group_texts(scene, "X1_row") if item.ink == "gray")


def test_labels_a_third_longer_still_fit() -> None:
    english = load_messages("schedule")

    def longer(text: str) -> str:
        spoken = re.sub(r"\{\w+\}|[\d*]", "", text)
        extra = round(len(spoken) * 0.33)
        return text + "".join(" oooo"[index % 5] for index in range(extra)).rstrip()

    pseudo = Messages("pseudo", {id: longer(text) for id, text in english.sentences.items()})
    for scene in sheets(schedule_document(demo_rows(), PROJECT, pseudo)):
        assert overlapping(scene) == []


def test_same_input_same_bytes() -> None:
    assert write_pdf(schedule_document(demo_rows(), PROJECT)) == write_pdf(demo())
    assert find(sheets(demo())[0], "schedule_frame")
