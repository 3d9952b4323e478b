"""Asks one public service politely: by name, no sooner than it wants, for what is new, not while it refuses."""

import hashlib
import json
from collections.abc import Callable, Iterator, Mapping
from contextlib import AbstractContextManager, contextmanager, nullcontext
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import ClassVar, TypedDict, Unpack
from urllib.parse import urljoin, urlsplit

import requests
from requests.adapters import HTTPAdapter
from urllib3.util.retry import Retry

from jobs.domain.errors import CannotDo, OutsideFailure
from planner.forecast.sources import http
from planner.forecast.sources.conditional import (
    REFUSALS,
    REFUSED_FOR,
    Known,
    Memory,
    NoMemory,
    lifetime,
    retry_after,
)

PROBLEM = "application/problem+json"
_MOST_REDIRECTS = 3
_REDIRECTS = frozenset({301, 302, 303, 307, 308})


# Around each request to a host: waits for its turn.
Pace = Callable[[str], AbstractContextManager[None]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Patience:
    """How often a failed request is repeated at once, and the pauses between [s].

    A 503 is not repeated: offices that have not sent their forecast stay silent for hours, and a service that names
    a wait is left alone by the next pull, not by a sleeping worker.
    """

    tries: int = 3
    lost: int = 2
    backoff_s: float = 0.5
    backoff_max_s: float = 10.0
    jitter_s: float = 0.5

    def retry(self) -> Retry:
        return Retry(
            total=self.tries,
            connect=min(self.lost, self.tries),
            read=min(self.lost, self.tries),
            status=min(self.lost, self.tries),
            redirect=0,
            status_forcelist=(500, 502, 504),
            allowed_methods=("GET",),
            backoff_factor=self.backoff_s,
            backoff_max=self.backoff_max_s,
            backoff_jitter=self.jitter_s,
            # The last reply's body names the reason; an exception would hide it.
            raise_on_status=False,
            respect_retry_after_header=False,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Unchanged:
    """Nothing new at an address: it said so (``asked``), or it is too early to ask again."""

    url: str
    asked: bool
    checked_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Answered:
    """A reply, and what to remember of its address once its body has proved usable."""

    reply: http.Reply
    known: Known


@contextmanager
def reading(answer: Answered) -> Iterator[None]:
    """Let a failure to read a good reply carry its body along."""
    try:
        yield
    except OutsideFailure as failure:
        failure.unread = answer.reply.body
        raise


class Ways(TypedDict, total=False):
    """How to ask a service, beside its address and who asks; each is explained at ``Client``."""

    session: requests.Session | None
    limits: http.Limits | None
    patience: Patience | None
    memory: Memory | None
    secret: Mapping[str, str] | None
    wait: Callable[[http.Reply, datetime], timedelta | None] | None
    pace: Pace | None


class Client:
    """One service.

    Parameters
    ----------
    base_url : str
        Address of the service.
    user_agent : str
        Who asks, with a contact; the services refuse requests without one.
    accept : str
        Constant: the services cache by it.
    session : requests.Session, optional
        Shared connection; one of its own if absent.
    limits : http.Limits, optional
        Time and size allowed.
    patience : Patience, optional
        Repeats of failed requests.
    memory : Memory, optional
        What is remembered of addresses; nothing if absent.
    secret : mapping, optional
        Query parameters that must not be stored or logged. Nothing is repeated then: urllib3 logs the address
        of a repeat.
    follow : bool
        Follow redirects that stay on the service's own host; else none is followed.
    wait : callable, optional
        How long a reply asks us to leave the host alone; by its ``Retry-After`` if absent.
    pace : callable, optional
        Around each request to the host; none waits if absent.
    """

    def __init__(
        self,
        *,
        base_url: str,
        user_agent: str,
        accept: str,
        session: requests.Session | None = None,
        limits: http.Limits | None = None,
        patience: Patience | None = None,
        memory: Memory | None = None,
        secret: Mapping[str, str] | None = None,
        follow: bool = False,
        wait: Callable[[http.Reply, datetime], timedelta | None] | None = None,
        pace: Pace | None = None,
    ) -> None:
        if not user_agent.strip():
            raise CannotDo("forecast.no_user_agent", field="PLANNER_USER_AGENT")
        self.base_url = base_url.rstrip("/")
        self.host = urlsplit(self.base_url).netloc.lower()
        self.memory: Memory = memory or NoMemory()
        self._headers = {"User-Agent": user_agent, "Accept": accept, "Accept-Encoding": "gzip"}
        self._limits = limits or http.Limits()
        self._secret = dict(secret or {})
        self._follow = follow
        self._wait = wait or (lambda reply, as_of: retry_after(reply.headers, as_of))
        self._pace: Pace = pace or (lambda host: nullcontext())
        self._session = session or requests.Session()
        retry = (Patience(tries=0) if self._secret else patience or Patience()).retry()
        self._session.mount(self.base_url, HTTPAdapter(max_retries=retry))

    def ask(self, url: str, as_of: datetime) -> Answered | Unchanged:
        """Ask for what is new at an address.

        A refusal that is remembered is given again without a request. A reply is remembered by the caller
        (``memory.keep``), after its body has been read; refusals and confirmations are remembered here.

        Raises
        ------
        OutsideFailure
            ``forecast.paused`` while the host is left alone, ``forecast.throttled`` or ``forecast.refused_html``
            where it begins to be, or a failure of ``http.get``.
        """
        known = self.memory.known(url)
        if known is not None and as_of < known.expires_at:
            if known.status != 200:
                return Answered(reply=_remembered_refusal(known), known=known)
            return Unchanged(url=url, asked=False, checked_at=known.checked_at)
        conditions = known.conditions if known is not None and known.status == 200 else {}
        reply = self._get(url, as_of, conditions)
        if reply.status == 304 and known is not None and conditions:
            self.memory.keep(known.checked(reply.headers, as_of))
            return Unchanged(url=url, asked=True, checked_at=as_of)
        answer = self._answered(url, reply, as_of)
        good = known is not None and known.status == answer.known.status == 200
        if known is not None and good and known.body_hash == answer.known.body_hash:
            # Not every service knows conditions; the same bytes are the same run.
            self.memory.keep(replace(answer.known, changed_at=known.changed_at))
            return Unchanged(url=url, asked=True, checked_at=as_of)
        return answer

    def ask_whole(self, url: str, as_of: datetime, *, accept: str = "") -> Answered:
        """Ask for an address whole, whatever is remembered of it; a remembered refusal still stands.

        Raises
        ------
        OutsideFailure
            As ``ask``.
        """
        known = self.memory.known(url)
        if known is not None and known.status != 200 and as_of < known.expires_at:
            return Answered(reply=_remembered_refusal(known), known=known)
        return self._answered(url, self._get(url, as_of, {"Accept": accept} if accept else {}), as_of)

    def _get(self, url: str, as_of: datetime, headers: Mapping[str, str]) -> http.Reply:
        until = self.memory.paused_until(self.host, as_of)
        if until is not None and as_of < until:
            raise OutsideFailure("forecast.paused", host=self.host, until=until)
        reply = self._fetch(url, {**self._headers, **headers})
        wait = self._wait(reply, as_of)
        if reply.status == 429:
            self.memory.pause(self.host, as_of, reason="throttled", wait=wait)
            raise OutsideFailure("forecast.throttled", url=url)
        if reply.is_page:
            self.memory.pause(self.host, as_of, reason=f"web page with status {reply.status}", wait=wait)
            raise OutsideFailure("forecast.refused_html", url=url, status=reply.status)
        if reply.status == 503 and wait is not None:
            self.memory.pause(self.host, as_of, reason="asked us to wait", wait=wait)
        elif reply.status < 400:
            self.memory.welcomed(self.host)
        return reply

    def _fetch(self, url: str, headers: Mapping[str, str]) -> http.Reply:
        """One request, and the redirects behind it where the service's terms want them followed: on its own host."""
        reply = self._one(url, headers)
        for _ in range(_MOST_REDIRECTS if self._follow else 0):
            if reply.status not in _REDIRECTS:
                break
            link = urljoin(reply.url, _header(reply, "Location"))
            if not http.same_host(link, self.base_url):
                raise OutsideFailure("forecast.other_host", url=link[:200], base_url=self.base_url)
            reply = self._one(link, headers)
        return reply

    def _one(self, url: str, headers: Mapping[str, str]) -> http.Reply:
        with self._pace(self.host):
            return http.get(self._session, url, headers=headers, limits=self._limits, secret=self._secret)

    def _answered(self, url: str, reply: http.Reply, as_of: datetime) -> Answered:
        good = reply.status in {200, 203}
        known = Known(
            url=url,
            checked_at=as_of,
            changed_at=as_of,
            # The headers of a failure count for nothing: the US service has marked a 500 as good for a day.
            expires_at=as_of + (lifetime(reply.headers) if good else REFUSED_FOR),
            last_modified=_header(reply, "Last-Modified") if good else "",
            etag=_header(reply, "ETag") if good else "",
            body_hash=hashlib.sha256(reply.body).hexdigest(),
            status=200 if good else reply.status,
            problem=problem_of(reply),
        )
        if reply.status in REFUSALS:
            self.memory.keep(known)
        return Answered(reply=reply, known=known)


class LiveSource:
    """What every live source has: a client that asks as its service wants to be asked. Parameters as of ``Client``."""

    accept: ClassVar[str]
    follow: ClassVar[bool] = False

    def __init__(self, *, base_url: str, user_agent: str, **ways: Unpack[Ways]) -> None:
        self.client = Client(base_url=base_url, user_agent=user_agent, accept=self.accept, follow=self.follow, **ways)

    @property
    def memory(self) -> Memory:
        return self.client.memory


def problem_of(reply: http.Reply) -> str:
    """Last part of the ``type`` of a problem body (RFC 9457); empty if the body names no problem."""
    if reply.content_type != PROBLEM:
        return ""
    try:
        kind = json.loads(reply.body).get("type")
    except (ValueError, RecursionError, AttributeError):
        return ""
    return kind.rstrip("/").rpartition("/")[2][:80] if isinstance(kind, str) else ""


def _header(reply: http.Reply, name: str) -> str:
    return next((value for key, value in reply.headers.items() if key.lower() == name.lower()), "")


def _remembered_refusal(known: Known) -> http.Reply:
    body = json.dumps({"type": known.problem}).encode() if known.problem else b""
    return http.Reply(
        url=known.url, status=known.status, content_type=PROBLEM if known.problem else "", body=body, headers={}
    )
