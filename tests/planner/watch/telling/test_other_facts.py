"""Deadlines, states at risk and the list before a weekend: each is told once, when it can still be acted on."""

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from planner.watch.domain.report import StateAtRisk, Verdict
from planner.watch.domain.stretch import next_stretch
from planner.watch.domain.telling.facts import (
    Fact,
    Stands,
    Told,
    deadline_facts,
    state_facts,
    tell_from,
    verdict_facts,
    weekend_facts,
)
from tests.planner.forecast_domain.skies import local, sky
from tests.planner.watch.worlds import calendar, job, report, task

YARD = calendar()
# Wednesday 15 July 2026 is day 0; the yard works Monday to Friday, 7 to 5.
START_AT = local(7, day=2)
FREE_UNTIL = local(7, day=1)


def stands(verdict: Verdict = Verdict.MOVE, **changes: object) -> Stands:
    made = Stands(task=7, start_at=START_AT, verdict=verdict, since_at=local(0), free_until=FREE_UNTIL)
    return replace(made, **changes)


def told(fact: Fact, at: datetime) -> Told:
    return Told(
        key=fact.key,
        kind=fact.kind,
        told_at=at,
        task=fact.task,
        start_at=fact.start_at,
        verdict=fact.verdict,
        covers=fact.covers,
    )


@pytest.mark.parametrize(
    ("deadline", "from_at"),
    [
        (local(7, day=1), local(7, day=0)),
        (local(12, day=1), local(7, day=1)),
        (local(8.5, day=1), local(7, day=0)),
        (local(9, day=1), local(7, day=1)),
        # Monday at 7: told on Friday.
        (local(7, day=5), local(7, day=2)),
        (local(20, day=1), local(7, day=1)),
    ],
)
def test_a_deadline_is_told_on_the_last_morning_that_leaves_two_hours(deadline: datetime, from_at: datetime) -> None:
    assert tell_from(deadline, YARD) == from_at


@pytest.mark.parametrize("verdict", [Verdict.MOVE, Verdict.UNKNOWN])
def test_a_deadline_ahead_of_an_unsafe_start_is_told_once(verdict: Verdict) -> None:
    one, now = stands(verdict), local(7, day=0)
    assert deadline_facts([one], [], [], YARD, now - timedelta(minutes=1)) == ()
    (fact,) = deadline_facts([one], [], [], YARD, now)
    assert fact.deadline == FREE_UNTIL
    assert deadline_facts([one], [told(fact, now)], [], YARD, now + timedelta(hours=3)) == ()
    assert deadline_facts([one], [], [], YARD, FREE_UNTIL) == ()


@pytest.mark.parametrize("verdict", [Verdict.NO_LIMIT, Verdict.PREPARE])
def test_a_start_that_goes_has_no_deadline_to_tell(verdict: Verdict) -> None:
    assert deadline_facts([stands(verdict)], [], [], YARD, local(8)) == ()


def test_who_was_told_to_move_that_day_is_not_told_the_deadline_as_well() -> None:
    one, now = stands(), local(9)
    changed = verdict_facts([one], [], now)
    assert deadline_facts([one], [], changed, YARD, now) == ()
    assert deadline_facts([one], [told(changed[0], now)], [], YARD, local(16)) == ()
    before = told(changed[0], local(15, day=-1))
    assert len(deadline_facts([one], [before], [], YARD, local(9))) == 1


def at_risk(state: str = "reached", kind: str = "open_dig", number: int = 3) -> StateAtRisk:
    dug = task(number, "dig", "dig", started_at=local(7, day=-1), finished_at=local(15, day=-1))
    found = next(one for one in report(job(dug), series=sky(144)).states if one.kind == "open_dig")
    return replace(found, state=state, kind=kind, task=number)


def test_states_that_reach_a_limit_are_one_fact_and_told_again_after_three_days_only() -> None:
    states, now = [at_risk(), at_risk(kind="braced_forms", number=4), at_risk("near", number=5)], local(8)
    (fact,) = state_facts(states, [], YARD, now)
    assert fact.covers == ("braced_forms:4", "open_dig:3")
    before = [told(fact, now)]
    assert state_facts(states, before, YARD, now + timedelta(hours=71)) == ()
    (again,) = state_facts(states, before, YARD, now + timedelta(hours=72))
    assert again.key != fact.key
    (new,) = state_facts([*states, at_risk(number=9)], before, YARD, now + timedelta(hours=5))
    assert new.covers == ("open_dig:9",)


def test_the_list_before_a_weekend_is_told_from_friday_noon_once() -> None:
    friday = local(12, day=2)
    stretch = next_stretch(YARD, friday)
    assert stretch is not None
    listed = [at_risk("near")]
    assert weekend_facts(stretch, listed, [], YARD, friday - timedelta(minutes=1)) == ()
    (fact,) = weekend_facts(stretch, listed, [], YARD, friday)
    assert fact.key == "weekend:2026-07-17"
    assert weekend_facts(stretch, listed, [told(fact, friday)], YARD, friday + timedelta(hours=2)) == ()
    assert weekend_facts(stretch, [at_risk("clear")], [], YARD, friday) == ()
    assert weekend_facts(stretch, listed, [], YARD, stretch.until_at) == ()


def test_on_a_short_day_the_list_comes_two_hours_before_people_go() -> None:
    short = calendar(changed=((local(0, day=2).date(), YARD.week.hours_on(local(0).date()).opens, local(11).time()),))
    stretch = next_stretch(short, local(8, day=2))
    assert stretch is not None
    assert weekend_facts(stretch, [at_risk("near")], [], short, local(9, day=2)) != ()
    assert weekend_facts(stretch, [at_risk("near")], [], short, local(8.9, day=2)) == ()
