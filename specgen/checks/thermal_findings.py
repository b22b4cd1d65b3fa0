"""What the heat calculation has to say about a wall, T01 to T07: wall and result in, findings out."""

from __future__ import annotations

from specgen import units
from specgen.checks import makeup, resistances
from specgen.checks.entries import entry
from specgen.checks.insulation import nominal_fill
from specgen.checks.layer_options import has_hand_method
from specgen.model.assessment import ThermalResult
from specgen.model.base import Place
from specgen.model.finding import Finding, Severity
from specgen.model.material import Material
from specgen.model.site import Site
from specgen.model.wall import Layer, Wall

FRACTION_DIGIT = 0.01  # a framing fraction is stated to two digits [-]
COLD_ZONE = 5  # from here on polyiso on the cold side is told apart; practice, not code [-]


def thermal_findings(wall: Wall, thermal: ThermalResult, site: Site | None = None) -> tuple[Finding, ...]:
    """What the heat calculation has to say about a wall: T01 to T07.

    Parameters
    ----------
    wall : Wall
        The wall that `thermal` belongs to.
    thermal : ThermalResult
        From `thermal_result`.
    site : Site or None
        Where it stands, for what depends on cold; None leaves that out.
    """
    findings: list[Finding] = []
    gap = makeup.ventilated_gap(wall)
    for layer in wall.layers[0 if gap is None else gap + 1 :]:  # nothing outside a ventilated gap resists heat
        findings += _missing_r(layer)
        findings += _metal_throughwall_insulation(layer, thermal)
        findings += _filled_cores(layer, thermal)
        findings += _too_little_framing(layer)
        findings += _foil_without_credit(layer, wall)
        if site is not None and site.zone >= COLD_ZONE:
            findings += _cold_polyiso(layer, site, wall)
    return tuple(findings)


def finding(
    code: str, severity: Severity, message: str, layer: Layer | None = None, place: Place | None = None
) -> Finding:
    """A finding of the thermal or energy table, with the reason, cure and source that its code carries."""
    known = entry(code)
    return Finding(
        code=code,
        severity=severity,
        message=message,
        layer=layer.id if layer is not None else "",
        place=layer.place if layer is not None else place or Place(),
        because=known.why,
        cure=known.cure,
        source=known.source,
        status=known.status,
    )


def _missing_r(layer: Layer) -> list[Finding]:
    """T01, T02: a rated R belongs to one thickness; of a squeezed batt a chart or a rule tells what is left."""
    clear = layer.cavity.depth if layer.cavity is not None and layer.cavity.depth is not None else 0.0
    uses: list[tuple[Material | None, float | None]]
    if layer.framing is not None:
        uses = [(makeup.cavity_fill(layer), layer.depth - clear), (layer.framing.material, layer.thickness)]
    else:
        uses = [(layer.material, layer.thickness)] if layer.unit is None else []
    found = []
    for material, thickness in uses:
        if material is None or thickness is None or makeup.is_mere_gap(material):
            continue
        if not resistances.has_no_r_here(material, thickness):
            found += _squeezed(layer, material, thickness)
            continue
        here = f"{units.format_inches(thickness)} in"
        known = ", ".join(
            f"{resistances.r_text(row.resistance)} at {units.format_inches(row.thickness)} in" for row in material.rated
        )
        squeezed = material.kind == "batt" and thickness < min(row.thickness for row in material.rated)
        if squeezed:
            label = resistances.r_text(min(material.rated, key=lambda row: row.thickness).resistance)
            message = (
                f"no R for {label} at {here}: {material.label} is squeezed below its rated {known}; "
                "its R at that depth is not known here, and it counts as R-0"
            )
            found.append(finding("T02", Severity.ERROR, message, layer))
        else:
            message = f"no R for {material.label} at {here}: it is rated {known}; the layer counts as R-0"
            found.append(finding("T01", Severity.ERROR, message, layer))
    return found


def _squeezed(layer: Layer, material: Material, thickness: float) -> list[Finding]:
    """T02: a batt squeezed no further than its R is known to; by the rule rather than a chart it is a warning."""
    left = resistances.squeezed_batt(material, thickness)
    if left is None or resistances.rated_row(material, thickness) is not None:
        return []
    label = resistances.r_text(left.label.resistance)
    how = "by a maker's chart" if left.charted else "at least, as no chart at hand has it"
    message = (
        f"{label} acts as R-{left.resistance / units.R_IP:.1f} at {units.format_inches(thickness)} in {how}: "
        f"{material.label} is squeezed below its rated {units.format_inches(left.label.thickness)} in"
    )
    return [finding("T02", Severity.NOTE if left.charted else Severity.WARNING, message, layer)]


def _metal_throughwall_insulation(layer: Layer, thermal: ThermalResult) -> list[Finding]:
    """T03: what metal leaves of the insulation between it."""
    if not makeup.is_metal_framed(layer) or not makeup.is_insulation(makeup.cavity_fill(layer)):
        return []
    nominal = nominal_fill(layer)
    left = next(
        (part.resistance for path in thermal.paths for part in path.resistances if part.layer == layer.id), nominal
    )
    if not has_hand_method(layer):  # the path holds its lower limit only; what two dimensions leave of it counts
        others = thermal.paths[0].total - left
        left = max(left, 1 / thermal.u_si - others)
    message = (
        f"metal members cross the full depth of the insulation: {resistances.r_text(nominal)} acts as "
        f"R-{left / units.R_IP:.1f}, and it is not continuous insulation"
    )
    return [finding("T03", Severity.WARNING, message, layer)]


def _foil_without_credit(layer: Layer, wall: Wall) -> list[Finding]:
    """T04: a foil facing beside a gap counts as an ordinary surface."""
    if layer.material is None or layer.material.facing != "foil":
        return []
    index = wall.layers.index(layer)
    beside = [wall.layers[i] for i in (index - 1, index + 1) if 0 <= i < len(wall.layers)]
    gaps = [
        other
        for other in beside
        if other.material is None and (other.cavity is not None or (other.framing is not None and not other.fill))
    ]
    if not gaps:
        return []
    message = f"the foil facing toward {gaps[0].id} adds no R: the air space counts as one between ordinary surfaces"
    return [finding("T04", Severity.NOTE, message, layer)]


def _too_little_framing(layer: Layer) -> list[Finding]:
    """T07: the members alone take width over spacing of the wall; plates and headers only add to that."""
    framing = layer.framing
    if framing is None or framing.material.metal:
        return []
    least = framing.width / framing.spacing
    if framing.fraction >= least - FRACTION_DIGIT / 2:
        return []
    spaced = f"{units.format_inches(framing.width)} in members {units.format_inches(framing.spacing)} in on center"
    message = (
        f"the framing fraction {framing.fraction:.3g} is less than {spaced} take alone, {least:.3f}; "
        "plates, corners and headers come on top, so U is really higher"
    )
    return [finding("T07", Severity.WARNING, message, layer)]


def _filled_cores(layer: Layer, thermal: ThermalResult) -> list[Finding]:
    """T06: filled block tests worse than the method computes (`tests/published`, 1.4 to 1.9 times the printed R)."""
    if layer.unit is None or layer.fill is None:
        return []
    computed = max(part.resistance for path in thermal.paths for part in path.resistances if part.layer == layer.id)
    message = (
        f"the cores filled with {layer.fill.label} are computed at R-{computed / units.R_IP:.1f} for the block; "
        "handbook tests of filled block give 0.5 to 0.7 of such values, so a verdict that hangs on it needs a tested R"
    )
    return [finding("T06", Severity.WARNING, message, layer)]


def _cold_polyiso(layer: Layer, site: Site, wall: Wall) -> list[Finding]:
    """T05: foam of the polyiso family loses R in the cold; by conductivity, since its chemistry is not a field."""
    material = layer.material
    if material is None or material.kind != "rigid-foam" or not _conducts_like_polyiso(material):
        return []
    mass = makeup.mass_layer(wall)
    index = wall.layers.index(layer)
    structure = next((i for i, other in enumerate(wall.layers) if other.framing and other.depth > 0.08), mass)
    if structure is None or index > structure:
        return []
    behind = "the studs" if wall.layers[structure].framing else "the mass wall"
    message = (
        f"the rated R of {material.label} is measured at 75 °F; on the cold side of {behind} in zone {site.zone_label} "
        "it insulates less in the coldest weeks, and the figures here keep the rated R"
    )
    return [finding("T05", Severity.NOTE, message, layer)]


def _conducts_like_polyiso(material: Material) -> bool:
    """R of more than 5.4 per inch tells polyiso from the other rigid foams (5.0 and less for XPS, EPS)."""
    limit = units.K_IP / 5.4
    if material.conductivity is not None:
        return material.conductivity.value < limit
    return any(row.thickness / row.resistance < limit for row in material.rated if row.resistance > 0)
