"""The chances of a start half-day by half-day are those its verdict is made of, on the half-days they belong to."""

from math import prod

import pytest

from planner.forecast.domain.halfday import seconds_of
from planner.forecast.domain.judge import Judge
from tests.planner.forecast_domain.skies import ZONE, even_climate, local, sky, work

TOUCHY = work(stop=0.5, during=1.0, after_hours=12.0, after=1.0, air=(16.0, None), wind=3.0, thunder=True, sets=True)


@pytest.mark.parametrize("day", [0, 2, 40, 130])
def test_together_they_are_the_chance_of_the_verdict(day: int) -> None:
    forecast = sky(
        96, rain_chance=lambda at: 0.1 + 0.02 * at.hour, thunder_chance=lambda at: 0.6 if at.hour > 14 else 0
    )
    judge = Judge(series=forecast, climate=even_climate(), zone=ZONE)
    span = {"start_at": local(8, day=day), "end_at": local(16, day=day), "soil": "loam"}
    risks = judge.by_half_day(TOUCHY, **span)
    missed = prod((1 - risk.storm) * (1 - risk.wind) * (1 - risk.air) for risk in risks)
    verdict = judge.start(TOUCHY, **span)
    # Levels of one kind go together here and are multiplied in the verdict: never more than it, and it alone
    # where only one limit can be broken.
    assert 1 - missed <= verdict.chance_hit + 1e-9
    assert risks[0].from_s == seconds_of(local(6, day=day))
    assert [risk.from_s for risk in risks] == sorted({risk.from_s for risk in risks})
    one_level = work(during=1.0, after_hours=12.0, after=1.0, wind=3.0, sets=True)
    missed = prod((1 - risk.storm) * (1 - risk.wind) * (1 - risk.air) for risk in judge.by_half_day(one_level, **span))
    assert 1 - missed == pytest.approx(judge.start(one_level, **span).chance_hit)
