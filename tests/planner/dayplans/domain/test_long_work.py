"""Work over several days shows each day its own hours; clocks that change move no wall time."""

from dataclasses import replace
from datetime import UTC, date, datetime, time

from planner.dayplans.domain.day_plan import day_plan_facts
from tests.planner.dayplans.domain.worlds import (
    AS_OF,
    SITE,
    PlanHead,
    at,
    job,
    only_task,
    plan,
    series,
    sky,
    stay,
    task,
    world,
)

STACK = task("stack_forms", 1, work_minutes=1200, quantity=31.0, unit="m2")
LONG = stay(STACK, at(9, day=15), at(11, day=17), "forms")
WORLD = world(job(STACK))


def hours(on: date, one=STACK) -> tuple[datetime, datetime]:
    found = only_task(plan(world(job(one)), LONG, on=on))
    return found.starts_at, found.ends_at


def test_first_middle_and_last_day_are_cut_to_the_crew_s_hours() -> None:
    assert hours(date(2026, 6, 15)) == (at(9, day=15), at(15.5, day=15))
    assert hours(date(2026, 6, 16)) == (at(7), at(15.5))
    assert hours(date(2026, 6, 17)) == (at(7, day=17), at(11, day=17))


def test_days_before_and_after_hold_none_of_it() -> None:
    for on in (date(2026, 6, 14), date(2026, 6, 18)):
        assert plan(WORLD, LONG, on=on).stops == ()


def test_the_site_s_own_hours_cut_it_further() -> None:
    quiet = replace(STACK, site=replace(SITE, work_from=time(8), work_until=time(15)))
    assert hours(date(2026, 6, 16), quiet) == (at(8), at(15))
    [stop] = plan(world(job(quiet)), LONG).stops
    assert stop.access == "Side gate, dog in the yard. Work only from 08:00 to 15:00."


def test_quantity_and_time_are_those_of_all_days_and_say_so() -> None:
    found = only_task(plan(WORLD, LONG))
    assert [(one.label, one.value, one.unit) for one in found.quantities] == [
        ("Wall, all days", 31.0, "m2"),
        ("Planned time, all days", 20.0, "h"),
    ]
    assert found.note == "Runs over several days: from 9:00 am Monday, June 15 to 11:00 am Wednesday, June 17."


def test_a_pour_s_long_day_is_kept_past_closing() -> None:
    pour = task("pour_floor", 1)
    found = only_task(plan(world(job(pour)), stay(pour, at(7), at(17.5), "forms")))
    assert found.ends_at == at(17.5)


def test_a_weekend_between_is_no_day_of_work() -> None:
    over_weekend = stay(STACK, at(9, day=19), at(11, day=22), "forms")
    assert plan(WORLD, over_weekend, on=date(2026, 6, 20)).stops == ()
    assert only_task(plan(WORLD, over_weekend, on=date(2026, 6, 22))).starts_at == at(7, day=22)


def test_a_day_on_which_the_clocks_change_keeps_its_wall_times() -> None:
    """Sunday 1 November 2026: 7 am is 11:00 UTC the day before and 12:00 UTC on it; a crew that works that day."""
    crew = WORLD.crews.crews[0]
    calendar = replace(crew.calendar, changed_hours=((date(2026, 11, 1), time(7), time(15, 30)),))
    start, end = datetime(2026, 10, 31, 13, tzinfo=UTC), datetime(2026, 11, 2, 15, tzinfo=UTC)
    forecast = series(start_at=datetime(2026, 10, 31, 16, tzinfo=UTC), hours=48)
    one = replace(
        world(job(STACK), skies={1: sky(forecast)}, as_of=datetime(2026, 10, 31, 21, tzinfo=UTC)),
        crews=replace(WORLD.crews, crews=(replace(crew, calendar=calendar),)),
    )
    facts = day_plan_facts(
        one, plan=PlanHead(number=1, made_at=AS_OF), stays=(stay(STACK, start, end, "forms"),), crew="forms",
        on=date(2026, 11, 1),
    )  # fmt: skip
    found = only_task(facts)
    assert found.starts_at == datetime(2026, 11, 1, 12, tzinfo=UTC)
    assert found.ends_at == datetime(2026, 11, 1, 20, 30, tzinfo=UTC)
    assert [hour.starts_at.astimezone(facts.zone).hour for hour in facts.sky] == list(range(5, 21))
    assert all(hour.air_temp_c is not None for hour in facts.sky)
    assert [hour.night for hour in facts.sky][:3] == [True, False, False]
