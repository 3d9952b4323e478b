"""Concrete that follows the air, against SciPy's integration of the same balance and by its limits."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from jobs.domain.errors import CannotDo, OutsideValidRange
from jobs.science.concrete_temperature import (
    Member,
    concrete_temps_c,
    delivered_temp_c,
    insulated_wall,
    slab,
    time_constant_h,
)

MEMBERS = (slab(), slab(blanket=True), insulated_wall(), Member(time_constant_h=30.0))
airs = st.lists(st.floats(-20, 40), min_size=1, max_size=48).map(np.array)


@pytest.mark.parametrize("member", MEMBERS)
def test_it_is_the_integral_of_the_heat_balance(member: Member) -> None:
    """SciPy's solve_ivp, hour by hour, at 1e-10; the fourth member has equal time constants."""
    air = np.array([12.0, 3.0, -4.0, 25.0, 30.0, 8.0])

    def slope(t: float, temp: np.ndarray, hour: int) -> np.ndarray:
        heat = member.hydration_rise_c / member.hydration_h * np.exp(-t / member.hydration_h)
        return (air[hour] - temp) / member.time_constant_h + heat

    expected = [21.0]
    for hour in range(len(air)):
        solved = solve_ivp(slope, (hour, hour + 1), [expected[-1]], args=(hour,), rtol=1e-10, atol=1e-10)
        expected.append(float(solved.y[0][-1]))
    assert concrete_temps_c(air, placed_c=21.0, member=member) == pytest.approx(np.array(expected), abs=1e-6)


@pytest.mark.parametrize("member", MEMBERS)
def test_in_the_end_it_is_the_air(member: Member) -> None:
    temps = concrete_temps_c(np.full(3000, 7.0), placed_c=20.0, member=member)
    assert temps[-1] == pytest.approx(7.0, abs=0.01)


@given(airs)
def test_without_hydration_it_stays_between_placing_and_air(air: np.ndarray) -> None:
    temps = concrete_temps_c(air, placed_c=20.0, member=Member(time_constant_h=6.0, hydration_rise_c=0.0))
    assert temps.min() >= min(20.0, air.min()) - 1e-9
    assert temps.max() <= max(20.0, air.max()) + 1e-9


@given(airs, st.floats(0, 10))
def test_warmer_air_never_makes_colder_concrete(air: np.ndarray, warmer_c: float) -> None:
    cold, warm = (concrete_temps_c(temps, placed_c=18.0, member=slab()) for temps in (air, air + warmer_c))
    assert (warm >= cold - 1e-9).all()


def test_a_wall_in_foam_holds_heat_and_a_slab_does_not() -> None:
    """Physics of the estimate: after a frosty day the slab has closed most of its gap, the wall little of it."""
    night = np.full(24, -5.0)
    bare, blanket, wall = (
        concrete_temps_c(night, placed_c=15.0, member=member)[-1]
        for member in (slab(), slab(blanket=True), insulated_wall())
    )
    assert bare < 0 < blanket < wall
    assert wall > 15


def test_heat_of_hydration_is_modest_in_a_slab() -> None:
    temps = concrete_temps_c(np.full(72, 20.0), placed_c=20.0, member=slab())
    assert 1 < temps.max() - 20 < 6


@given(airs, st.floats(0, 40))
def test_a_reading_replaces_the_prediction_from_then_on(air: np.ndarray, reading: float) -> None:
    at = len(air) // 2
    probe = np.full(len(air) + 1, np.nan)
    probe[at] = reading
    plain = concrete_temps_c(air, placed_c=18.0, member=slab())
    probed = concrete_temps_c(air, placed_c=18.0, member=slab(), probe_temps_c=probe)
    assert probed[:at] == pytest.approx(plain[:at])
    assert probed[at] == reading
    closes = np.exp(-np.arange(len(air) + 1 - at) / slab().time_constant_h)
    assert probed[at:] - plain[at:] == pytest.approx((reading - plain[at]) * closes, abs=1e-9)


def test_rows_of_air_are_computed_one_by_one() -> None:
    air = np.array([[10.0, 5.0, 0.0], [20.0, 25.0, 30.0]])
    placed = np.array([15.0, 22.0])
    rows = [concrete_temps_c(row, placed_c=float(at), member=slab()) for row, at in zip(air, placed, strict=True)]
    assert concrete_temps_c(air, placed_c=placed, member=slab()) == pytest.approx(np.array(rows))


def test_an_unknown_hour_of_air_is_unknown_until_a_reading() -> None:
    air = np.array([10.0, np.nan, 10.0, 10.0])
    probe = np.array([np.nan, np.nan, np.nan, 12.0, np.nan])
    temps = concrete_temps_c(air, placed_c=15.0, member=slab(), probe_temps_c=probe)
    assert np.isnan(temps[2])
    assert temps[3] == 12.0
    assert not np.isnan(temps[4])


def test_the_time_constant_is_heat_stored_over_heat_lost() -> None:
    """Computed by hand: 2400 kg/m3 x 900 J/kgK x 0.20 m / 10 W/m2K = 43,200 s."""
    assert time_constant_h(0.20, 10.0) == pytest.approx(12.0)


def test_delivered_temperature_follows_the_air_inside_its_limits() -> None:
    assert delivered_temp_c(np.array([-10.0, 13.0, 25.0, 40.0])).tolist() == [13.0, 13.0, 25.0, 32.0]


@pytest.mark.parametrize(
    ("call", "field"),
    [
        (lambda: concrete_temps_c(np.array([60.0]), placed_c=20.0, member=slab()), "air_temps_c"),
        (lambda: concrete_temps_c(np.array([20.0]), placed_c=70.0, member=slab()), "placed_c"),
        (lambda: Member(time_constant_h=0.0), "time_constant_h"),
        (lambda: Member(time_constant_h=6.0, hydration_rise_c=90.0), "hydration_rise_c"),
        (lambda: slab(6.0), "thickness_m"),
        (lambda: time_constant_h(0.15, 0.0), "heat_loss_w_m2_k"),
        (lambda: delivered_temp_c(80.0), "air_temp_c"),
        (
            lambda: concrete_temps_c(
                np.array([20.0]), placed_c=20.0, member=slab(), probe_temps_c=np.array([20.0, 200.0])
            ),
            "probe_temps_c",
        ),
    ],
)
def test_outside_its_range_it_refuses(call, field: str) -> None:
    with pytest.raises(OutsideValidRange) as refusal:
        call()
    assert refusal.value.field == field


def test_readings_for_other_hours_are_refused() -> None:
    with pytest.raises(CannotDo, match="1 probe readings for 2 hour marks"):
        concrete_temps_c(np.array([20.0]), placed_c=20.0, member=slab(), probe_temps_c=np.array([20.0]))
