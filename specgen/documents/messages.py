"""The message catalog of a document: an id in, the whole sentence in one language out, named values put in.

One file per document and language, `templates/DOCUMENT/messages.LANGUAGE.yaml`, flat: id to sentence. A sentence is
never put together from pieces; a value arrives with its unit as one token. `**words**` are Semibold. A firm's folder
may hold the same file with some of the ids only; the rest comes from ours.
"""

from __future__ import annotations

import string
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import yaml

from specgen.drawing.type import TIE
from specgen.errors import SpecgenError
from specgen.resources import shipped

_Loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


class MessageError(SpecgenError):
    """A catalog that lacks a message, or a message whose placeholders are not the values given; names file and id."""


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


def token(text: str) -> str:
    """A value with its unit as one token: no line breaks inside."""
    return text.replace(" ", TIE)


def placeholders(sentence: str) -> set[str]:
    """Names in braces of a sentence."""
    return {name for _, name, _, _ in string.Formatter().parse(sentence) if name is not None}


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
        If a catalog is missing, is no map of texts, or holds an id that ours does not know.
    """
    name = f"{document}/messages.{language}.yaml"
    sentences = dict(_read(shipped("templates") / name))
    for folder in reversed(folders):
        path = folder / name
        if path.is_file():
            own = _read(path)
            for id in own:
                if id not in sentences:
                    raise MessageError(f"{path}: message {id!r} is not used by any document")
            sentences |= own
    return Messages(name, sentences)


@cache
def _read(path: Path) -> Mapping[str, str]:
    if not path.is_file():
        raise MessageError(f"{path}: the message catalog is missing")
    try:
        loaded = yaml.load(path.read_text(encoding="utf-8"), Loader=_Loader)
    except (yaml.YAMLError, UnicodeDecodeError) as error:
        raise MessageError(f"{path}: cannot be read: {' '.join(str(error).split())}") from error
    if not isinstance(loaded, dict) or not all(isinstance(k, str) and isinstance(v, str) for k, v in loaded.items()):
        raise MessageError(f"{path}: expected a map of message ids to texts")
    return loaded


def _listed(names: set[str]) -> str:
    return ", ".join(sorted(names)) or "none"
