"""One row per wall and claimed zone: vapor by design month and at the design hour, retarder class, drying.

The rows are committed as a table, so that a change of a material, a wall or a formula shows what it moves.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping

from specgen import units
from specgen.checks.design_hour import design_hours
from specgen.checks.layers import Reading
from specgen.checks.moisture import moisture_result
from specgen.checks.monthly import monthly_findings, monthly_result
from specgen.checks.practice import rule_findings
from specgen.checks.rules import Case
from specgen.checks.thermal import thermal_result
from specgen.model.assessment import ThermalResult
from specgen.model.finding import Severity
from specgen.model.moisture import MonthlyResult
from specgen.model.site import Site
from specgen.model.wall import Wall

Row = dict[str, str]
HASH_LETTERS = 16


def content_mark(wall: Wall) -> str:
    """The beginning of the wall's content hash: it changes with the file, its fragments and its materials."""
    return wall.content_hash[:HASH_LETTERS]


def moisture_row(wall: Wall, site: Site, thermal: ThermalResult) -> Row:
    """The moisture answers of one wall at one site as printed text, in grams per square meter and perm.

    Raises
    ------
    NotComputableError
        If a layer yields no resistance, or no layer carries the wall.
    """
    case = Case(Reading(wall), site, thermal)
    monthly = monthly_result(case)
    steady = moisture_result(wall, thermal)
    retarder = case.reading.interior_retarder
    findings = [*rule_findings(case), *monthly_findings(case, monthly)]
    codes = {f.code for f in findings if f.severity > Severity.NOTE and f.code.startswith("M")}
    return {
        "wall": wall.name,
        "content": content_mark(wall),
        "zone": site.zone_label,
        **_monthly(monthly),
        **_design_hour(case),
        "retarder_class": steady.retarder_class,
        "retarder_layer": steady.retarder_layer,
        "retarder_perm": f"{retarder.dry / units.PERM:.3g}" if retarder else "",
        "dries_to": steady.dries_to,
        "warnings": " ".join(sorted(codes)),
    }


def _monthly(result: MonthlyResult | None) -> Row:
    if result is None:
        return dict.fromkeys(MONTHLY_COLUMNS, "") | {"month_verdict": "no listed city"}
    run = result.governing
    normal = max(other.peak for other in result.runs if other.room == "class-2")
    values = (
        run.verdict,
        run.city,
        run.room,
        " / ".join(dict.fromkeys(run.plane)) if run.peak > 0 else "",
        f"{run.peak * 1000:.3g}",
        str(run.peak_month) if run.peak > 0 else "",
        f"{run.residual * 1000:.3g}",
        f"{normal * 1000:.3g}",
        f"{result.factor:.3f}",
        "" if result.surface.needed_factor is None else f"{result.surface.needed_factor:.3f}",
    )
    return dict(zip(MONTHLY_COLUMNS, values, strict=True))


MONTHLY_COLUMNS = (
    "month_verdict", "month_city", "month_room", "plane", "peak_g_m2", "peak_month", "left_g_m2", "peak_normal_g_m2",
    "f_rsi", "f_rsi_needed",
)  # fmt: skip


def _design_hour(case: Case) -> Row:
    hours = design_hours(case)
    if not hours:
        return dict.fromkeys(HOUR_COLUMNS, "") | {"hour_verdict": "no listed city"}
    hour = hours[0]
    values = (
        hour.verdict,
        hour.city,
        hour.orientation,
        hour.judged,
        "" if hour.judged_humidity is None else f"{hour.judged_humidity * 100:.3g}",
        "" if hour.judged_worst is None else f"{hour.judged_worst * 100:.3g}",
        f"{hour.inward * 3.6e6:.3g}",
    )
    return dict(zip(HOUR_COLUMNS, values, strict=True))


HOUR_COLUMNS = (
    "hour_verdict", "hour_city", "hour_facing", "hour_layer", "hour_rh_pct", "hour_rh_worst_pct", "hour_inward_g_m2h",
)  # fmt: skip


def moisture_rows(walls: Iterable[Wall], sites: Mapping[str, Site]) -> list[Row]:
    """Rows of every wall in every zone that it claims.

    Parameters
    ----------
    walls : iterable of Wall
        Variants among them.
    sites : mapping of str to Site
        By zone label.
    """
    found = []
    for wall in walls:
        zones = wall.suits.zones if wall.suits else ()
        thermal = thermal_result(wall) if zones else None
        found += [moisture_row(wall, sites[zone], thermal) for zone in zones if thermal]
    return found


def as_csv(rows: Iterable[Row]) -> str:
    """The rows as comma-separated text with a heading."""
    listed = list(rows)
    stream = io.StringIO()
    writer = csv.DictWriter(stream, list(listed[0]) if listed else [], lineterminator="\n")
    writer.writeheader()
    writer.writerows(listed)
    return stream.getvalue()
