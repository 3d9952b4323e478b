"""The office's records are entered in the words of the trade, and a refusal keeps what was typed."""

import pytest
from django.contrib.auth import get_user_model
from django.test import Client

from crews.models import Crew, Gear, Supplier
from jobs.models import Branch

pytestmark = pytest.mark.django_db

BRANCH = {
    "name": "North yard",
    "slug": "north",
    "company": "Some builder",
    "zone": "America/New_York",
    "country": "US",
    "subdivision": "NJ",
    "opens": "07:00",
    "closes": "17:00",
    "yard_latitude": "40.5",
    "yard_longitude": "-74.5",
    "keeps_public_holidays": "on",
    "buying": "{}",
}
NO_LINES = {
    f"{kind}-{count}": "0"
    for kind in ("trades", "days")
    for count in ("TOTAL_FORMS", "INITIAL_FORMS", "MIN_NUM_FORMS", "MAX_NUM_FORMS")
}


@pytest.fixture
def owner(client: Client) -> Client:
    client.force_login(get_user_model().objects.create_superuser("owner"))
    return client


@pytest.fixture
def branch(owner: Client) -> Branch:
    assert owner.post("/admin/jobs/branch/add/", BRANCH).status_code == 302
    return Branch.objects.get()


def crew(branch: Branch, **other: str) -> dict[str, str]:
    return {
        **NO_LINES,
        "branch": str(branch.pk),
        "key": "dig",
        "name": "Dig crew",
        "own": "on",
        "size": "2",
        "hour_cents_per_person": "66.50",
        "overtime_hour_cents": "",
        "most_overtime_minutes": "0",
        "saturday_hour_cents": "0",
        "week": "Mon-Thu 07:00-15:30, Fri 07:00-12:00",
        "language": "en",
        "active": "on",
        "trades-TOTAL_FORMS": "1",
        "trades-0-trade": "excavation",
        **other,
    }


def test_a_crew_is_entered_in_days_trades_and_dollars(owner: Client, branch: Branch) -> None:
    page = owner.get("/admin/crews/crew/add/").content.decode()
    assert "Mon-Fri 07:00-15:30" in page
    assert ">Excavation</option>" in page
    assert owner.post("/admin/crews/crew/add/", crew(branch)).status_code == 302
    row = Crew.objects.get()
    assert row.week["4"] == ["07:00", "15:30"]
    assert row.week["5"] == ["07:00", "12:00"]
    assert "6" not in row.week
    assert (row.hour_cents_per_person, row.overtime_hour_cents) == (6650, 0)
    assert [one.trade for one in row.trades.all()] == ["excavation"]
    again = owner.get(f"/admin/crews/crew/{row.pk}/change/").content.decode()
    assert "Mon-Thu 07:00-15:30, Fri 07:00-12:00" in again
    assert 'value="66.5' in again


def test_a_week_nobody_can_read_says_how_and_stays_as_typed(owner: Client, branch: Branch) -> None:
    answer = owner.post("/admin/crews/crew/add/", crew(branch, week="weekdays, early"))
    page = answer.content.decode()
    assert answer.status_code == 200
    assert "Write the week as Mon-Fri 07:00-15:30" in page
    assert 'value="weekdays, early"' in page
    assert not Crew.objects.exists()


def test_a_crew_looked_at_and_saved_again_is_the_same(owner: Client, branch: Branch) -> None:
    owner.post("/admin/crews/crew/add/", crew(branch))
    row = Crew.objects.get()
    line = row.trades.get()
    same = crew(branch) | {"trades-INITIAL_FORMS": "1", "trades-0-id": str(line.pk), "trades-0-crew": str(row.pk)}
    same["overtime_hour_cents"] = "0"
    assert owner.post(f"/admin/crews/crew/{row.pk}/change/", same).status_code == 302
    after = Crew.objects.get()
    assert (after.week, after.hour_cents_per_person) == (row.week, row.hour_cents_per_person)
    said = owner.get(f"/admin/crews/crew/{row.pk}/history/").content.decode()
    assert "No fields changed" in said


def test_gear_and_suppliers_are_chosen_from_what_build_methods_ask_for(owner: Client, branch: Branch) -> None:
    gear = owner.get("/admin/crews/gear/add/").content.decode()
    assert 'value="brace_set"' in gear
    # Never runs out, so it is not counted.
    assert 'value="laser_level"' not in gear
    sent = {"branch": branch.pk, "kind": "brace_set", "name": "Brace set", "count": "2"}
    assert owner.post("/admin/crews/gear/add/", sent).status_code == 302
    assert Gear.objects.get().kind == "brace_set"
    supplier = {
        "branch": branch.pk,
        "role": "supplier",
        "kind": "ready_mix",
        "name": "Plant",
        "notice_working_days": "2",
        "free_cancel_hours": "12",
        "fee_cents": "150",
        "week": "Mon-Sat 06:00-15:00",
    }
    assert owner.post("/admin/crews/supplier/add/", supplier).status_code == 302
    row = Supplier.objects.get()
    assert (row.fee_cents, row.week["6"]) == (15_000, ["06:00", "15:00"])


def test_a_zone_no_clock_knows_is_refused(owner: Client) -> None:
    answer = owner.post("/admin/jobs/branch/add/", BRANCH | {"zone": "New Jersey"})
    assert answer.status_code == 200
    assert "is not one of the available choices" in answer.content.decode()
    assert not Branch.objects.exists()
