"""Bars by spacing and lap, forms by course: each by hand."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.domain.errors import CannotDo
from jobs.domain.order.bars import BARS, bar_of, bars_across, bars_round, closed, mat, straight
from jobs.domain.order.buying import Buying
from jobs.domain.order.forms import corners_of, courses_of, form_pieces
from jobs.domain.shapes.curves import round_basin
from jobs.domain.shapes.parts import l_shape
from tests.jobs.domain.pools import hopper_16x32
from tests.jobs.domain.shapes.pools import sloped


@pytest.mark.parametrize("bar", BARS.values(), ids=BARS)
def test_a_bar_weighs_what_its_steel_weighs(bar):
    """7,850 kg/m3, the density of steel in any handbook; diameters are rounded to a tenth of a millimetre."""
    eighths = int(bar.size[1:])
    exact_m = eighths * 0.0254 / 8
    assert bar.diameter_m == pytest.approx(exact_m, abs=0.00006)
    # Sizes to #8 are eighths of an inch; the standard prints three decimals of a kilogram.
    assert bar.mass_kg_m == pytest.approx(math.pi / 4 * exact_m**2 * 7850, rel=0.004)


def test_weight_of_a_square_foot_of_mat():
    """#4 at 12 in both ways is 2 x 0.668 lb = 1.336 lb/ft2 (ASTM A615, from memory)."""
    big = mat(area_m2=100 * 100 * 0.3048**2, length_m=30.48, width_m=30.48, spacing_m=0.3048, stock_m=100.0, lap_m=0.0)
    kg = big.net_m * bar_of("#4").mass_kg_m
    # A hundred gaps, a hundred and one bars.
    assert kg / 0.45359237 / 10_000 == pytest.approx(1.336 * 1.01, rel=1e-3)


def test_a_floor_of_bars_counted_by_hand():
    """6 x 3 m at 0.3 m: 11 bars of 6 m and 21 of 3 m; the long ones lap once in 4 m stock."""
    runs = mat(area_m2=18.0, length_m=6.0, width_m=3.0, spacing_m=0.3, stock_m=4.0, lap_m=0.5)
    assert runs.count == 32
    assert runs.net_m == pytest.approx(11 * 6 + 21 * 3)
    assert runs.lapped_m == pytest.approx(11 * 6.5 + 21 * 3)
    sloped_floor = mat(area_m2=21.6, length_m=6.0, width_m=3.0, spacing_m=0.3, stock_m=4.0, lap_m=0.5)
    assert sloped_floor.lapped_m == pytest.approx(1.2 * runs.lapped_m)


@given(
    st.floats(min_value=0.1, max_value=60.0),
    st.floats(min_value=2.0, max_value=12.0),
    st.floats(min_value=0.0, max_value=1.0),
)
def test_pieces_of_stock_reach_over_their_laps(length, stock, lap):
    open_run = straight(length, count=1, stock_m=stock, lap_m=lap)
    ring = closed(length, count=1, stock_m=stock, lap_m=lap)
    laps = round((open_run.lapped_m - length) / lap) if lap > 0.01 else None
    if laps is not None:
        assert (laps + 1) * stock - laps * lap >= length - 1e-4
        assert laps == 0 or laps * stock - (laps - 1) * lap < length + 1e-3
    assert ring.lapped_m >= open_run.lapped_m - 1e-9


def test_bars_at_the_edges_and_round():
    assert bars_across(3.0, 0.3) == 11
    assert bars_across(0.0, 0.3) == 1
    assert bars_round(30.48, 0.4064) == 75


def test_courses_corners_and_straight_forms_by_hand():
    """16 x 32 ft, 3.5 ft high in 16 in courses: 3 courses (two whole, one cut), 12 corner pieces.

    Round the middle of an 11 in form 96 ft + 4 x 11 in = 30.38 m; less 8 legs of 0.5 m, three times, and 5 %: 83.1 m,
    69 pieces of 4 ft.
    """
    basin = hopper_16x32()
    found = form_pieces(
        length_m=basin.offset_length_m(0.279 / 2),
        height_m=3.5 * 0.3048,
        deep_m2=0.0,
        corners=corners_of(basin.outline()),
        course_m=0.406,
        piece_m=1.219,
        corner_leg_m=0.5,
        waste=0.05,
    )
    assert (found.courses, found.corners_out, found.corners_in, found.straight) == (3, 12, 0, 69)
    assert courses_of(0.812, 0.406) == 2


def test_corners_of_other_shapes():
    ell = l_shape(main=sloped(10.0, 5.0, 1.5), leg=sloped(4.0, 4.0, 1.5), leg_from_m=6.0, freeboard_m=0.15)
    # The leg ends flush with the main part: five corners out, one in.
    assert corners_of(ell.outline()) == (5, 1)
    assert corners_of(round_basin(diameter_m=6.0, depth_m=1.2).outline()) == (0, 0)


@pytest.mark.parametrize(
    ("values", "code"),
    [
        ({"bar": "#2"}, "order.unknown_bar"),
        ({"stock_bar_m": 0.0}, "basin.not_positive"),
        ({"pour_loss": -0.1}, "basin.negative"),
        ({"course_m": "high"}, "basin.not_a_number"),
    ],
)
def test_bad_sizes_are_refused(values, code):
    with pytest.raises(CannotDo) as refused:
        Buying(**values)
    assert refused.value.code == code


def test_a_lap_longer_than_the_bar_is_refused():
    with pytest.raises(CannotDo) as refused:
        straight(10.0, count=1, stock_m=0.5, lap_m=0.5)
    assert refused.value.code == "order.lap_too_long"
