"""The record's own verdict on work, on hours laid out by hand. Values: invented."""

from datetime import UTC, datetime, timedelta

import pytest

from jobs.methods.loader import load_exposures
from planner.forecast.domain.truth import TrueWeather
from tests.benchmarks.season.truth import Truth

HOUR = timedelta(hours=1)
BEGINS = datetime(2026, 6, 1, 4, tzinfo=UTC)
EXPOSURES = load_exposures()


def hours(*, rain: dict[int, float] | None = None, cold: range = range(0)) -> Truth:
    """Ten days from midnight of 1 June in New York at 20 °C, calm, with rain [mm] and 0 °C in the hours named."""
    count = 240
    return Truth(
        TrueWeather(
            start_at=BEGINS,
            zone="America/New_York",
            air_temp_c=tuple(0.0 if at in cold else 20.0 for at in range(count)),
            dew_point_c=(10.0,) * count,
            wind_m_s=(2.0,) * count,
            gust_m_s=(3.0,) * count,
            rain_mm=tuple((rain or {}).get(at, 0.0) for at in range(count)),
        )
    )


def pour(truth: Truth, hour: int) -> tuple[str, ...]:
    """What hits a floor pour of six hours on sand from an hour on."""
    start_at = BEGINS + hour * HOUR
    return truth.happened(EXPOSURES["slab_pour"], "sand", start_at, start_at + 6 * HOUR).by


def test_a_dry_mild_day_hurts_nothing() -> None:
    assert pour(hours(), 7) == ()


@pytest.mark.parametrize(("at", "hit"), [(10, True), (15, True), (40, False)])
def test_rain_counts_while_it_is_poured_and_until_it_has_set(at: int, hit: bool) -> None:
    """Poured from 7 to 13: rain at 10 falls on it, at 15 on what has not set, the next day on stone."""
    assert bool(pour(hours(rain={at: 20.0}), 7)) is hit


def test_cold_counts_in_the_hours_of_work() -> None:
    assert "cold" in pour(hours(cold=range(7, 13)), 7)
    assert pour(hours(cold=range(60, 70)), 7) == ()


def test_wet_clay_keeps_a_dig_waiting_and_dries() -> None:
    """25 mm on clay keep a crew waiting two days (the exposure's 48 h); three days later it is dry."""
    truth = hours(rain={6: 25.0})

    def dig(hour: int) -> tuple[str, ...]:
        start_at = BEGINS + hour * HOUR
        return truth.happened(EXPOSURES["dig"], "clay", start_at, start_at + 6 * HOUR).by

    assert "wet ground" in dig(31)
    assert dig(79) == ()


def test_work_over_days_is_not_hurt_by_the_cold_of_a_night() -> None:
    nights = hours(cold=range(22, 28))
    start_at = BEGINS + 7 * HOUR
    assert nights.happened(EXPOSURES["dig"], "sand", start_at, start_at + 30 * HOUR).by == ()
