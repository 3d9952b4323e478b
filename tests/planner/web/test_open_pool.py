"""A pool is opened on a page as from a file; what is wrong is said beside its field, and what was typed stays."""

import re

import pytest
from django.urls import reverse

from jobs.models import Branch, Job, Site
from planner.plans.models import ReplanRequest
from planner.web.models import Membership
from tests.planner.web.conftest import SignIn

RIGHT = {
    "name": "Tern Close",
    "address": "4 Tern Close",
    "latitude": "40.6",
    "longitude": "-74,4",
    "soil": "loam",
    "access_note": "",
    "owner": "",
    "promised_on": "2026-09-30",
    "method": "insulated_form_liner",
    "length_ft": "30",
    "width_ft": "15",
    "shallow_depth_ft": "3.5",
    "deep_depth_ft": "5.5",
    "shallow_length_ft": "12",
    "slope_length_ft": "12",
    "deep_length_ft": "6",
    "freeboard_in": "6",
    "deck_width_ft": "4",
    "deck_joint_ft": "80",
    "fence_ft": "130",
    "pipe_ft": "170",
    "floor_pipe_ft": "40",
    "floor_steel_lb": "570",
    "bond_points_each": "6",
    "equipment_each": "4",
}


def fault_at(html: str, field: str) -> str:
    found = re.search(rf'<p id="{field}-says" class="field-error">([^<]*)</p>', html)
    return found[1] if found else ""


def test_a_pool_from_the_drawing_in_feet(sign_in: SignIn, branch: Branch) -> None:
    client = sign_in(Membership.Role.OFFICE)
    assert reverse("open_pool") in client.get(reverse("pools")).content.decode()
    answer = client.post(reverse("open_pool"), RIGHT, follow=True)
    job = Job.objects.get(branch=branch, name="Tern Close")
    assert answer.redirect_chain == [(reverse("pool", args=[job.pk]), 302)]
    assert "Tern Close is open with 49 tasks" in answer.content.decode()
    # 30 ft and 570 lb by the exact definitions of the international yard and pound.
    assert job.basin.form["length_m"] == pytest.approx(9.144)
    assert job.design["floor_steel_kg"] == pytest.approx(258.5476, abs=1e-3)
    assert job.site.longitude == -74.4
    assert ReplanRequest.objects.filter(branch=branch, says__contains="Tern Close").exists()


@pytest.mark.parametrize(
    ("field", "value", "says"),
    [
        ("name", "", "is empty. Fill it in."),
        ("name", "Heron Lane", "There is a job called Heron Lane already."),
        ("length_ft", "thirty", "is “thirty”, not a number."),
        ("length_ft", "31", "add up to 30 ft, but the pool is 31 ft long."),
        ("latitude", "406", "is 406; it must lie between -90 and 90."),
        ("promised_on", "soon", "“soon” is no day. Enter the promised day"),
        ("promised_on", "2020-01-01", "is past"),
        ("fence_ft", "-4", "is -4; it must lie between 0 and 1000."),
        ("deep_depth_ft", "2", "The deep end (2 ft of water) is shallower than the shallow end (3.5 ft)."),
        ("soil", "", "is empty"),
    ],
)
def test_what_is_wrong_is_said_beside_its_field_and_what_was_typed_stays(
    sign_in: SignIn, branch: Branch, field: str, value: str, says: str
) -> None:
    sites = Site.objects.count()
    answer = sign_in(Membership.Role.OFFICE).post(reverse("open_pool"), RIGHT | {field: value})
    html = answer.content.decode()
    assert answer.status_code == 409
    assert says in fault_at(html, field)
    assert f'value="{value}"' in html
    assert 'value="4 Tern Close"' in html
    assert not Job.objects.filter(name="Tern Close").exists()
    assert Site.objects.count() == sites


def test_every_empty_field_is_named_at_once(sign_in: SignIn, branch: Branch) -> None:
    html = sign_in(Membership.Role.OFFICE).post(reverse("open_pool"), {}).content.decode()
    optional = {"access_note", "owner"}
    assert all(fault_at(html, field) for field in RIGHT if field not in optional)
    assert not any(fault_at(html, field) for field in optional)
