"""Durations of the worked example, and what changes them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.domain.derive import DerivedJob, derive_job, rounded_up_minutes, stretched_minutes
from jobs.domain.errors import CannotDo
from jobs.methods.loader import load_method
from tests.jobs.domain.example import EXAMPLE_FLOW_M3_H, EXAMPLE_HOURS, EXAMPLE_QUANTITIES


def derived(
    *, soil: str = "clay", flow_m3_h: float = EXAMPLE_FLOW_M3_H, rate_factor: float = 1.0, soil_slows: bool = False
) -> DerivedJob:
    return derive_job(
        load_method("insulated_form_liner"),
        EXAMPLE_QUANTITIES,
        soil=soil,
        flow_m3_h=flow_m3_h,
        rate_factor=rate_factor,
        soil_slows=soil_slows,
    )


def hours_of(job: DerivedJob) -> dict[str, float]:
    return {task.key: task.work_minutes / 60 for task in job.tasks if task.rule.kind != "visit"}


def test_every_duration_of_the_worked_example():
    # Source: project's own worked example, worked by hand (common practice rates, no source).
    assert hours_of(derived()) == EXAMPLE_HOURS


def test_the_forms_crew_works_71_75_hours():
    job = derived()
    assert sum(task.work_minutes for task in job.tasks if task.rule.trade == "concrete_forms") == 71.75 * 60


def test_the_fill_takes_24_65_hours_of_flow():
    # 67.19 m3 at 12 gpm (12 * 0.003785411784 m3 * 60 per hour, NIST SP 811 gallon): 24.65 h by hand.
    water = sum(task.quantity for task in derived().tasks if task.rule.by_flow)
    assert water == pytest.approx(67.19, abs=0.005)
    assert water / (12 * 0.003785411784 * 60) == pytest.approx(24.65, abs=0.005)


def test_clay_slows_only_the_dig():
    slowed = hours_of(derived(soil_slows=True))
    assert slowed.pop("dig") == 14.0
    assert slowed == {key: hours for key, hours in EXAMPLE_HOURS.items() if key != "dig"}


def test_a_first_pool_takes_longer_but_set_up_and_water_do_not():
    first = hours_of(derived(rate_factor=0.8))
    assert first["fence"] == 1 + 9 / 0.8
    assert first["cut_drain"] == EXAMPLE_HOURS["cut_drain"]
    assert first["fill_2"] == EXAMPLE_HOURS["fill_2"]


def test_visits_last_their_arrival_span():
    spans = {task.key: task.work_minutes for task in derived().tasks if task.rule.kind == "visit"}
    assert spans.pop("mark_utilities") == 480
    assert set(spans.values()) == {240}


def test_crew_minutes_count_people():
    job = derived()
    pour = next(task for task in job.tasks if task.key == "pour_floor")
    assert pour.crew_minutes == 375 * 5
    assert pour.unit == "m3"


def test_long_gear_holds_and_gear_of_a_single_task():
    holds = {(hold.gear, hold.from_task, hold.until_task): hold.amount for hold in derived().gear_holds}
    assert holds[("brace_set", "brace_and_square", "strip_braces")] == 1
    assert holds[("liner_vacuum", "drop_liner", "cut_stair_light")] == 1
    assert holds[("excavator", "dig", "dig")] == 1
    assert [key for key in holds if key[0] == "brace_set"] == [("brace_set", "brace_and_square", "strip_braces")]


def test_a_longer_wall_takes_a_second_brace_set():
    job = derive_job(load_method("insulated_form_liner"), {**EXAMPLE_QUANTITIES, "perimeter_m": 40.1}, soil="sand")
    assert {hold.amount for hold in job.gear_holds if hold.gear == "brace_set"} == {2}


def test_more_than_two_returns_lengthen_their_cut():
    job = derive_job(
        load_method("insulated_form_liner"), {**EXAMPLE_QUANTITIES, "returns_over_two_each": 2}, soil="sand"
    )
    assert hours_of(job)["cut_returns"] == 1.5  # 0.75 + 2 / 3, up to the quarter


@pytest.mark.parametrize(
    ("changes", "code", "field"),
    [
        ({"soil": "peat"}, "method.unknown_soil", "soil"),
        ({"flow_m3_h": 0.0}, "method.not_positive", "flow_m3_h"),
        ({"rate_factor": -1.0}, "method.not_positive", "rate_factor"),
        ({"rate_factor": float("nan")}, "method.not_positive", "rate_factor"),
    ],
)
def test_bad_options_are_named(changes, code, field):
    with pytest.raises(CannotDo) as caught:
        derived(**changes)
    assert (caught.value.code, caught.value.field) == (code, field)
    assert caught.value.remedy


def test_a_missing_quantity_names_quantity_and_task():
    without = {key: value for key, value in EXAMPLE_QUANTITIES.items() if key != "deck_m2"}
    with pytest.raises(CannotDo) as caught:
        derive_job(load_method("insulated_form_liner"), without, soil="clay")
    assert caught.value.field == "deck_m2"
    assert "Grade, compact and stone under the deck" in caught.value.says


@pytest.mark.parametrize("value", [-1.0, float("nan"), float("inf")])
def test_a_bad_quantity_is_refused(value):
    with pytest.raises(CannotDo, match="fence_m"):
        derive_job(load_method("insulated_form_liner"), {**EXAMPLE_QUANTITIES, "fence_m": value}, soil="clay")


@given(st.floats(min_value=0, max_value=1000))
def test_rounding_up_never_shortens_and_stays_inside_a_quarter(hours):
    minutes = rounded_up_minutes(hours)
    assert minutes % 15 == 0
    assert hours * 60 - 0.0015 - 1e-6 <= minutes < hours * 60 + 15


@given(st.integers(0, 2000), st.integers(1, 10), st.integers(0, 20), st.integers(1, 5), st.integers(0, 500))
def test_more_people_never_take_longer(listed, crew, present, minimum, setup):
    fewer = stretched_minutes(listed, listed_crew=crew, present=present, minimum=minimum, setup_minutes=setup)
    more = stretched_minutes(listed, listed_crew=crew, present=present + 1, minimum=minimum, setup_minutes=setup)
    if fewer is None:
        assert present < minimum
    else:
        assert more is not None
        assert more <= fewer
        assert more * 1.3 >= listed - 1e-6 - 0.01


@pytest.mark.parametrize(
    ("present", "minutes"),
    [(3, 60 + 240), (4, 60 + 180), (5, 60 + 150), (20, 60 + 150), (1, None)],
)
def test_head_count_scales_the_rate_up_to_the_cap(present, minutes):
    # 180 / 1.25 = 144 and 180 / 1.3 = 138.5, both up to quarter hours.
    assert stretched_minutes(240, listed_crew=4, present=present, minimum=2, cap=1.3, setup_minutes=60) == minutes


def test_a_head_count_below_nought_is_refused():
    with pytest.raises(CannotDo) as caught:
        stretched_minutes(60, listed_crew=4, present=-1, minimum=2)
    assert caught.value.field == "present"
