"""Views and items put elsewhere on a sheet, and the ids of a view made its own where one sheet holds many walls."""

from __future__ import annotations

from dataclasses import replace

from specgen.model.scene import Circle, Dots, Group, Line, Strokes, Text, View

Item = Line | Text | Circle


def prefixed(group: Group, prefix: str) -> Group:
    """The group with `PREFIX_` before its id and those of all groups inside, for ids are unique in a scene."""
    items = tuple(prefixed(item, prefix) if isinstance(item, Group) else item for item in group.items)
    return replace(group, id=f"{prefix}_{group.id}", items=items)


def moved_view(view: View, dy: float) -> View:
    """The view lower on the sheet.

    Parameters
    ----------
    view : View
        Placed for y = 0.
    dy : float
        How far down. [mm]
    """
    return replace(view, origin=(view.origin[0], view.origin[1] + dy), group=_moved_group(view.group, dy))


def moved_item(item: Item, dy: float) -> Item:
    """The item lower on the sheet.

    Parameters
    ----------
    item : Line, Text or Circle
        Placed for y = 0.
    dy : float
        How far down. [mm]
    """
    if isinstance(item, Text):
        return replace(item, at=(item.at[0], item.at[1] + dy))
    if isinstance(item, Circle):
        return replace(item, center=(item.center[0], item.center[1] + dy))
    return replace(item, points=tuple((x, y + dy) for x, y in item.points))


def _moved_group(group: Group, dy: float) -> Group:
    items: list[Line | Strokes | Dots | Circle | Text | Group] = []
    for item in group.items:
        if isinstance(item, Group):
            items.append(_moved_group(item, dy))
        elif isinstance(item, Strokes):
            items.append(replace(item, segments=tuple(((a, b + dy), (c, d + dy)) for (a, b), (c, d) in item.segments)))
        elif isinstance(item, Dots):
            items.append(replace(item, centers=tuple((x, y + dy) for x, y in item.centers)))
        else:
            items.append(moved_item(item, dy))
    return replace(group, items=tuple(items))
