"""The same physics a second time: plain numpy over the conserved quantities, for scipy's `solve_ivp(BDF)`.

Shares no code with the solver but the material functions themselves: own inverse of the isotherm, own flux potential
by trapezoids, own saturation pressure, unknowns water and heat per volume instead of temperature and coordinate.
Sheets are all it knows of contacts: liquid does not cross between two materials here.
"""

from __future__ import annotations

import numpy as np
from scipy.integrate import solve_ivp
from scipy.sparse import coo_matrix
from transient_cases import saturation

from specgen.physics.transient.problem import Problem
from specgen.physics.transient.run import Scheme

KELVIN_PRESSURE = 1000 * 8.314 / 0.018 * 293.15


class SecondRhs:
    """dy/dt of water content [kg/m³] and heat [J/m³] in every cell, interleaved."""

    def __init__(self, problem: Problem, widths: tuple[np.ndarray, ...], scheme: Scheme, series: np.ndarray) -> None:
        self.problem, self.scheme, self.series = problem, scheme, series
        self.dx = np.concatenate(widths)
        self.parts = np.split(np.arange(self.dx.size), np.cumsum([w.size for w in widths])[:-1])
        self.cap = np.concatenate(
            [np.full(w.size, la.material.heat_capacity) for w, la in zip(widths, problem.layers, strict=True)]
        )
        self.full = np.concatenate(
            [np.full(w.size, la.material.full) for w, la in zip(widths, problem.layers, strict=True)]
        )
        free = [float(la.material.storage(np.zeros(1))[0]) for la in problem.layers]
        room = np.concatenate(
            [(la.material.full - f) * w for w, la, f in zip(widths, problem.layers, free, strict=True)]
        )
        self.spill = np.maximum(1 / scheme.drain_time, scheme.drain_flow / (2 * room))
        suction = np.concatenate([np.geomspace(9e8, 1e-2, 6000), [0.0]])
        self.curves = []
        for layer in problem.layers:
            m = layer.material
            w = np.maximum.accumulate(m.storage(suction) + 1e-13 * np.arange(suction.size))
            potential = np.zeros(w.size)
            if m.liquid is not None:
                middle = 0.5 * (w[1:] + w[:-1])
                potential[1:] = np.cumsum(np.diff(w) * m.liquid.diffusivity(middle))
            self.curves.append((w, np.exp(-suction / KELVIN_PRESSURE), potential))
        faces = problem.faces()
        ends = [part[-1] for part in self.parts[:-1]]
        self.sheet_r, self.sheet_z = np.zeros(self.dx.size - 1), np.zeros(self.dx.size - 1)
        self.same = np.ones(self.dx.size - 1)
        for end, sheet in zip(ends, faces[1:-1], strict=True):
            self.sheet_r[end], self.sheet_z[end], self.same[end] = sheet.heat_resistance, sheet.vapor_resistance, 0.0
        self.outer, self.inner = faces[0], faces[-1]

    def start(self, temperature: np.ndarray, content: np.ndarray) -> np.ndarray:
        y = np.empty(2 * self.dx.size)
        y[::2], y[1::2] = content, (self.cap + self.scheme.water_heat * content) * temperature
        return y

    def state(self, y: np.ndarray):
        """Temperature, humidity, content, potential, permeability, conductivity of every cell."""
        w, t = y[::2], y[1::2] / (self.cap + self.scheme.water_heat * y[::2])
        phi, potential, delta, conductivity = (np.empty(w.size) for _ in range(4))
        for part, layer, (curve_w, curve_phi, curve_f) in zip(
            self.parts, self.problem.layers, self.curves, strict=True
        ):
            phi[part] = np.interp(w[part], curve_w, curve_phi)
            potential[part] = np.interp(w[part], curve_w, curve_f)
            delta[part] = layer.material.permeability(phi[part], np.minimum(w[part], curve_w[-1]))
            conductivity[part] = layer.material.conductivity(w[part])
        delta *= ((t + 273.15) / 293.15) ** self.scheme.permeability_exponent
        return t, phi, w, potential, delta, conductivity

    def __call__(self, time: float, y: np.ndarray) -> np.ndarray:
        c, latent, cw = self.scheme, self.scheme.latent_heat, self.scheme.water_heat
        hour = min(int(time / 3600), self.series.shape[0] - 2)
        f = time / 3600 - hour
        (t_eq, t_out, p_out, h_out, b_out, rain, deposit, air_out, air_in, t_in, p_in) = self.series[hour] + f * (
            self.series[hour + 1] - self.series[hour]
        )
        t, phi, w, potential, delta, conductivity = self.state(y)
        p = phi * saturation(t)
        half_z, half_r = 0.5 * self.dx / delta, 0.5 * self.dx / conductivity
        v = (p[:-1] - p[1:]) / (half_z[:-1] + half_z[1:] + self.sheet_z)
        g = v + self.same * (potential[:-1] - potential[1:]) / (0.5 * (self.dx[:-1] + self.dx[1:]))
        q = (t[:-1] - t[1:]) / (half_r[:-1] + half_r[1:] + self.sheet_r) + latent * v + cw * 0.5 * (t[:-1] + t[1:]) * g
        v_out = (p_out - p[0]) / (1 / b_out + self.outer.vapor_resistance)
        top = self.curves[0][2][-1]
        taken = min(rain, max(0.0, 2 * (top - potential[0]) / self.dx[0])) if self.outer.liquid_open else 0.0
        q_out = (t_eq - t[0]) / (1 / h_out + self.outer.heat_resistance + half_r[0])
        q_out += v_out * (latent + cw * t[0]) + cw * t_out * taken
        v_in = (p[-1] - p_in) / (1 / self.problem.interior_vapor_coefficient + self.inner.vapor_resistance)
        q_in = (t[-1] - t_in) / (1 / self.problem.interior_heat_coefficient + self.inner.heat_resistance + half_r[-1])
        q_in += v_in * (latent + cw * t[-1])
        mass = np.concatenate([[v_out + taken], g]) - np.concatenate([g, [v_in]])
        heat = np.concatenate([[q_out], q]) - np.concatenate([q, [q_in]])
        run_off = np.maximum(w - self.full, 0.0) * self.dx * self.spill
        mass -= run_off
        heat -= run_off * cw * t
        for exchange in self.problem.exchanges:
            cells = self.parts[exchange.layer]
            share = (
                exchange.flow * self.dx[cells] / self.dx[cells].sum() * (air_in if exchange.from_inside else air_out)
            )
            air_p, air_t = (p_in, t_in) if exchange.from_inside else (p_out, t_out)
            moist = share / (8.314 / 0.018 * 293.15) * (air_p - p[cells])
            mass[cells] += moist
            heat[cells] += share * c.air_heat * (air_t - t[cells]) + moist * (latent + cw * t[cells])
        for wetting in self.problem.wetting:
            cells = self.parts[wetting.layer]
            taken_by = np.diff(np.minimum(np.cumsum(self.dx[cells]), wetting.depth), prepend=0.0)
            wet = deposit * taken_by / taken_by.sum() / len(self.problem.wetting)
            mass[cells] += wet
            heat[cells] += wet * cw * t_out
        out = np.empty_like(y)
        out[::2], out[1::2] = mass / self.dx, heat / self.dx
        return out

    def sparsity(self):
        n = self.dx.size
        rows, cols = [], []
        for i in range(n):
            for k in range(max(0, i - 1), min(n, i + 2)):
                rows += [2 * i, 2 * i, 2 * i + 1, 2 * i + 1]
                cols += [2 * k, 2 * k + 1, 2 * k, 2 * k + 1]
        return coo_matrix((np.ones(len(rows)), (rows, cols)), shape=(2 * n, 2 * n)).tocsc()

    def solve(self, y0: np.ndarray, hours: int, rtol: float = 1e-4, every: int = 1):
        """Temperatures and humidities at every hour, shapes (hours + 1, cells), and calls of the right-hand side."""
        tolerance = np.empty_like(y0)
        tolerance[::2], tolerance[1::2] = np.maximum(1e-4 * y0[::2], 1e-7), 1e-3 * self.cap
        times = 3600.0 * np.arange(0, hours + 1, every)
        run = solve_ivp(
            self, (0.0, 3600.0 * hours), y0, method="BDF", t_eval=times, rtol=rtol, atol=tolerance,
            jac_sparsity=self.sparsity(),
        )  # fmt: skip
        assert run.success, run.message
        states = [self.state(y) for y in run.y.T]
        return np.array([s[0] for s in states]), np.array([s[1] for s in states]), run.nfev
