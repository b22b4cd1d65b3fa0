"""Steady heat transfer of a whole wall: layers in, U, nominal insulation and heat capacity out, with every step shown.

Wood members: parallel path, film to film, with the framing fraction that the wall declares. Hollow block: isothermal
planes, grouted and open cells side by side. Members of neighboring layers with the same size, spacing and direction
are one member (a stud continued); members of other layers cross each other at random, so that the shares multiply.
Left out: fasteners, ties, slab edges, thermal bridges at openings, moisture and temperature effects on conductivity.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from specgen import units
from specgen.checks import makeup, resistances
from specgen.data import load_table
from specgen.model.assessment import Figure, HeatPath, LayerResistance, ThermalResult
from specgen.model.finding import Finding, Severity
from specgen.model.material import Material
from specgen.model.site import Site
from specgen.model.wall import Layer, Wall
from specgen.physics import heat

COLD_ZONE = 5  # from here on polyiso outside is told apart; practice, not code [-]
R_UNIT = "h·ft²·°F/Btu"
U_UNIT = "Btu/(h·ft²·°F)"
HC_UNIT = "Btu/(ft²·°F)"


@dataclass(frozen=True, slots=True)
class _Part:
    """One of the choices that heat has at one place of the wall; several layers, if members run through them."""

    name: str
    share: float
    resistances: tuple[LayerResistance, ...]


_Block = tuple[_Part, ...]  # the choices at one place, shares summing to 1


def thermal_result(wall: Wall) -> ThermalResult:
    """Effective U of the opaque wall with its films, nominal insulation, heat capacity, and the steps to redo it.

    Raises
    ------
    NotComputableError
        If a value is missing for which nothing may be assumed; names the layer and the value.

    Source
    ------
    ASHRAE Handbook of Fundamentals: parallel path for wood, isothermal planes for hollow block (NCMA TEK 67A, 1986);
    ISO 6946 for air layers and for the gap that outdoor air runs through.
    """
    gap = makeup.ventilated_gap(wall)
    counted = wall.layers if gap is None else wall.layers[gap + 1 :]
    outer = resistances.film("us-exterior-winter" if gap is None else "us-interior", "exterior film")
    inner = resistances.film("us-interior", "interior film")
    blocks = [_single(outer), *_blocks(counted), _single(inner)]
    paths = _heat_paths(blocks)
    transmittance = heat.parallel_path([path.share for path in paths], [path.total for path in paths])
    bridged = any(len(block) > 1 for block in blocks)
    isothermal = 1 / heat.series([_block_resistance(block) for block in blocks]) if bridged else None
    insulation = _insulation(wall, counted, blocks, transmittance)
    capacity, without_data = wall_heat_capacity(wall)
    notes = _notes(wall, gap, counted, without_data)
    return ThermalResult(
        u_si=transmittance,
        cavity_r_si=insulation.cavity,
        continuous_r_si=insulation.continuous,
        interior_share=insulation.interior_share,
        heat_capacity_si=capacity,
        paths=paths,
        figures=_figures(wall, paths, transmittance, isothermal, insulation, capacity),
        method=_method(wall, blocks),
        u_low_si=isothermal,
        mass_insulation_si=insulation.as_mass,
        notes=notes,
    )


def wall_heat_capacity(wall: Wall, without: Iterable[str] = ()) -> tuple[float, tuple[str, ...]]:
    """Heat capacity per wall area over all layers, net of cores, and the layers whose data are missing.

    Parameters
    ----------
    wall : Wall
        Any wall.
    without : iterable of str
        Layer ids to leave out, such as a veneer that the code does not count.

    Returns
    -------
    capacity : float
        [J/(m²·K)]
    without_data : tuple of str
        Ids of layers thick enough to count that have no density or specific heat; they count as nothing.
    """
    skipped = set(without)
    total = 0.0
    missing: list[str] = []
    for layer in wall.layers:
        if layer.id in skipped:
            continue
        for material, thickness in _solids(layer):
            if material.density is not None and material.specific_heat is not None:
                total += heat.heat_capacity(thickness, material.density.value, material.specific_heat.value)
            elif thickness > units.INCH / 16 and material.kind not in resistances.THIN_KINDS:
                missing.append(layer.id)
    return total, tuple(dict.fromkeys(missing))


def thermal_findings(wall: Wall, thermal: ThermalResult, site: Site | None = None) -> tuple[Finding, ...]:
    """What the heat calculation has to say about a wall: T01 to T05.

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
    for layer in wall.layers:
        findings += _missing_r(layer)
        findings += _metal_through_insulation(layer, thermal)
        findings += _foil_without_credit(layer, wall)
        if site is not None and site.zone >= COLD_ZONE:
            findings += _cold_polyiso(layer, site, wall)
    return tuple(findings)


def finding(code: str, severity: Severity, message: str, layer: Layer | None = None) -> Finding:
    """A finding of the thermal or energy table, with the reason, cure and source that its code carries."""
    entry = load_table("findings_thermal")[code]
    return Finding(
        code=code,
        severity=severity,
        message=message,
        layer=layer.id if layer is not None else "",
        place=layer.place if layer is not None else Finding(code, severity, message).place,
        because=entry["why"],
        cure=entry["cure"],
        source=entry["source"],
        status=entry["status"],
    )


# --- paths -----------------------------------------------------------------------------------------------------------


def _single(resistance: LayerResistance) -> _Block:
    return (_Part("", 1.0, (resistance,)),)


def _blocks(layers: Sequence[Layer]) -> list[_Block]:
    """The choices of heat, exterior first; neighboring framed layers whose members line up become one place."""
    blocks: list[_Block] = []
    previous: Layer | None = None
    for layer in layers:
        options = resistances.layer_options(layer)
        parts = tuple(_Part(option.name, option.share, (option.resistance,)) for option in options)
        if previous is not None and _members_line_up(previous, layer) and len(parts) == len(blocks[-1]):
            blocks[-1] = tuple(
                replace(before, resistances=before.resistances + part.resistances)
                for before, part in zip(blocks[-1], parts, strict=True)
            )
        else:
            blocks.append(parts)
        previous = layer
    return blocks


def _members_line_up(outer: Layer, inner: Layer) -> bool:
    a, b = outer.framing, inner.framing
    if a is None or b is None or a.material.metal or b.material.metal:
        return False
    same = (a.width, a.spacing, a.fraction, a.orientation) == (b.width, b.spacing, b.fraction, b.orientation)
    return same and a.profile == b.profile


def _heat_paths(blocks: Sequence[_Block]) -> tuple[HeatPath, ...]:
    paths = []
    for choice in itertools.product(*blocks):
        share = math.prod(part.share for part in choice)
        names = [_place_name(part) for part in choice if part.name]
        parts = tuple(resistance for part in choice for resistance in part.resistances)
        paths.append(HeatPath(" and ".join(names) or "whole area", share, parts))
    return tuple(paths)


def _place_name(part: _Part) -> str:
    return f"{part.name} of {', '.join(dict.fromkeys(resistance.layer for resistance in part.resistances))}"


def _block_resistance(block: _Block) -> float:
    """Resistance of one place between isothermal planes, layer by layer."""
    depth = len(block[0].resistances)
    total = 0.0
    for index in range(depth):
        values = [part.resistances[index].resistance for part in block]
        if len(values) == 1:
            total += values[0]
        elif all(value > 0 for value in values):
            total += heat.bridged_layer([part.share for part in block], values)
    return total


# --- insulation and mass ---------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Insulation:
    cavity: float  # nominal, between members [m²·K/W]
    continuous: float  # not crossed by members [m²·K/W]
    furred_effective: float  # what the insulation between members adds to the wall's R [m²·K/W]
    interior_share: float
    parts: tuple[tuple[str, float, bool], ...]  # layer, R as counted in a mass wall, inside the mass

    @property
    def as_mass(self) -> float:
        """[m²·K/W]"""
        return self.continuous + self.furred_effective


def _insulation(wall: Wall, counted: Sequence[Layer], blocks: Sequence[_Block], transmittance: float) -> _Insulation:
    """Insulation by where it stands. Between members it counts, in a mass wall, by what it adds to 1/U."""
    mass = makeup.mass_layer(wall)
    first = len(wall.layers) - len(counted)
    cavity = continuous = furred = interior = 0.0
    parts: list[tuple[str, float, bool]] = []
    for index, layer in enumerate(counted, start=first):
        inside = mass is not None and index > mass
        if layer.framing is not None:
            if not makeup.is_insulation(makeup.cavity_fill(layer)):
                continue
            nominal = _nominal_fill(layer)
            effective = 1 / transmittance - 1 / _transmittance_without(blocks, layer.id)
            cavity += nominal
            furred += effective
        elif makeup.is_insulation(layer.material) and layer.unit is None:
            effective = resistances.layer_options(layer)[0].resistance.resistance
            continuous += effective
        else:
            continue
        parts.append((layer.id, effective, inside))
        interior += effective if inside else 0.0
    total = continuous + furred
    return _Insulation(cavity, continuous, furred, interior / total if total > 0 else 0.0, tuple(parts))


def _nominal_fill(layer: Layer) -> float:
    """Labeled R of the insulation between members, without any air space beside it. [m²·K/W]"""
    fill = makeup.cavity_fill(layer)
    if fill is None:
        return 0.0
    clear = layer.cavity.depth if layer.cavity is not None and layer.cavity.depth is not None else 0.0
    return resistances.material_resistance(layer, fill, layer.depth - clear).resistance


def _transmittance_without(blocks: Sequence[_Block], layer_id: str) -> float:
    """U of the wall with one layer taken away, members and all. [W/(m²·K)]"""

    def drop(part: _Part) -> _Part:
        return replace(part, resistances=tuple(r for r in part.resistances if r.layer != layer_id))

    paths = _heat_paths([tuple(drop(part) for part in block) for block in blocks])
    return heat.parallel_path([path.share for path in paths], [path.total for path in paths])


def _solids(layer: Layer) -> list[tuple[Material, float]]:
    """What a layer is made of, each with its thickness averaged over the wall area, cores and gaps left out. [m]"""
    solids: list[tuple[Material, float]] = []
    if layer.framing is not None:
        solids.append((layer.framing.material, layer.depth * (0.0 if makeup.is_metal_framed(layer) else _wood(layer))))
        fill = makeup.cavity_fill(layer)
        if fill is not None and not fill.drainable:
            clear = layer.cavity.depth if layer.cavity is not None and layer.cavity.depth is not None else 0.0
            solids.append((fill, (layer.depth - clear) * (1 - _wood(layer))))
        return [(material, thickness) for material, thickness in solids if thickness > 0]
    if layer.material is None or layer.depth == 0 or layer.material.drainable:
        return []
    if layer.unit is None or not layer.unit.hollow:
        return [(layer.material, layer.depth)]
    geometry = resistances.web_geometry(layer, layer.unit)
    if geometry is None:
        return [(layer.material, 0.0)]
    face_shell, web_share, core = geometry
    grouted = resistances.grouted_share(layer.unit)
    hollow = core * (1 - web_share)
    solids.append((layer.material, 2 * face_shell + core * web_share))
    if layer.unit.grout is not None and grouted > 0:
        solids.append((layer.unit.grout.material, grouted * hollow))
    if layer.fill is not None and grouted < 1:
        solids.append((layer.fill, (1 - grouted) * hollow))
    return solids


def _wood(layer: Layer) -> float:
    return layer.framing.fraction if layer.framing is not None else 0.0


# --- words and figures -----------------------------------------------------------------------------------------------


def _method(wall: Wall, blocks: Sequence[_Block]) -> str:
    framed = any(layer.framing is not None and not layer.framing.material.metal for layer in wall.layers)
    hollow = any(layer.unit is not None and layer.unit.hollow for layer in wall.layers)
    steel = any(
        makeup.is_metal_framed(layer) and makeup.is_insulation(makeup.cavity_fill(layer)) for layer in wall.layers
    )
    words = []
    if framed or any(len(block) > 1 for block in blocks):
        words.append("parallel path")
    if hollow:
        words.append("isothermal planes for hollow block")
    if steel:
        words.append("tabulated factor for steel studs")
    return (", ".join(words) or "resistances in series") + " (ASHRAE Handbook of Fundamentals)"


def _notes(wall: Wall, gap: int | None, counted: Sequence[Layer], without_data: Sequence[str]) -> tuple[str, ...]:
    notes = []
    if gap is not None:
        outside = ", ".join(layer.id for layer in wall.layers[: gap + 1])
        notes.append(
            f"Outdoor air runs through {wall.layers[gap].id}: {outside} are left out and the outer film is R-0.68 "
            "(ISO 6946, ventilated air layer)."
        )
    thin = [
        layer.id
        for layer in counted
        if layer.framing is None
        and layer.unit is None
        and layer.material is not None
        and layer.material.kind in resistances.THIN_KINDS
        and resistances.layer_options(layer)[0].resistance.resistance == 0
    ]
    if thin:
        notes.append(f"Films and coatings count as R-0: {', '.join(thin)}.")
    bridged = [layer.id for layer in counted if layer.framing is not None]
    if len(bridged) > 1:
        notes.append(
            f"Members of {', '.join(bridged)}: in neighboring layers of one size, spacing and direction they line up; "
            "otherwise they cross at random and their shares multiply."
        )
    cores = [layer.id for layer in counted if layer.unit is not None and layer.fill is not None]
    if cores:
        notes.append(f"Insulation in the cores of {', '.join(cores)} counts in U, not in the R path.")
    if without_data:
        notes.append(f"No density or specific heat for {', '.join(without_data)}: left out of the heat capacity.")
    notes.append("Fasteners, ties, slab edges and openings are not counted.")
    return tuple(notes)


def _figures(
    wall: Wall,
    paths: Sequence[HeatPath],
    transmittance: float,
    isothermal: float | None,
    insulation: _Insulation,
    capacity: float,
) -> tuple[Figure, ...]:
    """Every step of the calculation with the numbers put in, in inch-pound units as US reviewers work."""
    figures = [_path_figure(path) for path in paths]
    source = "ASHRAE Handbook of Fundamentals"
    terms = " + ".join(f"{path.share:.4f}/{_ip(path.total):.3f}" for path in paths)
    u_ip = transmittance / units.U_IP
    figures.append(
        Figure("U of the wall", "U = sum(share / R of path)", terms, u_ip, U_UNIT, "parallel path", source, "secondary")
    )
    figures.append(
        Figure("effective R", "R = 1/U", f"1/{u_ip:.5f}", 1 / u_ip, R_UNIT, "films included", source, "secondary")
    )
    if isothermal is not None:
        low = isothermal / units.U_IP
        figures.append(
            Figure(
                "U between isothermal planes", "U = 1/sum(1/sum(share / R of part))",
                f"1/{1 / low:.3f}", low, U_UNIT, "upper bound of U, for comparison", "ISO 6946, lower limit of R",
                "secondary",
            )
        )  # fmt: skip
    figures += _insulation_figures(wall, insulation)
    figures.append(_capacity_figure(wall, capacity))
    return tuple(figures)


def _path_figure(path: HeatPath) -> Figure:
    values = " + ".join(f"{_ip(part.resistance):.3f} {part.layer}" for part in path.resistances if part.resistance > 0)
    status = resistances.worse(*(part.status for part in path.resistances))
    return Figure(
        f"R along the path: {path.name}, {path.share:.1%} of the area", "R = sum of films and layers", values,
        _ip(path.total), R_UNIT, "series", "first principles", status,
    )  # fmt: skip


def _insulation_figures(wall: Wall, insulation: _Insulation) -> list[Figure]:
    figures = [
        Figure(
            "nominal insulation between members", "sum of labeled R", _labels(wall, True),
            _ip(insulation.cavity), R_UNIT, "as labeled", "energy code, cavity insulation", "confirmed",
        ),
        Figure(
            "nominal continuous insulation", "sum of labeled R", _labels(wall, False),
            _ip(insulation.continuous), R_UNIT, "as labeled", "energy code, continuous insulation", "confirmed",
        ),
    ]  # fmt: skip
    if makeup.mass_layer(wall) is not None:
        inside = math.fsum(value for _, value, is_inside in insulation.parts if is_inside)
        values = " + ".join(f"{_ip(value):.2f} {layer}" for layer, value, _ in insulation.parts) or "none"
        figures.append(
            Figure(
                "insulation of the mass wall", "continuous R + (1/U - 1/U without the furred layer)", values,
                _ip(insulation.as_mass), R_UNIT, "furred insulation at its effective R",
                "our reading of the mass-wall table, on the safe side", "common-practice",
            )
        )  # fmt: skip
        total = insulation.as_mass or 1.0
        figures.append(
            Figure(
                "share of the insulation inside the mass", "R inside / R of all insulation",
                f"{_ip(inside):.2f}/{_ip(insulation.as_mass):.2f}", inside / total, "-", "by R",
                "energy code, mass walls", "confirmed",
            )
        )  # fmt: skip
    return figures


def _labels(wall: Wall, between: bool) -> str:
    words = []
    for layer in wall.layers:
        if between and layer.framing is not None and makeup.is_insulation(makeup.cavity_fill(layer)):
            words.append(f"{_ip(_nominal_fill(layer)):.2f} {layer.id}")
        if not between and layer.framing is None and layer.unit is None and makeup.is_insulation(layer.material):
            words.append(f"{_ip(resistances.layer_options(layer)[0].resistance.resistance):.2f} {layer.id}")
    return " + ".join(words) or "none"


def _capacity_figure(wall: Wall, capacity: float) -> Figure:
    terms = []
    for layer in wall.layers:
        for material, thickness in _solids(layer):
            if material.density is not None and material.specific_heat is not None and thickness > 0:
                inches = thickness / units.INCH
                density = material.density.value / units.DENSITY_IP
                warmth = material.specific_heat.value / units.SPECIFIC_HEAT_IP
                terms.append(f"{inches:.3g}/12 x {density:.4g} x {warmth:.3g} {layer.id}")
    return Figure(
        "heat capacity of the wall", "sum(thickness x density x specific heat)", " + ".join(terms) or "none",
        capacity / units.HEAT_CAPACITY_IP, HC_UNIT, "all layers, cores left out", "first principles", "confirmed",
    )  # fmt: skip


def _ip(resistance: float) -> float:
    return resistance / units.R_IP


# --- findings --------------------------------------------------------------------------------------------------------


def _missing_r(layer: Layer) -> list[Finding]:
    """T01, T02: a rated R belongs to one thickness; a squeezed batt has an R that only a table can tell."""
    clear = layer.cavity.depth if layer.cavity is not None and layer.cavity.depth is not None else 0.0
    uses: list[tuple[Material | None, float | None]]
    if layer.framing is not None:
        uses = [(makeup.cavity_fill(layer), layer.depth - clear), (layer.framing.material, layer.thickness)]
    else:
        uses = [(layer.material, layer.thickness)] if layer.unit is None else []
    found = []
    for material, thickness in uses:
        if material is None or thickness is None or material.drainable:
            continue
        if not resistances.has_no_r_here(material, thickness):
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


def _metal_through_insulation(layer: Layer, thermal: ThermalResult) -> list[Finding]:
    """T03: what metal leaves of the insulation between it."""
    if not makeup.is_metal_framed(layer) or not makeup.is_insulation(makeup.cavity_fill(layer)):
        return []
    nominal = _nominal_fill(layer)
    left = next(
        (part.resistance for path in thermal.paths for part in path.resistances if part.layer == layer.id), nominal
    )
    message = (
        f"metal members cross the full depth of the insulation: {resistances.r_text(nominal)} acts as "
        f"R-{_ip(left):.1f}, and it is not continuous insulation"
    )
    return [finding("T03", Severity.WARNING, message, layer)]


def _foil_without_credit(layer: Layer, wall: Wall) -> list[Finding]:
    """T04: a foil facing beside a gap counts as an ordinary surface."""
    index = wall.layers.index(layer)
    if layer.material is None or layer.material.facing != "foil":
        return []
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
    message = (
        f"the rated R of {material.label} is measured at 75 °F; outboard in zone {site.zone_label} it insulates less "
        "in the coldest weeks, and the figures here keep the rated R"
    )
    return [finding("T05", Severity.NOTE, message, layer)]


def _conducts_like_polyiso(material: Material) -> bool:
    """R of more than 5.4 per inch tells polyiso from the other rigid foams (5.0 and less for XPS, EPS)."""
    limit = units.K_IP / 5.4
    if material.conductivity is not None:
        return material.conductivity.value < limit
    return any(row.thickness / row.resistance < limit for row in material.rated if row.resistance > 0)
