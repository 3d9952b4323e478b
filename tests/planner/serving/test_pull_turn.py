"""One turn of a cell: pulled once for all its sites, handed on to every branch once, failures told with their time."""

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from pytest_httpserver import HTTPServer

from planner.forecast.cells import cells_at_work
from planner.forecast.domain.place import Place
from planner.forecast.models import ForecastRun, OfficialAlert
from planner.plans.models import Assignment, Plan
from planner.serving.models import Turn
from planner.serving.pulls import grid_every, pull_turn, warnings_every
from planner.serving.turns import arrange
from tests.faults.forecast_server import ForecastServer, weather
from tests.planner.forecast.written import alert_feature, alerts_reply
from tests.planner.serving.rows import a_branch, a_site

pytestmark = pytest.mark.django_db
NOW = datetime(2026, 6, 8, 10, 30, tzinfo=UTC)
ISSUED = NOW - timedelta(hours=1)
CELL = "PHI/85,102"
NEAR, ALSO_NEAR, FAR = (40.7, -74.2), (40.7101, -74.2101), (40.5, -74.6)


@pytest.fixture
def service(httpserver: HTTPServer, settings: Any) -> ForecastServer:
    server = ForecastServer(httpserver)
    settings.PLANNER_NWS_URL = settings.PLANNER_MET_URL = server.base
    for latitude, longitude in (NEAR, ALSO_NEAR):
        server.place(Place(latitude=latitude, longitude=longitude), CELL)
    return server


def forecast_turns() -> list[Turn]:
    arrange(kind="forecast", keys=cells_at_work().keys(), now=NOW)
    return list(Turn.objects.filter(kind="forecast").order_by("key"))


def pull(turn: Turn, now: datetime = NOW) -> frozenset[int]:
    return pull_turn(turn_id=turn.pk, now=now, running=now)


def reading() -> set[str]:
    return set(Turn.objects.filter(kind="reading", next_due_at__isnull=False).values_list("key", flat=True))


def test_sites_of_two_branches_in_one_cell_share_one_request(service: ForecastServer) -> None:
    service.tell(CELL, weather(issued_at=ISSUED))
    north, south = a_branch("north"), a_branch("south")
    a_site(north, "one", *NEAR)
    a_site(south, "two", *ALSO_NEAR)
    # Before they were looked up, each place stands for itself.
    for turn in forecast_turns():
        pull(turn)
    (turn,) = forecast_turns()
    assert turn.key == f"nws>nws_hourly>met|{CELL}"
    asked = service.asked(f"/gridpoints/{CELL}")
    assert pull(turn) == {north.pk, south.pk}
    assert service.asked(f"/gridpoints/{CELL}") == asked + 1
    assert ForecastRun.objects.count() == 1
    assert reading() == {str(north.pk), str(south.pk)}


def test_a_run_is_handed_on_once_and_a_newer_one_again(service: ForecastServer) -> None:
    branch = a_branch()
    a_site(branch, "one", *NEAR)
    service.tell(CELL, weather(issued_at=ISSUED))
    pull(forecast_turns()[0])
    (turn,) = forecast_turns()
    assert pull(turn) == {branch.pk}
    assert pull(turn) == frozenset()
    service.tell(CELL, weather(issued_at=ISSUED + timedelta(minutes=30), wet=lambda at: at.hour > 15))
    assert pull(turn) == {branch.pk}
    service.tell(CELL, weather(issued_at=ISSUED))
    assert pull(turn) == frozenset(), "an older run that comes late is not news"


def test_a_run_stored_by_a_worker_that_died_is_handed_on_by_the_next_pull(service: ForecastServer) -> None:
    branch = a_branch()
    a_site(branch, "one", *NEAR)
    service.tell(CELL, weather(issued_at=ISSUED))
    pull(forecast_turns()[0])
    # As a kill between storing the run and ending the turn leaves it.
    (turn,) = forecast_turns()
    Turn.objects.filter(kind="reading").delete()
    assert turn.handed_on == ""
    assert pull(turn) == {branch.pk}


def test_a_service_that_fails_is_told_since_when_and_asked_again_soon(service: ForecastServer) -> None:
    a_site(a_branch(), "one", *NEAR)
    pull(forecast_turns()[0])
    (turn,) = forecast_turns()
    for times in range(3):
        pull(turn, NOW + times * timedelta(minutes=10))
        turn.refresh_from_db()
    assert (turn.failures, turn.failing_since) == (3, NOW)
    assert turn.problem
    assert turn.next_due_at is not None
    assert turn.next_due_at < NOW + timedelta(minutes=30)
    assert reading() == set()


def test_nobody_named_to_the_services_is_a_problem_that_names_the_setting(
    service: ForecastServer, settings: Any
) -> None:
    settings.PLANNER_USER_AGENT = ""
    a_site(a_branch(), "one", *NEAR)
    (turn,) = forecast_turns()
    pull(turn)
    turn.refresh_from_db()
    assert "PLANNER_USER_AGENT" in turn.problem


def test_sites_without_open_work_are_left_out(service: ForecastServer) -> None:
    task = a_site(a_branch(), "one", *NEAR)
    (turn,) = forecast_turns()
    task.finished_at = NOW
    task.save()
    assert pull(turn) == frozenset()
    assert service.server.log == []
    assert forecast_turns() == []


def test_cells_before_exposed_work_are_pulled_twice_as_often(service: ForecastServer) -> None:
    branch = a_branch()
    task = a_site(branch, "one", *NEAR, exposure="wall_pour")
    (cell,) = cells_at_work().values()
    assert (grid_every(cell, NOW), warnings_every(cell, NOW)) == (timedelta(hours=1), timedelta(minutes=30))
    plan = Plan.objects.create(
        branch=branch, number=1, state="in_force", made_at=NOW, as_of=NOW, in_force_at=NOW, input_revision=0,
        making={}, cost={}, document={},
    )  # fmt: skip
    planned = Assignment.objects.create(
        plan=plan, task=task, start_at=NOW + timedelta(hours=49), end_at=NOW + timedelta(hours=50)
    )
    assert grid_every(cell, NOW) == timedelta(hours=1)
    assert grid_every(cell, NOW + timedelta(hours=2)) == timedelta(minutes=30)
    assert warnings_every(cell, planned.start_at) == timedelta(minutes=5)


def test_a_new_warning_is_handed_on(service: ForecastServer) -> None:
    branch = a_branch()
    a_site(branch, "one", *NEAR)
    service.tell(CELL, weather(issued_at=ISSUED))
    pull(forecast_turns()[0])
    Turn.objects.all().delete()
    arrange(kind="warnings", keys=cells_at_work().keys(), now=NOW)
    (turn,) = Turn.objects.filter(kind="warnings")
    assert pull(turn) == frozenset()
    service.server.clear_all_handlers()
    service.server.expect_request("/alerts/active").respond_with_json(
        alerts_reply(alert_feature("1", sent_at=NOW)), content_type="application/geo+json"
    )
    later = NOW + timedelta(hours=1)
    assert pull(turn, later) == {branch.pk}
    assert OfficialAlert.objects.count() == 1
    assert reading() == {str(branch.pk)}
