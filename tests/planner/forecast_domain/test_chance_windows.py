"""Chance of rain in a window: hand-worked windows, the measured figures, published sums."""

from math import exp

import pytest

from planner.forecast.domain.chance import amount_factor, any_of, chance_of_rain, duration_factor
from tests.planner.forecast_domain.skies import ZONE, even_climate, local, sky, unknown_after

CLIMATE = even_climate(wet_chance=0.3, wet_mean_mm=5.0)


def chance(series, from_hour, until_hour, amount_mm=0.254, **more):
    return chance_of_rain(series, CLIMATE, local(from_hour), local(until_hour), amount_mm, ZONE, **more)


def test_inside_a_half_day_the_highest_hour_counts_once():
    series = sky(rain_chance=lambda at: 0.8 if at.hour == 15 else 0.4)
    assert chance(series, 6, 18).probability == pytest.approx(0.8)
    assert chance(series, 14, 16).probability == pytest.approx(0.8 * 0.4)
    assert chance(series, 7, 13).probability == pytest.approx(0.4 * 0.75)


def test_across_half_days_the_dry_chances_multiply():
    series = sky(rain_chance=lambda at: 0.5 if 6 <= at.hour < 18 else 0.2)
    whole = chance(series, 6, 30)
    assert whole.probability == pytest.approx(1 - 0.5 * 0.8)
    assert [part.probability for part in whole.parts] == pytest.approx([0.5, 0.2])
    assert chance(series, 16, 20).probability == pytest.approx(1 - (1 - 0.5 * 0.4) * (1 - 0.2 * 0.4))


def test_without_a_forecast_climate_answers():
    nothing = chance(None, 6, 12)
    assert nothing.probability == pytest.approx(0.3 * 0.75)
    assert nothing.known_share == 0.0


def test_a_half_known_half_day_takes_the_worse_of_the_known_and_the_unknown_hours():
    dry_till_noon = sky(rain_chance=unknown_after(local(12), 0.0))
    half = chance(dry_till_noon, 6, 18)
    assert half.probability == pytest.approx(0.3 * 0.75)
    assert half.known_share == pytest.approx(0.5)
    wet_till_noon = sky(rain_chance=unknown_after(local(12), 0.7))
    assert chance(wet_till_noon, 6, 18).probability == pytest.approx(0.7)


def test_an_amount_follows_the_forecasts_mean_of_wet_half_days():
    # 12 h x 0.4 mm at a chance of 0.6: 8 mm if wet.
    series = sky(rain_chance=lambda at: 0.6, rain_mm=lambda at: 0.4)
    assert chance(series, 6, 18, 5.0).probability == pytest.approx(0.6 * exp(-(5 - 0.254) / (8 - 0.254)))


def test_an_unknown_amount_takes_climates_mean():
    series = sky(rain_chance=lambda at: 0.6, rain_mm=lambda at: None)
    assert chance(series, 6, 18, 5.0).probability == pytest.approx(0.6 * exp(-1.0))


@pytest.mark.parametrize(("hourly_mm", "mean_mm"), [(0.0, 2.5), (9.0, 20.0)])
def test_an_amount_that_contradicts_its_chance_is_kept_near_climate(hourly_mm, mean_mm):
    series = sky(rain_chance=lambda at: 0.6, rain_mm=lambda at: hourly_mm)
    assert chance(series, 6, 18, 5.0).probability == pytest.approx(0.6 * exp(-(5 - 0.254) / (mean_mm - 0.254)))


def test_hours_cut_by_the_window_count_by_their_minutes():
    series = sky(rain_chance=lambda at: 0.5)
    assert chance(series, 8.5, 9.5).probability == pytest.approx(0.5 * 0.2)


def test_an_empty_window_has_no_rain():
    empty = chance(sky(), 8, 8)
    assert (empty.probability, empty.parts) == (0.0, ())


@pytest.mark.parametrize(("until_hour", "amount_mm"), [(7, 1.0), (9, -1.0)])
def test_a_reversed_window_or_a_negative_amount_is_refused(until_hour, amount_mm):
    with pytest.raises(ValueError, match="runs forward"):
        chance(sky(), 8, until_hour, amount_mm)


def test_a_night_of_25_hours_is_one_half_day():
    """Clocks go back on 1 November 2026: the night has 13 hours, its chance counts once, wholly."""
    night = (local(18, day=108), local(18, day=109))
    found = chance_of_rain(None, CLIMATE, *night, 0.254, ZONE)
    hours = [(part.until_at - part.from_at).total_seconds() / 3600 for part in found.parts]
    assert night[0].astimezone(ZONE).date().isoformat() == "2026-10-31"
    assert hours[0] == 13.0
    assert found.parts[0].probability == pytest.approx(0.3)


# Source: forecasts of the US weather service against two gauges at one site, summer 2026, 1 to 3 days ahead
# (mean of the highest hour, share of windows wet), as tabulated with the record.
@pytest.mark.parametrize(
    ("hours", "mean_of_highest", "wet_share", "tolerance"),
    [(2, 0.28, 0.11, 0.02), (4, 0.30, 0.19, 0.03), (12, 0.32, 0.30, 0.03)],
)
def test_measured_windows_inside_a_half_day(hours, mean_of_highest, wet_share, tolerance):
    assert mean_of_highest * duration_factor(hours) == pytest.approx(wet_share, abs=tolerance)


# Source: the same record: 1 - product over half-days gave .48, .68, .79 where .42, .65, .75 were wet.
@pytest.mark.parametrize(("half_days", "computed", "wet_share"), [(2, 0.48, 0.42), (4, 0.68, 0.65), (6, 0.79, 0.75)])
def test_measured_windows_across_half_days(half_days, computed, wet_share):
    steady = 1 - (1 - computed) ** (1 / half_days)
    series = sky(rain_chance=lambda at: steady)
    assert chance(series, 6, 6 + 12 * half_days).probability == pytest.approx(computed)
    assert chance(series, 6, 6 + 12 * half_days).probability == pytest.approx(wet_share, abs=0.06)


# Source: 1 - product(1 - p) of independent periods, computed; .2 and .3 give .44.
def test_independent_periods_combine():
    assert any_of([0.2, 0.3]) == pytest.approx(0.44)
    # Three dry days at .2, .3, .4 a day: .512, .343, .216.
    for daily, dry in ((0.2, 0.512), (0.3, 0.343), (0.4, 0.216)):
        assert 1 - any_of([daily] * 3) == pytest.approx(dry, abs=5e-4)


# Source: the measured record: at a chance of 80 in 100, 5 mm or more fell in 19 to 38 in 100 half-days.
def test_heavy_rain_at_a_high_chance_lies_in_the_measured_range():
    assert 0.19 <= 0.8 * amount_factor(5.0, 4.5) <= 0.38
