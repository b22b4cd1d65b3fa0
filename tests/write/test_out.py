"""Writing is whole or not at all; a set replaces only an earlier set."""

from __future__ import annotations

from pathlib import Path

import pytest

from specgen.errors import OutputError
from specgen.write.out import write_file, write_new, write_set

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


def test_a_link_in_the_way_is_not_followed_out_of_the_folder(tmp_path: Path) -> None:
    away, out = tmp_path / "away", tmp_path / "out"
    away.mkdir()
    out.mkdir()
    (away / "kept.pdf").write_bytes(b"kept")
    (out / "drawings").symlink_to(away)
    (out / "a.pdf").symlink_to(away / "kept.pdf")
    with pytest.raises(OutputError, match="a link leads out"):
        write_file(out, "drawings/kept.pdf", b"lost")
    write_file(out, "a.pdf", b"new")  # takes the place of the link, not of the file that it points at
    assert (away / "kept.pdf").read_bytes() == b"kept" and not (out / "a.pdf").is_symlink()
    (out / "job").symlink_to(away)
    with pytest.raises(OutputError, match="not an issued set"):
        write_set(out / "job", SET)
    assert [path.name for path in away.iterdir()] == ["kept.pdf"]


def test_new_files_stand_beside_others(tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("keep")
    paths = write_new(tmp_path, {"a/b/c.txt": b"1", "d.txt": b"2"})
    assert [path.read_bytes() for path in paths] == [b"1", b"2"]
    assert (tmp_path / "letter.txt").read_text() == "keep"


@pytest.mark.parametrize("standing", ["a", "a/other.txt", "d.txt"])
def test_nothing_new_is_written_where_one_name_is_taken(tmp_path: Path, standing: str) -> None:
    taken = tmp_path / standing
    taken.parent.mkdir(exist_ok=True)
    taken.write_text("keep")
    with pytest.raises(OutputError, match="exists already; nothing was written"):
        write_new(tmp_path, {"a/b.txt": b"1", "d.txt": b"2"})
    assert [path for path in tmp_path.rglob("*") if path.is_file()] == [taken] and taken.read_text() == "keep"


def test_a_dead_link_is_a_name_that_is_taken(tmp_path: Path) -> None:
    (tmp_path / "a").symlink_to(tmp_path / "nowhere")
    with pytest.raises(OutputError, match="exists already"):
        write_new(tmp_path, {"a/b.txt": b"1"})
    assert not (tmp_path / "nowhere").exists()


def test_new_files_go_again_if_one_cannot_be_written(tmp_path: Path) -> None:
    with pytest.raises(OutputError, match="nothing was written"):
        write_new(tmp_path / "office", {"a/b.txt": b"1", "a/b.txt/c": b"impossible: a file cannot hold a file"})
    assert not list(tmp_path.iterdir())
