"""Sections by product for a project: rows of wall types in, one three-part section per section number out.

Each section takes from every wall only the layers of its own subjects, with the same subject templates as a wall's
stand-alone section; `merged_markup` says once what the walls share. Contradictions come from `review/conflicts.py`.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from markupsafe import Markup

from specgen.documents.markup import Marked, literal, parse_markup, typeset
from specgen.documents.merged_markup import merged, merged_markup
from specgen.documents.printed import listed, lowered, project_name
from specgen.documents.project_rows import NOT_HERE, Use, agreed_layers, section_tables
from specgen.documents.schedule import ScheduleRow
from specgen.documents.section_numbers import SectionNumbers, section_numbers
from specgen.documents.spec import EXECUTION, cited_standards, subject_context, wall_context
from specgen.documents.spec_rows import layer_resistances
from specgen.documents.spec_subjects import Subject, in_order_of_work, wall_subjects
from specgen.documents.templating import render, render_macro
from specgen.model.document import Document, Flow, Heading
from specgen.model.finding import Severity
from specgen.model.project import Project
from specgen.review.conflicts import Conflict, project_conflicts

__all__ = ["Conflict", "ProjectSection", "project_conflicts", "project_sections"]

_LONGEST_TITLE = 45  # that the head of a page has room for, in characters
_NOT_IN_NAMES = re.compile(r"[^0-9A-Za-z.-]")


@dataclass(frozen=True, slots=True)
class ProjectSection:
    """One section of a project, and what contradicts itself in it."""

    number: str
    title: str
    document: Document
    conflicts: tuple[Conflict, ...]
    layers: tuple[tuple[str, str], ...]  # tag and layer id of everything that it specifies
    subjects: tuple[tuple[str, str], ...]  # tag and subject id

    @property
    def file_name(self) -> str:
        """The number without blanks, as a file is named."""
        return _plain(self.number)


def project_sections(
    project: Project, rows: Sequence[ScheduleRow], folders: Sequence[Path] = ()
) -> tuple[ProjectSection, ...]:
    """The sections of a project in the order of their numbers.

    Parameters
    ----------
    project : Project
        Gives the running lines and the date.
    rows : sequence of ScheduleRow
        Its wall types with wall, site and assessment.
    folders : sequence of Path
        Template folders of the firm, searched before the shipped ones.

    Raises
    ------
    MarkupError
        If a template cannot be rendered or gives a line that is not markup.
    """
    book = _Book(project, rows, tuple(folders))
    return tuple(_Section(book, key).made() for key in sorted(book.sections))


def _plain(number: str) -> str:
    return _NOT_IN_NAMES.sub("", number) or "section"


class _Book:
    """All sections of the project: which subjects of which walls each one has."""

    def __init__(self, project: Project, rows: Sequence[ScheduleRow], folders: tuple[Path, ...]) -> None:
        self.project = project
        self.rows = tuple(rows)
        self.folders = folders
        self.numbers: SectionNumbers = section_numbers(folders)
        self.conflicts = project_conflicts([(row.wall_type.tag, row.wall) for row in self.rows])
        self.sections: dict[str, list[Use]] = {}
        self._of_layer: dict[tuple[str, str], list[str]] = {}
        self._layerless: dict[str, list[str]] = {}
        for row in self.rows:
            subjects = wall_subjects(row.wall)
            lines = [self.numbers.of_wall(row.wall)]
            lines += [self.numbers.line(subject.id) for subject in subjects if subject.id == "flashing"]
            self._layerless[row.wall_type.tag] = list(dict.fromkeys(_plain(line["number"]) for line in lines))
            for subject in subjects:
                use = Use(row, subject, subjects)
                key = _plain(self.numbers.line(subject.id)["number"])
                self.sections.setdefault(key, []).append(use)
                for name in use.names:
                    self._of_layer.setdefault((use.tag, name), []).append(key)

    def line(self, key: str) -> dict[str, str]:
        """Number and title of a section; subjects that share a number share the title."""
        ids = dict.fromkeys(use.subject.id for use in self.sections[key])
        lines = [self.numbers.line(id) for id in ids]
        titles = list(dict.fromkeys(line["title"] for line in lines))
        return {"number": lines[0]["number"], "title": listed([titles[0], *map(lowered, titles[1:])])}

    def keys_of_steps(self, row: ScheduleRow) -> list[list[str]]:
        """The sections of each step: those of its layers; without layers those of the cladding and flashing.

        Studs and what fills them are one layer: the first of several steps that name it is the framer's, the last
        one fills it.
        """
        tag = row.wall_type.tag
        steps = row.wall.installation
        found = []
        for n, step in enumerate(steps):
            keys: list[str] = []
            for name in step.layers:
                of_layer = self._of_layer.get((tag, name), [])
                naming = [i for i, other in enumerate(steps) if name in other.layers]
                if len(of_layer) > 1 and len(naming) > 1 and n in (naming[0], naming[-1]):
                    of_layer = [of_layer[0] if n == naming[0] else of_layer[-1]]
                keys += of_layer
            found.append(list(dict.fromkeys(keys)) or self._layerless[tag])
        return found

    def beside(self, key: str) -> list[dict[str, str]]:
        """Sections that touch this one in a wall: the layers on either side, flashing and sealant where they are."""
        touching: list[tuple[str, list[str]]] = []
        for use in self.sections[key]:
            wall = use.row.wall
            indices = [wall.index(layer.id) for layer in use.subject.layers]
            near = {i + step for i in indices for step in (-1, 1)} - set(indices)
            names = [wall.layers[i].id for i in sorted(near) if 0 <= i < len(wall.layers)]
            keys = [other for name in names for other in self._of_layer.get((use.tag, name), ())]
            for subject in use.subjects:
                joins = use.subject.id in _JOINED.get(subject.id, ()) or subject.id in _JOINED.get(use.subject.id, ())
                keys += [_plain(self.numbers.line(subject.id)["number"])] if joins else []
            touching.append((use.tag, [other for other in dict.fromkeys(keys) if other != key]))
        found = sorted(merged(touching), key=lambda line: line.item)
        return [{**self.line(line.item), "tags": ", ".join(line.tags)} for line in found]


# Subjects whose material is mixed, spread or sprayed on the site, so that each day of it leaves a record.
_MIXED = frozenset({"stucco-on-lath", "direct-stucco", "brick-veneer", "adhered-veneer", "membrane", "loose-fill",
                    "spray-foam", "block", "concrete", "breathable-coating", "film-coating", "negative-side-coating",
                    "plaster", "sealant"})  # fmt: skip
_BUNDLED = frozenset({"framing", "furring", "sheathing"})  # come in bundles with a stamp, not in packages
# What flashing and sealant join, by subject; their own neighbors are no layers.
_JOINED = {
    "flashing": frozenset({"membrane", "sealant", "stucco-on-lath", "direct-stucco", "siding", "brick-veneer",
                           "adhered-veneer", "negative-side-coating", "block", "concrete"}),
    "sealant": frozenset({"stucco-on-lath", "direct-stucco", "siding", "brick-veneer", "adhered-veneer", "membrane"}),
}  # fmt: skip


class _Section:
    """What the three templates of one section share."""

    def __init__(self, book: _Book, key: str) -> None:
        self.book = book
        self.key = key
        self.uses = tuple(book.sections[key])
        self.line = book.line(key)
        self.tags = tuple(dict.fromkeys(use.tag for use in self.uses))
        self.rows = tuple(row for row in book.rows if row.wall_type.tag in self.tags)
        self.draft = any(row.wall.status != "approved" for row in self.rows)
        self.ids = tuple(dict.fromkeys(use.subject.id for use in self.uses))
        places = {(use.tag, name) for use in self.uses for name in use.names}
        self.conflicts = tuple(one for one in book.conflicts if places & set(one.places))
        self._agreed = agreed_layers(self.uses)
        self._context: dict[str, Any] = {}
        self._context = self._shared()
        self._context["includes"] = self._includes()

    def made(self) -> ProjectSection:
        marked = self._blocks()
        number, title, project = self.line["number"], self.line["title"], self.book.project
        flow = Flow(
            (Heading(typeset(title), 0, f"SECTION {number}"), *marked.blocks),
            header_left=project_name(project),
            header_right=f"Section {number}" + (f"  {title}" if len(title) <= _LONGEST_TITLE else ""),
            footer_left=self._footer(marked.open_choices),
            footer_right=f"{number} – {{page}}",
        )
        document = Document(
            f"{project.id}-{_plain(number)}",
            f"{number} {title}",
            f"Specification section {number}, {title}",
            (flow,),
            self.draft,
            project.date.isoformat(),
            project.office,
        )
        layers = tuple((use.tag, layer.id) for use in self.uses for layer in use.subject.layers)
        subjects = tuple((use.tag, use.subject.id) for use in self.uses)
        return ProjectSection(number, title, document, self.conflicts, layers, subjects)

    def _footer(self, open_choices: int) -> str:
        revisions = ", ".join(f"{row.wall_type.tag} rev. {row.wall.revision.number}" for row in self.rows)
        choices = f" · draft, {open_choices} choices open" if self.draft else ""
        return f"Project {self.book.project.number}, revision {self.book.project.revision} · {revisions}{choices}"

    def _blocks(self) -> Marked:
        later = self._render("part-2") + "\n" + self._render("part-3")
        body = parse_markup("# GENERAL\n" + later, f"spec/product, section {self.line['number']}", self.draft)
        self._context["standards"] = [
            {"body": name, "numbers": list(numbers)} for name, numbers in cited_standards(body.blocks)
        ]
        return parse_markup(
            self._render("part-1") + "\n" + later, f"spec/product, section {self.line['number']}", self.draft
        )

    def _render(self, part: str) -> str:
        return render(f"spec/product/{part}.txt", self._context, self.book.folders)

    def _shared(self) -> dict[str, Any]:
        return {
            "number": self.line["number"],
            "title": self.line["title"],
            "tags": self.tags,
            "project": self.book.project,
            "related": self.book.beside(self.key),
            "numbers": self.book.numbers,
            "conflicts": [one.finding for one in self.conflicts] if self.draft else [],
            "errors": self._errors(),
            "from_subjects": self._from_subjects,
            "openings": self._of_walls("openings", "flashing"),
            "joints": self._of_walls("joints", "sealant"),
            "mixed": bool(_MIXED & set(self.ids)),
            "packed": not _BUNDLED.issuperset(self.ids),
            "covered_later": any(self._is_covered(use) for use in self.uses),
            "bases": self._of_walls("base", "flashing"),
            **section_tables(self.uses, self._steps()),
        }

    def _is_covered(self, use: Use) -> bool:
        """Whether later work hides any of it: flashing, and whatever is neither the outer nor the inner face."""
        last = len(use.row.wall.layers) - 1
        return use.subject.id == "flashing" or any(
            0 < use.row.wall.index(layer.id) < last for layer in use.subject.layers
        )

    def _errors(self) -> list[dict[str, Any]]:
        """Errors at the sites that speak of this section's layers."""
        found = []
        for row in self.rows:
            tag = row.wall_type.tag
            names = {name for use in self.uses if use.tag == tag for name in use.names}
            errors = [one for one in row.assessment.findings if one.severity is Severity.ERROR and one.layer in names]
            found += [{"tag": tag, "site": row.site.name, "finding": one} for one in errors]
        return found

    def _includes(self) -> list[Markup]:
        layered = [use for use in self.uses if use.subject.layers]  # flashing and sealant are all that they include
        phrases = [(use.tag, [self._macro(use, "includes").strip()]) for use in layered]
        found = [line for line in merged(phrases) if line.item]
        return [
            Markup(line.item if len(line.tags) == len(self.tags) else f"{line.item} ({', '.join(line.tags)})")
            for line in found
        ]

    def _steps(self) -> list[tuple[Use, list[str]]]:
        """For each wall type, once, the sections of each of its steps."""
        first = {use.tag: use for use in reversed(self.uses)}
        return [
            (
                first[tag],
                [
                    self._others(keys) if self.key in keys else NOT_HERE
                    for keys in self.book.keys_of_steps(first[tag].row)
                ],
            )
            for tag in self.tags
        ]

    def _others(self, keys: Sequence[str]) -> str:
        return listed(sorted(self.book.line(key)["number"] for key in keys if key != self.key))

    def _from_subjects(self, article: str) -> Markup:
        """One article from all subjects of the section, in the order of the work where that is its order."""
        ids = sorted(self.ids, key=self._rank) if article in EXECUTION else self.ids
        said = {
            tag: [
                self._macro(use, article) for id in ids for use in self.uses if (use.tag, use.subject.id) == (tag, id)
            ]
            for tag in self.tags
        }
        return Markup(merged_markup([(tag, "\n".join(texts)) for tag, texts in said.items()]))

    def _of_walls(self, template: str, subject: str) -> Markup:
        """Openings or bases of the walls that have this subject here, what they share said once."""
        uses = {use.tag: use for use in self.uses if use.subject.id == subject}
        name = f"spec/product/{template}.txt"
        said = [
            (tag, render(name, wall_context(use.row.wall, use.subjects), self.book.folders))
            for tag, use in uses.items()
        ]
        return Markup(merged_markup(said))

    def _rank(self, id: str) -> int:
        for use in self.uses:
            if use.subject.id == id:
                return [subject.id for subject in in_order_of_work(use.row.wall, use.subjects)].index(id)
        return 0

    def _macro(self, use: Use, article: str) -> str:
        wall = use.row.wall
        subject = use.subject
        if article == "products":
            subject = Subject(subject.id, self._agreed.get((use.tag, subject.id), subject.layers))
        context = self._context | {
            "assessment": use.row.assessment,
            "layer_r": layer_resistances(use.row.assessment),
            "tag": use.tag,
            **wall_context(wall, use.subjects),
        }
        context |= subject_context(wall, use.subject) | {"layers": subject.layers}
        text = render_macro(f"spec/subjects/{subject.id}.txt", article, context, self.book.folders).strip("\n")
        return self._with_shared_heading(subject.id, text)

    def _with_shared_heading(self, id: str, text: str) -> str:
        """An article that is named after a material is named after the section where walls have several of them."""
        labels = {use.subject.layers[0].material for use in self.uses if use.subject.id == id and use.subject.layers}
        names = {material.label for material in labels if material is not None}
        if len(names) < 2:
            return text
        shared = f"## {literal(self.book.numbers.line(id)['title'])}"
        headings = {f"## {literal(name)}" for name in names}
        return "\n".join(shared if line in headings else line for line in text.split("\n"))
