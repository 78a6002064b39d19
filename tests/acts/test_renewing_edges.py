"""What happens to a renewal when something else happens to its warranty, its holder or its money."""

from __future__ import annotations

from contextlib import contextmanager
from datetime import date, timedelta
from random import Random
from typing import Any

import pytest

from portal.acts import (
    bouncing,
    covering,
    crediting,
    holder_page,
    office_transfers,
    renewal_desk,
    renewing,
)
from portal.acts.paying import record_payment
from portal.acts.renewal_desk import LookedTyped
from portal.acts.transferring import NextTyped, holder_token
from portal.core.errors import Refused
from portal.store import books
from portal.store.tables import Allocation, History, Invoice, Payment, Renewal
from tests.acts.test_renewing import ADA, ends, in_force, looked, near_its_end, pay, the_one, token
from tests.parts.counting import counted
from tests.parts.house import House
from tests.parts.warranties import owned

pytestmark = pytest.mark.slow


def rows(house: House) -> list[tuple[str, date, date]]:
    """Every renewal, oldest term first: its state and the two last days."""
    with house.parts.store.reading() as work:
        found = work.session.query(Renewal).order_by(Renewal.ended_on)
        return [(row.state, row.ended_on, row.until) for row in found]


def newest_payment(house: House) -> str:
    with house.parts.store.reading() as work:
        found = work.session.query(Payment).order_by(Payment.recorded_at.desc(), Payment.id.desc()).first()
        assert found is not None
        return found.id


def bounce(house: House, payment_id: str) -> None:
    bouncing.bounce(
        house.parts, house.office, payment_id, "bounced", house.parts.today(), "No funds.", house.key()
    )


def offered(house: House, **changes: Any) -> str:
    lot = in_force(house, **changes)
    near_its_end(house, lot)
    assert renewing.offer_renewals(house.parts) == 1
    return lot


def billed(house: House) -> str:
    """Taken up without a look at the house: an invoice is out."""
    lot = offered(house, renewal_inspection="no")
    renewing.answer(house.parts, token(house), yes=True)
    return lot


def test_an_earlier_term_paid_again_does_not_take_a_later_one_back(lite: House) -> None:
    lot = in_force(lite, renewals=2, renewal_inspection="no")
    near_its_end(lite, lot)
    renewing.offer_renewals(lite.parts)
    renewing.answer(lite.parts, token(lite), yes=True)
    first = the_one(lite).invoice_id
    assert first
    pay(lite)
    payment = newest_payment(lite)
    near_its_end(lite, lot)
    renewing.offer_renewals(lite.parts)
    renewing.answer(lite.parts, token(lite), yes=True)
    pay(lite)
    last = ends(lite, lot)
    assert [state for state, _, _ in rows(lite)] == ["renewed", "renewed"]

    bounce(lite, payment)
    assert ends(lite, lot) == last, "the later term was paid: what is owed for the earlier is a debt"
    pay_bill(lite, first)

    assert ends(lite, lot) == last


def test_a_term_is_not_taken_up_where_the_one_before_it_was_taken_back(lite: House) -> None:
    lot = in_force(lite, renewals=2, renewal_inspection="no")
    near_its_end(lite, lot)
    renewing.offer_renewals(lite.parts)
    renewing.answer(lite.parts, token(lite), yes=True)
    first = the_one(lite).invoice_id
    assert first
    pay(lite)
    payment = newest_payment(lite)
    near_its_end(lite, lot)
    renewing.offer_renewals(lite.parts)
    bounce(lite, payment)

    with pytest.raises(Refused, match="before it"):
        renewing.answer(lite.parts, token(lite), yes=True)


def test_a_void_warranty_is_neither_looked_at_nor_billed(lite: House) -> None:
    lot = offered(lite)
    renewing.answer(lite.parts, token(lite), yes=True)
    invoices = lite.rows(Invoice)
    covering.make_void(lite.parts, lite.owner, lot, "Standing water.")

    typed = LookedTyped(lite.parts.today(), "Noor Vale", "Dry.", "yes")
    row = the_one(lite)
    with pytest.raises(Refused):
        renewal_desk.book_look(lite.parts, lite.office, row.id, typed)
    with pytest.raises(Refused):
        renewal_desk.looked_at(lite.parts, lite.office, row.id, typed)

    assert lite.rows(Invoice) == invoices
    assert row.state not in ("offered", "accepted", "looked at"), "nothing of it is under way"


def test_an_invoice_credited_whole_ends_the_renewal(lite: House) -> None:
    lot = billed(lite)
    row = the_one(lite)
    before = ends(lite, lot)
    crediting.credit(lite.parts, lite.office, row.invoice_id or "", {}, True, "Left after all.", lite.key())

    assert ends(lite, lot) == before
    assert renewal_desk.count_open(lite.parts, lite.office) == 0, "it is not waiting to be paid any more"


def test_a_renewed_term_that_is_credited_whole_is_taken_back_and_over(lite: House) -> None:
    lot = billed(lite)
    before = ends(lite, lot)
    lite.clock.pass_by(minutes=1)
    pay(lite)
    row = the_one(lite)
    bounce(lite, newest_payment(lite))
    crediting.credit(lite.parts, lite.office, row.invoice_id or "", {}, True, "Left after all.", lite.key())

    assert ends(lite, lot) == before and renewal_desk.count_open(lite.parts, lite.office) == 0


def test_the_holder_is_told_that_a_term_was_taken_back(lite: House) -> None:
    billed(lite)
    pay(lite)
    bounce(lite, newest_payment(lite))

    assert ("renewal_withdrawn", ADA) in lite.letters()


def test_a_second_worker_that_found_the_same_one_offers_nothing(lite: House) -> None:
    lot = offered(lite)
    with lite.parts.store.reading() as work:
        from portal.store import warranties

        found = warranties.warranty_of(work, lot)
        assert found is not None
        warranty_id = found.id

    assert renewing._offer_one(lite.parts, warranty_id, lot) is False  # it looked before the first was done
    assert lite.rows(Renewal) == 1


def test_looking_for_what_is_to_be_offered_holds_no_lot_that_is_not(
    lite: House, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A million warranties: each that ends within two years would otherwise be a transaction a day."""
    lot = in_force(lite)
    near_its_end(lite, lot, 200)
    begun = []
    writing = type(lite.parts.store).writing

    @contextmanager
    def counted(store: Any) -> Any:
        begun.append(1)
        with writing(store) as work:
            yield work

    monkeypatch.setattr(type(lite.parts.store), "writing", counted)
    assert renewing.offer_renewals(lite.parts) == 0

    assert begun == []


def hand_on(house: House, lot: str) -> None:
    typed = NextTyped("Ben Cole", "ben@example.org", house.parts.today())
    office_transfers.hand_on_by_office(
        house.parts, house.office, lot, typed, "The deed.", "", b"", house.key()
    )


def test_the_next_owner_is_not_billed_for_what_the_one_before_took_up(lite: House) -> None:
    lot = offered(lite)
    old_link = token(lite)
    renewing.answer(lite.parts, old_link, yes=True)
    invoices = lite.rows(Invoice)
    hand_on(lite, lot)
    with pytest.raises(Refused, match="This link is over"):
        renewing.look(lite.parts, old_link)

    with pytest.raises(Refused):
        looked(lite)
    assert lite.rows(Invoice) == invoices

    assert ("renewal_offered", "ben@example.org") in lite.letters(), "it is offered to whoever holds it now"
    renewal_desk.answer_for(lite.parts, lite.office, the_one(lite).id, True)
    looked(lite)
    assert ("owner_billed", "ben@example.org") in lite.letters()
    assert ("owner_billed", ADA) not in lite.letters()


def test_without_a_holder_it_is_due_and_nobody_is_written_to_until_one_is_named(lite: House) -> None:
    from portal.acts.holding import HolderTyped, name_first_owner
    from portal.store import quotes
    from tests.acts.test_renewing import RENEWS

    with lite.parts.store.reading() as work:
        terms = dict(quotes.edition_on(work, "terms", lite.parts.today()).document)
    lite.enter("terms", terms | {"years": 10} | RENEWS)
    lot = lite.paid()
    near_its_end(lite, lot)
    assert renewing.offer_renewals(lite.parts) == 1
    assert (the_one(lite).holder, the_one(lite).email) == ("", "")
    with pytest.raises(Refused, match="Nobody is named"):
        renewal_desk.answer_for(lite.parts, lite.office, the_one(lite).id, True)

    named = HolderTyped("Ada Roe", ADA, "", lite.parts.today())
    name_first_owner(lite.parts, lite.office, lot, named, lite.key())

    assert ("renewal_offered", ADA) in lite.letters()
    renewing.answer(lite.parts, token(lite), yes=True)
    assert the_one(lite).state == "accepted"


@pytest.mark.parametrize("inspection", ["yes", "no"])
def test_a_warranty_that_expires_with_a_renewal_under_way_is_told_of(lite: House, inspection: str) -> None:
    lot = offered(lite, renewal_inspection=inspection)
    renewing.answer(lite.parts, token(lite), yes=True)
    lite.clock.turn_to(ends(lite, lot) + timedelta(days=1))

    covering.expire(lite.parts)

    assert lite.warranty(lot).state == "expired"
    assert ("expired_renewing", ADA) in lite.letters()


def test_whoever_left_it_can_still_take_it_up_by_its_last_day_and_not_after(lite: House) -> None:
    offered(lite)
    link = token(lite)
    renewing.answer(lite.parts, link, yes=False)
    lite.clock.turn_to(the_one(lite).last_day)
    assert renewing.look(lite.parts, link).to_take_up
    lite.clock.pass_by(days=1)
    with pytest.raises(Refused, match="that is over"):
        renewing.answer(lite.parts, link, yes=True)
    lite.clock.pass_by(days=-1)

    renewing.answer(lite.parts, link, yes=True)

    assert the_one(lite).state == "accepted"


def test_the_holders_own_page_leads_to_the_offer(lite: House) -> None:
    """The letter may be lost, or may have gone to an address that is not theirs any more."""
    lot = in_force(lite)
    with lite.parts.store.reading() as work:
        from portal.store import holders, warranties

        warranty = warranties.warranty_of(work, lot)
        assert warranty is not None
        holder = holders.holder_now(work, warranty.id)
        own = holder_token(lite.parts, holder)
    assert holder_page.look(lite.parts, own).renewal == ""
    near_its_end(lite, lot)
    renewing.offer_renewals(lite.parts)
    assert holder is not None
    own = holder_token(lite.parts, holder)  # a link is good for a year and a month

    found = holder_page.look(lite.parts, own).renewal

    assert renewing.look(lite.parts, found).state == "offered"


def test_in_whatever_order_terms_are_paid_and_bounce_the_last_day_is_the_latest_paid(
    house: House,
) -> None:
    """A long walk: one row a term, and the day goes back with a line that says so, and never without."""
    lot = in_force(house, renewals=2, renewal_inspection="no")
    first_end = ends(house, lot)
    bills: list[str] = []
    for _ in range(2):
        near_its_end(house, lot)
        renewing.offer_renewals(house.parts)
        renewing.answer(house.parts, token(house), yes=True)
        bills.append(the_one(house).invoice_id or "")
        pay(house)
    untils = [until for _, _, until in rows(house)]
    paid: dict[int, str] = {}
    with house.parts.store.reading() as work:
        found = work.session.query(Allocation).order_by(Allocation.seq)
        paid = {bills.index(row.invoice_id): str(row.payment_id) for row in found if row.invoice_id in bills}
    draw, before = Random(7), ends(house, lot)
    for _ in range(24):
        which, lines = draw.randrange(2), withdrawn_lines(house)
        if which in paid:
            bounce(house, paid.pop(which))
        else:
            paid[which] = pay_bill(house, bills[which])
        now = ends(house, lot)
        assert now == max([first_end, *(untils[one] for one in paid)])
        assert (now < before) == (withdrawn_lines(house) > lines)
        assert len(rows(house)) == 2
        before = now


def pay_bill(house: House, invoice_id: str) -> str:
    """Pay what an invoice still asks for; answers the payment's id."""
    house.clock.pass_by(minutes=1)
    with house.parts.store.reading() as work:
        still_open = books.open_of(work, invoice_id)
    record_payment(house.parts, house.office, invoice_id, str(still_open), "check", "4411",
                   house.parts.today(), house.key())  # fmt: skip
    return newest_payment(house)


def withdrawn_lines(house: House) -> int:
    with house.parts.store.reading() as work:
        return work.session.query(History).filter_by(verb="renewal withdrawn").count()


def test_the_list_asks_the_same_few_questions_however_long_it_is(lite: House) -> None:
    lot = in_force(lite)
    others = [owned(lite, lite.paid()) for _ in range(3)]
    near_its_end(lite, lot)
    renewing.offer_renewals(lite.parts)

    with counted(lite.parts.store) as sent:
        rows = renewal_desk.listed(lite.parts, lite.office)

    assert len(rows) == 1 + len(others) and len(sent) <= 3
