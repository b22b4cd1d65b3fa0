"""A wall in, what 100 sq ft of it takes out: geometry only, layer by layer, exterior first.

Openings, corners, trim and accessories are left out; they follow from a project's elevations, not from a wall type.
Waste is kept apart from the net figure; where it is not stated by the wall it is common practice (`data/takeoff.yaml`).
"""

from __future__ import annotations

from collections.abc import Iterator

from specgen import units
from specgen.data import load_table
from specgen.model.material import Material
from specgen.model.wall import Embedded, Fastening, Laps, Layer, Wall
from specgen.takeoff.masonry import masonry_quantities
from specgen.takeoff.quantity import Measure, Quantity

REFERENCE_AREA = 100 * units.FOOT**2  # all quantities are for this much opaque wall [m²]
AREA_TEXT = "100 sq ft"

_BOARDS = {
    "wood-panel", "gypsum-board", "gypsum-sheathing", "fiberboard", "rigid-foam", "mineral-board", "panel-siding",
    "tile", "adhered-veneer", "wall-covering", "metal", "wood",
}  # fmt: skip
_PLASTERS = {"stucco", "plaster", "mortar"}
_SHEETS = {"sheet", "membrane"}
_SIDINGS = {"wood-siding", "fiber-cement"}
_POURED = {"loose-fill", "spray-foam"}
_SET_IN_MORTAR = {"adhered-veneer", "tile"}
COATS = {2: "two coats", 3: "three coats"}  # their areas are added up, and the line says so
_FASTENERS_BY = 10  # nobody counts nails one by one


def quantities(wall: Wall) -> tuple[Quantity, ...]:
    """Net quantities and waste for 100 sq ft of opaque wall, exterior first.

    Layers that stay as they are (`condition` other than new) take nothing.
    """
    found: list[Quantity] = []
    for layer in wall.layers:
        if layer.condition == "new":
            found += _layer_quantities(wall, layer)
    return tuple(found)


def _layer_quantities(wall: Wall, layer: Layer) -> Iterator[Quantity]:
    if layer.unit and layer.material:
        yield from masonry_quantities(layer, REFERENCE_AREA)
    elif layer.framing:
        yield _members(layer)
        if layer.fill:
            yield _filled(layer, layer.fill)
    elif layer.material:
        yield from _material(layer, layer.material)
    for part in layer.embedded:
        yield from _embedded(wall, layer, part)
    for fastening, name in ((layer.fastening, "fasteners"), (layer.ties, "ties")):
        if fastening:
            yield from _fasteners(wall, layer, layer.id, _title(layer), fastening, name)


def _material(layer: Layer, material: Material) -> Iterator[Quantity]:
    kind = material.kind
    if kind in _PLASTERS:
        yield _volume(layer, material, "plaster")
    elif kind == "concrete":
        yield _volume(layer, material, "grout", "poured")
    elif kind in _POURED:
        yield _volume(layer, material, kind)
    elif kind in _SIDINGS and layer.exposure:
        yield _courses(layer, material, layer.exposure)
    elif kind == "coating" or (kind in _SHEETS and _is_fluid(layer, material)):
        yield _coating(layer, material)
    elif kind in _SHEETS or kind in ("drainage-mat", "lath"):
        yield _lapped(layer.id, material, layer.laps)
    elif kind == "batt":
        yield _area(layer, material, "batt")
    elif kind in _BOARDS or kind in _SIDINGS:
        yield _area(layer, material, "board")
    if kind in _SET_IN_MORTAR and layer.fastening and layer.fastening.type == "bedded":
        yield _setting_bed(layer)


def _is_fluid(layer: Layer, material: Material) -> bool:
    return bool(layer.wet_film or layer.coats or material.film_forming)


def _area(layer: Layer, material: Material, waste: str) -> Quantity:
    return Quantity(
        layer.id, _title(layer), REFERENCE_AREA, "area", _waste(waste), f"{AREA_TEXT}, one layer", "computed"
    )


def _volume(layer: Layer, material: Material, waste: str, measure: Measure = "volume") -> Quantity:
    formula = f"{AREA_TEXT} × {_inches(layer.depth)} thick"
    return Quantity(layer.id, _title(layer), REFERENCE_AREA * layer.depth, measure, _waste(waste), formula, "computed")


def _setting_bed(layer: Layer) -> Quantity:
    """Mortar behind an adhered veneer; its materials count the bed into the thickness, so the wall gives no layer."""
    assert layer.fastening
    bed = load_table("takeoff")["setting_bed"]
    thickness = bed["thickness"] * units.INCH
    name = f"{_title(layer)}: {layer.fastening.name or 'setting mortar'}"
    formula = f"{AREA_TEXT} × {_inches(thickness)} bed"
    status = bed["status"].replace("-", " ")
    return Quantity(layer.id, name, REFERENCE_AREA * thickness, "volume", _waste("plaster"), formula, status)


def _coating(layer: Layer, material: Material) -> Quantity:
    """Gallons where the wet film is stated, else the area to be coated, coat by coat."""
    coats = layer.coats or 1
    times = f" × {coats} coats" if coats > 1 else ""
    waste = _waste("fluid" if layer.wet_film else "coating")
    if layer.wet_film:
        formula = f"{AREA_TEXT} × {layer.wet_film / units.MIL:.3g} mil wet{times}"
        volume = REFERENCE_AREA * layer.wet_film * coats
        return Quantity(layer.id, _title(layer), volume, "liquid", waste, formula, "computed")
    formula = f"{AREA_TEXT}{times}; gallons by the label's spreading rate"
    title = f"{_title(layer)}, {COATS.get(coats, f'{coats} coats')} together" if coats > 1 else _title(layer)
    return Quantity(layer.id, title, REFERENCE_AREA * coats, "area", waste, formula, "computed")


def _courses(layer: Layer, material: Material, exposure: float) -> Quantity:
    formula = f"{AREA_TEXT} ÷ {_inches(exposure)} exposure"
    return Quantity(layer.id, _title(layer), REFERENCE_AREA / exposure, "length", _waste("siding"), formula, "computed")


def _members(layer: Layer) -> Quantity:
    """Lineal feet: lumber from the framing factor, so plates and headers count; metal members from their spacing."""
    framing = layer.framing
    assert framing
    if framing.profile == "solid" and framing.fraction > 0:
        length = REFERENCE_AREA * framing.fraction / framing.width
        formula = f"{AREA_TEXT} × {framing.fraction:g} framing ÷ {_inches(framing.width)} face"
    else:
        length = REFERENCE_AREA / framing.spacing
        formula = f"{AREA_TEXT} ÷ {_inches(framing.spacing)} on center"
    return Quantity(layer.id, framing.material.label, length, "length", _waste("lumber"), formula, "computed")


def _filled(layer: Layer, fill: Material) -> Quantity:
    framing = layer.framing
    assert framing
    share = 1 - framing.fraction
    depth = layer.depth - (layer.cavity.depth if layer.cavity and layer.cavity.depth else 0.0)
    if fill.kind in _POURED:
        formula = f"{AREA_TEXT} × {share:g} between members × {_inches(depth)} deep"
        volume = REFERENCE_AREA * share * depth
        if fill.kind == "loose-fill" and fill.density is not None:  # it is blown by the bag and checked by weight
            formula += f" × {fill.density.value / units.DENSITY_IP:.2g} lb/cu ft"
            mass = volume * fill.density.value
            return Quantity(layer.id, fill.label, mass, "mass", _waste(fill.kind), formula, "computed")
        return Quantity(layer.id, fill.label, volume, "volume", _waste(fill.kind), formula, "computed")
    formula = f"{AREA_TEXT} × {share:g} between members"
    waste = _waste("batt" if fill.kind == "batt" else "board")
    return Quantity(layer.id, fill.label, REFERENCE_AREA * share, "area", waste, formula, "computed")


def _embedded(wall: Wall, layer: Layer, part: Embedded) -> Iterator[Quantity]:
    if part.material.kind in ("lath", "sheet", "membrane"):
        yield _lapped(part.id, part.material, part.laps)
    if part.fastening:
        yield from _fasteners(wall, layer, part.id, part.material.label, part.fastening, "fasteners")


def _lapped(id: str, material: Material, laps: Laps | None) -> Quantity:
    """Area with laps: each sheet covers its size less the laps that the wall states."""
    waste = _waste({"lath": "lath", "drainage-mat": "mat"}.get(material.kind, "sheet"))
    sheet = next((row for row in load_table("takeoff")["sheets"] if row["kind"] == material.kind), None)
    if not laps or not sheet or not (laps.side or laps.end):
        return Quantity(id, material.label, REFERENCE_AREA, "area", waste, f"{AREA_TEXT}, no laps stated", "computed")
    width, length = sheet["width"] * units.INCH, sheet["length"] * units.INCH
    side, end = laps.side or 0.0, laps.end or 0.0
    area = REFERENCE_AREA * width * length / ((width - side) * (length - end))
    lapped = " and ".join(f"{_inches(lap)} {word}" for lap, word in ((side, "side"), (end, "end")) if lap)
    basis = f"computed; sheet size {sheet['status'].replace('-', ' ')}"
    return Quantity(id, material.label, area, "area", waste, f"{AREA_TEXT} in {sheet['what']}, {lapped} laps", basis)


def _fasteners(wall: Wall, layer: Layer, id: str, title: str, fastening: Fastening, word: str) -> Iterator[Quantity]:
    """Count from the spacing both ways; between members it is that of the members they go into."""
    across = fastening.spacing_across or _member_spacing(wall, layer, fastening)
    if fastening.by_engineer or not fastening.spacing or not across:
        return
    if fastening.spacing_field:
        yield _panel_fasteners(id, title, fastening, fastening.spacing, fastening.spacing_field, across)
        return
    formula = f"{AREA_TEXT} ÷ ({_inches(fastening.spacing)} × {_inches(across)})"
    name = fastening.name or word
    count = REFERENCE_AREA / (fastening.spacing * across)
    yield Quantity(id, f"{title}: {name}", count, "count", _waste("fastener"), formula, "computed", _FASTENERS_BY)


def _panel_fasteners(id: str, title: str, fastening: Fastening, edges: float, field: float, members: float) -> Quantity:
    """Rows along all four edges of each panel, and along the members between, at the spacing of the field."""
    width, length = (side * units.INCH for side in load_table("takeoff")["panel"])
    between = max(round(width / members) - 1, 0)
    per_panel = 2 * (width + length) / edges + between * length / field
    count = REFERENCE_AREA / (width * length) * per_panel
    formula = f"{AREA_TEXT} in 4 × 8 ft panels, {_inches(edges)} on edges, {_inches(field)} in the field"
    name = fastening.name or "fasteners"
    return Quantity(id, f"{title}: {name}", count, "count", _waste("fastener"), formula, "computed", _FASTENERS_BY)


def _member_spacing(wall: Wall, layer: Layer, fastening: Fastening) -> float | None:
    """On center, of the studs or furring that the fastener goes into; nearest first, inward before outward."""
    if fastening.into not in ("studs", "furring"):
        return None
    index = wall.layers.index(layer)
    for other in (*wall.layers[index:], *reversed(wall.layers[:index])):
        if other.framing and other is not layer:
            return other.framing.spacing
    return None


def _title(layer: Layer) -> str:
    if layer.label:
        return layer.label
    return layer.main_material.label if layer.main_material else layer.id


def _waste(name: str) -> float:
    share: float = load_table("takeoff")["waste"][name]
    return share


def _inches(length: float) -> str:
    return f"{units.format_inches(length)} in"
