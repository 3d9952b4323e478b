"""The map from told to true: never falling, as told below 60 windows, and as good as a reference library's."""

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import isotonic_regression

from planner.forecast.domain.halfday import HalfDays, seconds_of
from planner.forecast.domain.verification.calibration import (
    LEAST_WINDOWS,
    CalibrationMap,
    band_of,
    calibrated,
    fit,
    isotonic,
)
from planner.forecast.domain.verification.scores import Tally, score_of
from planner.forecast.domain.verification.windows import lead_day, span_of
from tests.planner.forecast_domain.skies import ZONE, sky

VALUES = st.lists(
    st.tuples(st.floats(min_value=0, max_value=1), st.floats(min_value=0.5, max_value=50)), min_size=1, max_size=40
)
HALF_DAYS = HalfDays(ZONE)


@given(VALUES)
def test_pooling_gives_what_scipy_gives(pairs: list[tuple[float, float]]) -> None:
    """Source: scipy.optimize.isotonic_regression."""
    values, weights = zip(*pairs, strict=True)
    reference = isotonic_regression(np.array(values), weights=np.array(weights)).x
    assert isotonic(values, weights) == pytest.approx(tuple(reference))


def wet_too_often(windows: int = 20) -> list[Tally]:
    """Half the days of a source that tells half of what comes."""
    return [
        Tally(percent=percent, windows=windows, wet=round(windows * percent / 50)) for percent in (0, 10, 20, 30, 40)
    ]


def test_below_sixty_windows_chances_stay_as_told() -> None:
    half = [Tally(percent=50, windows=LEAST_WINDOWS // 2, wet=0)]
    assert fit(half, [Tally(percent=50, windows=LEAST_WINDOWS // 2 - 1, wet=0)]) is None
    made = fit(half, half)
    assert made is not None
    assert made.windows == LEAST_WINDOWS
    assert made(0.5) == pytest.approx(0.5 * 10 / 70)


def test_a_source_that_tells_too_little_is_drawn_up_and_scores_better() -> None:
    told = wet_too_often()
    made = fit(told, told)
    assert made is not None
    assert made(0.4) == pytest.approx((0.8 * 40 + 0.4 * 10) / 50)
    before = score_of(told)
    after = score_of([replace(one, percent=round(100 * made(one.percent / 100))) for one in told])
    assert before is not None
    assert after is not None
    assert after.brier < before.brier


def test_a_source_that_tells_the_truth_is_left_alone() -> None:
    told = [Tally(percent=percent, windows=100, wet=percent) for percent in range(0, 101, 10)]
    assert fit(told, told) is None


def test_a_map_that_holds_on_one_half_of_the_days_only_is_not_made() -> None:
    wet, dry = ([Tally(percent=50, windows=60, wet=count)] for count in (60, 0))
    assert fit(wet, dry) is None
    assert fit(wet, []) is None


def test_no_class_reads_as_surely_dry_or_wet_for_want_of_windows() -> None:
    half = [Tally(percent=30, windows=40, wet=0), Tally(percent=70, windows=40, wet=40)]
    made = fit(half, half)
    assert made is not None
    assert 0 < made(0.0) <= made(0.3) < made(0.7) <= made(1.0) < 1


@given(
    st.lists(
        st.tuples(st.integers(0, 100), st.integers(1, 60), st.floats(0, 1)).map(
            lambda one: Tally(percent=one[0], windows=one[1], wet=round(one[1] * one[2]))
        ),
        min_size=1,
        max_size=20,
    ),
    st.floats(0, 1),
    st.floats(0, 1),
)
def test_it_never_falls_and_stays_a_chance(tallies: list[Tally], a: float, b: float) -> None:
    made = fit(tallies, tallies)
    if made is None:
        return
    low, high = sorted((a, b))
    assert 0 <= made(low) <= made(high) + 1e-12
    assert made(high) <= 1


def test_the_highest_hour_of_a_half_day_stays_the_highest() -> None:
    made = fit(wet_too_often(), wet_too_often())
    assert made is not None
    series = sky(96, rain_chance=lambda at: (at.hour % 5) / 10)
    mapped = calibrated(series, {"near": made, "far": made}, HALF_DAYS)
    for part in HALF_DAYS.slices(seconds_of(series.start_at), seconds_of(series.end_at)):
        from_at, until_at = span_of(part.block)
        told = [value for value in series.between("rain_chance", from_at, until_at) if value is not None]
        came = [value for value in mapped.between("rain_chance", from_at, until_at) if value is not None]
        assert max(came) == pytest.approx(made(max(told)))


def test_without_a_map_it_is_the_very_same_series() -> None:
    series = sky(48, rain_chance=lambda _: 0.3)
    assert calibrated(series, {}, HALF_DAYS) is series


def test_each_half_day_goes_by_the_lead_at_which_it_begins_and_unknown_stays_unknown() -> None:
    double = CalibrationMap(points=((0.0, 0.0), (0.5, 1.0)), windows=99)
    series = sky(168, rain_chance=lambda at: None if at.hour == 3 else 0.2)
    mapped = calibrated(series, {"far": double}, HALF_DAYS)
    for at, value in enumerate(mapped.rain_chance):
        hour_at = series.start_at + timedelta(hours=at)
        begins_at, _ = span_of(HALF_DAYS.holding(seconds_of(hour_at)))
        if series.rain_chance[at] is None:
            assert value is None
        else:
            far = band_of(lead_day(series.issued_at, begins_at)) == "far"
            assert value == pytest.approx(0.4 if far else 0.2)
    assert mapped.rain_mm == series.rain_mm
