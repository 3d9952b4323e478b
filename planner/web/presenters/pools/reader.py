"""One branch under the plan in force, looked up by every page about pools: stays, states, crews, words for moments."""

from collections.abc import Mapping, Sequence
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from crews.domain.facts import BookingFacts, CrewFacts, SupplierFacts
from crews.domain.working_time import local_moment
from jobs.domain.facts import JobFacts, TaskFacts
from jobs.domain.vocabulary import Vocabulary
from jobs.methods.loader import load_vocabulary
from planner.dayplans.domain.calling import desk_of
from planner.dayplans.domain.day import Day, Piece, PlanHead, part_of_clock, part_of_day, window_of
from planner.dayplans.domain.gates.bookings import booking_gates
from planner.dayplans.domain.gates.every import gates_of
from planner.dayplans.domain.gates.holds import hold_gates
from planner.dayplans.domain.gates.links import link_gates
from planner.dayplans.domain.gates.safety import safety_gates
from planner.dayplans.domain.gates.sky import judged, sky_gate
from planner.dayplans.facts import Gate
from planner.dayplans.presenters.measures import Gettext, clock
from planner.plans.domain.binding import Gatekeeper
from planner.plans.domain.states import TaskState, state_of, work_before_is_done
from planner.plans.domain.waits import Calendars, Waits
from planner.plans.domain.world import Judges, Stay, World
from planner.web.presenters.day_scale import short_day

NO_BREAK = "\u00a0"


class Reader:
    """A world with its stays; keeps what it has looked up, so use one for a whole page."""

    def __init__(self, world: World, stays: Sequence[Stay], gettext: Gettext = str) -> None:
        self.world = world
        self.gettext = gettext
        self.zone = ZoneInfo(world.branch.zone)
        self.stays: Mapping[int, Stay] = {stay.task: stay for stay in stays}
        self.crews: Mapping[str, CrewFacts] = {crew.key: crew for crew in world.crews.crews}
        self.tasks: Mapping[int, tuple[JobFacts, TaskFacts]] = {
            task.id: (job, task) for job in world.jobs for task in job.tasks
        }
        self.vocabulary: Vocabulary = load_vocabulary()
        self.judges = Judges(world)
        self.calendars = Calendars(crews=world.crews)
        self.desk = desk_of(world, self.vocabulary)
        self.waits = Waits(world)
        self.gatekeeper = Gatekeeper(world, stays, judges=self.judges, waits=self.waits)
        self._states: dict[int, TaskState] = {}
        self._gates: dict[int, tuple[Gate, ...]] = {}

    @property
    def today(self) -> date:
        """Local date of now."""
        return self.date_of(self.world.as_of)

    @property
    def today_from(self) -> datetime:
        """Local midnight of today."""
        return local_moment(self.world.branch.zone, self.today, time())

    def date_of(self, moment: datetime) -> date:
        """Local date of a moment."""
        return moment.astimezone(self.zone).date()

    def opening(self, on: date) -> datetime:
        """When the branch's planning day of a date opens, worked or not."""
        return local_moment(self.world.branch.zone, on, self.world.branch.opens)

    def closing(self, on: date) -> datetime:
        """When the branch's planning day of a date closes, worked or not."""
        return local_moment(self.world.branch.zone, on, self.world.branch.closes)

    def when(self, moment: datetime) -> str:
        """A moment on the branch's clock: ``today 7:00 am``, else with its day."""
        on = self.date_of(moment)
        if on == self.today:
            return self.gettext("today {time}").format(time=self.time(moment))
        return f"{self.day(on)} {self.time(moment)}"

    def until(self, moment: datetime) -> str:
        """The end of a span: midnight is the end of the day before it, which nobody takes for the next evening."""
        local = moment.astimezone(self.zone)
        if local.time() != time():
            return self.when(moment)
        return self.gettext("the end of {day}").format(day=self.day(local.date() - timedelta(days=1)))

    def time(self, moment: datetime) -> str:
        """The clock time alone, in one piece."""
        return clock(moment, self.zone, self.gettext).replace(" ", NO_BREAK)

    def by(self, moment: datetime) -> str:
        """A deadline: ``by 3:00 pm today``, or with its day."""
        on = self.date_of(moment)
        if on == self.today:
            return self.gettext("by {time} today").format(time=self.time(moment))
        return self.gettext("by {time} {day}").format(time=self.time(moment), day=self.day(on))

    def day(self, on: date) -> str:
        """A date, short and in one piece: ``today``, else ``Tue Jun 16``."""
        return self.gettext("today") if on == self.today else self.date_words(on)

    def date_words(self, on: date) -> str:
        """A date, short and in one piece."""
        return short_day(on, self.gettext).replace(" ", NO_BREAK)

    def crew_names(self, stay: Stay | None) -> tuple[str, ...]:
        """Names of the crews of a stay, in the order of the plan."""
        return tuple(self.crews[key].name if key in self.crews else key for key in (stay.crews if stay else ()))

    def trade_title(self, trade: str) -> str:
        """A trade as people say it."""
        known = self.vocabulary.trades.get(trade)
        return known.title if known is not None else trade.replace("_", " ").capitalize()

    def booking_title(self, kind: str) -> str:
        """A kind of booking as people say it."""
        known = self.vocabulary.bookings.get(kind)
        return known.title if known is not None else kind.replace("_", " ").capitalize()

    def supplier(self, kind: str) -> SupplierFacts | None:
        """Who is called for a kind of booking or visit."""
        return next((one for one in self.world.crews.suppliers if one.kind == kind), None)

    def bookings_of(self, task: TaskFacts) -> tuple[BookingFacts, ...]:
        """Live bookings of a task."""
        return tuple(one for one in self.world.crews.bookings if one.task == task.id)

    def from_at(self, task: TaskFacts) -> datetime | None:
        """When a task began, else when it is planned to; ``None``: neither."""
        stay = self.stays.get(task.id)
        return task.started_at or (stay.start_at if stay is not None else task.finished_at)

    def until_at(self, task: TaskFacts) -> datetime | None:
        """When a task ended, else when it is planned to; ``None``: neither."""
        stay = self.stays.get(task.id)
        return task.finished_at or (stay.end_at if stay is not None else None)

    def state(self, job: JobFacts, task: TaskFacts) -> TaskState:
        """The state of a task; its gates are looked at only where everything before it is done."""
        if task.id not in self._states:
            done = work_before_is_done(job)
            for one in job.tasks:
                stay = self.stays.get(one.id)
                opens = done[one.id] and one.is_open and one.started_at is None and self._gates_open(job, one)
                self._states[one.id] = state_of(one, stay, gates_open=opens, as_of=self.world.as_of)
        return self._states[task.id]

    def gates(self, job: JobFacts, task: TaskFacts) -> tuple[Gate, ...]:
        """Every gate of a task at its planned start, as its day plan shows them; empty where it is not planned."""
        stay = self.stays.get(task.id)
        if stay is None:
            return ()
        on = self.date_of(stay.start_at)
        crew = self.crews.get(stay.crews[0]) if stay.crews else None
        day = self.day_of(crew, on)
        if crew is not None:
            part = part_of_day(self.world, stay, on, task.site, crew)
        else:
            part = part_of_clock(stay, on, self.world.branch.zone)
        start_at, end_at = part or (stay.start_at, stay.end_at)
        piece = Piece(
            job=job,
            task=task,
            crews=stay.crews,
            start_at=start_at,
            end_at=end_at,
            stay_start_at=stay.start_at,
            stay_work_at=stay.work_at,
            stay_end_at=stay.end_at,
        )
        if crew is not None:
            return gates_of(day, piece, judged(day, piece))
        # Nobody of ours comes: no head count, no gear, no daylight to ask for.
        sky = sky_gate(day, piece, judged(day, piece))
        return (
            *safety_gates(day, piece),
            *hold_gates(day, piece),
            *link_gates(day, piece),
            *booking_gates(day, piece),
            *((sky,) if sky is not None else ()),
        )

    def shut(self, job: JobFacts, task: TaskFacts) -> tuple[Gate, ...]:
        """Gates that are not open of a task before which everything is done; of others none is asked for."""
        self.state(job, task)
        return tuple(gate for gate in self._gates.get(task.id, ()) if not gate.state.lets_start)

    def _gates_open(self, job: JobFacts, task: TaskFacts) -> bool:
        self._gates[task.id] = self.gates(job, task)
        return task.id in self.stays and all(gate.state.lets_start for gate in self._gates[task.id])

    def day_of(self, crew: CrewFacts | None, on: date) -> Day:
        """What the day plans ask of a date; of any crew where none is meant."""
        someone = crew or next(iter(self.crews.values()))
        return Day(
            world=self.world,
            plan=PlanHead(number=self.world.branch.plan_number, made_at=self.world.as_of),
            crew=someone,
            on=on,
            zone=self.zone,
            window=window_of(self.world, someone, self.stays.values(), on),
            stays=self.stays,
            tasks=self.tasks,
            vocabulary=self.vocabulary,
            judges=self.judges,
            calendars=self.calendars,
            waits=self.waits,
        )
