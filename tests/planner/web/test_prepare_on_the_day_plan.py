"""A start the watch asks to prepare carries its measures and their hours on the sheet of the crew that does it."""

from zoneinfo import ZoneInfo

import pytest
from django.urls import reverse

from jobs.models import Branch
from planner.dayplans.presenters.measures import minutes
from planner.watch.domain.report import Verdict
from planner.watch.domain.watch import watch
from planner.web.loading import load
from tests.planner.web.conftest import SignIn
from tests.planner.web.reading import text

pytestmark = pytest.mark.django_db


def test_measures_of_the_watch_stand_on_the_day_plan(sign_in: SignIn, branch: Branch) -> None:
    loaded = load(branch)
    report = watch(loaded.world, loaded.stays, now=loaded.world.as_of)
    starts = [one for one in report.starts if one.verdict is Verdict.PREPARE and one.measures]
    assert starts
    client = sign_in()
    for start in starts:
        on = start.start_at.astimezone(ZoneInfo(branch.zone)).date()
        words = text(client.get(reverse("crew_day", args=[start.crews[0], on.isoformat()])).content.decode())
        assert "Prepare for the weather before" in words
        for measure in start.measures:
            lasts = minutes(round(measure.hours * 60)) if measure.hours else "no time of its own"
            assert f"{measure.title}, {lasts}" in words
