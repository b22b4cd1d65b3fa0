"""The files of a new office library: walls in review, materials, schemas, files to fill in, templates to override.

Walls, fragments, materials and schemas are those of the shipped library, edited as text so that comments stay; the
approval of the invented demo office stays behind. What is the office's own comes from `templates/starter/`.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterator
from pathlib import Path

from specgen.library.load import CONSTRUCTIONS
from specgen.resources import shipped

LIBRARY = "assemblies"  # the folder that commands look for where they are called
# Shipped texts that offices word or number in their own way; every other template can be overridden alike.
OVERRIDDEN = ("spec/section_numbers.yaml", "crew/messages.en.yaml")

_STATUS = re.compile(r"^status: approved\b", re.MULTILINE)
_APPROVAL = re.compile(r"^approval:.*\n(?:[ ].*\n)*", re.MULTILINE)
_OVERRIDE_NOTE = """\
# The office's own copy. A line changed here prints as it stands here; a line taken out prints as it shipped, and so
# follows later versions. Delete this file to have all of the shipped texts back.
#
"""


def starter_files(today: datetime.date) -> dict[str, bytes]:
    """Name and content of every file of a new office library.

    Parameters
    ----------
    today : date
        Date of the project file.

    Raises
    ------
    FileNotFoundError
        If the installation is incomplete.
    """
    starter = shipped("templates") / "starter"
    project = (starter / "project.yaml").read_text(encoding="utf-8").replace("{today}", today.isoformat())
    return {
        ".gitignore": (starter / "gitignore").read_bytes(),
        "project.yaml": project.encode(),
        "jurisdictions.yaml": (starter / "jurisdictions.yaml").read_bytes(),
        **dict(_library_files(shipped("assemblies"))),
        f"{LIBRARY}/materials/house.yaml": (starter / "house-materials.yaml").read_bytes(),
        **{f"templates/{name}": _override(shipped("templates") / name) for name in OVERRIDDEN},
    }


def next_steps(folder: Path) -> tuple[str, ...]:
    """What to do in the new library, one line each."""
    place = "Here" if folder == Path() else f"In {folder.as_posix()}"
    return (
        f"{place}, check every wall in the zones it claims: specgen check",
        "Fill in project.yaml where it says enter, then issue the set, marked DRAFT: specgen issue project.yaml",
        "Where a state or city amends the code, write its limits into jurisdictions.yaml and name it in project.yaml.",
        "Review the walls in assemblies/; one that the office approves gets status: approved and approval: {by, date}.",
    )


def in_review(text: str) -> str:
    """A wall file with its approval taken back, every other line as it was."""
    return _APPROVAL.sub("", _STATUS.sub("status: in-review", text))


def _library_files(folder: Path) -> Iterator[tuple[str, bytes]]:
    for construction in CONSTRUCTIONS:
        for path in sorted(folder.glob(f"{construction}/*.yaml")):
            yield f"{LIBRARY}/{construction}/{path.name}", in_review(path.read_text(encoding="utf-8")).encode()
    for part, ending in (("fragments", "yaml"), ("materials", "yaml"), ("schema", "json")):
        for path in sorted(folder.glob(f"{part}/*.{ending}")):
            yield f"{LIBRARY}/{part}/{path.name}", path.read_bytes()


def _override(path: Path) -> bytes:
    return _OVERRIDE_NOTE.encode() + path.read_bytes()
