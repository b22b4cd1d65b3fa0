"""What a file is, told from its first level alone, before anything reads it in earnest."""

from __future__ import annotations

from pathlib import Path

import yaml

_Loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


def lists_wall_types(path: Path) -> bool:
    """Whether a file is a project; a file that cannot be read is none, and its own reader says what is wrong."""
    try:
        root = yaml.compose(path.read_text(encoding="utf-8"), Loader=_Loader)
    except (OSError, UnicodeDecodeError, yaml.YAMLError):
        return False
    return isinstance(root, yaml.MappingNode) and any(key.value == "wall_types" for key, _ in root.value)
