"""The page on complying: each finding said once, ways counted, both ends of U redone from the page's own numbers."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from itertools import pairwise

import pytest
from test_record_moisture import sentences
from test_report import NAMES, Interval, cell, library, redone, reported, rows

from specgen.checks.assess import assess
from specgen.checks.comply import with_ways
from specgen.documents.comply_words import brought
from specgen.documents.record_page import LEFT, RIGHT
from specgen.documents.report import report_document
from specgen.library.sites import site_from_zone
from specgen.model.assessment import Assessment
from specgen.model.document import Document
from specgen.model.ways import Ways
from specgen.units import U_IP


@cache
def short(name: str, zone: str) -> tuple[Assessment, Document]:
    """A wall in a zone where it meets no path."""
    wall = library().wall(name)
    site = site_from_zone(zone, "2021", "2021")
    assessment = with_ways(assess(wall, site), wall, site, tuple(library().materials.values()))
    return assessment, report_document(wall, assessment, site)


def table_rows(document: Document, id: str, *edges: float) -> list[list[str]]:
    return [[" ".join(cell(group, a, b)) for a, b in pairwise(edges)] for group in rows(document, id)]


@pytest.mark.parametrize(("name", "zone"), [("framed-stucco-drained", "4A"), ("framed-brick-veneer", "5A")])
def test_each_finding_of_the_ways_is_said_once_and_the_ways_are_counted(name: str, zone: str) -> None:
    assessment, document = short(name, zone)
    assert assessment.ways is not None
    ways = assessment.ways.ways
    printed = table_rows(document, "ways", LEFT, 24, 90, 162, RIGHT)
    assert [row[0] for row in printed] == [str(number) for number in range(1, len(ways) + 1)] and len(ways) >= 3
    for way, (_, change, outcome, codes) in zip(ways, printed, strict=True):
        assert f"U-{way.u_si / U_IP:.3f}" in outcome
        assert not re.search(r"(?<=[a-z0-9] )(Polyiso|Mineral|Graphite|Glass)\b", change), change
        for finding in way.new_findings:
            assert finding.code in codes
        for code in way.cured:
            assert code in codes
    said = table_rows(document, "brought", LEFT, 51, 75, RIGHT)
    assert len(said) == len(brought(ways))
    assert len({(row[0], row[2]) for row in said}) == len(said)
    if name == "framed-stucco-drained":
        (p52,) = [row for row in said if row[0].startswith("P52")]
        assert p52[1] == "every way" and p52[2].count(" / ") >= 2  # one sentence, the lengths by way
        for finding in {f.message for way in ways for f in way.new_findings if f.code == "P52"}:
            last = re.findall(r"\d+(?:-\d+/\d+)?", finding)[-2]
            assert last.split("-")[0] in p52[2]
    text = sentences(document, "comply_tried").lower()
    assert text.count("continuous insulation") == 1
    assert sentences(document, "tried_head").startswith("What was tried")


@pytest.mark.parametrize("name", NAMES)
def test_both_ends_of_u_can_be_redone_and_the_verdict_between_them_is_said(name: str) -> None:
    _, assessment, _, document = reported(name)
    band = assessment.band
    if band is None or band.deciding is None:
        assert "No input of this wall has a stated range" in sentences(document, "range_none")
        return
    printed = table_rows(document, "ends", LEFT, 66, 133, 199)
    assert len(printed) >= 2
    for column, end in ((1, band.u_low_si), (2, band.u_high_si)):
        for row in printed:
            values, _, result = row[column].replace("\u00a0", " ").rpartition(" = ")
            answer = redone(values)
            assert answer is not None, values
            exact = Interval.printed(result)
            assert answer.low - (exact.high - exact.low) <= exact.high, row
            assert answer.high + (exact.high - exact.low) >= exact.low, row
            assert answer.high - answer.low <= 0.02 * exact.high + 0.002 or values.startswith("solved"), row
        assert float(result) == pytest.approx(end / U_IP, abs=6e-6)
    said = sentences(document, "range_words")
    u = next(path for path in assessment.energy_code.paths if path.path == "u")
    met = [round(end / U_IP, 3) <= u.required + 1e-9 for end in (band.u_low_si, band.u_high_si)]
    wanted = "met at both ends" if all(met) else "turns within the range" if any(met) else "met at neither end"
    assert wanted in said and u.label in said
    assert ("turns" in wanted) == any(finding.code == "T20" for finding in assessment.findings)


@pytest.mark.parametrize("name", NAMES)
def test_the_ranges_print_inch_pound_first_and_nothing_rounds_to_zero(name: str) -> None:
    _, assessment, _, document = reported(name)
    band = assessment.band
    if band is None or band.deciding is None:
        return
    printed = table_rows(document, "range", LEFT, 74.5, 97.5, 120.5, 138.5, 157, RIGHT)
    for each, (title, better, worse, ends, width, source) in zip(band.inputs, printed, strict=True):
        assert float(width) > 0 and source
        low, high = (float(text) for text in ends.split())
        assert high - low == pytest.approx(float(width), abs=1.1e-5)
        for text, end in ((better, each.low), (worse, each.high)):
            if "W/(m·K)" in end:
                customary, metric = (float(part.strip("()")) for part in text.split())
                assert metric == float(end.split()[0]) and "Btu·in" in title
                assert customary == pytest.approx(metric / 0.144228, rel=6e-3)  # 1 Btu·in/(h·ft²·°F), ASTM C168 tables


@pytest.mark.parametrize(
    ("ways", "said"),
    [
        (None, "no changes were looked for"),
        (
            Ways((), ("cavity insulation: R-23 Mineral wool batt",), ("no layer inside can hold a board",)),
            "none of the",
        ),
    ],
    ids=["not looked for", "none found"],
)
def test_without_a_way_the_page_says_why(ways: Ways | None, said: str) -> None:
    wall, site = library().wall("framed-stucco-drained"), site_from_zone("4A", "2021", "2021")
    document = report_document(wall, replace(assess(wall, site), ways=ways), site)
    assert said in sentences(document, "comply_ways") and not rows(document, "ways")
    if ways is not None:
        tried = sentences(document, "comply_tried")
        assert tried == "Cavity insulation: R-23 mineral wool batt. No layer inside can hold a board."
