"""Sending over real SMTP, to a server on this machine."""

from __future__ import annotations

import smtplib
import socket
from collections.abc import Iterator
from datetime import UTC, datetime
from email.utils import parsedate_to_datetime

import pytest
from aiosmtpd.controller import Controller
from aiosmtpd.smtp import AuthResult

from portal.post.demo import NowhereTransport
from portal.post.smtp import SmtpTransport, message
from tests.parts.mail import Mailbox
from tests.post.conftest import PlainLetter

NOW = datetime(2027, 3, 9, 15, 0, tzinfo=UTC)
OFFICE = "Sill & Plate Treatment <office@example.com>"


def transport(box: Mailbox, **given: str) -> SmtpTransport:
    return SmtpTransport(box.host, box.port, **{"tls": "none", "mail_from": OFFICE, **given})


def test_a_letter_arrives_with_its_headers_and_in_both_forms(mailbox: Mailbox) -> None:
    transport(mailbox).send(PlainLetter(), NOW)

    (letter,) = mailbox.letters
    assert letter["Subject"] == "Quote Q-2027-0012 rev. 2"
    assert letter["From"] == OFFICE
    assert letter["To"] == "build@example.org"
    assert letter["Message-ID"] == "<abc123@example.com>"
    assert letter["Auto-Submitted"] == "auto-generated"
    assert parsedate_to_datetime(letter["Date"]) == NOW
    assert letter.get_content_type() == "multipart/alternative"
    text, html = letter.iter_parts()
    assert (text.get_content_type(), html.get_content_type()) == ("text/plain", "text/html")
    assert text.get_content().splitlines() == PlainLetter().text.splitlines()
    assert html.get_content().splitlines() == PlainLetter().html.splitlines()
    assert mailbox.envelopes == [("office@example.com", ("build@example.org",))]


@pytest.mark.parametrize(
    "letter",
    [
        PlainLetter(subject="Hello\r\nBcc: everybody@example.org"),
        PlainLetter(to="build@example.org\r\nBcc: everybody@example.org"),
        PlainLetter(to="build@example.org\nDATA"),
        PlainLetter(message_id="<abc@example.com>\r\nBcc: everybody@example.org"),
    ],
)
def test_a_broken_header_is_refused_before_anything_is_sent(mailbox: Mailbox, letter: PlainLetter) -> None:
    with pytest.raises(ValueError, match=r"linefeed|header"):
        transport(mailbox).send(letter, NOW)

    assert mailbox.letters == []


def test_a_second_address_in_one_field_is_another_recipient_of_nothing(mailbox: Mailbox) -> None:
    """Addresses are checked where they are entered; a comma that came through must not fan a letter out."""
    with pytest.raises(ValueError, match="one address"):
        transport(mailbox).send(PlainLetter(to="a@example.org, b@example.org"), NOW)


def test_a_refusal_is_told(mailbox: Mailbox) -> None:
    mailbox.refuses = "451 come back later"

    with pytest.raises(smtplib.SMTPDataError, match="come back later"):
        transport(mailbox).send(PlainLetter(), NOW)


def test_where_tls_is_wanted_and_not_offered_nothing_is_sent(mailbox: Mailbox) -> None:
    with pytest.raises(smtplib.SMTPNotSupportedError):
        transport(mailbox, tls="starttls").send(PlainLetter(), NOW)

    assert mailbox.letters == []


def test_tls_is_one_of_three_words(mailbox: Mailbox) -> None:
    with pytest.raises(ValueError, match="starttls, tls or none"):
        transport(mailbox, tls="ssl")


def test_a_server_that_is_not_there_is_an_error() -> None:
    with socket.create_server(("127.0.0.1", 0)) as free:
        port = free.getsockname()[1]

    with pytest.raises(OSError, match="refused"):
        SmtpTransport("127.0.0.1", port, tls="none", mail_from=OFFICE).send(PlainLetter(), NOW)


@pytest.fixture
def guarded() -> Iterator[Mailbox]:
    """A mail server that takes letters only from office with the password sesame."""

    def right(_server: object, _session: object, _envelope: object, _way: str, data: object) -> AuthResult:
        known = (getattr(data, "login", None), getattr(data, "password", None)) == (b"office", b"sesame")
        return AuthResult(success=known, handled=known)

    with socket.create_server(("127.0.0.1", 0)) as free:
        box = Mailbox(port=free.getsockname()[1])
    server = Controller(
        box,
        hostname=box.host,
        port=box.port,
        authenticator=right,
        auth_required=True,
        auth_require_tls=False,
    )
    server.start()
    yield box
    server.stop()


@pytest.mark.filterwarnings("ignore:Requiring AUTH while not requiring TLS")
def test_a_server_that_asks_for_a_password_is_given_it(guarded: Mailbox) -> None:
    transport(guarded, user="office", password="sesame").send(PlainLetter(), NOW)

    assert len(guarded.letters) == 1


@pytest.mark.filterwarnings("ignore:Requiring AUTH while not requiring TLS")
def test_a_wrong_password_is_told(guarded: Mailbox) -> None:
    with pytest.raises(smtplib.SMTPAuthenticationError):
        transport(guarded, user="office", password="wrong").send(PlainLetter(), NOW)


def test_nowhere_takes_everything() -> None:
    NowhereTransport().send(PlainLetter(), NOW)


@pytest.mark.parametrize("scheme", ["https", "http"])
def test_a_letter_that_can_be_turned_off_says_how(scheme: str) -> None:
    """RFC 8058, section 3.1: both headers, the address over HTTPS; without TLS, RFC 2369's alone."""
    off = f"{scheme}://portal.example.com/fewer/{'t' * 120}"

    raw = message(PlainLetter(unsubscribe=off), "office@example.com", NOW).as_bytes()

    # As it goes over the wire: never cut, and never encoded (RFC 2047, 5: no encoded word in an address).
    assert f"List-Unsubscribe: <{off}>\r\n".encode() in raw
    one_press = b"List-Unsubscribe-Post: List-Unsubscribe=One-Click\r\n"
    assert (one_press in raw) == (scheme == "https")
    assert message(PlainLetter(), "office@example.com", NOW)["List-Unsubscribe"] is None
