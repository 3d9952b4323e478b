"""A branch that cannot be read says why on a page of its own."""

from django.test import Client

from jobs.models import Branch
from planner.forecast.models import ClimateRecord
from tests.planner.web.conftest import SignIn


def test_a_branch_without_climate_says_what_to_do(branch: Branch, sign_in: SignIn) -> None:
    client: Client = sign_in("office")
    ClimateRecord.objects.all().delete()
    answer = client.get("/")
    assert answer.status_code == 409
    said = answer.content.decode()
    assert "has no climate" in said
    assert "manage.py load_climate" in said
