"""A branch, people, and a mail server that takes what is sent to them."""

from collections.abc import Iterator
from datetime import UTC, datetime, time
from typing import Any

import pytest

from crews.domain.reachable import Reachable
from jobs.models import Branch
from tests.crews.mailbox import Mailbox, mail_server

# A Tuesday, ten in the morning in New Jersey.
NOW = datetime(2026, 6, 9, 14, tzinfo=UTC)


@pytest.fixture
def branch(db: None) -> Branch:
    return make_branch("north")


def make_branch(slug: str) -> Branch:
    return Branch.objects.create(
        name=f"{slug} yard",
        slug=slug,
        company="Invented builders",
        zone="America/New_York",
        opens=time(7),
        closes=time(15, 30),
        yard_latitude=40.1,
        yard_longitude=-74.9,
    )


@pytest.fixture
def foreman() -> Reachable:
    return Reachable(key="crew:1", name="A foreman", mail="foreman@example.org")


@pytest.fixture
def mailbox(settings: Any) -> Iterator[Mailbox]:
    box = Mailbox()
    with mail_server(box) as url:
        settings.PLANNER_MAIL_URL = url
        settings.PLANNER_MAIL_FROM = "Pool office <office@example.org>"
        yield box
