"""The day's road: stops in order, the drive to each, and who else comes."""

from dataclasses import replace

import pytest

from crews.domain.travel import ROAD_FACTOR, SPEED_KM_H, Place, great_circle_km
from tests.planner.dayplans.domain.worlds import BRANCH, FAR_SITE, SITE, at, booking, job, plan, stay, task, world

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
    assert "the plan leaves 0 min for it: expect to start later." in facts.stops[1].tasks[0].note
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
