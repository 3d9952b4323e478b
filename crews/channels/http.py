"""One request to an address an operator has set: encrypted, outside, no redirects, bounded in time and size.

The connection goes to the very address that was checked, so that a name server that answers differently a moment
later leads nowhere. Proxies of the environment are not asked.
"""

import json
import socket
import ssl
import time
from collections.abc import Mapping
from contextlib import closing
from dataclasses import dataclass
from typing import Any
from urllib.parse import SplitResult, urlsplit

import urllib3

from crews.domain.outside_address import choose_address
from jobs.domain.errors import CannotDo, OutsideFailure

CONNECT_S, READ_S, TOTAL_S = 5.0, 10.0, 30.0
LIMIT_BYTES = 64 * 1024
LONGEST_ANSWER = 300
# What a server says about itself or its load; anything else of 400 and more is about the request.
NOT_NOW = frozenset({408, 425, 429})


@dataclass(frozen=True, slots=True, kw_only=True)
class Endpoint:
    """An address of a setting, what is allowed on the way to it, and how long it may be silent and take in all [s]."""

    setting: str
    url: str
    inside: bool = False
    unencrypted: bool = False
    read_s: float = READ_S
    total_s: float = TOTAL_S

    def __post_init__(self) -> None:
        self.parts()

    def parts(self) -> SplitResult:
        """The address taken apart.

        Raises
        ------
        CannotDo
            ``channels.bad_url``.
        """
        try:
            parts = urlsplit(self.url)
            port = parts.port
        except ValueError as error:
            raise self._bad("it cannot be read") from error
        if parts.scheme != "https" and not (parts.scheme == "http" and self.unencrypted):
            raise self._bad("it is not encrypted")
        if not parts.hostname or port == 0:
            raise self._bad("it names no host")
        if parts.username is not None or parts.password is not None:
            raise self._bad("it holds a user; put secrets into the headers")
        if any(ord(sign) <= 32 or ord(sign) >= 127 for sign in self.url):
            raise self._bad("it holds a blank or a letter outside ASCII")
        return parts

    def _bad(self, why: str) -> CannotDo:
        return CannotDo("channels.bad_url", field=self.setting, setting=self.setting, why=why)


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What came back: status and the body, whole."""

    status: int
    body: bytes

    def words(self) -> str:
        """Status and the beginning of the body on one line."""
        return f"{self.status} {' '.join(self.body.decode('utf-8', 'replace').split())}".strip()[:LONGEST_ANSWER]

    def json(self) -> Any:
        """The body as JSON; ``None`` where it is none."""
        try:
            return json.loads(self.body)
        except (ValueError, RecursionError):
            return None


def request(
    endpoint: Endpoint, *, method: str, target_query: str, headers: Mapping[str, str], body: bytes | None
) -> Answer:
    """Send once and read the answer.

    Raises
    ------
    CannotDo
        ``channels.inside_address``; ``channels.refused`` for a status of 400 to 499 that speaks of the request.
    OutsideFailure
        ``channels.unreachable``, ``channels.timeout``, ``channels.not_now``.
    """
    parts = endpoint.parts()
    host = parts.hostname or ""
    port = parts.port or (443 if parts.scheme == "https" else 80)
    address = choose_address(host, _addresses(host, port), inside=endpoint.inside)
    query = "&".join(one for one in (parts.query, target_query) if one)
    target = (parts.path or "/") + (f"?{query}" if query else "")
    with _pool(endpoint, host, address, port) as pool:
        try:
            response = pool.urlopen(
                method,
                target,
                body=body,
                headers={**headers, "Host": parts.netloc, "Accept-Encoding": "identity", "User-Agent": "DryWindow"},
                redirect=False,
                retries=False,
                assert_same_host=False,
                preload_content=False,
                decode_content=False,
            )
            # Closed also where the answer is not read to its end: nobody must wait for us to take the rest.
            with closing(response):
                answer = Answer(status=response.status, body=_read(response, host, endpoint.total_s))
            asked = response.headers.get("Retry-After", "")
        except urllib3.exceptions.NewConnectionError as error:
            # The library counts a refused connection among the time-outs.
            raise OutsideFailure("channels.unreachable", who=host, why=_why(error)) from error
        except urllib3.exceptions.TimeoutError as error:
            raise OutsideFailure("channels.timeout", who=host, seconds=endpoint.read_s) from error
        except (urllib3.exceptions.HTTPError, OSError) as error:
            raise OutsideFailure("channels.unreachable", who=host, why=_why(error)) from error
    _refuse_bad(host, answer, asked)
    return answer


def _addresses(host: str, port: int) -> tuple[str, ...]:
    try:
        found = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)
    except (OSError, UnicodeError) as error:
        raise OutsideFailure("channels.unreachable", who=host, why="its name is not known") from error
    return tuple(dict.fromkeys(str(one[4][0]) for one in found))


def _pool(endpoint: Endpoint, host: str, address: str, port: int) -> urllib3.HTTPConnectionPool:
    timeout = urllib3.Timeout(connect=CONNECT_S, read=endpoint.read_s)
    if endpoint.parts().scheme == "http":
        return urllib3.HTTPConnectionPool(address, port, timeout=timeout, maxsize=1)
    # The certificate must be the name's, although the connection is made to the address.
    return urllib3.HTTPSConnectionPool(
        address,
        port,
        timeout=timeout,
        maxsize=1,
        ssl_context=ssl.create_default_context(),
        server_hostname=host,
        assert_hostname=host,
    )


def _read(response: urllib3.BaseHTTPResponse, host: str, total_s: float) -> bytes:
    until = time.monotonic() + total_s
    body = bytearray()
    # One read of the network at a time: a server that drips bytes must not outlast the limit.
    while chunk := response.read1(8192, decode_content=False):
        body += chunk
        if len(body) > LIMIT_BYTES:
            raise OutsideFailure("channels.unreachable", who=host, why=f"its answer is longer than {LIMIT_BYTES} bytes")
        if time.monotonic() > until:
            raise OutsideFailure("channels.timeout", who=host, seconds=total_s)
    return bytes(body)


def _refuse_bad(host: str, answer: Answer, asked: str) -> None:
    if 200 <= answer.status < 300:
        return
    if 400 <= answer.status < 500 and answer.status not in NOT_NOW:
        raise CannotDo("channels.refused", field="address", who=host, answer=answer.words())
    wait_s = int(asked) if asked.isascii() and asked.isdigit() and len(asked) < 9 else None
    raise OutsideFailure("channels.not_now", who=host, answer=answer.words(), asked_s=wait_s)


def _why(error: Exception) -> str:
    # What the library says names the checked address and its own objects; the cause is what a person can use.
    if isinstance(error, urllib3.exceptions.SSLError):
        return f"its certificate is not good: {error}"[:LONGEST_ANSWER]
    cause = error.__cause__ or error.__context__ or error
    words = cause.strerror if isinstance(cause, OSError) and cause.strerror else type(cause).__name__
    return words[:LONGEST_ANSWER]
