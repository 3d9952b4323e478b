"""Gates that protect people: shut until a named person's report of this very gate."""

from dataclasses import replace

import pytest

from planner.dayplans.domain.gates.safety import SafetyGate
from planner.dayplans.facts import Gate, GateState
from planner.plans.domain.world import ReportFacts
from tests.planner.dayplans.domain.worlds import (
    at,
    dry_days,
    gate_report,
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

DIG = task("dig", 1, finished_at=at(12, day=12), started_at=at(7, day=12))
SHAPE = task("shape_floor", 2)
STACK, FILL = task("stack_forms", 3), task("backfill", 4)
MORNING = at(8)


def look(*reports: ReportFacts, one: object = SHAPE, crew: str = "dig", **more: object) -> Gate:
    pool = job(DIG, SHAPE, STACK, FILL)
    held = world(pool, reports=reports, **{"as_of": MORNING, **more})  # type: ignore[arg-type]
    [gate] = gates(plan(held, stay(one, at(8), at(14), crew), crew=crew), "safety")  # type: ignore[arg-type]
    return gate


def test_nobody_enters_the_dig_before_a_look_of_today() -> None:
    assert look().state is GateState.SHUT
    yesterday = gate_report(SHAPE, "dig_look", happened_at=at(7, day=15))
    assert look(yesterday).state is GateState.SHUT


def test_a_look_of_today_opens_it_with_the_name() -> None:
    gate = look(gate_report(SHAPE, "dig_look", happened_at=at(7)))
    assert gate.state is GateState.OPEN
    assert "C. Brandt, 7:00 am." in gate.sentence


def test_a_look_before_rain_does_not_count_after_it() -> None:
    rained = sky(series(), observed=replace(dry_days(), start_at=at(0), rain_mm=(0.0,) * 8 + (4.0,) + (0.0,) * 231))
    early = gate_report(SHAPE, "dig_look", happened_at=at(7))
    gate = look(early, skies={1: rained}, as_of=at(10))
    assert gate.state is GateState.SHUT
    assert "look again" in gate.sentence
    late = gate_report(SHAPE, "dig_look", happened_at=at(9.5))
    assert look(early, late, skies={1: rained}, as_of=at(10)).state is GateState.OPEN


@pytest.mark.parametrize(
    "wrong",
    [
        gate_report(SHAPE, "barrier", happened_at=at(7)),
        replace(gate_report(SHAPE, "dig_look", happened_at=at(7)), kind="note"),
        replace(gate_report(SHAPE, "dig_look", happened_at=at(7)), said_by=" "),
        replace(gate_report(SHAPE, "dig_look", happened_at=at(7)), task=99),
        replace(gate_report(SHAPE, "dig_look", happened_at=at(7)), values={}),
    ],
)
def test_another_report_opens_nothing(wrong: ReportFacts) -> None:
    assert look(wrong).state is GateState.SHUT


def test_setting_aside_shows_name_and_reason() -> None:
    gate = look(gate_report(SHAPE, "dig_look", happened_at=at(7), set_aside="only machines inside"))
    assert gate.state is GateState.OPEN
    assert gate.sentence.endswith("Set aside by C. Brandt, 7:00 am: only machines inside.")


def test_any_work_beside_an_open_dig_asks_for_the_look_until_it_is_filled() -> None:
    assert look(one=STACK, crew="forms").state is GateState.SHUT
    filled = job(DIG, STACK, replace(FILL, finished_at=at(15, day=15)))
    facts = plan(world(filled), stay(STACK, at(8), at(14), "forms"))
    assert gates(facts, "safety") == []


def test_water_wants_barrier_and_bonding_recorded() -> None:
    cut = task("cut_drain", 1, trade="concrete_forms")
    facts = plan(world(job(cut)), stay(cut, at(8), at(9), "forms"))
    assert [gate.state for gate in (*gates(facts, "barrier"), *gates(facts, "safety"))] == [GateState.SHUT] * 2
    reports = [gate_report(cut, gate, happened_at=at(9, day=12)) for gate in ("barrier", "bonding")]
    facts = plan(world(job(cut), reports=reports), stay(cut, at(8), at(9), "forms"))
    assert [gate.state for gate in (*gates(facts, "barrier"), *gates(facts, "safety"))] == [GateState.OPEN] * 2


def test_a_passed_barrier_inspection_says_as_much_as_a_report() -> None:
    cut = task("cut_drain", 1, trade="concrete_forms")
    pool = passed(job(cut), "hold_barrier")
    [gate] = gates(plan(world(pool), stay(cut, at(8), at(9), "forms")), "barrier")
    assert gate.state is GateState.OPEN
    assert "passed by I. Farrow" in gate.sentence


def test_backfill_waits_for_a_named_person() -> None:
    held = job(DIG, FILL)
    planned = stay(FILL, at(8), at(14), "dig")
    words = [gate for gate in gates(plan(world(held), planned, crew="dig"), "safety") if "release" in gate.sentence]
    assert [gate.state for gate in words] == [GateState.SHUT]
    released = gate_report(FILL, SafetyGate.BACKFILL, happened_at=at(9, day=15))
    facts = plan(world(held, reports=[released]), planned, crew="dig")
    words = [gate for gate in gates(facts, "safety") if "release" in gate.sentence]
    assert [(gate.state, "Recorded by C. Brandt" in gate.sentence) for gate in words] == [(GateState.OPEN, True)]


def test_licensed_work_is_not_known_until_somebody_says_who_checked() -> None:
    bond = task("bond_floor", 1)
    facts = plan(world(job(bond)), stay(bond, at(8), at(10), "power"), crew="power")
    assert [gate.state for gate in gates(facts, "licence")] == [GateState.UNKNOWN]
    assert only_task(facts).state == "waiting"
    report = gate_report(bond, SafetyGate.LICENCE, happened_at=at(9, day=15))
    facts = plan(world(job(bond), reports=[report]), stay(bond, at(8), at(10), "power"), crew="power")
    assert [gate.state for gate in gates(facts, "licence")] == [GateState.OPEN]
