"""The calculation record of heat: paths, layers, framing, every figure with the numbers put in, and the code's limits.

Nothing is computed here: each number is a field of the assessment, turned into the unit that it prints in.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from specgen import units
from specgen.checks.thermal_record import HC_UNIT, R_UNIT, U_UNIT
from specgen.documents.record_page import (
    LEFT,
    RIGHT,
    Block,
    Page,
    ReportInput,
    heading,
    paragraph,
    set_pages,
)
from specgen.documents.record_table import Column, name_lines, table
from specgen.documents.record_temperatures import temperature_blocks
from specgen.documents.reviewer_row import capital, closed, r_exact, r_printed
from specgen.documents.site_words import inch_mark
from specgen.drawing.callouts import is_film, layer_name
from specgen.drawing.type import NOTE, TIE, format_mils, text_width
from specgen.drawing.typeset import tabled, typeset
from specgen.model.assessment import CodePath, Figure, LayerResistance
from specgen.model.wall import Layer

ID_WIDTH = 31.0  # of the column of layer ids [mm]
BASIS_AT, R_AT, R_SI_AT = 86.0, 138.0, 157.0
FORMULA_AT, RESULT_AT = 77.0, 164.0
FORMULA_WIDTH = RESULT_AT - 3.0 - FORMULA_AT


def thermal_pages(given: ReportInput) -> tuple[Page, ...]:
    """The heat pages of one wall at one site.

    Raises
    ------
    PageOverflowError
        If a word is wider than its column; names it.
    """
    method = capital(given.assessment.thermal.method)
    blocks = [
        paragraph(given.say("heat.intro", method=typeset(method)), "heat_intro"),
        *_paths(given),
        *_layers(given),
        *_framing(given),
        *_figures(given),
        *_storage(given),
        *_code(given),
        *_notes(given),
        *temperature_blocks(given),
    ]
    return set_pages("record_heat", given.say("heat.title"), blocks)


def _paths(given: ReportInput) -> list[Block]:
    columns = (
        Column("", LEFT, 8.0),
        Column(given.say("head.path"), LEFT + 9.0, 92.0),
        Column(given.say("head.share"), 122.0, 24.0, "end"),
        Column(given.say("head.r_ip"), 149.0, 23.0, "end"),
        Column(given.say("head.r_si"), 175.0, 23.0, "end"),
    )
    rows = [
        (
            str(number),
            capital(path.name),
            f"{path.share * 100:.2f}{TIE}%",
            f"{path.total / units.R_IP:.3f}",
            f"{path.total:.4f}",
        )
        for number, path in enumerate(given.assessment.thermal.paths, start=1)
    ]
    return [heading(given.say("heat.paths"), "heat_paths_head"), *table(columns, rows, "heat_paths")]


def _layers(given: ReportInput) -> list[Block]:
    """Each resistance once, with the paths that it lies on where it does not lie on all."""
    columns = (
        Column(given.say("head.id"), LEFT, ID_WIDTH),
        Column(given.say("head.layer"), 51.0, 33.0),
        Column(given.say("head.basis"), BASIS_AT, R_AT - 2.0 - BASIS_AT),
        Column(given.say("head.r_ip"), R_AT, 18.0, "end"),
        Column(given.say("head.r_si"), R_SI_AT, 16.0, "end"),
        Column(given.say("head.source"), 175.0, RIGHT - 175.0),
    )
    paths = given.assessment.thermal.paths
    found: dict[LayerResistance, list[int]] = {}
    for number, path in enumerate(paths, start=1):
        for part in path.resistances:
            found.setdefault(part, []).append(number)
    rows = []
    for part in sorted(found, key=lambda part: _place(given, part)):
        where = found[part]
        what = _what(given, part)
        if len(where) < len(paths):
            what = given.say("path.in", layer=what, paths=", ".join(str(number) for number in where))
        rows.append(
            (
                name_lines(part.layer, ID_WIDTH) if " " not in part.layer else part.layer,
                what,
                typeset(part.basis),
                f"{part.resistance / units.R_IP:.3f}",
                f"{part.resistance:.4f}",
                given.sources.mark(part.source, given.status(part.status)),
            )
        )
    return [heading(given.say("heat.layers"), "heat_layers_head"), *table(columns, rows, "heat_layers")]


def _place(given: ReportInput, part: LayerResistance) -> tuple[int, int]:
    """Order of a resistance: the exterior film, the layers, the interior film."""
    order = [each.layer for each in given.assessment.thermal.paths[0].resistances]
    ids = [layer.id for layer in given.wall.layers]
    if part.layer in ids:
        return 1, ids.index(part.layer)
    return (0, 0) if order and part.layer == order[0] else (2, 0)


def _what(given: ReportInput, part: LayerResistance) -> str:
    """Name and size of a layer; a film has none."""
    layer = next((layer for layer in given.wall.layers if layer.id == part.layer), None)
    return _named(layer) if layer is not None else capital(part.layer)


def _named(layer: Layer) -> str:
    name = tabled(layer_name(layer))
    if not layer.thickness:
        return name
    size = format_mils(layer.thickness) if is_film(layer) else inch_mark(layer.thickness)
    return name if size in name else f"{name}, {size}"


def _framing(given: ReportInput) -> list[Block]:
    """Members and the share of the area that the wall file gives them."""
    columns = (
        Column(given.say("head.id"), LEFT, ID_WIDTH),
        Column(given.say("head.layer"), 51.0, 43.0),
        Column(given.say("head.member"), 96.0, 43.0),
        Column(given.say("head.fraction"), 142.0, RIGHT - 142.0),
    )
    rows = []
    for layer in given.wall.layers:
        if layer.framing is None:
            continue
        members = layer.framing
        size = given.say("framing.member", width=inch_mark(members.width), spacing=inch_mark(members.spacing))
        share = given.say("framing.fraction", percent=f"{members.fraction * 100:.3g}{TIE}%")
        rows.append((name_lines(layer.id, ID_WIDTH), tabled(layer_name(layer)), size, share))
    return (
        [heading(given.say("heat.framing"), "heat_framing_head"), *table(columns, rows, "heat_framing")] if rows else []
    )


def _figures(given: ReportInput) -> list[Block]:
    figures = given.assessment.thermal.figures
    head = heading(given.say("heat.figures"), "heat_figures_head")
    return [head, *figure_table(given, figures, "heat_figures")]


def figure_table(given: ReportInput, figures: Sequence[Figure], id: str) -> list[Block]:
    """Figures with their formulas, the numbers put in and the results.

    Parameters
    ----------
    given : ReportInput
        Words and statuses.
    figures : sequence of Figure
        In the order in which they print.
    id : str
        Of the blocks.

    Raises
    ------
    PageOverflowError
        If a word is wider than its column.
    """
    columns = (
        Column(given.say("head.figure"), LEFT, FORMULA_AT - 2.0 - LEFT),
        Column(given.say("head.formula"), FORMULA_AT, FORMULA_WIDTH),
        Column(given.say("head.result"), RESULT_AT, RIGHT - RESULT_AT),
    )
    rows = []
    for figure in figures:
        method = given.say(
            "figure.method",
            method=typeset(figure.method),
            source=_source(given, figure),
        )
        name = _spaced(f"**{capital(typeset(figure.name))}**\n{capital(method)}")
        rows.append((name, f"{times(figure.formula)}\n= {_terms(figure.values)}", _result(given, figure)))
    return table(columns, rows, id)


def _spaced(text: str) -> str:
    """Percentages as everywhere else on the pages."""
    return re.sub(r"(?<=\d)%", f"{TIE}%", text)


def _source(given: ReportInput, figure: Figure) -> str:
    """Source of the formula and how sure; of first principles only the values put in can be unsure."""
    status = given.status(figure.status)
    if figure.source == "first principles" and figure.status != "confirmed":
        return given.say("figure.values", source=figure.source, status=status)
    return given.sources.mark(figure.source, status)


def _storage(given: ReportInput) -> list[Block]:
    """What the wall stores over a day means for cooling, in one sentence."""
    stored = given.assessment.thermal.mass
    if stored is None:
        return []
    return [
        heading(given.say("heat.storage"), "heat_storage_head"),
        paragraph(typeset(stored.sentence).replace(" Btu", f"{TIE}Btu").replace(" kJ", f"{TIE}kJ"), "heat_storage"),
    ]


def times(text: str) -> str:
    """A formula as it prints: true signs of multiplication and subtraction, and nothing else changes."""
    return re.sub(r"(?<![^\s(|/])-(?=[\w(|])", "−", text.replace(" x ", " × ").replace(" - ", " − "))


def _terms(values: str) -> str:
    """The numbers put in; no line breaks inside a term of the sum that fits on a line."""
    terms = times(values).split(" + ")
    tied = [term.replace(" ", TIE) if text_width(term, NOTE) < FORMULA_WIDTH - 6.0 else term for term in terms]
    return " + ".join(tied)


def _result(given: ReportInput, figure: Figure) -> str:
    """Printed precision in bold, unrounded in parentheses, unit; then SI."""
    printed, exact, si = _printed(figure)
    first = (
        given.say("figure.result", printed=printed, exact=exact) if printed else given.say("figure.plain", exact=exact)
    )
    return "\n".join(part for part in (first, figure.unit if figure.unit != "-" else "", si) if part)


def _printed(figure: Figure) -> tuple[str, str, str]:
    """Rounded, unrounded and in SI; of a unit that has no rule of its own the unrounded alone."""
    value = figure.result
    if figure.unit == R_UNIT:
        return f"R-{value + 1e-9:.1f}", f"{value:.3f}", f"{value * units.R_IP:.4f}{TIE}m²·K/W"
    if figure.unit == U_UNIT:
        letter = "U-" if figure.name.startswith("U ") else ""
        printed = f"{letter}{value + 1e-9:.3f}" if value >= 0.0005 else "<0.001"
        return printed, f"{value:.5f}", f"{value * units.U_IP:.4f}{TIE}W/(m²·K)"
    if figure.unit == HC_UNIT:
        return f"{value:.1f}", f"{value:.3f}", f"{value * units.HEAT_CAPACITY_IP / 1000:.2f}{TIE}kJ/(m²·K)"
    return "", f"{value:.3f}" if figure.unit == "-" else f"{value:.4g}", ""


def _code(given: ReportInput) -> list[Block]:
    columns = (
        Column(given.say("head.code_path"), LEFT, 20.0),
        Column(given.say("head.required"), 39.0, 21.0),
        Column(given.say("head.provided"), 61.0, 46.0),
        Column(given.say("head.margin"), 107.0, 15.0, "end"),
        Column(given.say("head.verdict"), 126.0, 25.0),
        Column(given.say("head.source"), 152.0, RIGHT - 152.0),
    )
    paths = given.assessment.energy_code.paths
    rows = [
        (
            given.say(f"code.{path.path}"),
            path.label,
            _provided(given, path),
            _margin(path),
            given.say("code.meets" if path.meets else "code.fails"),
            given.sources.mark(path.source, given.status(path.status)),
        )
        for path in paths
    ]
    remark = given.say("heat.code_remark")
    blocks = [heading(given.say("heat.code"), "heat_code_head", remark), *table(columns, rows, "heat_code")]
    if not any(path.path == "r" for path in paths):
        amended = given.assessment.energy_code.jurisdiction
        none = given.say("code.none_amended", name=typeset(amended)) if amended else given.say("code.none")
        blocks.append(paragraph(none, "heat_code_none"))
    if not given.assessment.energy_code.meets_prescriptive:
        blocks.append(paragraph(given.say("code.falls_short"), "heat_code_falls_short"))
    return blocks


def _margin(path: CodePath) -> str:
    """At the precision at which it is judged, so that a margin of nothing meets."""
    text = f"{abs(path.margin):.3f}" if path.path == "u" else f"{abs(path.margin):.1f}"
    if not float(text):
        return text
    return f"+{text}" if path.margin > 0 else f"−{text}"


def _provided(given: ReportInput, path: CodePath) -> str:
    """At printed precision, the unrounded figure beside it."""
    if not isinstance(path.provided, dict):
        return f"U-{path.provided + 1e-9:.3f} ({path.provided:.5f})"
    texts = {name: _both(value) for name, value in path.provided.items()}
    if "total" in texts:
        return texts["total"]
    return given.say("code.parts", cavity=texts["cavity"], continuous=texts["continuous"])


def _both(value: float) -> str:
    printed = r_printed(value)
    return printed if printed == f"R-{r_exact(value)}" else f"{printed} ({r_exact(value)})"


def _notes(given: ReportInput) -> list[Block]:
    columns = (Column("", LEFT, RIGHT - LEFT),)
    rows: Sequence[tuple[str]] = [(closed(note),) for note in given.assessment.thermal.notes]
    return [heading(given.say("heat.notes"), "heat_notes_head"), *table(columns, rows, "heat_notes", ruled=False)]
