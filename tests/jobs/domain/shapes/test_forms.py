"""Every shape goes into plain values and comes back the same."""

import json
from typing import cast

import pytest
from hypothesis import given, settings

from jobs.domain.basin import Basin, Fitting
from jobs.domain.errors import CannotDo
from jobs.domain.shapes.forms import SHAPES, basin_from, form_of
from jobs.domain.shapes.solids import WithSolids
from tests.jobs.domain.pools import hopper_16x32
from tests.jobs.domain.shapes.any_pool import pools


@settings(max_examples=30, deadline=None)
@given(pools)
def test_there_and_back(basin):
    shape, form = form_of(basin)
    again = basin_from(shape, json.loads(json.dumps(form)), freeboard_m=basin.freeboard_m, fittings=basin.fittings)
    assert again == basin
    assert again.water_volume_m3 == basin.water_volume_m3


def test_the_plain_rectangle_keeps_its_fittings_apart():
    basin = hopper_16x32((("main_drain", 0.0), ("skimmer", 7.4)))
    shape, form = form_of(basin)
    assert shape == "rectangle"
    assert "fittings" not in form
    fittings = (Fitting(kind="return", flange_m=1.0),)
    assert basin_from(shape, form, freeboard_m=0.1, fittings=fittings).fittings == fittings


def test_what_cannot_be_read_is_refused():
    with pytest.raises(CannotDo) as unknown:
        basin_from("star", {}, freeboard_m=0.1)
    assert unknown.value.code == "shapes.unknown_shape"
    assert all(shape in unknown.value.remedy for shape in SHAPES)
    for form in ({"length_m": 4.0}, {"length_m": 4.0, "width_m": 2.0, "section": [1.0, 2.0]}, {"sides": 5}):
        with pytest.raises(CannotDo) as bad:
            basin_from("ellipse", form, freeboard_m=0.1)
        assert bad.value.code == "shapes.bad_form"
    with pytest.raises(CannotDo) as strange:
        form_of(cast(Basin, object()))
    assert strange.value.code == "shapes.unknown_shape"


def test_solids_within_solids_come_back_in_one():
    basin = hopper_16x32()
    solid = {"kind": "bench", "foot_m": 1.6, "top_m": 2.0, "plan_m2": 1.0, "riser_m": 2.0, "wall_m": 2.0}
    _, form = form_of(basin)
    once = basin_from("rectangle", {**form, "solids": [solid]}, freeboard_m=basin.freeboard_m)
    assert isinstance(once, WithSolids)
    twice = WithSolids(basin=once, solids=once.solids)
    shape, both = form_of(twice)
    assert len(both["solids"]) == 2
    assert basin_from(shape, both, freeboard_m=basin.freeboard_m).water_volume_m3 == pytest.approx(
        twice.water_volume_m3
    )
