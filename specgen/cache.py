"""Results that take time to compute, kept by the content they came from: in memory, and in a folder of the user.

A key is the hash of everything that the result depends on: the data that went in and the version of the method. So a
stored result is never wrong, only unused; nothing has to be cleared after a change. A folder that cannot be read or
written, or a damaged file, costs the time to compute again and nothing else.

The folder is `$SPECGEN_CACHE`, else `$XDG_CACHE_HOME/specgen`, else `~/.cache/specgen`; `SPECGEN_CACHE=off` keeps
nothing on disk.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

MOST_FILES = 4000  # of one kind; the ones longest unused are removed beyond that [-]
OFF = "off"

_memory: dict[tuple[str, str], bytes] = {}


def content_key(*parts: Any) -> str:
    """Hash of what a result depends on: numbers, texts, lists and dicts of them; floats count with all their digits.

    Raises
    ------
    TypeError
        If a part is none of these.
    """
    text = json.dumps(parts, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()


def source_digest(*files: str | None) -> str:
    """Hash of source files: part of a key, so that a result goes out of use with the code that gave it."""
    digest = hashlib.sha256()
    for file in files:
        with contextlib.suppress(OSError, TypeError):
            digest.update(Path(file or "").read_bytes())
    return digest.hexdigest()


def remembered(kind: str, key: str, compute: Callable[[], Any]) -> Any:
    """The JSON value kept under a key, computed and kept if there is none.

    Parameters
    ----------
    kind : str
        Folder for results of one method, a plain word.
    key : str
        From `content_key`.
    compute : callable
        Gives a JSON value.
    """
    content = recall(kind, key)
    if content is not None:
        with contextlib.suppress(ValueError):
            return json.loads(content)
    value = compute()
    keep(kind, key, json.dumps(value, separators=(",", ":")).encode())
    return value


def recall(kind: str, key: str) -> bytes | None:
    """What was kept under a key, or None; for results that are not JSON, such as packed arrays."""
    if (kind, key) in _memory:
        return _memory[kind, key]
    path = _path(kind, key)
    if path is None:
        return None
    try:
        content = path.read_bytes()
    except OSError:
        return None
    check, _, body = content.partition(b"\n")
    if check != hashlib.sha256(body).hexdigest().encode():  # cut short or damaged
        return None
    _memory[kind, key] = body
    return body


def keep(kind: str, key: str, content: bytes) -> None:
    """Keep a result in memory and, if the folder allows it, as a whole file or not at all."""
    _memory[kind, key] = content
    path = _path(kind, key)
    if path is None:
        return
    with contextlib.suppress(OSError):
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, temporary = tempfile.mkstemp(dir=path.parent, prefix=".new-")
        try:
            with os.fdopen(handle, "wb") as stream:
                stream.write(hashlib.sha256(content).hexdigest().encode() + b"\n" + content)
            os.replace(temporary, path)
        except OSError:
            os.unlink(temporary)
            raise
        _trim(path.parent)


def forget() -> None:
    """Empty the memory of this process; files stay."""
    _memory.clear()


def folder() -> Path | None:
    """Where results are kept, or None."""
    given = os.environ.get("SPECGEN_CACHE")
    if given == OFF:
        return None
    if given:
        return Path(given)
    base = os.environ.get("XDG_CACHE_HOME")
    if base and os.path.isabs(base):  # the rule of that variable: a relative path is to be ignored
        return Path(base) / "specgen"
    with contextlib.suppress(RuntimeError):  # no home
        return Path.home() / ".cache" / "specgen"
    return None


def _path(kind: str, key: str) -> Path | None:
    base = folder()
    return None if base is None else base / kind / key


def _trim(place: Path) -> None:
    files = [entry for entry in os.scandir(place) if entry.is_file()]
    if len(files) <= MOST_FILES:
        return
    files.sort(key=lambda entry: entry.stat().st_mtime)
    for entry in files[: len(files) - MOST_FILES * 9 // 10]:
        with contextlib.suppress(OSError):
            os.unlink(entry.path)
