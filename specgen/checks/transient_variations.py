"""What is not certain about a wall, one input at a time: room, start, color, gap, stored water, uptake, permeances."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from specgen.checks.moisture_materials import Range, storage_set, uptake_range
from specgen.checks.moisture_ranges import inputs
from specgen.checks.transient_lanes import Asked
from specgen.checks.wall_problem import SHEET_KINDS, Choices, SimulatedWall
from specgen.data import load_table
from specgen.model.transient import PERMEANCE

ENDS: tuple[Range, Range] = ("low", "high")


def variations(wall: SimulatedWall, base: Choices) -> list[Asked]:
    """What is not certain, one input at a time, on the worst orientation.

    Parameters
    ----------
    wall : SimulatedWall
        Decides which variations mean something for it.
    base : Choices
        Of the worst case.
    """
    room_and_start = (
        Asked("room temperature while cooling", "room cooled to 70 °F", replace(base, cooling=70.0)),
        Asked("room humidity while cooling", "room at most 50 % while cooling", replace(base, humidity_cooled=0.50)),
        Asked("room humidity in winter", "room drier in winter (EN 15026)", replace(base, winter="normal load")),
        Asked("start state", "wet start", replace(base, start="wet")),
    )
    return [
        *room_and_start,
        *_colors(base),
        *_gap(wall, base),
        *_stored(wall, base),
        *_permeances(wall, base),
    ]


def _colors(base: Choices) -> Iterator[Asked]:
    for color in load_table("design_hour")["colors"]:
        if color["absorptance"] != base.absorptance:
            name = str(color["name"])
            yield Asked("wall color", f"{name} color", replace(base, absorptance=float(color["absorptance"])))


def _gap(wall: SimulatedWall, base: Choices) -> Iterator[Asked]:
    """Air change of a gap that is open at both ends."""
    if any(wall.air_flow(index) > 0 for index, *_ in wall.parts(base).layers):
        for factor in (float(value) for value in load_table("design_hour")["ventilation_factors"]):
            detail = f"air change of the gap times {factor:g}"
            yield Asked("air change of the open gap", detail, replace(base, ventilation=factor))


def _stored(wall: SimulatedWall, base: Choices) -> Iterator[Asked]:
    """Water uptake, then stored water, of all layers that have a range at once."""
    bodies = [body for _, body, *_ in wall.parts(base).layers if body and body.kind not in SHEET_KINDS]
    ranges = [uptake_range(body) for body in bodies]
    if any(ends and ends[0] < ends[2] for ends in ranges):
        yield Asked("water uptake", "water uptake at its low end", replace(base, uptake="low"))
        yield Asked("water uptake", "water uptake at its high end", replace(base, uptake="high"))
    if any("stored" in storage_set(body)[1] for body in bodies):
        yield Asked("stored water", "stored water at its low end", replace(base, stored="low"))
        yield Asked("stored water", "stored water at its high end", replace(base, stored="high"))


def _permeances(wall: SimulatedWall, base: Choices) -> Iterator[Asked]:
    """Each permeance with a range, low and high, the others as stated."""
    for one in inputs(wall.wall):
        for end in ENDS:
            choices = replace(base, permeance=end, permeance_of=one.layers)
            yield Asked(f"{PERMEANCE}{one.name}", f"{end} permeance of the {one.name}", choices)
