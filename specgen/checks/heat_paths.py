"""The ways that heat takes through a wall: choices side by side at each place, joined to paths from film to film.

Members of neighboring layers with the same size, spacing and direction are one member (a stud continued); members of
other layers cross each other at random, so that their shares multiply.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from specgen.checks import makeup, resistances
from specgen.checks.layer_options import layer_options
from specgen.checks.once import once
from specgen.errors import NotComputableError
from specgen.model.assessment import HeatPath, LayerResistance
from specgen.model.wall import Layer, Wall
from specgen.physics import heat

MOST_PATHS = 1024  # ten layers of members that cross each other; no real wall comes near [-]


@dataclass(frozen=True, slots=True)
class Part:
    """One of the choices that heat has at one place of the wall; several layers, if members run through them."""

    name: str
    share: float
    resistances: tuple[LayerResistance, ...]


Choices = tuple[Part, ...]  # the choices at one place, shares summing to 1


@dataclass(frozen=True, slots=True)
class Crossing:
    """What heat crosses from air to air: the layers that count, and its choices at each place, films included."""

    gap: int | None  # index of the innermost gap that outdoor air runs through; what lies outside it is left out
    counted: tuple[Layer, ...]
    places: tuple[Choices, ...]  # exterior film first, interior film last


@once
def crossing(wall: Wall) -> Crossing:
    """The layers between the films of a wall; behind a gap that outdoor air runs through, the film is an inner one.

    Raises
    ------
    NotComputableError
        If a value is missing for which nothing may be assumed; names the layer and the value.

    Source
    ------
    ISO 6946, well ventilated air layer; films of the ASHRAE Handbook of Fundamentals.
    """
    gap = makeup.ventilated_gap(wall)
    counted = wall.layers if gap is None else wall.layers[gap + 1 :]
    if gap is None:
        outer = resistances.film("us-exterior-winter", "exterior film")
    else:
        outer = resistances.film("us-interior", "exterior film", "sheltered air in the open gap, as an interior film")
    inner = resistances.film("us-interior", "interior film")
    return Crossing(gap, counted, (single(outer), *wall_places(counted), single(inner)))


def single(resistance: LayerResistance) -> Choices:
    """A place where heat has no choice, such as a film."""
    return (Part("", 1.0, (resistance,)),)


def wall_places(layers: Sequence[Layer]) -> list[Choices]:
    """The choices of heat, exterior first; neighboring framed layers whose members line up become one place."""
    places: list[Choices] = []
    previous: Layer | None = None
    for layer in layers:
        options = layer_options(layer)
        parts = tuple(Part(option.name, option.share, (option.resistance,)) for option in options)
        if previous is not None and _members_line_up(previous, layer) and len(parts) == len(places[-1]):
            places[-1] = tuple(
                replace(before, resistances=before.resistances + part.resistances)
                for before, part in zip(places[-1], parts, strict=True)
            )
        else:
            places.append(parts)
        previous = layer
    return places


def _members_line_up(outer: Layer, inner: Layer) -> bool:
    a, b = outer.framing, inner.framing
    if a is None or b is None or a.material.metal or b.material.metal:
        return False
    same = (a.width, a.spacing, a.fraction, a.orientation) == (b.width, b.spacing, b.fraction, b.orientation)
    return same and a.profile == b.profile


def heat_paths(places: Sequence[Choices]) -> tuple[HeatPath, ...]:
    """Every combination of choices as one path from film to film, with its share of the wall area.

    Raises
    ------
    NotComputableError
        If bridged layers cross so often that more than `MOST_PATHS` paths arise.
    """
    count = math.prod(len(choices) for choices in places)
    if count > MOST_PATHS:
        raise NotComputableError(f"bridged layers cross to {count} heat paths; expected at most {MOST_PATHS}")
    paths = []
    for choice in itertools.product(*places):
        share = math.prod(part.share for part in choice)
        names = [_place_name(part) for part in choice if part.name]
        parts = tuple(resistance for part in choice for resistance in part.resistances)
        paths.append(HeatPath(" and ".join(names) or "whole area", share, parts))
    return tuple(paths)


def _place_name(part: Part) -> str:
    return f"{part.name} of {', '.join(dict.fromkeys(resistance.layer for resistance in part.resistances))}"


def place_resistance(choices: Choices) -> float:
    """Resistance of one place between isothermal planes, layer by layer."""
    depth = len(choices[0].resistances)
    total = 0.0
    for index in range(depth):
        values = [part.resistances[index].resistance for part in choices]
        if len(values) == 1:
            total += values[0]
        elif all(value > 0 for value in values):
            total += heat.bridged_layer([part.share for part in choices], values)
    return total


def transmittance_without(places: Sequence[Choices], layer_id: str) -> float:
    """U of the wall with one layer taken away, members and all. [W/(m²·K)]"""

    def drop(part: Part) -> Part:
        return replace(part, resistances=tuple(r for r in part.resistances if r.layer != layer_id))

    paths = heat_paths([tuple(drop(part) for part in choices) for choices in places])
    return heat.parallel_path([path.share for path in paths], [path.total for path in paths])
