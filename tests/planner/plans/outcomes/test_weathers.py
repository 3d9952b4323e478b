"""Weathers happen as often as their chances say, hang together from day to day, and are the same for the same seed."""

from datetime import timedelta
from itertools import pairwise
from math import asin, pi, sqrt
from zoneinfo import ZoneInfo

from hypothesis import given
from hypothesis import strategies as st

from planner.forecast.domain.limits.risk import HalfDayRisk
from planner.plans.outcomes.weathers import Weather, draw_weathers
from tests.planner.dayplans.domain.worlds import AS_OF, ZONE

COUNT = 4000
DRAWN = draw_weathers(from_at=AS_OF, until_at=AS_OF + timedelta(days=10), zone=ZoneInfo(ZONE), count=COUNT, seed=7)
HALF_DAYS = sorted(DRAWN[0].storms)


def test_a_half_day_is_wet_as_often_as_its_chance_says() -> None:
    for from_s in HALF_DAYS:
        for chance in (0.05, 0.3, 0.7):
            wet = sum(one.hits((HalfDayRisk(from_s, chance, 0.0, 0.0),)) for one in DRAWN)
            # Four standard errors of a share of so many draws.
            assert abs(wet / COUNT - chance) < 4 * sqrt(chance * (1 - chance) / COUNT)


def test_neighbouring_half_days_go_together_as_two_normals_do() -> None:
    # Two standard normals with correlation r lie both below their medians with chance 1/4 + asin(r) / (2 pi):
    # Sheppard's theorem (1899), from memory.
    both = 0.25 + asin(0.5) / (2 * pi)
    shares = [sum(one.storms[a] < 0.5 and one.storms[b] < 0.5 for one in DRAWN) / COUNT for a, b in pairwise(HALF_DAYS)]
    assert all(abs(share - both) < 4 * sqrt(both * (1 - both) / COUNT) for share in shares)


def test_storms_wind_and_air_are_drawn_apart() -> None:
    first = HALF_DAYS[0]
    for one, other in (("storms", "winds"), ("storms", "airs"), ("winds", "airs")):
        both = sum(getattr(drawn, one)[first] < 0.5 and getattr(drawn, other)[first] < 0.5 for drawn in DRAWN) / COUNT
        assert abs(both - 0.25) < 4 * sqrt(0.25 * 0.75 / COUNT)


def test_the_same_seed_draws_the_same_and_another_does_not() -> None:
    span = {"from_at": AS_OF, "until_at": AS_OF + timedelta(days=3), "zone": ZoneInfo(ZONE), "count": 5}
    assert draw_weathers(**span, seed=3) == draw_weathers(**span, seed=3)
    assert draw_weathers(**span, seed=3) != draw_weathers(**span, seed=4)


@given(st.floats(0, 1), st.floats(0, 1), st.sampled_from(DRAWN[:50]), st.sampled_from(HALF_DAYS))
def test_what_a_small_chance_hits_a_larger_one_hits_too(
    one: float, other: float, weather: Weather, from_s: int
) -> None:
    low, high = sorted((one, other))
    assert weather.hits((HalfDayRisk(from_s, high, 0.0, 0.0),)) or not weather.hits(
        (HalfDayRisk(from_s, low, 0.0, 0.0),)
    )


def test_nothing_is_certain_and_nothing_impossible() -> None:
    for weather in DRAWN[:50]:
        assert weather.hits((HalfDayRisk(HALF_DAYS[3], 1.0, 0.0, 0.0),))
        assert not weather.hits((HalfDayRisk(HALF_DAYS[3], 0.0, 0.0, 0.0),))
