"""The command line as a newcomer meets it: help, examples, exit codes, one clear message and never a traceback."""

from __future__ import annotations

import json
import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest
from typer.main import get_command

from specgen.cli import _hourly_year, app

ROOT = Path(__file__).parents[2]
COMMANDS = sorted(get_command(app).commands)  # type: ignore[attr-defined]


def specgen(*words: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "specgen.cli", *words]
    return subprocess.run(command, cwd=cwd, capture_output=True, text=True, check=False, timeout=120)


def example(command: str) -> list[str]:
    text = get_command(app).commands[command].help or ""  # type: ignore[attr-defined]
    found = re.search(r"Example: specgen (.+)", text)
    assert found, f"{command} has no example in its help"
    return shlex.split(found.group(1))


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_has_help_an_example_and_a_place_in_the_readme(command: str) -> None:
    assert example(command)[0] == command
    assert f"specgen {command}" in (ROOT / "README.md").read_text(encoding="utf-8")


@pytest.mark.parametrize("command", COMMANDS)
def test_the_example_of_each_command_runs_in_an_empty_folder(
    command: str, tmp_path: Path, request: pytest.FixtureRequest
) -> None:
    if example(command) == ["issue", "demo"]:  # a set of six walls, issued once for all tests
        result = request.getfixturevalue("issued_demo").result
    else:
        result = specgen(*example(command), cwd=tmp_path)
    assert result.returncode == 0, result.stdout + result.stderr
    assert result.stdout.strip()


def test_json_answers_in_the_agreed_form(tmp_path: Path) -> None:
    result = specgen("check", "framed-stucco-drained", "--zone", "2A", "--format", "json", cwd=tmp_path)
    (answer,) = json.loads(result.stdout)
    assert {"wall", "variant", "site", "thermal", "energy_code", "moisture", "findings", "meets"} <= set(answer)
    assert {"r_ip", "u_ip", "r_si", "u_si", "cavity_r_ip", "continuous_r_ip", "heat_capacity_ip"} <= set(
        answer["thermal"]
    )
    assert answer["thermal"]["r_ip"] == pytest.approx(1 / answer["thermal"]["u_ip"])
    assert {"edition", "meets_prescriptive", "paths"} <= set(answer["energy_code"])
    for path in answer["energy_code"]["paths"]:
        assert {"path", "required", "provided", "margin", "meets", "status"} <= set(path)
        assert (path["margin"] >= -0.0005) == path["meets"]
    for finding in answer["findings"]:
        assert {"code", "severity", "message", "layer", "file", "line", "source", "status"} <= set(finding)


BAD = [
    (["check", "framed-stuco-drained"], "did you mean 'framed-stucco-drained'"),
    (["check", "framed-stucco-drained+nothing"], "does not exist"),
    (["check", "nowhere.yaml"], "nowhere.yaml"),
    (["check", "framed-stucco-drained", "--zone", "9Z"], "9Z"),
    (["check", "framed-stucco-drained", "--county", "Haris, TX"], "Harris"),
    (["check", "framed-stucco-drained", "--edition", "2019"], "2018, 2021, 2024"),
    (["check", "--format", "xml", "framed-stucco-drained"], "expected one of json, text"),
    (["check", "framed-stucco-drained", "--zone", "2A", "--county", "Harris, TX"], "give one of them"),
    (["check", "framed-stucco-drained", "--zone", "2A", "--city", "Huston"], "did you mean 'Houston, TX'"),
    (["check", "framed-stucco-drained", "--zone", "2A", "--latitude", "29.8"], "half a position"),
    (["check", "framed-stucco-drained", "--zone", "2A", "--latitude", "99", "--longitude", "0"], "is no place"),
    (["check", "framed-stucco-drained", "--zone", "2A", "--weather", "year.epw"], "add --transient"),
    (
        ["check", "framed-stucco-drained", "--zone", "2A", "--transient", "--weather", "year.epw"],
        "no such weather file",
    ),
    (["draw"], "no wall named; give its id, or --all"),
    (["draw", "framed-stucco-drained", "--all"], "give either of them"),
    (["draw", "--all", "--tag", "W1"], "give either of them"),
    (["draw", "--all", "--format", "dxf"], "for a DXF file name one wall"),
    (["schedule", "demo", "--sheet", "arch-e"], "did you mean 'arch-d'"),
    (["schedule", "demo", "--format", "csv"], "expected one of all, pdf, xlsx"),
    (["zones", "framed-stuco-drained"], "did you mean 'framed-stucco-drained'"),
    (["zones", "--edition", "2019"], "2018, 2021, 2024"),
    (["init", "/dev/null/office"], "nothing was written"),
    (["explain", "P999"], "does not exist"),
    (["schema", "walls"], "did you mean 'wall'"),
    (["issue", "missing.yaml"], "missing.yaml"),
    (["check", "--library", "/nonexistent"], "/nonexistent"),
    (["paint"], "No such command"),
]


@pytest.mark.parametrize(("words", "message"), BAD, ids=lambda part: " ".join(part) if isinstance(part, list) else "")
def test_a_wrong_word_is_one_clear_message_and_exit_2(words: list[str], message: str, tmp_path: Path) -> None:
    result = specgen(*words, cwd=tmp_path)
    assert result.returncode == 2
    assert message in result.stderr
    assert "Traceback" not in result.stderr and not result.stdout
    assert not list(tmp_path.iterdir()), "nothing may be left behind"


def test_a_binary_or_folder_in_place_of_a_wall_is_a_message(tmp_path: Path) -> None:
    (tmp_path / "wall.yaml").write_bytes(bytes(range(256)))
    (tmp_path / "folder.yaml").mkdir()
    for name in ("wall.yaml", "folder.yaml"):
        result = specgen("check", name, cwd=tmp_path)
        assert result.returncode == 2 and name in result.stderr and "Traceback" not in result.stderr


def test_an_hourly_file_of_another_climate_zone_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    row = ["0"] * 35
    row[6:8], row[12], row[20:22], row[33] = ["20.0", "10.0"], "350", ["180", "3.0"], "1.0"
    head = ["LOCATION,Nowhere,ZZ,USA,invented,000000,25.8,-80.3,-5.0,2.0"] + ["X"] * 7  # near Miami
    (tmp_path / "made.epw").write_text("\n".join([*head, *[",".join(row)] * 8760]), encoding="utf-8")
    _hourly_year(tmp_path / "made.epw", {"1A"})
    assert "climate zone" not in capsys.readouterr().err
    _hourly_year(tmp_path / "made.epw", {"2A"})
    assert "Miami, FL lies in climate zone 1A, not in 2A." in capsys.readouterr().err
