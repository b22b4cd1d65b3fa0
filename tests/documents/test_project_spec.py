"""Sections by product: each subject of each wall in one section, said once where the walls agree, conflicts found."""

from __future__ import annotations

import hashlib
import json
import os
import re
import subprocess
import sys
from collections import Counter
from collections.abc import Iterable
from functools import cache
from itertools import pairwise

import pytest
from typer.testing import CliRunner

from specgen import units
from specgen.checks.assess import assess
from specgen.checks.entries import finding_entries
from specgen.cli import app
from specgen.documents.markup import parse_markup, typeset
from specgen.documents.merged_markup import merged, merged_markup, merged_rows
from specgen.documents.printed import inches, mils, perms
from specgen.documents.project_spec import ProjectSection, project_sections
from specgen.documents.schedule import ScheduleRow
from specgen.documents.section_numbers import section_numbers
from specgen.documents.spec import cited_standards
from specgen.documents.spec_subjects import wall_subjects
from specgen.library.load import Library, load_project, open_library
from specgen.library.sites import project_site
from specgen.model.document import Flow, Heading, Paragraph, Table
from specgen.model.project import Project
from specgen.model.wall import Layer, Wall
from specgen.resources import shipped
from specgen.review.conflicts import project_conflicts
from specgen.write.pdf import write_pdf


@cache
def library() -> Library:
    return open_library()


@cache
def project() -> Project:
    return load_project(shipped("assemblies") / "demo" / "project.yaml")


@cache
def rows() -> tuple[ScheduleRow, ...]:
    found = []
    for entry in project().wall_types:
        wall, site = library().wall(entry.wall, entry.variant or ""), project_site(project(), entry.site)
        found.append(ScheduleRow(entry, wall, site, assess(wall, site)))
    return tuple(found)


@cache
def whole_library() -> tuple[ScheduleRow, ...]:
    """Every wall that ships, as wall types T1, T2 … of one project at the demo's first site."""
    site = project_site(project(), project().sites[0].id)
    first = project().wall_types[0]
    found = []
    for n, wall in enumerate(library().walls(), start=1):
        entry = first.model_copy(update={"tag": f"T{n}", "wall": wall.id, "variant": wall.variant or None})
        found.append(ScheduleRow(entry, wall, site, assess(wall, site)))
    return tuple(found)


@cache
def sections() -> dict[str, ProjectSection]:
    return {section.file_name: section for section in project_sections(project(), rows())}


@cache
def library_sections() -> dict[str, ProjectSection]:
    return {section.file_name: section for section in project_sections(project(), whole_library())}


def numbers_of(walls: Iterable[Wall]) -> list[str]:
    """File names of the sections that these walls need, known before any section is made."""
    lines = [section_numbers().line(subject.id) for wall in walls for subject in wall_subjects(wall)]
    return sorted({line["number"].replace(" ", "") for line in lines})


NAMES = numbers_of(library().wall(entry.wall, entry.variant or "") for entry in project().wall_types)
LIBRARY_NAMES = numbers_of(library().walls())


def blocks_of(section: ProjectSection) -> tuple[Heading | Paragraph | Table, ...]:
    flow = section.document.parts[0]
    assert isinstance(flow, Flow)
    return flow.blocks


def text_of(block: Heading | Paragraph | Table) -> str:
    if isinstance(block, Heading):
        return block.text
    if isinstance(block, Paragraph):
        return "".join(run.text for run in block.runs)
    return "\n".join(cell for row in (block.head, *block.rows) for cell in row)


def words(section: ProjectSection) -> str:
    return "\n".join(map(text_of, blocks_of(section))).replace("\u202f", " ")


def article(section: ProjectSection, title: str) -> list[Heading | Paragraph | Table]:
    blocks = blocks_of(section)
    start = next(n for n, b in enumerate(blocks) if isinstance(b, Heading) and b.text == title)
    end = next((n for n, b in enumerate(blocks[start + 1 :], start + 1) if isinstance(b, Heading)), len(blocks))
    return list(blocks[start + 1 : end])


# --- what is in which section -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("which", [(rows, sections), (whole_library, library_sections)], ids=["demo", "library"])
def test_every_subject_and_layer_of_every_wall_is_in_exactly_one_section(which) -> None:  # type: ignore[no-untyped-def]
    all_rows, all_sections = which
    made = [pair for section in all_sections().values() for pair in section.subjects]
    wanted = [(row.wall_type.tag, s.id) for row in all_rows() for s in wall_subjects(row.wall)]
    assert Counter(made) == Counter(wanted)
    specified = {pair for section in all_sections().values() for pair in section.layers}
    for row in all_rows():
        for layer in row.wall.layers:
            if layer.main_material is not None:
                assert (row.wall_type.tag, layer.id) in specified


def test_every_step_of_every_wall_is_in_a_section_with_its_sentences() -> None:
    text = "\n".join(words(section) for section in library_sections().values())
    for row in whole_library():
        for step in row.wall.installation:
            for sentence in (step.do, *step.detail):
                assert typeset(sentence).replace("\u202f", " ").rstrip(".") in text, sentence


def test_the_painter_reads_the_paint_alone_and_the_others_read_none_of_it() -> None:
    painter = words(sections()["099123"])
    assert "Prime and paint with latex" in painter
    for other in ("Fit unfaced batts to", "Bed each", "Anchor 1 by", "plastic taped", "No kraft or foil facing"):
        assert other not in painter
    for number in ("072116", "092900", "070543"):
        assert "Prime and paint" not in words(sections()[number]), number
    assert "Fit unfaced batts to" in words(sections()["072116"])


def test_r_of_a_batt_stands_in_the_line_of_its_batt() -> None:
    lines = [text_of(block) for block in blocks_of(sections()["072116"])]
    assert any("Glass fiber batt" in line and "R-21 or more" in line for line in lines)
    assert any("Mineral wool batt" in line and "R-23 or more" in line for line in lines)


def test_a_section_names_its_wall_types_and_where_they_are() -> None:
    section = sections()["092423"]
    table = next(b for b in article(section, "Where this work is used") if isinstance(b, Table))
    assert {row[0] for row in table.rows} == {"W1", "W1a", "W3", "W4"}
    for row in rows():
        if row.wall_type.tag not in ("W2", "W5"):
            assert row.wall_type.where in words(section)
    assert "W2" not in words(section) and "W5" not in words(section)


@pytest.mark.parametrize("name", NAMES)
def test_related_sections_are_sections_of_this_project(name: str) -> None:
    headings = [b.text for b in blocks_of(sections()[name]) if isinstance(b, Heading)]
    if "Related sections" in headings:
        table = next(b for b in article(sections()[name], "Related sections") if isinstance(b, Table))
        for row in table.rows:
            assert row[0].replace(" ", "") in set(NAMES) - {name}


# --- sound sections ---------------------------------------------------------------------------------------------------

CAUTIONS = "Cautions for the installer"
WEAK = (
    r"as required|as necessary|as needed|as applicable|workmanlike|first-class|neatly|good practice|or equal|and/or"
    r"|\bshall\b|\bshould\b|\bmay\b|\bwill be\b|\betc\b|securely|adequate|suitable|proper|N/A|\bTBD\b"
)


@pytest.mark.parametrize("name", LIBRARY_NAMES)
def test_parts_end_line_no_leftover_and_no_weak_word(name: str) -> None:
    section = library_sections()[name]
    blocks, text = blocks_of(section), words(section)
    parts = [b.text for b in blocks if isinstance(b, Heading) and b.level == 1]
    assert parts == ["GENERAL", "PRODUCTS", "EXECUTION"]
    for block, following in pairwise(blocks):
        if isinstance(block, Heading) and block.level == 2:
            assert not isinstance(following, Heading), block.text
    assert text.endswith("END OF SECTION")
    for leftover in ("{{", "}}", "{%", "**", "..", "  ", " .", " ,", "()", "//", "&amp;", "Undefined"):
        assert leftover not in text, leftover
    assert not re.search(r"[\uE000-\uE0FF]|\bTrue\b|\bFalse\b", text)
    titles = [b.text for b in blocks if isinstance(b, Heading)]
    warned = [text_of(b) for b in article(section, CAUTIONS)] if CAUTIONS in titles else []
    for line in map(text_of, blocks):  # a caution warns of what may happen; it asks for nothing
        assert line in warned or not re.search(WEAK, line, re.IGNORECASE), line


@pytest.mark.parametrize("name", LIBRARY_NAMES)
def test_nothing_is_said_twice(name: str) -> None:
    said = Counter(
        (block.number[:1].isdigit(), text_of(block))
        for block in blocks_of(library_sections()[name])
        if isinstance(block, Paragraph) and len(text_of(block)) > 60
    )
    # a sentence of a step comes again in a step of another wall
    assert not [text for (below, text), count in said.items() if count > 1 and not below]


@pytest.mark.parametrize("name", LIBRARY_NAMES)
def test_standards_listed_are_cited_later_and_the_reverse(name: str) -> None:
    section = library_sections()[name]
    blocks = blocks_of(section)
    titles = [b.text if isinstance(b, Heading) else "" for b in blocks]
    later = cited_standards(blocks[titles.index("PRODUCTS") :])
    lines = [text_of(b) for b in article(section, "Referenced standards")][1:]
    assert {line.partition(":")[0] for line in lines} == {body for body, _ in later}
    for body, numbers in later:
        line = next(line for line in lines if line.startswith(f"{body}: "))
        listed = re.split(r", | and ", line.partition(": ")[2].rstrip("."))
        assert sorted(listed) == sorted(numbers)
    start, end = titles.index("Submittals"), titles.index("PRODUCTS")
    named = {number for _, numbers in later for number in numbers}
    for _, numbers in cited_standards(blocks[start:end]):
        assert set(numbers) <= named


@pytest.mark.parametrize("name", NAMES)
def test_numbers_are_those_of_the_layers(name: str) -> None:
    section = sections()[name]
    text = words(section)
    walls = {row.wall_type.tag: row.wall for row in rows()}
    for tag, id in section.layers:
        layer = walls[tag].layer(id)
        records = [layer.fastening, layer.ties, *(part.fastening for part in layer.embedded)]
        lengths = [v for r in records if r is not None for v in (r.length, r.spacing, r.penetration) if v]
        lengths += [layer.thickness] if layer.thickness else []
        for length in lengths:
            assert typeset(inches(length)).replace("\u202f", " ") in text, (tag, id, length / units.INCH)
        if layer.wet_film is not None:
            assert mils(layer.wet_film) in text
        fill = None if name == "061000" else layer.fill  # between the members by another trade
        for material in filter(None, (layer.material, fill)):
            assert material.label.lower() in text.lower() or typeset(material.title).lower() in text.lower()
            if material.permeance is not None and not material.air_open:
                assert perms(material.permeance.dry) in text


def test_walls_that_differ_get_a_row_each_and_walls_that_agree_one_statement() -> None:
    sizes = next(b for b in article(sections()["072700"], "Sizes by wall type") if isinstance(b, Table))
    assert [(row[0], row[2]) for row in sizes.rows] == [("W1, W1a", "30 mil"), ("W2, W3", "45 mil")]
    title = "Fluid-applied elastomeric membrane, water, air and vapor control, vapor-closed"
    assert words(sections()["072700"]).count(title) == 1
    fastening = next(b for b in article(sections()["092423"], "Fastening and laps") if isinstance(b, Table))
    assert fastening.head[0] == "Type" and {row[0] for row in fastening.rows} == {"W1", "W1a", "W3"}
    limits = next(b for b in article(sections()["072700"], "Field conditions") if isinstance(b, Table))
    assert [row[:2] for row in limits.rows] == [
        ("W1, W1a, W2, W3", "Fluid-applied membrane"),
        ("W5", "Permeable fluid membrane"),
    ]


def test_hold_points_carry_the_numbers_of_the_crew_pages() -> None:
    table = next(b for b in article(sections()["072700"], "Field quality control") if isinstance(b, Table))
    wall = rows()[0].wall
    # the crew page numbers its steps, and a hold point goes by its step
    numbers = {step.hold_point.name: n for n, step in enumerate(wall.installation, 1) if step.hold_point is not None}
    assert any(f"W1 no. {numbers['Membrane']}" in row[0] and row[1] == "Membrane" for row in table.rows)
    stucco = next(b for b in article(sections()["092423"], "Field quality control") if isinstance(b, Table))
    assert numbers["Depth"] == 7  # the sixth hold point of that wall
    assert any("W1 no. 7" in row[0] and row[1] == "Depth" for row in stucco.rows)


# --- conflicts --------------------------------------------------------------------------------------------------------


def changed(wall: Wall, id: str, **fields: object) -> Wall:
    def new(layer: Layer) -> Layer:
        return Layer.model_validate({**dict(layer), **fields}) if layer.id == id else layer

    return wall.model_copy(update={"layers": tuple(map(new, wall.layers)), "status": "draft"})


def stucco_pair(id: str, **fields: object) -> list[ScheduleRow]:
    """W1, and the same wall as W9 with one layer changed; both drafts."""
    one = rows()[0]
    other = one.wall_type.model_copy(update={"tag": "W9"})
    draft = one.wall.model_copy(update={"status": "draft"})
    return [
        ScheduleRow(one.wall_type, draft, one.site, one.assessment),
        ScheduleRow(other, changed(one.wall, id, **fields), one.site, one.assessment),
    ]


def limits_of(id: str, **fields: object) -> dict[str, object]:
    limits = rows()[0].wall.layer(id).limits
    assert limits is not None
    return {"limits": limits.model_copy(update=fields)}


def membrane_of(permeance: float) -> dict[str, object]:
    material = rows()[0].wall.layer("wrb").material
    assert material is not None and material.permeance is not None
    value = material.permeance.model_copy(update={"dry": permeance * units.PERM})
    return {"material": material.model_copy(update={"id": "another", "permeance": value})}


def longer_lath_nail() -> dict[str, object]:
    (lath,) = rows()[0].wall.layer("scratch-coat").embedded
    assert lath.fastening is not None
    nail = lath.fastening.model_copy(update={"length": 2.5 * units.INCH})
    return {"embedded": (lath.model_copy(update={"fastening": nail}),)}


CASES = [
    ("L201", "wrb", membrane_of(12.0), "072700", "0.08 perm dry, 0.1 perm wet in W1 against 12 perm dry"),
    ("L202", "brown-coat", {"mix": "1 cement, 6 sand"}, "092423", "against ‘1 cement, 6 sand’ in W9"),
    ("L203", "wrb", limits_of("wrb", air_min=10.0), "072700", "40 °F in W1 against 50 °F in W9"),
    ("L203", "wrb", limits_of("wrb", exposure_max=30 * 86400.0), "072700", "60 days in W1 against 30 days in W9"),
    ("L204", "wrb", {"wet_film": 25 * units.MIL}, "072700", "20 mil in W1 against 25 mil in W9"),
    ("L205", "scratch-coat", longer_lath_nail(), "092423", "2 in long, 6 in apart in W1 against"),
]


@pytest.mark.parametrize(
    ("code", "layer", "fields", "number", "said"), CASES, ids=[f"{c[0]}-{c[4][:12]}" for c in CASES]
)
def test_a_contradiction_is_found_and_printed_in_its_section_alone(code, layer, fields, number, said) -> None:  # type: ignore[no-untyped-def]
    pair = stucco_pair(layer, **fields)
    found = project_conflicts([(row.wall_type.tag, row.wall) for row in pair])
    assert [one.finding.code for one in found] == [code]
    assert found[0].tags == ("W1", "W9") and said in found[0].finding.message
    made = {section.file_name: section for section in project_sections(project(), pair)}
    assert {name for name, section in made.items() if section.conflicts} == {number}
    assert typeset(said) in "\n".join(text_of(b) for b in article(made[number], "To settle before issue"))


def test_each_code_of_a_contradiction_is_in_the_catalog_and_found_here() -> None:
    assert {code for code in finding_entries() if code.startswith("L2")} == {case[0] for case in CASES}


def test_the_demo_contradicts_itself_nowhere() -> None:
    assert not [one.finding.message for section in sections().values() for one in section.conflicts]
    assert not any("To settle before issue" in words(section) for section in sections().values())


def test_another_thickness_or_build_up_is_no_contradiction() -> None:
    board = rows()[1].wall  # foam between lath and studs: a longer screw is right there
    assert not project_conflicts([("W1", rows()[0].wall), ("W1a", board)])
    thicker = changed(rows()[0].wall, "wrb", thickness="45 mil", wet_film="30 mil")
    assert not project_conflicts([("W1", rows()[0].wall), ("W9", thicker)])


# --- notes, choices, products of the house ----------------------------------------------------------------------------


def test_notes_to_the_specifier_never_print() -> None:
    text = "# GENERAL\n// Choose one.\n  It is the last of three.\n## Summary\n- Kept.\n// Not this.\n+ More.\n"
    marked = parse_markup(text, "test")
    assert [text_of(block) for block in marked.blocks] == ["GENERAL", "Summary", "Kept.", "More."]
    assert merged_markup([("A", "- Kept.\n// Not this.\n")]) == "- Kept."
    shipped_notes = [
        line[3:]
        for path in sorted((shipped("templates") / "spec").rglob("*.txt"))
        for line in path.read_text(encoding="utf-8").splitlines()
        if line.startswith("// ")
    ]
    assert len(shipped_notes) >= 5
    printed = "\n".join(words(section) for section in library_sections().values())
    for note in shipped_notes:
        assert typeset(note) not in printed


def test_a_draft_prints_its_choices_and_an_issued_section_the_defaults() -> None:
    drafts = {s.file_name: s for s in project_sections(project(), stucco_pair("wrb"))}
    assert drafts["092423"].document.draft
    assert "[zinc alloy 0.030 in.] [PVC]" in words(drafts["092423"])
    assert not sections()["092423"].document.draft and "[" not in words(sections()["092423"])


def test_products_of_the_house_are_the_basis_of_design() -> None:
    assert "Basis of design" not in "".join(words(section) for section in sections().values())
    material = rows()[0].wall.layer("wrb").material
    assert material is not None
    house = material.model_copy(update={"products": ("Product A of the house",)})
    made = {s.file_name: s for s in project_sections(project(), stucco_pair("wrb", material=house))}
    assert "W9: Basis" in words(made["072700"]) or "Basis of design: Product A of the house" in words(made["072700"])
    assert sum("Product A of the house" in words(section) for section in made.values()) == 1


# --- what a house keeps of each subject -------------------------------------------------------------------------------

# Key facts that a section of this subject states, whichever walls it serves (house list, common practice; the figures
# are those of the standards that each sentence names, of IRC chapter 7 for clearances and laps, or from memory).
KEPT = {
    "092423": """
        bag labels of cement and lime | 12 by 12 in. on rigid board | 24 hours before each coat |
        fog the surface | ASTM C150 | ASTM C207, Type S | ASTM C897 | ASTM C979 | alkali-resistant | ASTM C847 |
        26 gauge | 3½ in. flange | ASTM C1861 | zinc alloy 0.030 in. | ¾ in. or more into studs |
        side laps ½ in., end laps 1 in. | 6 in. past metal lintels | 144 sq. ft or less | 2½ to 1 |
        ⅜ in. clear of the frame | 48 hours | 7 days | within ¼ in. under a 10 ft straightedge |
        tap the stucco | 1⁄32 in. | after 28 days with a film | Keep screed and beads clear |
        Put no paper, membrane or coating between | ASTM C932
    """,
    "072700": """
        permeance at the thickness | are compatible | 60 days | Wet film of each coat | ASTM E2178 |
        ASTM D1970 | 0.004 cfm per sq. ft | 5 °F above the dew point | 19 percent |
        2 in. over work done before | foundation, roof edge | sprayed 15 min | ASTM E1186 |
        gauged once per 100 sq. ft | bond when cured | 6 in. past a cut | drive no nail for ladders
    """,
    "042200": """
        unit test report, not older than 12 months | tops and sides covered | 40 to 120 °F when placed |
        calcium chloride | above 100 °F | ASTM C90 | 2,000 psi | ASTM C270, Type S | 2¼ to 3 times | ASTM C476 |
        slump of 8 to 11 in. | ASTM A615, Grade 60 | ASTM A951 | footing level within ½ in. | 2¼ hours |
        running bond | 12 hours | 72 hours | 5 ft 4 in. | rake the joint ½ in. | ⅜ in. over 20 ft |
        head joints ¼ in. under | 2 ft down both sides | dry brush first | point voids |
        Water-repellent admixture
    """,
    "061000": """
        AWPA U1 | AWPA M4 | UC2 | S-DRY | ASTM F1667 | 7 in. embedded | closed-cell | 16 in. on center |
        every 10 ft | within ¼ in. over 10 ft | off the ground
    """,
    "061600": """
        Exposure 1 | PS 2 | ⅛ in. between panel | 6 in. at edges, 12 in. in the field | Span rating |
        overdriven | 19 percent | shear walls | swollen
    """,
    "072116": """
        16 CFR 460 | R of the batt as installed: R-23 | Do not substitute batts | retarder: none |
        ¼ in. of oversize | behind pipes on the cold side | no gap, void or crushed spot | Photo of each wall |
        within 14 days | certificate of the R installed | Keep batts in their bags | ASTM E84
    """,
    "072113": """
        R at 75 °F | R of the board as installed | ASTM C578 | flame spread 75 | staggered 12 in. |
        Fill gaps over ⅛ in. | narrower than 6 in. | put none under window flanges | thermal barrier |
        replace crushed or broken | free of solvent
    """,
    "074600": """
        thickness, exposure, factory finish | Seal cut ends the same day | a ring shank or thread | ASTM A153 |
        level within ⅛ in. over 10 ft | 2 in. clear above roofs | dust-collecting saw | Never caulk |
        touch-up kit
    """,
    "092900": """
        40 °F | 50 °F | ASTM C1002 | ASTM C475 | ASTM C840 | GA-214, level 4 | foil-backed | Stagger joints |
        ⅛ in. in 8 ft | wet, bowed or broken | Screws | insulation signed
    """,
    "099723": """
        permeance, water uptake | work in shade | Permeance of the finished coating |
        Water uptake of the finished | organic part 5 percent | never over organic paint |
        film-forming or elastomeric | Two silicate coats | tube | break to break | 48 hours
    """,
    "079200": """
        list of joints | 40 to 90 °F | ASTM C920, Type S, Grade NS, Class 50 | ASTM C1248 | ASTM C1330 |
        half as deep | two cloths | two sides only | Never seal | ASTM C1521 | within ⅛ in. of the drawn width |
        12 in. past a failure | Latex sealant stays inside
    """,
    "076200": """
        ASTM A653, G90 | AAMA 711 | AAMA 714 | 1 in. end dams | kick-out 4 in. | 10 ft or less |
        8 in. on masonry | copper | own metal | over head flashings | Leave the bottom of the pan open |
        pour water
    """,
}
FACTS = [(number, fact.strip()) for number, facts in KEPT.items() for fact in facts.split("|") if fact.strip()]


@pytest.mark.parametrize(("number", "fact"), FACTS)
def test_a_subject_says_what_a_house_keeps(number: str, fact: str) -> None:
    text = words(sections()[number])
    assert fact in text or fact[:1].lower() + fact[1:] in text


# --- the merge --------------------------------------------------------------------------------------------------------


def test_merged_keeps_each_order_and_names_who_says_what() -> None:
    found = merged([("A", ["first", "shared", "last"]), ("B", ["first", "own", "shared"]), ("C", ["else"])])
    assert [(line.item, line.tags) for line in found] == [
        ("first", ("A", "B")), ("own", ("B",)), ("shared", ("A", "B")), ("last", ("A",)), ("else", ("C",)),
    ]  # fmt: skip


def test_merged_markup_tags_lines_and_rows_that_not_all_have() -> None:
    table = "|= 1l 1l\n| Coat | Size |\n| Base | {} |"
    a = f"## Mix\n- Same.\n-- Below.\n{table.format('1 in.')}"
    b = f"## Mix\n- Same.\n-- Other.\n{table.format('2 in.')}\n- Own."
    lines = merged_markup([("A", a), ("B", b)]).split("\n")
    assert lines[:2] == ["## Mix", "- Same."] and "- **B:** Own." in lines
    assert {"-- **A:** Below.", "-- **B:** Other."} <= set(lines)
    assert merged_markup([("A", a), ("B", a)]) == a


def test_merged_rows_have_a_column_of_types_only_where_they_differ() -> None:
    assert merged_rows([("A", [["x"]]), ("B", [["x"]])]) == (False, [["x"]])
    assert merged_rows([("A", [["x"]]), ("B", [["y"]])]) == (True, [["A", "x"], ["B", "y"]])


def test_a_line_below_a_table_of_a_user_text_cannot_become_markup() -> None:
    entry = rows()[0].wall_type.model_copy(update={"where": "// hidden | # wing [a] [b] **x**"})
    row = rows()[0]
    made = project_sections(project(), [ScheduleRow(entry, row.wall, row.site, row.assessment)])
    assert all("// hidden | # wing [a] [b] **x**" in words(section) for section in made)


# --- files and the command --------------------------------------------------------------------------------------------


def test_command_writes_one_file_per_section_number(tmp_path) -> None:  # type: ignore[no-untyped-def]
    result = CliRunner().invoke(app, ["spec", "demo", "-o", str(tmp_path)])
    assert result.exit_code == 0, result.output
    assert sorted(path.stem for path in tmp_path.iterdir()) == NAMES
    assert all(path.read_bytes().startswith(b"%PDF") for path in tmp_path.iterdir())


def test_conflicts_reach_stderr_and_the_checks_of_the_set() -> None:
    from specgen.write.issued_set import TaggedWall, issued_files
    from specgen.write.sections import open_questions

    pair = stucco_pair("wrb", wet_film=25 * units.MIL)
    assert any(line.startswith("warning L204: Wet film") for line in open_questions(pair))
    said: list[str] = []
    files = issued_files(project(), [TaggedWall(r.wall_type, r.wall, r.site) for r in pair], said.append)
    assert any(line.startswith("warning L204") for line in said)
    checks = json.loads(files["checks.json"])
    assert [[one["code"] for one in wall["project_findings"]] for wall in checks] == [["L204"], ["L204"]]
    assert "sections/072700.pdf" in files and "specifications/W1.pdf" in files


SCRIPT = """
import hashlib
from specgen.checks.assess import assess
from specgen.documents.project_spec import project_sections
from specgen.documents.schedule import ScheduleRow
from specgen.library.load import load_project, open_library
from specgen.library.sites import project_site
from specgen.resources import shipped
from specgen.write.pdf import write_pdf
project, library, rows = load_project(shipped("assemblies") / "demo" / "project.yaml"), open_library(), []
for entry in project.wall_types:
    wall, site = library.wall(entry.wall, entry.variant or ""), project_site(project, entry.site)
    rows.append(ScheduleRow(entry, wall, site, assess(wall, site)))
for section in project_sections(project, rows)[:4]:
    print(section.file_name, hashlib.sha256(write_pdf(section.document)).hexdigest())
"""


def test_same_bytes_in_another_process() -> None:
    environment = os.environ | {"PYTHONHASHSEED": "4242"}
    done = subprocess.run([sys.executable, "-c", SCRIPT], capture_output=True, text=True, check=True, env=environment)
    four = sorted(sections().items())[:4]
    here = [f"{name} {hashlib.sha256(write_pdf(section.document)).hexdigest()}" for name, section in four]
    assert done.stdout.split("\n")[:-1] == here


def test_names_known_before_are_the_names_made() -> None:
    assert sorted(sections()) == NAMES and sorted(library_sections()) == LIBRARY_NAMES
