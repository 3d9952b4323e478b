"""What a start costs: chance of a hit times the loss."""

import time
from datetime import timedelta
from math import exp
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.forecast.domain.halfday import HalfDays
from planner.forecast.domain.judge import Judge
from planner.forecast.domain.judgement import Usual, expected_loss
from tests.planner.forecast_domain.skies import SLAB, ZONE, even_climate, judge_start, local, sky, work

CLIMATE = even_climate()
DRY_PAST = sky(96, start_at=local(0, day=-4))


def judge(exposure, series, from_hour=7, until_hour=12, **more):
    asked: dict[str, Any] = {"climate": CLIMATE, "zone": ZONE, "soil": "clay", "observed": DRY_PAST} | more
    return judge_start(exposure, local(from_hour), local(until_hour), series=series, **asked)


# Source: cost-loss model of decision theory: act when p > C/L; thresholds and expected costs computed from it.
@pytest.mark.parametrize(
    ("cost", "loss", "threshold"), [(1500, 12000, 0.125), (800, 4000, 0.2), (2500, 6000, 0.4167), (400, 10000, 0.04)]
)
def test_at_the_threshold_waiting_and_going_cost_the_same(cost, loss, threshold):
    assert expected_loss(threshold, loss) == pytest.approx(cost, abs=1)
    assert expected_loss(threshold + 0.01, loss) > cost > expected_loss(threshold - 0.01, loss)


@pytest.mark.parametrize(("chance", "dollars"), [(0.05, 600), (0.10, 1200), (0.125, 1500), (0.20, 2400), (0.30, 3600)])
def test_expected_loss_of_a_12000_dollar_pour(chance, dollars):
    """Source: the same table; a whole half-day makes the window's chance the forecast's."""
    judged = judge(work(during=0, forbid=1.0, loss=12000), sky(rain_chance=lambda at: chance), 6, 18)
    assert judged.chance_hit == pytest.approx(chance)
    assert judged.dollars == dollars


def test_half_a_dollar_rounds_up():
    assert (expected_loss(0.125, 100), expected_loss(0.124, 100), expected_loss(0.5, 1)) == (13, 12, 1)


def test_one_rain_over_during_and_after_counts_once():
    """Both lie in the afternoon: the higher of the two chances, not both."""
    series = sky(rain_chance=lambda at: 0.6)
    exposure = work(during=0, after=0, after_hours=4, forbid=1.0)
    judged = judge(exposure, series, 6, 8)
    assert judged.chance_hit == pytest.approx(0.6 * 0.575)
    # The evening is another half-day: 06 to 18 and 18 to 22.
    judged = judge(exposure, series, 6, 18)
    assert judged.chance_hit == pytest.approx(1 - 0.4 * (1 - 0.6 * 0.575))


def test_forecast_rain_before_the_start_is_priced_by_the_ground():
    """Night before, 18 to 06, start at 06: the rain's middle lies 6 h back, clay at 48 h an inch needs 3.125 mm."""
    series = sky(rain_chance=lambda at: 0.5 if at >= local(18) else 0.0, rain_mm=lambda at: None)
    judged = judge(work(clay=48, forbid=1.0), series, 30, 36)
    assert judged.chance_hit == pytest.approx(0.5 * exp(-(3.125 - 0.254) / (5 - 0.254)))
    sand = judge(work(clay=48, forbid=1.0), series, 30, 36, soil="sand")
    assert sand.chance_hit < judged.chance_hit


def test_measured_rain_leaves_less_to_fall():
    """10 of 12 mm fell: 2 more are enough. The half-known night keeps climate's mean of 5 mm."""
    series = sky(rain_chance=lambda at: 0.5, rain_mm=lambda at: None)
    fell = sky(24, start_at=local(-24), rain_mm=lambda at: 10.0 if at.hour == 22 else 0.0)
    exposure = work(before=12, before_hours=12, forbid=1.0)
    judged = judge(exposure, series, 6, 8, observed=fell)
    assert judged.chance_hit == pytest.approx(0.5 * 0.75 * exp(-(2 - 0.254) / (5 - 0.254)))


def test_unmeasured_hours_of_the_past_are_asked_of_climate():
    """Measured dry to midnight but for six hours 18 to 24, two days' look-back dry otherwise."""
    holed = sky(72, start_at=local(0, day=-2), rain_mm=lambda at: None if local(-6) <= at < local(0) else 0.0)
    judged = judge(work(before=0, before_hours=24, forbid=1.0), sky(), 10, 12, observed=holed)
    assert judged.chance_hit == pytest.approx(0.3 * 0.75)
    assert judge(work(before=0, before_hours=24), sky(), 10, 12, observed=None).chance_hit > judged.chance_hit


def test_a_task_without_a_total_is_priced_by_its_rate():
    judged = judge(work(stop=5, forbid=1.0), sky(rain_chance=lambda at: 0.5, rain_mm=lambda at: None), 6, 18)
    assert judged.chance_hit == pytest.approx(0.5 * exp(-1))


def test_unknown_wind_is_priced_from_its_spread():
    """Gusts spread evenly 0 to 6 m/s, limit 4.5: a quarter of the hours, whatever the mean says."""
    judged = judge(work(gust=4.5), sky(gust_m_s=lambda at: None))
    assert judged.chance_hit == pytest.approx(0.25, abs=0.01)
    assert judged.dollars == expected_loss(judged.chance_hit, 1000)


def test_each_limit_is_told_apart():
    judged = judge(SLAB, sky(gust_m_s=lambda at: None))
    by_limit = {part.limit: part for part in judged.parts}
    assert set(by_limit) == {
        "air_min_c", "air_max_c", "gust_max_m_s", "thunder", "rain_stop", "rain_before", "rain_during", "rain_after",
        "ground",
    }  # fmt: skip
    assert by_limit["gust_max_m_s"].known_share == 0.0
    assert by_limit["air_min_c"].worst == 20.0
    assert by_limit["air_min_c"].limit_value == 4.4
    assert all(part.source for part in judged.parts)


chances = st.floats(0, 1)
hours = st.integers(0, 70)
maybe_hours = st.lists(st.one_of(st.none(), chances), min_size=96, max_size=96)


def read(values):
    return lambda moment: values[int((moment - local(0)) / timedelta(hours=1)) % 96]


@settings(deadline=None, max_examples=30)
@given(maybe_hours, maybe_hours, hours, st.integers(1, 20), st.integers(0, 10), st.sampled_from(["sand", "clay"]))
def test_a_verdict_keeps_its_bounds_and_grows_with_the_work(rain, share, start, length, longer, soil):
    series = sky(
        rain_chance=read(rain),
        rain_mm=lambda at: None if read(share)(at) is None else 8 * (read(share)(at) or 0.0),
        gust_m_s=lambda at: None if read(rain)(at) is None else 15 * (read(rain)(at) or 0.0),
    )
    exposure = work(during=1, after=1, after_hours=6, gust=13, clay=24, before=5, before_hours=12)
    short = judge(exposure, series, start, start + length, soil=soil)
    assert 0 <= short.chance_hit <= 1
    assert 0 <= short.known_share <= 1
    assert 0 <= short.dollars <= exposure.loss_dollars
    assert all(0 <= part.chance <= 1 for part in short.parts)
    assert short.safe_at >= short.end_at
    during = {part.limit: part.chance for part in short.parts}["rain_during"]
    grown = judge(exposure, series, start, start + length + longer, soil=soil)
    assert {part.limit: part.chance for part in grown.parts}["rain_during"] >= during - 1e-12


@settings(deadline=None, max_examples=30)
@given(maybe_hours, hours, st.integers(1, 14))
def test_forgetting_the_forecast_takes_every_ban_away(rain, start, length):
    series = sky(rain_chance=read(rain), wind_m_s=lambda at: 20 * (read(rain)(at) or 0.0))
    exposure = work(during=0, wind=9, forbid=0.3)
    known = judge(exposure, series, start, start + length)
    nothing = judge(exposure, None, start, start + length)
    assert not nothing.forbidden
    inside = [read(rain)(local(start + hour)) for hour in range(length)]
    if known.forbidden:
        assert any(value is not None for value in inside)


def candidates(days, *, work_hours=6):
    """Hourly inside a week, one at 07:00 and one at 12:00 beyond."""
    clock = [(day, hour) for day in range(min(days, 8)) for hour in range(7, 15)]
    clock += [(day, hour) for day in range(8, days) for hour in (7, 12)]
    return [(local(hour, day=day), local(hour + work_hours, day=day)) for day, hour in clock]


def test_a_table_says_what_single_verdicts_say():
    series = sky(60, rain_chance=lambda at: at.hour / 24, gust_m_s=lambda at: at.hour)
    asked: dict[str, Any] = {"series": series, "climate": CLIMATE, "zone": ZONE, "soil": "loam", "observed": DRY_PAST}
    starts = candidates(20)
    judge_of_site = Judge(series=series, climate=CLIMATE, zone=ZONE, observed=DRY_PAST)
    table = judge_of_site.table(SLAB, starts, soil="loam")
    singles = tuple(judge_start(SLAB, begin, end, **asked) for begin, end in starts)
    assert table == singles
    assert [(row.start_at, row.end_at) for row in table] == starts


def test_the_order_of_asking_changes_nothing():
    starts = candidates(40)
    one, other = (Judge(series=sky(), climate=CLIMATE, zone=ZONE, observed=DRY_PAST) for _ in range(2))
    assert one.table(SLAB, starts, soil="clay") == other.table(SLAB, starts[::-1], soil="clay")[::-1]


def test_judges_that_share_what_is_usual_say_what_lone_ones_say():
    """Skies of unequal length: where one ends and the usual begins must not leak into another."""
    skies = [sky(60, rain_chance=lambda at: at.hour / 24), sky(100, gust_m_s=lambda at: at.hour), None]
    usual = Usual(half_days=HalfDays(ZONE))
    starts = candidates(40)
    for series in skies:
        lone = Judge(series=series, climate=CLIMATE, zone=ZONE, observed=DRY_PAST)
        sharing = Judge(series=series, climate=CLIMATE, zone=ZONE, observed=DRY_PAST, usual=usual)
        assert sharing.table(SLAB, starts, soil="clay") == lone.table(SLAB, starts, soil="clay")
        assert sharing.table(SLAB, starts, soil="sand") == lone.table(SLAB, starts, soil="sand")


def test_a_season_of_half_a_branch_is_judged_in_seconds():
    """Our own bound: 100 tasks of 24 kinds on 4 sites over 90 days, one judge a site, within 5 s of processor time."""
    series = sky(
        7 * 24,
        rain_chance=lambda at: 0.1 + (at.hour % 7) / 10,
        rain_mm=lambda at: 0.3 * (at.hour % 3),
        gust_m_s=lambda at: 2.0 + at.hour % 9,
    )
    kinds = [
        work(during=0.5 + kind / 10, after=1, after_hours=8, sets=kind % 2 == 0, before=12, before_hours=24, stop=2.5,
             air=(4.4, 35), wind=9, gust=13, thunder=True, clay=24)
        for kind in range(24)
    ]  # fmt: skip
    judges = [Judge(series=series, climate=CLIMATE, zone=ZONE, observed=DRY_PAST) for _ in range(4)]
    began = time.process_time()
    verdicts = 0
    for task in range(100):
        starts = candidates(90, work_hours=4 + task % 5)
        verdicts += len(judges[task % 4].table(kinds[task % 24], starts, soil="clay"))
    spent = time.process_time() - began
    assert verdicts == 100 * (8 * 8 + 82 * 2)
    assert spent < 5, f"{spent:.1f} s for {verdicts} verdicts"
