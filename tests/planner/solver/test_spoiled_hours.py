"""Plans spoiled in their hours, waits and gear are caught too: evenings, hours for pay, nights, whole days, every run.

Each case first holds: what is spoiled is the one thing that made it right.
"""

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from planner.solver import checks
from planner.solver.check import check
from planner.solver.checks.days import Days
from planner.solver.checks.preparing import way_at
from planner.solver.problem import Calendar, CrewOption, Link, Problem, Run, Span, Task, Wait
from planner.solver.result import Assignment
from tests.planner.solver.test_generated import SPOILERS, Plan, moved, pairs, planned, replaced

# A problem and a plan that keep every rule, and the same spoiled.
Case = tuple[Problem, Plan, Problem, Plan]
CHECKS = Path(checks.__path__[0])
RUNS: tuple[Run, ...] = ("work", "attended", "elapsed", "arrives", "visit")


def first_of(holds: Callable[[Task, Assignment], object]) -> tuple[Problem, Plan, Task, Assignment]:
    problem, plan = planned()
    task, one = next((task, one) for task, one in pairs(problem, plan) if holds(task, one))
    return problem, plan, task, one


def with_option(task: Task, one: Assignment, **changes: object) -> Task:
    """The task with the option of its first crew changed."""

    def changed(option: CrewOption) -> CrewOption:
        return replace(option, **changes) if option.crew == one.crews[0] else option  # type: ignore[arg-type]

    need = replace(task.needs[0], options=tuple(changed(option) for option in task.needs[0].options))
    return replace(task, needs=(need, *task.needs[1:]))


def with_calendar(problem: Problem, key: str, *windows: Span) -> Problem:
    return replace(problem, calendars=(*problem.calendars, Calendar(key=key, windows=windows)))


def within_a_day(task: Task, one: Assignment) -> bool:
    return task.run == "work" and len(task.needs) == 1 and one.end - one.start < 600 and not task.long_day


def end_of_a(run: Run) -> Case:
    problem, plan, _, one = first_of(lambda task, _: task.run == run)
    return problem, plan, problem, moved(plan, one.task, end=one.end + problem.grid_minutes)


def hours_nobody_is_paid_for() -> Case:
    """A crew that stays past its own hours for pay, and then for none."""
    problem, plan, task, one = first_of(within_a_day)
    own = Span(start=one.start, end=one.end - problem.grid_minutes)
    problem = with_calendar(problem, "own", own)
    problem = with_calendar(problem, "paid", replace(own, end=one.end))
    paid = replaced(problem, with_option(task, one, calendar="own", paid_calendar="paid"))
    unpaid = replaced(problem, with_option(task, one, calendar="own", paid_calendar=""))
    return paid, plan, unpaid, plan


def a_day_on_which_few_come() -> Case:
    problem, plan, task, one = first_of(within_a_day)
    problem = with_calendar(problem, "enough", Span(start=one.start, end=one.end))
    problem = with_calendar(problem, "few", Span(start=one.start, end=one.end - problem.grid_minutes))
    enough, few = (
        replaced(problem, with_option(task, one, calendar=key, paid_calendar="")) for key in ("enough", "few")
    )
    return enough, plan, few, plan


def joints_after_the_evening() -> Case:
    """Work of the evening by a crew that goes home when the office closes."""
    problem, plan, task, one = first_of(lambda task, _: task.key.endswith(".joints"))
    return problem, plan, replaced(problem, with_option(task, one, calendar="")), plan


def a_pour_past_the_long_day() -> Case:
    problem, plan, task, one = first_of(lambda task, _: task.long_day)
    day = Days(problem.days).window_holding(one.start)
    assert day is not None
    problem = with_calendar(problem, "morning", Span(start=day.opens, end=day.opens + 300))
    task = replace(task, needs=task.needs[:1], calendar="")
    plan = moved(plan, one.task, crews=one.crews[:1])
    longer = replaced(problem, with_option(task, one, calendar="morning"))
    shorter = replace(longer, days=tuple(replace(one, long_until=one.opens + 300) for one in longer.days))
    return longer, plan, shorter, plan


def a_night_it_may_not_stop_over() -> Case:
    problem, plan, task, _ = first_of(lambda task, one: task.splits_nights and one.end - one.start > 900)
    return problem, plan, replaced(problem, replace(task, splits_nights=False, splits_weekends=False)), plan


def a_weekend_it_may_not_stop_over() -> Case:
    problem, plan, task, _ = first_of(
        lambda task, one: task.splits_weekends and one.end - one.start > 2 * 1440 and task.needs
    )
    return problem, plan, replaced(problem, replace(task, splits_weekends=False)), plan


def preparing_that_is_not_done() -> Case:
    """The plan bought what takes time, and the work ends as if it took none."""
    problem, plan, _, one = first_of(lambda task, one: bool(minutes_prepared(task, one)))
    task = next(task for task in problem.tasks if task.key == one.task)
    return problem, plan, problem, moved(plan, one.task, end=one.end - minutes_prepared(task, one))


def minutes_prepared(task: Task, one: Assignment) -> int:
    way = way_at(task, one.start) if task.run == "work" and not task.splits_nights else None
    return way.minutes if way is not None else 0


def a_ban_what_is_prepared_lifted() -> Case:
    problem, plan, task, one = first_of(lambda task, one: (way := way_at(task, one.start)) and way.prepared)
    banned = tuple(replace(sky, forbidden=True) for sky in task.weather if sky.start <= one.start < sky.end)
    lifted = replaced(problem, replace(task, weather=banned))
    bare = replaced(problem, replace(task, weather=tuple(replace(sky, ways=()) for sky in banned)))
    return lifted, plan, bare, plan


def spoiled_link(spoil: Callable[[Link, Assignment, Assignment], Link]) -> Case:
    problem, plan = planned()
    starts = {one.task: one for one in plan}
    free = {task.key for task in problem.tasks if task.pin is None}
    link = next(link for link in problem.links if {link.before, link.after} <= free)
    other = spoil(link, starts[link.before], starts[link.after])
    links = tuple(other if one == link else one for one in problem.links)
    return problem, plan, replace(problem, links=links), plan


def a_cure_that_is_not_over() -> Case:
    return spoiled_link(lambda link, b, a: replace(link, ready=Wait(steps=((b.end, a.start + 1),))))


def a_start_after_it_closed() -> Case:
    return spoiled_link(lambda link, b, a: replace(link, close=Wait(steps=((b.end, a.start - 1),))))


def a_wait_past_its_last_step() -> Case:
    return spoiled_link(lambda link, b, _: replace(link, ready=Wait(steps=((b.end - 1, 0),))))


def crews_of_a_pin() -> Case:
    problem, plan = planned()
    pinned = next(task for task in problem.tasks if task.pin is not None and task.pin.crews)
    assert pinned.pin is not None
    other = next(crew.key for crew in problem.crews if crew.key not in pinned.pin.crews)
    return problem, plan, problem, moved(plan, pinned.key, crews=(other, *pinned.pin.crews[1:]))


def one_crew_for_two_needs() -> Case:
    problem, plan, task, one = first_of(within_a_day)
    twice = replaced(problem, replace(task, needs=(*task.needs, *task.needs)))
    return problem, plan, twice, moved(plan, one.task, crews=one.crews * 2)


def gear_held_backwards() -> Case:
    problem, plan = planned()
    hold = next(hold for hold in problem.holds_of_gear if hold.since is None and hold.from_task != hold.until_task)
    back = replace(hold, from_task=hold.until_task, until_task=hold.from_task)
    holds = tuple(back if one == hold else one for one in problem.holds_of_gear)
    return problem, plan, replace(problem, holds_of_gear=holds), plan


def gear_kept_for_whole_days() -> Case:
    """A second task takes the gear later on the day: it fits beside a hold of hours, not beside one of whole days."""
    problem, plan = planned()
    days = Days(problem.days)
    free = [
        one for _, one in pairs(problem, plan) if days.index(one.start) == days.index(one.end) and one.end > one.start
    ]
    one, other = next(
        (one, other)
        for one in free
        for other in free
        if days.index(one.start) == days.index(other.start) and one.end <= other.start
    )
    gear = replace(problem.gear[0], key="jack", count=1)
    holds = tuple(
        replace(
            problem.holds_of_gear[0], gear="jack", from_task=key, until_task=key, amount=1, since=None, whole_days=False
        )
        for key in (one.task, other.task)
    )
    hours = replace(problem, gear=(*problem.gear, gear), holds_of_gear=(*problem.holds_of_gear, *holds))
    whole = replace(hours, holds_of_gear=(*problem.holds_of_gear, replace(holds[0], whole_days=True), holds[1]))
    return hours, plan, whole, plan


CASES: dict[str, tuple[str, Callable[[], Case]]] = {
    **{f"end of {run}": ("run", lambda run=run: end_of_a(run)) for run in RUNS},  # type: ignore[misc]
    "hours nobody is paid for": ("run", hours_nobody_is_paid_for),
    "a day on which few come": ("run", a_day_on_which_few_come),
    "joints after the evening": ("run", joints_after_the_evening),
    "a pour past the long day": ("run", a_pour_past_the_long_day),
    "a night": ("run", a_night_it_may_not_stop_over),
    "a weekend": ("run", a_weekend_it_may_not_stop_over),
    "preparing that is not done": ("run", preparing_that_is_not_done),
    "a ban lifted no more": ("weather", a_ban_what_is_prepared_lifted),
    "a cure": ("link", a_cure_that_is_not_over),
    "a close": ("link", a_start_after_it_closed),
    "past the last step": ("link", a_wait_past_its_last_step),
    "crews of a pin": ("pin", crews_of_a_pin),
    "one crew twice": ("crew", one_crew_for_two_needs),
    "gear backwards": ("gear", gear_held_backwards),
    "gear for whole days": ("gear", gear_kept_for_whole_days),
}


@pytest.mark.parametrize("name", CASES)
def test_a_spoiled_plan_is_caught_by_its_rule(name: str) -> None:
    rule, case = CASES[name]
    problem, plan, spoiled_problem, spoiled_plan = case()
    assert check(problem, plan) == ()
    assert rule in {breach.rule for breach in check(spoiled_problem, spoiled_plan)}


def test_every_rule_of_the_checker_has_a_plan_that_breaks_it() -> None:
    known = {rule for module in CHECKS.glob("*.py") for rule in re.findall(r'rule="(\w+)"', module.read_text("utf-8"))}
    assert known == {rule for rule, _ in CASES.values()} | {rule for rule, _ in SPOILERS}
