"""The wall sheets as an architect measures them: scale, order, leaders, text, dimensions, hatches, scale bar."""

from __future__ import annotations

import itertools
import math
import re
from fractions import Fraction

import pytest
import shapely
from sample_walls import SAMPLES, framed_stucco
from scene_reading import all_items, bounds, crosses, groups, inside, outline, text_box

from specgen.drawing.base import stem_reach
from specgen.drawing.callouts import callouts
from specgen.drawing.dimensions import agreeing_figures, main_faces
from specgen.drawing.layout import coat_weight, core_index
from specgen.drawing.notes import number_column
from specgen.drawing.parts import formed_member
from specgen.drawing.section import lay_out_section, targets
from specgen.drawing.sheet import base_sheet, wall_sheet
from specgen.errors import PageOverflowError
from specgen.library.load import open_library
from specgen.model.scene import Circle, Dots, Group, Line, Scene, Strokes, Text
from specgen.model.wall import Wall
from specgen.units import INCH

WALLS = [*open_library().walls(), *(sample() for sample in SAMPLES)]
SHEETS = [(wall, wall_sheet(wall, "W1", "Invented house", base_page="p. 2", pages="1 of 2")) for wall in WALLS]
BASES = [(wall, base_sheet(wall, "W1", "Invented house", pages="2 of 2")) for wall in WALLS if wall.base]
BOTH = [*SHEETS, *BASES]

sheets = pytest.mark.parametrize("wall, scene", SHEETS, ids=[wall.name for wall, _ in SHEETS])
both = pytest.mark.parametrize("wall, scene", BOTH, ids=[scene.id for _, scene in BOTH])


@both
def test_each_layer_is_one_group_of_its_id_at_true_thickness(wall: Wall, scene: Scene) -> None:
    section = next(view for view in scene.views if view.id == "section")
    found = groups(scene)
    for layer in wall.layers:
        left, _, right, _ = bounds(outline(found[layer.id]))
        # "thickness / scale equals the model to 0.1 mm"
        assert (right - left) * section.ratio == pytest.approx(layer.depth * 1000, abs=0.1)


@sheets
def test_the_plan_shows_the_same_thicknesses(wall: Wall, scene: Scene) -> None:
    plan = next(view for view in scene.views if view.id == "plan")
    found = groups(scene)
    for layer in wall.layers:
        _, top, _, bottom = bounds(outline(found[f"plan-{layer.id}"]))
        assert (bottom - top) * plan.ratio == pytest.approx(layer.depth * 1000, abs=0.1)


@both
def test_layers_stand_in_order_from_exterior_to_interior(wall: Wall, scene: Scene) -> None:
    found = groups(scene)
    lefts = [bounds(outline(found[layer.id]))[0] for layer in wall.layers]
    assert lefts == sorted(lefts)
    texts = {item.text: item for item in all_items(scene) if isinstance(item, Text)}
    assert text_box(texts["EXTERIOR"])[2] < lefts[0]
    assert text_box(texts["INTERIOR"])[0] > bounds(outline(found[wall.layers[-1].id]))[2]


@both
def test_set_out_face_lies_on_the_view_origin(wall: Wall, scene: Scene) -> None:
    section = next(view for view in scene.views if view.id == "section")
    exterior = bounds(outline(groups(scene)[wall.layers[0].id]))[0]
    assert (section.origin[0] - exterior) * section.ratio == pytest.approx(wall.datum_position * 1000, abs=0.1)


@both
def test_leaders_run_at_one_angle_and_never_cross(wall: Wall, scene: Scene) -> None:
    runs = []
    for group in groups(scene).values():
        if group.role == "leader":
            leaders = [item for item in group.items if isinstance(item, Line)]
            slopes = [
                abs(math.degrees(math.atan2(b[1] - a[1], b[0] - a[0]))) for *_, a, b in (i.points for i in leaders)
            ]
            assert all(min(slope, 180 - slope) == pytest.approx(15.0, abs=0.01) for slope in slopes)
            runs += [pair for leader in leaders for pair in itertools.pairwise(leader.points)]
    for a, b in itertools.combinations(runs, 2):
        assert not crosses(a, b)


@sheets
def test_each_dot_is_on_the_layer_its_note_names(wall: Wall, scene: Scene) -> None:
    found = groups(scene)
    dots = [item for item in found["notes"].items if isinstance(item, Circle) and item.fill == "black"]
    for call, dot in zip(callouts(wall), dots, strict=False):
        boxes = [outline(found[layer_id]) for layer_id in call.layer_ids]
        left, top = min(bounds(box)[0] for box in boxes), min(bounds(box)[1] for box in boxes)
        right, bottom = max(bounds(box)[2] for box in boxes), min(bounds(box)[3] for box in boxes)
        films = [line for layer_id in call.layer_ids for line in found[layer_id].items if line not in boxes]
        if len(call.layer_ids) == 1 and not boxes[0].stroked and isinstance(films[0], Line):
            # A film is drawn thicker than it is: the dot is on its line.
            across = [x for x, _ in films[0].points]
            left, right = min(across) - films[0].weight / 2, max(across) + films[0].weight / 2
        assert left - 1e-6 <= dot.center[0] <= right + 1e-6
        assert top < dot.center[1] < bottom
    assert len(dots) >= len(callouts(wall))


@both
def test_no_text_overlaps_another_or_leaves_the_sheet(wall: Wall, scene: Scene) -> None:
    boxes = [(item.text, text_box(item)) for item in all_items(scene) if isinstance(item, Text)]
    for text, (left, top, right, bottom) in boxes:
        assert left > 10 and top > 10 and right < scene.width - 10 and bottom < scene.height - 6, text
    for (one, a), (other, b) in itertools.combinations(boxes, 2):
        apart = a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]
        assert apart, f"{one!r} overlaps {other!r}"


@both
def test_no_leader_or_dimension_line_runs_through_a_text(wall: Wall, scene: Scene) -> None:
    boxes = [(item.text, shapely.box(*text_box(item))) for item in all_items(scene) if isinstance(item, Text)]
    for group in groups(scene).values():
        if group.role in ("leader", "dimension"):
            for line in (item for item in group.items if isinstance(item, Line)):
                for text, box in boxes:
                    assert not shapely.LineString(line.points).intersects(box), f"a line of {group.id} hits {text!r}"


@sheets
def test_notes_do_not_touch_the_drawing(wall: Wall, scene: Scene) -> None:
    found = groups(scene)
    right = max(bounds(outline(found[layer.id]))[2] for layer in wall.layers)
    for text in (item for item in found["notes"].items if isinstance(item, Text)):
        assert text_box(text)[0] > right + 5


def _inches(text: str) -> Fraction:
    """A printed length back to inches, by the characters alone."""
    feet, _, inches = text.rpartition("′-")
    glyphs = {"½": (1, 2), "¼": (1, 4), "¾": (3, 4), "⅛": (1, 8), "⅜": (3, 8), "⅝": (5, 8), "⅞": (7, 8)}
    body = inches.rstrip("″")
    total = Fraction(12 * int(feet or 0))
    if "⁄" in body:
        whole, _, part = body.rpartition("\u202f")
        numerator, denominator = part.split("⁄")
        return total + int(whole or 0) + Fraction(int(numerator), int(denominator))
    if body[-1] in glyphs:
        return total + int(body[:-1] or 0) + Fraction(*glyphs[body[-1]])
    return total + int(body)


@sheets
def test_printed_parts_add_up_to_the_printed_overall(wall: Wall, scene: Scene) -> None:
    found = groups(scene)
    parts = [item.text for item in found["plan_dimensions_parts"].items if isinstance(item, Text)]
    overall = [item.text for item in found["plan_dimensions_overall"].items if isinstance(item, Text)]
    assert sum(_inches(text) for text in parts) == _inches(overall[0])
    assert float(_inches(overall[0])) == pytest.approx(wall.thickness / INCH, abs=1 / 32 + 1e-9)


def test_strings_that_disagree_go_to_thirty_seconds_or_lose_a_tick() -> None:
    thirds = agreeing_figures([0.0, 0.03 * INCH + INCH, 2.06 * INCH])
    assert thirds.denominator == 32 or len(thirds.parts) == 1
    for seed in range(1, 300):
        faces = [0.0]
        for step in range(1, 6):
            faces.append(faces[-1] + INCH * (0.07 + ((seed * 37 + step * 101) % 97) / 23))
        figures = agreeing_figures(faces)
        assert sum(_inches(part) for part in figures.parts) == _inches(figures.overall)


def test_core_faces_are_dimensioned() -> None:
    wall = framed_stucco()
    core = core_index(wall)
    assert {wall.faces[core], wall.faces[core + 1], wall.datum_position} <= set(main_faces(wall))


@sheets
def test_hatches_stay_inside_their_outline(wall: Wall, scene: Scene) -> None:
    found = groups(scene)
    for view in ("", "plan-"):
        for layer in wall.layers:
            group = found[view + layer.id]
            area = shapely.Polygon(outline(group).points)
            if area.is_empty or area.area < 1e-9 or layer.exposure:
                continue
            grown = area.buffer(0.02)
            for hatch in (item for item in group.items if isinstance(item, Group) and item.role == "hatch"):
                for item in inside(hatch):
                    assert grown.contains(_shape(item)), f"hatch of {group.id} leaves its outline"


def _shape(item: Line | Strokes | Dots | Circle | Text) -> shapely.Geometry:
    if isinstance(item, Strokes):
        return shapely.MultiLineString([list(segment) for segment in item.segments])
    if isinstance(item, Dots):
        return shapely.MultiPoint(list(item.centers))
    assert isinstance(item, Line)
    return shapely.LineString(item.points)


@both
def test_hatch_is_lighter_than_any_cut_outline(wall: Wall, scene: Scene) -> None:
    found = groups(scene)
    for layer in wall.layers:
        line = outline(found[layer.id])
        if not line.stroked:
            continue
        for group in (item for item in found[layer.id].items if isinstance(item, Group) and item.role == "hatch"):
            for item in inside(group):
                if isinstance(item, Strokes | Line) and item.ink == "black":
                    assert item.weight < line.weight


@both
def test_weights_keep_their_order(wall: Wall, scene: Scene) -> None:
    faces = [item.weight for item in groups(scene)["section_profile"].items if isinstance(item, Line)]
    outlines = [outline(groups(scene)[layer.id]) for layer in wall.layers]
    assert max(faces) >= max(line.weight for line in outlines if line.stroked)
    lines = [item for item in all_items(scene) if isinstance(item, Line | Strokes | Circle)]
    assert {line.weight for line in lines} <= {0.0, 0.13, 0.18, 0.25, 0.35, 0.5, 0.7, 0.9}


@both
def test_scale_bar_is_true_to_the_written_scale(wall: Wall, scene: Scene) -> None:
    bars = [group for name, group in groups(scene).items() if name.endswith("_bar")]
    assert len(bars) == len(scene.views)
    for view, bar in zip(scene.views, bars, strict=True):
        ends = [bounds(item) for item in bar.items if isinstance(item, Line)]
        length = max(box[2] for box in ends) - min(box[0] for box in ends)
        last = [item.text for item in bar.items if isinstance(item, Text)][-1]
        assert length * view.ratio == pytest.approx(int(last.rstrip("′")) * 304.8, abs=0.01)
        # 1-1/2 in = 1 ft is 1:8 (12 / 1.5): the written scale and the ratio say the same.
        written = _inches(view.scale_text.split(" = ")[0])
        assert float(12 / written) == pytest.approx(view.ratio)


@both
def test_group_ids_are_unique_and_text_is_never_small(wall: Wall, scene: Scene) -> None:
    names = [item.id for item in scene.walk() if isinstance(item, Group)]
    assert len(names) == len(set(names))
    assert all(item.size >= 2.0 for item in all_items(scene) if isinstance(item, Text))


@sheets
def test_every_callout_stands_on_the_sheet_and_in_the_description(wall: Wall, scene: Scene) -> None:
    column = groups(scene)["notes"]
    printed = " ".join(item.text for item in column.items if isinstance(item, Text)).replace("\u00a0", " ")
    for call in callouts(wall):
        assert call.note.replace("\u00a0", " ") in printed
        assert call.note in scene.description


def test_a_wall_too_thick_for_the_wanted_scale_prints_the_scale_it_got() -> None:
    scene = wall_sheet(next(wall for wall in WALLS if wall.id == "sample-concrete-thick"))
    assert {view.ratio for view in scene.views} == {16.0}
    assert any(isinstance(item, Text) and item.text == "¾″ = 1′-0″" for item in all_items(scene))


def test_shipped_walls_fit_at_the_usual_scales() -> None:
    shipped = [pair for pair in BOTH if not pair[0].id.startswith("sample-")]
    assert shipped
    for wall, scene in shipped:
        # 3 in scale leaves room for notes beside walls of up to about 15 in; thicker ones print the next scale.
        usual = 8.0 if len(scene.views) == 2 or wall.thickness >= 15 * INCH else 4.0
        assert {view.ratio for view in scene.views} == {usual}


def test_a_note_that_cannot_fit_is_named() -> None:
    wall = framed_stucco()
    layers = tuple(
        layer.model_copy(update={"label": " ".join(["endless"] * 120)}) if layer.id == "board" else layer
        for layer in wall.layers
    )
    with pytest.raises(PageOverflowError, match="endless"):
        wall_sheet(wall.model_copy(update={"layers": layers}))


def test_draft_and_missing_control_are_said_in_words() -> None:
    wall = framed_stucco()
    bare = tuple(layer.model_copy(update={"controls": ()}) if layer.id == "wrb" else layer for layer in wall.layers)
    scene = wall_sheet(wall.model_copy(update={"layers": bare}), draft=True)
    texts = {item.text for item in all_items(scene) if isinstance(item, Text)}
    assert any(text.startswith("DRAFT") for text in texts)
    assert {"Water: no dedicated layer", "Air: no dedicated layer", "Vapor: no dedicated layer"} <= texts


def test_a_column_of_numbers_ties_each_to_its_layer() -> None:
    layout = lay_out_section(framed_stucco(), 8.0, (40.0, 30.0), 110.0, 34.0)
    keys = number_column([call.number for call in callouts(layout.wall)], targets(layout), 72.0, 41.0, "keys")
    circles = [item for item in keys.items if isinstance(item, Circle) and item.radius > 2]
    assert [item.text for item in keys.items if isinstance(item, Text)] == [str(n + 1) for n in range(len(circles))]
    assert all(b.center[1] - a.center[1] >= 2 * a.radius for a, b in itertools.pairwise(circles))
    with pytest.raises(PageOverflowError, match="number 1"):
        number_column([1] * 30, [targets(layout)[0]] * 30, 72.0, 41.0, "keys")


@pytest.mark.parametrize("wall, scene", BASES, ids=[wall.name for wall, _ in BASES])
def test_metal_at_the_foot_leads_water_outward(wall: Wall, scene: Scene) -> None:
    """Common practice: every leg that runs outward falls, and nothing that hangs on it reaches through it."""
    assert wall.base is not None
    found = groups(scene)
    if wall.base.termination not in ("weep-screed", "base-screen"):
        return
    legs = [item.points for item in found["section_flashing"].items if isinstance(item, Line) and not item.closed]
    runs = [pair for points in legs for pair in itertools.pairwise(points) if abs(pair[0][0] - pair[1][0]) > 1.0]
    brick = any(layer.unit for layer in wall.layers[: core_index(wall)])
    screens = [item.points for item in found["section_flashing"].items if isinstance(item, Line) and item.dash]
    for (x0, y0), (x1, y1) in (run for run in runs if not any(set(run) <= set(screen) for screen in screens)):
        assert brick or (y1 - y0) * (x0 - x1) > 0, "a leg lies level or falls inward"
        for layer in wall.layers[: core_index(wall)]:
            left, _, right, bottom = bounds(outline(found[layer.id]))
            low, high = max(left, min(x0, x1)), min(right, max(x0, x1))
            if "thermal" in layer.controls and high - low > 0.05:
                metal = [y0 + (y1 - y0) * (x - x0) / (x1 - x0) for x in (low, high)]
                assert bottom <= max(metal) + 0.35, f"{layer.id} reaches through the metal"


def test_the_slab_inside_a_stem_is_no_sliver() -> None:
    seen = 0
    for wall, scene in BOTH:
        section = next(view for view in scene.views if view.id == "section")
        reach = stem_reach(wall, section.ratio)
        if reach:
            seen += 1
            points = [
                x for item in inside(groups(scene)["section_base"]) if isinstance(item, Line) for x, _ in item.points
            ]
            assert max(points) >= section.origin[0] + reach - 1e-6
    assert seen >= 4


def test_coats_too_thin_for_two_lines_take_hairs() -> None:
    wall = next(wall for wall in WALLS if wall.name == "concrete-direct-stucco")
    coat = next(layer for layer in wall.layers if layer.group)
    assert coat_weight(wall, coat, 1000 / 8) < coat_weight(wall, coat, 1000 / 4)


def test_a_screed_on_furring_leaves_the_insulation_behind_it_free() -> None:
    scene = next(scene for wall, scene in BASES if wall.name == "block-exterior-eps-stucco")
    found = groups(scene)
    flange = next(item for item in found["section_flashing"].items if isinstance(item, Line) and len(item.points) == 4)
    furring = bounds(outline(found["furring"]))
    assert flange.points[0][0] == pytest.approx(furring[0], abs=0.3)


def test_the_feet_of_a_hat_channel_lie_toward_the_structure() -> None:
    """Common practice: the flanges are fixed to what carries, the crown holds siding or board."""
    layout = lay_out_section(framed_stucco(), 8.0, (40.0, 30.0), 110.0, 34.0)
    strip = layout.strips[core_index(layout.wall)]
    for outside in (True, False):
        path = formed_member(strip, "hat", 0.0, 10.0, outside)
        foot, crown = path[0][0], path[2][0]
        assert (foot > crown) == outside
        assert abs(path[-1][1] - path[0][1]) > abs(path[3][1] - path[2][1]), "feet spread wider than the crown"


def test_ids_follow_the_contract() -> None:
    for name in groups(SHEETS[0][1]):
        assert re.fullmatch(r"[a-z0-9_-]+", name)
