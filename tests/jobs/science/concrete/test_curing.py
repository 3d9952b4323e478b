"""Constants and days of curing against published pages (curing.csv): in the laws, and in the build methods shipped."""

import pytest

from jobs.methods.loader import load_method
from jobs.science.strength import EUROPEAN_LAWS
from tests.jobs.science.worked_examples import rows_of

# The cure is counted from final set, eight hours after placing at 21 degC.
SET_HOURS = 8


def found(row: dict[str, str]) -> float:
    if row["quantity"] == "european_s":
        return next(law.s for name, law in EUROPEAN_LAWS.items() if name == row["key"])
    (cure,) = (task for task in load_method(row["key"]).tasks if task.key == "wet_cure")
    assert cure.kind == "clock"
    return (cure.setup_hours - SET_HOURS) / 24


@pytest.mark.parametrize("row", rows_of("concrete/curing"), ids=lambda row: f"{row['quantity']}-{row['key']}")
def test_published_constant(row: dict[str, str]) -> None:
    assert found(row) == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]), rel=0), row["source"]
