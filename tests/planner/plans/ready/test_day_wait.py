"""The deck's saw cut follows sooner on a warm day than on a cold one, and the solver's steps never let it slip."""

from collections.abc import Sequence
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.plans.domain.ready.by_day import DayAir, DayWait, day_bounds
from planner.plans.domain.timeline import EVENING_UNTIL, Timeline, timeline
from planner.solver.checks.links import wait_value
from tests.planner.dayplans.domain.worlds import BRANCH
from tests.planner.plans.ready.airs import ZONE, forecast_air, rule

CUT = rule("pour_deck", "saw_joints", "clock")
FIRST_ON = date(2026, 6, 1)
COLD, WARM = 8.0, 22.0


def wait_over(days_c: Sequence[float]) -> DayWait:
    """A wait over days of even air, one after another from ``FIRST_ON``."""

    def air(at: datetime) -> float:
        number = (at.astimezone(ZoneInfo(ZONE)).date() - FIRST_ON).days
        return days_c[min(max(number, 0), len(days_c) - 1)]

    return DayWait(rule=CUT, days=DayAir(air=forecast_air(air, hours=24 * 12), zone=ZONE))


def line_of(days: int) -> Timeline:
    return timeline(BRANCH, FIRST_ON, days, evenings=True)


def at(hour: float, day: int = 0) -> datetime:
    midnight = datetime.combine(FIRST_ON + timedelta(days=day), time(), tzinfo=ZoneInfo(ZONE))
    return (midnight + timedelta(hours=hour)).astimezone(UTC)


# Source: ACI 302.1R, 4 to 12 h after finishing with a conventional saw (from memory); 6 h later under 15 degC: common
# practice, no source.
@pytest.mark.parametrize(("air_c", "least", "most"), [(WARM, 4, 12), (15.0, 4, 12), (14.9, 10, 18), (COLD, 10, 18)])
def test_the_span_of_a_day_s_air(air_c: float, least: int, most: int) -> None:
    waiting = wait_over([air_c])
    assert waiting.ready_at(at(13)) - at(13) == timedelta(hours=least)
    assert waiting.latest_at(at(13)) - at(13) == timedelta(hours=most)


def test_the_words_say_the_hours_the_temperature_and_the_latest_moment() -> None:
    assert wait_over([WARM]).because(at(13)) == (
        "Starts 4 to 12 h after it, with about 72 °F (22 °C) on that day: from Mon 01 Jun 17:00 until Tue 02 Jun 01:00:"
        " cut sooner the edges ravel, cut later the slab cracks where it likes."
    )
    assert "as that day's 46 °F (8 °C) is under 59 °F (15 °C)" in wait_over([COLD]).because(at(13))
    assert "until Tue 02 Jun 07:00" in wait_over([COLD]).because(at(13))


def test_a_season_of_warm_days_needs_no_steps() -> None:
    bounds = day_bounds(wait_over([WARM]), line_of(20))
    assert (bounds.min_minutes, bounds.max_minutes) == (4 * 60, 12 * 60)
    assert bounds.ready is None
    assert bounds.close is None


@given(
    days_c=st.lists(st.sampled_from([COLD, WARM]), min_size=8, max_size=8),
    day=st.integers(0, 5),
    quarter=st.integers(0, 40),
    wait=st.integers(0, 4 * 30),
)
def test_the_steps_allow_no_start_that_the_day_forbids(days_c: list[float], day: int, quarter: int, wait: int) -> None:
    """Every start on the axis that the steps allow lies inside the span of the day the pour ended on."""
    waiting, line = wait_over(days_c), line_of(8)
    bounds = day_bounds(waiting, line)
    ended_at = at(7 + quarter / 4, day)
    end = line.minute(ended_at)
    start = end + 15 * wait
    opens = max(one.opens for one in line.days if one.opens <= start)
    inside = start < opens + line.days[0].closes - line.days[0].opens
    soonest = [end + bounds.min_minutes, *(one for one in [bounds.ready and wait_value(bounds.ready, end)] if one)]
    latest = [end + bounds.max_minutes, *(one for one in [bounds.close and wait_value(bounds.close, end)] if one)]
    if inside and max(soonest) <= start <= min(latest):
        assert waiting.ready_at(ended_at) <= line.at(start) <= waiting.latest_at(ended_at)


@given(days_c=st.lists(st.sampled_from([COLD, WARM]), min_size=8, max_size=8), quarters=st.lists(st.integers(0, 600)))
def test_neither_bound_falls_as_the_pour_ends_later(days_c: list[float], quarters: list[int]) -> None:
    waiting = wait_over(days_c)
    ends = [at(quarter / 4) for quarter in sorted(quarters)]
    for bound in (waiting.ready_at, waiting.latest_at):
        found = [bound(one) for one in ends]
        assert found == sorted(found)
    for steps in filter(None, (day_bounds(waiting, line_of(8)).ready, day_bounds(waiting, line_of(8)).close)):
        values = [value for _, value in steps.steps]
        assert values == sorted(values)


def test_the_evening_ends_at_ten() -> None:
    line = line_of(2)
    assert line.at(line.days[0].closes).astimezone(ZoneInfo(ZONE)).time() == EVENING_UNTIL
    assert line.at(line.days[0].long_closes).astimezone(ZoneInfo(ZONE)).time() == BRANCH.closes
