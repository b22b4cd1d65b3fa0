"""U of a wall by hand: the paths from film to film side by side, without any correction in two dimensions."""

from __future__ import annotations

from specgen.checks.heat_paths import crossing, heat_paths
from specgen.model.wall import Wall
from specgen.physics import heat


def hand_u(wall: Wall) -> float:
    """U by parallel path, the method that codes accept. [W/(m²·K)]"""
    paths = heat_paths(crossing(wall).places)
    return heat.parallel_path([path.share for path in paths], [path.total for path in paths])
