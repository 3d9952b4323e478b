"""What a broken plan has left, laid anew in a weather by the planner's own greedy rules."""

from collections.abc import Mapping, Sequence
from typing import Protocol

from planner.plans.outcomes.weathers import Weather
from planner.solver.candidates import StartClass
from planner.solver.laying.greedy import Greedy, Rule
from planner.solver.laying.ground import Ground
from planner.solver.laying.ledger import laid_out
from planner.solver.masks import lowest, mask_of
from planner.solver.result import Assignment

# Nobody waits for a cheaper sky: the first start that is not hit is taken, as on the morning itself.
RULES = (Rule(first="slack", patience=None), Rule(first="promise", patience=None))

# What finds no place so soon is left to waiting, which always finds one.
RESTARTS = 2
# Nobody is moved by the sky of days so long after their planned ones.
REACH_DAYS = 60

Kept = dict[str, tuple[StartClass, int]]


class Risks(Protocol):
    """What a weather does to stays [min since origin]; see ``skies.StartRisks``."""

    def is_exposed(self, task: str) -> bool: ...

    def step_of(self, minute: int) -> tuple[int, int]: ...

    def hit(self, weather: Weather, task: str, start: int, end: int) -> bool: ...

    def lost_days(self, weather: Weather, task: str, start: int, end: int) -> int: ...

    def worked_days(self, start: int, end: int) -> int: ...


class Anew:
    """Lays anew what a weather leaves of a plan, from its first broken start on.

    Parameters
    ----------
    ground : Ground
        What the plan answers.
    planned : mapping
        The plan by task.
    risks : Risks
        What may hit a start.
    """

    def __init__(self, ground: Ground, planned: Mapping[str, Assignment], risks: Risks) -> None:
        self._ground = ground
        self._planned = planned
        self._risks = risks

    def drafts(
        self, weather: Weather, standing: Sequence[Assignment], broken_at: int
    ) -> tuple[tuple[tuple[Assignment, ...], dict[str, int]], ...]:
        """Whole plans with each task's wait for its own sky [min].

        Parameters
        ----------
        weather : Weather
            What hits which start. Work over several days goes where it is not hit on any.
        standing : sequence of Assignment
            A plan that keeps every rule; what it starts before the break stays.
        broken_at : int
            The first start that the weather hits [min]; nothing that is laid anew starts before that day.
        """
        axis = self._ground.axis
        day = axis.day_index(broken_at)
        shut = {
            key: self._shut(weather, key, day)
            for key, starts in self._ground.starts.items()
            if starts.task.pin is None and self._risks.is_exposed(key)
        }
        first = max(0, day) * axis.units
        ground = self._ground.under(shut, since=first)
        kept: Kept = {}
        for one in standing:
            starts = self._ground.starts[one.task]
            position = axis.start_position(one.start)
            of = starts.class_at(axis, position, one.crews, one.end)
            if starts.task.pin is None and one.start < broken_at and of is not None:
                kept[one.task] = (of, position)
        greedy = Greedy(ground, kept, restarts=RESTARTS)
        drafts = [draft.assignments for draft in greedy.drafts(RULES) if draft.is_whole]
        return tuple((plan, self._waits(ground, plan, kept, shut, first)) for plan in drafts)

    def _shut(self, weather: Weather, key: str, from_day: int) -> tuple[int, bool]:
        """Positions at which a task may not start, or, over several days, not be under way (then True)."""
        axis, planned, risks = self._ground.axis, self._planned[key], self._risks
        is_long = axis.day_index(planned.end - 1) > axis.day_index(planned.start)
        runs: list[tuple[int, int]] = []
        until_day = min(len(axis.opens), axis.day_index(planned.end) + REACH_DAYS)
        for day in range(max(0, from_day), until_day):
            opens = axis.day_opens(day)
            closes = opens + axis.day_minutes
            if not risks.worked_days(opens, axis.day_opens(day + 1)):
                continue
            if is_long:
                if risks.lost_days(weather, key, opens, self._ground.problem.days[day].long_closes):
                    runs.append((day * axis.units, (day + 1) * axis.units - 1))
                continue
            at = opens
            while at < closes:
                begins, ends = risks.step_of(at)
                if risks.hit(weather, key, begins, begins + planned.end - planned.start):
                    last = axis.start_position(min(ends, closes - 1)) - 1
                    runs.append((axis.start_position(at), last if ends < closes else (day + 1) * axis.units - 1))
                at = ends
        return mask_of(runs), is_long

    def _waits(
        self,
        ground: Ground,
        plan: Sequence[Assignment],
        kept: Kept,
        shut: Mapping[str, tuple[int, bool]],
        from_position: int,
    ) -> dict[str, int]:
        """From the first start that calendars and what comes before allow to the first that the sky allows too."""
        axis = ground.axis
        ledger = laid_out(self._ground, tuple(plan))
        waits: dict[str, int] = {}
        for key in shut:
            made = ledger.placed[key]
            if key in kept:
                continue
            number = self._ground.starts[key].classes.index(made.of)
            since = max(from_position, axis.start_position(max(0, ledger.room(key).start_from)))
            free = [masks[key][number] >> since for masks in (self._ground.start_masks, ground.start_masks)]
            if all(free):
                first, dry = (axis.start_minute(since + lowest(mask)) for mask in free)
                waits[key] = dry - first
        return waits
