"""Chance of rain against real forecasts and what was measured, where the record lies beside the project."""

from itertools import pairwise

import pytest

from planner.forecast.domain.chance import any_of, chance_of_rain, duration_factor
from tests.planner.forecast_domain.real_record import ZONE, issued_windows, needs_record
from tests.planner.forecast_domain.skies import even_climate

pytestmark = needs_record

# Climate plays no part: only wholly known windows are read.
CLIMATE = even_climate(wet_chance=0.257)
INSIDE = [(7, 2), (7, 4), (7, 6), (7, 11), (10, 2), (10, 4), (10, 6), (10, 8), (13, 2), (13, 4), (13, 5), (6, 12)]
ACROSS = [(6, 24), (6, 48), (6, 72)]


def told_and_seen(start_hour: int, hours: int) -> list[tuple[float, bool]]:
    """Chance and outcome of every window at every working gauge, 1 to 3 days ahead."""
    return [
        (chance_of_rain(one.series, CLIMATE, one.from_at, one.until_at, 0.254, ZONE).probability, wet)
        for one in issued_windows(start_hour, hours)
        for wet in one.wet
    ]


# Own tolerance: 0.15, two standard errors of a share of some 300 windows of one summer, where days hang together.
@pytest.mark.parametrize(("hours", "starts"), [(2, (7, 10, 13)), (4, (7, 10, 13)), (6, (7, 10)), (12, (6,))])
def test_the_duration_factor_fits_the_record(hours, starts):
    highest_sum = wet_sum = 0.0
    for start_hour in starts:
        for one in issued_windows(start_hour, hours):
            highest = max(value or 0.0 for value in one.series.between("rain_chance", one.from_at, one.until_at))
            highest_sum += highest * len(one.wet)
            wet_sum += sum(one.wet)
    assert wet_sum / highest_sum == pytest.approx(duration_factor(hours), abs=0.15)


# Own bound: told and seen differ by no more than 0.07 on average in any kind of window.
@pytest.mark.parametrize(("start_hour", "hours"), INSIDE + ACROSS)
def test_told_and_seen_agree_on_average(start_hour, hours):
    pairs = told_and_seen(start_hour, hours)
    assert len(pairs) > 100
    told, seen = (sum(column) / len(pairs) for column in zip(*pairs, strict=True))
    assert told == pytest.approx(seen, abs=0.07)


# Own bound: in every class of ten-hundredths with 100 windows or more, told and seen differ by at most 0.15.
def test_it_is_reliable_from_low_to_high():
    pairs = [pair for window in INSIDE for pair in told_and_seen(*window)]
    classes = 0
    for low, high in pairwise((0.0, 0.05, 0.1, 0.2, 0.3, 0.4, 0.6, 0.8)):
        inside = [pair for pair in pairs if low <= pair[0] < high]
        if len(inside) < 100:
            continue
        classes += 1
        told, seen = (sum(column) / len(inside) for column in zip(*inside, strict=True))
        assert told == pytest.approx(seen, abs=0.15), f"{low} to {high}"
    assert classes >= 6


@pytest.mark.parametrize(("start_hour", "hours"), [*INSIDE, (6, 24), (6, 48)])
def test_it_beats_always_saying_the_usual(start_hour, hours):
    """Brier score below that of the record's own share of wet windows."""
    pairs = told_and_seen(start_hour, hours)
    usual = sum(seen for _, seen in pairs) / len(pairs)
    brier = sum((told - seen) ** 2 for told, seen in pairs) / len(pairs)
    assert brier < usual * (1 - usual)


def test_a_product_over_hours_would_cry_wolf():
    """Why hours are not multiplied: it would tell more than twice what was seen."""
    told = seen = 0.0
    for one in issued_windows(6, 12):
        hourly = [value or 0.0 for value in one.series.between("rain_chance", one.from_at, one.until_at)]
        told += any_of(hourly) * len(one.wet)
        seen += sum(one.wet)
    assert told > 2 * seen
