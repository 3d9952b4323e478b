"""Opening a job: one transaction from design to tasks, and bad input that leaves the database as it was."""

from collections.abc import Callable
from datetime import UTC, date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from jobs.domain.basin import RectangularBasin
from jobs.domain.errors import CannotDo
from jobs.domain.takeoff import quantities
from jobs.models import Basin, Branch, Hold, Job, Link, Site, Task
from jobs.services.branches import add_site
from jobs.services.opening import Done, open_job
from jobs.snapshots import basin_of, design_of, jobs_of
from tests.jobs.domain.pools import hopper_16x32

AS_OF = datetime(2026, 6, 1, 12, tzinfo=UTC)
DESIGN: dict[str, Any] = {
    "deck_width_m": 1.22,
    "fence_m": 45,
    "pipe_m": 60,
    "floor_pipe_m": 14,
    "floor_steel_kg": 300,
    "bond_points_each": 6,
    "deck_joint_m": 26,
    "equipment_each": 4,
}


@pytest.fixture
def branch(db: None) -> Branch:
    return Branch.objects.create(
        name="East",
        slug="east",
        company="Builders",
        zone="America/New_York",
        opens=time(7),
        closes=time(17),
        yard_latitude=40.5,
        yard_longitude=-74.5,
    )


@pytest.fixture
def site(branch: Branch) -> Site:
    return add_site(
        branch=branch, name="Lot 4", address="4 Elm", latitude=40.6, longitude=-74.4, zone=branch.zone, soil="clay"
    )


@pytest.fixture
def opened(branch: Branch, site: Site) -> Callable[..., Job]:
    def enter(**changes: Any) -> Job:
        values: dict[str, Any] = {
            "branch": branch,
            "site": site,
            "name": "Lot 4",
            "method": "insulated_form_liner",
            "basin": hopper_16x32(),
            "design": DESIGN,
            "promised_on": date(2026, 8, 1),
            "as_of": AS_OF,
            **changes,
        }
        return open_job(**values)

    return enter


def test_a_design_becomes_tasks_links_and_holds(opened: Callable[..., Job], branch: Branch) -> None:
    revision = Branch.objects.get(pk=branch.pk).input_revision
    job = opened()
    assert job.tasks.count() == 49
    assert job.links.count() == 68
    assert job.holds.count() == 7
    assert Branch.objects.get(pk=branch.pk).input_revision > revision
    assert basin_of(job.basin) == hopper_16x32()
    (facts,) = jobs_of(branch)
    assert facts.task("dig").unit == "m3"
    assert facts.pool is not None
    assert facts.task("pour_deck").unit == "m2"
    assert facts.task("pour_deck").concrete_m3 == quantities(facts.pool)["deck_pour_m3"] > 0
    assert facts.task("pour_floor").concrete_m3 == 0.0
    taken_off = quantities(design_of(basin=hopper_16x32(), soil="clay", values=DESIGN))
    assert facts.task("dig").quantity == pytest.approx(taken_off["excavation_m3"])


def test_a_job_enters_half_built(opened: Callable[..., Job]) -> None:
    done = (
        Done(
            key="stake_out", started_at=AS_OF - timedelta(days=9), finished_at=AS_OF - timedelta(days=9), said_by="N."
        ),
        Done(
            key="mark_utilities",
            started_at=AS_OF - timedelta(days=5),
            finished_at=AS_OF - timedelta(days=4),
            said_by="One-call",
        ),
        Done(key="dig", started_at=AS_OF - timedelta(hours=3), finished_at=None, said_by="N."),
    )
    job = opened(done=done, promised_on=date(2026, 5, 1))
    hold = job.holds.get(key="hold_locate")
    assert (hold.result, hold.decided_by) == (Hold.Result.PASSED, "One-call")
    dig = job.tasks.get(key="dig")
    assert dig.started_at is not None
    assert dig.finished_at is None


def bad_basin(**changes: float) -> RectangularBasin:
    sizes = {
        "length_m": 9.75,
        "width_m": 4.88,
        "shallow_depth_m": 0.91,
        "deep_depth_m": 2.44,
        "shallow_length_m": 3.05,
        "slope_length_m": 3.05,
        "deep_length_m": 3.65,
        "freeboard_m": 0.15,
    }
    return RectangularBasin(**{**sizes, **changes})


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"deep_depth_m": 0.5}, "deep_depth_m"),
        ({"width_m": 0.0}, "width_m"),
        ({"length_m": float("nan")}, "length_m"),
        ({"shallow_length_m": 9.0}, "length_m"),
    ],
)
def test_a_design_that_is_no_pool_names_its_field(changes: dict[str, float], field: str) -> None:
    with pytest.raises(CannotDo) as refused:
        bad_basin(**changes)
    assert field in refused.value.field
    assert refused.value.remedy


def test_a_promise_for_today_is_no_past_one_in_the_evening_either(opened: Callable[..., Job]) -> None:
    """At nine in the evening in New York the date in UTC is tomorrow's."""
    evening = datetime(2026, 6, 1, 21, tzinfo=ZoneInfo("America/New_York")).astimezone(UTC)
    assert opened(promised_on=date(2026, 6, 1), as_of=evening).promised_on == date(2026, 6, 1)


@pytest.mark.parametrize(
    ("changes", "code", "field"),
    [
        ({"method": "no_such_method"}, "method.", ""),
        ({"design": {**DESIGN, "colour": 3}}, "job.unknown_design_value", "colour"),
        (
            {"design": {key: value for key, value in DESIGN.items() if key != "pipe_m"}},
            "job.missing_design_value",
            "pipe_m",
        ),
        ({"design": {**DESIGN, "fence_m": -1}}, "", "fence_m"),
        ({"promised_on": date(2026, 5, 1)}, "job.promise_past", "promised_on"),
        (
            {"done": (Done(key="pour_floor", started_at=AS_OF, finished_at=AS_OF, said_by="N."),)},
            "job.done_out_of_order",
            "done",
        ),
        ({"done": (Done(key="paint", started_at=AS_OF, finished_at=AS_OF, said_by="N."),)}, "job.unknown_done", "done"),
        (
            {"done": (Done(key="stake_out", started_at=AS_OF + timedelta(days=1), finished_at=None, said_by="N."),)},
            "job.done_in_future",
            "done",
        ),
    ],
)
def test_bad_input_names_field_and_remedy_and_changes_nothing(
    opened: Callable[..., Job], branch: Branch, changes: dict[str, Any], code: str, field: str
) -> None:
    revision = Branch.objects.get(pk=branch.pk).input_revision
    with pytest.raises(CannotDo) as refused:
        opened(**changes)
    assert refused.value.code.startswith(code)
    assert field in refused.value.field
    assert refused.value.remedy
    counts = [model.objects.count() for model in (Job, Basin, Task, Link, Hold)]
    assert counts == [0, 0, 0, 0, 0]
    assert Branch.objects.get(pk=branch.pk).input_revision == revision


def test_a_name_is_taken_once(opened: Callable[..., Job]) -> None:
    opened()
    with pytest.raises(CannotDo, match="already"):
        opened()
    assert Job.objects.count() == 1


@pytest.mark.parametrize(
    ("changes", "field"),
    [({"zone": "America/Denver"}, "zone"), ({"latitude": 91.0}, ""), ({"name": "two\nlines"}, "name")],
)
def test_a_site_elsewhere_is_refused(branch: Branch, changes: dict[str, Any], field: str) -> None:
    values: dict[str, Any] = {
        "branch": branch,
        "name": "Lot 9",
        "address": "9 Elm",
        "latitude": 40.6,
        "longitude": -74.4,
        "zone": branch.zone,
        **changes,
    }
    with pytest.raises(CannotDo) as refused:
        add_site(**values)
    assert field in refused.value.field
    assert Site.objects.count() == 0


def test_water_from_several_sources_is_kept_and_fills_at_its_mean(opened: Callable[..., Job], branch: Branch) -> None:
    """A hose of 2 m3/h for ten hours of the night and two loads of 20 m3 a day bring 60 m3 in 24 hours."""
    water = [
        {"flow_m3_h": 2.0, "from_h": 20, "until_h": 6},
        {"load_m3": 20.0, "loads_each": 2, "from_h": 9, "every_h": 3},
    ]
    opened(design={**DESIGN, "water": water})
    (facts,) = jobs_of(branch)
    assert facts.pool is not None
    assert facts.pool.mean_flow_m3_h == pytest.approx(60 / 24)
    water_m3 = quantities(facts.pool)["fill_2_m3"]
    assert facts.task("fill_2").work_minutes == pytest.approx(60 * water_m3 / 2.5, abs=15)


@pytest.mark.parametrize(
    ("water", "code"),
    [
        ([{"kind": "well"}], "filling.unknown_source"),
        ([{"flow": 3}], "filling.bad_source"),
        ([{"load_m3": 20.0}], "filling.bad_source"),
        ([{"flow_m3_h": "3"}], "filling.bad_source"),
        (["hose"], "filling.bad_source"),
        ([{"flow_m3_h": 0.0}], "design.no_water"),
        ([{"flow_m3_h": 900.0}], "science.outside_range"),
    ],
)
def test_water_that_cannot_be_is_refused(
    opened: Callable[..., Job], branch: Branch, water: list[Any], code: str
) -> None:
    with pytest.raises(CannotDo) as problem:
        opened(design={**DESIGN, "water": water})
    assert problem.value.code == code
    assert not Job.objects.exists()
