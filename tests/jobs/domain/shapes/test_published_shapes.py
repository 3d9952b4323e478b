"""L-shaped, stepped, round, oval, kidney and stadium pools against published figures (the file names each source).

Left out: a published table of liner pools by size alone. It gives no depths between the ends, so that only the mean
depth its own answer implies could be put in.
"""

import pytest

from jobs.domain.shapes.parts import PartedBasin
from jobs.domain.shapes.placing import Part
from tests.jobs.domain.pools import SHAPE_FIELDS, basin_ft, rows
from tests.jobs.domain.shapes.pools import CASES, FT, YD, stepped, stepped_by_stations


def _figure(basin, quantity):
    surface = basin.water_surface_m2 / FT**2
    return {
        "surface_ft2": lambda: surface,
        "water_ft3": lambda: basin.water_volume_m3 / FT**3,
        # A quarter of an inch on each of seven days, and an inch more.
        "week_loss_ft3": lambda: surface * 2.75 / 12,
        "three_in_ft3": lambda: (basin.water_volume_m3 - basin.volume_at_m3(basin.design_level_m - 3 * 0.0254)) / FT**3,
    }[quantity]()


@pytest.mark.parametrize("row", rows("pools_shapes.csv"), ids=lambda row: f"{row['case']}-{row['expected']}")
def test_shape_gives_the_published_figure(row):
    figure = _figure(CASES[row["case"]](), row["quantity"].replace("_gal", "_ft3"))
    figure *= float(row["gallons_per_ft3"] or 1)
    assert figure == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]), rel=0), row["source"]


def test_every_case_is_published():
    assert {row["case"] for row in rows("pools_shapes.csv")} == set(CASES)


@pytest.mark.parametrize(
    "lengths",
    [(45 * FT, 10 * YD, 3 * FT, 5 * FT, 15 * YD, 12 * FT), (65 * FT, 25 * YD, 4 * FT, 6 * FT, 20 * YD, 15 * FT)],
)
def test_a_step_by_parts_and_by_stations_is_one_pool(lengths):
    by_parts, by_stations = stepped(*lengths), stepped_by_stations(*lengths)
    for level in (0.0, 0.3, 1.5, by_parts.wall_foot_level_m, by_parts.max_level_m):
        assert by_parts.volume_at_m3(level) == pytest.approx(by_stations.volume_at_m3(level))
        assert by_parts.wetted_wall_m2(level) == pytest.approx(by_stations.wetted_wall_m2(level))
    # The face of the step, the width by 7 ft or by 9 ft, is a wall below the shallow floor.
    step = lengths[0] * (lengths[5] - lengths[3])
    upright = by_parts.deep_wall_m2 - step
    ends_and_sides = lengths[0] * (lengths[5] - lengths[2])
    ends_and_sides += 2 * (lengths[1] * (lengths[3] - lengths[2]) / 2 + lengths[4] * (lengths[5] - lengths[2]))
    assert upright == pytest.approx(ends_and_sides)
    for one, other in zip(by_parts.stations(), by_stations.stations(), strict=True):
        assert one == pytest.approx(other, abs=1e-6)


@pytest.mark.parametrize("row", rows("pools.csv"), ids=lambda row: f"{row['case']}-{row['quantity']}-{row['level_ft']}")
def test_a_part_is_the_published_rectangle_whichever_way_it_lies(row):

    plain = basin_ft(**{name: float(row[f"{name}_ft"]) for name in SHAPE_FIELDS})
    for side in ("right", "left", "top", "bottom"):
        turned = PartedBasin(
            parts=(Part(basin=plain, deep_side=side, x_m=-3.1, y_m=2.7),), freeboard_m=plain.freeboard_m
        )
        gallons = row["quantity"].endswith("_gal")
        figure = _rectangle_figure(turned, row["quantity"].replace("_gal", "_ft3"), row["level_ft"])
        figure *= float(row["gallons_per_ft3"]) if gallons else 1.0
        assert figure == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]), rel=0), row["source"]


def _rectangle_figure(basin, quantity, level_ft):
    wall = basin.wetted_wall_m2(basin.max_level_m)
    return {
        "water_m3": lambda: basin.water_volume_m3,
        "perimeter_m": lambda: basin.perimeter_m,
        "floor_m2": lambda: basin.floor_area_m2,
        "wall_m2": lambda: wall,
        "liner_m2": lambda: basin.floor_area_m2 + wall,
        "surface_ft2": lambda: basin.water_surface_m2 / FT**2,
        "perimeter_ft": lambda: basin.perimeter_m / FT,
        "floor_ft2": lambda: basin.floor_area_m2 / FT**2,
        "wall_ft2": lambda: wall / FT**2,
        "liner_ft2": lambda: (basin.floor_area_m2 + wall) / FT**2,
        "water_ft3": lambda: basin.water_volume_m3 / FT**3,
        "volume_at_ft3": lambda: basin.volume_at_m3(float(level_ft) * FT) / FT**3,
    }[quantity]()
