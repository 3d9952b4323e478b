"""An L and a free form have their section, quantities and levels on the pages; the admin shows what is stored."""

from datetime import date
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.test import Client

from jobs.domain.shapes.entry import basin_of_entry
from jobs.models import Branch, Job
from jobs.services.branches import add_site
from jobs.services.opening import open_job
from jobs.snapshots import job_facts
from planner.web.presenters.pools.shape import built_of
from tests.jobs.domain.shapes.entries import FREE_FORM, L_SHAPE
from tests.planner.web.company import NOW
from tests.planner.web.conftest import SignIn
from tests.planner.web.reading import page_of

pytestmark = pytest.mark.django_db
DESIGN: dict[str, Any] = {
    "deck_width_m": 1.2,
    "fence_m": 45,
    "pipe_m": 60,
    "floor_pipe_m": 14,
    "floor_steel_kg": 300,
    "bond_points_each": 6,
    "deck_joint_m": 26,
    "equipment_each": 4,
}


def opened(branch: Branch, entry: dict[str, Any], method: str = "insulated_form_liner") -> Job:
    site = add_site(
        branch=branch, name="Wren Court", address="4", latitude=40.6, longitude=-74.4, zone=branch.zone, soil="loam"
    )
    return open_job(
        branch=branch,
        site=site,
        name="Wren Court",
        method=method,
        basin=basin_of_entry(entry),
        design=DESIGN,
        promised_on=date(2026, 9, 30),
        as_of=NOW,
    )


@pytest.mark.parametrize("entry", [L_SHAPE, FREE_FORM], ids=["l_shape", "free_form"])
@pytest.mark.parametrize("method", ["insulated_form_liner", "sprayed_shell"])
def test_its_page_draws_it_and_states_its_quantities(
    sign_in: SignIn, branch: Branch, entry: dict[str, Any], method: str
) -> None:
    job = opened(branch, entry, method)
    client = sign_in()
    page = page_of(client.get(f"/pools/{job.pk}/"))
    assert page.section is not None
    assert len(page.fittings) == 5
    basin = basin_of_entry(entry)
    gallons = f"{basin.water_volume_m3 * 264.172052:,.0f} gallons"
    assert ("Water", gallons) in [(one.label, one.words) for one in page.amounts]
    assert client.get("/pools/").status_code == 200


def test_the_admin_shows_the_stored_shape(sign_in: SignIn, branch: Branch) -> None:
    job = opened(branch, L_SHAPE)
    client = Client()
    client.force_login(User.objects.create_superuser("chief"))
    shown = client.get(f"/admin/jobs/job/{job.pk}/change/").content.decode()
    assert "rectangles joined" in shown
    assert "deep_depth_m" in shown


def test_a_plastered_pool_that_was_filled_stands_at_its_design_level(branch: Branch) -> None:
    """Its one stretch of filling ends there and at no fitting on the way."""
    job = opened(branch, L_SHAPE, "insulated_form_plaster")
    job.tasks.filter(key="fill_all").update(started_at=NOW, finished_at=NOW)
    facts = job_facts(Job.objects.get(pk=job.pk))
    assert facts.pool is not None
    assert built_of(facts, facts.pool).water_level_m == pytest.approx(1.8)
