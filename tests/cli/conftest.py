"""The demo set, issued once for all tests of the command line that look at it."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

import pytest


@dataclass(frozen=True)
class Issued:
    """What `specgen issue demo` said, and the empty folder that it ran in."""

    result: subprocess.CompletedProcess[str]
    folder: Path


@pytest.fixture(scope="session")
def issued_demo(tmp_path_factory: pytest.TempPathFactory) -> Issued:
    folder = tmp_path_factory.mktemp("demo")
    command = [sys.executable, "-m", "specgen.cli", "issue", "demo"]
    environment = os.environ | {"PYTHONHASHSEED": "1"}
    result = subprocess.run(
        command, cwd=folder, capture_output=True, text=True, check=False, timeout=240, env=environment
    )
    return Issued(result, folder)
