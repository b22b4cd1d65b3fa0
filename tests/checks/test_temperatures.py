"""Temperatures at the planes of a wall: each layer takes its share of R, and the bridge is colder than the rest."""

from __future__ import annotations

import pytest
from builders import (
    BATT_R13,
    GYPSUM,
    OSB,
    PAINT,
    SIDING,
    WRB,
    XPS,
    block_wall,
    framed_wall,
    make_layer,
    make_wall,
    studs,
)

from specgen import units
from specgen.checks.temperatures import bridge_temperatures, interior_surface, main_path, plane_temperatures
from specgen.checks.thermal import thermal_result
from specgen.errors import NotComputableError
from specgen.library.load import open_library
from specgen.model.wall import Wall

WINTER, SUMMER, ROOM = -10.0, 35.0, 21.0
WALLS = list(open_library().walls())


def test_planes_of_a_stud_wall_by_hand() -> None:
    wall = framed_wall(BATT_R13)
    planes = plane_temperatures(wall, thermal_result(wall), WINTER, ROOM)
    names = ["outdoor air", "exterior surface", "siding | wrb", "wrb | sheathing", "sheathing | studs", "studs | board",
             "interior surface", "room air"]  # fmt: skip
    assert [plane.name for plane in planes] == names
    total = 0.17 + 0.62 + 0.62 + 13 + 0.45 + 0.68
    passed = [0, 0.17, 0.79, 0.79, 1.41, 14.41, 14.86, total]
    expected = [WINTER + 31 * r / total for r in passed]
    assert [plane.temperature for plane in planes] == pytest.approx(expected)
    assert planes[-2].position == pytest.approx(wall.thickness)


def test_behind_a_ventilated_gap_the_wall_begins_at_the_gap() -> None:
    gap = make_layer("gap", None, "3/4 in", cavity={"kind": "ventilated", "open": ("bottom", "top")})
    layers = [make_layer("siding", SIDING, "1/2 in"), gap, make_layer("sheathing", OSB, "7/16 in")]
    wall = make_wall([*layers, studs("3-1/2 in", BATT_R13), make_layer("board", GYPSUM, "1/2 in")])
    planes = plane_temperatures(wall, thermal_result(wall), WINTER, ROOM)
    assert [plane.name for plane in planes[:2]] == ["outdoor air", "gap | sheathing"]
    assert planes[0].position == planes[1].position == pytest.approx(1.25 * units.INCH)
    assert planes[0].temperature == WINTER < planes[1].temperature


@pytest.mark.parametrize("wall", WALLS, ids=lambda wall: wall.name)
def test_planes_of_a_shipped_wall_run_from_air_to_air(wall: Wall) -> None:
    thermal = thermal_result(wall)
    for outdoor in (WINTER, SUMMER):
        planes = plane_temperatures(wall, thermal, outdoor, ROOM)
        values = [plane.temperature for plane in planes]
        assert values[0] == outdoor and values[-1] == pytest.approx(ROOM)
        assert values == sorted(values, reverse=outdoor > ROOM)
        positions = [plane.position for plane in planes]
        assert positions == sorted(positions) and positions[-1] == pytest.approx(wall.thickness)
    bridge = bridge_temperatures(wall, thermal, WINTER, ROOM)
    assert [plane.temperature for plane in bridge] == sorted(plane.temperature for plane in bridge)
    assert bridge[-1].name == "interior surface" and bridge[0].name == "exterior surface"


@pytest.mark.parametrize("wall", WALLS, ids=lambda wall: wall.name)
def test_the_bridge_is_coldest_in_winter_and_warmest_in_summer(wall: Wall) -> None:
    thermal = thermal_result(wall)
    winter, summer = (interior_surface(thermal, outdoor, ROOM) for outdoor in (WINTER, SUMMER))
    assert winter.bridge <= winter.clear + 1e-9 < ROOM
    assert summer.bridge >= summer.clear - 1e-9 > ROOM
    assert bridge_temperatures(wall, thermal, WINTER, ROOM)[-1].temperature == pytest.approx(winter.bridge)
    assert thermal.conduction is not None
    assert (winter.bridge - WINTER) / (ROOM - WINTER) == pytest.approx(thermal.conduction.f_rsi)


def test_surface_between_members_agrees_with_the_path_by_hand() -> None:
    wall = framed_wall(BATT_R13, outboard=(make_layer("ci", XPS, "1 in"),))
    thermal = thermal_result(wall)
    along_path = plane_temperatures(wall, thermal, WINTER, ROOM)[-2].temperature
    assert interior_surface(thermal, WINTER, ROOM).clear == pytest.approx(along_path)
    assert main_path(thermal).share == 0.75


def test_no_difference_of_air_gives_no_difference_of_planes() -> None:
    wall = block_wall(inside=(make_layer("foam", XPS, "2 in"), make_layer("board", GYPSUM, "1/2 in")))
    thermal = thermal_result(wall)
    values = [plane.temperature for plane in plane_temperatures(wall, thermal, ROOM, ROOM)]
    assert values == pytest.approx([ROOM] * len(values))


def test_without_a_solution_the_bridge_is_refused_and_the_path_is_not() -> None:
    wall = make_wall([make_layer("sheathing", OSB, "5/8 in"), make_layer("wrb", WRB, "10 mil"),
                      studs("3-1/2 in", BATT_R13), make_layer("paint", PAINT)])  # fmt: skip
    thermal = thermal_result(wall)
    assert plane_temperatures(wall, thermal, WINTER, ROOM)[-1].temperature == pytest.approx(ROOM)
    with pytest.raises(NotComputableError, match="for a layer has no R"):
        bridge_temperatures(wall, thermal, WINTER, ROOM)
    with pytest.raises(NotComputableError, match="for a layer has no R"):
        interior_surface(thermal, WINTER, ROOM)
