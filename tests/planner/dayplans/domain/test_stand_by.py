"""Stand-by work: open, of the crew's trade, every gate but the sky open, not in the day's plan; else the yard."""

from dataclasses import replace

from planner.forecast.domain.freshness import Freshness
from planner.forecast.domain.site_sky import SiteSky
from tests.planner.dayplans.domain.worlds import FORMS, at, job, plan, sky, stay, task, world

STACKED = task("stack_forms", 1, finished_at=at(12, day=15))
FIT = task("fit_openings", 2, work_minutes=330)
POOL = job(STACKED, FIT)


def test_open_stand_by_work_of_the_trade_is_offered_with_how_and_how_long() -> None:
    [found] = plan(world(POOL)).stand_by
    assert (found.title, found.site, found.minutes) == (FIT.title, "Heron Lane", 330)
    assert found.why == "Every gate but the sky is open; pre-assemble under cover."


def test_a_sky_that_forbids_or_is_unknown_does_not_take_it_away() -> None:
    for over in (SiteSky(series=None, freshness=Freshness.DOWN), sky(freshness=Freshness.STALE)):
        assert [one.title for one in plan(world(POOL, skies={1: over})).stand_by] == [FIT.title]


def test_work_behind_a_shut_gate_is_not_offered() -> None:
    shut = job(replace(STACKED, finished_at=None), FIT)
    assert {one.site for one in plan(world(shut)).stand_by} == {"the yard"}


def test_what_is_in_the_day_s_plan_already_is_not_offered() -> None:
    for crew in ("forms", "dig"):
        planned = plan(world(POOL), stay(FIT, at(7), at(12), crew))
        assert {one.site for one in planned.stand_by} == {"the yard"}


def test_another_trade_gets_the_yard() -> None:
    titles = [one.title for one in plan(world(POOL), crew="dig").stand_by]
    assert titles == ["Train on bonding and rescue", "Load the next day's truck"]


def test_an_outside_crew_gets_no_yard_work() -> None:
    assert plan(world(POOL), crew="power").stand_by == ()


def test_no_more_than_five_are_named() -> None:
    many = tuple(replace(task("fit_openings", number), key=f"fit_{number}") for number in range(1, 9))
    assert len(plan(world(job(*many))).stand_by) == 5


def test_a_day_off_or_an_absent_crew_has_no_stand_by() -> None:
    assert plan(world(POOL), on=at(0, day=20).date()).stand_by == ()
    nobody = replace(FORMS, head_counts={at(12).date(): 0})
    assert plan(world(POOL, crews=(nobody,))).stand_by == ()


def test_work_on_a_site_outside_any_method_may_stand_by() -> None:
    leak = replace(task("fit_openings", 5, title="Find a leak"), key="leak")
    loose = replace(job(leak), id=0, name="", method="", holds=())
    [found] = plan(world(loose)).stand_by
    assert (found.title, found.site, found.why) == ("Find a leak", "Heron Lane", "Every gate but the sky is open.")
