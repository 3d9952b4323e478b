"""Small hand-made worlds: one branch, one pool by the liner method, two crews, and the skies a test asks for."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from crews.domain.facts import BookingFacts, CrewFacts, CrewsFacts, GearFacts, SupplierFacts
from crews.domain.working_time import WorkCalendar, WorkWeek
from jobs.domain.facts import (
    BranchFacts,
    GearSpanFacts,
    HoldFacts,
    JobFacts,
    LinkFacts,
    SiteFacts,
    TaskFacts,
)
from jobs.methods.loader import load_exposures, load_method
from planner.dayplans.domain.day import PlanHead
from planner.dayplans.domain.day_plan import day_plan_facts
from planner.dayplans.facts import DayPlanFacts, DayTask, Gate
from planner.forecast.domain.freshness import Freshness
from planner.forecast.domain.series import VARIABLES, HourlySeries
from planner.forecast.domain.site_sky import SiteSky
from planner.plans.domain.world import ReportFacts, Stay, World
from tests.planner.forecast_domain.skies import CALM, even_climate

ZONE = "America/New_York"
# Tuesday; the world stands at five in the afternoon of the Monday before.
ON = date(2026, 6, 16)
METHOD = "insulated_form_liner"


def at(hour: float, *, day: int = 16) -> datetime:
    """A June clock time of the branch [aware, UTC]."""
    return (datetime(2026, 6, day, tzinfo=ZoneInfo(ZONE)) + timedelta(hours=hour)).astimezone(UTC)


AS_OF = at(17, day=15)

SITE = SiteFacts(
    id=1,
    name="Heron Lane",
    address="18 Heron Lane",
    latitude=40.6,
    longitude=-74.4,
    soil="loam",
    access_note="Side gate, dog in the yard.",
)
FAR_SITE = replace(SITE, id=2, name="Mill Pond", address="4 Mill Pond Court", latitude=40.75)

HOURS = WorkWeek.same_hours(time(7), time(15, 30))


def calendar(key: str, **changes: Any) -> WorkCalendar:
    return WorkCalendar(**{"key": key, "zone": ZONE, "week": HOURS, **changes})


FORMS = CrewFacts(
    id=1,
    key="forms",
    name="Forms crew",
    own=True,
    size=5,
    trades=("concrete_forms",),
    calendar=calendar("Forms crew"),
    hour_cents_per_person=5800,
    foreman="Ada Quist",
)
DIGGERS = replace(FORMS, id=2, key="dig", name="Dig crew", size=2, trades=("excavation",), foreman="Bo Marl")
POWER = replace(FORMS, id=3, key="power", name="Electrician", own=False, size=2, trades=("electrical",))

PLANT = SupplierFacts(
    id=1,
    kind="ready_mix",
    name="Plant",
    is_authority=False,
    phone="555-0141",
    notice_working_days=2,
    free_cancel_hours=12,
    fee_dollars=150,
    daily_limit=None,
    calendar=calendar("Plant"),
)
PUMP = replace(PLANT, id=2, kind="pump", name="Pump hire", notice_working_days=3, free_cancel_hours=24)
OFFICE = replace(PLANT, id=3, kind="building_authority", name="Inspectors", is_authority=True, notice_working_days=1)


def booking(task: TaskFacts, kind: str, *, on: date = ON, state: str = "confirmed", **more: Any) -> BookingFacts:
    number = task.id * 10 + len(kind)
    return BookingFacts(id=number, task=task.id, kind=kind, state=state, on=on, supplier=1, asked_at=AS_OF, **more)


def task(key: str, number: int, *, site: SiteFacts = SITE, **changes: Any) -> TaskFacts:
    """A task of the liner method as derived, with what the test changes."""
    rule = load_method(METHOD).task(key)
    values: dict[str, Any] = {
        "id": number,
        "key": key,
        "title": rule.title,
        "kind": rule.kind,
        "run": rule.run,
        "trade": rule.trade,
        "crew_size": rule.crew_size,
        "crew_min": rule.crew_min,
        "work_minutes": 360,
        "exposure": rule.exposure,
        "site": site,
        "position": number,
        "splits_nights": rule.splits_nights,
        "long_day": rule.long_day,
        "evening": rule.evening,
        "stand_by": rule.stand_by,
        "gear": rule.gear,
        "bookings": rule.bookings,
        "cautions": rule.cautions,
        "authority": rule.authority,
    }
    return TaskFacts(**{**values, **changes})


def job(*tasks: TaskFacts, name: str = "Heron Lane", number: int = 1, **changes: Any) -> JobFacts:
    """A job of these tasks with every link and hold of the method that lies between them."""
    method = load_method(METHOD)
    ids = {one.key: one.id for one in tasks}
    values: dict[str, Any] = {
        "id": number,
        "name": name,
        "site": tasks[0].site,
        "method": METHOD,
        "promised_on": date(2026, 8, 1),
        "earliest_on": None,
        "late_dollars_per_day": 250,
        "open_dig_dollars_per_day": 40,
        "tasks": tasks,
        "links": tuple(
            LinkFacts(before=ids[rule.before], after=ids[rule.after], rule=rule)
            for rule in method.links
            if rule.before in ids and rule.after in ids
        ),
        "holds": tuple(
            HoldFacts(
                id=number * 100 + at_,
                key=rule.key,
                title=rule.title,
                result="open",
                visit=ids.get(rule.visit, -1),
                blocks=tuple(ids[key] for key in rule.blocks if key in ids),
            )
            for at_, rule in enumerate(method.holds)
            if any(key in ids for key in rule.blocks)
        ),
    }
    return JobFacts(**{**values, **changes})


def passed(
    one: JobFacts, key: str, *, decided_at: datetime = AS_OF, result: str = "passed", note: str = ""
) -> JobFacts:
    """The job with a hold decided by an inspector."""
    return replace(
        one,
        holds=tuple(
            replace(hold, result=result, decided_by="I. Farrow", decided_at=decided_at, note=note)
            if hold.key == key
            else hold
            for hold in one.holds
        ),
    )


def stay(one: TaskFacts, start_at: datetime, end_at: datetime, *crews: str) -> Stay:
    return Stay(task=one.id, start_at=start_at, end_at=end_at, crews=crews)


def series(
    values: Mapping[str, float | None] | None = None,
    *,
    hours: int = 96,
    start_at: datetime | None = None,
    spells: Mapping[str, tuple[datetime, datetime, float | None]] | None = None,
) -> HourlySeries:
    """Calm, dry and mild hours; ``spells`` set one variable between two moments."""
    first = start_at or at(12, day=15)
    found: dict[str, Any] = {}
    for name in VARIABLES:
        base = (values or {}).get(name, CALM[name])
        row: list[float | None] = [base] * hours
        if spells and name in spells:
            from_at, until_at, value = spells[name]
            for step in range(hours):
                if from_at <= first + timedelta(hours=step) < until_at:
                    row[step] = value
        found[name] = tuple(row)
    return HourlySeries(source="replay", issued_at=first, start_at=first, **found)


def dry_days() -> HourlySeries:
    """Ten measured days without rain before ``AS_OF``."""
    hours = 240
    unknown = (None,) * hours
    return HourlySeries(
        source="observed",
        issued_at=AS_OF,
        start_at=AS_OF - timedelta(hours=hours),
        air_temp_c=(20.0,) * hours,
        dew_point_c=(12.0,) * hours,
        wind_m_s=(2.0,) * hours,
        gust_m_s=(3.0,) * hours,
        rain_chance=unknown,
        rain_mm=(0.0,) * hours,
        thunder_chance=unknown,
        sky_cover=unknown,
    )


def sky(
    forecast: HourlySeries | None = None,
    *,
    freshness: Freshness = Freshness.FRESH,
    observed: HourlySeries | None = None,
) -> SiteSky:
    return SiteSky(series=forecast or series(), freshness=freshness, observed=observed or dry_days())


BRANCH = BranchFacts(
    id=1,
    name="Marl yard",
    company="Marl & Tern Pools",
    zone=ZONE,
    country="US",
    subdivision="NJ",
    opens=time(7),
    closes=time(17),
    yard_latitude=40.5,
    yard_longitude=-74.5,
    keeps_public_holidays=True,
    input_revision=3,
    plan_number=4,
    banner="Invented company.",
    phone="555-0100",
)


def world(
    *jobs: JobFacts,
    skies: Mapping[int, SiteSky] | None = None,
    bookings: Sequence[BookingFacts] = (),
    crews: Sequence[CrewFacts] = (FORMS, DIGGERS, POWER),
    gear: Sequence[GearFacts] = (),
    reports: Sequence[ReportFacts] = (),
    as_of: datetime = AS_OF,
    **branch: Any,
) -> World:
    return World(
        as_of=as_of,
        branch=replace(BRANCH, **branch),
        jobs=jobs,
        crews=CrewsFacts(
            crews=tuple(crews),
            gear=tuple(gear),
            suppliers=(PLANT, PUMP, OFFICE),
            bookings=tuple(bookings),
            branch_calendar=calendar("Marl yard"),
        ),
        exposures=load_exposures(),
        climate=even_climate(),
        skies={1: sky(), 2: sky()} if skies is None else skies,
        reports=tuple(reports),
    )


def gate_report(one: TaskFacts, gate: str, *, happened_at: datetime, **values: str) -> ReportFacts:
    return ReportFacts(
        task=one.id, kind="gate", happened_at=happened_at, said_by="C. Brandt", values={"gate": gate, **values}
    )


def plan(
    one: World,
    *stays: Stay,
    crew: str = "forms",
    on: date = ON,
    told: Sequence[Stay] = (),
    told_number: int | None = None,
) -> DayPlanFacts:
    head = PlanHead(number=4, made_at=AS_OF, told_number=told_number)
    return day_plan_facts(one, plan=head, stays=stays, crew=crew, on=on, told_stays=tuple(told))


def only_task(facts: DayPlanFacts) -> DayTask:
    [found] = [one for stop in facts.stops for one in stop.tasks]
    return found


def gates(facts: DayPlanFacts, kind: str) -> list[Gate]:
    """Gates of a kind of the one task of a day."""
    return [gate for gate in only_task(facts).gates if gate.kind == kind]


def span(gear: str, first: TaskFacts, last: TaskFacts, amount: int = 1) -> GearSpanFacts:
    return GearSpanFacts(gear=gear, from_task=first.id, until_task=last.id, amount=amount)
