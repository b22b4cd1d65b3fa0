"""The message catalog of a document: an id in, the whole sentence in one language out, named values put in.

One file per document and language, `templates/DOCUMENT/messages.LANGUAGE.yaml`, flat: id to sentence. A sentence is
never put together from pieces; a value arrives with its unit as one token. `**words**` are Semibold. A firm's folder
may hold the same file with some of the ids only; the rest comes from ours.
"""

from __future__ import annotations

import re
import string
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import yaml

from specgen.errors import SpecgenError, nearest_hint
from specgen.resources import inside, shipped

_Loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_NAME = re.compile(r"[a-z_]+")


class MessageError(SpecgenError):
    """A catalog that lacks a message, or a message whose placeholders are not the values given; names file and line."""


@dataclass(frozen=True)
class Messages:
    """A catalog; `origin` names its file in errors."""

    origin: str
    sentences: Mapping[str, str]

    def text(self, id: str, **values: object) -> str:
        """The sentence of an id with its values put in.

        Raises
        ------
        MessageError
            If the id is not in the catalog, or its placeholders are not exactly the values given.
        """
        sentence = self.sentences.get(id)
        if sentence is None:
            raise MessageError(f"{self.origin}: no message {id!r}")
        wanted = placeholders(sentence)
        if wanted != set(values):
            raise MessageError(
                f"{self.origin}: message {id!r} has the placeholders {_listed(wanted)},"
                f" given were {_listed(set(values))}"
            )
        return sentence.format(**{name: str(value).replace("**", "* *") for name, value in values.items()})

    def has(self, id: str) -> bool:
        return id in self.sentences


def placeholders(sentence: str) -> set[str]:
    """Names in braces of a sentence.

    Raises
    ------
    ValueError
        If a brace is not closed, or holds anything but a name.
    """
    names = set()
    for _, name, form, conversion in string.Formatter().parse(sentence):
        if name is not None:
            if not _NAME.fullmatch(name) or form or conversion:
                raise ValueError(f"expected a name in braces, found {name or 'nothing'!r}")
            names.add(name)
    return names


def load_messages(document: str, language: str = "en", folders: Sequence[Path] = ()) -> Messages:
    """The catalog of a document, a firm's own sentences over ours.

    Parameters
    ----------
    document : str
        Folder of the document in `templates`, for example `crew`.
    language : str
        As in the file name, `en`.
    folders : sequence of Path
        Template folders of the firm, searched first.

    Raises
    ------
    MessageError
        If a catalog is missing, is no map of texts, holds an id that ours does not know, or gives a sentence other
        placeholders than ours.
    """
    name = f"{document}/messages.{language}.yaml"
    ours = {id: text for id, (text, _) in _read(shipped("templates") / name).items()}
    sentences = dict(ours)
    for folder in reversed(folders):
        path = folder / name
        if not path.is_file():
            continue
        if not inside(path, folder):
            raise MessageError(f"{path}: leads out of the folder {folder}; expected a file in it")
        for id, (text, line) in _read(path).items():
            if id not in ours:
                raise MessageError(f"{path}:{line}: message {id!r} is not used by any document{nearest_hint(id, ours)}")
            _check_placeholders(text, ours[id], f"{path}:{line}: message {id!r}")
            sentences[id] = text
    return Messages(name, sentences)


def _check_placeholders(text: str, ours: str, place: str) -> None:
    try:
        given, wanted = placeholders(text), placeholders(ours)
    except ValueError as error:
        raise MessageError(f"{place}: {error}") from None
    if given != wanted:
        raise MessageError(f"{place} has the placeholders {_listed(given)}; expected {_listed(wanted)}")


@cache
def _read(path: Path) -> Mapping[str, tuple[str, int]]:
    """Each id with its text, as it was written, and its line."""
    if not path.is_file():
        raise MessageError(f"{path}: the message catalog is missing")
    try:
        root = yaml.compose(path.read_text(encoding="utf-8"), Loader=_Loader)
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        raise MessageError(f"{path}:{mark.line + 1 if mark else 1}: {error.problem}; expected YAML") from error
    except (OSError, yaml.YAMLError, UnicodeDecodeError) as error:
        raise MessageError(f"{path}: cannot be read: {' '.join(str(error).split())}") from error
    sentences: dict[str, tuple[str, int]] = {}
    if root is None:  # every sentence taken out, or commented out
        return sentences
    if not isinstance(root, yaml.MappingNode):
        raise MessageError(f"{path}:1: expected a map of message ids to texts")
    for key, value in root.value:
        line = key.start_mark.line + 1
        if not isinstance(key, yaml.ScalarNode) or not isinstance(value, yaml.ScalarNode):
            raise MessageError(f"{path}:{line}: expected a message id and its text")
        if key.value in sentences:
            raise MessageError(f"{path}:{line}: message {key.value!r} stands already on line {sentences[key.value][1]}")
        sentences[key.value] = (value.value, line)
    return sentences


def _listed(names: set[str]) -> str:
    return ", ".join(sorted(names)) or "none"
