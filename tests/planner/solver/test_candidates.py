"""Allowed starts: exactly those the checker passes, with the end the checker expects."""

from itertools import product
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.solver.candidates import find_candidates
from planner.solver.check import check
from planner.solver.checks.days import Days
from planner.solver.checks.runs import TaskWindows, end_by_run
from planner.solver.faults import find_faults
from planner.solver.problem import (
    Calendar,
    Crew,
    CrewOption,
    Need,
    Pin,
    Preparing,
    Problem,
    Run,
    Span,
    StartWeather,
    Task,
)
from planner.solver.result import Assignment
from tests.planner.solver import small

OWN_RULES = {"run", "grid", "start_by", "opening", "earliest", "latest", "window", "weather", "pin"}


def allowed_by_checker(problem: Problem, task: Task) -> dict[tuple[tuple[str, ...], int], int]:
    """Every start and crews of a task the checker passes, with the end it expects, found by trying them all."""
    found = {}
    days = Days(problem.days)
    windows = TaskWindows(problem, days)
    choices = product(*([option.crew for option in need.options] for need in task.needs))
    for crews in [crews for crews in choices if len(set(crews)) == len(crews)]:
        for day in problem.days:
            for start in range(day.opens, day.closes, problem.grid_minutes):
                end = end_by_run(task, Assignment(task=task.key, start=start, end=0, crews=crews), windows, days)
                if isinstance(end, int):
                    made = (Assignment(task=task.key, start=start, end=end, crews=crews),)
                    if not [breach for breach in check(problem, made) if breach.rule in OWN_RULES]:
                        found[crews, start] = end
    return found


@st.composite
def lone_tasks(draw: st.DrawFn) -> Problem:
    """A week with odd hours and one task with all sorts of restrictions."""
    of = small.days(8, changes=draw(st.sampled_from(({}, {3: 60}, {3: -60}))))
    calendars = []
    for key in ("own", "first", "second"):
        windows = []
        for day in of:
            if draw(st.integers(0, 5)):
                opens = draw(st.sampled_from((0, 60, 240)))
                closes = draw(st.sampled_from((300, 410, 480)))
                windows.append(Span(start=day.opens + opens, end=day.opens + closes))
        calendars.append(Calendar(key=key, windows=tuple(windows)))
    run: Run = draw(st.sampled_from(("work", "attended", "elapsed", "arrives", "visit")))
    minutes = draw(st.sampled_from((60, 300, 495, 900)))
    needs: tuple[Need, ...] = ()
    if run == "work":
        needs = (Need(trade="x", options=(CrewOption(crew="a", work_minutes=minutes),)),)
        if draw(st.booleans()):
            needs += (Need(trade="y", options=(CrewOption(crew="b", work_minutes=240),)),)
    splits = draw(st.sampled_from(((False, False), (True, False), (True, True))))
    longer = Preparing(title="sheet", dollars=30, loss_dollars=10, minutes=45 if run == "work" else 0)
    moment = st.integers(0, 8 * 96).map(lambda unit: unit * 15)
    task = Task(
        key="t",
        job="j",
        title="T",
        kind="work",
        run=run,
        needs=needs,
        span_minutes=draw(st.sampled_from((0 if run != "attended" else 50, 50, 90, 480, 1000))),
        calendar=draw(st.sampled_from(("", "own"))),
        splits_nights=splits[0],
        splits_weekends=splits[1],
        long_day=draw(st.booleans()) if not splits[0] else False,
        opening_only=draw(st.booleans()),
        start_by_minutes=draw(st.sampled_from((None, 0, 130))),
        earliest=draw(moment) // 4,
        latest_start=draw(st.one_of(st.none(), moment)),
        windows=draw(st.sampled_from(((), (Span(start=500, end=4000), Span(start=5000, end=9999))))),
        weather=draw(
            st.sampled_from(
                (
                    (),
                    (
                        StartWeather(start=430, end=2000, forbidden=True, dollars=0),
                        StartWeather(start=2000, end=9000, forbidden=False, dollars=5),
                    ),
                    (
                        StartWeather(start=430, end=2000, forbidden=True, dollars=0, ways=(longer,)),
                        StartWeather(start=2000, end=5000, forbidden=False, dollars=5, ways=(longer,)),
                        StartWeather(start=5000, end=9000, forbidden=False, dollars=90, ways=(longer,)),
                    ),
                )
            )
        ),
    )
    return Problem(
        branch="b",
        origin_at=small.problem(1, ()).origin_at,
        grid_minutes=15,
        days=of,
        calendars=tuple(calendars),
        crews=(Crew(key="a", name="A", calendar="first"), Crew(key="b", name="B", calendar="second")),
        tasks=(task,),
    )


@settings(max_examples=60, deadline=None)
@given(lone_tasks())
def test_the_starts_are_those_the_checker_passes(problem: Problem) -> None:
    assert not find_faults(problem)
    task = problem.tasks[0]
    candidates = find_candidates(problem)
    axis = candidates.axis
    found = {}
    for starts in candidates.tasks:
        for one in starts.classes:
            for first, last in one.runs:
                for position in range(first, last + 1):
                    key = (one.crews, axis.start_minute(position))
                    assert key not in found
                    found[key] = starts.end_minute(axis, position, one)
    expected = allowed_by_checker(problem, task)
    assert found == expected
    assert bool(candidates.clashes) == (not found)


def two_weeks(task: Task, **changes: Any) -> tuple[str, str]:
    """The gate that shuts a task, and what the clash says."""
    (clash,) = find_candidates(small.problem(14, (task,), **changes)).clashes
    return clash.gate, clash.says


def test_a_task_too_long_for_a_day_names_the_crews() -> None:
    assert two_weeks(small.work("dig", 600, "a"))[0] == "crews"


def test_a_start_between_two_dates_without_a_working_day_names_the_dates() -> None:
    saturday = 5 * 1440
    gate, says = two_weeks(
        small.work("dig", 60, "a", earliest=saturday, latest_start=saturday + 1440, earliest_why="permit from Saturday")
    )
    assert gate == "dates"
    assert "permit from Saturday" in says


def test_a_shut_site_and_a_forbidding_sky_are_named() -> None:
    night = (Span(start=0, end=400),)
    assert two_weeks(small.work("dig", 60, "a", windows=night))[0] == "site"
    rain = (StartWeather(start=0, end=99999, forbidden=True, dollars=0),)
    assert two_weeks(small.work("dig", 60, "a", weather=rain))[0] == "weather"


def test_a_pinned_task_has_its_one_start_whatever_the_sky() -> None:
    rain = (StartWeather(start=0, end=99999, forbidden=True, dollars=0),)
    pin = Pin(start=-300, end=505, crews=("a",), why="started")
    found = find_candidates(small.problem(3, (small.work("dig", 60, "a", weather=rain, pin=pin),)))
    (starts,) = found.tasks
    (one,) = starts.classes
    assert (one.runs, one.length) == (((0, 0),), 6)
    assert starts.end_minute(found.axis, 0, one) == 505


@pytest.mark.parametrize(("weekends", "last"), [(False, 3), (True, 4)])
def test_work_pauses_over_a_weekend_only_if_it_may(weekends: bool, last: int) -> None:
    task = small.work("dig", 600, "a", splits_nights=True, splits_weekends=weekends)
    (starts,) = find_candidates(small.problem(8, (task,))).tasks
    days = {position // 32 for one in starts.classes for run in one.runs for position in range(run[0], run[1] + 1)}
    assert max(day for day in days if day < 7) == last
