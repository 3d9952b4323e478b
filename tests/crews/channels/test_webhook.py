"""A signed request, checked against published vectors and against another program."""

import json
import shutil
import subprocess
from typing import Any

import pytest
from pytest_httpserver import HTTPServer

from crews.channels.channel import Off
from crews.channels.configured import configured_channels
from crews.channels.webhook import mac, signature
from crews.domain.reachable import Reachable
from crews.models import Message
from crews.services.outbox import deliver_due, post
from jobs.models import Branch
from tests.crews.conftest import NOW
from tests.crews.mailbox import Mailbox

SECRET = "a secret of the office"


# RFC 4231, 4.2, 4.3 and 4.7: key, data, HMAC-SHA-256.
@pytest.mark.parametrize(
    ("key", "data", "digest"),
    [
        (b"\x0b" * 20, b"Hi There", "b0344c61d8db38535ca8afceaf0bf12b881dc200c9833da726e9376c2e32cff7"),
        (
            b"Jefe",
            b"what do ya want for nothing?",
            "5bdcc146bf60754e6a042426089575c75a003f089d2739839dec58b964ec3843",
        ),
        (
            b"\xaa" * 131,
            b"Test Using Larger Than Block-Size Key - Hash Key First",
            "60e431591ee0b67f0d8a26aacbf5b77f8e0bc6213728c5140546040f0ee37f54",
        ),
    ],
)
def test_published_vectors(key: bytes, data: bytes, digest: str) -> None:
    assert mac(key, data) == digest


@pytest.mark.skipif(shutil.which("openssl") is None, reason="needs the openssl command")
def test_another_program_signs_the_same() -> None:
    found = subprocess.run(
        ["openssl", "dgst", "-sha256", "-hmac", SECRET, "-hex"],
        input=b'1781013600.{"a": 1}',
        capture_output=True,
        check=True,
    )
    assert signature(SECRET.encode(), "1781013600", b'{"a": 1}') == f"v1={found.stdout.decode().split()[-1]}"


def test_every_fact_is_told_to_the_address_beside_the_person(
    branch: Branch, foreman: Reachable, mailbox: Mailbox, httpserver: HTTPServer, settings: Any
) -> None:
    settings.PLANNER_WEBHOOK_URL = httpserver.url_for("/told/{branch}")
    settings.PLANNER_WEBHOOK_SECRET = SECRET
    settings.PLANNER_SEND_INSIDE = settings.PLANNER_SEND_UNENCRYPTED = True
    httpserver.expect_request("/told/north", method="POST").respond_with_data("", status=204)
    rows = post(
        branch=branch,
        fact="plan:7",
        person=foreman,
        subject="Pour moves",
        body="To Friday. [[link]]",
        link="day_link:4",
        answer_by=NOW,
        now=NOW,
    )
    assert [row.channel for row in rows] == ["mail", "webhook"]
    Message.objects.filter(channel="mail").delete()
    assert deliver_due(now=NOW).sent == 1
    ((request, _),) = httpserver.log
    stamp = request.headers["Webhook-Timestamp"]
    assert 0 <= int(stamp) - NOW.timestamp() < 30
    assert request.headers["Webhook-Signature"] == signature(SECRET.encode(), stamp, request.data)
    assert request.headers["Idempotency-Key"] == rows[1].message_id
    assert json.loads(request.data) == {
        "id": rows[1].message_id,
        "branch": "north",
        "fact": "plan:7",
        "person": "crew:1",
        "name": "A foreman",
        "subject": "Pour moves",
        "body": "To Friday. ",
        "urgent": False,
        "answer_by": "2026-06-09T14:00:00+00:00",
    }


def test_a_short_secret_is_refused(settings: Any) -> None:
    settings.PLANNER_WEBHOOK_URL, settings.PLANNER_WEBHOOK_SECRET = "https://told.example.org/", "short"
    off = configured_channels()["webhook"]
    assert isinstance(off, Off)
    assert "PLANNER_WEBHOOK_SECRET" in off.reason.says
