"""Many walls together, with and without kept results, say of each wall what is said of it alone."""

from __future__ import annotations

from pathlib import Path

import pytest

from specgen import cache
from specgen.checks import years
from specgen.checks.assess import assess, assess_all
from specgen.checks.swaps import with_layers
from specgen.library.load import open_library
from specgen.library.sites import site_from_zone
from specgen.model.site import Site
from specgen.model.wall import Wall


@pytest.fixture(autouse=True)
def own_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SPECGEN_CACHE", str(tmp_path / "kept"))
    cache.forget()


@pytest.fixture(scope="module")
def pairs() -> list[tuple[Wall, Site]]:
    site = site_from_zone("3A")
    walls = list(open_library().walls())[::6]
    assert len(walls) * len(site.cities) * 4 >= years.MANY
    return [(wall, site) for wall in walls]


def with_months(pairs: list[tuple[Wall, Site]], alone: bool = False) -> list[object]:
    """Everything printed of each wall, and its governing run with the profile of each month."""
    found = [assess(wall, site) for wall, site in pairs] if alone else assess_all(pairs)
    return [(each.as_json(), each.moisture.monthly) for each in found]


def test_alone_together_and_from_kept_results_is_the_same(
    pairs: list[tuple[Wall, Site]], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    alone = with_months(pairs, alone=True)
    assert with_months(pairs) == alone
    assert 1 < len(list((tmp_path / "kept" / years.KIND).iterdir())) <= len(pairs)  # walls of one path share theirs
    cache.forget()
    monkeypatch.setattr("specgen.physics.condensation_lanes.run_years", None)  # not asked again
    assert with_months(pairs) == alone


def test_a_changed_wall_is_not_given_the_years_of_the_old_one(pairs: list[tuple[Wall, Site]]) -> None:
    with_months(pairs)
    changed = []
    for wall, site in pairs:
        thick = next(layer for layer in wall.layers if layer.thickness and layer.framing is None)
        layers = [
            layer.model_copy(update={"thickness": layer.thickness * 1.5})
            if layer is thick and layer.thickness
            else layer
            for layer in wall.layers
        ]
        changed.append((with_layers(wall, layers), site))
    assert with_months(changed) == with_months(changed, alone=True)


def test_few_walls_leave_nothing_in_the_folder(pairs: list[tuple[Wall, Site]], tmp_path: Path) -> None:
    with_months(pairs[:1])
    assert not (tmp_path / "kept" / years.KIND).exists()
