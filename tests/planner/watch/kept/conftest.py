"""A company whose only planned start is a floor pour on Wednesday morning."""

from datetime import timedelta
from typing import Any

import pytest
from django.db import transaction

from jobs.models import Branch, Task
from tests.planner.watch.kept.rows import NOW, build_company, people_of, plan_pour
from tests.planner.web.company import Rows, write_rows

POUR_AT = NOW + timedelta(days=2, hours=1)


@pytest.fixture(scope="session")
def bare_company(django_db_setup: None, django_db_blocker: Any) -> Rows:
    """Every row of the company before its first plan; the database is left as it was."""
    with django_db_blocker.unblock(), transaction.atomic():
        rows = build_company()
        transaction.set_rollback(True)
    return rows


@pytest.fixture
def branch(db: None, bare_company: Rows) -> Branch:
    write_rows(bare_company)
    branch = Branch.objects.get()
    people_of(branch)
    return branch


@pytest.fixture
def pour(branch: Branch) -> Task:
    """Wednesday 10 June, seven in the morning at the yard."""
    return plan_pour(branch, start_at=POUR_AT)
