"""Setting time against the published table (setting.csv), and what follows from it for rain."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.domain.errors import CannotDo, OutsideValidRange
from jobs.science.setting import initial_set_hours, rain_safe_hours, set_shares
from jobs.science.wall_pour import cover_within_h
from tests.jobs.domain.pools import rows

temperatures = st.floats(min_value=-1.1, max_value=37.7)


@pytest.mark.parametrize("row", rows("setting.csv"), ids=lambda row: f"{row['quantity']}-{row['concrete_temp_c']}")
def test_published_setting(row):
    temp_c = float(row["concrete_temp_c"])
    if row["quantity"] == "initial_set_h":
        hours = initial_set_hours(temp_c)
    else:
        hours = rain_safe_hours(temp_c, float(row["hours_at_21c"]))
    assert hours == pytest.approx(float(row["expected_h"]), abs=float(row["tolerance_h"]), rel=0), row["source"]


@given(temperatures, temperatures)
def test_warmer_concrete_sets_sooner(one, other):
    cold, warm = sorted((one, other))
    assert initial_set_hours(warm) <= initial_set_hours(cold) + 1e-12


@pytest.mark.parametrize("steps", [1, 2, 3])
def test_each_ten_degrees_f_below_70_takes_a_third_longer(steps):
    """Rule of cold-weather concreting, trade magazine: a third longer a step; 5 % as for empirical concrete tables."""
    assert initial_set_hours((70 - 10 * steps - 32) * 5 / 9) == pytest.approx(6 * (4 / 3) ** steps, rel=0.05)


@pytest.mark.parametrize("temp_c", [-1.2, -6.7, 38.0, float("nan"), float("inf")])
def test_refuses_outside_the_table(temp_c):
    """At 20 °F (-6.7 °C) the published table says concrete will not set."""
    with pytest.raises(OutsideValidRange) as refused:
        initial_set_hours(temp_c)
    assert refused.value.field == "concrete_temp_c"
    with pytest.raises(OutsideValidRange):
        rain_safe_hours(temp_c, 8.0)


@given(st.floats(min_value=27.0, max_value=37.7), st.floats(min_value=0, max_value=24))
def test_hot_concrete_is_never_safe_sooner_than_at_27(temp_c, hours):
    assert rain_safe_hours(temp_c, hours) == pytest.approx(rain_safe_hours(27.0, hours))


@given(st.lists(temperatures, min_size=1, max_size=20))
def test_an_array_is_its_numbers(temps):
    together = rain_safe_hours(np.array(temps), 8.0)
    assert together == pytest.approx([rain_safe_hours(temp, 8.0) for temp in temps])


def test_an_unknown_hour_stays_unknown():
    hours = initial_set_hours(np.array([10.0, np.nan]))
    assert hours[0] == pytest.approx(11.0)
    assert np.isnan(hours[1])


@pytest.mark.parametrize("hours", [-1.0, float("nan"), float("inf")])
def test_hours_that_are_no_length_of_time(hours):
    with pytest.raises(CannotDo) as refused:
        rain_safe_hours(20.0, hours)
    assert refused.value.field == "hours_at_21c"


@pytest.mark.parametrize(
    ("admixture", "earliest_h", "latest_h"),
    # ASTM C494, table 1, types B and C (from memory): at least 1 h and at most 3.5 h later, and sooner.
    [("none", 6.0, 6.0), ("retarder", 7.0, 9.5), ("accelerator", 2.5, 5.0)],
)
def test_what_is_added_shifts_the_set_at_70_degrees(admixture, earliest_h, latest_h):
    at_70f = (70 - 32) * 5 / 9
    earliest, latest = (share * initial_set_hours(at_70f) for share in set_shares(admixture))
    assert (earliest, latest) == (pytest.approx(earliest_h), pytest.approx(latest_h))
    # Rain counts the latest, a pass the earliest.
    assert rain_safe_hours(at_70f, 6.0, admixture) == pytest.approx(latest_h)
    assert cover_within_h(at_70f, admixture) == pytest.approx(earliest_h / 4)


@given(temperatures, st.floats(min_value=0, max_value=24))
def test_a_retarder_keeps_rain_off_longer_and_an_accelerator_shorter(temp_c, hours):
    sooner, plain, later = (rain_safe_hours(temp_c, hours, one) for one in ("accelerator", "none", "retarder"))
    assert sooner <= plain <= later


def test_an_admixture_nobody_knows_is_refused():
    with pytest.raises(CannotDo) as refused:
        rain_safe_hours(20.0, 8.0, "sugar")
    assert refused.value.code == "setting.no_admixture"
    assert "retarder" in refused.value.remedy
