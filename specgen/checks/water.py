"""Water outside: a barrier that is one, over wood and over porous block, spaces that drain, veneer that can empty."""

from __future__ import annotations

from collections.abc import Iterator

from specgen import units
from specgen.checks.layers import HAIR, drained_gap, drains, gap_depth, kind_of, name_of
from specgen.checks.makeup import is_open_both_ends
from specgen.checks.rules import COMMON_PRACTICE, ERROR, NOTE, WARNING, Case, Rule, inches
from specgen.model.finding import Finding

VENTED_DEPTH = 3 / 8 * units.INCH  # least depth of a ventilated space behind cladding: common practice [m]
VENEER_SPACE = 1.0 * units.INCH  # least clear air space, IRC R703.8.4.2 [m]
VENEER_REACH = 4.5 * units.INCH  # most from veneer to backing on wire ties, IRC Table R703.8.4 [m]
TIE_AREA = 2.67 * units.FOOT**2  # most wall area per tie, IRC R703.8.4.1 [m²]
TIE_ACROSS, TIE_ALONG = 32 * units.INCH, 24 * units.INCH  # most spacing of ties, IRC R703.8.4.1 [m]
SIDING_CLEARANCE, SIDING_PAVING = 6 * units.INCH, 2 * units.INCH  # wood above earth, paving: IRC R317.1 (memory) [m]
SIDINGS = ("wood-siding", "panel-siding", "fiber-cement", "wood-panel")
POROUS = ("block", "brick")


def check_porous_masonry(case: Case) -> Iterator[Finding]:
    """P02: water control over porous block, outside of it."""
    reading = case.reading
    barriers = [i for i in reading.controls("water", reading.outboard) if _accepted(case, i)]
    if not barriers:
        message = (
            f"{name_of(reading.layers[reading.structure])} is porous and no accepted water barrier stands outside of "
            f"it; put a membrane on its outer face, or on a flashed insulation face with a drained cladding."
        )
        yield case.finding("P02", ERROR, message, reading.structure)


def _accepted(case: Case, index: int) -> bool:
    material = case.reading.layers[index].main_material
    return bool(material and material.water_barrier)


def check_water_control(case: Case) -> Iterator[Finding]:
    """P05: a framed wall names its water-control layer, and what is named is accepted as a barrier."""
    reading = case.reading
    named = reading.controls("water", reading.outboard)
    if reading.framed and not named:
        message = "no layer outside of the framing controls water; name a water-resistive barrier behind the cladding."
        yield case.finding("P05", ERROR, message, None, case.section("R703.2"), "secondary")
    # stucco bonded to masonry is its own rain control, together with its coating; P03 and P04 judge that pair
    for i in () if reading.direct_stucco else named:
        if not _accepted(case, i):
            message = (
                f"{name_of(reading.layers[i])} is named as water control but is not accepted as a water barrier; name "
                f"a layer that is, or enter its evaluation."
            )
            yield case.finding("P05", ERROR, message, i, case.section("R703.2"), "secondary")


def check_reservoir(case: Case) -> Iterator[Finding]:
    """P12: nothing between a rain-storing cladding and a barrier over a layer that rots or molds."""
    reading = case.reading
    if reading.wood_sheathing is not None and kind_of(reading.layers[reading.reservoir[-1]]) != "brick":
        return  # P01 speaks of stucco and adhered veneer over wood
    behind = range(reading.reservoir[-1] + 1, reading.structure + 1)
    barriers = reading.water_layers(behind) or [behind.stop - 1]
    between = [reading.layers[i] for i in range(behind.start, barriers[-1])]
    capillary = any(drained_gap(x) or kind_of(x) in ("rigid-foam", "mineral-board") for x in between)
    if not capillary:
        severity = WARNING if case.site.regime == "B" else ERROR
        message = (
            f"{name_of(reading.layers[reading.reservoir[-1]])} stores rain and lies on the barrier in zone "
            f"{case.site.zone_label}; put a drained space of 3/16 in or more, or a mat, between them."
        )
        yield case.finding("P12", severity, message, reading.reservoir[-1])


def check_insulation_drains(case: Case) -> Iterator[Finding]:
    """P13: water between exterior insulation and the barrier on the masonry can run out."""
    reading = case.reading
    innermost = reading.insulation_outside[-1]
    barriers = reading.controls("water", reading.outboard)
    if not barriers or min(barriers) <= innermost:
        return  # the barrier is the insulation's own face, or outside of it
    material = reading.layers[innermost].material
    # mineral wool boards drain within themselves
    if material and (material.drainable or material.kind == "mineral-board"):
        return
    if any(drains(reading.layers[i]) for i in range(innermost + 1, min(barriers))):
        return
    message = (
        f"{name_of(reading.layers[innermost])} lies tight on the water barrier; leave a drained joint of 1/8 in ("
        f"grooved board, mat or strips) so that water behind the board runs out."
    )
    yield case.finding("P13", WARNING, message, innermost)


def check_air_spaces(case: Case) -> Iterator[Finding]:
    """P11: a space that is called ventilated or drained is open and deep enough for it."""
    for i in case.reading.outboard:
        layer = case.reading.layers[i]
        if layer.cavity is None or layer.cavity.kind == "unventilated":
            continue
        if not drains(layer):
            message = f"{name_of(layer)} is called {layer.cavity.kind} but is not open at the bottom; open it there."
            yield case.finding("P11", WARNING, message, i)
        elif layer.cavity.kind == "ventilated" and not is_open_both_ends(layer):
            message = f"{name_of(layer)} is called ventilated but is not open at the top; open it, or call it drained."
            yield case.finding("P11", WARNING, message, i)
        elif layer.cavity.kind == "ventilated" and gap_depth(layer) < VENTED_DEPTH - HAIR:
            message = (
                f"{name_of(layer)} is {inches(gap_depth(layer))} deep; a ventilated space takes {inches(VENTED_DEPTH)} "
                f"or more, 3/4 in as a rule."
            )
            yield case.finding("P11", WARNING, message, i)


def check_veneer_space(case: Case) -> Iterator[Finding]:
    """P09: clear air space behind anchored veneer, and how far the ties reach."""
    reading = case.reading
    veneer = reading.veneer
    if veneer is None:
        return
    spaces = [i for i in range(veneer + 1, reading.structure) if drains(reading.layers[i])]
    depth = max((gap_depth(reading.layers[i]) for i in spaces), default=0.0)
    if depth < VENEER_SPACE - HAIR:
        name = name_of(reading.layers[veneer])
        message = f"the clear, drained space behind {name} is {inches(depth)}; leave 1 in or more, 2 in is better."
        yield case.finding("P09", ERROR, message, veneer, case.section("R703.8.4.2"))
    backing = next(
        (
            i for i in range(veneer + 1, reading.structure + 1)
            if i == reading.structure or kind_of(reading.layers[i]) in ("wood-panel", "gypsum-sheathing", "fiberboard")
        ),
        reading.structure,
    )  # fmt: skip
    reach = reading.wall.faces[backing] - reading.wall.faces[veneer + 1]
    ties = reading.layers[veneer].ties
    if reach > VENEER_REACH + HAIR and not (ties and ties.by_engineer):
        name = name_of(reading.layers[veneer])
        message = f"{inches(reach)} from {name} to its backing; over 4-1/2 in the ties are the engineer's."
        yield case.finding("P09", ERROR, message, veneer, case.section("Table R703.8.4"))


def check_veneer_ties(case: Case) -> Iterator[Finding]:
    """P10: anchored veneer is tied back, closely enough."""
    veneer = case.reading.veneer
    if veneer is None:
        return
    layer = case.reading.layers[veneer]
    ties = layer.ties or (layer.fastening if layer.fastening and layer.fastening.type == "tie" else None)
    if ties is None:
        yield case.finding("P10", ERROR, f"{name_of(layer)} has no ties to the wall behind it; give them.", veneer)
    elif not ties.by_engineer and ties.spacing and ties.spacing_across:
        area = ties.spacing * ties.spacing_across
        if area > TIE_AREA * 1.002 or ties.spacing > TIE_ALONG + HAIR or ties.spacing_across > TIE_ACROSS + HAIR:
            message = (
                f"one tie holds {area / units.FOOT**2:.2f} sq ft of {name_of(layer)} ({inches(ties.spacing)} by "
                f"{inches(ties.spacing_across)}); 2.67 sq ft, 24 in up and 32 in across are the most."
            )
            yield case.finding("P10", ERROR, message, veneer)


def check_siding_edge(case: Case) -> Iterator[Finding]:
    """P16: siding ends clear of earth and paving."""
    base = case.reading.wall.base
    index = _siding(case)[0]
    if base is None:
        message = "the base of the wall is not described, so the siding's clearance is not checked; fill in 'base'."
        yield case.finding("P16", NOTE, message, index)
        return
    material = case.reading.layers[index].main_material
    wood = bool(material and material.wood_based and not material.treated)
    severity = ERROR if wood else WARNING
    source = case.section("R317.1", "R304.1") if wood else COMMON_PRACTICE
    for found, least, ground in (
        (base.cladding_clearance, SIDING_CLEARANCE, "earth"),
        (base.paving_clearance, SIDING_PAVING, "paving"),
    ):
        if found is not None and found < least - HAIR:
            message = f"the siding ends {inches(found)} above {ground}; end it {inches(least)} or more above it."
            yield case.finding("P16", severity, message, index, source, "from-memory" if wood else "common-practice")


def _siding(case: Case) -> list[int]:
    """The outermost layer that is neither coating nor film, where it is siding."""
    bodies = [i for i in case.reading.outboard if kind_of(case.reading.layers[i]) != "coating"]
    return [i for i in bodies[:1] if kind_of(case.reading.layers[i]) in SIDINGS]


def check_openings(case: Case) -> Iterator[Finding]:
    """P17: how water is turned out around a window."""
    if case.reading.wall.openings is None:
        message = "nothing says how a window sits in this wall; give the sill pan, jamb and head flashing."
        yield case.finding("P17", WARNING, message, None, case.section("R703.4"), "from-memory")


def check_paper_faced(case: Case) -> Iterator[Finding]:
    """P18: paper-faced gypsum behind a cladding that stores rain."""
    reading = case.reading
    for i in range(reading.reservoir[-1] + 1, reading.structure):
        material = reading.layers[i].material
        if material and material.kind in ("gypsum-board", "gypsum-sheathing") and material.facing == "paper":
            message = (
                f"{name_of(reading.layers[i])} is paper-faced and stands behind a cladding that stores rain; use "
                f"glass-faced gypsum."
            )
            yield case.finding("P18", WARNING, message, i)


def _porous_wall(case: Case) -> bool:
    reading = case.reading
    return not reading.framed and not reading.direct_stucco and kind_of(reading.layers[reading.structure]) in POROUS


def _reservoir_over_sensitive(case: Case) -> bool:
    reading = case.reading
    if not reading.reservoir or not reading.framed:
        return False
    behind = (reading.layers[i].main_material for i in range(reading.reservoir[-1] + 1, reading.structure + 1))
    return any(m and (m.wood_based or m.moisture_sensitive or m.kind.startswith("gypsum")) for m in behind)


def _has_veneer(case: Case) -> bool:
    return case.reading.veneer is not None


RULES = (
    Rule("P02", check_porous_masonry, _porous_wall),
    Rule("P05", check_water_control),
    Rule("P12", check_reservoir, _reservoir_over_sensitive),
    Rule("P09", check_veneer_space, _has_veneer),
    Rule("P10", check_veneer_ties, _has_veneer),
    Rule(
        "P11", check_air_spaces,
        lambda case: any(x.cavity and x.cavity.kind != "unventilated" for x in case.reading.layers),
    ),
    Rule(
        "P13", check_insulation_drains,
        lambda case: not case.reading.framed and bool(case.reading.insulation_outside),
    ),
    Rule("P16", check_siding_edge, lambda case: bool(_siding(case))),
    Rule("P18", check_paper_faced, lambda case: bool(case.reading.reservoir)),
    Rule("P17", check_openings),
)  # fmt: skip
