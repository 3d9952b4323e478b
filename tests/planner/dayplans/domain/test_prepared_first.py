"""A stay opens with what the plan bought against the weather; the work itself, its trucks and its sky come after it."""

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from planner.dayplans.facts import DayPlanFacts, GateState, Preparing
from planner.dayplans.presenters.day_plan import present_day_plan
from planner.dayplans.presenters.text import day_plan_text
from planner.dayplans.presenters.told import day_plan_message
from planner.forecast.domain.site_sky import SiteSky
from planner.plans.domain.world import Prepared
from tests.planner.dayplans.domain.worlds import (
    ON,
    PUMP,
    at,
    booking,
    gates,
    job,
    only_task,
    passed,
    plan,
    series,
    sky,
    stay,
    task,
    world,
)
from tests.planner.plans.lasting.pools import WALLS, pool_of

POUR = task("pour_floor", 1, quantity=11.5, unit="m3", bookings=("ready_mix", "pump"))
SHEET = Prepared(titles=("Frames + sheet",), dollars=180, minutes=90)
BLANKETS = Prepared(titles=("Blankets",), dollars=250, minutes=120)


def facts(prepared: Prepared | None, over: SiteSky | None = None) -> DayPlanFacts:
    """A floor poured from 7:00 to 15:45 with what is prepared for it."""
    bookings = (booking(POUR, "ready_mix"), replace(booking(POUR, "pump"), supplier=PUMP.id))
    found = world(passed(job(POUR), "hold_floor"), skies={1: over or sky()}, bookings=bookings)
    return plan(found, replace(stay(POUR, at(7), at(15.75), "forms"), prepared=prepared))


def text(found: DayPlanFacts) -> str:
    return " ".join(day_plan_text(found).split())


def test_page_text_and_message_say_when_the_work_itself_begins() -> None:
    found = facts(SHEET)
    assert only_task(found).work_at == at(8.5)
    [view] = [one for stop in present_day_plan(found).stops for one in stop.tasks]
    assert (view.starts, view.work, view.ends) == ("7:00 am", "8:30 am", "3:45 pm")
    assert "First prepare for the weather: the work itself begins 8:30 am." in text(found)
    assert "Prepare first, 7:00 am to 8:30 am: Frames + sheet, $180." in text(found)
    assert (
        "prepare for the weather first, work from 8:30 am" in day_plan_message(found, again=False, linked=False).short
    )
    bare = facts(None)
    assert "prepare" not in text(bare).lower()
    assert only_task(bare).work_at == at(7)


def test_what_is_bought_is_not_asked_for_a_second_time_before_the_start() -> None:
    """Showers, and the plan bought the sheet: nobody is to be there at 5:30."""
    showers = sky(series({"rain_chance": 0.3, "rain_mm": 1.0}))
    found = facts(SHEET, showers)
    [stop] = found.stops
    advice = only_task(found).advice
    assert advice is not None
    assert advice.preparing == (Preparing(title="Frames + sheet", hours=1.5, bought=True),)
    assert (stop.prepare_minutes, stop.here_at) == (0, at(7))
    assert "Be there" not in text(found)
    unbought = facts(None, showers)
    assert unbought.stops[0].here_at == at(5.5)
    assert "Be there 5:30 am" in text(unbought)


def test_what_the_watch_asks_for_beside_what_is_bought_comes_before_the_stay() -> None:
    """Blankets were bought; showers came up since, and the sheet takes an hour and a half more."""
    cold_showers = sky(series({"air_temp_c": 2.0, "rain_chance": 0.2, "rain_mm": 1.0}, hours=240))
    found = facts(BLANKETS, cold_showers)
    advice = only_task(found).advice
    assert advice is not None
    assert {one.title: one.bought for one in advice.preparing} == {"Frames + sheet": False, "Blankets": True}
    assert found.stops[0].here_at == at(5.5)
    assert "Be there 5:30 am: 1 h 30 min to prepare for the weather beside what is planned from 7:00 am" in text(found)
    assert "Prepare for the weather before 9:00 am, begin by 5:30 am" in text(found)


def test_the_pump_comes_for_the_work_and_the_first_truck_after_setting_up() -> None:
    called = {one.what: one.at for one in only_task(facts(SHEET)).called_in}
    assert set(called.values()) == {at(8.5), at(9.5)}
    assert only_task(facts(SHEET)).trucks[0].at == at(9.5)


def test_the_trucks_of_a_wall_follow_what_is_prepared() -> None:
    pool = pool_of(WALLS)

    def trucks(prepared: Prepared | None) -> list[datetime]:
        [wall] = pool.tasks
        found = plan(world(pool), replace(stay(wall, at(7), at(15.75), "forms"), prepared=prepared))
        return [truck.at for truck in only_task(found).trucks]

    later = replace(SHEET, titles=("Covers on coping",), minutes=60)
    assert trucks(later)
    assert trucks(later) == [moment + timedelta(hours=1) for moment in trucks(None)]


@pytest.mark.parametrize(("hour", "state"), [(7, GateState.OPEN), (9, GateState.SHUT)])
def test_the_sky_is_asked_over_the_work_and_not_over_what_is_prepared(hour: int, state: GateState) -> None:
    """A squall over the first hour finds nobody pouring."""
    squall = sky(series(spells={"gust_m_s": (at(hour), at(hour + 1), 20.0)}))
    [gate] = gates(facts(SHEET, squall), "sky")
    assert gate.state is state


def test_blankets_that_were_bought_open_a_cold_morning_with_care() -> None:
    """36 °F under a limit of 40: shut for the bare slab, open with the blankets on it."""
    cold = sky(series(spells={"air_temp_c": (at(0), at(23), 2.0)}))
    [bare] = gates(facts(None, cold), "sky")
    [covered] = gates(facts(BLANKETS, cold), "sky")
    assert (bare.state, covered.state) == (GateState.SHUT, GateState.CARE)
    assert "only with what is prepared: Blankets" in covered.sentence
    # They answer the cold and nothing else.
    windy = sky(series(spells={"air_temp_c": (at(0), at(23), 2.0), "gust_m_s": (at(10), at(11), 20.0)}))
    [gate] = gates(facts(BLANKETS, windy), "sky")
    assert gate.state is GateState.SHUT


def test_a_later_day_of_the_same_work_prepares_nothing_again() -> None:
    dig = task("dig", 1, trade="concrete_forms", bookings=(), splits_nights=True)
    berm = Prepared(titles=("Berm, sump, sheet on slopes",), dollars=220, minutes=120)
    two_days = replace(stay(dig, at(7), at(10, day=17), "forms"), prepared=berm)
    first, second = (only_task(plan(world(job(dig)), two_days, on=on)) for on in (ON, ON + timedelta(days=1)))
    assert (first.prepare_minutes, second.prepare_minutes) == (120, 0)
    assert "Prepare first, 7:00 am to 9:00 am: Berm" in first.note
    assert "Prepared on the first day and kept up: Berm" in second.note
