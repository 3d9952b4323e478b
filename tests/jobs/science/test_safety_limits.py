"""Published limits that protect people (safety_limits.csv): in the cautions as they are read out, and in the bands."""

import pytest

from jobs.methods.loader import load_vocabulary
from jobs.science.heat import SUN_ADDS_C, heat_band
from planner.dayplans.presenters.measures import worded
from tests.jobs.science.worked_examples import celsius, rows_of

A_LITTLE = 0.01


@pytest.mark.parametrize("row", rows_of("safety_limits"), ids=lambda row: f"{row['key']}-{row['expected']}")
def test_published_limit(row: dict[str, str]) -> None:
    expected = float(row["expected"])
    if row["quantity"] == "caution":
        sentence = worded(load_vocabulary().cautions[row["key"]].sentence)
        unit = {"ft": "feet", "degF": "°F"}.get(row["unit"], row["unit"])
        said = f" {row['expected']} {unit}"
        assert said in sentence, row["source"]
    elif row["quantity"] == "sun_adds":
        assert pytest.approx(expected) == SUN_ADDS_C * 1.8
    else:
        inside = expected + (A_LITTLE if row["quantity"] == "heat_band_above" else 0.0)
        assert heat_band(celsius(inside)) == row["key"], row["source"]
        assert heat_band(celsius(inside - A_LITTLE)) != row["key"], row["source"]
