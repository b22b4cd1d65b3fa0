"""Random mutations of every shipped file: the loader gives a wall or an input error, and nothing else, ever."""

from __future__ import annotations

import math
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from specgen import resources
from specgen.errors import InputError, SpecgenError
from specgen.library.codes import Code
from specgen.library.jurisdictions import load_jurisdictions
from specgen.library.load import Library, load_project, load_wall_file, open_library
from specgen.library.read import read_text
from specgen.model.wall import Wall

ASSEMBLIES = resources.shipped("assemblies")
SHIPPED = {
    path.relative_to(ASSEMBLIES).as_posix(): path.read_bytes()
    for path in sorted(ASSEMBLIES.rglob("*.yaml"))
    if path.parent.name != "schema"
}
CODES = {code.value for code in Code}
NEWLINES = b"\n"

# Values that readers of numbers, dates, words and paths trip over.
AWKWARD = [
    "", " ", "0", "-1", "-0 in", "1/0 in", "1e308 in", "1e-320 in", "inf in", "nan", ".inf", "1e999 perm", "9" * 400,
    "5/8 in", "5/8", "16 mm", "0.0 mm", "2x6", "2x7", "10'-6\"", "½ in", "½½", "٣ in", "R-13", "R-", "R--5", "-R-5",
    "10 perm", "40 F", "-500 F", "48 h", "100%", "-5%", "%", "null", "~", "true", "yes", "no", "on", "1:8", "010",
    "2026-02-30", "0000-00-00", "9999-12-31", "2026-11-02T00:00", "fragments/none", "fragments/../x", "fragments/",
    "../../etc/passwd", "sheathing-exterior", "-exterior", "wrb", "not known", "7", "8", "2A", "W1", "w 1", "x" * 3000,
    "a\nb", "a\tb", "\u202e", "\U0001f9f1", "é", "<<", "*a", "&a", "!!int 3", "{{ x }}", "${x}", "\\", "'", '"',
]  # fmt: skip
KEYS = [
    "id", "use", "material", "thickness", "place", "variant", "content_hash", "schema", "layers", "fill", "note",
    "title", "framing", "cavity", "", "layers.0", "remove", "also", "variants", "model_config", "__class__",
]  # fmt: skip

scalars = st.one_of(st.sampled_from(AWKWARD), st.text(max_size=12), st.none())
trees = st.recursive(
    scalars,
    lambda inner: st.one_of(
        st.lists(inner, max_size=3),
        st.dictionaries(st.one_of(st.sampled_from(KEYS), st.text(max_size=6)), inner, max_size=3),
    ),
    max_leaves=6,
)


@dataclass(frozen=True)
class Mutation:
    """One change, drawn once and applied where the file has something to change."""

    kind: str
    at: int
    to: int
    value: Any


mutations = st.builds(
    Mutation,
    kind=st.sampled_from(
        ["delete line", "repeat line", "swap lines", "cut", "insert bytes", "change byte", "truncate", "indent"]
        + ["replace", "drop", "repeat", "rename", "inject", "swap", "empty", "wrap"] * 2
    ),
    at=st.integers(0, 10**6),
    to=st.integers(0, 10**6),
    value=trees,
)


def mutated(raw: bytes, changes: list[Mutation]) -> bytes:
    """The file after the changes of its nodes, then those of its bytes."""
    node_changes = [change for change in changes if change.kind in NODE_CHANGES]
    if node_changes:
        data = read_text(raw, "f.yaml").data
        for change in node_changes:
            NODE_CHANGES[change.kind](nodes_of(data), change)
        text: str = yaml.safe_dump(data, sort_keys=False, allow_unicode=True)
        raw = text.encode("utf-8", "surrogatepass")
    for change in changes:
        if change.kind not in NODE_CHANGES:
            raw = change_bytes(raw, change)
    return raw


def change_bytes(raw: bytes, change: Mutation) -> bytes:
    lines = raw.split(NEWLINES)
    at, to = change.at % len(lines), change.to % len(lines)
    spot = change.at % (len(raw) + 1)
    new = repr(change.value).encode("utf-8", "replace") if change.to % 2 else bytes([change.to % 256])
    match change.kind:
        case "delete line":
            del lines[at]
        case "repeat line":
            lines.insert(to, lines[at])
        case "swap lines":
            lines[at], lines[to] = lines[to], lines[at]
        case "indent":
            lines[at] = b" " * (change.to % 7) + lines[at].lstrip()
        case "cut":
            return raw[:spot] + raw[spot + change.to % 40 :]
        case "truncate":
            return raw[:spot]
        case "change byte":
            return raw[:spot] + new[:1] + raw[spot + 1 :]
        case _:
            return raw[:spot] + new + raw[spot:]
    return NEWLINES.join(lines)


Node = tuple[Any, Any]  # container and key or index


def nodes_of(data: Any) -> list[Node]:
    """Every value of the tree by what holds it."""
    nodes: list[Node] = []
    items = list(data.items()) if isinstance(data, dict) else list(enumerate(data)) if isinstance(data, list) else []
    for key, value in items:
        nodes.append((data, key))
        nodes += nodes_of(value)
    return nodes


def _replace(nodes: list[Node], change: Mutation) -> None:
    if nodes:
        container, key = nodes[change.at % len(nodes)]
        container[key] = change.value


def _drop(nodes: list[Node], change: Mutation) -> None:
    if nodes:
        container, key = nodes[change.at % len(nodes)]
        del container[key]


def _repeat(nodes: list[Node], change: Mutation) -> None:
    lists = [(container, key) for container, key in nodes if isinstance(container, list)]
    if lists:
        container, key = lists[change.at % len(lists)]
        container.append(container[key])


def _rename(nodes: list[Node], change: Mutation) -> None:
    mappings = [(container, key) for container, key in nodes if isinstance(container, dict)]
    if mappings:
        container, key = mappings[change.at % len(mappings)]
        container[KEYS[change.to % len(KEYS)]] = container.pop(key)


def _inject(nodes: list[Node], change: Mutation) -> None:
    mappings = [container for container, _ in nodes if isinstance(container, dict)]
    if mappings:
        mappings[change.at % len(mappings)][KEYS[change.to % len(KEYS)]] = change.value


def _swap(nodes: list[Node], change: Mutation) -> None:
    leaves = [(container, key) for container, key in nodes if not isinstance(container[key], dict | list)]
    if leaves:
        (one, a), (two, b) = leaves[change.at % len(leaves)], leaves[change.to % len(leaves)]
        one[a], two[b] = two[b], one[a]


def _empty(nodes: list[Node], change: Mutation) -> None:
    if nodes:
        container, key = nodes[change.at % len(nodes)]
        container[key] = (None, [], {}, "")[change.to % 4]


def _wrap(nodes: list[Node], change: Mutation) -> None:
    if nodes:
        container, key = nodes[change.at % len(nodes)]
        container[key] = [container[key]] if change.to % 2 else {"id": container[key]}


NODE_CHANGES: dict[str, Callable[[list[Node], Mutation], None]] = {
    "replace": _replace, "drop": _drop, "repeat": _repeat, "rename": _rename, "inject": _inject, "swap": _swap,
    "empty": _empty, "wrap": _wrap,
}  # fmt: skip


@pytest.fixture(scope="module")
def library() -> Library:
    shipped = open_library()
    assert shipped.materials
    return shipped


def load_mutated(name: str, raw: bytes, folder: Path, library: Library) -> tuple[Wall, ...]:
    """Load one file of the library as if `raw` stood in its place; the walls that come of it."""
    kind = name.split("/")[0]
    path = folder / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(raw)
    if kind == "demo":
        if path.stem == "jurisdictions":
            load_jurisdictions(path)
        else:
            load_project(path, library)
        return ()
    if kind == "materials":
        try:
            assert Library(folder).materials
        finally:
            path.unlink()  # each material file is read alone
        return ()
    if kind == "fragments":
        own = Library(folder)
        own.__dict__["materials"] = library.materials
        text = f"fragments/{path.stem}".encode()
        users = [wall for wall in SHIPPED if text in SHIPPED[wall] and not wall.startswith("fragments")]
        try:
            return tuple(wall for user in users[:1] for wall in load_wall_file(ASSEMBLIES / user, own))
        finally:
            path.write_bytes(SHIPPED[name])
    return load_wall_file(path, library)


def check_one(name: str, changes: list[Mutation], folder: Path, library: Library) -> None:
    raw = mutated(SHIPPED[name], changes)
    try:
        walls = load_mutated(name, raw, folder, library)
    except InputError as error:
        for problem in error.problems:
            assert problem.code in CODES
            assert 1 <= problem.line <= raw.count(b"\n") + raw.count(b"\r") + 2 or problem.file.count(name) == 0
            assert problem.column >= 1
            assert problem.message.isprintable() and problem.message == " ".join(problem.message.split())
            assert "expected" in problem.message or "did you mean" in problem.message, problem.message
            assert len(problem.message) < 1500
    except SpecgenError:
        pass
    else:
        for wall in walls:
            assert_whole(wall)


def assert_whole(wall: Wall) -> None:
    """What every later stage takes for granted of a wall."""
    names = [layer.id for layer in wall.layers] + [part.id for layer in wall.layers for part in layer.embedded]
    assert len(set(names)) == len(names) > 0
    assert all(math.isfinite(face) for face in wall.faces)
    assert 0 <= wall.datum_position <= wall.thickness <= 1.2
    assert all(layer.main_material or layer.cavity for layer in wall.layers)
    assert all(name in names for step in wall.installation for name in step.layers)
    assert wall.openings is None or wall.layer(wall.openings.flange_plane)
    assert Wall.model_validate(wall.model_dump()).model_dump() == wall.model_dump()
    assert len(wall.content_hash) == 64


QUIET = [HealthCheck.too_slow, HealthCheck.function_scoped_fixture, HealthCheck.data_too_large]
draws = {"name": st.sampled_from(sorted(SHIPPED)), "changes": st.lists(mutations, min_size=1, max_size=3)}


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("assemblies")
    shutil.copytree(ASSEMBLIES / "fragments", folder / "fragments")
    return folder


@given(**draws)
@settings(max_examples=150, deadline=None, suppress_health_check=QUIET, derandomize=True, database=None)
def test_mutated_file_gives_a_wall_or_an_input_error(
    name: str, changes: list[Mutation], folder: Path, library: Library
) -> None:
    check_one(name, changes, folder, library)


@pytest.mark.long
@given(**draws)
@settings(max_examples=10_000, deadline=None, suppress_health_check=QUIET, database=None)
def test_ten_thousand_mutated_files(name: str, changes: list[Mutation], folder: Path, library: Library) -> None:
    check_one(name, changes, folder, library)


def test_unchanged_files_load(folder: Path, library: Library) -> None:
    for name, raw in SHIPPED.items():
        load_mutated(name, raw, folder, library)


def test_variants_of_shipped_walls_resolve(library: Library) -> None:
    walls = list(library.walls())
    assert {wall.variant for wall in walls if wall.variant} == {name for wall in walls for name in wall.variants}
    for wall in walls:
        assert_whole(wall)
        assert library.wall(wall.id, wall.variant) is wall


def test_load_after_load_of_shipped_walls_is_identical(library: Library) -> None:
    assert list(open_library().walls()) == list(library.walls())
