"""A slot somebody is booked for costs something to move, also before anybody was told of a plan. Prices: invented."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from planner.plans.domain.people import REBOOK_DOLLARS, told_of
from planner.plans.domain.timeline import timeline
from planner.plans.domain.world import World
from planner.solver.problem import Told
from tests.planner.dayplans.domain.worlds import AS_OF, PLANT, at, booking, job, series, sky, stay, task, world

POUR = task("pour_walls", 3)
WEEK_ON = date(2026, 6, 23)


def told(one: World) -> tuple[Told, ...]:
    line = timeline(one.branch, date(2026, 6, 15), 30)
    return told_of(one, line, {POUR.id: "1.pour_walls"})


def booked(kind: str, on: date, state: str = "confirmed") -> World:
    return world(job(POUR), skies={1: sky(series(hours=96))}, bookings=(booking(POUR, kind, on=on, state=state),))


def test_a_booked_slot_is_worth_keeping_to_its_day() -> None:
    (one,) = told(booked("ready_mix", WEEK_ON))
    line = timeline(booked("ready_mix", WEEK_ON).branch, date(2026, 6, 15), 30)
    assert line.at(one.start).date() == WEEK_ON
    assert (one.move_dollars, one.day_dollars, one.crews) == (REBOOK_DOLLARS, 0, ())


def test_past_the_free_hours_its_fee_is_lost_with_it() -> None:
    tomorrow = (AS_OF + timedelta(days=1)).date()
    near = replace(PLANT, free_cancel_hours=72)
    one = booked("ready_mix", tomorrow)
    one = replace(one, crews=replace(one.crews, suppliers=(near, *one.crews.suppliers[1:])))
    assert told(one)[0].move_dollars == REBOOK_DOLLARS + PLANT.fee_dollars


@pytest.mark.parametrize(("kind", "state"), [("steel_delivery", "confirmed"), ("ready_mix", "arrived")])
def test_goods_may_lie_and_what_has_come_moves_no_more(kind: str, state: str) -> None:
    assert told(booked(kind, WEEK_ON, state)) == ()


def test_what_people_were_told_counts_once() -> None:
    one = replace(booked("ready_mix", WEEK_ON), told=(stay(POUR, at(7, day=23), at(13, day=23), "forms"),))
    assert len(told(one)) == 1
    assert told(one)[0].crews == ("forms",)
