"""One sentence on what a wall's heat storage means for cooling: figures and where the insulation lies in, words out."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from specgen import units
from specgen.checks import makeup
from specgen.data import load_table
from specgen.model.mass import MassResult
from specgen.model.wall import Wall

SHIELD = 0.1  # R between masonry and room air from which the masonry no longer counts as bare; our reading [m²·K/W]
KILO = 1000.0


def cooling_sentence(wall: Wall, figures: MassResult) -> MassResult:
    """The same figures with their sentence.

    Parameters
    ----------
    wall : Wall
        The wall that the figures belong to.
    figures : MassResult
        Of `mass_figures`, its sentence still empty.
    """
    words = load_table("cooling_words")
    sentence = f"{_wave(words, figures)}; {_room(words, wall, figures)}."
    return replace(figures, sentence=sentence[0].upper() + sentence[1:])


def _wave(words: Any, figures: MassResult) -> str:
    limits = words["limits"]
    if figures.decrement_factor > limits["nearly_all"]:
        case = "nearly_all"
    else:
        case = "small" if figures.decrement_factor < limits["small"] else "part"
    arrival = (words["peak_outdoors"] + figures.time_lag_h) % 24
    filled: str = words["wave"][case].format(
        factor=f"{100 * figures.decrement_factor:.0f} percent",
        lag=f"{figures.time_lag_h:.1f}",
        hour=hour_words(arrival),
        after=words["after"]["night" if arrival >= 21 or arrival < 9 else "evening"],
    )
    return filled


def _room(words: Any, wall: Wall, figures: MassResult) -> str:
    capacity = figures.areal_heat_capacity_inside_si
    printed = f"{capacity / units.HEAT_CAPACITY_IP:.1f} Btu/(ft²·°F) [{capacity / KILO:.0f} kJ/(m²·K)]"
    index = makeup.mass_layer(wall)
    mass_id = wall.layers[index].id if index is not None else ""
    place = next((i for i, layer in enumerate(figures.layers) if layer.layer == mass_id), None)
    if place is None:
        weightless = figures.decrement_factor > words["limits"]["nearly_all"]
        case, between = "light" if weightless else "light-damped", ""
        mass_id = figures.damping_layer
    else:
        case, between = _masonry_case(words, wall, figures, place)
    return str(words["room"][case].format(capacity=printed, mass=_named(mass_id), between=between))


def _masonry_case(words: Any, wall: Wall, figures: MassResult, place: int) -> tuple[str, str]:
    """Which sentence holds for masonry at this place, and what stands between it and the room air."""
    outside, inside = _insulation(wall, figures, place)
    between = [layer for layer in figures.layers[place + 1 : -1] if layer.resistance > 0]
    if max(outside, inside) == 0:
        heavy = figures.areal_heat_capacity_inside_si >= words["limits"]["bare"] * KILO
        return ("bare" if heavy else "bare-light"), ""
    if inside >= outside:
        return "mass-outside", ""
    if sum(layer.resistance for layer in between) > SHIELD:
        return "mass-inside-behind-gap", " and ".join(_named(layer.layer) for layer in between)
    return "mass-inside", ""


def _insulation(wall: Wall, figures: MassResult, place: int) -> tuple[float, float]:
    """Resistance of insulation outside and inside of the masonry, along the path. [m²·K/W]"""
    sums = [0.0, 0.0]
    for number, found in enumerate(figures.layers):
        layer = next((layer for layer in wall.layers if layer.id == found.layer), None)
        if layer is None or number == place:
            continue
        body = makeup.cavity_fill(layer) if layer.framing is not None else layer.material
        if makeup.is_insulation(body):
            sums[number > place] += found.resistance
    return sums[0], sums[1]


def hour_words(hour: float) -> str:
    """An hour of the day as people say it, to the nearest full one.

    Parameters
    ----------
    hour : float
        0 to 24. [h]
    """
    full = round(hour) % 24
    if full in (0, 12):
        return "noon" if full else "midnight"
    return f"{full % 12} {'am' if full < 12 else 'pm'}"


def _named(layer_id: str) -> str:
    return f"the {layer_id.replace('-', ' ')}"
