"""The checker on where a start may lie and how the end follows from it: for each rule a kept and a broken case."""

from dataclasses import replace

import pytest

from planner.solver.check import check
from planner.solver.problem import Calendar, CrewOption, Need, Pin, Problem, Run, Task, TaskKind
from planner.solver.result import Assignment
from tests.planner.solver import small

DAY = 1440
OPENS, CLOSES = small.OPENS, small.CLOSES
FRIDAY, MONDAY = 4 * DAY, 7 * DAY


def rules(problem: Problem, *stays: tuple[int, int]) -> list[str]:
    """The rules broken when the tasks, in order, run over these stays with their first options."""
    plan = tuple(
        Assignment(task=task.key, start=start, end=end, crews=tuple(need.options[0].crew for need in task.needs))
        for task, (start, end) in zip(problem.tasks, stays, strict=False)
    )
    return [breach.rule for breach in check(problem, plan)]


def of_run(run: Run, span: int, **changes: object) -> Task:
    kind: TaskKind = "visit" if run == "visit" else "clock"
    return Task(key="t", job="one", title="T", kind=kind, run=run, span_minutes=span, calendar="week", **changes)  # type: ignore[arg-type]


def test_every_task_is_planned_once_and_nothing_else_is() -> None:
    problem = small.problem(2, (small.work("dig", 60, "a"),))
    good = Assignment(task="dig", start=OPENS, end=OPENS + 60, crews=("a",))
    assert check(problem, (good,)) == ()
    assert [breach.rule for breach in check(problem, ())] == ["assigned"]
    assert [breach.rule for breach in check(problem, (good, good))] == ["assigned"]
    assert [(b.rule, b.task) for b in check(problem, (good, replace(good, task="pour")))] == [("assigned", "pour")]


@pytest.mark.parametrize(
    ("start", "end", "broken"),
    [
        (OPENS, OPENS + 120, []),
        (CLOSES - 120, CLOSES, []),
        (OPENS + 5, OPENS + 125, ["grid"]),
        (OPENS - 15, OPENS + 105, ["grid", "run"]),
        (CLOSES, CLOSES + 120, ["grid", "run"]),
        (OPENS, OPENS + 135, ["run"]),
        (OPENS, OPENS + 105, ["run"]),
        (CLOSES - 105, CLOSES + 15, ["run"]),
        (5 * DAY + OPENS, 5 * DAY + OPENS + 120, ["run"]),
    ],
)
def test_work_of_two_hours_lies_in_one_working_day(start: int, end: int, broken: list[str]) -> None:
    problem = small.problem(8, (small.work("dig", 120, "a"),))
    assert rules(problem, (start, end)) == broken


@pytest.mark.parametrize(
    ("nights", "weekends", "start", "end", "broken"),
    [
        (True, False, CLOSES - 60, DAY + OPENS + 60, []),
        (False, False, CLOSES - 60, DAY + OPENS + 60, ["run"]),
        (True, True, FRIDAY + CLOSES - 60, MONDAY + OPENS + 60, []),
        (True, False, FRIDAY + CLOSES - 60, MONDAY + OPENS + 60, ["run"]),
        # The work is over when the day closes, not when the next one opens.
        (True, True, CLOSES - 120, CLOSES, []),
        (True, True, CLOSES - 120, DAY + OPENS, ["run"]),
    ],
)
def test_work_pauses_only_where_it_may(nights: bool, weekends: bool, start: int, end: int, broken: list[str]) -> None:
    task = small.work("dig", 120, "a", splits_nights=nights, splits_weekends=weekends)
    assert rules(small.problem(9, (task,)), (start, end)) == broken


def test_work_may_not_run_out_of_the_horizon() -> None:
    task = small.work("dig", 600, "a", splits_nights=True)
    assert rules(small.problem(1, (task,)), (OPENS, CLOSES + 120)) == ["run"]


def test_a_night_pause_works_over_the_weekend_of_changed_clocks() -> None:
    days = small.days(9, changes={6: -60})
    task = small.work("dig", 120, "a", splits_nights=True, splits_weekends=True)
    problem = small.problem(9, (task,), days=days, calendars=(small.weekdays(days),))
    assert rules(problem, (FRIDAY + CLOSES - 60, MONDAY + OPENS)) == []


def test_joint_crews_work_together_for_the_longer_time() -> None:
    days = small.days(2)
    calendars = (small.weekdays(days), small.weekdays(days, key="short", closes=240))
    needs = tuple(
        Need(trade=trade, options=(CrewOption(crew=crew, work_minutes=minutes),))
        for trade, crew, minutes in (("form", "a", 60), ("place", "b", 120))
    )
    task = Task(key="t", job="one", title="T", kind="work", run="work", needs=needs)
    problem = small.problem(2, (task,), crews=2, days=days, calendars=calendars)
    assert rules(problem, (OPENS, OPENS + 120)) == []
    assert rules(problem, (OPENS, OPENS + 60)) == ["run"]
    crews = (problem.crews[0], replace(problem.crews[1], calendar="short"))
    shortened = replace(problem, crews=crews)
    assert rules(shortened, (OPENS + 120, OPENS + 240)) == []
    assert rules(shortened, (OPENS + 180, OPENS + 300)) == ["run"]


def test_a_long_day_reaches_to_the_close_of_the_branch_but_starts_in_the_crews_hours() -> None:
    days = small.days(2)
    calendars = (small.weekdays(days, closes=240),)
    for long_day, start, broken in ((False, 150, ["run"]), (True, 225, []), (True, 240, ["run"])):
        task = small.work("pour", 120, "a", long_day=long_day)
        problem = small.problem(2, (task,), days=days, calendars=calendars)
        assert rules(problem, (OPENS + start, OPENS + start + 120)) == broken, (long_day, start)


def test_a_long_day_ends_before_the_evening_which_is_for_crews_whose_calendar_reaches_into_it() -> None:
    days = tuple(replace(day, long_until=day.closes - 120) for day in small.days(2))
    short, late = small.weekdays(days, closes=240), small.weekdays(days)
    for calendar, long_day, start, broken in (
        (short, True, 225, []),
        (short, True, 255, ["run"]),
        (late, False, 360, []),
        (late, True, 360, []),
    ):
        task = small.work("cut", 120, "a", long_day=long_day)
        problem = small.problem(2, (task,), days=days, calendars=(calendar,))
        assert rules(problem, (OPENS + start, OPENS + start + 120)) == broken, (long_day, start)


def test_a_long_day_does_not_stretch_the_tasks_own_calendar() -> None:
    days = small.days(2)
    calendars = (small.weekdays(days, closes=240), small.weekdays(days, key="quiet", closes=300))
    task = small.work("pour", 120, "a", long_day=True, calendar="quiet")
    problem = small.problem(2, (task,), days=days, calendars=calendars)
    assert rules(problem, (OPENS + 180, OPENS + 300)) == []
    assert rules(problem, (OPENS + 195, OPENS + 315)) == ["run"]


@pytest.mark.parametrize(
    ("task", "start", "end", "broken"),
    [
        (of_run("attended", 120), CLOSES - 120, CLOSES, []),
        (of_run("attended", 120), CLOSES - 60, CLOSES + 60, ["run"]),
        (of_run("attended", 120, splits_nights=True), CLOSES - 60, DAY + OPENS + 60, []),
        (of_run("elapsed", 2000), OPENS, OPENS + 2000, []),
        (of_run("elapsed", 2000), OPENS, DAY + CLOSES, ["run"]),
        (of_run("elapsed", 2000), 5 * DAY + OPENS, 5 * DAY + OPENS + 2000, ["run"]),
        (of_run("elapsed", 60), 8 * DAY + CLOSES - 15, 8 * DAY + CLOSES + 45, []),
        (of_run("arrives", 300), OPENS, OPENS + 300, []),
        (of_run("arrives", 300), CLOSES - 300, CLOSES, []),
        (of_run("arrives", 300), OPENS, DAY + OPENS, ["run"]),
        (of_run("arrives", 300), CLOSES - 285, DAY + OPENS, []),
        (of_run("arrives", 300), CLOSES - 285, CLOSES + 15, ["run"]),
        # Thirty hours at full flow do not arrive when the next day opens, and may not run on to the day after.
        (of_run("arrives", 1800), OPENS, DAY + OPENS, ["run"]),
        (of_run("arrives", 1800), OPENS, 2 * DAY + OPENS, ["run"]),
        (of_run("arrives", 1440), OPENS, DAY + OPENS, []),
        (of_run("arrives", 1440), OPENS + 15, DAY + OPENS, ["run"]),
        (of_run("arrives", 600), FRIDAY + OPENS, MONDAY + OPENS, ["run"]),
        (of_run("arrives", 600), 8 * DAY + OPENS, 9 * DAY + OPENS, ["run"]),
        (of_run("visit", 240), OPENS + 240, CLOSES, []),
        (of_run("visit", 240), OPENS + 255, CLOSES + 15, ["run"]),
        (of_run("visit", 240), OPENS, OPENS + 225, ["run"]),
        (of_run("visit", 0), OPENS, OPENS, []),
    ],
)
def test_the_end_follows_the_run_kind(task: Task, start: int, end: int, broken: list[str]) -> None:
    assert rules(small.problem(9, (task,)), (start, end)) == broken


def test_without_crew_or_calendar_the_branchs_day_counts() -> None:
    task = replace(of_run("elapsed", 60), calendar="")
    assert rules(small.problem(9, (task,)), (5 * DAY + OPENS, 5 * DAY + OPENS + 60)) == []


def test_an_opening_start_is_the_opening_of_its_calendar() -> None:
    days = small.days(2)
    calendars = (small.weekdays(days, opens=60),)
    problem = small.problem(2, (small.work("pour", 120, "a", opening_only=True),), days=days, calendars=calendars)
    assert rules(problem, (OPENS + 60, OPENS + 180)) == []
    assert rules(problem, (OPENS + 75, OPENS + 195)) == ["opening"]


def test_the_latest_start_of_the_day_counts_from_the_branchs_opening() -> None:
    problem = small.problem(2, (small.work("pour", 60, "a", start_by_minutes=120),))
    assert rules(problem, (DAY + OPENS + 120, DAY + OPENS + 180)) == []
    assert rules(problem, (DAY + OPENS + 135, DAY + OPENS + 195)) == ["start_by"]


def test_a_calendar_without_windows_takes_nobody() -> None:
    problem = small.problem(2, (small.work("dig", 60, "a"),), calendars=(Calendar(key="week", windows=()),))
    assert rules(problem, (OPENS, OPENS + 60)) == ["run"]


def test_a_pin_is_kept_to_the_minute_and_to_the_crew() -> None:
    pin = Pin(start=-37, end=OPENS + 11, crews=("b",), why="started")
    problem = small.problem(2, (small.work("dig", 60, "a", pin=pin),), crews=2)
    kept = Assignment(task="dig", start=-37, end=OPENS + 11, crews=("b",))
    assert check(problem, (kept,)) == ()
    for moved in (replace(kept, start=OPENS), replace(kept, end=OPENS + 60), replace(kept, crews=("a",))):
        assert [breach.rule for breach in check(problem, (moved,))] == ["pin"]


def test_a_pin_without_crews_leaves_the_listed_ones_open() -> None:
    pin = Pin(start=OPENS, end=OPENS + 60)
    problem = small.problem(2, (small.work("dig", 60, "a", "b", pin=pin),), crews=3)
    for crew, broken in (("a", []), ("b", []), ("c", ["crew"])):
        plan = (Assignment(task="dig", start=OPENS, end=OPENS + 60, crews=(crew,)),)
        assert [breach.rule for breach in check(problem, plan)] == broken
