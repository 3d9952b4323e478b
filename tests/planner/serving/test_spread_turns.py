"""A spread of hand-overs is reckoned in short turns: nothing is shown before it is whole, nothing is lost between."""

from collections.abc import Callable
from datetime import date, timedelta
from typing import Any

import pytest

from jobs.models import Branch, Job, Site, Task
from jobs.services.branches import bump_inputs
from planner.forecast.domain.climate import ObservedHour
from planner.forecast.domain.station import climate_from_hours
from planner.forecast.models import ClimateRecord
from planner.plans.models import HandOverSpread, SpreadUnderWay
from planner.plans.outcomes.spread import WEATHERS, HandOver
from planner.plans.services import make_plan, put_in_force
from planner.plans.spreads import kept_spread, reckon_spread
from planner.serving import rounds
from planner.serving.models import Turn
from tests.planner.plans.replanning.yard import GREEDY, HOUR, NOW, ZONE, build_yard, in_force

pytestmark = pytest.mark.django_db
LEASE, MINUTE = timedelta(minutes=2), timedelta(minutes=1)
EACH = 15


class KilledError(BaseException):
    """Nobody catches it, as nobody catches a kill."""


def after(weathers: int, ends: Callable[[], bool] = lambda: True) -> Callable[[], Callable[[], bool]]:
    """A turn that is over after so many weathers."""

    def begin() -> Callable[[], bool]:
        left = iter(range(weathers - 1))
        return lambda: next(left, None) is None and ends()

    return begin


def killed() -> bool:
    raise KilledError


def wet_year() -> dict[str, Any]:
    """Every fifth day is wet from morning to evening."""
    start_at = NOW.replace(year=2025, month=1, day=1, hour=0)
    hours = (
        ObservedHour(
            start_at=start_at + at * HOUR, air_temp_c=20.0, dew_point_c=10.0, wind_m_s=2.0, gust_m_s=3.0,
            rain_mm=2.0 if at // 24 % 5 == 0 and at % 24 > 10 else 0.0,
        )
        for at in range(365 * 24)
    )  # fmt: skip
    return dict(climate_from_hours(hours, zone=ZONE).to_json())


@pytest.fixture
def branch() -> Branch:
    """The yard with its work as one pool, its pour beyond the forecast."""
    branch = build_yard(pour_in_days=14)
    job = Job.objects.create(
        branch=branch,
        site=Site.objects.get(),
        name="North",
        method="insulated_form_liner",
        promised_on=date(2026, 7, 10),
    )
    Task.objects.update(job=job)
    ClimateRecord.objects.update(table=wet_year())
    return again(branch)


def again(branch: Branch) -> Branch:
    """Another plan in force."""
    branch.refresh_from_db()
    put_in_force(branch=branch, plan=make_plan(branch=branch, as_of=NOW, parameters=GREEDY).plan, now=NOW)
    return Branch.objects.get(pk=branch.pk)


def kept(branch: Branch) -> tuple[HandOver, ...]:
    return kept_spread(plan=in_force(branch))


def test_turns_come_to_what_one_go_comes_to(branch: Branch) -> None:
    assert reckon_spread(branch=branch, now=NOW) == "whole"
    at_once = kept(branch)
    assert len(at_once[0].days) == WEATHERS
    assert len(set(at_once[0].days)) > 1, "the weathers differ"
    assert at_once[0].waits
    HandOverSpread.objects.all().delete()
    for _ in range(WEATHERS // EACH):
        assert reckon_spread(branch=branch, now=NOW + HOUR, turn=after(EACH)) == "more"
        assert kept(branch) == (), "nothing is shown by half"
    assert reckon_spread(branch=branch, now=NOW + HOUR, turn=after(EACH)) == "whole"
    assert kept(branch) == at_once
    assert not SpreadUnderWay.objects.exists()


def test_a_kill_loses_the_turn_it_hits_and_no_other(branch: Branch) -> None:
    reckon_spread(branch=branch, now=NOW)
    at_once = kept(branch)
    HandOverSpread.objects.all().delete()
    reckon_spread(branch=branch, now=NOW, turn=after(EACH))
    with pytest.raises(KilledError):
        reckon_spread(branch=branch, now=NOW, turn=after(3, killed))
    assert kept(branch) == ()
    assert SpreadUnderWay.objects.get().weathers == EACH
    assert reckon_spread(branch=branch, now=NOW + MINUTE, turn=after(WEATHERS)) == "whole"
    assert kept(branch) == at_once


@pytest.mark.parametrize("what", ["inputs", "plan", "sky"])
def test_what_belongs_to_something_else_is_dropped(branch: Branch, what: str) -> None:
    reckon_spread(branch=branch, now=NOW, turn=after(EACH))
    now = NOW + MINUTE
    if what == "inputs":
        bump_inputs(branch_id=branch.pk)
        branch.refresh_from_db()
    elif what == "plan":
        branch = again(branch)
    else:
        now += timedelta(days=1)
    assert reckon_spread(branch=branch, now=now, turn=after(EACH)) == "more"
    begun = SpreadUnderWay.objects.get()
    assert (begun.weathers, begun.as_of, begun.plan) == (EACH, now, in_force(branch))


def test_what_is_left_is_due_again_at_once_and_after_all_else(branch: Branch) -> None:
    taken = rounds.look(now=NOW, running=NOW, passing=NOW, lease=LEASE).turns
    (turn,) = (one for one in taken if one.kind == Turn.Kind.SPREAD)
    rounds.spread_again(turn_id=turn.id, now=NOW, running=NOW, lasts_s=-1.0)
    assert SpreadUnderWay.objects.get().weathers == 1, "one at least"
    Turn.objects.exclude(kind=Turn.Kind.SPREAD).update(next_due_at=NOW)
    taken = rounds.look(now=NOW, running=NOW + MINUTE, passing=NOW, lease=LEASE).turns
    assert len(taken) > 1
    assert [one.kind == Turn.Kind.SPREAD for one in taken].index(True) == len(taken) - 1
    rounds.spread_again(turn_id=turn.id, now=NOW, running=NOW + MINUTE)
    assert len(kept(branch)[0].days) == WEATHERS
    assert Turn.objects.get(pk=turn.id).next_due_at is None
