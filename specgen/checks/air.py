"""Air: a layer that stops it, where that layer stands in hot-humid and in cold zones, and no loop behind insulation."""

from __future__ import annotations

from collections.abc import Iterator

from specgen import units
from specgen.checks.layers import FIBROUS, HAIR, INSULATION, Reading, hot_humid, kind_of, name_of
from specgen.checks.rules import ERROR, WARNING, Case, Rule
from specgen.model.finding import Finding

# Materials that the energy code takes as airtight without a test at these thicknesses: IECC C402.5 (from memory) [m]
DEEMED = {
    "wood-panel": 3 / 8 * units.INCH,
    "gypsum-board": 1 / 2 * units.INCH,
    "gypsum-sheathing": 1 / 2 * units.INCH,
    "plaster": 5 / 8 * units.INCH,
    "stucco": 5 / 8 * units.INCH,
    "concrete": 0.0,
}
BONDED_COATS = ("coating", "membrane", "stucco", "plaster", "mortar", "concrete")  # what closes the face of block


def check_air_control(case: Case) -> Iterator[Finding]:
    """P20: some layer controls air."""
    if not case.reading.controls("air"):
        message = "no layer of this wall controls air; name the one whose joints to roof, floor and windows are sealed."
        yield case.finding("P20", ERROR, message, None)


def check_outboard_air_control(case: Case) -> Iterator[Finding]:
    """P21: in hot-humid zones air control stands outside of air-open insulation."""
    index = _air_open(case.reading)
    if index is None or not case.reading.controls("air"):
        return  # with no air control at all P20 speaks
    if not case.reading.controls("air", range(index)):
        message = (
            f"{name_of(case.reading.layers[index])} is open to air and no air control stands outside of it in zone "
            f"{case.site.zone_label}; seal the sheathing, the barrier or the masonry face."
        )
        yield case.finding("P21", ERROR, message, index)


def _air_open(reading: Reading) -> int | None:
    """The outermost air-open insulation in the structure or inside of it."""
    for i in range(reading.body.start, len(reading.layers)):
        layer = reading.layers[i]
        body = layer.material or layer.fill  # what fills the cores of block is enclosed by it
        if body and body.air_open and body.kind in INSULATION:
            return i
    return None


def check_air_material(case: Case) -> Iterator[Finding]:
    """P22: bare block as air barrier; P23 speaks of other untested materials."""
    reading = case.reading
    for i in reading.controls("air"):
        layer = reading.layers[i]
        grouted = bool(layer.unit and layer.unit.grout and layer.unit.grout.solid)
        if kind_of(layer) == "block" and not grouted and not _coated(reading, i):
            message = f"{name_of(layer)} is named as air control but bare block leaks air; coat or parge a face of it."
            yield case.finding("P22", ERROR, message, i)


def _coated(reading: Reading, index: int) -> bool:
    """A bonded coat lies on one face of this layer."""
    beside = [i for i in (index - 1, index + 1) if 0 <= i < len(reading.layers)]
    return any(kind_of(reading.layers[i]) in BONDED_COATS for i in beside)


def check_untested(case: Case) -> Iterator[Finding]:
    """P23: what is named as air control was tested as an air-barrier material."""
    for i in case.reading.controls("air"):
        layer = case.reading.layers[i]
        material = layer.main_material
        if material is None or material.air_barrier or material.kind == "block":
            continue
        if material.kind not in DEEMED or layer.depth < DEEMED[material.kind] - HAIR:
            message = (
                f"{name_of(layer)} is named as air control but no test (ASTM E2178, 0.004 cfm/sq ft at 75 Pa) is on "
                f"file for it."
            )
            yield case.finding("P23", WARNING, message, i)


def check_loop(case: Case) -> Iterator[Finding]:
    """P24: no connected air space between masonry and the insulation inside of it."""
    reading = case.reading
    for i in range(reading.body.stop, reading.insulation_inside[0]):
        layer = reading.layers[i]
        empty = layer.cavity is not None or (layer.framing is not None and layer.fill is None and not layer.material)
        if empty:
            severity = ERROR if case.site.zone >= 4 else WARNING
            message = (
                f"{name_of(layer)} leaves an air space between the masonry and the insulation; set the insulation "
                f"tight, or seal the space at all edges."
            )
            yield case.finding("P24", severity, message, i)


def check_cold_inside(case: Case) -> Iterator[Finding]:
    """P25: in zones 5 to 8 air-open cavity insulation has an airtight layer on its inner side."""
    reading = case.reading
    fill = reading.layers[reading.body.stop - 1].fill
    if (
        fill
        and fill.kind in FIBROUS
        and not reading.controls("air", reading.inboard)
        and not reading.insulation_outside
    ):
        message = (
            f"{name_of(reading.layers[reading.body.stop - 1])} has no air control inside of it in zone "
            f"{case.site.zone_label} and no insulation outside; make the interior board or membrane airtight."
        )
        yield case.finding("P25", WARNING, message, reading.body.stop - 1)


RULES = (
    Rule("P20", check_air_control),
    Rule("P21", check_outboard_air_control, lambda case: hot_humid(case.site)),
    Rule("P22", check_air_material),
    Rule("P23", check_untested),
    Rule("P24", check_loop, lambda case: not case.reading.framed and bool(case.reading.insulation_inside)),
    Rule("P25", check_cold_inside, lambda case: case.reading.framed and case.site.zone >= 5),
)
