"""What is kept 90 days, what for ever, and what a plan holds on to."""

from dataclasses import replace
from datetime import timedelta

import pytest

from jobs.models import Branch
from planner.forecast.around.alerts import keep_alert
from planner.forecast.around.observations import keep_day
from planner.forecast.domain.outside.observed import hours_of
from planner.forecast.models import ForecastRun, HostPause, OfficialAlert, StationDay, UrlState
from planner.forecast.retention import KEPT_FOR, Pruned, prune
from planner.forecast.services import store_run
from planner.forecast.sources.conditional import Known
from planner.forecast.sources.nws_alerts import read_alerts
from planner.forecast.url_memory import DatabaseMemory
from planner.plans.models import Plan
from tests.planner.forecast.weather import MONDAY, SITE, ZONE, replay
from tests.planner.forecast.written import HOUR, alert_feature, alerts_reply

LATER = MONDAY + KEPT_FOR


def store(hours: float) -> ForecastRun:
    at = MONDAY + hours * HOUR
    run, created = store_run(replay().fetch(SITE, at))
    assert created
    return run


def known(url: str, hours: float) -> Known:
    at = MONDAY + hours * HOUR
    return Known(url=url, checked_at=at, changed_at=at, expires_at=at)


@pytest.mark.django_db
def test_runs_go_after_ninety_days_but_the_newest_of_each_cell_stays() -> None:
    first, second, newest = store(0), store(7), store(14)
    DatabaseMemory().keep(known("first", 0), first.pk)
    DatabaseMemory().keep(known("newest", 14), newest.pk)
    assert prune(now=LATER).runs == 0, "90 days to the second are still kept"
    assert prune(now=LATER + HOUR).runs == 1
    assert not ForecastRun.objects.filter(pk=first.pk).exists()
    assert [state.url for state in UrlState.objects.all()] == ["newest"]
    assert prune(now=LATER + timedelta(days=900)).runs == 1
    assert ForecastRun.objects.get().pk == newest.pk != second.pk


@pytest.mark.django_db
def test_a_run_that_a_plan_read_stays_with_the_plan() -> None:
    used, unused, _ = store(0), store(7), store(14)
    branch = Branch.objects.create(
        name="A",
        slug="a",
        company="B",
        zone=ZONE,
        opens="07:00",
        closes="15:00",
        yard_latitude=40.7,
        yard_longitude=-74.2,
    )
    plan = Plan.objects.create(
        branch=branch, number=1, made_at=MONDAY, as_of=MONDAY, input_revision=1, making={}, cost={}, document={}
    )
    plan.runs.set([used])
    prune(now=LATER + timedelta(days=900))
    assert ForecastRun.objects.filter(pk=used.pk).exists()
    assert not ForecastRun.objects.filter(pk=unused.pk).exists()
    plan.delete()
    assert prune(now=LATER + timedelta(days=900)).runs == 1


@pytest.mark.django_db
def test_a_run_still_confirmed_is_young() -> None:
    run = store(0)
    store(7)
    store_run(replace(replay().fetch(SITE, MONDAY), fetched_at=MONDAY + timedelta(days=5)))
    assert prune(now=LATER + timedelta(days=4)).runs == 0
    assert ForecastRun.objects.filter(pk=run.pk).exists()


@pytest.mark.django_db
def test_warnings_days_and_addresses_go_with_their_own_age() -> None:
    for alert in read_alerts(alerts_reply(alert_feature("a", sent_at=MONDAY, hours=24 * 10))).alerts:
        keep_alert(alert, now=MONDAY)
    midnight = MONDAY.replace(hour=0)
    for days in (0, 1):
        start_at = midnight + timedelta(days=days)
        keep_day(hours_of((), source="x", start_at=start_at, hours=24, fetched_at=MONDAY), station="KEWR")
    memory = DatabaseMemory()
    memory.keep(known("u", 0))
    memory.pause("h", MONDAY, reason="x")
    assert prune(now=LATER + timedelta(hours=14)) == Pruned(runs=0, alerts=0, station_days=1, addresses=2)
    assert prune(now=LATER + timedelta(days=11)) == Pruned(runs=0, alerts=1, station_days=1, addresses=0)
    kept = (OfficialAlert, StationDay, UrlState, HostPause)
    assert [model.objects.count() for model in kept] == [0, 0, 0, 0]
