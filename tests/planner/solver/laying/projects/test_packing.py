"""A list laid down by whole-number arithmetic lies where counting position by position puts it."""

from random import Random

import pytest

from planner.solver.laying.projects.packing import Packing
from planner.solver.laying.projects.project import Project
from tests.planner.solver.laying.projects.drawn_projects import drawn_instance, project_of


def counted_starts(project: Project, order: list[int], before: tuple[tuple[int, ...], ...]) -> list[int]:
    """Serial generation with a table of what is taken."""
    taken = [[0] * len(project.counts) for _ in range(2 * project.size)]
    starts = [0] * len(order)
    for task in order:
        length = project.lengths[task]
        at = max((starts[other] + project.lengths[other] for other in before[task]), default=0)
        while any(
            taken[moment][thing] + amount > project.counts[thing]
            for moment in range(at, at + length)
            for thing, amount in project.demands[task]
        ):
            at += 1
        for moment in range(at, at + length):
            for thing, amount in project.demands[task]:
                taken[moment][thing] += amount
        starts[task] = at
    return starts


def drawn_order(project: Project, before: tuple[tuple[int, ...], ...], random: Random) -> list[int]:
    order: list[int] = []
    while len(order) < len(before):
        ready = [task for task in range(len(before)) if task not in order and set(before[task]) <= set(order)]
        order.append(random.choice(ready))
    return order


@pytest.mark.parametrize("number", range(30))
def test_forwards_and_backwards_as_counted(number: int) -> None:
    _, project = project_of(drawn_instance(number, 5 + number))
    random = Random(number)
    for backwards in (False, True):
        before = project.after if backwards else project.before
        order = drawn_order(project, before, random)
        assert Packing(project, backwards=backwards).lay(order) == counted_starts(project, order, before)
