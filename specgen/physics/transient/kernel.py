"""The compiled loops: arrays in, arrays out; one march through the hours for four lanes side by side.

A lane is one wall, or one orientation of it; all lanes have the same number of cells, and every quantity is four lanes
wide (`lanes.py`), so that the code below reads as that of one wall. Row 0 of the workspace stands for the outside air,
rows 1 to n for the cells, exterior first; the face to the right of a row belongs to it, so the face of row 0 is the
exterior surface and that of row n the interior one.

A Newton solve is two passes. `forward` evaluates a cell, joins it to the one before, and eliminates that one: what
two neighbors share stays in registers. `backward` finds the update, adds it and measures it. The moisture coordinate
is counted in pieces of the tables here, so that its whole part is the piece and slopes need no scaling.

One file on purpose: the cache of compiled code is renewed when this file changes, not when another one does, so no
constant of another module may be frozen in here. Temperatures are in °C; `w`, `tab` and the rest are flat or small
arrays packed by `run.py`.
"""

# mypy: disable-error-code="no-untyped-def, no-untyped-call, misc"

from __future__ import annotations

from typing import Any

import numpy as np
from numba import njit

from specgen.physics.transient.lanes import (
    any_positive,
    lane,
    least,
    magnitude,
    most,
    piece,
    put,
    put_from,
    spread,
    take,
    where_negative,
)  # fmt: skip

LANES_VERSION = 1  # of `lanes.py`, which the cache of compiled code does not watch
LANES = 4

# Quantities of a row: fixed (AIR_OUTSIDE, AIR_INSIDE: flow exchanged; WETTED: share of the deposit; CONTACT: 1 or 0)
CAP, DX, FULL, LIQ, RES, ZED, SPILL, AIR_OUTSIDE, AIR_INSIDE, WETTED, CONTACT = range(11)
# ... state, its rates, and the right-hand sides of the stage
T, X, M0, E0, KM0, KE0, KM1, KE1, TS, XS, RM, RE = range(11, 23)
# ... kept of the last evaluation, with the slopes to temperature and to the coordinate; sources only in `active` rows
M, MX, PT, PX, P, SM, SMT, SMX, SE, SET, SEX = range(23, 34)
# ... eliminated rows, update, and limits of the update
U11, U12, U21, U22, Y1, Y2, DT, DX_, LT, LX = range(34, 44)
ROW = 44

# Kept of the two surfaces for the books: flux and slopes, in a block of their own
(
    OUT_G, OUT_GT, OUT_GX, OUT_Q, OUT_QT, OUT_QX, TAKEN, TAKEN_X,
    IN_G, IN_GT, IN_GX, IN_Q, IN_QT, IN_QX, DRY_Q, DRY_QT, DRY_QX,
) = range(17)  # fmt: skip
EDGE = 17

# Forcing of one instant
T_EQ, T_OUT, P_OUT, H_OUT, B_OUT, RAIN, DEPOSIT, AIR_OUT, AIR_IN, T_IN, P_IN = range(11)
FORCING = 11

# Constant in time: interior film and transfer, rain potential of the first layer
H_INSIDE, B_INSIDE, RAIN_POTENTIAL = range(3)
LANE_CONSTANTS = 3

# Booked per hour
(VAPOR_OUTSIDE, RAIN_TAKEN, VAPOR_INSIDE, AIR_FROM_OUTSIDE, AIR_FROM_INSIDE, DEPOSITED, DRAINED, RAIN_OFFERED,
 HEAT_OUTSIDE, HEAT_INSIDE, HEAT_SOURCES, SENSIBLE_INSIDE) = range(12)  # fmt: skip
BOOKS = 12

# What a row needs beside its own storage, in `kinds`
SOURCE, TOUCHING = 1, 2

# Numbers of the scheme, in one vector, in the order of `run.Scheme.vector`
(
    LATENT, WATER_HEAT, AIR_HEAT, AIR_MOISTURE, EXPONENT, TOL_T, TOL_P, TOL_M, LIMIT_T, LIMIT_X, LAST,
    FREE, START, SMALLEST, SECOND_ORDER, HOUR, FALLING, FORETOLD, RAIN_STEP,
) = range(19)  # fmt: skip

FIRST = 1e-6  # lowest place in the tables
PIECE_SIZE = 16  # coefficients of a table piece; `run` checks it against `tables`
MOST_ITERATIONS, PATIENT_ITERATIONS = 14, 40  # the latter in steps under PATIENT_STEP
PATIENT_STEP = 200.0  # [s]
CALM = 1  # solve of a stage from which on every cell has limits of its own
GAMMA = 1 - np.sqrt(0.5)
KELVIN = 273.15
T_REF = 293.15

options: dict[str, Any] = {
    "error_model": "numpy", "boundscheck": False, "fastmath": {"contract"},
    "no_cpython_wrapper": True, "no_cfunc_wrapper": True,  # called from compiled code only
}  # fmt: skip
# A function that calls large ones and is called once becomes part of its caller: else all that it calls would be
# compiled anew with it.
within: dict[str, Any] = {**options, "inline": "always"}
entry: dict[str, Any] = {**options, "no_cpython_wrapper": False, "cache": True}


@njit(**options)
def evaluate(w, tab, mat, i, c):
    """A cell's temperature, coordinate and width, and with slopes: stored water, vapor pressure, liquid potential, half
    resistances to vapor and heat."""
    o = i * ROW
    # permeability goes with absolute temperature to a power; resistance with its inverse, to second order
    first, second = c[EXPONENT], 0.5 * c[EXPONENT] * (c[EXPONENT] + 1.0)
    x, t, dx = take(w, o + X), take(w, o + T), take(w, o + DX)
    f, m0, p0, f0, z0, m1, p1, f1, z1, m2, p2, f2, h0, m3, p3, f3, h1 = piece(tab, mat, i, x)
    s1 = m2 + f * m3
    s2 = m1 + f * s1
    m, mx = dx * (m0 + f * s2), dx * (s2 + f * (s1 + f * m3))
    s1 = p2 + f * p3
    s2 = p1 + f * s1
    humidity, humidity_x = p0 + f * s2, s2 + f * (s1 + f * p3)
    s1 = f2 + f * f3
    s2 = f1 + f * s1
    liquid, liquid_x = f0 + f * s2, s2 + f * (s1 + f * f3)
    half = 0.5 * dx
    h, hx = half * (h0 + f * h1), half * h1
    # Saturation pressure over water or ice, ISO 13788:2012 (confirmed, secondary). The exponential is a 64th power
    # of a short series; relative error below 1e-9 from -60 to 100 °C.
    slope = where_negative(t, spread(21.875), spread(17.269))
    base = where_negative(t, spread(265.5), spread(237.3))
    inverse = 1.0 / (base + t)
    slope = slope * inverse
    r = slope * t * (1.0 / 64.0)
    q = r * r
    e = (1.0 + r) + q * ((1 / 2 + r * (1 / 6)) + q * ((1 / 24 + r * (1 / 120)) + q * (1 / 720 + r * (1 / 5040))))
    e = e * e
    e = e * e
    e = e * e
    e = e * e
    e = e * e
    e = e * e
    saturation = 610.5 * e
    p, px = humidity * saturation, humidity_x * saturation
    pt = p * slope * base * inverse
    y = t * (1.0 / T_REF) + (KELVIN - T_REF) / T_REF
    factor = half * (1.0 + y * (second * y - first))
    z = z0 + f * z1
    zt = half * z * ((2.0 * second / T_REF) * y - first / T_REF)
    z, zx = z * factor, z1 * factor
    put(w, o + M, m)
    put(w, o + MX, mx)
    put(w, o + PT, pt)
    put(w, o + PX, px)
    return t, x, dx, m, mx, p, pt, px, liquid, liquid_x, z, zt, zx, h, hx


@njit(**options)
def forward(w, tab, mat, kinds, active, b, fixed, edge, dt, n, c):
    """Evaluate every cell, assemble its balances and eliminate downward: 2 x 2 blocks, exterior first."""
    latent, cw = c[LATENT], c[WATER_HEAT]
    per = 1.0 / dt
    zero = spread(0.0)
    # of the cell before: temperature, coordinate, width, vapor pressure, liquid potential, half resistances, slopes
    ta = xa = dxa = pa = pta = pxa = fa = fxa = za = zta = zxa = ha = hxa = zero
    # its balances as far as assembled
    r1 = r2 = d11 = d12 = d21 = d22 = zero
    ahead = evaluate(w, tab, mat, min(1, n), c)  # a plain 1 has a type of its own and would compile a second copy
    for i in range(1, n + 1):
        o = i * ROW
        a = o - ROW
        t, x, dx, m, mx, pb, ptb, pxb, fb, fxb, zb, ztb, zxb, hb, hxb = ahead
        # the next cell is evaluated first: nothing below waits for it, so the processor works on both at once
        ahead = evaluate(w, tab, mat, min(i + 1, n), c)
        if i == 1:
            # The skin is the surface: water reaches it as liquid too, so its own vapor resistance has no part. Air,
            # sun and sky are one exchange; rain beyond what the cell can take runs off.
            kv = 1.0 / (1.0 / take(b, B_OUT) + take(w, ZED))
            v = kv * (take(b, P_OUT) - pb)
            vtb, vxb = -kv * ptb, -kv * pxb
            offered = take(b, RAIN)
            half = 0.5 * dx
            accept = (take(fixed, RAIN_POTENTIAL) - fb) / half
            held = least(most(accept, zero), offered)
            # The slope counts where the cell limits: 0 < accept < offered. A guess stands at free saturation, where
            # accept is nothing but round-off; it counts there too, or the solve begins blind.
            edge_slope = where_negative(accept - offered, fxb / half, zero)
            limits = where_negative(-accept - 0.01 * offered, edge_slope, zero)
            kh = 1.0 / (1.0 / take(b, H_OUT) + take(w, RES) + hb)
            dry = kh * (take(b, T_EQ) - t)
            heat = latent + cw * t
            rain_heat = cw * take(b, T_OUT)
            g, q = v + held, dry + heat * v + rain_heat * held
            gtb, gxb = vtb, vxb - limits
            qtb, qxb = heat * vtb + cw * v - kh, heat * vxb - rain_heat * limits - dry * kh * hxb
            gta = gxa = qta = qxa = zero
            u11 = u12 = u21 = u22 = y1 = y2 = zero
            put(edge, OUT_G, g)
            put(edge, OUT_GT, gtb)
            put(edge, OUT_GX, gxb)
            put(edge, OUT_Q, q)
            put(edge, OUT_QT, qtb)
            put(edge, OUT_QX, qxb)
            put(edge, TAKEN, held)
            put(edge, TAKEN_X, -limits)
        else:
            rv = za + take(w, a + ZED) + zb
            rh = ha + take(w, a + RES) + hb
            both = 1.0 / (rv * rh)  # one division for two
            kv, kh = rh * both, rv * both
            v = kv * (pa - pb)
            vta, vtb = kv * (pta - v * zta), -kv * (ptb + v * ztb)
            vxa, vxb = kv * (pxa - v * zxa), -kv * (pxb + v * zxb)
            liquid = take(w, a + LIQ)
            g = v + liquid * (fa - fb)
            gxa, gxb = vxa + liquid * fxa, vxb - liquid * fxb
            if kinds[i - 1] & TOUCHING:
                # two materials touch: one suction at the face, both flux potentials differenced across it
                ga, gb = 2.0 / dxa, 2.0 / dx
                k, _, _, k0, _, _, _, k1, _, _, _, k2, _, _, _, k3, _ = piece(tab, mat, i - 1, x)
                fab, sab = k0 + k * (k1 + k * (k2 + k * k3)), k1 + k * (2.0 * k2 + k * (3.0 * k3))
                k, _, _, k0, _, _, _, k1, _, _, _, k2, _, _, _, k3, _ = piece(tab, mat, i, xa)
                fba, sba = k0 + k * (k1 + k * (k2 + k * k3)), k1 + k * (2.0 * k2 + k * (3.0 * k3))
                near_a, near_b = ga * (fa - fab), gb * (fba - fb)
                total = near_a + near_b
                ka, kb = ga * fxa, gb * fxb
                mean = ka * kb / (ka + kb + 1e-300)
                inverse = 1.0 / where_negative(magnitude(total) - 1e-30, spread(1.0), total)
                share_a, share_b = near_a * inverse, near_b * inverse
                alike = where_negative(magnitude(xa - x) - 1e-5, spread(-1.0), magnitude(total) - 1e-30)
                there = take(w, a + CONTACT)
                more = there * where_negative(alike, mean * (xa - x), near_a * share_b)
                g = g + more
                gxa = gxa + there * where_negative(alike, mean, share_b * share_b * ka + share_a * share_a * gb * sba)
                gxb = gxb - there * where_negative(alike, mean, share_b * share_b * ga * sab + share_a * share_a * kb)
            carried = 0.5 * cw * g
            heat = 0.5 * cw * (ta + t)
            dry = kh * (ta - t)
            q = dry + latent * v + heat * g
            qta, qtb = kh + (latent + heat) * vta + carried, (latent + heat) * vtb + carried - kh
            dry = dry * kh
            qxa = latent * vxa + heat * gxa - dry * hxa
            qxb = latent * vxb + heat * gxb - dry * hxb
            gta, gtb = vta, vtb
            # the face completes the cell before, which is eliminated
            d11, d12, d21, d22 = d11 + gta, d12 + gxa, d21 + qta, d22 + qxa
            r1, r2 = r1 - g, r2 - q
            inverse = 1.0 / (d11 * d22 - d12 * d21)
            d11, d12, d21, d22 = inverse * d11, inverse * d12, inverse * d21, inverse * d22
            u11, u12 = d22 * gtb - d12 * qtb, d22 * gxb - d12 * qxb
            u21, u22 = d11 * qtb - d21 * gtb, d11 * qxb - d21 * gxb
            y1, y2 = d22 * r1 - d12 * r2, d11 * r2 - d21 * r1
            put(w, a + U11, u11)
            put(w, a + U12, u12)
            put(w, a + U21, u21)
            put(w, a + U22, u22)
            put(w, a + Y1, y1)
            put(w, a + Y2, y2)
        cap = take(w, o + CAP) + cw * m
        hold = mx * per
        r1 = (take(w, o + RM) - m) * per + g + gta * y1 + gxa * y2
        r2 = (take(w, o + RE) - cap * t) * per + q + qta * y1 + qxa * y2
        d11 = gta * u11 + gxa * u21 - gtb
        d12 = hold + gta * u12 + gxa * u22 - gxb
        d21 = cap * per + qta * u11 + qxa * u21 - qtb
        d22 = cw * t * hold + qta * u12 + qxa * u22 - qxb
        excess = m - take(w, o + FULL)
        active[i] = 1 if any_positive(excess) or kinds[i] & SOURCE else 0
        if active[i]:
            # what is over full runs off; air is exchanged with outside or room; water is deposited
            over = take(w, o + SPILL)
            drain = where_negative(-excess, -over * excess, zero)
            drain_x = where_negative(-excess, -over * mx, zero)
            heat = latent + cw * t
            wet = take(w, o + WETTED) * take(b, DEPOSIT)
            sm, smt, smx = drain + wet, zero, drain_x
            se, set_, sex = drain * cw * t + wet * cw * take(b, T_OUT), drain * cw, drain_x * cw * t
            for side in range(2):
                if side == 0:
                    rate, air_t, air_p = take(w, o + AIR_OUTSIDE) * take(b, AIR_OUT), take(b, T_OUT), take(b, P_OUT)
                else:
                    rate, air_t, air_p = take(w, o + AIR_INSIDE) * take(b, AIR_IN), take(b, T_IN), take(b, P_IN)
                kv = rate * c[AIR_MOISTURE]
                kh = rate * c[AIR_HEAT]
                v = kv * (air_p - pb)
                sm, smt, smx = sm + v, smt - kv * ptb, smx - kv * pxb
                se = se + kh * (air_t - t) + heat * v
                set_, sex = set_ - kh - heat * kv * ptb + cw * v, sex - heat * kv * pxb
            r1, r2 = r1 + sm, r2 + se
            d11, d12, d21, d22 = d11 - smt, d12 - smx, d21 - set_, d22 - sex
            put(w, o + P, pb)
            put(w, o + SM, sm)
            put(w, o + SMT, smt)
            put(w, o + SMX, smx)
            put(w, o + SE, se)
            put(w, o + SET, set_)
            put(w, o + SEX, sex)
        ta, xa, pa, pta, pxa, fa, fxa, dxa = t, x, pb, ptb, pxb, fb, fxb, dx
        za, zta, zxa, ha, hxa = zb, ztb, zxb, hb, hxb
    # the interior surface completes the last cell
    o = n * ROW
    kv = 1.0 / (1.0 / take(fixed, B_INSIDE) + take(w, o + ZED))
    v = kv * (pa - take(b, P_IN))
    vta, vxa = kv * pta, kv * pxa
    kh = 1.0 / (1.0 / take(fixed, H_INSIDE) + take(w, o + RES) + ha)
    dry = kh * (ta - take(b, T_IN))
    heat = latent + cw * ta
    dry_x = -dry * kh * hxa
    qta, qxa = kh + heat * vta + cw * v, dry_x + heat * vxa
    q = dry + heat * v
    put(edge, IN_G, v)
    put(edge, IN_GT, vta)
    put(edge, IN_GX, vxa)
    put(edge, IN_Q, q)
    put(edge, IN_QT, qta)
    put(edge, IN_QX, qxa)
    put(edge, DRY_Q, dry)
    put(edge, DRY_QT, kh)
    put(edge, DRY_QX, dry_x)
    d11, d12, d21, d22 = d11 + vta, d12 + vxa, d21 + qta, d22 + qxa
    r1, r2 = r1 - v, r2 - q
    inverse = 1.0 / (d11 * d22 - d12 * d21)
    put(w, o + Y1, inverse * (d22 * r1 - d12 * r2))
    put(w, o + Y2, inverse * (d11 * r2 - d21 * r1))


@njit(**options)
def backward(w, turn, n, c):
    """Find the update and add it, each cell limited by itself; the largest update in units of its tolerance."""
    per_t, per_p, per_m = 1.0 / c[TOL_T], 1.0 / c[TOL_P], 1.0 / c[TOL_M]
    lt, lx = spread(c[LIMIT_T]), spread(c[LIMIT_X])
    low, high = spread(FIRST), spread(c[LAST])
    worst = dt = dx = spread(0.0)
    for k in range(n):
        o = (n - k) * ROW
        dt, dx = (
            take(w, o + Y1) - take(w, o + U11) * dt - take(w, o + U12) * dx,
            take(w, o + Y2) - take(w, o + U21) * dt - take(w, o + U22) * dx,
        )
        dm = magnitude(take(w, o + MX) * dx)
        # a cell that holds next to nothing (air) is held to a share of it, or what it carries on turns negative
        e = most(dm * per_m, 20.0 * dm / take(w, o + M))
        e = most(e, magnitude(take(w, o + PT) * dt + take(w, o + PX) * dx) * per_p)
        e = most(e, magnitude(dt) * per_t)
        if turn >= CALM:
            if turn == CALM:
                lt, lx = spread(c[LIMIT_T]), spread(c[LIMIT_X])
            else:
                lt, lx = take(w, o + LT), take(w, o + LX)
            lt = where_negative(dt * take(w, o + DT), 0.5 * lt, 1.5 * lt)
            lx = where_negative(dx * take(w, o + DX_), 0.5 * lx, 1.5 * lx)
            # never under the tolerance: `finish` counts on an update that ends a stage having been added whole
            lt = most(least(lt, spread(c[LIMIT_T])), spread(max(0.05, c[TOL_T])))
            lx = most(least(lx, spread(c[LIMIT_X])), spread(0.004 * c[LIMIT_X]))
            put(w, o + LT, lt)
            put(w, o + LX, lx)
        put(w, o + DT, dt)
        put(w, o + DX_, dx)
        bt, bx = most(least(dt, lt), -lt), most(least(dx, lx), -lx)
        # a limited update foretells nothing
        cut = magnitude(bt - dt) + magnitude(bx - dx)
        e = where_negative(-cut, where_negative(1.0 - e, most(e, spread(1e3)), e), e)
        worst = most(worst, e)
        put(w, o + T, take(w, o + T) + bt)
        put(w, o + X, least(most(take(w, o + X) + bx, low), high))
    return worst


@njit(**within)
def newton(w, tab, mat, kinds, active, b, fixed, edge, before, bend, dt, n, c):
    """Solve one stage; the number of solves, or 0 if it did not converge."""
    for turn in range(PATIENT_ITERATIONS if dt < PATIENT_STEP else MOST_ITERATIONS):
        forward(w, tab, mat, kinds, active, b, fixed, edge, dt, n, c)
        worst = backward(w, turn, n, c)
        # the update of the first cell carries any not-a-number back from the whole lane
        update = take(w, ROW + DT) + take(w, ROW + DX_)
        done = True
        for j in range(LANES):
            if lane(update, j) - lane(update, j) != 0.0:
                return 0
            # Newton updates shrink with the square of the last one; the factor is learned as the run goes
            e = lane(worst, j)
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
def book(w, active, b, edge, flux, n, c):
    """Rates of the stage just solved, from the linearisation that solved it. [kg/(m²·s)], [W/m²]"""
    first, last = ROW, n * ROW
    dt, dx = take(w, first + DT), take(w, first + DX_)
    taken = take(edge, TAKEN) + take(edge, TAKEN_X) * dx
    put(flux, RAIN_TAKEN, taken)
    put(flux, RAIN_OFFERED, take(b, RAIN))
    put(flux, VAPOR_OUTSIDE, take(edge, OUT_G) + take(edge, OUT_GT) * dt + take(edge, OUT_GX) * dx - taken)
    put(flux, HEAT_OUTSIDE, take(edge, OUT_Q) + take(edge, OUT_QT) * dt + take(edge, OUT_QX) * dx)
    dt, dx = take(w, last + DT), take(w, last + DX_)
    put(flux, VAPOR_INSIDE, -(take(edge, IN_G) + take(edge, IN_GT) * dt + take(edge, IN_GX) * dx))
    put(flux, HEAT_INSIDE, -(take(edge, IN_Q) + take(edge, IN_QT) * dt + take(edge, IN_QX) * dx))
    put(flux, SENSIBLE_INSIDE, -(take(edge, DRY_Q) + take(edge, DRY_QT) * dt + take(edge, DRY_QX) * dx))
    outside = inside = deposited = drained = heat = spread(0.0)
    for i in range(1, n + 1):
        if active[i]:
            o = i * ROW
            dt, dx = take(w, o + DT), take(w, o + DX_)
            p = take(w, o + P) + take(w, o + PT) * dt + take(w, o + PX) * dx
            outside = outside + take(w, o + AIR_OUTSIDE) * take(b, AIR_OUT) * c[AIR_MOISTURE] * (take(b, P_OUT) - p)
            inside = inside + take(w, o + AIR_INSIDE) * take(b, AIR_IN) * c[AIR_MOISTURE] * (take(b, P_IN) - p)
            deposited = deposited + take(w, o + WETTED) * take(b, DEPOSIT)
            drained = drained - (take(w, o + SM) + take(w, o + SMT) * dt + take(w, o + SMX) * dx)
            heat = heat + take(w, o + SE) + take(w, o + SET) * dt + take(w, o + SEX) * dx
    put(flux, AIR_FROM_OUTSIDE, outside)
    put(flux, AIR_FROM_INSIDE, inside)
    put(flux, DEPOSITED, deposited)
    put(flux, DRAINED, drained + outside + inside + deposited)
    put(flux, HEAT_SOURCES, heat)


@njit(**options)
def finish(w, rate_m, rate_e, gdt, n, c):
    """Rates of the stage just solved, from the same linearisation; its water and heat become the start's."""
    cw = c[WATER_HEAT]
    per = 1.0 / gdt
    for i in range(1, n + 1):
        o = i * ROW
        dt, dx = take(w, o + DT), take(w, o + DX_)
        m, mx = take(w, o + M), take(w, o + MX)
        t = take(w, o + T) - dt  # where the solve stood: an update that ends a stage is not limited
        cap = take(w, o + CAP) + cw * m
        mass = m + mx * dx
        heat = cap * (t + dt) + cw * t * mx * dx
        put(w, o + rate_m, (mass - take(w, o + RM)) * per)
        put(w, o + rate_e, (heat - take(w, o + RE)) * per)
        if rate_m == KM0:
            put(w, o + M0, mass)
            put(w, o + E0, heat)


@njit(**options)
def prepare(w, from0, from1, ratio, n, c):
    """Right-hand sides of a stage, and its guess: a straight line from the start of the step, or of the one before."""
    low, free = spread(FIRST), spread(c[FREE])
    for i in range(1, n + 1):
        o = i * ROW
        put(w, o + RM, take(w, o + M0) + from0 * take(w, o + KM0) + from1 * take(w, o + KM1))
        put(w, o + RE, take(w, o + E0) + from0 * take(w, o + KE0) + from1 * take(w, o + KE1))
        t, x = take(w, o + T), take(w, o + X)
        guess = x + ratio * (x - take(w, o + XS))
        if from1 == 0.0:  # a step begins
            put(w, o + T, t + ratio * (t - take(w, o + TS)))
            put(w, o + TS, t)
            put(w, o + XS, x)
        else:
            put(w, o + T, t + ratio * (t - take(w, o + TS)))
        put(w, o + X, least(most(guess, low), most(x, free)))  # a guess does not over-fill pores


@njit(**within)
def substep(w, tab, mat, kinds, active, forcing, b0, b1, b, fixed, edge, before, bend, fluxes, booked, position, share,
            last_share, n, c):  # fmt: skip
    """Two implicit stages over `share` of the hour; solves used, or 0 if a stage did not converge.

    Restart (`last_share` 0): SDIRK2, no rate needed from before. Otherwise TR-BDF2, whose first stage uses the rate at
    the start. Both are of second order, L-stable, and solve with the same step gamma·dt.
    """
    restart = last_share == 0.0
    dt = share * c[HOUR]
    gdt = GAMMA * dt
    where = GAMMA if restart else 2 * GAMMA
    weight0 = 0.0 if restart else 0.25 * np.sqrt(2.0)
    weight1 = 1 - GAMMA if restart else 0.25 * np.sqrt(2.0)
    solves = 0
    for stage in range(2):
        at = position + share * (where if stage == 0 else 1.0)
        for k in range(FORCING):
            start = take(forcing, b0 + k)
            put(b, k, start + at * (take(forcing, b1 + k) - start))
        if stage == 0:
            from0, from1 = 0.0 if restart else gdt, 0.0
            ratio = 0.0 if restart else where * share / last_share
        else:
            from0, from1 = dt * weight0, dt * weight1
            ratio = 1.0 / where - 1.0
        prepare(w, from0, from1, ratio, n, c)
        used = newton(w, tab, mat, kinds, active, b, fixed, edge, before, bend, gdt, n, c)
        if used == 0:
            return 0
        solves += used
        book(w, active, b, edge, fluxes[stage + 1], n, c)
        finish(w, KM1 if stage == 0 else KM0, KE1 if stage == 0 else KE0, gdt, n, c)
    for k in range(BOOKS):
        last = take(fluxes[2], k)
        sum_ = weight0 * take(fluxes[0], k) + weight1 * take(fluxes[1], k) + GAMMA * last
        put(booked, k, take(booked, k) + dt * sum_)
        put(fluxes[0], k, last)
    return solves


@njit(**options)
def record(w, tab, mat, probe, span, booked, out_t, out_phi, out_w, out_mass, out_books, step):
    """Probes, layers and books at the end of an hour. Lanes of one wall have their places in common."""
    places, layers = probe.shape[0], span.shape[0]
    for k in range(places):
        for j in range(LANES):
            row = probe[k, j]
            f, m0, p0, _, _, m1, p1, _, _, m2, p2, _, _, m3, p3, _, _ = piece(tab, mat, row, take(w, row * ROW + X))
            at = step * places + k
            put_from(out_t, at, j, take(w, row * ROW + T))
            put_from(out_w, at, j, m0 + f * (m1 + f * (m2 + f * m3)))
            put_from(out_phi, at, j, p0 + f * (p1 + f * (p2 + f * p3)))
            if probe[k, 1] == row and probe[k, 2] == row and probe[k, 3] == row:
                break
    for k in range(layers):
        for j in range(LANES):
            mass = spread(0.0)
            first, end = span[k, 0, j], span[k, 1, j]
            for i in range(first, end):
                mass = mass + take(w, i * ROW + M0)
            put_from(out_mass, step * layers + k, j, mass)
            if (
                span[k, 0, 1] == first and span[k, 0, 2] == first and span[k, 0, 3] == first
                and span[k, 1, 1] == end and span[k, 1, 2] == end and span[k, 1, 3] == end
            ):  # fmt: skip
                break
    for k in range(BOOKS):
        put(out_books, step * BOOKS + k, take(booked, k))


@njit(**options)
def largest_update(w, failed, step, n):
    """Where a solve that did not converge moves most: (1, hour, row, lane)."""
    failed[0], failed[1] = 1, step
    largest = -1.0
    for i in range(1, n + 1):
        for j in range(LANES):
            size = abs(w[(i * ROW + DT) * LANES + j]) + abs(w[(i * ROW + DX_) * LANES + j])
            if size > largest or size - size != 0.0:
                largest = size
                failed[2], failed[3] = i, j


@njit(**entry)
def march(w, tab, mat, kinds, forcing, fixed, probe, span, active, before, bend, b, edge, fluxes, booked,
          out_t, out_phi, out_w, out_mass, out_books, failed, steps, n, c):  # fmt: skip
    """All hours. Returns solves used; `failed` is set if the smallest step did not converge.

    What is worked in comes from the caller, as all arrays: `active` per row, `before` and `bend` per lane, the forcing
    of an instant, the surfaces, the rates of three instants and the hour's books.
    """
    total = 0
    share, last_share = c[START], 0.0
    hours = forcing.size // (FORCING * LANES)
    for step in range(steps):
        b0, b1 = step % hours * FORCING, (step + 1) % hours * FORCING
        raining = any_positive(take(forcing, b0 + RAIN) + take(forcing, b1 + RAIN))
        position = 0.0
        for k in range(BOOKS):
            put(booked, k, spread(0.0))
        while position < 1.0 - 1e-12:
            share = min(share, c[RAIN_STEP] if raining else 1.0, 1.0 - position)
            used = substep(w, tab, mat, kinds, active, forcing, b0, b1, b, fixed, edge, before, bend, fluxes, booked,
                           position, share, last_share, n, c)  # fmt: skip
            if used == 0:
                total += MOST_ITERATIONS
                if share <= c[SMALLEST]:
                    largest_update(w, failed, step, n)
                    return total
                for i in range(1, n + 1):
                    put(w, i * ROW + T, take(w, i * ROW + TS))
                    put(w, i * ROW + X, take(w, i * ROW + XS))
                share, last_share = 0.5 * share, 0.0
                continue
            total += used
            position += share
            last_share = share if c[SECOND_ORDER] > 0.5 else 0.0
            share = min(1.0, 2 * share)
        share = 1.0  # the next hour tries the whole of it again
        record(w, tab, mat, probe, span, booked, out_t, out_phi, out_w, out_mass, out_books, step)
    return total
