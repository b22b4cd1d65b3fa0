"""Figures that a step, hold point or note repeats are those of the wall's fields: one number for one thing.

Sentences are the author's; what they say of length, spacing, laps, films, cure and heights also stands in a field that
drawings, tables and checks print. Each test finds such figures by their words and holds them against the field.
Source of every comparison: the wall file itself.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction
from math import ceil

import pytest

from specgen import units
from specgen.library.load import open_library
from specgen.model.wall import Embedded, Fastening, Layer, Step, Wall

WALLS = tuple(open_library().walls())
NUMBER = r"(\d+(?:-\d+/\d+|/\d+|\.\d+)?)"  # 2, 1-1/4, 3/8, 3.5
INCH = rf"{NUMBER} in\b\.?"
DAY = 24 * units.HOUR

every_wall = pytest.mark.parametrize("wall", WALLS, ids=lambda wall: wall.name)


def value(text: str) -> float:
    return float(sum(Fraction(part) for part in text.split("-")))


def texts(step: Step) -> str:
    hold = step.hold_point.check if step.hold_point else ""
    return " | ".join((step.do, *step.detail, step.limits or "", hold))


def figures(pattern: str, text: str) -> list[float]:
    return [value(number) for match in re.finditer(pattern, text, re.I) for number in match.groups() if number]


def parts(wall: Wall, step: Step) -> list[Layer | Embedded]:
    """Layers and embedded parts that a step names; with ties, the layer that they hold."""
    tied = re.search(r"\bties?\b", step.do)
    found: list[Layer | Embedded] = [each for each in wall.layers if each.id in step.layers or (tied and each.ties)]
    return found + [part for layer in wall.layers for part in layer.embedded if part.id in step.layers]


def fastenings(found: list[Layer | Embedded]) -> Iterator[Fastening]:
    for part in found:
        yield from (each for each in (part.fastening, getattr(part, "ties", None)) if each)


def everything(wall: Wall) -> list[Layer | Embedded]:
    return [*wall.layers, *(part for layer in wall.layers for part in layer.embedded)]


def inches(lengths: list[float | None]) -> list[float]:
    return [length / units.INCH for length in lengths if length is not None]


def assert_all_in(said: list[float], fields: list[float], where: str) -> None:
    for figure in said:
        assert any(abs(figure - field) < 0.01 for field in fields), f"{where}: {figure:g} is none of {fields}"


@every_wall
def test_fastener_lengths_are_those_of_the_fastening(wall: Wall) -> None:
    lengths = (
        rf"{INCH} (?:(?:masonry|concrete|block|barrel) )?(?:screws?|nails?|anchors?|tie)\b",
        rf"(?:nails|screws) {INCH} long",
        rf"10: {INCH} long",
        rf"1/4 by {INCH}",
    )
    for step in wall.installation:
        held = list(fastenings(parts(wall, step)))
        known = inches([x for each in held for x in (each.length, each.diameter)])
        for pattern in lengths:
            assert_all_in(figures(pattern, texts(step)), known, f"{wall.name}, {step.do}")


@every_wall
def test_spacings_are_those_of_fastening_or_members(wall: Wall) -> None:
    apart = (rf"{INCH} apart(?! in height)", rf"{INCH} on center", rf"(?:disks|anchors|ties) {INCH} by {INCH}")
    for step in wall.installation:
        found = parts(wall, step)
        known = inches([x for f in fastenings(found) for x in (f.spacing, f.spacing_across, f.spacing_field)])
        known += inches([part.framing.spacing for part in found if isinstance(part, Layer) and part.framing])
        text = texts(step).replace("netting to every stud face 1-1/2 in. apart", "")  # netting is no layer
        for pattern in apart:
            assert_all_in(figures(pattern, text), known, f"{wall.name}, {step.do}")


@every_wall
def test_depths_into_the_base_are_those_of_the_fastening(wall: Wall) -> None:
    into = rf"{INCH}(?: or more)? (?:into|in) (?:a |the )?(?:studs?|block|concrete)\b"
    for step in wall.installation:
        known = inches([each.penetration for each in fastenings(parts(wall, step))])
        assert_all_in(figures(into, texts(step)), known, f"{wall.name}, {step.do}")


@every_wall
def test_laps_films_and_thicknesses_are_those_of_the_layer(wall: Wall) -> None:
    lap = (
        rf"(?:side|end) laps {INCH}", rf"fabric lapped {INCH}",
        rf"\blap(?: \w+)? siding {INCH}", rf"lap courses {INCH}",
        rf"(?<!mesh, )\blaps? (?:it |the membrane )?{INCH}(?!\.? in sealant)",
        rf"membrane\b[^.;|]*, {INCH} over the flashing",
        rf"; {INCH} over the (?:base )?flashing",
    )  # fmt: skip
    for step in wall.installation:
        text, where = texts(step), f"{wall.name}, {step.do}"
        found = parts(wall, step)
        layers = [part for part in found if isinstance(part, Layer)]
        films = [layer.wet_film / units.MIL for layer in layers if layer.wet_film]
        assert_all_in(figures(rf"{NUMBER} mil wet", text), films, where)
        known = inches([x for part in found if part.laps for x in (part.laps.side, part.laps.end)])
        if known and not any(layer.id == "wood-fiber" for layer in layers):
            for pattern in lap:
                if "base flashing by" not in text:  # wrap over flashing is no lap of the wrap with itself
                    assert_all_in(figures(pattern, text), known, where)
        if any(layer.group or layer.label == "Scratch coat" for layer in layers):
            assert_all_in(figures(rf"{INCH} thick", text), inches([layer.depth for layer in layers]), where)


@every_wall
def test_cure_and_weather_are_those_of_the_layer(wall: Wall) -> None:
    for step in wall.installation:
        layers = [part for part in parts(wall, step) if isinstance(part, Layer)]
        text, where = texts(step), f"{wall.name}, {step.do}"
        moist = [layer.cure.moist / units.HOUR for layer in layers if layer.cure and layer.cure.moist]
        if moist:
            assert_all_in(figures(rf"damp(?: and shaded)?(?: for)? {NUMBER} h", text), moist, where)
        waits = [layer.cure.before_next / DAY for layer in layers if layer.cure and layer.cure.before_next]
        if waits:
            assert_all_in(figures(rf"stand {NUMBER} days", text), waits, where)
        limits = [layer.limits for layer in layers if layer.limits]
        winds = [each.wind_max / units.MPH for each in limits if each.wind_max]
        if winds:
            assert_all_in(figures(rf"{NUMBER} mph", text), winds, where)
        rain = [each.rain_protection / units.HOUR for each in limits if each.rain_protection]
        if rain:
            assert_all_in(figures(rf"rain(?: or dew)? for {NUMBER} hours", text), rain, where)
        coats = [layer.coats for layer in layers if layer.coats]
        if coats and re.search(r"\btwo coats\b", text):
            assert 2 in coats, where


@every_wall
def test_heights_above_earth_are_those_of_the_base(wall: Wall) -> None:
    base = wall.base
    assert base is not None
    known = inches([base.cladding_clearance, base.foam_clearance])
    above = rf"(?<!than ){INCH} (?:or more )?above earth"
    for step in wall.installation:
        assert_all_in(figures(above, texts(step)), known, f"{wall.name}, {step.do}")
    if base.foam_clearance is None:  # board that is no foam stands as high as the note says, on the base flashing
        known += [value("6-1/2")] if "perforated edge" in (base.note or "") else []
    note = re.sub(rf"never (?:less|under)[^,;.]*?{INCH} above earth", "", base.note or "")
    assert_all_in(figures(above, note), known, f"{wall.name}, base")
    paving = inches([base.paving_clearance])
    for step in wall.installation:
        assert_all_in(figures(rf"{INCH} above paving", texts(step)), paving, f"{wall.name}, {step.do}")


@every_wall
def test_grounds_bucks_and_joints_add_up(wall: Wall) -> None:
    waters = [i for i, layer in enumerate(wall.layers) if "water" in layer.controls]
    outside = sum(layer.depth for layer in wall.layers[: waters[0]]) / units.INCH if waters else 0.0
    note = wall.base.note if wall.base and wall.base.note else ""
    for ground in figures(rf"(?:Screed with a|Screed spans) {INCH}", note):
        assert ground == pytest.approx(outside, abs=0.01), wall.name
        inside = re.search(r"\(([^)]*)\)", note)
        assert inside and sum(figures(INCH, inside.group(1))) == pytest.approx(ground, abs=0.01), wall.name
    openings = wall.openings
    assert openings is not None
    boards = [
        layer for layer in wall.layers[: max(waters, default=0) + 2]
        if layer.material and layer.material.kind in ("rigid-foam", "mineral-board", "fiberboard") and layer.controls
    ]  # fmt: skip
    deep = sum(layer.depth for layer in boards) / units.INCH
    for buck in figures(rf"buck {INCH} deep", openings.sill_pan):
        assert buck == pytest.approx(deep, abs=0.01), wall.name
    joints = [text for text in (openings.jamb, openings.head_flashing, openings.sill_pan) if text]
    assert_all_in(figures(rf"{INCH} sealant joint", " ".join(joints)), inches([openings.sealant_joint]), wall.name)


@every_wall
def test_densities_and_counts_are_reckoned(wall: Wall) -> None:
    fills = [layer.fill for layer in wall.layers if layer.fill and layer.fill.density]
    for step in wall.installation:
        for density in figures(rf"{NUMBER} lb(?:/cu| per cubic) f", texts(step)):
            known = [fill.density.value / units.DENSITY_IP for fill in fills if fill.density]
            assert any(abs(density - each) < 0.06 * each for each in known), f"{wall.name}: {density} of {known}"
        for count in figures(rf"{NUMBER} or more; on a sample|elevation: {NUMBER} or more", texts(step)):
            ties = [f for f in fastenings(everything(wall)) if f.type == "tie" and f.spacing and f.spacing_across]
            least = 100 * units.FOOT**2 / ((ties[0].spacing or 1.0) * (ties[0].spacing_across or 1.0))
            assert count == ceil(least), f"{wall.name}: {count} ties on 100 sq ft"


def test_each_kind_of_figure_is_found() -> None:
    """A pattern that meets no sentence checks nothing."""
    said = " || ".join(texts(step) for wall in WALLS for step in wall.installation)
    for pattern in (
        rf"(?:nails|screws) {INCH} long", rf"10: {INCH} long", rf"1/4 by {INCH}", rf"{INCH} apart",
        rf"{INCH} on center",
        rf"(?:side|end) laps {INCH}", rf"{NUMBER} mil wet", rf"{INCH} thick", rf"damp(?: for)? {NUMBER} h",
        rf"{INCH} above earth", rf"{INCH} above paving", rf"{NUMBER} mph", rf"{NUMBER} lb(?:/cu| per cubic) f",
        rf"{INCH}(?: or more)? (?:into|in) (?:a |the )?(?:studs?|block|concrete)\b",
        rf"; {INCH} over the (?:base )?flashing",
    ):  # fmt: skip
        assert re.search(pattern, said, re.I), pattern


def test_a_wrong_figure_is_caught() -> None:
    with pytest.raises(AssertionError, match="3 is none of"):
        assert_all_in(figures(rf"(?:nails|screws) {INCH} long", "Nails 3 in long, in studs"), [2.0], "a wall")
