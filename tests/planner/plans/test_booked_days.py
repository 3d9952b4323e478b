"""A visit that is booked costs something to move, also before anybody was told of a plan. Prices: invented."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from jobs.domain.facts import TaskFacts
from planner.plans.domain.people import REBOOK_DOLLARS, told_of
from planner.plans.domain.timeline import timeline
from planner.plans.domain.world import World
from planner.solver.problem import Told
from tests.planner.dayplans.domain.worlds import AS_OF, PLANT, at, booking, job, series, sky, stay, task, world

LOOK, POUR = task("inspect_walls", 2), task("pour_walls", 3)
WEEK_ON = date(2026, 6, 23)


def told(one: World) -> tuple[Told, ...]:
    line = timeline(one.branch, date(2026, 6, 15), 30)
    return told_of(one, line, {LOOK.id: "1.inspect_walls", POUR.id: "1.pour_walls"})


def booked(one: TaskFacts, kind: str, on: date, state: str = "confirmed") -> World:
    return world(job(LOOK, POUR), skies={1: sky(series(hours=96))}, bookings=(booking(one, kind, on=on, state=state),))


def test_a_booked_visit_is_worth_keeping_to_its_day() -> None:
    planned = booked(LOOK, "inspection", WEEK_ON)
    (one,) = told(planned)
    assert timeline(planned.branch, date(2026, 6, 15), 30).at(one.start).date() == WEEK_ON
    assert (one.task, one.move_dollars, one.day_dollars, one.crews) == ("1.inspect_walls", REBOOK_DOLLARS, 0, ())


def test_past_the_free_hours_its_fee_is_lost_with_it() -> None:
    planned = booked(LOOK, "inspection", (AS_OF + timedelta(days=1)).date())
    near = replace(PLANT, free_cancel_hours=72)
    planned = replace(planned, crews=replace(planned.crews, suppliers=(near, *planned.crews.suppliers[1:])))
    assert told(planned)[0].move_dollars == REBOOK_DOLLARS + PLANT.fee_dollars


@pytest.mark.parametrize(("one", "kind", "state"), [(POUR, "ready_mix", "confirmed"), (LOOK, "inspection", "arrived")])
def test_the_sky_decides_about_slots_for_work_and_what_was_there_moves_no_more(
    one: TaskFacts, kind: str, state: str
) -> None:
    assert told(booked(one, kind, WEEK_ON, state)) == ()


def test_what_people_were_told_counts_once() -> None:
    planned = replace(booked(LOOK, "inspection", WEEK_ON), told=(stay(LOOK, at(7, day=23), at(11, day=23)),))
    assert len(told(planned)) == 1


def test_far_ahead_a_booked_slot_of_the_plan_costs_its_call_and_the_same_work_unbooked_nothing() -> None:
    """Fifteen days ahead no crew was told; the ready-mix plant was."""
    far = date(2026, 6, 30)
    planned = booked(POUR, "ready_mix", far)
    in_force = (stay(POUR, at(7, day=30), at(11, day=30), "north"),)
    (one,) = told(replace(planned, told=in_force))
    assert (one.move_dollars, one.day_dollars, one.crew_dollars, one.crews) == (REBOOK_DOLLARS, 0, 0, ())
    assert told(replace(booked(POUR, "ready_mix", far + timedelta(days=2)), told=in_force)) == ()
    assert told(replace(world(job(LOOK, POUR), skies=planned.skies), told=in_force)) == ()
