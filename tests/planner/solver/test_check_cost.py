"""Whole dollars by term, each worked by hand."""

from dataclasses import replace

import pytest

from planner.solver.check import cost_of
from planner.solver.problem import CrewOption, Need, OpenDays, Pin, Promise, StartWeather, Told
from planner.solver.result import Assignment, Cost
from tests.planner.solver import small

DAY = 1440
OPENS, CLOSES = small.OPENS, small.CLOSES
DIG = small.work("dig", 60, "a", "b")


def at(start: int, *crews: str, end: int | None = None, task: str = "dig") -> Assignment:
    return Assignment(task=task, start=start, end=start + 60 if end is None else end, crews=crews or ("a",))


@pytest.mark.parametrize(
    ("due", "end", "dollars"),
    [
        (CLOSES, CLOSES, 0),
        (OPENS, CLOSES, 0),
        # A night belongs to the day before it.
        (CLOSES, DAY + OPENS - 1, 0),
        (CLOSES, DAY + OPENS, 100),
        (CLOSES, 3 * DAY + OPENS + 30, 300),
        (OPENS - 1, OPENS + 60, 100),
        (OPENS - 3 * DAY, OPENS + 60, 300),
        (2 * DAY + OPENS, OPENS + 60, 0),
        # Days go on behind the horizon of four days.
        (CLOSES, 5 * DAY + OPENS, 500),
    ],
)
def test_each_begun_day_after_the_due_day_is_late(due: int, end: int, dollars: int) -> None:
    promise = Promise(job="one", task="dig", due=due, dollars_per_day=100)
    problem = small.problem(4, (DIG,), promises=(promise,))
    assert cost_of(problem, (at(OPENS, end=end),)) == Cost(late=dollars)


def test_weather_costs_what_the_segment_of_the_start_says() -> None:
    weather = tuple(
        StartWeather(start=OPENS + 60 * hour, end=OPENS + 60 * hour + 60, forbidden=hour == 1, dollars=10 + hour)
        for hour in range(2)
    )
    problem = small.problem(2, (replace(DIG, weather=weather),))
    prices = [cost_of(problem, (at(start),)).weather for start in (OPENS, OPENS + 59, OPENS + 60, OPENS + 120)]
    assert prices == [10, 10, 11, 0]


def test_each_need_costs_its_option() -> None:
    needs = tuple(
        Need(trade=trade, options=tuple(CrewOption(crew=c, work_minutes=60, dollars=d) for c, d in prices))
        for trade, prices in (("form", (("a", 5), ("b", 7))), ("place", (("a", 20), ("b", 30))))
    )
    problem = small.problem(2, (replace(DIG, needs=needs),), crews=3)
    assert cost_of(problem, (at(OPENS, "a", "b"),)) == Cost(crews=35)
    assert cost_of(problem, (at(OPENS, "b", "a"),)) == Cost(crews=27)
    pinned = replace(DIG, needs=needs, pin=Pin(start=OPENS, end=OPENS + 60, crews=("c", "a")))
    assert cost_of(replace(problem, tasks=(pinned,)), (at(OPENS, "c", "a"),)) == Cost(crews=20)


@pytest.mark.parametrize(
    ("since", "dig", "pour_end", "dollars"),
    [
        (None, OPENS, CLOSES, 0),
        (None, CLOSES - 60, DAY + OPENS, 20),
        (None, OPENS, 3 * DAY + CLOSES, 60),
        (OPENS - 2 * DAY, OPENS, OPENS + 60, 40),
    ],
)
def test_open_days_count_from_start_to_end(since: int | None, dig: int, pour_end: int, dollars: int) -> None:
    term = OpenDays(job="one", from_task="dig", until_task="pour", dollars_per_day=20, since=since)
    problem = small.problem(5, (DIG, replace(DIG, key="pour")), open_days=(term,))
    plan = (at(dig), at(OPENS, task="pour", end=pour_end))
    assert cost_of(problem, plan) == Cost(open_days=dollars)


@pytest.mark.parametrize(
    ("start", "crew", "told", "dollars"),
    [
        (DAY + OPENS, "a", ("a",), 0),
        (DAY + CLOSES - 60, "a", ("a",), 0),
        (3 * DAY + OPENS, "a", ("a",), 60 + 2 * 7),
        (OPENS, "a", ("a",), 60 + 7),
        (OPENS, "b", ("a",), 60 + 7 + 40),
        (DAY + OPENS, "b", ("a",), 40),
        (OPENS, "b", (), 60 + 7),
    ],
)
def test_moving_what_people_were_told_costs_by_day_and_crew(
    start: int, crew: str, told: tuple[str, ...], dollars: int
) -> None:
    term = Told(task="dig", start=DAY + OPENS + 120, crews=told, move_dollars=60, day_dollars=7, crew_dollars=40)
    problem = small.problem(5, (DIG,), crews=2, told=(term,))
    assert cost_of(problem, (at(start, crew),)) == Cost(moves=dollars)


def test_told_crews_in_another_order_are_the_same_crews() -> None:
    term = Told(task="dig", start=OPENS, crews=("b", "a"), move_dollars=60, day_dollars=7, crew_dollars=40)
    task = replace(DIG, needs=(*DIG.needs, *DIG.needs))
    assert cost_of(small.problem(2, (task,), crews=2, told=(term,)), (at(OPENS, "a", "b"),)).total == 0


def test_the_total_is_the_sum_of_the_terms() -> None:
    assert Cost(late=1, weather=20, crews=300, open_days=4000, moves=50000).total == 54321
