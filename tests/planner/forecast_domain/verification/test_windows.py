"""Which half-days count as measured, what a forecast told of them, and which run stands for a day of the lead."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.forecast.domain.halfday import HalfDays
from planner.forecast.domain.series import HOUR
from planner.forecast.domain.verification.windows import (
    lead_day,
    measured_half_days,
    run_for,
    told_percent,
    verified,
)
from tests.planner.forecast_domain.skies import ZONE, local, sky

HALF_DAYS = HalfDays(ZONE)
DAY_FROM, DAY_UNTIL = local(6), local(18)


def seen(hours: int = 48, **columns: object):
    return measured_half_days(sky(hours, start_at=local(0), **columns), HALF_DAYS)


@pytest.mark.parametrize(("amount_mm", "wet"), [(0.0, False), (0.25, False), (0.254, True), (3.0, True)])
def test_a_half_day_is_wet_from_a_hundredth_of_an_inch(amount_mm: float, wet: bool) -> None:
    """Source: 0.01 inch, 0.254 mm, is the least a US gauge reports."""
    found = {one.from_at: one for one in seen(rain_mm=lambda at: amount_mm if at == local(9) else 0.0)}
    assert found[DAY_FROM].wet is wet
    assert not found[local(18)].wet


@pytest.mark.parametrize(("silent", "counts"), [(1, True), (2, False)])
def test_more_than_one_silent_hour_and_nothing_is_known(silent: int, counts: bool) -> None:
    found = seen(rain_mm=lambda at: None if local(8) <= at < local(8 + silent) else 0.0)
    assert (DAY_FROM in {one.from_at for one in found}) is counts


def test_half_days_that_the_hours_do_not_cover_whole_are_left_out() -> None:
    assert [one.from_at for one in seen(30)] == [DAY_FROM, local(18)]


def test_a_night_in_which_the_clocks_change_is_eleven_or_thirteen_hours() -> None:
    zone = ZoneInfo("America/New_York")
    start_at = datetime(2026, 3, 7, 6, tzinfo=zone).astimezone(UTC)
    night = measured_half_days(sky(72, start_at=start_at, rain_mm=lambda _: 0.0), HalfDays(zone))[1]
    assert night.until_at - night.from_at == 11 * HOUR


def test_what_was_told_is_the_highest_hour_and_an_unknown_hour_tells_nothing() -> None:
    series = sky(48, start_at=local(0), rain_chance=lambda at: 0.62 if at == local(15) else 0.1)
    assert told_percent(series, DAY_FROM, DAY_UNTIL) == 62
    gap = sky(48, start_at=local(0), rain_chance=lambda at: None if at == local(15) else 0.1)
    assert told_percent(gap, DAY_FROM, DAY_UNTIL) is None
    assert told_percent(series, local(6, day=1), local(18, day=2)) is None


@given(st.lists(st.integers(min_value=-200, max_value=200), max_size=30), st.integers(min_value=1, max_value=6))
def test_the_run_of_a_day_of_the_lead_is_one_of_that_day_and_the_nearest_to_its_middle(
    hours: list[int], lead: int
) -> None:
    from_at = DAY_FROM
    issues = [from_at + one * HOUR for one in hours]
    found = run_for(issues, from_at, lead)
    inside = [issued_at for issued_at in issues if lead_day(issued_at, from_at) == lead]
    assert (found is None) is (not inside)
    middle = from_at - (lead - 0.5) * timedelta(days=1)
    if found is not None:
        assert abs(found - middle) == min(abs(issued_at - middle) for issued_at in inside)
        assert timedelta(0) <= from_at - found - (lead - 1) * timedelta(days=1) < timedelta(days=1)


def test_a_run_issued_after_the_half_day_began_verifies_nothing_in_it() -> None:
    late = sky(48, start_at=local(0), rain_chance=lambda _: 0.5)
    measured = seen(rain_mm=lambda _: 0.0)
    assert verified(measured, {local(7): late}, leads=(1,))[0].from_at == local(18)
