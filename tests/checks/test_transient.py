"""Findings of the simulation: each code from a result that calls for it and none from a sound one; results survive the
trip through the store; the committed runs of ruined walls are told as they came out."""

from __future__ import annotations

import csv
import json
from dataclasses import asdict, replace
from types import SimpleNamespace

import numpy as np
import pytest
import ruined_walls as ruin
import transient_ruins as ruins
from builders import SOFTWOOD, framing

from specgen.checks import transient_water
from specgen.checks.assess import assess
from specgen.checks.entries import finding_entries
from specgen.checks.layers import Reading
from specgen.checks.rules import Case
from specgen.checks.transient import rank, transient_result
from specgen.checks.transient_findings import transient_findings, with_transient
from specgen.checks.transient_lanes import Asked, Lane, case_of, class_cases, lanes, moment
from specgen.checks.transient_surfaces import surface_row
from specgen.checks.transient_variations import variations
from specgen.checks.transient_water import recovery
from specgen.checks.wall_problem import Choices, SimulatedWall
from specgen.checks.weather_year import city_year
from specgen.data import load_table, source
from specgen.errors import NotComputableError
from specgen.library.load import open_library
from specgen.library.sites import site_from_zone
from specgen.model.finding import Finding, Severity
from specgen.model.transient import (
    DEPENDS,
    FAILS,
    MEETS,
    Governing,
    LayerWater,
    Recovery,
    SurfacePlane,
    ToleratedLeak,
    TransientCase,
    TransientResult,
    result_from,
)
from specgen.physics import mold

WALL = ruin.stucco_wall()
COLD = open_library().wall("framed-siding-cold")
SITE = site_from_zone("2A")
PLANE = SurfacePlane("studs", "outer", "Softwood (members)", "sensitive", "almost none", 0.4, 0.4, 0.74)
SHEATHING = LayerWater("sheathing", 0.8, 1.1, 0.0, 0.14, 0.0, 0.0)
CASE = TransientCase("", "", "N", "solid", "Houston, TX", PLANE, 1, 0.6, (SHEATHING,), (), 1e-12, 1e-12)
SOUND = TransientResult(
    city="Houston, TX", weather="synthetic year", weather_notes=(), verdict=MEETS, depends_on=(),
    needs_hourly_file=False, worst=CASE, cases=(CASE,), wetted_layer="sheathing",
    recovery=(Recovery("oct", 90.0, 457.0, 0.4, 0.6, 0.0), Recovery("apr", 30.0, 640.0, 0.4, 0.6, 0.0)),
    leak=ToleratedLeak(((0.0, 0.4), (1.0, 0.5), (10.0, 2.0)), 10.0, True), criterion="", ran="",
    governing=Governing((12.0,) * 365, (0.7,) * 365, (0.4,) * 365, (("sheathing", (0.8,) * 365),)),
)  # fmt: skip


def with_case(result: TransientResult = SOUND, **fields: object) -> TransientResult:
    case = replace(result.worst, **fields)  # type: ignore[arg-type]
    return replace(result, worst=case, cases=(case, CASE))


MOLDY = replace(with_case(plane=replace(PLANE, index=4.2, humidity_30=0.95), reasons=("mold",)), verdict=FAILS)
SOAKED = replace(SHEATHING, wood=0.28, days_moist=90.0, days_wet=40.0)
GATHERING = replace(SHEATHING, gain=0.4)
UNDECIDED = replace(MOLDY, verdict=DEPENDS, depends_on=("orientation",), needs_hourly_file=True)
SLOW = (Recovery("oct", None, 457.0, 0.0, 0.1, 0.9), SOUND.recovery[1])
NO_LEAK = ToleratedLeak(((0.0, 0.4), (0.5, 4.8)), 0.0, False)
RUINED: dict[str, tuple[TransientResult, Severity]] = {
    "M70": (MOLDY, Severity.ERROR),
    "M71": (UNDECIDED, Severity.WARNING),
    "M72": (replace(with_case(layers=(SOAKED,), reasons=("wood",)), verdict=FAILS), Severity.ERROR),
    "M73": (replace(with_case(layers=(GATHERING,), reasons=("gathers",)), verdict=FAILS), Severity.ERROR),
    "M74": (with_case(plane=replace(PLANE, humidity_30=0.86)), Severity.NOTE),
    "M76": (replace(SOUND, recovery=SLOW), Severity.WARNING),
    "M77": (replace(SOUND, leak=NO_LEAK), Severity.NOTE),
    "M78": (UNDECIDED, Severity.NOTE),
}


def findings(result: TransientResult, others: tuple[Finding, ...] = ()) -> list[Finding]:
    return list(transient_findings(Case(Reading(WALL), SITE), result, others))


@pytest.mark.parametrize("code", RUINED)
def test_a_result_that_calls_for_a_code_gets_it_and_a_sound_one_does_not(code: str) -> None:
    result, severity = RUINED[code]
    found = [finding for finding in findings(result) if finding.code == code]
    assert [finding.severity for finding in found] == [severity]
    assert found[0].message.endswith(".") and found[0].because and found[0].cure and found[0].source
    assert not [finding for finding in findings(SOUND) if finding.code == code]


def test_messages_name_plane_month_side_and_number() -> None:
    text = next(f for f in findings(MOLDY) if f.code == "M70").message
    for part in ("4.2", "studs outer face", "north", "Houston, TX", "January", "sensitive", "almost none", "under 3"):
        assert part in text


def test_what_turns_the_verdict_is_told_with_its_number() -> None:
    base = replace(PLANE, index=5.3)
    worst = replace(CASE, plane=base, reasons=("mold",))
    dry = replace(CASE, varied="room humidity in winter", detail="room drier in winter (EN 15026)")
    declines = (("almost none", 5.3), ("as pine", 2.1))
    result = replace(
        SOUND, verdict=DEPENDS, depends_on=("room humidity in winter",), worst=worst, cases=(worst, dry),
        by_decline=declines,
    )  # fmt: skip
    found = next(f for f in findings(result) if f.code == "M71")
    assert "mold index 5.3 at studs outer face" in found.message
    assert "0.4 with room drier in winter (EN 15026)" in found.message
    assert "By rate of decline: 5.3 almost none, 2.1 as pine." in found.message
    assert "40 % at 32 °F" in found.cure
    other = replace(result, depends_on=("start state",))
    assert "40 % at 32 °F" not in next(f for f in findings(other) if f.code == "M71").cure


def test_where_a_variation_fails_its_own_reason_and_place_are_told() -> None:
    wet_cell = replace(
        CASE, varied="grout in the cells", detail="a grouted cell", orientation="W", weather="Phoenix, AZ",
        plane=replace(PLANE, index=5.0, humidity_30=0.74), reasons=("mold",),
    )  # fmt: skip
    result = replace(SOUND, verdict=DEPENDS, depends_on=("grout in the cells",), cases=(CASE, wet_cell))
    found = next(f for f in findings(result) if f.code == "M71")
    assert "mold index 0.4" in found.message and "5.0 with a grouted cell facing west in Phoenix, AZ" in found.message
    assert "dry before the inside is closed" in found.cure and "By rate of decline" not in found.message


def test_findings_say_what_was_wetted() -> None:
    slow = replace(SOUND, recovery=SLOW, wetted_depth=0.006)
    part = next(f for f in findings(slow) if f.code == "M76").message
    assert part.startswith("The outer 1/4 in (6 mm) of ")
    whole = next(f for f in findings(replace(slow, wetted_depth=0.2)) if f.code == "M76").message
    assert "outer" not in whole.split("facing")[0]


def test_cure_follows_the_side_that_the_vapor_comes_from() -> None:
    assert MOLDY.governing is not None
    warm = replace(MOLDY, governing=replace(MOLDY.governing, temperature=(27.0,) * 365))
    cold, hot = (next(f for f in findings(one) if f.code == "M70") for one in (MOLDY, warm))
    assert "vapor of the room" in cold.message and "outdoors" in hot.message and cold.cure != hot.cure


def test_mold_of_construction_water_is_told_apart() -> None:
    built_wet = replace(with_case(plane=replace(PLANE, index=4.2, humidity_30=0.7), reasons=("mold",)), verdict=FAILS)
    found = next(f for f in findings(built_wet) if f.code == "M70")
    assert "built with" in found.message and "dry before the inside is closed" in found.cure


def test_rule_and_simulation_that_disagree_are_both_printed() -> None:
    rule = Finding("M05", Severity.ERROR, "No exterior insulation.", "studs")
    both = next(f for f in findings(SOUND, (rule,)) if f.code == "M75")
    assert "M05 (error): No exterior insulation." in both.message and "mold index 0.4" in both.message
    assert [f.severity for f in findings(MOLDY) if f.code == "M75"] == [Severity.WARNING]
    assert not [f for f in findings(MOLDY, (rule,)) if f.code == "M75"]
    assert not [f for f in findings(SOUND) if f.code == "M75"]


def test_a_wall_that_could_not_be_run_says_so() -> None:
    assessed = assess(WALL, SITE)
    failed = with_transient(assessed, WALL, SITE, None, "stopped at 3 May: no convergence; no result is given")
    assert [f.message for f in failed.findings if f.code == "M79"] == [
        "stopped at 3 May: no convergence; no result is given."
    ]
    run = with_transient(assessed, WALL, SITE, SOUND)
    assert not [f for f in run.findings if f.code == "M79"]
    assert assessed.as_json()["moisture"]["transient"] is None
    assert run.as_json()["moisture"]["transient"]["verdict"] == "meets"


def test_every_code_of_the_simulation_is_tried() -> None:
    assert {*RUINED, "M75", "M79"} == {code for code in finding_entries() if code.startswith("M7")}


KEYS = {
    "governing_plane", "max_mold_index", "sensitivity_class", "rh_30day_max", "wood_mc_max", "balance_error",
    "recovery_days", "tolerated_leak_percent", "tolerated_leak_exceeds", "orientation", "weather", "verdict",
    "depends_on",
}  # fmt: skip


def test_json_has_its_keys_and_a_stored_result_comes_back_the_same() -> None:
    data = UNDECIDED.as_json()
    assert set(data) >= KEYS and data["recovery_days"] == {"oct": 90.0, "apr": 30.0}
    json.dumps(data)
    for result in (SOUND, UNDECIDED, replace(SOUND, leak=None, governing=None, recovery=(), air_leakage=CASE)):
        assert result_from(json.loads(json.dumps(asdict(result)))) == result


def test_surfaces_say_class_source_and_status() -> None:
    table = load_table("mold_surfaces")
    assert len(table["rows"]) == table["checksum"]["rows"] and table["decline"] in mold.DECLINES
    for row in table["rows"]:
        assert row["class"] in mold.SENSITIVITIES
        assert row["class"] not in row.get("range", ()) and set(row.get("range", ())) <= set(mold.SENSITIVITIES)
        assert row["status"] in ("confirmed", "secondary", "from-memory", "common-practice")
        assert row["source"] == "common practice" or source(row["source"])
    found = {name: surface_row(material) for name, material in (
        ("batt", ruin.BATT_R13), ("foam", ruin.XPS), ("board", ruin.GYPSUM), ("wood", SOFTWOOD),
        ("treated", ruin.TREATED), ("kraft", ruin.KRAFT_BATT),
    )}  # fmt: skip
    assert found["batt"] is None and found["foam"] is None
    assert found["board"] and found["wood"] and found["kraft"] and found["treated"]
    assert found["wood"]["class"] == "sensitive" and found["treated"]["class"] == "medium resistant"
    assert surface_row(ruin.KRAFT_BATT, inner=False) is None


def test_what_is_varied_fits_the_wall() -> None:
    varied = {one.varied for one in variations(SimulatedWall(Reading(ruin.siding_wall())), Choices(cells="solid"))}
    always = {
        "room temperature while cooling", "room humidity while cooling", "room humidity in winter", "start state",
        "wall color", "water uptake", "stored water",
    }  # fmt: skip
    assert always | {"air change of the open gap"} == {name for name in varied if "permeance" not in name}
    stucco = [one.varied for one in variations(SimulatedWall(Reading(WALL)), Choices(cells="solid"))]
    assert "air change of the open gap" not in stucco
    assert all(stucco.count(name) == 2 for name in stucco if name.startswith("permeance of the "))


def test_many_deciding_inputs_read_as_one_sentence() -> None:
    names = ("orientation", "permeance of the OSB sheathing", "start state", "permeance of the latex paint")
    assert replace(SOUND, depends_on=names).decided_by == (
        "orientation; start state; permeance of the OSB sheathing and latex paint"
    )
    assert replace(SOUND, depends_on=names[:3]).decided_by == (
        "orientation, start state and permeance of the OSB sheathing"
    )
    assert SOUND.decided_by == ""


@pytest.fixture(scope="module")
def cold_wall() -> TransientResult:
    """A framed wall of the library through all of it: every orientation, every variation, both tests with water."""
    result = transient_result(COLD, site_from_zone("7"))
    assert result is not None
    return result


def varied_case(result: TransientResult, detail: str) -> TransientCase:
    return next(case for case in result.cases if case.detail == detail)


def test_a_wall_runs_through_everything_and_its_books_close(cold_wall: TransientResult) -> None:
    assert cold_wall.balance_error < 1e-6
    data = cold_wall.as_json()
    assert set(data) >= KEYS and None not in (data["max_mold_index"], data["wood_mc_max"], data["rh_30day_max"])
    json.dumps(data)
    asked = variations(SimulatedWall(Reading(COLD)), Choices(cells="solid"))
    assert {one.detail for one in asked} < {case.detail for case in cold_wall.cases}
    assert [case.orientation for case in cold_wall.cases[:4]] == ["N", "E", "S", "W"]


def test_the_verdict_is_that_of_its_cases(cold_wall: TransientResult) -> None:
    base = [case for case in cold_wall.cases if not case.varied]
    assert cold_wall.worst == max(base, key=rank)
    against = {case.varied for case in cold_wall.cases if case.varied and case.meets != cold_wall.worst.meets}
    assert set(cold_wall.depends_on) - {"orientation"} == against
    assert (cold_wall.verdict == DEPENDS) == bool(cold_wall.depends_on)
    for case in cold_wall.cases:
        assert ("mold" in case.reasons) == (case.index >= 3.0)


def test_what_is_varied_moves_the_wall_the_way_it_must(cold_wall: TransientResult) -> None:
    # In the cold the sheathing takes vapor from the room and gives it off outward.
    def sheathing(detail: str) -> float:
        return next(one.mean for one in varied_case(cold_wall, detail).layers if one.layer == "sheathing")

    base = next(one.mean for one in cold_wall.worst.layers if one.layer == "sheathing")
    assert sheathing("low permeance of the latex paint") < base < sheathing("high permeance of the latex paint")
    foam = "permeance of the EPS board, Type II"
    assert sheathing(f"high {foam}") < base < sheathing(f"low {foam}")
    assert sheathing("stored water at its low end") < base < sheathing("stored water at its high end")
    assert sheathing("dark color") < base < sheathing("light color")
    assert sheathing("air change of the gap times 3") < base < sheathing("air change of the gap times 0.2")
    drier_room = varied_case(cold_wall, "room drier in winter (EN 15026)")
    assert drier_room.index < cold_wall.worst.index


def test_mold_index_falls_with_the_rate_of_decline(cold_wall: TransientResult) -> None:
    by_decline = cold_wall.as_json()["mold_index_by_decline"]
    assert list(by_decline) == ["almost none", "relatively low", "significant", "as pine"]
    assert by_decline["almost none"] == pytest.approx(cold_wall.worst.index, abs=1e-9)
    assert list(by_decline.values()) == sorted(by_decline.values(), reverse=True)
    by_class = cold_wall.as_json()["mold_index_by_class"]
    assert by_class["sensitive"] == pytest.approx(cold_wall.worst.index, abs=1e-9)
    assert list(by_class.values()) == sorted(by_class.values(), reverse=True)


def test_a_class_that_sources_disagree_on_is_judged_with_each() -> None:
    strips = ruin.layer("strips", None, "3-1/2 in", fill=ruin.BATT_R13, framing=framing(material=ruin.TREATED))
    wall = SimulatedWall(Reading(ruin.replace(ruin.replace(ruin.inside_wall(), "foam", strips), "paint")))
    choices = Choices(cells="solid")
    run = wall.run(choices, city_year(SITE.cities[0]))
    shape = 3 * 8760 + 1, len(run.probes)
    result = SimpleNamespace(
        temperature=np.full(shape, 25.0), relative_humidity=np.full(shape, 0.97), mass_error=0.0, heat_error=0.0,
        layer_mass=np.ones((shape[0], len(run.layers))),
    )  # fmt: skip
    board = next(n for n, i in enumerate(run.layers) if wall.wall.layers[i].id == "board")
    dry = [probe for probe, (layer, _) in enumerate(run.probes) if layer == board]
    result.relative_humidity[:, dry] = 0.5
    lane = Lane("", "", choices, "", run, result)  # type: ignore[arg-type]
    cases = {case.varied: [] for case in class_cases(wall, lane)}
    assert list(cases) == [f"mold class of the {ruin.TREATED.label.lower()} (members)"]
    resistant, sensitive = (case.index for case in class_cases(wall, lane))
    assert 0 < resistant < case_of(wall, lane).index < sensitive


def test_water_put_in_goes_where_the_books_say(cold_wall: TransientResult) -> None:
    assert cold_wall.wetted_layer == "sheathing" and cold_wall.wetted_depth == pytest.approx(0.0111, abs=1e-4)
    for water in cold_wall.recovery:
        assert water.outward + water.inward + water.left == pytest.approx(1.0, abs=1e-6)
        assert water.days is not None and 10 < water.days < water.watched
    assert cold_wall.leak is not None
    indices = [index for _, index in cold_wall.leak.steps]
    assert indices == sorted(indices)


def test_a_result_is_kept_and_not_run_again(cold_wall: TransientResult) -> None:
    told: list[str] = []
    assert transient_result(COLD, site_from_zone("7"), progress=told.append) == cold_wall
    assert not told


def test_moments_of_a_run_are_told_as_dates() -> None:
    assert moment(0) == "January 1 of year 1, 00:00"
    assert moment(8760 + 273 * 24 + 5) == "October 1 of year 2, 05:00"


def test_committed_runs_of_ruined_walls_are_those_of_the_list() -> None:
    with ruins.TABLE.open(encoding="utf-8", newline="") as stream:
        rows = list(csv.DictReader(stream))
    assert [(row["name"], row["state"]) for row in rows] == [
        (one.name, state) for one in ruins.RUINS for state in ("ruined", "mended")
    ]
    assert {row["name"]: row["expected"] for row in rows} == {one.name: one.expected for one in ruins.RUINS}


def test_a_run_that_fails_names_wall_case_moment_and_plane(monkeypatch: pytest.MonkeyPatch) -> None:
    from specgen.physics.transient import run as transient_run

    def stops(*_: object) -> None:
        raise transient_run.SimulationError(1, 8760 + 122 * 24 + 14, 4, 0, "no convergence")

    monkeypatch.setattr(transient_run, "simulate", stops)
    wall = SimulatedWall(Reading(WALL))
    asked = [Asked("", "", Choices(cells="solid")), Asked("start state", "wet start", Choices("E", cells="solid"))]
    expected = "'test-wall', facing E, wet start: .* May 3 of year 2, 14:00 in .*: no convergence; no result is given"
    with pytest.raises(NotComputableError, match=expected):
        lanes(wall, asked, city_year(SITE.cities[0]))


def fake_lane(choices: Choices, sheathing: list[float], inward: float, outward: float, added: float) -> Lane:
    """A lane whose sheathing holds so much, and whose books have so much water passed each way."""
    run = SimulatedWall(Reading(WALL)).run(choices, city_year(SITE.cities[0]), 3)
    mass = np.zeros((len(sheathing), len(run.layers)))
    assert run.storing is not None
    mass[:, run.storing] = sheathing
    names = ("vapor_outside", "rain_taken", "air_from_outside", "air_from_inside", "drained", "deposited")
    books = {name: np.zeros(1) for name in (*names, "vapor_inside")}
    books |= {"vapor_inside": np.array([-inward]), "vapor_outside": np.array([-outward])}
    books["deposited"] = np.array([added])
    return Lane("", "", choices, "", run, SimpleNamespace(layer_mass=mass, books=books))  # type: ignore[arg-type]


def test_recovery_counts_days_from_the_wetting_and_follows_the_water() -> None:
    hours, start = 3 * 8760 + 1, 8760 + 273 * 24
    dry_run, wet_run = [1.0] * hours, [1.0] * hours
    wet_run[start : start + 480] = [2.0] * 480  # 20 days
    dry = fake_lane(Choices(cells="solid", leak=0.0), dry_run, 0.0, 0.0, 0.0)
    wet = fake_lane(Choices(cells="solid", leak=0.0, wetted="oct"), wet_run, 0.7, 0.2, 1.0)
    found = recovery(SimulatedWall(Reading(WALL)), dry, wet)
    assert found.days == 20.0 and found.side == "room"
    assert (found.inward, found.outward) == (0.7, 0.2) and found.left == pytest.approx(0.1)
    wet_run[start:] = [2.0] * (hours - start)
    never = fake_lane(Choices(cells="solid", leak=0.0, wetted="oct"), wet_run, 0.0, 0.0, 1.0)
    assert recovery(SimulatedWall(Reading(WALL)), dry, never).days is None


@pytest.mark.parametrize(
    ("indices", "percent", "exceeds"),
    [
        ((0.1, 0.5, 1.0, 1.5, 2.0, 2.9), 10.0, True),
        ((0.1, 0.5, 3.0, 1.5, 2.0, 2.9), 0.5, False),  # a higher share that passes does not count
        ((3.2, 3.3, 3.4, 3.5, 4.0, 5.0), None, False),
    ],
)
def test_tolerated_leak_is_the_highest_share_below_which_all_pass(
    indices: tuple[float, ...], percent: float | None, exceeds: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    shares = (0.0, *transient_water.LEAKS)
    runs = [
        SimpleNamespace(choices=Choices(inboard_leak=share), index=i) for share, i in zip(shares, indices, strict=True)
    ]
    told = {id(one): replace(CASE, plane=replace(PLANE, index_last=one.index)) for one in runs}
    monkeypatch.setattr(transient_water, "case_of", lambda _, lane: told[id(lane)])
    leak = transient_water.tolerated_leak(None, runs)  # type: ignore[arg-type]
    assert leak is not None and (leak.percent, leak.exceeds) == (percent, exceeds)


@pytest.mark.long
def test_two_ruined_walls_run_as_committed() -> None:
    from specgen.checks.transient import transient_result
    from specgen.library.sites import with_weather

    with ruins.TABLE.open(encoding="utf-8", newline="") as stream:
        rows = {(row["name"], row["state"]): row for row in csv.DictReader(stream)}
    one = ruins.RUINS[3]
    for state, wall in (("ruined", one.bad), ("mended", one.good)):
        result = transient_result(wall, with_weather(site_from_zone(one.zone), one.city, None, None))
        assert result is not None and result.balance_error < 1e-6
        row = rows[one.name, state]
        assert result.verdict == row["verdict"] and result.plane_title == row["plane"]
        assert result.worst.index == pytest.approx(float(row["mold_index"]), abs=0.05)
