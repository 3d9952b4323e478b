"""Overtime and Saturdays at a price: the checker by hand, and the engine and the greedy beside it."""

from dataclasses import replace

import pytest

from planner.solver.check import check, cost_of
from planner.solver.checks.ends import Ends
from planner.solver.checks.paid import paid_hours
from planner.solver.checks.placed import place
from planner.solver.parameters import GreedyOnly
from planner.solver.problem import Calendar, Link, Need, Pin, Problem, Promise, Span, Task
from planner.solver.replan import replan
from planner.solver.result import Assignment, Cost
from planner.solver.solve import solve
from tests.planner.solver import small
from tests.planner.solver.engine_cases import at, engine_plan

# Monday to Friday for six of the day's eight hours; for pay until the day closes, and on Saturdays.
DAYS = small.days(9)
USUAL = small.weekdays(DAYS, closes=360)
PAID = Calendar(
    key="paid", windows=tuple(Span(start=day.opens, end=day.closes) for day in DAYS if day.on.weekday() < 6)
)


def branch(*tasks: Task, late: int = 0, crews: int = 1, **rest: object) -> Problem:
    """A branch whose crews work for pay: $60 an hour of overtime, $90 an hour on a day off."""
    promises = tuple(Promise(job="one", task=task.key, due=at(0), dollars_per_day=late) for task in tasks if late)
    made = small.problem(9, tasks, crews=crews, days=DAYS, calendars=(USUAL, PAID), promises=promises, **rest)
    return replace(made, crews=tuple(replace(crew, overtime_dollars=60, day_off_dollars=90) for crew in made.crews))


def work(key: str, minutes: int, *crews: str, **changes: object) -> Task:
    """Work that would be done for pay too."""
    task = small.work(key, minutes, *crews, **changes)
    (need,) = task.needs
    options = tuple(replace(option, paid_calendar="paid") for option in need.options)
    return replace(task, needs=(Need(trade=need.trade, options=options),))


def planned(start: int, end: int, *crews: str) -> tuple[Assignment, ...]:
    return (Assignment(task="dig", start=start, end=end, crews=crews or ("a",)),)


@pytest.mark.parametrize(
    ("start", "end", "paid"),
    [
        # Six hours in the usual day.
        (at(0), at(0, 360), 0),
        # An hour and a half of it after the usual close, at $60.
        (at(0, 90), at(0, 450), 90),
        # All of it on a Saturday, at $90.
        (at(5), at(5, 360), 540),
        # A quarter of an hour is a quarter of the price.
        (at(0, 15), at(0, 375), 15),
    ],
)
def test_minutes_outside_the_usual_hours_are_paid(start: int, end: int, paid: int) -> None:
    problem = branch(work("dig", 360, "a"))
    assert check(problem, planned(start, end)) == ()
    assert cost_of(problem, planned(start, end)) == Cost(paid=paid)


def test_split_work_is_paid_only_where_its_end_says_so() -> None:
    """Nine hours: usually six on Monday and three on Tuesday; for pay eight and one. Joint crews are paid each."""
    problem = branch(work("dig", 540, "a", splits_nights=True))
    usual, paid = planned(at(0), at(1, 180)), planned(at(0), at(1, 60))
    assert check(problem, usual) == check(problem, paid) == ()
    assert [cost_of(problem, plan).paid for plan in (usual, paid)] == [0, 120]
    [hours] = paid_hours(place(problem, paid))
    assert (hours.crew, hours.overtime_minutes, hours.day_off_minutes, hours.dollars) == ("a", 120, 0, 120)
    needs = problem.tasks[0].needs
    both = tuple(
        Need(trade=trade, options=(replace(needs[0].options[0], crew=crew),))
        for trade, crew in (("x", "a"), ("y", "b"))
    )
    joint = branch(replace(problem.tasks[0], needs=both), crews=2)
    assert cost_of(joint, planned(at(0), at(1, 60), "a", "b")).paid == 240


@pytest.mark.parametrize("end", [at(0, 435), at(0, 465)])
def test_an_end_that_neither_hours_give_is_caught(end: int) -> None:
    problem = branch(work("dig", 360, "a"))
    assert {breach.rule for breach in check(problem, planned(at(0, 90), end))} == {"run"}


def test_nobody_works_for_pay_who_was_not_asked() -> None:
    problem = branch(small.work("dig", 360, "a"))
    assert {breach.rule for breach in check(problem, planned(at(0, 90), at(0, 450)))} == {"run"}
    assert {breach.rule for breach in check(problem, planned(at(5), at(5, 360)))} == {"run"}


def test_pinned_work_is_paid_already() -> None:
    pinned = replace(work("dig", 360, "a"), pin=Pin(start=at(5), end=at(5, 360), crews=("a",)))
    assert cost_of(branch(pinned), planned(at(5), at(5, 360))) == Cost()


@pytest.mark.parametrize(
    ("late", "start", "cost"),
    [
        # From Friday noon on: three usual hours are left that day, so six hours in one go wait for Monday, or take
        # Saturday at $540. A day of the nine late counts the same every day, so Saturday saves two days of it.
        (100, at(7), Cost(late=700)),
        (300, at(5), Cost(late=1500, paid=540)),
    ],
)
def test_the_engine_buys_a_saturday_where_lateness_costs_more(late: int, start: int, cost: Cost) -> None:
    problem = branch(work("dig", 360, "a", earliest=at(4, 180)), late=late)
    plan = engine_plan(problem)
    assert plan is not None
    assert plan["dig"].start // 1440 == start // 1440
    assert cost_of(problem, tuple(plan.values())) == cost


def test_without_pay_there_is_no_plan_where_only_paid_hours_are_left() -> None:
    last = {"earliest": at(4, 180), "latest_start": at(6)}
    assert engine_plan(branch(small.work("dig", 360, "a", **last))) is None
    plan = engine_plan(branch(work("dig", 360, "a", **last)))
    assert plan is not None
    assert plan["dig"].start == at(5)


def test_the_greedy_buys_hours_only_where_the_promise_is_missed() -> None:
    first = work("first", 180, "a")
    second = work("second", 360, "a", splits_nights=True)
    links = (Link(before="first", after="second", kind="after"),)
    relaxed = branch(first, second, links=links)
    assert solve(relaxed, GreedyOnly()).cost.paid == 0
    due = replace(relaxed, promises=(Promise(job="one", task="second", due=at(0), dollars_per_day=500),))
    # Nine hours of work do not fit even into the eight of a paid Monday: nothing is bought in vain.
    assert solve(due, GreedyOnly()).cost == Cost(late=500)
    shorter = replace(due, tasks=(first, work("second", 300, "a", splits_nights=True)))
    assert solve(shorter, GreedyOnly()).cost == Cost(paid=120)


def test_a_standing_plan_keeps_the_hours_it_bought() -> None:
    problem = branch(work("dig", 540, "a", splits_nights=True))
    for standing in (planned(at(0), at(1, 180)), planned(at(0), at(1, 60))):
        found = replan(problem, standing, frozenset(), GreedyOnly())
        assert found.broken == ()
    assert Ends(branch(work("dig", 360, "a"))).of("dig", at(5), ("a",)) == at(5, 360)
