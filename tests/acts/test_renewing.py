"""A term is offered before it ends, taken up, looked at, billed and paid; or it lapses by the terms."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest

from portal.acts import bouncing, covering, crediting, renewal_desk, renewing
from portal.acts.parts import SYSTEM
from portal.acts.paying import record_payment
from portal.acts.renewal_desk import LookedTyped
from portal.core.errors import BadInput, Refused
from portal.store import quotes
from portal.store.tables import Letter, Payment, Renewal
from tests.parts.house import House
from tests.parts.warranties import owned

pytestmark = pytest.mark.slow

ADA = "ada@example.org"
RENEWS = {
    "renewals": 1, "renewal_years": 5, "renewal_fee": "180.00", "renewal_inspection": "yes",
    "renewal_days_before": 60, "renewal_days_after": 30,
}  # fmt: skip


def promise(house: House, changes: dict[str, Any]) -> None:
    """Enter the terms anew, with these changes."""
    with house.parts.store.reading() as work:
        terms = dict(quotes.edition_on(work, "terms", house.parts.today()).document)
    house.enter("terms", terms | changes)


def in_force(house: House, **changes: Any) -> str:
    """A lot in force under terms of ten years that can be renewed, its owner named."""
    promise(house, {"years": 10} | RENEWS | changes)
    return owned(house, house.paid())


def ends(house: House, lot: str) -> date:
    found = house.warranty(lot).ends_on
    assert found is not None
    return found


def near_its_end(house: House, lot: str, days: int = 60) -> None:
    house.clock.turn_to(ends(house, lot) - timedelta(days=days))


def token(house: House, of: str = "renew") -> str:
    with house.parts.store.reading() as work:
        texts = [row.text for row in work.session.query(Letter).filter_by(to=ADA).order_by(Letter.written_at)]
    found = [text.partition(f"/warranty/{of}/")[2].split()[0] for text in texts if f"/warranty/{of}/" in text]
    return found[-1].removesuffix(".pdf")


def the_one(house: House) -> renewing.RenewalView:
    rows = renewal_desk.listed(house.parts, house.office) or renewal_desk.listed(
        house.parts, house.office, over=True
    )
    return rows[0]


def looked(house: House, good: str = "yes") -> None:
    typed = LookedTyped(house.parts.today(), "Noor Vale", "Dry, and nothing cut.", good)
    renewal_desk.looked_at(house.parts, house.office, the_one(house).id, typed)


def pay(house: House) -> None:
    row = the_one(house)
    assert row.invoice_id
    with house.parts.store.reading() as work:
        from portal.store import books

        still_open = books.open_of(work, row.invoice_id)
    record_payment(house.parts, house.office, row.invoice_id, str(still_open), "check", "4410",
                   house.parts.today(), house.key())  # fmt: skip


def renewed(house: House) -> str:
    lot = in_force(house)
    near_its_end(house, lot)
    renewing.offer_renewals(house.parts)
    renewing.answer(house.parts, token(house), yes=True)
    looked(house)
    pay(house)
    return lot


def test_offered_once_taken_up_looked_at_billed_and_paid(house: House) -> None:
    lot = in_force(house)
    first_end = ends(house, lot)
    near_its_end(house, lot, 61)
    assert renewing.offer_renewals(house.parts) == 0
    near_its_end(house, lot, 60)
    assert (renewing.offer_renewals(house.parts), renewing.offer_renewals(house.parts)) == (1, 0)
    seen = renewing.look(house.parts, token(house))
    assert (seen.fee, seen.ended_on, seen.state) == (Decimal("180.00"), first_end, "offered")
    assert seen.until == first_end.replace(year=first_end.year + 5)

    renewing.answer(house.parts, token(house), yes=True)
    renewing.answer(house.parts, token(house), yes=True)  # pressed twice
    assert the_one(house).state == "accepted"
    day = house.parts.today() + timedelta(days=3)
    renewal_desk.book_look(house.parts, house.office, the_one(house).id, LookedTyped(day, "Noor Vale"))
    house.clock.turn_to(day)
    looked(house)
    row = the_one(house)
    assert row.state == "looked at" and row.invoice
    assert ends(house, lot) == first_end, "nothing is promised before it is paid"
    assert renewing.bill_by_link(house.parts, token(house, "bill")).content
    pay(house)

    assert the_one(house).state == "renewed" and ends(house, lot) == seen.until
    page = covering.by_link(house.parts, house.warranty(lot).link.rpartition("/")[2])
    assert page.state == "in force" and [line.what for line in page.timeline][-1] == "renewed"
    kinds = [kind for kind, to in house.letters() if to == ADA]
    ours = [kind for kind in kinds if kind.startswith(("ren", "owner"))]
    assert sorted(ours) == ["owner_billed", "renewal_look", "renewal_offered", "renewed"]
    # The one renewal that the terms allow is used up.
    house.clock.turn_to(ends(house, lot) - timedelta(days=30))
    assert renewing.offer_renewals(house.parts) == 0


def test_a_payment_that_did_not_hold_takes_the_term_back_and_another_brings_it_again(house: House) -> None:
    lot = renewed(house)
    until = ends(house, lot)
    with house.parts.store.reading() as work:
        newest = work.session.query(Payment).order_by(Payment.recorded_at.desc(), Payment.id).first()
        assert newest is not None
        payment = newest.id
    bouncing.bounce(
        house.parts, house.office, payment, "bounced", house.parts.today(), "No funds.", house.key()
    )
    assert ends(house, lot) == until.replace(year=until.year - 5)
    assert house.warranty(lot).state == "in force" and the_one(house).state == "looked at"

    pay(house)

    assert ends(house, lot) == until and the_one(house).state == "renewed"


def test_what_expired_meanwhile_is_in_force_again_once_it_is_paid(lite: House) -> None:
    lot = in_force(lite, renewal_inspection="no")
    near_its_end(lite, lot, 10)
    renewing.offer_renewals(lite.parts)
    lite.clock.turn_to(ends(lite, lot) + timedelta(days=30))
    covering.expire(lite.parts)
    assert lite.warranty(lot).state == "expired"

    renewing.answer(lite.parts, token(lite), yes=True)
    pay(lite)

    assert lite.warranty(lot).state == "in force" and ends(lite, lot) > lite.parts.today()


def test_it_lapses_the_day_after_its_last(lite: House) -> None:
    lot = in_force(lite)
    near_its_end(lite, lot)
    renewing.offer_renewals(lite.parts)
    link = token(lite)
    lite.clock.turn_to(the_one(lite).last_day + timedelta(days=1))
    with pytest.raises(Refused, match="that is over"):
        renewing.answer(lite.parts, link, yes=True)

    renewing.offer_renewals(lite.parts)

    assert the_one(lite).state == "lapsed"
    with pytest.raises(Refused):
        renewal_desk.answer_for(lite.parts, lite.office, the_one(lite).id, True)


def test_what_is_void_or_held_by_nobody_on_record(lite: House) -> None:
    lot = in_force(lite)
    covering.make_void(lite.parts, lite.owner, lot, "Standing water.")
    near_its_end(lite, lot)
    assert renewing.offer_renewals(lite.parts) == 0
    assert lite.rows(Renewal) == 0


def test_declined_failed_and_wrong_entries(lite: House) -> None:
    lot = in_force(lite)
    near_its_end(lite, lot)
    renewing.offer_renewals(lite.parts)
    with pytest.raises(Refused, match="nothing to look at"):
        looked(lite)
    renewing.answer(lite.parts, token(lite), yes=True)
    with pytest.raises(BadInput) as bad:
        renewal_desk.looked_at(lite.parts, lite.office, the_one(lite).id, LookedTyped(None, "", "", ""))
    assert {one.at for one in bad.value.problems} == {"day", "person", "words", "good"}
    before = ends(lite, lot)
    looked(lite, "no")
    assert the_one(lite).state == "failed" and ends(lite, lot) == before
    assert ("renewal_failed", ADA) in lite.letters()
    with pytest.raises(Refused):
        renewing.answer(lite.parts, token(lite), yes=False)


def test_the_rate_books_price_is_named_with_its_edition(lite: House) -> None:
    lot = in_force(lite)
    with lite.parts.store.reading() as work:
        from portal.store import quotes

        rates = dict(quotes.edition_on(work, "rates", lite.parts.today()).document)
    near_its_end(lite, lot)
    number = lite.enter("rates", rates | {"renewal": "150.00"})
    renewing.offer_renewals(lite.parts)
    row = the_one(lite)
    assert (row.fee, row.rate_edition) == (Decimal("150.00"), number)


def test_another_holder_s_link_is_over_and_a_credited_invoice_renews_nothing(lite: House) -> None:
    lot = in_force(lite, renewal_inspection="no")
    near_its_end(lite, lot)
    renewing.offer_renewals(lite.parts)
    link = token(lite)
    renewing.answer(lite.parts, link, yes=True)
    row = the_one(lite)
    assert row.invoice_id
    before = ends(lite, lot)
    with lite.parts.store.reading() as work:
        from portal.store import owed

        total = owed.invoice(work, row.invoice_id).total
    assert total >= row.fee
    crediting.credit(lite.parts, lite.office, row.invoice_id, {}, True, "Left after all.", lite.key())
    assert ends(lite, lot) == before and SYSTEM.kind == "system"
