"""An assessment: what the checks found of one wall at one site, plain data in SI with its printed twins."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from specgen import units
from specgen.model.design_hour import DesignHour
from specgen.model.finding import Finding, Severity
from specgen.model.mass import MassResult
from specgen.model.moisture import MonthlyResult
from specgen.model.transient import TransientResult

if TYPE_CHECKING:
    from specgen.model.band import Band
    from specgen.model.ways import Ways


@dataclass(frozen=True, slots=True)
class Figure:
    """One computed figure of the calculation record: a reviewer can redo it by hand."""

    name: str  # "R of the cavity path"
    formula: str  # "R = Rsi + sum(d/k) + Rse"
    values: str  # the formula with the numbers put in
    result: float
    unit: str
    method: str  # named method and standard
    source: str = ""
    status: str = ""


@dataclass(frozen=True, slots=True)
class LayerResistance:
    """What one layer contributes to one heat path."""

    layer: str
    resistance: float  # [m²·K/W]
    basis: str  # "0.72 W/(m·K) over 22.2 mm", "rated R-23 at 5-1/2 in"
    source: str
    status: str


@dataclass(frozen=True, slots=True)
class HeatPath:
    """One path of the parallel-path method: its share of the area and what resists along it, film to film."""

    name: str
    share: float  # of the wall area, 0..1
    resistances: tuple[LayerResistance, ...]

    @property
    def total(self) -> float:
        """[m²·K/W]"""
        return sum(part.resistance for part in self.resistances)


@dataclass(frozen=True, slots=True)
class UnitPlane:
    """Temperatures at the two faces of a layer in line with a bridge, 0 outdoors and 1 indoors."""

    layer: str
    outer: float
    inner: float


@dataclass(frozen=True, slots=True)
class Conduction:
    """Two-dimensional conduction through the repeating unit of a wall, films included."""

    modeled: tuple[str, ...]  # what stands in the unit and how, a few words each
    u_unit_si: float  # of the unit, solved [W/(m²·K)]
    u_parallel_si: float  # by parallel path at the unit's own shares: never more than `u_unit_si` [W/(m²·K)]
    u_planes_si: float  # between isothermal planes at the unit's own shares: never less [W/(m²·K)]
    u_clear_si: float  # of the unit with the cavity carried on in place of its members [W/(m²·K)]
    u_bridge_si: float  # of the members' share alone, all that they add counted there [W/(m²·K)]
    u_wall_si: float  # whole wall: bridge and clear path at the declared framing fraction [W/(m²·K)]
    unit_share: float  # of the unit that members take, 0 without members
    declared_share: float  # framing fraction that the wall declares for them
    mesh_change: float  # relative change of U from the mesh of cells twice as large
    imbalance: float  # heat in less heat out, relative
    cells: int  # of all cuts solved
    metal: bool  # formed steel stands in the unit: by hand only its limits hold
    f_rsi: float  # temperature factor of the coldest interior surface, 0 outdoors and 1 indoors
    f_rsi_clear: float  # the same away from members
    limits_agree: bool  # near enough to each other for their mean to mean something (ISO 6946)
    bridge_planes: tuple[UnitPlane, ...]  # in line with the coldest interior surface, exterior first
    u_cuts_si: tuple[tuple[str, float, float], ...]  # cut, share of the area, its U [W/(m²·K)]
    u_clear_cuts_si: tuple[tuple[str, float, float], ...] = ()  # the same without members [W/(m²·K)]

    @property
    def r_unit_si(self) -> float:
        """[m²·K/W]"""
        return 1 / self.u_unit_si

    @property
    def r_bridge_si(self) -> float:
        """Of the path through the members, corrected. [m²·K/W]"""
        return 1 / self.u_bridge_si


@dataclass(frozen=True, slots=True)
class ThermalResult:
    """Steady heat transfer of the whole opaque wall, films included."""

    u_si: float  # [W/(m²·K)]
    cavity_r_si: float  # nominal insulation between members [m²·K/W]
    continuous_r_si: float  # nominal insulation not bridged by members [m²·K/W]
    interior_share: float  # of the insulation R that lies inside the mass, 0..1
    heat_capacity_si: float  # per wall area [J/(m²·K)]
    paths: tuple[HeatPath, ...]
    figures: tuple[Figure, ...]
    method: str
    u_low_si: float | None = None  # isothermal-planes limit where both apply [W/(m²·K)]
    mass_insulation_si: float = 0.0  # as a mass wall's R path counts it: furred parts at effective R [m²·K/W]
    notes: tuple[str, ...] = ()  # what was left out, ignored or assumed, one sentence each
    u_fastened_si: float | None = None  # with fasteners through insulation, for information [W/(m²·K)]
    mass: MassResult | None = None  # what it stores over a day, and what that means for cooling
    u_hand_si: float | None = None  # by the method that codes accept; None where none holds (metal) [W/(m²·K)]
    conduction: Conduction | None = None  # None where a layer has no R

    @property
    def r_si(self) -> float:
        """Effective R = 1/U. [m²·K/W]"""
        return 1 / self.u_si


@dataclass(frozen=True, slots=True)
class CodePath:
    """One alternative of one path. R path: {'cavity', 'continuous'} or {'total'} in R (IP); U path: a number (IP)."""

    path: str  # "r" or "u"
    required: dict[str, float] | float
    provided: dict[str, float] | float
    margin: float  # positive is better; R path: the smallest margin of its parts [IP]
    meets: bool
    status: str
    source: str
    label: str  # as the code writes it: "20&5ci", "R-13", "U-0.084"


@dataclass(frozen=True, slots=True)
class EnergyCode:
    edition: str
    family: str  # "wood-frame" or "mass"
    basis: str  # why it is judged in that family
    paths: tuple[CodePath, ...]
    note: str = ""
    jurisdiction: str = ""  # whose limits stand in place of the model's, empty for the model code

    @property
    def meets_prescriptive(self) -> bool:
        return any(path.meets for path in self.paths)


@dataclass(frozen=True, slots=True)
class MoistureResult:
    """Steady moisture answers; later checks only add to it."""

    retarder_class: str = ""  # "I", "II", "III" or "none" of the most closed interior-side layer
    retarder_layer: str = ""
    dries_to: str = ""  # "exterior", "interior", "both", "neither"
    exterior_share: float | None = None  # of total R outboard of the cavity, framed walls
    design_hour: DesignHour | None = None  # in the city that governs; None without a listed city
    monthly: MonthlyResult | None = None  # None without a listed city
    weather_city: str = ""  # the one that governs the monthly answer
    weather_distance_km: float | None = None  # None where the site has no position
    weather_remark: str = ""  # why this city, or why none
    transient: TransientResult | None = None  # None where nobody asked for the simulation, or it could not be run
    extra: dict[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Assessment:
    wall: str
    variant: str
    title: str
    site: str  # as it prints
    zone: str
    thermal: ThermalResult
    energy_code: EnergyCode
    moisture: MoistureResult
    findings: tuple[Finding, ...]
    ways: Ways | None = None  # to comply, None where nobody looked for them
    band: Band | None = None  # of U, from the ranges of its inputs

    @property
    def meets(self) -> bool:
        """True if no finding is at error level."""
        return all(finding.severity < Severity.ERROR for finding in self.findings)

    def as_json(self) -> dict[str, Any]:
        """The object that `check --format json` prints; keys are only ever added."""
        thermal = self.thermal
        moisture: dict[str, Any] = {
            "retarder_class": self.moisture.retarder_class,
            "retarder_layer": self.moisture.retarder_layer,
            "dries_to": self.moisture.dries_to,
            "exterior_share": self.moisture.exterior_share,
            "design_hour": self.moisture.design_hour.as_json() if self.moisture.design_hour else None,
            "monthly": self.moisture.monthly.as_json() if self.moisture.monthly else None,
            "weather_city": self.moisture.weather_city or None,
            "weather_distance_km": self.moisture.weather_distance_km,
            "weather_remark": self.moisture.weather_remark,
            "transient": self.moisture.transient.as_json() if self.moisture.transient else None,
        }
        return {
            "wall": self.wall,
            "variant": self.variant,
            "site": self.site,
            "zone": self.zone,
            "thermal": {
                "r_ip": thermal.r_si / units.R_IP,
                "u_ip": thermal.u_si / units.U_IP,
                "r_si": thermal.r_si,
                "u_si": thermal.u_si,
                "cavity_r_ip": thermal.cavity_r_si / units.R_IP,
                "continuous_r_ip": thermal.continuous_r_si / units.R_IP,
                "heat_capacity_ip": thermal.heat_capacity_si / units.HEAT_CAPACITY_IP,
                "method": thermal.method,
                "u_hand_si": thermal.u_hand_si,
                **_conduction_json(thermal.conduction),
                "u_with_fasteners_si": thermal.u_fastened_si,
                **(self.band.as_json() if self.band else {}),
                "decrement_factor": thermal.mass.decrement_factor if thermal.mass else None,
                "time_lag_h": thermal.mass.time_lag_h if thermal.mass else None,
                "areal_heat_capacity_inside_si": thermal.mass.areal_heat_capacity_inside_si if thermal.mass else None,
            },
            "energy_code": {
                "edition": self.energy_code.edition,
                "family": self.energy_code.family,
                "jurisdiction": self.energy_code.jurisdiction,
                "meets_prescriptive": self.energy_code.meets_prescriptive,
                "paths": [
                    {
                        "path": path.path,
                        "required": path.required,
                        "provided": path.provided,
                        "margin": path.margin,
                        "meets": path.meets,
                        "status": path.status,
                        "source": path.source,
                    }
                    for path in self.energy_code.paths
                ],
                "ways": None if self.ways is None else [way.as_json() for way in self.ways.ways],
                "ways_tried": None if self.ways is None else [*self.ways.tried, *self.ways.notes],
            },
            "moisture": moisture | self.moisture.extra,
            "findings": [
                {
                    "code": finding.code,
                    "severity": finding.severity.word,
                    "message": finding.message,
                    "layer": finding.layer,
                    "file": finding.place.file,
                    "line": finding.place.line,
                    "source": finding.source,
                    "status": finding.status,
                    "because": finding.because,
                    "cure": finding.cure,
                    "explained": finding.explained,
                }
                for finding in self.findings
            ],
            "meets": self.meets,
        }


def _conduction_json(found: Conduction | None) -> dict[str, Any]:
    """Figures of the two-dimensional solution; all None where there is none."""
    return {
        "u_2d_si": found.u_wall_si if found else None,
        "u_2d_ip": found.u_wall_si / units.U_IP if found else None,
        "u_2d_unit_si": found.u_unit_si if found else None,
        "u_2d_unit_limits_si": [found.u_parallel_si, found.u_planes_si] if found else None,
        "u_2d_bridge_si": found.u_bridge_si if found else None,
        "f_rsi": found.f_rsi if found else None,
        "f_rsi_clear": found.f_rsi_clear if found else None,
        "mesh_change": found.mesh_change if found else None,
    }
