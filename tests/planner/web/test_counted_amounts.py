"""A count on a page says of what."""

import pytest

from jobs.domain.derive import derive_job
from jobs.methods.loader import list_methods, load_method, load_vocabulary
from planner.web.presenters.pools.amounts import COUNTED, task_amount
from tests.jobs.domain.example import EXAMPLE_QUANTITIES
from tests.planner.dayplans.domain.worlds import task


@pytest.mark.parametrize(
    ("unit", "quantity", "words"),
    [
        ("fittings_each", 4.0, "4 fittings"),
        ("fittings_each", 1.0, "1 fitting"),
        ("bond_points_each", 8.0, "8 bond points"),
        ("equipment_each", 4.0, "4 pieces of equipment"),
        ("each", 4.0, "4 pieces"),
        ("each", 1.0, ""),
    ],
)
def test_a_count_says_of_what(unit: str, quantity: float, words: str) -> None:
    assert task_amount(task("fit_openings", 1, unit=unit, quantity=quantity)) == words


def test_a_derived_task_keeps_what_its_count_counts() -> None:
    derived = derive_job(load_method("insulated_form_liner"), EXAMPLE_QUANTITIES, soil="sand")
    units = {one.key: one.unit for one in derived.tasks}
    assert units["fit_openings"] == "fittings_each"
    assert units["stack_forms"] == "m2"
    assert units["stake_out"] == "each"


def test_every_count_of_every_method_has_its_words() -> None:
    counts = {key for key in load_vocabulary().quantities if key.endswith("_each")}
    used = {rule.quantity for name in list_methods() for rule in load_method(name).tasks}
    assert counts & used <= COUNTED.keys() <= counts
