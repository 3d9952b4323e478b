"""The day's road: stops in order, the drive to each, and who else comes."""

from dataclasses import replace
from datetime import timedelta

import pytest

from crews.domain.travel import ROAD_FACTOR, SPEED_KM_H, Place, great_circle_km
from planner.dayplans.presenters.day_plan import present_day_plan
from planner.dayplans.presenters.measures import clock, minutes
from planner.dayplans.presenters.told import day_plan_message
from tests.planner.dayplans.domain.worlds import (
    BRANCH,
    FAR_SITE,
    ON,
    SITE,
    at,
    booking,
    job,
    plan,
    series,
    sky,
    stay,
    task,
    world,
)

FIRST, SECOND = task("stack_forms", 1, bookings=()), task("fit_openings", 2)
FAR = task("stack_forms", 11, site=FAR_SITE)
TWO = (job(FIRST, SECOND), job(FAR, name="Mill Pond", number=2))


def place(site):
    return Place(latitude_deg=site.latitude, longitude_deg=site.longitude)


def test_work_at_one_site_is_one_stop_and_coming_back_is_another() -> None:
    facts = plan(
        world(*TWO),
        stay(SECOND, at(13), at(15), "forms"),
        stay(FIRST, at(7), at(9), "forms"),
        stay(FAR, at(10), at(12), "forms"),
    )
    assert [(stop.site, [one.key for one in stop.tasks]) for stop in facts.stops] == [
        ("Heron Lane", ["stack_forms"]),
        ("Mill Pond", ["stack_forms"]),
        ("Heron Lane", ["fit_openings"]),
    ]
    together = plan(world(*TWO), stay(SECOND, at(9), at(12), "forms"), stay(FIRST, at(7), at(9), "forms"))
    [stop] = together.stops
    assert (stop.arrive_at, stop.leave_at) == (at(7), at(12))


def test_the_drive_is_from_the_yard_and_then_from_the_site_before() -> None:
    facts = plan(world(*TWO), stay(FIRST, at(7), at(9), "forms"), stay(FAR, at(10), at(12), "forms"))
    yard = Place(latitude_deg=BRANCH.yard_latitude, longitude_deg=BRANCH.yard_longitude)
    ways = ((yard, place(SITE)), (place(SITE), place(FAR_SITE)))
    for stop, (start, end) in zip(facts.stops, ways, strict=True):
        km = great_circle_km(start, end) * ROAD_FACTOR
        assert stop.travel_m == pytest.approx(km * 1000)
        assert stop.travel_minutes == pytest.approx(km / SPEED_KM_H * 60, abs=1)


def test_a_plan_that_leaves_no_time_for_the_drive_says_so() -> None:
    facts = plan(world(*TWO), stay(FIRST, at(7), at(9), "forms"), stay(FAR, at(9), at(12), "forms"))
    second = facts.stops[1]
    begins = clock(at(9) + timedelta(minutes=second.travel_minutes), facts.zone)
    assert second.tasks[0].note.endswith(f"and the plan leaves 0 min: expect to start about {begins}.")
    shown = present_day_plan(facts).stops[1]
    assert (shown.set_off, shown.arrive) == ("9:00 am", begins), "nobody sets off before the work at hand ends"
    enough = plan(world(*TWO), stay(FIRST, at(7), at(9), "forms"), stay(FAR, at(10), at(12), "forms"))
    assert enough.stops[1].tasks[0].note == ""


def test_where_an_outside_crew_sets_off_from_is_not_known() -> None:
    bond = task("bond_floor", 1)
    [stop] = plan(world(job(bond)), stay(bond, at(8), at(10), "power"), crew="power").stops
    assert (stop.travel_minutes, stop.travel_m) == (0, 0.0)


def test_other_crews_work_is_not_on_the_road_but_joint_work_names_them() -> None:
    facts = plan(
        world(job(FIRST, SECOND)),
        stay(FIRST, at(7), at(9), "dig"),
        stay(SECOND, at(9), at(12), "forms", "dig", "ghost"),
    )
    [stop] = facts.stops
    assert [one.key for one in stop.tasks] == ["fit_openings"]
    assert stop.tasks[0].joined_by == ("Dig crew", "ghost")


def test_a_visit_and_water_at_the_stop_are_told() -> None:
    visit, fill = task("inspect_walls", 3), task("fill_2", 4)
    pool = job(FIRST, visit, fill)
    facts = plan(
        world(pool, bookings=[booking(visit, "inspection")]),
        stay(FIRST, at(7), at(12), "forms"),
        stay(visit, at(8), at(12)),
        stay(fill, at(13), at(7, day=17)),
    )
    [work] = facts.stops[0].tasks
    [called] = work.called_in
    assert (called.who, called.at, called.state) == ("Inspectors", at(8), "confirmed")
    assert f"{fill.title}: planned 1:00 pm to 7:00 am Wednesday, June 17." in work.note


def test_a_visit_of_an_authority_nobody_entered_is_named_by_its_kind() -> None:
    visit = task("mark_utilities", 3)
    facts = plan(world(job(FIRST, visit)), stay(FIRST, at(7), at(12), "forms"), stay(visit, at(8), at(12)))
    [called] = facts.stops[0].tasks[0].called_in
    assert (called.who, called.phone, called.state) == ("One-call service", "", "not asked for yet")


def test_dropped_work_and_work_of_no_open_job_is_left_out() -> None:
    gone = replace(FIRST, dropped=True)
    facts = plan(world(job(gone)), stay(gone, at(7), at(9), "forms"), stay(SECOND, at(9), at(10), "forms"))
    assert facts.stops == ()


def test_what_the_weather_asks_to_prepare_is_in_the_hour_to_set_off() -> None:
    """Warm, dry wind asks for film and fog, half an hour: 7:30 less 30 min less the drive."""
    pour = task("pour_floor", 1)
    dry = sky(series({"air_temp_c": 30.0, "dew_point_c": 5.0, "wind_m_s": 5.0}))
    facts = plan(world(job(pour), skies={1: dry}), stay(pour, at(7.5), at(14), "forms"))
    [stop] = facts.stops
    advice = stop.tasks[0].advice
    assert advice is not None
    assert stop.prepare_minutes == sum(60 * one.hours for one in advice.preparing) >= 30
    assert stop.here_at == at(7.5) - timedelta(minutes=stop.prepare_minutes)
    [view] = present_day_plan(facts).stops
    assert view.set_off == clock(stop.here_at - timedelta(minutes=stop.travel_minutes), facts.zone)
    assert view.arrive == clock(stop.here_at, facts.zone)
    assert f"Be there {view.arrive}: {minutes(stop.prepare_minutes)} to prepare" in view.prepare
    assert f"be there {view.arrive} to prepare" in day_plan_message(facts, again=False, linked=False).short
    early = stop.here_at < at(7)
    assert ("before the crew's day at 7:00 am: agree it with the office" in stop.tasks[0].note) is early


def test_preparing_counts_where_the_plan_leaves_just_the_drive() -> None:
    pour = task("pour_floor", 2, site=FAR_SITE)
    dry = sky(series({"air_temp_c": 30.0, "dew_point_c": 5.0, "wind_m_s": 5.0}))
    two = (job(FIRST), job(pour, name="Mill Pond", number=2))
    facts = plan(world(*two, skies={2: dry}), stay(FIRST, at(7), at(9), "forms"), stay(pour, at(9.75), at(15), "forms"))
    stop = facts.stops[1]
    assert stop.prepare_minutes
    assert stop.begins_at == at(9) + timedelta(minutes=stop.travel_minutes + stop.prepare_minutes) > stop.arrive_at
    assert f", preparing {minutes(stop.prepare_minutes)}, and the plan leaves 45 min" in stop.tasks[0].note
    begins = clock(stop.begins_at, facts.zone)
    shown = present_day_plan(facts).stops[1]
    assert f"the work starts about {begins}, not 9:45 am" in shown.prepare
    assert shown.tasks[0].advice is not None
    assert shown.tasks[0].advice.words == "Prepare for the weather before you start"
    assert ", prepare for the weather first, 30 min" in day_plan_message(facts, again=False, linked=False).short


def test_nothing_to_prepare_leaves_the_hour_as_planned() -> None:
    [stop] = plan(world(TWO[0]), stay(FIRST, at(7), at(9), "forms")).stops
    assert (stop.prepare_minutes, stop.here_at) == (0, stop.arrive_at)
    assert present_day_plan(plan(world(TWO[0]), stay(FIRST, at(7), at(9), "forms"))).stops[0].prepare == ""


def test_what_is_prepared_is_prepared_before_the_first_of_several_days() -> None:
    pour = task("pour_floor", 1)
    over = world(job(pour), skies={1: sky(series({"air_temp_c": 30.0, "dew_point_c": 5.0, "wind_m_s": 5.0}))})
    first, second = (
        plan(over, stay(pour, at(13), at(10, day=17), "forms"), on=ON + timedelta(days=later)) for later in (0, 1)
    )
    assert first.stops[0].prepare_minutes > 0
    assert second.stops[0].prepare_minutes == 0
    assert second.stops[0].tasks[0].continued
