"""Findings of the hour-by-hour simulation: verdict, wood, water that stays, and where a rule of practice disagrees."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from specgen import units
from specgen.checks.layers import HAIR, Reading, name_of
from specgen.checks.monthly import amount
from specgen.checks.rules import ERROR, NOTE, WARNING, Case
from specgen.model.assessment import Assessment
from specgen.model.climate import MONTH_NAMES
from specgen.model.finding import Finding, Severity
from specgen.model.material import uncapped
from specgen.model.site import Site
from specgen.model.transient import (
    DEPENDS,
    FAILS,
    MEETS,
    MOIST,
    MOLD_LIMIT,
    WET,
    Recovery,
    TransientCase,
    TransientResult,
)
from specgen.model.wall import Wall

SIDES = {"N": "north", "E": "east", "S": "south", "W": "west"}
SLOW = 365.0  # days within which water should have left; a season must not find the last one's [d] (our choice)
STANDARD_LEAK = 1.0  # percent of driving rain that ASHRAE 160 has walls stand (from memory)
ROOM = 21.1  # a plane colder than this is wetted from the room, one as warm from outside [°C]
HUMIDITY_LIMIT = 0.80
WETTING = "3.3 oz/ft² (1 kg/m²)"  # put into one layer at once
TOLD = 3  # cases that a finding lists
WINTER = "room humidity in winter"
DRIER_ROOM = (
    "The room of the base case, by the simplified rule of ASHRAE 160, has 40 % at 14 °F outdoors and 50 % at 32 °F, "
    "the drier one that was tried 30 % at 14 °F and 40 % at 32 °F: where the documents fix such a limit, by "
    "ventilation and a controlled humidifier, that case counts."
)
DRYING_RULES = ("M01", "M02", "M03", "M05", "M40", "M41", "M50")  # rules and steady checks that judge the same thing


def with_transient(
    assessment: Assessment, wall: Wall, site: Site, result: TransientResult | None, failure: str = ""
) -> Assessment:
    """The assessment with the simulation's answer and its findings.

    Parameters
    ----------
    assessment : Assessment
        Of the same wall and site.
    wall : Wall
        That was simulated.
    site : Site
        Where.
    result : TransientResult or None
        None where it could not be run.
    failure : str
        Why not, one sentence.
    """
    from specgen.checks.assess import in_order

    case = Case(Reading(wall), site, assessment.thermal)
    if result is None:
        reason = failure or f"no listed weather city stands for {site.name}"
        found: tuple[Finding, ...] = (case.finding("M79", WARNING, f"{reason.rstrip('.')}."),)
    else:
        found = transient_findings(case, result, assessment.findings)
    return replace(
        assessment,
        moisture=replace(assessment.moisture, transient=result),
        findings=in_order(wall, (*assessment.findings, *found)),
    )


def transient_findings(case: Case, result: TransientResult, others: Sequence[Finding] = ()) -> tuple[Finding, ...]:
    """What a practitioner has to know of the result, each with plane, month and number.

    Parameters
    ----------
    case : Case
        The wall at its site.
    result : TransientResult
        Of the same.
    others : sequence of Finding
        What rules and steady checks have found, to be set beside it.
    """
    return (
        *_verdict(case, result),
        *_wood(case, result),
        *_gathering(case, result),
        *_thirty_days(case, result),
        *_recovery(case, result),
        *_leak(case, result),
        *_hourly(case, result),
        *_against_rules(case, result, others),
    )


def _index(case: Case, id: str) -> int | None:
    return next((i for i, layer in enumerate(case.reading.layers) if layer.id == id), None)


def _where(result: TransientResult) -> str:
    worst = result.worst
    return f"facing {SIDES[worst.orientation]} in {result.city} ({result.weather})"


def _driven_from_room(result: TransientResult) -> bool:
    """At its most humid month the governing plane is colder than the room."""
    if result.governing is None:
        return True
    start = round((result.worst.month - 1) * 30.4)
    days = result.governing.temperature[start : start + 30]
    return sum(days) / len(days) < ROOM


def _reason(result: TransientResult) -> tuple[str, str]:
    """Why the plane is humid, and what would cure it; of the worst variation where the base case meets."""
    failing = [one for one in result.cases if not one.meets]
    judged = result.worst if not result.worst.meets else max(failing, key=lambda one: one.index, default=result.worst)
    plane = judged.plane
    if plane is not None and plane.index >= MOLD_LIMIT and (plane.humidity_30 or 0.0) < HUMIDITY_LIMIT:
        return (
            "it grows while the water that the wall is built with dries past it; the third year is dry",
            "Let masonry and wet-applied coats dry before the inside is closed, and measure; or let the water out to "
            "the outside.",
        )
    if _driven_from_room(result):
        return (
            "vapor of the room meets it while it is cold",
            "Warm the plane with insulation outboard of it, or slow the room's vapor with a retarder that opens in "
            "summer, or hold the room drier in the cold months and say so.",
        )
    return (
        "vapor from outdoors or from the wet cladding reaches it and passes on to the room too slowly",
        "Open the layers inboard of it to the room, or put a ventilated gap or a more closed membrane outboard of it.",
    )


def _verdict(case: Case, result: TransientResult) -> Iterator[Finding]:
    worst, plane = result.worst, result.worst.plane
    if plane is not None and result.verdict == FAILS and "mold" in worst.reasons:
        why, cure = _reason(result)
        message = (
            f"Mold index {plane.index:.1f} at {plane.name} ({uncapped(plane.surface)}; class {plane.sensitivity}, "
            f"decline {plane.decline}) {_where(result)}, most humid in {MONTH_NAMES[worst.month - 1]}; expected under "
            f"{MOLD_LIMIT:g}: {why}.{_by_decline(result)}"
        )
        yield replace(case.finding("M70", ERROR, message, _index(case, plane.layer)), cure=cure)
    if result.verdict == DEPENDS:
        yield _depends(case, result)


def _depends(case: Case, result: TransientResult) -> Finding:
    plane = result.worst.plane
    number = f"mold index {result.worst.index:.1f}" if plane else "no plane that feeds mold, worst"
    message = (
        f"Meets or not by {result.decided_by}: {number} at {result.plane_title} {_where(result)}, most humid in "
        f"{MONTH_NAMES[result.worst.month - 1]}{_turned(result)}; expected under {MOLD_LIMIT:g} in every case."
        f"{_by_decline(result)}"
    )
    finding = case.finding("M71", WARNING, message, _index(case, plane.layer) if plane else None)
    drier = f" {DRIER_ROOM}" if WINTER in result.depends_on else ""
    return replace(finding, cure=f"{finding.cure} {_reason(result)[1]}{drier}")


def _by_decline(result: TransientResult) -> str:
    told = result.by_decline and result.worst.index >= MOLD_LIMIT
    return f" By rate of decline: {result.decline_text}." if told else ""


def _turned(result: TransientResult) -> str:
    """Of each input that turns the verdict the case that lies farthest off: `, 0.7 with room drier in winter`."""
    turned = [one for one in result.cases if one.meets != result.worst.meets and one.plane]
    farthest: dict[str, TransientCase] = {}
    for one in turned:
        before = farthest.get(one.varied, one)
        farthest[one.varied] = max(before, one, key=lambda case: abs(case.index - result.worst.index))
    told = sorted(farthest.values(), key=lambda case: -abs(case.index - result.worst.index))[:TOLD]
    texts = [f"{one.index:.1f} {_how(one, result.worst)}" for one in told]
    return f"; {', '.join(texts)}" if texts else ""


def _how(case: TransientCase, worst: TransientCase) -> str:
    where = f"facing {SIDES[case.orientation]} in {case.weather}"
    if not case.varied:
        return where
    same = (case.orientation, case.weather) == (worst.orientation, worst.weather)
    return f"with {case.detail}" if same else f"with {case.detail} {where}"


def _wood(case: Case, result: TransientResult) -> Iterator[Finding]:
    for layer in result.worst.layers:
        index = _index(case, layer.layer)
        if layer.wood is None or index is None or layer.wood <= MOIST:
            continue
        name = name_of(case.reading.layers[index])
        over, days = (WET, layer.days_wet) if layer.days_wet else (MOIST, layer.days_moist)
        severity = NOTE if not layer.days_wet else ERROR if result.verdict == FAILS else WARNING
        message = (
            f"{name} reaches {layer.wood * 100:.0f} % moisture content {_where(result)}, above {over * 100:.0f} % on "
            f"{days:.0f} days of the third year."
        )
        yield case.finding("M72", severity, message, index)


def _gathering(case: Case, result: TransientResult) -> Iterator[Finding]:
    if "gathers" not in result.worst.reasons:
        return
    layer = max(result.worst.layers, key=lambda one: one.gain)
    index = _index(case, layer.layer)
    name = name_of(case.reading.layers[index]) if index is not None else layer.layer
    severity = ERROR if result.verdict == FAILS else WARNING
    message = (
        f"{name} holds {amount(layer.gain)} more in the third year than in the second {_where(result)}, "
        f"{amount(layer.mean)} on average."
    )
    yield case.finding("M73", severity, message, index)


def _thirty_days(case: Case, result: TransientResult) -> Iterator[Finding]:
    plane = result.worst.plane
    if plane is None or plane.humidity_30 is None or plane.humidity_30 < HUMIDITY_LIMIT or plane.index >= MOLD_LIMIT:
        return
    message = (
        f"30-day mean humidity {plane.humidity_30 * 100:.0f} % at {plane.name} {_where(result)}, over 80 %, while the "
        f"mold index stays at {plane.index:.1f}."
    )
    yield case.finding("M74", NOTE, message, _index(case, plane.layer))


def _recovery(case: Case, result: TransientResult) -> Iterator[Finding]:
    slow = [one for one in result.recovery if one.days is None or one.days > SLOW]
    if not slow:
        return
    worst = max(slow, key=lambda one: (one.days is None, one.days or 0.0))
    index = _index(case, result.wetted_layer)
    name = _wetted(case, result, index)
    message = f"{name} {_still(worst)} after {WETTING} on {_day(worst)} {_where(result)}; {_went(worst)}."
    yield case.finding("M76", WARNING, message, index)


def _wetted(case: Case, result: TransientResult, index: int | None, article: str = "The ") -> str:
    """`The outer 1 in of Concrete block`, or the layer's name where all of it was wetted."""
    if index is None:
        return "the layer"
    layer, depth = case.reading.layers[index], result.wetted_depth
    if depth is None or depth > (layer.thickness or depth) - HAIR:
        return name_of(layer)
    return f"{article}outer {units.format_inches(depth)} in ({depth * 1000:.0f} mm) of {name_of(layer)}"


def _still(one: Recovery) -> str:
    if one.days is None:
        return f"is still wetter than without the water {one.watched:.0f} days"
    return f"is wetter than without the water until {one.days:.0f} days"


def _day(one: Recovery) -> str:
    return "October 1" if one.month == "oct" else "April 1"


def _went(one: Recovery) -> str:
    return f"{amount(max(one.outward, 0.0))} left to the outside and {amount(max(one.inward, 0.0))} to the room"


def _leak(case: Case, result: TransientResult) -> Iterator[Finding]:
    leak = result.leak
    if leak is None or (leak.percent is not None and leak.percent >= STANDARD_LEAK):
        return
    index = _index(case, result.wetted_layer)
    share, value = next(step for step in leak.steps if step[1] >= MOLD_LIMIT)
    into = f"with {share:g} % of the driving rain in" if share else "without any leak, beside"
    before = "" if leak.percent is None else f"; under {MOLD_LIMIT:g} with {leak.percent:g} %"
    message = f"Mold index {value:.1f} {into} {_wetted(case, result, index, 'the ')} {_where(result)}{before}."
    yield case.finding("M77", NOTE, message, index)


def _hourly(case: Case, result: TransientResult) -> Iterator[Finding]:
    if not result.needs_hourly_file:
        return
    flips = " and ".join(name for name in result.depends_on if name in ("orientation", "weather city"))
    yield case.finding("M78", NOTE, f"The verdict needs an hourly file: it differs by {flips} in a synthetic year.")


def _against_rules(case: Case, result: TransientResult, others: Sequence[Finding]) -> Iterator[Finding]:
    """Both numbers where one of the two sees a fault that the other does not."""
    against = [one for one in others if one.code in DRYING_RULES and one.severity >= WARNING]
    plane = result.worst.plane
    figure = f"mold index {plane.index:.1f} at {plane.name}" if plane else "no plane that feeds mold"
    if result.verdict == MEETS:
        for one in against:
            message = f"{one.code} ({one.severity.word}): {one.message.rstrip('.')}. The simulation meets: {figure}."
            yield case.finding("M75", NOTE, message, _index(case, one.layer) if one.layer else None)
    elif result.verdict == FAILS and not against:
        message = (
            f"The simulation does not meet ({figure} {_where(result)}); no rule and no steady check finds a fault."
        )
        yield case.finding("M75", Severity.WARNING, message, _index(case, plane.layer) if plane else None)
