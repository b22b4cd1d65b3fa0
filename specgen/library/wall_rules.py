"""What the parts of one wall must say of one another, beyond the format of each: ids, references, geometry.

These are errors of the description, not judgments of the wall: a layer that names no material, a stud wider than its
spacing, a datum on a layer that is not there. Whether the wall is any good is asked in `checks/`.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path

from specgen import data, units
from specgen.library.codes import Code
from specgen.library.format import LayerEntry
from specgen.library.resolve import Plan
from specgen.library.view import Entry, Report
from specgen.library.wording import misspelt, nearest
from specgen.model.material import Material

MAX_WALL = 1.2  # [m]; thicker than any wall of a house, so a unit has slipped
LAYER_KEYS = frozenset(LayerEntry.model_fields)
NO_OWN_THICKNESS = frozenset({"coating", "sheet", "membrane", "wall-covering"})  # kinds drawn as a line
# A share written with two decimals may be rounded by half of the last one.
SHARE_ROUNDING = 0.005  # [-]


def check_file(wall: Entry, report: Report) -> None:
    """What holds for the file as a whole, whatever its variants change."""
    _check_approval(wall, report)
    for owner in (wall, *wall.entries("variants")):
        _check_explained(owner, report)
    seen: dict[str, int] = {}
    for variant in wall.entries("variants"):
        name = variant.text("id")
        if name in seen:
            report.add(
                variant, Code.DUPLICATE_ID, f"this id stands already on line {seen[name]}; expected another", "id"
            )
        elif name:
            seen[name] = variant.source.place((*variant.loc, "id"))[0]


def check_plan(plan: Plan, materials: Mapping[str, Material], report: Report) -> None:
    """All that can be wrong in the wall itself or in one variant."""
    _check_ids(plan, report)
    for layer in plan.layers:
        check_layer(layer, materials, report)
    if plan.complete and plan.layers:
        _check_references(plan, report)
    _check_groups(plan, report)
    _check_total(plan, report)


def check_layer(layer: Entry, materials: Mapping[str, Material], report: Report) -> None:
    """One layer by itself: what it is made of, how thick, and whether its parts fit into it."""
    _check_materials(layer, materials, report)
    _check_contents(layer, materials, report)
    _check_framing(layer, report)
    _check_unit(layer, report)
    depth = layer.length("thickness")
    cavity = layer.length("cavity", "depth")
    if depth is not None and cavity is not None and cavity > depth + 1e-9:
        message = f"cavity.depth is {layer.text('cavity', 'depth')}; expected no more than the layer's {_said(layer)}"
        report.add(layer, Code.CAVITY_TOO_DEEP, message, "cavity", "depth")
    for part in layer.entries("embedded"):
        offset = part.length("offset")
        if depth is not None and offset is not None and offset > depth + 1e-9:
            message = f"offset is {part.text('offset')}; expected no more than the layer's {_said(layer)}"
            report.add(part, Code.EMBEDDED_OFFSET, message, "offset")


def _said(layer: Entry) -> str:
    return f"thickness of {layer.text('thickness')}"


def _check_approval(wall: Entry, report: Report) -> None:
    status = wall.text("status")
    if status == "approved" and not wall.has("approval"):
        report.add(wall, Code.APPROVAL, "status is approved without approval; expected approval: {by, date}", "status")
    revised, approved = wall.text("revision", "date"), wall.text("approval", "date")
    if status == "approved" and len(revised) == len(approved) == 10 and approved < revised:
        message = f"approval.date is {approved}; expected a day on or after the revision's, {revised}"
        report.add(wall, Code.APPROVAL, message, "approval", "date")


def _check_explained(owner: Entry, report: Report) -> None:
    for explained in owner.entries("explained"):
        code = explained.text("code")
        if code and code not in _finding_codes():
            message = f'code "{code}" is no finding; expected a code that check prints, for example P01'
            report.add(explained, Code.UNKNOWN_FINDING, message, "code")


@cache
def _finding_codes() -> tuple[str, ...]:
    """Codes of all findings that the checks can give; read only for a wall that explains one."""
    names = sorted(path.stem for path in Path(data.__file__).parent.glob("findings*.yaml"))
    return tuple(code for name in names for code in data.load_table(name))


def _check_ids(plan: Plan, report: Report) -> None:
    seen: dict[str, Entry] = {}
    for layer in plan.layers:
        for entry in (layer, *layer.entries("embedded")):
            name = entry.text("id")
            if not name:
                continue
            if name in seen:
                first = seen[name]
                line = first.source.place((*first.loc, "id"))[0]
                where = f"line {line}" if first.source is entry.source else f"line {line} of {first.source.file}"
                report.add(entry, Code.DUPLICATE_ID, f"this id stands already on {where}; expected another", "id")
            else:
                seen[name] = entry


def _check_materials(layer: Entry, materials: Mapping[str, Material], report: Report) -> None:
    places = (("material",), ("fill",), ("framing", "material"), ("unit", "grout", "material"))
    named = [(layer, keys) for keys in places] + [(part, ("material",)) for part in layer.entries("embedded")]
    for entry, keys in named:
        name = entry.text(*keys)
        if name and name not in materials:
            message = f'{".".join(keys)} "{name}" does not exist{_nearest_material(name, materials)}'
            report.add(entry, Code.UNKNOWN_MATERIAL, message, *keys)


def _nearest_material(name: str, materials: Mapping[str, Material]) -> str:
    hint = nearest(name, materials)
    return hint if "did you mean" in hint else "; expected an id from the files in materials/"


def _check_contents(layer: Entry, materials: Mapping[str, Material], report: Report) -> None:
    solid, framed, filled = layer.has("material"), layer.has("framing"), layer.has("fill")
    open_space, unit = layer.has("cavity"), layer.has("unit")
    if solid and framed:
        message = "has material and framing; expected material for a solid layer, or framing with a fill between"
        report.add(layer, Code.LAYER_CONTENTS, message, "material", key=True)
    elif not (solid or framed or open_space or filled or _misspelt(layer, "material", "framing", "cavity", "fill")):
        report.add(layer, Code.LAYER_CONTENTS, "has no contents; expected material, framing or cavity")
    if unit and not solid:
        report.add(
            layer, Code.LAYER_CONTENTS, "has unit without material; expected the unit's material", "unit", key=True
        )
    hollow = unit and layer.text("unit", "hollow") != "false"
    if filled and not framed and not hollow:
        wish = "framing in place of material" if solid else "material for a solid layer"
        message = f"has fill without framing or a hollow unit; expected {wish}"
        report.add(layer, Code.FILL_WITHOUT_CAVITY, message, "fill", key=True)
    if filled and open_space and not layer.has("cavity", "depth"):
        message = "has fill and a cavity without depth; expected cavity.depth, the part that stays open"
        report.add(layer, Code.LAYER_CONTENTS, message, "cavity", key=True)
    kind = materials[layer.text("material")].kind if layer.text("material") in materials else None
    needs = kind is not None and kind not in NO_OWN_THICKNESS
    if not (layer.has("thickness") or _misspelt(layer, "thickness")) and (
        framed or needs or (open_space and not solid)
    ):
        reason = f"its material is {kind}" if needs else "it is framed" if framed else "it is an open cavity"
        report.add(layer, Code.NO_THICKNESS, f"has no thickness, and {reason}; expected for example thickness: 1/2 in")


def _misspelt(layer: Entry, *keys: str) -> bool:
    """True if a key that the format does not have is meant to be one of `keys`, which has been said."""
    unknown = [key for key in layer.data if key not in LAYER_KEYS]
    return any(misspelt(key, unknown) for key in keys)


def _check_framing(layer: Entry, report: Report) -> None:
    width, spacing = layer.length("framing", "width"), layer.length("framing", "spacing")
    share = layer.number("framing", "fraction")
    if not width or not spacing:
        return
    said_width, said_spacing = layer.text("framing", "width"), layer.text("framing", "spacing")
    if width >= spacing:
        message = f"framing.width is {said_width}; expected less than the spacing of {said_spacing}"
        report.add(layer, Code.FRAMING_GEOMETRY, message, "framing", "width")
    elif (
        share is not None
        and layer.text("framing", "profile") in ("", "solid")
        and share + SHARE_ROUNDING < width / spacing
    ):
        message = (
            f"framing.fraction is {layer.text('framing', 'fraction')}; expected at least {width / spacing:.3f}, "
            f"which members of {said_width} at {said_spacing} already take"
        )
        report.add(layer, Code.FRAMING_GEOMETRY, message, "framing", "fraction")


def _check_unit(layer: Entry, report: Report) -> None:
    unit = layer.child("unit")
    if unit is None:
        return
    hollow = unit.text("hollow") != "false"
    shell, web, webs = unit.length("face_shell"), unit.length("web"), unit.number("webs")
    missing = [key for key in ("face_shell", "web", "webs") if not unit.has(key)]
    if hollow and missing:
        message = f"unit is hollow without {', '.join(missing)}; expected all three, or hollow: false"
        report.add(layer, Code.UNIT_GEOMETRY, message, "unit", key=True)
    depth, length, joint = layer.length("thickness"), unit.length("length"), unit.length("joint")
    if shell and depth and 2 * shell >= depth:
        message = f"unit.face_shell is {unit.text('face_shell')}; expected both to fit into the layer's {_said(layer)}"
        report.add(layer, Code.UNIT_GEOMETRY, message, "unit", "face_shell")
    if web and webs and length and web * webs >= length:
        said = f"{unit.text('webs')} webs of {unit.text('web')}"
        message = f"unit has {said}; expected them to leave room in its length of {unit.text('length')}"
        report.add(layer, Code.UNIT_GEOMETRY, message, "unit", "web")
    height = unit.length("height")
    for side in (length, height):
        if joint and side and joint >= side / 2:
            message = f"unit.joint is {unit.text('joint')}; expected far less than the unit's length and height"
            report.add(layer, Code.UNIT_GEOMETRY, message, "unit", "joint")


def _check_references(plan: Plan, report: Report) -> None:
    ids, names = plan.layer_ids(), plan.names()
    about = f'in variant "{plan.name}", ' if plan.variant else ""
    datum = plan.wall.text("datum")
    layer, _, side = datum.rpartition("-")
    if plan.variant and layer not in ids:  # the wall itself has passed
        message = f'takes away the layer of the datum "{datum}"; expected a layer of the same id in its place'
        report.add(plan.variant, Code.DATUM, message)
    elif datum and (layer not in ids or side not in ("exterior", "interior")):
        valid = [f"{name}-{face}" for name in ids for face in ("exterior", "interior")]
        hint = nearest(datum, valid)
        wish = hint if "did you mean" in hint else "; expected a layer id with -exterior or -interior"
        report.add(plan.wall, Code.DATUM, f'datum "{datum}" is no face of a layer{wish}', "datum")
    openings = plan.part("openings")
    flange = openings.text("flange_plane") if openings else ""
    if openings and flange and flange not in ids:
        message = f'{about}flange_plane names the layer "{flange}", which does not exist{nearest(flange, ids)}'
        report.add(openings, Code.UNKNOWN_LAYER, message, "flange_plane")
    inherited = plan.variant is not None and not plan.variant.has("installation")
    for step in plan.steps:
        for index, name in step.texts("layers"):
            if name in names:
                continue
            if inherited:
                message = (
                    f'layers names "{name}", which variant "{plan.name}" takes away; '
                    "expected an installation of the variant's own, or a layer of the same id in its place"
                )
            else:
                mine = "" if step.loc[:1] == ("variants",) else about
                message = f'{mine}layers names "{name}", which does not exist{nearest(name, names)}'
            if name:
                report.add(step, Code.UNKNOWN_LAYER, message, "layers", index)


def _check_groups(plan: Plan, report: Report) -> None:
    about = f'in variant "{plan.name}", ' if plan.variant else ""
    closed: set[str] = set()
    current = ""
    for layer in plan.layers:
        group = layer.text("group")
        if group != current:
            closed.add(current)
            current = group
        if not group:
            if layer.has("group_title"):
                message = "has group_title without group; expected both or neither"
                report.add(layer, Code.GROUP, message, "group_title", key=True)
        elif group in closed:
            message = f'{about}group "{group}" is taken up again after other layers; expected its layers side by side'
            report.add(layer, Code.GROUP, message, "group")
    first_title: dict[str, str] = {}
    for layer in plan.layers:
        group, title = layer.text("group"), layer.text("group_title")
        if group and group not in first_title:
            first_title[group] = title
        elif group and title:
            message = f'group_title stands on a later layer of group "{group}"; expected it on the first only'
            report.add(layer, Code.GROUP, message, "group_title", key=True)


def _check_total(plan: Plan, report: Report) -> None:
    about = f'in variant "{plan.name}", ' if plan.variant else ""
    if not plan.layers and plan.complete and plan.wall.get("layers") is not None:
        report.add(plan.wall, Code.NO_LAYERS, f"{about}the wall has no layers; expected at least one", "layers")
    total = sum(layer.length("thickness") or 0.0 for layer in plan.layers)
    if total > MAX_WALL:
        message = (
            f"{about}the layers add up to {total / units.INCH:.0f} in ({total:.2f} m); "
            f"expected no more than {MAX_WALL / units.INCH:.0f} in ({MAX_WALL} m)"
        )
        report.add(plan.wall, Code.TOTAL_THICKNESS, message, "layers", key=True)
