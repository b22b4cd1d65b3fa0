"""JSON Schemas: current, well-formed, and in agreement with the loader about every file we ship."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml

from specgen.library.schema import file_name, json_schemas, schema_text

ROOT = Path(__file__).parent.parent.parent
ASSEMBLIES = ROOT / "assemblies"
FILES = Path(__file__).parent / "files"
SCHEMAS = json_schemas()


class EditorLoader(yaml.SafeLoader):
    """YAML as an editor reads it, by the core schema of YAML 1.2.2, section 10.3.2: no dates, no yes and no."""


EditorLoader.yaml_implicit_resolvers = {}
for tag, pattern, first in (
    ("bool", r"true|True|TRUE|false|False|FALSE", "tTfF"),
    ("null", r"~|null|Null|NULL|", "~nN\0"),
    ("int", r"[-+]?[0-9]+|0o[0-7]+|0x[0-9a-fA-F]+", "-+0123456789"),
    (
        "float",
        r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?|[-+]?\.(inf|Inf|INF)|\.(nan|NaN|NAN)",
        "-+.0123456789",
    ),
):  # fmt: skip
    EditorLoader.add_implicit_resolver(f"tag:yaml.org,2002:{tag}", re.compile(f"^(?:{pattern})$"), list(first))
EditorLoader.add_constructor("tag:yaml.org,2002:int", lambda loader, node: int(str(node.value), 10))
EditorLoader.add_constructor("tag:yaml.org,2002:float", lambda loader, node: float(str(node.value)))


def kind_of(path: Path) -> str:
    if path.parent.name in ("materials",):
        return "materials"
    if path.parent.name == "fragments":
        return "fragment"
    if path.stem == "jurisdictions":
        return "jurisdictions"
    return "project" if path.stem.startswith("project") else "wall"


SHIPPED = sorted(
    path
    for folder in (ASSEMBLIES, FILES)
    for path in folder.rglob("*.yaml")
)  # fmt: skip


@pytest.mark.parametrize("name", SCHEMAS)
def test_committed_schema_is_current(name: str) -> None:
    committed = (ASSEMBLIES / "schema" / file_name(name)).read_text(encoding="utf-8")
    assert committed == schema_text(SCHEMAS[name]), f"run: specgen schema {name} > assemblies/schema/{file_name(name)}"


@pytest.mark.parametrize("name", SCHEMAS)
def test_schema_is_a_schema_for_old_readers_too(name: str) -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMAS[name])
    keywords = set(keys_of(SCHEMAS[name]))
    newer = {"unevaluatedProperties", "unevaluatedItems", "$dynamicRef", "prefixItems", "dependentRequired", "$anchor"}
    assert not keywords & newer


def keys_of(node: Any) -> list[str]:
    if isinstance(node, dict):
        return [*node, *(key for value in node.values() for key in keys_of(value))]
    return [key for value in node for key in keys_of(value)] if isinstance(node, list) else []


@pytest.mark.parametrize("name", SCHEMAS)
def test_every_mapping_refuses_keys_it_does_not_know(name: str) -> None:
    schema = SCHEMAS[name]
    mappings = [schema, *schema["$defs"].values()]
    assert all(node["additionalProperties"] is False for node in mappings if node.get("type") == "object")


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_file_agrees_with_its_schema(path: Path) -> None:
    data = yaml.load(path.read_text(encoding="utf-8"), Loader=EditorLoader)
    validator = jsonschema.Draft202012Validator(SCHEMAS[kind_of(path)])
    errors = [
        f"{'/'.join(map(str, error.absolute_path))}: {error.message[:200]}" for error in validator.iter_errors(data)
    ]
    assert errors == []


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_first_line_tells_the_editor_the_schema(path: Path) -> None:
    first = path.read_text(encoding="utf-8").splitlines()[0]
    match = re.fullmatch(r"# yaml-language-server: \$schema=(\S+)", first)
    assert match, first
    target = (path.parent / match[1]).resolve()
    assert target == ASSEMBLIES / "schema" / file_name(kind_of(path))


@pytest.mark.parametrize(
    ("name", "edit", "path"),
    [
        ("framed/small.yaml", ("construction: framed", "construction: frame"), ["construction"]),
        ("framed/small.yaml", ("thickness: 7/16 in", "thicknes: 7/16 in"), ["layers", 4]),
        ("framed/small.yaml", ("use: fragments/interior", "use: interior"), ["layers", 6]),
        ("framed/small.yaml", ("schema: 1", "schema: 2"), ["schema"]),
        ("framed/small.yaml", ("zones: [2A, 3A]", "zones: [2A, 9]"), ["suits"]),
        ("fragments/interior.yaml", ("coats: 2", "coats: 2.5"), ["layers", 1, "coats"]),
        ("materials/all.yaml", ("absorptive: true", "absorptive: yes"), ["materials", 0, "absorptive"]),
    ],
    ids=lambda value: value[1] if isinstance(value, tuple) else "",
)
def test_an_editor_sees_a_slip(name: str, edit: tuple[str, str], path: list[str | int]) -> None:
    text = (FILES / "office" / name).read_text(encoding="utf-8").replace(*edit, 1)
    validator = jsonschema.Draft202012Validator(SCHEMAS[kind_of(Path(name))])
    errors = list(validator.iter_errors(yaml.load(text, Loader=EditorLoader)))
    assert [list(error.absolute_path) for error in errors] == [path]


def test_text_that_looks_like_a_number_passes() -> None:
    text = (FILES / "office/framed/small.yaml").read_text(encoding="utf-8")
    text = (
        text.replace("mix: 1:4", "mix: 1.10")
        .replace("zones: [2A, 3A]", "zones: [7, 8]")
        .replace("note: membrane thickened", "note: 7")
    )
    data = yaml.load(text, Loader=EditorLoader)
    assert data["suits"]["zones"] == [7, 8] and data["layers"][1]["mix"] == 1.1
    jsonschema.Draft202012Validator(SCHEMAS["wall"]).validate(data)


def test_schema_file_is_json_with_its_name() -> None:
    for name, schema in SCHEMAS.items():
        assert json.loads(schema_text(schema)) == schema
        assert schema["$id"] == file_name(name)
        assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
