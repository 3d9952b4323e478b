"""A real SMTP server on the loopback that keeps what it takes and answers as it is told."""

from asyncio.base_events import Server
from collections.abc import Iterator
from contextlib import contextmanager
from email import message_from_bytes
from email.message import Message
from email.policy import default
from typing import Any

from aiosmtpd.controller import Controller


class Mailbox:
    """``answers`` are given to the next letters, one each, before they are taken; ``at`` is MAIL, RCPT or DATA."""

    def __init__(self) -> None:
        self.letters: list[Message] = []
        self.recipients: list[list[str]] = []
        self.answers: list[tuple[str, str]] = []
        self.lost = False

    def _answer(self, at: str) -> str:
        if self.answers and self.answers[0][0] == at:
            return self.answers.pop(0)[1]
        return ""

    async def handle_MAIL(self, server: Any, session: Any, envelope: Any, address: str, options: Any) -> str:
        answer = self._answer("MAIL")
        if answer:
            return answer
        envelope.mail_from = address
        return "250 OK"

    async def handle_RCPT(self, server: Any, session: Any, envelope: Any, address: str, options: Any) -> str:
        answer = self._answer("RCPT")
        if answer:
            return answer
        envelope.rcpt_tos.append(address)
        return "250 OK"

    async def handle_DATA(self, server: Any, session: Any, envelope: Any) -> str:
        answer = self._answer("DATA")
        if answer:
            return answer
        self.letters.append(message_from_bytes(envelope.content, policy=default))
        self.recipients.append(list(envelope.rcpt_tos))
        if self.lost:
            # The letter is taken; the answer never arrives.
            server.transport.close()
        return "250 OK"

    @property
    def ids(self) -> list[str]:
        return [str(letter["Message-ID"]) for letter in self.letters]


def body_of(letter: Message) -> str:
    """The words of a letter, whatever they travelled as."""
    content = letter.get_payload(decode=True)
    assert isinstance(content, bytes)
    return content.decode()


class AnyPort(Controller):
    """Listens on whatever port is free."""

    def _trigger_server(self) -> None:
        assert isinstance(self.server, Server)
        self.port = self.server.sockets[0].getsockname()[1]
        super()._trigger_server()


@contextmanager
def mail_server(mailbox: Mailbox, **options: Any) -> Iterator[str]:
    """The address of a server that runs while the block does."""
    controller = AnyPort(mailbox, hostname="127.0.0.1", port=0, **options)
    controller.start()
    try:
        yield f"smtp://127.0.0.1:{controller.port}"
    finally:
        controller.stop()
