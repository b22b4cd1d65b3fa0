"""Places: zones, counties as people write them, projects, and what an unknown name answers."""

from __future__ import annotations

from typing import Any

import pytest

from specgen import units
from specgen.errors import InputError, NotComputableError, UnknownNameError
from specgen.library.sites import find_county, project_site, site_from_county, site_from_zone
from specgen.model.project import Project

HERE: dict[str, Any] = {
    "schema": "1", "id": "demo", "name": "Demo", "number": "01", "office": "Invented office", "issued_for": "review",
    "revision": "0", "date": "2026-01-01", "wall_types": (),
    "code": {"energy": "IECC 2021", "residential": "IRC 2021", "note": "amendments to be confirmed"},
}  # fmt: skip


def project(*sites: dict[str, Any], **code: str) -> Project:
    return Project.model_validate({**HERE, "sites": sites, "code": {**HERE["code"], **code}})


# Zones of known counties, 2018 map and newer map (secondary: county table of the US Department of Energy's guide).
KNOWN = [
    ("Cook, IL", "5A", "5A"), ("Dallas, TX", "3A", "2A"), ("Tarrant, TX", "3A", "2A"), ("Wake, NC", "4A", "3A"),
    ("Clallam, WA", "4C", "5C"), ("Harris, TX", "2A", "2A"), ("Miami-Dade, FL", "1A", "1A"),
    ("Maricopa, AZ", "2B", "2B"), ("Fulton, GA", "3A", "3A"), ("Clark, NV", "3B", "3B"),
    ("San Francisco, CA", "3C", "3C"), ("Baltimore, MD", "4A", "4A"), ("Bernalillo, NM", "4B", "4B"),
    ("King, WA", "4C", "4C"), ("Denver, CO", "5B", "5B"), ("Hennepin, MN", "6A", "6A"),
    ("Lewis and Clark, MT", "6B", "6B"), ("St. Louis, MN", "7", "7"), ("Fairbanks North Star, AK", "8", "8"),
    ("Honolulu, HI", "1A", "1A"),
]  # fmt: skip


@pytest.mark.parametrize(("county", "older", "newer"), KNOWN, ids=[row[0] for row in KNOWN])
def test_zone_of_county_by_edition(county: str, older: str, newer: str) -> None:
    assert site_from_county(county, "2018").zone_label == older
    assert site_from_county(county, "2021").zone_label == newer
    assert site_from_county(county, "2024").zone_label == newer


@pytest.mark.parametrize(
    ("written", "printed"),
    [
        ("harris county, texas", "Harris County, TX"),
        ("  HARRIS , tx ", "Harris County, TX"),
        ("Orleans Parish, LA", "Orleans Parish, LA"),
        ("orleans, Louisiana", "Orleans Parish, LA"),
        ("Saint Louis, MO", "St. Louis County, MO"),
        ("St. Louis County, MO", "St. Louis County, MO"),
        ("st louis city, MO", "St. Louis city, MO"),
        ("City of Alexandria, VA", "Alexandria city, VA"),
        ("Alexandria, VA", "Alexandria city, VA"),
        ("Fairfax, VA", "Fairfax County, VA"),
        ("prince georges, MD", "Prince George's County, MD"),
        ("Dona Ana, NM", "Doña Ana County, NM"),
        ("Du Page, IL", "DuPage County, IL"),
        ("La Salle, IL", "LaSalle County, IL"),
        ("De Kalb, GA", "DeKalb County, GA"),
        ("Miami Dade, FL", "Miami-Dade County, FL"),
        ("Fairbanks North Star Borough, AK", "Fairbanks North Star, AK"),
        ("District of Columbia, DC", "District of Columbia, DC"),
        ("Carson City, NV", "Carson City, NV"),
        ("James City County, VA", "James City County, VA"),
    ],
)
def test_county_as_people_write_it(written: str, printed: str) -> None:
    assert site_from_county(written).name == printed


@pytest.mark.parametrize(
    ("written", "message"),
    [
        ("Haris, TX", "county 'Haris, TX' does not exist; did you mean 'Harris, TX', 'Harrison, TX', 'Hardin, TX'?"),
        (
            "Cook, TX",
            "county 'Cook, TX' does not exist; did you mean 'Cooke, TX', 'Coke, TX', 'Concho, TX'?; "
            "Cook is a county of GA, IL, MN",
        ),
        ("Zzz, TX", "county 'Zzz, TX' does not exist"),
        ("Harris, TQ", "state 'TQ' does not exist; did you mean TN (Tennessee), TX (Texas)?"),
        ("Cook, Ilinois", "state 'Ilinois' does not exist; did you mean IL (Illinois)?"),
        ("Cook", "county 'Cook' names no state; Cook is a county of GA, IL, MN; expected for example 'Cook, GA'"),
        ("Nowhere", "county 'Nowhere' names no state; expected for example 'Harris, TX'"),
        (" ", "no county is named; expected a name and a state, for example 'Harris, TX'"),
    ],
)
def test_unknown_county_names_the_nearest(written: str, message: str) -> None:
    with pytest.raises(UnknownNameError) as error:
        site_from_county(written)
    assert str(error.value) == message


def test_places_without_a_zone_in_the_list_say_so() -> None:
    with pytest.raises(NotComputableError, match=r"Kusilvak, AK has no zone in the county list; give the zone instead"):
        site_from_county("Kusilvak, AK")
    with pytest.raises(NotComputableError, match="Puerto Rico has no counties in the list"):
        site_from_county("San Juan, PR")


@pytest.mark.parametrize(
    ("zone", "label", "marine"), [("2a", "2A", False), ("4C", "4C", True), ("7", "7", False), (" 8 ", "8", False)]
)
def test_site_from_zone(zone: str, label: str, marine: bool) -> None:
    site = site_from_zone(zone)
    assert (site.zone_label, site.marine) == (label, marine)
    assert site.name == f"climate zone {label}"
    assert site.hazards.termite.value is None
    assert site.hazards.termite.text == "not known: enter"


def test_unknown_zone_names_the_nearest() -> None:
    with pytest.raises(UnknownNameError, match=r"climate zone '2C' does not exist; expected one of 2A, 2B$"):
        site_from_zone("2C")
    with pytest.raises(UnknownNameError, match="climate zone '9' does not exist; expected one of 0A, 0B, 1A, "):
        site_from_zone("9")


def test_warm_humid_flag_and_its_caveat() -> None:
    assert site_from_county("Harris, TX").warm_humid is True
    assert site_from_county("Cook, IL").warm_humid is False
    assert site_from_county("Hoonah-Angoon, AK").warm_humid is None
    assert "not checked for the newer map" in site_from_county("Harris, TX", "2021").zone_source
    assert "not checked" not in site_from_county("Harris, TX", "2018").zone_source


def test_hazard_defaults_carry_their_status() -> None:
    miami = site_from_county("Miami-Dade, FL").hazards
    assert (miami.termite.value, miami.termite.status, miami.termite.given) == ("very-heavy", "secondary", False)
    assert miami.design_wind.value == pytest.approx(175 * units.MPH)
    assert miami.wind_borne_debris.value is True
    assert miami.flood.value is None
    chicago = site_from_county("Cook, IL").hazards
    assert chicago.termite.value is None  # the state has several classes: none is assumed
    assert chicago.termite.text.startswith("not known: enter (")
    assert chicago.annual_rain.value == pytest.approx(0.874)


def test_project_site_merges_given_over_default() -> None:
    entry = {
        "id": "north", "name": "North lot", "county": "Miami-Dade, FL",
        "hazards": {
            "termite": "moderate-to-heavy", "annual_rain": "60 in", "flood": "true", "design_wind": "not known",
        },
    }  # fmt: skip
    site = project_site(project(entry), "north")
    assert site.name == "North lot, Miami-Dade County, FL"
    assert site.note == "amendments to be confirmed"
    assert (site.hazards.termite.value, site.hazards.termite.given) == ("moderate-to-heavy", True)
    assert site.hazards.annual_rain.text == "60 in per year"
    assert site.hazards.flood.value is True
    assert site.hazards.design_wind.given is False  # 'not known' leaves the county's default standing
    assert site.hazards.design_wind.text == "175 mph, risk category II"


def test_project_site_follows_the_edition_chosen() -> None:
    entry = {"id": "dallas", "name": "Dallas lot", "county": "Dallas, TX"}
    assert project_site(project(entry), "dallas").zone_label == "2A"
    older = project(entry, energy="IECC 2018", residential="IRC 2018")
    assert project_site(older, "dallas").zone_label == "3A"
    assert project_site(older, "dallas").irc_edition == "2018"


def test_project_site_by_zone_alone() -> None:
    site = project_site(project({"id": "a", "name": "Lot A", "zone": "6B"}), "a")
    assert (site.zone, site.regime, site.county) == (6, "B", "")


def test_project_site_errors() -> None:
    with pytest.raises(UnknownNameError, match="site 'b' does not exist; expected one of a"):
        project_site(project({"id": "a", "name": "A", "zone": "6B"}), "b")
    with pytest.raises(InputError, match="site 'a' has neither county nor zone"):
        project_site(project({"id": "a", "name": "A"}), "a")
    with pytest.raises(InputError, match="gives zone 3A, but Dallas County, TX is 2A"):
        project_site(project({"id": "a", "name": "A", "county": "Dallas, TX", "zone": "3A"}), "a")


def test_county_record_keeps_both_maps() -> None:
    county = find_county("Dallas, TX")
    assert (county.older_zone, county.newer_zone, county.warm_humid) == ("3A", "2A", True)
