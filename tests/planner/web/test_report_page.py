"""Forms for what the site says: kept with what was typed when refused, carried out once when sent twice."""

import re
from datetime import timedelta
from uuid import uuid4

import pytest
from django.urls import reverse

from crews.models import Booking, CrewDay
from jobs.models import Branch, FieldReport, Hold, Task
from planner.plans.models import Assignment
from tests.planner.web.company import NOW
from tests.planner.web.conftest import SignIn
from tests.planner.web.reading import page_of

WHEN = "2026-06-08T05:30"


def sent(form: str, **values: str) -> dict[str, str]:
    return {"form": form, "sent_id": str(uuid4()), "said_by": "Imre", "happened_at": WHEN, **values}


def task_of(branch: Branch, key: str) -> Task:
    return Task.objects.filter(branch=branch, key=key, finished_at=None, started_at=None).order_by("pk")[0]


def test_what_is_left_is_entered_in_hours_and_kept_in_minutes(sign_in: SignIn, branch: Branch) -> None:
    task = task_of(branch, "strip_braces")
    answer = sign_in().post(reverse("report_task", args=[task.pk]), sent("remaining", hours="2.5"))
    assert answer.status_code == 302
    task.refresh_from_db()
    assert task.remaining_minutes == 150


@pytest.mark.parametrize(
    ("key", "form", "values", "kept"),
    [
        # 3 ft 6 in = 1.0668 m exactly (international foot and inch, 1959).
        ("fill_1", "level", {"feet": "3", "inches": "6"}, {"level_m": 1.0668}),
        # 212 °F = 100 °C is past what concrete reaches; 95 °F = 35 °C by definition of the scale.
        ("pour_floor", "temperature", {"degrees_f": "95"}, {"concrete_c": 35.0}),
        # 4,000 psi = 27.579 MPa (pound-force and inch by definition).
        ("pour_floor", "strength", {"psi": "4000"}, {"strength_mpa": 27.579}),
    ],
)
def test_readings_are_entered_in_units_of_the_trade_and_kept_in_si(
    sign_in: SignIn, branch: Branch, key: str, form: str, values: dict[str, str], kept: dict[str, float]
) -> None:
    task = task_of(branch, key)
    assert sign_in().post(reverse("report_task", args=[task.pk]), sent(form, **values)).status_code == 302
    assert FieldReport.objects.get().values == kept


def test_a_refused_form_comes_back_with_everything_typed_and_the_fault_beside_its_field(
    sign_in: SignIn, branch: Branch
) -> None:
    task = task_of(branch, "strip_braces")
    form = sent("remaining", hours="many", said_by="Imre <b>")
    answer = sign_in().post(reverse("report_task", args=[task.pk]), form)
    html = answer.content.decode()
    assert answer.status_code == 409
    field = re.search(r'<input id="remaining-hours"[^>]*>', html)
    assert field is not None
    assert 'value="many"' in field[0]
    assert 'aria-invalid="true"' in field[0]
    said = re.search(r'<p id="remaining-hours-says" class="field-error">([^<]*)</p>', html)
    assert said is not None
    assert "not a number" in said[1].replace("&quot;", '"')
    assert "Enter a number" in said[1]
    assert 'value="Imre &lt;b&gt;"' in html
    # The same id goes back into the form: sending the mended form is still one report.
    assert f'value="{form["sent_id"]}"' in html
    assert not FieldReport.objects.exists()


def test_the_same_form_sent_twice_is_one_report(sign_in: SignIn, branch: Branch) -> None:
    task = task_of(branch, "strip_braces")
    client, form = sign_in(), sent("note", note="gate code changed")
    for _ in range(2):
        assert client.post(reverse("report_task", args=[task.pk]), form).status_code == 302
    assert FieldReport.objects.count() == 1


def test_each_form_of_a_page_has_its_own_id(sign_in: SignIn, branch: Branch) -> None:
    html = sign_in().get(reverse("report_task", args=[task_of(branch, "pour_floor").pk])).content.decode()
    ids = re.findall(r'name="sent_id" value="([^"]+)"', html)
    assert len(ids) > 3
    assert len(set(ids)) == len(ids)


def test_a_failed_inspection_names_the_inspector_and_opens_the_visit_again(sign_in: SignIn, branch: Branch) -> None:
    hold = Hold.objects.filter(job__branch=branch, result="open", key="hold_floor").order_by("pk")[0]
    client, url = sign_in(), reverse("report_task", args=[hold.visit_id])
    assert client.post(url, sent("hold_failed", inspector="", note="chairs missing")).status_code == 409
    hold.refresh_from_db()
    assert hold.result == "open"
    assert client.post(url, sent("hold_failed", inspector="R. Ames", note="chairs missing")).status_code == 302
    hold.refresh_from_db()
    hold.visit.refresh_from_db()
    assert (hold.result, hold.decided_by, hold.note) == ("failed", "R. Ames", "chairs missing")
    assert hold.visit.finished_at is None
    assert hold.visit.earliest_at is not None
    assert hold.visit.earliest_at > hold.decided_at  # type: ignore[operator]
    page = client.get(reverse("holds")).content.decode()
    assert "chairs missing" in page
    assert "Failed" in page


def test_a_start_behind_a_shut_hold_is_refused_over_the_form(sign_in: SignIn, branch: Branch) -> None:
    task = task_of(branch, "pour_floor")
    answer = sign_in().post(reverse("report_task", args=[task.pk]), sent("started"))
    assert answer.status_code == 409
    assert "cannot have started" in answer.content.decode()
    task.refresh_from_db()
    assert task.started_at is None


def test_a_safety_gate_is_kept_under_the_name_of_the_person_who_looked(sign_in: SignIn, branch: Branch) -> None:
    task = task_of(branch, "dig")
    form = sent("gate-dig_look", said_by="Wendell Ostrava")
    assert sign_in().post(reverse("report_task", args=[task.pk]), form).status_code == 302
    report = FieldReport.objects.get()
    assert (report.kind, report.values, report.said_by) == ("gate", {"gate": "dig_look"}, "Wendell Ostrava")
    again = sent("gate-dig_look", said_by="Wendell Ostrava", set_aside="shored by the engineer's drawing")
    assert sign_in().post(reverse("report_task", args=[task.pk]), again).status_code == 302
    assert FieldReport.objects.order_by("-pk")[0].values["set_aside"] == "shored by the engineer's drawing"


def test_a_delivery_that_is_short_moves_its_booking(sign_in: SignIn, branch: Branch) -> None:
    booking = Booking.objects.filter(kind="form_delivery").order_by("pk")[0]
    form = sent("delivery_wrong-form_delivery", note="two bundles missing")
    assert sign_in().post(reverse("report_task", args=[booking.task_id]), form).status_code == 302
    booking.refresh_from_db()
    assert booking.state == Booking.State.WRONG


def test_a_short_crew_is_kept_and_too_many_people_are_refused(sign_in: SignIn, branch: Branch) -> None:
    client = sign_in()
    form = sent("crew_short", crew="forms-east", on="2026-06-09", people="7", note="lent two")
    refused = client.post(reverse("report"), form)
    assert refused.status_code == 409
    assert "has 5 people; 7 cannot be right" in refused.content.decode()
    assert 'value="lent two"' in refused.content.decode()
    assert client.post(reverse("report"), {**form, "people": "3"}).status_code == 302
    assert CrewDay.objects.get(crew__key="forms-east", head_count__isnull=False).head_count == 3


def test_a_foreman_cannot_shorten_another_crew(sign_in: SignIn, branch: Branch) -> None:
    client = sign_in("foreman", crew="forms-west")
    form = sent("crew_short", crew="forms-east", on="2026-06-09", people="1")
    assert client.post(reverse("report"), form).status_code == 409
    assert not CrewDay.objects.filter(head_count__isnull=False).exists()


def test_a_time_still_to_come_is_refused_at_its_field(sign_in: SignIn, branch: Branch) -> None:
    task = task_of(branch, "strip_braces")
    answer = sign_in().post(
        reverse("report_task", args=[task.pk]), {**sent("note", note="x"), "happened_at": "2026-06-08T06:01"}
    )
    assert answer.status_code == 409
    assert re.search(
        r'id="note-happened_at-says" class="field-error">[^<]*06:01 on 8 June 2026', answer.content.decode()
    )


def test_what_work_waits_for_is_recorded_before_it_is_said_to_have_started(sign_in: SignIn, branch: Branch) -> None:
    task = Task.objects.filter(key="dig", started_at=None, finished_at=None, assignments__isnull=False)[0]
    start_at = NOW + timedelta(hours=1)
    Assignment.objects.filter(task=task).update(start_at=start_at, end_at=start_at + timedelta(hours=4))
    client, look = sign_in(), f"/report/{task.pk}/?say=gate-dig_look#say-gate-dig_look"
    response = client.get(reverse("report"))
    html = response.content.decode()
    line = next(one for sheet in page_of(response).pools for one in sheet.lines if one.id == task.pk)
    assert line.first.startswith("Waiting for the safety look of the dig")
    assert f'class="call" href="{look}"' in html
    assert html.index(look) < html.index(f"/report/{task.pk}/?say=started")
    form = sent("gate-dig_look", said_by="Wendell Ostrava")
    assert client.post(reverse("report_task", args=[task.pk]), form).status_code == 302
    assert look not in client.get(reverse("report")).content.decode()


def test_a_look_that_counts_only_tomorrow_is_not_asked_for_today(sign_in: SignIn) -> None:
    task = Task.objects.filter(key="dig", started_at=None, finished_at=None, assignments__isnull=False)[0]
    start_at = NOW + timedelta(hours=25)
    Assignment.objects.filter(task=task).update(start_at=start_at, end_at=start_at + timedelta(hours=4))
    html = sign_in().get(reverse("report")).content.decode()
    assert f"/report/{task.pk}/?say=started" in html
    assert f"/report/{task.pk}/?say=gate-dig_look" not in html


def test_the_crew_that_is_shown_is_marked(sign_in: SignIn) -> None:
    client, marked = sign_in(), re.compile(r'<a href="([^"]*)" aria-current="true">')
    assert marked.findall(client.get(reverse("report")).content.decode()) == [reverse("report")]
    page = client.get(reverse("report"), {"crew": "forms-east"}).content.decode()
    assert marked.findall(page) == ["?crew=forms-east"]
