"""Today: what has to be decided, by when, and who is where."""

import re
from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest

from crews.models import Booking, Crew
from jobs.models import Branch, Hold, Job, Task
from jobs.services.field_reports import report
from planner.dayplans.field_reports import Said, keep
from planner.plans.models import Assignment, Plan
from tests.planner.web.company import NOW
from tests.planner.web.conftest import SignIn
from tests.planner.web.reading import outline, page_of, text

pytestmark = pytest.mark.django_db
# Words of other programs, and of none of our pages.
NEVER = re.compile(r"\b(dispatch|board|portal|punch list|look-ahead|milestone|baseline)\b", re.IGNORECASE)


def decisions(sign_in: SignIn, kind: str = "") -> list[Any]:
    return [one for one in page_of(sign_in().get("/")).decisions if not kind or one.kind == kind]


def test_past_deadlines_come_first_then_what_is_due_next(sign_in: SignIn) -> None:
    found = decisions(sign_in)
    assert found
    order = [(not one.past, one.by_at or NOW) for one in found]
    assert order == sorted(order)
    assert all(one.past == (one.by_at is not None and one.by_at <= NOW) for one in found)


def test_each_decision_is_told_in_full(sign_in: SignIn) -> None:
    response = sign_in().get("/")
    words = text(response.content.decode())
    for one in page_of(response).decisions:
        for part in (one.what, one.why, one.by, *one.details):
            assert " ".join(part.replace("\u00a0", " ").split()) in words, part


def test_an_inspection_is_asked_for_with_its_notice(sign_in: SignIn) -> None:
    visit = Task.objects.get(job__name="Millrace Court", key="inspect_floor")
    Booking.objects.filter(task=visit).delete()
    # Planned on the Tuesday: one working day of notice, the call until three on the Monday.
    Assignment.objects.filter(task=visit).update(start_at=NOW + timedelta(hours=25), end_at=NOW + timedelta(hours=29))
    found = next(one for one in decisions(sign_in, "hold") if "Millrace Court" in one.what)
    assert found.by_at == NOW + timedelta(hours=9)
    assert found.by == "by 3:00\u00a0pm today"
    supplier = visit.branch.suppliers.get(kind="building_authority")
    Booking.objects.create(
        supplier=supplier, task=visit, kind="inspection", on=(NOW + timedelta(days=1)).date(), asked_at=NOW
    )
    assert not [one for one in decisions(sign_in, "hold") if "Millrace Court" in one.what]


def test_a_failed_hold_asks_for_another_visit(sign_in: SignIn, branch: Branch) -> None:
    hold = Hold.objects.get(job__name="Millrace Court", key="hold_floor")
    keep(
        branch=branch,
        said=Said(
            kind="hold_failed",
            sent_id=uuid4(),
            said_by="the site",
            happened_at=NOW,
            task=hold.visit,
            values={"inspector": "I. Farrow", "note": "cover too thin"},
        ),
        now=NOW,
    )
    found = next(one for one in decisions(sign_in, "hold") if "failed" in one.what)
    assert "Millrace Court" in found.what
    assert any("cover too thin" in line for line in found.details)


def test_friday_shows_a_saturday_somebody_works_on(sign_in: SignIn, settings: Any) -> None:
    """The branch's next working day is Monday."""
    settings.PLANNER_AS_OF = friday = NOW + timedelta(days=4)
    assert [day.split(",")[0] for day in page_of(sign_in().get("/")).days] == ["Friday", "Monday"]
    row = Assignment.objects.filter(crews__own=True, start_at__gt=friday).order_by("start_at")[0]
    seven = friday + timedelta(days=1, hours=1)
    Assignment.objects.filter(pk=row.pk).update(start_at=seven, end_at=seven + timedelta(hours=2))
    assert [day.split(",")[0] for day in page_of(sign_in().get("/")).days] == ["Friday", "Saturday", "Monday"]


def test_silent_work_is_asked_after_and_a_report_answers(sign_in: SignIn, branch: Branch, settings: Any) -> None:
    assert not decisions(sign_in, "silence")
    settings.PLANNER_AS_OF = NOW + timedelta(days=1)
    silent = decisions(sign_in, "silence")
    ended = Assignment.objects.filter(end_at__lte=settings.PLANNER_AS_OF, task__finished_at__isnull=True)
    assert len([one for one in silent if one.what.endswith("is finished")]) == ended.count() > 0
    row = ended.select_related("task").exclude(task__kind="visit").first()
    assert row is not None
    report(
        branch=branch,
        kind="finished",
        sent_id=uuid4(),
        said_by="the site",
        happened_at=row.end_at,
        received_at=settings.PLANNER_AS_OF,
        task=row.task,
    )
    assert len(decisions(sign_in, "silence")) == len(silent) - 1


def test_a_slot_on_another_day_than_the_work_is_to_be_moved(sign_in: SignIn) -> None:
    pour = Task.objects.get(job__name="Heron Lane", key="pour_walls")
    stay = Assignment.objects.get(task=pour)
    local_day = (stay.start_at - timedelta(hours=4)).date()
    Booking.objects.filter(task=pour).update(on=local_day)
    assert not [one for one in decisions(sign_in, "booking") if one.what.startswith("Move") and "Heron" in one.what]
    Booking.objects.filter(task=pour).update(on=local_day + timedelta(days=3))
    found = [one for one in decisions(sign_in, "booking") if one.what.startswith("Move") and "Heron" in one.what]
    assert len(found) == 1
    assert "Concrete pump" in found[0].what
    assert any("$750" in one.cost for one in found[0].phones)
    Booking.objects.filter(task=pour).update(state="cancelled")
    assert [one for one in decisions(sign_in, "booking") if one.what.startswith("Book for Heron Lane")]


def test_a_plan_that_waits_is_offered_while_it_can_be_taken(sign_in: SignIn, branch: Branch) -> None:
    in_force = Plan.objects.get(branch=branch, state="in_force")
    waiting = Plan.objects.create(
        branch=branch,
        number=in_force.number + 1,
        made_at=NOW,
        as_of=NOW,
        input_revision=branch.input_revision,
        follows=in_force.number,
        making={},
        cost={},
        document=in_force.document,
    )
    found = decisions(sign_in, "plan")
    assert [one.what for one in found] == [f"Take or leave plan {waiting.number}"]
    Plan.objects.filter(pk=waiting.pk).update(follows=in_force.number + 5)
    assert not decisions(sign_in, "plan")


def starting_today(key: str, hours: int = 1) -> Task:
    """Work of a pool, planned to begin this morning and not begun."""
    task = Task.objects.filter(key=key, started_at=None, finished_at=None, assignments__isnull=False).first()
    assert task is not None
    start_at = NOW + timedelta(hours=hours)
    Assignment.objects.filter(task=task).update(start_at=start_at, end_at=start_at + timedelta(hours=4))
    return task


def test_a_look_nobody_recorded_is_due_at_the_first_start_that_waits_for_it(sign_in: SignIn, branch: Branch) -> None:
    task = starting_today("dig")
    place = task.job.name if task.job is not None else ""
    client = sign_in()
    found = [one for one in page_of(client.get("/")).decisions if one.kind == "record" and place in one.what]
    looks = [one for one in found if "looked at the dig" in one.what]
    assert len(looks) == 1
    assert looks[0].by_at == NOW + timedelta(hours=1)
    assert any(task.title in line for line in looks[0].details)
    assert looks[0].where == f"/report/{task.pk}/?say=gate-dig_look#say-gate-dig_look"
    form = client.get(looks[0].where)
    assert "gate-dig_look" in [one.key for group in page_of(form).groups for one in group.forms if one.opened]
    keep(
        branch=branch,
        said=Said(
            kind="gate",
            sent_id=uuid4(),
            said_by="W. Ostrava",
            happened_at=NOW,
            task=task,
            values={"gate": "dig_look"},
        ),
        now=NOW,
    )
    after = [one for one in decisions(sign_in, "record") if place in one.what and "looked at the dig" in one.what]
    assert not any(one.by_at is not None and one.by_at == looks[0].by_at for one in after)


def test_every_form_a_record_asks_for_is_there(sign_in: SignIn) -> None:
    starting_today("dig")
    starting_today("fill_1", hours=2)
    client = sign_in()
    found = [one for one in page_of(client.get("/")).decisions if one.kind == "record"]
    assert {"barrier", "bonding"} <= {word for one in found for word in one.what.split()}
    for one in found:
        key = one.where.partition("#say-")[2]
        assert key, one.what
        page = page_of(client.get(one.where))
        assert key in [form.key for group in page.groups for form in group.forms if form.opened], one.what


def test_who_may_not_report_is_led_to_the_pool(sign_in: SignIn) -> None:
    starting_today("dig")
    found = [one for one in page_of(sign_in("reader").get("/")).decisions if one.kind == "record"]
    assert found
    assert all(one.where.startswith("/pools/") for one in found)


def test_a_pool_planned_later_than_promised_is_told_first(sign_in: SignIn) -> None:
    job = Job.objects.get(name="Heron Lane")
    client = sign_in()
    Job.objects.update(promised_on=(NOW + timedelta(days=400)).date())
    assert page_of(client.get("/")).late == ()
    Job.objects.filter(pk=job.pk).update(promised_on=NOW.date() + timedelta(days=3))
    response = client.get("/")
    late = page_of(response).late
    assert [(one.name, one.where) for one in late] == [("Heron Lane", f"/pools/{job.pk}/")]
    assert "promised Thu" in late[0].words
    assert "days late" in text(response.content.decode())


def test_every_number_in_a_decision_can_be_dialled_and_its_form_is_linked(sign_in: SignIn) -> None:
    visit = Task.objects.get(job__name="Millrace Court", key="inspect_floor")
    Booking.objects.filter(task=visit).delete()
    Assignment.objects.filter(task=visit).update(start_at=NOW + timedelta(hours=25), end_at=NOW + timedelta(hours=29))
    client = sign_in()
    response = client.get("/")
    found = page_of(response).decisions
    dialled = [one for decision in found for one in decision.phones if one.number]
    assert dialled
    html = response.content.decode()
    assert all(f'href="tel:{one.dial}"' in html for one in dialled)
    hold = Hold.objects.get(job__name="Millrace Court", key="hold_floor")
    asked = next(one for one in found if one.kind == "hold" and "Millrace Court" in one.what)
    assert asked.where == f"/holds/#hold-{hold.pk}"
    assert f'id="hold-{hold.pk}"' in client.get("/holds/").content.decode()


def test_silent_work_leads_to_the_form_that_answers(sign_in: SignIn, settings: Any) -> None:
    settings.PLANNER_AS_OF = NOW + timedelta(days=1)
    client = sign_in()
    found = [one for one in page_of(client.get("/")).decisions if one.kind == "silence"]
    assert found
    for one in found:
        key = one.where.partition("#say-")[2]
        opened = [form.key for group in page_of(client.get(one.where)).groups for form in group.forms if form.opened]
        assert key in opened, one.what


def test_work_that_should_run_since_yesterday_leads_to_the_form_that_says_it_started(sign_in: SignIn) -> None:
    dig = Task.objects.get(job__name="Quarry Bend", key="dig")
    Assignment.objects.filter(task=dig).update(start_at=NOW - timedelta(hours=20), end_at=NOW + timedelta(hours=9))
    client = sign_in()
    (found,) = (one for one in page_of(client.get("/")).decisions if one.kind == "silence" and "began" in one.what)
    assert found.where == f"/report/{dig.pk}/?say=started#say-started"
    opened = [form.key for group in page_of(client.get(found.where)).groups for form in group.forms if form.opened]
    assert opened == ["started"]


def test_without_a_plan_the_page_says_so(sign_in: SignIn, branch: Branch) -> None:
    Plan.objects.filter(branch=branch).update(state="past")
    response = sign_in().get("/")
    assert response.status_code == 200
    page = page_of(response)
    assert page.crews == ()
    assert [one.what for one in page.decisions if one.kind == "plan"] == ["Make a plan: none is in force"]


def test_every_crew_is_told_where_it_is_on_both_days(sign_in: SignIn) -> None:
    response = sign_in().get("/")
    page = page_of(response)
    assert page.days == ("Monday, June 8", "Tuesday, June 9")
    assert [row.name for row in page.crews] == list(Crew.objects.order_by("name").values_list("name", flat=True))
    targets = outline(response.content.decode()).targets
    worked = 0
    for row in page.crews:
        stones = [one for one in row.road.pieces if one.kind == "stone"]
        assert [one.where for one in stones] == [f"/crews/{row.key}/{on}/" for on in ("2026-06-08", "2026-06-09")]
        assert {one.where for one in stones} <= set(targets)
        stops = [one for one in row.road.pieces if one.kind == "stop"]
        assert [one.title for one in stops] == [one.site for one in row.road.rows]
        assert {one.where for one in stops} <= set(targets)
        worked += len(stops)
    assert worked > 0


def test_decisions_stand_under_the_moment_they_are_due(sign_in: SignIn) -> None:
    page = page_of(sign_in().get("/"))
    assert [one for due in page.dues for one in due.decisions] == list(page.decisions)
    for due in page.dues:
        assert {one.by for one in due.decisions} == {due.by}
    nights = [due.by for due in page.dues if due.new_day]
    assert nights
    assert not any(by.endswith("today") for by in nights if not page.dues[0].past)


def test_on_a_friday_the_next_working_day_is_monday(sign_in: SignIn, settings: Any) -> None:
    settings.PLANNER_AS_OF = NOW + timedelta(days=4)
    assert page_of(sign_in().get("/")).days == ("Friday, June 12", "Monday, June 15")


def test_no_word_of_another_program_stands_on_a_page(sign_in: SignIn) -> None:
    client = sign_in()
    for path in ("/", "/pools/", f"/pools/{Job.objects.get(name='Heron Lane').pk}/"):
        html = client.get(path).content.decode()
        assert not NEVER.findall(text(html)), path
        assert outline(html).headings.count("h1") == 1


def test_strangers_are_kept_out(sign_in: SignIn, client: Any) -> None:
    for path in ("/", "/pools/", "/pools/1/"):
        assert client.get(path).headers["Location"].startswith("/sign-in/")
        assert sign_in("").get(path).status_code == 404
