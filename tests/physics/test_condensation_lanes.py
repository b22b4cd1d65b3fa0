"""Many years side by side against one after the other: the same numbers to the last bit, however walls are mixed."""

from __future__ import annotations

from dataclasses import fields

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from test_condensation import BOARD, PLYWOOD, WOOL, months, wall, walls, years

from specgen.physics.condensation import Element, Ladder, Month
from specgen.physics.condensation_lanes import run_years
from specgen.physics.condensation_year import Year, run_year

FULL = ("temperatures", "pressures", "saturation", "sd", "gained", "held", "inflow", "outflow")


def assert_same(found: Year, alone: Year) -> None:
    for field in fields(Year):
        if field.compare:
            assert getattr(found, field.name) == getattr(alone, field.name), field.name
    for state, other in zip(found.months, alone.months, strict=True):
        assert state.month == other.month
        for name in FULL:
            assert getattr(state, name) == getattr(other, name), (name, state.month)


@given(st.lists(st.tuples(walls, years), min_size=1, max_size=4))
@settings(max_examples=80, deadline=None)
def test_a_year_is_the_same_in_any_company(found: list[tuple[list[Element], list[Month]]]) -> None:
    problems = [(Ladder(parts, 0.04, 0.13), climate) for parts, climate in found]
    for year, (ladder, climate) in zip(run_years(problems), problems, strict=True):
        assert_same(year, run_year(ladder, climate))


@pytest.mark.parametrize("wet", [1.80, 0.30, 0.02])
def test_walls_of_different_length_that_gather_and_dry(wet: float) -> None:
    # Dry, wet all year, wet in winter; a permeance that follows humidity; planes that run dry within one month.
    opens = Element(PLYWOOD.resistance, PLYWOOD.sd_dry, wet, 0)
    sheets = [
        Element(0.1, 20.0, 20.0, 0), Element(1.0, 0.04, 0.04, 1), Element(0.0, 3.0, 3.0, 2),
        Element(1.0, 0.04, 0.04, 3), Element(0.05, 0.1, 0.1, 4),
    ]  # fmt: skip
    nothing = [Element(0.3, 0.0, 0.0, 0)]
    ladders = [
        wall(), wall(2.0), wall(15.0), Ladder([opens, WOOL, BOARD], 0.04, 0.13), Ladder(sheets, 0.04, 0.13),
        Ladder(nothing, 0.04, 0.13),
    ]  # fmt: skip
    problems = [(ladder, months()) for ladder in ladders]
    found = run_years(problems)
    assert [year.condenses for year in found[:3]] == [True, True, False]
    for year, (ladder, climate) in zip(found, problems, strict=True):
        assert_same(year, run_year(ladder, climate))


def test_no_walls_no_years() -> None:
    assert run_years([]) == []
