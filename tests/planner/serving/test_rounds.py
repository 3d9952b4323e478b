"""The steps of the service on rows: what is looked for, what is read once, how hard it searches."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta
from typing import Any

import pytest

from jobs.models import Branch
from planner.plans.models import HandOverSpread, ReplanRequest
from planner.plans.replanning.requests import ask
from planner.serving import rounds, tasks
from planner.serving.models import Turn
from planner.serving.turns import make_due
from planner.solver.parameters import GreedyOnly, Repeatable
from tests.planner.plans.replanning.yard import NOW, build_yard, draw_sky, in_force, rain_on
from tests.planner.serving.rows import a_branch, a_site

pytestmark = pytest.mark.django_db
LEASE = timedelta(minutes=2)
MINUTE = timedelta(minutes=1)


def look(now: datetime = NOW) -> rounds.Due:
    return rounds.look(now=now, running=now, passing=now, lease=LEASE)


def test_a_look_finds_each_thing_once_and_notes_that_it_looked() -> None:
    branch = a_branch()
    a_site(branch, "one", 40.7, -74.2)
    kinds = sorted(turn.kind for turn in look().turns)
    assert kinds == ["forecast", "hourly", "measured", "upkeep", "warnings"]
    assert look(NOW + MINUTE).turns == ()
    assert Turn.objects.get(kind="tick").well_at == NOW + MINUTE


def test_the_turns_of_one_look_are_as_many_as_the_services_may_be_asked(settings: Any) -> None:
    settings.PLANNER_TICK_SECONDS = 2
    branch = a_branch()
    for number in range(6):
        a_site(branch, f"site {number}", 40.0 + number, -74.2)
    taken = [len(look(NOW + at * timedelta(seconds=2)).turns) for at in range(6)]
    assert taken[:4] == [4, 4, 4, 4]
    assert sum(taken) == 6 * 3 + 2


def test_a_branch_that_is_asked_for_a_plan_is_found_until_it_is_answered(settings: Any) -> None:
    settings.PLANNER_SEARCH_EFFORT = 0
    branch = build_yard()
    ask(branch=branch, reason="job_changed", subject="", says="Looked at.", now=NOW)
    assert look().to_plan == (branch.pk,)
    assert look(NOW + MINUTE).to_plan == (branch.pk,), "until somebody comes to it"
    done = rounds.plan_again(branch_id=branch.pk, now=NOW)
    assert done is not None
    assert ReplanRequest.objects.get().state == "done"
    assert look(NOW + MINUTE).to_plan == ()
    assert rounds.plan_again(branch_id=branch.pk, now=NOW) is None


def test_a_new_forecast_is_read_once_and_asks_for_a_plan() -> None:
    branch = build_yard()
    assert not rounds.read_new_forecast(branch_id=branch.pk, now=NOW, running=NOW), "nothing was handed on"
    draw_sky(NOW, rain_chance=rain_on(1, 2, chance=0.9))
    make_due(kind=Turn.Kind.READING, keys=[str(branch.pk)], at=NOW)
    assert rounds.read_new_forecast(branch_id=branch.pk, now=NOW, running=NOW)
    assert ReplanRequest.objects.filter(state="open").count() == 1
    assert not rounds.read_new_forecast(branch_id=branch.pk, now=NOW, running=NOW), "it is read"


def test_a_branch_that_is_gone_is_no_work() -> None:
    gone = Branch.objects.order_by("-pk").values_list("pk", flat=True).first() or 1
    assert rounds.plan_again(branch_id=gone + 1, now=NOW) is None
    assert not rounds.read_new_forecast(branch_id=gone + 1, now=NOW, running=NOW)
    rounds.judge_again(branch_id=gone + 1, now=NOW)


def test_the_hourly_round_waits_an_hour_and_tells_what_keeps_it() -> None:
    branch = build_yard()
    look()
    turn = Turn.objects.get(kind="hourly")
    assert turn.key == str(branch.pk)
    rounds.hourly_round(turn_id=turn.pk, now=NOW, running=NOW)
    turn.refresh_from_db()
    assert (turn.well_at, turn.problem) == (NOW, "")
    assert turn.next_due_at is not None
    assert turn.next_due_at >= NOW + 0.8 * rounds.HOURLY


def test_the_spread_of_a_plan_is_reckoned_once_and_again_after_a_day() -> None:
    branch = build_yard()
    (turn,) = (turn for turn in look().turns if turn.kind == "spread")
    assert turn.key == str(branch.pk)
    rounds.spread_again(turn_id=turn.id, now=NOW, running=NOW)
    assert HandOverSpread.objects.get().plan == in_force(branch)
    rounds.spread_again(turn_id=turn.id, now=NOW + MINUTE, running=NOW + MINUTE)
    assert HandOverSpread.objects.get().as_of == NOW, "a message that came late reckons nothing again"
    later = NOW + LEASE + MINUTE
    assert "spread" not in {one.kind for one in look(later).turns}
    assert not Turn.objects.filter(kind="spread").exists(), "there is nothing left to reckon"
    assert "spread" in {one.kind for one in look(NOW + timedelta(days=1) + MINUTE).turns}


def test_spreads_of_two_branches_are_never_reckoned_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[str] = []

    @contextmanager
    def busy(name: str, *, lasts: timedelta) -> Iterator[bool]:
        asked.append(name)
        yield False

    monkeypatch.setattr(tasks, "held", busy)
    build_yard()
    look()
    turn = Turn.objects.get(kind="spread")
    for turn_id in (turn.pk, turn.pk + 1):
        tasks.spread(turn_id=turn_id)
    assert asked == ["spread", "spread"], "one lock of all branches"
    assert not HandOverSpread.objects.exists()


def test_a_turn_that_took_too_long_comes_round_later_and_says_so() -> None:
    a_site(a_branch(), "one", 40.7, -74.2)
    (turn,) = (turn for turn in look().turns if turn.kind == "forecast")
    rounds.put_off(turn_id=turn.id, running=NOW, took=timedelta(minutes=4))
    row = Turn.objects.get(pk=turn.id)
    assert (row.failures, row.failing_since) == (1, NOW)
    assert "within 4 minutes" in row.problem
    assert row.next_due_at is not None
    assert row.next_due_at > NOW + MINUTE


@pytest.mark.parametrize(("effort", "clock_s"), [(1, 60.0), (6, 60.0), (20, 200.0), (100, 1000.0)])
def test_the_search_is_as_hard_as_the_setting_says(settings: Any, effort: int, clock_s: float) -> None:
    settings.PLANNER_SEARCH_EFFORT = effort
    found = rounds.search_parameters()
    assert isinstance(found, Repeatable)
    assert (found.deterministic_seconds, found.outer_seconds) == (effort, clock_s)
    assert timedelta(seconds=clock_s) < rounds.claim_lease(found) < tasks.PLAN_SOFT_LIMIT


def test_no_effort_is_no_search(settings: Any) -> None:
    settings.PLANNER_SEARCH_EFFORT = 0
    assert rounds.search_parameters() == GreedyOnly()
