"""A wall as read to its plans: fragments put in place, each variant applied, nothing judged but that.

A plan is the list of layers, steps and cautions of the wall itself or of one variant, each still with the place where
it was written, which may be in a fragment's file.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from specgen.library.codes import Code
from specgen.library.read import Source
from specgen.library.view import Entry, Report
from specgen.library.wording import nearest

CONTENTS = ("layers", "installation", "cautions")  # what a fragment may hold, one of them
ACTIONS = ("replace", "insert_after", "insert_before", "remove")
FragmentReader = Callable[[str], Source | None]  # by name without the folder; None if there is no such fragment


@dataclass(frozen=True, slots=True)
class Plan:
    """What one wall or variant consists of; `variant` is the entry of the variant, None for the wall itself."""

    wall: Entry
    variant: Entry | None
    layers: tuple[Entry, ...]
    steps: tuple[Entry, ...]
    cautions: tuple[Entry, ...]

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
        self._read = read
        self._names = names
        self._report = report

    def expand(self, owner: Entry, content: str) -> tuple[Entry, ...]:
        """The entries of the list `content` of `owner`, with those of each fragment in its place."""
        expanded: list[Entry] = []
        for entry in owner.entries(content):
            if not entry.text("use"):
                expanded.append(entry)
                continue
            source = self._fragment(entry)
            if source is None or source.data is None:
                continue
            fragment = Entry(source, (), source.data)
            if not fragment.has(content):
                held = next((name for name in CONTENTS if fragment.has(name)), "nothing")
                message = f"{entry.text('use')} holds {held}; expected a fragment with {content}"
                self._report.add(entry, Code.FRAGMENT_CONTENTS, message, "use")
                continue
            expanded += [item for item in fragment.entries(content) if not item.text("use")]
        return tuple(expanded)

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
    base = Plan(wall, None, layers, steps, cautions)
    variants: list[Plan] = []
    for variant in wall.entries("variants"):
        changed = _apply(variant, layers, fragments, report)
        for change in variant.entries("also"):
            changed = _apply(change, changed, fragments, report)
        own_steps = fragments.expand(variant, "installation") if variant.has("installation") else steps
        variants.append(Plan(wall, variant, changed, own_steps, cautions))
    return (base, *variants)


def _apply(change: Entry, layers: tuple[Entry, ...], fragments: Fragments, report: Report) -> tuple[Entry, ...]:
    """The layers after one change; unchanged where the change cannot be understood."""
    actions = [action for action in ACTIONS if action in change.data]
    new = fragments.expand(change, "layers")
    if len(actions) != 1:
        given = " and ".join(actions) if actions else "no change"
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
        message = f'{action} names the layer "{target}", which does not exist{nearest(target, ids)}'
        if target:
            report.add(change, Code.VARIANT_LAYER, message, action)
        return layers
    at = ids.index(target)
    if action == "insert_before":
        return (*layers[:at], *new, *layers[at:])
    if action == "insert_after":
        return (*layers[: at + 1], *new, *layers[at + 1 :])
    return (*layers[:at], *new, *layers[at + 1 :])
