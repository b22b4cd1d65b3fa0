"""A file as read, held against its format: every disagreement in one sentence of ours, at its place.

The field types of `model/base.py` say what is wrong with a value; this module says where, what was found, what was
expected and the nearest valid name. No wording of the validation library reaches the user.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from enum import Enum
from types import NoneType, UnionType
from typing import Annotated, Any, Literal, TypeVar, Union, get_args, get_origin

from pydantic import BaseModel, BeforeValidator, Tag, ValidationError
from pydantic_core import ErrorDetails

from specgen.errors import Problem
from specgen.library.codes import Code
from specgen.library.read import MAX_PROBLEMS, Loc, Source, shortened
from specgen.model import base
from specgen.model.base import Quantity
from specgen.model.project import OrNotKnown

PartType = TypeVar("PartType", bound=BaseModel)

# What each hand-written reader of model/base.py reads, in words, and the code of a value that it refuses.
_READERS: dict[Any, tuple[str, Code]] = {
    base._read_flag: ("true or false", Code.MALFORMED_VALUE),
    base._read_count: ("a whole number, for example 2", Code.MALFORMED_VALUE),
    base._read_date: ("a date as 2026-11-02", Code.MALFORMED_VALUE),
    base._read_text: ("a text", Code.MALFORMED_TEXT),
    base._read_id: ("an id of lower-case letters, digits and hyphens, for example drainage-mat", Code.MALFORMED_ID),
}

# Lists whose entries have a name of their own in messages.
_ENTRY_WORDS = {
    "layers": "layer", "variants": "variant", "materials": "material", "installation": "step", "cautions": "caution",
    "sites": "site", "wall_types": "wall type", "embedded": "embedded", "also": "further change",
    "rated": "rated value", "explained": "explained", "jurisdictions": "jurisdiction",
}  # fmt: skip
_NAME_KEYS = ("id", "tag")  # the key that names an entry
_U_HELP = "a U limit in Btu/(h·ft²·°F), for example 0.056"
_PATTERN_HELP = {
    "use": "fragments/NAME, for example fragments/stucco-coats", "tag": "a tag such as W1 or W1a",
    "wood_r": "an alternative as the code writes it, for example 30 or 20&5ci",
    "mass_r": "an R, for example 13", "mass_r_inside": "an R, for example 17",
    "wood_u": _U_HELP, "mass_u": _U_HELP, "mass_u_inside": _U_HELP,
}  # fmt: skip


def validated(model: type[PartType], source: Source) -> tuple[PartType | None, list[Problem]]:
    """The file as `model`, or None and everything in which it departs from it, in file order."""
    if source.data is None:
        return None, []
    try:
        return model.model_validate(source.data), []
    except ValidationError as failure:
        errors = failure.errors(include_url=False)
    unknown: dict[Loc, list[str]] = {}  # keys that the format does not have, by the mapping they stand in
    for error in errors:
        if error["type"] == "extra_forbidden":
            loc, _, _ = _walk(model, source.data, error["loc"])
            unknown.setdefault(loc[:-1], []).append(str(loc[-1]))
    problems: set[Problem] = set()
    for error in errors:
        problem = _problem(error, model, source, unknown)
        if problem:
            problems.add(problem)
        if len(problems) >= MAX_PROBLEMS:
            break
    return None, sorted(problems)


def subject(data: object, loc: Loc) -> tuple[str, str]:
    """Who a message speaks of and the key inside it: (`layer "studs": `, `framing.width`)."""
    names: list[str] = []
    keys: list[str] = []
    node: Any = data
    above = ""
    for part in loc:
        child = _child(node, part)
        if isinstance(part, int):
            word = _ENTRY_WORDS.get(above)
            if word:
                names.append(_entry_name(word, child, part))
                keys.clear()
            else:
                keys.append(f"{keys.pop() if keys else ''}[{part + 1}]")
        else:
            keys.append(part)
            above = part
        node = child
    return (", ".join(names) + ": " if names else ""), ".".join(shortened(key, 40) for key in keys)


def nearest(name: str, valid: Iterable[str]) -> str:
    """`; did you mean "a", "b"?`, or all valid names if none is near."""
    names = list(dict.fromkeys(valid))
    near = difflib.get_close_matches(name[:80], names, n=3, cutoff=0.6)
    if near:
        return "; did you mean " + ", ".join(f'"{word}"' for word in near) + "?"
    if not names:
        return "; expected a name that exists, and there is none yet"
    listed = ", ".join(names[:40]) + (", ..." if len(names) > 40 else "")
    return f"; expected one of {listed}" if len(names) > 1 else f"; expected {listed}"


def misspelt(key: str, written: Iterable[str]) -> bool:
    """True if one of the keys written is meant to be `key`, so that its absence is no second error."""
    return bool(difflib.get_close_matches(key, [word[:80] for word in written], n=1, cutoff=0.75))


def found(value: object) -> str:
    """What stands in the file, in a few words."""
    if value is None:
        return "empty"
    if isinstance(value, dict):
        return "a mapping"
    if isinstance(value, list):
        return "a list"
    return shortened(str(value)) or "empty"


def _problem(
    error: ErrorDetails, model: type[BaseModel], source: Source, unknown: dict[Loc, list[str]]
) -> Problem | None:
    loc, annotation, metadata = _walk(model, source.data, error["loc"])
    if any(loc[:end] in source.reported for end in range(1, len(loc) + 1)):
        return None  # an alias stands there, and that has been said
    who, key = subject(source.data, loc)
    kind = error["type"]
    if kind == "extra_forbidden":
        return _unknown_key(loc, error["loc"], model, source)
    if kind == "missing":
        if misspelt(str(loc[-1]), unknown.get(loc[:-1], ())):
            return None
        words, _ = _expected(annotation, metadata)
        words += _meaning(model, source.data, error["loc"])
        owner, inner = subject(source.data, loc[:-1])
        inside = f" in {inner}" if inner else ""
        message = f'{owner}key "{loc[-1]}" is missing{inside}; expected {words}'
        return source.problem(Code.MISSING_KEY, message, loc[:-1])
    named = next((part for part in reversed(loc) if isinstance(part, str)), "")  # of the list, for one of its entries
    code, said = _value_sentence(error, annotation, metadata, named)
    return source.problem(code, f"{who}{key or 'this entry'} {said}", loc)


def _unknown_key(loc: Loc, error_loc: tuple[Any, ...], model: type[BaseModel], source: Source) -> Problem:
    owner, inner = subject(source.data, loc[:-1])
    _, annotation, _ = _walk(model, source.data, error_loc[:-1])
    inside = f" in {inner}" if inner else ""
    mapping = _child_at(source.data, loc[:-1])
    key = str(loc[-1])
    if isinstance(mapping, dict) and "use" in mapping and key != "use":
        message = f'{owner}key "{shortened(key)}" stands beside use; expected use alone'
    elif isinstance(mapping, dict) and mapping.get(key) is None and " " in key:
        # {note: one, two} is what people write, and YAML reads "two" as a key without a value
        message = f'{owner}"{shortened(key)}" is read as a key; expected a text that holds a comma in quotes'
    else:
        message = f'{owner}unknown key "{shortened(key)}"{inside}{nearest(key, _keys(annotation))}'
    return source.problem(Code.UNKNOWN_KEY, message, loc, key=True)


def _value_sentence(error: ErrorDetails, annotation: Any, metadata: list[Any], key: str) -> tuple[Code, str]:
    """The code and `is X; expected Y` for a value that is there and is wrong."""
    value = error["input"]
    words, code = _expected(annotation, metadata)
    kind = error["type"]
    if value is None:
        return Code.WRONG_TYPE, f"is empty; expected {words}"
    if isinstance(value, dict | list):
        return Code.WRONG_TYPE, f"is {found(value)}; expected {words}"
    if kind in ("literal_error", "enum"):
        choices = _words(annotation)
        return Code.UNKNOWN_WORD, f'is "{shortened(str(value))}"{nearest(str(value), choices)}'
    if kind == "value_error":
        said = str(error["ctx"]["error"]) if "ctx" in error else ""
        if code is Code.NOT_A_QUANTITY and said.startswith("is "):
            code = Code.OUT_OF_RANGE
        if len(said) > 300 or not said:  # it repeats a value without end
            said = f'is "{shortened(str(value))}"; expected {words}'
        if "expected" not in said:
            said += f"; expected {words}"
        if any(isinstance(item, OrNotKnown) for item in metadata) and not said.endswith("not known"):
            said += ", or not known"
        return code, said if said.startswith(("is ", "has ", "'", '"')) else f"is {found(value)}; {said}"
    if kind == "string_too_long":
        limit = error["ctx"]["max_length"]
        return Code.MALFORMED_TEXT, f"has {len(str(value))} characters; expected at most {limit}"
    if kind == "string_pattern_mismatch":
        return Code.MALFORMED_TEXT, f'is "{found(value)}"; expected {_PATTERN_HELP.get(key, words)}'
    return Code.WRONG_TYPE, f'is the text "{found(value)}"; expected {words}'


def _walk(model: type[BaseModel], data: object, error_loc: tuple[Any, ...]) -> tuple[Loc, Any, list[Any]]:
    """The path in the file, and the type expected there with its metadata, for the path of a validation error."""
    annotation: Any = model
    metadata: list[Any] = []
    loc: list[str | int] = []
    for part in error_loc:
        annotation, metadata = _bare(annotation, metadata)
        if isinstance(part, str) and part.startswith("<"):  # the tag of a choice, no key of the file
            annotation = _tagged(annotation, part)
            continue
        loc.append(part)
        if isinstance(part, int):
            arguments = get_args(annotation)
            annotation, metadata = (arguments[0] if arguments else Any), []
        elif isinstance(annotation, type) and issubclass(annotation, BaseModel):
            annotation, metadata = _field(annotation, part)
        else:
            annotation, metadata = Any, []
    annotation, metadata = _bare(annotation, metadata)
    return tuple(loc), annotation, metadata


def _bare(annotation: Any, metadata: list[Any]) -> tuple[Any, list[Any]]:
    """The type without Annotated and `| None`, its metadata gathered."""
    while True:
        if get_origin(annotation) is Annotated:
            annotation, *more = get_args(annotation)
            metadata = [*metadata, *more]
            continue
        if get_origin(annotation) in (Union, UnionType):
            members = [member for member in get_args(annotation) if member is not NoneType]
            if len(members) == 1:
                annotation = members[0]
                continue
        return annotation, metadata


def _tagged(annotation: Any, tag: str) -> Any:
    for member in get_args(annotation):
        if any(isinstance(item, Tag) and item.tag == tag for item in get_args(member)[1:]):
            return member
    return Any


def _meaning(model: type[BaseModel], data: object, error_loc: tuple[Any, ...]) -> str:
    """What the format says of a key, in brackets, if it says anything."""
    _, owner, _ = _walk(model, data, error_loc[:-1])
    for name, field in owner.model_fields.items() if isinstance(owner, type) and issubclass(owner, BaseModel) else ():
        if error_loc[-1] == (field.alias or name) and field.description:
            return f" ({field.description[0].lower()}{field.description[1:].rstrip('.')})"
    return ""


def _field(model: type[BaseModel], key: str) -> tuple[Any, list[Any]]:
    for name, field in model.model_fields.items():
        if key == (field.alias or name):
            return field.annotation, list(field.metadata)
    return Any, []


def _keys(annotation: Any) -> list[str]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return [field.alias or name for name, field in annotation.model_fields.items()]
    return []


def _words(annotation: Any) -> list[str]:
    if isinstance(annotation, type) and issubclass(annotation, Enum):
        return [str(member.value) for member in annotation]
    return [str(word) for word in get_args(annotation)] if get_origin(annotation) is Literal else []


def _expected(annotation: Any, metadata: list[Any]) -> tuple[str, Code]:
    """What belongs there, in words, and the code of a value that is not it."""
    if any(isinstance(item, OrNotKnown) for item in metadata):
        words, code = _expected(annotation, [item for item in metadata if not isinstance(item, OrNotKnown)])
        return f"{words}, or not known", code
    for item in metadata:
        if isinstance(item, Quantity):
            return f"{item.kind}, for example {item.example}", Code.NOT_A_QUANTITY
        if isinstance(item, BeforeValidator) and item.func in _READERS:
            return _READERS[item.func]
    if choices := _words(annotation):
        return "one of " + ", ".join(choices), Code.UNKNOWN_WORD
    if get_origin(annotation) is tuple:
        inner, inner_metadata = _bare(get_args(annotation)[0], [])
        inner_words, _ = _expected(inner, inner_metadata)
        return f"a list, each entry {inner_words}", Code.WRONG_TYPE
    if get_origin(annotation) in (Union, UnionType):  # a choice by tag: the entry itself comes first
        inner, inner_metadata = _bare(get_args(annotation)[0], [])
        return _expected(inner, inner_metadata)
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        required = [field.alias or name for name, field in annotation.model_fields.items() if field.is_required()]
        keys = required or _keys(annotation)
        return "a mapping with " + ", ".join(keys), Code.WRONG_TYPE
    return "a text", Code.WRONG_TYPE


def _child(node: Any, part: str | int) -> Any:
    if isinstance(node, dict):
        return node.get(part)
    if isinstance(node, list) and isinstance(part, int) and part < len(node):
        return node[part]
    return None


def _child_at(node: Any, loc: Loc) -> Any:
    for part in loc:
        node = _child(node, part)
    return node


def _entry_name(word: str, entry: Any, index: int) -> str:
    if isinstance(entry, dict):
        for key in _NAME_KEYS:
            name = entry.get(key)
            if isinstance(name, str) and name.strip():
                return f'{word} "{shortened(name, 40)}"'
    return f"{word} {index + 1}"
