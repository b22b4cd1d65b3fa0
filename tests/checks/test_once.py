"""An answer is given once for each object, and never to another object that happens to look the same."""

from __future__ import annotations

import pytest

from specgen.checks import once as module
from specgen.checks.once import once


def test_the_same_object_is_asked_once_and_an_equal_one_again() -> None:
    asked: list[tuple[int, ...]] = []

    @once
    def total(numbers: tuple[int, ...]) -> int:
        asked.append(numbers)
        return sum(numbers)

    first, second = tuple([1, 2]), tuple([1, 2])
    assert first is not second
    assert [total(first), total(first), total(second)] == [3, 3, 3]
    assert len(asked) == 2


def test_objects_that_are_gone_leave_no_answer_to_their_successors() -> None:
    @once
    def only(numbers: list[int]) -> int:
        return numbers[0]

    for number in range(1000):  # a new list at an address that an old one may have had
        assert only([number]) == number


def test_an_error_is_not_kept_and_too_many_answers_are_let_go(monkeypatch: pytest.MonkeyPatch) -> None:
    calls: list[str] = []

    @once
    def shout(word: str) -> str:
        calls.append(word)
        if len(calls) == 1:
            raise ValueError(word)
        return word.upper()

    with pytest.raises(ValueError, match="one"):
        shout("one")
    assert shout("one") == "ONE"
    monkeypatch.setattr(module, "MOST", 1)
    assert [shout("two"), shout("one"), shout("one")] == ["TWO", "ONE", "ONE"]
    assert calls == ["one", "one", "two", "one"]
