"""The office takes up what was asked, adds to it, approves and sends it, and begins it anew."""

from __future__ import annotations

from typing import Any

from portal.acts.comparing import since_last_sent
from portal.acts.deciding import accept, decline, take_back
from portal.acts.ending import lapse, remind
from portal.acts.flooring import keep, may_approve
from portal.acts.lot_state import lot_name, lot_to_change, restage
from portal.acts.offering import (
    back_to_check,
    costed,
    draft,
    mark_of,
    next_revision,
    open_revision,
    quote_document,
    supersede_others,
    title_of,
)
from portal.acts.parts import Actor, Parts, must_be
from portal.acts.pooling import Around
from portal.acts.purchasing import mail_in
from portal.acts.texts import MISSING, check, text_problems
from portal.acts.trail import mail_builder, note
from portal.core.documents import CostDocument, QuoteDocument, fingerprint, to_stored
from portal.core.errors import BadInput, NotFound, Problem, refuse
from portal.core.journey import QUOTE, move
from portal.core.money.invoice import read_amount
from portal.core.naming import holder_of_account
from portal.store import lots, owed, quotes
from portal.store.tables import Extra
from portal.store.transaction import Work

__all__ = [
    "accept", "add_extra", "approve", "decline", "draft", "drop_extra", "lapse", "quote_document", "remind",
    "revise",
    "send",
    "start",
    "take_back",
]  # fmt: skip


def start(parts: Parts, who: Actor, lot_id: str, version: int) -> None:
    """Take up what was asked: the quote gets its number and stands to be checked."""
    must_be(who, "office")
    with parts.store.writing() as work:
        start_in(parts, work, who, lot_to_change(work, who, lot_id, version))


def start_in(parts: Parts, work: Work, who: Actor, lot: Any) -> None:
    """The same within another act's transaction, of a lot that is held."""
    if quotes.quote_of(work, lot.id) is not None:
        raise refuse("The quote is already started.")
    if lot.kind == "retreatment":
        raise refuse("It is covered: make it a job on its report of trouble.")
    if lot.kind == "addition" and lots.newest_takeoff(work, lot.id).edition == 1:
        raise refuse("These are still the walls of the whole house: enter those of the addition first.")
    begin(parts, work, who, lot)


def begin(parts: Parts, work: Work, who: Actor, lot: Any) -> None:
    """Begin the quote of a lot that has none."""
    number = owed.next_number(work, "Q", parts.today().year)
    quote = quotes.add_quote(work, lot.id, number)
    quotes.add_revision(work, quote, lots.newest_takeoff(work, lot.id).id)
    note(work, who, "started", number, lot.id)
    restage(work, lot)


def add_extra(
    parts: Parts, who: Actor, lot_id: str, version: int, label: str, reason: str, amount: str
) -> None:
    """Add a line of the office's own, with its reason; an approved quote goes back to be checked."""
    must_be(who, "office")
    amount_problems: list[Problem] = []
    try:
        sum_of_money = read_amount(amount)
    except BadInput as bad:
        amount_problems = list(bad.problems)
    texts = text_problems("label", label, 200, MISSING) + text_problems("reason", reason, 500, MISSING)
    check(texts, amount_problems)
    with parts.store.writing() as work:
        lot = lot_to_change(work, who, lot_id, version)
        revision = open_revision(work, lot, "to check", "approved")
        position = 1 + max((e.position for e in revision.extras), default=0)
        extra = Extra(id=work.new_id(), position=position, label=label, reason=reason, amount=sum_of_money)
        extra.added_by = who.name
        revision.extras.append(extra)
        back_to_check(revision)
        note(work, who, "extra added", label, lot.id, amount=str(sum_of_money), reason=reason)
        restage(work, lot)


def drop_extra(parts: Parts, who: Actor, lot_id: str, version: int, extra_id: str) -> None:
    """Take an extra line off again."""
    must_be(who, "office")
    with parts.store.writing() as work:
        lot = lot_to_change(work, who, lot_id, version)
        revision = open_revision(work, lot, "to check", "approved")
        extra = next((e for e in revision.extras if e.id == extra_id), None)
        if extra is None:
            raise NotFound("extra line", extra_id)
        revision.extras.remove(extra)
        back_to_check(revision)
        note(work, who, "extra dropped", extra.label, lot.id)
        restage(work, lot)


def approve(parts: Parts, who: Actor, lot_id: str, version: int, remarks: str, reason: str = "") -> None:
    """Approve the takeoff and the price as they stand; under the floor with an owner's `reason`."""
    must_be(who, "office")
    check(text_problems("remarks", remarks, 4000))
    with parts.store.writing() as work:
        lot = lot_to_change(work, who, lot_id, version)
        open_revision(work, lot, "to check", "approved").remarks = remarks
        approve_in(parts, work, who, lot, reason=reason)


def approve_in(
    parts: Parts, work: Work, who: Actor, lot: Any, beside: Around | None = None, reason: str = ""
) -> None:
    """The same within another act's transaction, of a lot that is held, its remarks as they stand.

    Raises before anything is changed, where it cannot be approved.
    """
    revision = open_revision(work, lot, "to check", "approved")
    document, cost = costed(parts, work, lot, revision, beside)
    may_approve(work, who, cost, reason)
    mark_approved(work, who, lot, revision, document, cost, reason)


def mark_approved(
    work: Work, who: Actor, lot: Any, revision: Any, document: QuoteDocument, cost: CostDocument, reason: str
) -> None:
    """Approve a revision as it was costed, whoever may."""
    revision.state, revision.approved_by = "approved", who.name
    revision.total, revision.approved_mark = document.offer.total, mark_of(document)
    note(work, who, "approved", title_of(revision), lot.id, total=str(revision.total))
    keep(work, who, lot, revision, cost, reason)
    restage(work, lot)


def send(parts: Parts, who: Actor, lot_id: str, version: int) -> None:
    """Freeze the approved revision and send it; an older revision that was out is superseded."""
    must_be(who, "office")
    with parts.store.writing() as work:
        lot = lot_to_change(work, who, lot_id, version)
        revision = open_revision(work, lot, "approved")
        document = send_in(parts, work, who, lot)
        if lot.company.kind == "owner":
            _mail_to_owner(parts, work, who, lot, revision)
            return
        mail_builder(
            parts, work, "quote_sent", lot.company_id, lot.id, quote=document.name, lot=lot_name(lot),
            total=document.offer.total, currency=document.offer.currency, expires_on=document.expires_on,
            office=document.office, changed=since_last_sent(work, revision, document),
            link=parts.links.builder_lot(lot.id),
        )  # fmt: skip


def _mail_to_owner(parts: Parts, work: Work, who: Actor, lot: Any, revision: Any) -> None:
    """An owner signs in nowhere: the quote goes by a link, and is answered through it."""
    company = lot.company
    if not company.email:
        raise refuse("There is no mail address of the holder's: correct it at the warranty, then send it.")
    name = holder_of_account(company.name)
    mail_in(parts, work, who, lot, revision, name, company.email, revision.expires_on)


def send_in(parts: Parts, work: Work, who: Actor, lot: Any, beside: Around | None = None) -> QuoteDocument:
    """The same within another act's transaction, of a lot that is held; answers what was sent.

    Raises before anything is changed, where it cannot be sent. The builder is not told yet.
    """
    revision = open_revision(work, lot, "approved")
    document = draft(parts, work, lot, revision, beside)
    _must_be_as_approved(revision, document)
    _freeze(revision, to_stored(document))
    revision.expires_on, revision.sent_at = document.expires_on, work.now
    revision.state = move(QUOTE, revision.state, "sent")
    supersede_others(work, who, lot, revision)
    note(work, who, "sent", document.name, lot.id, fingerprint=revision.fingerprint)
    restage(work, lot)
    return document


def _must_be_as_approved(revision: Any, document: QuoteDocument) -> None:
    if mark_of(document) == revision.approved_mark:
        return
    if document.package is not None:
        raise refuse(
            "The rate book or a lot of its package has changed since this was approved: approve it once more."
        )
    if document.offer.total != revision.total:
        raise refuse("The rate book has changed since this was approved: approve it once more.")
    raise refuse("What this offers has changed since it was approved: approve it once more.")


def _freeze(revision: Any, stored: dict[str, Any]) -> None:
    revision.document, revision.fingerprint = stored, fingerprint(stored)


def revise(parts: Parts, who: Actor, lot_id: str, version: int) -> None:
    """Begin a new revision of what was sent; the old one holds until the new one is sent."""
    must_be(who, "office")
    with parts.store.writing() as work:
        lot = lot_to_change(work, who, lot_id, version)
        old = open_revision(work, lot, "sent", "lapsed", "declined")
        revision = next_revision(work, old, lots.newest_takeoff(work, lot.id).id)
        note(work, who, "revised", title_of(revision), lot.id)
        restage(work, lot)
