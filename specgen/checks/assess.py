"""One wall at one site: heat, energy code, moisture and every rule, gathered into an assessment."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import replace
from functools import lru_cache

from specgen.checks.bands import band_findings, thermal_band
from specgen.checks.claims import contradicted, with_reasons
from specgen.checks.conduction_findings import conduction_findings
from specgen.checks.design_hour import design_hour_findings, design_hours
from specgen.checks.energy import energy_code
from specgen.checks.layers import Reading
from specgen.checks.moisture import moisture_result
from specgen.checks.monthly import Years, monthly_findings, monthly_result
from specgen.checks.once import once
from specgen.checks.practice import rule_findings
from specgen.checks.rules import Case
from specgen.checks.thermal import thermal_findings, thermal_result
from specgen.checks.years import years_of
from specgen.errors import NotComputableError
from specgen.model.assessment import Assessment
from specgen.model.finding import Finding
from specgen.model.site import Site
from specgen.model.wall import Wall


def assess(wall: Wall, site: Site) -> Assessment:
    """All that the steady and rule checks say of a wall at a site.

    Raises
    ------
    NotComputableError
        If the data of a layer do not yield a figure; the message names wall, layer and what is missing.
    """
    return _assessed(wall, site, {})


def assess_all(pairs: Sequence[tuple[Wall, Site]]) -> list[Assessment]:
    """What `assess` says of each wall at its site, in that order; vapor by month is computed for all of them at once.

    Raises
    ------
    NotComputableError
        As `assess`, of the first pair that yields no figure.
    """
    years: Years = {}
    with suppress(NotComputableError):  # which wall it was is said in its turn below
        years = years_of(Case(_reading(wall), site, _thermal(wall)) for wall, site in pairs)
    return [_assessed(wall, site, years) for wall, site in pairs]


def _assessed(wall: Wall, site: Site, years: Years) -> Assessment:
    try:
        return _assess(wall, site, years)
    except NotComputableError as error:
        message = str(error)
        raise NotComputableError(message if repr(wall.name) in message else f"wall {wall.name!r}: {message}") from error


def _assess(wall: Wall, site: Site, years: Years) -> Assessment:
    thermal = _thermal(wall)
    code, code_findings = energy_code(wall, site, thermal)
    band = thermal_band(wall)
    case = Case(_reading(wall), site, thermal)
    findings = [
        *thermal_findings(wall, thermal, site),
        *conduction_findings(wall, thermal, code),
        *band_findings(wall, band, code),
        *code_findings,
        *rule_findings(case),
    ]
    hours = design_hours(case)
    findings += design_hour_findings(case, hours[0]) if hours else ()
    monthly = monthly_result(case, years)
    findings += monthly_findings(case, monthly)
    findings += contradicted(case, findings)
    return Assessment(
        wall=wall.id,
        variant=wall.variant,
        title=wall.variant_title or wall.title,
        site=site.name,
        zone=site.zone_label,
        thermal=thermal,
        energy_code=code,
        moisture=replace(
            _moisture(wall, thermal),
            design_hour=hours[0] if hours else None,
            monthly=monthly,
            weather_city=monthly.governing.city if monthly else "",
            weather_distance_km=site.city_distance_km,
            weather_remark=site.city_remark,
        ),
        findings=in_order(wall, with_reasons(wall, site, findings)),
        band=band,
    )


# The same at every site of a wall; by content for walls that are read again.
_thermal = once(lru_cache(maxsize=128)(thermal_result))
_reading, _moisture = once(Reading), once(moisture_result)


def in_order(wall: Wall, findings: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """Errors first, then by layer from the exterior, the whole wall before its layers, then by code."""
    place = {layer.id: index for index, layer in enumerate(wall.layers)}
    return tuple(sorted(findings, key=lambda f: (-f.severity, place.get(f.layer, -1), f.code, f.message)))
