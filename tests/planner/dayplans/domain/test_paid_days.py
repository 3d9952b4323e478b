"""A plan that bought hours of a crew shows them on its days: overtime past the crew's closing, a Saturday off."""

from dataclasses import replace
from datetime import date

from crews.domain.facts import CrewFacts
from planner.dayplans.domain.day import window_of
from planner.dayplans.facts import DayPlanFacts, GateState
from planner.plans.domain.assemble import assemble
from planner.plans.domain.lasting.paid_hours import worked_calendar
from planner.plans.domain.world import PaidTime, Stay
from planner.solver.check import check
from planner.solver.parameters import GreedyOnly
from planner.solver.solve import solve
from tests.planner.dayplans.domain.worlds import (
    BRANCH,
    DIGGERS,
    FORMS,
    ON,
    POWER,
    at,
    calendar,
    gates,
    job,
    only_task,
    plan,
    task,
    world,
)

# Invented: $100 an hour past half past three, $150 on a Saturday.
PAID = replace(DIGGERS, overtime_hour_cents=10_000, most_overtime_minutes=90, saturday_hour_cents=15_000)
DIG = task("dig", 1, work_minutes=12 * 60, crew_size=2, exposure="none", splits_nights=True, gear=(), bookings=())
FRIDAY, SATURDAY = date(2026, 6, 19), date(2026, 6, 20)
# Twelve hours: Friday 7:00 to 17:00 with an hour and a half of overtime, Saturday until 9:00.
OVER = Stay(
    task=1,
    start_at=at(7, day=19),
    end_at=at(9, day=20),
    crews=("dig",),
    paid=PaidTime(overtime_minutes=90, day_off_minutes=120, dollars=450),
)


def dug(on: date, crew: CrewFacts = PAID) -> DayPlanFacts:
    return plan(world(job(DIG), crews=(FORMS, crew, POWER)), OVER, crew="dig", on=on)


def test_the_days_hold_every_hour_the_plan_bought():
    spans = [(found.starts_at, found.ends_at) for on in (FRIDAY, SATURDAY) for found in [only_task(dug(on))]]
    assert spans == [(at(7, day=19), at(17, day=19)), (at(7, day=20), at(9, day=20))]


def test_a_saturday_bought_opens_the_crews_gate_and_is_among_the_days_to_come():
    found = dug(SATURDAY)
    assert found.head_count == DIGGERS.size
    assert {gate.state for gate in gates(found, "crew")} == {GateState.OPEN}
    [saturday, monday, *_] = dug(FRIDAY).coming
    assert (saturday.on, monday.on) == (SATURDAY, date(2026, 6, 22))
    assert "7:00 am to 9:00 am" in saturday.line


def test_nobody_is_asked_to_stand_by_for_hours_that_were_not_bought():
    """Saturday ends at nine with the work; Monday is the crew's own day."""
    one = world(job(DIG), crews=(FORMS, PAID, POWER))
    assert window_of(one, PAID, (OVER,), SATURDAY) == (at(7, day=20), at(9, day=20))
    assert window_of(one, PAID, (OVER,), FRIDAY) == (at(7, day=19), at(17, day=19))
    assert window_of(one, PAID, (OVER,), date(2026, 6, 22)) == (at(7, day=22), at(15.5, day=22))
    assert window_of(one, FORMS, (OVER,), SATURDAY) is None


def test_work_is_not_hidden_where_the_crew_has_been_given_the_day_off_since():
    off = replace(PAID, calendar=calendar("Dig crew", days_off=frozenset({SATURDAY})))
    assert {gate.state for gate in gates(dug(SATURDAY, off), "crew")} == {GateState.SHUT}


def test_the_days_are_those_the_planner_bought():
    """Against the planner: the crew's calendar with what was bought holds just the minutes of the work."""
    late = replace(DIG, earliest_at=at(7, day=19), earliest_why="agreed")
    one = world(replace(job(late), promised_on=FRIDAY), crews=(FORMS, PAID, POWER))
    assembled = assemble(one, first_on=ON, horizon_days=14)
    [found] = solve(assembled.problem, GreedyOnly()).assignments
    assert check(assembled.problem, (found,)) == ()
    line = assembled.line
    stay = replace(OVER, start_at=line.at(found.start), end_at=line.at(found.end))
    assert (stay.start_at, stay.end_at) == (OVER.start_at, OVER.end_at)
    worked = worked_calendar(BRANCH, PAID, stay)
    assert worked.working_minutes_between(stay.start_at, stay.end_at) == 12 * 60
