"""A pool's days ahead as a film: a picture for every change, a thin stretch of sky where nothing happens here."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import Literal

from jobs.domain.design import PoolDesign
from jobs.domain.facts import HoldFacts, JobFacts, TaskFacts
from planner.dayplans.domain.day import part_of_clock, part_of_day
from planner.dayplans.presenters.words import STATE_WORDS
from planner.web.presenters.long_section import Built, ground_m, sheet_of
from planner.web.presenters.pools.frames import WORK_WIDTH, Cure, Easel, Picture, Work
from planner.web.presenters.pools.half_days import half_days
from planner.web.presenters.pools.lines import HoldLine, hold_lines
from planner.web.presenters.pools.links import Links
from planner.web.presenters.pools.places import place_of
from planner.web.presenters.pools.reader import Reader
from planner.web.presenters.pools.shape import built_of, shape_of
from planner.web.presenters.pools.waiting import waits_for
from planner.web.presenters.pools.work import cures_until, hold_at, holds_of, strips_of
from planner.web.presenters.skies.half_sky import HalfDay, SkyLine, lines_of
from planner.web.presenters.strips import GateRow, StripRow, gate_rows, strip_rows
from planner.web.presenters.trades import LegendEntry, hatch_of, legend

DAY = timedelta(days=1)
LEAST_DAYS, MOST_DAYS = 14, 120
# Pictures of work shown at once, and how many more are not worth folding.
SHOWN, FEW = 12, 3


@dataclass(frozen=True, slots=True, kw_only=True)
class FrameTask:
    """A task under its picture; ``goes_on`` where it began in an earlier one."""

    title: str
    hatch: str
    where: str
    when: str
    crew: str
    state: str
    state_word: str
    waits: str
    goes_on: bool
    strong: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """One picture of the film; ``hold`` stands under a gate, ``tasks`` under a picture of work."""

    kind: Literal["work", "still", "gate"]
    day: str
    now: bool
    picture: Picture
    tasks: tuple[FrameTask, ...] = ()
    hold: HoldLine | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Film:
    """Context ``film`` of ``planner/drawings/film.html``; its rows are those of ``strips_table.html``.

    ``later`` are frames that stand folded, ``later_works`` the pictures of work among them.
    """

    name: str
    frames: tuple[Frame, ...]
    later: tuple[Frame, ...]
    later_works: int
    later_from: str
    legend: tuple[LegendEntry, ...]
    rows: tuple[StripRow, ...]
    gate_rows: tuple[GateRow, ...]
    sky_rows: tuple[SkyLine, ...]


def film_of(reader: Reader, job: JobFacts, design: PoolDesign | None, level_m: float | None, links: Links) -> Film:
    """Everything still to come of a pool, from today to its last task and its promise.

    Parameters
    ----------
    level_m : float, optional
        Water level the site read last [m].
    """
    return _Roll(reader, job, design, level_m, links).film()


class _Roll:
    def __init__(
        self, reader: Reader, job: JobFacts, design: PoolDesign | None, level_m: float | None, links: Links
    ) -> None:
        self._reader, self._job, self._design, self._level_m, self._links = reader, job, design, level_m, links
        shape = shape_of(design) if design is not None else None
        self._easel = Easel(sheet_of(shape, WORK_WIDTH / ground_m(shape)) if shape is not None else None)
        self._days = days_to_draw(reader, job, least=LEAST_DAYS, most=MOST_DAYS)
        self._halves = half_days(
            reader.world.skies.get(job.site.id),
            reader.world.climate,
            zone=reader.zone,
            from_on=reader.today,
            days=self._days,
        )
        self._cures = tuple(self._curing())
        self._holds = {line.key: line for line in hold_lines(reader, job)}
        visits = {hold.visit for hold in job.holds}
        self._open = [task for task in job.tasks if task.is_open and task.id in reader.stays and task.id not in visits]

    def film(self) -> Film:
        reader, job = self._reader, self._job
        strips = [one for one in strips_of(reader, job, self._where) if one.state != "finished"]
        frames = tuple(self._frames())
        shown = _shown(frames)
        later = [frame for frame in frames[shown:] if frame.kind == "work"]
        return Film(
            name=job.name,
            frames=frames[:shown],
            later=frames[shown:],
            later_works=len(later),
            later_from=later[0].day if later else "",
            legend=legend((task.trade, reader.trade_title(task.trade)) for task in self._open),
            rows=strip_rows(strips, reader.zone, reader.gettext),
            gate_rows=gate_rows(holds_of(reader, job), reader.zone, reader.gettext),
            sky_rows=tuple(lines_of(self._halves, reader.zone, reader.gettext)),
        )

    def _frames(self) -> Iterator[Frame]:
        """Pictures, gates and stretches of sky in order of time."""
        today, last_on = self._reader.today, self._reader.today + (self._days - 1) * DAY
        shown: set[int] = set()
        on = today
        while on <= last_on:
            active = self._active(on)
            gates = self._gates(on)
            if not active and not gates:
                until_on = self._quiet_until(on, last_on)
                yield self._still(on, until_on)
                on = until_on + DAY
                continue
            until_on = on
            while active and not gates and until_on < last_on and self._same(active, until_on + DAY):
                until_on += DAY
            begins = min((self._begins(task, on) for task in active), default=None)
            ids = {task.id for task in active}
            before = [hold for hold, at in gates if begins is None or at <= begins or ids & set(hold.blocks)]
            yield from (self._gate(hold, on) for hold in before)
            if active:
                yield self._work(active, on, until_on, shown)
            yield from (self._gate(hold, on) for hold, _ in gates if hold not in before)
            shown |= {task.id for task in active}
            on = until_on + DAY

    def _active(self, on: date) -> list[TaskFacts]:
        """Tasks somebody works on at a date; what nobody reported yet stands in today's picture."""
        found = [task for task in self._open if self._works(task, on)]
        return sorted(found, key=lambda task: (self._reader.stays[task.id].start_at, task.id))

    def _works(self, task: TaskFacts, on: date) -> bool:
        reader, stay = self._reader, self._reader.stays[task.id]
        if on == reader.today and stay.end_at <= reader.world.as_of:
            return True
        crew = reader.crews.get(stay.crews[0]) if stay.crews else None
        if crew is None:
            return part_of_clock(stay, on, reader.world.branch.zone) is not None
        return part_of_day(reader.world, stay, on, task.site, crew) is not None

    def _begins(self, task: TaskFacts, on: date) -> datetime:
        return max(self._reader.stays[task.id].start_at, self._reader.opening(on))

    def _gates(self, on: date) -> list[tuple[HoldFacts, datetime]]:
        reader = self._reader
        found = [
            (hold, at)
            for hold in self._job.holds
            if hold.result != "passed" and (at := hold_at(reader, hold)) is not None
        ]
        dated = [(hold, at) for hold, at in found if max(reader.date_of(at), reader.today) == on]
        return sorted(dated, key=lambda one: (one[1], one[0].key))

    def _quiet_until(self, on: date, last_on: date) -> date:
        until_on = on
        while until_on < last_on and not self._active(until_on + DAY) and not self._gates(until_on + DAY):
            until_on += DAY
        return until_on

    def _same(self, active: list[TaskFacts], on: date) -> bool:
        return not self._gates(on) and self._active(on) == active

    def _work(self, active: list[TaskFacts], on: date, until_on: date, shown: set[int]) -> Frame:
        reader = self._reader
        before, after = self._built(reader.opening(on)), self._built(reader.closing(until_on) + DAY / 4)
        works = [
            Work(
                place=place_of(task),
                hatch=hatch_of(task.trade),
                from_m=before.water_level_m if before is not None else None,
                until_m=after.water_level_m if after is not None else None,
            )
            for task in active
        ]
        tasks = tuple(self._task(task, on, task.id in shown) for task in active)
        day = self._span(on, until_on)
        said = f"{day}: {', '.join(task.title for task in tasks)}"
        picture = self._easel.work(after, works, self._sky(on, until_on), self._cures, said)
        return Frame(kind="work", day=day, now=on == reader.today, picture=picture, tasks=tasks)

    def _still(self, on: date, until_on: date) -> Frame:
        gettext = self._reader.gettext
        days = (until_on - on).days + 1
        said = gettext("1 day") if days == 1 else gettext("{days} days").format(days=days)
        picture = self._easel.still(self._sky(on, until_on), self._cures, said)
        return Frame(kind="still", day=said, now=on == self._reader.today, picture=picture)

    def _gate(self, hold: HoldFacts, on: date) -> Frame:
        line = self._holds[hold.key]
        picture = self._easel.gate(
            passed=False,
            failed=hold.result == "failed",
            halves=self._sky(on, on),
            cures=self._cures,
            said=f"{line.title}: {line.word}",
        )
        return Frame(kind="gate", day=self._span(on, on), now=False, picture=picture, hold=line)

    def _task(self, task: TaskFacts, on: date, goes_on: bool) -> FrameTask:
        reader = self._reader
        stay, state = reader.stays[task.id], reader.state(self._job, task)
        cured_at = cures_until(reader, self._job, task, stay.end_at)
        return FrameTask(
            title=task.title,
            hatch=hatch_of(task.trade),
            where=self._where(task),
            when=reader.time(stay.start_at) if reader.date_of(stay.start_at) == on else "",
            crew=", ".join(reader.crew_names(stay)),
            state=state,
            state_word=reader.gettext(STATE_WORDS[state]),
            waits=waits_for(reader, self._job, task) if on == reader.today else "",
            goes_on=goes_on,
            strong=reader.when(cured_at) if cured_at is not None else "",
        )

    def _where(self, task: TaskFacts) -> str:
        return self._links.task(self._job.id, task.key)

    def _built(self, moment: datetime) -> Built | None:
        """What stands once everything planned to end by a moment is done."""
        if self._design is None:
            return None
        tasks = tuple(
            replace(task, finished_at=stay.end_at)
            if task.is_open and (stay := self._reader.stays.get(task.id)) is not None and stay.end_at <= moment
            else task
            for task in self._job.tasks
        )
        built = built_of(replace(self._job, tasks=tasks), self._design)
        read = self._level_m
        if read is not None and read > (built.water_level_m or 0.0):
            return replace(built, water_level_m=read)
        return built

    def _curing(self) -> Iterator[Cure]:
        for task in self._job.tasks:
            ends_at = self._reader.until_at(task)
            if ends_at is None or task.dropped:
                continue
            cured_at = cures_until(self._reader, self._job, task, ends_at)
            if cured_at is not None and cured_at > ends_at:
                yield Cure(from_at=ends_at, until_at=cured_at)

    def _sky(self, on: date, until_on: date) -> Sequence[HalfDay]:
        first, days = 1 + 2 * (on - self._reader.today).days, (until_on - on).days + 1
        return self._halves[first : first + 2 * days]

    def _span(self, on: date, until_on: date) -> str:
        reader = self._reader
        if on == until_on:
            return reader.day(on).capitalize() if on == reader.today else reader.day(on)
        said = reader.gettext("{first} to {last}")
        return said.format(first=reader.day(on), last=reader.date_words(until_on))


def _shown(frames: Sequence[Frame]) -> int:
    """How many frames stand unfolded: up to the last picture shown at once; all of them where few more are left."""
    works = [at for at, frame in enumerate(frames) if frame.kind == "work"]
    return len(frames) if len(works) <= SHOWN + FEW else works[SHOWN - 1] + 1


def days_to_draw(reader: Reader, job: JobFacts, *, least: int, most: int) -> int:
    """Days from today to the end of the last task, or to the promise."""
    ends = [end for task in job.tasks if not task.dropped and (end := reader.until_at(task)) is not None]
    last_on = max([reader.today, *map(reader.date_of, ends)] + ([job.promised_on] if job.promised_on else []))
    return min(max((last_on - reader.today).days + 1, least), most)
