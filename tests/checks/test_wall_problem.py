"""A wall read for the simulation: what becomes a layer, what a sheet, where water goes, what the materials store."""

from __future__ import annotations

import numpy as np
import pytest

from specgen.checks.layers import Reading
from specgen.checks.moisture_materials import _points, _storage, storage_set, uptake_range
from specgen.checks.moisture_ranges import Spread, inputs, spread
from specgen.checks.wall_problem import Choices, Run, SimulatedWall
from specgen.checks.weather_year import city_year
from specgen.data import load_table, source
from specgen.library.load import open_library
from specgen.library.weather_city import find_city
from specgen.model.base import Status
from specgen.model.material import WaterUptakeValue
from specgen.physics.room import day_mean, normal_load
from specgen.physics.transient.properties import suction_from_humidity
from specgen.units import PERM

LIBRARY = open_library()
WALLS = {wall.name: wall for wall in LIBRARY.walls()}
HOUSTON = city_year(find_city("Houston, TX"))
STORES = ("absorptive", "moisture_sensitive", "wood_based")
ENDS = ("value", "low", "high")
NO_LAYER = ("coating", "membrane", "sheet", "wall-covering", "lath", "metal", "drainage-mat")


def simulated(name: str) -> SimulatedWall:
    return SimulatedWall(Reading(WALLS[name]))


def names(name: str, **choices: object) -> list[str]:
    wall = simulated(name)
    run = wall.run(Choices(cells=wall.masonry[0], **choices), HOUSTON)  # type: ignore[arg-type]
    return [WALLS[name].layers[i].id for i in run.layers]


@pytest.mark.parametrize(
    "material", [m for m in LIBRARY.materials.values() if m.kind not in NO_LAYER], ids=lambda m: m.id
)
def test_every_material_that_fills_a_layer_has_a_moisture_set(material) -> None:  # type: ignore[no-untyped-def]
    name, row = storage_set(material)
    storage, full = _storage(name, material.density.value if material.density else 500.0, _points(row))
    content = storage(suction_from_humidity(np.array([0.1, 0.3, 0.5, 0.8, 0.9, 0.95, 0.99, 0.9999])))
    assert np.all(np.diff(content) > 0)
    assert content[-1] < full


def test_sums_of_the_table() -> None:
    table = load_table("hygrothermal")
    assert len(table["sets"]) == table["checksum"]["sets"]
    known = sum(row["uptake"]["value"] for row in table["sets"].values() if "uptake" in row)
    assert known == pytest.approx(table["checksum"]["uptake"])
    for row in table["sets"].values():
        assert {"source", "status", "form"} <= set(row)

    stored = {name: row["stored"] for name, row in table["sets"].items() if "stored" in row}
    assert sum(sum(ends) for ends in stored.values()) == pytest.approx(table["checksum"]["stored"])
    assert set(stored) == set(table["stored_ranges"])
    assert all(low <= 1 <= high for low, high in stored.values())


def test_ranges_of_permeance_add_up_and_name_their_source() -> None:
    table = load_table("hygrothermal")
    for cup in ("dry", "wet"):
        rows = [row[cup] for row in table["permeance"] if cup in row]
        assert sum(sum(row) for row in rows) == pytest.approx(table["checksum"][cup])
        assert all(low < high for low, high in rows)
    for row in (*table["permeance"], *table["stored_ranges"].values()):
        assert row["source"] == "common practice" or source(row["source"])
        assert row["status"] in ("confirmed", "secondary", "from-memory", "common-practice")


def test_range_of_osb_is_that_of_the_trade_at_its_thickness() -> None:
    # Common practice: OSB of 11 mm, 0.7 to 1 perm dry, 2 to 3 perm wet.
    layer = WALLS["framed-siding-cold"].layers[4]
    found = spread(layer)
    assert found is not None and layer.material is not None and layer.material.permeance is not None
    own = layer.material.permeance
    assert own.dry * found.dry[0] / PERM == pytest.approx(0.7, rel=0.01)
    assert own.dry * found.dry[1] / PERM == pytest.approx(1.0, rel=0.01)
    assert own.wet is not None and own.wet * found.wet[1] / PERM == pytest.approx(3.0, rel=0.01)


def test_a_tested_product_is_not_varied_and_an_odd_value_widens_the_range() -> None:
    layer = WALLS["framed-siding-cold"].layers[4]
    assert layer.material is not None and layer.material.permeance is not None

    def with_figure(**change: object) -> Spread | None:
        figure = layer.material.permeance.model_copy(update=change)  # type: ignore[union-attr]
        return spread(layer.model_copy(update={"material": layer.material.model_copy(update={"permeance": figure})}))

    assert with_figure(status=Status.CONFIRMED) is None
    open_board = with_figure(dry=4 * PERM, wet=8 * PERM)
    assert open_board is not None and open_board.dry[1] == open_board.wet[1] == 1.0 and open_board.dry[0] < 0.2


def test_a_tested_uptake_is_not_varied() -> None:
    material = LIBRARY.materials["stucco-brown"]
    figure = {"value": 0.03, "source": "tested", "status": Status.CONFIRMED}
    tested = material.model_copy(update={"water_uptake": WaterUptakeValue.model_construct(**figure)})
    assert uptake_range(tested) == (0.03, 0.03, 0.03)
    memory = WaterUptakeValue.model_construct(**figure | {"status": Status.FROM_MEMORY})
    assert uptake_range(material.model_copy(update={"water_uptake": memory})) == (0.01, 0.03, 0.04)


def test_coats_of_one_stucco_are_one_figure_and_each_sheet_its_own() -> None:
    found = {one.name: one.layers for one in inputs(WALLS["framed-stucco-drained"])}
    assert found["stucco"] == (0, 1, 2)
    assert {"OSB sheathing", "gypsum board", "latex paint", "fluid-applied membrane"} <= set(found)


def permeability(run: Run, layer: int) -> float:
    material = run.problem.layers[run.layers.index(layer)].material
    return float(material.permeability.permeability[0])  # type: ignore[attr-defined]


def test_one_permeance_at_a_time_moves_and_the_rest_stays() -> None:
    wall = simulated("framed-siding-cold")
    base, tight, open_ = (wall.run(Choices(cells="solid", permeance=end, permeance_of=(4,)), HOUSTON) for end in ENDS)
    assert permeability(tight, 4) < permeability(base, 4) < permeability(open_, 4)
    assert permeability(tight, 2) == permeability(base, 2) == permeability(open_, 2)
    assert [s.vapor_resistance for s in tight.problem.sheets] == [s.vapor_resistance for s in base.problem.sheets]
    painted = [wall.run(Choices(cells="solid", permeance=end, permeance_of=(7,)), HOUSTON) for end in ENDS]
    room_side = [run.problem.sheets[-1].vapor_resistance for run in painted]
    assert room_side[1] > room_side[0] > room_side[2]


def test_stored_water_and_color_and_room_move_the_problem_the_right_way() -> None:
    wall = simulated("framed-siding-cold")
    suction = suction_from_humidity(np.array([0.8]))

    def held(end: str) -> float:
        run = wall.run(Choices(cells="solid", stored=end), HOUSTON)  # type: ignore[arg-type]
        storage = run.problem.layers[run.layers.index(4)].material.storage  # type: ignore[attr-defined]
        return float(storage(suction)[0])

    assert held("low") < held("value") < held("high")
    light, dark = (
        np.asarray(wall.run(Choices("S", absorptance=a, cells="solid"), HOUSTON).problem.climate.equivalent_temperature)
        for a in (0.45, 0.90)
    )
    assert np.all(dark >= light) and dark.max() > light.max() + 5
    humid, dry = (
        np.asarray(wall.run(Choices(cells="solid", winter=w), HOUSTON).problem.climate.interior_vapor_pressure)
        for w in ("simplified", "normal load")
    )
    cold = day_mean(np.asarray(HOUSTON.temperature)) < 10
    warm = day_mean(np.asarray(HOUSTON.temperature)) > 18.3
    assert np.all(dry[cold] < 0.86 * humid[cold]) and np.all(dry[warm] == humid[warm])


def test_normal_load_is_that_of_the_annex() -> None:
    # EN 15026:2007 Annex C, public test values: -10 °C: 20 °C, 30 %; 15 °C: 22.5 °C, 55 %; 25 °C: 25 °C, 60 %.
    temperature, humidity = normal_load(np.array([-20.0, -10.0, 15.0, 25.0]))
    assert temperature == pytest.approx([20.0, 20.0, 22.5, 25.0])
    assert humidity == pytest.approx([0.30, 0.30, 0.55, 0.60])


def test_equal_layers_of_two_runs_are_one_material() -> None:
    wall = simulated("framed-siding-cold")
    north, south = (wall.run(Choices(o, cells="solid"), HOUSTON) for o in ("N", "S"))
    assert all(
        a.material is b.material or a.air_space for a, b in zip(north.problem.layers, south.problem.layers, strict=True)
    )


def test_wood_stores_what_the_forest_products_laboratory_says() -> None:
    # FPL-RN-0268, Hailwood-Horrobin at 20 °C: 9.27 % at 50, 16.04 % at 80, 20.53 % at 90 % relative humidity.
    material = LIBRARY.materials["softwood"]
    storage, _ = _storage(*_args("softwood"))
    assert material.density is not None
    for humidity, percent in ((0.5, 9.27), (0.8, 16.04), (0.9, 20.53)):
        content = float(storage(suction_from_humidity(np.array([humidity])))[0])
        assert 100 * content / material.density.value == pytest.approx(percent, rel=0.02)


def test_block_stores_as_concrete_of_its_mass() -> None:
    # IEA Annex 24 concrete, sorption: 0.0268 kg/kg at 79.8 % relative humidity.
    material = LIBRARY.materials["block-115"]
    storage, _ = _storage(*_args("block-115"))
    assert material.density is not None
    content = float(storage(suction_from_humidity(np.array([0.798])))[0])
    assert content / material.density.value == pytest.approx(0.0268, rel=0.01)


def _args(name: str) -> tuple[str, float, tuple[object, ...]]:
    material = LIBRARY.materials[name]
    found, row = storage_set(material)
    return found, material.density.value if material.density else 0.0, _points(row)


def test_ends_of_a_range_hold_the_stated_value() -> None:
    for material in LIBRARY.materials.values():
        if material.kind in NO_LAYER:
            continue
        ranged = uptake_range(material)
        if ranged is not None:
            assert ranged[0] <= ranged[1] <= ranged[2], material.id


def test_frame_is_run_between_members_with_its_films_on_faces() -> None:
    assert names("framed-stucco-drained") == [
        "finish-coat", "brown-coat", "scratch-coat", "mat", "sheathing", "studs", "board",
    ]  # fmt: skip
    run = simulated("framed-stucco-drained").run(Choices(cells="solid"), HOUSTON)
    outside_of_sheathing, room_surface = run.problem.sheets[4], run.problem.sheets[-1]
    assert not outside_of_sheathing.liquid_open and outside_of_sheathing.vapor_resistance > 1e11  # about 0.09 perm
    assert 1e9 < room_surface.vapor_resistance < 1e10  # latex paint, some 7 perm


def test_hollow_block_is_shell_core_shell_or_one_layer() -> None:
    wall = simulated("block-interior-insulated-stucco")
    assert wall.masonry == ("hollow", "equivalent", "grouted")
    hollow = wall.run(Choices(cells="hollow"), HOUSTON)
    blocks = [n for n, i in enumerate(hollow.layers) if wall.wall.layers[i].unit]
    assert len(blocks) == 3
    assert hollow.problem.layers[blocks[1]].air_space
    depth = sum(hollow.problem.layers[n].thickness for n in blocks)
    assert depth == pytest.approx(wall.wall.layers[hollow.layers[blocks[0]]].depth)
    assert len([i for i in wall.run(Choices(cells="equivalent"), HOUSTON).layers if wall.wall.layers[i].unit]) == 1


def test_one_layer_for_a_hollow_unit_holds_what_its_shells_and_webs_hold() -> None:
    # Unit of the library: shells and webs fill somewhat under half of it; a grouted cell is full.
    wall = simulated("block-interior-insulated-stucco")
    index, layer = next((i, layer) for i, layer in enumerate(wall.wall.layers) if layer.unit)
    suction = suction_from_humidity(np.array([0.9]))

    def held(cells: str) -> float:
        run = wall.run(Choices(cells=cells), HOUSTON)  # type: ignore[arg-type]
        parts = [run.problem.layers[n] for n, i in enumerate(run.layers) if i == index]
        return sum(
            one.thickness * float(one.material.storage(suction)[0])  # type: ignore[attr-defined]
            for one in parts
            if not one.air_space
        )

    assert layer.unit is not None and layer.unit.face_shell is not None and layer.thickness is not None
    shells = 2 * layer.unit.face_shell / layer.thickness
    assert held("hollow") == pytest.approx(shells * held("grouted"), rel=1e-6)
    assert held("hollow") < held("equivalent") < 0.6 * held("grouted")


def test_gap_open_at_both_ends_changes_its_air_and_a_drained_one_does_not() -> None:
    open_gap = simulated("framed-siding-furring").run(Choices(cells="solid"), HOUSTON)
    assert len(open_gap.problem.exchanges) == 1
    doubled = simulated("framed-siding-furring").run(Choices(cells="solid", ventilation=2.0), HOUSTON)
    assert doubled.problem.exchanges[0].flow == pytest.approx(2 * open_gap.problem.exchanges[0].flow)
    assert simulated("framed-stucco-drained").run(Choices(cells="solid"), HOUSTON).problem.exchanges == ()


def test_leak_goes_to_the_drained_face_or_into_the_block_behind_direct_stucco() -> None:
    drained = simulated("framed-stucco-drained").run(Choices(cells="solid"), HOUSTON)
    assert [WALLS["framed-stucco-drained"].layers[drained.layers[w.layer]].id for w in drained.problem.wetting] == [
        "mat"
    ]
    direct = simulated("block-direct-stucco").run(Choices(cells="equivalent"), HOUSTON)
    [wetting] = direct.problem.wetting
    assert WALLS["block-direct-stucco"].layers[direct.layers[wetting.layer]].unit is not None
    assert wetting.depth == pytest.approx(0.025)


def test_water_of_a_test_is_one_kilogram_into_the_storing_layer() -> None:
    wall = simulated("framed-stucco-drained")
    run = wall.run(Choices(cells="solid", wetted="oct"), HOUSTON)
    assert run.storing is not None
    assert wall.wall.layers[run.layers[run.storing]].id == "sheathing"
    assert np.asarray(run.problem.climate.deposit).sum() * 3600 == pytest.approx(1.0)
    assert [w.layer for w in run.problem.wetting] == [run.storing]
    assert run.depth == run.problem.wetting[0].depth == run.problem.layers[run.storing].thickness


def test_water_of_a_test_stands_in_the_outer_inch_of_masonry() -> None:
    for name, cells in (("block-direct-stucco", "equivalent"), ("block-direct-stucco", "hollow")):
        run = simulated(name).run(Choices(cells=cells, wetted="oct"), HOUSTON)  # type: ignore[arg-type]
        assert run.storing is not None and run.depth == 0.025 and run.problem.wetting[0].depth == 0.025
        assert (run.storing, 0.0) in run.probes


def test_sheet_that_opens_when_wet_is_a_layer_of_its_own() -> None:
    assert "retarder" in names("framed-siding-mineral-board+responsive-retarder")
    assert "board" in names("framed-siding-mineral-board")


def test_masonry_starts_with_its_construction_water() -> None:
    run = simulated("block-direct-stucco").run(Choices(cells="equivalent"), HOUSTON)
    starts = {run.layers[n]: layer.initial_humidity for n, layer in enumerate(run.problem.layers)}
    layers = simulated("block-direct-stucco").wall.layers
    assert all(
        starts[i] == (0.90 if layers[i].material and layers[i].material.kind in ("block", "stucco", "mortar") else 0.80)
        for i in starts
    )
