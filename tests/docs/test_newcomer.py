"""The steps of DEVELOPERS.md for adding a material and a wall, followed to the letter in a fresh office library.

The files are the blocks of DEVELOPERS.md that stand under a comment `newcomer: PATH`; the commands are those under
`newcomer commands`.
"""

from __future__ import annotations

import re
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

from specgen.resources import shipped

GUIDE = (Path(__file__).parents[2] / "DEVELOPERS.md").read_text(encoding="utf-8")
FILES = re.findall(r"<!-- newcomer: (\S+) -->\s*```yaml\n(.*?)```", GUIDE, flags=re.DOTALL)
COMMANDS = re.findall(r"<!-- newcomer commands -->\s*```sh\n(.*?)```", GUIDE, flags=re.DOTALL)


def test_a_newcomer_adds_a_material_and_a_wall(tmp_path: Path) -> None:
    assert len(FILES) >= 2 and COMMANDS, "DEVELOPERS.md lost its steps"
    shutil.copytree(shipped("assemblies"), tmp_path / "assemblies")
    for name, text in FILES:
        target = tmp_path / name
        assert not target.exists(), f"{name} is already in the shipped library"
        target.write_text(text, encoding="utf-8")
    for line in COMMANDS[0].strip().splitlines():
        words = shlex.split(line, comments=True)
        assert words[0] == "specgen"
        command = [sys.executable, "-m", "specgen.cli", *words[1:]]
        result = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, check=False, timeout=120)
        assert result.returncode == 0, f"{line}\n{result.stdout}{result.stderr}"
    written = {path.suffix for path in (tmp_path / "out").iterdir()}
    assert {".svg", ".pdf"} <= written
