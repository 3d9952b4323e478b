"""Waits between two tasks: the engine keeps each to the minute, and proves when it cannot be kept."""

from typing import Any

import pytest

from planner.solver.problem import Link, Pin, Promise, Task, Wait
from tests.planner.solver import small
from tests.planner.solver.engine_cases import at, engine_plan

SOON = (Promise(job="one", task="pour", due=0, dollars_per_day=100),)


def forms(**changes: Any) -> Task:
    return small.work("forms", 300, "a", **changes)


def pour(**changes: Any) -> Task:
    return small.work("pour", 120, "b", **changes)


def plan_of(link: Link, *tasks: Task, days: int = 12, changes: dict[int, int] | None = None) -> tuple[int, int] | None:
    """End of the forms and start of the pour in the engine's plan; the pour is wanted as soon as it may be."""
    of = small.days(days, changes=changes)
    problem = small.problem(days, tasks or (forms(), pour()), crews=2, links=(link,), promises=SOON, days=of)
    plan = engine_plan(problem)
    return None if plan is None else (plan["forms"].end, plan["pour"].start)


def test_without_a_wait_the_next_may_start_when_the_last_ends() -> None:
    found = plan_of(
        Link(before="forms", after="pour", kind="after"), forms(earliest=at(0)), pour(latest_start=at(0, 300))
    )
    assert found == (at(0, 300), at(0, 300))


def test_a_least_wait_runs_through_the_night_and_the_weekend() -> None:
    # Friday 08:00 + 300 min ends at 13:00; 30 hours later is Saturday, so Monday's opening is the first start.
    friday = forms(earliest=at(4, 60), latest_start=at(4, 60))
    found = plan_of(Link(before="forms", after="pour", kind="cure", min_minutes=1800), friday, pour())
    assert found is not None
    assert at(7) <= found[1] < at(8)


def test_a_least_wait_counts_elapsed_minutes_when_the_clock_changes() -> None:
    # Clocks go forward in the night to Wednesday: its opening comes 60 minutes sooner in elapsed time.
    tuesday = forms(earliest=at(1, 0), latest_start=at(1, 0))
    link = Link(before="forms", after="pour", kind="cure", min_minutes=1440)
    found = plan_of(link, tuesday, pour(latest_start=at(2, 300)), changes={2: -60})
    assert found == (at(1, 300), at(2, 300))


def test_a_longest_wait_of_two_hours_is_kept_to_the_minute() -> None:
    link = Link(before="forms", after="pour", kind="soon", min_minutes=60, max_minutes=120)
    found = plan_of(link)
    assert found is not None
    assert 60 <= found[1] - found[0] <= 120


def test_a_longest_wait_over_a_night_has_no_plan() -> None:
    link = Link(before="forms", after="pour", kind="soon", max_minutes=120)
    assert plan_of(link, forms(earliest=at(0, 180)), pour(start_by_minutes=60), days=3) is None


STEPS = ((at(0, 480), at(2)), (at(1, 480), at(3)), (at(2, 480), at(7)))


def test_a_wait_by_steps_gives_the_start_its_end_calls_for() -> None:
    link = Link(before="forms", after="pour", kind="strength", ready=Wait(steps=STEPS))
    found = plan_of(link, forms(earliest=at(1)), pour(), days=12)
    assert found is not None
    end, start = found
    assert start >= (at(3) if end <= at(1, 480) else at(7))
    assert at(3) <= start < at(4)


def test_a_wait_asked_past_its_last_step_has_no_plan() -> None:
    link = Link(before="forms", after="pour", kind="strength", ready=Wait(steps=STEPS))
    assert plan_of(link, forms(earliest=at(3)), pour()) is None


def test_a_closing_wait_by_steps_keeps_the_start_before_it() -> None:
    link = Link(
        before="forms", after="pour", kind="ticket", close=Wait(steps=((at(0, 480), at(0, 300)), (at(9), at(3))))
    )
    found = plan_of(link, forms(earliest=at(1)), pour(earliest=at(2)))
    assert found is not None
    assert at(2) <= found[1] <= at(3)
    assert plan_of(link, forms(earliest=at(1)), pour(earliest=at(4))) is None


def test_a_step_whose_start_comes_too_late_for_a_pin_has_no_plan() -> None:
    link = Link(before="forms", after="pour", kind="strength", ready=Wait(steps=STEPS))
    pinned = pour(pin=Pin(start=at(3, 7), end=at(3, 100), crews=("b",)))
    found = plan_of(link, forms(), pinned)
    assert found is not None
    assert found[0] <= at(1, 480)
    assert plan_of(link, forms(earliest=at(2)), pinned) is None


@pytest.mark.parametrize("why", ["started", "frozen"])
def test_a_link_into_work_under_way_is_void(why: str) -> None:
    pinned = pour(pin=Pin(start=-60, end=at(0, 60), crews=("b",), why=why))  # type: ignore[arg-type]
    found = plan_of(Link(before="forms", after="pour", kind="after"), forms(), pinned)
    assert (found is not None) == (why == "started")


def fill(span: int, **changes: Any) -> Task:
    return Task(key="forms", job="one", title="Fill", kind="clock", run="arrives", span_minutes=span, **changes)


def test_water_that_runs_over_a_night_arrives_when_the_next_day_opens() -> None:
    link = Link(before="forms", after="pour", kind="level", max_minutes=60)
    late = fill(600, calendar="week", earliest=at(0, 240), latest_start=at(0, 480))
    assert plan_of(link, late, pour()) == (at(1), at(1))


def test_water_that_arrives_today_is_followed_today() -> None:
    link = Link(before="forms", after="pour", kind="level", max_minutes=60)
    found = plan_of(
        link, fill(120, calendar="week", earliest=at(0), latest_start=at(0, 300)), pour(latest_start=at(0, 480))
    )
    assert found is not None
    assert 0 <= found[1] - found[0] <= 60


def test_a_fill_never_runs_over_a_weekend() -> None:
    link = Link(before="forms", after="pour", kind="level", max_minutes=60)
    assert plan_of(link, fill(600, calendar="week", earliest=at(4), latest_start=at(4, 480)), pour()) is None


def test_a_clock_time_that_ends_at_night_is_over_by_the_morning() -> None:
    link = Link(before="forms", after="pour", kind="cure", min_minutes=30)
    cure = Task(key="forms", job="one", title="Cure", kind="clock", run="elapsed", span_minutes=900, latest_start=at(0))
    found = plan_of(link, cure, pour(latest_start=at(1)))
    assert found == (at(0, 900), at(1))
