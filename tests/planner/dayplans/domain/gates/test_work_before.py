"""Gates of links: what came before, what must pass, and until when."""

from dataclasses import replace
from datetime import date, timedelta
from zoneinfo import ZoneInfo

from planner.dayplans.facts import GateState
from planner.dayplans.presenters.measures import clock_on
from planner.plans.domain.waits import Waits
from planner.plans.domain.world import ReportFacts
from tests.planner.dayplans.domain.worlds import ON, ZONE, at, gates, job, only_task, passed, plan, stay, task, world

FLOOR = task("pour_floor", 1, finished_at=at(14, day=12))
STACK = task("stack_forms", 2)


def stacked_on(floor_done_at, start_at, **more):
    floor = replace(FLOOR, finished_at=floor_done_at)
    return plan(world(job(floor, STACK), **more), stay(STACK, start_at, at(12), "forms"))


def test_finished_work_with_nothing_to_wait_for_is_open() -> None:
    first, second = task("stack_forms", 1, finished_at=at(12, day=15)), task("fit_openings", 2)
    facts = plan(world(job(first, second)), stay(second, at(7), at(12), "forms"))
    [gate] = gates(facts, "links")
    assert gate.state is GateState.OPEN
    assert gate.sentence == f"{first.title}: finished noon Monday, June 15."


def test_unfinished_work_keeps_the_gate_shut_and_says_when_it_is_planned_to_end() -> None:
    first, second = task("stack_forms", 1), task("fit_openings", 2)
    stays = (stay(first, at(7, day=15), at(15, day=15), "forms"), stay(second, at(7), at(12), "forms"))
    [gate] = gates(plan(world(job(first, second)), *stays), "links")
    assert gate.state is GateState.SHUT
    assert "not reported finished, planned to end 3:00 pm Monday, June 15." in gate.sentence


def test_unfinished_work_outside_the_plan_is_said_to_be() -> None:
    first, second = task("stack_forms", 1, started_at=at(8, day=15)), task("fit_openings", 2)
    [gate] = gates(plan(world(job(first, second)), stay(second, at(7), at(12), "forms")), "links")
    assert gate.state is GateState.SHUT
    assert "started 8:00 am Monday, June 15, not reported finished, not in the plan." in gate.sentence


def strong_after(ended_at):
    """When the floor carries the forms at an even 20 °C: class N has 0.35 after 25 h (ec2), its own heat saves some."""
    pool = job(replace(FLOOR, finished_at=None), STACK)
    ready_at = Waits(world(pool)).of(pool, pool.links[0]).ready_at(ended_at)
    assert timedelta(hours=20) < ready_at - ended_at < timedelta(hours=25)
    return clock_on(ready_at, ZoneInfo(ZONE), ON)


def test_strength_opens_when_it_is_reached_before_the_start() -> None:
    [gate] = gates(stacked_on(at(14, day=12), at(7)), "strength")
    assert gate.state is GateState.OPEN
    assert "Computed from the forecast: 23 h at about 72 °F (22 °C)." in gate.sentence
    assert f"The wait ended {strong_after(at(14, day=12))}." in gate.sentence
    assert "No strength was measured" in gate.sentence


def test_strength_is_shut_until_it_is_reached() -> None:
    [gate] = gates(stacked_on(at(14, day=15), at(7)), "strength")
    assert gate.state is GateState.SHUT
    assert gate.sentence.endswith(f"Not before {strong_after(at(14, day=15))}.")


def test_a_wait_after_unfinished_work_says_when_it_would_end_as_planned() -> None:
    floor = replace(FLOOR, finished_at=None)
    stays = (stay(floor, at(7, day=12), at(14, day=12), "forms"), stay(STACK, at(7), at(12), "forms"))
    [gate] = gates(plan(world(job(floor, STACK)), *stays), "strength")
    assert gate.state is GateState.SHUT
    assert "Computed from the forecast" in gate.sentence
    assert gate.sentence.endswith(f"As planned it ends {strong_after(at(14, day=12))}.")


def test_a_wait_that_ends_before_the_start_but_not_yet_names_its_hour() -> None:
    [gate] = gates(stacked_on(at(6, day=15), at(7)), "strength")
    assert gate.state is GateState.OPEN
    assert f"The wait ends {strong_after(at(6, day=15))}." in gate.sentence


def test_concrete_the_formulas_do_not_know_keeps_the_fixed_hours_of_the_method() -> None:
    """24 fixed hours of the method from 2 pm on Friday end at 2 pm on Saturday."""
    floor = replace(FLOOR, exposure="general")
    [gate] = gates(plan(world(job(floor, STACK)), stay(STACK, at(7), at(12), "forms")), "strength")
    assert gate.state is GateState.OPEN
    assert "Fixed 24 h: " in gate.sentence
    assert "The wait ended 2:00 pm Saturday, June 13." in gate.sentence
    assert "That is a fixed wait; no strength was measured" in gate.sentence


def test_a_strength_reading_is_named_instead_of_the_missing_one() -> None:
    reading = ReportFacts(task=FLOOR.id, kind="strength", happened_at=at(9, day=15), said_by="L. Orme")
    [gate] = gates(stacked_on(at(14, day=12), at(7), reports=(reading,)), "strength")
    assert gate.sentence.endswith("A strength reading was reported 9:00 am Monday, June 15 by L. Orme.")
    reading = replace(reading, values={"strength_mpa": 14.0})
    [gate] = gates(stacked_on(at(14, day=12), at(7), reports=(reading,)), "strength")
    assert gate.state is GateState.OPEN
    assert "By the strength test, 50 % of the specified strength" in gate.sentence
    assert "A strength reading of 2,031 psi was reported" in gate.sentence


def test_a_strength_reading_that_shows_less_keeps_the_gate_shut() -> None:
    reading = ReportFacts(
        task=FLOOR.id, kind="strength", happened_at=at(9, day=15), said_by="L. Orme", values={"strength_mpa": 7.0}
    )
    [gate] = gates(stacked_on(at(14, day=12), at(7), reports=(reading,)), "strength")
    assert gate.state is GateState.SHUT
    assert "By the strength test, 25 % of the specified strength 67 h after the pour" in gate.sentence


def test_dryness_is_a_gate_of_its_own() -> None:
    shape, pour = task("shape_floor", 1, finished_at=at(6.5)), task("pour_floor", 2)
    facts = plan(world(job(shape, pour), as_of=at(6.75)), stay(pour, at(7), at(14), "forms"))
    [gate] = gates(facts, "dry")
    assert gate.state is GateState.SHUT
    assert gate.sentence.endswith("Not before 8:30 am.")


def test_an_open_dry_gate_says_what_holds_at_the_start_and_asks_for_a_look() -> None:
    """Over two days ago, and over before the five days of weather the waits look back on."""
    shape, pour = task("shape_floor", 1, finished_at=at(6.5, day=14)), task("pour_floor", 2)
    old = replace(shape, finished_at=at(6.5, day=2))
    for before in (shape, old):
        facts = plan(world(job(before, pour)), stay(pour, at(7), at(14), "forms"))
        [gate] = gates(facts, "dry")
        assert gate.state is GateState.OPEN
        assert " h more" not in gate.sentence
        assert "The wait ended" in gate.sentence
        assert gate.sentence.endswith("Rain after that wets it again: look before you start.")
    assert "so long ago that only the last days of weather count" in gate.sentence


def test_a_latest_start_that_has_passed_shuts_the_gate() -> None:
    """An open dig is to be shaped within 72 hours."""
    dig, shape = task("dig", 1, finished_at=at(12, day=10)), task("shape_floor", 2)
    [gate] = gates(plan(world(job(dig, shape)), stay(shape, at(7), at(13), "forms")), "links")
    assert gate.state is GateState.SHUT
    assert "This had to start by noon Saturday, June 13" in gate.sentence


def test_a_visit_speaks_through_its_hold_alone() -> None:
    visit, pour = task("inspect_floor", 1, finished_at=at(11, day=15)), task("pour_floor", 2)
    pool = passed(job(visit, pour), "hold_floor", decided_at=at(11, day=15))
    facts = plan(world(pool), stay(pour, at(7), at(14), "forms"))
    assert gates(facts, "links") == []
    assert [gate.state for gate in gates(facts, "hold")] == [GateState.OPEN]


def test_what_came_before_a_dropped_task_still_comes_before() -> None:
    first, gone, last = task("stack_forms", 1), task("fit_openings", 2, dropped=True), task("brace_and_square", 3)
    facts = plan(world(job(first, gone, last)), stay(last, at(7), at(12), "forms"))
    assert any(first.title in gate.sentence for gate in gates(facts, "links"))
    assert not any(gone.title in gate.sentence for gate in only_task(facts).gates)


def test_a_start_before_the_day_agreed_with_people_is_shut() -> None:
    late = task("stack_forms", 1, earliest_at=at(10), earliest_why="the neighbour's party")
    facts = plan(world(job(late, earliest_on=date(2026, 6, 18))), stay(late, at(7), at(12), "forms"))
    assert [(gate.state, gate.sentence) for gate in gates(facts, "links")] == [
        (GateState.SHUT, "Not before 10:00 am: the neighbour's party."),
        (GateState.SHUT, "Not before 7:00 am Thursday, June 18: agreed with the owner."),
    ]


def test_a_delivery_is_said_to_have_arrived_or_not() -> None:
    liner, drop = task("measure_liner", 1, kind="delivery", title="Liner"), task("drop_liner", 2)
    facts = plan(world(job(liner, drop)), stay(drop, at(7), at(12), "forms"))
    assert [gate.sentence for gate in gates(facts, "links") if gate.sentence.startswith("Liner")] != []
    assert all("not reported as arrived" in gate.sentence for gate in gates(facts, "links"))
