"""What may hit each start of a plan's tasks, worked out once for all weathers."""

from planner.forecast.domain.limits.measures import left_of
from planner.forecast.domain.limits.risk import HalfDayRisk
from planner.plans.domain.assemble import Assembled
from planner.plans.domain.lasting.preparing import measures_of
from planner.plans.domain.weather import NEAR_MINUTES
from planner.plans.domain.world import Judges, Prepared, World
from planner.plans.outcomes.weathers import Weather
from planner.solver.axis import Axis
from planner.solver.checks.preparing import way_at
from planner.solver.problem import Preparing

Risks = tuple[HalfDayRisk, ...]


class StartRisks:
    """The chances behind the judgement of every start, every two hours of a day."""

    def __init__(self, world: World, assembled: Assembled) -> None:
        self._world = world
        self._assembled = assembled
        self._judges = Judges(world)
        self._axis = Axis.of(assembled.problem)
        self._tasks = {task.key: task for task in assembled.problem.tasks}
        self._known: dict[tuple[int, str, str, int, int], Risks] = {}
        self._less: dict[tuple[int, str, str, int, int, str], Risks] = {}

    def is_exposed(self, task: str) -> bool:
        """Whether the sky matters to a task at all."""
        return self._world.exposures[self._assembled.tasks[task][1].exposure].exposed

    def step_of(self, minute: int) -> tuple[int, int]:
        """The two hours [min since origin] of a day that hold a start."""
        opens = self._axis.day_opens(self._axis.day_index(minute))
        begins = opens + (minute - opens) // NEAR_MINUTES * NEAR_MINUTES
        return begins, begins + NEAR_MINUTES

    def hit(self, weather: Weather, task: str, start: int, end: int) -> bool:
        """Whether a weather breaks a limit of a stay: of a whole stay inside one day, of no more than one day."""
        begins, _ = self.step_of(start)
        prepared = self._prepared(task, start)
        first = min(prepared.minutes, end - start) if prepared is not None else 0
        return weather.hits(self._left(prepared, task, begins + first, end - start - first))

    def lost_days(self, weather: Weather, task: str, start: int, end: int) -> int:
        """Working days of a stay over several days on which a weather breaks a limit."""
        axis = self._axis
        lost = 0
        prepared = self._prepared(task, start)
        last = axis.day_index(end - 1)
        for day in range(axis.day_index(start), last + 1):
            begins = max(self.step_of(start)[0], axis.day_opens(day))
            # Nobody works into the evening of a day that is not the last.
            ends = end if day == last else self._assembled.problem.days[day].long_closes
            if begins < ends and self._is_worked(day):
                lost += weather.hits(self._left(prepared, task, begins, ends - begins))
        return lost

    def worked_days(self, start: int, end: int) -> int:
        """Working days of the branch from the day of one moment up to the day of another."""
        return sum(self._is_worked(day) for day in range(self._axis.day_index(start), self._axis.day_index(end)))

    def _is_worked(self, day: int) -> bool:
        line = self._assembled.line
        if not 0 <= day < len(line.days):
            return False
        return self._world.crews.branch_calendar.is_working_day(line.days[day].on)

    def _prepared(self, task: str, start: int) -> Preparing | None:
        """What is bought for a start, as the plan that would have it there buys it."""
        way = way_at(self._tasks[task], start)
        return way.prepared if way is not None else None

    def _left(self, prepared: Preparing | None, key: str, start: int, minutes: int) -> Risks:
        """The risks of the work itself, less what is prepared spares of them."""
        found = self._risks(key, start, minutes)
        if prepared is None:
            return found
        task = self._assembled.tasks[key][1]
        which = (task.site.id, task.exposure, task.admixture, start, minutes, prepared.title)
        if which not in self._less:
            measures = measures_of(self._world.exposures[task.exposure], Prepared.titles_of(prepared.title))
            self._less[which] = tuple(left_of(risk, measures) for risk in found)
        return self._less[which]

    def _risks(self, key: str, start: int, minutes: int) -> Risks:
        _, task = self._assembled.tasks[key]
        which = (task.site.id, task.exposure, task.admixture, start, minutes)
        found = self._known.get(which)
        if found is None:
            line = self._assembled.line
            found = self._known[which] = self._judges.at(task.site.id).by_half_day(
                self._world.exposures[task.exposure],
                start_at=line.at(start),
                end_at=line.at(start + minutes),
                soil=task.site.soil,
                admixture=task.admixture,
            )
        return found
