"""Answers that hang on nothing but frozen objects, given once for each of them: walls, layers, readings.

Kept by which object it is, since comparing two walls part by part costs as much as some of the answers. An object that
was changed by copying is another object. The objects are held as long as their answers, so that no other can take an
identity over; when there are too many, all of them are let go.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any, TypeVar, TypeVarTuple

MOST = 4096  # objects held by one function [-]

Objects = TypeVarTuple("Objects")
Answer = TypeVar("Answer")


def once(function: Callable[[*Objects], Answer]) -> Callable[[*Objects], Answer]:
    """The same function, run once for the same objects; what it raises is not kept."""
    kept: dict[tuple[int, ...], tuple[tuple[Any, ...], Answer]] = {}

    @wraps(function)
    def look(*objects: *Objects) -> Answer:
        key = tuple(map(id, objects))
        found = kept.get(key)
        if found is not None:
            return found[1]
        answer = function(*objects)
        if len(kept) >= MOST:
            kept.clear()
        kept[key] = (objects, answer)
        return answer

    return look
