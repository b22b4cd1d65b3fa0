"""What the monthly method found of one wall: month by month, plane by plane, and for each room and city. SI."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any, NamedTuple, overload

from specgen import units

DRY, DRIES, STAYS = "stays dry", "dries out", "does not dry out"
OUNCE_PER_SQUARE_FOOT = units.POUND / 16 / units.FOOT**2  # [kg/m²]
LEFT_OUT = "does not include sun-driven vapor"


class PlaneMonth(NamedTuple):
    """One plane in one month. `outer` and `inner` are layer ids, equal within a layer, empty for the air."""

    outer: str
    inner: str
    facing: bool  # the inner side is the facing of the outer layer's batt, or the other way round
    position: float  # from the exterior face of the wall [m]
    sd: float  # equivalent air thickness from the outdoor air to here [m]
    temperature: float  # [°C]
    pressure: float  # of vapor [Pa]
    saturation: float  # [Pa]
    gained: float  # over the month, below 0 where it dries; a plane never loses more than it holds [kg/m²]
    held: float  # at the end of the month [kg/m²]


class PlaneMonths(Sequence[PlaneMonth]):
    """The planes of one month, from the exterior, formed when they are first looked at: most checks never do."""

    def __init__(self, form: Callable[[], tuple[PlaneMonth, ...]]) -> None:
        self._form = form

    @cached_property
    def _planes(self) -> tuple[PlaneMonth, ...]:
        return self._form()

    @overload
    def __getitem__(self, index: int) -> PlaneMonth: ...
    @overload
    def __getitem__(self, index: slice) -> tuple[PlaneMonth, ...]: ...
    def __getitem__(self, index: int | slice) -> PlaneMonth | tuple[PlaneMonth, ...]:
        return self._planes[index]

    def __len__(self) -> int:
        return len(self._planes)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Sequence) and self._planes == tuple(other)

    def __hash__(self) -> int:
        return hash(self._planes)

    def __repr__(self) -> str:
        return repr(self._planes)


class MonthResult(NamedTuple):
    """One month of one room in one city; a plain tuple, like `PlaneMonth`, since a library has tens of thousands."""

    month: int  # 1..12
    exterior: float  # temperature [°C]
    exterior_pressure: float  # [Pa]
    interior: float  # temperature [°C]
    interior_pressure: float  # [Pa]
    surface_humidity: float  # at the coldest interior surface, 0..1
    needed_factor: float | None  # f_Rsi that would keep it at the limit; None where inside is no warmer
    gained: float  # over the month, all planes together [kg/m²]
    held: float  # at its end, all planes together [kg/m²]
    planes: Sequence[PlaneMonth] = ()  # from the exterior; only in the run that governs


@dataclass(frozen=True, slots=True)
class MonthlyRun:
    """Twelve months of one room in one city."""

    city: str
    room: str  # id of the room model
    room_title: str
    judged: bool  # False: reported beside the verdict, does not make it
    start: int  # month that the run begins with, 1..12
    months: tuple[MonthResult, ...]  # in the order of the run
    verdict: str  # DRY, DRIES or STAYS
    plane: tuple[str, str]  # layer ids beside the plane that holds most, empty where none is wet
    plane_title: str
    limit: float | None  # most that this plane may hold, None where none is wet [kg/m²]
    limit_basis: str
    plane_peak: float  # most that this plane holds [kg/m²]

    @property
    def peak(self) -> float:
        """Most that all planes hold at the end of a month. [kg/m²]"""
        return max(month.held for month in self.months)

    @property
    def peak_month(self) -> int:
        return max(self.months, key=lambda month: month.held).month

    @property
    def plane_month(self) -> int:
        """At whose end the plane named holds most."""

        def held(month: MonthResult) -> float:
            return max((p.held for p in month.planes if (p.outer, p.inner) == self.plane), default=0.0)

        return max(self.months, key=held).month

    @property
    def residual(self) -> float:
        """What is left after twelve months. [kg/m²]"""
        return self.months[-1].held

    @property
    def wet_months(self) -> tuple[int, ...]:
        """Months at whose end some plane holds water, in the order of the run."""
        return tuple(month.month for month in self.months if month.held > 0)

    def as_json(self) -> dict[str, Any]:
        """Without its months."""
        return {
            "city": self.city,
            "room": self.room,
            "judged": self.judged,
            "verdict": self.verdict,
            "plane": list(self.plane),
            "peak_g_m2": self.peak * 1000,
            "peak_oz_ft2": self.peak / OUNCE_PER_SQUARE_FOOT,
            "peak_month": self.peak_month if self.peak > 0 else None,
            "residual_g_m2": self.residual * 1000,
            "residual_oz_ft2": self.residual / OUNCE_PER_SQUARE_FOOT,
        }


@dataclass(frozen=True, slots=True)
class MonthlyResult:
    """The run that governs, and beside it every room in every city that stands for the site."""

    governing: MonthlyRun
    runs: tuple[MonthlyRun, ...]  # the governing one among them
    factor: float  # f_Rsi of the coldest path, one-dimensional [-]
    factor_path: str  # which path that is
    surface: MonthResult  # the month that asks the highest f_Rsi, of the judged runs
    surface_city: str
    surface_room: str
    unknown: tuple[str, ...]  # layers without a permeance, taken as open
    method: str
    source: str
    status: str
    left_out: str = LEFT_OUT

    def as_json(self) -> dict[str, Any]:
        """The object under `moisture.monthly`; keys are only ever added."""
        run = self.governing
        return run.as_json() | {
            "method": self.method,
            "status": self.status,
            "left_out": self.left_out,
            "start_month": run.start,
            "limit_g_m2": None if run.limit is None else run.limit * 1000,
            "limit_basis": run.limit_basis,
            "f_rsi": self.factor,
            "f_rsi_needed": self.surface.needed_factor,
            "surface_rh": self.surface.surface_humidity,
            "surface_month": self.surface.month,
            "permeance_unknown": list(self.unknown),
            "months": [_month_json(month) for month in run.months],
            "runs": [other.as_json() for other in self.runs],
        }


def _month_json(month: MonthResult) -> dict[str, Any]:
    wet = [plane for plane in month.planes if plane.held > 0 or plane.gained > 0]
    return {
        "month": month.month,
        "exterior_c": month.exterior,
        "exterior_pa": month.exterior_pressure,
        "interior_c": month.interior,
        "interior_pa": month.interior_pressure,
        "surface_rh": month.surface_humidity,
        "gained_g_m2": month.gained * 1000,
        "gained_oz_ft2": month.gained / OUNCE_PER_SQUARE_FOOT,
        "held_g_m2": month.held * 1000,
        "held_oz_ft2": month.held / OUNCE_PER_SQUARE_FOOT,
        "planes": [
            {
                "outer": plane.outer,
                "inner": plane.inner,
                "temperature_c": plane.temperature,
                "gained_g_m2": plane.gained * 1000,
                "held_g_m2": plane.held * 1000,
            }
            for plane in wet
        ],
    }
