"""A company of rows with one pour in force, and skies a test draws over all its sites."""

from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from typing import Any, cast

from django.contrib.auth.models import User

from crews.models import Booking, Crew, Message, Supplier
from jobs.models import Branch, Task
from jobs.snapshots import jobs_of
from planner.demo.company import make_company
from planner.forecast.domain.series import VARIABLES, HourlySeries
from planner.forecast.models import ForecastRun, GridPlace
from planner.forecast.skies import pull_for_branch
from planner.forecast.snapshots import content_hash, pack
from planner.plans.models import Assignment, Plan
from planner.web.models import Membership
from tests.planner.web.company import MODELS, Rows

# Monday 8 June 2026, six in the morning at the yard.
NOW = datetime(2026, 6, 8, 10, tzinfo=UTC)
HOUR = timedelta(hours=1)
CALM = {
    "air_temp_c": 21.0,
    "dew_point_c": 12.0,
    "wind_m_s": 2.0,
    "gust_m_s": 4.0,
    "rain_chance": 0.0,
    "rain_mm": 0.0,
    "thunder_chance": 0.0,
    "sky_cover": 0.2,
}


def build_company() -> Rows:
    """The demo company with its cells looked up; no plan and no forecast yet."""
    branch = make_company(as_of=NOW)
    sites = {task.site.id: task.site for job in jobs_of(branch) for task in job.tasks}
    pull_for_branch(branch=branch, sites=tuple(sites.values()), now=NOW)
    ForecastRun.objects.all().delete()
    return {model: list(model._default_manager.order_by("pk")) for model in MODELS}


def people_of(branch: Branch) -> None:
    """An office, an owner and foremen with addresses."""
    Crew.objects.filter(branch=branch).update(email="foreman@example.org")
    for role in ("office", "owner"):
        user = User.objects.create_user(role, email=f"{role}@example.org", first_name=role.capitalize())
        Membership.objects.create(branch=branch, user=user, role=role)


def plan_pour(branch: Branch, *, job: str = "Millrace Court", start_at: datetime, number: int = 1) -> Task:
    """Put the floor pour of a pool in force at a moment, without the solver."""
    task = Task.objects.get(job__name=job, job__branch=branch, key="pour_floor")
    end_at = start_at + 6 * HOUR
    Plan.objects.filter(branch=branch, state=Plan.State.IN_FORCE).update(state=Plan.State.PAST)
    plan = Plan.objects.create(
        branch=branch,
        number=number,
        state=Plan.State.IN_FORCE,
        made_at=NOW,
        as_of=NOW,
        in_force_at=NOW,
        input_revision=branch.input_revision,
        making={},
        cost={},
        document={
            "first_on": date(2026, 6, 8).isoformat(),
            "horizon_days": 120,
            "stays": [
                {"task": task.pk, "start": start_at.isoformat(), "end": end_at.isoformat(), "crews": ["forms-west"]}
            ],
        },
    )
    row = Assignment.objects.create(plan=plan, task=task, start_at=start_at, end_at=end_at)
    cast(Any, row.crews).add(Crew.objects.get(branch=branch, key="forms-west"))
    Branch.objects.filter(pk=branch.pk).update(plan_number=number)
    branch.refresh_from_db()
    return task


def sky_at(issued_at: datetime, **values: float | Callable[[datetime], float | None]) -> None:
    """A run of the whole week over every cell, the same over all; what is not named is calm and dry."""
    start_at = NOW - 10 * HOUR
    hours = [start_at + at * HOUR for at in range(24 * 9)]
    columns: dict[str, Any] = {}
    for name in VARIABLES:
        value: Any = values.get(name, CALM[name])
        columns[name] = tuple(value(at) if callable(value) else value for at in hours)
    series = HourlySeries(source="replay", issued_at=issued_at, start_at=start_at, **columns)
    ForecastRun.objects.bulk_create(
        ForecastRun(
            source="replay",
            grid_key=key,
            issued_at=issued_at,
            fetched_at=issued_at,
            checked_at=issued_at,
            content_hash=content_hash(series),
            horizon_end_at=series.end_at,
            packed=pack(series),
        )
        for key in sorted(set(GridPlace.objects.filter(source="replay").values_list("grid_key", flat=True)))
    )


def book_pump(branch: Branch, task: Task, on: date) -> Booking:
    """A confirmed pump for a pour; calling it off costs its fee inside a day."""
    pump = Supplier.objects.get(branch=branch, kind="pump")
    Supplier.objects.filter(pk=pump.pk).update(free_cancel_hours=24, fee_cents=75_000)
    row, _ = Booking.objects.update_or_create(
        task=task,
        kind="pump",
        defaults={"supplier": pump, "state": "confirmed", "on": on, "asked_at": NOW, "confirmed_at": NOW},
    )
    return row


def messages(branch: Branch) -> list[tuple[str, str]]:
    """Fact and person of everything in the outbox, in order."""
    return list(Message.objects.filter(branch=branch).order_by("pk").values_list("fact", "person"))
