"""Brier scores of real forecasts by day of the lead, and the factor for short windows, where the record is at hand.

Source: forecasts of the US weather service for one site in Georgia, June to August 2026, against two gauges: the
scores below were worked out from the same record by somebody else, with other code.
"""

from collections.abc import Callable

import pytest

from planner.forecast.domain.chance import duration_factor
from planner.forecast.domain.verification.calibration import BANDS, fit
from planner.forecast.domain.verification.scores import Score, Tally, score_of
from planner.forecast.domain.verification.windows import LEAD_DAYS, Verified
from tests.planner.forecast_domain.real_record import issued_windows, needs_record
from tests.planner.forecast_domain.verification.duration import DurationFit, WindowSeen, fit_duration
from tests.planner.forecast_domain.verification.told import halves, tallies, windows

pytestmark = needs_record

BRIER = (0.130, 0.139, 0.156, 0.178, 0.181, 0.190)
SKILL = (0.35, 0.31, 0.18, 0.11, 0.03, 0.06)
WINDOWS_A_LEAD = 196


def score(lead: int) -> Score:
    found = score_of(tallies(one for one in windows() if one.lead_day == lead))
    assert found is not None
    return found


@pytest.mark.parametrize(("lead", "brier"), list(zip(LEAD_DAYS, BRIER, strict=True)))
def test_the_brier_score_of_each_lead_day(lead: int, brier: float) -> None:
    assert score(lead).brier == pytest.approx(brier, abs=0.01)


@pytest.mark.parametrize(("lead", "skill"), list(zip(LEAD_DAYS, SKILL, strict=True)))
def test_the_skill_against_always_saying_the_usual(lead: int, skill: float) -> None:
    assert score(lead).skill == pytest.approx(skill, abs=0.02)


def test_as_many_windows_as_the_other_count_found() -> None:
    assert [score(lead).windows for lead in LEAD_DAYS] == pytest.approx([WINDOWS_A_LEAD] * 6, abs=3)


def in_band(column: str, leads: tuple[int, ...]) -> list[Verified]:
    return [one for one in windows(column) if one.lead_day in leads]


def brier(told: list[Verified], says: Callable[[float], float] = lambda chance: chance) -> float:
    return sum((says(one.percent / 100) - one.wet) ** 2 for one in told) / len(told)


@pytest.mark.parametrize("leads", BANDS.values(), ids=BANDS)
def test_a_reliable_service_is_left_as_told(leads: tuple[int, ...]) -> None:
    """Source: its chances were found reliable at 734 stations (Bickel, Floehr and Kim, MWR 139, 2011, 3304).

    Maps made of half the days would spoil the other half of this record.
    """
    odd, even = halves(in_band("nws_pop", leads))
    assert fit(tallies(odd), tallies(even)) is None


@pytest.mark.parametrize("leads", BANDS.values(), ids=BANDS)
def test_a_model_known_to_be_far_too_wet_is_drawn_down_on_days_it_has_not_seen(leads: tuple[int, ...]) -> None:
    """Source: the same record, a global model's raw chance: told .49 on average where .25 came, skill below nought.

    The map is made of the first half of the summer and tried on the second.
    """
    told = sorted(in_band("ecmwf_pop", leads), key=lambda one: one.from_at)
    middle = len(told) // 2
    first, second = told[:middle], told[middle:]
    odd, even = halves(first)
    made = fit(tallies(odd), tallies(even))
    assert made is not None
    assert all(made(told / 10) < told / 10 for told in (5, 6, 7, 8, 9, 10))
    assert brier(second, made) < 0.9 * brier(second)


def fitted(hours: int, starts: tuple[int, ...]) -> DurationFit:
    seen = []
    for start_hour in starts:
        for one in issued_windows(start_hour, hours):
            highest = max(value or 0.0 for value in one.series.between("rain_chance", one.from_at, one.until_at))
            seen += [WindowSeen(highest=highest, wet=wet) for wet in one.wet]
    return fit_duration(seen)


# Own tolerance: 0.15, under two standard errors of the shares of one summer, where days hang together.
@pytest.mark.parametrize(
    ("hours", "starts"), [(2, (6, 8, 10, 12, 14, 16)), (4, (6, 10, 14)), (6, (6, 12)), (8, (6, 10)), (12, (6,))]
)
def test_the_factor_for_short_windows_is_the_one_the_judge_uses(hours: int, starts: tuple[int, ...]) -> None:
    found = fitted(hours, starts)
    assert found.windows >= 250
    assert found.by_mean == pytest.approx(duration_factor(hours), abs=0.15)
    assert found.by_squares == pytest.approx(duration_factor(hours), abs=0.15)


@pytest.mark.parametrize(("hours", "starts"), [(2, (6, 8, 10, 12, 14, 16)), (4, (6, 10, 14)), (6, (6, 12))])
def test_the_share_of_a_whole_half_day_is_the_one_the_judge_uses(hours: int, starts: tuple[int, ...]) -> None:
    """Beside the factor of the whole half-day the service's own reliability cancels out; own tolerance 0.1."""
    assert fitted(hours, starts).by_mean / fitted(12, (6,)).by_mean == pytest.approx(duration_factor(hours), abs=0.1)


def test_the_factor_grows_with_the_window() -> None:
    factors = [
        fitted(hours, starts).by_mean for hours, starts in ((2, (6, 8, 10, 12, 14, 16)), (6, (6, 12)), (12, (6,)))
    ]
    assert factors == sorted(factors)


def test_counting_twice_the_same_changes_no_score() -> None:
    once = tallies(windows())
    twice = [Tally(percent=one.percent, windows=2 * one.windows, wet=2 * one.wet) for one in once]
    before, after = score_of(once), score_of(twice)
    assert before is not None
    assert after is not None
    assert after.brier == pytest.approx(before.brier)
    assert after.skill == pytest.approx(before.skill)
