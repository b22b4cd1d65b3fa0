"""Shared by all tests; that it stands here puts `tests/` on the import path, so that `builders` can be imported."""

from __future__ import annotations

import os
import shutil
import tempfile

import pytest


def pytest_configure(config: pytest.Config) -> None:
    """Results are kept in a folder of this run alone: nothing from another run decides what a test sees."""
    if "SPECGEN_CACHE" not in os.environ:
        os.environ["SPECGEN_CACHE"] = folder = tempfile.mkdtemp(prefix="specgen-tests-")
        # workers inherit the folder from the process that made it, and only that one takes it away
        config.add_cleanup(lambda: shutil.rmtree(folder, ignore_errors=True))
