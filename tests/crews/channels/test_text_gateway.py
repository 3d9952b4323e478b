"""Text messages through gateways of several shapes, against a real server."""

import json
from typing import Any

import pytest
from pytest_httpserver import HTTPServer
from werkzeug import Request, Response

from crews.channels.channel import Off
from crews.channels.configured import configured_channels
from crews.domain.reachable import Reachable
from crews.models import Message
from crews.services.outbox import deliver_due, post
from jobs.models import Branch
from tests.crews.conftest import NOW

NASTY = 'Pour & cure "now" {id} {to}\nTo=+1999 \\ 100%'
JSON = '{"messages": [{"to": "{to}", "content": {"text": "{text}"}, "ref": "{id}"}], "from": "Pools", "ttl": 60}'
FORM = "To={to}&Body={text}&From=%2B16095550100"


@pytest.fixture
def person() -> Reachable:
    return Reachable(key="crew:1", name="A foreman", text_number="+16095550123")


@pytest.fixture(autouse=True)
def gate(settings: Any, httpserver: HTTPServer) -> HTTPServer:
    settings.PLANNER_TEXT_URL = httpserver.url_for("/send?account=7")
    settings.PLANNER_TEXT_HEADERS = '{"Authorization": "Bearer gateway-secret"}'
    settings.PLANNER_TEXT_BODY = JSON
    settings.PLANNER_SEND_INSIDE = settings.PLANNER_SEND_UNENCRYPTED = True
    return httpserver


def tell(branch: Branch, person: Reachable, body: str = NASTY) -> Message:
    (row,) = post(branch=branch, fact="plan:7", person=person, subject="Pour moves", body=body, now=NOW)
    return row


def seen(server: HTTPServer) -> Request:
    ((request, _),) = server.log
    return request


def test_a_json_gateway_gets_the_message_where_the_template_says(
    branch: Branch, person: Reachable, gate: HTTPServer
) -> None:
    gate.expect_request("/send", method="POST").respond_with_json({"ok": True})
    row = tell(branch, person)
    assert deliver_due(now=NOW).sent == 1
    request = seen(gate)
    assert json.loads(request.data) == {
        "messages": [{"to": "+16095550123", "content": {"text": NASTY}, "ref": row.message_id}],
        "from": "Pools",
        "ttl": 60,
    }
    assert request.args.to_dict() == {"account": "7"}
    assert request.headers["Authorization"] == "Bearer gateway-secret"
    assert request.headers["Content-Type"] == "application/json"
    assert request.headers["Idempotency-Key"] == row.message_id


def test_a_form_gateway_gets_no_field_a_message_made_up(
    branch: Branch, person: Reachable, gate: HTTPServer, settings: Any
) -> None:
    settings.PLANNER_TEXT_BODY = FORM
    gate.expect_request("/send").respond_with_data("queued")
    tell(branch, person)
    assert deliver_due(now=NOW).sent == 1
    request = seen(gate)
    assert request.headers["Content-Type"] == "application/x-www-form-urlencoded"
    assert list(request.form.items()) == [("To", "+16095550123"), ("Body", NASTY), ("From", "+16095550100")]


def test_a_get_gateway_gets_a_query(branch: Branch, person: Reachable, gate: HTTPServer, settings: Any) -> None:
    settings.PLANNER_TEXT_METHOD, settings.PLANNER_TEXT_BODY = "GET", FORM
    gate.expect_request("/send", method="GET").respond_with_data("queued")
    tell(branch, person)
    assert deliver_due(now=NOW).sent == 1
    assert seen(gate).args.to_dict() == {"account": "7", "To": "+16095550123", "Body": NASTY, "From": "+16095550100"}


@pytest.mark.parametrize(
    ("answer", "sent"),
    [
        ({"messages": [{"status": "0"}]}, 1),
        ({"messages": [{"status": 0}]}, 1),
        ({"messages": [{"status": "9", "error": "no credit"}]}, 0),
        ({"messages": []}, 0),
        ([], 0),
    ],
)
def test_a_gateway_that_says_no_in_its_answer_is_heard(
    branch: Branch, person: Reachable, gate: HTTPServer, settings: Any, answer: Any, sent: int
) -> None:
    settings.PLANNER_TEXT_GOOD = "messages.0.status=0"
    gate.expect_request("/send").respond_with_json(answer)
    row = tell(branch, person)
    assert deliver_due(now=NOW).sent == sent
    row.refresh_from_db()
    assert ("no credit" in row.last_error) == ("no credit" in json.dumps(answer))


def test_every_attempt_carries_the_same_key(branch: Branch, person: Reachable, gate: HTTPServer) -> None:
    statuses = iter([503, 429, 200])
    gate.expect_request("/send").respond_with_handler(lambda request: Response(status=next(statuses)))
    row = tell(branch, person)
    for _ in range(3):
        deliver_due(now=row.next_try_at)
        row.refresh_from_db()
    assert row.state == "sent"
    assert [request.headers["Idempotency-Key"] for request, _ in gate.log] == [row.message_id] * 3


def test_a_long_message_is_told_in_short(branch: Branch, person: Reachable, gate: HTTPServer) -> None:
    assert tell(branch, person, body="word " * 200).body == "Pour moves"


@pytest.mark.parametrize(
    ("setting", "value", "says"),
    [
        ("PLANNER_TEXT_BODY", '{"to": "{to}"', "not JSON"),
        ("PLANNER_TEXT_BODY", '{"to": "{to}"}', "does not name {text}"),
        ("PLANNER_TEXT_BODY", "no form", "neither JSON nor a form"),
        ("PLANNER_TEXT_METHOD", "DELETE", "must be one of"),
        ("PLANNER_TEXT_HEADERS", "Authorization: x", "not a JSON object"),
        ("PLANNER_TEXT_HEADERS", '{"X": "a\\nb"}', "one line"),
        ("PLANNER_TEXT_GOOD", "status", "an equals sign"),
        ("PLANNER_TEXT_URL", "ftp://gate.example.org", "not encrypted"),
        ("PLANNER_TEXT_URL", "", "No gateway"),
    ],
)
def test_a_setting_that_cannot_be_used_is_named(settings: Any, setting: str, value: str, says: str) -> None:
    setattr(settings, setting, value)
    off = configured_channels()["text"]
    assert isinstance(off, Off)
    assert says in off.reason.says
    assert setting in str(off.reason)
