"""Pools the geometry and take-off tests share; every figure in feet is turned into SI here."""

import csv
from pathlib import Path

from jobs.domain.basin import Fitting, RectangularBasin
from jobs.domain.design import PoolDesign

FT = 0.3048
WORKED_EXAMPLES = Path(__file__).parents[3] / "fixtures" / "worked_examples"

SHAPE_FIELDS = (
    "length",
    "width",
    "shallow_depth",
    "deep_depth",
    "shallow_length",
    "slope_length",
    "deep_length",
    "back_slope_length",
    "side_slope_width",
    "freeboard",
)


def rows(name):
    with (WORKED_EXAMPLES / name).open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def basin_ft(fittings_ft=(), **feet):
    return RectangularBasin(
        fittings=tuple(Fitting(kind=kind, flange_m=flange * FT) for kind, flange in fittings_ft),
        **{f"{name}_m": feet[name] * FT for name in SHAPE_FIELDS if name in feet},
    )


def hopper_16x32(fittings_ft=()):
    """16 x 32 ft: 3 ft shallow, 6 x 6 ft deep floor at 8 ft, slopes all round, half a foot of freeboard."""
    return basin_ft(
        fittings_ft,
        length=32,
        width=16,
        shallow_depth=3,
        deep_depth=8,
        shallow_length=10,
        slope_length=10,
        deep_length=6,
        back_slope_length=6,
        side_slope_width=5,
        freeboard=0.5,
    )


def wedge_16x32(fittings_ft=()):
    """16 x 32 ft at full width: 12 ft shallow at 3 ft, 14 ft slope, 6 ft deep at 8 ft."""
    return basin_ft(
        fittings_ft,
        length=32,
        width=16,
        shallow_depth=3,
        deep_depth=8,
        shallow_length=12,
        slope_length=14,
        deep_length=6,
        freeboard=0.5,
    )


WORKED_FITTINGS_FT = (
    ("main_drain", 0.0),
    ("stair", 5.80),
    ("light", 6.08),
    ("return", 6.60),
    ("return", 6.60),
    ("skimmer", 7.40),
)


def design_of(basin, **changes):
    """The shell and surroundings of the worked example on any basin: 2.75 ft from water line to dig face."""
    values = {
        "soil": "clay",
        "working_space_m": 2.75 * FT - 0.279,
        "coping_width_m": 1 * FT,
        "deck_width_m": 4 * FT,
        "fence_m": 45,
        "pipe_m": 60,
        "floor_pipe_m": 14,
        "floor_steel_kg": 300,
        "bond_points_each": 6,
        "deck_joint_m": 26,
        "equipment_each": 4,
    }
    return PoolDesign(basin=basin, **{**values, **changes})


def worked_design(**changes):
    return design_of(hopper_16x32(WORKED_FITTINGS_FT), **changes)
