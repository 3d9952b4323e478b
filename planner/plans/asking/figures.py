"""Figures of a whole plan as lines of text: idle crews and the bottleneck of each week."""

from planner.plans.domain.assemble import Assembled
from planner.plans.domain.story import day_name
from planner.solver.explain.figures import bottlenecks, crew_times
from planner.solver.result import Assignment

SHOWN_WEEKS = 8


def figure_lines(assembled: Assembled, assignments: tuple[Assignment, ...]) -> list[str]:
    """Who stands idle between tasks, and who has the least time left in each of the weeks ahead."""
    problem = assembled.problem
    names = {crew.key: crew.name for crew in problem.crews}
    times = crew_times(problem, assignments)
    worked = sum(one.worked_minutes for one in times)
    idle = sum(one.idle_minutes for one in times)
    lines = ["Crews, each until the end of its last task", f"  {_hours(worked)} of work, {_hours(idle)} without"]
    lines += [
        f"  {names[one.crew]:<24} {_hours(one.worked_minutes):>8} of work {_hours(one.idle_minutes):>8} idle"
        for one in sorted(times, key=lambda one: (-one.idle_minutes, one.crew))
    ]
    lines += ["", "Who has the least time left, week by week"]
    for week in bottlenecks(problem, assignments)[:SHOWN_WEEKS]:
        share = 100 * week.worked_minutes / week.open_minutes
        of = f"{_hours(week.worked_minutes)} of {_hours(week.open_minutes)}"
        lines.append(f"  week from {day_name(week.first_on):<14} {names[week.crew]:<24} {share:.0f} %, {of}")
    return lines


def _hours(minutes: int) -> str:
    return f"{minutes / 60:,.0f} h"
