"""A mail server on this machine that keeps what it is given, for tests of the post room."""

from __future__ import annotations

import socket
from collections.abc import Iterator
from dataclasses import dataclass, field
from email import message_from_bytes, policy
from email.message import EmailMessage

import pytest
from aiosmtpd.controller import Controller
from aiosmtpd.smtp import SMTP, Envelope, Session


@dataclass
class Mailbox:
    """What arrived, in order. Set `refuses` to an SMTP answer to have everything refused with it."""

    host: str = "127.0.0.1"
    port: int = 0
    letters: list[EmailMessage] = field(default_factory=list)
    envelopes: list[tuple[str, tuple[str, ...]]] = field(default_factory=list)
    refuses: str = ""

    async def handle_DATA(self, _server: SMTP, _session: Session, envelope: Envelope) -> str:
        """Called by aiosmtpd for each letter; the answer goes back to the sender."""
        if self.refuses:
            return self.refuses
        assert isinstance(envelope.content, bytes)
        letter = message_from_bytes(envelope.content, policy=policy.default)
        assert isinstance(letter, EmailMessage)
        self.letters.append(letter)
        self.envelopes.append((envelope.mail_from or "", tuple(envelope.rcpt_tos)))
        return "250 taken"


@pytest.fixture
def mailbox() -> Iterator[Mailbox]:
    """A listening mail server on a free port of 127.0.0.1; `mailbox.letters` fills as letters arrive."""
    with socket.create_server(("127.0.0.1", 0)) as free:
        box = Mailbox(port=free.getsockname()[1])
    server = Controller(box, hostname=box.host, port=box.port)
    server.start()
    yield box
    server.stop()
