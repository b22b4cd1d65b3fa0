"""Every public function says what it is; the parameters it lists are those it takes, each number with its unit."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[2] / "specgen"
MODULES = sorted(PACKAGE.rglob("*.py"))
ENTRY = re.compile(r"^(\w+(?:, \w+)*) : (.+)$")


def public_functions(path: Path) -> list[ast.FunctionDef]:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    return [node for node in tree.body if isinstance(node, ast.FunctionDef) and not node.name.startswith("_")]


def section(docstring: str, title: str) -> list[str]:
    """Lines of one numpy-style section of a docstring."""
    lines = docstring.splitlines()
    for index, line in enumerate(lines[:-1]):
        if line.strip() == title and set(lines[index + 1].strip()) == {"-"}:
            body = []
            for later, text in enumerate(lines[index + 2 :], start=index + 2):
                if later + 1 < len(lines) and text.strip() and set(lines[later + 1].strip()) == {"-"}:
                    break
                body.append(text)
            return body
    return []


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_module_and_public_names_are_described(path: Path) -> None:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    if tree.body:
        assert ast.get_docstring(tree), "a module starts with what it takes and gives"
    for function in public_functions(path):
        assert ast.get_docstring(function), f"{function.name} has no docstring"


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_parameters_equal_the_signature_and_numbers_have_units(path: Path) -> None:
    for function in public_functions(path):
        lines = section(ast.get_docstring(function) or "", "Parameters")
        if not lines:
            continue
        entries: dict[str, list[str]] = {}
        names: list[str] = []
        for line in lines:
            entry = ENTRY.match(line)
            if entry:
                names = entry.group(1).split(", ")
                entries |= {name: [entry.group(2)] for name in names}
            else:
                for name in names:
                    entries[name].append(line)
        arguments = [a.arg for a in [*function.args.posonlyargs, *function.args.args, *function.args.kwonlyargs]]
        assert list(entries) == arguments, f"{function.name}: docstring and signature differ"
        for name, text in entries.items():
            if re.search(r"\bfloat\b", text[0]) and "mapping" not in text[0] and "dict" not in text[0]:
                assert re.search(r"\[[^\]]+\]", " ".join(text)), f"{function.name}: {name} is a number without a unit"
