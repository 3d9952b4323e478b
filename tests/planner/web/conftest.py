"""The demo company behind every page, the people who open it, and a second branch nobody of the first may see."""

from collections.abc import Callable, Iterator
from datetime import timedelta
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.core.cache import cache
from django.db import transaction
from django.test import Client

from crews.models import Crew, Supplier
from jobs.models import Branch, Hold, Job, Site, Task
from planner.forecast.models import ClimateRecord
from planner.plans.models import Plan
from planner.web.models import Membership
from tests.planner.web.company import NOW, Rows, build_company, write_rows

SignIn = Callable[..., Client]


@pytest.fixture(scope="session")
def company_rows(django_db_setup: None, django_db_blocker: Any) -> Rows:
    """Every row of the company; the database is left as it was."""
    with django_db_blocker.unblock(), transaction.atomic():
        rows = build_company()
        transaction.set_rollback(True)
    return rows


@pytest.fixture
def branch(db: None, company_rows: Rows, settings: Any) -> Iterator[Branch]:
    """The demo's branch with a plan in force, on the morning it was written for."""
    settings.PLANNER_AS_OF = NOW
    write_rows(company_rows)
    cache.clear()
    yield Branch.objects.get()
    cache.clear()


@pytest.fixture
def sign_in(branch: Branch) -> SignIn:
    """A client signed in with a role of the branch, or (role ``""``) a stranger to every branch."""

    def enter(role: str = "office", *, crew: str = "", to: Branch | None = None) -> Client:
        user = User.objects.create_user(username=f"{role or 'stranger'}-{User.objects.count()}")
        if role:
            chosen = to or branch
            member = Crew.objects.get(branch=chosen, key=crew) if crew else None
            Membership.objects.create(user=user, branch=chosen, role=role, crew=member)
        client = Client()
        client.force_login(user)
        return client

    return enter


@pytest.fixture
def other_branch(branch: Branch) -> Branch:
    """A second office with one of everything a route of the pages can name."""
    other = Branch.objects.create(
        name="Far yard",
        slug="far",
        company="Other builders",
        zone=branch.zone,
        opens=branch.opens,
        closes=branch.closes,
        yard_latitude=40.1,
        yard_longitude=-74.9,
    )
    climate = ClimateRecord.objects.get(branch=branch)
    ClimateRecord.objects.create(branch=other, made_from="copied", loaded_at=NOW, table=climate.table)
    site = Site.objects.create(branch=other, name="Far site", address="1 Far Road", latitude=40.2, longitude=-74.8)
    job = Job.objects.create(
        branch=other,
        site=site,
        name="Far pool",
        method="insulated_form_liner",
        promised_on=(NOW + timedelta(days=60)).date(),
    )
    visit = Task.objects.create(
        branch=other,
        site=site,
        job=job,
        key="inspect_floor",
        title="Far inspection",
        kind="visit",
        run="visit",
        trade="inspector",
        work_minutes=240,
        details={"authority": "building_authority", "bookings": ["inspection"]},
    )
    Hold.objects.create(job=job, key="hold_floor", title="Far hold", visit=visit)
    week = {str(day): ["07:00", "15:30"] for day in range(1, 6)}
    Crew.objects.create(branch=other, key="far-crew", name="Far crew", size=3, week=week)
    Supplier.objects.create(branch=other, role="authority", kind="building_authority", name="Far office", week=week)
    Plan.objects.create(
        branch=other,
        number=7,
        made_at=NOW,
        as_of=NOW,
        input_revision=0,
        making={},
        cost={},
        document={"first_on": "2026-06-08", "horizon_days": 120, "stays": [], "warnings": []},
    )
    return other
