"""The calculation record: every printed figure redone from the numbers printed beside it; pages, charts and words."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest
from builders import (
    BATT_R13,
    CONCRETE,
    SIDING,
    STEEL,
    WRB,
    XPS,
    framing,
    make_layer,
    make_wall,
    studs,
)
from pages import Box, find, group_texts, outside, text_box, texts
from pypdf import PdfReader

from specgen import units
from specgen.checks.assess import assess
from specgen.checks.design_temperatures import design_air
from specgen.checks.temperatures import main_path, plane_temperatures
from specgen.documents.messages import load_messages
from specgen.documents.record_page import (
    BOTTOM,
    LEFT,
    RIGHT,
    Block,
    ReportInput,
    SourceList,
    growing_chart,
    heading,
    paragraph,
    set_pages,
)
from specgen.documents.record_table import Column, name_lines, table
from specgen.documents.record_thermal import BASIS_AT, FORMULA_AT, R_AT, R_SI_AT, RESULT_AT
from specgen.documents.record_transient import transient_pages
from specgen.documents.report import PARTS, report_document
from specgen.documents.reviewer_row import Reviewed
from specgen.drawing.type import NOTE, check_glyphs, text_width
from specgen.errors import PageOverflowError
from specgen.library.load import Library, load_project, open_library
from specgen.library.sites import project_site, site_from_county, site_from_zone
from specgen.model.assessment import Assessment, Figure
from specgen.model.document import Document
from specgen.model.scene import Group, Line, Scene, Text, View
from specgen.model.site import Site
from specgen.model.wall import Layer, Wall
from specgen.resources import shipped
from specgen.write.pdf import write_pdf


@cache
def library() -> Library:
    return open_library()


NAMES = [wall.name for wall in library().walls()]
# Figures that a computer must solve; the record says so in their method, and gives their inputs instead of a sum.
SOLVED = "two dimensions"
EXACT = ("0", "1", "12", "24", "360", "70", "0.8", "1000", "1000000")


@cache
def reported(name: str) -> tuple[Wall, Assessment, Site, Document]:
    wall_id, _, variant = name.partition("+")
    wall = library().wall(wall_id, variant)
    assert wall.suits
    site = site_from_zone(wall.suits.zones[0], "2021", "2021")
    assessment = assess(wall, site)
    return wall, assessment, site, report_document(wall, assessment, site, tag="W1")


def scenes(document: Document) -> tuple[Scene, ...]:
    assert len(document.scenes) == len(document.parts)
    return document.scenes


def rows(document: Document, prefix: str) -> list[Group]:
    """The blocks of one table, over all pages, in order."""
    found = [
        item
        for scene in scenes(document)
        for item in scene.walk()
        if isinstance(item, Group) and re.fullmatch(rf"{prefix}_\d+", item.id)
    ]
    return sorted(found, key=lambda group: int(group.id.rsplit("_", 1)[1]))


def cell(group: Group, left: float, right: float) -> list[str]:
    """Lines of the texts that begin between two edges, runs of one line joined."""
    lines: dict[float, list[Text]] = {}
    for item in group.items:
        if isinstance(item, Text) and left - 0.1 <= text_box(item).left < right:
            lines.setdefault(item.at[1], []).append(item)
    return [
        "".join(text.text for text in sorted(line, key=lambda text: text.at[0])) for _, line in sorted(lines.items())
    ]


class Interval:
    """A number as printed: anything that rounds to it. Sums and products of such numbers, worst case."""

    def __init__(self, low: float, high: float) -> None:
        self.low, self.high = low, high

    @classmethod
    def printed(cls, text: str) -> Interval:
        if "." not in text:
            # Constants such as 12 in a foot and 360° are exact; any other whole number has four figures.
            slack = 0.0 if text in EXACT else 0.5e-3 * float(text)
            return cls(float(text) - slack, float(text) + slack)
        if text in EXACT:
            return cls(float(text), float(text))
        half = 0.5 * 10.0 ** -len(text.partition(".")[2])
        return cls(float(text) - half, float(text) + half)

    def __add__(self, other: Interval) -> Interval:
        return Interval(self.low + other.low, self.high + other.high)

    def __sub__(self, other: Interval) -> Interval:
        return Interval(self.low - other.high, self.high - other.low)

    def __mul__(self, other: Interval) -> Interval:
        ends = [a * b for a in (self.low, self.high) for b in (other.low, other.high)]
        return Interval(min(ends), max(ends))

    def root(self) -> Interval:
        return Interval(max(self.low, 0.0) ** 0.5, self.high**0.5)

    def squared(self) -> Interval:
        ends = sorted((abs(self.low), abs(self.high)))
        return Interval(0.0 if self.low < 0 < self.high else ends[0] ** 2, ends[1] ** 2)

    def __truediv__(self, other: Interval) -> Interval:
        assert other.low > 0 or other.high < 0, "a divisor that rounds to zero"
        return self * Interval(1 / other.high, 1 / other.low)


def redone(values: str) -> Interval | None:
    """The result of the numbers put in, within their rounding; None if the text is no sum."""
    values = values.split("; ")[0]  # what follows is what the numbers were made of
    if values == "none":
        return Interval(0.0, 0.0)
    within = re.fullmatch(r"solved, within ([\d.]+) to ([\d.]+)", values)
    if within:
        low, high = (Interval.printed(text) for text in within.groups())
        return Interval(low.low, high.high)
    larger = re.fullmatch(r"the larger of ([\d.]+) and ([\d.]+)", values)
    if larger:
        return max((Interval.printed(text) for text in larger.groups()), key=lambda number: number.low)
    bare = re.sub(r"\|([^|]+)\|", lambda match: f"modulus('{match.group(1)}')", in_meters(values))
    moduli = re.findall(r"modulus\('[^']+'\)", bare)
    bare = re.sub(r"modulus\('[^']+'\)", "#", bare)
    bare = re.sub(r"[A-Za-z][\w-]*", "", bare)  # names of layers and films
    bare = bare.replace("×", "*").replace("−", "-").strip()
    if not re.fullmatch(r"[\d.+\-*/()# ]+", bare):
        return None
    expression = re.sub(r"\d+(?:\.\d+)?", lambda match: f"printed('{match.group(0)}')", bare)
    for modulus_of in moduli:
        expression = expression.replace("#", modulus_of, 1)
    result = eval(expression, {"__builtins__": {}, "printed": Interval.printed, "modulus": modulus})
    assert isinstance(result, Interval)
    return result


def modulus(text: str) -> Interval:
    """`−0.6659 + 4.0085i − 1`: the square root of the two squares, and of no more than was printed."""
    terms = re.findall(r"([−+-]?)\s*([\d.]+)(i?)", text)
    parts = {"": Interval(0.0, 0.0), "i": Interval(0.0, 0.0)}
    for sign, number, which in terms:
        value = Interval.printed(number)
        parts[which] = parts[which] - value if sign in ("−", "-") else parts[which] + value
    return (parts[""].squared() + parts["i"].squared()).root()


def in_meters(values: str) -> str:
    """Units of a formula in SI worked into its numbers; `(a)²` written out."""
    values = values.replace(" W/(m·K)", "").replace("/m²", "").replace(" mm²", "/1000000").replace("/ ", "/")
    values = re.sub(r"([\d.]+) mm\b", r"(\1/1000)", values)
    return re.sub(r"(\([^()]*\))²", r"\1 × \1", values)


def printed_figures(document: Document) -> list[tuple[str, str, str]]:
    """Name with method, numbers put in, and result of each figure, as the pages print them."""
    found = []
    for group in rows(document, "heat_figures"):
        name = " ".join(cell(group, LEFT, FORMULA_AT - 1))
        middle = cell(group, FORMULA_AT, RESULT_AT - 1)
        start = max(number for number, line in enumerate(middle) if line.startswith("= "))
        found.append((name, " ".join(middle[start:])[2:], " ".join(cell(group, RESULT_AT, RIGHT))))
    return found


def unrounded(result: str) -> float:
    """`R-24.6 (24.583) ...`: the figure in parentheses; alone: the figure itself."""
    match = re.match(r"(?:\S+ \(([\d.]+)\)|([\d.e+-]+))", result)
    assert match, result
    return float(match.group(1) or match.group(2))


@pytest.mark.parametrize("name", NAMES)
def test_every_figure_can_be_redone_by_hand(name: str) -> None:
    _, assessment, _, document = reported(name)
    printed = printed_figures(document)
    figures = assessment.thermal.figures
    assert len(printed) == len(figures)
    by_hand = 0
    for figure, (title, values, result) in zip(figures, printed, strict=True):
        assert title.lower().startswith(figure.name.replace("  ", " ").lower()[:20]), title
        exact = unrounded(result)
        if " mm" in values:  # put in in SI: the SI result is the one to meet
            exact = float(re.findall(r"([\d.]+)\s[A-Za-z]*/?\S*$", result)[-1])
            assert exact == pytest.approx(figure.result * units.U_IP, abs=6e-5)
        else:
            assert exact == pytest.approx(figure.result, rel=2e-3, abs=6e-4)
        answer = redone(values)
        if answer is None:
            pytest.fail(f"{figure.name}: {values!r} cannot be redone")
        if values.startswith("solved"):
            assert SOLVED in figure.method
            assert answer.low <= exact <= answer.high
            continue
        by_hand += 1
        half = 0.5 * 10.0 ** -len(f"{exact}".partition(".")[2]) + 1e-9
        assert answer.low - half <= exact <= answer.high + half, (figure.name, values, result)
        # The rounding of the numbers put in is no loophole: half a percent either way, and a little about zero.
        assert answer.high - answer.low <= 0.01 * abs(exact) + 0.002, (figure.name, values, answer.low, answer.high)
    assert by_hand >= 5


@pytest.mark.parametrize("name", NAMES)
def test_results_print_in_both_units(name: str) -> None:
    _, assessment, _, document = reported(name)
    factors = {"h·ft²·°F/Btu": units.R_IP, "Btu/(h·ft²·°F)": units.U_IP, "Btu/(ft²·°F)": units.HEAT_CAPACITY_IP / 1000}
    for figure, (_, _, result) in zip(assessment.thermal.figures, printed_figures(document), strict=True):
        if figure.unit not in factors:
            continue
        match = re.search(r"([\d.]+)\s(?:m²·K/W|W/\(m²·K\)|kJ/\(m²·K\))$", result)
        assert match, result
        decimals = len(match.group(1).partition(".")[2])
        assert float(match.group(1)) == pytest.approx(figure.result * factors[figure.unit], abs=0.5 * 10.0**-decimals)


@pytest.mark.parametrize("name", NAMES)
def test_every_resistance_of_every_path_stands_with_its_basis(name: str) -> None:
    _, assessment, _, document = reported(name)
    printed = []
    for group in rows(document, "heat_layers"):
        layer = "".join(cell(group, LEFT, 50)).replace(" ", "")
        basis = " ".join(cell(group, BASIS_AT, R_AT - 2))
        r_ip, r_si = cell(group, R_AT, R_SI_AT)[0], cell(group, R_SI_AT, 174)[0]
        how_sure = " ".join(cell(group, 175, RIGHT))
        assert how_sure
        printed.append((layer, basis, float(r_ip), float(r_si)))
    for path in assessment.thermal.paths:
        for part in path.resistances:
            wanted = part.layer.replace(" ", "")
            assert any(
                layer == wanted
                and r_ip == pytest.approx(part.resistance / units.R_IP, abs=6e-4)
                and r_si == pytest.approx(part.resistance, abs=6e-5)
                for layer, _, r_ip, r_si in printed
            ), part
    for _, basis, r_ip, r_si in printed:
        over = re.match(r"([\d.]+) in over ([\d.]+) Btu·in/\(h·ft²·°F\); ([\d.]+) mm over ([\d.]+) W/\(m·K\)", basis)
        assert over or not re.match(r"[\d.]+ (in|mm) over", basis), basis
        if over:
            inches, customary, millimeters, metric = (Interval.printed(text) for text in over.groups())
            answer = inches / customary
            assert answer.low - 6e-4 <= r_ip <= answer.high + 6e-4, basis
            answer = millimeters / metric
            assert answer.low / 1000 - 6e-5 <= r_si <= answer.high / 1000 + 6e-5, basis
        rated = re.match(r"rated R-([\d.]+) at", basis)
        if rated:
            assert r_ip == pytest.approx(float(rated.group(1)), abs=6e-3)


@pytest.mark.parametrize("name", NAMES)
def test_limits_and_what_is_provided_stand_side_by_side(name: str) -> None:
    _, assessment, _, document = reported(name)
    paths = assessment.energy_code.paths
    found = rows(document, "heat_code")
    assert len(found) == len(paths)
    for path, group in zip(paths, found, strict=True):
        assert " ".join(cell(group, 39, 60)) == path.label
        provided = " ".join(cell(group, 61, 106))
        if path.path == "u":
            assert f"({path.provided:.5f})" in provided
        verdict = " ".join(cell(group, 126, 151))
        assert verdict == ("Meets" if path.meets else "Does not meet")


@pytest.mark.parametrize("name", NAMES)
def test_pages_keep_their_margins_and_no_text_meets_another(name: str) -> None:
    wall, _, _, document = reported(name)
    pages = scenes(document)
    assert pages[0].id.startswith("reviewer")
    for number, scene in enumerate(pages, start=1):
        assert f"{number} of {len(pages)}" in [text.text for text in texts(scene)]
        if number == 1:
            continue
        assert not outside(scene, LEFT, 8.0, RIGHT + 0.2, 275.0)
        boxes = []
        for text in texts(scene):
            check_glyphs(text.text, text.bold)
            boxes.append(text_box(text))
        assert not touching(boxes)
        ids = [item.id for item in scene.walk() if isinstance(item, Group)]
        assert len(ids) == len(set(ids)), "group ids are unique in a scene"
        said = " ".join(text.text for text in texts(scene))
        assert f"Revision {wall.revision.number}" in said and "IECC 2021" in said and "W1" in said


def touching(boxes: list[Box]) -> list[tuple[str, str]]:
    """Pairs of texts whose ink meets, found along the page."""
    boxes = sorted((box for box in boxes if box.text.strip()), key=lambda box: box.top)
    found = []
    for index, one in enumerate(boxes):
        for other in boxes[index + 1 :]:
            if other.top > one.bottom:
                break
            if one.overlaps(other):
                found.append((one.text, other.text))
    return found


@pytest.mark.parametrize("name", NAMES)
def test_temperatures_share_the_drop_by_resistance_and_the_chart_draws_the_table(name: str) -> None:
    wall, assessment, site, document = reported(name)
    seasons = design_air(site)
    assert [season.season for season in seasons] == ["winter", "summer"]
    printed = [
        [text.replace("−", "-") for text in (*cell(group, 126, 163), *cell(group, 163, RIGHT))]
        for group in rows(document, "temperature_table")
    ]
    path = main_path(assessment.thermal)
    for season in seasons:
        planes = plane_temperatures(wall, assessment.thermal, season.outdoor, season.indoor)
        assert len(printed) == len(planes)
        # One heat flow through every layer, from first principles and not from the code under test.
        flow = (season.indoor - season.outdoor) / sum(part.resistance for part in path.resistances)
        for part, (outer, inner) in zip(path.resistances, pairwise(planes), strict=True):
            assert inner.temperature - outer.temperature == pytest.approx(flow * part.resistance, abs=1e-9)
    text = " ".join(text.text for scene in scenes(document) for text in texts(scene))
    for season in seasons:
        assert season.city.title in text
    scene = next(scene for scene in scenes(document) for view in scene.views if view.id == "temperature")
    for number, season in enumerate(seasons, start=1):
        (line,) = (item for item in find(scene, f"temperature_line{number}").items if isinstance(item, Line))
        first, last = line.points[0], line.points[-1]
        scale = (season.indoor - season.outdoor) / (last[1] - first[1])
        planes = plane_temperatures(wall, assessment.thermal, season.outdoor, season.indoor)
        drawn = [season.outdoor + scale * (y - first[1]) for _, y in line.points[2:-2]]
        assert drawn == pytest.approx([plane.temperature for plane in planes[1:-1]], abs=1e-6)


def test_the_governing_city_is_the_coldest_and_the_hottest() -> None:
    site = site_from_zone("5A", "2021", "2021")
    winter, summer = design_air(site)
    assert winter.outdoor == min(city.winter_design for city in site.cities)
    assert summer.outdoor == max(city.summer_design for city in site.cities)
    assert (winter.indoor * 1.8 + 32, summer.indoor * 1.8 + 32) == pytest.approx((70, 75))
    assert design_air(replace(site, cities=())) == ()


def test_without_a_weather_city_the_page_says_why() -> None:
    wall, assessment, site, _ = reported("framed-stucco-drained")
    bare = replace(site, cities=(), city_remark="no listed city stands in the zone")
    document = report_document(wall, assessment, bare)
    said = " ".join(text.text for scene in scenes(document) for text in texts(scene)).replace("\u00a0", " ")
    assert "no weather city is on file" in said and "No listed city stands in the zone." in said
    assert "temperature" not in [view.id for scene in scenes(document) for view in scene.views]


def test_a_county_names_its_place_on_every_page() -> None:
    site = site_from_county("Harris, TX", "2021", "2021")
    wall = library().wall("framed-stucco-drained", "")
    document = report_document(wall, assess(wall, site), site, where="north front")
    for scene in scenes(document)[1:]:
        said = " ".join(text.text for text in texts(scene))
        assert "Harris County" in said and "north front" in said


def test_a_project_names_its_job_and_the_same_input_gives_the_same_bytes() -> None:
    project = load_project(shipped("assemblies") / "demo" / "project.yaml", library())
    entry = project.wall_types[0]
    wall = library().wall(entry.wall, entry.variant or "")
    site = project_site(project, entry.site)
    made = [
        write_pdf(report_document(wall, assess(wall, site), site, project, entry.tag, entry.where)) for _ in range(2)
    ]
    assert made[0] == made[1]
    pages = PdfReader(io.BytesIO(made[0])).pages
    for page in pages:
        assert "(invented)" in page.extract_text() or "invented" in page.extract_text().lower()
    assert "For the plan reviewer" in pages[0].extract_text()
    assert "Calculation record: heat" in pages[1].extract_text()


def test_a_firm_can_word_the_record_its_own_way(tmp_path: Path) -> None:
    folder = tmp_path / "templates"
    (folder / "report").mkdir(parents=True)
    (folder / "report" / "messages.en.yaml").write_text("heat.title: Heat, by our office\n", encoding="utf-8")
    wall, assessment, site, _ = reported("framed-stucco-drained")
    document = report_document(wall, assessment, site, folders=(folder,))
    assert any("Heat, by our office" in text.text for text in texts(scenes(document)[1]))


def test_each_part_is_a_function_of_the_same_input() -> None:
    wall, assessment, site, document = reported("framed-stucco-drained")
    reviewed = Reviewed(wall, assessment, site, load_messages("reviewer"))
    given = ReportInput(reviewed, load_messages("report"))
    counts = [len(part(given)) for part in PARTS]
    assert sum(counts) + 1 == len(document.parts)
    assert all(count for part, count in zip(PARTS, counts, strict=True) if part is not transient_pages)  # not simulated


def test_a_table_goes_over_pages_with_its_head_and_no_lonely_rows() -> None:
    columns = (Column("Number", LEFT, 40.0), Column("Value", 60.0, 60.0, "end"))
    for count in range(38, 60):
        blocks = [heading("Many", "many_head"), *table(columns, [(str(n), f"{n}.0") for n in range(count)], "many")]
        pages = set_pages("test", "Test", blocks)
        assert [sum(bool(re.fullmatch(r"many_\d+", g.id)) for g in page.groups) for page in pages][-1] >= 3
        for page in pages:
            assert any(group.id == "many_heads" for group in page.groups)
            lowest = max(item.at[1] for group in page.groups for item in group.items if isinstance(item, Text))
            assert lowest < BOTTOM
        printed = [g.id for page in pages for g in page.groups if re.fullmatch(r"many_\d+", g.id)]
        assert printed == [f"many_{n}" for n in range(1, count + 1)]


def test_a_heading_never_ends_a_page() -> None:
    for count in range(40, 70):
        blocks = [
            *(paragraph(f"Line {n}", f"p{n}") for n in range(count)),
            heading("Last", "last"),
            paragraph("x", "px"),
        ]
        for page in set_pages("test", "Test", blocks):
            assert page.groups[-1].id != "last"


def test_what_is_taller_than_a_page_is_refused_by_name() -> None:
    block = Block("tall", 300.0, lambda top: (), "The tall one")
    with pytest.raises(PageOverflowError, match=r"The tall one.*taller than its page"):
        set_pages("test", "Test", [block])


def test_a_long_id_breaks_after_its_hyphens_only() -> None:
    name = "exterior-insulation-second-layer-of-mineral-wool"
    lines = name_lines(name, 31.0).split("\n")
    assert "".join(lines) == name and len(lines) > 1
    assert all(line.endswith("-") for line in lines[:-1])
    assert all(text_width(line, NOTE) <= 31.0 for line in lines)


def test_sources_are_numbered_once_and_reasons_stand_in_words() -> None:
    sources = SourceList()
    assert sources.mark("A handbook", "secondary") == "[1] secondary"
    assert sources.mark("Another", "confirmed") == "[2] confirmed"
    assert sources.mark("A handbook", "confirmed") == "[1] confirmed"
    assert sources.mark("first principles", "confirmed") == "first principles"
    assert sources.mark("common practice", "common practice") == "common practice"
    assert sources.mark("common practice", "from memory, unverified") == "common practice, from memory, unverified"
    assert sources.mark("house rule", "common practice") == "house rule, common practice"
    assert sources.found == ["A handbook", "Another"]


def test_every_mark_leads_to_the_list_on_the_last_page() -> None:
    _, _, _, document = reported("framed-stucco-drained")
    *pages, last = scenes(document)
    assert last.title.startswith("Calculation record: sources")
    listed = [int(mark) for mark in re.findall(r"\[(\d+)\]", " ".join(text.text for text in texts(last)))]
    assert listed == list(range(1, len(listed) + 1))
    said = " ".join(text.text for scene in pages[1:] for text in texts(scene)).replace("\u00a0", " ")
    marks = {int(mark) for mark in re.findall(r"\[(\d+)\] (?:confirmed|secondary|from memory)", said)}
    assert marks and marks <= set(listed)


def test_every_message_is_used() -> None:
    package = shipped("templates").parent / "specgen" / "documents"
    code = "".join(path.read_text(encoding="utf-8") for path in [*package.glob("record_*.py"), package / "report.py"])
    families = ("code.", "comply.", "temperature.", "moisture.", "years.")
    for id in load_messages("report").sentences:
        assert id.startswith(families) or f'"{id}"' in code, id


def test_figures_of_a_unit_without_a_rule_print_unrounded() -> None:
    wall, assessment, site, _ = reported("framed-stucco-drained")
    odd = Figure("an odd one", "a/b", "1.00/3.00", 1 / 3, "furlongs", "by hand", "first principles", "confirmed")
    thermal = replace(assessment.thermal, figures=(*assessment.thermal.figures, odd))
    document = report_document(wall, replace(assessment, thermal=thermal), site)
    name, values, result = printed_figures(document)[-1]
    assert name == "An odd one By hand; first principles"
    assert (values, result) == ("1.00/3.00", "0.3333 furlongs")
    assert group_texts(scenes(document)[1], "footer")


def steel_studs() -> Layer:
    members = framing("1-5/8 in", material=STEEL, profile="cee", fraction=0.15)
    return make_layer("studs", None, "3-1/2 in", fill=BATT_R13, framing=members)


@pytest.mark.parametrize(
    ("wall", "said"),
    [
        (
            make_wall([make_layer("siding", SIDING, "1/2 in"), make_layer("wrb", WRB, "10 mil"), steel_studs()]),
            "Winter, at bridges",
        ),
        (
            make_wall([make_layer("siding", SIDING, "1/2 in"), studs("4-1/2 in", BATT_R13, fraction=0.25)]),
            "no R is on file for studs",
        ),
        (
            make_wall(
                [make_layer("concrete", CONCRETE, "20 in"), make_layer("long-" * 11 + "id", XPS, "12 in")],
                construction="mass-interior-insulated",
            ),
            "long-long-",
        ),
    ],
    ids=["steel studs", "a batt of no known R", "thick, with a long id"],
)
def test_walls_unlike_the_library(wall: Wall, said: str) -> None:
    site = site_from_zone("4A", "2021", "2021")
    document = report_document(wall, assess(wall, site), site)
    assert document.draft
    assert said in " ".join(text.text for scene in scenes(document) for text in texts(scene)).replace("\u00a0", " ")
    for scene in scenes(document)[1:]:
        assert not touching([text_box(text) for text in texts(scene)])
        assert not outside(scene, LEFT, 8.0, RIGHT + 0.2, 275.0)


@pytest.mark.parametrize("name", NAMES)
def test_pages_fill_well_and_temperatures_stand_with_their_chart(name: str) -> None:
    _, _, _, document = reported(name)
    pages = scenes(document)[1:]
    for page, after in pairwise(pages):
        if page.id.rsplit("_", 1)[0] == after.id.rsplit("_", 1)[0]:  # not the last page of its part
            lowest = max(box.bottom for box in map(text_box, texts(page)) if box.bottom < BOTTOM + 0.5)
            assert lowest > 0.72 * BOTTOM, (page.id, lowest)
    (chart,) = (page for page in pages for view in page.views if view.id == "temperature")
    ids = [item.id for item in chart.walk() if isinstance(item, Group)]
    assert "temperature_table_1" in ids


def test_a_chart_grows_to_fill_its_page_and_no_further() -> None:
    drawn: list[float] = []

    def draw(top: float, height: float) -> View:
        drawn.append(height)
        return View("chart", "Chart", 1.0, "", (0.0, top), Group("chart", ()))

    room = BOTTOM - 31.4  # of a page below its running head [mm]
    for left, wanted in ((75.0, 75.0), (130.0, 90.0)):
        filler = Block("filler", room - left - 3.0, lambda top: ())  # 3 mm stand above a chart
        drawn.clear()
        (_,) = set_pages("test", "Test", [filler, growing_chart("chart", 60.0, 90.0, draw)])
        assert drawn == [pytest.approx(wanted, abs=0.5)]
