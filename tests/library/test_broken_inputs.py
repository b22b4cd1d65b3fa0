"""Every kind of broken input, with the exact lines that the loader says of it."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest
from broken_inputs import BROKEN, PROJECT, Broken

from specgen.data import load_table
from specgen.errors import InputError
from specgen.library.codes import Code
from specgen.library.load import load_project, open_library

FILES = Path(__file__).parent / "files"
# Said of bytes and folders, in test_read.py and test_load.py.
ELSEWHERE = {Code.CANNOT_OPEN, Code.TOO_LARGE, Code.NOT_UTF8, Code.WEATHER_UNREADABLE, Code.WEATHER_LAYOUT}
LINE = re.compile(r"(?P<file>[^:]+):(?P<line>\d+):(?P<column>\d+): (?P<code>L\d\d\d) (?P<message>.+)")


@pytest.fixture
def office(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A copy of the valid library and project, the current folder."""
    folder = tmp_path / "office"
    shutil.copytree(FILES / "office", folder)
    shutil.copy(FILES / "project.yaml", folder / PROJECT)
    monkeypatch.chdir(folder)
    return folder


def load(file: str) -> None:
    library = open_library(Path("."))
    if file == PROJECT:
        load_project(Path(PROJECT), library)
    else:
        list(library.walls())


@pytest.mark.parametrize("case", BROKEN, ids=lambda case: case.name)
def test_broken_input_says_exactly(case: Broken, office: Path) -> None:
    path = office / case.file
    valid = path.read_text(encoding="utf-8") if path.exists() else ""
    path.write_text(case.text(valid), encoding="utf-8")
    with pytest.raises(InputError) as caught:
        load(case.file)
    assert str(caught.value).splitlines() == case.says


def test_the_valid_library_and_project_load(office: Path) -> None:
    load("framed/small.yaml")
    load(PROJECT)


def test_every_message_has_the_form_that_editors_read() -> None:
    for case in BROKEN:
        places = []
        for line in case.says:
            match = LINE.fullmatch(line)
            assert match, line
            places.append((match["file"], int(match["line"]), int(match["column"])))
        assert places == sorted(places), case.name


def test_no_message_speaks_the_language_of_a_program() -> None:
    # Words of the validation and YAML libraries, and spellings of Python values.
    foreign = re.compile(
        r"pydantic|valid (dictionary|string|integer|tuple|list)|Field required|Extra inputs|Input should|Value error|"
        r"\bNone\b|\bTrue\b|\bFalse\b|\bdict\b|\btuple\b|<entry>|<fragment>|while (parsing|scanning)|\[type="
    )
    for case in BROKEN:
        for line in case.says:
            assert not foreign.search(line), line


def test_every_code_is_seen() -> None:
    seen = {line.split(": ", 1)[1].split(" ", 1)[0] for case in BROKEN for line in case.says}
    assert seen == {code.value for code in Code} - {code.value for code in ELSEWHERE}


def test_every_code_is_explained_and_no_other() -> None:
    assert list(load_table("input_errors")) == [code.value for code in Code]


def test_the_example_of_each_code_is_what_the_loader_says() -> None:
    said = {line.split(": ", 1)[1] for case in BROKEN for line in case.says}
    for code, entry in load_table("input_errors").items():
        assert set(entry) == {"title", "found", "expected", "example"}, code
        if Code(code) not in ELSEWHERE:
            assert f"{code} {entry['example']}" in said


def test_names_of_cases_are_unique() -> None:
    names = [case.name for case in BROKEN]
    assert len(set(names)) == len(names)
