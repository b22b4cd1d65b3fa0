"""The shipped library as an office would keep it: sources named, fasteners that reach, steps that fit the crew page."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise
from math import exp
from typing import Any

import pytest
import yaml

from specgen import units
from specgen.checks.assess import assess
from specgen.checks.fastening import TOLERANCE, fastened_into, fastener_rows
from specgen.data import load_table
from specgen.library.load import load_project, open_library
from specgen.library.sites import project_site, site_from_zone
from specgen.model.base import Status
from specgen.model.finding import Severity
from specgen.model.material import Material
from specgen.model.site import Hazards, HazardValue
from specgen.model.wall import Wall

LIBRARY = open_library()
WALLS = tuple(LIBRARY.walls())
MATERIALS = tuple(LIBRARY.materials.values())
SOURCES = load_table("sources")
VALUES = ("conductivity", "density", "specific_heat", "permeability", "permeance", "water_uptake", "emissivity")
CONSTRUCTIONS = {"framed", "mass-exterior-insulated", "mass-interior-insulated", "mass-direct-render"}
DO_LENGTH = 44  # letters: a text one third longer still stands on the crew page's line

every_wall = pytest.mark.parametrize("wall", WALLS, ids=lambda wall: wall.name)
every_material = pytest.mark.parametrize("material", MATERIALS, ids=lambda material: material.id)


def values_of(material: Material) -> Iterator[Any]:
    yield from (getattr(material, name) for name in VALUES if getattr(material, name) is not None)
    yield from material.rated


def test_the_library_covers_what_a_residential_office_needs() -> None:
    kinds = {material.kind for material in MATERIALS}
    assert len(MATERIALS) >= 70
    assert kinds >= {
        "adhered-veneer", "batt", "block", "brick", "coating", "concrete", "drainage-mat", "fiber-cement", "fiberboard",
        "gypsum-board", "gypsum-sheathing", "lath", "loose-fill", "membrane", "metal", "mineral-board", "mortar",
        "panel-siding", "plaster", "rigid-foam", "sheet", "spray-foam", "stucco", "tile", "wall-covering", "wood",
        "wood-panel", "wood-siding",
    }  # fmt: skip


def test_there_is_one_wall_of_each_construction_with_the_variants_asked_for() -> None:
    assert {wall.construction for wall in WALLS} == CONSTRUCTIONS
    variants = {(wall.construction, wall.variant) for wall in WALLS if wall.variant}
    assert variants >= {("framed", "exterior-insulated"), ("mass-interior-insulated", "foam-plus-batt")}


@every_material
def test_each_value_names_a_source_that_exists(material: Material) -> None:
    for value in values_of(material):
        assert value.source == "common practice" or value.source in SOURCES, f"{material.id}: {value.source}"
        if value.source == "common practice":
            assert value.status in (Status.COMMON_PRACTICE, Status.FROM_MEMORY)
        else:
            assert value.status != Status.COMMON_PRACTICE


@every_material
def test_what_was_never_opened_is_not_called_confirmed(material: Material) -> None:
    for value in values_of(material):
        seen = SOURCES.get(value.source, {}).get("seen_in", "")
        if "nowhere" in seen:
            assert value.status == Status.FROM_MEMORY, f"{material.id}: {value.source} is known from memory only"
        if "transcription" in seen:
            assert value.status in (Status.SECONDARY, Status.FROM_MEMORY)


@every_material
def test_a_material_says_enough_for_the_rules_and_is_nobodys_product(material: Material) -> None:
    assert not material.products
    if material.kind not in ("lath", "metal"):
        assert material.permeance is not None or material.permeability is not None
    if material.kind in ("wood", "wood-panel", "wood-siding"):
        assert material.wood_based and material.combustible and material.absorptive
        assert material.moisture_sensitive != material.treated
    if material.kind in ("rigid-foam", "spray-foam"):
        assert material.foam_plastic and "foam-fire" in material.hazards
    if material.kind in ("stucco", "brick", "block", "concrete", "mortar", "adhered-veneer"):
        assert material.absorptive and "silica" in material.hazards
    if material.kind == "batt":
        assert material.air_open
        assert material.facing in ("none", "kraft")


@every_material
def test_value_lies_within_its_range_and_wet_cup_is_no_tighter(material: Material) -> None:
    conductivity = material.conductivity
    if conductivity:
        assert (conductivity.low or 0) <= conductivity.value <= (conductivity.high or 1e9)
    for vapor in (material.permeance, material.permeability):
        if vapor and vapor.wet is not None:
            assert vapor.wet >= vapor.dry


# Conductivity of solid concrete by density, k = 0.5 exp(0.02 d): ACI 122R (from memory); the masonry association's
# note 67A of 1986 prints 3.7 at 100 lb/ft3.
@pytest.mark.parametrize(
    ("id", "density"), [("block-105", 105), ("block-115", 115), ("block-125", 125), ("block-135", 135)]
)
def test_block_conductivity_follows_its_density(id: str, density: float) -> None:
    material = LIBRARY.materials[id]
    assert material.conductivity is not None and material.density is not None
    assert material.density.value == pytest.approx(density * units.DENSITY_IP)
    assert material.conductivity.value / units.K_IP == pytest.approx(0.5 * exp(0.02 * density), abs=0.005)


# R per inch as the national laboratory's consumer chart and the 2005 handbook print it; tolerance half the last digit.
@pytest.mark.parametrize(
    ("id", "r_per_inch", "half_digit"),
    [("xps", 5.0, 0.05), ("eps-type-ii", 4.0, 0.05), ("polyiso-foil-faced", 5.9, 0.05),
     ("mineral-wool-board", 4.1, 0.05), ("spray-foam-closed-cell", 5.8, 0.05), ("glass-fiber-blown", 4.0, 0.05),
     ("cellulose-dense", 3.4, 0.05)],
)  # fmt: skip
def test_insulation_has_the_r_per_inch_of_its_chart(id: str, r_per_inch: float, half_digit: float) -> None:
    conductivity = LIBRARY.materials[id].conductivity
    assert conductivity is not None
    assert units.INCH / conductivity.value / units.R_IP == pytest.approx(r_per_inch, abs=half_digit)


@every_wall
def test_each_fastener_reaches_as_deep_as_it_must(wall: Wall) -> None:
    rows = list(fastener_rows(wall))
    assert rows
    for _, name, fastening, passed in rows:
        assert passed is not None, (
            f"{wall.name}: {name} is fastened into {fastening.into}, which the wall does not have"
        )
        assert fastening.length is not None and fastening.penetration is not None, name
        depth = fastening.length - passed
        assert depth >= fastening.penetration - TOLERANCE, (
            f"{wall.name}: {name} gets {depth / units.INCH:.3f} in into {fastening.into}, "
            f"asked for {fastening.penetration / units.INCH:.3f} in"
        )


# 1/4 in furred lath + 3/8 in mat + 30 mil membrane + 7/16 in OSB = 1.09 in; a 2 in nail leaves 0.91 in for the stud.
def test_the_lath_nail_of_the_framed_wall_is_counted_by_hand() -> None:
    rows = {
        name: (fastening, passed) for _, name, fastening, passed in fastener_rows(LIBRARY.wall("framed-stucco-drained"))
    }
    fastening, passed = rows["lath"]
    assert fastening.length == pytest.approx(2 * units.INCH)
    assert passed == pytest.approx((0.25 + 0.375 + 0.030 + 0.4375) * units.INCH)


# IRC R703.7 and ASTM C1063 as codes and trade guides quote them: 3/8 + 3/8 + 1/8 in over lath, 144 sq ft, 18 ft.
@pytest.mark.parametrize("id", ["framed-stucco-drained", "block-interior-insulated-stucco"])
def test_stucco_on_lath_has_code_thickness_and_panels(id: str) -> None:
    wall = LIBRARY.wall(id)
    coats = [layer.depth for layer in wall.layers if layer.material and layer.material.kind == "stucco"]
    assert sum(coats) == pytest.approx(7 / 8 * units.INCH)
    assert wall.control_joints is not None
    assert wall.control_joints.area <= 144 * units.FOOT**2 + 1e-9
    assert wall.control_joints.length <= 18 * units.FOOT + 1e-9


@every_wall
def test_a_vetted_wall_is_complete_for_the_field(wall: Wall) -> None:
    assert wall.status == "approved"
    assert wall.approval is not None and "invented" in wall.approval.by
    assert wall.suits is not None and wall.suits.zones and len(wall.suits.because) > 100
    assert wall.base is not None and wall.base.cladding_clearance >= 4 * units.INCH - 1e-9
    assert wall.openings is not None and wall.openings.air_seal and wall.openings.sealant_joint
    assert {control for layer in wall.layers for control in layer.controls} >= {"water", "air", "thermal"}
    assert wall.sources and all(source in SOURCES for source in wall.sources)
    if any(layer.group == "stucco" for layer in wall.layers):
        assert wall.control_joints is not None
    for layer in wall.layers:
        assert layer.limits is not None or layer.fastening is not None, f"{wall.name}: {layer.id} has no limits"
        if layer.material and layer.material.kind == "stucco":
            assert layer.mix and layer.limits and layer.limits.air_min is not None


@every_wall
def test_foam_stands_clear_of_earth(wall: Wall) -> None:
    """At least 6 in, as IRC R318 asks where termites are very heavy (quoted in public pages)."""
    assert wall.base is not None
    if any(layer.material and layer.material.foam_plastic for layer in wall.layers):
        assert wall.base.foam_clearance is not None and wall.base.foam_clearance >= 6 * units.INCH


@every_wall
def test_steps_fit_the_crew_page_and_cover_every_layer(wall: Wall) -> None:
    assert 1 <= len(wall.installation) <= 10
    for step in wall.installation:
        assert len(step.do) <= DO_LENGTH, f"{wall.name}: {step.do!r} has {len(step.do)} letters"
        assert len(step.trade) <= 13
        assert 1 <= len(step.detail) <= 5  # a step of more is two steps
        for sentence in step.detail:
            assert sentence.endswith(".") and sentence[0].isupper(), sentence
        if step.hold_point:
            assert len(step.hold_point.name.split()) <= 3 and len(step.hold_point.name) <= 14
            assert step.hold_point.sign
    assert sum(1 for step in wall.installation if step.hold_point) >= 5
    named = {name for step in wall.installation for name in step.layers}
    parts = {layer.id for layer in wall.layers} | {part.id for layer in wall.layers for part in layer.embedded}
    assert parts <= named, f"{wall.name}: no step installs {sorted(parts - named)}"


@every_wall
def test_work_goes_from_the_structure_outward_before_the_interior(wall: Wall) -> None:
    trades = [step.trade for step in wall.installation]
    assert trades[0] in ("Framer", "Mason", "Concrete")
    assert trades[-1] == "Interior"
    order = {layer.id: index for index, layer in enumerate(wall.layers)}
    outside = [
        min(order[name] for name in step.layers if name in order)
        for step in wall.installation[:-1]
        if any(n in order for n in step.layers)
    ]
    core = next(
        i
        for i, layer in enumerate(wall.layers)
        if any(fastened_into(layer, base) for base in ("studs", "block", "concrete"))
    )
    outward = [index for index in outside if index <= core]
    # an inside coating may come late; whatever lies outside goes on from the structure outward
    assert all(later <= earlier or later == core for earlier, later in pairwise(outward))


def test_caution_lines_fit_the_crew_page() -> None:
    for wall in WALLS:
        for caution in wall.cautions:
            assert len(caution.do) <= 36 and len(caution.word) <= 14


def test_the_demo_project_is_invented_and_names_walls_that_exist() -> None:
    project = load_project(LIBRARY.folder / "demo" / "project.yaml")
    assert project.invented
    assert {row.tag for row in project.wall_types} == {"W1", "W1a", "W2", "W3", "W4", "W5"}
    zones = {project_site(project, site.id).zone_label for site in project.sites}
    assert zones == {"2A", "2B"}  # Harris County, TX and Maricopa County, AZ in the county list of the 2021 code
    for row in project.wall_types:
        wall = LIBRARY.wall(row.wall, row.variant or "")
        assert wall.suits is not None
        assert project_site(project, row.site).zone_label in wall.suits.zones
    assert "invented" in project.name and "invented" in project.office


def test_every_file_tells_editors_its_schema() -> None:
    for path in sorted(LIBRARY.folder.glob("**/*.yaml")):
        first = path.read_text(encoding="utf-8").splitlines()[0]
        assert first.startswith("# yaml-language-server: $schema=../schema/"), path
        assert yaml.safe_load(path.read_text(encoding="utf-8"))["schema"] == 1


@every_wall
@pytest.mark.parametrize("edition", ["2018", "2021", "2024"])
def test_each_claim_of_a_wall_holds_in_every_edition(wall: Wall, edition: str) -> None:
    """No error in a zone that the keeper claims, and no warning without the keeper's reason beside it."""
    assert wall.suits is not None
    for zone in wall.suits.zones:
        found = assess(wall, site_from_zone(zone, edition, edition))
        assert found.meets, [f"{zone} {finding.code}: {finding.message}" for finding in found.findings]
        assert found.energy_code.meets_prescriptive
        bare = [finding for finding in found.findings if finding.severity >= Severity.WARNING and not finding.explained]
        assert not bare, [f"{zone} {finding.code}: {finding.message}" for finding in bare]


def test_every_wall_type_of_the_demo_project_can_issue() -> None:
    project = load_project(LIBRARY.folder / "demo" / "project.yaml")
    for row in project.wall_types:
        found = assess(LIBRARY.wall(row.wall, row.variant or ""), project_site(project, row.site))
        assert found.meets, [f"{row.tag} {finding.code}: {finding.message}" for finding in found.findings]
        assert all(finding.explained for finding in found.findings if finding.severity >= Severity.WARNING)


def test_the_siding_wall_gives_its_reason_where_debris_flies() -> None:
    wall = LIBRARY.wall("block-exterior-insulated-siding")
    windy = Hazards(design_wind=HazardValue(67.0, "150 mph", True), wind_borne_debris=HazardValue(True, "yes", True))
    found = assess(wall, replace(site_from_zone("2A", "2021", "2021"), hazards=windy))
    warned = [finding for finding in found.findings if finding.severity == Severity.WARNING]
    assert [finding.code for finding in warned] == ["P30"]
    assert "engineer" in warned[0].explained
