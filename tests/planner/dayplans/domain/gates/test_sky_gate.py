"""The sky's gate: open where a forecast covers every hour and forbids nothing, shut by known values, else not known."""

from dataclasses import replace

from planner.dayplans.facts import Gate, GateState
from planner.forecast.domain.freshness import Freshness
from planner.forecast.domain.site_sky import SiteSky
from tests.planner.dayplans.domain.worlds import at, gates, job, only_task, plan, series, sky, stay, task, world

POUR = task("pour_floor", 1)


def sky_gate(over: SiteSky | None, **more: object) -> Gate:
    skies = {1: over} if over is not None else {}
    facts = plan(world(job(POUR), skies=skies, **more), stay(POUR, at(7), at(14), "forms"))  # type: ignore[arg-type]
    [gate] = gates(facts, "sky")
    return gate


def test_a_calm_known_sky_is_open_and_says_the_chance_until_safe() -> None:
    gate = sky_gate(sky())
    assert gate.state is GateState.OPEN
    assert "before it is rain-safe," in gate.sentence
    assert gate.sentence.endswith("is 0 percent.")


def test_a_known_gust_over_the_limit_shuts_it() -> None:
    gate = sky_gate(sky(series(spells={"gust_m_s": (at(11), at(12), 14.0)})))
    assert gate.state is GateState.SHUT
    assert gate.sentence.startswith("Gusts above 29 mph: 31 mph is forecast 11:00 am.")


def test_cold_thunder_and_hard_rain_shut_a_pour() -> None:
    assert "39 °F is forecast" in sky_gate(sky(series(spells={"air_temp_c": (at(7), at(8), 4.0)}))).sentence
    assert (
        "Thunder is forecast 1:00 pm"
        in sky_gate(sky(series(spells={"thunder_chance": (at(13), at(14), 0.6)}))).sentence
    )
    wet = series(spells={"rain_mm": (at(9), at(11), 6.0), "rain_chance": (at(6), at(18), 0.9)})
    gate = sky_gate(sky(wet))
    assert gate.state is GateState.SHUT
    assert "Rain of 0.24 inches an hour is forecast 9:00 am; the work stops at" in gate.sentence


def test_likely_rain_below_the_stopping_rate_shuts_it_by_its_chance() -> None:
    wet = series(spells={"rain_mm": (at(6), at(18), 0.2), "rain_chance": (at(6), at(18), 0.95)})
    gate = sky_gate(sky(wet))
    assert gate.state is GateState.SHUT
    assert "not started from a chance of 60 percent on" in gate.sentence


def test_an_open_sky_never_says_nothing_beside_a_limit_that_is_reached() -> None:
    """12 mm over the work, each hour below the rate that stops it, at a chance that does not forbid it."""
    damp = series(spells={"rain_mm": (at(7), at(13), 2.0), "rain_chance": (at(6), at(18), 0.1)})
    gate = sky_gate(sky(damp))
    assert gate.state is GateState.CARE
    assert gate.sentence.startswith("It may start; be ready to stop and cover. Rain at a rate of 0.01 inches an hour:")
    assert "Rain during the work, in all, of 0.02 inches: 0.47 inches is forecast." in gate.sentence
    assert only_task(plan(world(job(POUR), skies={1: sky(damp)}), stay(POUR, at(7), at(14), "forms"))).state == (
        "waiting"
    )


def test_likely_rain_of_an_unknown_amount_is_not_known_never_open() -> None:
    wet = series(spells={"rain_mm": (at(6), at(18), None), "rain_chance": (at(6), at(18), 0.95)})
    gate = sky_gate(sky(wet))
    assert gate.state is GateState.UNKNOWN
    assert "but much of it is not known" in gate.sentence


def test_measured_rain_shuts_the_ground() -> None:
    dig = task("dig", 1, site=replace(POUR.site, soil="clay"))
    rained = sky(observed=replace(series(hours=24, start_at=at(17, day=14)), rain_mm=(25.0,) + (0.0,) * 23))
    facts = plan(world(job(dig), skies={1: rained}), stay(dig, at(7), at(14), "dig"), crew="dig")
    [gate] = gates(facts, "sky")
    assert gate.state is GateState.SHUT
    assert "The ground needs" in gate.sentence


def test_no_forecast_is_not_known_never_open() -> None:
    for over in (None, SiteSky(series=None, freshness=Freshness.DOWN)):
        gate = sky_gate(over)
        assert gate.state is GateState.UNKNOWN
        assert gate.sentence.startswith("No forecast is known: by the usual weather of the month only.")


def test_a_stale_forecast_is_not_known_even_where_it_is_dry() -> None:
    gate = sky_gate(sky(freshness=Freshness.STALE))
    assert gate.state is GateState.UNKNOWN
    assert gate.sentence.startswith("The forecast is too old")


def test_a_forecast_that_ends_too_soon_is_not_known_and_says_its_share() -> None:
    gate = sky_gate(sky(series(hours=20)))
    assert gate.state is GateState.UNKNOWN
    assert "covers only" in gate.sentence


def test_a_day_past_every_forecast_says_that_none_reaches_it() -> None:
    """A forecast of four hours, and a pour the day after it."""
    gate = sky_gate(sky(series(hours=4)))
    assert gate.state is GateState.UNKNOWN
    assert gate.sentence.startswith("No forecast reaches these hours yet; the rest is the usual weather of the month.")


def test_hours_that_are_past_are_not_judged() -> None:
    facts = plan(world(job(POUR), as_of=at(15)), stay(POUR, at(7), at(14), "forms"))
    assert [gate.sentence for gate in gates(facts, "sky")] == ["These hours are past."]
    assert only_task(facts).limits == ()
    assert only_task(facts).safe_at is None


def test_work_under_way_is_judged_for_what_is_left() -> None:
    windy_morning = sky(series(spells={"gust_m_s": (at(7), at(9), 20.0)}))
    facts = plan(world(job(POUR), skies={1: windy_morning}, as_of=at(10)), stay(POUR, at(7), at(14), "forms"))
    assert [gate.state for gate in gates(facts, "sky")] == [GateState.OPEN]


def test_work_that_no_weather_hurts_has_no_sky_gate() -> None:
    inside = task("hand_over", 1, exposure="none", trade="concrete_forms")
    facts = plan(world(job(inside)), stay(inside, at(7), at(9), "forms"))
    assert gates(facts, "sky") == []
    assert not only_task(facts).exposed
