"""Each change to try makes exactly the world it says, and leaves the world it came from alone."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from crews.domain.facts import GearFacts
from jobs.domain.errors import CannotDo
from planner.forecast.domain.freshness import Freshness
from planner.plans.asking import trying
from planner.plans.asking.naming import day_named, days_named, job_named, named_with, task_named
from planner.plans.asking.outcome import outcome_lines
from planner.plans.asking.worlds import plan_world, try_worlds
from planner.plans.domain.world import Judges, World
from planner.solver.parameters import GreedyOnly, Repeatable
from tests.planner.dayplans.domain.worlds import at, job, series, sky, stay, task, world

DIG, LOOK, POUR = task("dig", 1, bookings=()), task("inspect_walls", 2, bookings=()), task("pour_walls", 3, bookings=())
POOL = job(DIG, LOOK, POUR)


def tuesday_world() -> World:
    return world(POOL, skies={1: sky(series(hours=96))}, gear=(GearFacts(kind="set", name="Sets", count=1),))


def works(one: World, key: str, on: date) -> bool:
    return next(crew for crew in one.crews.crews if crew.key == key).calendar.is_working_day(on)


def test_a_crew_away_works_on_no_day_named() -> None:
    before = tuesday_world()
    after = trying.crew_away("dig", days_named("2026-06-16..2026-06-17")).made(before)
    days = [date(2026, 6, day) for day in (15, 16, 17, 18)]
    assert [works(after, "dig", on) for on in days] == [True, False, False, True]
    assert all(works(before, "dig", on) for on in days)
    assert works(after, "forms", days[1])


def test_a_saturday_opens_the_branch_and_its_own_crews_only() -> None:
    on = date(2026, 6, 20)
    after = trying.saturday(on).made(tuesday_world())
    assert [works(after, key, on) for key in ("dig", "forms", "power")] == [True, True, False]
    assert after.crews.branch_calendar.is_working_day(on)
    again = trying.saturday(on).made(trying.crew_away("dig", (on,)).made(tuesday_world()))
    assert works(again, "dig", on)


def test_one_more_crew_and_one_piece_less() -> None:
    after = trying.extra_crew("dig").made(tuesday_world())
    like, twin = (next(crew for crew in after.crews.crews if crew.key == key) for key in ("dig", "dig-extra"))
    assert (twin.trades, twin.size) == (like.trades, like.size)
    assert trying.gear_lost("set").made(tuesday_world()).crews.gear[0].count == 0


def test_rain_forbids_and_nothing_else_changes() -> None:
    before = tuesday_world()
    after = trying.rain(date(2026, 6, 17)).made(before)
    old, new = before.skies[1].series, after.skies[1].series
    assert old is not None
    assert new is not None
    for moment in (at(8), at(8, day=17), at(8, day=18)):
        assert new.value("air_temp_c", moment) == old.value("air_temp_c", moment)
    assert [new.value("rain_chance", at(8, day=day)) for day in (16, 17, 18)] == [0.0, 1.0, 0.0]
    exposure = after.exposures["pour"] if "pour" in after.exposures else after.exposures[POUR.exposure]

    def forbidden(one: World, day: int) -> bool:
        judge = Judges(one).at(1)
        return judge.start(exposure, start_at=at(8, day=day), end_at=at(13, day=day), soil="loam").forbidden

    assert [forbidden(before, 17), forbidden(after, 17)] == [False, True]


def test_rain_past_the_forecast_or_without_one_is_still_sure() -> None:
    far = trying.rain(date(2026, 6, 30)).made(tuesday_world()).skies[1].series
    assert far is not None
    assert far.value("rain_chance", at(12, day=30)) == 1.0
    assert far.value("rain_chance", at(12, day=28)) is None
    stale = replace(tuesday_world(), skies={1: replace(tuesday_world().skies[1], freshness=Freshness.DOWN)})
    made = trying.rain(date(2026, 6, 17)).made(stale).skies[1]
    assert made.series is not None
    assert (made.freshness, made.series.value("air_temp_c", at(8))) == (Freshness.FRESH, None)
    assert trying.rain(date(2026, 6, 17)).made(replace(stale, skies={})).skies[1].freshness is Freshness.FRESH


def test_a_failed_visit_is_asked_for_again_from_the_day_the_plan_had_it() -> None:
    planned = replace(
        tuesday_world(), told=(stay(LOOK, at(7), at(11)), stay(POUR, at(7, day=17), at(13, day=17), "forms"))
    )
    after = trying.failed_visit_named(planned, "Heron Lane:inspect_walls").made(planned)
    look = after.jobs[0].task("inspect_walls")
    # One working day's notice after Tuesday the 16th: not before Wednesday opens.
    assert look.earliest_at == at(7, day=17)
    assert "failed" in look.earliest_why
    assert [one.task for one in after.told] == [POUR.id]
    assembled, done = plan_world(after, GreedyOnly())
    starts = {one.task: assembled.line.at(one.start) for one in done.result.assignments}
    assert starts["1.inspect_walls"] >= at(7, day=17)
    assert starts["1.pour_walls"] > starts["1.inspect_walls"]


def test_side_by_side_says_dollars_and_days() -> None:
    planned = replace(
        tuesday_world(), jobs=(replace(POOL, promised_on=date(2026, 6, 18)),), told=(stay(LOOK, at(7), at(11)),)
    )
    changes = (trying.promise(POOL, date(2026, 7, 20)), trying.crew_away("forms", days_named("2026-06-16..2026-07-03")))
    effort = Repeatable(deterministic_seconds=0.2)
    outcomes = try_worlds(planned, changes, effort, title="as it is")
    assert outcomes == try_worlds(planned, changes, effort, title="as it is")
    base, later, away = outcomes
    assert later.dollars["late"] == 0
    assert away.handovers["Heron Lane"] - base.handovers["Heron Lane"] >= timedelta(days=14)
    lines = "\n".join(outcome_lines(outcomes))
    assert "Heron Lane promised for 20 July" in lines
    assert " d)" in lines
    assert (
        f"(−${base.dollars['total'] - later.dollars['total']:,})" in lines
        or base.dollars["total"] == later.dollars["total"]
    )


def test_more_never_costs_more() -> None:
    planned = replace(tuesday_world(), told=(stay(LOOK, at(7), at(11)),))
    base, more = try_worlds(planned, (trying.extra_crew("forms"),), GreedyOnly(), title="as it is")
    assert more.dollars["total"] <= base.dollars["total"]


def test_without_any_plan_the_column_says_why() -> None:
    # Nobody pours for longer than any plan reaches.
    never = trying.crew_away("forms", tuple(date(2026, 6, 15) + timedelta(days=index) for index in range(366)))
    outcomes = try_worlds(tuesday_world(), (never,), GreedyOnly(), title="as it is")
    assert [one.planned for one in outcomes] == [True, False]
    lines = outcome_lines(outcomes)
    assert any("No plan keeps every rule" in line for line in lines)


@pytest.mark.parametrize(
    ("ask", "code"),
    [
        (lambda one: trying.crew_away("nobody", (date(2026, 6, 16),)).made(one), "asking.crew"),
        (lambda one: trying.crew_away("dig", (date(2026, 6, 13), date(2026, 6, 14))).made(one), "asking.past"),
        (lambda one: trying.saturday(date(2026, 6, 13)).made(one), "asking.past"),
        (lambda one: trying.rain(date(2026, 6, 14)).made(one), "asking.past"),
        (lambda one: trying.gear_lost("crane").made(one), "asking.gear"),
        (lambda one: trying.failed_visit_named(one, "Heron Lane:dig"), "asking.no_visit"),
        (lambda one: job_named(one, "Elsewhere"), "asking.pool"),
        (lambda one: task_named(one, "dig"), "asking.task_form"),
        (lambda one: task_named(one, "Heron:fly"), "asking.task"),
        (lambda _: day_named("June"), "asking.day"),
        (lambda _: days_named("2026-06-05..2026-06-03"), "asking.days"),
        (lambda _: named_with("forms", "CREW:DATE"), "asking.two_parts"),
    ],
)
def test_what_is_not_there_is_refused_with_what_is(ask: "object", code: str) -> None:
    assert callable(ask)
    with pytest.raises(CannotDo) as refusal:
        ask(tuesday_world())
    assert refusal.value.code == code
    assert str(refusal.value)


def test_the_beginning_of_a_name_is_enough() -> None:
    found_job, found_task = task_named(tuesday_world(), "heron:dig")
    assert (found_job.name, found_task.key) == ("Heron Lane", "dig")


def test_care_after_the_hand_over_keeps_no_owner_waiting() -> None:
    given = replace(DIG, key="hand_over")
    cared = replace(tuesday_world(), jobs=(job(given, LOOK, POUR),))
    changes = (trying.crew_away("forms", days_named("2026-06-16..2026-07-03")),)
    base, away = try_worlds(cared, changes, GreedyOnly(), title="as it is")
    assert away.planned
    assert away.handovers == base.handovers
