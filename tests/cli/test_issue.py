"""The demo set: issued whole, twice alike; refused whole with the wall and the cause named."""

from __future__ import annotations

import hashlib
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from cli.conftest import Issued

from specgen.resources import shipped


def issue(project: str, cwd: Path, seed: str = "0") -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "specgen.cli", "issue", project]
    environment = os.environ | {"PYTHONHASHSEED": seed}
    return subprocess.run(command, cwd=cwd, capture_output=True, text=True, check=False, timeout=240, env=environment)


def hashes(folder: Path) -> dict[str, str]:
    files = sorted(path for path in folder.rglob("*") if path.is_file())
    return {str(path.relative_to(folder)): hashlib.sha256(path.read_bytes()).hexdigest() for path in files}


@pytest.fixture(scope="module")
def demo_set(issued_demo: Issued) -> Path:
    assert issued_demo.result.returncode == 0, issued_demo.result.stderr
    assert "W1" in issued_demo.result.stderr, "progress names the wall type at work"
    (project,) = (issued_demo.folder / "out").iterdir()
    return project


def test_the_set_holds_every_document_of_every_wall_type(demo_set: Path) -> None:
    names = set(hashes(demo_set))
    for tag in ("W1", "W1a", "W2", "W3", "W4", "W5"):
        assert {f"drawings/{tag}.svg", f"drawings/{tag}.pdf", f"specifications/{tag}.pdf", f"crew/{tag}.pdf"} <= names
        assert f"review/{tag}.pdf" in names
    assert {"schedule.pdf", "schedule.xlsx", "checks.json", "contents.txt"} <= names


def test_the_same_input_gives_the_same_bytes(demo_set: Path, tmp_path: Path) -> None:
    assert issue("demo", tmp_path, seed="2").returncode == 0
    assert hashes(tmp_path / "out" / demo_set.name) == hashes(demo_set)


@pytest.fixture
def office(tmp_path: Path) -> Path:
    """A copy of the shipped library, to be spoiled."""
    shutil.copytree(shipped("assemblies"), tmp_path / "assemblies")
    return tmp_path


def spoil(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


def test_an_error_finding_stops_the_set_and_keeps_the_earlier_one(office: Path, demo_set: Path) -> None:
    project = office / "assemblies" / "demo" / "project.yaml"
    folder = office / "out" / demo_set.name  # as issued before from the same files
    shutil.copytree(demo_set, folder)
    before = hashes(folder)
    wall = office / "assemblies" / "framed" / "framed-stucco-drained.yaml"
    used = re.findall(r"use: (fragments/[a-z0-9-]+)", wall.read_text(encoding="utf-8"))
    files = [wall, *(office / "assemblies" / f"{name}.yaml" for name in used)]
    painted = next(path for path in files if "material: latex-paint" in path.read_text(encoding="utf-8"))
    spoil(painted, "material: latex-paint", "material: vinyl-wall-covering")
    result = issue(str(project), office)
    assert result.returncode == 1
    assert "W1" in result.stderr and "framed-stucco-drained" in result.stderr and "Not issued" in result.stderr
    assert [path.name for path in (office / "out").iterdir()] == [demo_set.name]
    assert hashes(folder) == before


def test_a_set_refused_for_its_energy_path_names_the_smallest_change_that_meets_one(office: Path) -> None:
    project = office / "assemblies" / "demo" / "project.yaml"
    spoil(project, "county: Harris, TX", "county: Cook, IL")
    result = issue(str(project), office)
    assert result.returncode == 1 and not (office / "out").exists()
    told = [line for line in result.stderr.splitlines() if "smallest change that meets a prescriptive path" in line]
    assert any("framed-stucco-drained" in line and "new layer:" in line and "20&5ci" in line for line in told), told


def test_a_page_that_cannot_be_made_stops_the_set_and_names_the_text(office: Path) -> None:
    wall = office / "assemblies" / "framed" / "framed-stucco-drained.yaml"
    first_step = next(line for line in wall.read_text(encoding="utf-8").splitlines() if " do: " in line)
    long_text = "Nail " + "very " * 40 + "long"
    spoil(wall, first_step, first_step[: first_step.index("do:")] + f"do: {long_text}")
    result = issue(str(office / "assemblies" / "demo" / "project.yaml"), office)
    assert result.returncode in (1, 2)
    assert "framed-stucco-drained" in result.stderr and "Traceback" not in result.stderr
    assert not (office / "out").exists() or not list((office / "out").iterdir())


def test_a_wall_that_is_not_approved_carries_the_draft_mark(office: Path) -> None:
    from pypdf import PdfReader

    wall = office / "assemblies" / "framed" / "framed-stucco-drained.yaml"
    spoil(wall, "status: approved", "status: in-review")
    assert issue(str(office / "assemblies" / "demo" / "project.yaml"), office).returncode == 0
    (folder,) = (office / "out").iterdir()
    for name in ("drawings/W1.pdf", "specifications/W1.pdf", "crew/W1.pdf", "review/W1.pdf"):
        for page in PdfReader(folder / name).pages:
            assert "DRAFT" in page.extract_text(), name
    for page in PdfReader(folder / "crew/W2.pdf").pages:
        assert "DRAFT" not in page.extract_text()
    assert "DRAFT" in (folder / "drawings/W1.svg").read_text(encoding="utf-8")
