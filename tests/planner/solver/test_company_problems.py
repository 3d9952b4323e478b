"""The generated branches hold every rule a problem knows, so that figures measured on them leave none out."""

from collections.abc import Callable
from dataclasses import fields
from typing import Any

import pytest

from planner.solver.faults import find_faults
from planner.solver.problem import Link, Problem, StartWeather, Task
from tests.planner.solver.company_problems import company_problem

BRANCHES = tuple(company_problem(12, number) for number in range(1, 6))


def any_task(holds: Callable[[Task], object]) -> Callable[[Problem], bool]:
    return lambda problem: any(holds(task) for task in problem.tasks)


def any_sky(holds: Callable[[StartWeather], object]) -> Callable[[Problem], bool]:
    return lambda problem: any(holds(sky) for task in problem.tasks for sky in task.weather)


def any_link(holds: Callable[[Link], object]) -> Callable[[Problem], bool]:
    return lambda problem: any(holds(link) for link in problem.links)


def any_option(holds: Callable[[Any], object]) -> Callable[[Problem], bool]:
    return lambda problem: any(holds(o) for task in problem.tasks for need in task.needs for o in need.options)


RULES: dict[str, Callable[[Problem], object]] = {
    **{f"run {run}": any_task(lambda t, run=run: t.run == run) for run in ("work", "attended", "elapsed", "arrives")},
    "visit": any_task(lambda t: t.run == "visit"),
    "joint crews": any_task(lambda t: len(t.needs) > 1),
    "joint crews of one trade's work on a large pool": any_task(lambda t: len(t.needs) > 1 and not t.long_day),
    "work over nights but not weekends": any_task(lambda t: t.splits_nights and not t.splits_weekends),
    "work over weekends": any_task(lambda t: t.splits_weekends),
    "one-day pours": any_task(lambda t: t.long_day and t.start_by_minutes is not None and not t.splits_nights),
    "at the opening": any_task(lambda t: t.opening_only),
    "earliest": any_task(lambda t: t.earliest),
    "latest start": any_task(lambda t: t.latest_start is not None),
    "windows": any_task(lambda t: t.windows),
    "work under way": any_task(lambda t: t.pin and t.pin.why == "started"),
    "frozen work": any_task(lambda t: t.pin and t.pin.why == "frozen"),
    "hours of a garden": any_task(lambda t: t.run == "work" and t.calendar),
    "sites": any_task(lambda t: t.site),
    "forbidden starts": any_sky(lambda sky: sky.forbidden and not sky.ways),
    "dollars of the sky": any_sky(lambda sky: sky.dollars),
    "preparing": any_sky(lambda sky: sky.ways),
    "preparing that takes time": any_sky(lambda sky: any(way.minutes for way in sky.ways)),
    "preparing that lifts a ban": any_sky(lambda sky: sky.forbidden and sky.ways),
    "preparing people were told of": any_sky(lambda sky: sky.settled),
    "least waits": any_link(lambda link: link.min_minutes),
    "longest waits": any_link(lambda link: link.max_minutes is not None),
    "waits by the start": any_link(lambda link: link.ready is not None),
    "latest starts by the start": any_link(lambda link: link.close is not None),
    "prices of crews": any_option(lambda option: option.dollars),
    "short days": any_option(lambda option: option.calendar.endswith(("few", "enough"))),
    "evenings": any_option(lambda option: option.calendar.endswith("evening")),
    "hours for pay": any_option(lambda option: option.paid_calendar),
    "price of overtime": lambda problem: any(crew.overtime_dollars for crew in problem.crews),
    "price of days off": lambda problem: any(crew.day_off_dollars for crew in problem.crews),
    "days with an evening": lambda problem: all(day.long_until is not None for day in problem.days),
    "gear held by two": lambda problem: any(hold.amount > 1 for hold in problem.holds_of_gear),
    "gear held since before": lambda problem: any(hold.since is not None for hold in problem.holds_of_gear),
    "gear held whole days": lambda problem: any(hold.whole_days for hold in problem.holds_of_gear),
    "open days": lambda problem: any(term.since is None for term in problem.open_days),
    "open days since before": lambda problem: any(term.since is not None for term in problem.open_days),
    "bookings": lambda problem: any(told.move_dollars and not told.crews for told in problem.told),
    "told crews": lambda problem: any(told.crews for told in problem.told),
}


@pytest.mark.parametrize("rule", RULES)
def test_generated_branches_hold_every_rule(rule: str) -> None:
    assert any(RULES[rule](problem) for problem in BRANCHES)


def test_no_part_of_a_generated_problem_is_empty() -> None:
    assert not any(find_faults(problem) for problem in BRANCHES)
    parts = {field.name for field in fields(Problem)} - {"notes"}
    assert [name for name in parts if not all(getattr(problem, name) for problem in BRANCHES)] == []
