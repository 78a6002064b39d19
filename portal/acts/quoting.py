"""The office checks, approves and sends a quote; the builder accepts or declines it."""

from __future__ import annotations

from datetime import timedelta
from fractions import Fraction
from typing import Any

from portal.acts.editions import decimal, in_force
from portal.acts.estimating import figures
from portal.acts.lot_state import builder_of, lot_name, lot_to_change, place_of, restage
from portal.acts.parts import SYSTEM, Actor, Parts, must_be
from portal.acts.trail import mail, mail_builder, mail_office, note, once
from portal.core.documents import ClauseWall, Line, Offer, QuoteDocument, fingerprint, from_stored, to_stored
from portal.core.errors import BadInput, NotFound, Problem, refuse
from portal.core.journey import QUOTE, move
from portal.core.money.amount import cents
from portal.core.money.invoice import read_amount
from portal.core.pricing.clause import most_it_can_come_to
from portal.core.pricing.offer import offer_from
from portal.core.pricing.rates import Rates, read_rates
from portal.core.words import say
from portal.store import jobs, lots, owed, people, quotes
from portal.store.tables import Extra
from portal.store.transaction import Work


def draft(parts: Parts, work: Work, lot: Any, revision: Any) -> QuoteDocument:
    """The quote as it would be sent now: by today's editions, from the revision's own takeoff."""
    editions = in_force(work, parts.today())
    result = figures(revision.takeoff.house, editions)
    rates, walls = read_rates(editions.rates.document), result.walls()
    second, unwrap = decimal(rates.second_coat_per_foot), decimal(rates.unwrap_per_foot)
    return QuoteDocument(
        number=revision.quote.number, revision=revision.number, place=place_of(lot),
        builder=builder_of(lot, people.person(work, lot.created_by).name), office=editions.office(),
        house=revision.takeoff.house, estimate=result.answer, walls=walls,
        offer=_offer(result.answer, rates, revision.extras),
        clause_per_foot=second, clause_unwrap_per_foot=unwrap,
        clause_walls=tuple(
            ClauseWall(w.key, w.story, w.label, w.feet, cents(Fraction(w.exact) * Fraction(second)))
            for w in walls if w.status != "sided"
        ),
        clause_cap=most_it_can_come_to(result.stretches, second),
        product=editions.product_edition(), terms=editions.warranty_terms(),
        rate_edition=editions.rates.number, crew_edition=editions.crew.number,
        siding_starts=lot.siding_starts, insulation_starts=lot.insulation_starts,
        sent_on=parts.today(), expires_on=parts.today() + timedelta(days=int(editions.firm.document["quote_days"])),
        remarks=revision.remarks,
    )  # fmt: skip


def _offer(answer: dict[str, Any], rates: Rates, extras: list[Any]) -> Offer:
    lines = [Line("extra", extra.label, extra.amount, reason=extra.reason) for extra in extras]
    return offer_from(answer["price"], lines, decimal(rates.discount_percent), decimal(rates.tax_percent))


def _open_revision(work: Work, lot: Any, *states: str) -> Any:
    """The newest revision, where it is in one of these states. Raises `Refused`."""
    quote = quotes.quote_of(work, lot.id)
    if quote is None:
        raise refuse("No quote was started for this lot yet.")
    revision = quotes.revisions(work, quote.id)[0]
    if revision.state not in states:
        raise refuse("The quote is {state}, so this cannot be done.", state=revision.state)
    return revision


def start(parts: Parts, who: Actor, lot_id: str, version: int) -> None:
    """Take up what was asked: the quote gets its number and stands to be checked."""
    must_be(who, "office")
    with parts.store.writing() as work:
        lot = lot_to_change(work, who, lot_id, version)
        if quotes.quote_of(work, lot.id) is not None:
            raise refuse("The quote is already started.")
        number = owed.next_number(work, "Q", parts.today().year)
        quotes.add_revision(
            work, quotes.add_quote(work, lot.id, number), lots.newest_takeoff(work, lot.id).id
        )
        note(work, who, "started", number, lot.id)
        restage(work, lot)


def add_extra(
    parts: Parts, who: Actor, lot_id: str, version: int, label: str, reason: str, amount: str
) -> None:
    """Add a line of the office's own, with its reason; an approved quote goes back to be checked."""
    must_be(who, "office")
    problems = [
        Problem(field, say("This is missing."))
        for field, value in (("label", label), ("reason", reason))
        if not value
    ]
    problems += [
        Problem(field, say("At most {limit} characters, please.", limit=limit))
        for field, value, limit in (("label", label, 200), ("reason", reason, 500)) if len(value) > limit
    ]  # fmt: skip
    try:
        sum_of_money = read_amount(amount)
    except BadInput as bad:
        problems += bad.problems
    if problems:
        raise BadInput(problems)
    with parts.store.writing() as work:
        lot = lot_to_change(work, who, lot_id, version)
        revision = _open_revision(work, lot, "to check", "approved")
        position = 1 + max((e.position for e in revision.extras), default=0)
        revision.extras.append(Extra(
            id=work.new_id(), position=position, label=label, reason=reason, amount=sum_of_money, added_by=who.name,
        ))  # fmt: skip
        revision.state, revision.total, revision.approved_by = "to check", None, ""
        note(work, who, "extra added", label, lot.id, amount=str(sum_of_money), reason=reason)
        restage(work, lot)


def drop_extra(parts: Parts, who: Actor, lot_id: str, version: int, extra_id: str) -> None:
    """Take an extra line off again."""
    must_be(who, "office")
    with parts.store.writing() as work:
        lot = lot_to_change(work, who, lot_id, version)
        revision = _open_revision(work, lot, "to check", "approved")
        extra = next((e for e in revision.extras if e.id == extra_id), None)
        if extra is None:
            raise NotFound("extra line", extra_id)
        revision.extras.remove(extra)
        revision.state, revision.total, revision.approved_by = "to check", None, ""
        note(work, who, "extra dropped", extra.label, lot.id)
        restage(work, lot)


def approve(parts: Parts, who: Actor, lot_id: str, version: int, remarks: str) -> None:
    """Approve the takeoff and the price as they stand."""
    must_be(who, "office")
    if len(remarks) > 4000:
        raise BadInput([Problem("remarks", say("At most {limit} characters, please.", limit=4000))])
    with parts.store.writing() as work:
        lot = lot_to_change(work, who, lot_id, version)
        revision = _open_revision(work, lot, "to check", "approved")
        revision.state = "approved"
        revision.remarks, revision.approved_by = remarks, who.name
        revision.total = draft(parts, work, lot, revision).offer.total
        note(
            work,
            who,
            "approved",
            f"{revision.quote.number} rev. {revision.number}",
            lot.id,
            total=str(revision.total),
        )
        restage(work, lot)


def send(parts: Parts, who: Actor, lot_id: str, version: int) -> None:
    """Freeze the approved revision and send it; an older revision that was out is superseded."""
    must_be(who, "office")
    with parts.store.writing() as work:
        lot = lot_to_change(work, who, lot_id, version)
        revision = _open_revision(work, lot, "approved")
        document = draft(parts, work, lot, revision)
        if document.offer.total != revision.total:
            raise refuse("The rate book has changed since this was approved: approve it once more.")
        stored = to_stored(document)
        revision.document, revision.fingerprint = stored, fingerprint(stored)
        revision.expires_on, revision.sent_at = document.expires_on, work.now
        revision.state = move(QUOTE, revision.state, "sent")
        _supersede_others(work, who, lot, revision)
        note(work, who, "sent", document.name, lot.id, fingerprint=revision.fingerprint)
        mail_builder(
            parts, work, "quote_sent", lot.company_id, lot.id, quote=document.name, lot=lot_name(lot),
            total=document.offer.total, currency=document.offer.currency, expires_on=document.expires_on,
            office=document.office, link=parts.links.builder_lot(lot.id),
        )  # fmt: skip
        restage(work, lot)


def _supersede_others(work: Work, who: Actor, lot: Any, kept: Any) -> None:
    for other in quotes.revisions(work, kept.quote_id):
        if other.id != kept.id and "superseded" in QUOTE[other.state]:
            other.state = "superseded"
            note(work, who, "superseded", f"{kept.quote.number} rev. {other.number}", lot.id)


def revise(parts: Parts, who: Actor, lot_id: str, version: int) -> None:
    """Begin a new revision of what was sent; the old one holds until the new one is sent."""
    must_be(who, "office")
    with parts.store.writing() as work:
        lot = lot_to_change(work, who, lot_id, version)
        old = _open_revision(work, lot, "sent", "lapsed", "declined")
        revision = quotes.add_revision(work, old.quote, lots.newest_takeoff(work, lot.id).id)
        revision.remarks = old.remarks
        for extra in old.extras:
            revision.extras.append(Extra(
                id=work.new_id(), position=extra.position, label=extra.label, reason=extra.reason,
                amount=extra.amount, added_by=extra.added_by,
            ))  # fmt: skip
        note(work, who, "revised", f"{old.quote.number} rev. {revision.number}", lot.id)
        restage(work, lot)


def _offered(parts: Parts, work: Work, who: Actor, lot_id: str, number: int) -> tuple[Any, Any]:
    """The lot and exactly the revision that was seen, where it may still be answered. Raises `Refused`."""
    lot = lot_to_change(work, who, lot_id)
    quote = quotes.quote_of(work, lot.id)
    found = [r for r in quotes.revisions(work, quote.id) if r.number == number and r.sent_at] if quote else []
    if not found:
        raise NotFound("quote", number)
    revision = found[0]
    if revision.state == "superseded":
        raise refuse("A newer revision has taken the place of this one. Open the newest and answer that.")
    if revision.state == "lapsed" or (revision.state == "sent" and revision.expires_on < parts.today()):
        raise refuse("This quote held until {day} and has lapsed. Ask again: everything is carried over.",
                     day=revision.expires_on.isoformat())  # fmt: skip
    if revision.state != "sent":
        raise refuse("This quote is already {state}.", state=revision.state)
    return lot, revision


def accept(
    parts: Parts,
    who: Actor,
    lot_id: str,
    number: int,
    seen: str,
    name: str,
    purchase_order: str,
    once_key: str,
) -> None:
    """Accept exactly the revision seen (`seen` is its fingerprint): the job comes to be, to be booked."""
    must_be(who, "builder")
    _check_signature(name, purchase_order)

    def do(work: Work) -> dict[str, Any]:
        lot, revision = _offered(parts, work, who, lot_id, number)
        if seen != revision.fingerprint:
            raise refuse("This is not the quote that was shown. Open it again, read it, and answer it there.")
        revision.state = move(QUOTE, revision.state, "accepted")
        revision.decided_at, revision.decided_by, revision.purchase_order = work.now, name, purchase_order
        _supersede_others(work, who, lot, revision)
        jobs.add_job(work, owed.next_number(work, "J", parts.today().year), revision, lot.id)
        title = f"{revision.quote.number} rev. {revision.number}"
        note(work, who, "accepted", title, lot.id, name=name, purchase_order=purchase_order, fingerprint=seen)
        mail_office(parts, work, "quote_accepted", lot.id, quote=title, lot=lot_name(lot), company=who.company,
                    by=name, purchase_order=purchase_order, link=parts.links.office_lot(lot.id))  # fmt: skip
        mail(parts, work, "quote_accepted_copy", who.email, lot.id, name=who.name, quote=title, lot=lot_name(lot),
             by=name, purchase_order=purchase_order, total=revision.total,
             link=parts.links.builder_lot(lot.id))  # fmt: skip
        restage(work, lot)
        return {}

    once(parts, who, f"accept {lot_id}", once_key, do)


def _check_signature(name: str, purchase_order: str) -> None:
    problems = []
    if not name:
        problems.append(Problem("name", say("Type your name: it stands on the acceptance.")))
    if len(name) > 200:
        problems.append(Problem("name", say("At most {limit} characters, please.", limit=200)))
    if len(purchase_order) > 80:
        problems.append(Problem("purchase_order", say("At most {limit} characters, please.", limit=80)))
    if problems:
        raise BadInput(problems)


def decline(parts: Parts, who: Actor, lot_id: str, number: int, reason: str, once_key: str) -> None:
    """Decline a revision, with a reason."""
    must_be(who, "builder")
    if not reason:
        raise BadInput([Problem("reason", say("Say in a few words why, so that the office can do better."))])
    if len(reason) > 2000:
        raise BadInput([Problem("reason", say("At most {limit} characters, please.", limit=2000))])

    def do(work: Work) -> dict[str, Any]:
        lot, revision = _offered(parts, work, who, lot_id, number)
        revision.state = move(QUOTE, revision.state, "declined")
        revision.decided_at, revision.decided_by, revision.decline_reason = work.now, who.name, reason
        title = f"{revision.quote.number} rev. {revision.number}"
        note(work, who, "declined", title, lot.id, reason=reason)
        mail_office(parts, work, "quote_declined", lot.id, quote=title, lot=lot_name(lot), company=who.company,
                    by=who.name, reason=reason, link=parts.links.office_lot(lot.id))  # fmt: skip
        restage(work, lot)
        return {}

    once(parts, who, f"decline {lot_id}", once_key, do)


def lapse(parts: Parts) -> int:
    """Let every sent quote lapse whose last day is over; answers how many. The worker calls this."""
    with parts.store.writing() as work:
        lapsing = quotes.lapsing(work, parts.today())
        for revision in lapsing:
            lot = lots.locked(work, revision.quote.lot_id)
            revision.state = move(QUOTE, revision.state, "lapsed")
            title = f"{revision.quote.number} rev. {revision.number}"
            note(work, SYSTEM, "lapsed", title, lot.id)
            mail_builder(parts, work, "quote_lapsed", lot.company_id, lot.id, quote=title, lot=lot_name(lot),
                         expired_on=revision.expires_on, link=parts.links.builder_lot(lot.id))  # fmt: skip
            restage(work, lot)
        return len(lapsing)


def quote_document(revision: Any) -> QuoteDocument:
    """The frozen document of a revision that was sent."""
    return from_stored(QuoteDocument, revision.document)
