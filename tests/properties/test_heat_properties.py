"""What must hold of any wall: laws of series and parallel flow, whatever the numbers."""

from __future__ import annotations

import itertools
import math

import pytest
from builders import GYPSUM, OSB, XPS, block_wall, framing, make_layer, make_material, make_wall
from hand import hand_u
from hypothesis import given, settings
from hypothesis import strategies as st

from specgen import units
from specgen.checks.thermal import thermal_result
from specgen.model.wall import Layer, Wall
from specgen.physics import air_layers, batts, corrections, heat

thicknesses = st.floats(0.005, 0.3)
conductivities = st.floats(0.02, 3.0)
fractions = st.floats(0.01, 0.6)
slabs = st.lists(st.tuples(thicknesses, conductivities), min_size=1, max_size=5)


def plain_wall(parts: list[tuple[float, float]]) -> Wall:
    return make_wall(
        [
            make_layer(f"layer-{i}", make_material(f"m-{i}", "concrete", conductivity=k), t)
            for i, (t, k) in enumerate(parts)
        ],
        construction="mass-direct-render",
    )


def framed_layer(fraction: float, depth: float, fill: float) -> Layer:
    insulation = make_material("fill", "spray-foam", conductivity=fill)
    return make_layer("studs", None, depth, fill=insulation, framing=framing(fraction=fraction))


@settings(max_examples=60, deadline=None)
@given(slabs, st.floats(0.1, 0.9))
def test_cutting_a_layer_in_two_changes_nothing(parts: list[tuple[float, float]], cut: float) -> None:
    (thickness, conductivity), *rest = parts
    halves = [(thickness * cut, conductivity), (thickness * (1 - cut), conductivity), *rest]
    assert hand_u(plain_wall(halves)) == pytest.approx(hand_u(plain_wall(parts)))


@settings(max_examples=12, deadline=None)
@given(fractions, st.floats(0.06, 0.25), st.floats(0.02, 0.1), st.floats(0.2, 0.8))
def test_cutting_a_framed_layer_in_two_changes_nothing(fraction: float, depth: float, fill: float, cut: float) -> None:
    # members of one size and spacing that meet are one member: cut across, the wall is the same by every method
    whole = framed_layer(fraction, depth, fill)
    outer, inner = (framed_layer(fraction, depth * part, fill) for part in (cut, 1 - cut))
    inner = inner.model_copy(update={"id": "inner-studs"})
    board = make_layer("b", GYPSUM, "1/2 in")
    one, two = thermal_result(make_wall([whole, board])), thermal_result(make_wall([outer, inner, board]))
    assert two.u_hand_si == pytest.approx(one.u_hand_si)
    assert two.u_low_si == pytest.approx(one.u_low_si)
    assert two.u_si == pytest.approx(one.u_si, rel=2e-3)  # the mesh has a line more


@settings(max_examples=20, deadline=None)
@given(slabs)
def test_mirroring_a_wall_of_plain_layers_changes_no_u(parts: list[tuple[float, float]]) -> None:
    assert hand_u(plain_wall(parts[::-1])) == pytest.approx(hand_u(plain_wall(parts)))
    assert thermal_result(plain_wall(parts)).u_si == pytest.approx(hand_u(plain_wall(parts)))  # nothing to correct


@settings(max_examples=12, deadline=None)
@given(fractions, st.floats(0.06, 0.25), st.floats(0.02, 0.1))
def test_mirroring_a_framed_wall_changes_no_u(fraction: float, depth: float, fill: float) -> None:
    layers = [make_layer("a", OSB, "7/16 in"), framed_layer(fraction, depth, fill), make_layer("b", GYPSUM, "1/2 in")]
    mirrored, plain = thermal_result(make_wall(layers[::-1])), thermal_result(make_wall(layers))
    assert mirrored.u_hand_si == pytest.approx(plain.u_hand_si)
    # in two dimensions it matters on which side the thicker film lies, by a little
    assert mirrored.u_si == pytest.approx(plain.u_si, rel=0.01)


@settings(max_examples=20, deadline=None)
@given(fractions, st.floats(0.06, 0.25), st.floats(0.02, 0.1), st.floats(0.006, 0.2))
def test_more_insulation_never_raises_u(fraction: float, depth: float, fill: float, added: float) -> None:
    studs = framed_layer(fraction, depth, fill)
    bare = thermal_result(make_wall([studs]))
    more = thermal_result(make_wall([make_layer("ci", XPS, added), studs]))
    assert more.u_si < bare.u_si
    assert more.continuous_r_si > bare.continuous_r_si


@settings(max_examples=20, deadline=None)
@given(fractions, st.floats(0.06, 0.25), st.floats(0.02, 0.1))
def test_parallel_path_is_the_upper_limit_of_r(fraction: float, depth: float, fill: float) -> None:
    result = thermal_result(make_wall([make_layer("a", OSB, "7/16 in"), framed_layer(fraction, depth, fill)]))
    assert result.u_low_si is not None
    assert result.u_hand_si is not None
    assert result.u_low_si >= result.u_hand_si * (1 - 1e-12)


@settings(max_examples=20, deadline=None)
@given(fractions, fractions, st.floats(0.06, 0.25), st.floats(0.02, 0.08))
def test_more_wood_never_lowers_u(first: float, second: float, depth: float, fill: float) -> None:
    less, more = sorted((first, second))
    lower = thermal_result(make_wall([framed_layer(less, depth, fill)])).u_si
    assert thermal_result(make_wall([framed_layer(more, depth, fill)])).u_si >= lower * (1 - 1e-12)


@settings(max_examples=20, deadline=None)
@given(fractions, st.floats(0.06, 0.25), st.floats(0.02, 0.1))
def test_effective_r_lies_between_its_paths(fraction: float, depth: float, fill: float) -> None:
    result = thermal_result(make_wall([framed_layer(fraction, depth, fill)]))
    totals = [path.total for path in result.paths]
    assert min(totals) * (1 - 1e-12) <= result.r_si <= max(totals) * (1 + 1e-12)
    assert sum(path.share for path in result.paths) == pytest.approx(1)


@settings(max_examples=10, deadline=None)
@given(st.floats(16, 120), st.floats(16, 240))
def test_more_grout_never_raises_r_of_block(vertical: float, horizontal: float) -> None:
    def r_of(spacing: float, courses: float) -> float:
        grout = {"vertical_spacing": spacing * units.INCH, "horizontal_spacing": courses * units.INCH}
        return thermal_result(block_wall(block_fields={"grout": grout})).r_si

    assert r_of(vertical, horizontal) <= r_of(vertical * 1.5, horizontal) * (1 + 1e-12)
    assert r_of(vertical, horizontal) <= r_of(vertical, horizontal * 1.5) * (1 + 1e-12)


@given(st.floats(0.001, 0.3), st.floats(0.001, 0.3))
def test_deeper_air_layer_never_resists_less_across_a_wall(first: float, second: float) -> None:
    shallow, deep = sorted((first, second))
    assert air_layers.air_layer_resistance(shallow) <= air_layers.air_layer_resistance(deep) * (1 + 1e-12)


@given(st.lists(st.tuples(st.floats(0.01, 1), st.floats(0.1, 10)), min_size=1, max_size=6))
def test_bridged_layer_lies_between_its_parts(parts: list[tuple[float, float]]) -> None:
    total = sum(share for share, _ in parts)
    shares, values = [share / total for share, _ in parts], [value for _, value in parts]
    joined = heat.bridged_layer(shares, values)
    assert min(values) * (1 - 1e-9) <= joined <= max(values) * (1 + 1e-9)


layered = st.lists(
    st.lists(st.tuples(st.floats(0.01, 1), st.floats(0.05, 10)), min_size=1, max_size=3), min_size=1, max_size=4
)


@settings(max_examples=60, deadline=None)
@given(layered)
def test_limits_of_any_bridged_wall_are_ordered(layers: list[list[tuple[float, float]]]) -> None:
    """Whatever parts cross each other: isothermal planes give no more R than parallel path."""
    normal = []
    for parts in layers:
        total = sum(share for share, _ in parts)
        normal.append([(share / total, value) for share, value in parts])
    lower = heat.isothermal_planes([tuple(zip(*parts, strict=True)) for parts in normal])  # type: ignore[misc]
    ways = list(itertools.product(*normal))
    shares = [math.prod(share for share, _ in way) for way in ways]
    upper = 1 / heat.parallel_path(shares, [sum(value for _, value in way) for way in ways])
    assert lower <= upper * (1 + 1e-9)
    if upper > 1.5 * lower:
        with pytest.raises(ValueError, match=r"more than 1\.5 times"):
            heat.combined_resistance(upper, lower)
        return
    mean, error = heat.combined_resistance(upper, lower)
    assert lower * (1 - 1e-9) <= mean <= upper * (1 + 1e-9)
    assert -1e-9 <= error <= 0.2 + 1e-9  # 1.5 to 1 is an error of a fifth at most


@settings(max_examples=60, deadline=None)
@given(st.floats(0.5, 6), st.floats(0.2, 1.0), st.integers(1, 12), st.floats(17, 50))
def test_more_fasteners_never_lower_u(total: float, share: float, number: int, conductivity: float) -> None:
    def found(per_area: float) -> float:
        added = corrections.fastener_correction(conductivity, 2e-5, per_area, 0.05, total * share, total)
        return corrections.corrected_transmittance(1 / total, [added])

    assert 1 / total <= found(number) <= found(number + 1)


@settings(max_examples=60, deadline=None)
@given(st.floats(0, 3000), st.floats(0, 3000), st.floats(0.5, 6), st.floats(0.1, 1))
def test_wider_openings_never_raise_r(first: float, second: float, closed: float, share: float) -> None:
    narrow, wide = sorted((first * 1e-6, second * 1e-6))
    values = [air_layers.ventilated_resistance(opening, closed, closed * share) for opening in (narrow, wide)]
    assert values[1] <= values[0] * (1 + 1e-12)
    assert closed * share * (1 - 1e-12) <= min(values)


@settings(max_examples=60, deadline=None)
@given(st.floats(11, 38), st.floats(0.09, 0.3), st.floats(0.53, 1), st.floats(0.53, 1))
def test_a_batt_squeezed_more_never_has_more(label: float, thickness: float, first: float, second: float) -> None:
    shallow, deep = sorted((first, second))
    less, more = (batts.squeezed_resistance(label, thickness, thickness * part) for part in (shallow, deep))
    assert less is not None and more is not None
    assert less <= more <= label * (1 + 1e-12)
