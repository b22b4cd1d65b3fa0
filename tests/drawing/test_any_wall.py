"""Walls that nobody ships: every kind of material, odd depths, films alone: a drawing, or a named overflow."""

from __future__ import annotations

import itertools
from typing import get_args

import pytest
from builders import block, framing, make_layer, make_material, make_wall
from hypothesis import given, settings
from hypothesis import strategies as st
from sample_walls import base
from scene_reading import all_items, bounds, groups, outline, text_box

from specgen.drawing.sheet import base_sheet, wall_sheet
from specgen.errors import NotComputableError, PageOverflowError
from specgen.model.material import Kind
from specgen.model.scene import Text
from specgen.model.wall import Layer
from specgen.write.svg import write_svg

KINDS = sorted(get_args(Kind))
MATERIALS = {kind: make_material(f"any-{kind}", kind, label=f"Any {kind}"[:40]) for kind in KINDS}
CONTROLS = st.lists(st.sampled_from(["water", "air", "vapor", "thermal"]), unique=True, max_size=3).map(tuple)


@pytest.mark.parametrize("kind", KINDS)
def test_a_wall_of_one_material_is_drawn(kind: Kind) -> None:
    wall = make_wall([make_layer("only", MATERIALS[kind], "2 in")])
    assert write_svg(wall_sheet(wall)).startswith("<?xml")


def test_a_wall_of_films_alone_is_drawn_or_named() -> None:
    wall = make_wall([make_layer("film", MATERIALS["membrane"], "30 mil"), make_layer("paint", MATERIALS["coating"])])
    with pytest.raises(NotComputableError, match="films"):
        wall_sheet(wall)


@st.composite
def layers(draw: st.DrawFn) -> list[Layer]:
    found = []
    for index in range(draw(st.integers(1, 9))):
        name, controls = f"layer-{index}", draw(CONTROLS)
        shape = draw(st.sampled_from(["solid", "solid", "film", "framed", "open", "block", "siding"]))
        material = MATERIALS[draw(st.sampled_from(KINDS))]
        depth = draw(st.floats(0.002, 0.16))
        if shape == "film":
            found.append(make_layer(name, material, draw(st.floats(0.00005, 0.0015)), controls=controls))
        elif shape == "framed":
            profile = draw(st.sampled_from(["solid", "hat", "zee", "cee"]))
            lie = draw(st.sampled_from(["vertical", "horizontal"]))
            members = framing(
                draw(st.floats(0.02, 0.1)), draw(st.floats(0.3, 0.7)), 0.1, profile=profile, orientation=lie
            )
            fill = draw(st.sampled_from([None, material]))
            found.append(make_layer(name, None, max(depth, 0.015), framing=members, fill=fill, controls=controls))
        elif shape == "open":
            found.append(make_layer(name, None, depth, cavity={"kind": "drained"}))
        elif shape == "block":
            grout = draw(st.sampled_from([None, {"solid": "true"}, {"vertical_spacing": "32 in"}]))
            found.append(block(grout=grout).model_copy(update={"id": name}))
        elif shape == "siding":
            found.append(make_layer(name, material, max(depth, 0.004), exposure=draw(st.floats(0.08, 0.3))))
        else:
            found.append(make_layer(name, material, depth, controls=controls))
    return found


WALL_AND_BASE = (
    layers(),
    st.sampled_from(["framed", "mass-exterior-insulated"]),
    st.sampled_from(["slab-edge", "block-stem"]),
    st.sampled_from(["weep-screed", "base-screen", "casing-bead", ""]),
)


@given(*WALL_AND_BASE)
@settings(max_examples=12, deadline=None)
def test_any_wall_is_drawn_true_or_its_overflow_named(
    built: list[Layer], construction: str, support: str, termination: str
) -> None:
    _draw_and_measure(built, construction, support, termination)


@pytest.mark.long
@given(*WALL_AND_BASE)
@settings(max_examples=500, deadline=None)
def test_many_walls_are_drawn_true_or_their_overflow_named(
    built: list[Layer], construction: str, support: str, termination: str
) -> None:
    _draw_and_measure(built, construction, support, termination)


def _draw_and_measure(built: list[Layer], construction: str, support: str, termination: str) -> None:
    foot = base(support, termination) if termination else None
    wall = make_wall(built, construction=construction, base=foot, datum=f"{built[-1].id}-exterior")
    for draw_sheet in (wall_sheet, base_sheet) if termination else (wall_sheet,):
        try:
            scene = draw_sheet(wall)
        except (PageOverflowError, NotComputableError) as problem:
            assert len(str(problem)) > 20
            continue
        write_svg(scene)
        ratio = scene.views[0].ratio
        for layer in wall.layers:
            left, _, right, _ = bounds(outline(groups(scene)[layer.id]))
            assert (right - left) * ratio == pytest.approx(layer.depth * 1000, abs=0.1)
        boxes = [(item.text, text_box(item)) for item in all_items(scene) if isinstance(item, Text)]
        for (one, a), (other, b) in itertools.combinations(boxes, 2):
            apart = a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]
            assert apart, f"{one!r} overlaps {other!r}"
