"""The price of a day on problems small enough to know it, and figures counted by hand."""

import pytest

from planner.solver.explain.figures import Bottleneck, CrewTime, bottlenecks, crew_times
from planner.solver.explain.price import price_of_a_day
from planner.solver.parameters import Repeatable
from planner.solver.problem import Promise, StartWeather
from planner.solver.result import Assignment
from planner.solver.solve import solve
from tests.planner.solver import small
from tests.planner.solver.engine_cases import at

EFFORT = Repeatable(deterministic_seconds=0.3)


def test_a_day_later_costs_what_it_is_late_and_a_day_earlier_what_the_sky_takes() -> None:
    # Monday costs 500 by rain, Tuesday nothing; promised for Tuesday at 70 a day.
    wet = (StartWeather(start=0, end=at(1), forbidden=False, dollars=500),)
    tasks = (small.work("dig", 240, "a", weather=wet),)
    promises = (Promise(job="one", task="dig", due=at(1), dollars_per_day=70),)
    problem = small.problem(8, tasks, promises=promises)
    plan = solve(problem, Repeatable()).assignments
    assert plan[0].start == at(1)
    earlier = price_of_a_day(problem, plan, "dig", "earlier", EFFORT)
    assert (earlier.start, earlier.dollars) == (at(0), 500)
    later = price_of_a_day(problem, plan, "dig", "later", EFFORT)
    assert (later.start, later.dollars) == (at(2), 70)


def test_a_day_earlier_of_one_pushes_the_other_out() -> None:
    # One crew, a day each: whoever goes second is a day late, at 30 or at 100 dollars.
    tasks = tuple(small.work(key, 480, "a", job=key) for key in ("low", "high"))
    promises = (
        Promise(job="low", task="low", due=at(0), dollars_per_day=30),
        Promise(job="high", task="high", due=at(0), dollars_per_day=100),
    )
    problem = small.problem(4, tasks, promises=promises)
    plan = solve(problem, Repeatable()).assignments
    assert price_of_a_day(problem, plan, "low", "earlier", EFFORT).dollars == 70


@pytest.mark.parametrize("day", [0, 4])
def test_where_no_plan_has_it_there_nothing_is_priced(day: int) -> None:
    tasks = (small.work("dig", 240, "a", earliest=at(day), latest_start=at(day, 60)),)
    problem = small.problem(7, tasks)
    plan = solve(problem, Repeatable()).assignments
    assert price_of_a_day(problem, plan, "dig", "earlier", EFFORT).start is None
    assert price_of_a_day(problem, plan, "dig", "later", EFFORT).start is None


def test_worked_and_idle_time_are_counted_inside_the_hours_until_the_last_task() -> None:
    tasks = (small.work("dig", 240, "a"), small.work("pipe", 120, "a"), small.work("far", 480, "b"))
    plan = (
        Assignment(task="dig", start=at(0), end=at(0, 240), crews=("a",)),
        # From Friday to Monday: the weekend is no idle time.
        Assignment(task="pipe", start=at(4, 420), end=at(7, 60), crews=("a",)),
        Assignment(task="far", start=at(7), end=at(7, 480), crews=("b",)),
    )
    problem = small.problem(10, tasks, crews=3)
    assert crew_times(problem, plan) == (
        CrewTime(crew="a", worked_minutes=360, idle_minutes=5 * 480 + 60 - 360),
        CrewTime(crew="b", worked_minutes=480, idle_minutes=5 * 480),
    )
    weeks = bottlenecks(problem, plan)
    assert weeks == (
        Bottleneck(first_on=problem.days[0].on, crew="a", worked_minutes=300, open_minutes=2400),
        Bottleneck(first_on=problem.days[7].on, crew="b", worked_minutes=480, open_minutes=1440),
    )
