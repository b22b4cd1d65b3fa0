"""Markup of several wall types made one: what all say stands once, what some say carries their tags.

Takes rendered markup per tag, gives lines of markup. An item keeps the lines below it; a table whose rows differ
gets a first column with the tags.
"""

from __future__ import annotations

import re
from collections.abc import Hashable, Iterable, Sequence
from dataclasses import dataclass, field
from typing import Generic, TypeVar

from specgen.documents.markup import NOTE

TYPE = "Type"  # head of the column of tags
TYPE_WIDTH = "2l"
_LONGEST_BEGINNING = 30  # of what stands before a colon and names the item, in characters
_DEPTH = {"#": 0, "##": 0, ">": 1, "-": 1, "--": 2, "---": 3}
_LINE = re.compile(r"^(#{1,2}|-{1,3}|[+>]|\|=?)(?: +(.*))?$")

Item = TypeVar("Item", bound=Hashable)


@dataclass(frozen=True, slots=True)
class Tagged(Generic[Item]):
    """Something that wall types of these tags say."""

    item: Item
    tags: tuple[str, ...]


@dataclass(slots=True)
class _Node:
    """A line with what stands below it, or a table (`mark` is `|`)."""

    mark: str
    text: str
    below: list[_Node] = field(default_factory=list)
    rows: list[str] = field(default_factory=list)


def merged(said: Sequence[tuple[str, Sequence[Item]]]) -> list[Tagged[Item]]:
    """Items of all tags in one order that keeps each tag's own, each item once with all tags that have it.

    Parameters
    ----------
    said : sequence of (str, sequence)
        Tag and its items, in order.
    """
    order: list[Item] = []
    tags: dict[Item, list[str]] = {}
    for tag, items in said:
        at = 0  # behind what this tag has said so far
        for n, item in enumerate(items):
            if item in tags:
                at = max(at, order.index(item) + 1)
            else:  # before the next item that another tag has said too, else last
                shared = [order.index(later) for later in items[n + 1 :] if later in tags]
                at = min((index for index in shared if index >= at), default=len(order))
                order.insert(at, item)
                tags[item] = []
                at += 1
            if tag not in tags[item]:
                tags[item].append(tag)
    return [Tagged(item, tuple(tags[item])) for item in order]


def merged_rows(said: Sequence[tuple[str, Sequence[Sequence[str]]]]) -> tuple[bool, list[list[str]]]:
    """Rows of tables of one head, each once; if not every tag has each row, its tags are the first cell.

    Returns
    -------
    tuple
        Whether the rows begin with tags, and the rows.
    """
    found = merged([(tag, [tuple(row) for row in rows]) for tag, rows in said])
    count = len({tag for tag, _ in said})
    typed = any(len(row.tags) < count for row in found)
    return typed, [[", ".join(row.tags), *row.item] if typed else list(row.item) for row in found]


def merged_markup(said: Sequence[tuple[str, str]]) -> str:
    """Markup of all tags as one text.

    Parameters
    ----------
    said : sequence of (str, str)
        Tag and its rendered markup; lines as `markup` lists them, notes dropped.
    """
    return "\n".join(_printed(_merged_nodes([(tag, _nodes(text)) for tag, text in said]), _tags(said)))


def _tags(said: Iterable[tuple[str, object]]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(tag for tag, _ in said))


def _nodes(text: str) -> list[_Node]:
    root = _Node("", "")
    open_at: dict[int, _Node] = {-1: root}  # the last node of each depth
    table: _Node | None = None
    for line in _logical_lines(text):
        match = _LINE.match(line)
        if match is None:  # left to the parser of the whole section, which names the line
            root.below.append(_Node("?", line))
            continue
        mark, body = match.group(1), (match.group(2) or "").strip()
        deepest = open_at[max(open_at)]
        if mark == "|=":
            table = _Node("|", body)
            deepest.below.append(table)
        elif mark == "|":
            if table is None:
                table = _Node("|", "")
                deepest.below.append(table)
            table.rows.append(body)
        elif mark == "+":
            table = None
            deepest.below.append(_Node(mark, body))
        else:
            table = None
            depth = _DEPTH[mark]
            node = _Node(mark, body)
            open_at = {at: open_node for at, open_node in open_at.items() if at < depth}
            open_at[max(open_at)].below.append(node)
            open_at[depth] = node
    return root.below


def _logical_lines(text: str) -> list[str]:
    lines: list[str] = []
    for line in text.split("\n"):
        if line.startswith("  ") and line.strip() and lines:
            lines[-1] += f" {line.strip()}"
        elif line.strip():
            lines.append(line.rstrip())
    return [line for line in lines if not line.startswith(NOTE)]


@dataclass(slots=True)
class _MergedNode:
    mark: str
    text: str
    tags: tuple[str, ...]
    below: list[_MergedNode]
    typed: bool
    rows: list[Tagged[str]]


def _merged_nodes(said: Sequence[tuple[str, Sequence[_Node]]]) -> list[_MergedNode]:
    def key(node: _Node) -> tuple[str, str, str]:
        return (node.mark, node.text, node.rows[0] if node.rows else "")

    result = []
    for found in _by_beginning(merged([(tag, [key(node) for node in nodes]) for tag, nodes in said])):
        same = [(tag, node) for tag, nodes in said for node in nodes if key(node) == found.item]
        rows = merged([(tag, node.rows[1:]) for tag, node in same])
        typed = any(row.tags != found.tags for row in rows)
        head = [Tagged(found.item[2], found.tags)] if found.item[2] else []
        below = _merged_nodes([(tag, node.below) for tag, node in same])
        result.append(_MergedNode(found.item[0], found.item[1], found.tags, below, typed, [*head, *rows]))
    return result


def _by_beginning(
    found: Sequence[Tagged[tuple[str, str, str]]],
) -> list[Tagged[tuple[str, str, str]]]:
    """Items that begin alike, as `Sill: …` of two walls, one after the other, where the first of them stands."""
    begun: dict[tuple[str, str], list[Tagged[tuple[str, str, str]]]] = {}
    for n, line in enumerate(found):
        word, colon, _ = line.item[1].partition(": ")
        named = line.item[0].startswith("-") and colon and len(word) <= _LONGEST_BEGINNING
        begun.setdefault((line.item[0], word) if named else ("", str(n)), []).append(line)
    return [line for lines in begun.values() for line in lines]


def _printed(nodes: Sequence[_MergedNode], known: tuple[str, ...]) -> list[str]:
    """Lines; `known` are the tags that the line above has named already."""
    lines: list[str] = []
    for node in nodes:
        said = ", ".join(node.tags)
        if node.mark == "|":
            lines += _table_lines(node)
        elif node.mark == "?":
            lines.append(node.text)
        elif len(node.tags) == len(known):
            lines.append(f"{node.mark} {node.text}")
        elif node.mark.startswith("#"):
            lines.append(f"{node.mark} {node.text}, {said}")
        else:
            lines.append(f"{node.mark} **{said}:** {node.text}")
        lines += _printed(node.below, node.tags)
    return lines


def _table_lines(node: _MergedNode) -> list[str]:
    count = node.rows[0].item.rstrip("|").count("|") + 1
    columns = node.text or " ".join(["1l"] * count)
    if not node.typed:
        return [f"|= {columns}", *(f"| {row.item}" for row in node.rows)]
    head, *rows = node.rows
    lines = [f"|= {TYPE_WIDTH} {columns}", f"| {TYPE} | {head.item}"]
    return lines + [f"| {', '.join(row.tags)} | {row.item}" for row in rows]
