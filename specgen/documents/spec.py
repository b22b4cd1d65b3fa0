"""The three-part section of one wall: wall and assessment in, document out; the sentences live in templates/spec.

Python selects subjects and hands over data; it writes no requirement. Parts 2 and 3 are set first, since Part 1
lists exactly the standards that they cite.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from markupsafe import Markup

from specgen.checks.makeup import is_insulation
from specgen.documents.markup import Marked, parse_markup, typeset
from specgen.documents.printed import lowered, project_name
from specgen.documents.section_numbers import section_numbers
from specgen.documents.site_words import sealed_outside
from specgen.documents.spec_rows import (
    coat_context,
    control_rows,
    fastening_notes,
    fastening_rows,
    layer_resistances,
    limit_table,
    numbered_steps,
    permeance_rows,
    rating_lines,
)
from specgen.documents.spec_subjects import Subject, in_order_of_work, structure_index, wall_subjects
from specgen.documents.templating import render, render_macro
from specgen.drawing.callouts import callouts, layer_name
from specgen.model.assessment import Assessment
from specgen.model.document import Document, Flow, Heading, Paragraph, Table
from specgen.model.finding import Severity
from specgen.model.material import Material
from specgen.model.project import Project
from specgen.model.scene import Scene
from specgen.model.wall import Wall

# Macros of Part 3: subjects follow the order of the work there, exterior to interior elsewhere.
EXECUTION = frozenset({"examination", "preparation", "installation", "tolerances", "checks", "repair", "cleaning"})
# Bodies whose designations count as referenced standards; code books are cited by edition in the text instead.
_STANDARD = re.compile(
    r"\b(ASTM|AAMA|AWPA|TMS|PS|ISO|EN ISO|EN|ANSI|GA|NFPA|AATCC|ICC-ES|ACI|UL)[  -]"
    r"((?:AC)?[A-Z]{0,2}\d[\d.]*(?:/[A-Z]\d+|-\d{1,2}(?!\d))?|M\d)\b"
)
_THICKEST_BOARD = 0.051  # foam thicker than 2 in. is set in two layers with their joints apart [m], common practice
_CFR = re.compile(r"\b(\d+) CFR (\d+)\b")


def spec_document(
    wall: Wall,
    assessment: Assessment,
    tag: str = "",
    project: Project | None = None,
    sheets: tuple[Scene, ...] = (),
    folders: Sequence[Path] = (),
) -> Document:
    """The specification section of a wall, its drawings as the last pages.

    Parameters
    ----------
    wall : Wall
        One wall, variant applied.
    assessment : Assessment
        Of this wall at the site that the section is for.
    tag : str
        Wall type of the project; empty for a wall of the library.
    project : Project, optional
        Gives the running lines, the date and where the wall is used.
    sheets : tuple of Scene
        Drawings to bind in.
    folders : sequence of Path
        Template folders of the firm, searched before the shipped ones.

    Raises
    ------
    MarkupError
        If a template cannot be rendered or gives a line that is not markup.
    """
    draft = wall.status != "approved"
    section = _Section(wall, assessment, tag, project, tuple(folders), draft)
    marked = section.blocks()
    number, title = section.number, section.title
    heading = Heading(typeset(title), 0, f"SECTION {number}" + (f" – WALL TYPE {tag}" if tag else ""))
    flow = Flow(
        (heading, *marked.blocks),
        header_left=project_name(project) if project else typeset(title),
        header_right=f"Section {number}  {section.subject_title}",
        footer_left=_footer(wall, tag, draft, marked.open_choices),
        footer_right=f"{number}{f' {tag}' if tag else ''} – {{page}}",
    )
    date = (project.date if project else wall.revision.date).isoformat()
    subject = f"Specification section {number}, {section.subject_title}"
    author = project.office if project else ""
    return Document(f"{wall.name}-spec", f"{tag} {title}".strip(), subject, (flow, *sheets), draft, date, author)


def cited_standards(blocks: Iterable[Heading | Paragraph | Table]) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Standards named in blocks, by body: `(("ASTM", ("C150", "C207")), ...)`, each in order of its number."""
    found: dict[str, set[str]] = {}
    for text in map(_block_text, blocks):
        for body, number in _STANDARD.findall(text):
            found.setdefault(body, set()).add(number.rstrip("."))
        for title, part in _CFR.findall(text):
            found.setdefault("Code of Federal Regulations", set()).add(f"{title} CFR {part}")
    return tuple((body, tuple(sorted(found[body], key=_designation_order))) for body in sorted(found))


class _Section:
    """What the three templates of one section share."""

    def __init__(
        self,
        wall: Wall,
        assessment: Assessment,
        tag: str,
        project: Project | None,
        folders: tuple[Path, ...],
        draft: bool,
    ) -> None:
        self.wall = wall
        self.folders = folders
        self.draft = draft
        self.subjects = wall_subjects(wall)
        self._worked = in_order_of_work(wall, self.subjects)
        self._numbers = section_numbers(folders)
        first = self._numbers.of_wall(wall)
        self.number, self.subject_title = first["number"], first["title"]
        self.title = wall.variant_title or wall.title
        self._context = self._shared(assessment, tag, project)

    def blocks(self) -> Marked:
        """All three parts, numbered 1 to 3."""
        later = self._render("part-2") + "\n" + self._render("part-3")
        body = parse_markup("# GENERAL\n" + later, "spec/part-2.txt and part-3.txt", self.draft)
        self._context["standards"] = [
            {"body": name, "numbers": list(numbers)} for name, numbers in cited_standards(body.blocks)
        ]
        return parse_markup(self._render("part-1") + "\n" + later, "spec/part-1.txt to part-3.txt", self.draft)

    def _render(self, part: str) -> str:
        return render(f"spec/{part}.txt", self._context, self.folders)

    def _from_subjects(self, article: str) -> Markup:
        subjects = self._worked if article in EXECUTION else self.subjects
        return Markup("\n".join(self._macro(subject, article) for subject in subjects))

    def _macro(self, subject: Subject, article: str) -> str:
        context = self._context | subject_context(self.wall, subject)
        return render_macro(f"spec/subjects/{subject.id}.txt", article, context, self.folders).strip("\n")

    def _shared(self, assessment: Assessment, tag: str, project: Project | None) -> dict[str, Any]:
        wall = self.wall
        steps = numbered_steps(wall)
        controls = control_rows(wall)
        uses = _uses(wall, project)
        related = self._numbers.related
        excluded = [name for name in related if _touches(name, wall)]
        head, widths, limit_rows, base_lines = limit_table(wall)
        context: dict[str, Any] = {
            **wall_context(wall, self.subjects),
            "tag": tag,
            "tags": [tag] if tag else [use["tag"] for use in uses],
            "project": project,
            "assessment": assessment,
            "thermal": assessment.thermal,
            "layer_r": layer_resistances(assessment),
            "energy": assessment.energy_code,
            "callouts": [_prose(callout.note) for callout in callouts(wall)],
            "excluded": [related[name] for name in excluded],
            "related": [self._numbers.line(subject.id) for subject in self.subjects],
            "numbers": self._numbers,
            "trades": list(dict.fromkeys(lowered(step["trade"]) for step in steps)),
            "control_rows": controls,
            "controls": [name for row in controls for name in row["controls"]],
            "steps": steps,
            "hold_points": [step["point"] for step in steps if step["hold"]],
            "limit_head": head,
            "limit_columns": widths,
            "limit_rows": limit_rows,
            "base_lines": base_lines,
            "permeance_rows": permeance_rows(wall.layers),
            "ratings": rating_lines(wall),
            "fastening_rows": fastening_rows(wall.layers),
            "fastening_notes": fastening_notes(wall.layers),
            "cautions": wall.cautions,
            "errors": [f for f in assessment.findings if f.severity is Severity.ERROR],
            "accepted": [finding for finding in assessment.findings if finding.explained],
            "uses": uses,
            "from_subjects": self._from_subjects,
        }
        self._context = context
        phrases = (self._macro(subject, "includes").strip() for subject in self.subjects)
        context["includes"] = [Markup(phrase) for phrase in phrases if phrase]
        return context


def wall_context(wall: Wall, subjects: Sequence[Subject]) -> dict[str, Any]:
    """What the template of any subject sees of its wall as a whole."""
    ids = {subject.id for subject in subjects}
    return {
        "wall": wall,
        "flange_layer": layer_name(wall.layer(wall.openings.flange_plane)) if wall.openings else "",
        "drains": _drains(wall),
        "sealed_outside": wall.openings is None or sealed_outside(wall.openings),
        "is_mass": wall.construction != "framed",
        "is_direct": wall.construction == "mass-direct-render",  # no layer there to lap over a flashing
        "insulated_behind_board": _insulated_behind_board(wall),
        "has_block": "block" in ids,
        "has_existing": any(layer.condition != "new" for layer in wall.layers),
        "has_brick": "brick-veneer" in ids,
        "has_membrane": "membrane" in ids,
        "has_drainage_mat": "drainage-mat" in ids,
        "has_stucco": bool(ids & {"stucco-on-lath", "direct-stucco"}),
        "has_vapor_retarder": "vapor-retarder" in ids,
    }


def _insulated_behind_board(wall: Wall) -> bool:
    """Whether the inner board hides insulation: in the structure or on its inner side."""
    inner = wall.layers[structure_index(wall) :]
    return any(is_insulation(material) for layer in inner for material in (layer.material, layer.fill))


def subject_context(wall: Wall, subject: Subject) -> dict[str, Any]:
    """What the template of one subject sees besides the wall: its layers and what follows from their place."""
    layers = subject.layers
    materials = [layer.main_material for layer in layers if layer.main_material is not None]
    indices = [wall.index(layer.id) for layer in layers]
    first, last = min(indices, default=0), max(indices, default=len(wall.layers))
    structure = structure_index(wall)
    mass = wall.construction != "framed"
    context: dict[str, Any] = {
        "layers": layers,
        "fills": [layer.fill or layer.material for layer in layers],
        "on_masonry": mass,
        "is_foam": any(material.foam_plastic for material in materials),
        "inside_foam": any(material.foam_plastic for material in materials) and any(i > structure for i in indices),
        "inside": bool(indices) and min(indices) > structure,
        "flange_outside": wall.openings is not None and wall.index(wall.openings.flange_plane) <= first,
        "is_wood_fiber": any(material.kind == "fiberboard" for material in materials),
        "seals_air": any("air" in layer.controls for layer in layers),
        "is_panel": any(material.kind == "panel-siding" for material in materials),
        "is_high_build": any(material.film_forming and material.water_barrier for material in materials),
        "is_repellent": any(standard.startswith("ASTM E514") for m in materials for standard in m.standards),
        "over_board": bool(indices) and _board_behind(wall, last),
        "two_layers": [x.id for x in layers if x.depth > _THICKEST_BOARD and x.material and x.material.foam_plastic],
        "is_wood": any(material.kind == "wood-siding" for material in materials),
        "exterior_covered": mass and structure > 0,
        "inward": wall.layers[last + 1] if last + 1 < len(wall.layers) else None,
        "behind_plaster": first > 0 and _is_plaster(wall.layers[first - 1].material),
        "existing": any(layer.condition != "new" for layer in layers),
        "covered": _spoken_of(wall, subject, held=False),  # the wall's own sequence gives the method
        "held_at": _spoken_of(wall, subject, held=True),  # a hold point of the wall checks it
        "based": any(layer.limits is not None and layer.limits.base for layer in layers),
    }
    if subject.id in ("stucco-on-lath", "direct-stucco", "adhered-veneer"):
        context |= coat_context(wall, layers)
    return context


def _spoken_of(wall: Wall, subject: Subject, held: bool) -> bool:
    """Whether a step of the wall describes (or, if `held`, a hold point checks) one of the subject's layers."""
    ids = {layer.id for layer in subject.layers}
    steps = [step for step in wall.installation if (step.hold_point is not None if held else step.detail)]
    return any(ids & set(step.layers) or not ids for step in steps)


def _board_behind(wall: Wall, index: int) -> bool:
    """Whether insulation board lies right inside of this layer, so that a short fastener finds no stud."""
    inward = wall.layers[index + 1].material if index + 1 < len(wall.layers) else None
    return inward is not None and inward.kind in ("fiberboard", "mineral-board", "rigid-foam")


def _is_plaster(material: Material | None) -> bool:
    """Whether this is put on wet: stucco, the mortar of a veneer, a coat."""
    return material is not None and material.kind in ("stucco", "mortar", "adhered-veneer")


def _prose(note: str) -> str:
    """A callout in running text: inches in words, feet and inches as drawn."""
    return re.sub(r"(′-[^″ ]*)?″", lambda match: match.group(0) if match.group(1) else " in.", note)


def _touches(name: str, wall: Wall) -> bool:
    """Whether a line of related work concerns this wall."""
    if name == "windows":
        return wall.openings is not None
    if name == "termites":
        return wall.base is not None and wall.base.foam_clearance is not None
    return True


def _drains(wall: Wall) -> list[str]:
    """Where water leaves this wall, so that no one seals it."""
    drains = ["head drips"]
    if wall.base is not None and wall.base.termination == "weep-screed":
        drains.append("the weep screed")
    if any(layer.cavity is not None and layer.cavity.open for layer in wall.layers):
        drains.append("the open edge of the drained space")
    if any(layer.material is not None and layer.material.kind == "brick" for layer in wall.layers):
        drains.append("weeps")
    return drains


def _uses(wall: Wall, project: Project | None) -> list[dict[str, str]]:
    if project is None:
        return []
    sites = {site.id: site.name for site in project.sites}
    return [
        {"tag": entry.tag, "site": sites.get(entry.site, entry.site), "where": entry.where}
        for entry in project.wall_types
        if entry.wall == wall.id and (entry.variant or "") == wall.variant
    ]


def _footer(wall: Wall, tag: str, draft: bool, open_choices: int) -> str:
    parts = [f"Wall type {tag}" if tag else "", f"{wall.name}, revision {wall.revision.number}"]
    parts.append(f"sha256 {wall.content_hash[:12]}" if wall.content_hash else "")
    parts.append(f"draft, {open_choices} choices open" if draft else "")
    return " · ".join(part for part in parts if part)


def _block_text(block: Heading | Paragraph | Table) -> str:
    if isinstance(block, Heading):
        return block.text
    if isinstance(block, Paragraph):
        return "".join(run.text for run in block.runs)
    return "\n".join("\n".join(row) for row in (block.head, *block.rows))


def _designation_order(designation: str) -> tuple[str, float, str]:
    match = re.match(r"([A-Z]*)(\d+(?:\.\d+)?)", designation)
    return (match.group(1), float(match.group(2)), designation) if match else (designation, 0.0, designation)
