"""The same physics a second time: plain numpy over the conserved quantities, for scipy's `solve_ivp(BDF)`.

Shares no code with the solver but the material functions themselves: own inverse of the isotherm, own flux potential
by trapezoids, own saturation pressure, unknowns water and heat per volume instead of temperature and coordinate.
Sheets are all it knows of contacts: liquid does not cross between two materials here.

It is also the yardstick of the benchmark, so it is as quick as we can make it in numpy. Material functions are called
once, into one table for all layers, even over the logarithm of water content with free saturation on a knot; a call
then is one pass over all cells: index arithmetic, one gather, no loop over layers, no material objects. Forcing and its
slopes are rows of plain numbers. The Jacobian is exact and sparse, its pattern laid out once. What is left is mostly
scipy's own work on each step (factors, norms, sparse sums).
"""

from __future__ import annotations

import numpy as np
from scipy.integrate import solve_ivp
from scipy.sparse import csc_matrix

from specgen.physics.transient.problem import Layer, Problem
from specgen.physics.transient.run import Scheme

KELVIN_PRESSURE = 1000 * 8.314 / 0.018 * 293.15
PER_GAS = 1 / (8.314 / 0.018 * 293.15)
KNOTS = 4000  # below free saturation, of each material
DRIEST = 0.02  # relative humidity where a table begins [-]
HEADROOM = 1.3  # a table ends at so many times full pores
# Absolute tolerances as loose as the comparison allows: 0.015 K and 0.0005 RH against 60 s steps in the benchmark's
# months. Three times looser comes out at 0.04 K and 0.0011 RH in one and fails in the other; tighter costs calls.
SHARE_OF_WATER, KELVINS = 1e-3, 1e-2


def _table(layer: Layer) -> tuple[np.ndarray, float, float]:
    """Humidity, potential, vapor and heat resistivity over the logarithm of content, steps; first knot and spacing."""
    m = layer.material
    suction = np.concatenate([-KELVIN_PRESSURE * np.log(np.linspace(DRIEST, 0.999, 20000)),
                              np.geomspace(-KELVIN_PRESSURE * np.log(0.999), 1e-2, 20000)[1:], [0.0]])  # fmt: skip
    stored = np.maximum.accumulate(m.storage(suction))
    stored += 1e-13 * np.arange(suction.size)
    free = np.log(stored[-1])
    spacing = (free - np.log(stored[0])) / KNOTS
    beyond = int(np.ceil((np.log(HEADROOM * m.full) - free) / spacing)) + 1
    content = np.exp(free + spacing * np.arange(-KNOTS, beyond + 1))
    within = np.minimum(content, stored[-1])
    humidity = np.exp(-np.interp(within, stored, suction) / KELVIN_PRESSURE)
    potential = np.zeros(content.size)
    if m.liquid is not None:
        fine = np.interp(np.arange(8 * (content.size - 1) + 1) / 8, np.arange(content.size), within)
        steps = np.diff(fine) * m.liquid.diffusivity(0.5 * (fine[1:] + fine[:-1]))
        potential = np.concatenate([[0.0], np.cumsum(steps)])[::8]
    values = np.stack([humidity, potential, 1 / m.permeability(humidity, within), 1 / m.conductivity(content)])
    return np.concatenate([values[:, :-1], np.diff(values)]), float(np.log(content[0])), spacing


class SecondRhs:
    """dy/dt of water content [kg/m³] and heat [J/m³] in every cell, interleaved."""

    def __init__(self, problem: Problem, widths: tuple[np.ndarray, ...], scheme: Scheme, series: np.ndarray) -> None:
        self.scheme, self.dx = scheme, np.concatenate(widths)
        parts = np.split(np.arange(self.dx.size), np.cumsum([w.size for w in widths])[:-1])

        def spread(values):
            return np.concatenate([np.full(w.size, value) for w, value in zip(widths, values, strict=True)])

        materials = [layer.material for layer in problem.layers]
        self.cap, self.full = spread([m.heat_capacity for m in materials]), spread([m.full for m in materials])
        room = spread([m.full - float(m.storage(np.zeros(1))[0]) for m in materials]) * self.dx
        self.spill = np.maximum(1 / scheme.drain_time, scheme.drain_flow / (2 * room)) * self.dx
        tables = [_table(layer) for layer in problem.layers]
        begins = np.cumsum([0, *(t.shape[1] for t, *_ in tables)])
        self.table = np.ascontiguousarray(np.concatenate([t for t, *_ in tables], axis=1).T)  # a row per piece
        self.first, self.last = spread(begins[:-1]).astype(np.int64), spread(begins[1:] - 1).astype(np.int64)
        self.per = spread([1 / spacing for *_, spacing in tables])
        self.low = spread([low for _, low, _ in tables]) * self.per - self.first
        self.top = float(tables[0][0][1].max())
        faces = problem.faces()
        self.sheet_r, self.sheet_z = np.zeros(self.dx.size - 1), np.zeros(self.dx.size - 1)
        self.liquid = 2 / (self.dx[:-1] + self.dx[1:])
        for part, sheet in zip(parts[:-1], faces[1:-1], strict=True):
            end = part[-1]
            self.sheet_r[end], self.sheet_z[end], self.liquid[end] = sheet.heat_resistance, sheet.vapor_resistance, 0.0
        self.outer, self.inner, self.half, self.per_dx = faces[0], faces[-1], 0.5 * self.dx, 1 / self.dx
        self.z_in = 1 / problem.interior_vapor_coefficient + self.inner.vapor_resistance
        self.r_in = 1 / problem.interior_heat_coefficient + self.inner.heat_resistance
        self.rows, self.slopes = series.tolist(), np.diff(series, axis=0).tolist()
        self.exchanges, self.wettings = [], []
        self.pattern()
        for exchange in problem.exchanges:
            cells = slice(parts[exchange.layer][0], parts[exchange.layer][-1] + 1)
            flow = exchange.flow * self.dx[cells] / self.dx[cells].sum()
            self.exchanges.append((cells, flow, exchange.from_inside))
        for wetting in problem.wetting:
            part = parts[wetting.layer]
            taken = np.diff(np.minimum(np.cumsum(self.dx[part]), wetting.depth), prepend=0.0)
            share = taken[taken > 0] / taken.sum() / len(problem.wetting)
            self.wettings.append((slice(part[0], part[0] + share.size), share))

    def start(self, temperature: np.ndarray, content: np.ndarray) -> np.ndarray:
        y = np.empty(2 * self.dx.size)
        y[::2], y[1::2] = content, (self.cap + self.scheme.water_heat * content) * temperature
        return y

    def state(self, y: np.ndarray):
        """Temperature, content, and the table's rows with their slopes to content; cells on the last but one axis."""
        w = y[..., ::2]
        t = y[..., 1::2] / (self.cap + self.scheme.water_heat * w)
        place = np.log(np.maximum(w, 1e-12))
        place *= self.per
        place -= self.low
        index = place.astype(np.int64)
        np.minimum(np.maximum(index, self.first, out=index), self.last, out=index)
        place -= index
        rows = self.table.take(index, axis=0)
        return t, w, rows[..., :4] + place[..., None] * rows[..., 4:], rows[..., 4:]

    def forcing(self, time: float):
        hour = min(int(time / 3600), len(self.slopes) - 1)
        f = time / 3600 - hour
        return [value + f * slope for value, slope in zip(self.rows[hour], self.slopes[hour], strict=True)]

    def taken(self, rain: float, potential: float) -> float:
        if not (rain and self.outer.liquid_open):
            return 0.0
        return float(min(rain, max(0.0, (self.top - potential) / self.half[0])))

    def __call__(self, time: float, y: np.ndarray) -> np.ndarray:
        latent, cw = self.scheme.latent_heat, self.scheme.water_heat
        t_eq, t_out, p_out, h_out, b_out, rain, deposit, air_out, air_in, t_in, p_in = self.forcing(time)
        t, w, values, _ = self.state(y)
        phi, potential = values[:, 0], values[:, 1]
        z, r = values[:, 2] * self.half, values[:, 3] * self.half
        z *= ((t + 273.15) * (1 / 293.15)) ** -self.scheme.permeability_exponent
        p = _saturation(t)
        p *= phi
        water, heat = np.empty(t.size + 1), np.empty(t.size + 1)
        v = (p[:-1] - p[1:]) / (z[:-1] + z[1:] + self.sheet_z)
        g = np.multiply(self.liquid, potential[:-1] - potential[1:], out=water[1:-1])
        g += v
        v *= latent
        q = np.divide(t[:-1] - t[1:], r[:-1] + r[1:] + self.sheet_r, out=heat[1:-1])
        q += v
        q += (0.5 * cw) * (t[:-1] + t[1:]) * g
        first, last = float(t[0]), float(t[-1])
        taken = self.taken(rain, potential[0])
        v = (p_out - float(p[0])) / (1 / b_out + self.outer.vapor_resistance)
        water[0] = v + taken
        heat[0] = (t_eq - first) / (1 / h_out + self.outer.heat_resistance + float(r[0]))
        heat[0] += v * (latent + cw * first) + cw * t_out * taken
        water[-1] = v = (float(p[-1]) - p_in) / self.z_in
        heat[-1] = (last - t_in) / (self.r_in + float(r[-1])) + v * (latent + cw * last)
        out = np.empty_like(y)
        mass, warmth = water[:-1] - water[1:], heat[:-1] - heat[1:]
        over = w - self.full
        if over.max() > 0:
            over = np.maximum(over, 0.0) * self.spill
            mass -= over
            warmth -= over * cw * t
        for cells, flow, inside in self.exchanges:
            share, air_t, air_p = (flow * air_in, t_in, p_in) if inside else (flow * air_out, t_out, p_out)
            moist = share * PER_GAS * (air_p - p[cells])
            mass[cells] += moist
            warmth[cells] += share * self.scheme.air_heat * (air_t - t[cells]) + moist * (latent + cw * t[cells])
        if deposit:
            for cells, share in self.wettings:
                mass[cells] += deposit * share
                warmth[cells] += deposit * cw * t_out * share
        np.multiply(mass, self.per_dx, out=out[::2])
        np.multiply(warmth, self.per_dx, out=out[1::2])
        return out

    def jacobian(self, time: float, y: np.ndarray):
        """Exact slopes of `__call__`: first to temperature and content, then to the unknowns. Sparse, 2 x 2 blocks."""
        latent, cw = self.scheme.latent_heat, self.scheme.water_heat
        t_eq, t_out, p_out, h_out, b_out, rain, _, air_out, air_in, t_in, p_in = self.forcing(time)
        t, w, values, steps = self.state(y)
        d_phi, d_potential, d_z, d_r = (steps * (self.per / np.maximum(w, 1e-12))[:, None]).T
        kelvin = ((t + 273.15) * (1 / 293.15)) ** -self.scheme.permeability_exponent * self.half
        phi, potential, z, r = values[:, 0], values[:, 1], values[:, 2] * kelvin, values[:, 3] * self.half
        z_t, z_w, r_w = -self.scheme.permeability_exponent * z / (t + 273.15), d_z * kelvin, d_r * self.half
        saturated = _saturation(t)
        p, p_w = phi * saturated, d_phi * saturated
        p_t = p * np.where(t < 0, 21.875 * 265.5 / (265.5 + t) ** 2, 17.269 * 237.3 / (237.3 + t) ** 2)

        def faces(sign, here):
            """Slopes of water and heat flow through the inner faces to the cells on one side of them."""
            v_t, v_w = k * (sign * p_t[here] - v * z_t[here]), k * (sign * p_w[here] - v * z_w[here])
            g_t, g_w = v_t, v_w + sign * self.liquid * d_potential[here]
            q_t = sign * u + latent * v_t + mean * g_t + 0.5 * cw * g
            return g_t, g_w, q_t, -u * q * r_w[here] + latent * v_w + mean * g_w

        k, u = 1 / (z[:-1] + z[1:] + self.sheet_z), 1 / (r[:-1] + r[1:] + self.sheet_r)
        v, q, mean = k * (p[:-1] - p[1:]), u * (t[:-1] - t[1:]), 0.5 * cw * (t[:-1] + t[1:])
        g = v + self.liquid * (potential[:-1] - potential[1:])
        left, right = faces(1.0, slice(None, -1)), faces(-1.0, slice(1, None))
        diagonal = np.zeros((4, t.size))  # water to t and w, heat to t and w
        for row in range(4):
            diagonal[row, :-1] -= left[row]
            diagonal[row, 1:] += right[row]
        over = w > self.full
        spill = np.where(over, self.spill, 0.0)
        diagonal[1] -= spill
        diagonal[2] -= spill * cw * (w - self.full)
        diagonal[3] -= spill * cw * t

        def air(cells, conductance, air_p):
            """Vapor exchanged with air: latent and sensible heat go along."""
            carried = latent + cw * t[cells]
            diagonal[0, cells] -= conductance * p_t[cells]
            diagonal[1, cells] -= conductance * p_w[cells]
            diagonal[2, cells] += conductance * (cw * (air_p - p[cells]) - carried * p_t[cells])
            diagonal[3, cells] -= conductance * carried * p_w[cells]

        for cells, flow, inside in self.exchanges:
            share = flow * (air_in if inside else air_out)
            air(cells, share * PER_GAS, p_in if inside else p_out)
            diagonal[2, cells] -= share * self.scheme.air_heat
        air(slice(0, 1), 1 / (1 / b_out + self.outer.vapor_resistance), p_out)
        air(slice(-1, None), 1 / self.z_in, p_in)
        for cell, resistance, air_t in (
            (0, 1 / h_out + self.outer.heat_resistance, t_eq), (-1, self.r_in, t_in),
        ):  # fmt: skip
            u = 1 / (resistance + r[cell])
            diagonal[2, cell] -= u
            diagonal[3, cell] -= u * u * (air_t - t[cell]) * r_w[cell]
        if 0 < self.taken(rain, potential[0]) < rain:
            slope = -d_potential[0] / self.half[0]
            diagonal[1, 0] += slope
            diagonal[3, 0] += slope * cw * t_out
        lower = np.array(left) * self.per_dx[1:]  # of a cell, to the one before it
        upper = -np.array(right) * self.per_dx[:-1]
        t_h = 1 / (self.cap + cw * w)
        t_w = -cw * t * t_h
        parts = []
        for block, cells in ((diagonal * self.per_dx, slice(None)), (lower, slice(None, -1)), (upper, slice(1, None))):
            block[1::2] += block[::2] * t_w[cells]
            block[::2] *= t_h[cells]
            parts.append(block.ravel())
        data = np.concatenate(parts)[self.order]
        return csc_matrix((data, self.indices, self.indptr), shape=(y.size, y.size))

    def pattern(self) -> None:
        """Where each number of the blocks stands in scipy's column form."""
        n = self.dx.size
        rows, cols = [], []
        for count, row, col in ((n, 0, 0), (n - 1, 1, 0), (n - 1, 0, 1)):
            cell = np.arange(count)
            for equation in (0, 1):
                for unknown in (1, 0):  # heat (from temperature) first, as the blocks are
                    rows.append(2 * (cell + row) + equation)
                    cols.append(2 * (cell + col) + unknown)
        row, col = np.concatenate(rows), np.concatenate(cols)
        self.order = np.lexsort((row, col))
        self.indices = row[self.order].astype(np.int32)
        self.indptr = np.searchsorted(col[self.order], np.arange(2 * n + 1)).astype(np.int32)

    def solve(self, y0: np.ndarray, hours: int, rtol: float = 1e-4, tighter: float = 1.0):
        """Temperatures and humidities at every hour, shapes (hours + 1, cells), and scipy's own account of the run."""
        tolerance = np.empty_like(y0)
        tolerance[::2], tolerance[1::2] = np.maximum(SHARE_OF_WATER * y0[::2], 1e-7), KELVINS * self.cap
        times = 3600.0 * np.arange(hours + 1)
        run = solve_ivp(
            self, (0.0, 3600.0 * hours), y0, method="BDF", t_eval=times, rtol=rtol, atol=tolerance / tighter,
            jac=self.jacobian,
        )  # fmt: skip
        assert run.success, run.message
        temperature, _, values, _ = self.state(run.y.T)
        return temperature, values[..., 0], run


def _saturation(t: np.ndarray) -> np.ndarray:
    """ISO 13788:2012, over ice below 0 °C. [Pa]"""
    if t.min() >= 0:
        return 610.5 * np.exp(17.269 * t / (237.3 + t))
    cold = t < 0
    return 610.5 * np.exp(np.where(cold, 21.875, 17.269) * t / (np.where(cold, 265.5, 237.3) + t))
