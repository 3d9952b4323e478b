"""What the office corrects by hand in its records counts as a change of inputs and asks for another plan, once."""

from typing import Any

import pytest
from django.contrib.auth.models import User
from django.db.models import Model
from django.test import Client
from django.urls import reverse

from crews.models import Crew, CrewDay, Gear
from jobs.models import Branch, Task
from planner.plans.models import Plan, ReplanRequest
from tests.planner.plans.replanning.yard import build_yard

pytestmark = pytest.mark.django_db


@pytest.fixture
def branch() -> Branch:
    return build_yard()


@pytest.fixture
def office(client: Client) -> Client:
    client.force_login(User.objects.create_superuser("office", "office@example.org"))
    return client


def fields_of(form: Any) -> dict[str, Any]:
    values = {form.add_prefix(name): form[name].value() for name in form.fields}
    hidden = [name for name, field in form.fields.items() if field.show_hidden_initial]
    values |= {form.add_initial_prefix(name): form[name].value() for name in hidden}
    return {name: value for name, value in values.items() if value is not None and value is not False}


def correct(office: Client, row: Model, **changes: Any) -> None:
    """Open the page of a row, change something and press save."""
    name = f"admin:{row._meta.app_label}_{row._meta.model_name}_change"
    address = reverse(name, args=[row.pk])
    shown = office.get(address).context
    data = fields_of(shown["adminform"].form)
    for inline in shown["inline_admin_formsets"]:
        for form in (inline.formset.management_form, *inline.formset.initial_forms):
            data |= fields_of(form)
    answer = office.post(address, data | changes)
    assert answer.status_code == 302, answer.context["errors"]


def asked(branch: Branch) -> list[tuple[str, str]]:
    return list(ReplanRequest.objects.filter(branch=branch).order_by("pk").values_list("reason", "subject"))


def revision(branch: Branch) -> int:
    return Branch.objects.get(pk=branch.pk).input_revision


def test_a_crew_that_is_smaller_asks_once_however_often_it_is_saved(office: Client, branch: Branch) -> None:
    crew, before = Crew.objects.get(key="forms"), revision(branch)
    correct(office, crew, size=3)
    crew.refresh_from_db()
    assert crew.size == 3
    correct(office, crew, size=2)
    assert asked(branch) == [("office_changed", f"crew:{crew.pk}")]
    assert ReplanRequest.objects.get().says == "The crew Forms crew was changed in the office's records."
    assert revision(branch) == before + 2


def test_saved_as_it_was_it_asks_for_nothing(office: Client, branch: Branch) -> None:
    before = revision(branch)
    correct(office, Crew.objects.get(key="forms"))
    assert asked(branch) == []
    assert revision(branch) == before


def test_a_day_off_beside_the_crew_counts_too(office: Client, branch: Branch) -> None:
    crew = Crew.objects.get(key="forms")
    correct(office, crew, **{"days-TOTAL_FORMS": 1, "days-0-on": "2026-06-09", "days-0-off": "on"})
    assert CrewDay.objects.filter(crew=crew).count() == 1
    assert asked(branch) == [("office_changed", f"crew:{crew.pk}")]


def test_work_that_takes_longer_asks(office: Client, branch: Branch) -> None:
    task = Task.objects.get(key="pour")
    correct(office, task, work_minutes=480)
    assert asked(branch) == [("job_changed", f"task:{task.pk}")]


def test_gear_that_is_removed_asks_one_by_one_and_several_at_once(office: Client, branch: Branch) -> None:
    pump, mixer, saw = (
        Gear.objects.create(branch=branch, kind=kind, name=kind, count=1) for kind in ("pump", "mixer", "saw")
    )
    office.post(reverse("admin:crews_gear_delete", args=[pump.pk]), {"post": "yes"})
    office.post(
        reverse("admin:crews_gear_changelist"),
        {"action": "delete_selected", "_selected_action": [mixer.pk, saw.pk], "post": "yes"},
    )
    assert not Gear.objects.exists()
    assert sorted(asked(branch)) == sorted(("office_changed", f"gear:{row}") for row in (pump.pk, mixer.pk, saw.pk))
    assert "removed from the office's records" in ReplanRequest.objects.first().says  # type: ignore[union-attr]


def test_before_the_first_plan_it_only_counts(office: Client, branch: Branch) -> None:
    Plan.objects.filter(branch=branch).delete()
    before = revision(branch)
    correct(office, Crew.objects.get(key="forms"), size=3)
    assert asked(branch) == []
    assert revision(branch) == before + 1
