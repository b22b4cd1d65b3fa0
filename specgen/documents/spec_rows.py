"""Rows of the section's tables, taken from the fields of a wall: each number from the one field that holds it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from specgen.documents import printed
from specgen.documents.spec_subjects import lath_in, mesh_in, structure_index
from specgen.drawing.callouts import layer_name
from specgen.model.assessment import Assessment
from specgen.model.material import Material
from specgen.model.wall import Fastening, Laps, Layer, Wall

NOT_GIVEN = "–"
CEMENT_PLASTER = "ASTM C926"  # the practice that a cement stucco names among its standards
_COAT_WORDS = {1: "one", 2: "two", 3: "three", 4: "four"}


def numbered_steps(wall: Wall) -> list[dict[str, Any]]:
    """The steps in order; a hold point has the number of its step, as on the crew page, so numbers may skip."""
    steps: list[dict[str, Any]] = []
    for number, step in enumerate(wall.installation, 1):
        point = step.hold_point
        steps.append(
            {
                "trade": step.trade,
                "do": step.do,
                "detail": step.detail,
                "limits": step.limits,
                "hold": number if point is not None else 0,
                "point": {
                    "number": number,
                    "name": point.name,
                    "check": point.check,
                    "sign": point.sign,
                    "record": point.record,
                }
                if point is not None
                else None,
            }
        )
    return steps


def control_rows(wall: Wall) -> list[dict[str, Any]]:
    """Water, air, vapor, thermal: which layers are declared to be it; controls of the same layers share a row."""
    rows: dict[tuple[str, ...], list[str]] = {}
    for control in ("water", "air", "vapor", "thermal"):
        names = [_control_name(layer, control) for layer in wall.layers if control in layer.controls]
        if names:
            rows.setdefault(tuple(dict.fromkeys(names)), []).append(control)
    return [{"controls": controls, "layers": list(names)} for names, controls in rows.items()]


def _control_name(layer: Layer, control: str) -> str:
    return layer.fill.label if control == "thermal" and layer.fill is not None else layer_name(layer)


def limit_table(
    wall: Wall, layers: Sequence[Layer] | None = None
) -> tuple[list[str], str, list[list[str]], list[dict[str, str]]]:
    """Weather limits by layer (head, column markup, rows) and what each layer asks of its base.

    Parameters
    ----------
    wall : Wall
        Whose layers.
    layers : sequence of Layer, optional
        Only these.
    """
    columns: tuple[tuple[str, str, Any], ...] = (
        ("Layer", "4l", None),
        ("Air and surface", "4l", lambda limits: _span(limits.air_min, limits.air_max)),
        ("Wind", "3l", lambda limits: limits.wind_max and f"{printed.mph(limits.wind_max)} or less"),
        ("Keep rain off for", "3l", lambda limits: limits.rain_protection and printed.duration(limits.rain_protection)),
        ("Cover within", "3l", lambda limits: limits.exposure_max and printed.duration(limits.exposure_max)),
    )
    limited = [layer for layer in (wall.layers if layers is None else layers) if layer.limits is not None]
    cells = [
        [
            _limited_name(layer),
            *((reader(layer.limits) or NOT_GIVEN) for _, _, reader in columns if reader is not None),
        ]
        for layer in limited
    ]
    rows = _merged([row for row in cells if any(cell != NOT_GIVEN for cell in row[1:])])
    used = [index for index in range(len(columns)) if index == 0 or any(row[index] != NOT_GIVEN for row in rows)]
    base_lines: dict[str, list[str]] = {}
    structure = structure_index(wall)
    outward = [layer for layer in limited if wall.index(layer.id) <= structure][::-1]
    for layer in outward + [layer for layer in limited if wall.index(layer.id) > structure]:  # the order of the work
        if layer.limits is not None and layer.limits.base:
            base_lines.setdefault(layer.limits.base, []).append(_limited_name(layer))
    return (
        [columns[index][0] for index in used],
        " ".join(columns[index][1] for index in used),
        [[row[index] for index in used] for row in rows],
        [{"layer": _listed(names), "text": text.rstrip(".")} for text, names in base_lines.items()],
    )


def _limited_name(layer: Layer) -> str:
    """Limits of members with a fill are those of the fill: the framing has been accepted when it goes in."""
    return layer.fill.label if layer.framing is not None and layer.fill is not None else layer_name(layer)


def permeance_rows(layers: Sequence[Layer]) -> list[dict[str, str]]:
    """Dry and wet cup values of the layers' materials as the library has them, each with its status."""
    rows: list[dict[str, str]] = []
    seen: set[str] = set()
    for layer in layers:
        for material in (layer.material, layer.fill):
            if material is None or material.id in seen or material.air_open:
                continue
            seen.add(material.id)
            row = _permeance_row(layer, material)
            same = next((other for other in rows if row and {**other, "label": ""} == {**row, "label": ""}), None)
            if same is not None:
                same["label"] += f", {printed.lowered(material.label)}"
            elif row:
                rows.append(row)
    return rows


def _permeance_row(layer: Layer, material: Material) -> dict[str, str] | None:
    if material.permeance is not None:
        value = material.permeance
        at = f" at {printed.inches(value.thickness)}" if value.thickness is not None else ""
        wet = printed.perms(value.wet) if value.wet is not None else NOT_GIVEN
        return {"label": material.label + at, "dry": printed.perms(value.dry), "wet": wet, "status": value.status}
    if material.permeability is not None:
        rate = material.permeability
        wet = printed.perm_inches(rate.wet) if rate.wet is not None else NOT_GIVEN
        return {"label": material.label, "dry": printed.perm_inches(rate.dry), "wet": wet, "status": rate.status}
    return None


def layer_resistances(assessment: Assessment) -> dict[str, float]:
    """What each layer resists where it resists most: between its members, or over the whole wall. [m²·K/W]"""
    found: dict[str, float] = {}
    for path in assessment.thermal.paths:
        for part in path.resistances:
            found[part.layer] = max(found.get(part.layer, 0.0), part.resistance)
    return found


def rating_lines(wall: Wall) -> list[str]:
    """Ratings that someone entered; blank ones do not print in a section."""
    ratings = wall.ratings
    lines = []
    if ratings.fire_hours:
        extra = "".join(f", {text}" for text in (ratings.fire_listing, ratings.fire_exposed_sides) if text)
        lines.append(f"Fire resistance: {ratings.fire_hours}{extra}")
    if ratings.stc:
        lines.append(f"Sound transmission class: {ratings.stc}")
    if ratings.oitc:
        lines.append(f"Outdoor-indoor transmission class: {ratings.oitc}")
    if ratings.cladding_weight is not None:
        lines.append(f"Weight of the cladding: {printed.pounds_per_square_foot(ratings.cladding_weight)}")
    if ratings.design_pressure is not None:
        lines.append(f"Design pressure of the cladding: {printed.pressure(ratings.design_pressure)}")
    return lines


def fastening_rows(layers: Sequence[Layer]) -> list[dict[str, str]]:
    """Each fastening and lap of these layers that has a figure: layers, ties, embedded parts, exterior first."""
    return [
        {
            "part": part.name,
            "fastener": printed.fastener(part.record) if part.record and part.record.type != "friction" else NOT_GIVEN,
            "spacing": _spacing(part),
            "depth": _depth(part.record) if part.record is not None else NOT_GIVEN,
        }
        for part in _held_parts(layers)
        if part.has_figures
    ]


def fastening_notes(layers: Sequence[Layer]) -> list[str]:
    """What a fastening record adds in words, and which fastening is the engineer's."""
    held = [(part, part.record) for part in _held_parts(layers) if part.record is not None]
    engineered = [part.name for part, record in held if record.by_engineer and part.has_figures]
    notes = []
    if engineered:
        names = _listed([printed.lowered(name) for name in engineered])
        notes.append(
            f"By the engineer's sealed layout, submitted before ordering and governing over the table: {names}."
        )
    return notes + [
        f"{part.name}: {printed.closed(printed.lowered(record.note))}" for part, record in held if record.note
    ]


@dataclass(frozen=True, slots=True)
class _HeldPart:
    name: str
    record: Fastening | None
    laps: Laps | None = None

    @property
    def has_figures(self) -> bool:
        record = self.record
        return self.laps is not None or (record is not None and bool(record.length or record.spacing))


def _held_parts(layers: Sequence[Layer]) -> list[_HeldPart]:
    found: list[_HeldPart] = []
    for layer in layers:
        found += [_HeldPart(part.material.label, part.fastening, part.laps) for part in layer.embedded]
        name = layer_name(layer)
        if layer.fastening is not None and layer.fastening.type == "friction" and layer.fill is not None:
            name = layer.fill.label
        found.append(_HeldPart(name, layer.fastening, layer.laps))
        if layer.ties is not None:
            found.append(_HeldPart(f"{layer_name(layer)}, ties", layer.ties))
    return [part for part in found if part.record is not None or part.laps is not None]


def coat_context(wall: Wall, layers: tuple[Layer, ...]) -> dict[str, Any]:
    """What a stucco subject sees: its coats in the order of application, their sum, cure and weather limits."""
    coats = list(reversed(layers))
    limits = [layer.limits for layer in layers if layer.limits is not None]
    support = wall.layers[structure_index(wall)].framing
    rows = [
        {
            "coat": layer_name(layer),
            "thickness": layer.thickness,
            "mix": layer.mix or NOT_GIVEN,
            "first": n == 0,
            "last": n == len(coats) - 1,
        }
        for n, layer in enumerate(coats)
    ]
    standards = [text for layer in coats if layer.material is not None for text in layer.material.standards]
    cement = not standards or any(text.startswith(CEMENT_PLASTER) for text in standards)
    return {
        "coat_rows": rows,
        "mix_rows": [] if cement and not all(layer.mix for layer in coats) else rows,
        "cement": cement,
        "coat_words": _COAT_WORDS.get(len(coats), str(len(coats))),
        "total": sum(layer.depth for layer in layers),
        "ground": _ground(wall, layers),
        "lath": lath_in(layers),
        "mesh": mesh_in(layers),
        "support_spacing": support.spacing if support is not None else None,
        "coldest": max((x.air_min for x in limits if x.air_min is not None), default=None),
        "hottest": min((x.air_max for x in limits if x.air_max is not None), default=None),
        "windiest": min((x.wind_max for x in limits if x.wind_max is not None), default=None),
        "cure_rows": [
            {
                "coat": layer_name(layer),
                "moist": printed.duration(layer.cure.moist) if layer.cure.moist else NOT_GIVEN,
                "before_next": printed.duration(layer.cure.before_next) if layer.cure.before_next else NOT_GIVEN,
            }
            for layer in coats
            if layer.cure is not None
        ],
    }


def _ground(wall: Wall, coats: tuple[Layer, ...]) -> float:
    """Depth that the screed spans: from the stucco face to the water-control layer that laps its flange. [m]"""
    stucco = wall.index(coats[-1].id)
    waters = [i for i, layer in enumerate(wall.layers) if "water" in layer.controls and i > stucco]
    return wall.faces[min(waters)] if waters else wall.faces[stucco + 1]


def _span(low: float | None, high: float | None) -> str:
    if low is not None and high is not None:
        return f"{printed.fahrenheit(low)} to {printed.fahrenheit(high)}"
    if low is not None:
        return f"{printed.fahrenheit(low)} or above"
    return f"{printed.fahrenheit(high)} or below" if high is not None else ""


def _spacing(part: _HeldPart) -> str:
    record, laps = part.record, part.laps
    words = []
    if record is not None and record.spacing is not None and record.spacing_field is not None:
        words.append(f"{printed.inches(record.spacing)} at edges, {printed.inches(record.spacing_field)} in the field")
    elif record is not None:
        words.append(f"{printed.inches(record.spacing)} apart" if record.spacing is not None else "")
        words.append(f"rows {printed.inches(record.spacing_across)} apart" if record.spacing_across is not None else "")
    if record is not None and record.edge_distance is not None:
        words.append(f"{printed.inches(record.edge_distance)} from edges")
    if laps is not None:
        words.append(f"side laps {printed.inches(laps.side)}" if laps.side is not None else "")
        words.append(f"end laps {printed.inches(laps.end)}" if laps.end is not None else "")
    text = ", ".join(word for word in words if word)
    return text or ("by engineer" if record is not None and record.by_engineer else NOT_GIVEN)


def _depth(record: Fastening) -> str:
    if record.penetration is not None:
        return f"{printed.inches(record.penetration)} into {record.into or 'the base'}"
    return f"into {record.into}" if record.into else NOT_GIVEN


def _merged(rows: list[list[str]]) -> list[list[str]]:
    """Layers with the same limits share a row."""
    merged: dict[tuple[str, ...], list[str]] = {}
    for row in rows:
        merged.setdefault(tuple(row[1:]), []).append(row[0])
    return [[_listed(names), *cells] for cells, names in merged.items()]


def _listed(names: list[str]) -> str:
    unique = list(dict.fromkeys(names))
    return printed.listed([unique[0], *(printed.lowered(name) for name in unique[1:])])
