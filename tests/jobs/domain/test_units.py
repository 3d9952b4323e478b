"""Conversions against exact definitions and an independent table (scipy.constants, CODATA)."""

import pytest
import scipy.constants as codata
from hypothesis import given
from hypothesis import strategies as st

from jobs.domain import units

FACTORS = [
    (units.m_from_ft, units.ft_from_m, codata.foot),
    (units.m_from_in, units.in_from_m, codata.inch),
    (units.mm_from_in, units.in_from_mm, codata.inch * 1000),
    (units.m2_from_ft2, units.ft2_from_m2, codata.foot**2),
    (units.m3_from_ft3, units.ft3_from_m3, codata.foot**3),
    (units.m3_from_yd3, units.yd3_from_m3, codata.yard**3),
    (units.m3_from_gallons, units.gallons_from_m3, codata.gallon),
    (units.m3_h_from_gpm, units.gpm_from_m3_h, codata.gallon * 60),
    (units.m_s_from_mph, units.mph_from_m_s, codata.mph),
    (units.kg_from_lb, units.lb_from_kg, codata.pound),
    (units.kpa_from_psf, units.psf_from_kpa, codata.pound_force / codata.foot**2 / 1000),
    (units.mpa_from_psi, units.psi_from_mpa, codata.psi / 1e6),
]


@pytest.mark.parametrize(("into_si", "out_of_si", "factor"), FACTORS)
@given(value=st.floats(min_value=-1e6, max_value=1e6))
def test_factor_and_way_back(into_si, out_of_si, factor, value):
    assert into_si(value) == pytest.approx(value * factor, rel=1e-12)
    assert out_of_si(into_si(value)) == pytest.approx(value, rel=1e-12)


@given(st.floats(min_value=-100, max_value=200))
def test_degrees_against_the_library_and_back(degrees_f):
    assert units.c_from_f(degrees_f) == pytest.approx(codata.convert_temperature(degrees_f, "F", "C"), abs=1e-9)
    assert units.f_from_c(units.c_from_f(degrees_f)) == pytest.approx(degrees_f, abs=1e-9)


@pytest.mark.parametrize(
    ("metres", "feet", "inches"), [(9.7536, 32, 0), (1.0668, 3, 6), (2.43, 8, 0), (0.0, 0, 0), (0.292, 0, 11)]
)
def test_feet_and_inches_never_say_twelve_inches(metres, feet, inches):
    assert units.feet_and_inches_from_m(metres) == (feet, inches)


def test_gallons_of_a_cubic_foot():
    """1728 / 231 cubic inches, by definition of the US gallon."""
    assert units.gallons_from_m3(units.m3_from_ft3(1.0)) == pytest.approx(1728 / 231, rel=1e-12)


def test_twelve_gallons_a_minute_is_the_usual_hose():
    assert units.m3_h_from_gpm(12.0) == pytest.approx(2.73, abs=0.005)
