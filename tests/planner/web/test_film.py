"""The film of a pool: every task still to come in order, gates between, nothing stands before its day."""

import itertools
import re
from datetime import timedelta
from typing import Any

import pytest

from jobs.models import Hold, Job, Task
from planner.plans.models import Assignment
from planner.web.presenters.long_section import PARTS
from tests.planner.web.company import NOW
from tests.planner.web.conftest import SignIn
from tests.planner.web.reading import page_of, text

pytestmark = pytest.mark.django_db


@pytest.fixture(params=["Heron Lane", "Orchard Row", "Quarry Bend"])
def shown(request: pytest.FixtureRequest, sign_in: SignIn) -> Any:
    job = Job.objects.get(name=request.param)
    response = sign_in().get(f"/pools/{job.pk}/")
    return job, page_of(response).film, response.content.decode()


def frames(film: Any) -> list[Any]:
    return [*film.frames, *film.later]


def work(film: Any) -> list[Any]:
    return [frame for frame in frames(film) if frame.kind == "work"]


def test_every_planned_task_has_a_picture_and_a_row(shown: Any) -> None:
    job, film, html = shown
    visits = set(Hold.objects.filter(job=job).values_list("visit_id", flat=True))
    planned = Assignment.objects.filter(task__job=job, task__finished_at=None).exclude(task_id__in=visits)
    titles = set(planned.values_list("task__title", flat=True))
    drawn = {task.title for frame in work(film) for task in frame.tasks}
    assert drawn == titles
    assert {row.title for row in film.rows} == titles
    words = text(html)
    for frame in work(film):
        assert frame.day.replace("\u00a0", " ") in words


def test_a_task_begins_once_and_goes_on_after_that(shown: Any) -> None:
    _, film, _ = shown
    begun: set[str] = set()
    for frame in work(film):
        for task in frame.tasks:
            assert task.goes_on == (task.title in begun)
            begun.add(task.title)


def test_a_pool_only_grows(shown: Any) -> None:
    _, film, _ = shown
    before: set[str] = set()
    water = 0.0
    for frame in work(film):
        section = frame.picture.section
        assert section is not None
        built = {row.part for row in section.rows if row.done}
        assert before <= built
        before = built
        surface = re.match(r"M[\d.]+ ([\d.]+)", section.surface)
        level = -float(surface[1]) if surface else -1000.0
        assert level >= water or not water
        water = level if surface else water
    assert len(before) == len(PARTS) + 1


def test_every_shut_hold_is_a_gate_before_the_work_it_keeps_shut(shown: Any) -> None:
    job, film, html = shown
    holds = {hold.key: hold for hold in Hold.objects.filter(job=job).exclude(result="passed")}
    gates = [(at, frame.hold.key) for at, frame in enumerate(frames(film)) if frame.kind == "gate"]
    assert {key for _, key in gates} == set(holds)
    assert [row.title for row in film.gate_rows if row.state != "passed"]
    for at, key in gates:
        kept_shut = set(holds[key].blocks.values_list("title", flat=True))
        first = [n for n, frame in enumerate(frames(film)) if any(task.title in kept_shut for task in frame.tasks)]
        assert not first or at < min(first)
        assert f'href="#hold-{key}"' in html


def test_days_without_work_are_one_stretch_of_sky(shown: Any) -> None:
    _, film, _ = shown
    kinds = [frame.kind for frame in frames(film)]
    assert "still" in kinds
    assert all((one, two) != ("still", "still") for one, two in itertools.pairwise(kinds))
    assert len(film.sky_rows) > 2 * 14


def test_silent_work_stands_in_today_s_picture(sign_in: SignIn, settings: Any) -> None:
    settings.PLANNER_AS_OF = NOW + timedelta(days=3)
    job = Job.objects.get(name="Heron Lane")
    film = page_of(sign_in().get(f"/pools/{job.pk}/")).film
    today = next(frame for frame in film.frames if frame.now and frame.kind == "work")
    pour = Task.objects.get(job=job, key="pour_walls")
    line = next(task for task in today.tasks if task.title == pour.title)
    assert line.state == "unreported"
