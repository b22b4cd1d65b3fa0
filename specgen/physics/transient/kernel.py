"""The compiled loops: arrays in, arrays out; one march through the hours for all lanes side by side.

A lane is one wall, or one orientation of it; all lanes have the same number of cells. Row 0 of the workspace stands for
the outside air, rows 1 to n for the cells, exterior first; the face to the right of a row belongs to it, so the face
of row 0 is the exterior surface and that of row n the interior one. Every quantity of a row is `LANES` long, so that
the innermost loop runs over lanes and the compiler can use vector registers.

`width` is a tuple as long as the lane stride: its length is known when compiling, which the vectorizer needs (it
cannot prove that two arrays do not overlap, but offsets within one array it can). Indices are unsigned for the same
reason: a signed one would be tested for wrap-around. `mat` holds where a cell's table begins in the flat tables.

One file on purpose: the cache of compiled code is renewed when this file changes, not when another one does, so no
constant of another module may be frozen in here. Temperatures are in °C; `w`, `tab` and the rest are flat or small
arrays packed by `run.py`.
"""

# mypy: disable-error-code="no-untyped-def, no-untyped-call, misc"

from __future__ import annotations

from typing import Any

import numpy as np
from numba import njit

U = np.uint64
ONE = U(1)
PIECE_SIZE = U(16)  # coefficients of a table piece; `run` checks it against `tables`

# Quantities of a row: fixed ...
CAP, DX, FULL, LIQ, RES, ZED = U(0), U(1), U(2), U(3), U(4), U(5)
# ... state and right-hand sides
T, X, M0, E0, KM0, KE0, KM1, KE1 = U(6), U(7), U(8), U(9), U(10), U(11), U(12), U(13)
TS, XS, TP, XP, RM, RE = U(14), U(15), U(16), U(17), U(18), U(19)
# ... evaluated: stored mass and its slope, vapor pressure, liquid potential, half resistances, sources
M, MX, P, PT, PX, F, FX = U(20), U(21), U(22), U(23), U(24), U(25), U(26)
H, HX, Z, ZT, ZX = U(27), U(28), U(29), U(30), U(31)
SM, SMT, SMX, SE, SET, SEX = U(32), U(33), U(34), U(35), U(36), U(37)
# ... flux through the right face and its slopes on either side
G, Q, GTA, GXA, GTB, GXB, QTA, QXA, QTB, QXB = U(38), U(39), U(40), U(41), U(42), U(43), U(44), U(45), U(46), U(47)
# ... solve and step limits
U11, U12, U21, U22, Y1, Y2, DT, DX_, LT, LX, OT, OX = (
    U(48), U(49), U(50), U(51), U(52), U(53), U(54), U(55), U(56), U(57), U(58), U(59),
)  # fmt: skip
TK = U(60)  # temperature that the last update started from
SPILL = U(61)  # rate at which water beyond full pores runs off [1/s]
ROW = U(62)

# Forcing of one instant, one number per lane each
T_EQ, T_OUT, P_OUT, H_OUT, B_OUT, RAIN, DEPOSIT, AIR_OUT, AIR_IN, T_IN, P_IN = (
    U(0), U(1), U(2), U(3), U(4), U(5), U(6), U(7), U(8), U(9), U(10),
)  # fmt: skip
FORCING = U(11)

# Per lane, constant in time: interior film and transfer, rain potential of the first layer, sheet before the surface
H_INSIDE, B_INSIDE, RAIN_POTENTIAL = U(0), U(1), U(2)
LANE_CONSTANTS = U(3)

# Booked per hour
(VAPOR_OUTSIDE, RAIN_TAKEN, VAPOR_INSIDE, AIR_FROM_OUTSIDE, AIR_FROM_INSIDE, DEPOSITED, DRAINED, RAIN_OFFERED,
 HEAT_OUTSIDE, HEAT_INSIDE, HEAT_SOURCES, SENSIBLE_INSIDE) = (
    U(0), U(1), U(2), U(3), U(4), U(5), U(6), U(7), U(8), U(9), U(10), U(11),
)  # fmt: skip
BOOKS = U(12)

# Numbers of the scheme, in one vector, in the order of `run.Scheme.vector`
(
    LATENT, WATER_HEAT, AIR_HEAT, AIR_MOISTURE, EXPONENT, TOL_T, TOL_P, TOL_M, LIMIT_T, LIMIT_X, LOW,
    HIGH, PER_PIECE, START, SMALLEST, SECOND_ORDER, HOUR, FALLING, FORETOLD, RAIN_STEP,
) = (
    U(0), U(1), U(2), U(3), U(4), U(5), U(6), U(7), U(8), U(9), U(10), U(11),
    U(12), U(13), U(14), U(15), U(16), U(17), U(18), U(19),
)  # fmt: skip

MOST_ITERATIONS, PATIENT_ITERATIONS = 14, 40  # the latter in steps under PATIENT_STEP
PATIENT_STEP = 200.0  # [s]
GAMMA = 1 - np.sqrt(0.5)
KELVIN = 273.15
T_REF = 293.15

options: dict[str, Any] = {"cache": True, "error_model": "numpy", "boundscheck": False, "fastmath": {"contract"}}


@njit(**options)
def saturation(temperature):
    """Saturation pressure and its slope, over ice below 0 °C. [Pa], [Pa/K]

    Source: ISO 13788:2012 (confirmed, secondary). The exponential is a 64th power of a short series, since a library
    call would keep the loop out of vector registers; relative error below 1e-9 from -60 to 100 °C.
    """
    cold = temperature < 0.0
    a = 21.875 if cold else 17.269
    b = 265.5 if cold else 237.3
    inverse = 1.0 / (b + temperature)
    r = a * temperature * inverse * (1.0 / 64.0)
    e = 1.0 + r * (1.0 + r * (1 / 2 + r * (1 / 6 + r * (1 / 24 + r * (1 / 120 + r * (1 / 720 + r * (1 / 5040)))))))
    e = e * e
    e = e * e
    e = e * e
    e = e * e
    e = e * e
    e = e * e
    pressure = 610.5 * e
    return pressure, pressure * a * b * inverse * inverse


@njit(**options)
def evaluate(w, tab, mat, n, width, nl, c):
    """Properties of every cell from its material's table, at the present moisture coordinate."""
    s = U(len(width))
    low, per = c[LOW], c[PER_PIECE]
    for i in range(ONE, n + ONE):
        o = i * ROW * s
        for j in range(nl):
            t = (w[o + X * s + j] - low) * per
            f = t - np.float64(np.int32(t))
            k = mat[i * s + j] + U(np.int32(t)) * PIECE_SIZE
            # all loads before the first store, which might overlap them for all the compiler knows
            a0, a1, a2, a3 = tab[k], tab[k + U(1)], tab[k + U(2)], tab[k + U(3)]
            b0, b1, b2, b3 = tab[k + U(4)], tab[k + U(5)], tab[k + U(6)], tab[k + U(7)]
            c0, c1, c2, c3 = tab[k + U(8)], tab[k + U(9)], tab[k + U(10)], tab[k + U(11)]
            d0, d1, d2, d3 = tab[k + U(12)], tab[k + U(13)], tab[k + U(14)], tab[k + U(15)]
            dx = w[o + DX * s + j]
            half = 0.5 * dx
            w[o + M * s + j] = dx * (a0 + f * (b0 + f * (c0 + f * d0)))
            w[o + MX * s + j] = dx * per * (b0 + f * (2 * c0 + f * 3 * d0))
            w[o + P * s + j] = a1 + f * (b1 + f * (c1 + f * d1))
            w[o + PX * s + j] = per * (b1 + f * (2 * c1 + f * 3 * d1))
            w[o + F * s + j] = a2 + f * (b2 + f * (c2 + f * d2))
            w[o + FX * s + j] = per * (b2 + f * (2 * c2 + f * 3 * d2))
            w[o + Z * s + j] = half * (a3 + f * b3)
            w[o + ZX * s + j] = half * per * b3
            w[o + H * s + j] = half * (c3 + f * d3)
            w[o + HX * s + j] = half * per * d3


@njit(**options)
def complete(w, n, width, nl, c):
    """What needs no table, apart from it so that it runs in vector registers: saturation, temperature, run-off."""
    s = U(len(width))
    cw = c[WATER_HEAT]
    # permeability goes with absolute temperature to a power; resistance with its inverse, to second order
    first, second = c[EXPONENT], 0.5 * c[EXPONENT] * (c[EXPONENT] + 1.0)
    for i in range(ONE, n + ONE):
        o = i * ROW * s
        for j in range(nl):
            temperature = w[o + T * s + j]
            phi = w[o + P * s + j]
            sat, slope = saturation(temperature)
            w[o + P * s + j] = phi * sat
            w[o + PT * s + j] = phi * slope
            w[o + PX * s + j] = w[o + PX * s + j] * sat
            y = (temperature + (KELVIN - T_REF)) * (1.0 / T_REF)
            factor = 1.0 - first * y + second * y * y
            z = w[o + Z * s + j]
            w[o + Z * s + j] = z * factor
            w[o + ZT * s + j] = z * (2 * second * y - first) * (1.0 / T_REF)
            w[o + ZX * s + j] = w[o + ZX * s + j] * factor
            excess = w[o + M * s + j] - w[o + FULL * s + j]
            over = w[o + SPILL * s + j] if excess > 0.0 else 0.0
            drain = -over * excess
            heat = cw * temperature
            w[o + SM * s + j] = drain
            w[o + SMT * s + j] = 0.0
            w[o + SMX * s + j] = -over * w[o + MX * s + j]
            w[o + SE * s + j] = drain * heat
            w[o + SET * s + j] = drain * cw
            w[o + SEX * s + j] = -over * w[o + MX * s + j] * heat


@njit(**options)
def faces(w, n, width, nl, c):
    """Moisture and heat flux between neighboring cells, and their slopes."""
    s = U(len(width))
    latent, cw = c[LATENT], c[WATER_HEAT]
    for i in range(ONE, n):
        o = i * ROW * s
        b = o + ROW * s
        for j in range(nl):
            kv = 1.0 / (w[o + Z * s + j] + w[o + ZED * s + j] + w[b + Z * s + j])
            v = kv * (w[o + P * s + j] - w[b + P * s + j])
            vk = v * kv
            vta = kv * w[o + PT * s + j] - vk * w[o + ZT * s + j]
            vxa = kv * w[o + PX * s + j] - vk * w[o + ZX * s + j]
            vtb = -kv * w[b + PT * s + j] - vk * w[b + ZT * s + j]
            vxb = -kv * w[b + PX * s + j] - vk * w[b + ZX * s + j]
            liq = w[o + LIQ * s + j]
            g = v + liq * (w[o + F * s + j] - w[b + F * s + j])
            gxa = vxa + liq * w[o + FX * s + j]
            gxb = vxb - liq * w[b + FX * s + j]
            ta, tb = w[o + T * s + j], w[b + T * s + j]
            kh = 1.0 / (w[o + H * s + j] + w[o + RES * s + j] + w[b + H * s + j])
            q = kh * (ta - tb)
            qk = q * kh
            heat = cw * 0.5 * (ta + tb)
            half = 0.5 * cw * g
            w[o + G * s + j] = g
            w[o + GTA * s + j] = vta
            w[o + GXA * s + j] = gxa
            w[o + GTB * s + j] = vtb
            w[o + GXB * s + j] = gxb
            w[o + Q * s + j] = q + latent * v + heat * g
            w[o + QTA * s + j] = kh + (latent + heat) * vta + half
            w[o + QXA * s + j] = -qk * w[o + HX * s + j] + latent * vxa + heat * gxa
            w[o + QTB * s + j] = -kh + (latent + heat) * vtb + half
            w[o + QXB * s + j] = -qk * w[b + HX * s + j] + latent * vxb + heat * gxb


@njit(**options)
def surfaces(w, b, lane, n, width, nl, c):
    """Exterior surface (air, sun and sky in one exchange, rain with run-off) and interior surface."""
    s = U(len(width))
    latent, cw = c[LATENT], c[WATER_HEAT]
    o = ROW * s
    for j in range(nl):
        t = w[o + T * s + j]
        # the skin is the surface: water reaches it as liquid too, so its own vapor resistance has no part
        kv = 1.0 / (1.0 / b[B_OUT * s + j] + w[ZED * s + j])
        v = kv * (b[P_OUT * s + j] - w[o + P * s + j])
        vtb = -kv * w[o + PT * s + j]
        vxb = -kv * w[o + PX * s + j]
        per = 2.0 / w[o + DX * s + j]
        accept = per * (lane[RAIN_POTENTIAL * s + j] - w[o + F * s + j])
        rain = b[RAIN * s + j]
        limited = 1.0 if accept > 0.0 and accept < rain else 0.0
        accept = accept if accept > 0.0 else 0.0
        rain = accept if accept < rain else rain
        rainx = -limited * per * w[o + FX * s + j]
        kh = 1.0 / (1.0 / b[H_OUT * s + j] + w[RES * s + j] + w[o + H * s + j])
        q = kh * (b[T_EQ * s + j] - t)
        heat = latent + cw * t
        rain_heat = cw * b[T_OUT * s + j]
        w[G * s + j] = v + rain
        w[GTA * s + j] = rain  # the exterior row has no unknowns: its places keep the rain for the books
        w[GXA * s + j] = rainx
        w[GTB * s + j] = vtb
        w[GXB * s + j] = vxb + rainx
        w[Q * s + j] = q + heat * v + rain_heat * rain
        w[QTB * s + j] = -kh + heat * vtb + cw * v
        w[QXB * s + j] = -q * kh * w[o + HX * s + j] + heat * vxb + rain_heat * rainx
    o = n * ROW * s
    for j in range(nl):
        t = w[o + T * s + j]
        kv = 1.0 / (1.0 / lane[B_INSIDE * s + j] + w[o + ZED * s + j])
        v = kv * (w[o + P * s + j] - b[P_IN * s + j])
        vta = kv * w[o + PT * s + j]
        vxa = kv * w[o + PX * s + j]
        kh = 1.0 / (1.0 / lane[H_INSIDE * s + j] + w[o + RES * s + j] + w[o + H * s + j])
        q = kh * (t - b[T_IN * s + j])
        heat = latent + cw * t
        w[o + G * s + j] = v
        w[o + GTA * s + j] = vta
        w[o + GXA * s + j] = vxa
        w[o + Q * s + j] = q + heat * v
        w[o + QTA * s + j] = kh + heat * vta + cw * v
        w[o + QXA * s + j] = -q * kh * w[o + HX * s + j] + heat * vxa
        w[o + QTB * s + j] = q  # kept for the books: sensible heat
        w[o + QXB * s + j] = kh
        w[o + GTB * s + j] = -q * kh * w[o + HX * s + j]


@njit(**options)
def contacts(w, tab, mat, contact, width, nl, c):
    """Liquid flux where two materials touch: one suction at the face, both flux potentials differenced across it."""
    s = U(len(width))
    cw = c[WATER_HEAT]
    low, per = c[LOW], c[PER_PIECE]
    for k in range(U(contact.shape[0])):
        for j in range(nl):
            i = contact[k, j]
            if i == U(0):
                continue
            o = i * ROW * s
            b = o + ROW * s
            xa, xb = w[o + X * s + j], w[b + X * s + j]
            ga, gb = 2.0 / w[o + DX * s + j], 2.0 / w[b + DX * s + j]
            # the potential of either material at the moisture coordinate of the other cell
            t = (xb - low) * per
            f = t - np.float64(np.int32(t))
            q = mat[i * s + j] + U(np.int32(t)) * PIECE_SIZE + U(2)
            fab = tab[q] + f * (tab[q + U(4)] + f * (tab[q + U(8)] + f * tab[q + U(12)]))
            sab = per * (tab[q + U(4)] + f * (2 * tab[q + U(8)] + f * 3 * tab[q + U(12)]))
            t = (xa - low) * per
            f = t - np.float64(np.int32(t))
            q = mat[(i + ONE) * s + j] + U(np.int32(t)) * PIECE_SIZE + U(2)
            fba = tab[q] + f * (tab[q + U(4)] + f * (tab[q + U(8)] + f * tab[q + U(12)]))
            sba = per * (tab[q + U(4)] + f * (2 * tab[q + U(8)] + f * 3 * tab[q + U(12)]))
            fa = ga * (w[o + F * s + j] - fab)
            fb = gb * (fba - w[b + F * s + j])
            saa, sbb = w[o + FX * s + j], w[b + FX * s + j]
            total = fa + fb
            if abs(xa - xb) < 1e-7 or abs(total) < 1e-30:
                ka, kb = ga * saa, gb * sbb
                mean = ka * kb / (ka + kb) if ka + kb > 0.0 else 0.0
                liquid, slope_a, slope_b = mean * (xa - xb), mean, -mean
            else:
                liquid = fa * fb / total
                inverse = 1.0 / (total * total)
                slope_a = (fb * fb * ga * saa + fa * fa * gb * sba) * inverse
                slope_b = -(fb * fb * ga * sab + fa * fa * gb * sbb) * inverse
            mean_t = 0.5 * (w[o + T * s + j] + w[b + T * s + j])
            w[o + G * s + j] += liquid
            w[o + GXA * s + j] += slope_a
            w[o + GXB * s + j] += slope_b
            w[o + Q * s + j] += cw * mean_t * liquid
            w[o + QTA * s + j] += 0.5 * cw * liquid
            w[o + QTB * s + j] += 0.5 * cw * liquid
            w[o + QXA * s + j] += cw * mean_t * slope_a
            w[o + QXB * s + j] += cw * mean_t * slope_b


@njit(**options)
def sources(w, b, air_row, air_rate, from_inside, wet_row, wet_share, width, nl, c):
    """Air exchanged with outside or room, and water deposited, in single cells; row 0 is the place of 'none'."""
    s = U(len(width))
    latent, cw = c[LATENT], c[WATER_HEAT]
    for k in range(U(air_row.shape[0])):
        inside = from_inside[k]
        for j in range(nl):
            o = air_row[k, j] * ROW * s
            rate = air_rate[k, j] * (b[AIR_IN * s + j] if inside else b[AIR_OUT * s + j])
            air_p = b[P_IN * s + j] if inside else b[P_OUT * s + j]
            air_t = b[T_IN * s + j] if inside else b[T_OUT * s + j]
            t = w[o + T * s + j]
            kv = rate * c[AIR_MOISTURE]
            v = kv * (air_p - w[o + P * s + j])
            vt, vx = -kv * w[o + PT * s + j], -kv * w[o + PX * s + j]
            heat = latent + cw * t
            w[o + SM * s + j] += v
            w[o + SMT * s + j] += vt
            w[o + SMX * s + j] += vx
            w[o + SE * s + j] += rate * c[AIR_HEAT] * (air_t - t) + heat * v
            w[o + SET * s + j] += -rate * c[AIR_HEAT] + heat * vt + cw * v
            w[o + SEX * s + j] += heat * vx
    for k in range(U(wet_row.shape[0])):
        for j in range(nl):
            o = wet_row[k, j] * ROW * s
            mass = wet_share[k, j] * b[DEPOSIT * s + j]
            w[o + SM * s + j] += mass
            w[o + SE * s + j] += mass * cw * b[T_OUT * s + j]


@njit(**options)
def solve(w, dt, n, width, nl, c):
    """One Newton update: forward elimination of 2 x 2 blocks fused with their assembly, then back substitution."""
    s = U(len(width))
    cw = c[WATER_HEAT]
    for i in range(ONE, n + ONE):
        o = i * ROW * s
        a = o - ROW * s
        for j in range(nl):
            m, mx, t = w[o + M * s + j], w[o + MX * s + j], w[o + T * s + j]
            cap = w[o + CAP * s + j]
            r1 = w[o + RM * s + j] - m + dt * (w[a + G * s + j] - w[o + G * s + j] + w[o + SM * s + j])
            r2 = (w[o + RE * s + j] - (cap + cw * m) * t
                  + dt * (w[a + Q * s + j] - w[o + Q * s + j] + w[o + SE * s + j]))  # fmt: skip
            d11 = dt * (w[o + GTA * s + j] - w[a + GTB * s + j] - w[o + SMT * s + j])
            d12 = mx + dt * (w[o + GXA * s + j] - w[a + GXB * s + j] - w[o + SMX * s + j])
            d21 = cap + cw * m + dt * (w[o + QTA * s + j] - w[a + QTB * s + j] - w[o + SET * s + j])
            d22 = cw * t * mx + dt * (w[o + QXA * s + j] - w[a + QXB * s + j] - w[o + SEX * s + j])
            a11, a12 = -dt * w[a + GTA * s + j], -dt * w[a + GXA * s + j]
            a21, a22 = -dt * w[a + QTA * s + j], -dt * w[a + QXA * s + j]
            u11, u12, u21, u22 = w[a + U11 * s + j], w[a + U12 * s + j], w[a + U21 * s + j], w[a + U22 * s + j]
            y1, y2 = w[a + Y1 * s + j], w[a + Y2 * s + j]
            d11 -= a11 * u11 + a12 * u21
            d12 -= a11 * u12 + a12 * u22
            d21 -= a21 * u11 + a22 * u21
            d22 -= a21 * u12 + a22 * u22
            r1 -= a11 * y1 + a12 * y2
            r2 -= a21 * y1 + a22 * y2
            inverse = 1.0 / (d11 * d22 - d12 * d21)
            c11, c12 = dt * w[o + GTB * s + j], dt * w[o + GXB * s + j]
            c21, c22 = dt * w[o + QTB * s + j], dt * w[o + QXB * s + j]
            w[o + U11 * s + j] = inverse * (d22 * c11 - d12 * c21)
            w[o + U12 * s + j] = inverse * (d22 * c12 - d12 * c22)
            w[o + U21 * s + j] = inverse * (d11 * c21 - d21 * c11)
            w[o + U22 * s + j] = inverse * (d11 * c22 - d21 * c12)
            w[o + Y1 * s + j] = inverse * (d22 * r1 - d12 * r2)
            w[o + Y2 * s + j] = inverse * (d11 * r2 - d21 * r1)
    o = n * ROW * s
    for j in range(nl):
        w[o + DT * s + j] = w[o + Y1 * s + j]
        w[o + DX_ * s + j] = w[o + Y2 * s + j]
    for k in range(ONE, n):
        o = (n - k) * ROW * s
        b = o + ROW * s
        for j in range(nl):
            dt_, dx_ = w[b + DT * s + j], w[b + DX_ * s + j]
            w[o + DT * s + j] = w[o + Y1 * s + j] - w[o + U11 * s + j] * dt_ - w[o + U12 * s + j] * dx_
            w[o + DX_ * s + j] = w[o + Y2 * s + j] - w[o + U21 * s + j] * dt_ - w[o + U22 * s + j] * dx_


@njit(**options)
def advance(w, worst, n, width, nl, c):
    """Add the update, each cell limited by itself; `worst` becomes the largest update in units of its tolerance."""
    s = U(len(width))
    per_t, per_p, per_m = 1.0 / c[TOL_T], 1.0 / c[TOL_P], 1.0 / c[TOL_M]
    low, high = c[LOW] + 1e-9, c[HIGH] - 1e-9
    for j in range(nl):
        worst[j] = 0.0
    for i in range(ONE, n + ONE):
        o = i * ROW * s
        for j in range(nl):
            dt, dx = w[o + DT * s + j], w[o + DX_ * s + j]
            et = abs(dt) * per_t
            ep = abs(w[o + PT * s + j] * dt + w[o + PX * s + j] * dx) * per_p
            # a cell that holds next to nothing (air) is held to a share of it, or what it carries on turns negative
            dm = abs(w[o + MX * s + j] * dx)
            em = dm * per_m
            share = 20.0 * dm / w[o + M * s + j]
            em = em if em > share else share
            e = et if et > ep else ep
            e = e if e > em else em
            lt = w[o + LT * s + j]
            lx = w[o + LX * s + j]
            lt = 0.5 * lt if dt * w[o + OT * s + j] < 0.0 else 1.5 * lt
            lx = 0.5 * lx if dx * w[o + OX * s + j] < 0.0 else 1.5 * lx
            lt = lt if lt < c[LIMIT_T] else c[LIMIT_T]
            lx = lx if lx < c[LIMIT_X] else c[LIMIT_X]
            w[o + LT * s + j] = lt if lt > 0.05 else 0.05
            w[o + LX * s + j] = lx if lx > 1e-3 else 1e-3
            w[o + OT * s + j] = dt
            w[o + OX * s + j] = dx
            bt = dt if dt < lt else lt
            bt = bt if bt > -lt else -lt
            bx = dx if dx < lx else lx
            bx = bx if bx > -lx else -lx
            cut = e >= 1.0 and (bt != dt or bx != dx)  # a limited update foretells nothing
            e = e if not cut or e > 1e3 else 1e3
            worst[j] = worst[j] if worst[j] > e else e
            x = w[o + X * s + j] + bx
            x = x if x > low else low
            w[o + X * s + j] = x if x < high else high
            w[o + TK * s + j] = w[o + T * s + j]
            w[o + T * s + j] = w[o + T * s + j] + bt


@njit(**options)
def newton(w, tab, mat, b, lane, contact, air_row, air_rate, from_inside, wet_row, wet_share, worst, before, bend, dt,
           n, width, nl, c):  # fmt: skip
    """Solve one stage; the number of solves, or 0 if it did not converge."""
    s = U(len(width))
    for i in range(ONE, n + ONE):
        o = i * ROW * s
        for j in range(nl):
            w[o + LT * s + j] = c[LIMIT_T]
            w[o + LX * s + j] = c[LIMIT_X]
            w[o + OT * s + j] = 0.0
            w[o + OX * s + j] = 0.0
    for turn in range(PATIENT_ITERATIONS if dt < PATIENT_STEP else MOST_ITERATIONS):
        evaluate(w, tab, mat, n, width, nl, c)
        complete(w, n, width, nl, c)
        faces(w, n, width, nl, c)
        surfaces(w, b, lane, n, width, nl, c)
        contacts(w, tab, mat, contact, width, nl, c)
        sources(w, b, air_row, air_rate, from_inside, wet_row, wet_share, width, nl, c)
        solve(w, dt, n, width, nl, c)
        advance(w, worst, n, width, nl, c)
        done = True
        for j in range(nl):
            # the update of the first cell carries any not-a-number back from the whole lane
            first = w[ROW * s + DT * s + j] + w[ROW * s + DX_ * s + j]
            if not np.isfinite(first):
                return 0
            # Newton updates shrink with the square of the last one; the factor is learned as the run goes
            e = worst[j]
            if turn > 0:
                falling = e / before[j]
                bend[j] = max(e / (before[j] * before[j]), 0.9 * bend[j])
                small = falling < c[FALLING] and e * falling < 1.0 and e < 10.0
            else:
                small = e < c[FORETOLD] and bend[j] * e * e < 0.5
            done = done and (e < 1.0 or small)
            before[j] = e
        if done:
            return turn + 1
    return 0


@njit(**options)
def book(w, b, lane, air_row, air_rate, from_inside, wet_row, wet_share, flux, n, width, nl, c):
    """Rates of the stage just solved, from the linearisation that solved it. [kg/(m²·s)], [W/m²]"""
    s = U(len(width))
    first, last = ROW * s, n * ROW * s
    for j in range(nl):
        dt, dx = w[first + DT * s + j], w[first + DX_ * s + j]
        taken = w[GTA * s + j] + w[GXA * s + j] * dx
        flux[RAIN_TAKEN * s + j] = taken
        flux[RAIN_OFFERED * s + j] = b[RAIN * s + j]
        flux[VAPOR_OUTSIDE * s + j] = w[G * s + j] + w[GTB * s + j] * dt + w[GXB * s + j] * dx - taken
        flux[HEAT_OUTSIDE * s + j] = w[Q * s + j] + w[QTB * s + j] * dt + w[QXB * s + j] * dx
        dt, dx = w[last + DT * s + j], w[last + DX_ * s + j]
        flux[VAPOR_INSIDE * s + j] = -(w[last + G * s + j] + w[last + GTA * s + j] * dt + w[last + GXA * s + j] * dx)
        flux[HEAT_INSIDE * s + j] = -(w[last + Q * s + j] + w[last + QTA * s + j] * dt + w[last + QXA * s + j] * dx)
        flux[SENSIBLE_INSIDE * s + j] = -(
            w[last + QTB * s + j] + w[last + QXB * s + j] * dt + w[last + GTB * s + j] * dx
        )
        flux[AIR_FROM_OUTSIDE * s + j] = 0.0
        flux[AIR_FROM_INSIDE * s + j] = 0.0
        flux[DEPOSITED * s + j] = 0.0
        flux[DRAINED * s + j] = 0.0
        flux[HEAT_SOURCES * s + j] = 0.0
    for k in range(U(air_row.shape[0])):
        place = AIR_FROM_INSIDE if from_inside[k] else AIR_FROM_OUTSIDE
        for j in range(nl):
            if air_row[k, j] == U(0):
                continue
            o = air_row[k, j] * ROW * s
            rate = air_rate[k, j] * (b[AIR_IN * s + j] if from_inside[k] else b[AIR_OUT * s + j])
            air_p = b[P_IN * s + j] if from_inside[k] else b[P_OUT * s + j]
            p = w[o + P * s + j] + w[o + PT * s + j] * w[o + DT * s + j] + w[o + PX * s + j] * w[o + DX_ * s + j]
            flux[place * s + j] += rate * c[AIR_MOISTURE] * (air_p - p)
    for k in range(U(wet_row.shape[0])):
        for j in range(nl):
            if wet_row[k, j] > U(0):
                flux[DEPOSITED * s + j] += wet_share[k, j] * b[DEPOSIT * s + j]
    for i in range(ONE, n + ONE):
        o = i * ROW * s
        for j in range(nl):
            dt, dx = w[o + DT * s + j], w[o + DX_ * s + j]
            flux[DRAINED * s + j] -= w[o + SM * s + j] + w[o + SMT * s + j] * dt + w[o + SMX * s + j] * dx
            flux[HEAT_SOURCES * s + j] += w[o + SE * s + j] + w[o + SET * s + j] * dt + w[o + SEX * s + j] * dx
    for j in range(nl):
        flux[DRAINED * s + j] += (
            flux[AIR_FROM_OUTSIDE * s + j] + flux[AIR_FROM_INSIDE * s + j] + flux[DEPOSITED * s + j]
        )


@njit(**options)
def substep(w, tab, mat, b, b0, b1, lane, contact, air_row, air_rate, from_inside, wet_row, wet_share, worst,
            before, bend, fluxes, booked, position, share, restart, n, width, nl, c):  # fmt: skip
    """Two implicit stages over `share` of the hour; solves used, or 0 if a stage did not converge.

    Restart: SDIRK2 (no rate needed from before). Otherwise TR-BDF2, whose first stage uses the rate at the start.
    Both are of second order, L-stable, and solve with the same step gamma·dt.
    """
    s = U(len(width))
    cw = c[WATER_HEAT]
    dt = share * c[HOUR]
    gdt = GAMMA * dt
    explicit = 0.0 if restart else GAMMA * dt
    where = GAMMA if restart else 2 * GAMMA
    weight0 = 0.0 if restart else 0.25 * np.sqrt(2.0)
    weight1 = 1 - GAMMA if restart else 0.25 * np.sqrt(2.0)
    solves = 0
    for stage in range(2):
        at = position + share * (where if stage == 0 else 1.0)
        for k in range(FORCING * s):
            b[k] = b0[k] + at * (b1[k] - b0[k])
        for i in range(ONE, n + ONE):
            o = i * ROW * s
            if stage == 0:
                for j in range(nl):
                    w[o + RM * s + j] = w[o + M0 * s + j] + explicit * w[o + KM0 * s + j]
                    w[o + RE * s + j] = w[o + E0 * s + j] + explicit * w[o + KE0 * s + j]
            else:
                for j in range(nl):
                    w[o + RM * s + j] = w[o + M0 * s + j] + dt * (
                        weight0 * w[o + KM0 * s + j] + weight1 * w[o + KM1 * s + j]
                    )
                    w[o + RE * s + j] = w[o + E0 * s + j] + dt * (
                        weight0 * w[o + KE0 * s + j] + weight1 * w[o + KE1 * s + j]
                    )
        used = newton(w, tab, mat, b, lane, contact, air_row, air_rate, from_inside, wet_row, wet_share, worst, before,
                      bend, gdt, n, width, nl, c)  # fmt: skip
        if used == 0:
            return 0
        solves += used
        book(w, b, lane, air_row, air_rate, from_inside, wet_row, wet_share, fluxes[stage + 1], n, width, nl, c)
        rm, re = (KM1, KE1) if stage == 0 else (KM0, KE0)
        for i in range(ONE, n + ONE):
            o = i * ROW * s
            for j in range(nl):
                d_t, d_x = w[o + DT * s + j], w[o + DX_ * s + j]
                m, mx = w[o + M * s + j], w[o + MX * s + j]
                t = w[o + TK * s + j]
                cap = w[o + CAP * s + j] + cw * m
                mass = m + mx * d_x
                heat = cap * t + cap * d_t + cw * t * mx * d_x
                w[o + rm * s + j] = (mass - w[o + RM * s + j]) / gdt
                w[o + re * s + j] = (heat - w[o + RE * s + j]) / gdt
                if stage == 1:
                    w[o + M0 * s + j] = mass
                    w[o + E0 * s + j] = heat
                else:
                    # a straight line through start and first stage guesses the second
                    ahead = 1.0 / where
                    x = w[o + XS * s + j] + ahead * (w[o + X * s + j] - w[o + XS * s + j])
                    x = x if x > c[LOW] + 1e-9 else c[LOW] + 1e-9
                    top = w[o + X * s + j] if w[o + X * s + j] > 1.0 else 1.0
                    w[o + X * s + j] = x if x < top else top
                    w[o + T * s + j] = w[o + TS * s + j] + ahead * (w[o + T * s + j] - w[o + TS * s + j])
    for k in range(BOOKS * s):
        booked[k] += dt * (weight0 * fluxes[0, k] + weight1 * fluxes[1, k] + GAMMA * fluxes[2, k])
        fluxes[0, k] = fluxes[2, k]
    return solves


@njit(**options)
def march(w, tab, mat, forcing, lane, contact, air_row, air_rate, from_inside, wet_row, wet_share, probe, span,
          out_t, out_phi, out_w, out_mass, out_books, failed, steps, n, width, nl, c):  # fmt: skip
    """All hours. Returns solves used; `failed` becomes (1, hour, row, lane) if the smallest step did not converge."""
    s = U(len(width))
    b = np.zeros(FORCING * s)
    worst, last, bend = np.zeros(s), np.zeros(s), np.ones(s)
    fluxes = np.zeros((3, BOOKS * s))
    booked = np.zeros(BOOKS * s)
    total = 0
    share, before = c[START], 1.0
    restart = share > 0.0  # yes; a plain True has a type of its own and would compile `substep` twice
    hours = forcing.shape[0]
    for step in range(steps):
        b0, b1 = forcing[step % hours], forcing[(step + 1) % hours]
        position = 0.0
        booked[:] = 0.0
        while position < 1.0 - 1e-12:
            most = 1.0
            for j in range(nl):
                most = c[RAIN_STEP] if b0[RAIN * s + j] + b1[RAIN * s + j] > 0.0 else most
            share = min(share, most, 1.0 - position)
            ratio = 2 * GAMMA * share / before
            for i in range(ONE, n + ONE):
                o = i * ROW * s
                for j in range(nl):
                    t, x = w[o + T * s + j], w[o + X * s + j]
                    tp, xp = w[o + TP * s + j], w[o + XP * s + j]
                    w[o + TS * s + j] = t
                    w[o + XS * s + j] = x
                    if not restart:
                        guess = x + ratio * (x - xp)
                        guess = guess if guess > c[LOW] + 1e-9 else c[LOW] + 1e-9
                        top = x if x > 1.0 else 1.0  # a guess does not over-fill pores
                        w[o + X * s + j] = guess if guess < top else top
                        w[o + T * s + j] = t + ratio * (t - tp)
            used = substep(w, tab, mat, b, b0, b1, lane, contact, air_row, air_rate, from_inside, wet_row, wet_share,
                           worst, last, bend, fluxes, booked, position, share, restart, n, width, nl, c)  # fmt: skip
            if used == 0:
                total += MOST_ITERATIONS
                if share <= c[SMALLEST]:
                    failed[0], failed[1] = 1, step
                    largest = -1.0
                    for i in range(ONE, n + ONE):
                        o = i * ROW * s
                        for j in range(nl):
                            size = abs(w[o + DT * s + j]) + abs(w[o + DX_ * s + j])
                            if size > largest or not np.isfinite(size):
                                largest = size
                                failed[2], failed[3] = np.int64(i), np.int64(j)
                    return total
                for i in range(ONE, n + ONE):
                    o = i * ROW * s
                    for j in range(nl):
                        w[o + T * s + j] = w[o + TS * s + j]
                        w[o + X * s + j] = w[o + XS * s + j]
                share = 0.5 * share
                restart = share > 0.0
                continue
            total += used
            position += share
            before = share
            share = min(1.0, 2 * share)
            restart = c[SECOND_ORDER] < 0.5
            for i in range(ONE, n + ONE):
                o = i * ROW * s
                for j in range(nl):
                    w[o + TP * s + j] = w[o + TS * s + j]
                    w[o + XP * s + j] = w[o + XS * s + j]
        share = 1.0  # the next hour tries the whole of it again
        for j in range(nl):
            for k in range(U(probe.shape[0])):
                o = probe[k, j] * ROW * s
                t = (w[o + X * s + j] - c[LOW]) * c[PER_PIECE]
                f = t - np.float64(np.int32(t))
                q = mat[probe[k, j] * s + j] + U(np.int32(t)) * PIECE_SIZE
                out_t[step, k, j] = w[o + T * s + j]
                out_w[step, k, j] = tab[q] + f * (tab[q + U(4)] + f * (tab[q + U(8)] + f * tab[q + U(12)]))
                q += ONE
                out_phi[step, k, j] = tab[q] + f * (tab[q + U(4)] + f * (tab[q + U(8)] + f * tab[q + U(12)]))
            for k in range(U(span.shape[0])):
                mass = 0.0
                for i in range(span[k, 0, j], span[k, 1, j]):
                    mass += w[i * ROW * s + M0 * s + j]
                out_mass[step, k, j] = mass
            for k in range(BOOKS):
                out_books[step, k, j] = booked[k * s + j]
    return total
