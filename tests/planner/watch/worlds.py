"""Small worlds of one yard: a crew of five, two suppliers, a pool with the tasks a test names, a sky a test draws."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from typing import Any

from crews.domain.facts import BookingFacts, CrewFacts, CrewsFacts, SupplierFacts
from crews.domain.working_time import WorkCalendar, WorkWeek
from jobs.domain.exposure import Exposure
from jobs.domain.facts import BranchFacts, JobFacts, SiteFacts, TaskFacts
from jobs.methods.loader import load_exposures
from planner.forecast.domain.freshness import Freshness
from planner.forecast.domain.outside.alerts import Alert
from planner.forecast.domain.series import HourlySeries
from planner.forecast.domain.site_sky import SiteSky
from planner.plans.domain.world import Stay, World
from planner.watch.domain.report import StartWatch, WatchReport
from planner.watch.domain.watch import watch
from tests.planner.forecast_domain.skies import ZONE, even_climate, local, sky

# Wednesday 15 July 2026, 05:00: the skies begin at the midnight before.
NOW = local(5)
EXPOSURES: Mapping[str, Exposure] = load_exposures()
SITE = SiteFacts(
    id=1, name="Heron Lane", address="14 Heron Lane", latitude=40.6, longitude=-74.4, soil="loam", access_note=""
)
PLANT, PUMP = 1, 2
DRY_PAST = sky(120, start_at=local(0, day=-5))


def calendar(key: str = "Yard", *, holidays: Iterable[date] = (), changed: Any = ()) -> WorkCalendar:
    """Monday to Friday, 07:00 to 17:00."""
    return WorkCalendar(
        key=key,
        zone=ZONE.key,
        week=WorkWeek.same_hours(time(7), time(17)),
        holidays=frozenset(holidays),
        changed_hours=changed,
    )


def crew(key: str, *trades: str, own: bool = True, holidays: Iterable[date] = ()) -> CrewFacts:
    return CrewFacts(
        id=len(key),
        key=key,
        name=key.capitalize(),
        own=own,
        size=5,
        trades=trades,
        calendar=calendar(key, holidays=holidays),
        hour_cents_per_person=5800,
    )


def supplier(number: int, name: str, *, fee: int, free_hours: int) -> SupplierFacts:
    return SupplierFacts(
        id=number,
        kind=name,
        name=name,
        is_authority=False,
        phone="",
        notice_working_days=2,
        free_cancel_hours=free_hours,
        fee_dollars=fee,
        daily_limit=None,
        calendar=calendar(name),
    )


SUPPLIERS = (supplier(PLANT, "Plant", fee=150, free_hours=12), supplier(PUMP, "Pump hire", fee=750, free_hours=24))


def booked(task: int, number: int, state: str = "confirmed") -> BookingFacts:
    return BookingFacts(
        id=10 * task + number,
        task=task,
        kind="slot",
        state=state,
        on=NOW.date(),
        supplier=number,
        asked_at=NOW - timedelta(days=7),
    )


def task(number: int, key: str, exposure: str, **changes: Any) -> TaskFacts:
    made = TaskFacts(
        id=number,
        key=key,
        title=key.replace("_", " "),
        kind="work",
        run="work",
        trade="concrete_forms",
        crew_size=5,
        crew_min=3,
        work_minutes=360,
        exposure=exposure,
        site=SITE,
    )
    return replace(made, **changes)


def job(*tasks: TaskFacts, promised_on: date | None = None, late: int = 200) -> JobFacts:
    return JobFacts(
        id=1,
        name="Heron Lane",
        site=SITE,
        method="insulated_form_liner",
        promised_on=promised_on,
        earliest_on=None,
        late_dollars_per_day=late,
        open_dig_dollars_per_day=0,
        tasks=tasks,
    )


def stay(task_id: int, start_at: datetime, hours: float = 6, crews: tuple[str, ...] = ("forms",)) -> Stay:
    return Stay(
        task=task_id,
        start_at=start_at.astimezone(UTC),
        end_at=start_at.astimezone(UTC) + timedelta(hours=hours),
        crews=crews,
    )


def world(
    *jobs: JobFacts,
    series: HourlySeries | None = None,
    freshness: Freshness = Freshness.FRESH,
    observed: HourlySeries | None = DRY_PAST,
    exposures: Mapping[str, Exposure] = EXPOSURES,
    bookings: tuple[BookingFacts, ...] = (),
    holidays: Iterable[date] = (),
    wet_chance: float = 0.02,
    branch_calendar: WorkCalendar | None = None,
    alerts: tuple[Alert, ...] = (),
) -> World:
    """A branch under one sky; climate is nearly dry, calm and mild unless a test says otherwise."""
    free = tuple(holidays)
    return World(
        as_of=NOW,
        branch=BranchFacts(
            id=1,
            name="Yard",
            company="Yard Pools",
            zone=ZONE.key,
            country="US",
            subdivision="NJ",
            opens=time(7),
            closes=time(17),
            yard_latitude=40.5,
            yard_longitude=-74.4,
            keeps_public_holidays=True,
            input_revision=1,
            plan_number=3,
            phone="555-0100",
        ),
        jobs=jobs,
        crews=CrewsFacts(
            crews=(
                crew("forms", "concrete_forms", holidays=free),
                crew("diggers", "excavation", holidays=free),
                crew("liners", "liner", holidays=free),
            ),
            gear=(),
            suppliers=SUPPLIERS,
            bookings=bookings,
            branch_calendar=branch_calendar or calendar(holidays=free),
        ),
        exposures=exposures,
        climate=even_climate(wet_chance=wet_chance),
        skies={SITE.id: SiteSky(series=series, freshness=freshness, observed=observed, run=1, alerts=alerts)},
    )


def watched(
    exposure: str = "slab_pour",
    *,
    start_at: datetime | None = None,
    hours: float = 6,
    crews: tuple[str, ...] = ("forms",),
    now: datetime = NOW,
    previous: Any = (),
    promised_on: date | None = None,
    late: int = 200,
    handover: Stay | None = None,
    changes: Mapping[str, Any] | None = None,
    **of_world: Any,
) -> StartWatch:
    """The watch on one start: task 7, Thursday 07:00 unless told otherwise, a hand-over a month later."""
    starts = stay(7, start_at or local(7, day=1), hours, crews)
    last = handover or stay(9, local(9, day=30), 2)
    one = job(
        task(7, "pour_floor", exposure, **(changes or {})),
        task(9, "hand_over", "none"),
        promised_on=promised_on,
        late=late,
    )
    report = watch(world(one, **of_world), (starts, last), now=now, previous=previous)
    (start,) = report.starts
    return start


def report(one: JobFacts, stays: Iterable[Stay] = (), *, now: datetime = NOW, **of_world: Any) -> WatchReport:
    return watch(world(one, **of_world), tuple(stays), now=now)


def rain(chance: float, *, on_day: int = 1) -> HourlySeries:
    """The same chance over every hour of one local day, none on the others; amounts are not given."""
    return sky(
        144,
        rain_chance=lambda at: chance if at.date() == local(0, day=on_day).date() else 0.0,
        rain_mm=lambda at: None if at.date() == local(0, day=on_day).date() else 0.0,
    )


def between(from_hour: float, until_hour: float, value: float, otherwise: float, *, day: int = 1) -> Callable[..., Any]:
    """A value inside some hours of one day."""
    return lambda at: value if local(from_hour, day=day) <= at < local(until_hour, day=day) else otherwise
