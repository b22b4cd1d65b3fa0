"""Names and numbers of the moisture pages: layers and planes inside a sentence, values in both units."""

from __future__ import annotations

import math

from specgen import units
from specgen.checks.layers import name_of
from specgen.documents.record_page import ReportInput
from specgen.drawing.callouts import layer_name
from specgen.drawing.type import TIE
from specgen.drawing.typeset import tabled, typeset
from specgen.model.material import uncapped
from specgen.model.moisture import OUNCE_PER_SQUARE_FOOT
from specgen.model.wall import Layer

IN_HG = 3386.389  # [Pa], conventional inch of mercury at 0 °C
GRAIN_RATE = units.GRAIN / (units.HOUR * units.FOOT**2)  # a grain in an hour on a square foot [kg/(m²·s)]
PER_GRAM_HOUR = 3.6e6  # g/(m²·h) in a kg/(m²·s)
SIDES = {"N": "north", "E": "east", "S": "south", "W": "west"}


def vapor_name(given: ReportInput, layer_id: str) -> str:
    """What vapor crosses between members: the fill of a stud layer, not its studs; empty for the air."""
    layer = _layer(given, layer_id)
    if layer is None:
        return ""
    if layer.label or not layer.framing:
        return tabled(layer_name(layer))
    body = layer.material or layer.fill
    if body is not None:
        return tabled(body.label)
    return given.say("moisture.space", members=uncapped(tabled(layer_name(layer))))


def named(given: ReportInput, layer_id: str) -> str:
    """The layer itself, as a cell begins with it; empty for the air."""
    layer = _layer(given, layer_id)
    return "" if layer is None else tabled(layer_name(layer))


def inside(name: str) -> str:
    """A name inside a sentence."""
    return uncapped(name)


def in_sentence(given: ReportInput, text: str) -> str:
    """A text of the checks with the names of layers as they stand inside a sentence."""
    names = sorted({name_of(layer) for layer in given.wall.layers}, key=len, reverse=True)
    for name in names:
        text = text.replace(name, uncapped(name))
    return typeset(text)


def plane_name(given: ReportInput, outer: str, inner: str, facing: bool = False) -> str:
    """`OSB sheathing | glass fiber batt`, as a cell has it."""
    first = vapor_name(given, outer) or given.say("moisture.outdoors")
    second = vapor_name(given, inner) or given.say("moisture.the_room")
    if outer == inner:
        return given.say("moisture.facing" if facing else "moisture.within", layer=uncapped(first))
    return f"{first[:1].upper()}{first[1:]} | {uncapped(second)}"


def plane_words(given: ReportInput, outer: str, inner: str, facing: bool = False) -> str:
    """`between OSB sheathing and glass fiber batt`, inside a sentence."""
    if outer == inner:
        return uncapped(plane_name(given, outer, inner, facing))
    first = vapor_name(given, outer) or given.say("moisture.outdoors")
    second = vapor_name(given, inner) or given.say("moisture.the_room")
    return given.say("moisture.between", outer=uncapped(first), inner=uncapped(second))


def _layer(given: ReportInput, layer_id: str) -> Layer | None:
    return next((layer for layer in given.wall.layers if layer.id == layer_id), None)


# --- numbers ---------------------------------------------------------------------------------------------------------


def fahrenheit(temperature: float) -> float:
    """From °C."""
    return temperature / units.RANKINE + 32


def signed(value: float, digits: int = 0) -> str:
    """A true minus sign, none before zero."""
    text = f"{abs(value):.{digits}f}"
    return f"−{text}" if value < 0 and float(text) else text


def temperature_text(temperature: float) -> str:
    """`24 °F (−4.5 °C)`."""
    return f"{signed(fahrenheit(temperature))}{TIE}°F ({signed(temperature, 1)}{TIE}°C)"


def pressure_text(pressure: float) -> str:
    """`0.34 in. Hg (1138 Pa)`."""
    return f"{pressure / IN_HG:.2f}{TIE}in.{TIE}Hg ({pressure:.0f}{TIE}Pa)"


def temperature_pair(temperature: float) -> str:
    """For a column whose head gives the units."""
    return f"{signed(fahrenheit(temperature))} ({signed(temperature, 1)})"


def pressure_pair(pressure: float) -> str:
    """For a column whose head gives the units."""
    return f"{pressure / IN_HG:.2f} ({pressure:.0f})"


def percent(share: float) -> str:
    """`45 %`."""
    return f"{share * 100:.0f}{TIE}%"


def water_text(water: float) -> str:
    """`1.44 oz/ft² (440 g/m²)`."""
    return f"{_ounces(water)}{TIE}oz/ft² ({_grams(water)}{TIE}g/m²)"


def water_pair(water: float) -> str:
    """For a column whose head gives the units; a dash for none."""
    return "–" if abs(water) < 5e-7 else f"{_ounces(water)} ({_grams(water)})"


def rate_text(rate: float) -> str:
    """A flow of vapor: `0.43 gr/(ft²·h) (0.30 g/(m²·h))`."""
    return f"{signed(rate / GRAIN_RATE, 2)}{TIE}gr/(ft²·h) [{signed(rate * PER_GRAM_HOUR, 2)}{TIE}g/(m²·h)]"


def rate_pair(rate: float) -> str:
    """For a column whose head gives the units; a dash for none."""
    return f"{rate / GRAIN_RATE:.2f} ({rate * PER_GRAM_HOUR:.2f})" if rate > 0 else "–"


def perm(permeance: float) -> str:
    """Two figures in perm, without the unit: `0.84`, `12`; empty for an infinite one."""
    value = permeance / units.PERM
    if math.isinf(value):
        return ""
    if value >= 9.95:
        return f"{value:.0f}"
    return f"{value:.1f}" if value >= 0.995 else f"{value:#.2g}" if value else "0"


def metres(length: float) -> str:
    """An air thickness with as many figures as redoing a sum needs: `0.132`, `35.0`."""
    return f"{length:.3f}" if length < 10 else f"{length:.2f}"


def _ounces(water: float) -> str:
    value = water / OUNCE_PER_SQUARE_FOOT
    if 0 < abs(value) < 5e-5:
        return "<0.0001" if value > 0 else "−<0.0001"
    return signed(value, 2 if abs(value) >= 0.01 else 4)


def _grams(water: float) -> str:
    return signed(water * 1000, 0 if abs(water) >= 0.01 else 1 if abs(water) >= 1e-4 else 3)
