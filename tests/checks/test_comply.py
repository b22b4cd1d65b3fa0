"""The way to comply: the code's own rows tell what change suffices, and each change is the wall itself computed anew.

Rows of the R table: IECC residential 2018 and 2021, confirmed (`data/iecc_walls.yaml`).
"""

from __future__ import annotations

import json

import pytest
from builders import (
    BATT_R13,
    BATT_R20,
    GYPSUM,
    MINERAL_BOARD,
    PAINT,
    XPS,
    block,
    make_layer,
    make_material,
    make_wall,
    studs,
)
from ruined_walls import direct_wall, outside_wall, place, siding_wall

from specgen import units
from specgen.checks.assess import assess
from specgen.checks.comply import find_ways, ways_to_comply, with_ways
from specgen.checks.energy import energy_code
from specgen.checks.swaps import board_seat, stock, with_board
from specgen.checks.thermal import thermal_result
from specgen.documents.findings import assessments_json, assessments_text
from specgen.library.load import open_library
from specgen.library.sites import site_from_county, site_from_zone
from specgen.model.material import Material
from specgen.model.wall import Wall

INCH = units.INCH
BATT_R19 = make_material(
    "test-batt-r-19-shallow", "batt", rated=[("5-1/2 in", "R-19")], density="10 kg/m3", specific_heat="840 J/(kg*K)",
    air_open="true", permeability="100 perm-in",
)  # fmt: skip
BOARDS = (XPS, MINERAL_BOARD)


def framed(fill: Material, depth: str = "5-1/2 in") -> Wall:
    layers = [studs(depth, fill) if layer.id == "studs" else layer for layer in siding_wall().layers]
    return make_wall(layers, datum="studs-exterior")


def inches_added(wall: Wall, zone: str, materials: tuple[Material, ...], edition: str = "2021") -> list[float]:
    ways = ways_to_comply(wall, site_from_zone(zone, edition, edition), materials)
    return [round(way.added_thickness / INCH, 4) for way in ways]


def test_r13_in_zone_3_takes_the_r5_board_of_the_codes_own_row() -> None:
    """13&5ci: XPS of 0.2 Btu·in/(h·ft²·°F) gives R-5 in 1 in; mineral wool of 0.035 W/(m·K) in 1-1/4, sold as 1-1/2."""
    ways = ways_to_comply(framed(BATT_R13, "3-1/2 in"), site_from_zone("3A"), BOARDS)
    assert [(way.swaps[0].after, round(way.added_thickness / INCH, 3)) for way in ways] == [
        ("1 in Test xps", 1.0),
        ("1-1/2 in Test mineral wool board", 1.5),
    ]
    assert "13&5ci" in {path.label for path in ways[0].met}


def test_r13_in_zone_5_takes_twice_the_board_since_2021() -> None:
    """13&5ci under 2018, 13&10ci under 2021."""
    assert inches_added(framed(BATT_R13, "3-1/2 in"), "5A", (XPS,), "2018") == [1.0]
    assert inches_added(framed(BATT_R13, "3-1/2 in"), "5A", (XPS,), "2021") == [2.0]


def test_r19_in_zone_3_takes_the_batt_that_says_r20_and_no_thickness() -> None:
    (first, *_) = ways_to_comply(framed(BATT_R19), site_from_zone("3A"), (BATT_R20,))
    assert first.added_thickness == pytest.approx(0, abs=1e-9)
    assert [swap.words for swap in first.swaps] == [
        "studs: R-19 Test batt r 19 shallow, 5-1/2 in deep -> R-20 Test batt r 20"
    ]
    assert [path.label for path in first.met if path.path == "r"] == ["R-20"]


def test_r19_in_zone_5_takes_both_where_both_are_thinner() -> None:
    """19&5ci is not 20&5ci: R-20 and 1 in of XPS meet the row, R-19 alone needs more board for the U limit."""
    ways = ways_to_comply(framed(BATT_R19), site_from_zone("5A"), (BATT_R20, XPS))
    assert [len(way.swaps) for way in ways] == [2, 1]
    assert ways[0].added_thickness == pytest.approx(1 * INCH)
    assert ways[1].added_thickness > ways[0].added_thickness
    assert [path.label for path in ways[1].met] == ["U-0.045"]


def test_the_walls_own_board_is_thickened_before_another_is_tried() -> None:
    wall = outside_wall()
    own = next(layer for layer in wall.layers if layer.material and layer.material.kind == "rigid-foam")
    ways = ways_to_comply(wall, site_from_zone("6A"), (MINERAL_BOARD, XPS))
    assert ways
    for way in ways:
        assert [swap.layer for swap in way.swaps] == [own.id]
        assert way.swaps[0].after.endswith(own.material.label) or "two layers" in way.swaps[0].after


def test_a_board_inside_of_block_stands_between_block_and_lining() -> None:
    lining = make_layer("board", GYPSUM, "1/2 in")
    wall = make_wall(
        [block(), lining, make_layer("paint", PAINT, coats="2")],
        construction="mass-interior-insulated", datum="block-exterior",
    )  # fmt: skip
    seat = board_seat(wall)
    assert seat is not None
    changed = with_board(wall, seat, XPS, 2 * INCH, 1).wall
    assert [layer.id for layer in changed.layers] == ["block", "continuous-insulation", "board", "paint"]
    assert changed.faces[-1] == pytest.approx(wall.thickness + 2 * INCH)  # nothing carried over from the old layers


def test_block_without_a_lining_says_so_and_that_nothing_was_found() -> None:
    bare = make_wall([block()], construction="mass-direct-render", datum="block-exterior")
    found = find_ways(bare, site_from_zone("5B"), BOARDS)
    assert found.ways == ()
    assert any("no layer inside can hold a board" in note for note in found.notes)
    text = assessments_text([with_ways(assess(bare, place("5B")), bare, place("5B"), BOARDS)])
    assert "none of the stock changes meets it; tried: " in text


def test_a_wall_that_meets_a_path_asks_for_no_material() -> None:
    wall, site = framed(BATT_R20), site_from_zone("3A")

    def materials() -> object:
        raise AssertionError("asked")
        yield

    done = with_ways(assess(wall, site), wall, site, materials())  # type: ignore[arg-type]
    assert done.ways is not None and done.ways.ways == ()
    assert "ways to meet" not in assessments_text([done])
    assert "margin +" in assessments_text([done])


@pytest.mark.parametrize(
    ("name", "zone"), [("framed-siding-furring", "5A"), ("block-direct-stucco", "6B"), ("framed-brick-veneer", "4A")]
)
def test_each_way_is_the_wall_with_its_layers_changed_and_meets(name: str, zone: str) -> None:
    library = open_library()
    wall, site = library.wall(name), site_from_zone(zone)
    ways = ways_to_comply(wall, site, library.materials.values())
    assert 1 <= len(ways) <= 5
    assert not energy_code(wall, site, thermal_result(wall))[0].meets_prescriptive
    before = thermal_result(wall).u_si
    for way in ways:
        assert way.met and all(path.meets for path in way.met)
        assert way.u_si < before
        assert way.thickness == pytest.approx(wall.thickness + way.added_thickness)
    harmless = [w for w in ways if not [f for f in w.new_findings if f.severity.word == "error" and f.code != "P52"]]
    added = [round(way.added_thickness, 6) for way in harmless]
    assert added == sorted(added)


def test_the_next_thinner_stock_board_does_not_meet() -> None:
    """Smallest means smallest: one stock size less leaves the wall short."""
    wall, site = framed(BATT_R13, "3-1/2 in"), site_from_zone("5A")
    (way,) = ways_to_comply(wall, site, (XPS,))
    seat = board_seat(wall)
    assert seat is not None
    thinner = [size for size in stock(XPS) if size[0] < way.added_thickness - 1e-6]
    assert thinner
    for thickness, sheets in thinner:
        changed = with_board(wall, seat, XPS, thickness, sheets).wall
        assert not energy_code(changed, site, thermal_result(changed))[0].meets_prescriptive


def test_boards_through_which_cladding_is_fastened_end_at_4_in() -> None:
    """IRC R703.15: the table of furring over foam ends at 4.00 in (confirmed in the twin table of the 2018 IBC)."""
    assert max(size for size, _ in stock(XPS)) == pytest.approx(4 * INCH)
    assert max(size for size, _ in stock(XPS, outside=False)) == pytest.approx(6 * INCH)
    assert (2.5 * INCH) in [pytest.approx(size) for size, _ in stock(XPS)]


def test_what_a_change_adds_is_said_with_its_code() -> None:
    """Furring screws of the stucco wall's mat do not reach through the new board; the cold sheathing's warning goes."""
    library = open_library()
    site = site_from_county("Cook, IL")
    ways = ways_to_comply(library.wall("framed-stucco-drained"), site, library.materials.values())
    assert all("P52" in {finding.code for finding in way.new_findings} for way in ways)
    assert all("P25" in way.cured for way in ways)


def test_json_lists_the_ways_under_the_energy_code() -> None:
    wall, site = framed(BATT_R13, "3-1/2 in"), site_from_zone("3A")
    plain = json.loads(assessments_json([assess(wall, site)]))[0]["energy_code"]
    assert plain["ways"] is None
    done = json.loads(assessments_json([with_ways(assess(wall, site), wall, site, BOARDS)]))[0]["energy_code"]
    first = done["ways"][0]
    assert first["added_thickness_in"] == pytest.approx(1.0)
    assert first["u_ip"] == pytest.approx(1 / first["r_ip"])
    assert first["meets"][0]["label"] == "13&5ci"
    assert first["swaps"][0] == {
        "layer": "outside of wrb", "what": "continuous insulation", "from": "", "to": "1 in Test xps",
    }  # fmt: skip
    assert done["ways_tried"]


def test_direct_stucco_wall_is_thickened_inside() -> None:
    ways = ways_to_comply(direct_wall(), site_from_zone("5B"), BOARDS)
    assert ways and all(way.added_thickness > 0 for way in ways)
