"""Every fact as a signed request to an address of the office's own, for programs that want to know.

``Webhook-Signature`` is ``v1=`` and the HMAC-SHA256 (RFC 2104, FIPS 180-4), in hexadecimal, of the timestamp, a full
stop and the body, under the shared secret. The receiver computes the same, compares, and refuses old timestamps.
"""

import hashlib
import hmac
import json

from crews.channels import http
from crews.domain.letter import WEBHOOK, Letter
from jobs.domain.errors import CannotDo

SHORTEST_SECRET = 16


def signature(secret: bytes, timestamp: str, body: bytes) -> str:
    """What stands in ``Webhook-Signature``."""
    return f"v1={mac(secret, timestamp.encode() + b'.' + body)}"


def mac(secret: bytes, content: bytes) -> str:
    """HMAC-SHA256 in hexadecimal."""
    return hmac.new(secret, content, hashlib.sha256).hexdigest()


class Webhook:
    """Tells one address of every letter; ``{branch}`` in the address is the branch's short name."""

    name = WEBHOOK

    def __init__(self, endpoint: http.Endpoint, secret: str) -> None:
        if len(secret) < SHORTEST_SECRET:
            raise CannotDo(
                "channels.bad_setting",
                field="PLANNER_WEBHOOK_SECRET",
                setting="PLANNER_WEBHOOK_SECRET",
                why=f"it is shorter than {SHORTEST_SECRET} characters",
            )
        self._endpoint = endpoint
        self._secret = secret.encode()

    def send(self, letter: Letter) -> None:
        """Tell the address of a letter.

        Raises
        ------
        CannotDo, OutsideFailure
            As ``http.request``.
        """
        body = json.dumps(
            {
                "id": letter.message_id,
                "branch": letter.branch,
                "fact": letter.fact,
                "person": letter.person,
                "name": letter.name,
                "subject": letter.subject,
                "body": letter.body,
                "urgent": letter.urgent,
                "answer_by": letter.answer_by.isoformat() if letter.answer_by is not None else None,
            }
        ).encode()
        timestamp = str(int(letter.at.timestamp()))
        http.request(
            http.Endpoint(
                setting=self._endpoint.setting,
                url=self._endpoint.url.replace("{branch}", letter.branch),
                inside=self._endpoint.inside,
                unencrypted=self._endpoint.unencrypted,
            ),
            method="POST",
            target_query="",
            headers={
                "Content-Type": "application/json",
                "Idempotency-Key": letter.message_id,
                "Webhook-Timestamp": timestamp,
                "Webhook-Signature": signature(self._secret, timestamp, body),
            },
            body=body,
        )

    def close(self) -> None:
        """Nothing is kept open."""
