"""Message catalogs: a firm's sentences over ours, the same values in both, each mistake with its file and line."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from specgen.documents.messages import MessageError, load_messages


def firm(folder: Path, text: str) -> Path:
    path = folder / "crew" / "messages.en.yaml"
    path.parent.mkdir(parents=True)
    path.write_text(text, encoding="utf-8")
    return folder


def test_own_sentences_stand_over_the_shipped_ones(tmp_path: Path) -> None:
    own = load_messages("crew", folders=(firm(tmp_path, "# of the office\nnever.head: AT NO TIME\n"),))
    ours = load_messages("crew")
    assert own.text("never.head") == "AT NO TIME" != ours.text("never.head")
    assert own.text("revision", number=3) == ours.text("revision", number=3)


def test_catalog_with_everything_commented_out_changes_nothing(tmp_path: Path) -> None:
    assert (
        load_messages("crew", folders=(firm(tmp_path, "# never.head: X\n"),)).sentences
        == load_messages("crew").sentences
    )


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (
            "title: A\nnever.haed: B\n",
            ":2: message 'never.haed' is not used by any document; did you mean 'never.head'",
        ),
        ("revision: Revision\n", ":1: message 'revision' has the placeholders none; expected number"),
        (
            'revision: "{number} {other}"\n',
            ":1: message 'revision' has the placeholders number, other; expected number",
        ),
        ('title: A\nrevision: "{number"\n', ":2: message 'revision': expected '}' before end of string"),
        ('revision: "{number.__class__}"\n', ":1: message 'revision': expected a name in braces"),
        ('revision: "{number!r}"\n', ":1: message 'revision': expected a name in braces"),
        ('revision: "{number:>9}"\n', ":1: message 'revision': expected a name in braces"),
        ('revision: "{}"\n', ":1: message 'revision': expected a name in braces"),
        ("title: A\ntitle: B\n", ":2: message 'title' stands already on line 1"),
        ("title: [A]\n", ":1: expected a message id and its text"),
        ("- title\n", ":1: expected a map of message ids to texts"),
        ("title: A\nsubject: 'B\n", "; expected YAML"),
    ],
)
def test_mistake_is_one_line_with_its_place(tmp_path: Path, text: str, message: str) -> None:
    with pytest.raises(MessageError, match=re.escape(message)) as caught:
        load_messages("crew", folders=(firm(tmp_path, text),))
    assert str(caught.value).startswith(str(tmp_path / "crew" / "messages.en.yaml")) and "\n" not in str(caught.value)


def test_link_out_of_the_folder_is_not_followed(tmp_path: Path) -> None:
    outside = tmp_path / "outside.yaml"
    outside.write_text("title: A\n", encoding="utf-8")
    (tmp_path / "templates" / "crew").mkdir(parents=True)
    (tmp_path / "templates" / "crew" / "messages.en.yaml").symlink_to(outside)
    with pytest.raises(MessageError, match="leads out of the folder"):
        load_messages("crew", folders=(tmp_path / "templates",))
