"""A library material as the hour-by-hour simulation wants it: storage and liquid by `data/hygrothermal.yaml`.

Vapor permeability, density and specific heat are the material's own, conductivity follows from the R that its layer
has in the heat paths. Nothing is guessed: a material without a set, or without a permeance, stops the run.
"""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, Any, Literal

from specgen import units
from specgen.checks.layers import VaporPlane
from specgen.data import load_table
from specgen.errors import NotComputableError
from specgen.model.base import Status
from specgen.model.material import Material
from specgen.physics.condensation import DRY_BELOW, WET_ABOVE

if TYPE_CHECKING:
    from specgen.physics.transient import properties

Range = Literal["low", "value", "high"]

CONCRETE_LIQUID = (-39.2619, 0.0704, -1.7420e-4, -2.7953e-6, -1.1566e-7, 2.5969e-9)  # of w - 73; EN 15026 Annex A
BRICK_LIQUID = (-36.484, 461.325, -5240.0, 2.907e4, -7.41e4, 6.997e4)  # of w/1000; HAMSTAD WP2 benchmark 5
MORTAR_LIQUID = (-40.425, 83.319, -175.961, 123.863)  # of w/1000; HAMSTAD WP2 benchmark 5
HEAD = 1000.0 * 9.81  # suction of one meter of water [Pa/m]
LEAST_TIGHT = 1e-4 * units.PERM  # metal, glass [kg/(m²·s·Pa)]
MIXED = 10.0  # an air space moves so much more vapor than still air of its depth (common practice)
AIR_HEAT = 1206.0  # of a layer without density [J/(m³·K)] (common practice)
WOOD_POINTS = (0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.85, 0.9, 0.95, 0.98)


def storage_set(material: Material) -> tuple[str, dict[str, Any]]:
    """Name and row of the moisture set of a material.

    Raises
    ------
    NotComputableError
        If its kind has none and the material names none.
    """
    table = load_table("hygrothermal")
    name = material.storage or table["kinds"].get(material.kind)
    if name is None or name not in table["sets"]:
        found = f"moisture set {name!r}" if name else f"kind {material.kind!r}"
        raise NotComputableError(
            f"material {material.id!r}: {found} has no moisture storage; expected `storage:` with one of "
            f"{', '.join(table['sets'])}"
        )
    return name, table["sets"][name]


def simulated(
    material: Material,
    plane: VaporPlane,
    thickness: float,
    conductivity: float,
    uptake: Range = "value",
    stored: Range = "value",
    solid: float = 1.0,
) -> properties.Material:
    """The material of one layer for the simulation.

    Parameters
    ----------
    material : Material
        Of the library.
    plane : VaporPlane
        Dry and wet permeance of the layer.
    thickness : float
        Of the layer. [m]
    conductivity : float
        Dry, from the layer's resistance. [W/(m·K)]
    uptake : str
        `value`, or an end of the stated range of the water uptake coefficient.
    stored : str
        The same of the water stored in humid air.
    solid : float
        Share of the layer that the material fills, as of a hollow unit run as one layer; a set with a published
        function takes none but 1. [-]

    Raises
    ------
    NotComputableError
        If it has no moisture set, density or permeance.
    """
    from specgen.physics.transient import properties as p

    name, row = storage_set(material)
    if not plane.known:
        raise NotComputableError(f"material {material.id!r} has no permeance; enter its tested value")
    density = material.density.value if material.density else None
    if density is None and row["form"] in ("points", "wood"):
        raise NotComputableError(f"material {material.id!r} has no density, so its stored water is not known")
    heat = AIR_HEAT
    if density is not None and material.specific_heat is not None:
        heat = solid * density * material.specific_heat.value
    solid = solid if row["form"] == "points" else 1.0
    storage, full = _storage(name, density or 0.0, _points(row), stored_factor(row, stored), solid)
    dry, wet = (min(value, p.STILL_AIR / thickness) for value in (plane.dry, plane.wet))
    permeability = tuple(max(value, LEAST_TIGHT) * thickness for value in (dry, max(dry, wet)))
    return p.Material(
        heat_capacity=heat,
        storage=storage,
        permeability=p.PointPermeability((DRY_BELOW, WET_ABOVE), permeability),
        conductivity=p.LinearConductivity(conductivity, row["wetting"]),
        full=full,
        liquid=_liquid(row, material, uptake, solid),
        label=material.label,
    )


def air(conductivity: float) -> properties.Material:
    """Air in a space; a little storage keeps a cell without any from having no solution under dew.

    Parameters
    ----------
    conductivity : float
        With radiation across it. [W/(m·K)]
    """
    from specgen.physics.transient import properties as p

    return p.Material(
        heat_capacity=1206.0,
        storage=p.RetentionSum(5.0, (1.0,), (2e-4,), (2.0,)),
        permeability=p.PointPermeability((0.5,), (MIXED * p.STILL_AIR,)),
        conductivity=p.LinearConductivity(conductivity),
        full=6.0,
        label="air",
    )


def sheet_layer(material: Material, plane: VaporPlane, depth: float) -> properties.Material:
    """A sheet that opens when wet: resistance by humidity, hardly any storage.

    Parameters
    ----------
    material : Material
        Of the library.
    plane : VaporPlane
        Its dry and wet permeance.
    depth : float
        As run, which may be more than its own. [m]
    """
    from specgen.physics.transient import properties as p

    return p.Material(
        heat_capacity=1.5e6,
        storage=p.RetentionSum(20.0, (1.0,), (2e-4,), (2.0,)),
        permeability=p.PointPermeability((DRY_BELOW, WET_ABOVE), (plane.dry * depth, plane.wet * depth)),
        conductivity=p.LinearConductivity(0.3),
        full=25.0,
        label=material.label,
    )


def uptake_range(material: Material) -> tuple[float, float, float] | None:
    """Low, stated and high water uptake coefficient; None without capillary flow or with a published function.

    Returns
    -------
    values : tuple of float or None
        [kg/(m²·s^0.5)]
    """
    _, row = storage_set(material)
    known = row.get("uptake")
    if known is None:
        return None
    own = material.water_uptake
    value = own.value if own else known["value"]
    if own and own.status == Status.CONFIRMED:  # a tested product
        return value, value, value
    return min(known["low"], value), value, max(known["high"], value)


def stored_factor(row: dict[str, Any], end: Range) -> float:
    """Factor on the water that a set stores in humid air; 1 where no range is stated.

    Parameters
    ----------
    row : dict
        Of the table.
    end : str
        `low`, `value` or `high`.
    """
    if end == "value" or "stored" not in row:
        return 1.0
    return float(row["stored"][0 if end == "low" else 1])


def _points(row: dict[str, Any]) -> tuple[Any, ...]:
    """What the storage function is made of, hashable."""
    keys = ("form", "humidity", "points", "factor", "free", "full")
    return tuple((key, tuple(row[key]) if isinstance(row[key], list) else row[key]) for key in keys if key in row)


@lru_cache(maxsize=256)
def _storage(
    name: str, density: float, items: tuple[Any, ...], factor: float = 1.0, solid: float = 1.0
) -> tuple[Any, float]:
    """Storage function and the content of full pores [kg/m³]."""
    import numpy as np

    from specgen.physics.transient import properties as p

    row = dict(items)
    form = row["form"]
    if form in ("points", "volume"):
        content = tuple(solid * factor * share * (density if form == "points" else 1.0) for share in row["points"])
        free = max(solid * row["free"], 1.05 * content[-1])
        return p.PointIsotherm(row["humidity"], content, free), max(solid * row["full"], 1.1 * free)
    if form == "wood":
        found = factor * row["factor"] * density * p.wood_moisture_content(np.array(WOOD_POINTS))
        free = max(row["free"], 1.05 * float(found[-1]))
        return p.PointIsotherm(WOOD_POINTS, tuple(float(x) for x in found), free), max(row["full"], 1.1 * free)
    if form == "concrete-en15026":
        return p.RetentionSum(146.0, (1.0,), (8e-8,), (1.6,), (0.375,)), 160.0
    if form == "brick-hamstad5":
        scales = (0.47 / HEAD, 0.2 / HEAD)
        return p.RetentionSum(373.5, (0.46, 0.54), scales, (1.5, 3.8)), 400.0
    if form == "mortar-hamstad5":
        scales = (0.5 / HEAD, 0.004 / HEAD)
        return p.RetentionSum(700.0, (0.2, 0.8), scales, (1.5, 3.8)), 750.0
    if form == "finish-hamstad4":
        return p.RetentionSum(row["free"], (1.0,), (2e-6,), (1 / (1 - 0.2126),)), row["full"]
    if form == "fibrous-hamstad1":
        return p.RetentionSum(900.0, (1.0,), (2e-4,), (2.0,)), 945.0
    raise NotComputableError(f"moisture set {name!r}: form {form!r} is not known")


def _liquid(row: dict[str, Any], material: Material, uptake: Range, solid: float) -> Any:
    from specgen.physics.transient import properties as p

    form = row["form"]
    if form == "concrete-en15026":
        return p.PolynomialConductivity(CONCRETE_LIQUID, shift=73.0)
    if form == "brick-hamstad5":
        return p.PolynomialConductivity(BRICK_LIQUID, scale=1000.0)
    if form == "mortar-hamstad5":
        return p.PolynomialConductivity(MORTAR_LIQUID, scale=1000.0)
    ranged = uptake_range(material)
    if ranged is None:
        return None
    coefficient = dict(zip(("low", "value", "high"), ranged, strict=True))[uptake]
    return p.UptakeDiffusivity(solid * coefficient, solid * row["free"])
