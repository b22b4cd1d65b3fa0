"""Head, sill and jamb at a window: true thickness, text and leaders apart, each sheet lapped over the one below."""

from __future__ import annotations

import itertools
import math

import pytest
import shapely
from scene_reading import all_items, bounds, crosses, groups, inside, outline, text_box

from specgen.drawing.opening import cut_opening
from specgen.drawing.opening_sheet import opening_sheet
from specgen.drawing.opening_water import leg_place, pan_edge
from specgen.library.load import open_library
from specgen.model.scene import Line, Scene, Text
from specgen.model.wall import Wall

WALLS = [wall for wall in open_library().walls() if wall.openings]
DRAWN = [(wall, opening_sheet(wall, "W1", "Invented house", True, "3 of 3")) for wall in WALLS]

sheets = pytest.mark.parametrize("wall, scene", DRAWN, ids=[wall.name for wall, _ in DRAWN])


def test_a_wall_without_openings_has_no_such_sheet() -> None:
    assert opening_sheet(WALLS[0].model_copy(update={"openings": None})) is None


@pytest.mark.parametrize("wall", WALLS, ids=[wall.name for wall in WALLS])
def test_a_wall_that_names_no_air_seal_is_drawn_without_that_note(wall: Wall) -> None:
    assert wall.openings is not None
    bare = wall.openings.model_copy(update={"air_seal": None, "note": None, "sealant_joint": None})
    scene = opening_sheet(wall.model_copy(update={"openings": bare}))
    assert scene is not None
    said = [item.text for item in all_items(scene) if isinstance(item, Text)]
    assert said and not any(text.startswith("Air seal") for text in said)


@sheets
def test_layers_keep_their_thickness_in_all_three_cuts(wall: Wall, scene: Scene) -> None:
    found = groups(scene)
    for view in scene.views:
        for layer in wall.layers:
            left, top, right, bottom = bounds(outline(found[f"{view.id}-{layer.id}"]))
            across = bottom - top if view.id == "jamb" else right - left
            assert across * view.ratio == pytest.approx(layer.depth * 1000, abs=0.1)


@sheets
def test_ids_are_named_by_their_view(wall: Wall, scene: Scene) -> None:
    assert [view.id for view in scene.views] == ["head", "sill", "jamb"]
    for view in scene.views:
        assert all(item.id.startswith(f"{view.id}-") for item in view.group.items if hasattr(item, "id"))


@sheets
def test_no_text_overlaps_another_or_leaves_the_page(wall: Wall, scene: Scene) -> None:
    boxes = [(item.text, text_box(item)) for item in all_items(scene) if isinstance(item, Text)]
    for text, (left, top, right, bottom) in boxes:
        assert left > 10 and top > 10 and right < scene.width - 10 and bottom < scene.height - 6, text
    for (one, a), (other, b) in itertools.combinations(boxes, 2):
        assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1], f"{one!r} overlaps {other!r}"


@sheets
def test_leaders_are_parallel_cross_nothing_and_miss_all_text(wall: Wall, scene: Scene) -> None:
    boxes = [(item.text, shapely.box(*text_box(item))) for item in all_items(scene) if isinstance(item, Text)]
    runs = []
    for group in (group for group in groups(scene).values() if group.role == "leader"):
        for line in (item for item in group.items if isinstance(item, Line)):
            (x0, y0), (x1, y1) = line.points[-2:]
            slope = abs(math.degrees(math.atan2(y1 - y0, x1 - x0)))
            # Level only where a falling leader would cross the window's nose or start above the drawing.
            assert min(slope, 180 - slope) == pytest.approx(15.0, abs=0.01) or slope in (0.0, 180.0)
            runs += list(itertools.pairwise(line.points))
            for text, box in boxes:
                assert not shapely.LineString(line.points).intersects(box), f"a leader of {group.id} hits {text!r}"
    assert not any(crosses(a, b) for a, b in itertools.combinations(runs, 2))


@sheets
def test_leaders_at_sill_and_jamb_go_round_the_window(wall: Wall, scene: Scene) -> None:
    """A leader that crosses the frame on its way reads as a note on the window, which is by others."""
    found = groups(scene)
    window = [shapely.Polygon(item.points) for item in inside(found["jamb-window"]) if _is_body(item)]
    leaders = [item for item in found["notes-jamb"].items if isinstance(item, Line)]
    nose = [shapely.Polygon(item.points) for item in inside(found["sill-window"]) if _is_body(item)]
    exterior = [item for item in found["notes-sill-exterior"].items if isinstance(item, Line)]
    for bodies, lines in ((window, leaders), (nose, exterior)):
        for line, body in itertools.product(lines, bodies):
            assert shapely.LineString(line.points).intersection(body.buffer(-0.05)).length < 0.2


def _is_body(item: object) -> bool:
    return isinstance(item, Line) and item.closed and item.fill == "white"


def test_a_crowded_head_keeps_the_note_that_the_membrane_laps() -> None:
    for wall, scene in DRAWN:
        texts = " ".join(item.text for item in inside(groups(scene)["notes-head-exterior"]) if isinstance(item, Text))
        if cut_opening(wall, "head", 8.0, (0.0, 0.0), 30.0, 18.0).setting != "direct":
            assert "over the upper leg" in texts.replace("\u00a0", " "), wall.name


@pytest.mark.parametrize("wall", WALLS, ids=lambda wall: wall.name)
def test_what_is_above_laps_over_what_is_below(wall: Wall) -> None:
    """Common practice: water running down a sheet must pass onto the outside of the next."""
    head, sill = (cut_opening(wall, side, 4.0, (100.0, 100.0), 30.0, 18.0) for side in ("head", "sill"))
    if head.setting == "direct" or head.membrane is None:
        return
    scene = opening_sheet(wall)
    assert scene is not None
    ratio = scene.views[0].ratio
    head = cut_opening(wall, "head", ratio, scene.views[0].origin, 30.0, 18.0)
    film = [item for item in groups(scene)[f"head-{wall.layers[head.membrane].id}"].items if isinstance(item, Line)]
    over = film[1].points[-1][0]
    assert over < head.frame.origin[0] + leg_place(head), "the membrane ends outside of the flashing's upper leg"
    assert pan_edge(sill)[0] < sill.front, "the pan hangs outside of the membrane below it"
    assert pan_edge(sill)[1] > 0
