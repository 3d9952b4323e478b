"""Which crews may do a task: every choice where there are few, a fair selection where there are many.

Two needs of fifty crews each have 2,500 choices, nearly all of them as good as others; tables of them all would take
longer than the plan. The selection takes the cheapest and, so that distant crews are not forgotten, some of the rest,
and turns with the task's number, so that the crews of a branch are spread over its tasks.
"""

from dataclasses import dataclass
from itertools import product
from math import prod
from typing import TypeVar

from planner.solver.problem import CrewOption, Need, Task

T = TypeVar("T")

# Up to so many crews for one need, and so many sets of joint crews, all are looked at.
MOST_CREWS, MOST_JOINT = 24, 128
# Of joint crews so many sets are compared, and every so many-th place goes to one that is not among the cheapest.
MOST_COMPARED, ELSEWHERE = 1024, 4
# Tasks with the same number modulo this get the same selection.
TURNS = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One option for each need, with different crews: their working minutes together, and their price [dollars]."""

    options: tuple[CrewOption, ...]
    minutes: int
    dollars: int

    @property
    def crews(self) -> tuple[str, ...]:
        return tuple(option.crew for option in self.options)


def all_choices(task: Task) -> tuple[Choice, ...]:
    """Return every set of options with distinct crews that fills the needs."""
    return _made(task, tuple(need.options for need in task.needs))


def has_many(task: Task) -> bool:
    """Return whether a task has so many choices that only some are looked at."""
    sets = prod(len(need.options) for need in task.needs)
    return sets > (MOST_CREWS if len(task.needs) == 1 else MOST_JOINT)


def some_choices(task: Task, number: int, wanted: tuple[tuple[str, ...], ...] = ()) -> tuple[tuple[Choice, ...], bool]:
    """Return the choices to look at, and whether these are all.

    Parameters
    ----------
    task : Task
        With any number of needs.
    number : int
        Turns the selection from task to task.
    wanted : tuple
        Sets of crews that are in the selection where the task may have them.
    """
    if not has_many(task):
        return all_choices(task), True
    most = MOST_CREWS if len(task.needs) == 1 else MOST_JOINT
    turn = number % TURNS
    each = most if len(task.needs) == 1 else max(4, int(MOST_COMPARED ** (1 / len(task.needs)) + 1e-9))
    narrowed = tuple(_some(_by_price(need, turn), each) for need in task.needs)
    found = list(_made(task, narrowed))
    if len(found) > most:
        found.sort(key=lambda choice: choice.dollars)
        found = list(_some(tuple(found), most))
    known = {choice.crews for choice in found}
    for crews in wanted:
        if crews not in known and len(crews) == len(task.needs):
            options = tuple(
                tuple(option for option in need.options if option.crew == crew)
                for need, crew in zip(task.needs, crews, strict=True)
            )
            found.extend(_made(task, options))
            known.add(crews)
    return tuple(found), False


def _made(task: Task, by_need: tuple[tuple[CrewOption, ...], ...]) -> tuple[Choice, ...]:
    if len(by_need) == 1:
        return tuple(
            Choice(options=(option,), minutes=option.work_minutes, dollars=option.dollars) for option in by_need[0]
        )
    found = []
    for options in product(*by_need):
        if len({option.crew for option in options}) == len(options):
            minutes = max((option.work_minutes for option in options), default=task.span_minutes)
            found.append(Choice(options=options, minutes=minutes, dollars=sum(option.dollars for option in options)))
    return tuple(found)


def _by_price(need: Need, turn: int) -> tuple[CrewOption, ...]:
    """Options, cheapest first; of equals the one whose turn it is."""
    shift = turn * len(need.options) // TURNS
    turned = need.options[shift:] + need.options[:shift]
    return tuple(sorted(turned, key=lambda option: option.dollars))


def _some(ordered: tuple[T, ...], most: int) -> tuple[T, ...]:
    """The first of many, and some of the rest at even distances; all if they are no more than ``most``."""
    if len(ordered) <= most:
        return ordered
    first = most - most // ELSEWHERE
    rest = ordered[first:]
    places = most - first
    return (*ordered[:first], *(rest[place * len(rest) // places] for place in range(places)))
