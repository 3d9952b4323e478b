"""What pays to prepare for a start, what it costs and how much longer the work takes."""

from bisect import bisect_right
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache, partial
from math import ceil

from crews.domain.working_time import local_moment
from jobs.domain.exposure import Exposure, Hazard, Measure
from jobs.domain.facts import JobFacts, LinkFacts, TaskFacts
from planner.forecast.domain.judgement import StartJudgement
from planner.forecast.domain.limits.measures import allows, cheapest_set, hazards_of, lifted_limits, loss_left
from planner.plans.domain.timeline import GRID_MINUTES, Timeline
from planner.plans.domain.waits import Waits
from planner.plans.domain.world import Prepared, Stay, World
from planner.solver.problem import Day, Need, Preparing, Span, StartWeather

# What people were told to prepare stays unless another way saves more than this; what a quiet move is worth too.
KEEP_DOLLARS = 20
# The sky over the same work so many minutes later; ``None`` where a public warning forbids it then.
Later = Callable[[int], StartJudgement | None]
SAME_DAY_HOURS = 8.0
DAY_HOURS = 24.0
# A job, a link of it, and the task that must follow.
Follower = tuple[JobFacts, LinkFacts, TaskFacts]


class Preparings:
    """The ways to prepare for starts, worked out once for equal risks."""

    def __init__(self) -> None:
        self._known: dict[tuple[object, ...], tuple[Preparing, ...]] = {}

    def ways(
        self, exposure: Exposure, judgement: StartJudgement, *, later: Later | None = None
    ) -> tuple[Preparing, ...]:
        """The cheapest way, and the cheapest that takes no time where that is another; none where going bare is.

        The work comes after what is prepared, so a way has the loss of the hours it then works in, ``later``. Without
        that there is no crew, and preparing takes nobody's time.
        """
        measures = bought_measures(exposure)
        if not measures or (not judgement.forbidden and judgement.dollars <= min(one.dollars for one in measures)):
            return ()
        hazards = hazards_of(judgement)
        broken = tuple(part.limit for part in judgement.parts if part.forbids)
        key = (exposure.key, later is None, judgement.forbidden, broken, judgement.dollars, *hazards.items())
        found = self._known.get(key)
        if found is None:
            useful = [one for one in measures if any(hazards.get(hazard, 0.0) > 0 for hazard in one.answers)]
            quick = [one for one in useful if not one.hours]
            offers = (_cheapest(exposure, judgement, hazards, those) for those in (useful, quick))
            made = (way if later is not None else replace(way, minutes=0) for way in offers if way is not None)
            found = self._known[key] = tuple(dict.fromkeys(made))
        if later is None:
            return found
        at_their_hour = (_at_its_hour(exposure, judgement, way, later) for way in found)
        return tuple(way for way in at_their_hour if way is not None)


def _at_its_hour(exposure: Exposure, judgement: StartJudgement, way: Preparing, later: Later) -> Preparing | None:
    """The way with the loss of the hours it works in; ``None`` where they forbid it or going bare costs no more."""
    if not way.minutes:
        return way
    sky = later(way.minutes)
    taken = measures_of(exposure, Prepared.titles_of(way.title))
    if sky is None or not may_go(exposure, sky, taken):
        return None
    left = loss_left(hazards_of(sky), taken, exposure.loss_dollars)
    if not judgement.forbidden and way.dollars + left >= judgement.dollars:
        return None
    return replace(way, loss_dollars=left)


def may_go(exposure: Exposure, judgement: StartJudgement, measures: Sequence[Measure]) -> bool:
    """Whether the sky, and what is prepared, let a start be taken."""
    return not judgement.forbidden or allows(exposure, judgement, hazards_of(judgement), measures)


def lets_go(exposure: Exposure, judgement: StartJudgement, prepared: Prepared | None) -> bool:
    """Whether the sky over the work itself, and what a plan bought for it, let it be started."""
    return may_go(exposure, judgement, measures_of(exposure, prepared.titles if prepared is not None else ()))


def limits_answered(exposure: Exposure, prepared: Prepared | None) -> frozenset[str]:
    """Limits that what a plan bought answers, however sure they are to be broken."""
    return lifted_limits(measures_of(exposure, prepared.titles if prepared is not None else ()))


def measures_of(exposure: Exposure, titles: Sequence[str]) -> list[Measure]:
    """What is no longer in the exposure's data spares nothing."""
    return [one for one in exposure.measures if one.title in titles]


def bought_measures(exposure: Exposure) -> tuple[Measure, ...]:
    """Measures a planned start can be prepared with; one that is another start is advised, never bought."""
    return tuple(one for one in exposure.measures if not one.another_start)


def way_told(exposure: Exposure, judgement: StartJudgement, stay: Stay) -> Preparing | None:
    """What people were told to prepare, with the loss it leaves under the sky of now; ``None`` if nothing was."""
    told = stay.prepared
    if told is None:
        return None
    taken = measures_of(exposure, told.titles)
    left = loss_left(hazards_of(judgement), taken, exposure.loss_dollars)
    return Preparing(title=told.title, dollars=told.dollars, loss_dollars=left, minutes=told.minutes)


def settle(
    segment: StartWeather, exposure: Exposure, judgement: StartJudgement, stay: Stay, *, always: bool
) -> StartWeather:
    """The segment of a told start, kept the way people were told unless another way saves more than it disturbs.

    Parameters
    ----------
    judgement : StartJudgement
        The sky over the hours in which the work was told to be, after what is prepared.
    always : bool
        Whether what was told stays whatever it costs: a stored plan is judged as it was bought.
    """
    told = way_told(exposure, judgement, stay)
    if (segment.forbidden or told is not None) and not lets_go(exposure, judgement, stay.prepared):
        return replace(segment, forbidden=True, ways=(), settled=True) if always else segment
    dollars = segment.dollars if told is None else told.dollars + told.loss_dollars
    others = [one.dollars + one.loss_dollars for one in segment.ways]
    best = min([*others, *(() if segment.forbidden else (segment.dollars,))], default=dollars)
    if not always and dollars > best + KEEP_DOLLARS:
        return segment
    return replace(segment, ways=() if told is None else (told,), settled=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """Until when a task's crews work on each day: openings and ends of days [minutes since origin]."""

    longest_minutes: int
    opens: tuple[int, ...]
    until: tuple[int, ...]
    splits_nights: bool
    followed: Callable[[int], bool]

    def holds(self, start: int, minutes: int) -> bool:
        """Whether the work and so much longer fit into the day of a start, and leave time for what must follow."""
        if self.splits_nights:
            return True
        day = max(0, bisect_right(self.opens, start) - 1)
        end = start + self.longest_minutes + minutes
        return end <= self.until[day] and self.followed(end)


def with_room(segment: StartWeather, room: Callable[[], Room]) -> StartWeather:
    """The segment with those ways whose time fits into the day from its first start."""
    fitting = tuple(way for way in segment.ways if not way.minutes or room().holds(segment.start, way.minutes))
    return segment if fitting == segment.ways else replace(segment, ways=fitting)


def with_no_time(segment: StartWeather) -> StartWeather:
    """The segment with those ways that take the crew no time."""
    quick = tuple(way for way in segment.ways if not way.minutes)
    return segment if quick == segment.ways else replace(segment, ways=quick)


def followed_the_same_day(world: World) -> frozenset[int]:
    """Tasks (ids) that another must follow within a working day's hours.

    Time bought for preparing them would be taken from the day that what follows needs too, on every start at once.
    """
    return frozenset(
        link.before
        for job in world.jobs
        for link in job.links
        if link.rule.max_hours is not None and link.rule.max_hours <= SAME_DAY_HOURS
    )


class Rooms:
    """The room for longer work, crew by crew.

    Work that must follow within the day, as joints are cut in time, keeps its evening or its next morning.
    """

    def __init__(self, world: World, line: Timeline, waits: Waits) -> None:
        self._line = line
        self._waits = waits
        self._opens = tuple(day.opens for day in line.days)
        self._worked = sorted(self._by_day(line.windows(world.crews.branch_calendar)))
        self._followers: dict[int, list[Follower]] = {}
        for job in world.jobs:
            by_id = {task.id: task for task in job.tasks}
            for link in job.links:
                if link.rule.max_hours is not None and link.rule.max_hours < DAY_HOURS and by_id[link.after].is_open:
                    self._followers.setdefault(link.before, []).append((job, link, by_id[link.after]))
        self._calendars = {crew.key: crew.calendar for crew in world.crews.crews}
        self._ends: dict[str, dict[int, int]] = {}

    def of(self, task: TaskFacts, needs: Sequence[Need], site: Sequence[Span]) -> Callable[[], Room]:
        """The room every crew that could do the task has inside the hours of its site, worked out when first asked."""

        @cache
        def room() -> Room:
            options = [option for need in needs for option in need.options]
            ends = [self._by_day(site)] if site else []
            if not task.long_day:
                ends += [self._crew_ends(option.crew) for option in options]
            until = tuple(
                min(
                    [
                        day.closes if task.evening else day.long_closes,
                        *(by_day[day.opens] for by_day in ends if day.opens in by_day),
                    ]
                )
                for day in self._line.days
            )
            longest = max((option.work_minutes for option in options), default=0)
            return Room(
                longest_minutes=longest,
                opens=self._opens,
                until=until,
                splits_nights=task.splits_nights,
                followed=cache(partial(self._is_followed, task.id)),
            )

        return room

    def _is_followed(self, task_id: int, end: int) -> bool:
        """Whether all that must follow finds its time after work that ends then."""
        day = self._line.days[max(0, bisect_right(self._opens, end) - 1)]
        return all(self._finds_time(*follower, end, day) for follower in self._followers.get(task_id, ()))

    def _finds_time(self, job: JobFacts, link: LinkFacts, after: TaskFacts, end: int, day: Day) -> bool:
        end_at = self._line.at(end)
        ready = self._line.minute(self._waits.of(job, link).ready_at(end_at))
        closes = day.closes if after.evening else day.long_closes
        if after.site.work_until is not None:
            closes = min(closes, self._line.minute_down(local_moment(self._line.zone, day.on, after.site.work_until)))
        if ready + (after.remaining_minutes or after.work_minutes) <= closes:
            return True
        latest_at = self._waits.latest(job, link, end_at)
        number = bisect_right(self._worked, day.opens)
        return latest_at is None or (
            number < len(self._worked) and self._worked[number] <= self._line.minute(latest_at)
        )

    def _crew_ends(self, crew: str) -> dict[int, int]:
        if crew not in self._ends:
            self._ends[crew] = self._by_day(self._line.windows(self._calendars[crew]))
        return self._ends[crew]

    def _by_day(self, spans: Sequence[Span]) -> dict[int, int]:
        """When the last span that begins on a day ends, by the opening of the day."""
        return {self._opens[max(0, bisect_right(self._opens, span.start) - 1)]: span.end for span in spans}


def _cheapest(
    exposure: Exposure, judgement: StartJudgement, hazards: Mapping[Hazard, float], measures: Sequence[Measure]
) -> Preparing | None:
    """The cheapest set that saves something, or that lets a forbidden start be taken."""

    def suffices(taken: tuple[Measure, ...]) -> bool:
        return not judgement.forbidden or allows(exposure, judgement, hazards, taken)

    found = cheapest_set(measures, hazards, exposure.loss_dollars, suffices=suffices)
    if found is None or not found[0]:
        return None
    taken, left = found
    return Preparing(
        title=Prepared.joined(one.title for one in taken),
        dollars=sum(one.dollars for one in taken),
        loss_dollars=left,
        minutes=ceil(sum(one.hours for one in taken) * 60 / GRID_MINUTES) * GRID_MINUTES,
    )
