"""What a day plan says of a fill whose water has hours of its own."""

from dataclasses import replace

from jobs.science.water.inflow import RunningWater, TankerLoads, WaterSource
from tests.planner.dayplans.domain.worlds import at, only_task, plan, stay, task, world
from tests.planner.plans.lasting.pools import pool_of

BEFORE, FILL = task("cut_drain", 7), task("fill_2", 2)


def note(*water: WaterSource, **changes: object) -> str:
    pool = pool_of(BEFORE, replace(FILL, **changes), water=water)
    stays = (stay(BEFORE, at(7), at(8), "forms"), stay(FILL, at(9), at(16)))
    return only_task(plan(world(pool), *stays)).note


def test_it_says_where_the_water_comes_from_and_when_it_is_there() -> None:
    """33.6 m3 at 22 m3/h from nine on: 1.5 h and, by the quarter hour, a bit."""
    said = note(RunningWater(flow_m3_h=2.0), RunningWater(kind="hydrant", flow_m3_h=20.0, from_h=9, until_h=12))
    assert "Its water: hose 8.8 gpm, day and night; hydrant 88 gpm, 9 am to noon." in said
    assert "Turned on 9:00 am, it stands at 5.7 feet by about 10:45 am" in said


def test_tankers_are_told_by_their_loads() -> None:
    said = note(TankerLoads(load_m3=17, loads_each=2, from_h=9, every_h=2.5, flow_m3_h=20))
    assert "tanker 2 loads of 4,491 gal a day, from 9 am on every 2.5 h" in said


def test_water_that_never_gets_there_is_told() -> None:
    assert "does not reach" in note(RunningWater(flow_m3_h=0.001, from_h=9, until_h=10))


def test_one_hose_needs_no_note() -> None:
    assert "Its water" not in note()


def test_water_that_runs_is_timed_by_its_readings() -> None:
    said = note(RunningWater(flow_m3_h=20.0, from_h=9, until_h=12), started_at=at(9, day=15))
    assert "Turned on" not in said
