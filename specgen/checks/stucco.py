"""Stucco and adhered veneer: the space behind them over wood, lath, thickness, edges; and stucco bonded to block."""

from __future__ import annotations

from collections.abc import Iterator

from specgen import units
from specgen.checks.layers import (
    DRAINAGE_EFFICIENCY,
    DRAINED_DEPTH,
    HAIR,
    carries_stucco,
    drained_gap,
    drains,
    gap_depth,
    kind_of,
    name_of,
    planes_of,
)
from specgen.checks.rules import COMMON_PRACTICE, ERROR, NOTE, WARNING, Case, Rule, inches, perms
from specgen.model.finding import Finding
from specgen.model.wall import Fastening, Layer

BREATHABLE = 5 * units.PERM  # least permeance of a coating over direct-applied stucco, as applied: common practice
ON_LATH = 7 / 8 * units.INCH  # three coats on metal lath, ASTM C926 (confirmed by a trade guide) [m]
ON_MASONRY = 1 / 2 * units.INCH  # grounds of two coats on masonry, ASTM C926 (confirmed by a trade guide) [m]
PLASTER_TOLERANCE = 1 / 16 * units.INCH  # below this a shortfall is drafting, not plaster: common practice [m]
EARTH_CLEARANCE = 4 * units.INCH  # weep screed above earth, IRC R703.7.2.1 [m]
PAVING_CLEARANCE = 2 * units.INCH  # weep screed above paving, IRC R703.7.2.1 [m]
PANEL_AREA, PANEL_LENGTH = 144 * units.FOOT**2, 18 * units.FOOT  # largest wall panel on lath, ASTM C1063 [m², m]
LATH_ALONG, LATH_ALONG_2018, LATH_ACROSS = 7 * units.INCH, 6 * units.INCH, 24 * units.INCH  # IRC R703.7.1 [m]
LATH_PENETRATION = 3 / 4 * units.INCH  # of a lath fastener into wood, ASTM C1063 (from memory) [m]


def _rendered(case: Case) -> list[int]:
    return case.reading.of_kind(case.reading.outboard, "stucco", "adhered-veneer")


def _over_wood(case: Case) -> bool:
    return case.reading.framed and bool(_rendered(case)) and case.reading.wood_sheathing is not None


def check_drained_gap(case: Case) -> Iterator[Finding]:
    """P01: a drained space between stucco or adhered veneer and the membrane over wood-based sheathing."""
    reading = case.reading
    back, sheathing = _rendered(case)[-1], reading.wood_sheathing
    if sheathing is None:
        return
    barriers = reading.water_layers(range(back + 1, sheathing))
    membrane = barriers[-1] if barriers else sheathing
    between = [reading.layers[i] for i in range(back + 1, membrane)]
    # a wrap that drains does so only behind another sheet: alone it is filled by the plaster
    if barriers and between and drains(reading.layers[membrane]):
        between.append(reading.layers[membrane])
    source, status = _gap_source(case)
    better = _better_barrier([reading.layers[i] for i in barriers])
    plies = sum(max(1, reading.layers[i].coats or 1) for i in barriers if kind_of(reading.layers[i]) == "sheet")
    plies += sum(kind_of(reading.layers[i]) != "sheet" for i in barriers)
    facts = f"{name_of(reading.layers[back])} over {name_of(reading.layers[sheathing])} in zone {case.site.zone_label}"
    if any(drained_gap(layer) for layer in between):
        efficient = any(
            layer.material and (layer.material.drainage_efficiency or 0) >= DRAINAGE_EFFICIENCY for layer in between
        )
        if case.site.regime != "B" and barriers and plies < 2 and not better and not efficient:
            message = (
                f"{facts} drains, but its membrane is one layer of ASTM E2556 Type I; use two layers, or one of Type "
                f"II or better with a mat of {DRAINAGE_EFFICIENCY:.0%} drainage efficiency."
            )
            yield case.finding("P01", WARNING, message, membrane, source, status)
        return
    separated = any(not _absorbs(layer) for layer in between)
    severity = WARNING if case.site.regime == "B" and (plies >= 2 or (better and separated)) else ERROR
    found = _found_gap(between)
    plural = f"{plies} membrane layer{'s' if plies != 1 else ''}" if barriers else "no membrane"
    message = (
        f"{facts} has {found} and {plural}; put a drained space of {inches(DRAINED_DEPTH)} or more, open at the "
        f"bottom, or a mat of {DRAINAGE_EFFICIENCY:.0%} drainage efficiency between stucco or veneer and the membrane."
    )
    yield case.finding("P01", severity, message, membrane if barriers else sheathing, source, status)


def _gap_source(case: Case) -> tuple[str, str]:
    """2018 asks for a ventilated space in 1A to 3A; 2021 and 2024 speak by moisture regime; the rest is practice."""
    site = case.site
    if case.irc >= 2021 and site.regime in ("A", "C"):
        return f"IRC {case.irc} R703.7.3.2", "secondary"
    if case.irc >= 2021 and site.regime == "B":
        return f"IRC {case.irc} R703.7.3.1; the space is common practice", "secondary"
    if case.irc < 2021 and site.regime == "A" and site.zone <= 3:
        return f"IRC {case.irc} R703.7.3 exception 2", "secondary"
    return COMMON_PRACTICE, "common-practice"


def _better_barrier(barriers: list[Layer]) -> bool:
    """One layer of ASTM E2556 Type II, or an accepted membrane that is no paper."""
    materials = [layer.material for layer in barriers if layer.material and layer.material.water_barrier]
    return any(m.wrb_type == "II" or (m.wrb_type is None and m.kind == "membrane") for m in materials)


def _absorbs(layer: Layer) -> bool:
    return bool(layer.material and (layer.material.absorptive or layer.material.kind == "sheet"))


def _found_gap(between: list[Layer]) -> str:
    closed = [layer for layer in between if layer.cavity and not drains(layer)]
    if closed:
        return "a space that is not open at the bottom"
    shallow = [gap_depth(layer) for layer in between if drains(layer)]
    return f"a drained space of only {inches(max(shallow))}" if shallow else "no drained space"


def check_lath(case: Case) -> Iterator[Finding]:
    """P15: stucco on a framed wall, or over a space or insulation, hangs on lath."""
    if not case.reading.lathed:
        first = case.reading.stucco[-1]
        message = (
            f"{name_of(case.reading.layers[first])} has no lath in it and no masonry to bond to; embed metal lath "
            f"fastened to the framing."
        )
        yield case.finding("P15", ERROR, message, first, case.section("R703.7.1"), "confirmed")


def check_thickness(case: Case) -> Iterator[Finding]:
    """P07: thickness of the stucco coats together, on lath or on masonry."""
    reading = case.reading
    total = sum(reading.layers[i].depth for i in reading.stucco)
    least, base = (ON_MASONRY, "masonry") if case.reading.direct_stucco else (ON_LATH, "lath")
    if total < least - PLASTER_TOLERANCE - HAIR:
        message = f"the stucco coats are {inches(total)} together; on {base} they are {inches(least)}."
        yield case.finding("P07", WARNING, message, reading.stucco[0])


def check_base_edge(case: Case) -> Iterator[Finding]:
    """P08: weep screed and clearances of stucco and adhered veneer; of siding, check_siding_edge."""
    reading, base = case.reading, case.reading.wall.base
    first = _rendered(case)[0]
    if base is None:
        message = (
            "the base of the wall is not described, so the screed and its clearances are not checked; fill in 'base'."
        )
        yield case.finding("P08", NOTE, message, first)
        return
    on_frame = reading.framed
    source = case.section("R703.7.2.1" if reading.stucco else "R703.12") if on_frame else COMMON_PRACTICE
    status = ("secondary" if reading.stucco else "from-memory") if on_frame else "common-practice"
    severity = ERROR if on_frame else WARNING
    if on_frame and reading.stucco and base.termination != "weep-screed":
        message = f"stucco on framing ends on a {base.termination.replace('-', ' ')}; end it on a weep screed."
        yield case.finding("P08", ERROR, message, first, source, status)
    for found, least, ground in (
        (base.cladding_clearance, EARTH_CLEARANCE, "earth"),
        (base.paving_clearance, PAVING_CLEARANCE, "paving"),
    ):
        if found is not None and found < least - HAIR:
            message = f"the cladding ends {inches(found)} above {ground}; end it {inches(least)} or more above it."
            yield case.finding("P08", severity, message, first, source, status)


def check_outside_coating(case: Case) -> Iterator[Finding]:
    """P03: direct-applied stucco carries a breathable coating outside."""
    if not _coatings(case):
        message = (
            f"direct-applied stucco has no coating outside; with no drained space behind it, it needs a water-"
            f"repellent mineral coating of {perms(BREATHABLE)} or more."
        )
        yield case.finding("P03", ERROR, message, case.reading.stucco[0])


def _coatings(case: Case) -> list[int]:
    """Coatings and film-forming finishes outside of the base coat."""
    outer = range(case.reading.stucco[-1])
    materials = ((i, case.reading.layers[i].material) for i in outer)
    return [i for i, m in materials if m and (m.kind == "coating" or m.film_forming)]


def check_film_forming(case: Case) -> Iterator[Finding]:
    """M11: a coating under 5 perm, as applied, over direct-applied stucco."""
    for i in _coatings(case):
        layer = case.reading.layers[i]
        (plane,) = planes_of(layer, i)
        if plane.known and plane.dry < BREATHABLE * (1 - 1e-9):
            message = (
                f"{name_of(layer)} is {perms(plane.dry)} as applied over direct-applied stucco; use a mineral coating "
                f"of {perms(BREATHABLE)} or more."
            )
            yield case.finding("M11", ERROR, message, i)


def check_inside_control(case: Case) -> Iterator[Finding]:
    """P04: direct-applied stucco has water and air control on the inner face of the masonry."""
    inboard = case.reading.inboard
    missing = [word for word in ("water", "air") if not case.reading.controls(word, inboard)]
    if missing:
        message = (
            f"direct-applied stucco has no {' and no '.join(missing)} control inside of the masonry; coat its inner "
            f"face (negative side) with a layer that controls water and air."
        )
        yield case.finding("P04", ERROR, message, case.reading.structure)


def check_bond_break(case: Case) -> Iterator[Finding]:
    """P06: nothing that cement does not bond to lies between direct-applied stucco and the masonry."""
    reading = case.reading
    for i in range(reading.stucco[-1] + 1, reading.body.start):
        material = reading.layers[i].material
        if material and material.bond_break:
            message = f"{name_of(reading.layers[i])} lies between direct-applied stucco and the masonry; leave it out."
            yield case.finding("P06", ERROR, message, i)


def check_rain(case: Case) -> Iterator[Finding]:
    """P14: much rain on a wall without a drained space."""
    rain = case.site.hazards.annual_rain.value
    if not isinstance(rain, float | int) or isinstance(rain, bool):
        if case.site.regime != "B":
            message = "annual rain not known: enter it; direct-applied stucco has no drained space behind it."
            yield case.finding("P14", NOTE, message, case.reading.stucco[0])
        return
    yearly = rain / units.INCH
    if yearly > 20:
        more = "a drained cladding, or a written reason with repellent units and a roof overhang" if yearly > 40 else (
            "a roof overhang, or a drained cladding"
        )  # fmt: skip
        message = (
            f"{yearly:.0f} in of rain a year falls on direct-applied stucco without a drained space; give it {more}."
        )
        yield case.finding("P14", WARNING, message, case.reading.stucco[0])


def check_panels(case: Case) -> Iterator[Finding]:
    """P31: control joints of stucco on lath."""
    panels = case.reading.wall.control_joints
    index = case.reading.stucco[0]
    if panels is None:
        message = "stucco on lath has no control joints given; panels of 144 sq ft and 18 ft at most."
        yield case.finding("P31", WARNING, message, index)
    elif panels.area > PANEL_AREA * 1.0001 or panels.length > PANEL_LENGTH + HAIR:
        message = (
            f"stucco panels on lath are {panels.area / units.FOOT**2:.0f} sq ft and {panels.length / units.FOOT:.0f} "
            f"ft; 144 sq ft and 18 ft are the most."
        )
        yield case.finding("P31", ERROR, message, index)


def check_lath_fastening(case: Case) -> Iterator[Finding]:
    """P50: lath fasteners reach the framing and stand close enough."""
    reading = case.reading
    found = _lath_fastening(case)
    if found is None:
        return
    index, offset, fastening = found
    if fastening is None:
        message = "the lath has no fastening given; say type, length, spacing and penetration into the framing."
        yield case.finding("P50", WARNING, message, index)
        return
    if fastening.by_engineer:
        return
    along = LATH_ALONG if case.irc >= 2021 else LATH_ALONG_2018
    if fastening.into not in (None, "studs", "furring", "plates"):
        message = f"the lath is fastened into the {fastening.into}; fasten it into the framing."
        yield case.finding("P50", WARNING, message, index)
    for spacing, most, words in (
        (fastening.spacing, along, "along the framing"),
        (fastening.spacing_across, LATH_ACROSS, "between members"),
    ):
        if spacing is not None and spacing > most + HAIR:
            message = f"the lath fasteners are {inches(spacing)} apart {words}; {inches(most)} is the most."
            yield case.finding("P50", WARNING, message, index)
    if fastening.length is None or fastening.into not in (None, "studs"):
        return
    crossed = offset + sum(reading.layers[i].depth for i in range(index + 1, reading.body.start))
    needed = crossed + (fastening.penetration or LATH_PENETRATION)
    if fastening.length < needed - HAIR:
        message = (
            f"a lath fastener {inches(fastening.length)} long crosses {inches(crossed)} before the stud; it takes "
            f"{inches(needed)} to reach {inches(needed - crossed)} into it."
        )
        yield case.finding("P50", WARNING, message, index)


def _lath_fastening(case: Case) -> tuple[int, float, Fastening | None] | None:
    reading = case.reading
    for i in reading.stucco:
        for part in reading.layers[i].embedded:
            if carries_stucco(part.material):
                return i, part.offset or 0.0, part.fastening
    lath = [i for i in reading.outboard if carries_stucco(reading.layers[i].material)]
    return (lath[-1], 0.0, reading.layers[lath[-1]].fastening) if lath else None


def _direct(case: Case) -> bool:
    return case.reading.direct_stucco


def _on_lath(case: Case) -> bool:
    return bool(case.reading.stucco) and case.reading.lathed


RULES = (
    Rule("P01", check_drained_gap, _over_wood),
    Rule("P03", check_outside_coating, _direct),
    Rule("P04", check_inside_control, _direct),
    Rule("M11", check_film_forming, _direct),
    Rule("P06", check_bond_break, _direct),
    Rule("P08", check_base_edge, lambda case: bool(_rendered(case))),
    Rule("P15", check_lath, lambda case: bool(case.reading.stucco) and not case.reading.direct_stucco),
    Rule("P07", check_thickness, lambda case: bool(case.reading.stucco)),
    Rule("P50", check_lath_fastening, lambda case: _on_lath(case) and case.reading.framed),
    Rule("P31", check_panels, _on_lath),
    Rule("P14", check_rain, _direct),
)
