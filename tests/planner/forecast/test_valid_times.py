"""Intervals as ISO 8601 writes them."""

from contextlib import suppress
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.domain.errors import OutsideFailure
from planner.forecast.domain.intervals import read_valid_time

NOON = datetime(2026, 7, 15, 12, tzinfo=UTC)


@pytest.mark.parametrize(
    ("text", "start", "length"),
    [
        ("2026-07-15T12:00:00+00:00/PT6H", NOON, timedelta(hours=6)),
        ("2026-07-15T12:00:00Z/P1DT17H", NOON, timedelta(hours=41)),
        ("2026-07-15T08:00:00-04:00/PT1H", NOON, timedelta(hours=1)),
        ("2026-07-15T12:00:00+00:00/2026-07-15T15:30:00+00:00", NOON, timedelta(hours=3, minutes=30)),
        ("PT6H/2026-07-15T18:00:00+00:00", NOON, timedelta(hours=6)),
        ("2026-07-15T12:00:00+00:00/P1W", NOON, timedelta(days=7)),
    ],
)
def test_forms_the_service_documents(text: str, start: datetime, length: timedelta) -> None:
    """Source: ISO 8601 time intervals; the API specification's ISO8601Interval."""
    assert read_valid_time(text) == (start, start + length)


def test_now_needs_to_be_told() -> None:
    assert read_valid_time("NOW/PT6H", now=NOON) == (NOON, NOON + timedelta(hours=6))
    with pytest.raises(OutsideFailure) as caught:
        read_valid_time("NOW/PT6H")
    assert caught.value.code == "forecast.bad_time"


@pytest.mark.parametrize(
    "text",
    [
        "",
        "/",
        "2026-07-15T12:00:00+00:00",
        "2026-07-15T12:00:00/PT6H",
        "2026-07-15T12:00:00+00:00/PT0H",
        "2026-07-15T12:00:00+00:00/2026-07-15T11:00:00+00:00",
        "2026-07-15T12:00:00+00:00/P90D",
        "2026-07-15T12:00:00+00:00/P99999999999999D",
        "2026-07-15T12:00:00+00:00/soon",
        "2026-02-30T12:00:00+00:00/PT1H",
        "PT6H/PT6H",
        "date:now/PT1H",
        "9999-12-31T23:00:00+00:00/PT6H",
    ],
)
def test_anything_else_is_refused_by_name(text: str) -> None:
    with pytest.raises(OutsideFailure) as caught:
        read_valid_time(text)
    assert caught.value.code == "forecast.bad_time"
    assert caught.value.field == "validTime"


@given(st.text(alphabet="0123456789-:+.,/PTZWDHMSYNOW ", max_size=40))
def test_no_text_crashes_the_reader(text: str) -> None:
    """Anything but ``OutsideFailure`` fails here."""
    with suppress(OutsideFailure):
        start, end = read_valid_time(text, now=NOON)
        assert start < end
