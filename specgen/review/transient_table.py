"""One row per wall and claimed zone: what the hour-by-hour simulation says in the zone's listed cities, worst named.

The rows are committed as a table, so that a change of a material, a wall or the method shows what it moves.
"""

from __future__ import annotations

from specgen.model.site import Site
from specgen.model.transient import TransientResult
from specgen.model.wall import Wall
from specgen.review.moisture_table import Row, content_mark


def transient_row(wall: Wall, site: Site, result: TransientResult) -> Row:
    """The answers of one wall at one site as printed text.

    Parameters
    ----------
    wall : Wall
        That was run.
    site : Site
        One of its claimed zones.
    result : TransientResult
        What came out.
    """
    data = result.as_json()
    indices = [case.index for case in result.cases if case.plane]

    def number(value: float | None, digits: int) -> str:
        return "" if value is None else f"{value:.{digits}f}"

    return {
        "wall": wall.name,
        "content": content_mark(wall),
        "zone": site.zone_label,
        "city": result.city,
        "verdict": result.verdict,
        "depends_on": "; ".join(result.depends_on),
        "plane": result.plane_title,
        "facing": result.worst.orientation,
        "cells": result.worst.cells,
        "month": str(result.worst.month),
        "mold_index": number(data["max_mold_index"], 2),
        "mold_least": number(min(indices, default=None), 2),
        "mold_most": number(max(indices, default=None), 2),
        "rh_30day_pct": number(None if data["rh_30day_max"] is None else data["rh_30day_max"] * 100, 1),
        "wood_mc_pct": number(data["wood_mc_max"], 1),
        "reasons": " ".join(result.worst.reasons),
        "recovery_oct_d": number(data["recovery_days"]["oct"], 0),
        "recovery_apr_d": number(data["recovery_days"]["apr"], 0),
        "leak_pct": number(data["tolerated_leak_percent"], 1),
        "leak_over": "yes" if data["tolerated_leak_exceeds"] else "",
        "balance_error": f"{result.balance_error:.0e}",
    }
