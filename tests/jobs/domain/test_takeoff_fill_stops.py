"""Fill stops against the pool worked by hand; distances are common practice, no source."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.domain.basin import FITTING_KINDS, Fitting
from jobs.domain.errors import CannotDo
from jobs.domain.fillstops import OVER_SHALLOW_M, fill_stops, usual_fittings
from tests.jobs.domain.pools import FT, basin_ft, design_of, hopper_16x32, worked_design


def test_stop_levels_worked_by_hand():
    stops = fill_stops(worked_design())
    assert [stop.name for stop in stops] == ["main_drain", "stair_light", "return", "skimmer", "design"]
    assert [round(stop.level_m / FT, 6) for stop in stops] == [0.25, 5.70, 6.40, 7.20, 8.00]
    assert [round(stop.level_m, 3) for stop in stops] == [0.076, 1.737, 1.951, 2.195, 2.438]


def test_windows_of_the_worked_pool():
    drain, stair_light, returns, _skimmer, design = fill_stops(worked_design())
    assert (drain.cut_from_m, drain.cut_until_m) == pytest.approx((0.03, 0.10))
    assert stair_light.cut_from_m == pytest.approx(6.08 * FT - 0.12)
    assert stair_light.cut_until_m == pytest.approx(5.80 * FT - 0.015)
    assert (returns.cut_from_m, returns.cut_until_m) == pytest.approx((6.60 * FT - 0.12, 6.60 * FT - 0.015))
    assert len(returns.fittings) == 2
    assert design.fittings == ()


def test_usual_fittings_give_the_usual_five_stops():
    basin = hopper_16x32()
    stops = fill_stops(design_of(replace(basin, fittings=usual_fittings(basin))))
    assert [stop.name for stop in stops] == ["main_drain", "stair_light", "return", "skimmer", "design"]


def test_usual_fittings_refuse_a_wading_pool():
    basin = basin_ft(
        length=20, width=10, shallow_depth=2, deep_depth=2, shallow_length=0, slope_length=0, deep_length=20
    )
    with pytest.raises(CannotDo) as refused:
        usual_fittings(basin)
    assert refused.value.field == "fittings"


def test_fitting_that_would_drown_before_the_water_holds_the_liner():
    design = design_of(hopper_16x32((("stair", 5.2),)))
    with pytest.raises(CannotDo) as refused:
        fill_stops(design)
    assert refused.value.code == "takeoff.stop_too_low"
    assert "stair" in refused.value.says


def test_fitting_the_design_level_leaves_dry_is_cut_last():
    *_, last = fill_stops(design_of(hopper_16x32((("other", 8.45),))))
    assert [fitting.kind for fitting in last.fittings] == ["other"]


basin = hopper_16x32()
LEAST_M = basin.wall_foot_level_m + OVER_SHALLOW_M + 0.015
wall_fittings = st.builds(
    Fitting,
    kind=st.sampled_from([kind for kind in FITTING_KINDS if kind != "main_drain"]),
    flange_m=st.floats(min_value=LEAST_M + 1e-6, max_value=basin.max_level_m),
)


@given(st.lists(wall_fittings, max_size=8))
def test_every_fitting_is_cut_once_inside_its_window(fittings):
    stops = fill_stops(design_of(replace(basin, fittings=(Fitting(kind="main_drain", flange_m=0.0), *fittings))))
    levels = [stop.level_m for stop in stops]
    assert levels == sorted(levels)
    assert levels[-1] == basin.design_level_m
    assert sum(len(stop.fittings) for stop in stops) == len(fittings) + 1
    for stop in stops[1:-1]:
        assert stop.cut_from_m <= stop.level_m <= stop.cut_until_m
        assert stop.level_m >= basin.wall_foot_level_m + OVER_SHALLOW_M
        for fitting in stop.fittings:
            assert fitting.flange_m - 0.12 - 1e-9 <= stop.level_m <= fitting.flange_m - 0.015 + 1e-9
