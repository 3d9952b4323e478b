"""A wall pour lasts as long as forms, concrete temperature and trucks ask, and a clash is told with its remedies."""

from dataclasses import replace
from datetime import timedelta

import pytest

from jobs.domain.facts import JobFacts
from jobs.domain.takeoff import pour_nets, quantities
from planner.plans.domain.lasting.wall import before_walls, plan_of_pour, walls_m3
from planner.plans.domain.waits import Waits
from tests.jobs.domain.pools import worked_design
from tests.planner.dayplans.domain.worlds import at, job, only_task, passed, plan, stay
from tests.planner.plans.lasting.pools import TALL, WALLS, at_air, minutes_of, pool_of

PLASTER = "insulated_form_plaster"
QUICK = replace(WALLS, work_minutes=60)


def test_the_crew_s_own_pace_stands_where_it_is_the_slowest() -> None:
    slow = replace(WALLS, work_minutes=390)
    assert minutes_of(at_air(pool_of(slow), 20.0), "pour_walls") == 390


def test_a_quick_crew_waits_for_the_rise_of_the_concrete() -> None:
    """6.5 m3 at a rise of 1.22 m/h round 30 m of 0.15 m core: 1.2 h after an hour of set-up, in quarter hours."""
    assert minutes_of(at_air(pool_of(QUICK), 20.0), "pour_walls") == 135


def test_colder_concrete_in_tall_forms_takes_longer() -> None:
    """Forms of 28.8 kPa let a tall wall rise (28.8 / 0.0479 - 150) T / 9000 ft an hour, T in °F (aci_347)."""
    cold, warm = (minutes_of(at_air(pool_of(QUICK, **TALL), air), "pour_walls") for air in (8.0, 28.0))
    assert cold > warm + 45


def test_a_stiffer_form_is_filled_faster() -> None:
    weak, stiff = (pool_of(QUICK, **TALL, form_rated_kpa=kpa) for kpa in (28.8, 60.0))
    assert minutes_of(at_air(stiff, 15.0), "pour_walls") < minutes_of(at_air(weak, 15.0), "pour_walls")


def test_a_pour_longer_than_any_day_s_light_is_told_with_its_remedies() -> None:
    found = at_air(pool_of(replace(WALLS, work_minutes=800)), 20.0)
    [note] = found.notes
    assert "Heron Lane: " in note
    assert "limited by the crew" in note
    assert "construction joint approved by the engineer" in note


def test_forms_that_bear_no_rise_are_told_and_change_nothing() -> None:
    found = at_air(pool_of(QUICK, **TALL, form_rated_kpa=20.0), 20.0)
    assert minutes_of(found, "pour_walls") == 60
    assert "Use a stiffer form" in found.notes[0]


@pytest.mark.parametrize("changes", [{"started_at": at(7)}, {"remaining_minutes": 30}, {"dropped": True}])
def test_a_pour_under_way_is_left_as_the_site_says(changes: dict[str, object]) -> None:
    assert minutes_of(at_air(pool_of(replace(QUICK, **changes)), 20.0), "pour_walls") == 60


def test_the_day_plan_s_trucks_are_those_of_the_plan() -> None:
    pool = passed(pool_of(WALLS), "hold_walls")
    one = at_air(pool, 20.0)
    facts = plan(one, stay(one.jobs[0].tasks[0], at(7), at(13.5), "forms"))
    task = only_task(facts)
    expected = plan_of_pour(one.jobs[0], one.jobs[0].tasks[0], starts_at=at(7), air=Waits(one).air_at(1))
    assert len(task.trucks) == len(expected.loads)
    assert sum(truck.volume_m3 for truck in task.trucks) == pytest.approx(one.jobs[0].tasks[0].quantity)
    for truck, load in zip(task.trucks, expected.loads, strict=True):
        assert abs(truck.at - load.arrives_at) <= timedelta(minutes=2.5)
    assert "limited by the usual rise" in task.note


def test_trucks_of_a_pour_the_forms_refuse_say_so() -> None:
    pool = passed(pool_of(QUICK, **TALL, form_rated_kpa=20.0), "hold_walls")
    one = at_air(pool, 20.0)
    task = only_task(plan(one, stay(one.jobs[0].tasks[0], at(7), at(13.5), "forms")))
    assert "The forms are rated for 20.0 kPa" in task.note


def test_the_day_plan_names_what_reaches_the_wall() -> None:
    """25 m are 82 feet, beyond a chute: a line pump, for the pour of the worked pool is slow."""
    task = _told(pump_reach_m=25.0)
    assert "82 feet: line pump with a small hose" in task.note
    assert "a rule of thumb; the pump hire decides" in task.note
    assert "Nobody straddles the hose" in task.note
    assert "pump" not in _told().note.lower()
    assert "two pumps" in _told(pump_reach_m=300.0).note


def _told(**changes: object):
    pool = passed(pool_of(WALLS, **changes), "hold_walls")
    one = at_air(pool, 20.0)
    return only_task(plan(one, stay(one.jobs[0].tasks[0], at(7), at(13.5), "forms")))


def test_a_retarder_presses_more_so_tall_walls_rise_slower() -> None:
    """Source: ACI 347: chemistry coefficient 1.2 with a retarder, 1.0 without."""
    plain, slow = (pool_of(QUICK, **TALL, form_rated_kpa=32.0, admixture=one) for one in ("none", "retarder"))
    assert minutes_of(at_air(slow, 8.0), "pour_walls") > minutes_of(at_air(plain, 8.0), "pour_walls")


SHELL = replace(WALLS, key="pour_shell", exposure="shell_pour", bookings=("ready_mix",))


def shell_of(**changes: object) -> JobFacts:
    """A shell poured in one day, floor first; the take-off's concrete for it."""
    pool = worked_design(**changes)
    return job(replace(SHELL, quantity=quantities(pool)["shell_pour_m3"], work_minutes=120), pool=pool, method=PLASTER)


def test_the_walls_of_a_shell_rise_no_faster_than_their_forms_allow() -> None:
    """In tall weak forms the walls take longer in the cold, after the floor and the set-up."""
    cold, warm = (minutes_of(at_air(shell_of(**TALL), air), "pour_shell") for air in (8.0, 28.0))
    assert cold > warm + 45
    assert warm > 120


def test_the_floor_of_a_shell_is_placed_first() -> None:
    """1.5 h of set-up, then slab and steps at the listed 2.2 m3/h; the walls' share is that of the drawing."""
    one = shell_of()
    [pour] = one.tasks
    assert pour.quantity
    nets = pour_nets(worked_design())
    floor_m3 = pour.quantity - walls_m3(one, pour)
    assert floor_m3 / pour.quantity == pytest.approx(1 - nets.core_m3 / (nets.slab_m3 + nets.core_m3 + nets.solids_m3))
    assert before_walls(one, pour) == timedelta(hours=1.5 + floor_m3 / 2.2)


def test_the_day_plan_says_when_the_walls_of_a_shell_begin_and_how_they_rise() -> None:
    one = at_air(shell_of(**TALL), 20.0)
    [pour] = one.jobs[0].tasks
    found = only_task(plan(one, stay(pour, at(7), at(16), "forms")))
    assert "Walls after the floor, from about 1" in found.note
    assert "of rise, limited by the" in found.note
    assert "equal loads at the planned pace" in found.note


def test_a_shell_in_forms_too_weak_for_any_rise_is_told() -> None:
    found = at_air(shell_of(**TALL, form_rated_kpa=20.0), 20.0)
    assert "Use a stiffer form" in found.notes[0]
