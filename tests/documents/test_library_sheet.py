"""The sheet of all sections: every wall and variant once, at one scale, each with its figures; nothing overlaps."""

from __future__ import annotations

from functools import cache

import pytest
from builders import framed_wall
from documents.pages import group_texts, outside, overlapping, texts

from specgen import units
from specgen.checks.thermal import thermal_result
from specgen.documents.library_sheet import ORDER, library_document
from specgen.drawing.dimensions import agreeing_figures, main_faces
from specgen.drawing.library_sheet import FRAME, HEIGHT, WIDTH
from specgen.errors import SpecgenError
from specgen.library.load import open_library
from specgen.model.scene import Group, Line, Scene
from specgen.model.wall import Wall
from specgen.write.svg import write_svg

WALLS = tuple(open_library().walls())


def sheets(walls: tuple[Wall, ...]) -> tuple[Scene, ...]:
    return library_document([(wall, thermal_result(wall)) for wall in walls]).scenes


@cache
def shipped() -> tuple[Scene, ...]:
    return sheets(WALLS)


def prefix(wall: Wall) -> str:
    return wall.name.replace("+", "--")


def test_every_wall_and_variant_stands_there_once_grouped_by_construction() -> None:
    drawn = [view.id for scene in shipped() for view in scene.views]
    wanted = [f"{prefix(w)}_section" for construction in ORDER for w in WALLS if w.construction == construction]
    assert drawn == wanted and len(wanted) == len(WALLS)


def test_one_scale_and_it_is_written() -> None:
    assert {view.ratio for scene in shipped() for view in scene.views} == {8.0}  # 1½ in to the foot
    for scene in shipped():
        assert any("1½″ = 1′-0″" in item.text for item in texts(scene))


@pytest.mark.parametrize("wall", WALLS, ids=lambda wall: wall.name)
def test_a_cut_is_as_thick_as_its_wall_and_its_figures_stand_over_it(wall: Wall) -> None:
    (scene,) = [s for s in shipped() if f"{prefix(wall)}_section" in [view.id for view in s.views]]
    view = next(view for view in scene.views if view.id == f"{prefix(wall)}_section")
    layer = max(wall.layers, key=lambda layer: layer.depth)
    (group,) = [g for g in view.group.items if isinstance(g, Group) and g.id == f"{prefix(wall)}_{layer.id}"]
    outlines = [item for item in group.items if isinstance(item, Line) and item.closed]
    xs = [x for line in outlines for x, _ in line.points]
    assert max(xs) - min(xs) == pytest.approx(layer.depth * 1000 / 8, abs=0.1)
    printed = " ".join(item.text for item in group_texts(scene, f"{prefix(wall)}_cell")).replace("\u00a0", " ")
    thermal = thermal_result(wall)
    assert f"U-{thermal.u_si / units.U_IP:.3f}" in printed and f"{thermal.u_si:.3f} W/(m²·K)" in printed
    assert agreeing_figures(main_faces(wall)).overall in printed
    assert "Set out from the outer face of the" in printed
    assert "EXTERIOR" in printed and "INTERIOR" in printed
    assert wall.id in printed.replace("- ", "-")


def test_nothing_overlaps_or_leaves_the_frame() -> None:
    for scene in shipped():
        assert (scene.width, scene.height) == (WIDTH, HEIGHT)
        assert overlapping(scene) == [] and outside(scene, *FRAME) == []


def test_ids_are_unique_though_walls_share_names_of_layers() -> None:
    for scene in shipped():
        ids = [item.id for item in scene.walk() if isinstance(item, Group)]
        assert len(ids) == len(set(ids))
        assert write_svg(scene).count("<svg") == 1


def test_a_large_library_goes_over_several_sheets_with_its_headings() -> None:
    many = tuple(wall.model_copy(update={"id": f"{wall.id}-{copy}"}) for copy in range(3) for wall in WALLS)
    made = sheets(many)
    assert len(made) >= 2
    assert sum(len(scene.views) for scene in made) == len(many)
    for number, scene in enumerate(made, start=1):
        assert overlapping(scene) == [] and outside(scene, *FRAME) == []
        assert any(item.text == f"{number} of {len(made)}" for item in texts(scene))
    assert any(item.text.endswith(", continued") for scene in made[1:] for item in texts(scene))


def test_a_wall_that_is_not_approved_says_so() -> None:
    (scene,) = sheets((framed_wall(status="in-review"),))
    assert any(item.text == "DRAFT: in review" for item in texts(scene))


def test_an_empty_library_is_a_message() -> None:
    with pytest.raises(SpecgenError, match="holds no wall"):
        library_document([])
