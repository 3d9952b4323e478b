"""The calendar's scale: in order, alike every day, unmoved by a change of clocks."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.web.presenters.day_scale import DayScale
from tests.planner.web.samples import at, scale

ZONE = ZoneInfo("America/New_York")


@given(st.integers(0, 18 * 24 * 60), st.integers(0, 18 * 24 * 60))
def test_later_is_never_further_left(one: int, other: int) -> None:
    first, second = sorted((one, other))
    start = at(0, 0)
    places = [scale().x(start + timedelta(minutes=minutes)) for minutes in (first, second)]
    assert places[0] <= places[1]


def test_working_hours_take_most_of_the_day() -> None:
    days = scale(px_per_day=100.0)
    assert [days.x(at(0, hour)) for hour in (0, 6, 12, 18)] == pytest.approx([0.0, 10.0, 50.0, 90.0])


def test_outside_is_the_edge() -> None:
    days = scale(days=2, px_per_day=100.0)
    assert (days.x(at(-3)), days.x(at(9))) == (0.0, 200.0)
    assert (days.shows(at(-2), at(-1)), days.shows(at(-2), at(0)), days.shows(at(2), at(3))) == (False, True, False)


@pytest.mark.parametrize("sunday", [date(2026, 3, 8), date(2026, 11, 1)])
def test_a_change_of_clocks_moves_nothing(sunday: date) -> None:
    # Second Sunday of March and first of November: 15 U.S.C. 260a, from memory.
    days = DayScale(from_on=sunday, days=2, zone=ZONE, px_per_day=100.0)
    noon, next_noon = (datetime(sunday.year, sunday.month, sunday.day + add, 12, tzinfo=ZONE) for add in (0, 1))
    assert (days.x(noon), days.x(next_noon)) == pytest.approx((50.0, 150.0))
    assert (next_noon.astimezone(UTC) - noon.astimezone(UTC)) == timedelta(hours=24)


def test_columns_name_the_month_once() -> None:
    columns = tuple(scale().columns())
    assert [one.day for one in columns[:2]] == ["Jun 15", "16"]
    assert columns[16].day == "Jul 1"
    assert [one.rest for one in columns[4:8]] == [False, True, True, False]


@pytest.mark.parametrize(("days", "width"), [(0, 48.0), (5, 0.0)])
def test_a_scale_without_days_or_width_is_refused(days: int, width: float) -> None:
    with pytest.raises(ValueError):
        DayScale(from_on=date(2026, 6, 15), days=days, zone=ZONE, px_per_day=width)
