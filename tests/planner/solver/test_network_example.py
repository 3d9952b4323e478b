"""Published project networks through the whole solver, with a crew for each activity.

A week (a month) of the book is a working day here, on a calendar without days off. Each activity is promised for the
first day at a dollar a day late, so its dollars are the days it ends after the first: the earliest finish less one.
"""

import pytest

from planner.solver.parameters import Repeatable
from planner.solver.problem import Calendar, Crew, CrewOption, Day, Link, Need, Problem, Promise, Span, Task
from planner.solver.solve import solve
from tests.planner.solver import small

DAY = small.CLOSES - small.OPENS
QUICK = Repeatable(deterministic_seconds=1.0)

Network = dict[str, tuple[tuple[str, ...], int]]

# Hillier & Lieberman, Introduction to Operations Research, "Project Management with PERT/CPM": a construction network.
# Activity: predecessors, weeks. 44 weeks in all.
CONSTRUCTION: Network = {
    "A": ((), 2),
    "B": (("A",), 4),
    "C": (("B",), 10),
    "D": (("C",), 6),
    "E": (("C",), 4),
    "F": (("E",), 5),
    "G": (("D",), 7),
    "H": (("E", "G"), 9),
    "I": (("C",), 7),
    "J": (("F", "I"), 8),
    "K": (("J",), 4),
    "L": (("J",), 5),
    "M": (("H",), 2),
    "N": (("K", "L"), 6),
}
CONSTRUCTION_FINISH = {
    "A": 2,
    "B": 6,
    "C": 16,
    "D": 22,
    "E": 20,
    "F": 25,
    "G": 29,
    "H": 38,
    "I": 23,
    "J": 33,
    "K": 37,
    "L": 38,
    "M": 40,
    "N": 44,
}
CONSTRUCTION_FLOAT = {
    "A": 0,
    "B": 0,
    "C": 0,
    "D": 4,
    "E": 0,
    "F": 0,
    "G": 4,
    "H": 4,
    "I": 2,
    "J": 0,
    "K": 1,
    "L": 0,
    "M": 4,
    "N": 0,
}

# Taylor, Introduction to Management Science, chapter 8, first network: nodes 1 to 6, activity = arc, 20 in all.
FIRST: Network = {
    "1-2": ((), 7),
    "1-3": ((), 10),
    "2-4": (("1-2",), 6),
    "3-4": (("1-3",), 5),
    "3-5": (("1-3",), 4),
    "4-5": (("2-4", "3-4"), 3),
    "5-6": (("3-5", "4-5"), 2),
}
FIRST_FINISH = {"1-2": 7, "1-3": 10, "2-4": 13, "3-4": 15, "3-5": 14, "4-5": 18, "5-6": 20}
FIRST_FLOAT = {"1-2": 2, "1-3": 0, "2-4": 2, "3-4": 0, "3-5": 4, "4-5": 0, "5-6": 0}

# The same chapter's house, in months: 9 in all (from memory).
HOUSE: Network = {
    "design": ((), 3),
    "foundation": (("design",), 2),
    "materials": (("design",), 1),
    "build": (("foundation", "materials"), 3),
    "paint": (("foundation", "materials"), 1),
    "carpet": (("paint",), 1),
    "finish": (("build", "carpet"), 1),
}
HOUSE_FINISH = {"design": 3, "foundation": 5, "materials": 4, "build": 8, "paint": 6, "carpet": 7, "finish": 9}
HOUSE_FLOAT = {"design": 0, "foundation": 0, "materials": 1, "build": 0, "paint": 1, "carpet": 1, "finish": 0}

NETWORKS = {
    "construction": (CONSTRUCTION, CONSTRUCTION_FINISH, CONSTRUCTION_FLOAT, 44),
    "first": (FIRST, FIRST_FINISH, FIRST_FLOAT, 20),
    "house": (HOUSE, HOUSE_FINISH, HOUSE_FLOAT, 9),
}


def network_problem(network: Network, *, promised: tuple[str, ...], held: dict[str, int] | None = None) -> Problem:
    """The network with a crew for each activity; ``held`` puts activities off to a day."""
    of: tuple[Day, ...] = small.days(60)
    needs = {
        key: (Need(trade=key, options=(CrewOption(crew=key, work_minutes=weeks * DAY),)),)
        for key, (_, weeks) in network.items()
    }
    tasks = tuple(
        Task(
            key=key,
            job="house",
            title=key,
            kind="work",
            run="work",
            needs=needs[key],
            splits_nights=True,
            earliest=of[(held or {}).get(key, 0)].opens,
        )
        for key in network
    )
    return Problem(
        branch="book",
        origin_at=small.problem(1, ()).origin_at,
        grid_minutes=DAY,
        days=of,
        calendars=(Calendar(key="always", windows=tuple(Span(start=day.opens, end=day.closes) for day in of)),),
        crews=tuple(Crew(key=key, name=key, calendar="always") for key in network),
        tasks=tasks,
        links=tuple(
            Link(before=before, after=key, kind="after") for key, (befores, _) in network.items() for before in befores
        ),
        promises=tuple(Promise(job="house", task=key, due=of[0].opens, dollars_per_day=1) for key in promised),
    )


@pytest.mark.parametrize("name", NETWORKS)
def test_every_activity_finishes_when_the_book_says(name: str) -> None:
    network, finish, _, total = NETWORKS[name]
    problem = network_problem(network, promised=tuple(network))
    result = solve(problem, QUICK)
    assert result.making is not None
    assert result.making.proven
    opens = [day.opens for day in problem.days]
    ends = {one.task: sum(1 for minute in opens if minute < one.end) for one in result.assignments}
    assert ends == finish
    assert max(ends.values()) == total
    assert result.cost.late == sum(weeks - 1 for weeks in finish.values())


FLOATS = [(name, key) for name in NETWORKS for key in NETWORKS[name][0]]


@pytest.mark.parametrize(("name", "key"), FLOATS)
def test_an_activity_may_be_put_off_by_its_float_and_not_a_day_more(name: str, key: str) -> None:
    network, finish, slack, total = NETWORKS[name]
    followers = {before for befores, _ in network.values() for before in befores}
    last = tuple(one for one in network if one not in followers)
    soonest = finish[key] - network[key][1]
    for extra in (0, 1):
        held = {key: soonest + slack[key] + extra}
        result = solve(network_problem(network, promised=last, held=held), QUICK)
        ends = [one.end for one in result.assignments if one.task in last]
        assert max(ends) == small.days(60)[total + extra - 1].closes
