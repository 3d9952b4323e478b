"""Recorded weather at other dates: the demo's week, one path with the live service, and honest limits."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.domain.errors import CannotDo, OutsideFailure
from planner.forecast.domain.place import Place
from planner.forecast.domain.series import VARIABLES
from planner.forecast.sources.replay import ReplaySource, issue_time
from tests.planner.forecast.weather import MONDAY, SHIFT, SITE, ZONE, ewr_2013, replay


def day_shift(day: int) -> tuple[datetime, datetime]:
    """06:00 to 18:00 local, that many days after the demo's Monday."""
    six = datetime(2026, 6, 1, 6, tzinfo=ZoneInfo(ZONE)) + timedelta(days=day)
    return six, six + timedelta(hours=12)


def fell_mm(day: int) -> float:
    return sum(mm for mm in replay().observations(*day_shift(day)).rain_mm if mm is not None)


def test_the_demos_week_has_a_wet_spell_and_dry_days_around_it() -> None:
    wet, dry = (2, 3), (0, 1, 4, 6, 7, 8)
    assert all(fell_mm(day) > 10 for day in wet)
    assert all(fell_mm(day) < 0.254 for day in dry)


def test_mondays_forecast_sees_the_wet_spell_coming() -> None:
    series = replay().fetch(SITE, MONDAY).series
    tops = [max(v for v in series.between("rain_chance", *day_shift(day)) if v is not None) for day in range(5)]
    assert max(tops[0], tops[1], tops[4]) < 0.3 < 0.5 < min(tops[2], tops[3])


def test_the_answer_carries_its_own_times() -> None:
    fetched = replay().fetch(SITE, MONDAY)
    assert (fetched.source, fetched.series.source, fetched.grid_key) == ("replay", "replay", "replay/40.70,-74.20")
    assert fetched.issued_at == datetime(2026, 6, 1, 8, 25, tzinfo=UTC)
    assert fetched.fetched_at == MONDAY
    assert fetched.series.end_at > MONDAY + timedelta(days=7)
    assert fetched.body.startswith(b"{")


@given(st.datetimes(datetime(2026, 1, 1), datetime(2027, 1, 1), timezones=st.just(UTC)))  # noqa: DTZ001
def test_the_newest_run_is_at_most_six_hours_old(as_of: datetime) -> None:
    issued_at = issue_time(as_of)
    assert timedelta(0) <= as_of - issued_at < timedelta(hours=6)
    assert (issued_at.hour, issued_at.minute, issued_at.second) in {(h, 25, 0) for h in (2, 8, 14, 20)}


def test_between_two_runs_the_answer_is_the_same() -> None:
    first = replay().fetch(SITE, MONDAY)
    later = replay().fetch(SITE, MONDAY + timedelta(hours=4))
    assert later.series == first.series
    assert replay().fetch(SITE, MONDAY + timedelta(hours=5)).issued_at > first.issued_at


def test_places_differ_a_little_and_always_the_same_way() -> None:
    near = replay().fetch(Place(latitude=40.9, longitude=-74.4), MONDAY).series
    here = replay().fetch(SITE, MONDAY).series
    assert near.air_temp_c != here.air_temp_c
    temperatures = zip(near.air_temp_c, here.air_temp_c, strict=True)
    assert max(abs(a - b) for a, b in temperatures if a is not None and b is not None) < 3.0
    chances = zip(near.rain_chance, here.rain_chance, strict=True)
    assert max(abs(a - b) for a, b in chances if a is not None and b is not None) < 0.25
    assert ReplaySource(ewr_2013(), shift=SHIFT, seed=4).fetch(SITE, MONDAY).series == here
    same_cell = replay().fetch(Place(latitude=40.7004, longitude=-74.2), MONDAY)
    assert same_cell.grid_key == "replay/40.70,-74.20"


def test_observations_are_the_record_with_its_gaps() -> None:
    source = replay()
    stamp = datetime(2013, 7, 2, 11, tzinfo=UTC) + SHIFT
    assert source.observations(stamp, stamp + timedelta(hours=1)).air_temp_c == (None,)
    whole = source.observations(datetime(2025, 1, 1, tzinfo=UTC), datetime(2028, 1, 1, tzinfo=UTC))
    assert whole.air_temp_c == ewr_2013().air_temp_c
    assert whole.start_at == ewr_2013().start_at + SHIFT


def test_a_forecast_has_no_gap_where_an_instrument_failed() -> None:
    series = replay().fetch(SITE, datetime(2013, 7, 1, 12, tzinfo=UTC) + SHIFT).series
    for name in set(VARIABLES) - {"rain_mm"}:
        assert None not in getattr(series, name), name


@pytest.mark.parametrize("at", [datetime(2013, 1, 1, tzinfo=UTC), datetime(2014, 2, 1, tzinfo=UTC)])
def test_outside_the_record_a_person_is_told_its_span(at: datetime) -> None:
    with pytest.raises(CannotDo) as caught:
        replay().fetch(SITE, at + SHIFT)
    assert caught.value.code == "forecast.no_recorded_weather"
    assert "2026-01-27" in caught.value.says


def test_the_last_day_of_the_record_is_too_short() -> None:
    with pytest.raises(OutsideFailure) as caught:
        replay().fetch(SITE, datetime(2013, 12, 30, 12, tzinfo=UTC) + SHIFT)
    assert caught.value.code == "forecast.no_future"


def test_weekdays_may_not_move() -> None:
    with pytest.raises(ValueError, match="whole weeks"):
        ReplaySource(ewr_2013(), shift=timedelta(days=3))


@pytest.mark.parametrize("key", ["PHI/85,102", "replay/", "replay/40.70,-74.20/x"])
def test_a_key_of_another_source_is_refused(key: str) -> None:
    with pytest.raises(CannotDo) as caught:
        replay().fetch_grid(key, MONDAY)
    assert caught.value.code == "forecast.unknown_key"


@pytest.mark.parametrize(("latitude", "longitude", "field"), [(90.1, 0, "latitude"), (0, -180.1, "longitude")])
def test_a_place_off_the_map_is_refused(latitude: float, longitude: float, field: str) -> None:
    with pytest.raises(CannotDo) as caught:
        Place(latitude=latitude, longitude=longitude)
    assert caught.value.field == field


@pytest.mark.parametrize(
    ("latitude", "longitude", "text"),
    [
        (40.7, -74.25, "40.7,-74.25"),
        (30, -85, "30,-85"),
        (0.00001, -0.00001, "0,0"),
        (41.96749, -71.18851, "41.9675,-71.1885"),
    ],
)
def test_a_place_is_asked_with_four_decimals_and_no_zeros(latitude: float, longitude: float, text: str) -> None:
    """Source: the service's general questions: at most 4 decimals."""
    assert Place(latitude=latitude, longitude=longitude).text == text
