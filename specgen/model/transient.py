"""What the hour-by-hour simulation found of one wall: plane by plane, case by case, and what water does in it. SI."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from typing import Any

MEETS, FAILS, DEPENDS = "meets", "does not meet", "depends on"
MOLD_LIMIT = 3.0  # index that must not be reached; ASHRAE 160 (from memory) [-]
PERMEANCE, MOLD_CLASS = "permeance of the ", "mold class of the "  # how these inputs are named, one per layer
MOIST, WET = 0.20, 0.26  # wood moisture content: reported from the first on, refused from the second on [kg/kg]
RECOVERY_NOT_WITHIN = "not within the run"


def _indices(figures: Sequence[tuple[str, float]]) -> str:
    return ", ".join(f"{index:.1f} {name}" for name, index in figures)


def _and(parts: Sequence[str]) -> str:
    *first, last = parts or ("",)
    return f"{', '.join(first)} and {last}" if first else last


@dataclass(frozen=True, slots=True)
class SurfacePlane:
    """One face of one layer that mold can grow on."""

    layer: str  # id
    face: str  # "outer" or "inner"
    surface: str  # what feeds it, as it prints
    sensitivity: str  # class of the mold model
    decline: str
    index: float  # highest of the run [-]
    index_last: float  # highest of its last year [-]
    humidity_30: float | None  # highest mean of 30 days within 5 to 40 °C, last year, 0..1

    @property
    def name(self) -> str:
        return f"{self.layer} {self.face} face"


@dataclass(frozen=True, slots=True)
class LayerWater:
    """One layer inboard of the drained plane over the last year."""

    layer: str
    mean: float  # water held, mean of the last year [kg/m²]
    most: float  # [kg/m²]
    gain: float  # mean of the last year less mean of the year before [kg/m²]
    wood: float | None  # highest moisture content of a day, mean over the layer; None if no wood [kg/kg]
    days_moist: float  # above 20 % [d]
    days_wet: float  # above 26 % [d]


@dataclass(frozen=True, slots=True)
class TransientCase:
    """One run of three years."""

    varied: str  # what differs from the base case, "" for it
    detail: str  # how, as it prints
    orientation: str  # "N", "E", "S" or "W"
    cells: str  # how masonry was run: "hollow", "equivalent", "grouted", "solid"
    weather: str
    plane: SurfacePlane | None  # with the highest index; None where nothing feeds mold
    month: int  # in which the governing plane is most humid in the last year, 1..12
    surface_humidity: float | None  # room-side surface: highest mean of 30 days, last year, 0..1
    layers: tuple[LayerWater, ...]
    reasons: tuple[str, ...]  # why it does not meet; empty: it does
    mass_error: float  # of the balances, over throughput [-]
    heat_error: float

    @property
    def meets(self) -> bool:
        return not self.reasons

    @property
    def index(self) -> float:
        return self.plane.index if self.plane else 0.0

    @property
    def wood(self) -> float | None:
        """Highest moisture content of a wood layer. [kg/kg]"""
        found = [layer.wood for layer in self.layers if layer.wood is not None]
        return max(found) if found else None

    def as_json(self) -> dict[str, Any]:
        return {
            "varied": self.varied,
            "detail": self.detail,
            "orientation": self.orientation,
            "cells": self.cells,
            "weather": self.weather,
            "plane": self.plane.name if self.plane else None,
            "mold_index": self.index if self.plane else None,
            "rh_30day": self.plane.humidity_30 if self.plane else self.surface_humidity,
            "wood_mc": None if self.wood is None else self.wood * 100,
            "meets": self.meets,
            "reasons": list(self.reasons),
        }


@dataclass(frozen=True, slots=True)
class Recovery:
    """What became of 1 kg/m² put into one layer."""

    month: str  # "oct" or "apr"
    days: float | None  # until the layer is back beside the unwetted run; None: not within the run
    watched: float  # days that the run went on after the wetting [d]
    outward: float  # of the added water, gone to the outside by the end, vapor and run-off [kg/m²]
    inward: float  # gone to the room [kg/m²]
    left: float  # still in the wall [kg/m²]

    @property
    def side(self) -> str:
        """`outside`, `room`, or `neither` where less than a tenth of it has left."""
        if max(self.outward, self.inward) < 0.1:
            return "neither"
        return "outside" if self.outward >= self.inward else "room"


@dataclass(frozen=True, slots=True)
class ToleratedLeak:
    """Share of driving rain that the layer behind the drained plane takes without mold."""

    steps: tuple[tuple[float, float], ...]  # share in percent, highest index of the third year
    percent: float | None  # the highest that stays under the limit with all lower ones; None: not even without a leak
    exceeds: bool  # the largest step stays under it too


@dataclass(frozen=True, slots=True)
class Governing:
    """The governing plane through the last year, one value a day, and the layers' water beside it."""

    temperature: tuple[float, ...]  # [°C]
    humidity: tuple[float, ...]  # 0..1
    index: tuple[float, ...]  # [-]; empty where nothing feeds mold
    layers: tuple[tuple[str, tuple[float, ...]], ...]  # layer id, water held [kg/m²]


@dataclass(frozen=True, slots=True)
class TransientResult:
    """Base case of four orientations, its variations, recovery and tolerated leak."""

    city: str  # or the name of the hourly file
    weather: str  # "synthetic year" or "hourly file"
    weather_notes: tuple[str, ...]
    verdict: str  # MEETS, FAILS or DEPENDS
    depends_on: tuple[str, ...]
    needs_hourly_file: bool  # the verdict flips between orientations or cities of a synthetic year
    worst: TransientCase
    cases: tuple[TransientCase, ...]  # base cases of all orientations and cities first, then the variations
    wetted_layer: str  # id of the first storing layer inboard of the drained plane, "" if there is none
    recovery: tuple[Recovery, ...]
    leak: ToleratedLeak | None  # None: not applicable
    criterion: str  # what the verdict was made by
    ran: str  # what was run, one sentence
    governing: Governing | None = None
    air_leakage: TransientCase | None = None  # the worst case with room air leaking in; reported, does not decide
    wetted_depth: float | None = None  # of that layer from its outer face, that both tests with water wet [m]
    by_decline: tuple[tuple[str, float], ...] = ()  # highest index of the governing plane by rate of decline
    by_class: tuple[tuple[str, float], ...] = ()  # the same by sensitivity class

    @property
    def decided_by(self) -> str:
        """`orientation; start state; permeance of the OSB sheathing and latex paint`; empty where all cases agree."""
        parts = [name for name in self.depends_on if not name.startswith((PERMEANCE, MOLD_CLASS))]
        for common in (PERMEANCE, MOLD_CLASS):
            found = [name.removeprefix(common) for name in self.depends_on if name.startswith(common)]
            parts += [common + _and(found)] if found else []
        return "; ".join(parts) if any(" and " in part for part in parts) else _and(parts)

    @property
    def decline_text(self) -> str:
        """`5.3 almost none, 4.9 as pine`: the index by rate of decline; empty where nothing feeds mold."""
        return _indices(self.by_decline)

    @property
    def class_text(self) -> str:
        """`6.0 very sensitive, 5.3 sensitive`: the index by class; empty where nothing feeds mold."""
        return _indices(self.by_class)

    @property
    def plane_title(self) -> str:
        return self.worst.plane.name if self.worst.plane else "room-side surface"

    @property
    def balance_error(self) -> float:
        return max(max(case.mass_error, case.heat_error) for case in self.cases)

    def as_json(self) -> dict[str, Any]:
        """The object under `moisture.transient`; keys are only ever added."""
        worst, plane = self.worst, self.worst.plane
        days = {water.month: water.days for water in self.recovery}
        wood = worst.wood
        return {
            "governing_plane": self.plane_title,
            "max_mold_index": plane.index if plane else None,
            "sensitivity_class": plane.sensitivity if plane else "none",
            "rh_30day_max": plane.humidity_30 if plane else worst.surface_humidity,
            "wood_mc_max": None if wood is None else wood * 100,
            "balance_error": self.balance_error,
            "recovery_days": {"oct": days.get("oct"), "apr": days.get("apr")},
            "tolerated_leak_percent": self.leak.percent if self.leak else None,
            "tolerated_leak_exceeds": bool(self.leak and self.leak.exceeds),
            "orientation": worst.orientation,
            "weather": f"{self.city}, {self.weather}",
            "verdict": self.verdict,
            "depends_on": list(self.depends_on),
            "mold_index_by_decline": dict(self.by_decline) or None,
            "mold_index_by_class": dict(self.by_class) or None,
            "needs_hourly_file": self.needs_hourly_file,
            "decline_class": plane.decline if plane else None,
            "surface": plane.surface if plane else None,
            "month": worst.month,
            "cells": worst.cells,
            "criterion": self.criterion,
            "ran": self.ran,
            "weather_notes": list(self.weather_notes),
            "wetted_layer": self.wetted_layer or None,
            "wetted_depth_mm": None if self.wetted_depth is None else self.wetted_depth * 1000,
            "recovery": [asdict(water) | {"side": water.side} for water in self.recovery],
            "tolerated_leak_steps": [list(step) for step in self.leak.steps] if self.leak else None,
            "layers": [asdict(layer) for layer in worst.layers],
            "air_leakage": self.air_leakage.as_json() if self.air_leakage else None,
            "cases": [case.as_json() for case in self.cases],
        }


def result_from(data: dict[str, Any]) -> TransientResult:
    """A result from what `dataclasses.asdict` gave of it, after a trip through JSON.

    Parameters
    ----------
    data : dict
        As kept.
    """
    leak, governing, air = data["leak"], data["governing"], data["air_leakage"]
    return TransientResult(
        **{
            **data,
            "weather_notes": tuple(data["weather_notes"]),
            "depends_on": tuple(data["depends_on"]),
            **{key: tuple((name, index) for name, index in data.get(key, ())) for key in ("by_decline", "by_class")},
            "worst": _case(data["worst"]),
            "cases": tuple(_case(case) for case in data["cases"]),
            "recovery": tuple(Recovery(**water) for water in data["recovery"]),
            "leak": ToleratedLeak(**{**leak, "steps": tuple(map(tuple, leak["steps"]))}) if leak else None,
            "governing": _governing(governing) if governing else None,
            "air_leakage": _case(air) if air else None,
        }
    )


def _case(data: dict[str, Any]) -> TransientCase:
    plane = data["plane"]
    return TransientCase(
        **{
            **data,
            "plane": SurfacePlane(**plane) if plane else None,
            "layers": tuple(LayerWater(**layer) for layer in data["layers"]),
            "reasons": tuple(data["reasons"]),
        }
    )


def _governing(data: dict[str, Any]) -> Governing:
    series = {name: tuple(data[name]) for name in ("temperature", "humidity", "index")}
    return Governing(**series, layers=tuple((name, tuple(values)) for name, values in data["layers"]))
