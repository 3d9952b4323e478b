"""One plan answers all that asked: nothing, a proposal that waits, a plan in force, or the reason there is none."""

from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from celery.exceptions import SoftTimeLimitExceeded
from django.db import connection

from crews.models import Crew, CrewDay
from jobs.models import Branch
from jobs.services.branches import bump_inputs
from planner.dayplans.models import DayLink, DayTold
from planner.plans.models import BranchReplanning, Plan, ReplanRequest
from planner.plans.replanning.claims import claim
from planner.plans.replanning.drain import MOST_TRIES, Drained, drain
from planner.plans.replanning.forecast import note_forecast
from planner.plans.replanning.requests import ask, list_causes, list_open, list_waiting
from planner.plans.services import make_plan
from planner.solver.apart.solving import solve_apart
from planner.solver.parameters import Repeatable
from planner.solver.result import Result
from tests.planner.plans.replanning.yard import (
    DAY,
    GREEDY,
    HOUR,
    NOW,
    build_yard,
    day_of,
    draw_sky,
    in_force,
    rain_on,
)

pytestmark = pytest.mark.django_db
# The second Monday after, beyond what anybody is told.
FAR = 14


def drained(branch: Branch) -> Drained:
    found = drain(branch=branch, now=NOW, parameters=GREEDY)
    assert found is not None
    return found


def absent(branch: Branch, day: int, crew: str = "forms") -> None:
    """A crew has a day off from now on, and asks for another plan."""
    row = Crew.objects.get(branch=branch, key=crew)
    CrewDay.objects.create(crew=row, on=(NOW + day * DAY).date(), off=True)
    bump_inputs(branch_id=branch.pk)
    ask(branch=branch, reason="crew_absent", subject=f"crew:{crew}", says="Nobody comes.", now=NOW)


def test_nothing_is_open_nothing_is_done() -> None:
    assert drain(branch=build_yard(), now=NOW, parameters=GREEDY) is None


def test_a_search_that_is_ended_leaves_the_branch_free_and_what_asked_open() -> None:
    branch = build_yard()
    draw_sky(NOW, rain_chance=rain_on(1, 2, chance=0.9))
    assert note_forecast(branch=branch, now=NOW) == 1

    def ended(*_: Any, **__: Any) -> Result:
        raise SoftTimeLimitExceeded

    little = Repeatable(deterministic_seconds=0.1)
    with pytest.raises(SoftTimeLimitExceeded):
        drain(branch=branch, now=NOW, parameters=little, search=ended)
    assert Plan.objects.filter(branch=branch).count() == 1
    assert list_waiting(NOW) == (branch.pk,)
    found = drain(branch=branch, now=NOW, parameters=little, search=solve_apart)
    assert found is not None
    assert found.outcome == "waits"
    assert day_of(Plan.objects.get(branch=branch, number=found.number)) == 3


def test_where_nothing_moves_the_requests_are_closed_and_no_plan_is_kept() -> None:
    branch = build_yard()
    ask(branch=branch, reason="job_changed", subject="", says="Looked at.", now=NOW)
    assert drained(branch).outcome == "nothing"
    assert Plan.objects.filter(branch=branch).count() == 1
    row = ReplanRequest.objects.get(branch=branch)
    assert (row.state, row.outcome, row.closed_at) == ("done", 0, NOW)
    assert "stays where it is" in row.answer
    assert drain(branch=branch, now=NOW, parameters=GREEDY) is None


def test_rain_on_tomorrows_pour_ends_in_a_proposal_that_waits_with_its_cause() -> None:
    branch = build_yard()
    assert day_of(in_force(branch)) == 1
    draw_sky(NOW, rain_chance=rain_on(1, 2, chance=0.9))
    assert note_forecast(branch=branch, now=NOW) == 1
    found = drained(branch)
    assert (found.outcome, found.requests) == ("waits", 1)
    proposal = Plan.objects.get(branch=branch, number=found.number)
    assert proposal.state == Plan.State.PROPOSED
    # It rains on Tuesday and Wednesday, and a slab wants twelve hours without rain before it, or costs more.
    assert day_of(proposal) == 3
    (cause,) = list_causes(plan=proposal)
    assert cause.reason == "forecast_breaks"
    assert "the forecast forbids it" in cause.says
    assert "told" in found.says
    assert in_force(branch).number == 1


def test_what_touches_nobody_takes_itself() -> None:
    branch = build_yard(pour_in_days=FAR)
    assert day_of(in_force(branch)) == FAR
    absent(branch, FAR)
    found = drained(branch)
    assert found.outcome == "in_force"
    branch.refresh_from_db()
    assert branch.plan_number == found.number
    assert day_of(in_force(branch)) == FAR + 1


@pytest.mark.parametrize(
    "why", ["switched off", "a day plan given out", "a day plan sent", "asked by hand", "too near"]
)
def test_and_waits_for_the_office_where(why: str) -> None:
    branch = build_yard(pour_in_days=FAR)
    day = FAR
    if why == "switched off":
        BranchReplanning.objects.create(branch=branch, takes_itself=False)
    if why == "a day plan given out":
        on = (NOW + FAR * DAY).date()
        crew = Crew.objects.get(branch=branch, key="forms")
        DayLink.objects.create(branch=branch, crew=crew, first_on=on, last_on=on, made_at=NOW)
    if why == "a day plan sent":
        crew = Crew.objects.get(branch=branch, key="forms")
        DayTold.objects.create(
            crew=crew, on=(NOW + FAR * DAY).date(), count=0, plan_number=1, lines=[], fact="day", told_at=NOW
        )
    if why == "asked by hand":
        ask(branch=branch, reason="by_hand", subject="", says="Somebody asked for a plan.", now=NOW)
    if why == "too near":
        day = 0
    absent(branch, day)
    found = drained(branch)
    assert found.outcome == "waits"
    assert in_force(branch).number == 1


def test_no_plan_possible_closes_the_requests_with_the_sentence() -> None:
    branch = build_yard()
    Crew.objects.filter(branch=branch, key="fence").update(active=False)
    ask(branch=branch, reason="crew_absent", subject="crew:fence", says="The fence crew has left.", now=NOW)
    assert drained(branch).outcome == "refused"
    row = ReplanRequest.objects.get(branch=branch)
    assert row.state == "refused"
    assert "no crew is listed that could do it" in row.answer


def test_a_newer_proposal_drops_the_one_that_waited_and_says_why() -> None:
    branch = build_yard()
    draw_sky(NOW, rain_chance=rain_on(1, 2, chance=0.9))
    note_forecast(branch=branch, now=NOW)
    first = drained(branch).number
    absent(branch, 3)
    second = drained(branch).number
    old, new = (Plan.objects.get(branch=branch, number=number) for number in (first, second))
    assert (old.state, new.state) == (Plan.State.DROPPED, Plan.State.PROPOSED)
    assert f"Plan {second} was proposed since" in old.dropped_because
    assert (day_of(old), day_of(new)) == (3, 4)


def test_rain_that_has_gone_drops_the_proposal_it_asked_for() -> None:
    branch = build_yard()
    draw_sky(NOW, rain_chance=rain_on(1, 2, chance=0.9))
    note_forecast(branch=branch, now=NOW)
    number = drained(branch).number
    draw_sky(NOW + timedelta(minutes=5))
    later = NOW + timedelta(minutes=20)
    assert note_forecast(branch=branch, now=later) == 0
    draw_sky(NOW + timedelta(minutes=15), sky_cover=0.1)
    assert note_forecast(branch=branch, now=later) == 1
    assert "is back to" in list_open(branch=branch)[0].says
    found = drain(branch=branch, now=later, parameters=GREEDY)
    assert found is not None
    assert found.outcome == "nothing"
    dropped = Plan.objects.get(branch=branch, number=number)
    assert dropped.state == Plan.State.DROPPED
    assert "not worth moving any more" in dropped.dropped_because


def test_a_killed_workers_requests_go_to_the_next_one_when_its_claim_has_run_out() -> None:
    branch = build_yard()
    ask(branch=branch, reason="job_changed", subject="", says="Looked at.", now=NOW)
    claim(branch=branch, lease=timedelta(minutes=5))
    ReplanRequest.objects.update(state="taken", tries=1)
    assert drain(branch=branch, now=NOW, parameters=GREEDY) is None
    BranchReplanning.objects.update(claimed_until=NOW.replace(year=2001))
    assert drained(branch).requests == 1
    assert list_waiting(NOW) == ()


def test_one_that_broke_off_planning_again_and_again_is_closed_with_a_word() -> None:
    branch = build_yard()
    ask(branch=branch, reason="job_changed", subject="", says="Looked at.", now=NOW)
    ReplanRequest.objects.update(state="taken", tries=MOST_TRIES)
    assert drain(branch=branch, now=NOW, parameters=GREEDY) is None
    row = ReplanRequest.objects.get(branch=branch)
    assert (row.state, row.answer) == ("refused", f"Planning broke off {MOST_TRIES} times.")


def once(sight: str, act: Callable[[], Any]) -> Any:
    """Do something the first time the database is asked about ``sight``: it happens while the planner works."""
    left = [act]

    def wrapper(execute: Any, sql: str, params: Any, many: bool, context: Any) -> Any:
        if left and sight in sql:
            left.pop()()
        return execute(sql, params, many, context)

    return connection.execute_wrapper(wrapper)


def test_inputs_that_move_while_it_plans_are_planned_again() -> None:
    branch = build_yard(pour_in_days=FAR)
    absent(branch, FAR)
    with once("forecast_forecastrun", lambda: bump_inputs(branch_id=branch.pk)):
        found = drained(branch)
    assert (found.outcome, found.number) == ("again", 0)
    assert Plan.objects.filter(branch=branch).count() == 1
    assert list_waiting(NOW) == (branch.pk,)
    assert drained(branch).outcome == "in_force"


def test_a_worker_that_lost_its_claim_stores_nothing() -> None:
    branch = build_yard(pour_in_days=FAR)
    absent(branch, FAR)

    def another_takes_over() -> None:
        BranchReplanning.objects.update(claim="another", claimed_until=NOW.replace(year=2001))

    with once("forecast_forecastrun", another_takes_over):
        assert drained(branch).outcome == "again"
    assert Plan.objects.filter(branch=branch).count() == 1
    assert [row.state for row in list_open(branch=branch)] == ["taken"]
    assert BranchReplanning.objects.get(branch=branch).claim == "another"


def test_a_fact_after_the_plan_was_made_stops_it_from_taking_itself() -> None:
    branch = build_yard(pour_in_days=FAR)
    absent(branch, FAR)
    with once('INSERT INTO "plans_plan"', lambda: bump_inputs(branch_id=branch.pk)):
        assert drained(branch).outcome == "again"
    assert Plan.objects.filter(branch=branch).count() == 1
    assert in_force(branch).number == 1


def test_a_proposal_somebody_asked_for_is_shown_whatever_it_saves() -> None:
    branch = build_yard()
    made = make_plan(branch=branch, as_of=NOW, parameters=GREEDY)
    ask(branch=branch, reason="job_changed", subject="", says="Looked at.", now=NOW + HOUR)
    assert drained(branch).outcome == "nothing"
    made.plan.refresh_from_db()
    assert made.plan.state == Plan.State.PROPOSED
