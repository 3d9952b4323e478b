"""What places the concrete: the least gear that reaches and is fast enough."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.domain.errors import CannotDo
from jobs.domain.order.pump import PUMPS, pump_for
from jobs.domain.units import m3_from_yd3, m_from_ft

reaches, rates = st.floats(0, 152.4), st.floats(0, 49.6)


@pytest.mark.parametrize(
    ("reach_ft", "yd3_h", "key"),
    [
        # Published trade magazine: chutes reach 20 feet; pumps are rated from 12 to 65 yards an hour, booms place up to
        # 100 on real work. Common practice, no source: line pumps fill wall forms at 15 to 30 yards an hour.
        (20, 20, "chute"),
        (21, 20, "line"),
        (150, 30, "line"),
        (80, 40, "boom"),
        (80, 100, "boom"),
        (300, 20, "large_line"),
        (150, 65, "large_line"),
    ],
)
def test_the_least_gear_is_taken(reach_ft: float, yd3_h: float, key: str) -> None:
    assert pump_for(reach_m=m_from_ft(reach_ft), rate_m3_h=m3_from_yd3(yd3_h)).key == key


@given(reaches, rates)
def test_what_is_chosen_reaches_and_places(reach: float, rate: float) -> None:
    pump = pump_for(reach_m=reach, rate_m3_h=rate)
    assert reach <= pump.reach_m
    assert rate <= pump.most_m3_h
    assert not any(reach <= one.reach_m and rate <= one.most_m3_h for one in PUMPS[: PUMPS.index(pump)])
    assert pump.caution


@pytest.mark.parametrize(("reach_ft", "yd3_h"), [(600, 10), (300, 80)])
def test_out_of_reach_is_refused_with_a_remedy(reach_ft: float, yd3_h: float) -> None:
    with pytest.raises(CannotDo) as refused:
        pump_for(reach_m=m_from_ft(reach_ft), rate_m3_h=m3_from_yd3(yd3_h))
    assert refused.value.code == "order.no_pump"
    assert "two pumps" in refused.value.remedy
