"""What a chance of rain keeps to, whatever the forecast."""

from datetime import timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from planner.forecast.domain.chance import amount_factor, chance_of_rain, duration_factor, widen
from planner.forecast.domain.freshness import Freshness
from tests.planner.forecast_domain.skies import ZONE, even_climate, local, sky

CLIMATE = even_climate(wet_chance=0.25, wet_mean_mm=4.0)
HOURS = 48

chances = st.floats(0, 1)
maybe = st.one_of(st.none(), chances)
hourly = st.lists(maybe, min_size=HOURS, max_size=HOURS)
amounts = st.lists(st.one_of(st.none(), st.floats(0, 20)), min_size=HOURS, max_size=HOURS)
minutes = st.integers(0, 60 * 60)


def series_of(rain_chance, rain_mm):
    def at(values):
        return lambda moment: values[int((moment - local(0)) / timedelta(hours=1))]

    return sky(HOURS, rain_chance=at(rain_chance), rain_mm=at(rain_mm))


def ask(series, from_minute, until_minute, amount_mm, freshness=Freshness.FRESH):
    from_at, until_at = local(from_minute / 60), local(until_minute / 60)
    return chance_of_rain(series, CLIMATE, from_at, until_at, amount_mm, ZONE, freshness=freshness)


@settings(deadline=None, max_examples=40)
@given(hourly, amounts, minutes, minutes, minutes, st.floats(0, 30), st.floats(0, 30), st.sampled_from(Freshness))
def test_grows_with_the_window_shrinks_with_the_amount_and_stays_a_chance(
    rain_chance, rain_mm, one, two, longer, amount_mm, more_mm, freshness
):
    series = series_of(rain_chance, rain_mm)
    begin, end = sorted((one, two))
    inner = ask(series, begin, end, amount_mm, freshness)
    assert 0 <= inner.probability <= 1
    assert 0 <= inner.known_share <= 1
    assert ask(series, begin, end + longer, amount_mm, freshness).probability >= inner.probability - 1e-12
    assert ask(series, max(0, begin - longer), end, amount_mm, freshness).probability >= inner.probability - 1e-12
    assert ask(series, begin, end, amount_mm + more_mm, freshness).probability <= inner.probability + 1e-12


@settings(deadline=None, max_examples=40)
@given(hourly, st.floats(0, 1), minutes, minutes, st.floats(0, 30))
def test_grows_with_the_chance(rain_chance, raised, one, two, amount_mm):
    """At an unknown amount: more chance at the same forecast amount means lighter rain, which is another matter."""
    no_amounts = [None] * HOURS
    higher = [None if value is None else max(value, raised) for value in rain_chance]
    begin, end = sorted((one, two))
    low = ask(series_of(rain_chance, no_amounts), begin, end, amount_mm).probability
    assert ask(series_of(higher, no_amounts), begin, end, amount_mm).probability >= low - 1e-12


@settings(deadline=None, max_examples=40)
@given(hourly, amounts, minutes, minutes, st.floats(0, 30))
def test_unknown_hours_never_count_less_than_climate(rain_chance, rain_mm, one, two, amount_mm):
    """Every run of unknown hours inside the window, asked alone, has climate's chance; the window has no less."""
    begin, end = sorted((one, two))
    whole = ask(series_of(rain_chance, rain_mm), begin, end, amount_mm).probability
    for hour in range(HOURS):
        inside = max(begin, hour * 60), min(end, hour * 60 + 60)
        if rain_chance[hour] is None and inside[0] < inside[1]:
            assert whole >= ask(None, *inside, amount_mm).probability - 1e-12


@settings(deadline=None, max_examples=40)
@given(hourly, amounts, minutes, minutes, st.floats(0, 30))
def test_a_stale_forecast_is_never_drier_than_climate_nor_than_itself(rain_chance, rain_mm, one, two, amount_mm):
    series = series_of(rain_chance, rain_mm)
    begin, end = sorted((one, two))
    by_age = [ask(series, begin, end, amount_mm, state).probability for state in Freshness]
    assert by_age == sorted(by_age)
    assert by_age[-1] >= ask(None, begin, end, amount_mm).probability - 1e-12


@settings(deadline=None)
@given(chances, chances, st.sampled_from(Freshness))
def test_widening_only_raises_and_never_past_climate(probability, climate_chance, freshness):
    widened = widen(probability, freshness, climate_chance)
    assert probability <= widened <= max(probability, climate_chance) + 1e-9


@settings(deadline=None)
@given(st.floats(0, 30), st.floats(0, 30))
def test_the_factors_are_monotone(one, two):
    low, high = sorted((one, two))
    assert 0 <= duration_factor(low) <= duration_factor(high) <= 1
    assert 1 >= amount_factor(low, 4.0) >= amount_factor(high, 4.0) >= 0
