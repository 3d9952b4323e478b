"""A crew on two sites in one day drives between them: the checker by hand, the greedy and the engine beside it."""

from dataclasses import replace

import pytest

from planner.solver.candidates import find_candidates
from planner.solver.check import check
from planner.solver.laying.ground import Ground
from planner.solver.laying.ledger import Ledger, Room
from planner.solver.parameters import GreedyOnly
from planner.solver.problem import Drive, Link, Pin, Problem, Promise
from planner.solver.result import Assignment
from planner.solver.solve import solve
from tests.planner.solver import small
from tests.planner.solver.engine_cases import at, engine_plan

DRIVE = Drive(sites=("north", "south"), minutes=40)


def two(first: int, second: int, *, crews: tuple[str, ...] = ("a",), days: int = 2, **changes: object) -> Problem:
    """Work on two sites that are forty minutes apart."""
    tasks = (
        small.work("dig", first, *crews, site="north"),
        small.work("pour", second, *crews, site="south", job="two", **changes),
    )
    return small.problem(days, tasks, crews=len(crews), drives=(DRIVE,))


def plan(start: int, *, minutes: int = 60, crew: str = "a") -> tuple[Assignment, ...]:
    return (
        Assignment(task="dig", start=at(0), end=at(0, 60), crews=("a",)),
        Assignment(task="pour", start=start, end=start + minutes, crews=(crew,)),
    )


@pytest.mark.parametrize(
    ("start", "broken"),
    [
        (at(0, 60), ["drive"]),
        (at(0, 90), ["drive"]),
        # Forty minutes after the end of the first: at the next quarter-hour.
        (at(0, 105), []),
        (at(1), []),
    ],
)
def test_the_drive_lies_between_two_stays(start: int, broken: list[str]) -> None:
    problem = two(60, 60)
    assert [breach.rule for breach in check(problem, plan(start))] == broken
    same_site = replace(problem, tasks=(problem.tasks[0], replace(problem.tasks[1], site="north")), drives=())
    assert check(same_site, plan(start)) == ()


def test_other_crews_and_the_way_home_need_no_time() -> None:
    assert check(two(60, 60, crews=("a", "b")), plan(at(0, 60), crew="b")) == ()
    evening = (
        Assignment(task="dig", start=at(0, 420), end=at(0, 480), crews=("a",)),
        Assignment(task="pour", start=at(1), end=at(1, 60), crews=("a",)),
    )
    assert check(two(60, 60), evening) == ()


def test_a_stay_between_two_on_another_site_needs_both_drives() -> None:
    problem = two(60, 60)
    third = small.work("strip", 60, "a", site="north")
    back = Assignment(task="strip", start=at(0, 180), end=at(0, 240), crews=("a",))
    with_third = replace(problem, tasks=(*problem.tasks, third))
    assert [breach.task for breach in check(with_third, (*plan(at(0, 105)), back))] == ["strip"]


def test_what_is_pinned_on_both_sides_is_a_fact() -> None:
    problem = two(60, 60)
    pins = (Pin(start=at(0), end=at(0, 60), crews=("a",)), Pin(start=at(0, 60), end=at(0, 120), crews=("a",)))
    pinned = replace(
        problem, tasks=tuple(replace(task, pin=pin) for task, pin in zip(problem.tasks, pins, strict=True))
    )
    assert check(pinned, plan(at(0, 60))) == ()
    assert solve(pinned, GreedyOnly()).status == "planned"


def test_the_day_holds_the_work_of_two_sites_only_with_the_drive() -> None:
    """Seven hours and a quarter leave forty-five minutes for a drive of forty; a quarter more leaves too little."""
    fits, too_much = two(240, 195, days=1), two(240, 210, days=1)
    assert engine_plan(fits) is not None
    assert solve(fits, GreedyOnly()).status == "planned"
    assert engine_plan(too_much) is None
    assert engine_plan(replace(too_much, drives=())) is not None


def test_the_engine_sends_another_crew_or_waits_where_the_drive_is_too_long() -> None:
    problem = replace(
        two(240, 240, crews=("a", "b")), promises=(Promise(job="two", task="pour", due=at(0), dollars_per_day=99),)
    )
    found = engine_plan(problem)
    assert found is not None
    assert found["pour"].crews != found["dig"].crews or found["pour"].start // 1440 != found["dig"].start // 1440


def test_the_drive_counts_from_the_true_end() -> None:
    """Fifty minutes of work off the grid end at minute 50: with forty of driving the next starts at 90."""
    problem = two(60, 60)
    pinned = replace(problem.tasks[0], pin=Pin(start=at(0), end=at(0, 50), crews=("a",)))
    one = replace(problem, tasks=(pinned, problem.tasks[1]), links=(Link(before="dig", after="pour", kind="after"),))
    ledger = Ledger(Ground(problem=one, candidates=find_candidates(one)))
    starts = ledger.ground.starts["dig"]
    ledger.place("dig", starts.classes[0], starts.classes[0].runs[0][0])
    [(_, mask)] = ledger.options("pour", Room())
    free = [p for p in range(32) if mask >> p & 1]
    assert free[0] == 6
    assert check(one, (Assignment(task="dig", start=at(0), end=at(0, 50), crews=("a",)), plan(at(0, 90))[1])) == ()
