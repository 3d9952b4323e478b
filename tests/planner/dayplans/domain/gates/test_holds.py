"""Gates of inspections: open only by a recorded pass, and only as long as that lasts."""

import pytest

from planner.dayplans.facts import Gate, GateState
from tests.planner.dayplans.domain.worlds import (
    ON,
    JobFacts,
    at,
    booking,
    gates,
    job,
    passed,
    plan,
    stay,
    task,
    world,
)

VISIT, POUR = task("inspect_floor", 1), task("pour_floor", 2)
POOL = job(VISIT, POUR)


def hold_gate(pool: JobFacts, **more: object) -> Gate:
    visit = stay(VISIT, at(7, day=15), at(11, day=15))
    [gate] = gates(plan(world(pool, **more), visit, stay(POUR, at(7), at(14), "forms")), "hold")  # type: ignore[arg-type]
    return gate


def test_a_passed_hold_names_who_and_when() -> None:
    gate = hold_gate(passed(POOL, "hold_floor", decided_at=at(10, day=15)))
    assert gate.state is GateState.OPEN
    assert gate.sentence.startswith("Floor: passed by I. Farrow, 10:00 am Monday, June 15.")


def test_a_planned_visit_opens_nothing() -> None:
    gate = hold_gate(POOL)
    assert gate.state is GateState.SHUT
    assert "not passed yet. The visit is planned for 7:00 am Monday, June 15; nobody has asked" in gate.sentence


@pytest.mark.parametrize(("state", "words"), [("asked", "asked, not confirmed,"), ("confirmed", "confirmed")])
def test_the_visit_s_booking_is_said(state: str, words: str) -> None:
    gate = hold_gate(POOL, bookings=[booking(VISIT, "inspection", on=ON, state=state)])
    assert gate.state is GateState.SHUT
    assert gate.sentence.endswith(f"; {words} for Tuesday, June 16.")


def test_a_failed_hold_names_the_reason_and_the_remedy() -> None:
    gate = hold_gate(passed(POOL, "hold_floor", result="failed", note="bars too low"))
    assert gate.state is GateState.SHUT
    assert "failed by I. Farrow, 5:00 pm Monday, June 15. bars too low. Fix and ask again" in gate.sentence


def test_a_pass_that_has_run_out_shuts_again() -> None:
    """The floor is looked at again after ten days, by the method."""
    gate = hold_gate(passed(POOL, "hold_floor", decided_at=at(6, day=6)))
    assert gate.state is GateState.SHUT
    assert gate.sentence.endswith("It lasts until 6:00 am. Ask for another visit.")
    assert hold_gate(passed(POOL, "hold_floor", decided_at=at(8, day=6))).state is GateState.OPEN
