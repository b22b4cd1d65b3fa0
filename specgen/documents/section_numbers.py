"""Numbers and titles of specification sections: an office's own lines over the shipped ones.

The master list belongs to whoever the office licenses it from; here stand titles of our own and placeholders.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import yaml

from specgen.documents.markup import MarkupError
from specgen.documents.spec_subjects import wall_subjects
from specgen.errors import nearest_hint
from specgen.model.wall import Wall
from specgen.resources import inside, shipped

NUMBERS_FILE = "spec/section_numbers.yaml"
# A coating does not name the section of the wall that it covers.
COATINGS = frozenset({"breathable-coating", "film-coating"})

_Loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_Line = dict[str, str]


@dataclass(frozen=True, slots=True)
class SectionNumbers:
    """The file as read; a line is {number, title}."""

    path: str
    note: str
    subjects: Mapping[str, _Line]
    related: Mapping[str, _Line]

    def line(self, subject: str) -> _Line:
        """Number and title for a subject.

        Raises
        ------
        MarkupError
            If the file has no line for it.
        """
        if subject not in self.subjects:
            raise MarkupError(f"{self.path}: has no number and title for the subject {subject!r}")
        return self.subjects[subject]

    def of_wall(self, wall: Wall) -> _Line:
        """Number and title of a wall's section: those of its outermost subject that is no coating.

        Raises
        ------
        MarkupError
            If the file has no line for that subject.
        """
        named = [subject.id for subject in wall_subjects(wall) if subject.id not in COATINGS]
        return self.line(named[0] if named else "other")


def section_numbers(folders: Sequence[Path] = ()) -> SectionNumbers:
    """The office's numbers, the shipped ones where it has none.

    Parameters
    ----------
    folders : sequence of Path
        Template folders of the firm, searched before the shipped ones.

    Raises
    ------
    MarkupError
        With the file and line, if a file is not of the form of the shipped one or has a subject that it does not.
    """
    numbers = _read(shipped("templates") / NUMBERS_FILE)
    for folder in reversed(folders):
        path = folder / NUMBERS_FILE
        if not path.is_file():
            continue
        if not inside(path, folder):
            raise MarkupError(f"{path}: leads out of the folder {folder}; expected a file in it")
        own = _read(path)
        for name, known in (("subjects", numbers.subjects), ("related", numbers.related)):
            for subject in getattr(own, name):
                if subject not in known:
                    raise MarkupError(
                        f"{path}: {name} has {subject!r}, which no wall has{nearest_hint(subject, known)}"
                    )
        numbers = SectionNumbers(
            str(path),
            own.note or numbers.note,
            {**numbers.subjects, **own.subjects},
            {**numbers.related, **own.related},
        )
    return numbers


@cache
def _read(path: Path) -> SectionNumbers:
    try:
        root = yaml.compose(path.read_text(encoding="utf-8"), Loader=_Loader)
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        raise MarkupError(f"{path}:{mark.line + 1 if mark else 1}: {error.problem}; expected YAML") from error
    except (OSError, UnicodeDecodeError, yaml.YAMLError) as error:
        raise MarkupError(f"{path}: cannot be read: {' '.join(str(error).split())}") from error
    parts = _map(root, path, "the entries note, subjects and related") if root is not None else {}
    strange = sorted(set(parts) - {"note", "subjects", "related"})
    if strange:
        raise MarkupError(f"{path}:{_at(parts[strange[0]])}: expected note, subjects or related, found {strange[0]!r}")
    return SectionNumbers(
        str(path),
        _text(parts["note"], path) if "note" in parts else "",
        _lines(parts["subjects"], path) if "subjects" in parts else {},
        _lines(parts["related"], path) if "related" in parts else {},
    )


def _lines(node: yaml.Node, path: Path) -> dict[str, _Line]:
    form = "subjects with {number: ..., title: ...}"
    lines: dict[str, _Line] = {}
    for subject, entry in _map(node, path, form).items():
        fields = _map(entry, path, f"{{number: ..., title: ...}} for {subject!r}")
        if set(fields) != {"number", "title"}:
            raise MarkupError(f"{path}:{_at(entry)}: expected {{number: ..., title: ...}} for {subject!r}")
        lines[subject] = {key: _text(value, path) for key, value in fields.items()}
    return lines


def _map(node: yaml.Node | None, path: Path, form: str) -> dict[str, yaml.Node]:
    if not isinstance(node, yaml.MappingNode):
        raise MarkupError(f"{path}:{_at(node)}: expected {form}")
    return {str(key.value): value for key, value in node.value}


def _text(node: yaml.Node, path: Path) -> str:
    """What was written: a number such as 07 25 00 or 072500 stays as it is."""
    if not isinstance(node, yaml.ScalarNode) or not node.value.strip():
        raise MarkupError(f"{path}:{_at(node)}: expected a text")
    return str(node.value)


def _at(node: yaml.Node | None) -> int:
    return node.start_mark.line + 1 if node is not None else 1
