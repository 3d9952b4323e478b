"""A public warning that asks to move a pour asks for another plan, once, and the plan it brings keeps out of it."""

from dataclasses import replace
from datetime import datetime
from typing import Any

import pytest

from jobs.models import Branch, Site
from planner.forecast.around.alerts import keep_alert
from planner.forecast.domain.outside.alerts import Alert
from planner.forecast.domain.place import Place
from planner.forecast.models import GridPlace, UrlState
from planner.forecast.sources.nws_alerts import alerts_address
from planner.plans.models import Plan, ReplanRequest
from planner.plans.replanning.drain import drain
from planner.watch.services import judge_branch
from tests.planner.plans.replanning.yard import DAY, GREEDY, HOUR, NOW, build_yard, day_of, in_force

pytestmark = pytest.mark.django_db
SERVICE = "http://weather.invalid"
ZONE_CODE = "NJZ106"
TUESDAY = NOW + DAY - 4 * HOUR
FLOOD = Alert(
    message_id="urn:oid:1",
    event_key="flood.1",
    action="",
    event="Flash Flood Warning",
    message_type="Alert",
    status="Actual",
    severity="Severe",
    certainty="Likely",
    urgency="Expected",
    headline="Flash Flood Warning until Wednesday evening",
    instruction="",
    area="",
    sender="Weather office of the test",
    sent_at=NOW,
    starts_at=TUESDAY,
    until_at=TUESDAY + 2 * DAY,
    zones=(ZONE_CODE,),
)


@pytest.fixture
def branch(settings: Any) -> Branch:
    settings.PLANNER_NWS_URL = SERVICE
    branch = build_yard()
    GridPlace.objects.update(zones=[ZONE_CODE])
    for site in Site.objects.filter(branch=branch):
        UrlState.objects.create(
            url=alerts_address(SERVICE, Place(latitude=site.latitude, longitude=site.longitude)),
            expires_at=NOW,
            changed_at=NOW,
            checked_at=NOW,
            status=200,
        )
    assert day_of(in_force(branch)) == 1
    return branch


def asked(branch: Branch) -> list[ReplanRequest]:
    return list(ReplanRequest.objects.filter(branch=branch, reason="official_warning").order_by("pk"))


def judged(branch: Branch, now: datetime) -> None:
    assert not judge_branch(branch=branch, now=now).overtaken


def test_it_asks_once_and_the_plan_it_brings_keeps_out_of_the_warning(branch: Branch) -> None:
    judged(branch, NOW)
    assert asked(branch) == []
    keep_alert(FLOOD, now=NOW)
    judged(branch, NOW + HOUR / 4)
    (row,) = asked(branch)
    assert row.says == (
        "Pour at North, planned Tue 9 Jun 07:00, falls under an official warning: Flash Flood Warning, "
        "until Thu 11 Jun 02:00."
    )
    found = drain(branch=branch, now=NOW + HOUR / 2, parameters=GREEDY)
    assert found is not None
    assert found.outcome == "waits"
    proposal = Plan.objects.get(branch=branch, number=found.number)
    # The warning ends early on Thursday.
    assert day_of(proposal) == 3
    judged(branch, NOW + HOUR)
    assert [row.state for row in asked(branch)] == ["done"]


def test_an_update_of_the_same_warning_asks_no_more_another_warning_does(branch: Branch) -> None:
    keep_alert(FLOOD, now=NOW)
    judged(branch, NOW)
    drain(branch=branch, now=NOW, parameters=GREEDY)
    update = replace(
        FLOOD,
        message_id="urn:oid:2",
        message_type="Update",
        references=("urn:oid:1",),
        sent_at=NOW + HOUR,
        until_at=FLOOD.until_at + 3 * HOUR,
    )
    keep_alert(update, now=NOW + HOUR)
    judged(branch, NOW + HOUR)
    assert len(asked(branch)) == 1
    keep_alert(replace(FLOOD, message_id="urn:oid:3", event_key="flood.2", sent_at=NOW + HOUR), now=NOW + HOUR)
    judged(branch, NOW + 2 * HOUR)
    assert [row.state for row in asked(branch)] == ["done", "open"]


def test_a_watch_that_asks_to_prepare_moves_nothing(branch: Branch) -> None:
    keep_alert(replace(FLOOD, event="Flood Watch"), now=NOW)
    judged(branch, NOW)
    assert asked(branch) == []
    ReplanRequest.objects.create(
        branch=branch, reason="job_changed", says="Looked at.", asked_at=NOW, again_at=NOW, state="open"
    )
    found = drain(branch=branch, now=NOW, parameters=GREEDY)
    assert found is not None
    assert found.outcome == "nothing"
