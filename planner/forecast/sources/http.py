"""One careful GET: limits on time and size, and every way to fail has a name."""

import json
import time
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any
from urllib.parse import urlsplit

import requests

from jobs.domain.errors import OutsideFailure

CONNECT_READ_S = (3.05, 15.0)
TOTAL_S = 45.0
LIMIT_BYTES = 5_000_000
PAGES = frozenset({"text/html", "application/xhtml+xml"})
_CHUNK_BYTES = 65_536


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """Seconds to connect, seconds between bytes, seconds for the whole reply, and its greatest size."""

    connect_read_s: tuple[float, float] = CONNECT_READ_S
    total_s: float = TOTAL_S
    size_bytes: int = LIMIT_BYTES


@dataclass(frozen=True, slots=True, kw_only=True)
class Reply:
    """An answer with its body unpacked; ``url`` is free of secrets."""

    url: str
    status: int
    content_type: str
    body: bytes
    headers: Mapping[str, str] = field(default_factory=dict)

    @property
    def is_page(self) -> bool:
        """Whether a web page came in place of data: a guard before the service refuses us."""
        return self.content_type in PAGES


def same_host(url: str, base_url: str) -> bool:
    """Whether two addresses share scheme, host and port."""
    ours, theirs = urlsplit(base_url), urlsplit(url)
    return (ours.scheme, ours.netloc.lower()) == (theirs.scheme, theirs.netloc.lower())


def _read(response: requests.Response, url: str, limits: Limits) -> bytes:
    declared = response.headers.get("Content-Length", "")
    if declared.isdigit() and int(declared) > limits.size_bytes:
        raise OutsideFailure("forecast.too_large", url=url, limit=limits.size_bytes)
    until = time.monotonic() + limits.total_s
    body = bytearray()
    for chunk in response.iter_content(_CHUNK_BYTES):
        body += chunk
        if len(body) > limits.size_bytes:
            raise OutsideFailure("forecast.too_large", url=url, limit=limits.size_bytes)
        if time.monotonic() > until:
            raise OutsideFailure("forecast.timeout", url=url)
    return bytes(body)


def get(
    session: requests.Session,
    url: str,
    *,
    headers: Mapping[str, str],
    limits: Limits,
    secret: Mapping[str, str] | None = None,
) -> Reply:
    """Fetch an address once; no redirect is followed.

    ``secret`` is sent as part of the query and appears in no reply and no error.

    Raises
    ------
    OutsideFailure
        ``forecast.timeout``, ``forecast.unreachable``, ``forecast.too_large`` or ``forecast.truncated``. A reply
        with a bad status is returned, for the caller to read its reason.
    """
    try:
        with session.get(
            url,
            params=dict(secret or {}),
            headers=dict(headers),
            timeout=limits.connect_read_s,
            stream=True,
            allow_redirects=False,
        ) as response:
            return Reply(
                url=url,
                status=response.status_code,
                content_type=response.headers.get("Content-Type", "").partition(";")[0].strip().lower(),
                body=_read(response, url, limits),
                headers=dict(response.headers),
            )
    except requests.RequestException as error:
        # What requests says names the whole address; a secret in it must not reach a log through the cause.
        raise OutsideFailure(_failure_code(error), url=url) from (None if secret else error)


def _failure_code(error: requests.RequestException) -> str:
    if isinstance(error, requests.Timeout):
        return "forecast.timeout"
    if isinstance(error, requests.exceptions.ChunkedEncodingError | requests.exceptions.ContentDecodingError):
        return "forecast.truncated"
    # requests reports a time-out in the middle of a body, and after retries, as a lost connection.
    lost = isinstance(error, requests.ConnectionError)
    return "forecast.timeout" if lost and "timed out" in str(error).lower() else "forecast.unreachable"


def json_of(reply: Reply) -> dict[str, Any]:
    """The JSON object of a good reply.

    Raises
    ------
    OutsideFailure
        ``forecast.empty``, ``forecast.refused_html``, ``forecast.wrong_type`` or ``forecast.not_json``.
    """
    if not reply.body.strip():
        raise OutsideFailure("forecast.empty", url=reply.url)
    if reply.is_page:
        raise OutsideFailure("forecast.refused_html", url=reply.url, status=reply.status)
    if reply.content_type != "application/json" and not reply.content_type.endswith("+json"):
        raise OutsideFailure("forecast.wrong_type", url=reply.url, content_type=reply.content_type or "none")
    try:
        payload = json.loads(reply.body)
    except (ValueError, RecursionError) as error:
        raise OutsideFailure("forecast.not_json", url=reply.url) from error
    if not isinstance(payload, dict):
        raise OutsideFailure("forecast.not_json", url=reply.url)
    return payload
