"""Water from several sources with hours of their own: what they bring is counted by hand and by SciPy."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from jobs.domain.errors import OutsideValidRange
from jobs.domain.units import m3_from_gallons, m3_h_from_gpm
from jobs.science.water.filling import Fill, fill_curve, hour_of_level, retimed
from jobs.science.water.inflow import (
    RunningWater,
    TankerLoads,
    WaterSource,
    by_step,
    day_of,
    inflow_m3,
    marks_of,
)
from tests.jobs.domain.pools import hopper_16x32

HOPPER = hopper_16x32()

hours_of_a_day = st.integers(0, 95).map(lambda quarter: quarter / 4)
running = st.builds(RunningWater, flow_m3_h=st.floats(0.5, 40), from_h=hours_of_a_day, until_h=hours_of_a_day)
tankers = st.builds(
    TankerLoads,
    load_m3=st.floats(5, 40),
    loads_each=st.integers(1, 6),
    from_h=hours_of_a_day,
    every_h=st.floats(0.5, 4),
    flow_m3_h=st.floats(5, 60),
)
several = st.lists(st.one_of(running, tankers), min_size=1, max_size=4).map(tuple)


def flow_at(sources: tuple[WaterSource, ...], clock_h: float) -> float:
    """By hand: every run that holds this hour of the day, or the same hour a day later."""
    return sum(
        source.m3_h
        for source in sources
        for begin, end in source.runs
        for day in (0, 24)
        if begin <= clock_h % 24 + day < end
    )


def fill_of(sources: tuple[WaterSource, ...], *, clock_h: float, hours: int = 300) -> Fill:
    marks = marks_of(sources, hours=hours, clock_h=clock_h)
    dry = np.zeros(len(marks) - 1)
    return Fill(
        marks_h=marks,
        start_level_m=0.0,
        inflow_m3=inflow_m3(sources, marks_h=marks, clock_h=clock_h),
        rain_mm=dry,
        evaporation_mm=dry,
        catch_m2=HOPPER.water_surface_m2,
    )


@settings(max_examples=30, deadline=None)
@given(several, st.floats(0, 24), st.floats(0, 30), st.floats(0.5, 40))
def test_what_sources_bring_is_the_integral_of_their_flows(sources, clock_h, from_h, hours) -> None:
    day = day_of(sources)
    first, last = clock_h + from_h, clock_h + from_h + hours
    breaks = [24 * n + mark for n in range(5) for mark in day.marks_h if first < 24 * n + mark < last]
    ends = [first, *breaks, last]
    brought = sum(quad(lambda t: flow_at(sources, t), a + 1e-9, b - 1e-9)[0] for a, b in pairwise(ends))
    found = np.diff(day.m3_until(np.array([first, last])))[0]
    assert found == pytest.approx(brought, rel=1e-4, abs=1e-3)


@given(several, several, st.floats(0, 24))
def test_water_of_two_groups_of_sources_adds_up(one, other, clock_h) -> None:
    marks = marks_of((*one, *other), hours=60, clock_h=clock_h)
    both = inflow_m3((*one, *other), marks_h=marks, clock_h=clock_h)
    apart = inflow_m3(one, marks_h=marks, clock_h=clock_h) + inflow_m3(other, marks_h=marks, clock_h=clock_h)
    assert both == pytest.approx(apart, abs=1e-6)


@given(several, st.floats(0, 24), st.floats(0, 30), st.floats(0, 10))
def test_a_pause_takes_out_what_would_have_run_in_it(sources, clock_h, from_h, hours) -> None:
    pause = (from_h, from_h + hours)
    marks = marks_of(sources, hours=60, clock_h=clock_h, pauses=(pause,))
    paused = inflow_m3(sources, marks_h=marks, clock_h=clock_h, pauses=(pause,)).sum()
    lost = np.diff(day_of(sources).m3_until(clock_h + np.array(pause)))[0]
    assert paused == pytest.approx(inflow_m3(sources, marks_h=marks, clock_h=clock_h).sum() - lost, abs=1e-5)


@given(st.floats(1, 30), st.floats(0.1, 20), st.floats(0, 24), st.floats(0.1, 0.98))
def test_more_water_is_never_later_and_a_level_has_its_volume(m3_h, more, clock_h, share) -> None:
    few = (RunningWater(flow_m3_h=m3_h, from_h=20, until_h=6),)
    many = (*few, RunningWater(flow_m3_h=more, from_h=7, until_h=17))
    level = share * HOPPER.design_level_m
    slow, fast = (fill_curve(HOPPER, fill_of(sources, clock_h=clock_h)) for sources in (few, many))
    assert hour_of_level(HOPPER, fast, level) <= hour_of_level(HOPPER, slow, level) + 1e-6
    hour = hour_of_level(HOPPER, fast, level)
    assert np.interp(hour, fast.hours, fast.volumes_m3) == pytest.approx(HOPPER.volume_at_m3(level))
    came = np.diff(day_of(many).m3_until(clock_h + np.array([0.0, hour])))[0]
    assert came == pytest.approx(HOPPER.volume_at_m3(level), rel=1e-3)


def test_hoses_at_night_and_a_hydrant_by_day_by_hand() -> None:
    """From 8 pm: two hoses of 2 m3/h until 6 bring 40 m3; the hydrant from 7 brings the other 10 in a quarter hour."""
    sources = (
        RunningWater(flow_m3_h=4.0, from_h=20, until_h=6),
        RunningWater(kind="hydrant", flow_m3_h=40.0, from_h=7, until_h=17),
    )
    curve = fill_curve(HOPPER, fill_of(sources, clock_h=20.0))
    assert hour_of_level(HOPPER, curve, HOPPER.level_for_volume_m(40.0)) == pytest.approx(10.0, abs=0.01)
    assert hour_of_level(HOPPER, curve, HOPPER.level_for_volume_m(50.0)) == pytest.approx(11.25, abs=0.01)


def test_two_tankers_and_a_hydrant_before_them_by_hand() -> None:
    """Hydrant from 7 to 8, 37.9 m3; loads of 6000 gal in 45 min (published page) at 9 and 11: full water 83 m3."""
    load = m3_from_gallons(6000)
    sources = (
        RunningWater(kind="hydrant", from_h=7, until_h=8),
        TankerLoads(load_m3=load, loads_each=2, from_h=9, every_h=2),
    )
    day = day_of(sources)
    assert day.m3_until(np.array([8.0, 9.75, 11.0, 11.75, 24.0])) == pytest.approx(
        [m3_h_from_gpm(10_000 / 60) + loads * load for loads in (0, 1, 1, 2, 2)]
    )
    assert day.running_h(0, 24) == pytest.approx(1 + 1.5)


def test_two_tankers_at_once_run_together() -> None:
    loads = TankerLoads(load_m3=20, loads_each=1, from_h=9, every_h=2, flow_m3_h=20)
    assert day_of((loads, loads)).m3_until(np.array([9.5]))[0] == pytest.approx(20)


def test_a_load_past_midnight_runs_on() -> None:
    day = day_of((TankerLoads(load_m3=30, loads_each=1, from_h=23, every_h=1, flow_m3_h=10),))
    assert day.m3_until(np.array([0.0, 2.0, 23.0, 24.0, 26.0])) == pytest.approx([0, 20, 20, 30, 50])


def test_water_that_lags_is_known_for_its_longest() -> None:
    """Nine hours a day: after them come fifteen without; all day without a stop: never."""
    assert day_of((RunningWater(flow_m3_h=3, from_h=0, until_h=9),)).longest_dry_h == pytest.approx(15)
    assert day_of((RunningWater(flow_m3_h=3),)).longest_dry_h == pytest.approx(0)


@settings(max_examples=25)
@given(st.floats(0.3, 1.5), st.floats(1, 30), st.floats(0, 24))
def test_a_reading_in_the_middle_of_a_load_finds_the_share_that_came(real_share, reading_h, clock_h) -> None:
    sources = (
        RunningWater(flow_m3_h=1.0),
        TankerLoads(load_m3=10, loads_each=2, from_h=9.25, every_h=3, flow_m3_h=20),
    )
    planned = fill_of(sources, clock_h=clock_h)
    came = real_share * float(np.diff(day_of(sources).m3_until(clock_h + np.array([0.0, reading_h])))[0])
    level = HOPPER.level_for_volume_m(min(came, HOPPER.volume_at_m3(HOPPER.max_level_m)))
    rest, share = retimed(HOPPER, planned, reading_h=reading_h, reading_level_m=level)
    if level < HOPPER.max_level_m:
        assert share == pytest.approx(real_share, rel=1e-3)
    assert rest.inflow_m3.sum() == pytest.approx(share * (planned.inflow_m3.sum() - came / real_share), rel=1e-3)


def test_steps_keep_what_is_known_by_the_hour() -> None:
    marks = marks_of((RunningWater(from_h=8.25, until_h=17.5),), hours=40, clock_h=7.1)
    rain = np.arange(40.0)
    assert by_step(rain, marks).sum() == pytest.approx(rain.sum())


@pytest.mark.parametrize(
    ("call", "field"),
    [
        (lambda: RunningWater(flow_m3_h=-1.0), "flow_m3_h"),
        (lambda: RunningWater(from_h=25.0), "from_h"),
        (lambda: RunningWater(until_h=-1.0), "until_h"),
        (lambda: TankerLoads(load_m3=900, loads_each=1, from_h=9, every_h=2), "load_m3"),
        (lambda: TankerLoads(load_m3=20, loads_each=0, from_h=9, every_h=2), "loads_each"),
        (lambda: TankerLoads(load_m3=20, loads_each=12, from_h=9, every_h=3), "every_h"),
        (lambda: TankerLoads(load_m3=20, loads_each=1, from_h=9, every_h=2, flow_m3_h=0.2), "load_h"),
        (lambda: marks_of((), hours=0), "hours"),
        (lambda: inflow_m3((), marks_h=np.arange(3.0), clock_h=30.0), "clock_h"),
    ],
)
def test_outside_its_range_it_refuses(call, field: str) -> None:
    with pytest.raises(OutsideValidRange) as refusal:
        call()
    assert refusal.value.field == field
