"""An L and a free form are opened, planned whole, and read back as they were entered."""

from typing import Any

import pytest

from jobs.domain.basin import Fitting
from jobs.domain.shapes.entry import basin_of_entry
from jobs.methods.loader import load_method
from jobs.models import Job
from jobs.snapshots import basin_of
from planner.plans.domain.lasting.fill import stretch_of
from tests.jobs.domain.shapes.entries import FREE_FORM, L_SHAPE
from tests.scenarios.test_methods_plan import planned, world_by

pytestmark = pytest.mark.django_db
LINER, PLASTER = "insulated_form_liner", "insulated_form_plaster"


@pytest.mark.parametrize("entry", [L_SHAPE, FREE_FORM], ids=["l_shape", "free_form"])
def test_every_task_finds_its_place_and_the_water_is_the_shape_s(entry: dict[str, Any]) -> None:
    basin = basin_of_entry(entry)
    assembled, by_key = planned(LINER, basin)
    assert set(by_key) == {task.key for task in load_method(LINER).tasks}
    row = Job.objects.get()
    assert basin_of(row.basin) == basin
    filled = row.tasks.filter(exposure="fill", kind="clock")
    assert sum(task.quantity or 0.0 for task in filled) == pytest.approx(basin.water_volume_m3)
    assert assembled.problem.tasks


def test_a_plastered_pool_may_have_a_fitting_near_its_floor() -> None:
    """Nothing is cut while a plastered pool fills, so no water has to hold a liner first."""
    entry = {**L_SHAPE, "fittings": [{"kind": "main_drain", "flange_m": 0.0}, {"kind": "return", "flange_m": 0.3}]}
    basin = basin_of_entry(entry)
    assert basin.fittings[1] == Fitting(kind="return", flange_m=0.3)
    (job,) = world_by(PLASTER, basin).jobs
    (fill,) = (task for task in job.tasks if task.exposure == "fill" and task.kind == "clock")
    stretch = stretch_of(job, fill)
    assert stretch is not None
    assert (stretch.from_m, stretch.until_m) == (0.0, pytest.approx(1.8))
