"""Reading: scalars stay what was written, places are right, hostile files cost little."""

from __future__ import annotations

import time
import tracemalloc
from pathlib import Path

import pytest
import yaml

from specgen.library import read
from specgen.library.read import read_file, read_text

MIXED = b"""\
schema: 1
plain: [no, 010, 1:8, 1.10, 0x1F, 1e3, yes, .nan, 2026-11-02, 12:30:45, '', "null"]
none: [~, null]
empty:
folded: >
  one
  two
nested: {mix: 1:4, "quoted key": {deep: [a, {b: c}]}}
list:
  - id: first
    value: 1
  - second
"""


def test_scalars_stay_the_text_that_was_written() -> None:
    data = read_text(MIXED, "f.yaml").data
    assert data == {
        "schema": "1",
        "plain": ["no", "010", "1:8", "1.10", "0x1F", "1e3", "yes", ".nan", "2026-11-02", "12:30:45", "", "null"],
        "none": [None, None],
        "empty": None,
        "folded": "one two\n",
        "nested": {"mix": "1:4", "quoted key": {"deep": ["a", {"b": "c"}]}},
        "list": [{"id": "first", "value": "1"}, "second"],
    }


@pytest.mark.parametrize(
    ("loc", "value", "key"),
    [
        (("schema",), (1, 9), (1, 1)),
        (("plain", 2), (2, 18), (2, 18)),
        (("nested", "quoted key", "deep", 1, "b"), (8, 49), (8, 46)),
        (("list", 0), (10, 5), (10, 5)),
        (("list", 0, "value"), (11, 12), (11, 5)),
        (("list", 1), (12, 5), (12, 5)),
        (("list", 0, "missing", "deeper"), (10, 5), (10, 5)),  # the nearest that exists
        ((), (1, 1), (1, 1)),
    ],
)
def test_places_count_from_one(loc: read.Loc, value: tuple[int, int], key: tuple[int, int]) -> None:
    source = read_text(MIXED, "f.yaml")
    assert source.place(loc) == value
    assert source.place(loc, key=True) == key


def test_columns_count_characters_not_bytes() -> None:
    source = read_text("schema: 1\ntitle: {½ é: x, b: y}\n".encode(), "f.yaml")
    assert source.place(("title", "b"), key=True) == (2, 17)


def test_windows_line_ends_change_nothing() -> None:
    assert read_text(MIXED.replace(b"\n", b"\r\n"), "f.yaml").data == read_text(MIXED, "f.yaml").data


def test_the_slow_reader_gives_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    fast = read_text(MIXED, "f.yaml")
    monkeypatch.setattr(read, "_LOADER", yaml.SafeLoader)
    slow = read_text(MIXED, "f.yaml")
    assert (slow.data, slow.marks) == (fast.data, fast.marks)


@pytest.mark.parametrize(
    ("raw", "says"),
    [
        (b"schema: 1\nab\xff: 2\n", "f.yaml:2:3: L003 the byte 0xFF is not UTF-8; expected the file saved as UTF-8"),
        ("schema: 1".encode("utf-16"), "f.yaml:1:1: L003 the file is written in UTF-16; expected UTF-8"),
        (
            b"#" * 1_000_001,
            "f.yaml:1:1: L002 the file has more than 1,000,000 bytes; expected a file under 1 MB",
        ),
        (b"a: [" + b"x," * 200_000 + b"]", "L006 more than 200,000 keys and values; expected a far smaller file"),
        (b"[" * 100_000, "f.yaml:1:1001: L006 more than 20 levels inside one another; expected far fewer"),
        (b"{a: " * 100_000, "f.yaml:1:81: L006 more than 20 levels inside one another; expected far fewer"),
        (b"a:\n" + b"- " * 100_000, "f.yaml:2:39: L006 more than 20 levels inside one another; expected far fewer"),
        (b"? " * 100_000, "f.yaml:1:3: L010 a mapping stands as a key; expected a word before the colon"),
        (b"a: !<x> 1\n", 'f.yaml:1:4: L009 the tag "x" is not read; expected the value without a tag'),
        (b"%YAML 1.1\n---\na: 1\n", "L009 a directive (%) stands before the document; expected none"),
        (b"a: 1\n...\nb\n", "L011 text stands after the end of the document; expected one document in a file"),
        (b"~: 1\n", "f.yaml:1:1: L010 a key is empty; expected a word before the colon"),
        (b"a: \x85\n", "L003 the byte 0x85 is not UTF-8; expected the file saved as UTF-8"),
        ("a: x\u2028y\n".encode(), "f.yaml:1:5: L004 the invisible character U+2028 stands here"),
        (b"a: x\x1b[31my\n", "f.yaml:1:5: L004 the invisible character U+001B stands here"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_what_cannot_be_read_says_why(raw: bytes, says: str) -> None:
    source = read_text(raw, "f.yaml")
    assert says in "\n".join(map(str, source.problems))


def alias_bomb(levels: int) -> bytes:
    """The classic: each level names the one before ten times, 10^levels in all if it were expanded."""
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x, x]"]
    lines += [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 10)}]" for n in range(1, levels)]
    return "\n".join(lines).encode()


HOSTILE = {
    "alias bomb": alias_bomb(30),
    "brackets": b"[" * 100_000,
    "braces": b"a: " + b"{" * 900_000,
    "closing brackets": b"]" * 900_000,
    "questions": b"? " * 400_000,
    "hyphens": b"- " * 450_000,
    "5 MB": b"a: 1\n" * 1_000_000,
    "many keys": b"".join(b"k%d: v\n" % n for n in range(90_000)),
    "one key": b"a: 1\n" * 199_000,
    "one long line": b"a: " + b"x" * 999_000,
    "one long key": b"x" * 999_000 + b": 1",
    "long quote": b"a: '" + b"''" * 400_000,
    "anchors": b"".join(b"k%d: &a%d v\n" % (n, n) for n in range(60_000)),
    "tags": b"".join(b"k%d: !t v\n" % n for n in range(60_000)),
    "tabs": b"\t" * 900_000,
    "NUL": b"\0" * 900_000,
    "comments": b"#\n" * 450_000,
    "colons": b":" * 900_000,
    "stars": b"*" * 900_000,
    "commas": b"a: [" + b"," * 900_000,
    "indents": b"".join(b" " * n + b"a:\n" for n in range(1000)),
    "spaces": b"a:" + b" " * 900_000 + b"1",
    "folded": b"a: >\n" + b"  x\n" * 200_000,
    "bad bytes": b"\xc3" * 900_000,
}


@pytest.mark.parametrize("raw", HOSTILE.values(), ids=HOSTILE.keys())
def test_hostile_file_costs_little(raw: bytes) -> None:
    start = time.process_time()
    source = read_text(raw, "f.yaml")
    # Measured: 0.9 s for the worst (90 000 keys) on a slow core; the bound leaves room for a slower one.
    assert time.process_time() - start < 5
    assert source.problems or source.data
    assert len(source.problems) <= read.MAX_PROBLEMS
    assert all(len(str(problem)) < 300 for problem in source.problems)


def test_an_alias_is_not_expanded() -> None:
    tracemalloc.start()
    source = read_text(alias_bomb(30), "f.yaml")
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert source.problems
    assert peak < 5_000_000  # [bytes]; expanded it would be 10^30


def test_paths_that_are_no_files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    said = [str(read_file(Path(name)).problems[0]) for name in ("none.yaml", ".", "a\0b")]
    assert said == [
        "none.yaml:1:1: L001 there is no such file; expected an existing YAML file",
        ".:1:1: L001 this is not a file; expected a YAML file",
        "a\0b:1:1: L001 there is no such file; expected an existing YAML file",
    ]


def test_messages_stay_on_one_line() -> None:
    source = read_text(b'"a\\nb\\x07c": 1\n"a\\nb\\x07c": 2\n', "f.yaml")
    assert [problem.message for problem in source.problems] == [
        'key "a b c" stands twice in one mapping, first on line 1; expected it once'
    ]
