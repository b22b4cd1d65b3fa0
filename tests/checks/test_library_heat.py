"""Every shipped wall and variant through heat and energy code: redone from its own record, and clean of T errors."""

from __future__ import annotations

import pytest

from specgen import units
from specgen.checks.energy import energy_code
from specgen.checks.thermal import thermal_findings, thermal_result
from specgen.library.load import open_library
from specgen.library.sites import site_from_zone
from specgen.model.finding import Severity
from specgen.model.wall import Wall

WALLS = list(open_library().walls())


@pytest.mark.parametrize("wall", WALLS, ids=lambda wall: wall.name)
def test_record_of_a_shipped_wall_can_be_redone(wall: Wall) -> None:
    result = thermal_result(wall)
    assert sum(path.share for path in result.paths) == pytest.approx(1)
    figure = next(figure for figure in result.figures if figure.name == "U of the wall by hand")
    redone = sum(float(share) / float(total) for share, total in (t.split("/") for t in figure.values.split(" + ")))
    assert result.u_hand_si is not None
    assert redone == pytest.approx(result.u_hand_si / units.U_IP, rel=2e-3)  # shares and R are shown to four figures
    capacity = next(figure for figure in result.figures if figure.name == "heat capacity of the wall")
    terms = [term.rsplit(" ", 1)[0].replace("/12", "").split(" x ") for term in capacity.values.split(" + ")]
    by_hand = sum(float(inches) / 12 * float(density) * float(warmth) for inches, density, warmth in terms)
    assert by_hand == pytest.approx(result.heat_capacity_si / units.HEAT_CAPACITY_IP, rel=0.01)


@pytest.mark.parametrize("wall", WALLS, ids=lambda wall: wall.name)
def test_shipped_wall_has_an_r_for_every_layer(wall: Wall) -> None:
    findings = thermal_findings(wall, thermal_result(wall), site_from_zone("2A"))
    assert [finding.message for finding in findings if finding.severity >= Severity.WARNING] == []
    statuses = {part.status for path in thermal_result(wall).paths for part in path.resistances}
    assert statuses <= {"confirmed", "secondary", "from-memory", "common-practice"}


@pytest.mark.parametrize("wall", WALLS, ids=lambda wall: wall.name)
def test_shipped_wall_meets_the_code_where_it_claims_to_suit(wall: Wall) -> None:
    assert wall.suits is not None
    for zone in wall.suits.zones:
        code, _ = energy_code(wall, site_from_zone(zone, "2021"), thermal_result(wall))
        assert code.meets_prescriptive, zone
