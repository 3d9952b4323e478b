"""Gates of bookings: confirmed for the right day, or shut."""

from datetime import date

import pytest

from planner.dayplans.facts import Gate, GateState
from tests.planner.dayplans.domain.worlds import ON, at, booking, gates, job, only_task, plan, stay, task, world

POUR = task("pour_floor", 1, bookings=("pump",))
STEEL = task("deck_forms", 2, bookings=("steel_delivery",))


def gate_of(*bookings: object, one: object = POUR) -> Gate:
    facts = plan(world(job(one), bookings=bookings), stay(one, at(7), at(14), "forms"))  # type: ignore[arg-type]
    [gate] = gates(facts, "booking")
    return gate


def test_confirmed_for_the_day_is_open() -> None:
    gate = gate_of(booking(POUR, "pump"))
    assert (gate.state, gate.sentence) == (GateState.OPEN, "Concrete pump: confirmed for Tuesday, June 16.")


def test_nobody_asked_is_shut_and_names_the_notice() -> None:
    gate = gate_of()
    assert gate.state is GateState.SHUT
    assert "not asked for yet; Pump hire wants 3 working days of notice" in gate.sentence


@pytest.mark.parametrize(
    ("made", "words"),
    [
        (booking(POUR, "pump", state="asked"), "not confirmed"),
        (booking(POUR, "pump", state="wrong"), "arrived short or wrong"),
        (booking(POUR, "pump", on=date(2026, 6, 17)), "but the work is planned from Tuesday, June 16 on"),
        (booking(POUR, "pump", on=date(2026, 6, 15)), "but the work is planned from Tuesday, June 16 on"),
        (booking(POUR, "pump", expires_on=date(2026, 6, 15)), "ran out on Monday, June 15"),
    ],
)
def test_everything_short_of_confirmed_for_the_day_is_shut(made: object, words: str) -> None:
    gate = gate_of(made)
    assert gate.state is GateState.SHUT
    assert words in gate.sentence


def test_a_delivery_may_lie_there_before_the_work() -> None:
    gate = gate_of(booking(STEEL, "steel_delivery", on=date(2026, 6, 12)), one=STEEL)
    assert gate.state is GateState.OPEN
    assert gate_of(booking(STEEL, "steel_delivery", state="arrived", on=ON), one=STEEL).state is GateState.OPEN


def test_who_is_called_comes_with_number_hour_and_the_end_of_free_cancelling() -> None:
    pour = task("pour_floor", 1, quantity=11.5, unit="m3")
    made = (booking(pour, "ready_mix"), booking(pour, "pump", state="asked"))
    facts = plan(world(job(pour), bookings=made), stay(pour, at(7), at(14), "forms"))
    mix, pump = only_task(facts).called_in
    assert (mix.who, mix.phone, mix.at) == ("Plant", "555-0141", only_task(facts).trucks[0].at)
    assert mix.free_until == at(20, day=15), "12 hours before the first truck at 8 am"
    assert (pump.at, pump.state) == (at(7), "asked, not confirmed for Tuesday, June 16")
    assert pump.free_until is None, "24 hours before 7 am have passed at 5 pm"
