"""Lint, format and strict types are part of the tests, so that one command says whether the tree is clean."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]


@pytest.mark.parametrize(
    "command",
    [["ruff", "check", "."], ["ruff", "format", "--check", "."], ["mypy"]],
    ids=["lint", "format", "types"],
)
def test_tree_is_clean(command: list[str]) -> None:
    result = subprocess.run([sys.executable, "-m", *command], cwd=ROOT, capture_output=True, text=True, check=False)
    assert result.returncode == 0, result.stdout + result.stderr
