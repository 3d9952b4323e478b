"""Positions and minutes are two readings of one axis, also where the clock changes."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.solver.axis import Axis
from tests.planner.solver import small

AXES = [Axis.of(small.problem(9, (), days=small.days(9, changes=changes))) for changes in ({}, {3: -60}, {4: 60})]


@pytest.mark.parametrize("axis", AXES)
def test_every_start_is_its_own_position(axis: Axis) -> None:
    assert axis.size == 9 * 32
    for position in range(axis.size):
        minute = axis.start_minute(position)
        found = {axis.start_position(minute), axis.last_start_position(minute), axis.floor_position(minute)}
        assert found == {position}
        assert axis.day_index(minute) == position // axis.units


@pytest.mark.parametrize("axis", AXES)
def test_every_end_is_its_own_position_and_belongs_to_the_day_that_closes(axis: Axis) -> None:
    for position in range(1, axis.size + 1):
        minute = axis.end_minute(position)
        found = {axis.end_position(minute), axis.last_end_position(minute), axis.first_end_position(minute)}
        assert found == {position}
        assert axis.day_index(minute) == (position - 1) // axis.units


@given(st.sampled_from(AXES), st.integers(-2000, 15000))
def test_rounding_a_moment_finds_the_nearest_start_on_each_side(axis: Axis, minute: int) -> None:
    starts = [axis.start_minute(position) for position in range(axis.size)]
    later = [position for position, start in enumerate(starts) if start >= minute]
    sooner = [position for position, start in enumerate(starts) if start <= minute]
    assert axis.start_position(minute) == (later[0] if later else axis.size)
    assert axis.last_start_position(minute) == (sooner[-1] if sooner else -1)


@given(st.sampled_from(AXES), st.integers(421, 12000))
def test_rounding_a_moment_finds_the_nearest_end_on_each_side(axis: Axis, minute: int) -> None:
    ends = [axis.end_minute(position) for position in range(1, axis.size + 1)]
    later = [position for position, end in enumerate(ends, start=1) if end >= minute]
    sooner = [position for position, end in enumerate(ends, start=1) if end <= minute]
    assert axis.last_end_position(minute) == (sooner[-1] if sooner else 0)
    assert axis.first_end_position(minute) == (later[0] if later else axis.size + 1)


def test_days_go_on_by_twenty_four_hours_outside_the_horizon() -> None:
    axis = AXES[0]
    assert axis.day_index(419) == -1
    assert axis.day_index(axis.day_opens(12)) == 12
    assert axis.day_index(axis.day_opens(12) - 1) == 11
