"""What a house keeps of each subject: one row of `keep_rows.txt` for one requirement, printed for a wall that has it.

Each row is looked for in the section by product of its subject and in the wall's own section. A reader of the table
sees which subjects are covered, by which words, and how the figure behind them is known.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pytest
from test_project_spec import library, project, words
from test_spec import lines_of

from specgen.checks.assess import assess
from specgen.documents.project_spec import project_sections
from specgen.documents.schedule import ScheduleRow
from specgen.documents.section_numbers import section_numbers
from specgen.documents.spec import spec_document
from specgen.documents.spec_subjects import structure_index, wall_subjects
from specgen.library.sites import project_site, site_from_zone
from specgen.model.wall import Layer, Wall

TABLE = Path(__file__).with_name("keep_rows.txt")
STATUSES = r"confirmed|secondary|from memory|common practice|titles only|in principle|own field|house figures"


@dataclass(frozen=True)
class Row:
    title: str
    key: str
    subject: str  # whose section prints it
    wall: str
    probes: tuple[str, ...]
    source: str

    @property
    def id(self) -> str:
        return f"{self.title}: {self.key}"


def read_rows() -> list[Row]:
    rows: list[Row] = []
    title = subject = wall = ""
    for line in TABLE.read_text(encoding="utf-8").splitlines():
        if line.startswith("=="):
            title, subject, wall = (part.strip() for part in line[2:].split("|"))
        elif line and not line.startswith("#"):
            key, said, source = (part.strip() for part in line.split(" :: "))
            source, _, other = source.partition(" @ ")
            said, _, also = said.partition(" @ ")
            named = re.fullmatch(r"(.*) \[([a-z-]+)\]", key)
            key, where = (named.group(1), named.group(2)) if named else (key, subject)
            rows.append(Row(title, key, where, other or also or wall, tuple(said.split(" && ")), source))
    return rows


ROWS = read_rows()


def with_material(wall: Wall, name: str, material: str) -> Wall:
    """The wall with another material in a layer (or, as `layer.part`, in what is embedded there)."""
    id, _, part = name.partition(".")
    other = library().materials[material]

    def new(layer: Layer) -> Layer:
        if layer.id != id:
            return layer
        if part:
            made = tuple(e.model_copy(update={"material": other}) if e.id == part else e for e in layer.embedded)
            return layer.model_copy(update={"embedded": made})
        return layer.model_copy(update={"fill" if layer.fill is not None else "material": other})

    return wall.model_copy(update={"layers": tuple(map(new, wall.layers))})


def horizontal_furring(wall: Wall) -> Wall:
    def new(layer: Layer) -> Layer:
        if layer.framing is None or layer.cavity is None:
            return layer
        framing = layer.framing.model_copy(update={"orientation": "horizontal"})
        return layer.model_copy(update={"framing": framing})

    return wall.model_copy(update={"layers": tuple(map(new, wall.layers))})


def without_lath_and_mat(wall: Wall) -> Wall:
    """Veneer on its scratch coat on bare block."""
    kept = [layer for layer in wall.layers if layer.id not in ("mat", "wrb")]
    bare = tuple(layer.model_copy(update={"embedded": ()}) for layer in kept)
    return wall.model_copy(update={"layers": bare, "installation": (), "openings": None, "variants": ()})


def sealed_board(wall: Wall) -> Wall:
    def new(layer: Layer) -> Layer:
        return layer.model_copy(update={"controls": ("air",)}) if layer.id == "board" else layer

    return wall.model_copy(update={"layers": tuple(map(new, wall.layers))})


def bare_block(wall: Wall) -> Wall:
    """The structure and what is inside of it, nothing before it."""
    return wall.model_copy(
        update={"layers": wall.layers[structure_index(wall) :], "installation": (), "openings": None}
    )


def meshed(wall: Wall) -> Wall:
    """Glass mesh bedded in the base coat."""
    (lath,) = library().wall("framed-stucco-drained", "").layer("scratch-coat").embedded
    mesh = lath.model_copy(update={"material": library().materials["glass-fiber-mesh"], "fastening": None})
    layers = (x.model_copy(update={"embedded": (mesh,)}) if x.id == "base-coat" else x for x in wall.layers)
    return wall.model_copy(update={"layers": tuple(layers)})


CHANGES = {
    "mesh": meshed,
    "bare": bare_block,
    "horizontal": horizontal_furring,
    "board-is-air-control": sealed_board,
    "draft": lambda wall: wall.model_copy(update={"status": "draft"}),
}


@cache
def wall_named(name: str) -> Wall:
    if name == "block-interior-foam-adhered-veneer-on-bare-block":
        return without_lath_and_mat(library().wall("block-interior-foam-adhered-veneer", ""))
    name, _, swap = name.partition("@")
    id, _, variant = name.partition("+")
    wall = library().wall(id, "" if variant in CHANGES else variant)
    wall = CHANGES[variant](wall) if variant in CHANGES else wall
    return with_material(wall, *swap.split("=")) if swap else wall


def said_in_sections(name: str) -> dict[str, str]:
    """Text by subject id of the sections by product of a project that has this wall alone."""
    wall, site = wall_named(name), project_site(project(), project().sites[0].id)
    if name.startswith("framed-siding-cold"):  # what is asked of cold climates alone
        site = site_from_zone("6A", "2021", "2021")
    row = ScheduleRow(project().wall_types[0], wall, site, assess(wall, site))
    made = {section.number: words(section) for section in project_sections(project(), [row])}
    return {s.id: made[section_numbers().line(s.id)["number"]] for s in wall_subjects(wall)}


@cache
def printed(name: str) -> tuple[dict[str, str], str]:
    wall = wall_named(name)
    zone = "6A" if name.startswith("framed-siding-cold") else "2A"
    whole = spec_document(wall, assess(wall, site_from_zone(zone, "2021", "2021")), tag="W1")
    return said_in_sections(name), "\n".join(lines_of(whole)).replace("\u202f", " ")


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.id)
def test_a_kept_requirement_is_printed(row: Row) -> None:
    sections, whole = printed(row.wall)
    for probe in row.probes:
        assert re.search(probe, sections[row.subject]), f"section by product: {probe}"
        assert re.search(probe, whole), f"section of the wall: {probe}"


def test_each_row_says_how_its_figure_is_known() -> None:
    assert len({row.id for row in ROWS}) == len(ROWS) > 200
    for row in ROWS:
        assert re.search(STATUSES, row.source), row.id


def test_no_row_is_met_by_a_wall_that_lacks_the_material() -> None:
    """The probes find their own subject, not words that each section has: a bare concrete wall meets few of them."""
    text = printed("concrete-direct-stucco")[1]
    foreign = [row for row in ROWS if row.subject not in {s.id for s in wall_subjects(wall_named(row.wall))}]
    assert not foreign
    subjects = {s.id for s in wall_subjects(wall_named("concrete-direct-stucco"))}
    other = [row for row in ROWS if row.subject not in subjects]
    met = [row.id for row in other if all(re.search(probe, text) for probe in row.probes)]
    assert len(met) < len(other) / 10, met
