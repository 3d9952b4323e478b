"""The liner method as shipped: complete, in order, every value with a source, every hold before what it blocks."""

import re
import tomllib
from pathlib import Path

import pytest

import jobs.methods
from jobs.domain.method import COMMON_PRACTICE
from jobs.domain.network import tasks_after
from jobs.methods.loader import list_methods, load_exposures, load_method, load_vocabulary

METHOD = load_method("insulated_form_liner")
PAIRS = [(link.before, link.after) for link in METHOD.links]
FILE = Path(jobs.methods.__path__[0]) / "insulated_form_liner.toml"
EXPOSURES = FILE.with_name("exposure.toml")

# Visits to the water after the owner has the keys: days 2 to 3, and the first week.
CARE = ["cell_on", "care_week_1"]
ORDER = [
    "stake_out",
    "mark_utilities",
    "dig",
    "shape_floor",
    "floor_pipe",
    "floor_steel",
    "bond_floor",
    "inspect_floor",
    "pour_floor",
    "stack_forms",
    "fit_openings",
    "brace_and_square",
    "inspect_walls",
    "pour_walls",
    "strip_braces",
    "measure_liner",
    "pool_pipe",
    "inspect_pipe",
    "backfill",
    "deck_base",
    "deck_forms",
    "power_and_bond",
    "inspect_bond",
    "pour_deck",
    "saw_joints",
    "fence",
    "inspect_barrier",
    "set_equipment",
    "clean_and_patch",
    "wall_sheet",
    "floor_foam",
    "steps_and_gaskets",
    "drop_liner",
    "fill_1",
    "cut_drain",
    "fill_2",
    "cut_stair_light",
    "fill_3",
    "cut_returns",
    "fill_4",
    "cut_skimmer",
    "fill_5",
    "trim_out",
    "start_up",
    "add_salt",
    "final_inspect",
    "hand_over",
    *CARE,
]


def test_the_package_ships_the_method():
    assert "insulated_form_liner" in list_methods()


def test_all_tasks_in_build_order():
    assert [task.key for task in METHOD.tasks] == ORDER


def test_one_way_from_the_locate_to_the_hand_over():
    assert tasks_after("stake_out", PAIRS) == set(ORDER) - {"stake_out"}
    assert all("hand_over" in tasks_after(key, PAIRS) for key in ORDER if key not in ("hand_over", *CARE))


def test_the_water_is_looked_after_in_its_first_week():
    """Start-up sheet of a liner pool: cell on day 2 to 3, once salt has dissolved a day; tests within the week."""
    waits = {(link.before, link.after): link for link in METHOD.links}
    assert waits["add_salt", "cell_on"].min_hours == 24
    assert 96 <= waits["start_up", "care_week_1"].min_hours < 7 * 24
    assert all(METHOD.task(key).trade == "service" for key in CARE)


@pytest.mark.parametrize(
    ("hold", "visit", "covers"),
    [
        # Published inspection sequences of San Diego and Riverside County, CA: steel and bond, pipe, barrier before
        # water, final filled and running. IRC R109.1: foundation before concrete.
        ("hold_floor", "inspect_floor", "pour_floor"),
        ("hold_walls", "inspect_walls", "pour_walls"),
        ("hold_pipe", "inspect_pipe", "backfill"),
        ("hold_bond", "inspect_bond", "pour_deck"),
        ("hold_barrier", "inspect_barrier", "drop_liner"),
        ("hold_final", "final_inspect", "hand_over"),
        # State one-call laws: no dig before the marks.
        ("hold_locate", "mark_utilities", "dig"),
    ],
)
def test_each_inspection_comes_before_what_it_covers(hold, visit, covers):
    rule = next(one for one in METHOD.holds if one.key == hold)
    assert rule.visit == visit
    assert METHOD.task(visit).releases_hold == hold
    assert covers in rule.blocks
    assert METHOD.task(covers).needs_hold == hold
    assert covers in tasks_after(visit, PAIRS)


def test_no_water_and_no_cut_before_barrier_and_bonding():
    # Barrier before water: ISPSC 305 and published county sequences; bonding: NEC 680.26.
    wet = [task.key for task in METHOD.tasks if task.key.startswith(("fill_", "cut_"))]
    assert len(wet) == 9
    for key in wet:
        assert METHOD.task(key).needs_hold == "hold_barrier"
        assert key in tasks_after("inspect_barrier", PAIRS)
        assert key in tasks_after("inspect_bond", PAIRS)


def test_every_visit_is_asked_for_in_time():
    holds = {hold.visit: hold.notice_working_days for hold in METHOD.holds}
    for task in METHOD.tasks:
        if task.kind == "visit":
            notices = [link.min_working_days for link in METHOD.links if link.after == task.key]
            assert max(notices) >= holds[task.key] >= 1


def test_fills_run_as_people_can_look_after_them():
    runs = {task.key: task.run for task in METHOD.tasks if task.kind == "clock"}
    assert runs == {
        "fill_1": "attended",
        "fill_2": "arrives",
        "fill_3": "attended",
        "fill_4": "attended",
        "fill_5": "arrives",
    }


def test_pours_and_cuts_never_split_over_a_night():
    for task in METHOD.tasks:
        if task.key.startswith(("pour_", "cut_")) or task.key == "drop_liner":
            assert not task.splits_nights
            assert not task.splits_weekends


@pytest.mark.parametrize(
    ("fraction", "hours"),
    [(0.35, 24), (0.50, 48), (0.75, 168)],
)
def test_strength_links_carry_requirement_and_a_cautious_stand_in(fraction, hours):
    # Stand-ins: common practice, no source; seven days before backfill is seen in print.
    found = [link for link in METHOD.links if link.fraction == fraction]
    assert found
    for link in found:
        assert link.kind == "strength"
        assert link.fixed_hours == hours
        assert link.fixed_source == COMMON_PRACTICE
        assert link.floor_hours <= hours


def test_wall_forms_stand_no_less_than_aci_347_says():
    # ACI 347: wall forms 12 h above 10 degC.
    assert next(link for link in METHOD.links if link.after == "strip_braces").floor_hours >= 12


def test_every_source_tag_is_explained():
    known = load_vocabulary().sources
    texts = re.findall(r'(?:source|fixed_source) = "([^"]*)"', FILE.read_text(encoding="utf-8"))
    texts += re.findall(r'(?:source|other_source) = "([^"]*)"', EXPOSURES.read_text(encoding="utf-8"))
    texts += list(METHOD.value_sources.values())
    texts += [caution.source for caution in load_vocabulary().cautions.values()]
    assert len(texts) > 150
    for text in texts:
        for tag in re.findall(r"\b(?:S-[A-Z]+\d*|E-[A-Z]+|[EH]\d*)\b", text):
            assert tag in known, text


def test_every_value_of_a_task_has_a_source():
    tasks = tomllib.loads(FILE.read_text(encoding="utf-8"))["task"]
    told_by_task = {"key", "title", "kind", "trade", "rate", "quantity", "source"}
    told_elsewhere = {"exposure", "cautions", "authority", "needs_hold", "releases_hold", "stand_by_note"}
    told_elsewhere |= {"quantity_if_absent", "concrete", "slowed_by_soil"}
    for task in tasks:
        assert set(task) - told_by_task - told_elsewhere <= set(METHOD.value_sources), task["key"]


def test_cautions_where_work_can_hurt():
    # 29 CFR 1926.651-652 (excavation), .701(b) (rebar ends), .1408 (power lines), .703 (forms); ISPSC 305.
    needs = {
        "dig": {"buried_lines", "dig_collapse", "dig_edge", "overhead_lines"},
        "floor_steel": {"rebar_ends"},
        "pour_walls": {"form_pressure", "pump_hose", "overhead_lines"},
        "strip_braces": {"strip_early"},
        "power_and_bond": {"licensed_electric"},
        "fill_2": {"drowning", "vacuum_power"},
        "add_salt": {"chemicals"},
    }
    for key, cautions in needs.items():
        assert cautions <= set(METHOD.task(key).cautions)
    assert all(task.cautions for task in METHOD.tasks)
    assert "local code" in load_vocabulary().ends_every_caution


def test_cautions_and_exposures_hold_together():
    exposures = load_exposures()
    for task in METHOD.tasks:
        assert task.exposure in exposures
        if task.stand_by:
            assert exposures[task.exposure].forbid_chance > 0.6
