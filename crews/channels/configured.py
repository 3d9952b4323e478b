"""The channels as this installation's settings make them."""

from collections.abc import Callable
from email.utils import parseaddr

from django.conf import settings

from crews.channels.channel import Channel, Off
from crews.channels.http import Endpoint
from crews.channels.mail import Mail, mail_server
from crews.channels.text_message import TextMessage, gateway
from crews.channels.webhook import Webhook
from crews.domain.letter import MAIL, TEXT, WEBHOOK, ChannelFacts
from jobs.domain.errors import CannotDo


def configured_channels() -> dict[str, Channel | Off]:
    """Every channel by its name, on or off; made anew, so that a round of sending has connections of its own."""
    return {name: _made(name, make) for name, make in MAKERS.items()}


def channel_facts() -> tuple[ChannelFacts, ...]:
    """Which channels are on, and what the others lack."""
    return tuple(
        ChannelFacts(name=name, on=False, says=one.reason.says, remedy=one.reason.remedy)
        if isinstance(one, Off)
        else ChannelFacts(name=name, on=True)
        for name, one in configured_channels().items()
    )


def sender_domain() -> str:
    """The domain that message ids are made under: the sender's; empty where none is set."""
    return parseaddr(settings.PLANNER_MAIL_FROM)[1].rpartition("@")[2].lower()


def _made(name: str, make: Callable[[], Channel]) -> Channel | Off:
    try:
        return make()
    except CannotDo as reason:
        return Off(name, reason)


def _mail() -> Mail:
    server = mail_server(
        settings.PLANNER_MAIL_URL, settings.PLANNER_MAIL_FROM, unencrypted=settings.PLANNER_SEND_UNENCRYPTED
    )
    return Mail(server)


def _text() -> TextMessage:
    if not settings.PLANNER_TEXT_URL or not settings.PLANNER_TEXT_BODY:
        raise CannotDo("channels.text_off", field="PLANNER_TEXT_URL")
    return TextMessage(
        gateway(
            _endpoint("PLANNER_TEXT_URL"),
            method=settings.PLANNER_TEXT_METHOD,
            body=settings.PLANNER_TEXT_BODY,
            headers=settings.PLANNER_TEXT_HEADERS,
            good=settings.PLANNER_TEXT_GOOD,
        )
    )


def _webhook() -> Webhook:
    if not settings.PLANNER_WEBHOOK_URL or not settings.PLANNER_WEBHOOK_SECRET:
        raise CannotDo("channels.webhook_off", field="PLANNER_WEBHOOK_URL")
    return Webhook(_endpoint("PLANNER_WEBHOOK_URL"), settings.PLANNER_WEBHOOK_SECRET)


def _endpoint(setting: str) -> Endpoint:
    return Endpoint(
        setting=setting,
        url=getattr(settings, setting),
        inside=settings.PLANNER_SEND_INSIDE,
        unencrypted=settings.PLANNER_SEND_UNENCRYPTED,
    )


MAKERS: dict[str, Callable[[], Channel]] = {MAIL: _mail, TEXT: _text, WEBHOOK: _webhook}
