"""Templates: a firm's own come first, nothing reaches Python, a missing value stops the document."""

from __future__ import annotations

from pathlib import Path

import pytest

from specgen.documents.markup import MarkupError, parse_markup
from specgen.documents.templating import firm_folders, render, render_macro


def firm(folder: Path, name: str, text: str) -> Path:
    path = folder / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return folder


def test_firm_template_comes_before_the_shipped_one(tmp_path: Path) -> None:
    firm(tmp_path, "spec/subjects/paint.txt", "{% macro products() %}\n## Paint of the firm\n{% endmacro %}\n")
    assert "Paint of the firm" in render_macro("spec/subjects/paint.txt", "products", {}, (tmp_path,))
    assert "Paint of the firm" not in render_macro("spec/subjects/paint.txt", "products", {"layers": ()})


def test_values_are_literal_and_markup_of_the_template_is_not(tmp_path: Path) -> None:
    firm(tmp_path, "a.txt", "- **{{ title }}** & more\n")
    text = render("a.txt", {"title": "<b>*x*</b> & {{7*7}} [a] [b] \n# y"}, (tmp_path,))
    (block,) = parse_markup(text, "a.txt").blocks
    runs = block.runs  # type: ignore[union-attr]
    assert [(run.text, run.bold) for run in runs] == [("<b>*x*</b> & {{7*7}} [a] [b] # y", True), (" & more", False)]


@pytest.mark.parametrize(
    ("template", "message"),
    [
        ("- {{ missing }}\n", "'missing' is undefined"),
        ("- {{ nothing }}\n", "a value that is not given was to be printed"),
        ("- {{ nothing | inches }}\n", "a value that is not given went into inches"),
        ("- {{ missing | inches }}\n", "'missing' is undefined"),
        ("- {{ number }}\n", "has no printed form; use a filter"),
        ("- {{ title.__class__.__mro__ }}\n", "unsafe|access to attribute"),
        ("- {% if %}\n", "line 1"),
        ('{% include "nowhere.txt" %}\n', "nowhere.txt was not found"),
    ],
)
def test_template_that_cannot_be_rendered_says_why(tmp_path: Path, template: str, message: str) -> None:
    firm(tmp_path, "bad.txt", template)
    with pytest.raises(MarkupError, match=message):
        render("bad.txt", {"nothing": None, "title": "x", "number": 0.3}, (tmp_path,))


def test_template_outside_the_folders_is_not_found(tmp_path: Path) -> None:
    (tmp_path / "secret.txt").write_text("- x\n", encoding="utf-8")
    inner = tmp_path / "templates"
    inner.mkdir()
    with pytest.raises(MarkupError, match="was not found"):
        render("../secret.txt", {}, (inner,))


def test_firm_folders_are_those_that_exist(tmp_path: Path) -> None:
    (tmp_path / "project" / "templates").mkdir(parents=True)
    (tmp_path / "library").mkdir()
    assert firm_folders(tmp_path / "project", tmp_path / "library") == (tmp_path / "project" / "templates",)
