"""Weather of a city in another climate zone than the site's is told, since rules and code stay those of the site."""

from __future__ import annotations

import pytest

from specgen.cli import _weather
from specgen.library.sites import site_from_zone

SITE = site_from_zone("2B", "2021", "2021")


@pytest.mark.parametrize(("city", "told"), [("Miami, FL", "zone 1A"), ("Phoenix, AZ", ""), (None, "")])
def test_a_city_of_another_zone_is_told(city: str | None, told: str, capsys: pytest.CaptureFixture[str]) -> None:
    _weather([SITE, SITE], city, None, None)
    said = capsys.readouterr().err
    assert said.count("\n") == bool(told) and told in said
