"""A wet week on a filled demo pool: the watch prints the new salt and what to do about it."""

from datetime import timedelta
from io import StringIO

import pytest
from django.core.management import call_command
from django.test import override_settings

from jobs.models import Branch, Task
from jobs.snapshots import jobs_of
from planner.forecast.skies import pull_for_branch
from planner.watch.services import watch_branch
from tests.planner.web.company import NOW

POOL = "Orchard Row"
# Saturday: the demo's wet spell fell from Tuesday night on, and the forecast has more.
WET = NOW + timedelta(days=5)


@pytest.fixture
def filled(branch: Branch) -> Branch:
    """Everything up to the salt is done at one pool before the wet days, and the newest forecast is pulled."""
    last = Task.objects.get(job__name=POOL, job__branch=branch, key="add_salt")
    done = Task.objects.filter(job__name=POOL, job__branch=branch, position__lte=last.position, finished_at=None)
    salted_at = NOW - timedelta(days=3)
    done.update(started_at=salted_at - timedelta(hours=2), finished_at=salted_at)
    sites = {task.site.id: task.site for job in jobs_of(branch) for task in job.tasks}
    pull_for_branch(branch=branch, sites=tuple(sites.values()), now=WET)
    return branch


def test_the_watch_knows_the_new_salt(filled: Branch) -> None:
    [found] = watch_branch(branch=filled, now=WET).waters
    assert found.job.name == POOL
    assert found.rain_mm > 50
    assert found.unknown_hours < 72
    assert 2700 < found.salt_then_ppm < 3200
    assert found.doses.total_kg > 0


@pytest.mark.usefixtures("filled")
def test_the_command_prints_what_to_do() -> None:
    out = StringIO()
    with override_settings(PLANNER_AS_OF=WET):
        call_command("watch", stdout=out)
    said = " ".join(out.getvalue().split())
    assert f"AFTER THE RAIN: {POOL}" in said
    assert "of rain on the water since" in said
    assert "pounds of salt bring it back to 3200 ppm" in said
    assert "Alkalinity, calcium and stabiliser lose the same" in said
