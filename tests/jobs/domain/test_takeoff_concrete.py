"""Concrete coverage, wall concrete, trucks and their interval (slabs.csv names each source)."""

import pytest

from jobs.domain.takeoff import slab_coverage_m2, truck_interval_minutes, trucks
from jobs.domain.units import ft2_from_m2, m3_from_yd3, m_from_in
from tests.jobs.domain.pools import rows


def _computed(row):
    given = {key: float(value) for key, value in row.items() if value and key not in ("quantity", "source")}
    if row["quantity"] == "trucks":
        return trucks(m3_from_yd3(given["volume_yd3"]), m3_from_yd3(given["load_yd3"]))
    if row["quantity"] == "interval_minutes":
        return truck_interval_minutes(m3_from_yd3(given["load_yd3"]), m3_from_yd3(given["rate_yd3_h"]))
    per_yard = ft2_from_m2(slab_coverage_m2(m3_from_yd3(1.0), m_from_in(given["thickness_in"])))
    if row["quantity"] == "coverage_ft2":
        return given["volume_yd3"] * per_yard
    area = given["area_ft2"] if row["quantity"] == "slab_yd3" else given["length_ft"] * given["height_in"] / 12
    return area / per_yard


@pytest.mark.parametrize("row", rows("slabs.csv"), ids=lambda row: f"{row['quantity']}-{row['expected']}")
def test_published_concrete_figure(row):
    assert _computed(row) == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]) + 1e-9, rel=0), row[
        "source"
    ]


def test_a_load_that_fits_exactly_needs_no_second_truck():
    assert trucks(0.1 * 3, 0.3) == 1
    assert trucks(0.0, 7.6) == 0
