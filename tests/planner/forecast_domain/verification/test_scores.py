"""Brier score, skill and reliability against published examples and a second way of reckoning."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.forecast.domain.verification.scores import Tally, reliability_bins, score_of

TALLIES = st.lists(
    st.tuples(st.integers(min_value=0, max_value=100), st.integers(min_value=1, max_value=40), st.floats(0, 1)).map(
        lambda one: Tally(percent=one[0], windows=one[1], wet=round(one[1] * one[2]))
    ),
    min_size=1,
    max_size=30,
)


def pairs(tallies: list[Tally]) -> tuple[np.ndarray, np.ndarray]:
    """Every window by itself: told, and 1 where it was wet."""
    told = np.concatenate([np.full(one.windows, one.percent / 100) for one in tallies])
    wet = np.concatenate([(np.arange(one.windows) < one.wet).astype(float) for one in tallies])
    return told, wet


@pytest.mark.parametrize(
    ("percent", "wet", "brier"), [(100, True, 0.0), (100, False, 1.0), (70, True, 0.09), (30, True, 0.49)]
)
def test_single_forecasts(percent: int, wet: bool, brier: float) -> None:
    """Source: the definition, Brier 1950, in its half form: (0.7 - 1)^2 = 0.09."""
    score = score_of([Tally(percent=percent, windows=1, wet=int(wet))])
    assert score is not None
    assert score.brier == pytest.approx(brier)


@given(TALLIES)
def test_counts_by_chance_score_as_single_windows_do(tallies: list[Tally]) -> None:
    told, wet = pairs(tallies)
    score = score_of(tallies)
    assert score is not None
    assert score.brier == pytest.approx(float(np.mean((told - wet) ** 2)))
    assert score.usual == pytest.approx(float(np.var(wet)))
    assert score.windows == len(told)


@given(TALLIES)
def test_bins_hold_every_window_once_and_rise(tallies: list[Tally]) -> None:
    bins = reliability_bins(tallies)
    assert sum(one.windows for one in bins) == sum(one.windows for one in tallies)
    assert [one.told for one in bins] == sorted(one.told for one in bins)
    assert sum(one.seen * one.windows for one in bins) == pytest.approx(sum(one.wet for one in tallies))


def test_always_saying_the_usual_has_no_skill_and_the_truth_has_all() -> None:
    usual = score_of([Tally(percent=25, windows=40, wet=10)])
    truth = score_of([Tally(percent=0, windows=30, wet=0), Tally(percent=100, windows=10, wet=10)])
    assert usual is not None
    assert truth is not None
    assert usual.skill == pytest.approx(0.0)
    assert truth.skill == pytest.approx(1.0)


def test_without_windows_there_is_no_score_and_without_both_outcomes_no_skill() -> None:
    assert score_of([]) is None
    dry = score_of([Tally(percent=10, windows=5, wet=0)])
    assert dry is not None
    assert dry.skill is None
