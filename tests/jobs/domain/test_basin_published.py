"""Basins against published rectangles and hand-worked hoppers (pools.csv names each source)."""

import pytest

from tests.jobs.domain.pools import FT, SHAPE_FIELDS, basin_ft, rows


def _measured(basin, quantity, level_ft):
    top = basin.max_level_m
    wall = basin.wetted_wall_m2(top)
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


@pytest.mark.parametrize("row", rows("pools.csv"), ids=lambda row: f"{row['case']}-{row['quantity']}-{row['level_ft']}")
def test_basin_gives_the_published_figure(row):
    basin = basin_ft(**{name: float(row[f"{name}_ft"]) for name in SHAPE_FIELDS})
    gallons = row["quantity"].endswith("_gal")
    quantity = row["quantity"].replace("_gal", "_ft3")
    value = _measured(basin, quantity, row["level_ft"]) * (float(row["gallons_per_ft3"]) if gallons else 1.0)
    assert value == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]), rel=0), row["source"]


def test_average_end_area_would_read_a_seventh_too_much():
    """The usual wrong method, worked by hand for the 20 x 40 ft hopper: 1,314 against the true 1,152 ft3."""
    row = next(row for row in rows("pools.csv") if row["case"] == "hopper_20x40")
    basin = basin_ft(**{name: float(row[f"{name}_ft"]) for name in SHAPE_FIELDS})
    height = basin.wall_foot_level_m
    foot, top = basin.surface_at_m2(0.0), 26 * 20 * FT**2
    assert (foot + top) / 2 * height / FT**3 == pytest.approx(1314)
    assert basin.volume_at_m3(height) / FT**3 == pytest.approx(1152)


def test_long_section_of_a_hopper_rises_to_the_shallow_depth_again():
    row = next(row for row in rows("pools.csv") if row["case"] == "hopper_20x40")
    basin = basin_ft(**{name: float(row[f"{name}_ft"]) for name in SHAPE_FIELDS})
    section = [(round(x / FT, 6), round(depth / FT, 6)) for x, depth in basin.stations()]
    assert section == [(0, 3.5), (14, 3.5), (24, 8), (32, 8), (40, 3.5)]
