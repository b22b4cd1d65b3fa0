"""Where the shipped templates and assemblies stand: beside the package in a checkout, inside it in a wheel."""

from __future__ import annotations

from pathlib import Path


def shipped(name: str) -> Path:
    """The folder `templates` or `assemblies` that came with this installation.

    Raises
    ------
    FileNotFoundError
        If the installation is incomplete.
    """
    package = Path(__file__).parent
    for folder in (package / "shipped" / name, package.parent / name):
        if folder.is_dir():
            return folder
    raise FileNotFoundError(f"the folder {name!r} is missing from this installation of specgen")
