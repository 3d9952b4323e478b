"""Who was told what: what could not be said with its reason, what still waits, what went out and when."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from crews.domain.letter import LINK, ChannelFacts, MessageFacts
from planner.dayplans.presenters.measures import Gettext, clock, gettext_noop
from planner.web.presenters.day_scale import short_day

CHANNELS = {
    "mail": gettext_noop("e-mail"),
    "text": gettext_noop("text message"),
    "webhook": gettext_noop("web address"),
    "none": gettext_noop("no address"),
}
WORDS = {
    "waiting": gettext_noop("waits"),
    "sending": gettext_noop("going out now"),
    "sent": gettext_noop("sent"),
    "dead": gettext_noop("not said"),
    "dropped": gettext_noop("no longer needed"),
}
CLASSES = {"waiting": "waiting", "sending": "prepare", "sent": "finished", "dead": "failed", "dropped": "dropped"}


@dataclass(frozen=True, slots=True, kw_only=True)
class ChannelView:
    name: str
    on: bool
    says: str
    waiting: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldView:
    """One message. ``next_try`` is said of what waits, ``error`` and ``since`` of what has failed."""

    id: int
    name: str
    how: str
    subject: str
    body: str
    state: str
    word: str
    posted: str
    sent: str
    next_try: str
    error: str
    since: str
    attempts: int
    answer: str
    late: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldPage:
    """Context ``page`` of ``planner/told.html``."""

    channels: tuple[ChannelView, ...]
    dead: tuple[ToldView, ...]
    waiting: tuple[ToldView, ...]
    told: tuple[ToldView, ...]


def present_told(
    messages: Sequence[MessageFacts],
    channels: Sequence[ChannelFacts],
    *,
    zone: ZoneInfo,
    now: datetime,
    gettext: Gettext = str,
) -> ToldPage:
    """The page of a branch at ``now``; what was not said comes first."""
    views = [(one.state, _view(one, zone, now, gettext)) for one in messages]
    return ToldPage(
        channels=tuple(_channel(one, messages, gettext) for one in channels),
        dead=tuple(view for state, view in views if state == "dead"),
        waiting=tuple(view for state, view in views if state in ("waiting", "sending")),
        told=tuple(view for state, view in views if state in ("sent", "dropped")),
    )


def _channel(one: ChannelFacts, messages: Sequence[MessageFacts], gettext: Gettext) -> ChannelView:
    return ChannelView(
        name=gettext(CHANNELS[one.name]),
        on=one.on,
        says=" ".join((one.says, one.remedy)).strip(),
        waiting=sum(row.channel == one.name and row.state == "waiting" for row in messages),
    )


def _view(one: MessageFacts, zone: ZoneInfo, now: datetime, gettext: Gettext) -> ToldView:
    def when(moment: datetime | None) -> str:
        if moment is None:
            return ""
        local = moment.astimezone(zone).date()
        time = clock(moment, zone, gettext)
        if local == now.astimezone(zone).date():
            return gettext("today {time}").format(time=time)
        return f"{short_day(local, gettext)} {time}"

    if one.answered_at is not None:
        answer = gettext("read {when}").format(when=when(one.answered_at))
    elif one.answer_by is not None and one.state != "dropped":
        answer = gettext("answer wanted by {when}").format(when=when(one.answer_by))
    else:
        answer = ""
    return ToldView(
        id=one.id,
        name=one.name,
        how=f"{gettext(CHANNELS[one.channel])} {one.address}".strip(),
        subject=one.subject,
        body=one.body.replace(LINK, gettext("(the private link)")),
        state=CLASSES[one.state],
        word=gettext(WORDS[one.state]),
        posted=when(one.posted_at),
        sent=when(one.sent_at),
        next_try=when(one.next_try_at) if one.state == "waiting" and one.next_try_at > now else "",
        error=one.last_error,
        since=when(one.failing_since),
        attempts=one.attempts,
        answer=answer,
        late=bool(answer) and one.answered_at is None and one.answer_by is not None and one.answer_by <= now,
    )
