"""The moisture pages: months and design hour redone from the numbers that the pages themselves print.

Saturation is computed here by the formula that the page states (ISO 13788, constants read in public transcriptions),
not by the code under test; every tolerance is half the last digit of what is put in.
"""

from __future__ import annotations

import math
import re
from dataclasses import replace
from itertools import pairwise

import pytest
from pages import texts
from test_report import NAMES, cell, reported, rows, scenes

from specgen.documents.record_page import LEFT, RIGHT
from specgen.documents.report import report_document
from specgen.model.document import Document
from specgen.model.scene import Group

HOURS = {
    "January": 744, "February": 672, "March": 744, "April": 720, "May": 744, "June": 720, "July": 744, "August": 744,
    "September": 720, "October": 744, "November": 720, "December": 744,
}  # fmt: skip
STILL_AIR = 0.00072  # as the page states it [g/(m·h·Pa)]
WET_EDGES = (44, 56, 81, 109, 127, 145, 172, 199)  # of the columns of the table of wet planes [mm]
PA, KELVIN, MILLIMETER = 0.5, 0.05, 0.0005  # half the last digit of pressures, temperatures, air thicknesses


def saturation(temperature: float) -> float:
    factor, offset = (17.269, 237.3) if temperature >= 0 else (21.875, 265.5)
    return 610.5 * math.exp(factor * temperature / (offset + temperature))


def number(text: str) -> float:
    """The last number of a cell, which is the one in SI: `44 (6.7)`; a dash is none."""
    found = re.findall(r"[−-]?\d+(?:\.\d+)?", text)
    return float(found[-1].replace("−", "-")) if found else 0.0


def first(text: str) -> float:
    match = re.search(r"[−-]?\d+(?:\.\d+)?", text)
    assert match, text
    return float(match.group(0).replace("−", "-"))


def sentences(document: Document, prefix: str) -> str:
    """The running text of a paragraph."""
    found = [
        " ".join(cell(item, LEFT, RIGHT))
        for scene in scenes(document)
        for item in scene.walk()
        if isinstance(item, Group) and item.id == prefix
    ]
    return " ".join(found).replace("\u00a0", " ")


def heading_remark(document: Document, id: str) -> float:
    """R in all, from the right end of a heading, in the unit of the pages. [h·ft²·°F/Btu]"""
    match = re.search(r"R in all ([\d.]+)", sentences(document, id))
    assert match
    return float(match.group(1))


def air(document: Document) -> dict[str, tuple[float, float, float, float, str, str]]:
    found = {}
    for group in rows(document, "monthly"):
        month = cell(group, LEFT, 43)[0]
        values = [" ".join(cell(group, a, b)) for a, b in pairwise((43, 66, 94, 118, 146, 170, RIGHT))]
        found[month] = (*(number(value) for value in values[:4]), values[4], values[5])
    return found  # type: ignore[return-value]


@pytest.mark.parametrize("name", NAMES)
def test_every_month_can_be_redone_from_the_page(name: str) -> None:
    _, assessment, _, document = reported(name)
    monthly = assessment.moisture.monthly
    assert monthly is not None
    total = heading_remark(document, "vapor_path_head")
    listed = [number(" ".join(cell(group, 78, 98.5))) for group in rows(document, "vapor_path")]
    assert math.fsum(listed) == pytest.approx(total, abs=0.0006 * len(listed))
    months = air(document)
    assert len(months) == 12
    places = re.findall(r"\(([a-z])\) [^;]*?, ([\d.]+) \([\d.]+ m²·K/W\)", sentences(document, "monthly_places"))
    up_to = {letter: float(r) for letter, r in places}
    if monthly.governing.verdict == "stays dry":
        check_dry(document, months, total, up_to["a"])
        return
    month, held = "", dict.fromkeys(up_to, 0.0)
    by_month: dict[str, list[tuple[str, float, float, float, float, float, float]]] = {}
    for group in rows(document, "planes"):
        month = (cell(group, LEFT, 43) or [month])[0]
        letter, *values = (" ".join(cell(group, a, b)) for a, b in pairwise(WET_EDGES))
        by_month.setdefault(month, []).append((letter, *(number(value) for value in values)))  # type: ignore[arg-type]
    redone = 0
    for month, planes in by_month.items():
        outdoors, p_out, room, p_room, _, _ = months[month]
        dries = any(gained < 0 and left == 0 for *_, gained, left in planes)
        knots = [(0.0, p_out), *((s, p) for _, _, p, s, _, _, _ in planes)]
        knots.append((planes[-1][3] + planes[-1][4], p_room))
        for place, (letter, t, p, _, _, gained, left) in enumerate(planes, start=1):
            assert t == pytest.approx(outdoors + (room - outdoors) * up_to[letter] / total, abs=3 * KELVIN)
            assert saturation(t - 2 * KELVIN) - PA <= p <= saturation(t + 2 * KELVIN) + PA
            digit = 0.05 if abs(gained) < 10 else 0.5
            assert left == pytest.approx(
                held[letter] + gained, abs=digit + 2 * (0.5 if max(left, held[letter]) >= 10 else 0.05)
            )
            held[letter] = left
            if dries:
                continue
            (s0, p0), (s1, p1), (s2, p2) = knots[place - 1 : place + 2]
            rate = (p2 - p1) / (s2 - s1) - (p1 - p0) / (s1 - s0)
            slack = (2 * PA + abs(p2 - p1) * 2 * MILLIMETER / (s2 - s1)) / (s2 - s1)
            slack += (2 * PA + abs(p1 - p0) * 2 * MILLIMETER / (s1 - s0)) / (s1 - s0)
            scale = STILL_AIR * HOURS[month]
            assert gained == pytest.approx(scale * rate, abs=scale * slack * 1.01 + digit), (month, letter)
            redone += 1
    assert redone >= 1
    peak = max(left for planes in by_month.values() for *_, left in planes)
    assert peak == pytest.approx(monthly.governing.plane_peak * 1000, abs=0.5)


def check_dry(
    document: Document, months: dict[str, tuple[float, float, float, float, str, str]], total: float, up_to: float
) -> None:
    """No plane gathers: the pressure runs straight, under saturation, at the plane that comes nearest."""
    printed = rows(document, "planes")
    assert len(printed) == 12
    for group in printed:
        month, *values = (" ".join(cell(group, a, b)) for a, b in pairwise((LEFT, 48, 77, 109, 143, 172, 199)))
        t, top, pressure, s_out, s_in = (number(value) for value in values)
        outdoors, p_out, room, p_room, _, _ = months[month]
        assert t == pytest.approx(outdoors + (room - outdoors) * up_to / total, abs=3 * KELVIN)
        assert saturation(t - 2 * KELVIN) - PA <= top <= saturation(t + 2 * KELVIN) + PA
        share = s_out / (s_out + s_in)
        slack = abs(p_room - p_out) * 2 * MILLIMETER / (s_out + s_in)
        assert pressure == pytest.approx(p_out + (p_room - p_out) * share, abs=3 * PA + slack)
        assert pressure <= top + PA


@pytest.mark.parametrize("name", NAMES)
def test_the_interior_surface_can_be_redone_and_is_told_apart(name: str) -> None:
    _, assessment, _, document = reported(name)
    monthly = assessment.moisture.monthly
    assert monthly is not None
    said = sentences(document, "monthly_surface")
    match = re.search(r"1 − 0\.25/([\d.]+) = (\d\.\d+)", said)
    assert match and 1 - 0.25 / float(match.group(1)) == pytest.approx(float(match.group(2)), abs=6e-4)
    factor = float(match.group(2))
    assert "in one dimension" in said
    if assessment.thermal.conduction is not None:
        assert f"two dimensions, with the ordinary film, it is {assessment.thermal.conduction.f_rsi:.3f}" in said
    for outdoors, _, room, p_room, humidity, asked in air(document).values():
        surface = outdoors + factor * (room - outdoors)
        assert number(humidity) == pytest.approx(min(100, p_room / saturation(surface) * 100), abs=1.0)
        if asked != "–":
            needed = outdoors + float(asked) * (room - outdoors)
            assert p_room / saturation(needed) == pytest.approx(0.80, abs=0.006)
    damp = re.search(r"Dampest of all judged rooms and cities: (\d+) %", said)
    assert damp
    judged = [month for run in monthly.runs if run.judged for month in run.months]
    assert int(damp.group(1)) == round(max(month.surface_humidity for month in judged) * 100)


@pytest.mark.parametrize("name", NAMES)
def test_the_design_hour_can_be_redone_from_the_page(name: str) -> None:
    _, assessment, _, document = reported(name)
    hour = assessment.moisture.design_hour
    assert hour is not None
    said = sentences(document, "hour_put_in")
    total = heading_remark(document, "hour_planes_head")
    given = re.search(
        r"absorptance ([\d.]+) .*?, ([\d.]+) W/\(m²·K\) .*?outdoors \S+ °F \(([\d.−]+) °C\), "
        r"sun on the wall \d+ Btu/\(h·ft²\) \[(\d+) W/m²\].*?(?:coefficient = )(\S+) °F \(([\d.−]+) °C\)",
        said,
    )
    assert given, said
    absorptance, coefficient, outdoors, sun, sol_air = (
        float(given.group(i).replace("−", "-")) for i in (1, 2, 3, 4, 6)
    )
    assert outdoors + absorptance * sun / coefficient == pytest.approx(sol_air, abs=0.15)
    if hour.spread == "hour":
        damped = re.search(r"shows\) \S+ °F \(([\d.]+) °C\)", said)
        assert damped
        sol_air = float(damped.group(1))
    room = float(re.search(r"Room \S+ °F \(([\d.]+) °C\)", said).group(1))  # type: ignore[union-attr]
    planes = []
    for group in rows(document, "hour"):
        values = [" ".join(cell(group, a, b)) for a, b in pairwise((68, 85.5, 106.5, 131.5, 144.5, 157.5, 173, 199))]
        planes.append(values)
    assert len(planes) == len(hour.planes)
    for r, temperature, pressure, humidity, *_ in planes:
        t, p = number(temperature), number(pressure)
        assert t == pytest.approx(sol_air + (room - sol_air) * number(r) / total, abs=3 * KELVIN)
        assert number(humidity) == pytest.approx(p / saturation(t) * 100, abs=0.5 + 0.6)
    wet = {0, len(planes) - 1} | {i for i, plane in enumerate(hour.planes) if plane.condensing > 0}
    for a, b in pairwise(sorted(wet)):
        (s0, p0), (s1, p1) = ((number(planes[i][4]), number(planes[i][2])) for i in (a, b))
        for i in range(a, b + 1):
            share = (number(planes[i][4]) - s0) / (s1 - s0) if s1 > s0 else 0.0
            slack = abs(p1 - p0) * 0.003 / max(s1 - s0, 0.003)
            assert number(planes[i][2]) == pytest.approx(p0 + (p1 - p0) * share, abs=2 + slack), (name, i)


@pytest.mark.parametrize("name", NAMES)
def test_names_stand_small_inside_sentences_and_every_figure_has_its_source(name: str) -> None:
    wall, _, _, document = reported(name)
    for part in ("monthly_verdict", "hour_verdict", "drying_intro", "monthly_places"):
        for word in re.findall(r"(?<=[a-z,] )[A-Z][a-z]+\b", sentences(document, part)):
            labels = {layer.material.label for layer in wall.layers if layer.material} | {"Meets", "Type", "Graphite"}
            assert not any(label.startswith(f"{word} ") for label in labels - {"Type", "Graphite"}), (part, word)
    text = " ".join(sentences(document, part) for part in ("monthly_intro", "monthly_rooms", "hour_put_in"))
    assert text.count("[") >= 5 and "from memory, unverified" in text and "common practice" in text
    sources = " ".join(item.text for item in texts(scenes(document)[-1]))
    marks = {int(mark) for mark in re.findall(r"\[(\d+)\]", text) if int(mark) < 30}
    assert marks <= {int(mark) for mark in re.findall(r"\[(\d+)\]", sources)}
    for title in ("ISO 13788", "ASHRAE Standard 160", "Typical Meteorological Years"):
        assert title in sources


def test_without_cities_only_drying_is_left() -> None:
    wall, assessment, site, _ = reported("framed-stucco-drained")
    moisture = replace(assessment.moisture, monthly=None, design_hour=None)
    bare = replace(site, cities=(), city_remark="no listed city stands in the zone")
    document = report_document(wall, replace(assessment, moisture=moisture), bare)
    said = " ".join(text.text for scene in scenes(document) for text in texts(scene)).replace("\u00a0", " ")
    assert "vapor by month and the design hour are not computed" in said and "Vapor retarder and drying" in said
    assert "design hour plane by plane" not in said
