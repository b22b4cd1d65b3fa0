"""What a drawn page holds, for tests: text boxes from the font's own metrics, overlaps, margins."""

from __future__ import annotations

from dataclasses import dataclass

from specgen.drawing.type import face, font_size, text_width
from specgen.model.scene import Circle, Group, Line, Scene, Text

DESCENDERS = set("gjpqyQ,;()[]/|@")


@dataclass(frozen=True)
class Box:
    """Ink of one line of text: left, top, right, bottom [mm]."""

    left: float
    top: float
    right: float
    bottom: float
    text: str

    def overlaps(self, other: Box, slack: float = 0.05) -> bool:
        return (
            self.left < other.right - slack
            and other.left < self.right - slack
            and self.top < other.bottom - slack
            and other.top < self.bottom - slack
        )


def text_box(item: Text) -> Box:
    """Real advances and the capital height; below the baseline only where a letter descends."""
    width = text_width(item.text, item.size, item.bold)
    x, y = item.at
    left = {"start": x, "middle": x - width / 2, "end": x - width}[item.anchor]
    below = 0.21 * font_size(item.size, item.bold) if DESCENDERS & set(item.text) else 0.0
    assert face(item.bold).descent > 0.2
    if item.turn:
        return Box(x - item.size, y - width, x, y, item.text)
    return Box(left, y - item.size, left + width, y + below, item.text)


def texts(scene: Scene) -> list[Text]:
    return [item for item in scene.walk() if isinstance(item, Text)]


def overlapping(scene: Scene) -> list[tuple[str, str]]:
    """Pairs of texts whose ink meets."""
    boxes = [text_box(item) for item in texts(scene) if item.text.strip()]
    found = []
    for index, one in enumerate(boxes):
        found += [(one.text, other.text) for other in boxes[index + 1 :] if one.overlaps(other)]
    return found


def struck_through(scene: Scene, group_id: str) -> list[str]:
    """Texts of a group that a level rule of the same group runs through."""
    group = find(scene, group_id)
    rules = [item for item in group.items if isinstance(item, Line) and len(item.points) == 2]
    found = []
    for item in group.items:
        if not isinstance(item, Text):
            continue
        box = text_box(item)
        for (x0, y0), (x1, y1) in (rule.points for rule in rules):
            level = abs(y0 - y1) < 1e-6
            if level and box.top < y0 < item.at[1] and min(x0, x1) < box.right and box.left < max(x0, x1):
                found.append(item.text)
    return found


def outside(scene: Scene, left: float, top: float, right: float, bottom: float) -> list[str]:
    """Texts and corners of lines beyond the given edges."""
    found = []
    for item in scene.walk():
        if isinstance(item, Text):
            box = text_box(item)
            if box.left < left - 0.05 or box.right > right + 0.05 or box.top < top or box.bottom > bottom:
                found.append(item.text)
        elif isinstance(item, Line):
            for x, y in item.points:
                if not (left - 0.4 <= x <= right + 0.4 and top <= y <= bottom):
                    found.append(f"line at {x:.1f}, {y:.1f}")
    return found


def find(scene: Scene, group_id: str) -> Group:
    return next(item for item in scene.walk() if isinstance(item, Group) and item.id == group_id)


def group_texts(scene: Scene, group_id: str) -> list[Text]:
    """Texts of a group and of the groups inside it."""
    found: list[Text] = []
    stack = [find(scene, group_id)]
    while stack:
        for item in stack.pop().items:
            if isinstance(item, Group):
                stack.append(item)
            elif isinstance(item, Text):
                found.append(item)
    return found


def circles(scene: Scene, radius: float) -> list[Circle]:
    return [item for item in scene.walk() if isinstance(item, Circle) and abs(item.radius - radius) < 1e-6]
