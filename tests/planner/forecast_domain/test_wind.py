"""Wind near the ground against wind engineering, and its directions."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.domain.errors import OutsideValidRange
from planner.forecast.domain.limits.wind import garden_share, grass_share


def test_over_open_ground_it_is_the_logarithmic_profile() -> None:
    """Source: WMO no. 8: u(z) = u(10) ln(z / z0) / ln(10 / z0), z0 = 0.03 m over short grass."""
    for height_m in (2.0, 5.0, 10.0):
        expected = math.log(height_m / 0.03) / math.log(10 / 0.03)
        assert garden_share(height_m, roughness_m=0.03) == pytest.approx(expected)


def test_a_garden_is_as_still_as_the_wind_code_has_suburbs() -> None:
    """Source: ASCE 7, mean hourly wind 0.45 (z / 10)^(1/4) in suburbs, 0.65 (z / 10)^(1/6.5) in the open; from memory.

    Its suburb at 2 m has 0.46 of the open's wind at 10 m; the careful roughness leaves a little more.
    """
    suburb = 0.45 * (2 / 10) ** 0.25 / 0.65
    assert suburb == pytest.approx(0.463, abs=0.001)
    assert suburb < garden_share(2.0) < 1.1 * suburb
    assert garden_share(2.0, roughness_m=0.5) < suburb


def test_a_gust_keeps_what_the_wind_code_leaves_it() -> None:
    """Source: ASCE 7, pressure coefficient 0.57 up to 15 ft in suburbs, 1.00 at 33 ft in the open; from memory."""
    assert grass_share(2.0) == pytest.approx(math.sqrt(0.57), abs=0.01)


@given(st.floats(1, 9), st.floats(0.1, 1), st.floats(0.03, 0.4))
def test_higher_is_windier_and_rougher_is_stiller(height_m: float, more_m: float, roughness_m: float) -> None:
    assert garden_share(height_m + more_m) > garden_share(height_m)
    assert grass_share(height_m + more_m) > grass_share(height_m)
    assert garden_share(height_m, roughness_m=roughness_m + 0.1) < garden_share(height_m, roughness_m=roughness_m)


@pytest.mark.parametrize(
    "call", [lambda: garden_share(0.5), lambda: garden_share(2.0, roughness_m=2.0), lambda: grass_share(11)]
)
def test_outside_its_range_it_refuses(call) -> None:
    with pytest.raises(OutsideValidRange):
        call()
