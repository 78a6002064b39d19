"""Builds the parts of the house from its settings.

The clock, luck and the mail's way out come in here and nowhere else.
"""

from __future__ import annotations

import secrets
from collections.abc import Callable
from datetime import UTC, datetime
from email.utils import parseaddr
from zoneinfo import ZoneInfo

from babel.support import Translations

from portal.acts import (
    covering,
    holder_page,
    losing,
    many_entered,
    quoting,
    reminding,
    removing,
    renewing,
    transferring,
    upkeep,
)
from portal.acts.parts import Luck, Parts
from portal.core.cover.numbers import ALPHABET
from portal.formats import Formats
from portal.links import Links
from portal.papers import Papers
from portal.passwords import Passwords
from portal.post.demo import NowhereTransport
from portal.post.letters import Letters
from portal.post.smtp import SmtpTransport, Transport
from portal.post.worker import Worker
from portal.sealing import Keys, Seal
from portal.settings import Settings
from portal.store.blobs import Blobs
from portal.store.outbox import Outbox
from portal.store.transaction import Store, connect
from portal.tokens import Tokens


def now() -> datetime:
    """The one clock: UTC."""
    return datetime.now(UTC)


def luck() -> Luck:
    """Draws from the machine's own source of secrets."""
    return Luck(below=secrets.randbelow, token=lambda: secrets.token_urlsafe(24))


def ids(chance: Luck) -> Callable[[], str]:
    """A maker of ids: 20 characters, 98 bits of luck, without look-alikes."""
    return lambda: "".join(ALPHABET[chance.below(len(ALPHABET))] for _ in range(20)).lower()


def formats_for(settings: Settings) -> Formats:
    """How the office's readers read letters and papers. Without a catalog a text is its own translation."""
    catalog = Translations.load(settings.catalogs, [settings.locale])
    zone = ZoneInfo(settings.zone)
    return Formats(settings.locale, zone, translate=catalog.gettext, plural=catalog.ngettext)


def build(settings: Settings, tick: Callable[[], datetime] = now, chance: Luck | None = None) -> Parts:
    """The parts, ready for use. Tests and the demo hand in a clock and luck of their own."""
    chance = chance or luck()
    formats = formats_for(settings)
    links = Links(settings.base_url)
    domain = parseaddr(settings.mail_from)[1].rpartition("@")[2] or "localhost"
    return Parts(
        store=Store(connect(settings.database), tick, ids(chance)), blobs=Blobs(settings.blobs),
        papers=Papers(settings.paper, formats, summaries=settings.summaries),
        letters=Letters(formats), links=links,
        tokens=Tokens(settings.secret, tick), passwords=Passwords(), luck=chance, now=tick,
        zone=ZoneInfo(settings.zone), mail_domain=domain, seal=Seal(Keys(settings.key_folder)),
        demo=settings.demo,
    )  # fmt: skip


def transport_for(settings: Settings) -> Transport:
    """The way out for mail: SMTP where it is set, else nowhere, which only the demo should want."""
    if settings.smtp_host:
        return SmtpTransport(
            settings.smtp_host, settings.smtp_port, user=settings.smtp_user, password=settings.smtp_password,
            tls=settings.smtp_tls, mail_from=settings.mail_from,
        )  # fmt: skip
    return NowhereTransport()


def worker_for(settings: Settings, parts: Parts) -> Worker:
    """The thread that sends what the outbox holds, enters lists of lots, and does what is due by the day."""
    return Worker(
        Outbox(parts.store),
        transport_for(settings),
        parts.now,
        always=(
            lambda: many_entered.go_on_with_all(parts),
            lambda: losing.answer_lost_numbers(parts),
            lambda: holder_page.answer_link_asks(parts),
        ),
        daily=(
            lambda: quoting.remind(parts),
            lambda: quoting.lapse(parts),
            lambda: reminding.remind(parts),
            lambda: covering.expire(parts),
            lambda: renewing.offer_renewals(parts),
            lambda: transferring.let_run_out(parts),
            lambda: upkeep.forget(parts),
            lambda: removing.remove_due(parts),
        ),
    )
