"""Fire, termites, wind, fastening: foam near soil and room, light cladding on thick insulation, wood on masonry."""

from __future__ import annotations

from collections.abc import Iterator

from specgen import units
from specgen.checks.layers import HAIR, MASONRY, kind_of, name_of
from specgen.checks.rules import ERROR, NOTE, WARNING, Case, Rule, inches
from specgen.model.finding import Finding
from specgen.model.wall import Layer

SOIL_CLEARANCE = 6 * units.INCH  # foam plastic above earth, IRC R318.4 [m]
HIGH_WIND = 130 * units.MPH  # ultimate design wind speed where debris regions begin at the coast, IRC R301.2.1.2 [m/s]
GYPSUM_BARRIER = 1 / 2 * units.INCH  # IRC R316.4 [m]
SHEET_METRIC = 0.0002  # 1/2 in board is sold as 12.5 mm [m]
WOOD_BARRIER = 23 / 32 * units.INCH  # wood structural panel as thermal barrier, IRC R316.4 (from memory) [m]
MASONRY_BARRIER = 1.0 * units.INCH  # IRC R316.5.1 [m]


def check_termites(case: Case) -> Iterator[Finding]:
    """P40: foam plastic outside stays 6 in above earth where termites are heavy."""
    reading, hazard = case.reading, case.site.hazards.termite
    foam = reading.foam_outside[0]
    source, status = case.section("R318.4", "R305.4"), "secondary" if case.irc < 2024 else "from-memory"
    if hazard.value is None:
        message = "termite class not known: enter it; foam plastic near earth is limited where it is very heavy."
        yield case.finding("P40", NOTE, message, foam, source, status)
        return
    severity = {"very-heavy": ERROR, "moderate-to-heavy": WARNING}.get(str(hazard.value))
    if severity is None:
        return
    base = reading.wall.base
    clearance = base.foam_clearance if base else None
    where = f"where termite pressure is {str(hazard.value).replace('-', ' ')}"
    if clearance is None:
        message = f"no clearance of foam plastic above earth is given {where}; give base.foam_clearance, 6 in or more."
        yield case.finding("P40", WARNING, message, foam, source, status)
    elif clearance < SOIL_CLEARANCE - HAIR:
        message = f"foam plastic ends {inches(clearance)} above earth {where}; end it 6 in or more above it."
        yield case.finding("P40", severity, message, foam, source, status)


def check_thermal_barrier(case: Case) -> Iterator[Finding]:
    """P41: foam plastic is separated from the room by a thermal barrier."""
    reading = case.reading
    for foam in reading.foam_anywhere():
        if reading.layers[foam].unit:
            continue  # in the cores: masonry on each side of it
        if not any(_thermal_barrier(reading.layers[i]) for i in range(foam + 1, len(reading.layers))):
            message = (
                f"{name_of(reading.layers[foam])} is foam plastic without a thermal barrier toward the room; cover it "
                f"with 1/2 in gypsum board."
            )
            yield case.finding("P41", ERROR, message, foam, case.section("R316.4", "R303.4"))


def _thermal_barrier(layer: Layer) -> bool:
    material = layer.material
    if material is None:
        return False
    if material.kind in MASONRY:
        return layer.depth >= MASONRY_BARRIER - HAIR
    if material.kind == "wood-panel":
        return layer.depth >= WOOD_BARRIER - HAIR
    return material.thermal_barrier and layer.depth >= GYPSUM_BARRIER - SHEET_METRIC


def check_wind(case: Case) -> Iterator[Finding]:
    """P30: cladding over exterior insulation on masonry, where wind and debris are high."""
    reading, hazards = case.reading, case.site.hazards
    outer = reading.insulation_outside[0]
    wind, debris = hazards.design_wind.value, hazards.wind_borne_debris.value
    windy = wind is None or float(wind) >= HIGH_WIND - 0.1
    if windy and debris is not False and (wind is None or debris is None):
        message = (
            "design wind speed or wind-borne debris not known: enter both; cladding over exterior insulation is the "
            "weak part of this wall in a hurricane."
        )
        yield case.finding("P30", NOTE, message, outer)
    elif windy and debris is True and wind is not None:
        message = (
            f"cladding hangs over {inches(reading.layers[outer].depth)} of {name_of(reading.layers[outer])} at "
            f"{float(wind) / units.MPH:.0f} mph with wind-borne debris; masonry with its face outside takes impact "
            f"better, else have cladding and fastening engineered and tested for that pressure."
        )
        yield case.finding("P30", WARNING, message, outer)


def check_wood_on_masonry(case: Case) -> Iterator[Finding]:
    """P42: wood that touches masonry is treated or kept off it by a membrane."""
    reading = case.reading
    for i, layer in enumerate(reading.layers):
        members = layer.framing.material if layer.framing else layer.material
        if not members or not members.wood_based or members.treated:
            continue
        beside = [reading.layers[j] for j in (i - 1, i + 1) if 0 <= j < len(reading.layers)]
        if any(kind_of(other) in MASONRY and other.material for other in beside):
            name = f"{members.label} ({layer.id})"
            message = f"{name} is untreated wood against masonry; use treated wood or a membrane between."
            yield case.finding("P42", WARNING, message, i, case.section("R317.1", "R304.1"))


def check_cladding_fastening(case: Case) -> Iterator[Finding]:
    """P51: cladding or furring over exterior insulation says how it is fastened."""
    reading = case.reading
    outer = range(reading.insulation_outside[0])
    if not any(_fastened(reading.layers[i]) for i in outer):
        message = (
            f"nothing outside of {name_of(reading.layers[outer.stop])} says how it is fastened through it; give "
            f"fastener, spacing and penetration, or mark it as the engineer's."
        )
        yield case.finding("P51", WARNING, message, outer.stop, case.section("R703.15 to R703.17"))


def _fastened(layer: Layer) -> bool:
    return bool(layer.fastening or layer.ties or any(part.fastening for part in layer.embedded))


def _wood_in_masonry_wall(case: Case) -> bool:
    """Masonry that carries the wall; a brick veneer stands an air space away from the wood of its frame."""
    if case.reading.framed:
        return False
    layers = case.reading.layers
    parts = [m for x in layers for m in (x.material, x.framing.material if x.framing else None) if m]
    return any(m.kind in MASONRY for m in parts) and any(m.wood_based for m in parts)


def _exterior_insulated_masonry(case: Case) -> bool:
    return not case.reading.framed and bool(case.reading.insulation_outside)


def _foam_inside(case: Case) -> bool:
    return any(i >= case.reading.body.start for i in case.reading.foam_anywhere())


def _very_heavy(case: Case) -> bool:
    return bool(case.reading.foam_outside) and case.site.hazards.termite.value in ("very-heavy", "moderate-to-heavy")


RULES = (
    Rule("P41", check_thermal_barrier, lambda case: any(True for _ in case.reading.foam_anywhere()), _foam_inside),
    Rule("P40", check_termites, lambda case: bool(case.reading.foam_outside), _very_heavy),
    Rule("P30", check_wind, _exterior_insulated_masonry),
    Rule("P51", check_cladding_fastening, lambda case: bool(case.reading.insulation_outside)),
    Rule("P42", check_wood_on_masonry, _wood_in_masonry_wall),
)
