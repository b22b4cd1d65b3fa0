"""Files to walls: fragments, variants, places, hashes, migration, names that do not exist, bounded work."""

from __future__ import annotations

import shutil
import time
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from pytest import approx

from specgen.errors import InputError, SpecgenError, UnknownNameError
from specgen.library import load as load_module
from specgen.library.load import load_project, load_wall_file, migrated, open_library
from specgen.units import INCH, MIL

FILES = Path(__file__).parent / "files"
OFFICE = FILES / "office"


@pytest.fixture
def office(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A copy of the valid library, the current folder."""
    folder = tmp_path / "office"
    shutil.copytree(OFFICE, folder)
    monkeypatch.chdir(folder)
    return folder


def edit(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


def test_a_wall_is_resolved() -> None:
    wall = open_library(OFFICE).wall("small")
    assert [layer.id for layer in wall.layers] == [
        "brown", "scratch", "gap", "wrb", "sheathing", "studs", "board", "paint",
    ]  # fmt: skip
    studs = wall.layer("studs")
    assert studs.fill is not None and studs.fill.title == "Mineral wool batt"
    assert studs.framing is not None and studs.framing.material.title == "Softwood lumber"
    assert studs.framing.spacing == approx(16 * INCH)
    assert wall.layer("scratch").mix == "1:4"
    assert wall.layer("scratch").embedded[0].material.kind == "lath"
    assert wall.layer("wrb").thickness == approx(30 * MIL)
    assert wall.thickness == approx((3 / 8 * 3 + 0.030 + 7 / 16 + 5.5 + 0.5) * INCH)
    assert wall.revision.date == date(2026, 11, 2)
    assert wall.variants == ("exterior-insulated",)
    assert [step.do for step in wall.installation][-1] == "Hang and tape the board."


def test_places_lead_to_the_line_that_was_written(office: Path) -> None:
    wall = open_library(Path(".")).wall("small")
    assert (wall.place.file, wall.place.line) == ("framed/small.yaml", 2)
    wrb, board = wall.layer("wrb").place, wall.layer("board").place
    assert (wrb.file, wrb.line, wrb.column) == ("framed/small.yaml", 20, 5)
    assert (board.file, board.line, board.column) == ("fragments/interior.yaml", 6, 5)
    lath = wall.layer("scratch").embedded[0].place
    assert (lath.file, lath.line, lath.column) == ("framed/small.yaml", 18, 9)


def test_a_variant_replaces_what_it_gives_and_keeps_the_rest() -> None:
    library = open_library(OFFICE)
    wall, variant = library.wall("small"), library.wall("small", "exterior-insulated")
    assert (variant.id, variant.name) == ("small", "small+exterior-insulated")
    assert (variant.title, variant.variant_title) == (wall.title, "With exterior insulation")
    assert variant.suits is not None and variant.suits.zones == ("5A",)
    assert variant.openings == wall.openings and variant.installation == wall.installation
    assert [layer.id for layer in variant.layers if layer not in wall.layers] == ["foam"]
    assert variant.index("foam") == variant.index("wrb") + 1


@pytest.mark.parametrize(
    ("change", "layers"),
    [
        ("{replace: gap, layers: [{id: mat, material: foam, thickness: 1 in}]}", "brown scratch mat wrb sheathing"),
        ("{insert_after: gap, layers: [{id: x, material: paint}]}", "brown scratch gap x wrb sheathing"),
        ("{insert_before: brown, layers: [{id: x, material: paint}]}", "x brown scratch gap wrb sheathing"),
        ("{remove: gap}", "brown scratch wrb sheathing"),
        ("{remove: gap, also: [{remove: brown}]}", "scratch wrb sheathing"),
        (
            "{insert_after: wrb, layers: [{id: x, material: paint}],"
            " also: [{replace: x, layers: [{id: y, material: paint}]}]}",
            "brown scratch gap wrb y sheathing",
        ),
        (
            "{replace: studs, layers: [{use: fragments/service}]}",
            "brown scratch gap wrb sheathing service",
        ),
    ],
    ids=["replace", "insert_after", "insert_before", "remove", "also", "also-on-own-layer", "fragment"],
)  # fmt: skip
def test_each_action_of_a_variant(change: str, layers: str, office: Path) -> None:
    (office / "fragments/service.yaml").write_text(
        "schema: 1\nid: service\ntitle: Service space\n"
        "layers: [{id: service, thickness: 1 in, cavity: {kind: unventilated}}]\n"
    )
    path = office / "framed/small.yaml"
    text = path.read_text()
    start, end = text.index("    insert_after: wrb"), text.index("    suits: {zones: [5A]")
    own = "    installation: [{trade: all, do: Build it.}]\n"
    body = "".join(f"    {line}\n" for line in flow_to_lines(change))
    path.write_text(text[:start] + body + own + text[end:])
    wall = open_library(office).wall("small", "exterior-insulated")
    assert " ".join(layer.id for layer in wall.layers if layer.id not in ("studs", "board", "paint")) == layers


def flow_to_lines(change: str) -> list[str]:
    """The keys of a mapping in braces, one on each line."""
    import yaml

    return [f"{key}: {yaml.safe_dump(value, default_flow_style=True).splitlines()[0]}" if not isinstance(value, str)
            else f"{key}: {value}" for key, value in yaml.safe_load(change).items()]  # fmt: skip


def test_load_after_load_is_identical() -> None:
    first, second = list(open_library(OFFICE).walls()), list(open_library(OFFICE).walls())
    assert first == second
    assert [wall.model_dump_json() for wall in first] == [wall.model_dump_json() for wall in second]


def test_walls_come_in_order_each_with_its_variants() -> None:
    library = open_library(OFFICE)
    assert library.wall_ids == ("small", "block")
    assert [wall.name for wall in library.walls()] == ["small", "small+exterior-insulated", "block"]


def hash_after(office: Path, file: str, old: str, new: str) -> str:
    edit(office / file, old, new)
    return open_library(office).wall("small").content_hash


def test_the_hash_follows_all_that_the_wall_depends_on(office: Path) -> None:
    start = open_library(office).wall("small").content_hash
    wall = hash_after(office, "framed/small.yaml", "A small framed wall", "A framed wall")
    fragment = hash_after(office, "fragments/interior.yaml", "coats: 2", "coats: 3")
    material = hash_after(office, "materials/all.yaml", "value: 0.11 W", "value: 0.12 W")
    assert len({start, wall, fragment, material}) == 4


def test_the_hash_ignores_what_the_wall_does_not_use(office: Path) -> None:
    start = open_library(office).wall("small").content_hash
    assert hash_after(office, "materials/all.yaml", "value: 1.4 W", "value: 1.5 W") == start  # grout
    assert hash_after(office, "materials/all.yaml", "\n", "\n# a remark\n") == start


def test_the_hash_ignores_the_kind_of_line_end(office: Path) -> None:
    start = open_library(office).wall("small").content_hash
    for path in office.glob("*/*.yaml"):
        path.write_bytes(path.read_bytes().replace(b"\n", b"\r\n"))
    assert open_library(office).wall("small").content_hash == start


def test_a_wall_file_may_lie_anywhere(office: Path, tmp_path: Path) -> None:
    elsewhere = tmp_path / "mine.yaml"
    text = (office / "framed/small.yaml").read_text().replace("id: small\n", "id: mine\n")
    elsewhere.write_text(text)
    wall, variant = load_wall_file(elsewhere, open_library(office))
    assert (wall.id, variant.name) == ("mine", "mine+exterior-insulated")


def test_names_that_do_not_exist_give_the_nearest() -> None:
    library = open_library(OFFICE)
    with pytest.raises(UnknownNameError, match=r"^wall 'smal' does not exist; did you mean 'small'\?$"):
        library.wall("smal")
    message = r"^variant of small 'interior-insulated' does not exist; did you mean 'exterior-insulated'\?$"
    with pytest.raises(UnknownNameError, match=message):
        library.wall("small", "interior-insulated")


def says(*lines: str) -> Any:
    """Expect an InputError of exactly these lines."""
    import re

    return pytest.raises(InputError, match="^" + "\n".join(map(re.escape, lines)) + "$")


def test_folders_that_are_no_library(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    wish = "expected a library with materials/ and walls by construction"
    with says(f"nowhere:1:1: L001 there is no such folder; {wish}"):
        open_library(Path("nowhere"))
    (tmp_path / "empty").mkdir()
    with says("empty:1:1: L001 there are no files in materials/; expected the materials that the walls name"):
        _ = open_library(Path("empty")).materials


def test_files_that_would_be_passed_over_or_taken_for_another(office: Path) -> None:
    shutil.copy("framed/small.yaml", "framed/other.yml")
    shutil.copy("framed/small.yaml", "mass-direct-render/small.yaml")
    with says(
        "framed/other.yml:1:1: L001 the file would not be read; expected the ending .yaml, as other.yaml",
        'mass-direct-render/small.yaml:1:1: L032 "small" is also framed/small.yaml; expected one file for each wall id',
    ):
        open_library(Path("."))


def test_a_wall_that_is_not_there(office: Path) -> None:
    with says("framed/none.yaml:1:1: L001 there is no such file; expected an existing YAML file"):
        load_wall_file(Path("framed/none.yaml"), open_library(Path(".")))


def test_walls_of_a_library_report_all_files_at_once(office: Path) -> None:
    edit(office / "framed/small.yaml", "material: osb", "material: osbb")
    edit(office / "mass-direct-render/block.yaml", "material: block", "material: blok")
    edit(office / "fragments/interior.yaml", "coats: 2", "coats: two")
    with says(
        'fragments/interior.yaml:7:41: L020 layer "paint": coats is two; expected a whole number, for example 2',
        'framed/small.yaml:21:31: L033 layer "sheathing": material "osbb" does not exist; did you mean "osb"?',
        'mass-direct-render/block.yaml:11:15: L033 layer "cmu": material "blok" does not exist; did you mean "block"?',
    ):
        open_library(Path(".")).walls()


def test_a_project_is_read() -> None:
    project = load_project(FILES / "project.yaml", open_library(OFFICE))
    assert project.number == "0142"
    assert project.code.energy == "IECC 2021"
    assert project.sites[0].hazards.wind_borne_debris is None
    assert project.sites[0].hazards.design_wind == approx(115 * 0.44704)  # exact: 1609.344 m in 3600 s
    assert [wall_type.tag for wall_type in project.wall_types] == ["W1", "W1a"]


def test_a_project_without_a_library_does_not_ask_for_walls(office: Path) -> None:
    shutil.copy(FILES / "project.yaml", "project.yaml")
    edit(office / "project.yaml", "wall: small, site: north", "wall: other, site: north")
    assert load_project(Path("project.yaml")).wall_types[0].wall == "other"


# Migration


@pytest.mark.parametrize("path", sorted(FILES.glob("schema-*-wall.yaml")), ids=lambda path: path.stem)
def test_every_older_wall_file_still_loads(path: Path) -> None:
    wall, variant = load_wall_file(path, open_library(OFFICE))
    new = open_library(OFFICE).wall("small")
    assert wall.layers == new.layers or [layer.id for layer in wall.layers] == [layer.id for layer in new.layers]
    assert variant.variant == "exterior-insulated"


def test_a_file_of_each_format_number_is_kept() -> None:
    kept = {int(path.stem.split("-")[1]) for path in FILES.glob("schema-*-wall.yaml")}
    assert kept == set(range(1, load_module.SCHEMA + 1))
    assert set(load_module.MIGRATIONS) == set(range(1, load_module.SCHEMA))


def test_migration_goes_one_number_at_a_time() -> None:
    # Two changes of format that never were, to show the walk: a key renamed, then a key dropped.
    def renamed(data: dict[str, Any]) -> dict[str, Any]:
        return {("title" if key == "name" else key): value for key, value in data.items()}

    def dropped(data: dict[str, Any]) -> dict[str, Any]:
        return {key: value for key, value in data.items() if key != "color"}

    rules = {1: renamed, 2: dropped}
    old = {"schema": "1", "name": "A wall", "color": "gray"}
    assert migrated(old, rules, 3) == {"schema": "3", "title": "A wall"}
    assert migrated({"schema": "3", "title": "A wall"}, rules, 3) == {"schema": "3", "title": "A wall"}
    assert migrated({"schema": "9"}, rules, 3) == {"schema": "9"}
    assert old == {"schema": "1", "name": "A wall", "color": "gray"}


def test_an_older_file_is_read_by_a_newer_tool(office: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def renamed(data: dict[str, Any]) -> dict[str, Any]:
        return {("title" if key == "name" else key): value for key, value in data.items()}

    edit(office / "framed/small.yaml", "schema: 1\n", "schema: 0\n")
    edit(office / "framed/small.yaml", "title: A small framed wall", "name: A small framed wall")
    monkeypatch.setattr(load_module, "MIGRATIONS", {0: renamed})
    assert open_library(office).wall("small").title == "A small framed wall"


# Bounded work: files of good form and far too many entries

HEAD = """\
schema: 1
id: small
title: Far too much
construction: framed
revision: {number: 1, date: 2026-11-02, note: x}
datum: a-exterior
"""
LAYER = "  - {id: a, material: paint}\n"
MANY = {
    "layers of no material": HEAD + "layers:\n" + "  - {id: a, material: osbb}\n" * 15_000,
    "layers": HEAD + "layers:\n" + "".join(f"  - {{id: a{n}, material: paint}}\n" for n in range(20_000)),
    "unknown keys": HEAD + "layers:\n" + LAYER + "".join(f"key{n}: 1\n" for n in range(60_000)),
    "variants": HEAD + "layers:\n" + LAYER + "variants:\n" + "".join(
        f"  - {{id: v{n}, title: v, insert_after: a, layers: [{{id: b, material: paint}}]}}\n" for n in range(9_000)
    ),
    "changes": HEAD + "layers:\n" + LAYER + "variants:\n  - id: v\n    title: v\n    remove: a\n    also:\n"
    + "      - {insert_after: a, layers: [{id: b, material: paint}]}\n" * 9_000,
    "fragments": HEAD + "layers:\n" + LAYER + "  - use: fragments/interior\n" * 30_000,
    "steps": HEAD + "layers:\n" + LAYER + "installation:\n" + "  - {trade: a, do: b, layers: [zz]}\n" * 15_000,
    "words": HEAD + "sources: [" + "a, " * 90_000 + "a]\nlayers:\n" + LAYER,
    "wrong values": HEAD + "layers:\n" + "  - {id: A B, thickness: 1, coats: x, controls: [q, r]}\n" * 9_000,
}  # fmt: skip


@pytest.mark.parametrize("text", MANY.values(), ids=MANY.keys())
def test_far_too_many_entries_cost_little(text: str, office: Path) -> None:
    assert len(text) < 1_000_000
    (office / "framed/small.yaml").write_text(text)
    library = open_library(office)
    assert library.materials
    start = time.process_time()
    with pytest.raises(SpecgenError) as caught:
        library.wall("small")
    assert time.process_time() - start < 10  # measured: under 3 s for the worst on a slow core
    assert len(str(caught.value)) < 200_000


def test_a_library_is_quick_to_open() -> None:
    start = time.process_time()
    library = open_library()
    count = len(library.materials)
    # Aim: a hundred materials in 0.3 s; measured about 0.06 s. The bound leaves room for a slow core.
    assert time.process_time() - start < 0.3 * max(1, count / 100) * 3


@pytest.mark.parametrize("name", ["framed/other.yaml", "fragments/other.yaml", "materials/other.yaml"])
def test_a_link_out_of_the_library_is_not_read(name: str, office: Path, tmp_path: Path) -> None:
    (tmp_path / "away.yaml").write_text("secret: yes\n", encoding="utf-8")
    (office / name).symlink_to(tmp_path / "away.yaml")
    with pytest.raises(InputError, match=f"{name}:1:1: L001 the link leads out of the library") as caught:
        open_library(office)
    assert "secret" not in str(caught.value)


def test_a_link_inside_the_library_and_a_library_behind_a_link_are_read(office: Path, tmp_path: Path) -> None:
    (office / "materials/all.yaml").rename(office / "all.yaml")
    (office / "materials/all.yaml").symlink_to("../all.yaml")
    (tmp_path / "shared").symlink_to(office)
    assert open_library(tmp_path / "shared").wall("small").id == "small"


@pytest.mark.parametrize("name", ["../office/framed/small", "framed/small", "/etc/passwd", ".."])
def test_a_wall_is_named_by_its_id_and_by_nothing_that_leads_elsewhere(name: str) -> None:
    with pytest.raises(UnknownNameError, match="does not exist"):
        open_library(OFFICE).wall(name)


def test_a_fragment_name_that_leads_elsewhere_is_refused(office: Path) -> None:
    edit(office / "framed/small.yaml", "fragments/interior", "fragments/../materials/all")
    with pytest.raises(InputError, match="fragments/"):
        open_library(office).wall("small")
