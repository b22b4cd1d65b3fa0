"""Rows of the plan reviewer's page on vapor, water, air, cladding, ground, foam, openings and what is by others.

What the wall has comes from its layers, what the code asks from the clause beside it. Whether the one is enough for the
other is the checks' to say: their findings close the page.
"""

from __future__ import annotations

from typing import Any

from specgen.checks.hazards import SOIL_CLEARANCE
from specgen.checks.layers import (
    CONTINUOUS_INSULATION,
    DRAINAGE_EFFICIENCY,
    DRAINED_DEPTH,
    FIBROUS,
    MASONRY,
    drains,
    gap_depth,
    kind_of,
)
from specgen.checks.makeup import is_open_both_ends
from specgen.checks.stucco import EARTH_CLEARANCE, PAVING_CLEARANCE
from specgen.checks.water import SIDING_CLEARANCE, SIDING_PAVING, SIDINGS
from specgen.data import load_table
from specgen.documents.printed import perms, pounds_per_square_foot, pressure
from specgen.documents.reviewer_row import Reviewed, ReviewerRow, capital, joined, r_printed
from specgen.documents.site_words import inch_mark
from specgen.drawing.callouts import layer_name
from specgen.drawing.type import TIE
from specgen.drawing.typeset import tabled, typeset
from specgen.model.material import uncapped
from specgen.model.site import UNKNOWN
from specgen.model.wall import Fastening

RENDERED = ("stucco", "adhered-veneer")
BACKING = (
    "wood-panel", "gypsum-sheathing", "fiberboard", "membrane", "sheet", "coating", "drainage-mat", "lath",
    *CONTINUOUS_INSULATION, *FIBROUS,
)  # fmt: skip


def enclosure_rows(page: Reviewed) -> list[ReviewerRow]:
    """Vapor retarder, barrier, drainage, air, cladding, ground, foam plastic, openings, by others."""
    rows = [_vapor(page), _water(page), _drain(page), _air(page), _cladding(page), _base(page), _foam(page)]
    if page.reading.foam_outside:
        rows.append(_termite(page))
    return [*rows, _openings(page), _others(page)]


# --- vapor -----------------------------------------------------------------------------------------------------------


def _vapor(page: Reviewed) -> ReviewerRow:
    found = _retarder(page)
    if not page.reading.framed:
        return page.row("vapor", [found, page.say("vapor.masonry")], page.clause("vapor-retarder"))
    site = page.site
    cold = site.zone >= 5 or (site.zone == 4 and site.marine)
    zone = site.zone_label
    if cold:
        subject, asked = "cold", page.say("vapor.cold", zone=zone)
    elif site.irc_edition == "2018":
        subject, asked = "hot", page.say("vapor.free", zone=zone)
    else:
        subject = "hot" if site.zone <= 2 else "mixed"
        asked = page.say(f"vapor.{subject}", zone=zone)
    source = page.clause(f"vapor-retarder-{subject}")
    if cold and page.assessment.moisture.retarder_class == "III":
        asked = _class_three(page)
        second = page.clause("class-three-insulation", _cold_row(page)["status"])
        source = page.say("source.two", first=source, second=second)
    return page.row("vapor", [found, asked], source)


def _retarder(page: Reviewed) -> str:
    plane = page.reading.interior_retarder
    if plane is None:
        return page.say("vapor.unknown")
    name = tabled(layer_name(page.wall.layers[plane.index]))
    if plane.facing:
        name = page.say("vapor.facing", layer=uncapped(name))
    value = perms(plane.dry).replace(" ", TIE)
    retarder = page.assessment.moisture.retarder_class
    if retarder == "none":
        return page.say("vapor.none", layer=uncapped(name), perms=value)
    return page.say("vapor.found", layer=name, perms=value, retarder=retarder)


def _cold_row(page: Reviewed) -> dict[str, Any]:
    zone = "marine-4" if page.site.zone == 4 else str(page.site.zone)
    row: dict[str, Any] = next(row for row in load_table("retarders")["class_iii"] if row["zone"] == zone)
    return row


def _class_three(page: Reviewed) -> str:
    row, outside = _cold_row(page), page.case.exterior_r_ip
    values = {
        "zone": page.site.zone_label,
        "shallow": row["r_2x4"],
        "deep": row["r_2x6"],
        "provided": r_printed(round(outside, 9)),
    }
    if not row["vented"] or outside >= row["r_2x6"]:  # nobody asks for a vented cladding then
        return page.say("vapor.three", **values)
    sheathings = joined([kind.replace("-", " ") for kind in row["vented"]], "or")
    return page.say("vapor.three_vented", sheathings=sheathings, **values)


# --- water, air ------------------------------------------------------------------------------------------------------


def _water(page: Reviewed) -> ReviewerRow:
    reading = page.reading
    if reading.direct_stucco:
        named = reading.controls("water")
        if named:
            text = page.say("water.direct", layers=uncapped(page.notes(named)))
            return page.row("water", [text], page.clause("masonry-barrier"))
        return page.row("water", [page.say("water.none"), page.say("water.masonry")], page.clause("masonry-barrier"))
    found = reading.water_layers(reading.outboard)
    if not reading.framed:
        if not found:
            return page.row(
                "water", [page.say("water.none"), page.say("water.masonry")], page.clause("masonry-barrier")
            )
        text = page.say("water.over_masonry", layers=page.notes(found))
        return page.row("water", [text], page.clause("masonry-barrier"))
    sentences = [_barrier(page, index) for index in found] or [page.say("water.none")]
    return page.row("water", sentences, page.clause("water-resistive-barrier"))


def _barrier(page: Reviewed, index: int) -> str:
    material = page.wall.layers[index].main_material
    if material and material.wrb_type:
        return page.say("water.type", layers=page.note(index), type=material.wrb_type)
    return page.say("water.equal" if material and material.water_barrier else "water.other", layers=page.note(index))


def _drain(page: Reviewed) -> ReviewerRow:
    reading, site = page.reading, page.site
    if reading.direct_stucco:
        return page.row("drain", [page.say("drain.bonded")], page.clause("drainage"))
    sentences = _gaps(page) or [page.say("drain.none")]
    rendered = reading.of_kind(reading.outboard, *RENDERED)
    if reading.framed and rendered and reading.wood_sheathing is not None:
        id, subject = "drain.dry", "stucco-barrier-dry"
        if site.irc_edition == "2018" and site.regime == "A" and site.zone <= 3:
            id, subject = "drain.ventilated", "stucco-barrier-moist"
        elif site.irc_edition != "2018" and site.regime in ("A", "C"):
            id, subject = "drain.moist", "stucco-barrier-moist"
        values = {"depth": inch_mark(DRAINED_DEPTH), "percent": _percent(DRAINAGE_EFFICIENCY)}
        asked = page.say(id, **(values if id == "drain.moist" else {}))
        return page.row("drain", [*sentences, asked], page.clause(subject))
    if reading.veneer is not None:
        return page.row("drain", [*sentences, page.say("drain.veneer")], page.clause("anchored-veneer"))
    if not reading.framed:
        sentences.append(page.say("drain.masonry"))
    return page.row("drain", sentences, page.clause("drainage"))


def _gaps(page: Reviewed) -> list[str]:
    sentences = []
    for index in page.reading.outboard:
        layer = page.wall.layers[index]
        if not drains(layer):
            continue
        name = page.note(index)
        if layer.framing:
            members = uncapped(tabled(layer_name(layer)))
            name = page.say("drain.between", depth=inch_mark(gap_depth(layer)), members=members)
        id = "drain.both" if is_open_both_ends(layer) else "drain.bottom"
        if layer.material and layer.material.drainage_efficiency:
            percent = _percent(layer.material.drainage_efficiency)
            sentences.append(page.say(f"{id}_efficient", layers=name, percent=percent))
        else:
            sentences.append(page.say(id, layers=name))
    return sentences


def _air(page: Reviewed) -> ReviewerRow:
    named = page.reading.controls("air")
    text = page.say("air.named", layers=page.notes(named)) if named else page.say("air.none")
    return page.row("air", [text], page.clause("air-leakage"))


# --- cladding, ground, foam, openings --------------------------------------------------------------------------------


def _cladding(page: Reviewed) -> ReviewerRow:
    reading = page.reading
    if reading.direct_stucco:
        coats = [call for call in page.calls if page.wall.index(call.layer_ids[0]) in reading.stucco]
        sentences = [f"{capital(call.note)}." for call in coats if not call.embedded_id]
        return page.row("cladding", [*sentences, page.say("cladding.bonded")], page.clause("plaster"))
    sentences = [f"{capital(page.calls[0].note)}."]
    held = _held(page)
    return page.row("cladding", [*sentences, *(held or [page.say("cladding.open")])], _cladding_source(page))


def _held(page: Reviewed) -> list[str]:
    """Fastening of lath, cladding, ties and furring outside of the structure, outermost first."""
    sentences: list[str] = []
    for index in page.reading.outboard:
        layer = page.wall.layers[index]
        sentences += [
            page.say("cladding.lath", fastening=_fastening(page, part.fastening))
            for part in layer.embedded
            if part.fastening and part.material.kind == "lath"
        ]
        if layer.ties:
            sentences.append(page.say("cladding.held", fastening=_fastening(page, layer.ties)))
        bedded = layer.ties is not None or layer.fastening is None or layer.fastening.type == "friction"
        if layer.fastening and not bedded and not _is_backing(page, index):
            id = "cladding.furring" if _is_furring(page, index) else "cladding.held"
            sentences.append(page.say(id, fastening=_fastening(page, layer.fastening)))
    return sentences


def _is_backing(page: Reviewed, index: int) -> bool:
    """Sheathing, barrier, mat and insulation behind the cladding: not what holds it."""
    return index > 0 and kind_of(page.wall.layers[index]) in BACKING


def _is_furring(page: Reviewed, index: int) -> bool:
    layer = page.wall.layers[index]
    return layer.framing is not None and index > 0


def _fastening(page: Reviewed, fastening: Fastening) -> str:
    name = uncapped(tabled(fastening.name or fastening.type))
    if fastening.length:
        name = page.say("fastening.sized", fastener=name, length=inch_mark(fastening.length))
    if fastening.by_engineer:
        return page.say("fastening.engineer", fastener=name)
    along, across = fastening.spacing, fastening.spacing_across
    if along and across:
        name = page.say("fastening.both", fastener=name, along=inch_mark(along), across=inch_mark(across))
    elif along:
        name = page.say("fastening.along", fastener=name, along=inch_mark(along))
    if fastening.into and fastening.penetration:
        depth = page.say("fastening.into", depth=inch_mark(fastening.penetration), base=fastening.into)
        return f"{name}, {depth}"
    return name


def _cladding_source(page: Reviewed) -> str:
    reading = page.reading
    if reading.veneer is not None:
        return page.clause("anchored-veneer")
    if reading.stucco:
        subject = "lath"
    elif reading.of_kind(reading.outboard, "adhered-veneer"):
        subject = "adhered-veneer"
    else:
        subject = "siding-fasteners"
    if not reading.foam_outside:
        return page.clause(subject)
    backing = "wood" if reading.framed else "masonry"
    second = page.clause(f"cladding-over-foam-on-{backing}")
    return page.say("source.two", first=page.clause(subject), second=second)


def _base(page: Reviewed) -> ReviewerRow:
    base, reading = page.wall.base, page.reading
    if base is None:
        return page.row("base", [page.say("base.none")], page.wall_file())
    values = {"edge": page.say(f"base.{base.termination}"), "earth": inch_mark(base.cladding_clearance)}
    if base.paving_clearance:
        sentences = [page.say("base.both", **values, paving=inch_mark(base.paving_clearance))]
    else:
        sentences = [page.say("base.earth", **values)]
    earth, paving, subject = EARTH_CLEARANCE, PAVING_CLEARANCE, ""
    if reading.framed and reading.stucco:
        subject = "weep-screed"
    elif reading.of_kind(reading.outboard, "adhered-veneer"):
        subject = "adhered-veneer"
    elif reading.framed and kind_of(page.wall.layers[0]) in SIDINGS:
        earth, paving, subject = SIDING_CLEARANCE, SIDING_PAVING, "siding-clearance"
    if not subject:
        return page.row("base", sentences, page.practice())
    sentences.append(page.say("base.asked", earth=inch_mark(earth), paving=inch_mark(paving)))
    return page.row("base", sentences, page.clause(subject))


def _foam(page: Reviewed) -> ReviewerRow:
    foam = list(page.reading.foam_anywhere())
    source = page.clause("foam-thermal-barrier")
    if not foam:
        return page.row("foam", [page.say("foam.none")], source)
    if page.has("P41"):
        return page.row("foam", [page.say("foam.open", foam=page.notes(foam))], source)
    inward = [(index, page.wall.layers[index].material) for index in range(foam[-1] + 1, len(page.wall.layers))]
    barriers = [i for i, m in inward if m and (m.kind in MASONRY or m.thermal_barrier)]
    barriers += [i for i, m in inward if m and m.kind == "wood-panel"]  # thick panels count, if nothing better is there
    cover = barriers[:1] or foam[-1:]  # foam in the cores of block is behind the block itself
    return page.row(
        "foam", [page.say("foam.covered", foam=page.notes(foam), cover=uncapped(page.notes(cover)))], source
    )


def _termite(page: Reviewed) -> ReviewerRow:
    hazard, base = page.site.hazards.termite, page.wall.base
    known = typeset(hazard.text.replace(UNKNOWN.text, page.say("termite.unknown")))
    if hazard.given:
        known = page.say("termite.given", **{"class": known})
    elif hazard.value is not None:
        known = page.say("termite.default", **{"class": known, "status": page.status(hazard.status)})
    values = {"asked": inch_mark(SOIL_CLEARANCE), "class": known}
    clearance = base.foam_clearance if base else None
    if clearance is None:
        text = page.say("termite.open", **values)
    else:
        text = page.say("termite.clear", clearance=inch_mark(clearance), **values)
    return page.row("termite", [text], page.clause("foam-termites"))


def _openings(page: Reviewed) -> ReviewerRow:
    openings = page.wall.openings
    if openings is None:
        return page.row("openings", [page.say("openings.none")], page.clause("flashing"))
    layer = uncapped(tabled(layer_name(page.wall.layer(openings.flange_plane))))
    return page.row("openings", [page.say("openings", layer=layer)], page.clause("flashing"))


def _others(page: Reviewed) -> ReviewerRow:
    ratings = page.wall.ratings
    entered: list[str] = []
    open_subjects: list[str] = []
    if ratings.fire_hours:
        entered.append(page.say("others.fire_value", hours=typeset(ratings.fire_hours)))
        entered += [page.say("others.listing", listing=typeset(ratings.fire_listing))] if ratings.fire_listing else []
    else:
        open_subjects.append(page.say("others.fire"))
    sound = [(word, value) for word, value in (("stc", ratings.stc), ("oitc", ratings.oitc)) if value]
    entered += [page.say(f"others.{word}", value=typeset(value)) for word, value in sound]
    open_subjects += [] if sound else [page.say("others.sound")]
    if ratings.cladding_weight:
        entered.append(page.say("others.weight_value", value=pounds_per_square_foot(ratings.cladding_weight)))
    else:
        open_subjects.append(page.say("others.weight"))
    if ratings.design_pressure:
        entered.append(page.say("others.pressure_value", value=pressure(ratings.design_pressure)))
    else:
        open_subjects.append(page.say("others.pressure"))
    open_subjects.append(page.say("others.always"))
    sentences = [page.say("others.entered", ratings=", ".join(entered))] if entered else []
    sentences.append(page.say("others", subjects=capital(", ".join(open_subjects))))
    return page.row("others", sentences, page.wall_file())


def _percent(share: float) -> str:
    return f"{share * 100:.3g}{TIE}percent"
