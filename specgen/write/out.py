"""The one module that touches the disk for writing: whole files or whole sets, or nothing.

A file is written beside its place and moved over it; a set is written into a folder of its own and that folder
takes the place of the earlier one, so a reader never sees half of either.
"""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path, PurePosixPath

from specgen.errors import OutputError
from specgen.resources import inside


def write_file(folder: Path, name: str, content: bytes) -> Path:
    """Write one document and return its path; an earlier one of that name is replaced in one step.

    Raises
    ------
    OutputError
        If the folder cannot be made or written, or the name leads out of it; the earlier file still stands.
    """
    target = folder / _safe(name)
    if not inside(target.parent, folder):
        raise OutputError(f"{target}: a link leads out of {folder}; nothing was written")
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        handle, temporary = tempfile.mkstemp(prefix=".", suffix=".part", dir=target.parent)
    except OSError as error:
        raise OutputError(f"{target}: cannot be written ({_reason(error, folder)}); nothing was changed") from None
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(content)
        os.chmod(temporary, 0o666 & ~_umask())
        os.replace(temporary, target)
    except OSError as error:
        Path(temporary).unlink(missing_ok=True)
        raise OutputError(f"{target}: cannot be written ({_reason(error, folder)}); nothing was changed") from None
    return target


def write_set(folder: Path, files: Mapping[str, bytes]) -> tuple[Path, ...]:
    """Write all files of a set as the new content of `folder`; the earlier content goes only when all are written.

    Parameters
    ----------
    folder : Path
        The set's own folder; whatever it held before is replaced as a whole.
    files : mapping of str to bytes
        Relative name with `/` between folders, and content.

    Returns
    -------
    paths : tuple of Path
        Where the files now stand, in the order of `files`.

    Raises
    ------
    OutputError
        If anything cannot be written; the earlier set still stands complete.
    """
    names = [_safe(name) for name in files]
    if folder.exists() and not _is_ours(folder):
        raise OutputError(f"{folder}: holds files that are not an issued set; choose another folder with -o")
    staged: Path | None = None
    retired: Path | None = None
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        staged = Path(tempfile.mkdtemp(prefix=f".{folder.name}-", dir=folder.parent))
        for name, content in zip(names, files.values(), strict=True):
            path = staged / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(content)
        os.chmod(staged, 0o777 & ~_umask())
        if folder.exists():
            retired = Path(tempfile.mkdtemp(prefix=f".{folder.name}-", dir=folder.parent))
            os.replace(folder, retired / "earlier")
        try:
            os.replace(staged, folder)
        except OSError:
            if retired is not None:
                os.replace(retired / "earlier", folder)
            raise
    except OSError as error:
        raise OutputError(
            f"{folder}: cannot be written ({_reason(error, folder)}); the earlier set still stands"
        ) from None
    finally:
        for leftover in (staged, retired):
            if leftover is not None:
                shutil.rmtree(leftover, ignore_errors=True)
    return tuple(folder / name for name in names)


def write_new(folder: Path, files: Mapping[str, bytes]) -> tuple[Path, ...]:
    """Write files and folders that are not there yet, all of them or none.

    Parameters
    ----------
    folder : Path
        Made if it is not there; what it holds already stays, under other names.
    files : mapping of str to bytes
        Relative name with `/` between folders, and content.

    Returns
    -------
    paths : tuple of Path
        Where the files now stand, in the order of `files`.

    Raises
    ------
    OutputError
        If a file or folder of one of the names exists, even as a dead link, or anything cannot be written; nothing
        stays behind.
    """
    targets = [folder / _safe(name) for name in files]
    for first in dict.fromkeys(PurePosixPath(name).parts[0] for name in files):
        if os.path.lexists(folder / first):
            raise OutputError(f"{folder / first}: exists already; nothing was written")
    made: list[Path] = []  # in the order in which they were made, so that they can go in the other
    try:
        for target, content in zip(targets, files.values(), strict=True):
            for parent in reversed([target.parent, *target.parent.parents]):
                if not parent.exists():
                    parent.mkdir()
                    made.append(parent)
            with target.open("xb") as stream:  # fails if someone else made it meanwhile
                made.append(target)
                stream.write(content)
    except OSError as error:
        for path in reversed(made):
            with suppress(OSError):  # a folder that someone else has filled meanwhile stays
                path.rmdir() if path.is_dir() else path.unlink()
        raise OutputError(f"{folder}: cannot be written ({_reason(error, folder)}); nothing was written") from None
    return tuple(targets)


CONTENTS_NAME = "contents.txt"  # every issued set holds it; a folder without it is not ours to replace


def _reason(error: OSError, folder: Path) -> str:
    """What the system said, or, where it only says that a name exists, which file stands in the way of a folder."""
    for path in (folder, *folder.parents):
        if path.is_file():
            return f"{path} is a file, not a folder"
    return error.strerror or str(error)


def _is_ours(folder: Path) -> bool:
    return folder.is_dir() and ((folder / CONTENTS_NAME).is_file() or not any(folder.iterdir()))


def _safe(name: str) -> str:
    """The name, refused if it would leave its folder."""
    path = PurePosixPath(name)
    if path.is_absolute() or ".." in path.parts or not path.parts or "\\" in name or "\0" in name:
        raise OutputError(f"{name!r} is not a file name inside the output folder")
    return name


def _umask() -> int:
    current = os.umask(0)
    os.umask(current)
    return current
