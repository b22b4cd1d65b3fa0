"""Vapor by design month of whole walls: rooms, cities, planes by name, and what must not change an answer."""

from __future__ import annotations

from dataclasses import replace as with_fields

import pytest
import ruined_walls as ruin
from builders import BATT_R13, POLYETHYLENE, make_material, studs

from specgen.checks.assess import assess
from specgen.checks.layers import Reading
from specgen.checks.monthly import amount, monthly_result
from specgen.checks.rooms import cooled_house, heated_house, humidity_class, rooms
from specgen.checks.rules import Case
from specgen.checks.thermal import thermal_result
from specgen.data import load_table
from specgen.library.sites import site_from_zone, with_weather
from specgen.library.weather_city import find_city
from specgen.model.moisture import MonthlyResult
from specgen.model.site import Site
from specgen.model.wall import Wall
from specgen.physics.air import saturation_pressure

BOARD = make_material(  # known per thickness, so that it can be cut: a tested board cannot
    "test-cuttable-board", "wood-panel", conductivity="0.13 W/(m*K)", permeability=("0.4 perm-in", "1.2 perm-in"),
    wood_based="true", moisture_sensitive="true", density="650 kg/m3", specific_heat="1700 J/(kg*K)",
)  # fmt: skip


def run(wall: Wall, site: Site) -> MonthlyResult:
    found = monthly_result(Case(Reading(wall), site, thermal_result(wall)))
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("outdoor", "humidity"), [(-10, 0.40), (0, 0.50), (5, 0.55), (10, 0.60), (15, 0.65), (20, 0.70)]
)
def test_design_humidity_of_a_house(outdoor: float, humidity: float) -> None:
    # ASHRAE 160, simplified method (from memory): 40 % at -10 °C and below, 70 % at 20 °C and above, straight between.
    month = with_fields(find_city("Boston").months[0], temperature=float(outdoor))
    temperature, pressure = heated_house(month)
    assert pressure / saturation_pressure(temperature) == pytest.approx(humidity)
    assert temperature == pytest.approx(max(21.1, outdoor + 2.8))
    if outdoor <= 18.3:
        assert cooled_house(month) == heated_house(month)


def test_a_cooled_house_is_75_f_and_50_percent_in_the_heat() -> None:
    month = with_fields(find_city("Houston").months[6], temperature=29.0)
    temperature, pressure = cooled_house(month)
    assert (temperature, pressure / saturation_pressure(temperature)) == pytest.approx((23.9, 0.50))


@pytest.mark.parametrize(("number", "excess"), [(1, 270), (2, 540), (3, 810), (4, 1080)])
def test_humidity_classes(number: int, excess: float) -> None:
    # ISO 13788:2012 (from memory): full excess at 0 °C and below, half of it at 10 °C, none at 20 °C; margin 1.10.
    month = find_city("Boston").months[0]
    for outdoor, share in ((-5.0, 1.0), (0.0, 1.0), (10.0, 0.5), (20.0, 0.0)):
        _, pressure = humidity_class(number)(with_fields(month, temperature=outdoor))
        assert pressure - month.vapor_pressure == pytest.approx(1.10 * excess * share)


def test_checksum_of_the_table() -> None:
    table = load_table("monthly_moisture")
    limits = table["limits"]
    found = {
        "films": sum(row["value"] for row in table["films"].values()),
        "excess": sum(row["excess"] for row in table["classes"]["rows"]),
        "limits": limits["general"] + limits["not_absorbing"],
        "share": limits["wood_share"] + limits["wood_based_share"],
    }
    assert found == pytest.approx(table["checksum"])


def test_every_listed_city_of_a_zone_is_run_and_the_worst_is_named() -> None:
    result = run(ruin.stucco_wall(), site_from_zone("3A"))
    cities = {found.city for found in result.runs}
    assert cities == {"Atlanta, GA", "Memphis, TN", "Charlotte, NC", "Raleigh, NC"}
    assert len(result.runs) == len(cities) * len(rooms())
    assert result.governing.peak == max(found.peak for found in result.runs if found.judged)
    assert result.governing.city == "Raleigh, NC"


def test_json_says_what_was_run_and_what_was_left_out() -> None:
    site = with_weather(site_from_zone("5A"), latitude=41.5, longitude=-87.5)
    moisture = assess(ruin.stucco_wall(), site).as_json()["moisture"]
    assert moisture["weather_city"] == "Chicago, IL"
    assert moisture["weather_distance_km"] == pytest.approx(64, abs=2)
    monthly = moisture["monthly"]
    assert monthly["left_out"] == "does not include sun-driven vapor"
    assert monthly["plane"] == ["sheathing", "studs"] and len(monthly["months"]) == 12
    assert monthly["peak_oz_ft2"] == pytest.approx(monthly["peak_g_m2"] / 305.15, rel=1e-4)  # 28.3495 g in 0.092903 m²
    assert sum(month["gained_g_m2"] for month in monthly["months"]) == pytest.approx(monthly["residual_g_m2"], abs=1e-3)


def test_without_a_listed_city_nothing_is_said_but_why() -> None:
    assessment = assess(ruin.stucco_wall(), site_from_zone("1B"))
    assert assessment.moisture.monthly is None and assessment.as_json()["moisture"]["monthly"] is None
    assert [finding.code for finding in assessment.findings if finding.code.startswith("M4")] == ["M43"]


@pytest.mark.parametrize("zone", ["2A", "4A", "7"])
def test_a_layer_cut_in_two_changes_nothing(zone: str) -> None:
    whole = ruin.replace(ruin.stucco_wall(), "sheathing", ruin.layer("sheathing", BOARD, "1/2 in"))
    halves = (ruin.layer("outer-half", BOARD, "1/8 in"), ruin.layer("inner-half", BOARD, "3/8 in"))
    cut = ruin.replace(whole, "sheathing", *halves)
    a, b = run(whole, site_from_zone(zone)), run(cut, site_from_zone(zone))
    for one, two in zip(a.runs, b.runs, strict=True):
        assert two.peak == pytest.approx(one.peak, rel=1e-6, abs=1e-9)
        assert two.residual == pytest.approx(one.residual, rel=1e-6, abs=1e-9)


@pytest.mark.parametrize("beside", ["mat", "wrb", "sheathing", "studs", "board", "paint"])
def test_polyethylene_anywhere_never_lowers_the_resistance(beside: str) -> None:
    bare = run(ruin.stucco_wall(), site_from_zone("4A")).governing
    closed = ruin.after(ruin.stucco_wall(), beside, ruin.layer("poly", POLYETHYLENE, "6 mil"))
    found = run(closed, site_from_zone("4A")).governing
    sheet = 3.496 / 0.06  # s_d of 0.06 perm, moisture tables [m]
    by_month = {month.month: month for month in bare.months}
    for month in found.months:
        # The other layers' cups follow their humidity, so that the sum may fall short of the sheet by theirs.
        assert month.planes[-1].sd > max(sheet * 0.999, by_month[month.month].planes[-1].sd)


def test_planes_run_from_outside_to_the_room_in_thickness_and_resistance() -> None:
    wall = ruin.replace(ruin.brick_wall(), "studs", studs("3-1/2 in", BATT_R13))
    for month in run(wall, site_from_zone("5A")).governing.months:
        places = [plane.position for plane in month.planes]
        assert places == sorted(places) and places[-1] == pytest.approx(sum(layer.depth for layer in wall.layers))
        assert [plane.sd for plane in month.planes] == sorted(plane.sd for plane in month.planes)
        assert month.planes[0].outer == "" and month.planes[-1].inner == ""
        assert all(plane.pressure <= plane.saturation * (1 + 1e-9) for plane in month.planes)


def test_amount_prints_inch_pound_first() -> None:
    assert amount(0.2468) == "0.81 oz/ft² (250 g/m²)"
    assert amount(12.345) == "40 oz/ft² (12000 g/m²)"
