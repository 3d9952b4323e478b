"""The steps every fault test walks: messages sent from outside, a wet forecast, and what must hold at the end."""

import contextlib
import json
import threading
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from typing import Any

from celery import Celery
from kombu.exceptions import OperationalError
from werkzeug import Request, Response

from planner.celery import broker_address
from planner.forecast.domain.made.degrade import DegradedForecast
from tests.faults.conftest import Yard
from tests.faults.forecast_server import GEO, weather
from tests.faults.processes import Rows
from tests.faults.servers import wait_for
from tests.faults.yard import CELL

DAY = timedelta(days=1)
LONG_AGO = "2020-01-01 00:00:00"
TOLD = ("forms@example.org", "office@example.org")


def sender(yard: Yard) -> Celery:
    """Somebody else who queues messages, as another machine would."""
    app = Celery("outside", broker=broker_address(yard.redis.url))
    app.conf.task_publish_retry = False
    return app


def send(app: Celery, name: str, *, task_id: str | None = None, **kwargs: Any) -> None:
    queue = "branch-1" if "branch_id" in kwargs else "shared"
    app.send_task(f"planner.{name}", kwargs=kwargs, queue=queue, task_id=task_id)


@contextlib.contextmanager
def ticking(yard: Yard, every_s: float = 0.5) -> Iterator[None]:
    """A timer of our own: it goes on whatever is broken."""
    stop, app = threading.Event(), sender(yard)

    def tick() -> None:
        while not stop.wait(every_s):
            with contextlib.suppress(OperationalError, OSError):
                app.send_task("planner.tick", queue="shared", expires=2)

    timer = threading.Thread(target=tick, daemon=True)
    timer.start()
    try:
        yield
    finally:
        stop.set()
        timer.join(timeout=10)


def make_it_wet(yard: Yard) -> None:
    """Rain for two and a half days, said just now; the forecast is due."""
    yard.forecasts.tell(CELL, wet_weather())
    due_now(yard.rows)


def wet_weather() -> DegradedForecast:
    """Rain for two and a half days, said just now."""
    now = datetime.now(UTC)
    return weather(issued_at=now, wet=lambda at: at < now + 2.5 * DAY)


class SlowRain:
    """The wet forecast, whose first answer waits to be let go; further ones come at once."""

    def __init__(self, yard: Yard) -> None:
        self._asked, self._go_on = threading.Event(), threading.Event()
        self._body = yard.forecasts.body(CELL, wet_weather())
        yard.forecasts.answers[CELL] = self._answer

    def _answer(self, _: Request) -> Response:
        if not self._asked.is_set():
            self._asked.set()
            # The client gives up by itself before this.
            self._go_on.wait(20)
        return Response(self._body, content_type=GEO)

    def wait_until_asked(self) -> None:
        wait_for(self._asked.is_set, what="the forecast is asked for")

    def let_go(self) -> None:
        self._go_on.set()


def due_now(rows: Rows, kind: str = "forecast") -> None:
    rows.write("update serving_turn set next_due_at = ? where kind = ?", LONG_AGO, kind)


def runs(rows: Rows) -> int:
    return int(rows.one("select count(*) from forecast_forecastrun"))


def proposals(rows: Rows) -> int:
    return int(rows.one("select count(*) from plans_plan where state = 'proposed'"))


def all_told(yard: Yard) -> bool:
    """Whether the wet forecast has come to its end: a proposal, and letters that were taken and marked."""
    sent = yard.rows.all("select state from crews_message")
    return proposals(yard.rows) == 1 and sent == [("sent",)] * len(TOLD) and bool(yard.mailbox.letters)


def wait_until_told(yard: Yard) -> None:
    """Wait for the end of the wet forecast; what stands in the rows is said where it does not come."""
    try:
        wait_for(lambda: all_told(yard), what="the wet forecast comes to its end")
    except AssertionError as late:
        rows = yard.rows
        stands = {
            "proposals": proposals(rows),
            "messages": rows.all("select person, state, attempts, lease_until, last_error from crews_message"),
            "letters": len(yard.mailbox.letters),
            "requests": rows.all("select reason, state, tries, answer from plans_replanrequest"),
            "turns": rows.all("select kind, next_due_at, ended_at, failures, problem from serving_turn"),
            "now": datetime.now(UTC).isoformat(" "),
        }
        raise AssertionError(f"{late}: {stands}") from late


def nothing_is_half(yard: Yard, *, wet: bool = True) -> None:
    """What must hold after every fault, whatever was broken."""
    rows = yard.rows
    ((number, document),) = rows.all("select number, document from plans_plan where state = 'in_force'")
    assert rows.one("select plan_number from jobs_branch") == number
    stays = (document if isinstance(document, dict) else json.loads(document))["stays"]
    in_force = "from plans_assignment a join plans_plan p on p.id = a.plan_id where p.state = 'in_force'"
    assert rows.one(f"select count(*) {in_force}") == len(stays)
    assert rows.one(f"select count(*) from (select a.task_id {in_force} group by a.task_id) as one") == len(stays)
    runs_twice = "select source, grid_key, issued_at from forecast_forecastrun group by 1, 2, 3 having count(*) > 1"
    assert rows.all(runs_twice) == []
    assert rows.all("select id from plans_replanrequest where state = 'taken'") == []
    assert rows.all("select task_id from watch_watchverdict where current group by task_id having count(*) > 1") == []
    assert rows.all("select fact from crews_message group by fact, person, channel having count(*) > 1") == []
    letters = [(str(one["To"]), str(one["Subject"]), str(one["Message-ID"])) for one in yard.mailbox.letters]
    assert len({key for *_, key in letters}) == len({(to, subject) for to, subject, _ in letters}), "one fact, one id"
    if wet:
        assert proposals(rows) == 1
        assert rows.all("select state, outcome from plans_replanrequest") == [("done", number + 1)]
        assert rows.all("select verdict from watch_watchverdict where current") == [("move",)]
        assert {(to, subject.partition(":")[0]) for to, subject, _ in letters} == {(one, "Move") for one in TOLD}
