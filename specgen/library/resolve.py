"""A wall as read to its plans: fragments put in place, each variant applied, nothing judged but that.

A plan is the list of layers, steps and cautions of the wall itself or of one variant, each still with the place where
it was written, which may be in a fragment's file.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sized
from dataclasses import dataclass

from specgen.library.codes import Code
from specgen.library.format import Variant
from specgen.library.read import Source
from specgen.library.view import EnoughError, Entry, Report
from specgen.library.wording import misspelt, nearest

MAX_ENTRIES = 200  # layers, steps or cautions of one wall; a rich one has 20
MAX_VARIANTS = 50  # and further changes of one of them
CONTENTS = ("layers", "installation", "cautions")  # what a fragment may hold, one of them
ACTIONS = ("replace", "insert_after", "insert_before", "remove")
VARIANT_KEYS = frozenset(Variant.model_fields)
FragmentReader = Callable[[str], Source | None]  # by name without the folder; None if there is no such fragment


@dataclass(frozen=True, slots=True)
class Plan:
    """What one wall or variant consists of; `variant` is the entry of the variant, None for the wall itself."""

    wall: Entry
    variant: Entry | None
    layers: tuple[Entry, ...]
    steps: tuple[Entry, ...]
    cautions: tuple[Entry, ...]
    complete: bool  # False where a layer could not be read or has no id, so that references cannot be judged

    @property
    def name(self) -> str:
        """Id of the variant, empty for the wall itself."""
        return self.variant.text("id") if self.variant else ""

    def part(self, key: str) -> Entry | None:
        """The mapping `base` or `openings` that holds for this plan: the variant's if it gives one."""
        return (self.variant.child(key) if self.variant else None) or self.wall.child(key)

    def layer_ids(self) -> list[str]:
        """Ids of the layers, exterior first."""
        return [layer.text("id") for layer in self.layers]

    def names(self) -> list[str]:
        """Ids of all layers and of what is embedded in them."""
        embedded = [part.text("id") for layer in self.layers for part in layer.entries("embedded")]
        return self.layer_ids() + embedded


class Fragments:
    """Puts fragments in place of `use: fragments/NAME` and remembers which were used."""

    def __init__(self, read: FragmentReader, names: tuple[str, ...], report: Report) -> None:
        self.used: dict[str, Source] = {}
        self.complete = True  # False once an entry could not be read
        self._read = read
        self._names = names
        self._report = report

    def expand(self, owner: Entry, content: str) -> tuple[Entry, ...]:
        """The entries of the list `content` of `owner`, with those of each fragment in its place."""
        written = owner.entries(content)
        self.complete &= len(written) == len(owner.get(content) or ())
        expanded: list[Entry] = []
        for entry in written:
            expanded += self._entries(entry, content) if "use" in entry.data else [entry]
            enough(owner, expanded, MAX_ENTRIES, content, self._report)
        return tuple(expanded)

    def _entries(self, entry: Entry, content: str) -> list[Entry]:
        """What the fragment that `entry` uses holds; nothing if there is no such fragment or content."""
        source = self._fragment(entry)
        fragment = Entry(source, (), source.data) if source and source.data is not None else None
        if fragment and fragment.has(content):
            entries = fragment.entries(content)
            self.complete &= not any("use" in item.data for item in entries)
            return [item for item in entries if "use" not in item.data]
        self.complete = False
        held = next((name for name in CONTENTS if fragment.has(name)), "") if fragment else ""
        if held:
            message = f"{entry.text('use')} holds {held}; expected a fragment with {content}"
            self._report.add(entry, Code.FRAGMENT_CONTENTS, message, "use")
        return []

    def _fragment(self, entry: Entry) -> Source | None:
        folder, _, name = entry.text("use").partition("/")
        if folder != "fragments" or not name:
            return None  # the format check has said so
        if name not in self.used:
            source = self._read(name)
            if source is None:
                valid = [f"fragments/{valid_name}" for valid_name in self._names]
                message = f"{entry.text('use')} does not exist{nearest(entry.text('use'), valid)}"
                self._report.add(entry, Code.UNKNOWN_FRAGMENT, message, "use")
                return None
            self.used[name] = source
        return self.used[name]


def plans(wall: Entry, fragments: Fragments, report: Report) -> tuple[Plan, ...]:
    """The wall's own plan first, then that of each variant in file order."""
    layers = fragments.expand(wall, "layers")
    steps = fragments.expand(wall, "installation")
    cautions = fragments.expand(wall, "cautions")
    base = Plan(wall, None, layers, steps, cautions, _complete(layers, fragments))
    variants: list[Plan] = []
    entries = wall.entries("variants")
    enough(wall, entries, MAX_VARIANTS, "variants", report)
    for variant in entries:
        changes = variant.entries("also")
        enough(variant, changes, MAX_VARIANTS, "also", report)
        changed = layers
        for change in (variant, *changes):
            changed = _apply(change, changed, fragments, report)
            enough(variant, changed, MAX_ENTRIES, "layers", report)
        own_steps = fragments.expand(variant, "installation") if variant.has("installation") else steps
        variants.append(Plan(wall, variant, changed, own_steps, cautions, _complete(changed, fragments)))
    return (base, *variants)


def enough(owner: Entry, entries: Sized, limit: int, content: str, report: Report) -> None:
    """Refuse a list that no wall needs, before its length costs time."""
    if len(entries) > limit:
        message = f"{content} has more than {limit} entries; expected far fewer"
        report.add(owner, Code.TOO_DEEP, message, *([content] if content in owner.data else []), key=True)
        raise EnoughError


def _complete(layers: Iterable[Entry], fragments: Fragments) -> bool:
    return fragments.complete and all(layer.text("id") for layer in layers)


def _apply(change: Entry, layers: tuple[Entry, ...], fragments: Fragments, report: Report) -> tuple[Entry, ...]:
    """The layers after one change; unchanged where the change cannot be understood."""
    actions = [action for action in ACTIONS if action in change.data]
    new = fragments.expand(change, "layers")
    if len(actions) != 1:
        given = " and ".join(actions) if actions else "no change"
        unknown = [key for key in change.data if key not in VARIANT_KEYS]
        if not actions and any(misspelt(action, unknown) for action in ACTIONS):
            return layers  # the unknown key has been reported
        report.add(change, Code.VARIANT_ACTION, f"gives {given}; expected one of {', '.join(ACTIONS)}")
        return layers
    action = actions[0]
    if action == "remove" and "layers" in change.data:
        report.add(change, Code.VARIANT_ACTION, "gives layers to remove; expected replace, or remove alone", "layers")
    if action != "remove" and not change.has("layers"):
        report.add(change, Code.VARIANT_ACTION, f"{action} has no layers; expected layers with at least one", action)
    target = change.text(action)
    ids = [layer.text("id") for layer in layers]
    if target not in ids:
        message = f'{action} names the layer "{target}", which does not exist{nearest(target, filter(None, ids))}'
        if target and fragments.complete and layers:
            report.add(change, Code.VARIANT_LAYER, message, action)
        return layers
    at = ids.index(target)
    if action == "insert_before":
        return (*layers[:at], *new, *layers[at:])
    if action == "insert_after":
        return (*layers[: at + 1], *new, *layers[at + 1 :])
    return (*layers[:at], *new, *layers[at + 1 :])
