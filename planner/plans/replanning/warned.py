"""Public warnings that ask for another plan: once for each warning and start."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime
from hashlib import sha256
from zoneinfo import ZoneInfo

from jobs.models import Branch
from jobs.words import sentence_for
from planner.plans.models import ReplanRequest
from planner.plans.replanning.requests import ask

REASON = "official_warning"


@dataclass(frozen=True, slots=True, kw_only=True)
class WarnedStart:
    """A planned start under a public warning that asks to move it; ``event_key`` is the same for all its messages."""

    task: int
    title: str
    pool: str
    start_at: datetime
    event: str
    event_key: str
    until_at: datetime

    @property
    def subject(self) -> str:
        """What the request is about: another start, or another warning, is asked for anew."""
        event = sha256(self.event_key.encode()).hexdigest()[:12]
        return f"task:{self.task} {self.start_at.astimezone(UTC):%Y-%m-%dT%H:%M} {event}"


def ask_under_warnings(*, branch: Branch, starts: Iterable[WarnedStart], now: datetime) -> int:
    """Ask for another plan for each start and warning that was not asked about before; how many requests were written.

    Call it in the transaction that keeps the verdicts.
    """
    by_subject = {one.subject: one for one in starts}
    if not by_subject:
        return 0
    before = ReplanRequest.objects.filter(branch=branch, reason=REASON, subject__in=by_subject)
    asked = set(before.values_list("subject", flat=True))
    new = [one for subject, one in by_subject.items() if subject not in asked]
    for one in new:
        ask(branch=branch, reason=REASON, subject=one.subject, says=_says(one, branch), now=now)
    return len(new)


def _says(one: WarnedStart, branch: Branch) -> str:
    return sentence_for(
        "replan.official_warning",
        {
            "task": one.title,
            "pool": one.pool,
            "when": _moment(one.start_at, branch),
            "event": one.event,
            "until": _moment(one.until_at, branch),
        },
    )[0]


def _moment(at: datetime, branch: Branch) -> str:
    local = at.astimezone(ZoneInfo(branch.zone))
    return f"{local:%a} {local.day} {local:%b %H:%M}"
