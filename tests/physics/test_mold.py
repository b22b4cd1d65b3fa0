"""The mold index on constant climates, its decline, and the 30-day mean.

The check values are recomputed apart from this program from the formulas of the model, hourly steps, W = SQ = 0
(status: recomputed; formulas confirmed in a public research implementation and a second one, papers not opened).
"""

from __future__ import annotations

import numpy as np
import pytest

from specgen.physics import mold

# °C, % RH, class, days to index 1, 2, 3, index at 30 days, at 12 weeks, largest index
ROWS = [
    (20, 95, "very sensitive", 13.9, 20.8, 27.8, 3.318, 5.123, 5.123),
    (20, 95, "sensitive", 24.0, 60.0, 96.8, 1.167, 2.658, 4.235),
    (20, 95, "medium resistant", 194.3, 351.1, None, 0.155, 0.434, 2.667),
    (20, 95, "resistant", 474.9, None, None, 0.069, 0.193, 1.556),
    (20, 90, "very sensitive", 29.5, 44.2, 59.5, 1.038, 3.919, 3.995),
    (20, 90, "sensitive", 51.1, 130.1, 280.0, 0.588, 1.426, 3.045),
    (10, 95, "very sensitive", 22.3, 33.4, 44.5, 1.698, 4.998, 5.010),
    (5, 97, "sensitive", 46.2, 115.3, 186.0, 0.650, 1.548, 4.236),
    (25, 90, "very sensitive", 25.3, 38.0, 51.2, 1.372, 3.990, 4.000),
]


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row[0]}C {row[1]}% {row[2]}")
def test_index_grows_on_the_recomputed_curve(row) -> None:
    t, rh, name, one, two, three, month, quarter, largest = row
    hours = 24 * (500 if three is None else 300)
    index = mold.mold_index(np.full(hours, float(t)), np.full(hours, rh / 100), mold.SENSITIVITIES[name], 0.1)
    for level, days in ((1, one), (2, two), (3, three)):
        if days is not None:
            assert (np.argmax(index >= level) + 1) / 24 == pytest.approx(days, abs=0.06)
    assert index[30 * 24 - 1] == pytest.approx(month, abs=6e-4)
    assert index[84 * 24 - 1] == pytest.approx(quarter, abs=6e-4)
    for below, grows in ((0.01, True), (-0.01, False)):  # nothing grows beyond the largest index
        start = largest - below
        later = mold.mold_index(np.full(2, float(t)), np.full(2, rh / 100), mold.SENSITIVITIES[name], 0.1, start)
        assert (later[-1] > start) is np.bool_(grows)


@pytest.mark.parametrize(
    "temperature, percent", [(1, 97.03), (5, 88.02), (7.5, 84.40), (10, 82.03), (12, 80.87), (20, 80.04), (25, 80.0)]
)
def test_critical_humidity(temperature, percent) -> None:
    assert 100 * float(mold.critical_humidity(temperature, 0.8)) == pytest.approx(percent, abs=0.006)


def test_nothing_grows_in_frost_or_when_dry() -> None:
    cold = mold.mold_index(np.full(2000, -1.0), np.full(2000, 1.0), mold.SENSITIVITIES["very sensitive"], 1.0)
    dry = mold.mold_index(np.full(2000, 20.0), np.full(2000, 0.79), mold.SENSITIVITIES["very sensitive"], 1.0)
    assert cold.max() == 0 and dry.max() == 0


def test_decline_of_pine_falls_pauses_and_falls_again() -> None:
    """Hukka and Viitanen 1999: 0.032 a day for 6 h, nothing to 24 h, 0.016 a day after (confirmed, secondary)."""
    index = mold.mold_index(np.full(48, 20.0), np.full(48, 0.5), mold.SENSITIVITIES["very sensitive"], 1.0, start=2.0)
    assert index[5] == pytest.approx(2 - 6 * 0.032 / 24)
    assert index[23] == index[5]
    assert index[47] == pytest.approx(index[23] - 0.016)


@pytest.mark.parametrize("name, share", mold.DECLINES.items())
def test_decline_scales_with_the_material(name, share) -> None:
    falls = [
        2 - mold.mold_index(np.full(240, 20.0), np.full(240, 0.5), mold.SENSITIVITIES["sensitive"], d, start=2.0)[-1]
        for d in (share, 1.0)
    ]
    assert falls[0] == pytest.approx(share * falls[1])


def test_several_series_at_once_equal_each_alone() -> None:
    rng = np.random.default_rng(1)
    t, rh = 15 + 10 * rng.random((500, 3)), 0.7 + 0.3 * rng.random((500, 3))
    together = mold.mold_index(t, rh, mold.SENSITIVITIES["sensitive"], 0.25)
    for k in range(3):
        alone = mold.mold_index(t[:, k], rh[:, k], mold.SENSITIVITIES["sensitive"], 0.25)
        assert np.array_equal(together[:, k], alone)


def plain_index(temperature, relative_humidity, kind, decline, start=0.0):
    """`mold_index` in plain numpy, hour by hour: what the compiled loop must come to."""
    t, rh = np.asarray(temperature, dtype=float), np.minimum(relative_humidity, 1.0)
    critical = mold.critical_humidity(t, kind.least_humidity)
    grows = (t > 0.0) & (t < 50.0) & (rh >= critical)
    speed, largest = np.zeros(t.shape), np.zeros(t.shape)
    weeks = np.exp(-0.68 * np.log(t[grows]) - 13.9 * np.log(100 * rh[grows]) + 66.02)
    speed[grows] = 1 / (168 * weeks)
    x = (rh[grows] - critical[grows]) / np.maximum(1.0 - critical[grows], 1e-9)
    largest[grows] = np.maximum(kind.a + kind.b * x - kind.c * x**2, 0.0)
    hours = np.arange(t.shape[0]).reshape(-1, *(1,) * (t.ndim - 1))
    dry = hours - np.maximum.accumulate(np.where(grows, hours, -1), axis=0)
    fall = decline * np.where(dry <= 6, 0.032 / 24, np.where(dry <= 24, 0.0, 0.016 / 24))
    index = np.broadcast_to(np.asarray(start, dtype=float), t.shape[1:]).copy()
    out = np.empty(t.shape)
    for hour in range(t.shape[0]):
        rate = np.where(index < 1.0, kind.early, kind.late) * speed[hour]
        slowing = 1 - np.exp(2.3 * np.minimum(index - largest[hour], 0.0))
        index = np.maximum(index + np.where(grows[hour], rate * slowing, -fall[hour]), 0.0)
        out[hour] = index
    return out


@pytest.mark.parametrize("name", mold.SENSITIVITIES)
@pytest.mark.parametrize("shape", [(2000,), (2000, 4), (2000, 2, 3)], ids=str)
def test_the_compiled_loop_equals_the_plain_one(name, shape) -> None:
    """Noise about the critical humidity, with whole degrees and percents (ties), frost, and heat above 50 °C."""
    rng = np.random.default_rng(len(shape))
    t = np.round(
        18 + 12 * np.sin(np.arange(2000) / 300).reshape(-1, *(1,) * (len(shape) - 1)) + rng.normal(0, 9, shape)
    )
    rh = np.round(np.clip(rng.normal(0.88, 0.08, shape), 0.3, 1.05), 2)
    t[700:760], rh[700:760] = 0.0, 1.0
    start = rng.uniform(0, 6, shape[1:])
    for before in (0.0, 1.0, start):
        kind = mold.SENSITIVITIES[name]
        got, plain = mold.mold_index(t, rh, kind, 0.5, before), plain_index(t, rh, kind, 0.5, before)
        assert got.shape == plain.shape and got == pytest.approx(plain, abs=1e-11)
        assert np.array_equal(got == 0.0, plain == 0.0)


def test_one_series_gives_another_verdict_in_each_class() -> None:
    hours = np.arange(3 * 8760)
    rh = 0.85 + 0.12 * np.sin(2 * np.pi * hours / 8760)
    worst = [mold.mold_index(np.full(hours.size, 18.0), rh, kind, 0.1).max() for kind in mold.SENSITIVITIES.values()]
    assert worst == sorted(worst, reverse=True) and worst[0] > 3 > worst[-1]


def test_thirty_day_mean_of_a_known_series() -> None:
    """First principles: a block of 30 days at 0.9 in a year at 0.5 has a highest mean of 0.9."""
    t, rh = np.full(8760, 20.0), np.full(8760, 0.5)
    rh[1000:1720] = 0.9
    assert float(mold.thirty_day_humidity(t, rh)) == pytest.approx(0.9)
    assert np.isnan(mold.thirty_day_humidity(np.full(8760, 2.0), rh))
    t[:2500] = 2.0  # the damp month is too cold to count
    assert float(mold.thirty_day_humidity(t, rh)) < 0.6


def test_thirty_day_mean_needs_thirty_days() -> None:
    with pytest.raises(ValueError, match="needs 720"):
        mold.thirty_day_humidity(np.full(100, 20.0), np.full(100, 0.5))
