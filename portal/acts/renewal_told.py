"""What a holder is written of a renewal, and to whom it is offered: whoever holds the warranty then."""

from __future__ import annotations

from typing import Any

from portal.acts.holder_told import mail_holder
from portal.acts.parts import SYSTEM, Parts
from portal.acts.trail import note
from portal.store import holders, renewals
from portal.store.transaction import Work

#: What the next owner may still answer: not bound by what the one before said, nor billed for it.
ANSWERED_ANEW = ("offered", "accepted", "declined")


def renewal_token(parts: Parts, row: Any, holder: Any) -> str:
    """The token of an offer to one holder: the next holder has another, and this one opens nothing then."""
    return parts.tokens.make("renewal", {"renewal": row.id, "holder": holder.id})


def write_offer(parts: Parts, work: Work, warranty: Any, row: Any, holder: Any) -> None:
    """Mail a holder the link by which they take the next term up, or leave it."""
    mail_holder(parts, work, "renewal_offered", warranty, ended_on=row.ended_on, until=row.until,
                last_day=row.last_day, fee=row.fee, inspection=row.inspection,
                link=parts.links.renewal(renewal_token(parts, row, holder)))  # fmt: skip


def offer_to_next(parts: Parts, work: Work, warranty: Any, holder: Any) -> None:
    """Offer what was not billed yet to who holds the warranty from now on; its lot is held."""
    rows = renewals.terms_of(work, warranty.id)
    row = rows[-1] if rows else None
    if row is None or row.state not in ANSWERED_ANEW or row.last_day < parts.today():
        return
    row.holder_id, row.state = holder.id, "offered"
    row.answered_by, row.answered_at, row.looks_on, row.looked_by = "", None, None, ""
    note(work, SYSTEM, "renewal offered", warranty.number, warranty.lot_id, day=row.until.isoformat())
    write_offer(parts, work, warranty, row, holder)


def tell_renewed(parts: Parts, work: Work, warranty: Any) -> None:
    """Tell the holder that the warranty runs on."""
    mail_holder(parts, work, "renewed", warranty, until=warranty.ends_on)


def tell_withdrawn(parts: Parts, work: Work, warranty: Any, *, owed: bool) -> None:
    """Tell the holder that a term is taken back: they were told before that the warranty runs on."""
    mail_holder(parts, work, "renewal_withdrawn", warranty, day=warranty.ends_on, owed=owed)


def tell_expired(parts: Parts, work: Work, warranty: Any) -> None:
    """Tell the holder that the last day is over, and how it stands with a next term that they took up."""
    row = renewals.open_of(work, warranty.id)
    if row is None or row.state not in renewals.TAKEN_UP:
        holder = holders.holder_now(work, warranty.id)
        still = row if row is not None and holder is not None and row.last_day >= parts.today() else None
        link = parts.links.renewal(renewal_token(parts, still, holder)) if still else ""
        mail_holder(parts, work, "expired", warranty, day=warranty.ends_on, link=link,
                    last_day=still.last_day if still else None)  # fmt: skip
    else:
        mail_holder(parts, work, "expired_renewing", warranty, day=row.ended_on,
                    looked=row.state != "accepted")  # fmt: skip
