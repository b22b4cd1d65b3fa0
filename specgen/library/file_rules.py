"""What the parts of a fragment, a materials file or a project must say of one another, beyond the format of each."""

from __future__ import annotations

from collections.abc import Iterable
from typing import get_args

from specgen.library.codes import Code
from specgen.library.read import Loc, Source
from specgen.library.resolve import CONTENTS
from specgen.library.view import Entry, Report
from specgen.library.wording import nearest, subject
from specgen.model.base import Conductivity, Permeability, Permeance, Quantity

# Lists of words in which a word given twice can only be a slip.
_WORD_LISTS = frozenset({"zones", "controls", "open", "hazards", "layers", "standards", "sources", "tools"})
# Kinds whose heat resistance nobody counts; the calculation takes it as none.
NO_HEAT_KINDS = frozenset({"coating", "sheet", "membrane", "wall-covering", "lath", "metal", "drainage-mat"})

_READERS: dict[str, Quantity] = {
    key: next(item for item in get_args(kind) if isinstance(item, Quantity))
    for key, kind in (("conductivity", Conductivity), ("permeability", Permeability), ("permeance", Permeance))
}


def check_words(source: Source, report: Report) -> None:
    """Words given twice in one list, anywhere in the file."""
    for loc, words in _lists(source.data, ()):
        seen: set[str] = set()
        for index, word in enumerate(words):
            if isinstance(word, str) and word in seen:
                who, key = subject(source.data, loc)
                message = f'{who}{key} has "{word}" twice; expected it once'
                report.add(Entry(source, (), {}), Code.REPEATED_WORD, message, *loc, index)
            elif isinstance(word, str):
                seen.add(word)


def check_id(entry: Entry, report: Report) -> None:
    """The id of a wall or fragment is the name of its file, so that either finds the other."""
    stem, name = entry.source.path.stem, entry.text("id")
    if name and name != stem:
        message = f'id is "{name}"; expected the name of its file, "{stem}"'
        report.add(entry, Code.ID_IS_NOT_FILE_NAME, message, "id")


def check_fragment(fragment: Entry, report: Report) -> None:
    """A fragment holds one kind of thing and no other fragment."""
    check_id(fragment, report)
    held = [name for name in CONTENTS if name in fragment.data]
    if len(held) != 1:
        given = " and ".join(held) if held else "nothing"
        message = f"the fragment holds {given}; expected one of {', '.join(CONTENTS)}"
        report.add(fragment, Code.FRAGMENT_CONTENTS, message, *held[1:2], key=True)
    for name in held:
        if fragment.get(name) == []:
            report.add(fragment, Code.FRAGMENT_CONTENTS, f"{name} is empty; expected at least one entry", name)
        for entry in fragment.entries(name):
            if "use" in entry.data:
                message = "a fragment uses another fragment; expected its entries written out here"
                report.add(entry, Code.FRAGMENT_CONTENTS, message, "use", key=True)


def check_materials(files: Iterable[Source], report: Report) -> None:
    """Ids across all files, and values of one material that contradict one another."""
    seen: dict[str, tuple[str, int]] = {}
    for source in files:
        if source.data is None:
            continue
        for material in Entry(source, (), source.data).entries("materials"):
            name = material.text("id")
            place = (source.file, source.place((*material.loc, "id"))[0])
            if name and name in seen:
                message = f"this id stands already at {seen[name][0]}:{seen[name][1]}; expected another"
                report.add(material, Code.DUPLICATE_MATERIAL, message, "id")
            else:
                seen[name] = place
            _check_material(material, report)


def _check_material(material: Entry, report: Report) -> None:
    kind = material.text("kind")
    if kind and kind not in NO_HEAT_KINDS and not (material.has("conductivity") or material.has("rated")):
        message = f"kind {kind} has neither conductivity nor rated; expected one of them"
        report.add(material, Code.NO_HEAT_DATA, message, "kind")
    if material.has("permeability") and material.has("permeance"):
        message = "has permeability and permeance; expected permeance for a film or facing, else permeability"
        report.add(material, Code.TWO_VAPOR_VALUES, message, "permeance", key=True)
    for key in ("permeability", "permeance"):
        _check_order(material, (key, "dry"), (key, "wet"), report)
    _check_order(material, ("conductivity", "low"), ("conductivity", "value"), report)
    _check_order(material, ("conductivity", "value"), ("conductivity", "high"), report)
    thicknesses: set[float] = set()
    for rated in material.entries("rated"):
        thickness = rated.length("thickness")
        if thickness is not None and thickness in thicknesses:
            message = f"thickness is {rated.text('thickness')}, as an earlier one; expected one R for each thickness"
            report.add(rated, Code.VALUE_ORDER, message, "thickness")
        elif thickness is not None:
            thicknesses.add(thickness)
    for flag, wanted in (("treated", "wood_based"), ("wood_based", "combustible"), ("foam_plastic", "combustible")):
        if material.text(flag) == "true" and material.text(wanted) != "true":
            message = f"{flag} is true and {wanted} is not; expected {wanted}: true as well"
            report.add(material, Code.CONTRADICTION, message, flag)
    facing = material.text("facing")
    if facing == "foil" and not material.has("permeance"):
        message = "facing is foil without permeance; expected the permeance of the faced board or sheet"
        report.add(material, Code.CONTRADICTION, message, "facing")
    if material.has("wrb_type") and material.text("water_barrier") != "true":
        message = "wrb_type is given and water_barrier is not; expected water_barrier: true as well"
        report.add(material, Code.CONTRADICTION, message, "wrb_type", key=True)


def _check_order(material: Entry, low: tuple[str, str], high: tuple[str, str], report: Report) -> None:
    small, large = _quantity(material, low), _quantity(material, high)
    if small is not None and large is not None and small > large * (1 + 1e-9):
        message = f"{'.'.join(high)} is {material.text(*high)}; expected no less than {low[1]}, {material.text(*low)}"
        report.add(material, Code.VALUE_ORDER, message, *high)


def _quantity(material: Entry, keys: tuple[str, str]) -> float | None:
    reader = _READERS[keys[0]]
    try:
        return reader.parse(material.text(*keys)) if material.text(*keys) else None
    except ValueError:
        return None


def check_project(project: Entry, report: Report) -> None:
    """Tags, sites and the references between them."""
    sites: dict[str, int] = {}
    for site in project.entries("sites"):
        name = site.text("id")
        if name in sites:
            report.add(site, Code.DUPLICATE_ID, f"this id stands already on line {sites[name]}; expected another", "id")
        elif name:
            sites[name] = site.source.place((*site.loc, "id"))[0]
        given = [key for key in ("county", "zone") if site.has(key)]
        if len(given) != 1:
            said = "both county and zone" if given else "neither county nor zone"
            report.add(site, Code.COUNTY_OR_ZONE, f"has {said}; expected one of them", *given[1:], key=True)
    tags: dict[str, int] = {}
    for wall_type in project.entries("wall_types"):
        tag = wall_type.text("tag")
        if tag in tags:
            message = f"this tag stands already on line {tags[tag]}; expected another"
            report.add(wall_type, Code.DUPLICATE_TAG, message, "tag")
        elif tag:
            tags[tag] = wall_type.source.place((*wall_type.loc, "tag"))[0]
        site_id = wall_type.text("site")
        if site_id and site_id not in sites:
            message = f'site "{site_id}" does not exist{nearest(site_id, sites)}'
            report.add(wall_type, Code.UNKNOWN_SITE, message, "site")
    for key in ("sites", "wall_types"):
        if project.get(key) == []:
            report.add(project, Code.EMPTY_PROJECT, f"{key} is empty; expected at least one entry", key)


def _lists(node: object, loc: Loc) -> Iterable[tuple[Loc, list[object]]]:
    if isinstance(node, dict):
        for key, value in node.items():
            if isinstance(value, list) and key in _WORD_LISTS:
                yield (*loc, key), value
            yield from _lists(value, (*loc, key))
    elif isinstance(node, list):
        for index, value in enumerate(node):
            yield from _lists(value, (*loc, index))
