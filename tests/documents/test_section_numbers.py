"""Section numbers: an office's lines over ours, the schedule and the section say the same, mistakes have a place."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from specgen.checks.assess import assess
from specgen.documents.markup import MarkupError
from specgen.documents.section_numbers import NUMBERS_FILE, section_numbers
from specgen.documents.spec import spec_document
from specgen.documents.spec_subjects import wall_subjects
from specgen.library.load import open_library
from specgen.library.sites import site_from_zone


def firm(folder: Path, text: str) -> Path:
    path = folder / NUMBERS_FILE
    path.parent.mkdir(parents=True)
    path.write_text(text, encoding="utf-8")
    return folder


def test_own_lines_replace_those_of_the_same_subject(tmp_path: Path) -> None:
    own = section_numbers((firm(tmp_path, "subjects:\n  paint: {number: 9.1.0, title: Our paint}\n"),))
    ours = section_numbers()
    assert own.line("paint") == {"number": "9.1.0", "title": "Our paint"}
    assert own.line("block") == ours.line("block") and own.note == ours.note and own.related == ours.related


def test_every_shipped_wall_has_a_section_and_every_title_is_whole() -> None:
    numbers = section_numbers()
    for wall in open_library().walls():
        line = numbers.of_wall(wall)
        assert spec_document(wall, assess(wall, site_from_zone("2A"))).subject == (
            f"Specification section {line['number']}, {line['title']}"
        )
        assert all(numbers.line(subject.id) for subject in wall_subjects(wall))
    assert numbers.related["structure"]["title"].endswith("by the structural engineer")


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("- list\n", ":1: expected the entries note, subjects and related"),
        ("subjects:\n  paint: 9\n", ":2: expected {number: ..., title: ...} for 'paint'"),
        ("subjects:\n  paint: {number: 9}\n", ":2: expected {number: ..., title: ...} for 'paint'"),
        ("subjects:\n  paint: {number: 9, title: }\n", ":2: expected a text"),
        (
            "subjects:\n  pant: {number: 9, title: x}\n",
            ": subjects has 'pant', which no wall has; did you mean 'paint'",
        ),
        ("sections: {}\n", ":1: expected note, subjects or related, found 'sections'"),
        ("subjects:\n  paint: {number\n", "; expected YAML"),
    ],
)
def test_mistake_is_one_line_with_its_place(tmp_path: Path, text: str, message: str) -> None:
    with pytest.raises(MarkupError, match=re.escape(message)) as caught:
        section_numbers((firm(tmp_path, text),))
    assert str(caught.value).startswith(str(tmp_path / NUMBERS_FILE)) and "\n" not in str(caught.value)
