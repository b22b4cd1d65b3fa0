"""R and U as a range: each end redone by hand, and the verdict that turns inside the range."""

from __future__ import annotations

import json
import math

import pytest
from builders import (
    BATT_R13,
    BATT_R20,
    BLOCK,
    GROUT,
    GYPSUM,
    OSB,
    SIDING,
    XPS,
    block,
    make_layer,
    make_material,
    make_wall,
    studs,
)
from ruined_walls import siding_wall

from specgen import units
from specgen.checks.assess import assess
from specgen.checks.bands import _changed, _inputs, band_findings, thermal_band
from specgen.checks.by_hand import hand_transmittance
from specgen.checks.energy import energy_code
from specgen.checks.thermal import thermal_result
from specgen.documents.findings import assessments_json, assessments_text
from specgen.library.load import open_library
from specgen.library.sites import site_from_zone
from specgen.model.wall import Wall

FILMS_R = 0.17 + 0.68  # us-exterior-winter and us-interior [h·ft²·°F/Btu]


def plain(fraction: float = 0.25) -> Wall:
    """Siding R-0.62, OSB R-0.62, R-20 between studs, gypsum R-0.45: the figures of the builders, all rated."""
    return make_wall(
        [
            make_layer("siding", SIDING, "1/2 in"),
            make_layer("sheathing", OSB, "7/16 in"),
            studs("5-1/2 in", BATT_R20, fraction=fraction),
            make_layer("board", GYPSUM, "1/2 in"),
        ]
    )


def by_hand(fraction: float) -> float:
    """Parallel path: studs of 5.5/0.8 = R-6.875 beside R-20. [Btu/(h·ft²·°F)]"""
    others = FILMS_R + 0.62 + 0.62 + 0.45
    return fraction / (others + 5.5 / 0.8) + (1 - fraction) / (others + 20)


def test_framing_of_022_to_027_redone_by_hand() -> None:
    band = thermal_band(plain())
    (fraction,) = band.inputs
    assert (fraction.name, fraction.low, fraction.high) == ("framing fraction of studs", "0.22", "0.27")
    assert fraction.u_low_si / units.U_IP == pytest.approx(by_hand(0.22), abs=2e-5)
    assert fraction.u_high_si / units.U_IP == pytest.approx(by_hand(0.27), abs=2e-5)


def test_a_declared_fraction_outside_the_usual_range_widens_it() -> None:
    (fraction,) = thermal_band(plain(0.15)).inputs
    assert (fraction.low, fraction.high) == ("0.15", "0.27")


def test_density_of_block_within_its_class_redone_by_hand() -> None:
    """k = 0.5 exp(0.02 density): 0.82 and 1.22 times that of 115 lb/ft3 at 105 and 125."""
    (density,) = [each for each in thermal_band(make_wall([block()], datum="block-exterior")).inputs]
    assert (density.low, density.high) == ("105 lb/ft³", "125 lb/ft³")

    def u(factor: float) -> float:
        k, lw, web = 4.99 * factor, 7.625 - 2 * 1.31, 3 * 1.125 / 15.625
        r = FILMS_R + 2 * 1.31 / k + 1 / (web * k / lw + (1 - web) / 0.97)
        return 1 / r

    assert density.u_low_si / units.U_IP == pytest.approx(u(math.exp(-0.2)), rel=2e-3)
    assert density.u_high_si / units.U_IP == pytest.approx(u(math.exp(0.2)), rel=2e-3)


def test_grout_that_sources_disagree_on_moves_a_grouted_wall() -> None:
    """6.73 by the formula against 12 Btu·in/(h·ft²·°F) printed by a masonry note."""
    grout = make_material(
        "test-grout-range", "mortar", density="130 lb/ft3", specific_heat="0.22 Btu/(lb*F)",
        conductivity={"value": "6.73 Btu*in/(h*ft2*F)", "high": "12 Btu*in/(h*ft2*F)", "source": "common practice",
                      "status": "common-practice"},
    )  # fmt: skip
    solid = block(unit={"grout": {"material": grout, "solid": "true"}})
    names = [each.name for each in thermal_band(make_wall([solid], datum="block-exterior")).inputs]
    assert "conductivity of Test grout range" in names
    ungrouted = [each.name for each in thermal_band(make_wall([block()], datum="block-exterior")).inputs]
    assert all("grout" not in name for name in ungrouted)
    assert GROUT.conductivity is not None and GROUT.conductivity.high is None and BLOCK.kind == "block"


def test_a_wall_of_rated_values_alone_has_no_range() -> None:
    wall = make_wall([make_layer("sheathing", OSB, "7/16 in"), make_layer("board", GYPSUM, "1/2 in")])
    band = thermal_band(wall)
    assert band.inputs == () and band.deciding is None
    assert band.u_low_si == pytest.approx(band.u_high_si) == pytest.approx(thermal_result(wall).u_si)


@pytest.mark.parametrize("wall", list(open_library().walls())[::4], ids=lambda wall: wall.name)
def test_the_range_holds_the_figure_and_every_single_input(wall: Wall) -> None:
    band, u = thermal_band(wall), thermal_result(wall).u_si
    assert band.u_low_si <= u * (1 + 1e-9) and u <= band.u_high_si * (1 + 1e-9)
    widths = [each.width for each in band.inputs]
    assert widths == sorted(widths, reverse=True)
    assert all(width > 0 for width in widths)
    assert band.u_high_si - band.u_low_si >= widths[0]


@pytest.mark.parametrize("name", ["framed-siding-cold", "block-direct-stucco", "block-interior-batt-coated-siding"])
def test_the_scaled_ends_are_those_of_the_full_solution(name: str) -> None:
    """Hollow block carries its correction to the ends; within 1 percent of solving there. The framed wall is solved."""
    wall = open_library().wall(name)
    band = thermal_band(wall)
    worse = []
    for item in _inputs(wall):
        tried = {end: hand_transmittance(_changed(wall, [(item, end)])) for end in item.ends}
        worse.append((item, max(tried, key=lambda end: tried[end])))
    assert thermal_result(_changed(wall, worse)).u_si == pytest.approx(band.u_high_si, rel=0.01)


def test_a_u_verdict_that_turns_inside_the_range_names_the_deciding_input() -> None:
    """R-19 does not meet R-20, and some thin board brings its U beside the 0.060 of zone 3, some does not."""
    batt = make_material(
        "test-batt-r-19-shallow", "batt", rated=[("5-1/2 in", "R-19")], density="14 kg/m3",
        specific_heat="840 J/(kg*K)", air_open="true", permeability="100 perm-in",
    )  # fmt: skip
    site = site_from_zone("3A")
    found = []
    for board in ("1/16 in", "1/8 in", "3/16 in", "1/4 in", "3/8 in", "1/2 in"):
        layers = [layer.model_copy(update={"fill": batt}) if layer.id == "studs" else layer for layer in plain().layers]
        layers.insert(1, make_layer("foam", XPS, board))
        wall = make_wall(layers)
        code, _ = energy_code(wall, site, thermal_result(wall))
        for each in band_findings(wall, thermal_band(wall), code):
            assert "framing fraction of studs, 0.22 to 0.27" in each.message
            assert "against U-0.060" in each.message and "rests on it" in each.message
            assert "T20" in {other.code for other in assess(wall, site).findings}
            found.append(board)
    assert 0 < len(found) < 6


def test_a_verdict_that_stands_over_the_whole_range_gets_no_finding() -> None:
    wall = plain()
    for zone in ("1A", "8"):
        code, _ = energy_code(wall, site_from_zone(zone), thermal_result(wall))
        assert band_findings(wall, thermal_band(wall), code) == ()


def test_text_and_json_give_the_range() -> None:
    wall = siding_wall()
    done = assess(wall, site_from_zone("3A"))
    assert "over the ranges of its inputs; most from framing fraction of studs" in " ".join(
        assessments_text([done]).split()
    )
    thermal = json.loads(assessments_json([done]))[0]["thermal"]
    low, high = thermal["u_range_ip"]
    assert low < thermal["u_ip"] < high
    assert thermal["r_range_ip"] == [pytest.approx(1 / high), pytest.approx(1 / low)]
    assert thermal["range_inputs"][0]["input"] == "framing fraction of studs"
    assert BATT_R13.id in {layer.fill.id for layer in wall.layers if layer.fill}
