"""The crew page of every wall and variant: one letter page, readable, complete, nothing over anything else."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from functools import cache

import pytest
from builders import framed_wall, make_layer, make_wall
from documents.pages import (
    circles,
    find,
    group_texts,
    outside,
    overlapping,
    struck_through,
    text_box,
    texts,
)
from pypdf import PdfReader

from specgen.checks.assess import assess
from specgen.checks.catalog import never_lines
from specgen.documents import crew_blocks
from specgen.documents.cautions import wall_cautions
from specgen.documents.crew import crew_document, front_page
from specgen.documents.crew_back import back_page
from specgen.documents.crew_blocks import FrontPage
from specgen.documents.crew_front import front_scene
from specgen.documents.messages import Messages, load_messages
from specgen.drawing.callouts import callouts
from specgen.drawing.notes import KEY_RADIUS
from specgen.drawing.type import NOTE, SMALL, font_size
from specgen.drawing.typeset import typeset
from specgen.errors import PageOverflowError
from specgen.library.load import load_project, open_library
from specgen.library.sites import site_from_zone
from specgen.model.document import Document, Flow, Paragraph, Table
from specgen.model.scene import Group, Line, Scene
from specgen.model.wall import Wall
from specgen.takeoff import quantities
from specgen.write.pdf import write_pdf

LIBRARY = open_library()
WALLS = {wall.name: wall for wall in LIBRARY.walls()}
POINT = 72 / 25.4
SITE = site_from_zone("2A", "2021", "2021")
ENGLISH = load_messages("crew")
EVERY = pytest.mark.parametrize("name", WALLS)


@cache
def document(name: str) -> Document:
    wall = WALLS[name]
    return crew_document(wall, assess(wall, SITE), SITE, tag="W12a", where="Upper floor, north and east")


def front(name: str) -> Scene:
    scene = document(name).parts[0]
    assert isinstance(scene, Scene)
    return scene


def back(name: str) -> Scene:
    scene = document(name).parts[1]
    assert isinstance(scene, Scene)
    return scene


def back_texts(name: str) -> str:
    return " ".join(" ".join(item.text for item in texts(back(name))).split())


@cache
def annex_texts(name: str) -> str:
    wall = WALLS[name]
    flow = crew_document(wall, assess(wall, SITE), SITE, annex=True).parts[2]
    assert isinstance(flow, Flow)
    words: list[str] = []
    for block in flow.blocks:
        if isinstance(block, Table):
            words += [*block.head, *(cell for row in block.rows for cell in row)]
        else:
            words += [run.text for run in block.runs] if isinstance(block, Paragraph) else [block.text]
    return " ".join(" ".join(words).split())


def joined(scene: Scene, group: str) -> str:
    return " ".join(" ".join(item.text for item in group_texts(scene, group)).split())


@EVERY
def test_one_sheet_of_letter_paper_front_and_back(name: str) -> None:
    pages = PdfReader(io.BytesIO(write_pdf(document(name)))).pages
    assert len(pages) == 2
    for page in pages:
        assert [float(side) for side in page.mediabox[2:]] == pytest.approx([612, 792], abs=0.5)
    assert "Does not fit?" in pages[0].extract_text() and "Hold points" in pages[1].extract_text()


@EVERY
def test_everything_that_must_be_read_is_ten_points_or_more(name: str) -> None:
    assert font_size(NOTE) * POINT > 10 and font_size(NOTE, bold=True) * POINT > 10
    scene = front(name)
    for group in ("crew_table", "crew_steps", "crew_limits", "crew_never", "crew_cautions"):
        for item in group_texts(scene, group):
            assert item.size == NOTE or (item.size == SMALL and item.ink == "gray"), item.text  # gray: table heads
    assert min(item.size for item in texts(scene)) == SMALL  # nothing smaller exists
    small = [item for item in texts(back(name)) if item.size != NOTE]
    assert {item.size for item in small} == {SMALL} and font_size(SMALL) * POINT > 8.55
    brought = {item for block in back_page(WALLS[name], "", (), "", ENGLISH).bring.entries for item in block}
    for item in small:  # gray: table heads, footer; black: what to bring
        assert item.ink == "gray" or any(item.text in plain(text) for text in brought), item.text


@EVERY
def test_no_text_meets_another_and_no_rule_runs_through_one(name: str) -> None:
    scene = front(name)
    assert overlapping(scene) == []
    for group in ("crew_table", "crew_steps", "crew_never", "crew_cautions", "crew_header", "crew_footer"):
        assert struck_through(scene, group) == []
    assert overlapping(back(name)) == []
    for group in find(back(name), "crew_back_page").items:
        assert isinstance(group, Group) and struck_through(back(name), group.id) == []


@EVERY
def test_nothing_leaves_the_margins(name: str) -> None:
    assert outside(front(name), 13.0, 10.0, 203.0, 274.0) == []
    assert outside(back(name), 13.0, 10.0, 203.0, 274.0) == []


@EVERY
def test_number_circles_keep_clear_of_each_other_and_of_other_texts(name: str) -> None:
    scene = front(name)
    keys = circles(scene, KEY_RADIUS)
    for index, one in enumerate(keys):
        for other in keys[index + 1 :]:
            apart = ((one.center[0] - other.center[0]) ** 2 + (one.center[1] - other.center[1]) ** 2) ** 0.5
            assert apart > 2 * KEY_RADIUS + 0.2
        for item in texts(scene):
            box = text_box(item)
            inside = box.left < one.center[0] < box.right and box.top < one.center[1] < box.bottom
            assert not inside or item.text.isdigit()


@EVERY
def test_numbers_of_the_drawing_are_those_of_the_table(name: str) -> None:
    scene = front(name)
    drawn = sorted(int(t.text) for t in group_texts(scene, "crew_drawing_notes") if t.text.isdigit() and t.bold)
    tabled = [int(t.text) for t in group_texts(scene, "crew_table") if t.text.isdigit() and t.anchor == "end"]
    assert drawn == sorted(tabled)
    assert drawn == list(range(1, len(drawn) + 1))
    wall = WALLS[name]
    assert len(drawn) == len(callouts(wall)) + (2 if wall.base else 0)


@EVERY
def test_every_layer_name_of_the_callouts_is_in_the_table(name: str) -> None:
    table = joined(front(name), "crew_table")
    for call in callouts(WALLS[name]):
        for word in typeset(call.name).split():
            assert word in table


@EVERY
def test_steps_with_trade_and_hold_points_all_there(name: str) -> None:
    wall = WALLS[name]
    assert 0 < len(wall.installation) <= 10
    steps, back = joined(front(name), "crew_steps"), back_texts(name)
    initials = [
        item for item in find(front(name), "crew_steps").items
        if isinstance(item, Line) and item.points[0][0] == crew_blocks.INITIALS_AT
    ]  # fmt: skip
    held = [step for step in wall.installation if step.hold_point]
    assert held and len(initials) == len(held)
    for step in wall.installation:
        assert plain(typeset(step.do)) in steps and typeset(step.trade) in steps
        if step.hold_point:
            assert typeset(step.hold_point.name) in steps
            for text in (step.hold_point.check, step.hold_point.sign):
                assert plain(typeset(text)) in plain(back)


def plain(text: str) -> str:
    return " ".join(text.replace("\u00a0", " ").split())


@EVERY
def test_the_back_says_openings_base_mixes_and_what_to_bring(name: str) -> None:
    wall, behind = WALLS[name], plain(back_texts(name))
    assert wall.openings and wall.base
    said = [wall.openings.sill_pan, wall.openings.jamb, wall.openings.head_flashing, wall.openings.air_seal]
    said += [wall.openings.note, wall.base.note, wall.control_joints.note if wall.control_joints else None]
    said += [layer.mix for layer in wall.layers]
    said += [layer.limits.base for layer in wall.layers if layer.limits]
    for text in said:
        if text:
            assert plain(typeset(text)).rstrip(".") in behind
    items = dict(back_page(wall, "", (), "", ENGLISH).bring.entries)
    assert len(items) >= 5
    for amount in items.values():
        assert re.fullmatch(r"\d+|\d+( sq| )? ?(ft|gal|lb)|\d*½? cu ft|\d*[¼½¾]? cu yd", plain(amount)), (
            amount
        )  # nothing is bought in tenths


@EVERY
def test_the_annex_keeps_reasons_reckoning_and_tools(name: str) -> None:
    wall, annex = WALLS[name], plain(annex_texts(name))
    for quantity in quantities(wall):
        assert plain(typeset(quantity.formula)) in annex
    for step in wall.installation:
        assert all(plain(typeset(tool)) in annex for tool in step.tools)
        assert not step.limits or plain(typeset(step.limits)) in annex
    for line in never_lines(wall, SITE):
        assert line.code in annex
    for finding in assess(wall, SITE).findings:
        assert not finding.explained or plain(typeset(finding.explained)) in annex


def test_a_back_that_overflows_names_the_texts_to_shorten() -> None:
    wall = next(wall for wall in WALLS.values() if wall.base)
    assert wall.base
    base = wall.base.model_copy(update={"note": "Keep the foot of the wall open to the eye. " * 40})
    with pytest.raises(PageOverflowError, match=r"back: \d+\.\d mm too tall; shorten any of: Base .*, Note: 'Keep the"):
        crew_document(wall.model_copy(update={"base": base}), assess(wall, SITE), SITE)


def test_a_wall_without_hold_points_says_so_on_the_back() -> None:
    wall = framed_wall()
    scene = crew_document(wall, assess(wall, SITE), SITE).parts[1]
    assert isinstance(scene, Scene) and overlapping(scene) == []
    assert any("no hold point" in item.text for item in texts(scene)) or any(s.hold_point for s in wall.installation)


@EVERY
def test_never_lines_are_those_of_the_rules(name: str) -> None:
    lines = never_lines(WALLS[name], SITE)
    assert lines and len(lines) <= 6
    printed = joined(front(name), "crew_never")
    for line in lines:
        assert plain(typeset(line.text)) in printed
    assert printed.startswith("NEVER") or "NEVER" in printed


@EVERY
def test_eight_cautions_in_front_the_others_on_the_back_all_in_full_in_the_annex(name: str) -> None:
    wall = WALLS[name]
    cautions = wall_cautions(wall)
    printed, behind = joined(front(name), "crew_cautions"), back_texts(name)
    for number, caution in enumerate(cautions):
        assert (plain(typeset(caution.do)) in printed) == (number < 8)
        assert (plain(f"{typeset(caution.word)} {typeset(caution.do)}") in plain(behind)) == (number >= 8)
        assert plain(typeset(caution.detail)) in plain(annex_texts(name))
    assert cautions[0].word == "Falls"
    if any(layer.unit for layer in wall.layers):  # laid in mortar
        assert {"Dust", "Cement"} <= {caution.word for caution in cautions[:8]}
    if any(layer.unit and layer.unit.hollow for layer in wall.layers):
        assert {"Bracing"} <= {caution.word for caution in cautions[:8]}


@EVERY
def test_no_leftovers_and_no_wrong_signs(name: str) -> None:
    words = [item.text for item in texts(front(name)) if not item.text.startswith("Library ")]
    words += [item.text for item in texts(back(name)) if not item.text.startswith("Library ")]
    words.append(annex_texts(name))
    for text in words:
        assert not re.search(r"[{}\ue000-\uf8ff]|\*\*|None|nan|\bTrue\b|  |;;|\.\.|, ,", text), text
        assert not re.search(r"\d/\d|\d-[½¼¾⅛⅜⅝⅞]|\d\"|\d'|\dx\d", text), text  # one-piece fractions, true signs
    for group in ("crew_steps", "crew_limits", "crew_never", "crew_cautions"):
        assert "″" not in joined(front(name), group)  # sentences say `in`
    assert not re.search(r"[\d½¼¾⅛⅜⅝⅞] in\b(?! the)", joined(front(name), "crew_table"))  # tables say ″


@EVERY
def test_a_number_never_parts_from_its_unit(name: str) -> None:
    for item in texts(front(name)):
        assert not re.match(r"(in|ft|mil|°F|h|days|mph)\b(?! )", item.text), item.text


def longer(text: str, by: float = 0.33) -> str:
    """The text with filler words until its words, values left out, are a third longer."""
    words = text.split(" ")
    spoken = [word for word in words if not re.search(r"[\d{}½¼¾⅛⅜⅝⅞]", word)]
    if not text or not spoken:
        return text
    extra = round(sum(len(word.strip("*")) + 1 for word in spoken) * by + 0.5)
    fillers: list[str] = []
    while extra > 0:
        take = min(6, extra) if extra != 7 else 4
        fillers.append("o" * max(take - 1, 1))
        extra -= take
    out: list[str] = []
    step = max(1, len(words) // (len(fillers) + 1))
    for number, word in enumerate(words, start=1):
        out.append(word)
        if fillers and number % step == 0 and number < len(words):
            out.append(fillers.pop())
    return " ".join(out + fillers)


def longer_page(page: FrontPage) -> FrontPage:
    """Every text of the front a third longer; tag, revision, date and the library line stay what they are."""
    return replace(
        page,
        title=longer(page.title),
        subtitle=longer(page.subtitle),
        parts=tuple(
            replace(part, name=longer(part.name), make=tuple(longer(note) for note in part.make)) for part in page.parts
        ),
        steps=tuple(
            replace(step, trade=longer(step.trade), do=longer(step.do), hold=longer(step.hold)) for step in page.steps
        ),
        limits=longer(page.limits),
        never=tuple(longer(text) for text in page.never),
        cautions=tuple((longer(word), longer(do)) for word, do in page.cautions),
        footer=(longer(page.footer[0]), page.footer[1], longer(page.footer[2])),
    )


@EVERY
def test_words_a_third_longer_still_fit(name: str) -> None:
    english = load_messages("crew")
    pseudo = Messages("pseudo", {id: longer(text) for id, text in english.sentences.items()})
    page = front_page(WALLS[name], SITE, english, tag="W12a", where="Upper floor, north and east")
    long = longer_page(page)
    words = sum(len(step.do) for step in page.steps)
    assert sum(len(step.do) for step in long.steps) > 1.28 * words  # values do not grow, so a little under a third
    assert crew_blocks.steps(long, pseudo).height < crew_blocks.steps(page, english).height + 9.0  # mostly one line
    try:
        scene = front_scene(WALLS[name], long, pseudo, "")
    except PageOverflowError as error:
        # Eleven rows always fit. A wall of more may need a shorter text or two, and is told which and by how much.
        assert len(page.parts) > 11
        found = re.search(r"(\d+\.\d) mm too tall; shorten any of: layer \d+, .* is \d+ mm over 2 lines", str(error))
        assert found and float(found.group(1)) < 10.0
        return
    assert overlapping(scene) == []
    assert outside(scene, 13.0, 10.0, 203.0, 276.0) == []


def test_text_that_is_far_too_long_is_named_with_its_excess() -> None:
    name = next(iter(WALLS))
    wall = WALLS[name]
    steps = tuple(
        step.model_copy(
            update={
                "do": step.do
                + " and then look at it again from every side, twice over, with care,"
                + " then once more" * 8
            }
        )
        for step in wall.installation
    )
    with pytest.raises(PageOverflowError, match=r"mm too tall; shorten any of: .*step 1, do: .* is \d+ mm over 1 line"):
        crew_document(wall.model_copy(update={"installation": steps}), assess(wall, SITE), SITE, tag="W1")


def test_a_word_wider_than_its_column_is_named() -> None:
    name = next(iter(WALLS))
    wall = WALLS[name]
    step = wall.installation[0].model_copy(update={"trade": "Superintendentsrepresentative"})
    with pytest.raises(PageOverflowError, match=r"step 1, trade: 'Superintendentsrepresentative' is \d+\.\d mm wider"):
        crew_document(
            wall.model_copy(update={"installation": (step, *wall.installation[1:])}), assess(wall, SITE), SITE
        )


def test_eleven_steps_are_refused_by_name() -> None:
    wall = next(iter(WALLS.values()))
    last = wall.installation[-1].model_copy(update={"do": "One more thing"})
    steps = (*wall.installation, *[last] * (11 - len(wall.installation)))
    with pytest.raises(PageOverflowError, match="11 steps, at most 10 fit; join or drop: step 11 'One more thing'"):
        crew_document(wall.model_copy(update={"installation": steps}), assess(wall, SITE), SITE)


def test_own_cautions_never_go_to_the_back_unseen() -> None:
    wall = next(wall for wall in WALLS.values() if wall.construction == "framed")
    own = [{"word": f"Own {number}", "do": "Watch out", "detail": "Watch out for it."} for number in range(7)]
    changed = Wall.model_validate(wall.model_dump() | {"cautions": own})
    # falls, power lines and scaffold stand before them
    with pytest.raises(PageOverflowError, match="10 cautions, at most 8 fit; drop: 'Own 5', 'Own 6'"):
        crew_document(changed, assess(wall, SITE), SITE)


def test_a_draft_is_marked_and_a_wall_without_base_or_steps_still_prints() -> None:
    wall = framed_wall()
    page = crew_document(wall, assess(wall, SITE), SITE)
    assert page.draft
    scene = page.parts[0]
    assert isinstance(scene, Scene) and overlapping(scene) == []
    assert not document(next(name for name, wall in WALLS.items() if wall.status == "approved")).draft


def test_project_names_job_and_revision() -> None:
    project = load_project(LIBRARY.folder / "demo" / "project.yaml")
    wall = next(iter(WALLS.values()))
    page = front_page(wall, SITE, load_messages("crew"), project, "W1", "everywhere")
    assert "invented" in page.subtitle and "everywhere" in page.subtitle and SITE.name in page.subtitle
    assert page.revision == f"Revision {project.revision}" and str(project.date.year) in page.date


def test_same_input_same_bytes() -> None:
    wall = next(iter(WALLS.values()))
    made = [write_pdf(crew_document(wall, assess(wall, SITE), SITE, tag="W1")) for _ in range(2)]
    assert made[0] == made[1]


def test_limits_that_differ_name_their_layers_strictest_first() -> None:
    from builders import GYPSUM, PAINT, STUCCO, studs

    layers = [
        make_layer(
            "stucco", STUCCO, "7/8 in", limits={"air_min": "40 F", "wind_max": "15 mph"}, cure={"moist": "48 h"}
        ),
        studs("5-1/2 in"),
        make_layer("board", GYPSUM, "1/2 in", limits={"air_min": "50 F"}),
        make_layer("paint", PAINT, coats="2", limits={"air_min": "50 F"}),
    ]
    page = front_page(make_wall(layers), SITE, load_messages("crew"))
    assert plain(page.limits) == (
        "Air and wall at least **50 °F** test latex paint, gypsum board; **40 °F** stucco. "
        "Wind at most **15 mph**. Keep damp: **48 h** stucco."
    )


def test_panel_nailing_reads_edges_and_field() -> None:
    from builders import OSB, studs

    nail = {"type": "nail", "name": "8d nail", "spacing": "6 in", "spacing_field": "12 in", "into": "studs"}
    wall = make_wall([make_layer("sheathing", OSB, "7/16 in", fastening=nail), studs("5-1/2 in")])
    part = front_page(wall, SITE, load_messages("crew")).parts[0]
    assert part.make == ("8d nail, at 6″ edges, 12″ field, into studs",)
