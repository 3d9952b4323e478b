"""The demo can be played on any day: in winter, when clocks change, on the eve of a holiday."""

from datetime import UTC, date, datetime, time
from zoneinfo import ZoneInfo

import pytest

from jobs.snapshots import jobs_of
from planner.demo.company import ZONE, make_company
from planner.forecast.skies import pull_for_branch
from planner.plans.services import judged_again, make_plan, put_in_force, stays_of
from planner.solver.parameters import GreedyOnly


@pytest.mark.parametrize(
    "on",
    [
        pytest.param(date(2026, 1, 15), id="midwinter"),
        pytest.param(date(2026, 3, 6), id="before the clocks go forward"),
        pytest.param(date(2026, 10, 30), id="before the clocks go back"),
        pytest.param(date(2026, 7, 2), id="eve of a holiday"),
    ],
)
@pytest.mark.django_db
def test_the_demo_plans_on(on: date) -> None:
    as_of = datetime.combine(on, time(6), tzinfo=ZoneInfo(ZONE)).astimezone(UTC)
    branch = make_company(as_of=as_of)
    sites = {task.site.id: task.site for job in jobs_of(branch) for task in job.tasks}
    pull_for_branch(branch=branch, sites=tuple(sites.values()), now=as_of)
    made = make_plan(branch=branch, as_of=as_of, parameters=GreedyOnly())
    put_in_force(branch=branch, plan=made.plan, now=as_of)
    assert judged_again(branch=branch, plan=made.plan, stays=stays_of(made.plan)) == ()
