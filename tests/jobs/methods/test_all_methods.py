"""What holds for every build method that ships: sources, notices, unsplit pours, sane hours, no dangling task."""

import re
import tomllib
from pathlib import Path

import pytest

import jobs.methods
from jobs.domain.derive import derive_job
from jobs.domain.network import tasks_after
from jobs.domain.takeoff import quantities
from jobs.methods.loader import list_methods, load_method, load_vocabulary
from tests.jobs.domain.pools import worked_design

FOLDER = Path(jobs.methods.__path__[0])
METHODS = list_methods()
each_method = pytest.mark.parametrize("method", [load_method(key) for key in METHODS], ids=METHODS)


def text_of(method):
    return (FOLDER / f"{method.key}.toml").read_text(encoding="utf-8")


def test_three_ways_to_build_ship():
    assert METHODS == ("insulated_form_liner", "insulated_form_plaster", "sprayed_shell")


@each_method
def test_every_source_tag_is_explained(method):
    known = load_vocabulary().sources
    texts = re.findall(r'(?:source|fixed_source) = "([^"]*)"', text_of(method)) + list(method.value_sources.values())
    assert len(texts) > 100
    for text in texts:
        for tag in re.findall(r"\b(?:S-[A-Z]+\d*|E-[A-Z]+|[EH]\d*)\b", text):
            assert tag in known, text


@each_method
def test_every_value_of_a_task_has_a_source(method):
    told_by_task = {"key", "title", "kind", "trade", "rate", "quantity", "source"}
    told_elsewhere = {"exposure", "cautions", "authority", "needs_hold", "releases_hold", "stand_by_note"}
    told_elsewhere |= {"quantity_if_absent", "concrete", "slowed_by_soil"}
    for task in tomllib.loads(text_of(method))["task"]:
        assert set(task) - told_by_task - told_elsewhere <= set(method.value_sources), task["key"]


@each_method
def test_every_visit_is_asked_for_in_time_and_releases_what_it_looks_at(method):
    holds = {hold.visit: hold for hold in method.holds}
    visits = [task for task in method.tasks if task.kind == "visit"]
    assert {task.key for task in visits} == set(holds)
    pairs = [(link.before, link.after) for link in method.links]
    for task in visits:
        notices = [link.min_working_days for link in method.links if link.after == task.key]
        assert max(notices) >= holds[task.key].notice_working_days >= 1
        assert set(holds[task.key].blocks) <= tasks_after(task.key, pairs)


@each_method
def test_no_task_dangles(method):
    pairs = [(link.before, link.after) for link in method.links]
    keys = {task.key for task in method.tasks}
    assert tasks_after("stake_out", pairs) == keys - {"stake_out"}
    last = {key for key in keys if not tasks_after(key, pairs)}
    # New plaster takes no salt for four weeks: the salt is a return visit after hand-over.
    assert last == {"hand_over", "care_week_1" if method.key == "insulated_form_liner" else "add_salt"}


@each_method
def test_what_sets_or_hangs_never_stops_half_way(method):
    for task in method.tasks:
        if task.key.startswith(("pour_", "spray_", "cut_")) or task.key in ("plaster", "drop_liner"):
            assert not task.splits_nights, task.key
            assert not task.splits_weekends, task.key


@each_method
def test_hours_are_those_of_a_crew(method):
    """From minutes to three days; what may not split fits a day of 8 h, or 10 h of daylight where it may run on."""
    derived = derive_job(method, quantities(worked_design(soil="loam")), soil="loam")
    for task in derived.tasks:
        assert task.work_minutes % 15 == 0
        if task.rule.kind == "work":
            assert 30 <= task.work_minutes <= 3 * 480, task.key
            if not task.rule.splits_nights:
                assert task.work_minutes <= (600 if task.rule.long_day else 480), task.key


@each_method
def test_concrete_is_bought_where_it_is_ordered(method):
    for task in method.tasks:
        if "ready_mix" in task.bookings:
            assert task.quantity.endswith("_m3") or task.key == "pour_deck"
            assert {"wet_cement", "overhead_lines"} <= set(task.cautions)
