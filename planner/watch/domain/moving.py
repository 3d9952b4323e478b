"""What it costs to move a start: fees, people told again, lateness, and the sky of the day it moves to."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from crews.domain.facts import SupplierFacts
from crews.domain.working_time import WorkCalendar, local_moment
from jobs.domain.facts import JobFacts, TaskFacts
from planner.forecast.domain.judge import Judge
from planner.forecast.domain.series import HourlySeries
from planner.plans.domain.people import MOVE_DAY_DOLLARS, MOVE_DOLLARS
from planner.plans.domain.world import Stay, World
from planner.watch.domain.concrete.drying import drying_of
from planner.watch.domain.measures import choose, hazards_of
from planner.watch.domain.official import official_of
from planner.watch.domain.readings import near_hazards, readings_of
from planner.watch.domain.report import Verdict
from planner.watch.domain.skies import sky_over
from planner.watch.domain.thresholds import LATER_WORKING_DAYS

# Bookings that can still be called off; what has arrived stays, whatever the day.
CAN_BE_CANCELLED = frozenset({"asked", "confirmed"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Fee:
    """What one booking costs if its start moves, and until when it costs nothing."""

    supplier: str
    dollars: int
    free_until: datetime
    lost: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Later:
    """One later start: days from the planned one, what it adds, and the loss to expect there."""

    start_at: datetime
    days: int
    late_days: int
    late_dollars: int
    told_dollars: int
    weather_dollars: int
    forbidden: bool

    @property
    def dollars(self) -> int:
        return self.late_dollars + self.told_dollars + self.weather_dollars


@dataclass(frozen=True, slots=True, kw_only=True)
class Moving:
    """What moving costs, term by term, with the later start it was reckoned for."""

    fees: tuple[Fee, ...]
    later: Later
    handover_on: date | None

    @property
    def fee_dollars(self) -> int:
        return sum(fee.dollars for fee in self.fees if fee.lost)

    @property
    def dollars(self) -> int:
        return self.fee_dollars + self.later.dollars

    @property
    def free_until(self) -> datetime | None:
        """The earliest free-cancellation deadline still ahead."""
        return min((fee.free_until for fee in self.fees if not fee.lost), default=None)

    @property
    def fee_lost(self) -> bool:
        return any(fee.lost for fee in self.fees)


def fees_of(world: World, stay: Stay, now: datetime) -> tuple[Fee, ...]:
    """Fees of the bookings of a start, in the order of their deadlines; a booking without a fee is left out."""
    suppliers: Mapping[int, SupplierFacts] = {supplier.id: supplier for supplier in world.crews.suppliers}
    fees = []
    for booking in world.crews.bookings:
        if booking.task != stay.task or booking.state not in CAN_BE_CANCELLED:
            continue
        supplier = suppliers[booking.supplier]
        if supplier.fee_dollars:
            free_until = stay.start_at - timedelta(hours=supplier.free_cancel_hours)
            fees.append(
                Fee(
                    supplier=supplier.name,
                    dollars=supplier.fee_dollars,
                    free_until=free_until,
                    lost=free_until <= now,
                )
            )
    return tuple(sorted(fees, key=lambda fee: (fee.free_until, fee.supplier)))


def handover_on(job: JobFacts, stays: Mapping[int, Stay], zone: ZoneInfo) -> date | None:
    """Planned local date on which a job is handed over; ``None`` where the plan holds none of it."""
    ends = [stays[task.id].end_at for task in job.until_hand_over if task.is_open and task.id in stays]
    return max(ends).astimezone(zone).date() if ends else None


def late_days_added(handed_over: date | None, promised_on: date | None, days: int) -> int:
    """Days of lateness that a delay adds: none while hand-over stays before the promised date.

    A hand-over planned for the promised date or later is late by every day it moves. The start is taken to be on the
    chain that sets the hand-over, which states too much for work that has slack.

    >>> promised_on = date(2026, 7, 17)
    >>> late_days_added(promised_on, promised_on, 1), late_days_added(date(2026, 7, 14), promised_on, 5)
    (1, 2)
    """
    if handed_over is None or promised_on is None:
        return 0
    before = max(0, (handed_over - promised_on).days)
    return max(0, (handed_over - promised_on).days + days) - before


def moving_of(
    world: World,
    judge: Judge,
    series: HourlySeries | None,
    *,
    job: JobFacts,
    task: TaskFacts,
    stay: Stay,
    stays: Mapping[int, Stay],
    now: datetime,
) -> Moving:
    """The cheapest move to the same clock time on one of the next five working days.

    A day the sky forbids is passed over; where it forbids all, the cheapest is reckoned with its own expected loss.
    Only this start moves: what follows it, and whether everything else allows the day, is for a new plan to say.
    """
    zone = ZoneInfo(world.branch.zone)
    calendar = calendar_of(world, stay)
    planned_on = calendar.date_of(stay.start_at)
    from_on = max(planned_on, calendar.date_of(now))
    ends_on = handover_on(job, stays, zone)
    laters = []
    for step in range(1, LATER_WORKING_DAYS + 1):
        on = calendar.add_working_days(from_on, step)
        days = (on - planned_on).days
        start_at = local_moment(world.branch.zone, on, stay.start_at.astimezone(zone).time())
        weather_dollars, forbidden = _weather_at(world, judge, series, task, stay, start_at, calendar)
        late_days = late_days_added(ends_on, job.promised_on, days)
        laters.append(
            Later(
                start_at=start_at,
                days=days,
                late_days=late_days,
                late_dollars=late_days * job.late_dollars_per_day,
                told_dollars=MOVE_DOLLARS + MOVE_DAY_DOLLARS * days if stay.crews else 0,
                weather_dollars=weather_dollars,
                forbidden=forbidden,
            )
        )
    best = min(laters, key=lambda later: (later.forbidden, later.dollars, later.days))
    return Moving(fees=fees_of(world, stay, now), later=best, handover_on=ends_on)


def calendar_of(world: World, stay: Stay) -> WorkCalendar:
    """The calendar of the first crew of a stay, else the branch's."""
    by_key = {crew.key: crew.calendar for crew in world.crews.crews}
    return next((by_key[key] for key in stay.crews if key in by_key), world.crews.branch_calendar)


def _weather_at(
    world: World,
    judge: Judge,
    series: HourlySeries | None,
    task: TaskFacts,
    stay: Stay,
    start_at: datetime,
    calendar: WorkCalendar,
) -> tuple[int, bool]:
    """Expected loss with its measures, chosen as for the planned start, and whether the sky or a warning forbids it."""
    exposure = world.exposures[task.exposure]
    if task.splits_nights or task.run == "attended":
        minutes = calendar.working_minutes_between(stay.start_at, stay.end_at)
        end_at = calendar.add_working(start_at, minutes)
    else:
        end_at = start_at + (stay.end_at - stay.start_at)
    work_at = start_at + (stay.work_at - stay.start_at)
    judged = judge.start(exposure, start_at=work_at, end_at=end_at, soil=task.site.soil, admixture=task.admixture)
    readings = readings_of(exposure, judged, drying_of(exposure, series, work_at, end_at), None)
    choice = choose(
        exposure.measures,
        hazards=hazards_of(judged),
        near=near_hazards(readings),
        loss_dollars=exposure.loss_dollars,
    )
    warnings = official_of(sky_over(world, task.site).alerts, exposure, from_at=work_at, until_at=judged.safe_at)
    return choice.dollars, judged.forbidden or any(one.least is Verdict.MOVE for one in warnings)
