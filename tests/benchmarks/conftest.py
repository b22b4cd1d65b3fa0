"""Benchmarks run the cases of the transient tests; named runs only: `pytest -m long tests/benchmarks -s`."""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "physics" / "transient"))
