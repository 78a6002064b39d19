"""Who is told of an answer to a quote, and what the history keeps of it."""

from __future__ import annotations

from typing import Any

from portal.acts.lot_state import lot_name
from portal.acts.offering import title_of
from portal.acts.parts import Actor, Parts
from portal.acts.trail import mail, mail_builder, mail_office, note
from portal.store import consents
from portal.store.transaction import Work


def tell_accepted(parts: Parts, work: Work, who: Actor, lot: Any, revision: Any, link: Any) -> None:
    """Of an acceptance: the office, everybody who said yes, and the company where it came through a link."""
    title, name, order = title_of(revision), revision.decided_by, revision.purchase_order
    yeses, to = consents.consents(work, revision.id), who.email if link else ""
    first = yeses[0].name if len(yeses) > 1 else ""
    verb, subject = ("accepted by link", f"{title}, {to}") if link else ("accepted", title)
    seen = revision.fingerprint
    note(work, who, verb, subject, lot.id, name=name, first_yes=first, purchase_order=order, fingerprint=seen)
    about = {"quote": title, "lot": lot_name(lot), "by": name, "first": first, "purchase_order": order}
    mail_office(
        parts, work, "quote_accepted", lot.id, company=who.company, mailed_to=to,
        link=parts.links.office_lot(lot.id), **about,
    )  # fmt: skip
    address = parts.links.builder_lot(lot.id)
    for yes in yeses:
        # A purchaser's copy leads nowhere: of the way to their page only a hash is kept.
        way = address if yes.link is None else ""
        mail(parts, work, "quote_accepted_copy", yes.email, lot.id, name=yes.name, total=revision.total,
             link=way, **about)  # fmt: skip
    if link:
        mail_builder(parts, work, "link_answered", lot.company_id, lot.id, accepted=True, mailed_to=to,
                     reason="", link=address, **about)  # fmt: skip


def tell_declined(parts: Parts, work: Work, who: Actor, lot: Any, revision: Any, link: Any) -> None:
    """Of a no: the office, and the company where it came through a link."""
    title, to = title_of(revision), who.email if link else ""
    verb, subject = ("declined by link", f"{title}, {to}") if link else ("declined", title)
    reason = revision.decline_reason
    note(work, who, verb, subject, lot.id, reason=reason)
    about = {"quote": title, "lot": lot_name(lot), "by": who.name, "mailed_to": to, "reason": reason}
    mail_office(
        parts, work, "quote_declined", lot.id, company=who.company, link=parts.links.office_lot(lot.id),
        **about,
    )  # fmt: skip
    if link:
        mail_builder(
            parts, work, "link_answered", lot.company_id, lot.id, accepted=False, first="",
            purchase_order="", link=parts.links.builder_lot(lot.id), **about,
        )  # fmt: skip
