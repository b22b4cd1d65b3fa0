"""README stays true: its table of walls, its pictures, its example of a wall and of an error."""

from __future__ import annotations

import re
from importlib.metadata import version
from pathlib import Path

import pytest
import shown

from specgen.errors import InputError
from specgen.library.load import load_wall_file, open_library

README = (shown.ROOT / "README.md").read_text(encoding="utf-8")


def test_the_table_of_walls_is_what_the_library_gives() -> None:
    found = shown.TABLE.search(README)
    assert found and shown.wall_table() in found.group(0), "run python tests/docs/shown.py"


def test_the_table_of_methods_is_what_the_methods_give() -> None:
    found = shown.METHODS.search(README)
    assert found and shown.method_table() in found.group(0), "run python tests/docs/shown.py"


def test_pictures_exist_and_show_the_pages_of_today() -> None:
    for picture in re.findall(r"\]\((out/shown/[a-z-]+\.png)\)", README):
        assert (shown.ROOT / picture).is_file()
    pins = dict(line.split("==") for line in (shown.ROOT / ".ci" / "constraints.txt").read_text().split())
    if version("reportlab") != pins["reportlab"] or version("fonttools") != pins["fonttools"]:
        pytest.skip("bytes are promised for the locked dependency set only")
    record = (shown.SHOWN / "sources.txt").read_text(encoding="utf-8")
    assert record == shown.source_record(shown.sources()), "run python tests/docs/shown.py"


def test_the_excerpt_is_part_of_the_file_it_names() -> None:
    found = re.search(r"From `(assemblies/\S+)`:\n\n```yaml\n(.*?)```", README, flags=re.DOTALL)
    assert found
    text = (shown.ROOT / found.group(1)).read_text(encoding="utf-8")
    for block in found.group(2).split("...\n"):
        assert block.strip("\n") in text


def test_the_error_shown_is_the_error_that_comes(tmp_path: Path) -> None:
    found = re.search(r"```text\n(\S+?):(\d+:\d+: .*)\n```", README)
    assert found
    source = (shown.ROOT / found.group(1)).read_text(encoding="utf-8")
    wrong = tmp_path / Path(found.group(1)).name
    wrong.write_text(source.replace("material: plywood", "material: plywod", 1), encoding="utf-8")
    with pytest.raises(InputError) as error:
        load_wall_file(wrong, open_library(shown.ROOT / "assemblies"))
    assert str(error.value).endswith(found.group(2))
