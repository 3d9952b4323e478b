"""Why a task starts when it does: every gate, the last decides, and the way back to now."""

from dataclasses import replace
from datetime import date

from planner.plans.asking.explained import explain, stays_from
from planner.plans.asking.figures import figure_lines
from planner.plans.asking.worlds import plan_world
from planner.solver.parameters import Repeatable
from planner.web.presenters.pools.reader import Reader
from planner.web.presenters.pools.told_why import why_lines
from tests.planner.dayplans.domain.worlds import job, task, world

QUICK = Repeatable(deterministic_seconds=0.2)
LOOK, POUR, STRIP = (
    task("inspect_walls", 1, bookings=()),
    task("pour_walls", 2, bookings=()),
    task("strip_braces", 3, bookings=()),
)
POOL = job(LOOK, POUR, STRIP, promised_on=date(2026, 6, 17))


def test_gates_come_in_order_and_the_chain_goes_back_to_now() -> None:
    one = world(POOL)
    assembled, done = plan_world(one, QUICK)
    told = explain(one, assembled, done.result.assignments, STRIP, effort=QUICK)
    assert [gate.opens_at for gate in told.gates[:-1]] == sorted(gate.opens_at for gate in told.gates[:-1])
    assert told.gates[-1].kind == "link"
    assert "strength" in told.gates[-1].why
    assert [step[1].key for step in told.chain[:2]] == ["strip_braces", "pour_walls"]
    assert told.chain[0][2] == told.gates[-1]
    assert told.later.start_at is not None
    assert told.later.start_at > told.stay.start_at
    # Already late: each day more costs the promised rate.
    assert told.later.dollars >= POOL.late_dollars_per_day
    # Strength does not come sooner for being asked.
    assert told.earlier.start_at is None

    lines = why_lines(Reader(one, stays_from(assembled, done.result.assignments)), told)
    assert lines[0].startswith("Heron Lane: ")
    text = "\n".join(lines)
    assert "A day earlier: no plan was found that has it there." in text
    assert "A day later: it could start" in text
    assert "\u00a0" not in text


def test_what_has_begun_is_not_explained_any_more() -> None:
    begun = replace(POUR, started_at=world(POOL).as_of)
    one = world(job(begun, STRIP))
    assembled, done = plan_world(one, QUICK)
    told = explain(one, assembled, done.result.assignments, begun, effort=QUICK)
    assert told.gates == ()
    lines = why_lines(Reader(one, stays_from(assembled, done.result.assignments)), told)
    assert lines[-1] == "It has begun: nothing decides its start any more."


def test_figures_name_the_crew_with_the_least_time() -> None:
    one = world(POOL)
    assembled, done = plan_world(one, QUICK)
    lines = figure_lines(assembled, done.result.assignments)
    assert any("Forms crew" in line and "idle" in line for line in lines)
    assert any(line.startswith("  week from Mon 15 June") and "Forms crew" in line for line in lines)
