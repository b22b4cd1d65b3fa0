"""Weather of a city in another climate zone than the site's is told, since rules and code stay those of the site."""

from __future__ import annotations

import pytest

from specgen.cli import _county, _weather
from specgen.library.sites import site_from_county, site_from_zone
from specgen.library.weather_city import listed_cities

SITE = site_from_zone("2B", "2021", "2021")


@pytest.mark.parametrize(("city", "told"), [("Miami, FL", "zone 1A"), ("Phoenix, AZ", ""), (None, "")])
def test_a_city_of_another_zone_is_told(city: str | None, told: str, capsys: pytest.CaptureFixture[str]) -> None:
    _weather([SITE, SITE], city, None, None)
    said = capsys.readouterr().err
    assert said.count("\n") == bool(told) and told in said


def test_a_city_alone_is_the_place_too() -> None:
    assert _county(None, None, "Miami") == "Miami-Dade, FL"
    assert _county("2B", None, "Miami") is None
    assert _county(None, "Harris, TX", "Miami") == "Harris, TX"


@pytest.mark.parametrize("city", listed_cities(), ids=lambda city: city.key)
@pytest.mark.parametrize("edition", ["2018", "2021", "2024"])
def test_every_listed_city_lies_in_a_county_of_its_zone(city, edition: str) -> None:  # type: ignore[no-untyped-def]
    site = site_from_county(_county(None, None, city.title) or "", edition, edition)
    assert site.zone_label == (city.zone_older if edition == "2018" else city.zone_newer)
