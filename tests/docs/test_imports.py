"""Imports point one way: the folder list is the pipeline, and no stage reaches back."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[2] / "specgen"
LEAVES = {"units", "errors", "data", "resources", "cache"}  # conversions, errors, tables, folders, kept results
MAY_IMPORT = {
    "units": set(),
    "errors": set(),
    "resources": set(),
    "cache": set(),
    "data": {"errors"},
    "model": {"units"},
    "physics": {"units", "errors"},
    "library": {"model", *LEAVES},
    "checks": {"physics", "model", *LEAVES},
    "review": {"checks", "model", *LEAVES},
    "takeoff": {"model", *LEAVES},
    "drawing": {"model", *LEAVES},
    "documents": {"review", "checks", "drawing", "takeoff", "model", *LEAVES},
    "write": {"documents", "checks", "drawing", "model", *LEAVES},
}
STAGES = [path for path in sorted(PACKAGE.rglob("*.py")) if path.name not in ("cli.py",) and path.parent != PACKAGE]


def imported_stages(path: Path) -> set[str]:
    stages = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        names = []
        if isinstance(node, ast.ImportFrom) and node.module:
            names = [node.module] if node.module != "specgen" else [f"specgen.{alias.name}" for alias in node.names]
        elif isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        stages |= {name.split(".")[1] for name in names if name.startswith("specgen.")}
    return stages


@pytest.mark.parametrize("path", STAGES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_no_arrow_points_back(path: Path) -> None:
    stage = path.relative_to(PACKAGE).parts[0]
    assert imported_stages(path) <= MAY_IMPORT[stage] | {stage}


def test_physics_prints_no_text_and_drawing_no_physics() -> None:
    assert "documents" not in MAY_IMPORT["drawing"] and "checks" not in MAY_IMPORT["drawing"]
    assert "model" not in MAY_IMPORT["physics"]


HEAVY = {"shapely", "reportlab", "fontTools", "numpy", "svgwrite", "jinja2", "yaml", "pydantic"}


def test_command_line_starts_without_heavy_imports() -> None:
    tree = ast.parse((PACKAGE / "cli.py").read_text(encoding="utf-8"))
    top = {alias.name for node in tree.body if isinstance(node, ast.Import) for alias in node.names}
    top |= {node.module or "" for node in tree.body if isinstance(node, ast.ImportFrom)}
    assert not {name.split(".")[0] for name in top} & HEAVY
    assert {name for name in top if name.startswith("specgen")} <= {"specgen.errors", "specgen"}
