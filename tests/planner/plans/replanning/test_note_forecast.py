"""A new forecast asks for another plan where it breaks or clearly improves a start, and only then."""

from datetime import timedelta

import pytest

from jobs.models import Branch
from planner.plans.models import StartMemory
from planner.plans.replanning.drain import drain
from planner.plans.replanning.forecast import note_forecast
from planner.plans.replanning.requests import list_open
from planner.plans.selectors import newest_proposal
from planner.plans.services import make_plan, put_in_force
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
    task,
)

pytestmark = pytest.mark.django_db
MINUTE = timedelta(minutes=1)


@pytest.fixture
def branch() -> Branch:
    """The pour is on Friday, four days ahead."""
    branch = build_yard(pour_in_days=4)
    assert day_of(in_force(branch)) == 4
    return branch


def note(branch: Branch, minutes: int, *days: int, chance: float = 0.0) -> list[str]:
    """A new run some minutes after the yard was built; the reasons it asks for."""
    draw_sky(NOW + (minutes - 1) * MINUTE, rain_chance=rain_on(*days, chance=chance), sky_cover=minutes / 100)
    before = {row.pk: row.again_at for row in list_open(branch=branch)}
    note_forecast(branch=branch, now=NOW + minutes * MINUTE)
    return [row.reason for row in list_open(branch=branch) if before.get(row.pk) != row.again_at]


def test_a_branch_without_a_plan_is_not_judged(branch: Branch) -> None:
    branch.plans.all().delete()
    assert note_forecast(branch=branch, now=NOW) == 0


def test_the_same_sky_asks_for_nothing_and_is_remembered(branch: Branch) -> None:
    assert note(branch, 2) == []
    row = StartMemory.objects.get(plan=in_force(branch), task=task(branch))
    # Beyond three days a calm forecast leaves the little chance of its own error.
    assert row.chance < 0.001
    assert row.worse_runs == 0


def test_forbidding_rain_four_days_ahead_counts_once_it_lasts(branch: Branch) -> None:
    # Beyond the noise of that lead, and not so far that one run is enough.
    assert note(branch, 2, 4, chance=0.25) == []
    assert note(branch, 4, 4, chance=0.25) == ["forecast_breaks"]
    (row,) = list_open(branch=branch)
    assert row.subject == f"task:{task(branch).pk}"
    assert "Pour at North, planned Fri 12 Jun 07:00" in row.says
    assert "it was 0% when it was last looked at" in row.says


def test_one_run_weighed_twice_counts_once(branch: Branch) -> None:
    assert note(branch, 2, 4, chance=0.25) == []
    assert note_forecast(branch=branch, now=NOW + 3 * MINUTE) == 0
    assert list_open(branch=branch) == []


def test_a_certain_washout_counts_at_once(branch: Branch) -> None:
    assert note(branch, 2, 4, chance=1.0) == ["forecast_breaks"]
    (row,) = list_open(branch=branch)
    assert "the forecast forbids it" in row.says


def test_rain_on_other_days_asks_for_nothing(branch: Branch) -> None:
    assert note(branch, 2, 0, 1, chance=1.0) == []


def test_a_stale_forecast_asks_for_nothing(branch: Branch) -> None:
    draw_sky(NOW, rain_chance=rain_on(4, chance=1.0))
    assert note_forecast(branch=branch, now=NOW + timedelta(hours=19)) == 0
    assert note_forecast(branch=branch, now=NOW + timedelta(hours=9)) == 1


def test_an_earlier_day_that_has_dried_up_asks_once(branch: Branch) -> None:
    # Rain has pushed the pour of Wednesday to Friday: then the rain goes.
    work = task(branch)
    work.earliest_at = NOW + 2 * DAY
    work.save()
    draw_sky(NOW + MINUTE, rain_chance=rain_on(2, 3, chance=0.9))
    made = make_plan(branch=branch, as_of=NOW + 2 * MINUTE, parameters=GREEDY)
    branch.refresh_from_db()
    assert day_of(made.plan) == 4
    put_in_force(branch=branch, plan=made.plan, now=NOW + 2 * MINUTE)
    # Friday turns doubtful, by less than counts as broken: a few hundred dollars, Wednesday nothing.
    assert note(branch, 5, 4, chance=0.07) == []
    assert note(branch, 7, 4, chance=0.07) == ["forecast_improves"]
    (row,) = list_open(branch=branch)
    assert "Wed 10 Jun has come open and would save about $" in row.says
    assert note(branch, 9, 4, chance=0.07) == []


def test_a_proposal_the_sky_has_overtaken_is_asked_about(branch: Branch) -> None:
    assert note(branch, 2, 4, chance=1.0) == ["forecast_breaks"]
    found = drain(branch=branch, now=NOW + 3 * MINUTE, parameters=GREEDY)
    assert found is not None
    assert found.outcome == "waits"
    proposal = newest_proposal(branch=branch)
    assert proposal is not None
    day = day_of(proposal)
    assert day > 4
    assert note(branch, 5, 4, day, chance=1.0) == ["overtaken"]
    (row,) = list_open(branch=branch)
    assert row.says.startswith(f"A newer forecast has overtaken proposal {proposal.number}.")
    assert drain(branch=branch, now=NOW + HOUR, parameters=GREEDY) is not None
    newer = newest_proposal(branch=branch)
    assert newer is not None
    assert newer.number != proposal.number
    assert day_of(newer) not in (4, day)
