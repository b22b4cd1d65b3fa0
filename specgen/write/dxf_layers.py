"""Which CAD layer an item of a scene goes to, by role, kind, weight and dash: one table that an office can replace.

The table is `data/dxf_layers.yaml`; no layer name stands in code.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

from specgen.data import load_table
from specgen.errors import UnknownNameError
from specgen.model.scene import Circle, Dots, Ink, Line, Strokes, Text

Item = Line | Strokes | Dots | Circle | Text
Place = Literal["view", "sheet", "page"]

NCS = "ncs"
_KINDS: dict[type, str] = {Line: "line", Strokes: "strokes", Dots: "dots", Circle: "circle", Text: "text"}


@dataclass(frozen=True, slots=True)
class CadLayer:
    """One layer as its table gives it."""

    name: str
    weight: float  # plotted line width [mm]
    color: int  # index color 1 to 255
    holds: str
    plot: bool = True


@dataclass(frozen=True, slots=True)
class _Rule:
    layer: str
    roles: tuple[str, ...] = ()
    place: str = ""
    kinds: tuple[str, ...] = ()
    least: float = 0.0  # [mm]
    dash: tuple[float, ...] = ()
    ink: str = ""

    def fits(self, role: str, place: str, kind: str, weight: float, dash: tuple[float, ...], ink: str) -> bool:
        return (
            (not self.roles or role in self.roles)
            and (not self.place or place == self.place)
            and (not self.kinds or kind in self.kinds)
            and weight >= self.least
            and (not self.dash or dash == self.dash)
            and (not self.ink or ink == self.ink)
        )


@dataclass(frozen=True, slots=True)
class LayerTable:
    """Layers of one preset, the rules that choose among them, and the linetypes by name."""

    layers: Mapping[str, CadLayer]
    rules: tuple[_Rule, ...]
    linetypes: Mapping[tuple[float, ...], str]  # plotted dashes [mm] to name

    def layer(self, item: Item, role: str, place: Place) -> str:
        """Name of the layer of an item, `role` being that of its nearest group that has one."""
        dash = item.dash if isinstance(item, Line) else ()
        weight = 0.0 if isinstance(item, Dots | Text) else item.weight
        return self._first(role, place, _KINDS[type(item)], weight, dash, item.ink)

    def own(self, role: Literal["insert", "identity", "envelope"]) -> str:
        """Name of the layer of what the writer adds itself."""
        return self._first(role, "view", "", 0.0, (), "black")

    def linetype(self, dash: tuple[float, ...]) -> str:
        """Name of a linetype, made of its figures where the table has none."""
        return self.linetypes.get(dash) or "DASH-" + "-".join(f"{round(part * 100)}" for part in dash)

    def _first(self, role: str, place: str, kind: str, weight: float, dash: tuple[float, ...], ink: Ink) -> str:
        return next(rule.layer for rule in self.rules if rule.fits(role, place, kind, weight, dash, ink))


def layer_table(preset: str = NCS) -> LayerTable:
    """The layers of a preset: `ncs`, or `flat` for few plain names.

    Raises
    ------
    UnknownNameError
        If there is no such preset.
    """
    table = load_table("dxf_layers")
    if preset not in table["presets"]:
        raise UnknownNameError("layer preset", preset, table["presets"])
    chosen: dict[str, Any] = table["presets"][preset]
    layers = {name: CadLayer(name, **fields) for name, fields in chosen["layers"].items()}
    linetypes = {tuple(dash): name for name, dash in table["linetypes"].items()}
    return LayerTable(layers, tuple(_rule(fields) for fields in chosen["rules"]), linetypes)


def _rule(fields: dict[str, Any]) -> _Rule:
    values: dict[str, Any] = {key: tuple(value) if isinstance(value, list) else value for key, value in fields.items()}
    return _Rule(**values)
