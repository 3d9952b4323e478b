"""Quantities with their units, and ready-mix trucks from volume and planned pace."""

from dataclasses import replace
from datetime import timedelta

import pytest

from planner.plans.domain.world import Prepared
from tests.planner.dayplans.domain.worlds import at, job, only_task, passed, plan, series, sky, stay, task, world


def planned(one, start_at=None, end_at=None):
    return only_task(plan(world(job(one)), stay(one, start_at or at(7), end_at or at(14.25), "forms")))


def test_trucks_carry_equal_loads_no_larger_than_ten_yards() -> None:
    """11.5 m3 is 15 cubic yards: two trucks of 7.5 after an hour of set-up."""
    found = planned(task("pour_floor", 1, quantity=11.5, unit="m3"))
    assert [truck.volume_m3 for truck in found.trucks] == [pytest.approx(5.75)] * 2
    assert [truck.at for truck in found.trucks] == [at(8), at(9)]
    assert sum(truck.volume_m3 for truck in found.trucks) == pytest.approx(11.5)
    assert "the plant's times" in found.note


def test_a_slab_s_loads_follow_each_other_while_the_face_is_open() -> None:
    """Even over 6.25 h the second would come after 187 min: its load too old, the face before it set.

    ASTM C94: 90 min from batching to the end of discharge, half an hour of them on the road, leave 60. Penn State's
    table of setting: initial set in 2.67 h at 90 °F, a quarter of it (common practice, no source) 40 min.
    """
    hot = sky(series({"air_temp_c": (90 - 32) / 1.8}))
    one = task("pour_floor", 1, quantity=11.5, unit="m3")
    found = only_task(plan(world(job(one), skies={1: hot}), stay(one, at(7), at(14.25), "forms")))
    first, second = found.trucks
    assert second.at - first.at == timedelta(minutes=40)
    assert "meets concrete that is still open" in found.note


def test_loads_of_a_nozzle_are_small_enough_to_be_through_in_time() -> None:
    """16.6 m3 in 5.5 h after an hour of set-up are 3.0 m3 an hour: of three loads each took 110 min.

    ASTM C94: 90 min from batching, half an hour of them on the road, leave 60: six loads, 55 min each.
    """
    one = replace(task("pour_floor", 1, quantity=16.6, unit="m3"), exposure="spray_pour")
    found = planned(one, at(7), at(13.5))
    assert len(found.trucks) == 6
    assert found.trucks[1].at - found.trucks[0].at == timedelta(minutes=55)
    assert sum(truck.volume_m3 for truck in found.trucks) == pytest.approx(16.6)
    assert "small enough that each is discharged in time" in found.note


def test_trucks_come_after_what_is_prepared() -> None:
    """The pour above after an hour and a half bought for frames and sheet: the same trucks, that much later."""
    one = task("pour_floor", 1, quantity=11.5, unit="m3")
    sheet = Prepared(titles=("Frames + sheet",), dollars=180, minutes=90)
    longer = replace(stay(one, at(7), at(15.75), "forms"), prepared=sheet)
    found = only_task(plan(world(job(one)), longer))
    assert [truck.at for truck in found.trucks] == [at(9.5), at(10.5)]


def test_a_full_load_is_one_truck() -> None:
    assert len(planned(task("pour_floor", 1, quantity=7.6, unit="m3")).trucks) == 1
    assert len(planned(task("pour_floor", 1, quantity=7.61, unit="m3")).trucks) == 2


def test_a_pour_shorter_than_its_set_up_still_spaces_trucks_inside_it() -> None:
    found = planned(task("pour_floor", 1, quantity=15.0, unit="m3"), at(7), at(7.75))
    assert [truck.at for truck in found.trucks] == [at(7), at(7) + timedelta(minutes=20)]


def test_no_truck_is_invented_for_a_deck_whose_volume_is_not_known() -> None:
    found = planned(task("pour_deck", 1, quantity=44.6, unit="m2"))
    assert found.trucks == ()
    assert "The volume of concrete is missing: the pool's design has no deck_pour_m3" in found.note
    assert "Have the office enter it before anybody orders." in found.note
    assert [(one.label, one.unit) for one in found.quantities] == [("Deck", "m2")]


def test_a_deck_has_the_trucks_of_its_concrete() -> None:
    """44.6 m2 of 0.102 m are 4.55 m3, with the over-order 4.97: one truck after an hour of set-up."""
    found = planned(task("pour_deck", 1, quantity=44.6, unit="m2", concrete_m3=4.97))
    assert [(truck.at, truck.volume_m3) for truck in found.trucks] == [(at(8), pytest.approx(4.97))]
    assert [(one.label, one.unit) for one in found.quantities] == [("Deck", "m2"), ("Concrete to order", "m3_ordered")]


def test_a_pour_under_way_shows_no_truck_times() -> None:
    found = planned(task("pour_floor", 1, quantity=11.5, unit="m3", started_at=at(7)))
    assert found.trucks == ()
    assert "ruck" not in found.note


@pytest.mark.parametrize(
    ("key", "unit", "value", "shown"),
    [
        ("stack_forms", "m2", 31.0, ("Wall", 31.0, "m2")),
        ("strip_braces", "m", 29.3, ("Perimeter", 29.3, "m")),
        ("fit_openings", "each", 6.0, ("Fittings", 6.0, "count")),
        ("fit_openings", "fittings_each", 6.0, ("Fittings", 6.0, "count")),
        ("add_salt", "m3", 67.2, ("Water", 67_200.0, "l")),
    ],
)
def test_quantities_name_what_is_counted(key: str, unit: str, value: float, shown: tuple[str, float, str]) -> None:
    [found] = planned(task(key, 1, quantity=value, unit=unit, trade="concrete_forms")).quantities
    assert (found.label, pytest.approx(found.value), found.unit) == shown


def test_a_fixed_job_has_no_quantity_and_an_unknown_unit_is_shown_as_entered() -> None:
    assert planned(task("stake_out", 1, quantity=1.0, unit="each", trade="concrete_forms")).quantities == ()
    odd = planned(task("stack_forms", 1, quantity=3.0, unit="pallets"))
    assert (odd.quantities, odd.note) == ((), "Quantity as entered: 3 pallets.")


def test_what_is_left_is_said_as_reported() -> None:
    one = task("stack_forms", 1, started_at=at(7, day=15), remaining_minutes=90)
    [found] = planned(one).quantities
    assert (found.label, found.value) == ("Still to do, as reported", 1.5)


def test_cautions_are_the_method_s_with_thunder_and_frost_and_always_defer() -> None:
    one = task("pour_floor", 1)
    found = planned(one).cautions
    assert [caution.sentence.split(" ")[0] for caution in found] == [
        "Stand",
        "No",
        "Wet",
        "Water,",
        "Everybody",
        "Nothing",
    ]
    assert not any("local code" in caution.sentence for caution in found)
    assert plan(world(job(one)), stay(one, at(7), at(14), "forms")).deferring.endswith("licensed people.")
    assert found[-1].source == "ACI 306, cold weather concreting"
    assert not any("S-" in caution.source for caution in found)


def test_a_source_s_paragraph_stands_apart_from_its_title() -> None:
    found = planned(task("strip_braces", 1)).cautions
    assert found[0].source == "29 CFR 1926.703, formwork (from memory) (e)"


def test_a_caution_nobody_wrote_is_an_error_not_a_gap() -> None:
    with pytest.raises(KeyError, match="no_such"):
        planned(task("pour_floor", 1, cautions=("no_such",)))


def test_state_follows_reports_then_gates() -> None:
    stack = task("stack_forms", 1, bookings=())
    planned_stay = stay(stack, at(7), at(12), "forms")
    assert only_task(plan(world(job(stack)), planned_stay)).state == "clear"
    assert planned(task("pour_floor", 1)).state == "waiting"
    assert planned(replace(stack, started_at=at(7, day=15))).state == "started"
    assert planned(replace(stack, finished_at=at(8, day=15))).state == "finished"
    assert only_task(plan(world(job(stack), as_of=at(12)), planned_stay)).state == "unreported"
    pour = task("pour_floor", 1, bookings=())
    assert only_task(plan(world(passed(job(pour), "hold_floor")), stay(pour, at(7), at(14), "forms"))).state == "clear"
