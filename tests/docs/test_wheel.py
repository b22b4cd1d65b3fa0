"""The wheel, installed in a new environment, works in an empty folder: templates and assemblies travel with it."""

from __future__ import annotations

import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]


def run(*command: str | Path, cwd: Path) -> str:
    environment = {key: value for key, value in os.environ.items() if not key.startswith("PYTHON")}
    result = subprocess.run(
        [str(word) for word in command],
        cwd=cwd,
        env=environment,
        capture_output=True,
        text=True,
        check=False,
        timeout=400,
    )
    assert result.returncode == 0, result.stdout + result.stderr
    return result.stdout


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    run(sys.executable, "-m", "build", "--wheel", "--outdir", folder, ROOT, cwd=folder)
    (built,) = folder.glob("*.whl")
    return built


def test_wheel_carries_templates_and_assemblies(wheel: Path) -> None:
    names = set(zipfile.ZipFile(wheel).namelist())
    for top in ("templates", "assemblies"):
        for path in (ROOT / top).rglob("*"):
            if path.is_file() and "__pycache__" not in path.parts:
                assert f"specgen/shipped/{path.relative_to(ROOT)}" in names
    assert not [name for name in names if name.startswith(("tests/", "out/"))]


def test_installed_wheel_works_in_an_empty_folder(wheel: Path, tmp_path: Path) -> None:
    """The libraries are those of this environment, lent by path; README's first command installs them anew."""
    environment = tmp_path / "environment"
    run(sys.executable, "-m", "venv", environment, cwd=tmp_path)
    run(environment / "bin" / "pip", "install", "--quiet", "--no-deps", wheel, cwd=tmp_path)
    own = next((environment / "lib").glob("python*/site-packages"))
    (own / "lent.pth").write_text(f"{Path(pytest.__file__).parents[1]}\n")
    where = run(environment / "bin" / "python", "-c", "import specgen; print(specgen.__file__)", cwd=tmp_path)
    assert where.startswith(str(own))
    empty = tmp_path / "empty"
    empty.mkdir()
    program = environment / "bin" / "specgen"
    assert "framed-stucco-drained" in run(program, "check", "--zone", "2A", "framed-stucco-drained", cwd=empty)
    run(program, "issue", "demo", cwd=empty)
    assert list((empty / "out").rglob("W1.pdf"))
