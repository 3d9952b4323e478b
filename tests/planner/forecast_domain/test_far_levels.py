"""Temperature and wind some days ahead: priced by the error of such forecasts, not taken at their word."""

from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm

from planner.forecast.domain.judge import Judge
from planner.forecast.domain.limits.leads import chance_beyond, error_sd
from tests.planner.forecast_domain.skies import ZONE, even_climate, local, sky, work

GUSTY = work(gust=9.0)
DAYS = 7


def judged(gust_at_10m: float, days_ahead: int):
    """Seven in the morning, so many days after a run at midnight that says one gust all week."""
    week = sky(24 * DAYS, gust_m_s=lambda _: gust_at_10m)
    judge = Judge(series=week, climate=even_climate(), zone=ZONE)
    start_at = local(7, day=days_ahead)
    return judge.start(GUSTY, start_at=start_at, end_at=start_at + timedelta(hours=5), soil="loam")


def limit_at_10m() -> float:
    (part,) = (part for part in judged(0.0, 0).parts if part.limit == "gust_max_m_s")
    assert part.limit_value is not None
    return part.limit_value


def test_a_gust_just_over_its_limit_forbids_tomorrow_and_costs_a_part_of_the_loss_next_week() -> None:
    over = limit_at_10m() + 0.2
    near, far = judged(over, 1), judged(over, 5)
    assert near.forbidden
    assert near.chance_hit == 1.0
    assert not far.forbidden
    assert 0.5 < far.chance_hit < 0.6
    assert near.dollars > far.dollars > 0


def test_a_gust_just_under_its_limit_is_no_promise_next_week() -> None:
    under = limit_at_10m() - 0.2
    assert judged(under, 1).chance_hit == 0.0
    assert 0.4 < judged(under, 5).chance_hit < 0.5


def test_a_storm_forbids_next_week_too_and_says_so() -> None:
    found = judged(limit_at_10m() + 8.0, 5)
    assert found.forbidden
    assert found.reasons


@pytest.mark.parametrize(("days_ahead", "forbidden"), [(2, True), (3, False)])
def test_it_is_taken_at_its_word_for_three_days(days_ahead: int, forbidden: bool) -> None:
    assert judged(limit_at_10m() + 0.5, days_ahead).forbidden is forbidden


def test_a_limit_broken_within_three_days_is_not_made_less_sure_by_a_worse_hour_after_them() -> None:
    """A run at noon is taken at its word until noon of the third day, in the middle of the work."""
    issued_at = local(12)
    over = limit_at_10m() + 0.5
    week = sky(24 * DAYS, start_at=issued_at, gust_m_s=lambda at: over + (0.1 if at >= local(13, day=3) else 0.0))
    judge = Judge(series=week, climate=even_climate(), zone=ZONE)
    found = judge.start(GUSTY, start_at=local(10, day=3), end_at=local(16, day=3), soil="loam")
    assert found.forbidden
    assert found.chance_hit == 1.0


@given(
    worst=st.floats(-10, 40), limit=st.floats(-10, 40), lead_h=st.floats(72.1, 180),
    level=st.sampled_from(["air_temp_c", "wind_m_s", "gust_m_s"]),
)  # fmt: skip
def test_the_chance_is_the_normal_distribution_of_the_error(worst, limit, lead_h, level) -> None:
    """Against SciPy's normal distribution."""
    above = chance_beyond(worst, limit, level=level, side="above", lead_h=lead_h)
    assert above == pytest.approx(norm.sf(limit, loc=worst, scale=error_sd(level, lead_h)), abs=1e-9)
    assert chance_beyond(worst, limit, level=level, side="below", lead_h=lead_h) == pytest.approx(1 - above)


@given(past=st.floats(0.1, 20), lead_h=st.floats(72.1, 170))
def test_the_further_ahead_the_less_a_broken_limit_is_sure(past: float, lead_h: float) -> None:
    near, far = (
        chance_beyond(10 + past, 10, level="gust_m_s", side="above", lead_h=hours) for hours in (lead_h, lead_h + 10)
    )
    assert 0.5 <= far <= near <= 1.0
