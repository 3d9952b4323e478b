"""The water of a pool on its page: doses for its real volume, what a test should read, what a wet week did."""

from datetime import timedelta
from uuid import uuid4
from zoneinfo import ZoneInfo

import pytest

from jobs.models import Branch, Job, Task
from jobs.snapshots import jobs_of, pool_of
from planner.forecast.skies import pull_for_branch
from tests.planner.web.company import NOW
from tests.planner.web.conftest import SignIn
from tests.planner.web.reading import text

pytestmark = pytest.mark.django_db
POOL = "Orchard Row"
WET = NOW + timedelta(days=5)


def test_doses_are_for_the_real_volume(sign_in: SignIn, branch: Branch) -> None:
    """Salt by the trade's factor: 8.345e-6 lb a gallon and ppm (published), in bags of 40 lb."""
    job = Job.objects.get(branch=branch, name=POOL)
    design = pool_of(job)
    assert design is not None
    gallons = design.basin.water_volume_m3 * 264.172052
    pounds = gallons * 3200 * 8.345e-6
    water = sign_in().get(f"/pools/{job.pk}/").context["water"]
    assert water.volume == f"{gallons:,.0f} gallons"
    salt = next(row for row in water.doses if row.product == "Salt")
    assert float(salt.dose.split(" ")[0].replace(",", "")) == pytest.approx(pounds, rel=2e-3)
    assert float(salt.dose.split(", ")[-1].split(" ")[0]) == pytest.approx(pounds / 40, abs=0.06)
    # 1.4 lb of bicarbonate for 10 ppm in 10,000 gallons (published dose).
    soda = next(row for row in water.doses if row.product == "Sodium bicarbonate")
    assert float(soda.dose.split(" ")[0]) == pytest.approx(1.4 * gallons / 10_000, abs=0.1)
    assert water.after_rain == ()
    assert any("Never mix" in caution for caution in water.cautions)
    assert any("test again" in caution for caution in water.cautions)


def test_a_liner_is_salted_after_a_day_and_plaster_after_a_month(sign_in: SignIn, branch: Branch) -> None:
    job = Job.objects.get(branch=branch, name=POOL)
    client = sign_in()

    def salted() -> str:
        doses = client.get(f"/pools/{job.pk}/").context["water"].doses
        return next(row.when for row in doses if row.product == "Salt")

    assert salted() == "after a day of running"
    Job.objects.filter(pk=job.pk).update(method="insulated_form_plaster")
    assert salted() == "day 28 to 30, never before"


def test_a_wet_week_is_told_with_what_to_do(sign_in: SignIn, branch: Branch, settings: object) -> None:
    """As the watch tells it: the pool was salted three days before the demo's wet days."""
    last = Task.objects.get(job__name=POOL, job__branch=branch, key="add_salt")
    salted_at = NOW - timedelta(days=3)
    Task.objects.filter(job__name=POOL, position__lte=last.position, finished_at=None).update(
        started_at=salted_at - timedelta(hours=2), finished_at=salted_at
    )
    sites = {task.site.id: task.site for job in jobs_of(branch) for task in job.tasks}
    pull_for_branch(branch=branch, sites=tuple(sites.values()), now=WET)
    settings.PLANNER_AS_OF = WET  # type: ignore[attr-defined]
    shown = text(sign_in().get(f"/pools/{last.job_id}/").content.decode())
    assert "After the rain" in shown
    assert "pounds of salt bring it back to 3200 ppm" in shown


def test_a_refill_is_said_on_the_report_page_and_told_on_the_pool_s(sign_in: SignIn, branch: Branch) -> None:
    """Let down to 3 ft 6 in of water after the salting; the page says how much of the water is fresh."""
    last = Task.objects.get(job__name=POOL, job__branch=branch, key="add_salt")
    salted_at = NOW - timedelta(days=1)
    Task.objects.filter(job__name=POOL, position__lte=last.position, finished_at=None).update(
        started_at=salted_at - timedelta(hours=2), finished_at=salted_at
    )
    client, url = sign_in(), f"/report/{last.pk}/"
    local = NOW.astimezone(ZoneInfo(branch.zone))
    when = f"{local - timedelta(hours=3):%Y-%m-%dT%H:%M}"
    form = {"sent_id": str(uuid4()), "said_by": "L. Orme", "happened_at": when}
    assert client.post(url, {"form": "refilled", "feet": "", "inches": "6", **form}).status_code == 409
    assert client.post(url, {"form": "refilled", "feet": "3", "inches": "6", **form}).status_code == 302
    shown = text(client.get(f"/pools/{last.job_id}/").content.decode())
    assert "After the refill" in shown
    assert "from 3.5 feet of water" in shown
    assert "of it is fresh and brought no salt" in shown
    assert "Cell off" in shown
    tested = {**form, "form": "salt", "sent_id": str(uuid4()), "ppm": "3250"}
    tested["happened_at"] = f"{local - timedelta(hours=2):%Y-%m-%dT%H:%M}"
    assert client.post(url, tested).status_code == 302
    assert "After the refill" not in text(client.get(f"/pools/{last.job_id}/").content.decode())


def test_before_the_salting_nobody_asks_for_the_salt(sign_in: SignIn, branch: Branch) -> None:
    task = Task.objects.get(job__name=POOL, job__branch=branch, key="add_salt")
    shown = sign_in().get(f"/report/{task.pk}/").content.decode()
    assert "Salt test" not in shown


def test_no_design_no_water(sign_in: SignIn, branch: Branch) -> None:
    job = Job.objects.get(branch=branch, name=POOL)
    job.basin.delete()
    assert sign_in().get(f"/pools/{job.pk}/").context["water"] is None
