"""Tables of a section by product: what the walls of a project ask of it, one row where they agree, tags where not."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from specgen.documents import printed
from specgen.documents.cautions import wall_cautions
from specgen.documents.merged_markup import TYPE, TYPE_WIDTH, Tagged, merged, merged_rows
from specgen.documents.schedule import ScheduleRow
from specgen.documents.spec_rows import (
    NOT_GIVEN,
    fastening_notes,
    fastening_rows,
    limit_table,
    numbered_steps,
    permeance_rows,
    rating_lines,
)
from specgen.documents.spec_subjects import FILLS, Subject
from specgen.drawing.callouts import layer_name
from specgen.model.wall import Layer, Step

NOT_HERE = "-"  # in place of the other sections of a step that is none of this one
OUTSIDE, INSIDE = "Outdoor air", "Room"
# Fields that one product may have in several sizes; where walls differ, the table by wall type has them.
_SIZES = ("thickness", "coats", "wet_film")
_PAINTING = re.compile(r"(?:Prime|Paint)\b")  # how a sentence for the painter begins
_OWN_TABLES = ("stucco-on-lath", "direct-stucco", "adhered-veneer")  # subjects that print their sizes by coat

Table = dict[str, Any]
Rows = Sequence[tuple[str, Sequence[Sequence[str]]]]


@dataclass(frozen=True, slots=True)
class Use:
    """One subject of one wall type of the project."""

    row: ScheduleRow
    subject: Subject
    subjects: tuple[Subject, ...]  # all of the wall

    @property
    def tag(self) -> str:
        return self.row.wall_type.tag

    @property
    def names(self) -> tuple[str, ...]:
        """Ids of the subject's layers and of what is embedded in them, as steps name them."""
        layers = self.subject.layers
        return tuple(layer.id for layer in layers) + tuple(part.id for layer in layers for part in layer.embedded)


def agreed_layers(uses: Sequence[Use]) -> dict[tuple[str, str], tuple[Layer, ...]]:
    """The layers of each tag and subject without the sizes in which the walls differ on one material, which stand in
    a table, and without their controls, which stand in a line of Part 2."""
    sizes: dict[tuple[str, str, str], set[object]] = {}
    for use in uses:
        for layer in _sized(use):
            for name in _SIZES:
                sizes.setdefault((use.subject.id, layer.material.id, name), set()).add(getattr(layer, name))  # type: ignore[union-attr]
    found: dict[tuple[str, str], tuple[Layer, ...]] = {}
    for use in uses:
        sized = {layer.id for layer in _sized(use)}
        found[use.tag, use.subject.id] = tuple(
            (_agreed(layer, use.subject.id, sizes) if layer.id in sized else layer).model_copy(update={"controls": ()})
            for layer in use.subject.layers
        )
    return found


def _sized(use: Use) -> list[Layer]:
    """Layers whose sizes a table may carry; members, fills and coats of stucco have theirs in the subject's text."""
    if use.subject.id in _OWN_TABLES:
        return []
    return [
        layer
        for layer in use.subject.layers
        if layer.material is not None and layer.framing is None and layer.fill is None
    ]


def _agreed(layer: Layer, subject: str, sizes: dict[tuple[str, str, str], set[object]]) -> Layer:
    assert layer.material is not None
    differing = [name for name in _SIZES if len(sizes[subject, layer.material.id, name]) > 1]
    return layer.model_copy(update=dict.fromkeys(differing)) if differing else layer


def section_tables(uses: Sequence[Use], steps: Sequence[tuple[Use, Sequence[str]]]) -> dict[str, Any]:
    """What the templates of a section see of its walls.

    Parameters
    ----------
    uses : sequence of Use
        Subjects of this section, wall by wall.
    steps : sequence of (Use, sequence of str)
        For each wall type once: for each of its steps `NOT_HERE` if it is not of this section, else the other sections
        that it belongs to, listed.
    """
    said = _by_tag(uses)
    return {
        "place_table": _table("5l 5l 5l", ("In this section", "Outward of it", "Inward of it"), _places(uses), True),
        "size_table": _sizes(uses),
        "limit_table": _limits(uses),
        "base_table": _table("5l 9l", ("Before this goes on", "Its base is"), _bases(uses)),
        "permeance_table": _table(
            "5l 3l 3l 4l",
            ("Layer", "Dry cup", "Wet cup", "Status"),
            [(tag, [_permeance_cells(row) for row in permeance_rows(layers)]) for tag, layers in said],
        ),
        "fastening_table": _table(
            "4l 7l 5l 4l",
            ("Part", "Fastener", "Spacing and laps", "Least depth"),
            [(tag, [list(row.values()) for row in fastening_rows(layers)]) for tag, layers in said],
        ),
        "fastening_notes": _notes([(tag, fastening_notes(layers)) for tag, layers in said], len(said)),
        "steps": _steps(steps, _paint_only(uses)),
        "hold_table": _holds(steps, _paint_only(uses)),
        "controls": _notes(_controls(uses), len(said)),
        "ratings": _notes([(use.tag, rating_lines(use.row.wall)) for use, _ in steps], len(said)),
        "cautions": _cautions(uses),
        "used_table": _table("5l 8l", ("Site", "Where"), _where(steps), True),
    }


def _by_tag(uses: Sequence[Use]) -> list[tuple[str, list[Layer]]]:
    layers: dict[str, list[Layer]] = {}
    for use in uses:
        layers.setdefault(use.tag, []).extend(_own_part(use))
    return list(layers.items())


def _own_part(use: Use) -> tuple[Layer, ...]:
    """The layers of a subject without what another trade puts between the same members: studs without their fill, a
    fill without its studs. What such a layer asks before it is closed is the fill's to keep."""
    if use.subject.id in FILLS:
        return tuple(
            layer.model_copy(update={"framing": None, "label": layer.fill.label}) if layer.fill is not None else layer
            for layer in use.subject.layers
        )
    return tuple(
        layer.model_copy(update={"fill": None, "controls": (), "limits": None}) if layer.fill is not None else layer
        for layer in use.subject.layers
    )


def _table(columns: str, head: Sequence[str], said: Rows, by_type: bool = False) -> Table | None:
    """A table for a template, None without rows; `by_type` gives it the column of tags in any case."""
    typed, rows = merged_rows(said)
    if by_type and not typed:
        everyone = ", ".join(dict.fromkeys(tag for tag, _ in said))
        rows = [[everyone, *row] for row in rows]
    if not rows:
        return None
    if typed or by_type:
        return {"columns": f"{TYPE_WIDTH} {columns}", "head": [TYPE, *head], "rows": rows}
    return {"columns": columns, "head": list(head), "rows": rows}


def _places(uses: Sequence[Use]) -> Rows:
    """Each run of neighboring layers of this section and what stands on either side; work at openings and base."""
    found: list[tuple[str, list[list[str]]]] = []
    for use in uses:
        layers = use.row.wall.layers
        indices = [use.row.wall.index(layer.id) for layer in use.subject.layers]
        runs: list[list[int]] = []
        for index in indices:
            if runs and index == runs[-1][-1] + 1:
                runs[-1].append(index)
            else:
                runs.append([index])
        rows = [
            [
                printed.listed(
                    name if place == 0 else printed.lowered(name)
                    for place, name in enumerate(_sized_name(use.subject, layers[i]) for i in run)
                ),
                layer_name(layers[run[0] - 1]) if run[0] else OUTSIDE,
                layer_name(layers[run[-1] + 1]) if run[-1] + 1 < len(layers) else INSIDE,
            ]
            for run in runs
        ]
        if use.subject.id == "flashing":
            rows = [["Flashing of openings and base", "Cladding", "Water-control layer"]]
        elif use.subject.id == "sealant":
            beads = {"stucco-on-lath", "direct-stucco", "adhered-veneer"} & {subject.id for subject in use.subjects}
            rows = [["Joints at openings", OUTSIDE, "Frames and casing beads" if beads else "Frames and cladding"]]
        found.append((use.tag, rows))
    return found


def _sized_name(subject: Subject, layer: Layer) -> str:
    name = layer_name(layer)
    if subject.id in FILLS and layer.fill is not None:
        name = layer.fill.label
    return f"{name} {printed.inches(layer.thickness)}" if layer.thickness else name


def _sizes(uses: Sequence[Use]) -> Table | None:
    """Sizes of the materials that come in more than one."""
    agreed = agreed_layers(uses)
    columns: tuple[tuple[str, str, Callable[[Layer], str]], ...] = (
        ("Thickness", "3l", lambda layer: printed.inches(layer.thickness) if layer.thickness else NOT_GIVEN),
        ("Coats", "2l", lambda layer: str(layer.coats) if layer.coats else NOT_GIVEN),
        ("Wet film of each coat", "3l", lambda layer: printed.mils(layer.wet_film) if layer.wet_film else NOT_GIVEN),
    )
    said: list[tuple[str, list[list[str]]]] = []
    for use in uses:
        left = agreed[use.tag, use.subject.id]
        pairs = zip(use.subject.layers, left, strict=True)
        differing = [whole for whole, part in pairs if any(getattr(whole, n) != getattr(part, n) for n in _SIZES)]
        said.append((use.tag, [[layer_name(layer), *(read(layer) for _, _, read in columns)] for layer in differing]))
    every = [row for _, rows in said for row in rows]
    kept = [0, *(i + 1 for i in range(len(columns)) if any(row[i + 1] != NOT_GIVEN for row in every))]
    heads, widths = ("Layer", *(name for name, _, _ in columns)), ("5l", *(width for _, width, _ in columns))
    rows = [(tag, [[row[i] for i in kept] for row in rows]) for tag, rows in said]
    return _table(" ".join(widths[i] for i in kept), [heads[i] for i in kept], rows, True)


def _limits(uses: Sequence[Use]) -> Table | None:
    tables = [(use.tag, limit_table(use.row.wall, _own_part(use))) for use in uses]
    heads: dict[str, str] = {}
    for _, (head, widths, rows, _) in tables:
        if rows:
            heads |= dict(zip(head, widths.split(), strict=True))
    order = sorted(heads, key=("Layer", "Air and surface", "Wind", "Keep rain off for", "Cover within").index)
    said = [
        (tag, [[dict(zip(head, row, strict=True)).get(name, NOT_GIVEN) for name in order] for row in rows])
        for tag, (head, _, rows, _) in tables
    ]
    return _table(" ".join(heads[name] for name in order), order, said)


def _bases(uses: Sequence[Use]) -> Rows:
    return [
        (use.tag, [[line["layer"], line["text"]] for line in limit_table(use.row.wall, _own_part(use))[3]])
        for use in uses
    ]


def _permeance_cells(row: dict[str, str]) -> list[str]:
    return [row["label"], row["dry"], row["wet"], printed.STATUSES[row["status"]]]


def _notes(said: Sequence[tuple[str, Sequence[str]]], count: int) -> list[dict[str, str]]:
    """Lines with the tags of the walls that have them, no tags where all have."""
    return [_note(line, count) for line in merged(said)]


def _note(line: Tagged[str], count: int) -> dict[str, str]:
    return {"tags": "" if len(line.tags) == count else ", ".join(line.tags), "text": line.item}


def _paint_only(uses: Sequence[Use]) -> bool:
    """Whether this is the painter's section: paint and nothing else."""
    return {use.subject.id for use in uses} == {"paint"}


def _own_sentences(use: Use, step: Step, painter: bool) -> tuple[str, ...]:
    """Of a step that closes the wall and paints it, the sentences for the painter, or those for the others."""
    painted = {layer.id for subject in use.subjects if subject.id == "paint" for layer in subject.layers}
    named = set(step.layers)
    if not painted & named or named <= painted:
        return step.detail
    return tuple(each for each in step.detail if bool(_PAINTING.match(each)) == painter) or step.detail


def _steps(steps: Sequence[tuple[Use, Sequence[str]]], painter: bool) -> list[dict[str, Any]]:
    """Steps that touch this section, each once with its tags, its hold points by wall type and its other sections."""
    said: list[tuple[str, list[Any]]] = []
    points: dict[Any, list[str]] = {}
    for use, others in steps:
        mine = []
        wall = use.row.wall
        for said_step, step, other in zip(wall.installation, numbered_steps(wall), others, strict=True):
            if other != NOT_HERE:
                detail = _own_sentences(use, said_step, painter)
                item = (step["do"], step["trade"], detail, step["limits"] or "", other)
                mine.append(item)
                points.setdefault(item, [])
                held = step["hold"] and not (painter and other)
                points[item] += [f"{use.tag} no. {step['hold']}"] if held else []
        said.append((use.tag, mine))
    keys = ("do", "trade", "detail", "limits", "others")
    return [
        dict(zip(keys, line.item, strict=True))
        | {"tags": "" if len(line.tags) == len(said) else ", ".join(line.tags), "holds": points[line.item]}
        for line in merged(said)
    ]


def _holds(steps: Sequence[tuple[Use, Sequence[str]]], painter: bool) -> Table | None:
    """Hold points of those steps; the numbers are those of each wall's own crew page."""
    numbers: dict[tuple[str, str, str], list[str]] = {}
    said: list[tuple[str, list[tuple[str, str, str]]]] = []
    for use, others in steps:
        rows = []
        for step, other in zip(numbered_steps(use.row.wall), others, strict=True):
            point = step["point"]
            if other == NOT_HERE or point is None or (painter and other):  # signed before the board that is painted
                continue
            record = f" Record: {printed.closed(printed.lowered(point['record']))}" if point["record"] else ""
            row = (point["name"], printed.sentence(point["check"]) + record, printed.capitalized(point["sign"]))
            numbers.setdefault(row, []).append(f"{use.tag} no. {point['number']}")
            rows.append(row)
        said.append((use.tag, rows))
    table = [[printed.listed(numbers[line.item]), *line.item] for line in merged(said)]
    head = ["Type and number", "Hold point", "Check and record", "Signed by"]
    return {"columns": "3l 3l 8l 4l", "head": head, "rows": table} if table else None


def _controls(uses: Sequence[Use]) -> list[tuple[str, list[str]]]:
    """`Water and air control layer: membrane`, for each wall type."""
    found: dict[str, list[str]] = {use.tag: [] for use in uses}
    for use in uses:
        for layer in _own_part(use):
            if layer.controls:
                name = layer_name(layer)
                controls = printed.capitalized(printed.listed(layer.controls))
                found[use.tag].append(f"{controls} control layer: {printed.lowered(name)}.")
    return list(found.items())


def _cautions(uses: Sequence[Use]) -> list[dict[str, str]]:
    """The usual cautions that the materials of this section call up, and where the whole list stands."""
    found: dict[str, str] = {}
    for use in uses:
        whole = use.row.wall.layers
        part = use.row.wall.model_copy(update={"layers": _own_part(use), "cautions": ()})
        bare = use.row.wall.model_copy(update={"layers": (), "cautions": ()})
        always = {caution.word for caution in wall_cautions(bare)} if whole else set()
        for caution in wall_cautions(part):
            if caution.word not in always:
                found.setdefault(caution.word, caution.detail)
    return [{"word": word, "detail": detail} for word, detail in found.items()]


def _where(steps: Sequence[tuple[Use, Sequence[str]]]) -> Rows:
    return [(use.tag, [[use.row.site.name, use.row.wall_type.where]]) for use, _ in steps]
