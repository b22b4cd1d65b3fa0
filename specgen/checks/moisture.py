"""Steady moisture answers of one wall: retarder class inside, where it dries to, share of R outside of the cavity.

Findings stand with their rules in `checks/retarders.py` and `checks/drying.py`. Permeances are printed in perm.
"""

from __future__ import annotations

import math
from typing import Any

from specgen import units
from specgen.checks.drying import Drying, drying_of_wall, governing, vapor_plane
from specgen.checks.layers import Reading
from specgen.model.assessment import MoistureResult, ThermalResult
from specgen.model.wall import Wall


def moisture_result(wall: Wall, thermal: ThermalResult) -> MoistureResult:
    """Retarder class and layer, drying direction of the layer that governs, exterior share of R.

    Raises
    ------
    NotComputableError
        If no layer carries the wall.
    """
    reading = Reading(wall)
    retarder = reading.interior_retarder
    dryings = drying_of_wall(reading)
    worst = governing(dryings)
    return MoistureResult(
        retarder_class=retarder.retarder_class if retarder else "none",
        retarder_layer=wall.layers[retarder.index].id if retarder else "",
        dries_to=worst.dries_to,
        exterior_share=exterior_share(reading, thermal) if reading.framed else None,
        extra={
            "drying_method": "steady diffusion, wet cup where known, 1 perm or more to call it drying",
            "governing_layer": wall.layers[worst.index].id,
            "vapor_plane": _layer_id(wall, vapor_plane(reading)),
            "drying": [_as_json(wall, drying) for drying in dryings],
        },
    )


def exterior_share(reading: Reading, thermal: ThermalResult) -> float:
    """Share of the R between members that lies outside of the cavity, films included.

    Returns
    -------
    share : float
        0 to 1. [-]
    """
    path = max(thermal.paths, key=lambda p: p.total)
    inside = {reading.layers[i].id for i in range(reading.body.start, len(reading.layers))}
    seen_cavity = False
    outside = 0.0
    for part in path.resistances:  # exterior first, so films fall to their own side
        seen_cavity = seen_cavity or part.layer in inside
        outside += 0.0 if seen_cavity else part.resistance
    return outside / path.total


def _as_json(wall: Wall, drying: Drying) -> dict[str, Any]:
    return {
        "layer": wall.layers[drying.index].id,
        "exterior_perm": _finite(drying.exterior),
        "interior_perm": _finite(drying.interior),
        "dries_to": drying.dries_to,
        "exterior_closed_by": _layer_id(wall, drying.exterior_closed_by),
        "interior_closed_by": _layer_id(wall, drying.interior_closed_by),
    }


def _layer_id(wall: Wall, index: int | None) -> str:
    return "" if index is None else wall.layers[index].id


def _finite(permeance: float) -> float | None:
    """In perm; None where nothing is in the way."""
    return None if math.isinf(permeance) else permeance / units.PERM
