"""A verdict does not flip on the noise between two runs of a forecast."""

from dataclasses import replace

import pytest

from planner.watch.domain.report import StartWatch, Verdict
from planner.watch.domain.starts import Previous
from planner.watch.domain.verdict import raised
from tests.planner.forecast_domain.skies import local, sky, work
from tests.planner.watch.worlds import between, booked, rain, watched

MORNING = local(4, day=1)
BOOKED = (booked(7, 1), booked(7, 2))


def before(verdict: Verdict, start_at=None) -> tuple[Previous, ...]:
    return (Previous(task=7, start_at=start_at or local(7, day=1), verdict=verdict),)


def seen_at(chance: float, previous: tuple[Previous, ...] = ()) -> StartWatch:
    """A whole day's work with $2,000 to lose; the pump's $750 and telling the crew again, $80: a tie at 41.5 %."""
    return watched(
        "priced",
        start_at=local(6, day=1),
        hours=12,
        exposures={"priced": work(during=0, forbid=2.0, loss=2000), "none": replace(work(), exposed=False)},
        series=rain(chance),
        now=MORNING,
        bookings=(booked(7, 2),),
        previous=previous,
    )


def verdict_at(chance: float, previous: Verdict | None = None) -> Verdict:
    return seen_at(chance, before(previous, local(6, day=1)) if previous else ()).verdict


@pytest.mark.parametrize(
    ("chance", "previous", "verdict"),
    [
        (0.41, None, Verdict.NO_LIMIT),
        (0.42, None, Verdict.MOVE),
        (0.42, Verdict.NO_LIMIT, Verdict.MOVE),
        (0.415 - 0.09, Verdict.MOVE, Verdict.MOVE),
        (0.27, Verdict.MOVE, Verdict.MOVE),
        (0.26, Verdict.MOVE, Verdict.NO_LIMIT),
        (0.0, Verdict.MOVE, Verdict.NO_LIMIT),
    ],
)
def test_up_at_once_and_down_only_past_the_noise(chance, previous, verdict):
    """Source: run-to-run changes of 9 to 15 points, measured on one site's forecasts; eased only past 15."""
    assert verdict_at(chance, previous) is verdict


def test_noise_around_the_threshold_moves_it_once_and_never_back():
    verdict = None
    seen = []
    for points in (0.01, -0.14, 0.01, -0.05, 0.02, -0.09):
        verdict = verdict_at(0.415 + points, verdict)
        seen.append(verdict)
    assert set(seen) == {Verdict.MOVE}


def test_a_small_chance_lets_go_at_half_of_it():
    assert raised(0.06) == pytest.approx(0.12)
    assert raised(0.3) == pytest.approx(0.45)


def test_the_fresh_verdict_is_told_beside_the_one_that_stands():
    start = seen_at(0.38, before(Verdict.MOVE, local(6, day=1)))
    assert (start.verdict, start.fresh_verdict) == (Verdict.MOVE, Verdict.NO_LIMIT)


def test_a_start_that_was_moved_begins_anew():
    assert seen_at(0.38, before(Verdict.MOVE, local(6, day=2))).verdict is Verdict.NO_LIMIT


@pytest.mark.parametrize("previous", [Verdict.NO_LIMIT, Verdict.PREPARE, Verdict.MOVE])
def test_unknown_comes_and_goes_at_once(previous):
    assert watched(series=None, previous=before(previous)).verdict is Verdict.UNKNOWN
    assert watched(series=sky(144), previous=before(Verdict.UNKNOWN)).verdict is Verdict.NO_LIMIT


@pytest.mark.parametrize(
    ("gust", "previous", "verdict"),
    [
        (12.9, None, Verdict.PREPARE),
        (12.9, Verdict.MOVE, Verdict.MOVE),
        (11.5, Verdict.MOVE, Verdict.PREPARE),
        (9.5, Verdict.PREPARE, Verdict.PREPARE),
        (9.5, None, Verdict.NO_LIMIT),
        (8.9, Verdict.PREPARE, Verdict.NO_LIMIT),
    ],
)
def test_a_gust_that_wavers_at_its_limit_of_13(gust, previous, verdict):
    """Margin 2.6 m/s; held as reached inside 1.3, as near inside 3.9."""
    start = watched(
        series=sky(144, gust_m_s=between(10, 11, gust, 3.0)),
        now=MORNING,
        bookings=BOOKED,
        previous=before(previous) if previous else (),
    )
    assert start.verdict is verdict
