"""Where shipped templates and assemblies stand, beside the package or inside it in a wheel; and what a folder holds."""

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


def inside(path: Path, folder: Path) -> bool:
    """Whether a path, every link followed, still lies in a folder; links that go in a circle lie nowhere."""
    try:
        return path.resolve().is_relative_to(folder.resolve())
    except (OSError, RuntimeError):
        return False
