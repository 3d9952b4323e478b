"""The headline of work that must not start yet: first, one sentence a way to open it, and whom to ask."""

from dataclasses import replace

import pytest

from planner.dayplans.facts import OWN_CREW, Gate, GateState
from planner.dayplans.presenters.day_plan import present_day_plan
from planner.dayplans.presenters.headline import headline_of
from planner.dayplans.presenters.text import day_plan_text
from tests.planner.dayplans.domain.worlds import at as at_hour
from tests.planner.dayplans.domain.worlds import booking, job, only_task, plan, sky, stay, task, world
from tests.planner.dayplans.samples import facts, pour

PHONE = "555-0100"
LOOK = Gate(kind="safety", state=GateState.SHUT, sentence="x", opens="the dig is looked at", record="dig_look")
PUMP = Gate(kind="booking", state=GateState.SHUT, sentence="x", opens="the pump is booked")
STONE = Gate(kind="booking", state=GateState.SHUT, sentence="x", opens="the stone is booked")
BRACED = Gate(kind="links", state=GateState.SHUT, sentence="x", opens="“Brace” is reported finished", ask="Forms west")
OPEN = Gate(kind="hold", state=GateState.OPEN, sentence="x")
CARE = Gate(kind="sky", state=GateState.CARE, sentence="x")


def said(*gates: Gate, state: str = "waiting") -> list[str]:
    found = headline_of(replace(pour(), gates=gates, state=state), PHONE)
    if found is None:
        return []
    assert found.single is (sum(len(one.whats) for one in found.openings) == 1)
    return [f"{found.words} {' + '.join(one.whats)}. {one.ask}" for one in found.openings]


def test_what_opens_it_and_whom_to_ask_is_said_once_for_all_that_the_office_settles() -> None:
    assert said(LOOK, OPEN, PUMP, BRACED, STONE) == [
        "Do not start before the dig is looked at. "
        "Whoever looked records it on the crew's page, or by phone with the office, 555-0100.",
        "Do not start before the pump is booked + the stone is booked. Ask the office, 555-0100.",
        "Do not start before “Brace” is reported finished. Ask Forms west, or the office, 555-0100.",
    ]


def test_work_before_that_is_asked_for_with_its_wait_is_asked_for_once() -> None:
    cured = replace(BRACED, kind="strength", opens=f"{BRACED.opens} and its wait is over")
    assert said(BRACED, cured) == said(cured)


def test_work_that_may_start_or_is_over_has_no_headline() -> None:
    assert said(OPEN, CARE) == []
    assert said(PUMP, state="finished") == said(PUMP, state="unreported") == []


def test_work_under_way_is_not_told_to_start() -> None:
    assert said(LOOK, state="started")[0].startswith("Do not go on before the dig is looked at.")


def test_work_of_an_earlier_day_is_not_started_again() -> None:
    found = headline_of(replace(pour(), gates=(LOOK,), continued=True), PHONE)
    assert found is not None
    assert found.words == "Do not go on before"


def test_the_crew_s_own_work_before_is_theirs_to_report() -> None:
    assert said(replace(BRACED, ask=OWN_CREW)) == [
        "Do not start before “Brace” is reported finished. That is your own work: report it when it is done."
    ]


def test_a_gate_that_keeps_work_from_starting_says_what_opens_it() -> None:
    with pytest.raises(ValueError, match="nothing says what opens it"):
        Gate(kind="hold", state=GateState.UNKNOWN, sentence="Not known.")


def test_the_headline_stands_before_everything_else_of_its_work() -> None:
    text = day_plan_text(facts())
    start = text.index(
        ">>> DO NOT START BEFORE:\n        - the pump is confirmed for this day.\n          Ask the office,"
    )
    assert start < text.index("Concrete to order")
    assert "finish coping (do not start yet)" in " ".join(text.split())


def test_the_head_of_the_sheet_names_the_stops_that_must_wait() -> None:
    page = present_day_plan(facts())
    assert page.not_yet == "Not to be started yet: Heron Lane pool. What opens it stands there."
    assert page.not_yet in day_plan_text(facts())
    (stop, *_) = facts().stops
    clear = replace(stop, tasks=(replace(pour(), gates=(OPEN, CARE)),))
    assert present_day_plan(facts(stops=(clear,))).not_yet == ""


def test_a_pour_without_its_plant_s_word_or_inspection_is_headed_by_both() -> None:
    one = task("pour_floor", 1)
    found = plan(
        world(job(one), skies={1: sky()}, bookings=[booking(one, "pump")]), stay(one, at_hour(7), at_hour(14), "forms")
    )
    assert only_task(found).state == "waiting"
    [view] = present_day_plan(found).stops[0].tasks
    assert view.headline is not None
    [opening] = view.headline.openings
    assert len(opening.whats) == 2
    assert opening.whats[0].startswith("the inspection “")
    assert opening.whats[1] == "Ready-mix is booked for this day"
