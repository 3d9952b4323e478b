"""Pool: one pool's tasks in order, each with its state and the gate that binds; another branch's is not found."""

from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest

from crews.models import Booking, Supplier
from jobs.domain.units import gallons_from_m3
from jobs.models import Branch, Hold, Job, Task
from jobs.services.field_reports import report
from planner.plans.domain.binding import SLACK, Gatekeeper
from planner.plans.models import Assignment
from planner.web.loading import load
from tests.planner.web.company import NOW
from tests.planner.web.conftest import SignIn
from tests.planner.web.reading import outline, page_of, text

pytestmark = pytest.mark.django_db


def pool_named(name: str) -> Job:
    return Job.objects.get(name=name)


def said(branch: Branch, task: Task, kind: str, at: Any, **values: Any) -> None:
    report(
        branch=branch,
        kind=kind,
        sent_id=uuid4(),
        said_by="the site",
        happened_at=at,
        received_at=at,
        task=task,
        values=values,
    )


def test_every_task_stands_in_building_order_with_state_dates_and_gate(sign_in: SignIn) -> None:
    for job in Job.objects.filter(name__in=("Saltmarsh Way", "Larkspur Hill")):
        response = sign_in().get(f"/pools/{job.pk}/")
        assert response.status_code == 200
        page = page_of(response)
        lines = [*page.over, *page.tasks, *page.later]
        rows = list(Task.objects.filter(job=job).order_by("position", "id"))
        assert [line.title for line in lines] == [row.title for row in rows]
        planned = set(Assignment.objects.filter(task__job=job).values_list("task__key", flat=True))
        for line, row in zip(lines, rows, strict=True):
            assert (line.state == "finished") == (row.finished_at is not None)
            assert bool(line.binding) == (row.finished_at is None and row.started_at is None)
            assert (line.when != "not in the plan") == (row.finished_at is not None or line.key in planned)
        words = text(response.content.decode())
        for line in [*page.tasks, *page.later]:
            assert line.title.replace("'", "&#x27;") in words or line.title in words


def test_nothing_is_open_before_the_plan_starts_it(sign_in: SignIn, branch: Branch) -> None:
    """The gate that binds restates the plan's rules apart from the solver: none may open after a checked start.

    A slot that was booked for another day is left out: it stops nobody in the plan, and Today asks to move it.
    """
    loaded = load(branch)
    keeper = Gatekeeper(loaded.world, loaded.stays)
    starts = {stay.task: stay.start_at for stay in loaded.stays}
    seen = 0
    for job in loaded.world.jobs:
        for task in job.tasks:
            gate = keeper.binding(job, task)
            if gate is None or task.id not in starts or gate.kind == "booking":
                continue
            seen += 1
            assert gate.opens_at <= starts[task.id] + SLACK, (job.name, task.title, gate)
    assert seen > 150


def test_silence_is_shown_and_never_taken_for_an_end(sign_in: SignIn, settings: Any) -> None:
    settings.PLANNER_AS_OF = NOW + timedelta(days=40)
    for job in Job.objects.filter(name__in=("Saltmarsh Way", "Larkspur Hill")):
        page = page_of(sign_in().get(f"/pools/{job.pk}/"))
        silent = [line for line in [*page.tasks, *page.later] if line.state == "unreported"]
        assert silent
        reported = set(Task.objects.filter(job=job, finished_at__isnull=False).values_list("key", flat=True))
        assert {line.key for line in [*page.over, *page.tasks, *page.later] if line.state == "finished"} == reported
        assert page.head.next.state == "unreported"


def test_a_failed_hold_is_shut_and_a_passed_one_open(sign_in: SignIn, branch: Branch) -> None:
    hold = Hold.objects.filter(job__name="Millrace Court", key="hold_floor").get()
    at = NOW - timedelta(hours=1)
    said(branch, hold.visit, "hold_failed", at, inspector="I. Farrow", note="cover too thin")
    line = next(one for one in page_of(sign_in().get(f"/pools/{hold.job_id}/")).holds if one.key == "hold_floor")
    assert (line.gate, line.word) == ("shut", "failed, shut")
    assert "I. Farrow" in line.decided
    assert "cover too thin" in line.decided
    said(branch, hold.visit, "hold_passed", at + timedelta(minutes=5), inspector="I. Farrow")
    line = next(one for one in page_of(sign_in().get(f"/pools/{hold.job_id}/")).holds if one.key == "hold_floor")
    assert (line.gate, line.asked) == ("open", "")


def test_the_water_stands_where_the_site_read_it(sign_in: SignIn, branch: Branch) -> None:
    job = pool_named("Orchard Row")
    task = Task.objects.get(job=job, key="fill_1")
    said(branch, task, "level", NOW - timedelta(minutes=10), level_m=1.219)
    page = page_of(sign_in().get(f"/pools/{job.pk}/"))
    row = next(row for row in page.section.rows if row.part == "Water")
    assert row.state.startswith("4 ft at the deepest")
    assert any(layer.kind == "water" for layer in page.section.layers)


def test_quantities_are_in_the_units_of_the_trade(sign_in: SignIn) -> None:
    job = pool_named("Heron Lane")
    response = sign_in().get(f"/pools/{job.pk}/")
    page = page_of(response)
    water = next(one.words for one in page.amounts if one.label == "Water")
    # The basin's own prismatoid volume, and the US gallon of 231 cubic inches (NIST Handbook 44).
    salt = Task.objects.get(job=job, key="add_salt")
    assert water == f"{gallons_from_m3(salt.quantity or 0.0):,.0f} gallons"
    words = text(response.content.decode())
    assert "cubic yards of concrete" in words
    assert " m3" not in words
    assert " m2" not in words


def test_bookings_say_their_day_or_until_when_to_book(sign_in: SignIn) -> None:
    job = pool_named("Heron Lane")
    pour = Task.objects.get(job=job, key="pour_walls")
    page = page_of(sign_in().get(f"/pools/{job.pk}/"))
    booked = {(line.what, line.state) for line in page.bookings if line.task_key == pour.key}
    live = Booking.objects.filter(task=pour).exclude(state="cancelled")
    assert len(booked) == live.count() == 2
    assert {state for _, state in booked} == {"confirmed"}
    unasked = [line for line in page.bookings if line.state == "open"]
    assert unasked
    assert all(line.deadline.startswith("book by ") for line in unasked)
    dialled = {line.phone for line in page.bookings if line.phone}
    assert dialled <= set(Supplier.objects.values_list("phone", flat=True))


def test_another_branch_s_pool_is_not_found(sign_in: SignIn, other_branch: Branch) -> None:
    far = Job.objects.get(branch=other_branch)
    assert sign_in().get(f"/pools/{far.pk}/").status_code == 404
    assert sign_in("reader", to=other_branch).get(f"/pools/{far.pk}/").status_code == 200
    assert sign_in().get("/pools/999999/").status_code == 404


@pytest.mark.parametrize("role", ["owner", "office", "foreman", "reader"])
def test_everybody_of_the_branch_may_look(sign_in: SignIn, role: str) -> None:
    assert sign_in(role).get(f"/pools/{pool_named('Heron Lane').pk}/").status_code == 200


def test_a_finished_pool_can_still_be_opened(sign_in: SignIn) -> None:
    job = pool_named("Larkspur Hill")
    Job.objects.filter(pk=job.pk).update(state=Job.State.FINISHED)
    assert sign_in().get(f"/pools/{job.pk}/").status_code == 200


def test_ids_are_unique_and_links_inside_the_page_lead_somewhere(sign_in: SignIn) -> None:
    found = outline(sign_in().get(f"/pools/{pool_named('Heron Lane').pk}/").content.decode())
    assert len(found.ids) == len(set(found.ids))
    assert found.headings.count("h1") == 1
    inside = [target[1:] for target in found.targets if target.startswith("#")]
    assert inside
    assert set(inside) <= set(found.ids)
