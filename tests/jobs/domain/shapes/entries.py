"""Entries of a file for pools of other shapes, in metres."""

from typing import Any

L_SHAPE: dict[str, Any] = {
    "shape": "l_shape",
    "main": {
        "length_m": 9.0,
        "width_m": 4.5,
        "shallow_depth_m": 1.1,
        "deep_depth_m": 1.8,
        "shallow_length_m": 4.0,
        "slope_length_m": 3.0,
        "deep_length_m": 2.0,
    },
    "leg": {
        "length_m": 3.0,
        "width_m": 3.5,
        "shallow_depth_m": 1.1,
        "deep_depth_m": 1.1,
        "shallow_length_m": 3.0,
        "slope_length_m": 0.0,
        "deep_length_m": 0.0,
    },
    "leg_from_m": 0.5,
    "freeboard_m": 0.15,
}
FREE_FORM: dict[str, Any] = {
    "shape": "stations",
    "freeboard_m": 0.12,
    "measured": [
        {"x_m": 0.0, "width_m": 2.4, "depth_m": 1.1},
        {"x_m": 2.0, "width_m": 4.6, "depth_m": 1.1},
        {"x_m": 5.0, "left_m": 1.9, "right_m": 2.3, "depth_m": 1.5},
        {"x_m": 7.5, "width_m": 5.0, "depth_m": 1.9},
        {"x_m": 9.0, "width_m": 3.0, "depth_m": 1.9},
    ],
}
