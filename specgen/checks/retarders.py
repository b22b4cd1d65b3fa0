"""Vapor retarders by class: what may stand inboard of the cavity or the masonry, zone by zone and edition by edition.

Classes follow the dry cup (ASTM E96 procedure A). The code's tables speak of framed walls only; what is said of
masonry, and of hot-humid zones before 2021, is common practice and says so.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from specgen import units
from specgen.checks.layers import Reading, VaporPlane, kind_of, name_of
from specgen.checks.makeup import is_open_both_ends
from specgen.checks.rules import COMMON_PRACTICE, ERROR, WARNING, Case, Rule, inches, perms
from specgen.data import load_table
from specgen.model.finding import Finding, Severity

FOAM_ALLOWED = 0.4 * units.PERM  # least permeance of a foam board inside of masonry: common practice
WALL_COVERING = 5 * units.PERM  # a polymer wall covering under this keeps masonry from drying: common practice
SHALLOW_STUD = 3.5 * units.INCH  # dressed depth of a 2x4 [m]
DEEP_STUD = 5.5 * units.INCH  # dressed depth of a 2x6 [m]
R_OF_2X6 = 20.0  # cavity R that the table's 2x6 column goes with, to scale it to deeper studs [h·ft²·°F/Btu]
VENTED_VENEER = 1.0 * units.INCH  # clear air space of brick that counts as vented cladding [m]
LABEL = 0.05  # R is compared as labeled, to one decimal [h·ft²·°F/Btu]


def responsive(plane: VaporPlane) -> bool:
    """Class I or II in the dry cup and at least 1 perm in the wet cup, not a faced batt."""
    return plane.retarder_class in ("I", "II") and plane.wet >= units.PERM and not plane.facing


def _closed_inside(reading: Reading) -> Iterator[VaporPlane]:
    return (p for p in reading.interior_planes if p.known and p.retarder_class in ("I", "II"))


def _say(case: Case, plane: VaporPlane) -> str:
    layer = case.reading.layers[plane.index]
    part = f"the facing of {name_of(layer)}" if plane.facing else name_of(layer)
    return f"{part} is {perms(plane.dry)} (dry cup), class {plane.retarder_class}"


def _open_inside_zone(case: Case) -> bool:
    return case.site.zone <= 2 or case.site.zone_label == "3A"


def _framed_open_inside(case: Case) -> bool:
    return case.reading.framed and _open_inside_zone(case)


def check_framed_inside(case: Case) -> Iterator[Finding]:
    """M01: class I or II inboard of the cavity in zones 0 to 2, class I in 3A, class II in 3A as a warning."""
    code = case.irc >= 2021 and case.site.zone <= 2
    source = f"IRC {case.irc} Table R702.7(2)" if code else COMMON_PRACTICE
    status = ("secondary" if case.irc == 2021 else "from-memory") if code else "common-practice"
    for plane in _closed_inside(case.reading):
        severity = ERROR
        tail = "use unfaced insulation, gypsum board and latex paint (class III, over 1 perm)"
        if case.site.zone == 3 and plane.retarder_class == "II":
            severity = WARNING
        elif code and responsive(plane):
            severity = WARNING
            tail = f"the code's exception for responsive retarders ({perms(plane.wet)} wet cup) is unverified"
        message = f"{_say(case, plane)}, inboard of the cavity in zone {case.site.zone_label}; {tail}."
        yield case.finding("M01", severity, message, plane.index, source, status)


def check_class_one_code(case: Case) -> Iterator[Finding]:
    """M02: class I inside in zones 3 and 4 except marine, a code row that we could not confirm."""
    for plane in _closed_inside(case.reading):
        if plane.retarder_class == "I" and not responsive(plane):
            message = (
                f"{_say(case, plane)}, inboard of the cavity: not permitted in zone {case.site.zone_label} by the "
                f"{case.irc} table, unverified; confirm with the building department or use a class II or III retarder."
            )
            yield case.finding("M02", WARNING, message, plane.index, f"IRC {case.irc} Table R702.7(2)", "from-memory")


def _class_one_row(case: Case) -> bool:
    site = case.site
    return case.reading.framed and case.irc >= 2021 and (site.zone == 3 or (site.zone == 4 and not site.marine))


def check_masonry_inside(case: Case) -> Iterator[Finding]:
    """M03: polyethylene, foil, kraft, vinyl wall covering or impermeable paint inside of masonry."""
    severity = ERROR if _open_inside_zone(case) else WARNING
    for plane in case.reading.interior_planes:
        if plane.known and _closes_masonry(case.reading, plane):
            layer = case.reading.layers[plane.index]
            part = f"the facing of {name_of(layer)}" if plane.facing else name_of(layer)
            message = (
                f"{part} is {perms(plane.dry)} (dry cup) inside of the masonry in zone {case.site.zone_label}; keep "
                f"every layer there at 1 perm or more, foam board at {perms(FOAM_ALLOWED)} or more and without foil."
            )
            yield case.finding("M03", severity, message, plane.index)


def _closes_masonry(reading: Reading, plane: VaporPlane) -> bool:
    material = reading.layers[plane.index].main_material
    if material is None:
        return False
    if material.kind in ("rigid-foam", "spray-foam") and material.facing != "foil":
        return plane.dry < FOAM_ALLOWED * (1 - 1e-9)
    if material.kind == "wall-covering" and material.facing in ("polymer", "foil"):
        return plane.dry < WALL_COVERING
    return plane.retarder_class in ("I", "II")


def check_class_three(case: Case) -> Iterator[Finding]:
    """M05: a class III retarder needs exterior insulation or vented cladding in cold zones."""
    plane = case.reading.interior_retarder
    if plane is None or plane.retarder_class != "III":
        return
    row, severity, source, status = _class_three_row(case)
    needed, basis = _needed(case, row)
    provided = case.exterior_r_ip
    if provided >= needed - LABEL or _vented(case.reading, row["vented"]):
        return
    if "derived" in basis:
        source, status = COMMON_PRACTICE, "common-practice"
    listed = " or ".join(kind.replace("-", " ") for kind in row["vented"])
    vented = f", or vented cladding over {listed}" if listed else ""
    message = (
        f"{_say(case, plane)}: zone {case.site.zone_label} then asks for R-{needed:.4g} outside of the cavity ({basis})"
        f"{vented}; the wall has R-{provided:.1f}."
    )
    yield case.finding("M05", severity, message, plane.index, source, status)


def _cold_code(case: Case) -> bool:
    return case.site.zone >= 5 or (case.site.zone == 4 and case.site.marine)


def _air_open_cavity(case: Case) -> bool:
    return case.reading.air_open_fill is not None


def _class_three_zone(case: Case) -> bool:
    good_practice = case.site.zone == 4 and case.irc >= 2021
    return _air_open_cavity(case) and (_cold_code(case) or good_practice)


def _class_three_row(case: Case) -> tuple[dict[str, Any], Severity, str, str]:
    rows = {row["zone"]: row for row in load_table("retarders")["class_iii"]}
    if not _cold_code(case):
        return rows["marine-4"], WARNING, COMMON_PRACTICE, "common-practice"
    row = rows["marine-4" if case.site.zone == 4 else str(case.site.zone)]
    table = "Table R702.7(3)" if case.irc >= 2021 else "Table R702.7.1"
    return row, ERROR, f"IRC {case.irc} {table}", row["status"]


def _needed(case: Case, row: dict[str, Any]) -> tuple[float, str]:
    """Exterior R that a row asks of this stud depth. Deeper than 2x6 the 2x6 share is kept: derived, not code."""
    depth = sum(case.reading.layers[i].depth for i in case.reading.body)
    if depth <= SHALLOW_STUD + 1e-6:
        return float(row["r_2x4"]), "2x4 column"
    if depth <= DEEP_STUD + 1e-6:
        return float(row["r_2x6"]), "2x6 column"
    cavity = sum(case.resistance(i) for i in case.reading.body) / units.R_IP
    needed = max(float(row["r_2x6"]), float(row["r_2x6"]) * cavity / R_OF_2X6)
    return needed, f"derived from the 2x6 column for studs {inches(depth)} deep"


def _vented(reading: Reading, sheathings: list[str]) -> bool:
    """Vented cladding over one of these sheathings: a space open at bottom and top, or brick with 1 in clear."""
    gaps = [i for i in reading.outboard if is_open_both_ends(reading.layers[i])]
    if reading.veneer is not None:
        behind = reading.layers[reading.veneer + 1]
        if behind.cavity and behind.cavity.kind != "unventilated" and behind.depth >= VENTED_VENEER - 1e-6:
            gaps.append(reading.veneer + 1)
    if not gaps:
        return False
    sheathing = [kind_of(reading.layers[i]) for i in range(max(gaps) + 1, reading.body.start)]
    return any(kind in sheathings for kind in sheathing)


def check_no_retarder(case: Case) -> Iterator[Finding]:
    """M06: Marine 4 and 5 to 8 ask for a vapor retarder inside of air-open insulation."""
    plane = case.reading.interior_retarder
    if plane is not None and plane.retarder_class != "none":
        return
    found = f"the most closed layer inside is {perms(plane.dry)}" if plane else "no layer inside has a permeance"
    message = (
        f"{found}: zone {case.site.zone_label} asks for a class I or II vapor retarder inboard of the cavity, "
        f"or class III (10 perm or less) with enough R outside."
    )
    yield case.finding("M06", ERROR, message, plane.index if plane else None, f"IRC {case.irc} R702.7", "from-memory")


def class_two_row_met(case: Case) -> bool:
    """The exterior R of the class II table is there (2021 and later, zones 3 to 8)."""
    if not case.reading.framed or case.irc < 2021 or case.site.zone < 3:
        return False
    return case.exterior_r_ip >= _class_two_needed(case)[0] - LABEL


def _class_two_needed(case: Case) -> tuple[float, str]:
    rows = {row["zone"]: row for row in load_table("retarders")["class_ii"]}
    return _needed(case, rows[str(case.site.zone)])


def check_class_two(case: Case) -> Iterator[Finding]:
    """M07: a class II retarder with foam outside needs the R of the class II table."""
    plane = case.reading.interior_retarder
    if plane is None or plane.retarder_class != "II":
        return
    needed, basis = _class_two_needed(case)
    if case.exterior_r_ip >= needed - LABEL:
        return
    message = (
        f"{_say(case, plane)}, with foam sheathing of R-{case.exterior_r_ip:.1f} outside: zone {case.site.zone_label} "
        f"asks for R-{needed:.4g} ({basis}), unverified."
    )
    yield case.finding("M07", WARNING, message, plane.index, f"IRC {case.irc} Table R702.7(4)", "from-memory")


def _class_two_zone(case: Case) -> bool:
    return case.reading.framed and case.irc >= 2021 and case.site.zone >= 3 and bool(case.reading.foam_outside)


def check_fibrous_inside(case: Case) -> Iterator[Finding]:
    """M13: only fibrous insulation inside of masonry, and nothing on the masonry that holds its water back."""
    reading = case.reading
    materials = [reading.layers[i].main_material for i in reading.insulation_inside]
    if not all(m and m.air_open for m in materials):
        return
    first = reading.insulation_inside[0]
    between = range(reading.body.stop, first)
    if any(kind_of(reading.layers[i]) in ("coating", "membrane", "mortar", "stucco") for i in between):
        return
    message = (
        f"{name_of(reading.layers[first])} is the only insulation inside of the masonry and nothing on the masonry "
        f"holds back its water; coat the inner face first, or close in only after the masonry is dry and tested."
    )
    yield case.finding("M13", WARNING, message, first)


RULES = (
    Rule("M01", check_framed_inside, _framed_open_inside),
    Rule(
        "M03", check_masonry_inside, lambda case: not case.reading.framed,
        lambda case: not case.reading.framed and _open_inside_zone(case),
    ),
    Rule("M02", check_class_one_code, _class_one_row),
    Rule("M05", check_class_three, _class_three_zone),
    Rule("M06", check_no_retarder, lambda case: _air_open_cavity(case) and _cold_code(case)),
    Rule("M07", check_class_two, _class_two_zone),
    Rule(
        "M13", check_fibrous_inside,
        lambda case: not case.reading.framed and bool(case.reading.insulation_inside) and case.site.regime == "A",
    ),
)  # fmt: skip
