"""Orders against published and hand-worked figures (orders.csv names each source)."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.stats import norm

from jobs.domain.errors import CannotDo
from jobs.domain.order.buying import Buying
from jobs.domain.order.concrete import (
    best_order,
    best_order_between,
    concrete_order_m3,
    critical_ratio,
)
from jobs.domain.takeoff import slab_coverage_m2
from jobs.domain.units import ft2_from_m2, ft_from_m, m3_from_yd3, m_from_in
from jobs.science.drying import floats_above_head_m
from tests.jobs.domain.pools import rows


def _yd3(area_ft2, thickness_in):
    return area_ft2 / ft2_from_m2(slab_coverage_m2(m3_from_yd3(1.0), m_from_in(thickness_in)))


def _computed(quantity, a, b, c, d):
    return {
        "slab_with_waste_yd3": lambda: _yd3(a, b) * (1 + c / 100),
        "core_yd3_100ft2": lambda: _yd3(100, a),
        "footing_yd3": lambda: _yd3(a / 12 * c, b),
        "monolithic_yd3": lambda: (_yd3(a, b) + _yd3(c, d)) * 1.07,
        # The hand figure takes 150 lb/ft3 and water at 62.4.
        "float_head_ft": lambda: ft_from_m(floats_above_head_m(m_from_in(a), concrete_kg_m3=150 / 62.4 * 1000)),
        "ratio": lambda: critical_ratio(short_dollars=a, waste_dollars=b),
        "z": lambda: best_order(mean=10, spread=1, short_dollars=a, waste_dollars=b) - 10,
        "normal": lambda: best_order(mean=a, spread=b, short_dollars=c, waste_dollars=d),
        "whole": lambda: math.ceil(best_order(mean=a, spread=b, short_dollars=c, waste_dollars=d)),
        "uniform": lambda: best_order_between(least=a, most=b, short_dollars=c, waste_dollars=d),
    }[quantity]()


@pytest.mark.parametrize("row", rows("orders.csv"), ids=lambda row: f"{row['quantity']}-{row['expected']}")
def test_published_order_figure(row):
    given_values = [float(row[name]) if row[name] else 0.0 for name in "abcd"]
    found = _computed(row["quantity"], *given_values)
    assert found == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]), rel=0), row["source"]


def _expected_cost(order, mean, spread, short, waste):
    density = norm(mean, spread).pdf
    low, high = mean - 8 * spread, mean + 8 * spread
    too_little = quad(lambda need: (need - order) * density(need), order, high)[0] if order < high else 0.0
    too_much = quad(lambda need: (order - need) * density(need), low, order)[0] if order > low else 0.0
    return short * too_little + waste * too_much


@pytest.mark.parametrize(("short", "waste"), [(785, 209), (209, 785), (300, 300)])
def test_no_other_order_costs_less(short, waste):
    """The expected cost integrated over the need, beside the rule."""
    best = best_order(mean=8.0, spread=0.3, short_dollars=short, waste_dollars=waste)
    least = _expected_cost(best, 8.0, 0.3, short, waste)
    for off in (-0.2, -0.02, 0.02, 0.2):
        assert _expected_cost(best + off, 8.0, 0.3, short, waste) > least


costs = st.floats(min_value=1.0, max_value=1e4)


@given(st.floats(min_value=0.0, max_value=60.0), costs, costs)
def test_a_pour_is_never_ordered_below_its_body_and_in_whole_steps(net, short, waste):
    buying = Buying(pour_spread=0.04, short_dollars_m3=short, waste_dollars_m3=waste, pour_step_m3=0.25)
    order = concrete_order_m3(net, buying=buying)
    assert order >= net - 1e-6
    assert order * 4 == round(order * 4)


@given(costs, costs)
def test_dearer_to_run_short_means_more_to_order(short, more):
    low, high = sorted((short, short + more))
    assert best_order(mean=8, spread=0.5, short_dollars=low, waste_dollars=200) <= best_order(
        mean=8, spread=0.5, short_dollars=high, waste_dollars=200
    )


def test_bad_prices_are_refused():
    for ask, code in (
        (lambda: critical_ratio(short_dollars=0, waste_dollars=0), "order.no_costs"),
        (lambda: critical_ratio(short_dollars=-1, waste_dollars=2), "basin.negative"),
        (lambda: best_order(mean=8, spread=1, short_dollars=0, waste_dollars=2), "basin.not_positive"),
        (lambda: best_order_between(least=9, most=8, short_dollars=1, waste_dollars=2), "order.most_below_least"),
    ):
        with pytest.raises(CannotDo) as refused:
            ask()
        assert refused.value.code == code
