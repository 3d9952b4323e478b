"""Which gate decides when a task may start: of work before, holds, bookings, crew, gear and sky, the last to open."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Literal

from crews.domain.facts import SupplierFacts
from crews.domain.slots import opens_on
from crews.domain.working_time import local_moment
from jobs.domain.facts import GearSpanFacts, JobFacts, TaskFacts
from jobs.domain.waiting import PlainWait
from planner.forecast.domain.judgement import StartJudgement
from planner.plans.domain.assemble import WHOLE_DAY_GEAR, bridged_links
from planner.plans.domain.gates import DELIVERIES
from planner.plans.domain.waits import Calendars, Waits
from planner.plans.domain.weather import end_with
from planner.plans.domain.world import Judges, Stay, World

GateKind = Literal["now", "agreed", "link", "hold", "booking", "notice", "visits", "crew", "gear", "sky", "plan"]

# Starts the sky is asked for: every two hours, over as many working days as a forecast reaches.
LOOK_EVERY = timedelta(hours=2)
MOST_LOOKS = 60
# A start this much later than everything allows is a choice of the plan, not of a gate.
SLACK = timedelta(hours=1)
DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class BindingGate:
    """The gate that opens last.

    Attributes
    ----------
    kind : what sort of gate; ``plan`` where nothing keeps the work and the plan itself puts it later.
    opens_at : when it opens.
    what : the task, hold, booking, crew or gear it is about.
    where : the pool, where that is another one.
    known : it opened, or what opens it was reported or confirmed; else the moment is the plan's.
    why : the reason, as the build method, the office or the sky's judge put it.
    failed : a hold that was failed.
    by : the open task (id) it waits for, 0 where it waits for none.
    """

    kind: GateKind
    opens_at: datetime
    what: str = ""
    where: str = ""
    known: bool = False
    why: str = ""
    failed: bool = False
    by: int = 0


class Gatekeeper:
    """Answers for the tasks of one world under one set of stays."""

    def __init__(
        self, world: World, stays: Sequence[Stay], *, judges: Judges | None = None, waits: Waits | None = None
    ) -> None:
        self._world = world
        self._stays: Mapping[int, Stay] = {stay.task: stay for stay in stays}
        self._places = {task.id: (job, task) for job in world.jobs for task in job.tasks}
        self._calendars = Calendars(crews=world.crews)
        self._judges = judges or Judges(world)
        self._waits = waits or Waits(world)
        self._crews = {crew.key: crew for crew in world.crews.crews}

    def binding(self, job: JobFacts, task: TaskFacts) -> BindingGate | None:
        """The gate that binds an open task that has not started; ``None`` where none can."""
        if not task.is_open or task.started_at is not None:
            return None
        last = max(self._ground(job, task), key=lambda gate: gate.opens_at)
        stay = self._stays.get(task.id)
        if stay is None:
            return last
        free_at = self._next_start(task, stay, last.opens_at)
        if stay.start_at - free_at <= SLACK:
            return last
        later = self._visits(task, stay, free_at) or self._sky(task, stay, free_at)
        return later or BindingGate(kind="plan", opens_at=free_at)

    def every(self, job: JobFacts, task: TaskFacts) -> tuple[BindingGate, ...]:
        """Every gate of an open task that has not started, in the order they open; the binding one comes last."""
        last = self.binding(job, task)
        if last is None:
            return ()
        latest: dict[tuple[str, str, str], BindingGate] = {}
        for gate in sorted(self._ground(job, task), key=lambda gate: gate.opens_at):
            # Of a crew or a kind of gear only the last stay elsewhere matters, and none that is over.
            shared = gate.kind in ("crew", "gear")
            if not shared or gate.opens_at > self._world.as_of:
                latest[gate.kind, gate.what, "" if shared else gate.why] = gate
        others = sorted((gate for gate in latest.values() if gate != last), key=lambda gate: gate.opens_at)
        return (*others, last)

    def chain(self, job: JobFacts, task: TaskFacts) -> tuple[tuple[JobFacts, TaskFacts, BindingGate], ...]:
        """The binding gates from a task back to now: each with the task it binds, the next of what that waits for."""
        found: list[tuple[JobFacts, TaskFacts, BindingGate]] = []
        seen: set[int] = set()
        while task.id not in seen:
            seen.add(task.id)
            gate = self.binding(job, task)
            if gate is None:
                break
            found.append((job, task, gate))
            by = gate.by
            if gate.kind == "plan":
                # The plan's own choice hides what would bind next.
                by = max(self._ground(job, task), key=lambda one: one.opens_at).by
            if by not in self._places:
                break
            job, task = self._places[by]
        return tuple(found)

    def _ground(self, job: JobFacts, task: TaskFacts) -> Iterator[BindingGate]:
        yield BindingGate(kind="now", opens_at=self._world.as_of, known=True)
        yield from self._agreed(job, task)
        yield from self._before(job, task)
        yield from self._holds(job, task)
        yield from self._bookings(task)
        yield from self._crew(task)
        yield from self._gear(job, task)

    def _agreed(self, job: JobFacts, task: TaskFacts) -> Iterator[BindingGate]:
        if job.earliest_on is not None:
            opens_at = self._opening(job.earliest_on)
            yield BindingGate(kind="agreed", opens_at=opens_at, what="owner", known=True)
        if task.earliest_at is not None:
            yield BindingGate(
                kind="agreed", opens_at=task.earliest_at, what="office", known=True, why=task.earliest_why
            )

    def _before(self, job: JobFacts, task: TaskFacts) -> Iterator[BindingGate]:
        visits = {hold.visit for hold in job.holds if task.id in hold.blocks}
        by_id = {one.id: one for one in job.tasks}
        for link in bridged_links(job):
            if link.after != task.id:
                continue
            before = by_id[link.before]
            ended_at = self._end_of(before)
            if ended_at is None or (before.id in visits and before.finished_at is None):
                continue
            waiting = self._waits.of(job, link)
            yield BindingGate(
                kind="link",
                opens_at=waiting.ready_at(ended_at),
                what=before.title,
                known=before.finished_at is not None,
                by=0 if before.finished_at is not None else before.id,
                why="" if isinstance(waiting, PlainWait) else waiting.because(ended_at),
            )

    def _holds(self, job: JobFacts, task: TaskFacts) -> Iterator[BindingGate]:
        for hold in job.holds:
            if task.id not in hold.blocks or hold.result == "passed":
                continue
            visit, stay = self._stays.get(hold.visit), self._stays.get(task.id)
            # Without a planned visit nobody knows when it opens: no sooner than the plan counts on it.
            opens_at = visit.end_at if visit is not None else (stay.start_at if stay is not None else self._world.as_of)
            yield BindingGate(
                kind="hold", opens_at=opens_at, what=hold.title, failed=hold.result == "failed", by=hold.visit
            )

    def _bookings(self, task: TaskFacts) -> Iterator[BindingGate]:
        for kind in task.bookings:
            supplier = self._supplier(kind) or (self._supplier(task.authority) if task.kind == "visit" else None)
            if supplier is None:
                continue
            live = next((one for one in self._world.crews.bookings if (one.task, one.kind) == (task.id, kind)), None)
            opening = opens_on(
                supplier,
                live,
                today=supplier.calendar.date_of(self._world.as_of),
                fixed=task.kind == "visit",
                goods=kind.endswith(DELIVERIES),
            )
            if opening.why in ("comes", "delivers", "slot"):
                known = live is not None and live.state == "confirmed"
                yield BindingGate(kind="booking", opens_at=self._opening(opening.on), what=kind, known=known)
            elif opening.why != "here" and supplier.notice_working_days:
                yield BindingGate(kind="notice", opens_at=self._opening(opening.on), what=kind, known=True)

    def _crew(self, task: TaskFacts) -> Iterator[BindingGate]:
        stay = self._stays.get(task.id)
        if stay is None:
            return
        for key in stay.crews:
            crew = self._crews.get(key)
            earlier = [
                other
                for other in self._stays.values()
                if key in other.crews and other.task != task.id and other.end_at <= stay.start_at
            ]
            last = max(earlier, key=lambda other: other.end_at, default=None)
            if last is None or crew is None or last.task not in self._places:
                continue
            job, before = self._places[last.task]
            yield BindingGate(
                kind="crew",
                opens_at=last.end_at,
                what=crew.name,
                where=job.name or before.site.name,
                why=before.title,
                by=last.task,
            )

    def _gear(self, job: JobFacts, task: TaskFacts) -> Iterator[BindingGate]:
        """Counted gear that was out until somebody else gave it back."""
        stay = self._stays.get(task.id)
        counted = {gear.kind: gear for gear in self._world.crews.gear}
        for span in job.gear_spans:
            gear = counted.get(span.gear)
            if gear is None or span.from_task != task.id or stay is None:
                continue
            held = [one for one in self._held(span) if one[0] < stay.start_at]
            for _, given_back_at, place, by in held:
                if given_back_at > stay.start_at:
                    continue
                just_before = given_back_at - timedelta(minutes=1)
                out = sum(1 for begins, ends, _, _ in held if begins <= just_before < ends)
                if gear.count - out < span.amount:
                    yield BindingGate(kind="gear", opens_at=given_back_at, what=gear.name, where=place, by=by)

    def _held(self, span: GearSpanFacts) -> Iterator[tuple[datetime, datetime, str, int]]:
        """When every other piece of a kind of gear goes out and comes back, where it is, and the task it waits for."""
        for job in self._world.jobs:
            by_id = {task.id: task for task in job.tasks}
            for other in job.gear_spans:
                if other.gear != span.gear or other == span:
                    continue
                first, last = by_id[other.from_task], by_id[other.until_task]
                began_at, ends_at = self._start_of(first), self._end_of(last)
                if began_at is None or ends_at is None:
                    continue
                if other.gear in WHOLE_DAY_GEAR:
                    on = self._world.crews.branch_calendar.date_of(ends_at)
                    ends_at = local_moment(self._world.branch.zone, on + DAY, time())
                for _ in range(other.amount):
                    yield began_at, ends_at, job.name or first.site.name, last.id

    def _visits(self, task: TaskFacts, stay: Stay, free_at: datetime) -> BindingGate | None:
        """An authority that makes no more visits on the days before."""
        supplier = self._supplier(task.authority)
        if task.kind != "visit" or supplier is None or supplier.daily_limit is None:
            return None
        calendar, on = supplier.calendar, supplier.calendar.date_of(free_at)
        while on < calendar.date_of(stay.start_at):
            if self._visits_on(supplier, task, on) < supplier.daily_limit:
                return None
            on = calendar.next_working_day(on)
        return BindingGate(kind="visits", opens_at=calendar.opening(on), what=supplier.name)

    def _visits_on(self, supplier: SupplierFacts, task: TaskFacts, on: date) -> int:
        return sum(
            other.task != task.id
            and other.task in self._places
            and self._places[other.task][1].authority == supplier.kind
            and supplier.calendar.date_of(other.start_at) == on
            for other in self._stays.values()
        )

    def _sky(self, task: TaskFacts, stay: Stay, free_at: datetime) -> BindingGate | None:
        """The sky as the gate: it forbids the first free start, and the start it first allows is the answer."""
        exposure = self._world.exposures[task.exposure]
        if not exposure.exposed:
            return None
        judge = self._judges.at(task.site.id)
        first: StartJudgement | None = None
        opens_at = stay.start_at
        for start_at in self._looks(task, stay, free_at):
            end_at = end_with(self._world, task, start_at, stay.crews)
            found = judge.start(
                exposure, start_at=start_at, end_at=end_at, soil=task.site.soil, admixture=task.admixture
            )
            if not found.forbidden:
                opens_at = start_at
                break
            first = first or found
        if first is None:
            return None
        return BindingGate(kind="sky", opens_at=opens_at, known=True, why="".join(first.reasons[:1]))

    def _looks(self, task: TaskFacts, stay: Stay, free_at: datetime) -> Iterator[datetime]:
        """Moments before the planned start at which the work could begin."""
        at = free_at
        for _ in range(MOST_LOOKS):
            if at >= stay.start_at:
                return
            yield at
            at = self._next_start(task, stay, at + (DAY / 2 if task.opening_only else LOOK_EVERY))

    def _next_start(self, task: TaskFacts, stay: Stay, from_at: datetime) -> datetime:
        """The first moment from ``from_at`` on at which whoever does the task is at work."""
        crew = self._crews.get(stay.crews[0]) if stay.crews else None
        calendar = crew.calendar if crew is not None else self._calendars.of(task.authority)
        at = calendar.next_open(from_at)
        if task.opening_only or task.kind == "visit":
            opens_at = calendar.opening(calendar.date_of(at))
            at = opens_at if opens_at >= from_at else calendar.opening(calendar.next_working_day(calendar.date_of(at)))
        return at

    def _end_of(self, task: TaskFacts) -> datetime | None:
        stay = self._stays.get(task.id)
        return task.finished_at or (stay.end_at if stay is not None else None)

    def _start_of(self, task: TaskFacts) -> datetime | None:
        stay = self._stays.get(task.id)
        return task.started_at or (stay.start_at if stay is not None else None)

    def _supplier(self, kind: str) -> SupplierFacts | None:
        return next((one for one in self._world.crews.suppliers if one.kind == kind), None)

    def _opening(self, on: date) -> datetime:
        return local_moment(self._world.branch.zone, on, self._world.branch.opens)
