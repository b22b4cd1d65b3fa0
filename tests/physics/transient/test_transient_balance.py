"""Balances, limits and failures: what must hold in every run, whatever the wall."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from transient_cases import AIR_SPACE, BATT, BOARD, STUCCO, framed_wall, invented_year, saturation

from specgen.errors import NotComputableError
from specgen.physics.transient import kernel, run
from specgen.physics.transient.mesh import graded_mesh
from specgen.physics.transient.problem import (
    AirExchange,
    Climate,
    Layer,
    Probe,
    Problem,
    Sheet,
    Wetting,
    equivalent_temperature,
)
from specgen.physics.transient.properties import PointIsotherm
from specgen.physics.transient.run import Scheme, SimulationError, simulate


@pytest.fixture(scope="module")
def year():
    return simulate([framed_wall()], 8760)[0]


def test_water_and_heat_of_a_year_balance_to_a_millionth(year) -> None:
    assert year.mass_error < 1e-6 and year.heat_error < 1e-6
    gained = year.layer_mass[-1].sum() - year.layer_mass[0].sum()
    books = year.books
    came = sum(books[name].sum() for name in ("vapor_outside", "rain_taken", "vapor_inside", "air_from_outside"))
    came += books["deposited"].sum() + books["air_from_inside"].sum() - books["drained"].sum()
    throughput = sum(np.abs(series).sum() for name, series in books.items() if not name.startswith(("heat", "sens")))
    assert abs(gained - came) < 1e-6 * throughput
    assert throughput > 100  # [kg/m²]: the test has something to balance


def test_balance_holds_for_any_tolerance() -> None:
    loose = Scheme(temperature_tolerance=1.0, pressure_tolerance=100.0, mass_tolerance=0.1)
    (result,) = simulate([framed_wall()], 1000, scheme=loose)
    assert result.mass_error < 1e-9 and result.heat_error < 1e-9


def test_an_open_balance_is_an_error(monkeypatch) -> None:
    march = kernel.march
    monkeypatch.setattr(kernel, "march", lambda *a: _spoil(march, *a))
    with pytest.raises(SimulationError, match="balance open by"):
        simulate([framed_wall(invented_year(rain=0.0, hours=200))], 100)


def _spoil(march, *arguments):
    """Run the loops and add to every booked hour of vapor what did not come in."""
    solves = march(*arguments)
    books = next(a for a in arguments if isinstance(a, np.ndarray) and a.ndim == 3 and a.shape[1] == 12)
    books[:, 0, :] += 1e-6
    return solves


def test_rain_beyond_what_the_surface_takes_runs_off(year) -> None:
    assert 0 < year.books["rain_taken"].sum() < year.books["rain_offered"].sum()
    # hour by hour only to a gram: rain is booked as the linearised solve took it (0.001 kg/m² over in one hour here)
    assert (year.books["rain_taken"] <= year.books["rain_offered"] + 2e-3).all()


def test_a_closed_surface_takes_no_rain() -> None:
    wall = framed_wall()
    closed = replace(wall, sheets=(Sheet(liquid_open=False), *wall.sheets[1:]))
    (result,) = simulate([closed], 500)
    assert result.books["rain_taken"].sum() == 0 < result.books["rain_offered"].sum()


def test_no_water_content_exceeds_full_pores_by_more_than_what_is_running_off() -> None:
    """A leak of 1 kg/(m²·h) into 3 mm of board: the pores fill, the rest runs off, and nothing is lost."""
    climate = replace(invented_year(hours=400), deposit=1 / 3600)
    wall = replace(framed_wall(climate), probes=(Probe(2, 0.1),))
    (result,) = simulate([wall], 200)
    assert result.content.max() < 550 * 1.15
    assert result.content.max() > 500
    assert result.books["drained"].sum() > 0.5 * result.books["deposited"].sum()
    assert result.relative_humidity.max() <= 1.0 + 1e-9


def test_dew_behind_a_vapor_closed_sheet_stays_at_full_humidity_and_is_stored() -> None:
    """Batt against a cold closed sheet, humid room: water collects there, humidity does not pass 1."""
    climate = Climate(-10.0, -10.0, 200.0, 25.0, 1e-7, interior_vapor_pressure=0.6 * float(saturation(20.0)))
    wall = Problem((Layer(BOARD, 0.012), Layer(BATT, 0.14)), climate,
                   (Sheet(), Sheet(1e13, liquid_open=False), Sheet()), probes=(Probe(1, 0.0),))  # fmt: skip
    (result,) = simulate([wall], 500)
    assert result.relative_humidity.max() <= 1.0 + 1e-9
    assert result.relative_humidity[-1, 0] > 0.999
    assert result.layer_mass[-1, 1] > 0.3  # [kg/m²]


def test_equilibrium_is_kept() -> None:
    """Everything at 20 °C and 60 %: nothing moves."""
    p = 0.6 * float(saturation(20.0))
    climate = Climate(20.0, 20.0, p, interior_vapor_pressure=p)
    layers = tuple(
        Layer(m, d, a, 20.0, 0.6) for m, d, a in ((STUCCO, 0.02, False), (AIR_SPACE, 0.01, True), (BOARD, 0.012, False))
    )
    (result,) = simulate([Problem(layers, climate, exchanges=(AirExchange(1, 1e-4),))], 300)
    assert result.final.temperature == pytest.approx(20.0, abs=1e-4)
    assert result.final_humidity == pytest.approx(0.6, abs=1e-5)


def test_air_exchange_draws_the_space_to_outside_air() -> None:
    wall = framed_wall(invented_year(rain=0.0, hours=800))
    wall = replace(wall, probes=(Probe(1, 0.5),), wetting=())
    open_wall = replace(wall, exchanges=(AirExchange(1, 0.02),))
    still = replace(wall, exchanges=())
    a, b = simulate([open_wall], 700)[0], simulate([still], 700)[0]
    outside = wall.climate.vapor_pressure[:701]
    gap = [np.abs(r.relative_humidity[:, 0] * saturation(r.temperature[:, 0]) - outside)[200:].mean() for r in (a, b)]
    assert gap[0] < 0.25 * gap[1]


def test_room_air_leaking_to_the_sheathing_wets_it_in_the_cold() -> None:
    climate = replace(invented_year(rain=0.0, hours=1200), deposit=0.0)
    wall = replace(framed_wall(climate), probes=(Probe(2, 1.0),))
    leaky = replace(wall, exchanges=(*wall.exchanges, AirExchange(2, 2e-5, from_inside=True)))
    tight_, leak = simulate([wall, leaky], 1000)
    assert leak.books["air_from_inside"].sum() > 0
    assert leak.layer_mass[-1, 2] > tight_.layer_mass[-1, 2]


def test_lanes_side_by_side_equal_each_alone() -> None:
    walls = [framed_wall(invented_year(seed, lag=seed, hours=800)) for seed in range(3)]
    together = simulate(walls, 700)
    for wall, beside in zip(walls, together, strict=True):
        (alone,) = simulate([wall], 700)
        # not to round-off: a lane also takes the short steps that rain on its neighbor asks for
        assert np.sqrt(np.mean((alone.temperature - beside.temperature) ** 2)) < 0.03
        assert np.sqrt(np.mean((alone.relative_humidity - beside.relative_humidity) ** 2)) < 5e-4


def test_a_run_goes_on_from_where_another_stood() -> None:
    wall = framed_wall(invented_year(hours=801))
    (whole,) = simulate([wall], 800)
    (first,) = simulate([wall], 400)
    rest = replace(wall, climate=Climate(*wall.climate.stacked()[400:].T))
    (second,) = simulate([rest], 400, start=[first.final])
    assert second.final.temperature == pytest.approx(whole.final.temperature, abs=0.05)
    assert second.final_humidity == pytest.approx(whole.final_humidity, abs=1e-3)


def test_integers_and_lists_do_not_compile_a_second_time() -> None:
    simulate([framed_wall(invented_year(hours=48))], 2)
    known = len(kernel.march.signatures)
    climate = Climate(20, 20, 1200, 25, 1e-7, interior_temperature=20, interior_vapor_pressure=1200)
    simulate([Problem((Layer(BOARD, 1, False, 20, 1),), climate, interior_heat_coefficient=8)], 2)
    assert len(kernel.march.signatures) == known


def test_equal_materials_share_a_table_and_others_do_not() -> None:
    assert run._table(replace(BOARD))[0] is run._table(BOARD)[0]
    assert run._table(replace(BOARD, full=560.0))[0] is not run._table(BOARD)[0]

    class Unhashable(PointIsotherm):
        __hash__ = None

    odd = replace(BOARD, storage=Unhashable(BOARD.storage.humidity, BOARD.storage.content, 470.0))
    assert run._table(odd)[0] is run._table(odd)[0]
    assert np.array_equal(run._table(odd)[0], run._table(BOARD)[0])


def test_no_convergence_names_hour_layer_and_cell() -> None:
    climate = replace(invented_year(hours=100), air_temperature=np.full(100, np.nan))
    with pytest.raises(SimulationError, match=r"lane 0, hour 0, layer \d, cell \d+: no convergence") as error:
        simulate([framed_wall(climate)], 50)
    assert isinstance(error.value, NotComputableError) and error.value.hour == 0


def test_a_leak_is_put_where_it_was_said() -> None:
    climate = replace(invented_year(rain=0.0, hours=48), deposit=1e-5)
    wall = replace(framed_wall(climate), wetting=(Wetting(4, 0.005),))
    dry, wet = simulate([framed_wall(invented_year(rain=0.0, hours=48)), wall], 24)
    assert wet.layer_mass[-1, 4] - dry.layer_mass[-1, 4] == pytest.approx(24 * 3600e-5, rel=0.2)


@pytest.mark.parametrize("cells", [60, 75, 90, 140])
def test_mesh_has_the_cells_asked_for_and_fills_the_layers(cells) -> None:
    thicknesses = (0.019, 0.0095, 0.0111, 0.14, 0.0127)
    widths = graded_mesh(thicknesses, cells, air=(False, True, False, False, False))
    assert sum(w.size for w in widths) == cells
    assert [w.sum() for w in widths] == pytest.approx(thicknesses)
    assert widths[1].size == 1 and all((w > 0).all() for w in widths)


def test_too_few_cells_are_refused() -> None:
    with pytest.raises(NotComputableError, match="cells are too few"):
        graded_mesh((0.1, 0.1), 5)


def test_equivalent_temperature_in_a_worked_case() -> None:
    """By hand: 300 W/m² over 20 W/(m²·K) adds 15 K; a sky 100 W/m² below the air's emission, at 0.9, takes 4.5 K."""
    emitted = 5.670374419e-8 * 293.15**4
    got = equivalent_temperature(np.array([20.0]), np.array([300.0]), np.array([emitted - 100]), 0.9, 20.0)
    assert got == pytest.approx([20 + 15 - 4.5])
