"""The channels as this installation's settings make them."""

from email.utils import parseaddr

from django.conf import settings

from crews.channels.channel import Channel, Off
from crews.channels.mail import Mail, mail_server
from crews.domain.letter import MAIL
from jobs.domain.errors import CannotDo


def configured_channels() -> dict[str, Channel | Off]:
    """Every channel by its name, on or off; made anew, so that a round of sending has connections of its own."""
    return {MAIL: _mail()}


def sender_domain() -> str:
    """The domain that message ids are made under: the sender's; empty where none is set."""
    return parseaddr(settings.PLANNER_MAIL_FROM)[1].rpartition("@")[2].lower()


def _mail() -> Channel | Off:
    try:
        return Mail(
            mail_server(
                settings.PLANNER_MAIL_URL, settings.PLANNER_MAIL_FROM, unencrypted=settings.PLANNER_SEND_UNENCRYPTED
            )
        )
    except CannotDo as reason:
        return Off(MAIL, reason)
