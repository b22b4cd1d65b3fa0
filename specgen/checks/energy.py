"""The prescriptive paths of the residential energy code: wall, heat result and place in, each path judged apart.

The R path counts labeled insulation only, the U path the whole wall; neither is derived from the other. Total UA and
simulated performance are other ways to comply and are not evaluated. The limits are those of the model code, or of the
jurisdiction that amends it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from specgen import units
from specgen.checks import makeup
from specgen.checks.insulation import wall_heat_capacity
from specgen.checks.thermal_findings import finding
from specgen.data import load_table
from specgen.errors import UnknownNameError
from specgen.model.assessment import CodePath, EnergyCode, ThermalResult
from specgen.model.finding import Finding, Severity
from specgen.model.site import Site
from specgen.model.wall import Wall

LEAST_HEAT_CAPACITY = 6.0  # a wall of this much is a mass wall [Btu/(ft²·°F)]; IECC R402.2.5, from memory
R_DIGITS = 1  # labels and limits are compared to 0.1 [-]
U_DIGITS = 3  # limits are printed to 0.001 [-]
_ALTERNATIVE = re.compile(r"^(\d+)(?:&(\d+)ci)?$")


@dataclass(frozen=True, slots=True)
class Family:
    """Which table a wall is judged by, and why."""

    name: str  # "wood-frame", "mass" or "steel-frame"
    basis: str
    status: str


def energy_code(wall: Wall, site: Site, thermal: ThermalResult) -> tuple[EnergyCode, tuple[Finding, ...]]:
    """Both prescriptive paths of the wall for the zone and edition of the site, with what has to be said of them.

    Parameters
    ----------
    wall : Wall
        The wall.
    site : Site
        Gives zone, moisture regime and edition.
    thermal : ThermalResult
        From `thermal_result(wall)`.

    Returns
    -------
    code : EnergyCode
        One entry per alternative of the R path, one for the U path.
    findings : tuple of Finding
        E01 to E08, E10, E11.

    Raises
    ------
    UnknownNameError
        If the edition is none of those on file.

    Source
    ------
    IECC residential, R402.1 and R402.2.5, tables per edition in `data/iecc_walls.yaml`.
    """
    edition = _edition(site.edition)
    row, amended = _amended(_row(edition, site), site)
    family = family_of(wall, thermal)
    if family.name == "mass":
        paths = _mass_paths(edition, row, site, thermal)
    elif family.name == "wood-frame":
        paths = (*_frame_r_paths(edition, row, site, thermal), _u_path(edition, site, row["wood_u"], thermal))
    else:
        paths = (_u_path(edition, site, row["wood_u"], thermal),)
    whose = site.jurisdiction.name if amended and site.jurisdiction else ""
    code = EnergyCode(site.edition, family.name, family.basis, paths, _amendments(site, amended), whose)
    return code, (*_findings(wall, site, thermal, family, row, code), *_jurisdiction_findings(wall, site, amended))


def family_of(wall: Wall, thermal: ThermalResult) -> Family:
    """Mass wall by the code's list first, veneer left out; then by heat capacity; else framed.

    Parameters
    ----------
    wall : Wall
        The wall.
    thermal : ThermalResult
        From `thermal_result(wall)`; its figures are not needed.
    """
    mass = makeup.mass_layer(wall)
    if mass is not None:
        layer = wall.layers[mass]
        kind = layer.material.kind if layer.material else ""
        inches = units.format_inches(layer.depth)
        name = kind if layer.id == kind else f"{kind} ({layer.id})"
        return Family("mass", f"mass wall by the code's list: {inches} in {name}", "confirmed")
    veneers = [layer.id for index, layer in enumerate(wall.layers) if makeup.is_veneer(wall, index)]
    capacity = wall_heat_capacity(wall, without=veneers)[0] / units.HEAT_CAPACITY_IP
    measured = f"{capacity:.1f} Btu/(ft²·°F)"
    if capacity >= LEAST_HEAT_CAPACITY:
        return Family(
            "mass", f"mass wall by heat capacity: {measured}, at least {LEAST_HEAT_CAPACITY:g}", "from-memory"
        )
    left_out = f", veneer {', '.join(veneers)} not counted" if veneers else ""
    basis = f"framed wall: heat capacity {measured}, under {LEAST_HEAT_CAPACITY:g}{left_out}"
    steel = any(
        makeup.is_metal_framed(layer) and makeup.is_insulation(makeup.cavity_fill(layer)) for layer in wall.layers
    )
    return Family("steel-frame" if steel else "wood-frame", basis, "confirmed")


def _edition(edition: str) -> dict[str, Any]:
    editions: dict[str, dict[str, Any]] = load_table("iecc_walls")["editions"]
    if edition not in editions:
        raise UnknownNameError("energy code edition", edition, editions)
    return editions[edition]


def _row(edition: dict[str, Any], site: Site) -> dict[str, Any]:
    """Row of the zone; Marine 4 stands with zone 5, zone 0 has its own row with its own status."""
    wanted = "4C" if site.zone == 4 and site.marine else str(site.zone)
    row: dict[str, Any] = next(row for row in edition["rows"] if wanted in row["zones"])
    return row


def _amended(row: dict[str, Any], site: Site) -> tuple[dict[str, Any], bool]:
    """The row with what the jurisdiction puts in place of it, and whether it does so in this zone and edition."""
    own = site.jurisdiction
    if own is None or own.edition != site.edition or (own.zones and site.zone_label not in own.zones):
        return row, False
    known = {"status": own.status.value, "source": f"{own.name}: {own.source}"}
    changes: dict[str, Any] = {}
    if own.wood_r or own.r_not_on_file:
        changes["wood_r"] = dict.fromkeys(own.wood_r, own.status.value)
        changes["wood_r_source"] = known["source"]
    if own.mass_r is not None:
        values = [int(own.mass_r), int(own.mass_r_inside or own.mass_r)]
        changes["mass_r"] = {"value": values, **known}
    elif own.r_not_on_file:
        changes["mass_r"] = None
    if own.wood_u is not None:
        changes["wood_u"] = {"value": float(own.wood_u), **known}
    if own.mass_u is not None:
        changes["mass_u"] = {"value": float(own.mass_u), **known}
        changes["mass_u_inside"] = {"value": float(own.mass_u_inside or own.mass_u), **known}
    return row | changes, True


def _amendments(site: Site, amended: bool) -> str:
    own = site.jurisdiction
    if amended and own is not None:
        unsure = "" if own.status.value == "confirmed" else f", {own.status.value.replace('-', ' ')}, unverified"
        return (
            f"Model IECC {site.edition} as amended by {own.name} ({own.source}{unsure}); confirm later amendments with "
            "the building department."
        )
    if own is not None and own.edition == site.edition and not site.edition_chosen:
        return f"Model IECC {site.edition}, as {own.name} adopted it; confirm amendments with the building department."
    if site.edition_chosen:
        return f"Model IECC {site.edition} as chosen by you; confirm amendments with the building department."
    return (
        f"Model IECC {site.edition}, the default edition, since none was chosen; confirm the edition in force and its "
        "amendments with the building department."
    )


def _clause(edition: dict[str, Any], site: Site, table: str) -> str:
    return f"IECC {site.edition} residential, {edition['tables'][table]}"


# --- paths -----------------------------------------------------------------------------------------------------------


def _frame_r_paths(
    edition: dict[str, Any], row: dict[str, Any], site: Site, thermal: ThermalResult
) -> tuple[CodePath, ...]:
    """One entry per alternative; its two parts are never summed or traded for each other."""
    cavity, continuous = labeled(thermal.cavity_r_si), labeled(thermal.continuous_r_si)
    provided = {"cavity": _r_ip(thermal.cavity_r_si), "continuous": _r_ip(thermal.continuous_r_si)}
    paths = []
    for label, status in row["wood_r"].items():
        need_cavity, need_continuous = alternative(label)
        meets = cavity >= need_cavity and continuous >= need_continuous
        margins = []
        if need_cavity:
            margins.append(provided["cavity"] - need_cavity)
        if need_continuous:
            margins.append(provided["continuous"] - need_continuous)
        paths.append(
            CodePath(
                path="r",
                required={"cavity": need_cavity, "continuous": need_continuous},
                provided=provided,
                margin=min(margins),
                meets=meets,
                status=status,
                source=row.get("wood_r_source") or _clause(edition, site, "r"),
                label=f"R-{label}" if "&" not in label else label,
            )
        )
    return tuple(paths)


def _mass_paths(
    edition: dict[str, Any], row: dict[str, Any], site: Site, thermal: ThermalResult
) -> tuple[CodePath, ...]:
    inside = mostly_inside(thermal)
    limit = row["mass_u_inside"] if inside else row["mass_u"]
    if inside and row["mass_u_inside"]["value"] > row["mass_u"]["value"]:
        limit = row["mass_u"]
    u_path = _u_path(edition, site, limit, thermal)
    if row["mass_r"] is None:
        return (u_path,)
    required = float(row["mass_r"]["value"][1 if inside else 0])
    provided = _r_ip(thermal.mass_insulation_si)
    r_path = CodePath(
        path="r",
        required={"total": required},
        provided={"total": provided},
        margin=provided - required,
        meets=labeled(thermal.mass_insulation_si) >= required,
        status=row["mass_r"]["status"],
        source=row["mass_r"].get("source") or _clause(edition, site, "r"),
        label=f"R-{required:g}",
    )
    return r_path, u_path


def _u_path(edition: dict[str, Any], site: Site, limit: dict[str, Any], thermal: ThermalResult) -> CodePath:
    u_ip = thermal.u_si / units.U_IP
    required = float(limit["value"])
    return CodePath(
        path="u",
        required=required,
        provided=u_ip,
        margin=required - u_ip,
        meets=rounded_u(u_ip) <= required + 1e-9,
        status=limit["status"],
        source=limit.get("source") or _clause(edition, site, "u"),
        label=f"U-{required:.3f}",
    )


def alternative(label: str) -> tuple[float, float]:
    """Cavity and continuous R of an alternative as the code writes it, `20&5ci` giving (20, 5). [h·ft²·°F/Btu]"""
    match = _ALTERNATIVE.match(label)
    if match is None:
        raise ValueError(f"{label!r} is no alternative of the wood-frame table")
    return float(match.group(1)), float(match.group(2) or 0)


def mostly_inside(thermal: ThermalResult) -> bool:
    """True where more than half of the insulation R lies inside the mass, so that the second number holds."""
    return thermal.interior_share > 0.5 + 1e-9


def labeled(resistance: float) -> float:
    """A nominal R at the precision at which it is compared, 0.1, half rounded up. [h·ft²·°F/Btu]

    Parameters
    ----------
    resistance : float
        [m²·K/W]
    """
    return half_up(resistance / units.R_IP, R_DIGITS)


def _r_ip(resistance: float) -> float:
    """R-13 turned to SI and back is 13 again, not 12.999999999999998; nothing that a reader could see is rounded."""
    return round(resistance / units.R_IP, 9)


def rounded_u(u_ip: float) -> float:
    """U at the printed precision of its limits, three decimals.

    Parameters
    ----------
    u_ip : float
        [Btu/(h·ft²·°F)]
    """
    return half_up(u_ip, U_DIGITS)


def half_up(value: float, digits: int) -> float:
    """A figure at the precision at which it is compared, half rounded up.

    Parameters
    ----------
    value : float
        Any figure in the unit of its limit. [-]
    digits : int
        Decimals. [-]
    """
    return round(value + 1e-9, digits)


# --- findings --------------------------------------------------------------------------------------------------------


def _findings(
    wall: Wall, site: Site, thermal: ThermalResult, family: Family, row: dict[str, Any], code: EnergyCode
) -> list[Finding]:
    found: list[Finding] = []
    if not code.meets_prescriptive:
        found.append(finding("E01", Severity.ERROR, _shortfall(site, code), place=wall.place))
    found.append(finding("E02", Severity.NOTE, code.note, place=wall.place))
    unverified = [path for path in code.paths if path.status != "confirmed"]
    if unverified and _leans_on(unverified, code):
        limits = ", ".join(f"{path.label} ({path.status})" for path in unverified)
        message = f"these limits could not be confirmed in the code itself and print as unverified: {limits}"
        found.append(finding("E03", Severity.NOTE, message, place=wall.place))
    if family.name == "mass":
        found += _mass_findings(wall, site, thermal, row)
    if site.zone in (0, 8) or (site.zone == 4 and site.marine):
        found.append(finding("E07", Severity.NOTE, _row_words(site), place=wall.place))
    if family.name == "steel-frame":
        message = "insulated steel studs are judged by U only; the code's own table of steel walls is not on file"
        found.append(finding("E08", Severity.NOTE, message, place=wall.place))
    return found


def _jurisdiction_findings(wall: Wall, site: Site, amended: bool) -> tuple[Finding, ...]:
    """E10: whose limits were used. E11: what was adopted there is not what the wall is judged by."""
    own = site.jurisdiction
    if own is None:
        return ()
    if own.edition != site.edition:
        message = f"{own.name} adopted IECC {own.edition} ({own.source}); judged by IECC {site.edition}, as you chose"
        return (finding("E11", Severity.WARNING, message, place=wall.place),)
    if not amended:
        return ()
    given = [f"R {own_r}" for own_r in own.wood_r] + [f"wood-frame U-{own.wood_u}"] * (own.wood_u is not None)
    given += [f"mass R-{own.mass_r}"] * (own.mass_r is not None) + [f"mass U-{own.mass_u}"] * (own.mass_u is not None)
    message = f"{own.name} puts its own limits in place of the model's: {', '.join(given) or 'none of its own'}"
    if own.r_not_on_file:
        message += "; its R table is not on file and the model's does not hold there, so that only U is judged"
    return (finding("E10", Severity.NOTE, message, place=wall.place),)


def _leans_on(unverified: list[CodePath], code: EnergyCode) -> bool:
    """True if the verdict rests on an unverified limit: it meets only there, or fails with one in play."""
    confirmed_meets = any(path.meets and path.status == "confirmed" for path in code.paths)
    return not confirmed_meets and bool(unverified)


def _mass_findings(wall: Wall, site: Site, thermal: ThermalResult, row: dict[str, Any]) -> list[Finding]:
    found = []
    first, second = row["mass_r"]["value"] if row["mass_r"] else (0, 0)
    if mostly_inside(thermal):
        if first != second:
            message = (
                f"{thermal.interior_share:.0%} of the insulation R lies inside the mass, more than half, so the second "
                f"number holds: R-{second} instead of R-{first}"
            )
            found.append(finding("E04", Severity.NOTE, message, place=wall.place))
        inside, ordinary = row["mass_u_inside"]["value"], row["mass_u"]["value"]
        if inside > ordinary:
            message = (
                f"the U limit remembered for insulation inside, {inside:.3f}, is looser than the ordinary "
                f"{ordinary:.3f} of zone {site.zone_label}; the stricter one is used until the table has been read"
            )
            found.append(finding("E05", Severity.NOTE, message, place=wall.place))
    if thermal.cavity_r_si > 0 and row["mass_r"]:
        effective = thermal.mass_insulation_si - thermal.continuous_r_si
        message = (
            f"insulation between furring counts at its effective R-{effective / units.R_IP:.1f}, not at its labeled "
            f"R-{thermal.cavity_r_si / units.R_IP:.1f}, in the mass wall's R path"
        )
        found.append(finding("E06", Severity.NOTE, message, place=wall.place))
    return found


def _row_words(site: Site) -> str:
    if site.zone == 4:
        return f"zone {site.zone_label} is judged in the row of zone 5 and Marine 4"
    if site.zone == 0 and site.edition == "2018":
        return "the 2018 tables have no zone 0; it is judged as zone 1"
    return f"zone {site.zone_label} shares its row with zone {1 if site.zone == 0 else 7}"


def _shortfall(site: Site, code: EnergyCode) -> str:
    """The verdict with the numbers of every alternative, limit first; `R-13.0&5.0ci` is cavity and continuous."""
    amended = f" as amended by {code.jurisdiction}" if code.jurisdiction else ""
    words = []
    for path in code.paths:
        if isinstance(path.provided, dict):
            total = path.provided.get("total", path.provided.get("cavity", 0.0))
            continuous = path.provided.get("continuous", 0.0)
            have = f"R-{total:.1f}" + (f"&{continuous:.1f}ci" if continuous else "")
        else:
            have = f"U-{path.provided:.4f}"
        words.append(f"{path.label} against {have}")
    return (
        f"does not meet the prescriptive path of IECC {site.edition}{amended} in zone {site.zone_label}; other "
        f"compliance paths not evaluated: {'; '.join(words)}"
    )
