"""Problems in, hours out: packs lanes for the compiled loops, runs them, and holds the balances against 1e-6.

`simulate` is what the rest of the program calls. A run that cannot converge, or whose balance does not close, raises
`SimulationError` with lane, hour and cell; it never returns a last guess.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from specgen.errors import NotComputableError
from specgen.physics.transient import kernel as k
from specgen.physics.transient.mesh import graded_mesh
from specgen.physics.transient.problem import Problem
from specgen.physics.transient.properties import REFERENCE_TEMPERATURE, VAPOR_GAS_CONSTANT, Array, Material
from specgen.physics.transient.tables import (
    COEFFICIENTS,
    CONTENT,
    HIGH,
    HUMIDITY,
    LOW,
    PIECE,
    PIECES,
    POTENTIAL,
    coordinate_at_humidity,
    lookup,
    tabulate,
)

CELLS = 90
TABLE = PIECES * COEFFICIENTS  # numbers in the table of one material
assert int(k.PIECE_SIZE) == COEFFICIENTS
WIDTHS = (1, 8)  # lane strides that are compiled, each on first use
BALANCE_LIMIT = 1e-6  # of the throughput of the run
LEAST_MASS, LEAST_HEAT = 1e-3, 1e4  # [kg/m²], [J/m²]: throughput below which the balance is held absolutely

MASS_BOOKS = ("vapor_outside", "rain_taken", "vapor_inside", "air_from_outside", "air_from_inside", "deposited")
BOOKS = (*MASS_BOOKS, "drained", "rain_offered", "heat_outside", "heat_inside", "heat_sources", "sensible_inside")


@dataclass(frozen=True)
class Scheme:
    """Numbers of the solution method and the physical constants it takes as given."""

    latent_heat: float = 2.5e6  # of evaporation [J/kg]; 0 and equal temperatures: isothermal
    water_heat: float = 4187.0  # specific heat of water [J/(kg·K)]
    air_heat: float = 1.2 * 1006.0  # [J/(m³·K)] (common practice)
    drain_flow: float = 1e-3  # a cell whose free water is at thrice its room spills this much [kg/(m²·s)] (our choice)
    drain_time: float = 60.0  # free water beyond full pores runs off with this time constant [s] (our choice)
    permeability_exponent: float = 0.81  # of absolute temperature; -1: constant diffusion coefficient [-]
    temperature_tolerance: float = 0.05  # largest last update [K]
    pressure_tolerance: float = 3.0  # [Pa]
    mass_tolerance: float = 2e-4  # per cell [kg/m²]
    temperature_limit: float = 5.0  # largest change of a cell in one solve [K]
    moisture_limit: float = 0.25  # the same, moisture coordinate [-]
    first_step: float = 1 / 64  # share of an hour; doubles from there
    smallest_step: float = 1 / 4096  # share of an hour; no convergence here is an error
    second_order_restart: bool = False  # True: every step without the rate of the one before
    falling: float = 0.2  # ratio of successive updates below which the next one is foretold [-]
    foretold: float = 60.0  # first update, in tolerances, that may be the last if the learned square is small [-]
    rain_step: float = 1 / 3  # largest share of an hour while it rains [-]
    step: float = 3600.0  # interval of the series [s]

    def vector(self) -> Array:
        """In the order that the compiled loops read."""
        return np.array([
            self.latent_heat, self.water_heat, self.air_heat,
            1 / (VAPOR_GAS_CONSTANT * REFERENCE_TEMPERATURE), self.permeability_exponent,
            self.temperature_tolerance, self.pressure_tolerance, self.mass_tolerance,
            self.temperature_limit, self.moisture_limit, LOW, HIGH, 1 / PIECE,
            self.first_step, self.smallest_step, 0.0 if self.second_order_restart else 1.0, self.step,
            self.falling, self.foretold, self.rain_step,
        ])  # fmt: skip


class SimulationError(NotComputableError):
    """A run that did not converge or whose balance did not close; the caller adds wall and plane."""

    def __init__(self, lane: int, hour: int, layer: int, cell: int, reason: str) -> None:
        self.lane, self.hour, self.layer, self.cell = lane, hour, layer, cell
        super().__init__(f"lane {lane}, hour {hour}, layer {layer}, cell {cell}: {reason}")


@dataclass(frozen=True)
class State:
    """Where a run stands: every cell, exterior first."""

    temperature: Array  # shape (cells,) [°C]
    coordinate: Array  # shape (cells,) [-]
    mass: Array  # shape (cells,) [kg/m²]
    heat: Array  # shape (cells,), above dry material and water at 0 °C [J/m²]


@dataclass(frozen=True)
class Result:
    """One lane. Row h of a state array is the instant of row h of the climate; row 0 is the start."""

    temperature: Array  # shape (hours + 1, probes) [°C]
    relative_humidity: Array  # shape (hours + 1, probes) [-]
    content: Array  # shape (hours + 1, probes), water content [kg/m³]
    layer_mass: Array  # shape (hours + 1, layers) [kg/m²]
    books: dict[str, Array]  # each shape (hours,): sums per hour, into the wall positive [kg/m²], heat [J/m²]
    mass_error: float  # of the balance, over throughput [-]
    heat_error: float
    solves: int  # Newton solves of the run (of all lanes together)
    centers: Array  # shape (cells,), from the exterior surface [m]
    widths: tuple[Array, ...]  # per layer [m]
    final: State
    final_humidity: Array  # shape (cells,) [-]
    final_content: Array  # shape (cells,) [kg/m³]


@dataclass
class _Pack:
    """Arrays of one call of the compiled loops."""

    stride: int
    cells: int
    lanes: int
    w: NDArray[np.float64]
    tables: list[Array] = field(default_factory=list)
    places: dict[int, int] = field(default_factory=dict)  # by id of a table, which `tables` keeps alive

    def table(self, material: Material) -> int:
        table = _table(material)
        if id(table) not in self.places:
            self.places[id(table)] = len(self.tables)
            self.tables.append(table)
        return self.places[id(table)]


_TABLES: dict[Material | int, tuple[Material, Array]] = {}


def _table(material: Material) -> Array:
    """Tables are built once per material: equal ones share a table, so that the lanes of one wall share a cache."""
    try:
        key: Material | int = material
        known = _TABLES.get(key)
    except TypeError:  # a function that cannot be hashed: one table per object
        key = id(material)
        known = _TABLES.get(key)
    if known is None or (key is not material and known[0] is not material):
        if len(_TABLES) > 200:
            _TABLES.clear()
        known = _TABLES[key] = (material, tabulate(material))
    return known[1]


def simulate(
    problems: Sequence[Problem],
    hours: int,
    *,
    cells: int = CELLS,
    scheme: Scheme | None = None,
    start: Sequence[State] | None = None,
    stride: int | None = None,
) -> list[Result]:
    """Coupled heat and moisture in every problem over the given hours.

    Parameters
    ----------
    problems : sequence of Problem, shape (lanes,)
        Solved side by side, at most eight at a time; more are taken in turns. Series shorter than the run repeat.
    hours : int
        Steps to take.
    cells : int
        Cells of each wall, unless a problem brings its own widths.
    scheme : Scheme, optional
        Tolerances and constants.
    start : sequence of State, optional
        End states of an earlier run to go on from; otherwise the initial values of the layers. The climate given
        must then begin at that instant.
    stride : int, optional
        Lane stride to use, one of `WIDTHS`; by default the smallest that holds the problems.

    Returns
    -------
    results : list of Result
        In the order of `problems`.

    Raises
    ------
    SimulationError
        If a step does not converge at the smallest step, or a balance does not close to 1e-6 of the throughput.
    """
    scheme = scheme or Scheme()
    results: list[Result] = []
    for first in range(0, len(problems), WIDTHS[-1]):
        group = problems[first : first + WIDTHS[-1]]
        states = None if start is None else start[first : first + WIDTHS[-1]]
        results += _run(group, hours, cells, scheme, states, stride, first)
    return results


def _run(
    problems: Sequence[Problem],
    hours: int,
    cells: int,
    scheme: Scheme,
    start: Sequence[State] | None,
    stride: int | None,
    first_lane: int,
) -> list[Result]:
    lanes = len(problems)
    s = stride or next(width for width in WIDTHS if width >= lanes)
    meshes = [problem.widths or _mesh(problem, cells) for problem in problems]
    n = sum(widths.size for widths in meshes[0])
    row = int(k.ROW)
    pack = _Pack(s, n, lanes, np.zeros((n + 1) * row * s))
    w = pack.w.reshape(n + 1, row, s)
    mat = np.zeros((n + 1, s), dtype=np.uint64)
    lane = np.ones((int(k.LANE_CONSTANTS), s))
    climates = [problem.climate.stacked() for problem in problems]
    length = max(series.shape[0] for series in climates)
    forcing = np.zeros((length, int(k.FORCING), s))
    layers = max(len(problem.layers) for problem in problems)
    span = np.ones((layers, 2, s), dtype=np.uint64)
    probes = max(1, max(len(problem.probes) for problem in problems))
    probe = np.ones((probes, s), dtype=np.uint64)
    contact = np.zeros((max(1, layers - 1), s), dtype=np.uint64)
    wet: list[list[tuple[int, float]]] = []
    for j, (problem, widths) in enumerate(zip(problems, meshes, strict=True)):
        if sum(part.size for part in widths) != n:
            raise NotComputableError("walls that run side by side need the same number of cells")
        _fill_lane(pack, w, mat, lane, span, contact, j, problem, widths, scheme, None if start is None else start[j])
        series = climates[j]
        if series.shape[0] not in (1, length):
            raise NotComputableError(f"series of {series.shape[0]} and {length} hours cannot run side by side")
        forcing[:, :, j] = series
        for index, place in enumerate(problem.probes):
            probe[index, j] = _cell(widths, place.layer, place.place) + 1
        wet.append(_wet_cells(problem, widths))
    air_row, air_rate, from_inside = _exchanges(problems, meshes, s)
    most = max(1, max(len(cells_) for cells_ in wet))
    wet_row, wet_share = np.zeros((most, s), dtype=np.uint64), np.zeros((most, s))
    for j, cells_ in enumerate(wet):
        for index, (cell, share) in enumerate(cells_):
            wet_row[index, j], wet_share[index, j] = cell + 1, share
    out_t, out_phi, out_w = (np.zeros((hours, probes, lanes)) for _ in range(3))
    out_mass, out_books = np.zeros((hours, layers, lanes)), np.zeros((hours, len(BOOKS), lanes))
    before = w[1:, [int(k.T), int(k.X), int(k.M0), int(k.E0)], :].copy()
    failed = np.zeros(4, dtype=np.int64)
    solves = k.march(
        pack.w, np.concatenate([t.ravel() for t in pack.tables]), mat.ravel(),
        np.ascontiguousarray(forcing.reshape(length, -1)), lane.ravel(), contact, air_row, air_rate, from_inside,
        wet_row, wet_share, probe, span, out_t, out_phi, out_w, out_mass, out_books, failed, int(hours), np.uint64(n),
        (0,) * s, np.uint64(lanes), scheme.vector(),
    )  # fmt: skip
    if failed[0]:
        layer, cell = _place(meshes[failed[3]], int(failed[2]) - 1)
        raise SimulationError(first_lane + int(failed[3]), int(failed[1]), layer, cell, "no convergence")
    outputs = (out_t, out_phi, out_w, out_mass, out_books)
    return [
        _result(pack, w, before, mat, span, probe, outputs, j, problem, meshes[j], int(solves), first_lane)
        for j, problem in enumerate(problems)
    ]


def _mesh(problem: Problem, cells: int) -> tuple[Array, ...]:
    return graded_mesh(
        [layer.thickness for layer in problem.layers], cells, air=[layer.air_space for layer in problem.layers]
    )


def _fill_lane(
    pack: _Pack, w: Array, mat: NDArray[np.uint64], lane: Array, span: NDArray[np.uint64],
    contact: NDArray[np.uint64], j: int, problem: Problem, widths: tuple[Array, ...], scheme: Scheme,
    start: State | None,
) -> None:  # fmt: skip
    """Cells, faces, start state and constants of one lane."""
    sheets = problem.faces()
    if len(sheets) != len(problem.layers) + 1:
        raise NotComputableError(f"{len(problem.layers)} layers have {len(problem.layers) + 1} faces")
    w[0, int(k.RES), j], w[0, int(k.ZED), j] = sheets[0].heat_resistance, sheets[0].vapor_resistance
    row = 1
    for index, (layer, part) in enumerate(zip(problem.layers, widths, strict=True)):
        table = pack.table(layer.material)
        rows = slice(row, row + part.size)
        mat[rows, j] = table * TABLE
        w[rows, int(k.DX), j] = part
        w[rows, int(k.CAP), j] = layer.material.heat_capacity * part
        w[rows, int(k.FULL), j] = layer.material.full * part
        room = (layer.material.full - float(layer.material.storage(np.zeros(1))[0])) * part
        # cells with next to no room must spill faster, or dew on them has no solution
        w[rows, int(k.SPILL), j] = np.maximum(1 / scheme.drain_time, scheme.drain_flow / (2 * room))
        w[row : row + part.size - 1, int(k.LIQ), j] = 2 / (part[1:] + part[:-1])
        x = np.full(part.size, float(coordinate_at_humidity(layer.initial_humidity)))
        t = np.full(part.size, layer.initial_temperature)
        mass = lookup(pack.tables[table], x)[CONTENT] * part
        heat = (layer.material.heat_capacity * part + scheme.water_heat * mass) * t
        if start is not None:
            cells = slice(row - 1, row - 1 + part.size)
            x, t, mass, heat = (getattr(start, f)[cells] for f in ("coordinate", "temperature", "mass", "heat"))
        w[rows, int(k.T), j], w[rows, int(k.X), j] = t, x
        w[rows, int(k.M0), j], w[rows, int(k.E0), j] = mass, heat
        span[index, 0, j], span[index, 1, j] = row, row + part.size
        row += part.size
        sheet = sheets[index + 1]
        w[row - 1, int(k.RES), j], w[row - 1, int(k.ZED), j] = sheet.heat_resistance, sheet.vapor_resistance
        if index + 1 < len(problem.layers) and sheet.liquid_open:
            both = (layer.material.liquid, problem.layers[index + 1].material.liquid)
            if None not in both:
                contact[index, j] = row - 1
    first = lookup(pack.tables[int(mat[1, j]) // TABLE], np.ones(1))[POTENTIAL][0]
    lane[int(k.H_INSIDE), j] = problem.interior_heat_coefficient
    lane[int(k.B_INSIDE), j] = problem.interior_vapor_coefficient
    lane[int(k.RAIN_POTENTIAL), j] = first if sheets[0].liquid_open else -1.0


def _cell(widths: tuple[Array, ...], layer: int, place: float) -> int:
    """Index of the cell of a layer whose center is nearest to the place (0 exterior face, 1 interior face)."""
    part = widths[layer]
    centers = np.cumsum(part) - 0.5 * part
    return sum(p.size for p in widths[:layer]) + int(np.argmin(np.abs(centers - place * part.sum())))


def _place(widths: tuple[Array, ...], cell: int) -> tuple[int, int]:
    """Layer, and cell within the layer."""
    for index, part in enumerate(widths):
        if cell < part.size:
            return index, cell
        cell -= part.size
    raise IndexError(cell)


def _wet_cells(problem: Problem, widths: tuple[Array, ...]) -> list[tuple[int, float]]:
    """Cells that take the deposit, with their share by depth."""
    found = []
    for wetting in problem.wetting:
        part = widths[wetting.layer]
        offset = sum(p.size for p in widths[: wetting.layer])
        inner = np.minimum(np.cumsum(part), wetting.depth)
        taken = np.diff(inner, prepend=0.0)
        found += [
            (offset + int(i), float(taken[i] / taken.sum() / len(problem.wetting))) for i in np.flatnonzero(taken)
        ]
    return found


def _exchanges(
    problems: Sequence[Problem], meshes: list[tuple[Array, ...]], s: int
) -> tuple[NDArray[np.uint64], Array, NDArray[np.bool_]]:
    """Air exchanges of all lanes; those from outside first, the mixed layer's cells share the flow by width."""
    listed: dict[bool, list[list[tuple[int, float]]]] = {False: [], True: []}
    for problem, widths in zip(problems, meshes, strict=True):
        for side in (False, True):
            cells = []
            for exchange in problem.exchanges:
                if exchange.from_inside is side:
                    part = widths[exchange.layer]
                    offset = sum(p.size for p in widths[: exchange.layer])
                    cells += [(offset + i, exchange.flow * part[i] / part.sum()) for i in range(part.size)]
            listed[side].append(cells)
    count = {side: max(len(cells) for cells in listed[side]) for side in listed}
    total = max(1, sum(count.values()))
    row, rate = np.zeros((total, s), dtype=np.uint64), np.zeros((total, s))
    from_inside = np.zeros(total, dtype=np.bool_)
    from_inside[count[False] :] = True
    for side, base in ((False, 0), (True, count[False])):
        for j, cells in enumerate(listed[side]):
            for index, (cell, flow) in enumerate(cells):
                row[base + index, j], rate[base + index, j] = cell + 1, flow
    return row, rate, from_inside


def _result(
    pack: _Pack, w: Array, before: Array, mat: NDArray[np.uint64], span: NDArray[np.uint64],
    probe: NDArray[np.uint64], outputs: tuple[Array, ...], j: int, problem: Problem, widths: tuple[Array, ...],
    solves: int, first_lane: int,
) -> Result:  # fmt: skip
    """One lane's arrays, its balances closed or an error."""
    out_t, out_phi, out_w, out_mass, out_books = outputs
    books = {name: out_books[:, index, j].copy() for index, name in enumerate(BOOKS)}
    start, end = before[:, :, j], w[1:, [int(k.T), int(k.X), int(k.M0), int(k.E0)], j]
    mass_error, heat_error = _balance(books, start, end)
    if not (mass_error < BALANCE_LIMIT and heat_error < BALANCE_LIMIT):
        reason = f"balance open by {mass_error:.2g} of the water and {heat_error:.2g} of the heat"
        raise SimulationError(first_lane + j, out_t.shape[0], 0, 0, reason)
    count, layers = len(problem.probes), len(problem.layers)
    rows = probe[:count, j].astype(np.int64)
    first = np.empty((2, 1, count))
    for index, row in enumerate(rows):
        values = lookup(pack.tables[int(mat[row, j]) // TABLE], start[row - 1 : row, 1])
        first[:, 0, index] = values[[HUMIDITY, CONTENT], 0]
    t = np.concatenate([start[rows - 1, 0][None], out_t[:, :count, j]])
    humidity, content = (np.concatenate([first[i], out[:, :count, j]]) for i, out in enumerate((out_phi, out_w)))
    first_mass = [start[int(span[i, 0, j]) - 1 : int(span[i, 1, j]) - 1, 2].sum() for i in range(layers)]
    final_humidity, final_content = np.empty(pack.cells), np.empty(pack.cells)
    for index in np.unique(mat[1:, j]):
        chosen = mat[1:, j] == index
        values = lookup(pack.tables[int(index) // TABLE], end[chosen, 1])
        final_humidity[chosen], final_content[chosen] = values[HUMIDITY], values[CONTENT]
    every = np.concatenate(widths)
    return Result(
        temperature=t, relative_humidity=humidity, content=content,
        layer_mass=np.concatenate([np.array([first_mass]), out_mass[:, :layers, j]]),
        books=books, mass_error=mass_error, heat_error=heat_error, solves=solves,
        centers=np.cumsum(every) - 0.5 * every, widths=widths,
        final=State(*(end[:, i].copy() for i in range(4))),
        final_humidity=final_humidity, final_content=final_content,
    )  # fmt: skip


def _balance(books: dict[str, Array], start: Array, end: Array) -> tuple[float, float]:
    """Stored less booked, over what went through, of water and of heat."""
    gained = sum(float(books[name].sum()) for name in MASS_BOOKS) - float(books["drained"].sum())
    moved = sum(float(np.abs(books[name]).sum()) for name in (*MASS_BOOKS, "drained"))
    mass = abs(float((end[:, 2] - start[:, 2]).sum()) - gained) / max(moved, LEAST_MASS)
    heat_books = ("heat_outside", "heat_inside", "heat_sources")
    heated = sum(float(books[name].sum()) for name in heat_books)
    through = sum(float(np.abs(books[name]).sum()) for name in heat_books)
    heat = abs(float((end[:, 3] - start[:, 3]).sum()) - heated) / max(through, LEAST_HEAT)
    return mass, heat
