"""One case a verdict: what the forecast says, and what the watch asks for."""

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jobs.domain.exposure import Measure
from planner.forecast.domain.freshness import Freshness
from planner.watch.domain.report import Verdict
from planner.watch.domain.verdict import SEVERITY, Case, raised, steadied, verdict_of
from tests.planner.forecast_domain.skies import local, sky, work
from tests.planner.watch.worlds import between, booked, rain, watched

GOOD: dict[str, Any] = {
    "usable": True,
    "complete": True,
    "forbidden": False,
    "near": False,
    "pays": False,
    "chance": 0.1,
    "going_dollars": 100,
    "moving_dollars": 200,
}


@pytest.mark.parametrize(
    ("changes", "verdict"),
    [
        ({}, Verdict.NO_LIMIT),
        ({"near": True}, Verdict.PREPARE),
        ({"pays": True}, Verdict.PREPARE),
        ({"chance": 0.5}, Verdict.PREPARE),
        ({"chance": 0.499}, Verdict.NO_LIMIT),
        ({"forbidden": True}, Verdict.MOVE),
        ({"going_dollars": 201}, Verdict.MOVE),
        ({"going_dollars": 200}, Verdict.NO_LIMIT),
        ({"going_dollars": 201, "near": True}, Verdict.MOVE),
        ({"complete": False}, Verdict.UNKNOWN),
        ({"complete": False, "near": True}, Verdict.PREPARE),
        ({"complete": False, "forbidden": True}, Verdict.MOVE),
        ({"usable": False}, Verdict.UNKNOWN),
        ({"usable": False, "forbidden": True, "near": True, "going_dollars": 999}, Verdict.UNKNOWN),
    ],
)
def test_each_case_has_one_verdict(changes, verdict):
    assert verdict_of(Case(**(GOOD | changes))) is verdict


def test_a_calm_dry_mild_day_reaches_no_limit():
    start = watched(series=sky(144))
    assert start.verdict is Verdict.NO_LIMIT
    assert start.chance_hit == 0.0
    assert start.known_share == 1.0
    assert not start.measures
    assert {reading.state for reading in start.readings} <= {"clear", "on_site"}


def test_likely_rain_moves_a_pour_that_nobody_has_booked():
    """Friday's ground may still be wet from it, so the cheaper day is the Monday after."""
    start = watched(series=rain(0.5))
    assert start.verdict is Verdict.MOVE
    assert start.move_to == local(7, day=5)
    assert start.going_dollars > start.moving_dollars


def test_the_same_rain_is_prepared_for_where_moving_costs_the_pump():
    """The pump's fee is lost 24 h before, the plant's 12 h: 05:00 the same morning is too late for both."""
    start = watched(series=rain(0.3), now=local(5, day=1), bookings=(booked(7, 1), booked(7, 2)))
    assert start.verdict is Verdict.PREPARE
    assert [measure.title for measure in start.measures] == ["Frames + sheet"]
    assert start.going_dollars < start.moving_dollars


@pytest.mark.parametrize(
    ("drawn", "limit", "state", "verdict"),
    [
        ({"gust_m_s": between(10, 11, 13.1, 3.0)}, "gust_max_m_s", "reached", Verdict.MOVE),
        ({"gust_m_s": between(10, 11, 11.0, 3.0)}, "gust_max_m_s", "near", Verdict.PREPARE),
        ({"gust_m_s": between(10, 11, 10.3, 3.0)}, "gust_max_m_s", "clear", Verdict.NO_LIMIT),
        ({"air_temp_c": between(20, 21, 4.3, 12.0)}, "air_min_c", "reached", Verdict.PREPARE),
        ({"air_temp_c": between(20, 21, 6.0, 12.0)}, "air_min_c", "near", Verdict.PREPARE),
        ({"air_temp_c": between(12, 13, 35.1, 20.0)}, "air_max_c", "reached", Verdict.PREPARE),
        ({"air_temp_c": between(12, 13, 33.5, 20.0)}, "air_max_c", "near", Verdict.PREPARE),
        ({"thunder_chance": between(9, 10, 0.5, 0.0)}, "thunder", "reached", Verdict.MOVE),
        ({"thunder_chance": between(9, 10, 0.4, 0.0)}, "thunder", "near", Verdict.PREPARE),
        ({"thunder_chance": between(9, 10, 0.3, 0.0)}, "thunder", "clear", Verdict.NO_LIMIT),
    ],
)
def test_a_limit_reached_moves_unless_something_lifts_it_and_a_limit_near_prepares(drawn, limit, state, verdict):
    """Both suppliers' fees are lost, so that money alone does not move it.

    Cold and heat are limits of the concrete, which blankets and a cooler mix answer; wind and thunder are of people.
    """
    start = watched(series=sky(144, **drawn), now=local(5, day=1), bookings=(booked(7, 1), booked(7, 2)))
    (reading,) = [one for one in start.readings if one.limit == limit]
    assert reading.state == state
    assert reading.worst is not None
    assert reading.worst_at is not None
    assert start.verdict is verdict


def test_the_worst_hour_is_named():
    start = watched(series=sky(144, gust_m_s=between(10, 11, 11.0, 3.0)))
    (gust,) = [one for one in start.readings if one.limit == "gust_max_m_s"]
    assert (gust.worst, gust.worst_at) == (11.0, local(10, day=1))
    assert gust.limit_value == pytest.approx(13.0)


def test_cold_air_near_its_limit_names_what_is_not_worth_its_price():
    """The forecast knows 43 degF, above the limit: blankets would spare nothing and are not advised."""
    start = watched(series=sky(144, air_temp_c=between(20, 21, 6.0, 12.0)))
    assert start.measures == ()
    left_out = {line.label: line.value for line in start.arithmetic if line.label.startswith("left out")}
    assert left_out["left out, Blankets at $250: would spare"] == 0


def test_thunder_stops_people_where_no_concrete_is_lost():
    """Backfill may start under thunder, so it is prepared for or moved by its price; a pour is forbidden."""
    series = sky(144, thunder_chance=between(9, 10, 0.6, 0.0))
    start = watched("backfill", series=series, now=local(5, day=1), bookings=(booked(7, 1), booked(7, 2)))
    assert not start.judgement.forbidden
    assert start.verdict is Verdict.PREPARE
    assert watched(series=series).judgement.forbidden


def test_heat_on_people_is_prepared_for_at_103_degrees_fahrenheit_and_told_before():
    """Source: OSHA heat index bands; 96 degF at 65 % is 121 degF, 86 degF at 60 % is 91 (published chart)."""
    dew: dict[str, Any] = {"dew_point_c": between(11, 13, 27.0, 12.0)}
    hot = watched("steel", series=sky(144, air_temp_c=between(11, 13, 34.5, 22.0), **dew), wet_chance=0.005)
    (reading,) = [one for one in hot.readings if one.limit == "heat_index_c"]
    assert reading.state == "reached"
    assert hot.verdict is Verdict.PREPARE
    dew = {"dew_point_c": between(11, 13, 22.5, 12.0)}
    warm = watched("steel", series=sky(144, air_temp_c=between(11, 13, 31.0, 22.0), **dew), wet_chance=0.005)
    (reading,) = [one for one in warm.readings if one.limit == "heat_index_c"]
    assert reading.state == "near"
    assert warm.verdict is Verdict.NO_LIMIT


PRICED = replace(
    work(during=0, forbid=2.0, loss=6000),
    measures=(Measure(title="S", dollars=300, hours=1, answers=("rain",), spares=0.6),),
)
chances = st.floats(0, 1)


@settings(deadline=None, max_examples=80)
@given(chances, chances, st.booleans())
def test_a_worse_chance_never_gives_a_milder_verdict(one, other, is_booked):
    low, high = sorted((one, other))
    bookings = (booked(7, 1), booked(7, 2)) if is_booked else ()
    found = [
        watched(
            "priced",
            exposures={"priced": PRICED, "none": work()},
            series=rain(chance),
            bookings=bookings,
            now=local(4, day=1),
        )
        for chance in (low, high)
    ]
    assert SEVERITY[found[0].verdict] <= SEVERITY[found[1].verdict]
    assert found[0].going_dollars <= found[1].going_dollars
    assert found[0].moving_dollars == found[1].moving_dollars


@given(chances, chances)
def test_a_raised_chance_is_a_chance_and_keeps_its_order(one, other):
    low, high = sorted((one, other))
    assert low <= raised(low) <= raised(high) <= 1


known = st.sampled_from([Verdict.NO_LIMIT, Verdict.PREPARE, Verdict.MOVE])


@given(known, known, known)
def test_a_steady_verdict_is_never_milder_than_this_forecast(previous, fresh, held):
    kept = steadied(previous, fresh, held)
    assert SEVERITY[kept] >= SEVERITY[fresh]
    assert SEVERITY[kept] <= max(SEVERITY[previous], SEVERITY[fresh])


@pytest.mark.parametrize("freshness", [Freshness.STALE, Freshness.DOWN])
def test_a_stale_forecast_is_unknown_however_dry_or_wet(freshness):
    for series in (sky(144), rain(0.9)):
        start = watched(series=series, freshness=freshness)
        assert start.verdict is Verdict.UNKNOWN
        assert start.known_share == 0.0
        assert start.drying == ()


def test_no_forecast_is_unknown():
    start = watched(series=None, freshness=Freshness.DOWN)
    assert start.verdict is Verdict.UNKNOWN
    assert start.issued_at is None


def test_a_site_nobody_pulled_for_is_unknown():
    start = watched(series=None)
    assert start.verdict is Verdict.UNKNOWN


def test_an_ageing_forecast_still_speaks():
    assert watched(series=sky(144), freshness=Freshness.AGEING).verdict is Verdict.NO_LIMIT


@pytest.mark.parametrize("variable", ["rain_chance", "gust_m_s", "air_temp_c", "dew_point_c", "wind_m_s"])
def test_one_missing_hour_is_never_no_limit_reached(variable):
    calm = {"rain_chance": 0.0, "gust_m_s": 3.0, "air_temp_c": 20.0, "dew_point_c": 12.0, "wind_m_s": 2.0}[variable]
    drawn: dict[str, Any] = {variable: lambda at: None if at == local(10, day=1) else calm}
    holed = sky(144, **drawn)
    assert watched(series=holed).verdict is Verdict.UNKNOWN


def test_missing_hours_do_not_hide_a_limit_that_is_reached():
    series = sky(144, gust_m_s=between(10, 11, 13.5, 3.0), rain_chance=lambda at: None)
    assert watched(series=series).verdict is Verdict.MOVE


def test_a_forecast_that_ends_too_soon_is_unknown():
    start = watched(start_at=local(7, day=2), series=sky(52))
    assert start.verdict is Verdict.UNKNOWN
    assert start.known_share < 0.5
