"""Kept results: found again by content, whole or not at all, and never the cause of a failure."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from specgen import cache


@pytest.fixture
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("SPECGEN_CACHE", str(tmp_path / "kept"))
    cache.forget()
    return tmp_path / "kept"


def counted(value: object = 1.5) -> tuple[list[int], object]:
    calls: list[int] = []

    def compute() -> object:
        calls.append(1)
        return value

    return calls, compute


def test_a_result_is_computed_once_and_found_by_the_next_process(place: Path) -> None:
    calls, compute = counted({"u": 0.25})
    assert cache.remembered("kind", "key", compute) == {"u": 0.25}  # type: ignore[arg-type]
    assert cache.remembered("kind", "key", compute) == {"u": 0.25}  # type: ignore[arg-type]
    cache.forget()  # as a new process
    assert cache.remembered("kind", "key", compute) == {"u": 0.25}  # type: ignore[arg-type]
    assert len(calls) == 1
    assert [file.name for file in (place / "kind").iterdir()] == ["key"]  # no half-written file is left


def test_another_key_or_kind_is_another_result(place: Path) -> None:
    cache.keep("kind", "key", b"1")
    assert cache.recall("kind", "other") is None and cache.recall("other", "key") is None


def test_keys_tell_every_digit_and_every_part(place: Path) -> None:
    keys = {cache.content_key(0.1), cache.content_key(0.1 + 1e-16), cache.content_key("0.1"), cache.content_key(0.1, 1)}
    assert len(keys) == 4
    assert cache.content_key({"a": 1, "b": 2}) == cache.content_key({"b": 2, "a": 1})
    with pytest.raises(TypeError):
        cache.content_key(object())


@pytest.mark.parametrize("damage", [b"", b"short", b"0" * 64 + b"\n{}", b"\xff\xfe"])
def test_a_damaged_file_is_computed_again_and_replaced(place: Path, damage: bytes) -> None:
    calls, compute = counted()
    cache.remembered("kind", "key", compute)  # type: ignore[arg-type]
    (place / "kind" / "key").write_bytes(damage)
    cache.forget()
    assert cache.remembered("kind", "key", compute) == 1.5  # type: ignore[arg-type]
    cache.forget()
    assert cache.remembered("kind", "key", compute) == 1.5  # type: ignore[arg-type]
    assert len(calls) == 2


def test_a_whole_file_with_something_else_in_it_is_computed_again(place: Path) -> None:
    cache.keep("kind", "key", b"not JSON")
    cache.forget()
    _, compute = counted()
    assert cache.remembered("kind", "key", compute) == 1.5  # type: ignore[arg-type]


def test_a_folder_that_cannot_be_used_costs_nothing_but_time(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "file").write_text("in the way")
    monkeypatch.setenv("SPECGEN_CACHE", str(tmp_path / "file"))
    cache.forget()
    _, compute = counted()
    assert cache.remembered("kind", "key", compute) == 1.5  # type: ignore[arg-type]
    assert cache.recall("kind", "key") is not None  # from memory


def test_off_keeps_nothing_on_disk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SPECGEN_CACHE", "off")
    monkeypatch.chdir(tmp_path)
    cache.forget()
    cache.keep("kind", "key", b"1")
    assert cache.folder() is None and not os.listdir(tmp_path)


def test_the_folder_follows_the_desktop_rule(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("SPECGEN_CACHE")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    assert cache.folder() == tmp_path / "specgen"
    monkeypatch.setenv("XDG_CACHE_HOME", "relative")
    monkeypatch.setenv("HOME", str(tmp_path / "home"))
    assert cache.folder() == tmp_path / "home" / ".cache" / "specgen"


def test_the_longest_unused_go_first(place: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cache, "MOST_FILES", 10)
    for number in range(11):
        cache.keep("kind", f"key-{number:02}", b"1")
        os.utime(place / "kind" / f"key-{number:02}", (number, number))
    cache.keep("kind", "last", b"1")
    left = sorted(file.name for file in (place / "kind").iterdir())
    assert len(left) <= 10 and "last" in left and "key-00" not in left


def test_the_source_of_a_method_is_part_of_its_version(tmp_path: Path) -> None:
    (tmp_path / "a.py").write_text("one")
    before = cache.source_digest(str(tmp_path / "a.py"))
    (tmp_path / "a.py").write_text("two")
    assert cache.source_digest(str(tmp_path / "a.py")) != before
    assert cache.source_digest(None) and cache.source_digest(str(tmp_path / "missing.py"))
