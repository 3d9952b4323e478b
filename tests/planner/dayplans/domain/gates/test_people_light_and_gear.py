"""Gates of the crew, daylight and counted gear."""

from dataclasses import replace
from datetime import date

import pytest

from crews.domain.daylight import daylight_on
from crews.domain.facts import GearFacts
from crews.domain.travel import Place
from jobs.domain.facts import Closure
from planner.dayplans.facts import GateState
from tests.planner.dayplans.domain.worlds import (
    FAR_SITE,
    FORMS,
    ON,
    SITE,
    at,
    calendar,
    gates,
    job,
    only_task,
    plan,
    span,
    stay,
    task,
    world,
)

POUR = task("pour_floor", 1)


def planned(crew, one=POUR, **more):
    return plan(world(job(one), crews=(crew,), **more), stay(one, at(7), at(14), crew.key), crew=crew.key)


def test_enough_people_open_the_gate() -> None:
    [gate] = gates(planned(FORMS), "crew")
    assert (gate.state, gate.sentence) == (GateState.OPEN, "5 people are expected, at least 4 are needed.")


def test_too_few_people_shut_it() -> None:
    facts = planned(replace(FORMS, head_counts={ON: 3}))
    [gate] = gates(facts, "crew")
    assert gate.state is GateState.SHUT
    assert "3 of 5 come, at least 4 are needed" in gate.sentence
    assert facts.head_count == only_task(facts).head_count == 3


def test_a_crew_given_the_day_off_since_is_said() -> None:
    facts = planned(replace(FORMS, calendar=calendar("Forms crew", days_off=frozenset({ON}))))
    [gate] = gates(facts, "crew")
    assert gate.state is GateState.SHUT
    assert "does not work on this day" in gate.sentence
    assert facts.stand_by == ()


def test_an_outside_crew_without_a_recorded_booking_is_not_known() -> None:
    assert [gate.state for gate in gates(planned(replace(FORMS, booked_as="forms_hire")), "crew")] == [
        GateState.UNKNOWN
    ]


def test_a_closed_site_shuts_the_work_of_the_day() -> None:
    closed = replace(SITE, closures=(Closure(first_on=ON, last_on=ON, reason="a wedding"),))
    facts = planned(FORMS, replace(POUR, site=closed))
    assert "Nobody works on this site on this day: a wedding." in [gate.sentence for gate in gates(facts, "crew")]


def test_daylight_is_open_between_sunrise_and_sunset_and_shut_past_it() -> None:
    [gate] = gates(planned(FORMS), "daylight")
    assert gate.state is GateState.OPEN
    late = plan(world(job(POUR)), stay(POUR, at(13), at(21), "forms"))
    [gate] = gates(late, "daylight")
    assert gate.state is GateState.SHUT
    assert "run past that" in gate.sentence


def test_work_that_goes_on_after_dark_says_to_bring_lights() -> None:
    """Deck joints of a warm day wait for the evening; the sun sets at half past eight on 16 June."""
    joints = task("saw_joints", 1)
    facts = plan(world(job(joints)), stay(joints, at(19), at(20.75), "forms"))
    [gate] = gates(facts, "daylight")
    assert (gate.state, gate.opens) == (GateState.CARE, "")
    assert "8:30 pm: bring lights" in gate.sentence
    assert gates(plan(world(job(joints)), stay(joints, at(13), at(14.75), "forms")), "daylight") == []


def test_where_the_sun_never_sets_daylight_is_not_known() -> None:
    north = replace(SITE, latitude=75.0)
    facts = planned(FORMS, replace(POUR, site=north))
    assert [gate.state for gate in gates(facts, "daylight")] == [GateState.UNKNOWN]
    assert facts.sunrise_at is None
    assert not any(hour.night for hour in facts.sky)


def test_sunrise_is_that_of_the_first_site() -> None:
    facts = planned(FORMS)
    light = daylight_on(Place(latitude_deg=SITE.latitude, longitude_deg=SITE.longitude), ON, "America/New_York")
    assert (facts.sunrise_at, facts.sunset_at) == (light.sunrise_at, light.sunset_at)


BRACE, STRIP = task("brace_and_square", 1), task("strip_braces", 2)
OTHER_BRACE = task("brace_and_square", 11, site=FAR_SITE)
OTHER_STRIP = task("strip_braces", 12, site=FAR_SITE)
SETS = GearFacts(kind="brace_set", name="Brace set", count=1)


def braced(*other_stays, other_brace=OTHER_BRACE, other_strip=OTHER_STRIP, count=1):
    here = job(BRACE, STRIP, gear_spans=(span("brace_set", BRACE, STRIP),))
    there = job(
        other_brace,
        other_strip,
        name="Mill Pond",
        number=2,
        gear_spans=(span("brace_set", other_brace, other_strip),),
    )
    one = world(here, there, gear=(replace(SETS, count=count),))
    return gates(plan(one, stay(BRACE, at(7), at(12), "forms"), *other_stays), "gear")


def test_free_gear_opens_the_gate_with_its_count() -> None:
    [gate] = braced()
    assert (gate.state, gate.sentence) == (GateState.OPEN, "Brace set: 1 of 1 free at the start, 1 needed.")


def test_gear_out_on_another_job_shuts_it_until_it_is_reported_back() -> None:
    out = replace(OTHER_BRACE, finished_at=at(12, day=11), started_at=at(7, day=11))
    back = stay(OTHER_STRIP, at(7, day=15), at(10, day=15), "forms")
    [gate] = braced(back, other_brace=out)
    assert gate.state is GateState.SHUT
    assert "Held at Mill Pond, planned until 10:00 am Monday, June 15, not reported back." in gate.sentence
    [gate] = braced(back, other_brace=out, other_strip=replace(OTHER_STRIP, finished_at=at(10, day=15)))
    assert gate.state is GateState.OPEN
    [gate] = braced(back, other_brace=out, count=2)
    assert gate.state is GateState.OPEN


def test_gear_planned_elsewhere_at_the_start_shuts_it() -> None:
    stays = (stay(OTHER_BRACE, at(6), at(10), "dig"), stay(OTHER_STRIP, at(7, day=19), at(9, day=19), "dig"))
    [gate] = braced(*stays)
    assert gate.state is GateState.SHUT
    later = (stay(OTHER_BRACE, at(9), at(12), "dig"), stay(OTHER_STRIP, at(7, day=19), at(9, day=19), "dig"))
    [gate] = braced(*later)
    assert gate.state is GateState.OPEN


def test_gear_already_on_the_site_is_open() -> None:
    started = replace(BRACE, started_at=at(7, day=15))
    pool = job(started, STRIP, gear_spans=(span("brace_set", started, STRIP),))
    facts = plan(world(pool, gear=(SETS,)), stay(STRIP, at(7), at(12), "forms"))
    assert [gate.sentence for gate in gates(facts, "gear")] == [
        "Brace set: on this site since 7:00 am Monday, June 15."
    ]


@pytest.mark.parametrize("amount", [1, 2])
def test_gear_to_bring_is_named_with_its_number(amount: int) -> None:
    pool = job(BRACE, STRIP, gear_spans=(span("brace_set", BRACE, STRIP, amount),))
    facts = plan(world(pool), stay(BRACE, at(7), at(12), "forms"))
    brought = [name for name in only_task(facts).gear if name.startswith("Brace set")]
    assert brought == ["Brace set, 131 feet of wall" + (" (2)" if amount == 2 else "")]
    assert gates(facts, "gear") == [], "gear the branch does not count has no gate"


def test_a_closed_day_inside_long_work_is_left_out() -> None:
    closed = replace(SITE, closures=(Closure(first_on=ON, last_on=ON, reason="a wedding"),))
    stack = task("stack_forms", 1, site=closed)
    one = world(job(stack))
    long = stay(stack, at(7, day=15), at(12, day=17), "forms")
    assert plan(one, long, on=ON).stops == ()
    assert plan(one, long, on=date(2026, 6, 17)).stops != ()
