"""A new office: made in an empty folder, checked and issued at once, its templates heard, no path out of it."""

from __future__ import annotations

import difflib
import io
import json
import os
import re
import shutil
import sys
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from pathlib import Path

import jsonschema
import pytest
import yaml
from pypdf import PdfReader

from specgen.cli import main
from specgen.library.load import open_library
from specgen.resources import shipped

WALL = "framed-stucco-drained"


@dataclass(frozen=True)
class Result:
    returncode: int
    stdout: str
    stderr: str


def specgen(*words: str, cwd: Path) -> Result:
    """The command line in this process, as `main` runs it; a traceback would come out as the exception it is."""
    out, err = io.StringIO(), io.StringIO()
    with (
        pytest.MonkeyPatch.context() as patch,
        redirect_stdout(out),
        redirect_stderr(err),
        pytest.raises(SystemExit) as end,
    ):
        patch.chdir(cwd)
        patch.setattr(sys, "argv", ["specgen", *words])
        main()
    return Result(int(end.value.code or 0), out.getvalue(), err.getvalue())


def files(folder: Path) -> set[str]:
    return {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}


def pages(path: Path) -> list[str]:
    return [page.extract_text() for page in PdfReader(path).pages]


def spoil(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("made")
    result = specgen("init", cwd=folder)
    assert result.returncode == 0, result.stderr
    assert len(result.stdout.splitlines()) == 4 and "specgen check" in result.stdout
    return folder


@pytest.fixture
def office(made: Path, tmp_path: Path) -> Path:
    """A new office of its own for each test."""
    return Path(shutil.copytree(made, tmp_path / "office"))


def test_it_holds_what_an_office_needs_and_check_works_there(made: Path) -> None:
    names = files(made)
    library = shipped("assemblies")
    walls = {f"assemblies/{path.relative_to(library)}" for path in library.glob("[fm]*-*/*.yaml")}
    walls |= {f"assemblies/{path.relative_to(library)}" for path in library.glob("framed/*.yaml")}
    assert len(walls) == len(open_library().wall_ids)
    assert walls <= names
    assert {"project.yaml", "templates/spec/section_numbers.yaml", "templates/crew/messages.en.yaml"} <= names
    assert {"assemblies/materials/house.yaml", "assemblies/schema/wall.schema.json", ".gitignore"} <= names
    assert not [name for name in names if "demo" in name], "the invented project stays behind"
    result = specgen("check", cwd=made)
    assert result.returncode == 0, result.stdout + result.stderr
    assert all(wall in result.stdout for wall in open_library().wall_ids)


def test_walls_are_in_review_and_otherwise_as_shipped(made: Path) -> None:
    for wall in open_library(made / "assemblies").walls():
        assert wall.status == "in-review" and wall.approval is None, wall.name
    for path in (made / "assemblies").glob("*/*.yaml"):
        origin = shipped("assemblies") / path.relative_to(made / "assemblies")
        if path.name == "house.yaml":
            continue
        old, new = (place.read_text(encoding="utf-8").splitlines() for place in (origin, path))
        changes = [line for line in difflib.ndiff(old, new) if line[0] in "+-"]
        assert all(re.match(r"(- status: approved|\+ status: in-review|- approval:)", line) for line in changes), path


def test_its_jurisdictions_are_an_example_that_holds_the_schema_and_is_heard_once_named(made: Path) -> None:
    text = (made / "jurisdictions.yaml").read_text(encoding="utf-8")
    assert text.count("invented") >= 3, "the example says that it is one"
    own = "--jurisdiction=jurisdictions.yaml"
    inside = specgen("check", WALL, "--county", "Loving, TX", own, "--format", "json", cwd=made)
    (assessed,) = json.loads(inside.stdout)
    limits = {(path["path"], str(path["required"])) for path in assessed["energy_code"]["paths"]}
    assert ("u", "0.06") in limits and len(limits) == 3, limits
    outside = specgen("check", WALL, "--county", "Harris, TX", own, "--format", "json", cwd=made)
    assert "City of Example" in inside.stdout and "City of Example" not in outside.stdout
    project = yaml.safe_load((made / "project.yaml").read_text(encoding="utf-8"))
    assert "jurisdictions" not in project["code"], "named by whoever has filled the file in"
    document = yaml.safe_load(text)
    jsonschema.validate(document, json.loads((made / "assemblies/schema/jurisdictions.schema.json").read_text()))


def test_every_modeline_leads_to_a_schema(made: Path) -> None:
    seen = 0
    for path in [made / "project.yaml", made / "jurisdictions.yaml", *(made / "assemblies").glob("*/*.yaml")]:
        first = path.read_text(encoding="utf-8").splitlines()[0]
        schema = re.fullmatch(r"# yaml-language-server: \$schema=(\S+)", first)
        assert schema, path
        assert (path.parent / schema.group(1)).is_file(), path
        seen += 1
    assert seen > 10


def test_house_material_is_an_example_without_products(made: Path) -> None:
    material = open_library(made / "assemblies").materials["house-interior-paint"]
    assert "example" in material.title and material.products == ()


def test_the_project_issues_as_a_draft_that_shows_what_to_enter(office: Path) -> None:
    result = specgen("issue", str(office / "project.yaml"), "-o", "set", cwd=office.parent)
    assert result.returncode == 0, result.stderr
    (issued,) = (office.parent / "set").iterdir()
    for tag in ("W1", "W2"):
        for name in (f"drawings/{tag}.pdf", f"specifications/{tag}.pdf", f"crew/{tag}.pdf"):
            assert all("DRAFT" in page for page in pages(issued / name)), name
    sheet = "\n".join(pages(issued / "schedule.pdf"))
    assert "Project name to enter" in sheet and "Office name to enter" in sheet and "DRAFT" in sheet
    assert "IECC 2021" in (issued / "contents.txt").read_text(encoding="utf-8")


def test_an_edited_template_changes_the_pages_and_its_removal_brings_ours_back(office: Path) -> None:
    numbers, crew = office / "templates/spec/section_numbers.yaml", office / "templates/crew/messages.en.yaml"
    spoil(numbers, "09 24 23", "09 77 77")
    spoil(crew, "never.head: NEVER", "never.head: AT NO TIME")
    paint = office / "templates/spec/subjects/paint.txt"
    paint.parent.mkdir()
    paint.write_text(
        "{% macro products() %}\n## Paint of this office\n- Two coats.\n{% endmacro %}\n", encoding="utf-8"
    )
    assert specgen("spec", WALL, "-o", "o", cwd=office).returncode == 0
    assert specgen("crew", f"assemblies/framed/{WALL}.yaml", "-o", "o", cwd=office).returncode == 0
    assert specgen("schedule", "project.yaml", "-o", "o", cwd=office).returncode == 0
    specification = "\n".join(pages(office / f"o/{WALL}-specification.pdf"))
    assert "SECTION 09 77 77" in specification and "Paint of this office" in specification
    assert "AT NO TIME" in pages(office / f"o/{WALL}-crew.pdf")[0]
    assert "09 77 77" in "\n".join(pages(office / "o/project-schedule.pdf"))
    for path in (numbers, crew, paint):
        path.unlink()
    assert specgen("spec", WALL, "-o", "o", cwd=office).returncode == 0
    assert "SECTION 09 24 23" in pages(office / f"o/{WALL}-specification.pdf")[0]


BROKEN = [
    ("spec", "spec/part-2.txt", "- one\n- {{ nowhere }}\n", "part-2.txt, line 2: 'nowhere' is undefined"),
    ("spec", "spec/part-2.txt", "- one\n{% if %}\n", "part-2.txt, line 2: Expected an expression"),
    ("spec", "spec/part-2.txt", "- {{ wall.__class__.__mro__ }}\n", "part-2.txt, line 1: access to attribute"),
    (
        "spec",
        "spec/part-2.txt",
        "- {{ wall.parse_file('/etc/hostname') }}\n",
        "line 1: access to attribute 'parse_file'",
    ),
    ("spec", "spec/part-2.txt", "{% include '../../project.yaml' %}\n", "part-2.txt, line 1: "),
    ("spec", "spec/section_numbers.yaml", "subjects: [\n", "section_numbers.yaml:2: "),
    ("crew", "crew/messages.en.yaml", "title: A\nnever.haed: B\n", "messages.en.yaml:2: message 'never.haed'"),
    ("crew", "crew/messages.en.yaml", 'revision: "{0.__class__}"\n', "messages.en.yaml:1: message 'revision'"),
]


@pytest.mark.parametrize(("command", "name", "text", "message"), BROKEN, ids=lambda part: part[:40])
def test_a_broken_template_is_one_clear_error(office: Path, command: str, name: str, text: str, message: str) -> None:
    path = office / "templates" / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
    result = specgen(command, WALL, cwd=office)
    assert result.returncode == 2
    assert message in result.stderr and str(path) in result.stderr
    assert len(result.stderr.strip().splitlines()) == 1 and not result.stdout
    assert not (office / "out").exists()


@pytest.mark.parametrize("standing", ["project.yaml", "assemblies/framed/mine.yaml", "templates/x", ".gitignore"])
def test_nothing_that_exists_is_touched(tmp_path: Path, standing: str) -> None:
    path = tmp_path / "office" / standing
    path.parent.mkdir(parents=True)
    path.write_text("mine", encoding="utf-8")
    result = specgen("init", "office", cwd=tmp_path)
    assert result.returncode == 2 and "exists already; nothing was written" in result.stderr and not result.stdout
    assert files(tmp_path / "office") == {standing} and path.read_text(encoding="utf-8") == "mine"


def test_a_link_leads_nothing_out_of_the_new_folder(tmp_path: Path) -> None:
    away = tmp_path / "away"
    away.mkdir()
    (tmp_path / "office").mkdir()
    (tmp_path / "office" / "assemblies").symlink_to(away)
    result = specgen("init", "office", cwd=tmp_path)
    assert result.returncode == 2 and "exists already" in result.stderr
    assert not list(away.iterdir()) and os.listdir(tmp_path / "office") == ["assemblies"]


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (["draw", "..", "-o", "o"], "does not exist"),
        (["draw", "../away/wall.yaml", "-o", "o"], "L001"),
        (["draw", WALL, "-o", "project.yaml"], "project.yaml is a file, not a folder"),
        (["draw", WALL, "-o", "project.yaml/deeper"], "project.yaml is a file, not a folder"),
        (["init", "project.yaml"], "nothing was written"),
        (["issue", "outside.yaml"], "expected"),
    ],
    ids=lambda part: " ".join(part) if isinstance(part, list) else "",
)
def test_a_name_that_leads_elsewhere_is_one_clear_error(office: Path, words: list[str], message: str) -> None:
    text = (office / "project.yaml").read_text(encoding="utf-8")
    (office / "outside.yaml").write_text(text.replace(f"wall: {WALL}", "wall: ../secret"), encoding="utf-8")
    before = files(office)
    result = specgen(*words, cwd=office)
    assert result.returncode == 2 and message in result.stderr and "Traceback" not in result.stderr
    assert files(office) == before
