"""Callouts: numbers, order and wording that drawing, crew page, schedule and specification share."""

from __future__ import annotations

import pytest
from builders import make_layer, make_material, make_wall
from sample_walls import SAMPLES, block_direct, block_inside, block_outside, concrete_thick, framed_brick, framed_stucco

from specgen.drawing.callouts import callouts, short_note, size_text
from specgen.drawing.type import check_glyphs
from specgen.library.load import open_library
from specgen.model.wall import Wall
from specgen.units import INCH

WALLS = [*open_library().walls(), *(sample() for sample in SAMPLES)]


@pytest.mark.parametrize("wall", WALLS, ids=[wall.name for wall in WALLS])
def test_every_layer_and_embedded_part_has_one_number(wall: Wall) -> None:
    calls = callouts(wall)
    assert [call.number for call in calls] == list(range(1, len(calls) + 1))
    named = [layer_id for call in calls if not call.embedded_id for layer_id in call.layer_ids]
    assert named == [layer.id for layer in wall.layers]
    embedded = [call.embedded_id for call in calls if call.embedded_id]
    assert embedded == [part.id for layer in wall.layers for part in layer.embedded]
    for call in calls:
        check_glyphs(call.note)
        check_glyphs(call.name, bold=True)
        assert call.name.casefold() in call.note.casefold()
        assert short_note(call)


def _note(wall: Wall, layer_id: str) -> str:
    return next(call.note for call in callouts(wall) if layer_id in call.layer_ids).replace("\u00a0", " ")


def test_wording_of_each_kind_of_part() -> None:
    framed = framed_stucco()
    assert [call.note for call in callouts(framed)][:3] == [
        "⅞″ stucco: scratch ⅜″, brown ⅜″, finish ⅛″",
        "Metal lath, self-furring, bedded in the scratch coat",
        "⅜″ test drainage mat",
    ]
    assert _note(framed, "wrb") == "Fluid-applied membrane, 30 mil"
    assert _note(framed, "studs") == "2×6 studs at 16″; test batt r 20, 5½″"
    assert _note(framed, "paint") == "Test latex paint, two coats"
    assert _note(block_outside(), "siding") == "Fiber-cement lap siding, 5⁄16″, 7″ exposure"
    assert _note(block_outside(), "furring") == "Treated 1×3 furring at 16″; ¾″ drained space"
    assert _note(block_outside(), "block") == "8″ test block 115; cells grouted at 48″, others empty"
    assert _note(block_inside(), "block").endswith("others filled with perlite loose fill")
    assert _note(block_direct(), "block") == "8″ test block 115; all cells grouted"
    assert _note(framed_brick(), "brick") == "3⅝″ face brick, ties at 16″ × 24″"
    assert _note(framed_brick(), "gap") == "1″ drained space"
    assert _note(concrete_thick(), "steel-studs").startswith("3⅝″ steel studs at 24″")


def test_abbreviations_keep_their_capitals_after_a_size() -> None:
    wall = make_wall([make_layer("panel", make_material("x", "wood-panel", label="OSB sheathing"), "7/16 in")])
    assert callouts(wall)[0].note == "7⁄16″ OSB sheathing"


def test_existing_layers_say_so() -> None:
    board = make_material("x", "gypsum-board", label="Gypsum board")
    wall = make_wall([make_layer("panel", board, "1/2 in", condition="existing-to-remain")])
    assert callouts(wall)[0].note == "½″ gypsum board, existing, to remain"


def test_a_film_is_sized_in_mils_and_says_dry_where_the_wet_film_is_given() -> None:
    film = make_material("x", "membrane", label="Membrane")
    wall = make_wall([make_layer("film", film, "30 mil", wet_film="60 mil", coats="2")])
    assert callouts(wall)[0].note.replace("\u00a0", " ") == "Membrane, 30 mil dry, two coats"


def test_a_panel_made_to_thirty_seconds_is_called_by_them() -> None:
    """APA performance categories (common practice): the 15/32 in panel and the 1/2 in panel are two panels."""
    assert size_text(15 / 32 * INCH) == "15⁄32″"
    assert size_text(INCH / 2) == "½″"
    assert size_text(0.012) == "½″", "12 mm is no 32nd: to the nearest 1/16"
