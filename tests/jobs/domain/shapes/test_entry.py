"""A pool as a person writes it in a file: short ways, built-in parts, usual fittings, plain refusals."""

import math
from typing import Any

import pytest

from jobs.domain.basin import RectangularBasin
from jobs.domain.errors import CannotDo
from jobs.domain.fillstops import usual_fittings
from jobs.domain.shapes.entry import basin_of_entry
from jobs.domain.shapes.parts import PartedBasin
from jobs.domain.shapes.solids import WithSolids, solid_m3
from jobs.domain.shapes.stations import StationBasin
from tests.jobs.domain.shapes.entries import FREE_FORM, L_SHAPE

RECTANGLE: dict[str, Any] = L_SHAPE["main"]


def test_without_a_shape_it_is_a_rectangle_with_usual_fittings() -> None:
    basin = basin_of_entry({**RECTANGLE, "freeboard_m": 0.2})
    assert isinstance(basin, RectangularBasin)
    assert basin.freeboard_m == 0.2
    assert basin.fittings == usual_fittings(basin)


def test_own_fittings_stand_as_entered() -> None:
    basin = basin_of_entry({**RECTANGLE, "fittings": [{"kind": "light", "flange_m": 1.2}]})
    assert [(one.kind, one.flange_m) for one in basin.fittings] == [("light", 1.2)]


def test_an_l_holds_both_rectangles() -> None:
    """By hand: main 4.5 x (4 x 1.1 + 3 x 1.45 + 2 x 1.8) m3, leg 3 x 3.5 x 1.1 m3."""
    basin = basin_of_entry(L_SHAPE)
    assert isinstance(basin, PartedBasin)
    assert basin.water_volume_m3 == pytest.approx(4.5 * (4 * 1.1 + 3 * 1.45 + 2 * 1.8) + 3 * 3.5 * 1.1)
    assert basin.water_surface_m2 == pytest.approx(9 * 4.5 + 3 * 3.5)
    assert len(basin.fittings) == 6


def test_a_hopper_lies_on_any_side() -> None:
    volumes = set()
    for side in ("right", "left", "top", "bottom"):
        basin = basin_of_entry({"shape": "parts", "parts": [{"basin": RECTANGLE, "deep_side": side}]})
        volumes.add(round(basin.water_volume_m3, 6))
    assert volumes == {round(4.5 * (4 * 1.1 + 3 * 1.45 + 2 * 1.8), 6)}


def test_stations_may_give_a_width_or_two_sides() -> None:
    basin = basin_of_entry(FREE_FORM)
    assert isinstance(basin, StationBasin)
    # Trapezoids between the stations, by hand.
    widths = [(2.0, 2.4, 4.6), (3.0, 4.6, 4.2), (2.5, 4.2, 5.0), (1.5, 5.0, 3.0)]
    assert basin.water_surface_m2 == pytest.approx(sum(length * (a + b) / 2 for length, a, b in widths))


def test_a_round_pool_by_its_diameter() -> None:
    basin = basin_of_entry({"shape": "round", "diameter_m": 4.0, "depth_m": 1.2})
    assert basin.water_volume_m3 == pytest.approx(math.pi * 4 * 1.2, rel=1e-6)


def test_benches_ledges_and_stairs_take_the_place_of_water() -> None:
    built = {
        "benches": [{"foot_m": 0.7, "top_m": 1.2, "length_m": 2.0, "width_m": 0.4}],
        "sun_ledges": [{"foot_m": 0.7, "top_m": 1.5, "length_m": 4.5, "width_m": 1.0}],
        "stairs": [{"foot_m": 0.7, "top_m": 1.6, "treads": 3, "tread_m": 0.3, "width_m": 1.2}],
    }
    basin = basin_of_entry({**L_SHAPE, **built})
    assert isinstance(basin, WithSolids)
    assert solid_m3(basin) == pytest.approx(2 * 0.4 * 0.5 + 4.5 * 1.0 * 0.8 + 0.3 * (0.3 + 0.6 + 0.9) * 1.2)
    assert basin.water_volume_m3 == pytest.approx(basin_of_entry(L_SHAPE).water_volume_m3 - solid_m3(basin))


@pytest.mark.parametrize(
    ("entry", "code", "says"),
    [
        ({"shape": "star"}, "shapes.unknown_shape", "l_shape"),
        ({**RECTANGLE, "shape": "l_shape"}, "shapes.bad_entry", "main"),
        ({**RECTANGLE, "length": 3}, "shapes.bad_entry", "it has no length"),
        ({"length_m": 3.0, "width_m": 2.0}, "shapes.bad_entry", "shallow_depth_m, deep_depth_m"),
        ({**RECTANGLE, "benches": [{"foot_m": 0.7}]}, "shapes.bad_entry", "top_m"),
        ({**FREE_FORM, "measured": [{"x_m": 0.0, "width_m": "wide", "depth_m": 1.0}]}, "basin.not_a_number", "wide"),
        ({**FREE_FORM, "measured": FREE_FORM["measured"][:1]}, "shapes.too_few_stations", "1 stations"),
        ({**L_SHAPE, "leg_from_m": 8.0}, "shapes.leg_outside", "8.0"),
        ({**RECTANGLE, "fittings": [{"kind": "fountain", "flange_m": 1.0}]}, "basin.unknown_fitting", "fountain"),
        ({**RECTANGLE, "length_m": -9.0}, "basin.not_positive", "-9"),
    ],
)
def test_what_is_no_pool_is_refused_by_name(entry: dict[str, Any], code: str, says: str) -> None:
    with pytest.raises(CannotDo) as refused:
        basin_of_entry(entry)
    assert refused.value.code == code
    assert says in str(refused.value)
