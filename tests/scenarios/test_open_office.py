"""An office starts from nothing: its file, a pool, a plan, tomorrow's day plan, and no page that refuses."""

from datetime import timedelta
from io import StringIO
from pathlib import Path

import pytest
from django.conf import settings
from django.contrib.auth import get_user_model
from django.core.management import call_command
from django.core.management.base import CommandError
from django.test import Client
from django.urls import reverse

from crews.models import Crew, Supplier
from jobs.models import Branch, Job
from planner import clock
from planner.forecast.models import ClimateRecord
from planner.plans.models import Plan

OFFICE = Path(settings.ROOT) / "fixtures" / "office" / "office.toml"
POOL = Path(settings.ROOT) / "fixtures" / "office" / "pool.toml"

pytestmark = pytest.mark.django_db


def said_by(*command: str) -> str:
    out = StringIO()
    call_command(*command, stdout=out)
    return out.getvalue()


@pytest.fixture
def pool(tmp_path: Path) -> Path:
    """The pool to copy, promised for a day that is always to come."""
    file = tmp_path / "pool.toml"
    promised = clock.now().date() + timedelta(days=300)
    file.write_text(POOL.read_text().replace("2027-09-30", promised.isoformat()))
    return file


def test_from_an_empty_folder_to_a_plan_in_force(pool: Path, client: Client) -> None:
    said = said_by("open_office", str(OFFICE))
    assert "Sign in as anna with the password " in said
    assert "6 crews, 4 kinds of gear, 12 to call" in said
    branch = Branch.objects.get()
    crew = Crew.objects.get(key="forms")
    assert crew.week["5"] == ["07:00", "15:30"]
    assert (crew.hour_cents_per_person, crew.overtime_hour_cents) == (5_800, 43_500)
    assert Crew.objects.get(key="electrician").booked_through == Supplier.objects.get(kind="electrician")
    assert ClimateRecord.objects.get(branch=branch).made_from.startswith("stand-in")
    said_by("open_pool", str(pool))
    # 30 by 15 feet, on the office's own drawing.
    assert Job.objects.get().basin.form["length_m"] == pytest.approx(9.144)

    user = get_user_model().objects.get(username="anna")
    assert user.is_staff
    client.force_login(user)
    for name in ("today", "pools", "crews", "pours", "holds", "changes", "try", "told", "sky", "report"):
        assert client.get(reverse(name)).status_code == 200, name
    assert "Changes" in client.get("/").content.decode()

    said_by("make_plan", "--in-force")
    assert Plan.objects.filter(branch=branch, in_force_at__isnull=False).exists()
    first = Plan.objects.get().assignments.filter(task__key="stake_out").get().start_at
    printed = said_by("day_plan", "--crew", "Dig crew", "--date", f"{first:%Y-%m-%d}")
    assert "Stake" in printed
    assert "stand-in" in printed


def test_the_office_loads_its_own_climate_and_the_stand_in_is_no_longer_told(pool: Path) -> None:
    said_by("open_office", str(OFFICE))
    assert "stand-in" in Branch.objects.get().banner
    said_by("load_climate", str(Path(settings.WEATHER_RECORDS) / "ewr_2013_hourly.csv.gz"))
    assert Branch.objects.get().banner == ""
    assert ClimateRecord.objects.get().made_from == "ewr_2013_hourly.csv.gz"


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (('zone = "America/New_York"', 'zone = "New Jersey"'), "zone: Not a time zone"),
        (('subdivision = "NJ"', 'subdivision = "QQ"'), "no holiday list"),
        (('opens = "07:00"', 'opens = "seven"'), "opens: “seven” is no time of day"),
        (('["layout", "excavation"]', '["layout", "digging"]'), "“digging” is not known; choose one of layout"),
        (('week = "Mon-Fri 07:00-15:30"', 'week = "daily"'), "crew Dig crew: week: “daily” is not read"),
        (("size = 2", "size = -2"), "crew Dig crew: size"),
        (("size = 2", "people = 2"), "crew Dig crew: people: there is no such value"),
        (("= 66", '= "a lot"'), "“a lot” is no number of dollars"),
        (('booked_as = "electrician"', 'booked_as = "sparks"'), "no \\[\\[supplier\\]\\] of the file"),
        (('kind = "brace_set"', 'kind = "braces"'), "gear Brace set: kind: “braces” is not known"),
        (('key = "forms"', 'key = "dig"'), "another one has the same"),
        (('role = "foreman"', 'role = "boss"'), "person ben: role: choose one of owner"),
        (('crew = "forms"', 'crew = "others"'), "person ben: crew"),
        (("[branch]", "[office]"), "is no part of an office"),
        (("[branch]", "[branch"), "cannot be read"),
    ],
)
def test_a_bad_file_names_entry_and_field_and_keeps_nothing(tmp_path: Path, change: tuple[str, str], says: str) -> None:
    file = tmp_path / "office.toml"
    file.write_text(OFFICE.read_text().replace(*change, 1))
    with pytest.raises(CommandError, match=says):
        call_command("open_office", str(file))
    assert not Branch.objects.exists()
    assert not get_user_model().objects.exists()


def test_an_office_is_opened_once() -> None:
    said_by("open_office", str(OFFICE))
    with pytest.raises(CommandError, match="main-yard already"):
        call_command("open_office", str(OFFICE))
    assert Branch.objects.count() == 1
