"""One message on one channel, as a channel takes it, and what is said to machines about it."""

import hashlib
import re
from dataclasses import dataclass, field
from datetime import datetime

MAIL, TEXT, WEBHOOK = "mail", "text", "webhook"
# Three parts of a text message of 160 signs; longer ones cost more and are broken apart by some carriers.
LONGEST_TEXT = 459
# Where the private link goes; its address is worked out when the message is sent and is never stored.
LINK = "[[link]]"
FALLBACK_DOMAIN = "dry-window.invalid"


@dataclass(frozen=True, slots=True, kw_only=True)
class Letter:
    """What a channel sends. ``message_id`` is the same at every attempt; ``reply_to`` an e-mail address or empty."""

    message_id: str
    to: str
    name: str
    subject: str
    body: str
    fact: str
    branch: str
    person: str
    at: datetime
    attempt: int
    urgent: bool = False
    reply_to: str = ""
    answer_by: datetime | None = field(default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class MessageFacts:
    """A message as the outbox keeps it, for pages. ``state`` and ``channel`` are the codes of the row."""

    id: int
    person: str
    name: str
    channel: str
    address: str
    subject: str
    body: str
    state: str
    attempts: int
    urgent: bool
    posted_at: datetime
    next_try_at: datetime
    sent_at: datetime | None = None
    answer_by: datetime | None = None
    answered_at: datetime | None = None
    failing_since: datetime | None = None
    last_error: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ChannelFacts:
    """Whether a channel is on; ``says`` and ``remedy`` why not."""

    name: str
    on: bool
    says: str = ""
    remedy: str = ""


def message_id_of(*, branch: int, fact: str, person: str, channel: str, domain: str) -> str:
    """The stable id of a message, fit for a mail's Message-ID between angle brackets (RFC 5322 3.6.4).

    The same fact for the same person on the same channel has the same id, also when it is told anew from a backup.

    >>> message_id_of(branch=1, fact="a", person="crew:1", channel="mail", domain="example.org")[-12:]
    '@example.org'
    """
    parts = "\0".join((str(branch), fact, person, channel)).encode()
    return f"{hashlib.sha256(parts).hexdigest()[:40]}@{domain or FALLBACK_DOMAIN}"


def shortened(text: str, longest: int = LONGEST_TEXT) -> str:
    """The text with its white space in one piece, cut at a word where it is too long for a text message.

    >>> shortened("Pour moved  to Friday", longest=13)
    'Pour moved …'
    """
    words = re.sub(r"[ \t]+", " ", text).strip()
    if len(words) <= longest:
        return words
    cut = words[: longest - 2]
    return f"{cut.rpartition(' ')[0] or cut} …"
