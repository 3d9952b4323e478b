"""The demo company with a greedy plan in force, made once a session and copied in as rows for each test."""

from datetime import UTC, datetime

from django.db import models

from crews.models import Booking, Crew, CrewDay, CrewTrade, Gear, Supplier
from jobs.models import Basin, Branch, GearSpan, Hold, Job, Link, Site, Task
from jobs.snapshots import jobs_of
from planner.demo.company import make_company
from planner.forecast.models import ClimateRecord, ForecastRun, GridPlace, RecordedSky
from planner.forecast.skies import pull_for_branch
from planner.plans.models import Assignment, Plan
from planner.plans.services import make_plan, put_in_force
from planner.solver.parameters import GreedyOnly

# Monday 8 June 2026, six in the morning at the yard: the day the demo company was written for.
NOW = datetime(2026, 6, 8, 10, tzinfo=UTC)

MODELS: tuple[type[models.Model], ...] = (
    Branch,
    Site,
    Job,
    Basin,
    Task,
    Link,
    GearSpan,
    Hold,
    Hold.blocks.through,
    Supplier,
    Crew,
    CrewTrade,
    CrewDay,
    Gear,
    Booking,
    RecordedSky,
    ClimateRecord,
    ForecastRun,
    GridPlace,
    Plan,
    Plan.runs.through,
    Assignment,
    Assignment.crews.through,
)
Rows = dict[type[models.Model], list[models.Model]]


def build_company() -> Rows:
    """Make the company through its own doors and read back every row."""
    branch = make_company(as_of=NOW)
    sites = {task.site.id: task.site for job in jobs_of(branch) for task in job.tasks}
    pull_for_branch(branch=branch, sites=tuple(sites.values()), now=NOW)
    made = make_plan(branch=branch, as_of=NOW, parameters=GreedyOnly())
    put_in_force(branch=branch, plan=made.plan, now=NOW)
    return {model: list(model._default_manager.order_by("pk")) for model in MODELS}


def write_rows(rows: Rows) -> None:
    """Copy the rows in; they keep their keys."""
    for model, found in rows.items():
        model._default_manager.bulk_create([_fresh(one) for one in found])


def _fresh(row: models.Model) -> models.Model:
    values = {field.attname: getattr(row, field.attname) for field in row._meta.concrete_fields}
    return type(row)(**values)
