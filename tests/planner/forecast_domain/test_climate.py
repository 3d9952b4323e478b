"""From a station's hours to a climate: rates, quantiles, gaps, refusals."""

import json
from datetime import UTC, datetime, timedelta
from functools import cache
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jobs.domain.errors import CannotDo
from planner.forecast.domain.climate import Climate, ObservedHour, share_beyond
from planner.forecast.domain.station import climate_from_hours
from tests.planner.forecast_domain.skies import flat

ZONE = ZoneInfo("America/New_York")
FIRST = datetime(2025, 1, 1, 6, tzinfo=ZONE).astimezone(UTC)


def record(days: int, *, rain=lambda at: 0.0, air=lambda at: 10.0, wind=lambda at: 3.0, gust=lambda at: None):
    hours = []
    for at in range(days * 24):
        start_at = FIRST + timedelta(hours=at)
        clock = start_at.astimezone(ZONE)
        hours.append(
            ObservedHour(
                start_at=start_at,
                air_temp_c=air(clock),
                dew_point_c=5.0,
                wind_m_s=wind(clock),
                gust_m_s=gust(clock),
                rain_mm=rain(clock),
            )
        )
    return hours


def test_a_months_rate_is_drawn_half_way_to_the_years():
    """January: every second of 31 days wet from noon, 4 mm; the other 334 days dry."""
    wet = lambda at: 4.0 if at.month == 1 and at.day % 2 and at.hour == 12 else 0.0  # noqa: E731
    climate = climate_from_hours(record(365, rain=wet), zone=ZONE)
    assert climate.half_day(1, 0).wet_chance == pytest.approx(0.5 * 16 / 31 + 0.5 * 16 / 365, abs=1e-4)
    assert climate.half_day(7, 0).wet_chance == pytest.approx(0.5 * 16 / 365, abs=1e-4)
    assert climate.half_day(1, 0).wet_mean_mm == pytest.approx(4.0)
    assert climate.half_day(1, 0).known == 31


def test_a_half_day_that_never_was_wet_does_not_read_as_dry():
    climate = climate_from_hours(record(60), zone=ZONE)
    assert 0 < climate.half_day(1, 1).wet_chance < 0.01
    assert climate.half_day(1, 1).wet_mean_mm == pytest.approx(4.5)


def test_a_hundredth_of_an_inch_is_measurable():
    """Source: measurable precipitation is 0.01 in, 0.254 mm, or more (glossary of the meteorological society)."""
    trace = climate_from_hours(record(60, rain=lambda at: 0.25 if at.hour == 12 else 0.0), zone=ZONE)
    measured = climate_from_hours(record(60, rain=lambda at: 0.01 * 25.4 if at.hour == 12 else 0.0), zone=ZONE)
    assert trace.half_day(1, 0).wet_chance < 0.01
    assert measured.half_day(1, 0).wet_chance == pytest.approx(1.0)


def test_a_night_belongs_to_the_day_it_begins_on():
    """Rain at 03:00 only: all nights wet, no day."""
    climate = climate_from_hours(record(60, rain=lambda at: 1.0 if at.hour == 3 else 0.0), zone=ZONE)
    assert climate.half_day(1, 1).wet_chance == pytest.approx(1.0)
    assert climate.half_day(1, 0).wet_chance < 0.01


def test_a_half_day_with_three_unknown_hours_does_not_count():
    holed = lambda at: None if at.day % 2 and 6 <= at.hour < 9 else 0.0  # noqa: E731
    climate = climate_from_hours(record(31, rain=holed), zone=ZONE)
    assert climate.half_day(1, 0).known == 15
    assert climate.half_day(1, 1).known == 31


def test_the_chance_of_a_limit_comes_from_the_spread_not_the_mean():
    """A month half at 0 degC, half at 20: mean 10, and half the days below 4.4."""
    climate = climate_from_hours(record(31, air=lambda at: 0.0 if at.day % 2 else 20.0), zone=ZONE)
    assert climate.hour(1, 10).air_mean_c == pytest.approx(10.0, abs=0.5)
    chance = climate.hour_chance("air_temp_c", "below", 4.4, month=1, hour=10)
    assert chance == pytest.approx(16 / 31, abs=0.05)
    assert climate.hour_chance("air_temp_c", "below", -0.1, month=1, hour=10) == 0.0


def test_a_gust_left_out_beside_a_wind_is_the_wind():
    hours = record(31, wind=lambda at: 4.0, gust=lambda at: 12.0 if at.day == 5 else None)
    assert climate_from_hours(hours, zone=ZONE).hour(1, 12).gust_m_s[8] == pytest.approx(4.0)
    with pytest.raises(CannotDo) as refused:
        climate_from_hours(hours, zone=ZONE, gust_only_when_gusty=False)
    assert refused.value.code == "climate.too_little"


def test_an_impossible_value_is_unknown_and_counted():
    """Source: one hour of a published 2013 airport record has a wind of 1048 mph, 468.5 m/s."""
    mad = lambda at: 468.5 if (at.day, at.hour) == (12, 3) else 3.0  # noqa: E731
    climate = climate_from_hours(record(31, wind=mad), zone=ZONE)
    assert climate.rejected == 1
    assert climate.half_day(1, 1).wind_high_m_s[-1] == pytest.approx(3.0)


def test_a_month_without_record_borrows_from_the_others():
    climate = climate_from_hours(record(31, air=lambda at: 7.0), zone=ZONE)
    assert climate.hour(8, 12).air_mean_c == pytest.approx(7.0)
    assert climate.half_day(8, 0).known == 0


def test_a_week_is_too_little():
    with pytest.raises(CannotDo) as refused:
        climate_from_hours(record(7), zone=ZONE)
    assert refused.value.code == "climate.too_little"
    assert "whole year" in refused.value.remedy


def test_an_hour_given_twice_is_refused():
    hours = record(31)
    with pytest.raises(CannotDo) as refused:
        climate_from_hours([*hours, hours[3]], zone=ZONE)
    assert refused.value.code == "climate.hour_twice"


def test_it_survives_json():
    climate = climate_from_hours(record(40, rain=lambda at: at.day / 40), zone=ZONE)
    assert Climate.from_json(json.loads(json.dumps(climate.to_json()))) == climate


@pytest.mark.parametrize(
    "spoil", [{"zone": None, "hours": []}, {"half_days": [[{"wet": 1}]]}, {"rejected": "x"}, {"half_days": []}]
)
def test_damaged_json_is_refused(spoil):
    table = climate_from_hours(record(31), zone=ZONE).to_json() | spoil
    with pytest.raises(CannotDo) as refused:
        Climate.from_json(table)
    assert refused.value.code == "climate.unreadable"


def test_a_table_with_other_quantiles_is_refused():
    table = climate_from_hours(record(31), zone=ZONE).to_json()
    table["hours"][3][4]["wind_m_s"] = (1.0, 2.0)
    with pytest.raises(CannotDo, match="quantiles"):
        Climate.from_json(table)


@given(st.lists(st.floats(-30, 30), min_size=17, max_size=17), st.floats(-40, 40), st.floats(0, 10))
def test_shares_are_monotone_and_complete(values, limit, more):
    quantiles = tuple(sorted(values))
    below, above = share_beyond(quantiles, "below", limit), share_beyond(quantiles, "above", limit)
    assert 0 <= below <= 1
    assert below + above <= 1 + 1e-9
    assert share_beyond(quantiles, "below", limit + more) >= below
    assert share_beyond(quantiles, "above", limit + more) <= above + 1e-12


def test_a_tie_counts_on_neither_side():
    steady = flat(4.0, 4.0)
    assert share_beyond(steady, "above", 4.0) == share_beyond(steady, "below", 4.0) == 0.0


@settings(deadline=None)
@given(st.integers(0, 11), st.integers(0, 11), st.floats(0, 12))
def test_the_chance_in_a_window_grows_with_its_hours(first, more, limit):
    climate = windy()
    chances = [
        climate.window_chance("wind_m_s", "above", limit, month=1, half=0, hours=range(6 + first, 7 + first + extra))
        for extra in range(min(more, 11 - first) + 1)
    ]
    assert all(low <= high + 1e-12 for low, high in pairwise(chances))


@cache
def windy():
    return climate_from_hours(record(15, wind=lambda at: (at.day * 7 + at.hour * 3) % 11), zone=ZONE)
