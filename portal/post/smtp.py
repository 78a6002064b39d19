"""The way out for mail: SMTP, as a letter of text and HTML."""

from __future__ import annotations

import smtplib
import ssl
from datetime import datetime
from email.message import EmailMessage
from email.policy import SMTP
from email.utils import format_datetime
from typing import Protocol


class Letter(Protocol):
    """What a letter is made of."""

    @property
    def message_id(self) -> str: ...
    @property
    def to(self) -> str: ...
    @property
    def subject(self) -> str: ...
    @property
    def text(self) -> str: ...
    @property
    def html(self) -> str: ...


class Transport(Protocol):
    """Takes a letter away. Raises whatever went wrong."""

    def send(self, letter: Letter, now: datetime) -> None: ...


def message(letter: Letter, mail_from: str, now: datetime) -> EmailMessage:
    """The mail (RFC 5322). `now` is UTC. Raises `ValueError` where an address or id would break a header."""
    mail = EmailMessage(policy=SMTP)
    mail["Subject"] = letter.subject
    mail["From"] = mail_from
    mail["To"] = letter.to
    if len(mail["To"].addresses) != 1:
        raise ValueError(f"a letter goes to one address, not to “{letter.to[:80]}”")
    mail["Date"] = format_datetime(now)
    mail["Message-ID"] = letter.message_id
    # No out-of-office answer to a machine's letter (RFC 3834).
    mail["Auto-Submitted"] = "auto-generated"
    mail.set_content(letter.text)
    mail.add_alternative(letter.html, subtype="html")
    return mail


class SmtpTransport:
    """Sends each letter over a connection of its own. `tls` is starttls, tls or none."""

    def __init__(
        self,
        host: str,
        port: int,
        *,
        user: str = "",
        password: str = "",
        tls: str = "starttls",
        mail_from: str,
        timeout: float = 30.0,
        trust: ssl.SSLContext | None = None,
    ) -> None:
        if tls not in ("starttls", "tls", "none"):
            raise ValueError(f"tls is starttls, tls or none, not {tls}")
        self._host, self._port, self._timeout = host, port, timeout
        self._user, self._password, self._tls, self._from = user, password, tls, mail_from
        self._trust = trust or ssl.create_default_context()

    def send(self, letter: Letter, now: datetime) -> None:
        """Hand the letter over. Raises `OSError` (all of smtplib's errors are), `ValueError`."""
        mail = message(letter, self._from, now)
        with self._open() as server:
            if self._tls == "starttls":
                server.starttls(context=self._trust)
            if self._user:
                server.login(self._user, self._password)
            server.send_message(mail)

    def _open(self) -> smtplib.SMTP:
        if self._tls == "tls":
            return smtplib.SMTP_SSL(self._host, self._port, timeout=self._timeout, context=self._trust)
        return smtplib.SMTP(self._host, self._port, timeout=self._timeout)
