"""The wait after a pour that is over: a probe replaces the prediction, a test governs."""

from datetime import timedelta

import pytest

from jobs.science.maturity import arrhenius_rate
from planner.plans.domain.ready.placed import ENGINEER_H, Readings, placed_wait
from tests.planner.plans.ready.airs import (
    BEGINS,
    FOLLOWS_THE_AIR,
    asks,
    even_air,
    hours_after,
    poured,
    waiting,
)

HOUR = timedelta(hours=1)
COOL = even_air(10.0)


def hours(readings: Readings, *, fraction: float = 0.5, floor_hours: float = 0.0, ended_at=BEGINS) -> float:
    link = asks(fraction, floor_hours=floor_hours)
    wait = placed_wait(link, finished_at=ended_at, air=COOL, poured=poured(FOLLOWS_THE_AIR), readings=readings)
    return (wait.ready_at(ended_at) - ended_at) / HOUR


def test_without_readings_it_is_the_wait_that_was_planned() -> None:
    planned = waiting(asks(0.5), COOL, poured(FOLLOWS_THE_AIR))
    assert hours(Readings()) == pytest.approx(hours_after(planned, BEGINS), abs=0.01)


def test_it_counts_from_the_very_minute_the_pour_ended() -> None:
    assert hours(Readings(), ended_at=BEGINS + timedelta(minutes=50)) == pytest.approx(hours(Readings()), abs=0.2)


def test_a_warm_probe_ends_the_wait_sooner_and_a_cold_one_later() -> None:
    alone = hours(Readings())
    warm = Readings(probes=[(BEGINS + at * HOUR, 25.0) for at in range(1, 40)])
    cold = Readings(probes=[(BEGINS + at * HOUR, 4.0) for at in range(1, 40)])
    assert hours(warm) < alone < hours(cold)


def test_the_reason_names_the_last_probe() -> None:
    probe = Readings(probes=[(BEGINS + 4 * HOUR, 18.0), (BEGINS + 9 * HOUR, 21.0)])
    wait = placed_wait(asks(0.5), finished_at=BEGINS, air=COOL, poured=poured(), readings=probe)
    assert "the probe, last 70 °F (21 °C) 9 h after the pour" in wait.because(BEGINS)


def test_a_test_that_shows_the_share_ends_the_wait() -> None:
    test = Readings(strengths=[(BEGINS + 30 * HOUR, 15.0)])
    assert hours(test) == pytest.approx(30.0)


def test_a_test_that_shows_less_makes_the_wait_longer() -> None:
    test = Readings(strengths=[(BEGINS + 30 * HOUR, 4.0)])
    assert hours(test) > hours(Readings())


def test_the_newest_test_counts() -> None:
    tests = Readings(strengths=[(BEGINS + 30 * HOUR, 4.0), (BEGINS + 60 * HOUR, 15.0)])
    assert hours(tests) == pytest.approx(60.0)


def test_the_least_hours_hold_against_a_test_too() -> None:
    test = Readings(strengths=[(BEGINS + 10 * HOUR, 20.0)])
    assert hours(test, floor_hours=24.0) == 24.0


def test_concrete_that_may_never_get_there_waits_for_the_engineer() -> None:
    test = Readings(strengths=[(BEGINS + 600 * HOUR, 6.0)])
    wait = placed_wait(asks(0.75), finished_at=BEGINS, air=COOL, poured=poured(), readings=test)
    assert wait.ready_at(BEGINS) - BEGINS == ENGINEER_H * HOUR
    assert "ask the engineer" in wait.because(BEGINS)


def test_a_probe_hotter_than_the_law_keeps_the_fixed_hours() -> None:
    probe = Readings(probes=[(BEGINS + HOUR, 60.0)])
    concrete = poured(rate=arrhenius_rate)
    wait = placed_wait(asks(0.5), finished_at=BEGINS, air=COOL, poured=concrete, readings=probe)
    assert wait.ready_at(BEGINS) - BEGINS == 48 * HOUR
    assert "Fixed 48 h" in wait.because(BEGINS)


def test_after_its_end_the_wait_is_no_wait() -> None:
    wait = placed_wait(asks(0.5), finished_at=BEGINS, air=COOL, poured=poured(), readings=Readings())
    later = BEGINS + 1000 * HOUR
    assert wait.ready_at(later) == later
