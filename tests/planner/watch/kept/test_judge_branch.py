"""Verdicts are kept with their run and arithmetic, and each change is told once, in as many queries as ever."""

from datetime import datetime, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from crews.models import Crew, Message
from jobs.models import Branch, Task
from planner.forecast.models import ForecastRun
from planner.plans.models import Plan
from planner.watch.models import BranchWatch, Warned, WatchVerdict
from planner.watch.services import judge_branch
from tests.planner.watch.kept.conftest import POUR_AT
from tests.planner.watch.kept.rows import HOUR, NOW, book_pump, messages, plan_pour, sky_at

pytestmark = pytest.mark.django_db


def wet_over(pour_at: datetime):
    return lambda at: 0.95 if abs(at - pour_at) < 12 * HOUR else 0.0


def heavy_over(pour_at: datetime):
    return lambda at: 4.0 if abs(at - pour_at) < 12 * HOUR else 0.0


def verdict(pour: Task) -> WatchVerdict:
    return WatchVerdict.objects.get(task=pour, current=True)


def pours_told(branch: Branch) -> list[str]:
    return list(Warned.objects.filter(branch=branch, kind="verdict").order_by("pk").values_list("verdict", flat=True))


def test_a_calm_start_is_kept_with_its_run_and_arithmetic_and_tells_nobody(branch: Branch, pour: Task) -> None:
    sky_at(NOW - HOUR)
    judged = judge_branch(branch=branch, now=NOW)
    assert [start.task for start in judged.changed] == [pour.pk]
    row = verdict(pour)
    assert (row.verdict, row.by_forecast, row.rung_hours, row.plan_number) == ("no limit reached",) * 2 + (72, 1)
    assert row.run is not None
    assert row.run.issued_at == NOW - HOUR
    labels = [line["label"] for line in row.arithmetic["lines"]]
    assert labels[2:4] == ["rain kept off after placing, at that temperature", "chance of being hit before rain-safe"]
    assert row.arithmetic["going_dollars"] <= row.arithmetic["moving_dollars"]
    assert pours_told(branch) == []


def test_a_wet_run_changes_the_verdict_and_tells_office_and_foreman_once(branch: Branch, pour: Task) -> None:
    sky_at(NOW - HOUR)
    judge_branch(branch=branch, now=NOW)
    sky_at(NOW + 5 * HOUR, rain_chance=wet_over(POUR_AT), rain_mm=heavy_over(POUR_AT))
    judged = judge_branch(branch=branch, now=NOW + 6 * HOUR)
    assert verdict(pour).verdict == "move"
    assert verdict(pour).since_at == NOW + 6 * HOUR
    (fact,) = [fact for fact in judged.facts if fact.kind == "verdict"]
    foreman = Crew.objects.get(branch=branch, key="forms-west")
    office = branch.memberships.get(role="office")
    told = [person for key, person in messages(branch) if key == fact.key]
    assert set(told) == {f"member:{office.pk}", f"crew:{foreman.pk}"}
    for later in (6, 7, 8):
        again = judge_branch(branch=branch, now=NOW + later * HOUR)
        assert again.facts == ()
        assert again.changed == ()
    assert len([key for key, _ in messages(branch) if key == fact.key]) == len(told)
    # The calm verdict stays as history with the run it came from.
    assert WatchVerdict.objects.filter(task=pour, current=False).values_list("verdict", flat=True)[0] == (
        "no limit reached"
    )


def test_the_message_says_what_when_why_and_what_it_costs(branch: Branch, pour: Task) -> None:
    book_pump(branch, pour, POUR_AT.date())
    sky_at(NOW - HOUR, rain_chance=wet_over(POUR_AT), rain_mm=heavy_over(POUR_AT))
    judge_branch(branch=branch, now=NOW)
    row = Message.objects.filter(branch=branch, fact__startswith="pour:", channel="mail", person__startswith="crew")[0]
    assert row.subject == (
        "Move: Pour and finish floor with thickened edge at Millrace Court, planned 7:00 am Wednesday, June 10"
    )
    for words in ("The forecast forbids it.", "Chance of being hit", "Free to move until 7:00 am Tuesday, June 9."):
        assert words in row.body
    assert "Nothing is moved by itself" in row.body
    assert "Local code, the engineer, the maker and licensed people decide." in row.body
    assert branch.phone in row.body
    texts = Message.objects.filter(branch=branch, channel="text")
    assert not any(branch.phone in text.body + text.subject for text in texts)


def test_a_verdict_that_goes_away_and_comes_back_is_told_once(branch: Branch, pour: Task) -> None:
    for hour in range(0, 12, 2):
        wet = {} if hour % 4 else {"rain_chance": wet_over(POUR_AT), "rain_mm": heavy_over(POUR_AT)}
        sky_at(NOW + hour * HOUR, **wet)
        judge_branch(branch=branch, now=NOW + hour * HOUR)
    assert pours_told(branch) == ["move"]
    assert WatchVerdict.objects.filter(task=pour).count() >= 6


def test_without_a_usable_forecast_it_says_unknown_and_call_the_office(branch: Branch, pour: Task) -> None:
    sky_at(NOW - HOUR)
    judge_branch(branch=branch, now=NOW)
    late = NOW + 20 * HOUR
    judge_branch(branch=branch, now=late)
    row = verdict(pour)
    assert (row.verdict, row.arithmetic["freshness"]) == ("unknown", "stale")
    said = Message.objects.filter(branch=branch, fact__startswith="pour:")
    assert said.exists()
    assert all("call the office" in one.subject.lower() for one in said)
    assert all("Nothing is moved by itself" in one.body for one in said if one.channel == "mail")


def test_the_deadline_is_told_once_where_the_verdict_was_told_before_that_day(branch: Branch, pour: Task) -> None:
    book_pump(branch, pour, POUR_AT.date())
    wet = {"rain_chance": wet_over(POUR_AT), "rain_mm": heavy_over(POUR_AT)}
    sky_at(NOW - 20 * HOUR, **wet)
    judge_branch(branch=branch, now=NOW - 15 * HOUR)
    assert pours_told(branch) == ["move"]
    # Free until Tuesday seven: told from Monday morning on.
    for hour in (0, 1.1, 2, 3):
        sky_at(NOW + hour * HOUR, **wet)
        judge_branch(branch=branch, now=NOW + hour * HOUR)
    (deadline,) = Warned.objects.filter(branch=branch, kind="deadline")
    assert deadline.told_at == NOW + 1.1 * HOUR
    assert deadline.says.startswith("Free to move until 7:00 am Tuesday, June 9")
    assert deadline.answer_by == POUR_AT - 24 * HOUR


def test_on_pour_day_a_warning_goes_in_quiet_hours_and_the_day_before_it_waits(branch: Branch, pour: Task) -> None:
    sky_at(NOW - HOUR)
    judge_branch(branch=branch, now=NOW)
    night = POUR_AT - 5 * HOUR
    sky_at(night, rain_chance=wet_over(POUR_AT), rain_mm=heavy_over(POUR_AT))
    judge_branch(branch=branch, now=night)
    rows = Message.objects.filter(branch=branch, fact__startswith="pour:")
    assert rows.exists()
    assert all(row.urgent and row.not_before is None for row in rows)


def test_a_plan_moved_begins_the_start_anew(branch: Branch, pour: Task) -> None:
    sky_at(NOW - HOUR, rain_chance=wet_over(POUR_AT), rain_mm=heavy_over(POUR_AT))
    judge_branch(branch=branch, now=NOW)
    plan_pour(branch, start_at=POUR_AT + 24 * HOUR, number=2)
    judge_branch(branch=branch, now=NOW + 2 * HOUR)
    row = verdict(pour)
    assert (row.start_at, row.plan_number, row.since_at) == (POUR_AT + 24 * HOUR, 2, NOW + 2 * HOUR)


def test_an_older_message_writes_nothing_after_a_newer_one(branch: Branch, pour: Task) -> None:
    sky_at(NOW - HOUR)
    judge_branch(branch=branch, now=NOW + HOUR)
    before = list(WatchVerdict.objects.values_list("pk", "judged_at"))
    assert judge_branch(branch=branch, now=NOW).overtaken
    assert list(WatchVerdict.objects.values_list("pk", "judged_at")) == before


def test_without_a_plan_in_force_there_is_nothing_to_judge(branch: Branch) -> None:
    judged = judge_branch(branch=branch, now=NOW)
    assert (judged.report, judged.facts, judged.overtaken) == (None, (), False)
    assert BranchWatch.objects.get(branch=branch).judged_at == NOW


def test_the_number_of_queries_does_not_grow_with_the_starts(branch: Branch, pour: Task) -> None:
    sky_at(NOW - HOUR)
    judge_branch(branch=branch, now=NOW)
    counts = []
    plan = Plan.objects.get(branch=branch, state="in_force")
    for key in ("", "stack_forms", "pour_walls"):
        if key:
            task = Task.objects.get(job=pour.job, key=key)
            at = POUR_AT - 8 * HOUR
            row = plan.assignments.create(task=task, start_at=at, end_at=at + 2 * HOUR)
            row.crews.add(Crew.objects.get(branch=branch, key="forms-west"))
        judge_branch(branch=branch, now=NOW + HOUR)
        with CaptureQueriesContext(connection) as queries:
            judged = judge_branch(branch=branch, now=NOW + HOUR)
        assert judged.facts == ()
        counts.append(len(queries))
    assert judged.report is not None
    assert len(judged.report.starts) == 3
    assert counts[0] == counts[1] == counts[2]
    assert ForecastRun.objects.exists()
    assert timedelta(0) < (judged.next_at or NOW) - NOW
