"""What is out of a kind of gear, against counting it position by position; and two holds begun by one task."""

import logging
from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.solver.candidates import find_candidates
from planner.solver.check import check
from planner.solver.laying.counted import Counted
from planner.solver.laying.greedy import Greedy
from planner.solver.laying.ground import Ground
from planner.solver.parameters import GreedyOnly
from planner.solver.problem import Gear, GearHold, Problem
from planner.solver.solve import solve
from tests.planner.solver import small
from tests.planner.solver.tiny_problems import tiny_problem

HOLDS = st.lists(st.tuples(st.integers(0, 2**12 - 1), st.integers(0, 4)), max_size=8)


def positions(mask: int) -> set[int]:
    return {at for at in range(mask.bit_length()) if mask >> at & 1}


@given(holds=HOLDS, given_back=st.integers(0, 8))
def test_every_amount_is_out_where_counting_says_so(holds: list[tuple[int, int]], given_back: int) -> None:
    out = Counted()
    for mask, amount in holds:
        out.take(mask, amount)
    for mask, amount in holds[:given_back]:
        out.give_back(mask, amount)
    counts: Counter[int] = Counter()
    for mask, amount in holds[given_back:]:
        counts.update(dict.fromkeys(positions(mask), amount))
    for amount in range(1, 40):
        assert positions(out.at_least(amount)) == {at for at, count in counts.items() if count >= amount}


def two_at_once(count: int) -> Problem:
    tasks = (small.work("lift", 120, "a"), small.work("rest", 120, "b"), small.work("other", 240, "b"))
    holds = (
        GearHold(gear="set", from_task="lift", until_task="lift"),
        GearHold(gear="set", from_task="lift", until_task="rest"),
        GearHold(gear="set", from_task="other", until_task="other"),
    )
    return small.problem(3, tasks, crews=2, gear=(Gear(key="set", name="Set", count=count),), holds_of_gear=holds)


@pytest.mark.parametrize("count", [2, 3])
def test_no_draft_takes_out_more_than_there_is_where_one_task_begins_two_holds(count: int) -> None:
    problem = two_at_once(count)
    drafts = list(Greedy(Ground(problem=problem, candidates=find_candidates(problem))).drafts())
    assert any(draft.is_whole for draft in drafts)
    assert [check(problem, draft.assignments) for draft in drafts if draft.is_whole] == [
        () for draft in drafts if draft.is_whole
    ]


def test_a_tiny_problem_that_once_gave_a_wrong_plan_gives_none(caplog: pytest.LogCaptureFixture) -> None:
    with caplog.at_level(logging.ERROR):
        solve(tiny_problem(529), GreedyOnly())
    assert caplog.records == []
