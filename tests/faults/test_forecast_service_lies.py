"""Everything a forecast service can do wrong, each in a cell of its own, all at once, to one running service.

Good forecasts came first; then each cell misbehaves; then all are good again. What was good stays, nothing bad is
kept, the page names what fails and since when, and everything goes on by itself.
"""

import gzip
import json
import re
import time
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from pytest_httpserver import HTTPServer
from werkzeug import Request, Response

from planner.forecast.domain.place import Place
from tests.faults.forecast_server import GEO, Answer, ForecastServer, weather
from tests.faults.pages import page, table_rows
from tests.faults.processes import Rows, environment, make_yard, service
from tests.faults.servers import wait_for
from tests.faults.story import LONG_AGO
from tests.faults.yard import LATITUDE, longitude, zone_of

PROBLEM = "application/problem+json"
MODIFIED = "Mon, 01 Jun 2026 08:00:00 GMT"
HOUR = timedelta(hours=1)
MEGABYTE = 1_000_000


def answering(body: bytes, *, status: int = 200, content_type: str = GEO, **headers: str) -> Answer:
    named = {name.replace("_", "-"): value for name, value in headers.items()}
    return lambda request: Response(body, status=status, content_type=content_type, headers=named)


def cut_short(good: bytes) -> Answer:
    def answer(_: Request) -> Response:
        # A generator keeps what the header claims.
        return Response(iter([good[:2000]]), headers={"Content-Length": str(len(good))}, content_type=GEO)

    return answer


def slow_at_first(good: bytes) -> Answer:
    asked: list[float] = []

    def answer(_: Request) -> Response:
        asked.append(time.monotonic())
        if len(asked) == 1:
            # Longer than the client waits between two bytes.
            time.sleep(17)
        return Response(good, content_type=GEO)

    return answer


def unchanged(good: bytes) -> Answer:
    def answer(request: Request) -> Response:
        if request.headers.get("If-Modified-Since") == MODIFIED:
            return Response(status=304)
        return Response(good, content_type=GEO, headers={"Last-Modified": MODIFIED})

    return answer


def changed(good: bytes, **layers: Any) -> bytes:
    """A reply with other layers than it had."""
    payload = json.loads(good)
    payload["properties"] |= layers
    return json.dumps(payload).encode()


def backwards(good: bytes) -> bytes:
    values = json.loads(good)["properties"]["probabilityOfPrecipitation"]
    return changed(good, probabilityOfPrecipitation=values | {"values": values["values"][::-1]})


def with_gap(good: bytes) -> bytes:
    """The middle of the temperatures is left out."""
    layer = json.loads(good)["properties"]["temperature"]
    (whole,) = layer["values"]
    start_at = datetime.fromisoformat(whole["validTime"].partition("/")[0])
    spans = (f"{start_at.isoformat()}/PT30H", f"{(start_at + 40 * HOUR).isoformat()}/PT60H")
    return changed(good, temperature=layer | {"values": [whole | {"validTime": span} for span in spans]})


def not_a_number(good: bytes) -> bytes:
    layer = json.loads(good)["properties"]["temperature"]
    (whole,) = layer["values"]
    return changed(good, temperature=layer | {"values": [whole | {"value": float("nan")}]})


def answers(good: bytes, older: bytes) -> Mapping[str, Answer]:
    bomb = gzip.compress(b" " * 60 * MEGABYTE)
    return {
        "server slow": slow_at_first(good),
        "cut in mid-body": cut_short(good),
        "500": answering(b"{}", status=500, content_type=PROBLEM),
        "503": answering(b"{}", status=503, content_type=PROBLEM),
        "304": unchanged(good),
        "redirect elsewhere": answering(b"", status=301, Location="http://127.0.0.1:9/elsewhere"),
        "gzip bomb": answering(bomb, Content_Encoding="gzip"),
        "50 MB body": answering(b" " * 50 * MEGABYTE),
        "wrong units": answering(good.replace(b"wmoUnit:degC", b"wmoUnit:K")),
        "NaN": answering(not_a_number(good)),
        "hour gaps": answering(with_gap(good)),
        "time going backwards": answering(backwards(good)),
        "older run after a newer": answering(older),
        "JSON cut short": answering(good[:5000]),
    }


@dataclass(frozen=True, slots=True, kw_only=True)
class Ends:
    """How a fault ends: whether a newer run counts afterwards, and whether it is told as a failure."""

    newer: bool = False
    fails: bool = True


FAULTS: Mapping[str, Ends] = {
    "server slow": Ends(newer=True, fails=False),
    "cut in mid-body": Ends(),
    "500": Ends(),
    "503": Ends(),
    "304": Ends(fails=False),
    "redirect elsewhere": Ends(),
    "gzip bomb": Ends(),
    "50 MB body": Ends(),
    "wrong units": Ends(),
    "NaN": Ends(),
    "hour gaps": Ends(newer=True, fails=False),
    "time going backwards": Ends(newer=True, fails=False),
    "older run after a newer": Ends(fails=False),
    "JSON cut short": Ends(),
}
NAMES = tuple(FAULTS)


class Lies:
    """The cells of a running service, each named by what goes wrong in it."""

    def __init__(self, rows: Rows, forecasts: ForecastServer) -> None:
        self.rows = rows
        self.forecasts = forecasts
        self.issued_at = datetime.now(UTC).replace(microsecond=0) - timedelta(minutes=50)

    def cell(self, name: str) -> str:
        return f"YRD/1,{NAMES.index(name) + 1}"

    def newest(self) -> dict[str, int]:
        """The newest run of each cell by its fault."""
        rows = self.rows.all(
            "select grid_key, id from forecast_forecastrun where source = 'nws' order by issued_at, id"
        )
        by_cell = dict(rows)
        return {name: by_cell[self.cell(name)] for name in NAMES}

    def pull_all(self) -> None:
        """Let every cell come round once."""
        asked_at = datetime.now(UTC).replace(tzinfo=None).isoformat(" ")
        self.rows.write("update serving_turn set next_due_at = ? where kind = 'forecast'", LONG_AGO)
        left = "select count(*) from serving_turn where kind = 'forecast' and (ended_at is null or ended_at < ?)"
        wait_for(lambda: self.rows.one(left, asked_at) == 0, what="every cell comes round")

    def all_good(self, minutes: int) -> None:
        said = weather(issued_at=self.issued_at + timedelta(minutes=minutes))
        for name in NAMES:
            self.forecasts.tell(self.cell(name), said, **{"Last-Modified": MODIFIED})
        self.pull_all()

    def failing(self) -> dict[str, str]:
        """What is written of the cells that fail, by their fault."""
        found = self.rows.all("select key, problem from serving_turn where kind = 'forecast' and failing_since <> ''")
        names = {self.cell(name): name for name in NAMES}
        return {names[key.rpartition("|")[2]]: problem for key, problem in found}


@pytest.fixture(scope="module")
def server() -> Iterator[HTTPServer]:
    with HTTPServer(threaded=True) as one:
        yield one


@pytest.fixture(scope="module")
def lies(server: HTTPServer, tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Lies, str]]:
    base = Path(tmp_path_factory.mktemp("lies"))
    now = datetime.now(UTC)
    forecasts = ForecastServer(server, zone=zone_of(now))
    for number in range(len(NAMES)):
        place = Place(latitude=round(LATITUDE + number * 0.1, 4), longitude=longitude(now))
        forecasts.place(place, f"YRD/1,{number + 1}")
    env = environment(base / "d", PLANNER_NWS_URL=forecasts.base, PLANNER_MET_URL=forecasts.base, PLANNER_WORKERS="3")
    make_yard(env, now=now, sites=len(NAMES))
    with service(env, base / "log") as (_, address):
        rows = Rows(str(base / "d" / "planner.sqlite3"))
        wait_for(lambda: rows.one("select count(*) from serving_turn where kind = 'forecast'") == len(NAMES))
        yield Lies(rows, forecasts), address


@pytest.fixture(scope="module")
def told(lies: tuple[Lies, str]) -> dict[str, Any]:
    """What each cell came to: before, in the fault, and after it."""
    one, address = lies
    one.all_good(0)
    before = one.newest()
    kept = one.rows.one("select count(*) from forecast_forecastrun")
    good = one.forecasts.body(one.cell("500"), weather(issued_at=one.issued_at + timedelta(minutes=20)))
    older = one.forecasts.body(one.cell("500"), weather(issued_at=one.issued_at - timedelta(minutes=5)))
    for name, answer in answers(good, older).items():
        one.forecasts.answers[one.cell(name)] = answer
    one.pull_all()
    during, failing, says = one.newest(), one.failing(), table_rows(page(address, "sky"))
    names = {one.cell(name): name for name in NAMES}
    unread = {names[key] for (key,) in one.rows.all("select grid_key from forecast_unreadreply where source = 'nws'")}
    grown = one.rows.one("select count(*) from forecast_forecastrun") - kept
    one.all_good(40)
    after, still = one.newest(), one.failing()
    # Last, for it makes the whole host be left alone.
    for name in NAMES:
        one.forecasts.say(one.cell(name), b"<html>Denied</html>", status=403, content_type="text/html")
    asked = len(one.forecasts.server.log)
    one.pull_all()
    refused, asked = one.failing(), len(one.forecasts.server.log) - asked
    return {
        "before": before, "during": during, "after": after, "failing": failing, "still": still, "page": says,
        "grown": grown, "unread": unread, "refused": refused, "asked": asked, "end": one.newest(),
        "shut": table_rows(page(address, "sky")),
    }  # fmt: skip


@pytest.mark.parametrize(
    "name", [pytest.param(name, marks=pytest.mark.fault(f"forecast server: {name}"), id=name) for name in NAMES]
)
def test_the_service_lies(told: dict[str, Any], name: str) -> None:
    ends = FAULTS[name]
    assert (told["during"][name] != told["before"][name]) is ends.newer
    assert (name in told["failing"]) is ends.fails
    if ends.fails:
        site = f" Site {NAMES.index(name)} "
        (row,) = (row for row in told["page"] if row.startswith("Forecast ") and site in row)
        assert " ".join(told["failing"][name].split()) in row, "the page says why, of this site"
        assert re.search(r"\b\d{1,2}:\d\d\b", row.partition(site)[2][:40]), "and since when"
    assert told["after"][name] > told["during"][name], "a good answer is taken again"
    assert name not in told["still"]


@pytest.mark.fault("forecast server: 403 HTML")
def test_a_refusal_in_html_leaves_the_host_alone_and_keeps_what_there_is(told: dict[str, Any]) -> None:
    assert set(told["refused"]) == set(NAMES)
    assert told["end"] == told["after"]
    assert told["asked"] < 3 * len(NAMES), "not every cell knocks at a shut door"
    rows = [row for row in told["shut"] if row.startswith("Forecast ")]
    for number in range(len(NAMES)):
        (row,) = (row for row in rows if f" Site {number} " in row or f" Site {number}," in row)
        assert re.search(r"\b\d{1,2}:\d\d\b", row), "the page says since when"
        assert any(" ".join(problem.split()) in row for problem in told["refused"].values()), "and why"


def test_nothing_bad_is_stored(told: dict[str, Any]) -> None:
    """Newer runs, and the older one, which is kept but does not count."""
    assert told["grown"] == sum(ends.newer for ends in FAULTS.values()) + 1


def test_what_could_not_be_read_is_kept_apart(told: dict[str, Any]) -> None:
    assert told["unread"] == {"wrong units", "NaN", "JSON cut short"}
