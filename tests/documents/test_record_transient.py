"""The simulation's pages say what the result says; a wall that was not simulated has none."""

from __future__ import annotations

from dataclasses import replace

import pytest

from specgen.checks.assess import assess
from specgen.documents.report import report_document
from specgen.library.load import open_library
from specgen.library.sites import site_from_zone
from specgen.model.scene import Group, Scene, Text
from specgen.model.transient import (
    Governing,
    LayerWater,
    Recovery,
    SurfacePlane,
    ToleratedLeak,
    TransientCase,
    TransientResult,
)

PLANE = SurfacePlane("sheathing", "inner", "OSB", "sensitive", "almost none", 2.4, 2.4, 0.88)
WATER = LayerWater("sheathing", 0.9, 1.4, 0.01, 0.19, 0.0, 0.0)
BASE = TransientCase("", "", "N", "solid", "Houston, TX", PLANE, 1, 0.6, (WATER,), (), 1e-12, 1e-12)
DAYS = tuple(float(day) for day in range(365))
RESULT = TransientResult(
    city="Houston, TX",
    weather="synthetic year",
    weather_notes=(),
    verdict="meets",
    depends_on=(),
    needs_hourly_file=False,
    worst=BASE,
    cases=(BASE, replace(BASE, varied="start state", detail="wet start")),
    wetted_layer="sheathing",
    recovery=(Recovery("oct", 90.0, 300.0, 0.1, 0.9, 0.0), Recovery("apr", None, 300.0, 0.2, 0.1, 0.7)),
    leak=ToleratedLeak(((0.0, 1.0), (0.5, 2.0), (1.0, 3.5)), 0.5, False),
    criterion="mold index under 3",
    ran="three years of one weather",
    governing=Governing(
        tuple(5 + day / 20 for day in DAYS), tuple(0.5 + day / 1000 for day in DAYS), (2.0,) * 365,
        (("sheathing", (1.0,) * 365),),
    ),
)  # fmt: skip


def words(scene: Scene) -> str:
    found: list[str] = []

    def walk(item: object) -> None:
        if isinstance(item, Group):
            for part in item.items:
                walk(part)
        elif isinstance(item, Text):
            found.append(item.text)

    walk(scene.sheet)
    for view in scene.views:
        walk(view.group)
    return " ".join(found).replace("\u00a0", " ")


def pages(result: TransientResult | None) -> str:
    wall = open_library().wall("framed-stucco-drained")
    site = site_from_zone("2A", "2021", "2021")
    assessment = assess(wall, site)
    assessment = replace(assessment, moisture=replace(assessment.moisture, transient=result))
    document = report_document(wall, assessment, site)
    return " ".join(words(part) for part in document.parts if isinstance(part, Scene) and "years" in part.id)


def test_not_simulated_no_page() -> None:
    assert pages(None) == ""


def test_pages_say_what_was_found() -> None:
    text = pages(RESULT)
    for part in ("Meets.", "inner face of OSB sheathing", "mold index 2.4", "wet start", "90 days", "0.5 %", "19 %"):
        assert part in text, part
    assert "hourly file" not in text


@pytest.mark.parametrize(
    ("leak", "part"),
    [
        (ToleratedLeak(((0.0, 1.0), (10.0, 2.0)), 10.0, True), "over 10 %"),
        (ToleratedLeak(((0.0, 4.0),), None, False), "No leak into that layer is tolerated"),
        (None, "not applicable"),
    ],
)
def test_leak_in_words(leak: ToleratedLeak | None, part: str) -> None:
    assert part in pages(replace(RESULT, leak=leak))


def test_doubt_is_named() -> None:
    text = pages(replace(RESULT, verdict="depends on", depends_on=("orientation",), needs_hourly_file=True))
    assert "Depends on orientation." in text
    assert "needs an hourly file" in text
