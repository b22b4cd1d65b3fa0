"""Writing is whole or not at all; a set replaces only an earlier set."""

from __future__ import annotations

from pathlib import Path

import pytest

from specgen.errors import OutputError
from specgen.write.out import write_file, write_set

SET = {"contents.txt": b"list", "drawings/W1.svg": b"one"}


def test_a_file_replaces_the_earlier_one_and_leaves_no_part(tmp_path: Path) -> None:
    write_file(tmp_path, "a.pdf", b"old")
    assert write_file(tmp_path, "a.pdf", b"new").read_bytes() == b"new"
    assert [path.name for path in tmp_path.iterdir()] == ["a.pdf"]


def test_a_set_replaces_the_earlier_set_whole(tmp_path: Path) -> None:
    write_set(tmp_path / "job", SET | {"drawings/W2.svg": b"two"})
    write_set(tmp_path / "job", SET)
    names = {str(path.relative_to(tmp_path / "job")) for path in (tmp_path / "job").rglob("*") if path.is_file()}
    assert names == set(SET)
    assert [path.name for path in tmp_path.iterdir()] == ["job"]


def test_a_failed_set_leaves_the_earlier_one(tmp_path: Path) -> None:
    write_set(tmp_path / "job", SET)
    clash = {"contents.txt": b"new", "contents.txt/inside": b"impossible: a file cannot hold a file"}
    with pytest.raises(OutputError, match="the earlier set still stands"):
        write_set(tmp_path / "job", clash)
    assert (tmp_path / "job" / "contents.txt").read_bytes() == b"list"
    assert [path.name for path in tmp_path.iterdir()] == ["job"]


def test_a_folder_with_other_files_is_never_replaced(tmp_path: Path) -> None:
    (tmp_path / "job").mkdir()
    (tmp_path / "job" / "letter.txt").write_text("keep")
    with pytest.raises(OutputError, match="not an issued set"):
        write_set(tmp_path / "job", SET)
    assert (tmp_path / "job" / "letter.txt").read_text() == "keep"


@pytest.mark.parametrize("name", ["../x", "/x", "a/../../x", "a\\..\\x", "a\0b"])
def test_a_name_cannot_leave_the_folder(tmp_path: Path, name: str) -> None:
    with pytest.raises(OutputError, match="not a file name inside"):
        write_file(tmp_path, name, b"")


def test_an_unwritable_place_is_one_clear_error(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("not a folder")
    with pytest.raises(OutputError, match="cannot be written"):
        write_file(tmp_path / "file", "a.pdf", b"x")
