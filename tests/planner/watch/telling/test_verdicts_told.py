"""A change of verdict is told once; one that flips away and back tells nobody twice."""

from collections.abc import Iterable, Sequence
from datetime import UTC, datetime, timedelta
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.watch.domain.report import Verdict
from planner.watch.domain.telling.facts import STOOD_FOR, Fact, Stands, Told, answer_by, verdict_facts
from planner.watch.domain.verdict import SEVERITY

START_AT = datetime(2026, 6, 12, 11, tzinfo=UTC)
BEGIN = START_AT - timedelta(hours=72)
KNOWN = (Verdict.NO_LIMIT, Verdict.PREPARE, Verdict.MOVE)
STEPS = st.lists(
    st.tuples(st.sampled_from(list(Verdict)), st.integers(min_value=1, max_value=240)), min_size=1, max_size=40
)


def run(steps: Iterable[tuple[Verdict, int]], *, twice: bool = False) -> list[tuple[datetime, Fact]]:
    """Judge a start again and again, so many minutes apart, and keep what is told."""
    now, since, before, told, found = BEGIN, BEGIN, None, [], []
    for verdict, minutes in steps:
        now += timedelta(minutes=minutes)
        if now >= START_AT:
            break
        since, before = (since if verdict is before else now), verdict
        stands = Stands(task=4, start_at=START_AT, verdict=verdict, since_at=since)
        for _ in range(2 if twice else 1):
            for fact in verdict_facts([stands], told, now):
                found.append((now, fact))
                told.append(as_told(fact, now))
    return found


def as_told(fact: Fact, at: datetime) -> Told:
    return Told(key=fact.key, kind="verdict", told_at=at, task=fact.task, start_at=fact.start_at, verdict=fact.verdict)


def said(steps: Sequence[tuple[Verdict, int]]) -> list[Verdict | None]:
    return [fact.verdict for _, fact in run(steps)]


def test_worse_is_told_at_once_and_each_step_of_it_once() -> None:
    steps = [(Verdict.NO_LIMIT, 60), (Verdict.PREPARE, 60), (Verdict.PREPARE, 60), (Verdict.MOVE, 60)]
    assert said(steps) == [Verdict.PREPARE, Verdict.MOVE]


def test_a_calm_start_is_told_to_nobody() -> None:
    assert said([(Verdict.NO_LIMIT, 60)] * 30) == []


def test_away_and_back_within_six_hours_is_told_once() -> None:
    flips = [(Verdict.MOVE, 60), (Verdict.NO_LIMIT, 60), (Verdict.MOVE, 60), (Verdict.PREPARE, 60), (Verdict.MOVE, 60)]
    assert said(flips) == [Verdict.MOVE]


def test_better_is_told_once_it_has_stood() -> None:
    steps = [(Verdict.MOVE, 60), *[(Verdict.NO_LIMIT, 60)] * 8]
    told = run(steps)
    assert [fact.verdict for _, fact in told] == [Verdict.MOVE, Verdict.NO_LIMIT]
    assert told[1][0] - told[0][0] == STOOD_FOR + timedelta(hours=1)
    assert told[1][1].before is Verdict.MOVE


def test_after_it_was_called_better_worse_is_news_again() -> None:
    steps = [(Verdict.MOVE, 60), *[(Verdict.NO_LIMIT, 60)] * 8, (Verdict.MOVE, 60)]
    keys = [fact.key for _, fact in run(steps)]
    assert keys == [
        "pour:4:20260612T1100:1:move",
        "pour:4:20260612T1100:2:no_limit",
        "pour:4:20260612T1100:3:move",
    ]


def test_a_service_that_comes_and_goes_says_unknown_once_in_six_hours() -> None:
    steps = [(Verdict.MOVE, 60)] + [(Verdict.UNKNOWN, 20), (Verdict.MOVE, 20)] * 8
    assert said(steps) == [Verdict.MOVE, Verdict.UNKNOWN]


def test_a_start_that_was_moved_begins_anew() -> None:
    told = [as_told(fact, at) for at, fact in run([(Verdict.MOVE, 60)])]
    moved = Stands(task=4, start_at=START_AT + timedelta(days=1), verdict=Verdict.MOVE, since_at=BEGIN)
    (fact,) = verdict_facts([moved], told, BEGIN + timedelta(hours=2))
    assert fact.key == "pour:4:20260613T1100:1:move"


@given(STEPS)
def test_two_in_a_row_never_say_the_same(steps: list[tuple[Verdict, int]]) -> None:
    told = said(steps)
    assert all(a is not b for a, b in pairwise([Verdict.NO_LIMIT, *told]))


@given(STEPS)
def test_every_key_is_its_own_and_the_same_judgement_twice_tells_once(steps: list[tuple[Verdict, int]]) -> None:
    once, twice = run(steps), run(steps, twice=True)
    assert once == twice
    keys = [fact.key for _, fact in once]
    assert len(keys) == len(set(keys))


@given(STEPS)
def test_nothing_worse_than_what_was_told_is_ever_kept_back(steps: list[tuple[Verdict, int]]) -> None:
    """After every judgement the last known verdict told is no milder than the one that stands."""
    for end in range(1, len(steps) + 1):
        elapsed = timedelta(minutes=sum(minutes for _, minutes in steps[:end]))
        if BEGIN + elapsed >= START_AT:
            return
        verdict = steps[end - 1][0]
        known = [one for one in said(steps[:end]) if one in SEVERITY]
        last = known[-1] if known else Verdict.NO_LIMIT
        assert verdict not in SEVERITY or SEVERITY[last] >= SEVERITY[verdict]


@given(st.lists(st.sampled_from(KNOWN), min_size=1, max_size=24))
def test_in_six_hours_of_flips_people_hear_at_most_the_way_up(verdicts: list[Verdict]) -> None:
    told = said([(verdict, 14) for verdict in verdicts])
    assert len(told) <= 2
    assert [SEVERITY[one] for one in told] == sorted(SEVERITY[one] for one in told)


@pytest.mark.parametrize(
    ("hours_left", "free_hours", "wanted_left"),
    [(48, 24, 24), (20, 24, 2), (20, None, 2), (1, None, 0.5), (2.25, None, 1.75)],
)
def test_an_answer_is_wanted_while_it_still_changes_something(
    hours_left: float, free_hours: float | None, wanted_left: float
) -> None:
    now = START_AT - timedelta(hours=hours_left)
    free = None if free_hours is None else START_AT - timedelta(hours=free_hours)
    stands = Stands(task=4, start_at=START_AT, verdict=Verdict.MOVE, since_at=now, free_until=free)
    assert (START_AT - answer_by(stands, now)) / timedelta(hours=1) == pytest.approx(wanted_left)
