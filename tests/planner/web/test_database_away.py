"""A database that does not answer: a page that says so and since when, the same moment until it answers again."""

import re
from typing import Any

import pytest
from django.db import OperationalError, connection

from tests.planner.web.conftest import SignIn

SINCE = re.compile(r"has not answered since \d{4}-\d\d-\d\d \d\d:\d\d UTC")


def lack(*_: Any) -> None:
    raise OperationalError("no such column: crews_crew.whistles")


def hang_up(*_: Any) -> None:
    raise OperationalError("the server closed the connection")


@pytest.mark.django_db
def test_a_database_that_hangs_up_is_told(sign_in: SignIn) -> None:
    client = sign_in("office")
    with connection.execute_wrapper(hang_up):
        answers = [client.get("/crews/") for _ in range(2)]
    assert [answer.status_code for answer in answers] == [503, 503]
    for answer in answers:
        assert SINCE.search(answer.content.decode())
        assert "PLANNER_DATABASE_URL" in answer.content.decode()
        assert "closed the connection" not in answer.content.decode()
    assert client.get("/crews/").status_code == 200


@pytest.mark.django_db
def test_a_database_that_was_not_brought_up_to_date_is_no_outage(sign_in: SignIn) -> None:
    """SQLite calls a missing column by the same name of failure as a database that is away."""
    client = sign_in("office")
    with connection.execute_wrapper(lack):
        answer = client.get("/crews/")
    assert answer.status_code == 503
    words = answer.content.decode()
    assert "older than this program" in words
    assert "manage.py migrate" in words
    assert "not answered" not in words
    assert "whistles" not in words
