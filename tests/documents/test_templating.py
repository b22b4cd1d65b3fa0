"""Templates: a firm's own come first, nothing reaches Python, a missing value stops the document."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from specgen.documents.markup import MarkupError, parse_markup
from specgen.documents.templating import firm_folders, render, render_macro
from specgen.library.load import open_library


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


ESCAPES = [
    ("{{ wall.parse_raw('gASV', proto='pickle', allow_pickle=True) }}", "'parse_raw' of 'Wall' object is unsafe"),
    ("{{ wall.parse_file('/etc/hostname') }}", "'parse_file' of 'Wall' object is unsafe"),
    ("{{ wall['parse_file'] }}", "'parse_file' of 'Wall' object is unsafe"),
    ("{{ wall | attr('model_construct') }}", "'model_construct' of 'Wall' object is unsafe"),
    ("{{ '{0.__class__}'.format(wall) }}", "'__class__' of 'Wall' object is unsafe"),
    ("{{ lipsum.__globals__ }}", "'__globals__' of 'function' object is unsafe"),
    ("{{ cycler.__init__.__globals__ }}", "'__init__' of 'type' object is unsafe"),
    ("{{ range(999999999) }}", "Range too big"),
]


@pytest.mark.parametrize(("trick", "message"), ESCAPES, ids=lambda text: text)
def test_template_reaches_fields_of_a_wall_and_nothing_of_python(tmp_path: Path, trick: str, message: str) -> None:
    firm(tmp_path, "trick.txt", f"- one\n- {trick}\n")
    wall = open_library().wall("framed-stucco-drained")
    with pytest.raises(MarkupError, match=re.escape(f"{tmp_path / 'trick.txt'}, line 2: ") + ".*" + re.escape(message)):
        render("trick.txt", {"wall": wall}, (tmp_path,))


@pytest.mark.parametrize(
    ("broken", "message"),
    [
        ("{{ nowhere }}", "'nowhere' is undefined"),
        ("{% endif %}", "unknown tag 'endif'"),
        ("{{ 1 / 0 }}", "division by zero"),
        ("{{ title + 1 }}", "can only concatenate"),
        ("{{ title.nothing }}", "has no attribute 'nothing'"),
        ("{{ title | nofilter }}", "No filter named 'nofilter'"),
    ],
)
@pytest.mark.parametrize("inside", ["{line}", "{{% macro part() %}}{line}{{% endmacro %}}{{{{ part() }}}}"])
def test_error_names_file_and_line(tmp_path: Path, broken: str, message: str, inside: str) -> None:
    firm(tmp_path, "spec/broken.txt", "- one\n" + inside.format(line=f"\n\n- {broken}") + "\n")
    with pytest.raises(MarkupError, match=re.escape(f"{tmp_path / 'spec/broken.txt'}, line 4: ") + ".*" + message):
        render("spec/broken.txt", {"title": "x"}, (tmp_path,))


def test_link_out_of_the_folder_is_not_followed(tmp_path: Path) -> None:
    secret = tmp_path / "secret.txt"
    secret.write_text("- secret\n", encoding="utf-8")
    inner = firm(tmp_path / "templates", "spec/own.txt", "- own\n")
    (inner / "spec" / "link.txt").symlink_to(secret)
    (inner / "spec" / "near.txt").symlink_to("own.txt")
    with pytest.raises(MarkupError, match="leads out of the folder"):
        render("spec/link.txt", {}, (inner,))
    assert render("spec/near.txt", {}, (inner,)) == "- own\n"


def test_template_that_is_not_text_is_one_error(tmp_path: Path) -> None:
    (tmp_path / "binary.txt").write_bytes(bytes(range(128, 256)))
    with pytest.raises(MarkupError, match=r"binary\.txt: is not UTF-8 text"):
        render("binary.txt", {}, (tmp_path,))
