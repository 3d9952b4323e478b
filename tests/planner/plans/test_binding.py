"""The gate that binds is the one that opens last, each kind in a world of its own."""

from dataclasses import replace
from datetime import date, timedelta

from crews.domain.facts import GearFacts
from jobs.domain.facts import JobFacts, TaskFacts
from planner.plans.domain.binding import BindingGate, Gatekeeper
from planner.plans.domain.world import Stay, World
from tests.planner.dayplans.domain.worlds import (
    AS_OF,
    FAR_SITE,
    OFFICE,
    at,
    booking,
    job,
    passed,
    series,
    sky,
    span,
    stay,
    task,
    world,
)

DIG = task("dig", 1, bookings=())


def binding(one: World, pool: JobFacts, work: TaskFacts, *stays: Stay) -> BindingGate:
    found = Gatekeeper(one, stays).binding(pool, work)
    assert found is not None
    return found


def test_nothing_holds_work_that_follows_nothing() -> None:
    pool = passed(job(DIG), "hold_locate")
    found = binding(world(pool), pool, DIG, stay(DIG, at(7), at(15), "dig"))
    assert (found.kind, found.opens_at) == ("now", AS_OF)


def test_work_that_began_or_is_over_has_no_gate() -> None:
    for one in (replace(DIG, started_at=at(7)), replace(DIG, finished_at=at(8)), replace(DIG, dropped=True)):
        pool = job(one)
        assert Gatekeeper(world(pool), ()).binding(pool, one) is None


def test_a_wait_for_strength_counts_from_the_report_else_from_the_plan() -> None:
    strip = task("strip_braces", 2)
    reported = job(task("pour_walls", 1, started_at=at(7, day=15), finished_at=at(13, day=15)), strip)
    found = binding(world(reported), reported, strip, stay(strip, at(13, day=16), at(15, day=16), "forms"))
    assert (found.kind, found.known) == ("link", True)
    # Class N has half its strength after 47 h at 20 °C (ec2); walls in foam keep their heat, and 24 h is the least.
    assert at(13, day=16) <= found.opens_at < at(12, day=17)
    assert "strength" in found.why
    assert "Computed from the forecast" in found.why

    pour = task("pour_walls", 1, bookings=())
    planned = passed(job(pour, strip), "hold_walls")
    stays = (stay(pour, at(7), at(12), "forms"), stay(strip, at(12, day=17), at(14, day=17), "forms"))
    found = binding(world(planned), planned, strip, *stays)
    assert (found.kind, found.known) == ("link", False)
    assert at(12, day=17) <= found.opens_at < at(11, day=18)


def test_a_shut_hold_opens_when_its_visit_is_over() -> None:
    visit, pour = task("inspect_walls", 1, bookings=()), task("pour_walls", 2, bookings=())
    pool = job(visit, pour)
    stays = (stay(visit, at(7), at(11)), stay(pour, at(7, day=17), at(13, day=17), "forms"))
    pour = replace(pour, opening_only=True)
    found = binding(world(pool), pool, pour, *stays)
    assert (found.kind, found.opens_at, found.what, found.failed) == ("hold", at(11), "Wall forms", False)
    failed = passed(pool, "hold_walls", result="failed")
    assert binding(world(failed), failed, pour, *stays).failed


def test_a_hold_without_a_planned_visit_opens_no_sooner_than_the_plan_counts_on_it() -> None:
    visit, pour = task("inspect_walls", 1, bookings=()), task("pour_walls", 2, bookings=())
    pool = job(visit, pour)
    found = binding(world(pool), pool, pour, stay(pour, at(7, day=17), at(13, day=17), "forms"))
    assert (found.kind, found.opens_at) == ("hold", at(7, day=17))


def test_a_slot_binds_on_its_day_and_a_missing_one_after_its_notice() -> None:
    pour = task("pour_floor", 1, bookings=("pump",))
    pool = passed(job(pour), "hold_floor")
    planned = stay(pour, at(7, day=18), at(13, day=18), "forms")
    booked = world(pool, bookings=[booking(pour, "pump", on=date(2026, 6, 18))])
    found = binding(booked, pool, pour, planned)
    assert (found.kind, found.what, found.opens_at, found.known) == ("booking", "pump", at(7, day=18), True)
    # Three working days from Monday 15 June: Thursday the 18th.
    found = binding(world(pool), pool, pour, planned)
    assert (found.kind, found.what, found.opens_at) == ("notice", "pump", at(7, day=18))


def test_a_crew_binds_until_it_leaves_the_pool_before() -> None:
    other = task("stack_forms", 9, site=FAR_SITE, bookings=())
    elsewhere = job(other, name="Mill Pond", number=2)
    here = task("strip_braces", 1)
    pool = job(here)
    stays = (stay(other, at(7), at(14), "forms"), stay(here, at(14), at(15), "forms"))
    found = binding(world(pool, elsewhere), pool, here, *stays)
    assert (found.kind, found.what, found.where, found.opens_at) == ("crew", "Forms crew", "Mill Pond", at(14))
    assert found.why == other.title


def test_gear_binds_until_another_pool_gives_it_back() -> None:
    first, last = task("brace_and_square", 8, site=FAR_SITE), task("strip_braces", 9, site=FAR_SITE)
    elsewhere = job(first, last, name="Mill Pond", number=2, gear_spans=(span("brace_set", first, last),))
    brace = task("brace_and_square", 1)
    pool = job(brace, gear_spans=(span("brace_set", brace, brace),))
    stays = (
        stay(first, at(7), at(12), "dig"),
        stay(last, at(7, day=17), at(10, day=17), "dig"),
        stay(brace, at(10, day=17), at(15, day=17), "forms"),
    )
    one_set = world(pool, elsewhere, gear=[GearFacts(kind="brace_set", name="Brace set", count=1)])
    found = binding(one_set, pool, brace, *stays)
    assert (found.kind, found.what, found.where, found.opens_at) == ("gear", "Brace set", "Mill Pond", at(10, day=17))
    two_sets = world(pool, elsewhere, gear=[GearFacts(kind="brace_set", name="Brace set", count=2)])
    assert binding(two_sets, pool, brace, *stays).kind == "plan"


def test_the_sky_binds_where_it_forbids_every_start_before_the_planned_one() -> None:
    pour = task("pour_deck", 1, bookings=(), opening_only=True)
    pool = passed(job(pour), "hold_bond")
    wet = (at(0), at(24))
    rain = series(spells={"rain_mm": (*wet, 6.0), "rain_chance": (*wet, 0.95)})
    planned = stay(pour, at(7, day=18), at(12, day=18), "forms")
    found = binding(world(pool, skies={1: sky(rain)}), pool, pour, planned)
    assert found.kind == "sky"
    assert at(7) < found.opens_at <= planned.start_at
    assert found.why
    # The same plan under a dry sky waits for nothing: that is the plan's own choice.
    assert binding(world(pool), pool, pour, planned).kind == "plan"


def test_an_authority_that_makes_no_more_visits_binds() -> None:
    first, second = task("inspect_walls", 1, bookings=()), task("inspect_walls", 2, site=FAR_SITE, bookings=())
    pool, elsewhere = job(second), job(first, name="Mill Pond", number=2)
    one = world(pool, elsewhere)
    suppliers = (replace(OFFICE, daily_limit=1),)
    one = replace(one, crews=replace(one.crews, suppliers=suppliers))
    stays = (stay(first, at(7), at(11)), stay(second, at(7, day=17), at(11, day=17)))
    found = binding(one, pool, second, *stays)
    assert (found.kind, found.opens_at, found.what) == ("visits", at(7, day=17), OFFICE.name)


def test_what_was_agreed_binds() -> None:
    later = replace(DIG, earliest_at=at(9), earliest_why="the neighbour's wedding")
    pool = passed(job(later), "hold_locate")
    found = binding(world(pool), pool, later, stay(later, at(9), at(15), "dig"))
    assert (found.kind, found.what, found.why) == ("agreed", "office", "the neighbour's wedding")
    owner = passed(job(DIG, earliest_on=date(2026, 6, 17)), "hold_locate")
    found = binding(world(owner), owner, DIG, stay(DIG, at(7, day=17), at(15, day=17), "dig"))
    assert (found.kind, found.what, found.opens_at) == ("agreed", "owner", at(7, day=17))


def test_later_than_every_gate_is_the_plan_s_own_choice() -> None:
    pool = passed(job(DIG), "hold_locate")
    found = binding(world(pool), pool, DIG, stay(DIG, at(7, day=19), at(15, day=19), "dig"))
    assert (found.kind, found.opens_at) == ("plan", at(7))
    assert found.opens_at + timedelta(days=3) == at(7, day=19)
