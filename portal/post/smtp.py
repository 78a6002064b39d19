"""The way out for mail: SMTP, as a letter of text and HTML."""

from __future__ import annotations

import smtplib
import ssl
from datetime import datetime
from email.message import EmailMessage
from email.policy import EmailPolicy
from email.utils import format_datetime
from typing import Any, Protocol


class _Whole(EmailPolicy):
    """Python's own would write an address that is longer than a line in encoded words, which none may be."""

    def fold(self, name: str, value: Any) -> str:
        """The header's lines."""
        whole = name.lower() == "list-unsubscribe"
        return f"{name}: {value}{self.linesep}" if whole else super().fold(name, value)

    def fold_binary(self, name: str, value: Any) -> bytes:
        """The same as bytes."""
        whole = name.lower() == "list-unsubscribe"
        return self.fold(name, value).encode("ascii") if whole else super().fold_binary(name, value)


AS_SENT = _Whole(linesep="\r\n")


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
    @property
    def unsubscribe(self) -> str: ...


class Transport(Protocol):
    """Takes a letter away. Raises whatever went wrong."""

    def send(self, letter: Letter, now: datetime) -> None: ...


def message(letter: Letter, mail_from: str, now: datetime) -> EmailMessage:
    """The mail (RFC 5322). `now` is UTC. Raises `ValueError` where an address or id would break a header."""
    mail = EmailMessage(policy=AS_SENT)
    mail["Subject"] = letter.subject
    mail["From"] = mail_from
    mail["To"] = letter.to
    if len(mail["To"].addresses) != 1:
        raise ValueError(f"a letter goes to one address, not to “{letter.to[:80]}”")
    mail["Date"] = format_datetime(now)
    mail["Message-ID"] = letter.message_id
    # No out-of-office answer to a machine's letter (RFC 3834).
    mail["Auto-Submitted"] = "auto-generated"
    if letter.unsubscribe:
        mail["List-Unsubscribe"] = f"<{letter.unsubscribe}>"
        if letter.unsubscribe.startswith("https://"):  # one press, and only over TLS (RFC 8058, 3.1)
            mail["List-Unsubscribe-Post"] = "List-Unsubscribe=One-Click"
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
