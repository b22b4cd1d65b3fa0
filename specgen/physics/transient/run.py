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
from specgen.physics.transient.problem import Probe, Problem
from specgen.physics.transient.properties import REFERENCE_TEMPERATURE, VAPOR_GAS_CONSTANT, Array, Material
from specgen.physics.transient.tables import (
    COEFFICIENTS,
    CONTENT,
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
assert k.PIECE_SIZE == COEFFICIENTS
BALANCE_LIMIT = 1e-6  # of the throughput of the run
WORK = k.LANES * max(k.FORCING, k.EDGE, k.BOOKS)
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
    temperature_tolerance: float = 0.2  # largest last update, which leaves the square of it [K]
    pressure_tolerance: float = 20.0  # [Pa]
    mass_tolerance: float = 3e-4  # per cell [kg/m²]
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
            self.temperature_limit, self.moisture_limit / PIECE, PIECES - 1e-6, (1 - LOW) / PIECE,
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

    cells: int
    w: Array  # shape (cells + 1, quantities, lanes)
    begins: NDArray[np.int64]  # shape (cells + 1, lanes): where a cell's table begins
    kinds: NDArray[np.int64]  # shape (cells + 1,)
    fixed: Array
    forcing: Array  # shape (hours, series, lanes)
    probe: NDArray[np.int64]
    span: NDArray[np.int64]
    tables: list[Array] = field(default_factory=list)
    saturated: list[Array] = field(default_factory=list)  # its properties at relative humidity 1
    places: dict[int, int] = field(default_factory=dict)  # by id of a table, which `tables` keeps alive

    def table(self, material: Material) -> int:
        table, saturated = _table(material)
        if id(table) not in self.places:
            self.places[id(table)] = len(self.tables)
            self.tables.append(table)
            self.saturated.append(saturated)
        return self.places[id(table)]

    def look(self, tables: Array) -> Array:
        """Shape (properties, cells, lanes): what the tables say of every cell."""
        return lookup(tables, LOW + PIECE * self.w[1:, k.X], self.begins[1:] // COEFFICIENTS)

    def state(self) -> Array:
        """Shape (cells, 4, lanes): temperature, coordinate, water and heat of every cell."""
        state = self.w[1:, [k.T, k.X, k.M0, k.E0], :]
        state[:, 1] = LOW + PIECE * state[:, 1]
        return state


_TABLES: dict[Material | int, tuple[Material, tuple[Array, Array]]] = {}


def _table(material: Material) -> tuple[Array, Array]:
    """Table, and its properties at relative humidity 1. Built once per material: equal ones share a table, so that the
    lanes of one wall share a cache."""
    try:
        key: Material | int = material
        known = _TABLES.get(key)
    except TypeError:  # a function that cannot be hashed: one table per object
        key = id(material)
        known = _TABLES.get(key)
    if known is None or (key is not material and known[0] is not material):
        if len(_TABLES) > 200:
            _TABLES.clear()
        table = tabulate(material)
        known = _TABLES[key] = (material, (table, lookup(table, np.ones(1))[:, 0]))
    return known[1]


def simulate(
    problems: Sequence[Problem],
    hours: int,
    *,
    cells: int = CELLS,
    scheme: Scheme | None = None,
    start: Sequence[State] | None = None,
) -> list[Result]:
    """Coupled heat and moisture in every problem over the given hours.

    Parameters
    ----------
    problems : sequence of Problem, shape (lanes,)
        Solved four side by side, one group after the other; fewer cost as much as four. Series shorter than the run
        repeat.
    hours : int
        Steps to take.
    cells : int
        Cells of each wall, unless a problem brings its own widths.
    scheme : Scheme, optional
        Tolerances and constants.
    start : sequence of State, optional
        End states of an earlier run to go on from; otherwise the initial values of the layers. The climate given
        must then begin at that instant.

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
    climates = [problem.climate.stacked() for problem in problems]
    length = max(series.shape[0] for series in climates)
    results: list[Result] = []
    for first in range(0, len(problems), k.LANES):
        group = slice(first, first + k.LANES)
        states = None if start is None else start[group]
        results += _run(problems[group], climates[group], length, hours, cells, scheme, states, first)
    return results


def _aligned(*shape: int) -> Array:
    """Zeros that begin where a vector register may."""
    size = int(np.prod(shape))
    whole = np.zeros(size + k.LANES)
    begin = -(whole.ctypes.data // whole.itemsize) % k.LANES
    return whole[begin : begin + size].reshape(shape)


def _run(
    problems: Sequence[Problem], climates: list[Array], length: int, hours: int, cells: int, scheme: Scheme,
    start: Sequence[State] | None, first_lane: int,
) -> list[Result]:  # fmt: skip
    """One group of at most `kernel.LANES` problems; lanes left over repeat the first."""
    meshes = [problem.widths or _mesh(problem, cells) for problem in problems]
    n = sum(part.size for part in meshes[0])
    layers = max(len(problem.layers) for problem in problems)
    probes = max(1, max(len(problem.probes) for problem in problems))
    pack = _Pack(
        n, _aligned(n + 1, k.ROW, k.LANES), np.zeros((n + 1, k.LANES), np.int64), np.zeros(n + 1, np.int64),
        _aligned(k.LANE_CONSTANTS, k.LANES), _aligned(length, k.FORCING, k.LANES),
        np.ones((probes, k.LANES), np.int64), np.ones((layers, 2, k.LANES), np.int64),
    )  # fmt: skip
    for j, (problem, widths) in enumerate(zip(problems, meshes, strict=True)):
        if sum(part.size for part in widths) != n:
            raise NotComputableError("walls that run side by side need the same number of cells")
        _fill_lane(pack, j, problem, widths, scheme, None if start is None else start[j])
        _fill_sources(pack, j, problem, widths)
        series = climates[j]
        if series.shape[0] not in (1, length):
            raise NotComputableError(f"series of {series.shape[0]} and {length} hours cannot run side by side")
        pack.forcing[:, :, j] = series
        pack.probe[: len(problem.probes), j] = np.array(_cells(widths, problem.probes), dtype=np.int64) + 1
    tables = _aligned(len(pack.tables) * PIECES, COEFFICIENTS)
    np.concatenate(pack.tables, out=tables)
    first = pack.look(tables)
    mass = first[CONTENT] * pack.w[1:, k.DX]
    heat = (pack.w[1:, k.CAP] + scheme.water_heat * mass) * pack.w[1:, k.T]
    if start is not None:
        mass[:, : len(problems)] = np.stack([one.mass for one in start], axis=1)
        heat[:, : len(problems)] = np.stack([one.heat for one in start], axis=1)
    pack.w[1:, k.M0], pack.w[1:, k.E0] = mass, heat
    for array in (pack.w, pack.begins, pack.fixed, pack.forcing, pack.probe, pack.span):
        array[..., len(problems) :] = array[..., :1]
    out_t, out_phi, out_w = (_aligned(hours, probes, k.LANES) for _ in range(3))
    out_mass, out_books = _aligned(hours, layers, k.LANES), _aligned(hours, len(BOOKS), k.LANES)
    before = pack.state()
    failed = np.zeros(4, dtype=np.int64)
    solves = k.march(
        pack.w.ravel(), tables.ravel(), pack.begins.ravel(), pack.kinds, pack.forcing.ravel(), pack.fixed.ravel(),
        pack.probe, pack.span, np.zeros(n + 1, np.int64), np.zeros(k.LANES), np.ones(k.LANES),
        _aligned(WORK), _aligned(WORK), _aligned(3, WORK), _aligned(WORK),
        out_t, out_phi, out_w, out_mass, out_books, failed, int(hours), int(n), scheme.vector(),
    )  # fmt: skip
    if failed[0]:
        j = int(failed[3]) if failed[3] < len(problems) else 0  # lanes left over repeat the first
        layer, cell = _place(meshes[j], int(failed[2]) - 1)
        raise SimulationError(first_lane + j, int(failed[1]), layer, cell, "no convergence")
    outputs = (out_t, out_phi, out_w, out_mass, out_books)
    last = pack.look(tables)
    return [
        _result(pack, before, first, last, outputs, j, problem, meshes[j], int(solves), first_lane)
        for j, problem in enumerate(problems)
    ]


def _mesh(problem: Problem, cells: int) -> tuple[Array, ...]:
    return graded_mesh(
        [layer.thickness for layer in problem.layers], cells, air=[layer.air_space for layer in problem.layers]
    )


def _fill_lane(
    pack: _Pack, j: int, problem: Problem, widths: tuple[Array, ...], scheme: Scheme, start: State | None
) -> None:
    """Cells, faces, start state and constants of one lane."""
    sheets, w = problem.faces(), pack.w
    if len(sheets) != len(problem.layers) + 1:
        raise NotComputableError(f"{len(problem.layers)} layers have {len(problem.layers) + 1} faces")
    w[0, k.RES, j], w[0, k.ZED, j] = sheets[0].heat_resistance, sheets[0].vapor_resistance
    row = 1
    for index, (layer, part) in enumerate(zip(problem.layers, widths, strict=True)):
        table = pack.table(layer.material)
        rows = slice(row, row + part.size)
        pack.begins[rows, j] = table * TABLE
        w[rows, k.DX, j] = part
        w[rows, k.CAP, j] = layer.material.heat_capacity * part
        w[rows, k.FULL, j] = layer.material.full * part
        room = (layer.material.full - pack.saturated[table][CONTENT]) * part
        # cells with next to no room must spill faster, or dew on them has no solution
        w[rows, k.SPILL, j] = np.maximum(1 / scheme.drain_time, scheme.drain_flow / (2 * room))
        w[row : row + part.size - 1, k.LIQ, j] = 2 / (part[1:] + part[:-1])
        w[rows, k.T, j] = layer.initial_temperature
        w[rows, k.X, j] = (float(coordinate_at_humidity(layer.initial_humidity)) - LOW) / PIECE
        pack.span[index, :, j] = row, row + part.size
        row += part.size
        sheet = sheets[index + 1]
        w[row - 1, k.RES, j], w[row - 1, k.ZED, j] = sheet.heat_resistance, sheet.vapor_resistance
        if index + 1 < len(problem.layers) and sheet.liquid_open:
            both = (layer.material.liquid, problem.layers[index + 1].material.liquid)
            if None not in both:
                w[row - 1, k.CONTACT, j] = 1.0
                pack.kinds[row - 1] |= k.TOUCHING
    if start is not None:
        w[1:, k.T, j], w[1:, k.X, j] = start.temperature, (start.coordinate - LOW) / PIECE
    first = pack.saturated[pack.begins[1, j] // TABLE][POTENTIAL]
    pack.fixed[k.H_INSIDE, j] = problem.interior_heat_coefficient
    pack.fixed[k.B_INSIDE, j] = problem.interior_vapor_coefficient
    pack.fixed[k.RAIN_POTENTIAL, j] = first if sheets[0].liquid_open else -1.0


def _fill_sources(pack: _Pack, j: int, problem: Problem, widths: tuple[Array, ...]) -> None:
    """Air exchanges, a mixed layer's cells sharing the flow by width, and cells that take the deposit, by depth."""
    ends = np.cumsum([0, *(part.size for part in widths)]) + 1
    for exchange in problem.exchanges:
        part, rows = widths[exchange.layer], slice(ends[exchange.layer], ends[exchange.layer + 1])
        place = k.AIR_INSIDE if exchange.from_inside else k.AIR_OUTSIDE
        pack.w[rows, place, j] += exchange.flow * part / part.sum()
        pack.kinds[rows] |= k.SOURCE
    for wetting in problem.wetting:
        part, rows = widths[wetting.layer], slice(ends[wetting.layer], ends[wetting.layer + 1])
        taken = np.diff(np.minimum(np.cumsum(part), wetting.depth), prepend=0.0)
        pack.w[rows, k.WETTED, j] += taken / taken.sum() / len(problem.wetting)
        pack.kinds[rows][taken > 0] |= k.SOURCE


def _cells(widths: tuple[Array, ...], probes: Sequence[Probe]) -> list[int]:
    """Index of the cell whose center is nearest to each probe within its layer."""
    ends = np.cumsum([0, *(part.size for part in widths)])
    centers = [(np.cumsum(part) - 0.5 * part) / part.sum() for part in widths]
    return [int(ends[one.layer] + np.argmin(np.abs(centers[one.layer] - one.place))) for one in probes]


def _place(widths: tuple[Array, ...], cell: int) -> tuple[int, int]:
    """Layer, and cell within the layer."""
    for index, part in enumerate(widths):
        if cell < part.size:
            return index, cell
        cell -= part.size
    raise IndexError(cell)


def _result(
    pack: _Pack, before: Array, first: Array, last: Array, outputs: tuple[Array, ...], j: int, problem: Problem,
    widths: tuple[Array, ...], solves: int, first_lane: int,
) -> Result:  # fmt: skip
    """One lane's arrays, its balances closed or an error."""
    out_t, out_phi, out_w, out_mass, out_books = outputs
    books = {name: out_books[:, index, j].copy() for index, name in enumerate(BOOKS)}
    start, end = before[:, :, j], pack.state()[:, :, j]
    mass_error, heat_error = _balance(books, start, end)
    if not (mass_error < BALANCE_LIMIT and heat_error < BALANCE_LIMIT):
        reason = f"balance open by {mass_error:.2g} of the water and {heat_error:.2g} of the heat"
        raise SimulationError(first_lane + j, out_t.shape[0], 0, 0, reason)
    count, layers = len(problem.probes), len(problem.layers)
    rows = pack.probe[:count, j] - 1
    t = np.concatenate([start[rows, 0][None], out_t[:, :count, j]])
    humidity, content = (
        np.concatenate([first[i, rows, j][None], out[:, :count, j]])
        for i, out in ((HUMIDITY, out_phi), (CONTENT, out_w))
    )
    first_mass = [start[pack.span[i, 0, j] - 1 : pack.span[i, 1, j] - 1, 2].sum() for i in range(layers)]
    every = np.concatenate(widths)
    return Result(
        temperature=t, relative_humidity=humidity, content=content,
        layer_mass=np.concatenate([np.array([first_mass]), out_mass[:, :layers, j]]),
        books=books, mass_error=mass_error, heat_error=heat_error, solves=solves,
        centers=np.cumsum(every) - 0.5 * every, widths=widths,
        final=State(*(end[:, i].copy() for i in range(4))),
        final_humidity=last[HUMIDITY, :, j].copy(), final_content=last[CONTENT, :, j].copy(),
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
