"""The watch as a person reads it aloud."""

import pytest

from planner.forecast.domain.freshness import Freshness
from planner.watch.domain.watch import watch
from planner.watch.presenters.text import WIDTH, amount, watch_lines
from tests.planner.forecast_domain.skies import local, sky
from tests.planner.watch.worlds import NOW, between, booked, job, rain, stay, task, world

POUR = task(7, "pour_floor", "slab_pour")
DUG = task(1, "dig", "dig", started_at=local(7, day=-3), finished_at=local(15, day=-2))
STAYS = (stay(7, local(7, day=1)),)


def text_of(*, now=NOW, **of_world) -> str:
    report = watch(world(job(DUG, POUR), **of_world), STAYS, now=now)
    lines = watch_lines(report, {"aci_305": "Hot weather concreting", "S-ACI306": "Cold weather concreting"})
    assert max(map(len, lines)) <= WIDTH
    return " ".join(" ".join(lines).split())


def test_a_pour_to_move_says_why_where_to_and_what_it_costs():
    said = text_of(series=rain(0.5), now=local(5), bookings=(booked(7, 1), booked(7, 2)))
    assert "Watch of Yard, Wednesday, July 15, 5:00 am. Plan 3." in said
    assert "7:00 am Thursday, July 16, Heron Lane: pour floor (forms)" in said
    assert "MOVE." in said
    assert "Moving is free of fees until 7:00 am." in said
    assert "loss if hit: $3,500 (exposure data)" in said
    assert "moving, in all: $" in said


def test_a_limit_that_is_near_is_told_in_the_units_of_the_trade():
    said = text_of(
        series=sky(144, air_temp_c=between(20, 21, 6.0, 12.0)), now=local(5, day=1), bookings=(booked(7, 2),)
    )
    assert "PREPARE. Going costs $0, moving $830." in said
    assert "Near: coldest air, 43 °F at 8:00 pm, limit 40 °F (Cold weather concreting)." in said
    assert "left out, Blankets at $250: would spare: $0" in said
    assert "A booking can no longer be called off free of charge." in said


def test_drying_is_told_hour_by_hour_with_its_uncertainty():
    said = text_of(series=sky(144))
    # By hand, Menzel: 0.44 (0.3393 - 0.2034 psi) (0.253 + 0.096 x 2.165 mph at the slab) = 0.0275.
    assert "pounds per square foot an hour: 7:00 am 0.03, 8:00 am 0.03," in said
    assert "40 percent lower or higher; concrete taken as warm as the air, wind brought down to the slab." in said


@pytest.mark.parametrize(
    ("freshness", "series", "says"),
    [
        (Freshness.STALE, sky(144), "The forecast is stale."),
        (Freshness.DOWN, None, "There is no forecast."),
        (Freshness.FRESH, sky(30), "The forecast leaves hours out."),
    ],
)
def test_unknown_calls_the_office_and_moves_nothing(freshness, series, says):
    said = text_of(series=series, freshness=freshness)
    assert f"UNKNOWN. {says} Call the office, 555-0100; nothing is moved by itself." in said


def test_states_and_the_list_before_the_weekend_say_who_could_do_what():
    wet = sky(168, rain_chance=between(8, 14, 0.9, 0.0, day=3), rain_mm=between(8, 14, 3.0, 0.0, day=3))
    said = text_of(series=wet)
    assert "BEFORE PEOPLE GO HOME ON FRIDAY, JULY 17" in said
    assert "Nobody works from 5:00 pm Friday, July 17 to 7:00 am Monday, July 20." in said
    assert "Reached: rain by the forecast, in all 0.71 inches; 0.47 inches or more in half a day," in said
    assert "After any rain a competent person looks again before anybody goes in. Who could: Diggers, Forms." in said
    assert said.endswith("Local code, the engineer, the maker and licensed people decide.")


def test_nothing_is_ever_called_safe():
    said = text_of(series=sky(144)).lower().replace("rain-safe", "")
    assert "safe" not in said
    assert "no limit reached" in said


def test_a_start_nobody_reported_is_asked_for():
    said = text_of(series=sky(144), now=local(8, day=1))
    assert "Its planned time is past and nobody said that it began: ask." in said


def test_amounts():
    assert [amount(0.005, "share"), amount(0.125, "share"), amount(1e-9, "share")] == [
        "1 percent",
        "13 percent",
        "0 percent",
    ]
    assert amount(1230, "dollars") == "$1,230"
