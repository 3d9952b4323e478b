"""Choices of crews: all where there are few, a fair selection where there are many."""

from planner.solver.candidates import find_candidates
from planner.solver.openings.choices import MOST_CREWS, MOST_JOINT, TURNS, all_choices, some_choices
from planner.solver.problem import Calendar, Crew, CrewOption, Need, Problem, Task, Told
from tests.planner.solver import small


def pour(first: int, second: int) -> Task:
    """A task for two crews jointly, of so many of each trade; every third crew comes from afar."""
    needs = tuple(
        Need(
            trade=trade,
            options=tuple(
                CrewOption(crew=f"{trade}{number}", work_minutes=60, dollars=45 * (number % 3 == 0))
                for number in range(count)
            ),
        )
        for trade, count in (("x", first), ("y", second))
        if count
    )
    return Task(key="pour", job="one", title="Pour", kind="work", run="work", needs=needs)


def branch(task: Task, told: tuple[Told, ...] = (), closed: frozenset[str] = frozenset()) -> Problem:
    """The task alone in a week; crews in ``closed`` work on no day."""
    days = small.days(3)
    names = [option.crew for need in task.needs for option in need.options]
    open_all_day = small.problem(3, (), crews=1).calendars[0]
    calendars = (Calendar(key="open", windows=open_all_day.windows), Calendar(key="shut", windows=()))
    crews = tuple(Crew(key=name, name=name, calendar="shut" if name in closed else "open") for name in names)
    base = small.problem(3, ())
    return Problem(
        branch="one",
        origin_at=base.origin_at,
        grid_minutes=base.grid_minutes,
        days=days,
        calendars=calendars,
        crews=crews,
        tasks=(task,),
        told=told,
    )


def test_few_choices_are_all_taken() -> None:
    task = pour(8, 16)
    assert some_choices(task, 3) == (all_choices(task), True)
    assert find_candidates(branch(task)).is_whole


def test_of_many_the_cheapest_are_taken_and_some_others() -> None:
    alone, _ = some_choices(pour(100, 0), 0)
    joint, whole = some_choices(pour(50, 100), 0)
    assert (len(alone), len(joint), whole) == (MOST_CREWS, MOST_JOINT, False)
    for choices in (alone, joint):
        assert len({choice.crews for choice in choices}) == len(choices)
        cheap = [choice for choice in choices if choice.dollars == 0]
        assert len(choices) / 2 < len(cheap) < len(choices)


def test_different_tasks_see_different_crews() -> None:
    seen = {choice.crews for turn in range(TURNS) for choice in some_choices(pour(100, 0), turn)[0]}
    assert len(seen) > 2 * MOST_CREWS


def test_crews_people_were_told_are_among_the_choices() -> None:
    task = pour(50, 100)
    crews = ("x48", "y99")
    assert crews not in {choice.crews for choice in some_choices(task, 0)[0]}
    assert crews in {choice.crews for choice in some_choices(task, 0, (crews,))[0]}
    told = Told(task="pour", start=0, crews=crews, move_dollars=1, day_dollars=1, crew_dollars=1)
    for found in (find_candidates(branch(task, (told,))), find_candidates(branch(task), {"pour": crews})):
        assert crews in {of.crews for of in found.tasks[0].classes}
        assert not found.is_whole


def test_where_the_selection_has_no_start_all_choices_are_asked() -> None:
    task = pour(100, 0)
    every = {option.crew for option in task.needs[0].options}
    chosen = {choice.crews[0] for choice in some_choices(task, 0)[0]}
    found = find_candidates(branch(task, closed=frozenset(chosen)))
    assert {of.crews[0] for of in found.tasks[0].classes} == every - chosen
    assert found.is_whole
    (clash,) = find_candidates(branch(task, closed=frozenset(every))).clashes
    assert clash.gate == "crews"
