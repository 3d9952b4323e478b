"""A wall pour is as long as its forms and trucks need, and is refused at opening where no day is long enough."""

from datetime import time
from typing import Any

import pytest

from jobs.domain.derive import DerivedJob, derive_job
from jobs.domain.design import PoolDesign
from jobs.domain.errors import CannotDo
from jobs.domain.takeoff import quantities
from jobs.methods.loader import load_method
from jobs.services.pours import with_wall_pours
from tests.jobs.domain.pools import worked_design


def opened(*, closes: time = time(17), done: tuple[str, ...] = (), **changes: Any) -> tuple[DerivedJob, DerivedJob]:
    """The job as listed and as opened."""
    pool: PoolDesign = worked_design(**changes)
    listed = derive_job(load_method("insulated_form_liner"), quantities(pool), soil="clay")
    return listed, with_wall_pours(listed, pool, opens=time(7), closes=closes, done=done)


def minutes(job: DerivedJob) -> int:
    return next(task.work_minutes for task in job.tasks if task.key == "pour_walls")


def test_a_low_wall_with_enough_trucks_keeps_the_crew_s_own_pace() -> None:
    """The worked example's 6.5 h: a low wall rises in an hour and a half, the crew finishes its coping after it."""
    listed, found = opened()
    assert minutes(found) == minutes(listed) == 390


def test_trucks_that_keep_the_crew_waiting_make_it_longer() -> None:
    listed, found = opened(trucks_each=1, truck_load_m3=1.0, truck_round_trip_h=0.7, truck_travel_h=0.4)
    # 6.5 m3 in seven loads, each placed and then waited for: more than six hours and an hour of set-up.
    assert minutes(found) > minutes(listed)
    assert minutes(found) % 15 == 0


def test_a_pour_that_no_day_is_long_enough_for_is_refused_with_remedies() -> None:
    with pytest.raises(CannotDo) as refused:
        opened(closes=time(13))
    assert refused.value.code == "wall_pour.past_close"
    assert "limited by the crew" in refused.value.says
    assert "construction joint approved by the engineer" in refused.value.remedy


def test_forms_too_weak_for_any_rise_are_refused() -> None:
    with pytest.raises(CannotDo) as refused:
        opened(form_rated_kpa=18.0)
    assert refused.value.code == "formwork.form_too_weak"


def test_a_pour_that_is_done_is_not_asked() -> None:
    listed, found = opened(closes=time(13), done=("pour_walls",))
    assert found == listed


@pytest.mark.parametrize(
    ("field", "value", "code"),
    [("cement", "X", "design.unknown_cement"), ("form_rated_kpa", 0.0, ""), ("trucks_each", -1, "")],
)
def test_values_that_are_no_concrete_are_named(field: str, value: object, code: str) -> None:
    with pytest.raises(CannotDo) as refused:
        worked_design(**{field: value})
    assert refused.value.field == field
    assert code in refused.value.code
