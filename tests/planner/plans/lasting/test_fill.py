"""A fill runs until the water is at its level, and a level that was read times the rest of it again."""

from dataclasses import replace
from datetime import datetime, time, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jobs.domain.fillstops import fill_stops
from jobs.science.water.inflow import RunningWater, TankerLoads
from planner.plans.domain.assemble import assemble
from planner.plans.domain.lasting.fill import Hours, planned_minutes, stretch_of
from planner.plans.domain.lasting.timed import timed
from planner.plans.domain.world import ReportFacts, World
from tests.jobs.domain.pools import worked_design
from tests.planner.dayplans.domain.worlds import AS_OF, ON, at, job, series, sky, task, world
from tests.planner.plans.lasting.pools import at_air, minutes_of, pool_of

DAY = Hours(opens=time(7), closes=time(15, 30), attended=False)
FILLS = tuple(task(f"fill_{number}", number, work_minutes=15) for number in range(1, 6))
# Hours of flow at 2.73 m3/h of the worked example.
HOURS = {"fill_1": 0.10, "fill_2": 12.31, "fill_3": 3.72, "fill_4": 4.26, "fill_5": 4.26}


@pytest.mark.parametrize(("key", "hours"), HOURS.items())
def test_the_worked_example_s_hours_come_out_with_a_little_for_evaporation(key: str, hours: float) -> None:
    """Source: the hand-worked example of the build method; a quarter inch a day adds less than a hundredth."""
    found = minutes_of(at_air(pool_of(*FILLS), 20.0), key) / 60
    assert hours <= found <= hours * 1.01 + 0.25


def test_a_pool_without_a_basin_keeps_its_listed_hours() -> None:
    assert minutes_of(timed(world(job(FILLS[1]))), "fill_2") == 15


def test_a_hose_that_brings_less_than_the_pool_loses_is_told() -> None:
    found = at_air(pool_of(FILLS[4], flow_m3_h=0.005), 20.0)
    assert minutes_of(found, "fill_5") == 15
    assert "Add a hose or a tanker" in found.notes[0]


@settings(max_examples=20, deadline=None)
@given(flow=st.floats(1.0, 20.0), more=st.floats(0.1, 10.0), number=st.integers(1, 5))
def test_more_flow_never_takes_longer(flow: float, more: float, number: int) -> None:
    slow, fast = (worked_design(flow_m3_h=m3_h) for m3_h in (flow, flow + more))
    stretch = stretch_of(pool_of(*FILLS), FILLS[number - 1])
    assert stretch is not None
    assert planned_minutes(fast, stretch, DAY) <= planned_minutes(slow, stretch, DAY)


def running(key: str, began_at: datetime, *reports: ReportFacts, water: tuple = (), **changes: object) -> World:
    """A world in which one fill runs since ``began_at`` and those before it are over."""
    number = int(key[-1])
    fills = tuple(
        replace(one, finished_at=began_at - timedelta(hours=1))
        if at_ < number
        else (replace(one, started_at=began_at, **changes) if at_ == number else one)
        for at_, one in enumerate(FILLS, start=1)
    )
    pool = pool_of(*fills, water=water)
    still = series({"air_temp_c": 20.0, "dew_point_c": 20.0, "wind_m_s": 0.0}, hours=240, start_at=began_at)
    return timed(world(pool, skies={1: sky(still)}, reports=reports, as_of=AS_OF))


def read(key: str, moment: datetime, level_m: float, kind: str = "level", **values: object) -> ReportFacts:
    return ReportFacts(
        task=int(key[-1]),
        kind=kind,
        happened_at=moment,
        said_by="L. Orme",
        values=values or {"level_m": level_m},
    )


def left_minutes(one: World, key: str) -> int | None:
    return one.jobs[0].task(key).remaining_minutes


def level_after(key: str, flow_hours: float, flow_m3_h: float = 2.73) -> float:
    basin = worked_design().basin
    begins = (0.0, *(stop.level_m for stop in fill_stops(worked_design())))[int(key[-1]) - 1]
    return basin.level_for_volume_m(basin.volume_at_m3(begins) + flow_hours * flow_m3_h)


def test_a_reading_as_planned_leaves_what_was_planned() -> None:
    """12.31 h of flow, read after 6 h, two hours ago: 4.3 h are left (in still, saturated air nothing evaporates)."""
    began_at = AS_OF - timedelta(hours=8)
    found = running("fill_2", began_at, read("fill_2", AS_OF - timedelta(hours=2), level_after("fill_2", 6.0)))
    assert left_minutes(found, "fill_2") == 270
    assert found.notes == ()


def test_half_the_flow_takes_twice_as_long_for_the_rest() -> None:
    began_at = AS_OF - timedelta(hours=6)
    level = level_after("fill_2", 6.0, 2.73 / 2)
    found = running("fill_2", began_at, read("fill_2", AS_OF, level))
    assert left_minutes(found, "fill_2") == pytest.approx(60 * (12.31 * 2 - 6), abs=16)


def test_a_weak_tap_stays_weak_for_the_fills_after_it() -> None:
    began_at = at(8, day=15)
    level = level_after("fill_3", 2.0, 2.73 / 2)
    found = running("fill_3", began_at, read("fill_3", at(10, day=15), level))
    assert minutes_of(found, "fill_4") == pytest.approx(60 * 4.26 * 2, abs=31)


def test_water_somebody_looks_after_counts_working_hours_only() -> None:
    """Begun at two, read at three, closed at half past three: at five in the afternoon nobody is there."""
    found = running("fill_3", at(14, day=15), read("fill_3", at(15, day=15), level_after("fill_3", 1.0)))
    # 3.72 h of flow less the hour until the reading and the half hour until closing at 3:30 pm.
    assert left_minutes(found, "fill_3") == pytest.approx(60 * (3.72 - 1.5), abs=15)


def test_a_level_at_the_stop_leaves_nothing() -> None:
    stop = fill_stops(worked_design())[1].level_m
    found = running("fill_2", AS_OF - timedelta(hours=6), read("fill_2", AS_OF, stop))
    assert left_minutes(found, "fill_2") == 0


def test_a_reading_without_any_gain_is_told_and_changes_nothing() -> None:
    found = running("fill_2", AS_OF - timedelta(hours=6), read("fill_2", AS_OF, level_after("fill_2", -0.1)))
    assert left_minutes(found, "fill_2") is None
    assert "Check hose, tap and float" in found.notes[0]


def test_minutes_the_site_says_later_count_instead() -> None:
    began_at = AS_OF - timedelta(hours=6)
    reports = (
        read("fill_2", AS_OF - timedelta(hours=2), level_after("fill_2", 1.0)),
        read("fill_2", AS_OF - timedelta(hours=1), 0.0, kind="remaining", minutes=45),
    )
    found = running("fill_2", began_at, *reports, remaining_minutes=45)
    assert left_minutes(found, "fill_2") == 45


def test_the_plan_pins_the_running_fill_to_the_hour_the_water_is_there() -> None:
    """Begun at nine, 12.31 h of flow: past closing, so it is throttled to arrive when Tuesday opens."""
    began_at = AS_OF - timedelta(hours=8)
    one = running("fill_2", began_at, read("fill_2", AS_OF, level_after("fill_2", 8.0)))
    assembled = assemble(one, first_on=AS_OF.date(), horizon_days=10)
    pin = next(found.pin for found in assembled.problem.tasks if found.key.endswith("fill_2"))
    assert pin is not None
    assert assembled.line.at(pin.end) == at(7)
    assert at(7).date() == ON


NIGHT_AND_DAY = (
    RunningWater(flow_m3_h=2.0, from_h=17, until_h=7),
    RunningWater(kind="hydrant", flow_m3_h=20.0, from_h=9, until_h=12),
)


def test_a_fill_takes_the_longest_of_its_sources_from_any_hour_of_the_day() -> None:
    """33.6 m3 in fill 2: at seven nothing runs until nine, then 33.6 m3 of hydrant in 1.7 h, done at about 10:41.
    At noon the hydrant has just stopped: hose from five to seven, 28 m3, and the rest from nine on: 21.3 h."""
    pool = worked_design(water=NIGHT_AND_DAY)
    stretch = stretch_of(pool_of(*FILLS, water=NIGHT_AND_DAY), FILLS[1])
    assert stretch is not None
    assert stretch.water_m3 == pytest.approx(33.6, abs=0.1)
    assert planned_minutes(pool, stretch, DAY) == pytest.approx(60 * (5 + 14 + 2 + 5.6 / 20), abs=16)
    assert minutes_of(at_air(pool_of(*FILLS, water=NIGHT_AND_DAY), 20.0), "fill_2") == planned_minutes(
        pool, stretch, DAY
    )


def test_attended_water_counts_the_hours_in_which_somebody_is_there() -> None:
    """10.15 m3 in fill 3 by the hydrant from nine to noon at 2 m3/h: six a day, and 0.5 m3 more for the sun. Begun at
    noon it waits 3.5 h until closing, 8.5 h bring 6 m3, and on the next day the rest is there 2.3 h after nine."""
    water = (RunningWater(kind="hydrant", flow_m3_h=2.0, from_h=9, until_h=12),)
    found = at_air(pool_of(*FILLS, water=water), 20.0)
    assert found.notes == ()
    assert minutes_of(found, "fill_3") == pytest.approx(60 * (3.5 + 8.5 + 2 + 2.3), abs=15)


def test_hoses_that_run_at_night_only_are_no_water_for_an_attended_fill() -> None:
    found = at_air(pool_of(*FILLS, water=(RunningWater(flow_m3_h=2.0, from_h=18, until_h=6),)), 20.0)
    assert "fill_1" in {task.key for task in found.jobs[0].tasks}
    assert any("No water comes between 07:00 and 15:30" in note for note in found.notes)


def test_a_running_fill_is_timed_by_the_hour_it_was_turned_on() -> None:
    """Begun at nine with the hydrant: 33.6 m3 at 20 m3/h are there in 1.7 h, not in the longest 21 h."""
    began_at = at(9, day=15)
    pool = running("fill_2", began_at, water=NIGHT_AND_DAY)
    assert minutes_of(pool, "fill_2") == pytest.approx(60 * 33.6 / 20, abs=15)
    assert left_minutes(pool, "fill_2") is None


def test_a_reading_times_tankers_that_are_still_to_come() -> None:
    """Two loads of 17 m3 at 9 and 13: read at eleven with half of the first: the second brings 8.5, so a third and a
    fourth come on the next day, the last of it when its second has brought 8.1 m3 (at 20 m3/h half of that)."""
    water = (TankerLoads(load_m3=17.0, loads_each=2, from_h=9, every_h=4, flow_m3_h=20.0),)
    began_at = at(8, day=15)
    basin = worked_design().basin
    begins = fill_stops(worked_design())[0].level_m
    level = basin.level_for_volume_m(basin.volume_at_m3(begins) + 8.5)
    found = running("fill_2", began_at, read("fill_2", at(11, day=15), level), water=water)
    # 33.6 = 3 x 8.5 + 8.1: until 13:00 the next day and 8.1 / 10 h more, counted from now.
    assert left_minutes(found, "fill_2") == pytest.approx((at(13) - AS_OF) / timedelta(minutes=1) + 60 * 0.81, abs=16)
