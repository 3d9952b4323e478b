"""Pure packages load without Django, Celery, Redis or HTTP, each in a fresh interpreter."""

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
PURE = (
    "jobs.domain",
    "jobs.science",
    "jobs.methods",
    "jobs.words",
    "crews.domain",
    "planner.solver",
    "planner.forecast.domain",
    "planner.plans.domain",
    "planner.plans.asking",
    "planner.calculators",
    "planner.web.presenters",
    "planner.dayplans.presenters",
    "planner.watch.domain",
    "planner.watch.presenters",
)
PROBE = """
import importlib, pkgutil, sys
package = importlib.import_module({name!r})
for module in pkgutil.walk_packages(package.__path__, package.__name__ + "."):
    importlib.import_module(module.name)
print(sorted({{name.partition(".")[0] for name in sys.modules}} & {{"django", "celery", "redis", "requests"}}))
"""


@pytest.mark.parametrize("name", PURE)
def test_pure_package_loads_alone(name: str) -> None:
    found = subprocess.run(
        [sys.executable, "-c", PROBE.format(name=name)], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert found.returncode == 0, found.stderr
    assert found.stdout.strip() == "[]"
