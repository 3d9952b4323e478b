"""The state shown for a task follows from what was reported; silence is never taken for an end."""

from dataclasses import replace
from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.domain.facts import TaskFacts
from planner.plans.domain.states import silence_of, state_of, work_before_is_done
from planner.plans.domain.world import Stay
from tests.planner.dayplans.domain.worlds import at, job, stay, task

POUR = task("pour_walls", 1)
PLANNED = stay(POUR, at(7), at(13), "forms")
STARTED = replace(POUR, started_at=at(7.5))
FINISHED = replace(STARTED, finished_at=at(12))
DROPPED = replace(POUR, dropped=True)


@pytest.mark.parametrize(
    ("one", "planned", "gates_open", "hour", "state"),
    [
        (POUR, PLANNED, False, 6, "waiting"),
        (POUR, PLANNED, True, 6, "clear"),
        (POUR, PLANNED, True, 8, "clear"),
        (POUR, None, False, 23, "waiting"),
        (STARTED, PLANNED, False, 8, "started"),
        (POUR, PLANNED, True, 13, "unreported"),
        (STARTED, PLANNED, True, 13, "unreported"),
        (STARTED, None, True, 13, "started"),
        (FINISHED, PLANNED, True, 20, "finished"),
        (FINISHED, None, False, 20, "finished"),
        (DROPPED, PLANNED, True, 20, "dropped"),
        (replace(FINISHED, dropped=True), PLANNED, True, 20, "finished"),
    ],
)
def test_state(one: TaskFacts, planned: Stay | None, gates_open: bool, hour: float, state: str) -> None:
    assert state_of(one, planned, gates_open=gates_open, as_of=at(hour)) == state


@given(hours=st.floats(-500, 500), started=st.booleans(), gates_open=st.booleans(), planned=st.booleans())
def test_only_a_report_finishes(hours: float, started: bool, gates_open: bool, planned: bool) -> None:
    one = STARTED if started else POUR
    state = state_of(one, PLANNED if planned else None, gates_open=gates_open, as_of=at(7) + timedelta(hours=hours))
    assert state != "finished"
    assert (state == "clear") <= (gates_open and not started)


@pytest.mark.parametrize(
    ("one", "planned", "now", "asks"),
    [
        (POUR, PLANNED, at(8), None),
        (POUR, PLANNED, at(13), "finished"),
        (STARTED, PLANNED, at(13), "finished"),
        (POUR, stay(POUR, at(7), at(13, day=18), "forms"), at(6, day=17), "began"),
        (STARTED, stay(POUR, at(7), at(13, day=18), "forms"), at(6, day=17), None),
        (FINISHED, PLANNED, at(20), None),
        (DROPPED, PLANNED, at(20), None),
        (POUR, None, at(20), None),
    ],
)
def test_what_the_site_is_asked(one: TaskFacts, planned: Stay | None, now: object, asks: str | None) -> None:
    today_from = at(0, day=17 if now == at(6, day=17) else 16)
    assert silence_of(one, planned, as_of=now, today_from=today_from) == asks  # type: ignore[arg-type]


def test_work_before_is_done_only_when_reported_and_dropped_work_is_passed_over() -> None:
    brace, inspect = task("brace_and_square", 2, finished_at=at(6)), task("inspect_walls", 3)
    pool = job(brace, inspect, task("pour_walls", 4))
    assert work_before_is_done(pool) == {2: True, 3: True, 4: False}
    passed = job(brace, replace(inspect, finished_at=at(6)), task("pour_walls", 4))
    assert work_before_is_done(passed)[4]
    without = job(brace, replace(inspect, dropped=True), task("pour_walls", 4))
    assert work_before_is_done(without)[4]
