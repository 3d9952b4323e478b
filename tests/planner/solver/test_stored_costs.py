"""Stored problems keep their cost: a change that makes a repeatable plan dearer by more than one percent fails here.

Costs were measured on one machine type; they are measured anew only on purpose, with
``python -m tests.planner.solver.test_stored_costs``.
"""

import json
from pathlib import Path
from typing import Any

import pytest

from planner.solver.parameters import Repeatable
from planner.solver.solve import solve
from tests.planner.solver.company_problems import company_problem, shape_of

STORED = Path(__file__).resolve().parents[3] / "fixtures" / "problems" / "costs.json"
PROBLEMS = ((3, 1), (3, 2), (4, 3))
EFFORT = Repeatable(deterministic_seconds=0.5)


def measured(pools: int, number: int) -> dict[str, Any]:
    problem = company_problem(pools, number)
    return {"shape": shape_of(problem), "dollars": solve(problem, EFFORT).cost.total}


@pytest.mark.parametrize(("pools", "number"), PROBLEMS)
def test_no_stored_cost_gets_worse(pools: int, number: int) -> None:
    stored = json.loads(STORED.read_text(encoding="utf-8"))[f"{pools}/{number}"]
    found = measured(pools, number)
    assert found["shape"] == stored["shape"], "the generator draws another problem: measure the costs anew"
    assert found["dollars"] <= 1.01 * stored["dollars"]


def main() -> None:
    """Measure anew; what was cheaper before stays, unless the problem is another."""
    stored = json.loads(STORED.read_text(encoding="utf-8"))
    costs = {}
    for pools, number in PROBLEMS:
        name, found = f"{pools}/{number}", measured(pools, number)
        before = stored.get(name, found)
        costs[name] = min(before, found, key=lambda one: one["dollars"]) if before["shape"] == found["shape"] else found
    STORED.write_text(json.dumps(costs) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
