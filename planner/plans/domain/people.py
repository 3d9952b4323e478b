"""Who could do a task, what is fixed already, and what people were told."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from crews.domain.daylight import daylight_on
from crews.domain.facts import BookingFacts, CrewFacts, CrewsFacts
from crews.domain.travel import Place, Stop, TravelRules, trip_between
from crews.domain.working_time import WorkCalendar, local_moment
from jobs.domain.derive import stretched_minutes
from jobs.domain.facts import JobFacts, SiteFacts, TaskFacts
from planner.plans.domain.lasting.paid_hours import with_paid_hours
from planner.plans.domain.timeline import DAY, GRID_MINUTES, Timeline
from planner.plans.domain.world import Stay, World
from planner.solver.problem import Calendar, CrewOption, Drive, Need, Pin, Span, Told

CENTS_PER_KM = 60
# A crew larger than the method lists does not work faster: the small basins crowd.
PACE_CAP = 1.0
TOLD_DAYS = 10
# Common practice, no source: what it costs to tell people again that their day has moved.
MOVE_DOLLARS = 60
MOVE_DAY_DOLLARS = 20
CREW_DOLLARS = 60
# A slot asked for again: a call, and it may be taken. Common practice, no source.
REBOOK_DOLLARS = 40
# What can still be moved; goods that have come stay, whatever the day.
MOVABLE = frozenset({"asked", "confirmed"})
LEAST_LEFT_MINUTES = 15
# Exposed work that lamps are brought for.
OR_LIGHTS = "day or lights"


def with_crew_bookings(job: JobFacts, crews: CrewsFacts) -> JobFacts:
    """A job whose work by outside crews names the booking they come by, where no other crew could do it."""
    kinds: dict[str, str] = {}
    for trade in {task.trade for task in job.tasks if task.kind == "work"}:
        able = [crew for crew in crews.crews if trade in crew.trades]
        if able and all(crew.booked_as for crew in able):
            kinds[trade] = able[0].booked_as
    if not kinds:
        return job
    return replace(
        job,
        tasks=tuple(
            replace(task, bookings=(*task.bookings, kinds[task.trade]))
            if task.kind == "work" and task.trade in kinds
            else task
            for task in job.tasks
        ),
    )


class ShortDays:
    """Calendars of crews for work on days when fewer people come than usual, and for work into the evening.

    Below the least people of a task the day is no working day for it; with fewer than usual the day holds less
    work, by the share of people who come, and is cut short by that.
    """

    def __init__(self, line: Timeline) -> None:
        self._line = line
        self._made: dict[str, tuple[Span, ...]] = {}

    def calendar_of(self, crew: CrewFacts, task: TaskFacts) -> str:
        """Key of the calendar a crew keeps for a task; empty where it is the crew's own."""
        short = {
            on: count
            for on, count in crew.head_counts.items()
            if self._line.first_on <= on < self._line.until_on and count < crew.size
        }
        if not short and not task.evening:
            return ""
        key = f"crew:{crew.key}" + (f":least {task.crew_min}" if short else "") + (":evening" if task.evening else "")
        if key not in self._made:
            spans = tuple(self._spans(crew, task.crew_min, short))
            self._made[key] = tuple(self._into_evenings(crew, spans)) if task.evening else spans
        return key

    def _into_evenings(self, crew: CrewFacts, spans: Sequence[Span]) -> Iterator[Span]:
        """Into the evening of every day but those on which the crew leaves sooner than usual."""
        for span in spans:
            early = crew.calendar.ends_early_on(crew.calendar.date_of(self._line.at(span.start)))
            yield from (span,) if early else self._line.into_evenings((span,))

    def paid_calendar_of(self, crew: CrewFacts, task: TaskFacts) -> str:
        """Key of the calendar that also holds the hours a crew works for pay; empty where it has no price for any.

        Work into the evening has its hours already.
        """
        if task.evening or not (crew.saturday_hour_cents or (crew.overtime_hour_cents and crew.most_overtime_minutes)):
            return ""
        own = self.calendar_of(crew, task)
        key = f"{own or f'crew:{crew.key}'}:paid"
        if key not in self._made:
            usual = self._made[own] if own else self._line.windows(crew.calendar)
            self._made[key] = with_paid_hours(self._line, crew, usual)
        return key

    def calendars(self) -> tuple[Calendar, ...]:
        return tuple(Calendar(key=key, windows=spans) for key, spans in self._made.items())

    def _spans(self, crew: CrewFacts, least: int, short: Mapping[date, int]) -> Iterator[Span]:
        for span in self._line.windows(crew.calendar):
            count = short.get(crew.calendar.date_of(self._line.at(span.start)))
            if count is None:
                yield span
                continue
            minutes = (span.end - span.start) * count // crew.size // GRID_MINUTES * GRID_MINUTES
            if count >= max(least, 1) and minutes:
                yield Span(start=span.start, end=span.start + minutes)


def needs_of(world: World, task: TaskFacts, short: ShortDays) -> tuple[Need, ...]:
    """The crews that could do a task, with the minutes each would take and the drive there and back.

    Work that no single crew has the people for is done by two crews jointly, on days on which both come complete.
    """
    if task.kind != "work":
        return ()
    able = [crew for crew in world.crews.crews if task.trade in crew.trades]

    def option(crew: CrewFacts, minutes: int) -> CrewOption:
        return CrewOption(
            crew=crew.key,
            work_minutes=minutes,
            dollars=_drive_dollars(world, crew, task),
            calendar=short.calendar_of(crew, task),
            paid_calendar=short.paid_calendar_of(crew, task),
        )

    alone = tuple(option(crew, minutes) for crew in able if (minutes := _minutes(task, crew.size)) is not None)
    if alone or len(able) < 2:
        return (Need(trade=task.trade, options=alone),)
    joint = []
    for crew in able:
        partner = min(other.size for other in able if other is not crew)
        minutes = _minutes(task, crew.size + partner)
        if minutes is not None:
            joint.append(option(crew, minutes))
    need = Need(trade=task.trade, options=tuple(joint))
    return (need, need)


def _minutes(task: TaskFacts, people: int) -> int | None:
    listed = task.remaining_minutes if task.remaining_minutes is not None else task.work_minutes
    return stretched_minutes(listed, listed_crew=task.crew_size, present=people, minimum=task.crew_min, cap=PACE_CAP)


def minutes_with(task: TaskFacts, crews: Sequence[CrewFacts]) -> int | None:
    """Minutes crews would take together [min]; ``None`` where they are too few people."""
    return _minutes(task, sum(crew.size for crew in crews)) if task.kind == "work" else None


def _drive_dollars(world: World, crew: CrewFacts, task: TaskFacts) -> int:
    if not crew.own:
        return 0
    yard = Stop(
        key="yard",
        place=Place(latitude_deg=world.branch.yard_latitude, longitude_deg=world.branch.yard_longitude),
    )
    trip = trip_between(
        yard,
        site_stop(task.site),
        TravelRules(cents_per_km=CENTS_PER_KM),
        crew_cents_per_hour=crew.size * crew.hour_cents_per_person,
    )
    return (2 * trip.cents + 50) // 100


def site_stop(site: SiteFacts) -> Stop:
    """A site as a stop of a drive."""
    return Stop(key=f"site:{site.id}", place=Place(latitude_deg=site.latitude, longitude_deg=site.longitude))


def drives_between(sites: Iterable[SiteFacts]) -> tuple[Drive, ...]:
    """The drive between every two sites, as the day plans reckon it; the key of a site is its number."""
    places = list({site.id: site for site in sites}.values())
    drives = []
    for at, here in enumerate(places):
        for there in places[at + 1 :]:
            trip = trip_between(site_stop(here), site_stop(there), TravelRules(), crew_cents_per_hour=0)
            if trip.minutes:
                drives.append(Drive(sites=(str(here.id), str(there.id)), minutes=trip.minutes))
    return tuple(drives)


def visit_calendar(world: World, task: TaskFacts) -> str:
    """Calendar key of the authority that makes a visit; empty where the branch has none of that kind."""
    known = {supplier.kind for supplier in world.crews.suppliers}
    return f"visit:{task.authority}" if task.authority in known else ""


def site_spans(line: Timeline, site: SiteFacts, *, daylight: bool, evening: bool = False) -> tuple[Span, ...]:
    """Spans in which people may be on a site: its own hours, its closed days, and daylight where asked.

    Empty when nothing of the office's hours, or of the ``evening`` too, is cut on any day.
    """
    place = Place(latitude_deg=site.latitude, longitude_deg=site.longitude)
    spans: list[Span] = []
    cut = False
    for offset, day in enumerate(line.days):
        on = line.first_on + offset * DAY
        if any(closure.first_on <= on <= closure.last_on for closure in site.closures):
            cut = True
            continue
        opens, closes = day.opens, day.closes if evening else day.long_closes
        start, end = opens, closes
        if site.work_from is not None:
            start = max(start, line.minute_up(local_moment(line.zone, on, site.work_from)))
        if site.work_until is not None:
            end = min(end, line.minute_down(local_moment(line.zone, on, site.work_until)))
        if daylight:
            light = daylight_on(place, on, line.zone)
            start = max(start, line.minute_up(light.sunrise_at))
            end = min(end, line.minute_down(light.sunset_at))
        cut = cut or (start, end) != (opens, closes)
        if start < end:
            spans.append(Span(start=start, end=end))
    return tuple(spans) if cut else ()


def wants_daylight(world: World, task: TaskFacts) -> bool:
    """Whether the work is exposed and done by the light of day."""
    exposure = world.exposures[task.exposure]
    return exposure.exposed and exposure.light not in ("any", OR_LIGHTS)


def may_be_lit(world: World, task: TaskFacts) -> bool:
    """Whether the work is exposed and goes on after dark under lamps."""
    exposure = world.exposures[task.exposure]
    return exposure.exposed and exposure.light == OR_LIGHTS


def pin_of(world: World, task: TaskFacts, line: Timeline) -> Pin | None:
    """Where started or frozen work stays: with its crew, until what is left is done."""
    told = next((stay for stay in world.told if stay.task == task.id), None)
    if task.started_at is not None:
        crews = told.crews if told is not None else _first_crew(world, task)
        return Pin(
            start=max(line.minute_down(task.started_at), line.days[0].opens),
            end=_end_of_rest(world, task, crews, line),
            crews=crews,
            why="started",
        )
    if task.frozen and told is not None and told.start_at >= world.as_of:
        return Pin(
            start=line.minute_down(told.start_at), end=line.minute_up(told.end_at), crews=told.crews, why="frozen"
        )
    return None


def _first_crew(world: World, task: TaskFacts) -> tuple[str, ...]:
    able = [crew.key for crew in world.crews.crews if task.trade in crew.trades]
    return tuple(able[:1])


def _end_of_rest(world: World, task: TaskFacts, crews: tuple[str, ...], line: Timeline) -> int:
    assert task.started_at is not None
    by_key = {crew.key: crew for crew in world.crews.crews}
    calendar = by_key[crews[0]].calendar if crews else world.crews.branch_calendar
    by_clock = task.run in ("elapsed", "arrives")
    left = task.remaining_minutes
    if left is None:
        until_at = max(world.as_of, task.started_at)
        done = calendar.working_minutes_between(task.started_at, until_at)
        if by_clock:
            done = (until_at - task.started_at) // timedelta(minutes=1)
        left = task.work_minutes - done
    left = max(left, LEAST_LEFT_MINUTES)
    begins_at = max(task.started_at, world.as_of)
    if task.run == "elapsed":
        return line.minute_up(begins_at + timedelta(minutes=left))
    if task.run == "arrives":
        return line.minute_up(_arrives_at(begins_at, left, calendar))
    end = line.minute_up(calendar.add_working(begins_at, left))
    return max(end, line.days[0].opens + GRID_MINUTES)


def _arrives_at(begins_at: datetime, left: int, calendar: WorkCalendar) -> datetime:
    """When water that may run through the night is there: throttled to an opening, and never over a day off."""
    end_at = begins_at + timedelta(minutes=left)
    on = calendar.date_of(begins_at)
    window = calendar.window_on(on)
    if window is not None and end_at <= window[1]:
        return end_at
    if not calendar.is_working_day(on + DAY):
        return calendar.add_working(begins_at, left)
    return calendar.next_open(end_at)


def told_of(world: World, line: Timeline, keys: Mapping[int, str]) -> tuple[Told, ...]:
    """What people were told for the coming days, with the price of telling them otherwise.

    Beyond those days nobody was told, but what is booked for the planned day still costs its call and fee to move.
    """
    until = world.as_of + TOLD_DAYS * DAY
    fees = {supplier.id: supplier.fee_dollars for supplier in world.crews.suppliers}
    free = {supplier.id: supplier.free_cancel_hours for supplier in world.crews.suppliers}
    here = {crew.key for crew in world.crews.crews}
    told = []
    for stay in world.told:
        if stay.task not in keys or stay.start_at < world.as_of:
            continue
        near = stay.start_at < until
        booked = [
            booking
            for booking in world.crews.bookings
            if booking.task == stay.task and booking.state in MOVABLE and (near or _is_for(world, booking, stay))
        ]
        if not near and not booked:
            continue
        # A crew that has left cannot be told again, nor be sent.
        crews = tuple(crew for crew in stay.crews if crew in here) if near else ()
        asks = near and bool(stay.crews)
        lost = sum(
            fees[booking.supplier]
            for booking in booked
            if stay.start_at - timedelta(hours=free[booking.supplier]) <= world.as_of
        )
        told.append(
            Told(
                task=keys[stay.task],
                start=line.minute_down(stay.start_at),
                crews=crews,
                move_dollars=(MOVE_DOLLARS if asks else 0) + REBOOK_DOLLARS * len(booked) + lost,
                day_dollars=MOVE_DAY_DOLLARS if asks else 0,
                crew_dollars=CREW_DOLLARS if asks else 0,
            )
        )
    spoken_for = {one.task for one in told}
    return (*told, *(one for one in _booked(world, line, keys) if one.task not in spoken_for))


def _is_for(world: World, booking: BookingFacts, stay: Stay) -> bool:
    """Whether a booking is for a day of the stay."""
    zone = ZoneInfo(world.branch.zone)
    return stay.start_at.astimezone(zone).date() <= booking.on <= stay.end_at.astimezone(zone).date()


def _booked(world: World, line: Timeline, keys: Mapping[int, str]) -> Iterator[Told]:
    """Visits nobody was told of, but which are booked: the price of asking for another day.

    Slots for work are left out: what the sky does to the work on the booked day decides, and the call costs little.
    """
    visits = {task.id for job in world.jobs for task in job.tasks if task.kind == "visit"}
    suppliers = {supplier.id: supplier for supplier in world.crews.suppliers}
    by_task: dict[int, list[BookingFacts]] = {}
    for booking in world.crews.bookings:
        if booking.task in keys and booking.task in visits and booking.state in MOVABLE:
            by_task.setdefault(booking.task, []).append(booking)
    for task, bookings in by_task.items():
        on = min(booking.on for booking in bookings)
        begins_at = local_moment(world.branch.zone, on, world.branch.opens)
        if not line.first_on <= on < line.until_on:
            continue
        lost = sum(
            suppliers[booking.supplier].fee_dollars
            for booking in bookings
            if begins_at - timedelta(hours=suppliers[booking.supplier].free_cancel_hours) <= world.as_of
        )
        yield Told(
            task=keys[task],
            start=line.minute_down(begins_at),
            crews=(),
            move_dollars=REBOOK_DOLLARS * len(bookings) + lost,
            day_dollars=0,
            crew_dollars=0,
        )
