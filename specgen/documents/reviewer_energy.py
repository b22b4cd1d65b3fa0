"""Rows of the plan reviewer's page on code, place and heat: what is required, what is provided, how it was computed.

Nothing is computed here; every figure is a field of the assessment, beside the limit that it is compared with.
"""

from __future__ import annotations

from specgen import units
from specgen.checks.energy import mostly_inside
from specgen.checks.makeup import mass_layer, ventilated_gap
from specgen.checks.resistances import worse
from specgen.data import source as cite
from specgen.documents.printed import u_si
from specgen.documents.reviewer_row import (
    Reviewed,
    ReviewerRow,
    capital,
    closed,
    joined,
    r_exact,
    r_ip,
    r_printed,
)
from specgen.drawing.callouts import Callout, layer_name, short_note
from specgen.drawing.type import TIE, format_drawing_length
from specgen.drawing.typeset import tabled, typeset
from specgen.model.assessment import CodePath
from specgen.model.material import uncapped

COUNTY_LIST = "pnnl-33270"  # the report number is citation enough on one page


def place_rows(page: Reviewed) -> list[ReviewerRow]:
    """Layers, code and climate zone."""
    thickness = format_drawing_length(page.wall.thickness)
    parts = tuple((str(call.number), _part(page, call)) for call in page.calls)
    below = page.say("layers.head", thickness=thickness)
    layers = ReviewerRow(page.say("q.layers"), "", "", parts, below)
    return [layers, _code(page), _zone(page)]


def energy_rows(page: Reviewed) -> list[ReviewerRow]:
    """Path, R, U, how U was computed, mass wall."""
    return [_path(page), _r(page), _u(page), _method(page), _mass(page)]


def _part(page: Reviewed, call: Callout) -> str:
    """Size and name; of studs and block also what fills them, since U hangs on it."""
    layer = page.wall.layer(call.layer_ids[0])
    return tabled(call.note if (layer.fill or layer.unit) and not call.embedded_id else short_note(call))


def _code(page: Reviewed) -> ReviewerRow:
    energy, residential = page.site.edition, page.site.irc_edition
    if energy == residential:
        codes = page.say("code.one", edition=energy)
    else:
        codes = page.say("code.two", energy=energy, residential=residential)
    if page.project:
        sentences = [page.say("code.project", codes=codes), closed(page.project.code.note)]
        return page.row("code", sentences, page.say("code.source_project", number=typeset(page.project.number)))
    own = page.site.jurisdiction
    if own is not None and own.edition == energy:
        text = page.say("code.amended", codes=codes, name=typeset(own.name))
        return page.row("code", [text], typeset(own.source))
    words = "code.alone" if page.site.edition_chosen else "code.default"
    return page.row("code", [page.say(words, codes=codes)], page.say("code.source_alone"))


def _zone(page: Reviewed) -> ReviewerRow:
    site = page.site
    if site.county:
        # the warm-humid flag bears on basements and crawl spaces, not on these walls
        parts = site.zone_source.replace(cite(COUNTY_LIST)["title"], COUNTY_LIST.upper()).split("; ")
        sources = [part for part in parts if "warm-humid" not in part]
        place = page.say("zone.county", zone=site.zone_label, source=typeset("; ".join(sources)))
    else:
        place = page.say("zone.alone", zone=site.zone_label)
    judged = [closed(capital(f.message)) for f in page.assessment.findings if f.code == "E07"]
    return page.row("zone", [place, *judged], page.clause("climate-zone"))


def _path(page: Reviewed) -> ReviewerRow:
    paths = page.assessment.energy_code.paths
    meeting = [path for path in paths if path.meets]
    names = {path.path for path in meeting}
    if not meeting:
        id = "path.none"
    elif all(path.path == "u" for path in paths):
        id = "path.u_only"
    else:
        id = "path.both" if len(names) == 2 else f"path.{names.pop()}"
    if meeting and all(path.status != "confirmed" for path in meeting):
        id += "_unverified"
    return page.row("path", [page.say(id)], page.clause("envelope-paths"))


def _r(page: Reviewed) -> ReviewerRow:
    paths = [path for path in page.assessment.energy_code.paths if path.path == "r"]
    if not paths and page.assessment.energy_code.jurisdiction:
        name = typeset(page.assessment.energy_code.jurisdiction)
        return page.row("r", [page.say("r.jurisdiction", name=name)], page.clause("r-value-table"))
    if not paths:
        return page.row("r", [page.say("r.steel")], page.clause("r-value-table"))
    limits = joined([path.label for path in paths], "or")
    leaned_on = [path.status for path in paths if path.meets] or [path.status for path in paths]
    sentences = [
        page.say("r.required", limits=limits),
        _provided(page, paths[0]),
        _met(page, paths),
    ]
    return page.row("r", sentences, _limit_source(page, paths[0], "r-value-table", *leaned_on))


def _limit_source(page: Reviewed, path: CodePath, table: str, *statuses: str) -> str:
    """The clause of the model code, or the law of the jurisdiction that took its place."""
    if path.source.startswith("IECC"):
        return page.clause(table, *statuses)
    return page.say("source.clause", clause=typeset(path.source), status=page.status(path.status))


def _met(page: Reviewed, paths: list[CodePath]) -> str:
    """Which alternative is met, where there is more than one."""
    meets = [path.label for path in paths if path.meets]
    if not meets:
        return page.say("r.fails")
    return page.say("r.meets") if len(paths) == 1 else page.say("r.meets_one", limits=joined(meets))


def _provided(page: Reviewed, path: CodePath) -> str:
    assert isinstance(path.provided, dict)
    thermal = page.assessment.thermal
    labels = {
        "cavity": _r_text(page, r_ip(thermal.cavity_r_si)),
        "continuous": _r_text(page, r_ip(thermal.continuous_r_si)),
    }
    if "total" not in path.provided:
        return page.say("r.frame", **labels)
    total = _r_text(page, path.provided["total"])
    return page.say("r.mass_furred", total=total, **labels) if thermal.cavity_r_si else page.say("r.mass", total=total)


def _r_text(page: Reviewed, value: float) -> str:
    """As printed, and unrounded beside it where the two differ."""
    if value == 0:
        return page.say("r.none")
    printed = r_printed(value)
    same = printed == f"R-{r_exact(value)}"
    return printed if same else page.say("unrounded", printed=printed, exact=r_exact(value))


def _u(page: Reviewed) -> ReviewerRow:
    path = next(path for path in page.assessment.energy_code.paths if path.path == "u")
    assert isinstance(path.provided, float | int)
    sentences = [
        page.say("u.required", limit=path.label),
        page.say("u.provided", printed=f"U-{path.provided + 1e-9:.3f}", exact=f"{path.provided:.5f}"),
        page.say("u.meets" if path.meets else "u.fails"),
    ]
    return page.row("u", sentences, _limit_source(page, path, "u-factor-table", path.status))


def _method(page: Reviewed) -> ReviewerRow:
    thermal = page.assessment.thermal
    outer, *_, inner = thermal.paths[0].resistances  # the films, alike on every path
    figure = next(figure for figure in thermal.figures if figure.result == thermal.u_si / units.U_IP)
    values = {
        "method": capital(thermal.method.replace(f" ({figure.source})", "")),
        "outer": f"R-{r_ip(outer.resistance):.2f}",
        "inner": f"R-{r_ip(inner.resistance):.2f}",
    }
    gap = ventilated_gap(page.wall)
    framing = [
        page.say("method.framing", percent=_percent(layer.framing.fraction), layer=uncapped(tabled(layer_name(layer))))
        for layer in page.wall.layers[0 if gap is None else gap + 1 :]
        if layer.framing
    ]
    sentences = [
        page.say("method.films", framing=joined(framing), **values)
        if framing
        else page.say("method.unframed", **values),
        page.say("method.result", r=r_printed(r_ip(thermal.r_si)), u_si=u_si(thermal.u_si).replace(" ", TIE)),
        page.say("method.left_out" if gap is None else "method.left_out_gap"),
    ]
    least = worse(*(part.status for path in thermal.paths for part in path.resistances))
    source = page.say(
        "method.source", method=figure.source, status=page.status(figure.status), values=page.status(least)
    )
    return page.row("method", sentences, source)


def _mass(page: Reviewed) -> ReviewerRow:
    thermal, code = page.assessment.thermal, page.assessment.energy_code
    capacity = f"{thermal.heat_capacity_si / units.HEAT_CAPACITY_IP:.1f}{TIE}Btu/(ft²·°F)"
    index = mass_layer(page.wall)
    if code.family == "mass" and index is not None:
        sentences = [page.say("mass.list", layer=page.note(index), capacity=capacity)]
        status: tuple[str, ...] = ()
    else:
        basis = capital(code.basis).replace(" Btu", f"{TIE}Btu")
        sentences = [page.say("mass.yes" if code.family == "mass" else "mass.no", basis=tabled(basis))]
        if capacity not in basis:
            sentences.append(page.say("mass.whole", capacity=capacity))
        status = ("from-memory",)  # the limit of 6 Btu/(ft²·°F)
    if code.family == "mass" and thermal.mass_insulation_si > 0:
        side = "inside" if mostly_inside(thermal) else "outside"
        sentences.append(page.say(f"mass.{side}", share=_percent(thermal.interior_share)))
    return page.row("mass", sentences, page.clause("mass-wall", *status))


def _percent(share: float) -> str:
    return f"{share * 100:.3g}{TIE}percent"
