"""What the edition decides, as README shows it: Cook County, IL, and Dallas County, TX, each by three editions.

Zones: the county list of PNNL-33270 (older map for 2018, newer map since). R rows: IECC residential 2018 and 2021
(confirmed); those of 2024 are taken from 2021 and partly unverified.
"""

from __future__ import annotations

import re
from pathlib import Path

from specgen.checks.assess import assess
from specgen.documents.findings import assessments_text
from specgen.library.load import open_library
from specgen.library.sites import site_from_county

README = Path(__file__).parents[2] / "README.md"
EDITIONS = ("2018", "2021", "2024")
WALL = "framed-stucco-drained"


def verdicts() -> str:
    lines = []
    for county in ("Cook, IL", "Dallas, TX"):
        for edition in EDITIONS:
            done = assess(open_library().wall(WALL), site_from_county(county, edition, edition))
            text = " ".join(assessments_text([done]).split())
            found = re.search(r"IECC \d+, prescriptive paths \(wood frame\): (.*?) R path", text)
            assert found
            lines.append(f"{county}, {edition}: zone {done.zone}, {found.group(1)}")
    return "\n".join(lines)


def test_readme_shows_what_the_checks_say_today() -> None:
    assert f"```text\n{verdicts()}\n```" in README.read_text(encoding="utf-8")


def test_the_edition_decides() -> None:
    cook = {each: assess(open_library().wall(WALL), site_from_county("Cook, IL", each, each)) for each in EDITIONS}
    assert [cook[each].energy_code.meets_prescriptive for each in EDITIONS] == [True, False, False]
    assert [site_from_county("Dallas, TX", each, each).zone_label for each in EDITIONS] == ["3A", "2A", "2A"]
    rows = [[(path.label, path.required) for path in cook[each].energy_code.paths] for each in ("2021", "2024")]
    assert rows[0] == rows[1]  # the wall rows of 2024 are those of 2021
