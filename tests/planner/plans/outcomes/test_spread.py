"""Hand-over dates over weathers: the plan where it stays dry, later where it rains, and why."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.forecast.domain.halfday import HalfDays, seconds_of
from planner.plans.asking import trying
from planner.plans.asking.worlds import plan_world
from planner.plans.domain.assemble import Assembled
from planner.plans.domain.world import World
from planner.plans.outcomes.carried import Carrying
from planner.plans.outcomes.lines import hand_over_line, spread_lines
from planner.plans.outcomes.skies import StartRisks
from planner.plans.outcomes.spread import HandOver, spread_in, spread_of
from planner.plans.outcomes.weathers import Weather
from planner.solver.parameters import GreedyOnly
from planner.solver.result import Assignment
from tests.planner.dayplans.domain.worlds import job, task, world
from tests.planner.forecast_domain.skies import ZONE, even_climate

LOOK, POUR, STRIP = (
    task("inspect_walls", 1, bookings=()),
    task("pour_walls", 2, bookings=()),
    task("strip_braces", 3, bookings=()),
)
POOL = job(LOOK, POUR, STRIP)
DRY = Weather(storms={}, winds={}, airs={})


def with_climate(wet_chance: float, *pools: object) -> World:
    return replace(world(*(pools or (POOL,)), skies={}), climate=even_climate(wet_chance=wet_chance))


def planned(one: World) -> tuple[Assembled, tuple[Assignment, ...]]:
    assembled, done = plan_world(one, GreedyOnly())
    assert done.result.status == "planned"
    return assembled, done.result.assignments


def test_without_any_chance_every_weather_keeps_the_plan() -> None:
    one = with_climate(0.0)
    [found] = spread_of(one, *planned(one))
    assert set(found.days) == {found.planned_on}
    assert found.driver == ""
    assert hand_over_line(found).endswith("in every weather, as planned.")


def test_a_sure_storm_moves_the_pour_and_all_that_follows_in_every_weather() -> None:
    one = with_climate(0.0)
    assembled, plan = planned(one)
    pour = next(stay for stay in plan if stay.task == "1.pour_walls")
    on = assembled.line.at(pour.start).astimezone(ZONE).date()
    wet = trying.rain(on).made(one)
    [found] = spread_of(wet, assembled, plan)
    assert all(day is not None and day > found.planned_on for day in found.days)

    block = HalfDays(ZONE).holding(seconds_of(assembled.line.at(pour.start))).from_s
    storm = Weather(storms={block: 0.0}, winds={}, airs={})
    rainy = with_climate(0.3)
    before = {stay.task: stay for stay in plan}
    carried = Carrying(assembled.problem, plan, StartRisks(rainy, assembled)).through(storm)
    after = {stay.task: stay for stay in carried.plan}
    assert after["1.inspect_walls"] == before["1.inspect_walls"]
    assert after["1.pour_walls"].start >= before["1.pour_walls"].start + 1440
    assert after["1.strip_braces"].start >= before["1.strip_braces"].start + 1440
    assert carried.waits["1.pour_walls"] >= 1440
    assert carried.waits["1.strip_braces"] == 0
    [late] = spread_in(rainy, assembled, plan, [DRY, storm])
    assert late.days[0] == late.planned_on
    assert late.driver == POUR.title


def test_work_over_several_days_ends_a_working_day_later_for_each_day_lost() -> None:
    long = task("power_and_bond", 1, bookings=(), work_minutes=2 * 480)
    one = with_climate(0.3, job(long))
    assembled, plan = planned(one)
    [stay] = plan
    second_at = assembled.line.at(stay.start) + timedelta(days=1)
    storm = Weather(storms={HalfDays(ZONE).holding(seconds_of(second_at)).from_s: 0.0}, winds={}, airs={})
    risks = StartRisks(one, assembled)
    assert risks.lost_days(storm, stay.task, stay.start, stay.end) == 1
    [after] = Carrying(assembled.problem, plan, risks).through(storm).plan
    # The day of the rain, and the next, on which it is still wet.
    assert risks.lost_days(storm, stay.task, stay.start, after.end) == 2
    assert risks.worked_days(stay.end - 1, after.end - 1) == 2


def test_an_evening_nobody_works_in_takes_no_day() -> None:
    long = task("power_and_bond", 1, bookings=(), work_minutes=2 * 480)
    late = task("saw_joints", 2, bookings=(), evening=True)
    one = with_climate(0.3, job(long, late))
    assembled, plan = planned(one)
    [stay] = [stay for stay in plan if stay.task == "1.power_and_bond"]
    evening_at = assembled.line.at(stay.start).replace(hour=23)
    storm = Weather(storms={HalfDays(ZONE).holding(seconds_of(evening_at)).from_s: 0.0}, winds={}, airs={})
    risks = StartRisks(one, assembled)
    assert risks.lost_days(storm, stay.task, stay.start, stay.start + 480) == 0
    # The morning after is wet.
    assert risks.lost_days(storm, stay.task, stay.start, stay.end) == 1


def test_the_same_seed_gives_the_same_dates_and_shares_come_in_order() -> None:
    one = with_climate(0.35)
    assembled, plan = planned(one)
    [found] = spread_of(one, assembled, plan, seed=5)
    assert [found] == list(spread_of(one, assembled, plan, seed=5))
    assert [found] != list(spread_of(one, assembled, plan, seed=6))
    dates = [found.by(share) for share in (0.1, 0.5, 0.8, 0.9, 1.0)]
    assert all(on is not None for on in dates)
    assert dates == sorted(on for on in dates if on)
    assert found.planned_on <= dates[0] < dates[-1]
    # The definition of the share, counted out.
    for share in (0.1, 0.5, 0.8, 0.9):
        on = found.by(share)
        assert sum(day <= on for day in found.days) >= share * len(found.days)
        assert sum(day < on for day in found.days) < share * len(found.days)


@settings(max_examples=6, deadline=None)
@given(st.floats(0.0, 0.6), st.floats(0.0, 0.6), st.integers(0, 1000))
def test_more_rain_never_hands_over_earlier(one: float, other: float, seed: int) -> None:
    low, high = sorted((one, other))
    assembled, plan = PLANNED
    [drier] = spread_of(with_climate(low), assembled, plan, weathers=5, seed=seed)
    [wetter] = spread_of(with_climate(high), assembled, plan, weathers=5, seed=seed)
    assert all((a or date.max) <= (b or date.max) for a, b in zip(drier.days, wetter.days, strict=True))


PLANNED = planned(with_climate(0.0))


@pytest.mark.parametrize(("share", "on"), [(0.1, 1), (0.25, 1), (0.26, 2), (0.75, 3), (0.76, None)])
def test_dates_that_never_come_are_the_last(share: float, on: int | None) -> None:
    days = (date(2026, 6, 3), None, date(2026, 6, 1), date(2026, 6, 2))
    found = HandOver(job="Heron Lane", job_id=1, planned_on=date(2026, 6, 1), days=days, waits=(("Pour walls", 4.0),))
    assert found.by(share) == (None if on is None else date(2026, 6, on))


def test_a_line_says_when_and_for_what() -> None:
    days = (*(date(2026, 6, 1 + index) for index in range(9)), None)
    found = HandOver(job="Heron Lane", job_id=1, planned_on=date(2026, 6, 1), days=days, waits=(("Pour walls", 4.0),))
    head, line = spread_lines([found])
    assert "10 weathers" in head
    assert line.strip() == (
        "Heron Lane: planned for Mon 1 June; of the weathers one in ten by Mon 1 June, half by Fri 5 June, "
        "four in five by Mon 8 June, nine in ten by Tue 9 June; mostly for: Pour walls."
    )
    late = replace(found, days=(date(2026, 6, 1), None))
    assert "nine in ten later still" in hand_over_line(late)
