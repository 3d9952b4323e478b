"""A plan laid over its problem: each task with its one assignment, and look-ups the rule families share."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from planner.solver.checks.days import Days
from planner.solver.problem import Problem, Task
from planner.solver.result import Assignment, Breach


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """The problem, the tasks assigned exactly once (in the problem's order), and the days."""

    problem: Problem
    days: Days
    tasks: dict[str, Task]
    assignments: dict[str, Assignment]

    def pairs(self) -> Iterator[tuple[Task, Assignment]]:
        """Each placed task with its assignment, in the problem's order."""
        return ((self.tasks[key], assignment) for key, assignment in self.assignments.items())


def is_started(task: Task) -> bool:
    """Whether work on the task is under way: its start is a fact, no longer a choice."""
    return task.pin is not None and task.pin.why == "started"


def place(problem: Problem, assignments: tuple[Assignment, ...]) -> Placed:
    """Lay a plan over its problem; of a task assigned twice the first assignment is judged."""
    first: dict[str, Assignment] = {}
    for assignment in assignments:
        first.setdefault(assignment.task, assignment)
    return Placed(
        problem=problem,
        days=Days(problem.days),
        tasks={task.key: task for task in problem.tasks},
        assignments={task.key: first[task.key] for task in problem.tasks if task.key in first},
    )


def assigned_breaches(problem: Problem, assignments: tuple[Assignment, ...]) -> Iterator[Breach]:
    """Tasks without an assignment, with more than one, and assignments of tasks the problem does not hold."""
    counts = Counter(assignment.task for assignment in assignments)
    for task in problem.tasks:
        count = counts.pop(task.key, 0)
        if count != 1:
            says = (
                f"{task.title} of {task.job} is not planned."
                if count == 0
                else f"{task.title} is planned {count} times."
            )
            yield Breach(rule="assigned", task=task.key, says=says)
    for key in counts:
        yield Breach(rule="assigned", task=key, says=f"The plan holds {key}, which is not an open task.")
