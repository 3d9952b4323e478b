"""Hose flows and fill times against published and computed figures (filling.csv), SciPy, and the balance of water."""

from dataclasses import replace

import fluids
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from jobs.domain.basin import RectangularBasin
from jobs.domain.errors import CannotDo, OutsideValidRange
from jobs.domain.units import (
    gpm_from_m3_h,
    kpa_from_psf,
    m3_from_gallons,
    m3_h_from_gpm,
    m_from_ft,
    m_from_in,
)
from jobs.science.water.filling import (
    Fill,
    bucket_flow_m3_h,
    fill_curve,
    hose_flow_m3_h,
    hose_friction_kpa,
    hour_of_level,
    retimed,
)
from jobs.science.water.inflow import USUAL_M3_H
from tests.jobs.domain.pools import hopper_16x32
from tests.jobs.science.worked_examples import rows_of

KPA_PER_PSI = kpa_from_psf(144.0)
HOPPER = hopper_16x32()
FULL_M3 = HOPPER.volume_at_m3(HOPPER.design_level_m)


def fill_of(inflow_m3: np.ndarray, **changes) -> Fill:
    """An hour a step."""
    dry = np.zeros(len(inflow_m3))
    values = {"start_level_m": 0.0, "rain_mm": dry, "evaporation_mm": dry, "catch_m2": HOPPER.water_surface_m2}
    values["marks_h"] = np.arange(len(inflow_m3) + 1.0)
    return Fill(inflow_m3=inflow_m3, **{**values, **changes})


def box_of(volume_m3: float) -> RectangularBasin:
    return RectangularBasin(
        length_m=volume_m3 / 10,
        width_m=10.0,
        shallow_depth_m=1.0,
        deep_depth_m=1.0,
        shallow_length_m=0.0,
        slope_length_m=0.0,
        deep_length_m=volume_m3 / 10,
    )


@pytest.mark.parametrize(
    "row", rows_of("water/filling"), ids=lambda row: f"{row['quantity']}-{row['diameter_in']}-{row['psi_or_gpm']}"
)
def test_worked_example(row: dict[str, str]) -> None:
    size, value = float(row["length_ft_or_gallons"]), float(row["psi_or_gpm"])
    if row["quantity"] == "fill_h_at_gpm":
        basin = box_of(m3_from_gallons(size))
        flow = np.full(100, m3_h_from_gpm(value))
        found = hour_of_level(basin, fill_curve(basin, fill_of(flow)), 1.0)
    elif row["quantity"] == "hose_gpm":
        flow_m3_h = hose_flow_m3_h(m_from_in(float(row["diameter_in"])), m_from_ft(size), value * KPA_PER_PSI)
        found = gpm_from_m3_h(flow_m3_h)
    else:
        lost_kpa = hose_friction_kpa(m_from_in(float(row["diameter_in"])), m_from_ft(size), m3_h_from_gpm(value))
        found = lost_kpa / KPA_PER_PSI
    assert found == pytest.approx(float(row["expected"]), abs=float(row["tolerance"])), row["source"]


@given(st.floats(0.0125, 0.05), st.floats(5, 100), st.floats(100, 700))
def test_a_hose_uses_its_pressure_up(diameter_m: float, length_m: float, pressure_kpa: float) -> None:
    """Friction by the same formula and velocity head by SI physics (1000 kg/m3): SciPy finds the same flow to 0.1 %."""

    def left_over(flow_m3_h: float) -> float:
        speed = flow_m3_h / 3600 / (np.pi * diameter_m**2 / 4)
        return hose_friction_kpa(diameter_m, length_m, flow_m3_h) + 0.5 * speed**2 - pressure_kpa

    flow = hose_flow_m3_h(diameter_m, length_m, pressure_kpa)
    assert flow == pytest.approx(brentq(left_over, 1e-6, 190.0), rel=1e-3)
    assert hose_flow_m3_h(diameter_m, length_m * 1.5, pressure_kpa) < flow
    assert hose_flow_m3_h(diameter_m * 1.2, length_m, pressure_kpa) > flow
    assert hose_flow_m3_h(diameter_m, length_m, pressure_kpa * 1.2) > flow


@given(st.floats(0.0125, 0.05), st.floats(8, 60), st.floats(140, 550))
def test_a_hose_is_within_a_tenth_of_a_smooth_pipe_and_never_above(diameter_m, length_m, pressure_kpa) -> None:
    """Another law altogether: Darcy and Weisbach with the friction factor of ``fluids`` for a drawn tube (1.5 um) and
    water of 18 degC. A hose is a little rougher: its flow lies up to a tenth below."""
    density, viscosity = 998.6, 1.053e-3
    area = np.pi * diameter_m**2 / 4

    def left_over(flow_m3_h: float) -> float:
        speed = flow_m3_h / 3600 / area
        reynolds = fluids.Reynolds(V=speed, D=diameter_m, rho=density, mu=viscosity)
        friction = fluids.friction_factor(Re=reynolds, eD=1.5e-6 / diameter_m) * length_m / diameter_m
        return (friction + 1) * 0.5 * density * speed**2 / 1000 - pressure_kpa

    smooth = brentq(left_over, 1e-3, 400.0)
    assert 0.9 * smooth < hose_flow_m3_h(diameter_m, length_m, pressure_kpa) < smooth


def test_usual_flows_and_the_bucket() -> None:
    """Published page: hydrant 10,000 gal in 60 min, tanker 6,000 in 45; five gallons in 30 s are 10 gpm by hand."""
    assert gpm_from_m3_h(USUAL_M3_H["hydrant"]) == pytest.approx(167, abs=0.5)
    assert gpm_from_m3_h(USUAL_M3_H["tanker"]) == pytest.approx(133, abs=0.5)
    assert gpm_from_m3_h(bucket_flow_m3_h(m3_from_gallons(5), 30)) == pytest.approx(10)


def test_a_fill_with_rain_and_sun_is_the_integral_of_its_balance() -> None:
    """SciPy's solve_ivp with the evaporation of the moving surface; ours takes each hour's first surface: 2 mm."""
    rain, sun = np.tile([0.0, 4.0, 0.0], 10), np.tile([0.1, 0.0, 0.6], 10)
    inflow = np.full(30, 1.5)

    def slope(t: float, volume: np.ndarray) -> float:
        hour = min(int(t), 29)
        level = HOPPER.level_for_volume_m(max(float(volume[0]), 0.0))
        return inflow[hour] + rain[hour] * 0.06 - sun[hour] / 1000 * HOPPER.surface_at_m2(level)

    marks = np.arange(31.0)
    solved = solve_ivp(slope, (0, 30), [HOPPER.volume_at_m3(0.1)], t_eval=marks, max_step=0.05, rtol=1e-8)
    expected = [HOPPER.level_for_volume_m(volume) for volume in solved.y[0]]
    curve = fill_curve(HOPPER, fill_of(inflow, start_level_m=0.1, rain_mm=rain, evaporation_mm=sun, catch_m2=60.0))
    assert curve.levels_m == pytest.approx(np.array(expected), abs=0.002)


@given(st.floats(1, 6), st.floats(0.05, 0.98))
def test_the_hour_of_a_level_has_that_level(m3_h: float, share: float) -> None:
    level = share * HOPPER.design_level_m
    curve = fill_curve(HOPPER, fill_of(np.full(100, m3_h)))
    hour = hour_of_level(HOPPER, curve, level)
    assert m3_h * hour == pytest.approx(HOPPER.volume_at_m3(level), rel=1e-6)
    assert np.interp(hour, curve.hours, curve.volumes_m3) == pytest.approx(HOPPER.volume_at_m3(level))


def test_levels_are_reached_in_order_and_later_with_sun() -> None:
    inflow = np.full(60, 2.7)
    dry = fill_curve(HOPPER, fill_of(inflow))
    sunny = fill_curve(HOPPER, fill_of(inflow, evaporation_mm=np.full(60, 0.4)))
    rainy = fill_curve(HOPPER, fill_of(inflow, rain_mm=np.full(60, 2.0)))
    levels = [0.075, 1.0, 1.8, 2.2, HOPPER.design_level_m]
    hours = [hour_of_level(HOPPER, dry, level) for level in levels]
    assert hours == sorted(hours)
    for level, hour in zip(levels[1:], hours[1:], strict=True):
        assert hour_of_level(HOPPER, rainy, level) < hour < hour_of_level(HOPPER, sunny, level)


def test_a_pool_stops_at_its_coping_and_never_below_empty() -> None:
    flood = fill_curve(HOPPER, fill_of(np.full(3, 60.0)))
    assert flood.levels_m[-1] == pytest.approx(HOPPER.max_level_m)
    dried = fill_curve(HOPPER, fill_of(np.zeros(3), evaporation_mm=np.full(3, 1.0)))
    assert dried.levels_m[-1] == pytest.approx(0, abs=1e-9)
    with pytest.raises(CannotDo, match="Add a hose or a tanker"):
        hour_of_level(HOPPER, fill_curve(HOPPER, fill_of(np.full(3, 1.0))), 2.0)


@given(st.floats(0.3, 1.5), st.floats(1, 15))
def test_a_reading_times_the_rest_again(real_share: float, reading_h: float) -> None:
    """The true fill runs at a share of the plan all along: after one reading the plan ends when the truth does."""
    rain = np.tile([0.0, 0.0, 3.0], 60)
    planned = fill_of(np.full(180, 2.0), rain_mm=rain)
    true = fill_curve(HOPPER, replace(planned, inflow_m3=planned.inflow_m3 * real_share))
    read_m3 = float(np.interp(reading_h, true.hours, true.volumes_m3))
    rest, share = retimed(HOPPER, planned, reading_h=reading_h, reading_level_m=HOPPER.level_for_volume_m(read_m3))
    assert share == pytest.approx(real_share, rel=1e-6)
    assert rest.marks_h[0] == reading_h
    level = HOPPER.design_level_m
    again = hour_of_level(HOPPER, fill_curve(HOPPER, rest), level)
    # Rain counts by whole hours from the reading: an hour's rain over the flow is the most it can shift.
    assert again == pytest.approx(hour_of_level(HOPPER, true, level), abs=0.003 * HOPPER.water_surface_m2 / 2 / 0.3)


def test_a_reading_as_planned_changes_nothing() -> None:
    planned = fill_of(np.full(40, 2.0), evaporation_mm=np.full(40, 0.3))
    curve = fill_curve(HOPPER, planned)
    rest, share = retimed(HOPPER, planned, reading_h=10.0, reading_level_m=float(curve.levels_m[10]))
    assert share == pytest.approx(1.0)
    assert fill_curve(HOPPER, rest).levels_m == pytest.approx(curve.levels_m[10:])


def test_readings_that_cannot_be() -> None:
    planned = fill_of(np.full(10, 2.0))
    with pytest.raises(CannotDo, match="outside the 10 hours"):
        retimed(HOPPER, planned, reading_h=11.0, reading_level_m=1.0)
    with pytest.raises(CannotDo, match="no water was added"):
        retimed(HOPPER, replace(planned, start_level_m=1.0), reading_h=5.0, reading_level_m=0.9)
    with pytest.raises(CannotDo, match="has 2 steps, rain is given for 3"):
        fill_of(np.zeros(2), rain_mm=np.zeros(3))


@pytest.mark.parametrize(
    ("call", "field"),
    [
        (lambda: hose_flow_m3_h(0.75, 30.0, 300.0), "diameter_m"),
        (lambda: hose_flow_m3_h(0.019, 30.0, 40_000.0), "pressure_kpa"),
        (lambda: hose_friction_kpa(0.019, 0.0, 1.0), "length_m"),
        (lambda: bucket_flow_m3_h(0.02, 0.0), "seconds"),
        (lambda: fill_of(np.array([-1.0])), "inflow_m3"),
    ],
)
def test_outside_its_range_it_refuses(call, field: str) -> None:
    with pytest.raises(OutsideValidRange) as refusal:
        call()
    assert refusal.value.field == field
