"""When a task ends if it starts elsewhere, asked of the rules alone."""

from planner.solver.checks.days import Days
from planner.solver.checks.runs import TaskWindows, end_by_run
from planner.solver.problem import Problem
from planner.solver.result import Assignment


class Ends:
    """Ends of one problem's tasks by start and crews."""

    def __init__(self, problem: Problem) -> None:
        self._tasks = {task.key: task for task in problem.tasks}
        self._days = Days(problem.days)
        self._windows = TaskWindows(problem, self._days)

    def of(self, task: str, start: int, crews: tuple[str, ...]) -> int | None:
        """The end [minutes since origin] of a task begun at ``start`` by ``crews``; ``None`` where it cannot run."""
        asked = Assignment(task=task, start=start, end=start, crews=crews)
        for paid in (False, True):
            end = end_by_run(self._tasks[task], asked, self._windows, self._days, paid=paid)
            if isinstance(end, int):
                return end
        return None
