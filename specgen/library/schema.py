"""JSON Schemas of the file formats, for editors: from the same models that the loader checks with.

An editor reads YAML 1.2, so that it sees numbers where we keep the text that was written; a text field therefore
takes a number as well, and a word such as zone 7 is listed as text and as number. What needs two places to be judged
(ids, references, geometry) is left to the loader. Kept to keywords that draft-07 readers know.
"""

from __future__ import annotations

import json
from typing import Any

from specgen.library.format import SCHEMA, FragmentFile, MaterialFile, WallFile
from specgen.model.base import Part
from specgen.model.jurisdiction import JurisdictionFile
from specgen.model.project import Project

DIALECT = "https://json-schema.org/draft/2020-12/schema"
_TITLES: dict[str, tuple[type[Part], str]] = {
    "wall": (WallFile, "A wall"),
    "fragment": (FragmentFile, "A fragment: layers, steps or cautions that several walls share"),
    "materials": (MaterialFile, "Materials of one kind"),
    "project": (Project, "A project"),
    "jurisdictions": (JurisdictionFile, "Limits of states and cities in place of the model energy code"),
}


def json_schemas() -> dict[str, dict[str, Any]]:
    """The schema of each kind of file by name: wall, fragment, materials, project, jurisdictions."""
    schemas: dict[str, dict[str, Any]] = {}
    for name, (model, title) in _TITLES.items():
        body = _for_editors(model.model_json_schema(by_alias=True))
        body["properties"]["schema"] = {"const": SCHEMA, "description": "Number of the file format."}
        head = {"$schema": DIALECT, "$id": file_name(name), "title": title}
        schemas[name] = head | {key: value for key, value in body.items() if key != "title"}
    return schemas


def file_name(name: str) -> str:
    """Name of the schema's file in assemblies/schema/."""
    return f"{name}.schema.json"


def schema_text(schema: dict[str, Any]) -> str:
    """A schema as its file holds it."""
    return json.dumps(schema, indent=2, ensure_ascii=False) + "\n"


def _for_editors(node: Any, named: bool = False) -> Any:
    """The schema without titles made from names, empty defaults, and with numbers where a text may look like one.

    `named`: the keys of `node` are names of ours (properties, definitions), not keywords.
    """
    if isinstance(node, list):
        return [_for_editors(item) for item in node]
    if not isinstance(node, dict):
        return node
    if named:
        return {key: _for_editors(value) for key, value in node.items()}
    kept = {key: value for key, value in node.items() if key != "title" and (key, value) != ("default", None)}
    if "enum" in kept:
        numbers = [int(word) for word in kept["enum"] if isinstance(word, str) and word.isdecimal()]
        kept["enum"] = [*kept["enum"], *numbers]
        if numbers:
            kept.pop("type", None)
    return {
        key: value if key in ("enum", "examples", "default") else _for_editors(value, key in ("properties", "$defs"))
        for key, value in kept.items()
    }
