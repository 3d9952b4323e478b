"""The weather of work that lasts over nights is judged by the days of the crew that does it. Values: invented."""

from dataclasses import replace
from datetime import date, datetime
from typing import Any

from planner.plans.domain.timeline import timeline
from planner.plans.domain.waits import Waits
from planner.plans.domain.weather import StartWeathers, end_with, ways_of
from planner.plans.domain.world import Judges, World
from tests.planner.dayplans.domain.worlds import DIGGERS, FORMS, at, job, series, sky, task, world

# Two days of digging, Tuesday 16 and Wednesday 17 June; it rains hard on Thursday.
DIG = task("dig", 2, work_minutes=2 * 8 * 60, splits_nights=True, crew_size=2)
RAIN = (at(8, day=18), at(16, day=18))
THURSDAY = {"rain_mm": (*RAIN, 8.0), "rain_chance": (*RAIN, 1.0)}


def with_diggers(**changes: Any) -> World:
    """A world whose only digging crew keeps days of its own."""
    diggers = replace(DIGGERS, calendar=replace(DIGGERS.calendar, **changes))
    return world(job(DIG), skies={1: sky(series(hours=120, spells=THURSDAY))}, crews=(FORMS, diggers))


def dollars_of(one: World, start_at: datetime) -> tuple[bool, int]:
    line = timeline(one.branch, date(2026, 6, 15), 14)
    spans = line.windows(one.crews.branch_calendar)
    table = StartWeathers(one, judges=Judges(one), line=line, spans=spans, waits=Waits(one)).of(DIG, (), ())
    minute = line.minute(start_at)
    (found,) = (row for row in table if row.start <= minute < row.end)
    return found.forbidden, found.dollars


def test_a_crew_with_a_day_off_is_still_there_when_it_rains() -> None:
    """Off on Wednesday, the dig of Tuesday ends on Thursday in the rain; the branch itself works every day."""
    all_week, off = with_diggers(), with_diggers(days_off=frozenset({date(2026, 6, 17)}))
    morning = at(7, day=16)
    assert end_with(all_week, DIG, morning, ("dig",)) < RAIN[0] < end_with(off, DIG, morning, ("dig",))
    assert dollars_of(all_week, morning) < dollars_of(off, morning)


def test_of_several_crews_the_one_that_takes_longest_counts_and_likes_count_once() -> None:
    base = with_diggers()
    second = replace(
        DIGGERS, id=8, key="dig_two", calendar=replace(DIGGERS.calendar, days_off=frozenset({date(2026, 6, 17)}))
    )
    third = replace(DIGGERS, id=9, key="dig_three")
    both = replace(base, crews=replace(base.crews, crews=(*base.crews.crews, second, third)))
    assert len(ways_of(both, DIG)) == 2
    assert dollars_of(both, at(7, day=16)) == dollars_of(
        with_diggers(days_off=frozenset({date(2026, 6, 17)})), at(7, day=16)
    )
